/* What a trace holds: the list of its columns. */
#ifndef EVENER_TRIP_TRACE_H
#define EVENER_TRIP_TRACE_H
#include "trip/trip.h"

const evn_quantity *evn_trace_quantity(size_t index); /* NULL beyond the last */

#endif
