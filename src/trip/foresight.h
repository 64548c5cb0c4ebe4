/*
 * Changes of setting that the exact driver foresees. He knows the target speed and the road ahead: a better setting is
 * taken as soon as it appears if what it will save, until yet another one is better, exceeds what it costs to go there
 * and on. What is seen not
 * to pay is left; what is not foreseen waits until its price was forgone, as with the human driver (rules.c).
 */
#ifndef EVENER_TRIP_FORESIGHT_H
#define EVENER_TRIP_FORESIGHT_H
#include "trip/trip.h"

typedef enum evn_foreseen { EVN_UNFORESEEN, EVN_PAYS, EVN_PAYS_NOT } evn_foreseen;
/* UNFORESEEN: the way ahead is not known, or not as far as where it would be decided. */
evn_foreseen evn_foresee(const evn_trip *, size_t unit, evn_setting);

#endif
