/*
 * The common speed, found and driven for any list of trucks: rounds at the lowest speed that any of them reaches. What
 * compare does once, and what is done for each draw of uncertain data (COMMON-SPEED.md).
 */
#ifndef EVENER_LINEUP_COMMON_H
#define EVENER_LINEUP_COMMON_H
#include "cycle/ceiling.h"
#include "lineup/lineup.h"
#include "runs/runs.h"

/* Two rounds do nearly always. */
enum { EVN_ROUNDS_USUAL = 2, EVN_ROUNDS_MOST = 4 };

/* ------------------------------------------------------------------------------------------------ speeds reached */

/* What a truck reached by its last run, and how far it was below its plan at most. */
typedef struct evn_reach {
    evn_ceiling speeds;
    double below_km_h;
    bool out_of_memory;
    size_t place, speed, plan; /* columns of its rows */
} evn_reach;

/* What takes it from the rows of a run of this rig. */
evn_sampler evn_reach_sampler(evn_reach *, const evn_rig *);
void evn_reach_end(evn_reach *);

/* Whether the run that it was taken from kept the speed that was asked of it. */
bool evn_reach_keeps(const evn_reach *, const evn_results *);
/* Whether a run is late by no more than this share of its duration. */
bool evn_is_in_time(const evn_results *, double late_share);

/* ------------------------------------------------------------------------------------------------ rounds */

/* Asks a run to be one of a round below this ceiling. */
void evn_common_ask(evn_run *, const evn_ceiling *);

/* Leaves out points of a ceiling that was lowered by what trucks reached. */
void evn_common_thin(evn_ceiling *);

/* ------------------------------------------------------------------------------------------------ as compared */

/* What a comparison drove, and found: of the comparison, and as long as it. */
const evn_contender *evn_comparison_contenders(const evn_comparison *, size_t *count); /* by names of the lineup */
const char *evn_comparison_told(const evn_comparison *, size_t truck);                 /* its name in reports */
const evn_cycle_file *evn_comparison_cycle(const evn_comparison *);
const evn_conditions *evn_comparison_asks(const evn_comparison *);
evn_load_case evn_comparison_load_case(const evn_comparison *, size_t truck);
/* The common speed that it came to; no points where it came to none. */
const evn_ceiling *evn_comparison_ceiling(const evn_comparison *);
/* The key of the result by which its trucks are judged. */
const char *evn_comparison_decides(const evn_comparison *);

#endif
