/* What held a truck back, out of coast-downs, as it is told in words, pictures, JSON, CSV or a page. */
#ifndef EVENER_SHOW_COASTDOWN_STORY_H
#define EVENER_SHOW_COASTDOWN_STORY_H
#include "evener/coastdown.h"
#include "show/findings.h"
#include "show/look.h"
#include <jansson.h>

#define EVN_COASTDOWN_SCHEMA "evener.coastdown/1"

typedef struct evn_coastdown_story {
    const char *status;             /* "finished", or "failed" */
    const evn_coastdown *coastdown; /* NULL: nothing was found */
    bool found;                     /* something came of it */
    const evn_coastdown_how *how;
} evn_coastdown_story;

/* Sentences that media share: the answer, and what bounds it, a paragraph on each line. NULL when memory is out; to be
 * freed. */
char *evn_coastdown_answer(const evn_coastdown_story *, const evn_look *);
char *evn_coastdown_trust(const evn_coastdown_story *);

/* Whether the intervals of both methods meet, in both coefficients. */
bool evn_coastdown_agree(const evn_coastdown *);

/* The figure of a key; false: it was not sought. */
bool evn_coastdown_figure_of(const evn_coastdown *, evn_coastdown_method, const char *key, evn_coastdown_figure *);

bool evn_coastdown_text(const evn_coastdown_story *, FILE *, const evn_look *);
bool evn_coastdown_plot(const evn_coastdown_story *, FILE *, const evn_look *);
bool evn_coastdown_json(const evn_coastdown_story *, const evn_findings *, FILE *);
/* The document itself. NULL when memory is out. */
json_t *evn_coastdown_document(const evn_coastdown_story *);
/* A line for each band of speed of each run that is used. False: `error_number` tells why. */
bool evn_coastdown_csv(const evn_coastdown_story *, FILE *, int *error_number);

#endif
