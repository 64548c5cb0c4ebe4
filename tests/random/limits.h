/* The limits that a truck states, as seen in the rows of its trace. */
#ifndef EVENER_TESTS_LIMITS_H
#define EVENER_TESTS_LIMITS_H
#include "api/objects.h"
#include "evener/traces.h"
#include "trial.h"

enum { COLUMNS_MOST = 160 };

typedef struct limits_watch {
    const evn_truck_file *truck;
    size_t columns;
    evn_trace_column column[COLUMNS_MOST];
    double worst[TRIAL_FAULT_COUNT], worst_s[TRIAL_FAULT_COUNT]; /* beyond the limit, over what is let pass */
    bool too_hot[COLUMNS_MOST]; /* columns of an axle's friction brakes that were beyond theirs */
    trial_verdict *verdict;
} limits_watch;

void limits_begin(limits_watch *, const evn_truck *, const evn_rig *, trial_verdict *);
/* For evn_watcher.sample. */
void limits_sample(void *self, const double *row, size_t columns);
/* Limits that were passed, but for those of which the report of the run tells. */
void limits_end(limits_watch *, const evn_report *);

#endif
