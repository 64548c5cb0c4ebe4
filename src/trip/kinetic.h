/* Energy of all that moves and turns. */
#ifndef EVENER_TRIP_KINETIC_H
#define EVENER_TRIP_KINETIC_H
#include "trip/trip.h"

double evn_trip_kinetic_j(const evn_trip *); /* now */

#endif
