/* A lot of cases: each invented, driven and judged, and what came of all of them. */
#ifndef EVENER_TESTS_LOT_H
#define EVENER_TESTS_LOT_H
#include "case.h"
#include "trial.h"

typedef struct lot {
    uint64_t seed, first, count; /* of the seed's endless list, from this one on */
    double wide;                 /* as in invent.h */
    const char *folder;          /* where each is written before it is driven; the next takes its place */
    void *self;
    /* May be NULL. What came of one, while its files are there. False: no more. */
    bool (*judged)(void *self, uint64_t index, random_case *, const trial_verdict *);
} lot;

typedef struct lot_tally {
    size_t driven, failed; /* cases; those with one fault or more */
    size_t ends[TRIAL_END_COUNT], faults[TRIAL_FAULT_COUNT];
    double processor_s, longest_s;
    uint64_t longest; /* that case */
    bool could_not_write;
} lot_tally;

lot_tally lot_drive(const lot *);

/* The part of the cases that the loader and the rig took. */
double lot_accepted_share(const lot_tally *);

#endif
