/*
 * Motors that rest: in a stop that lasts their pulses go off, so that they and their inverters lose nothing, and on
 * again when the truck moves off, which takes milliseconds. The exact driver knows how long a stop lasts, as the cycle
 * says, and lets them rest from its beginning where that is longer than `rest_after_s`; the human one waits for so
 * long.
 */
#ifndef EVENER_TRIP_RESTING_H
#define EVENER_TRIP_RESTING_H
#include "trip/trip.h"

void evn_resting_stand(evn_trip *, double wait_s); /* a stop begins */
void evn_resting_stand_unit(evn_trip *, size_t unit, double wait_s);
void evn_resting_not_yet(evn_trip *, size_t unit); /* its motors have work first */
bool evn_resting_waits(const evn_trip *);          /* a unit will rest before the truck moves off */
double evn_resting_due_s(const evn_trip *);
void evn_act_rest(evn_trip *);
void evn_resting_ends(evn_trip *, size_t unit); /* the truck moves off, or the run ends */

#endif
