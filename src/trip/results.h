/* From the end of a trip to the list of results. */
#ifndef EVENER_TRIP_RESULTS_H
#define EVENER_TRIP_RESULTS_H
#include "trip/drive.h"
#include "trip/trip.h"

evn_results *evn_results_of(const evn_trip *); /* NULL: memory ran out */

#endif
