/* One pair parted: hybrids driven at one speed, blocks merged where they must be, parts and their lines. */
#ifndef EVENER_CAUSES_PARTING_H
#define EVENER_CAUSES_PARTING_H
#include "causes/differing.h"
#include "causes/laws.h"
#include "causes/mixture.h"

enum { EVN_CAUSE_MERGES_MOST = EVN_CAUSE_COUNT };

typedef struct evn_merged {
    evn_cause one, other;
    char reason[EVN_FINDING_BYTES];
} evn_merged;

typedef struct evn_law_found {
    const char *why_not; /* NULL: exchanged */
    double part;
} evn_law_found;

/* Intervals of a part. */
typedef struct evn_part_sure {
    bool there;
    double low_percent, high_percent;
} evn_part_sure;

typedef struct evn_parting {
    evn_causes_pair facts;
    unsigned group[EVN_CAUSE_COUNT]; /* of each cause; numbers from 0 */
    size_t groups;
    double part[EVN_CAUSE_COUNT], least[EVN_CAUSE_COUNT], most[EVN_CAUSE_COUNT]; /* by group */
    double value[EVN_HYBRIDS_MOST]; /* what the hybrid of each set of exchanged groups takes */
    double line[EVN_CAUSE_COUNT][EVN_CAUSE_LINES];
    bool alike[EVN_CAUSE_COUNT];
    evn_part_sure sure[EVN_CAUSE_COUNT];
    evn_differing *differing; /* of each cause */
    evn_merged merged[EVN_CAUSE_MERGES_MOST];
    size_t merges;
    evn_law_found law[EVN_LAW_COUNT];
    bool laws; /* they were driven */
    evn_ceiling speed;
} evn_parting;

/* The set of exchanged blocks that one of exchanged groups is. */
unsigned evn_parting_set(const evn_parting *, unsigned groups);
unsigned evn_parting_causes(const evn_parting *, size_t group);

/* Each block alone, then merged until no hybrid is left that is no truck. */
void evn_parting_begin(evn_parting *, const evn_mixture *);

/*
 * Drives the hybrids of a mixture from a speed on, lowers it to what they reach, and merges blocks where one cannot
 * follow. Nothing is parted where it was stopped. False when memory is out.
 */
bool evn_parting_drive(evn_parting *, evn_mixture *, const evn_mixing *);

/* Parts and lines from what the hybrids took. */
void evn_parting_sum(evn_parting *, const evn_mixture *);

/* Laws of the other drivetrain one by one in the first truck. False when memory is out. */
bool evn_parting_laws(evn_parting *, const evn_mixture *, const evn_mixing *);

#endif
