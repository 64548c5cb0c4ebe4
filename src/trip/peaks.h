/* The hottest that the parts of a truck became in a run, with their limits. */
#ifndef EVENER_TRIP_PEAKS_H
#define EVENER_TRIP_PEAKS_H
#include "trip/drive.h"
#include "trip/trip.h"

/* Into the results. False: memory is out. */
bool evn_peaks_put(evn_results *, const evn_trip *);

#endif
