/* Which watches fall through zero within a step, and where the first of them does. */
#ifndef EVENER_TRIP_FALLS_H
#define EVENER_TRIP_FALLS_H
#include "trip/solver.h"

/* A step, by shares of it from 0 to 1, with the watches at its ends. */
typedef struct evn_falls {
    size_t watches;
    const double *begin, *end;
    /* Between the ends; those that are not wanted may stay in g as they are. */
    void (*watch)(void *self, double share, uint64_t wanted, double *g);
    void *self;
    double close; /* shares that are no further apart are one */
} evn_falls;

/* A bit per watch that falls from the begin to the end. One that begins at zero, or within round-off below it, falls
 * only once it is clearly below. */
uint64_t evn_falls_seen(const evn_falls *);

/*
 * The share at which the first of those seen falls, just behind it; `hit` are those seen, and becomes those that fall
 * there. Of one that falls more than once any place may be found.
 */
double evn_falls_first(const evn_falls *, uint64_t *hit);

#endif
