/* A local search of the best by NLopt: the only place that knows it. */
#ifndef EVENER_VARY_LOCAL_H
#define EVENER_VARY_LOCAL_H
#include <stdbool.h>
#include <stddef.h>

enum { EVN_LOCAL_BOUNDS_MOST = 64, EVN_LOCAL_NUMBERS_MOST = 16 };

/* What is minimised within the unit cube, below bounds. */
typedef struct evn_local {
    size_t numbers, bounds;
    size_t evaluations; /* at most */
    void *self;
    /* Works out a point: what is to be least, and for each bound a number that is above zero where it is broken. False:
     * the search ends. */
    bool (*at)(void *self, const double *x, double *value, double *broken);
} evn_local;

/* From a point on, by linear approximations over a simplex that shrinks (COBYLA; Powell, 1994). What was found is what
 * `at` was asked. */
void evn_local_search(const evn_local *, const double *from);

#endif
