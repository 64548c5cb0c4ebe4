/* A list of quantities with values, wherever it comes from: results of a run, statistics of a cycle. */
#ifndef EVENER_SHOW_FIGURES_H
#define EVENER_SHOW_FIGURES_H
#include "evener/evener.h"

typedef struct evn_figures {
    const void *of;
    size_t (*count)(const void *of);
    bool (*at)(const void *of, size_t index, evn_quantity *, double *value);
} evn_figures;

evn_figures evn_figures_of_results(const evn_results *); /* NULL: no figures */
evn_figures evn_figures_of_cycle(const evn_cycle *);     /* NULL: no figures */
evn_figures evn_figures_of_rig(const evn_rig *);         /* NULL: no figures */

/* The column of a trace row that has this key; of several, the first. The key is one that every truck has. */
size_t evn_figures_column(const evn_rig *, const char *key);
evn_figures evn_figures_of_differences(const evn_outcome *);
evn_figures evn_figures_of_comparison(const evn_comparison *);

size_t evn_figures_count(const evn_figures *);
bool evn_figures_at(const evn_figures *, size_t index, evn_quantity *, double *value);
bool evn_figures_find(const evn_figures *, const char *key, evn_quantity *, double *value); /* false: no such key */
double evn_figures_value(const evn_figures *, const char *key);                             /* NAN: no such key */

/* The next in the short list behind a rank, 0 for the first; false: there are no more. */
bool evn_figures_next(const evn_figures *, int behind_rank, evn_quantity *, double *value);

#endif
