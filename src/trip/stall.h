/* A truck that cannot move off: what binds it. */
#ifndef EVENER_TRIP_STALL_H
#define EVENER_TRIP_STALL_H
#include "trip/trip.h"

void evn_stall_say(const evn_trip *); /* at rest */

#endif
