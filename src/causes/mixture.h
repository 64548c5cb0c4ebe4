/* All hybrids of two trucks, the same ones only once, and what comes of driving them. */
#ifndef EVENER_CAUSES_MIXTURE_H
#define EVENER_CAUSES_MIXTURE_H
#include "causes/hybrid.h"
#include "lineup/common.h"

enum { EVN_CAUSE_LINES = EVN_LINE_COUNT + 1 }; /* the last: what the balance does not close */

/* A truck that one or more sets of exchanged blocks come to. */
typedef struct evn_mixed {
    evn_hybrid hybrid;
    evn_load_case load_case;
    uint64_t hash;
    bool wanted; /* still parted by the blocks as they are merged */
    evn_rig *rig;
    evn_reach reach;
    evn_sampler sampler;
    double value; /* what is judged; NAN: not driven */
    double line[EVN_CAUSE_LINES];
    double duration_s, mean_km_h;
    bool late;                      /* by the last run, the round's speed was not kept */
    bool slow;                      /* by the last run, far from it */
    char reason[EVN_FINDING_BYTES]; /* why it could not be driven; "": it could */
} evn_mixed;

typedef struct evn_mixture {
    evn_mixed one[EVN_HYBRIDS_MOST];
    size_t count;
    size_t place[EVN_HYBRIDS_MOST]; /* of each set */
} evn_mixture;

/* How it is driven. */
typedef struct evn_mixing {
    const evn_cycle_file *cycle;
    evn_driving driving;
    const char *decides; /* key of what is judged */
    evn_runs *runs;
    size_t *to_come; /* runs of all that is still asked */
} evn_mixing;

/* Two trucks to part, with what each is asked to carry. */
typedef struct evn_two {
    const evn_truck_file *truck[2];
    evn_load_case load_case[2];
} evn_two;

/* All of them, none driven. False when memory is out. */
bool evn_mixture_make(const evn_two *, evn_arena *, evn_mixture *);
void evn_mixture_end(evn_mixture *);

/* Those of sets in which merged blocks go together are wanted; `group` has a number for each block. How many. */
size_t evn_mixture_want(evn_mixture *, const unsigned group[EVN_CAUSE_COUNT]);

/* A hybrid that takes longer than the speed asks by more than this share of the time cannot follow. */
#define EVN_HYBRID_SLOW_SHARE 0.02

/*
 * Drives the wanted ones below a ceiling, and takes what they reach. `late_share`: of the time, from which on the speed
 * is not kept; 0: as rounds of a comparison judge it. False when memory is out.
 */
bool evn_mixture_drive(evn_mixture *, const evn_mixing *, const evn_ceiling *, double late_share);

/* Down to what the wanted ones reached. False when memory is out. */
bool evn_mixture_lower(const evn_mixture *, evn_ceiling *);

/* Fills value and lines of a run's results. False: they tell nothing of what is judged. */
bool evn_mixed_take(const evn_results *, const char *decides, double *value, double line[EVN_CAUSE_LINES]);

#endif
