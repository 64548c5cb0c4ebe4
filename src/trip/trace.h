/* What a trace holds: the list of its columns. */
#ifndef EVENER_TRIP_TRACE_H
#define EVENER_TRIP_TRACE_H
#include "trip/trip.h"

enum { EVN_TRACE_MOST = 128 };

size_t evn_trace_count(const evn_rig *);
/* Puts the names of the columns into the rig. False: memory ran out. */
bool evn_trace_prepare(evn_rig *);
/* One row, evn_trace_count values. */
void evn_trace_row(const evn_trip *, double t, const double *y, double *row);

#endif
