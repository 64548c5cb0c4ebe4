/*
 * What follows where a drive unit loses so much without torque that it would heat on beyond the end of its derating:
 * its disconnect opens, where another unit can go on alone; else its pulses go off, below the speed from which on its
 * magnets need a weakened field, and at rest; else the speed has to be held down, which is told. Each ends in the
 * middle of the derating range. Only of units whose housing or inverter is modelled.
 */
#ifndef EVENER_TRIP_TOO_HOT_H
#define EVENER_TRIP_TOO_HOT_H
#include "trip/trip.h"

bool evn_too_hot_applies(const evn_trip *);
/* A watch of order one: falls through zero where a consequence is due, or ends. */
double evn_too_hot_left(const evn_trip *, const evn_instant *);
void evn_act_too_hot(evn_trip *, const evn_instant *);

void evn_too_hot_close(evn_trip *); /* at the end: the time with pulses off */

#endif
