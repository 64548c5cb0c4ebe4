/* The trace of a day as CSV: a line for each row of each leg and stop, with its name and the clock of the day. */
#ifndef EVENER_SHOW_DAY_TRACE_CSV_H
#define EVENER_SHOW_DAY_TRACE_CSV_H
#include "show/day_strip.h"
#include <stdio.h>

/* Rows of a day in each of so many seasons, kept in files without names until the day has ended. */
typedef struct evn_day_trace evn_day_trace;
/* NULL: `error_number` says why. */
evn_day_trace *evn_day_trace_new(size_t seasons, int *error_number);
void evn_day_trace_free(evn_day_trace *);
/* Who takes the rows of the next leg or stop of a season, which have this rig's columns; it is the same for all of a
 * season, and outlives them. A row of another rig makes the trace fail. Its `self` is NULL when memory is out. */
evn_sampler evn_day_trace_next(evn_day_trace *, size_t season, const evn_rig *, double interval_s);

/* Season by season: a day of each (evn_day_strip; its points do not matter). Its columns are those of all seasons;
 * where a season has no such column the field is empty. False: `error_number` tells why. */
bool evn_day_trace_csv(evn_day_trace *, const evn_day_strip *, FILE *, int *error_number);

#endif
