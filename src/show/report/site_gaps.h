/* Figures of a site that are not known because a file lacks a key: told together, with the keys to give. */
#ifndef EVENER_SHOW_REPORT_SITE_GAPS_H
#define EVENER_SHOW_REPORT_SITE_GAPS_H
#include "show/site_story.h"

/* For which trucks gaps are told together: those with two or more among the figures. */
typedef struct evn_site_folded {
    bool truck[EVN_SITE_TRUCKS_MOST];
} evn_site_folded;

/* Whether a truck's figure is a gap: a key is lacking. What is demanded is told by itself. */
bool evn_site_is_gap(const evn_site_figure *);

/*
 * Takes out figures that are gaps of every truck that has them, and tells gaps in a line for each truck: how many, and
 * the keys to give. To be freed: "" where there are none to be folded; NULL when memory is out.
 */
char *evn_site_fold_gaps(const evn_site_story *, evn_site_figure figure[], size_t *count, evn_site_folded *);

#endif
