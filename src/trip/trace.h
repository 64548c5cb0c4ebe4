/* A row of a trace; its columns are those that evener.h tells of. */
#ifndef EVENER_TRIP_TRACE_H
#define EVENER_TRIP_TRACE_H
#include "trip/trip.h"

enum { EVN_TRACE_MOST = 224 };

/* One row, evn_trace_column_count values. */
void evn_trace_row(const evn_trip *, double t, const double *y, double *row);

#endif
