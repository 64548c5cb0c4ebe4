/*
 * traces.h: a run over time: the columns of its rows, and who takes them. evn_watcher (evener.h) takes those of one
 * run, samplers those of the runs of a comparison.
 */
#ifndef EVENER_TRACES_H
#define EVENER_TRACES_H

#include "evener/evener.h"

#ifdef __cplusplus
extern "C" {
#endif

/* One column of a trace; sign conventions stand in its help text. */
typedef struct evn_trace_column {
    evn_quantity what;
    const char *drive_unit; /* whose it is, of several; NULL: the truck's, or that of its only drive unit */
    const char *axle;       /* whose it is; NULL: no axle's */
    const char *consumer;   /* likewise, of the auxiliaries */
} evn_trace_column;

/* Columns of a trace row for this rig. Key, drive unit, axle and consumer together are no other column's. */
EVN_API size_t evn_trace_column_count(const evn_rig *);
EVN_API bool evn_trace_column_at(const evn_rig *, size_t index, evn_trace_column *out);
/* All columns that a trace may have, without a rig. False: no more. */
EVN_API bool evn_trace_quantity_at(size_t index, evn_quantity *out);

/*
 * Who takes rows of a run. The rows at events go to every sampler of a run, those between at its own interval: each has
 * the rows that it would have alone. Calls of one run come one at a time, in the order of time, from one thread; those
 * of different runs may come at the same time from different threads. The results are the same bytes with and without.
 */
typedef struct evn_sampler {
    void *self;
    double interval_s; /* between two rows; 0.001 to 86400 */
    /* The run begins: rows of an earlier one, driven before it, count no more. May be NULL. */
    void (*begin)(void *self);
    /* The row, a value for each column, is there during the call only. */
    void (*sample)(void *self, const double *row, size_t columns);
} evn_sampler;

/* So many samplers, for one run; none where the count is 0. An interval out of its bounds ("out_of_range"), or a
 * sampler without a call for its rows ("usage"), is said in the outcome's report, and there is no run. */
struct evn_samplers {
    const evn_sampler *at;
    size_t count;
};

#ifdef __cplusplus
}
#endif
#endif
