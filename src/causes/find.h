/* All pairs of a comparison, parted. */
#ifndef EVENER_CAUSES_FIND_H
#define EVENER_CAUSES_FIND_H
#include "causes/parting.h"
#include "uncertainty/answer.h"

struct evn_causes {
    evn_arena *arena;
    size_t trucks;
    const char *decides;
    bool partial;
    size_t against;    /* the truck that all others are held against */
    evn_parting *pair; /* [trucks]; that of the one that they are held against is empty */
};

/* What two trucks of a comparison come to as they were compared. */
evn_two evn_two_of(const evn_comparison *, size_t against, size_t truck);

/* Intervals of the parts of a pair, by the first draws of an uncertainty. False when memory is out. */
bool evn_parting_draws(evn_parting *, const evn_uncertainty *, const size_t truck[2], const evn_mixing *, evn_report *);
size_t evn_causes_draws_of(const evn_uncertainty *);

#endif
