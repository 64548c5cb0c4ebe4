/*
 * Changes of setting that the exact driver foresees. He knows the target speed and the road ahead: a better setting is
 * taken as soon as it appears if what it will save, until yet another one is better, exceeds what it costs to go there
 * and on. What is not foreseen so waits until its price was forgone, as with the human driver (rules.c).
 */
#ifndef EVENER_TRIP_FORESIGHT_H
#define EVENER_TRIP_FORESIGHT_H
#include "trip/trip.h"

bool evn_foreseen_to_pay(const evn_trip *, size_t unit, evn_setting);

#endif
