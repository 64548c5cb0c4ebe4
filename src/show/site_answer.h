/* What decides between trucks where they work: some of their figures, what speaks against each, how they differ. */
#ifndef EVENER_SHOW_SITE_ANSWER_H
#define EVENER_SHOW_SITE_ANSWER_H
#include "show/site_story.h"

/* A row of what decides. */
typedef struct evn_site_deciding {
    const char *key, *label; /* a label of 16 columns at most */
    const char *words;       /* the same at length */
} evn_site_deciding;
/* False: no more. */
bool evn_site_deciding_at(size_t index, evn_site_deciding *out);

/* The figure of a truck that stands in the row, one of its list, and where or by what it is so ("": nothing to say).
 * False: the truck has none, or its group is not told. */
enum { EVN_SITE_WHERE = 1400 }; /* a row's label and why it is so */
bool evn_site_decides(const evn_site_story *, size_t index, const evn_site *, evn_site_figure *out,
                      char where[EVN_SITE_WHERE]);

/* Whether its limit is not kept, or a demand cannot be judged. */
bool evn_site_is_not_met(const evn_site_figure *);

/* "275 mm", with so many bytes of room; "" where there is none. No look: decimals as the quantity has them. */
enum { EVN_SITE_CELL = 64 };
void evn_site_amount(const evn_look *, const evn_site_figure *, double value, char out[EVN_SITE_CELL]);
/* The same of a margin, with its sign. */
void evn_site_margin(const evn_look *, const evn_site_figure *, char out[EVN_SITE_CELL]);

/* One sentence each, with a full stop; to be freed. NULL when memory is out. Of one truck there are no differences: an
 * empty text. */
char *evn_site_against(const evn_site_story *, size_t truck);
char *evn_site_differences(const evn_site_story *);

#endif
