/*
 * Changes of setting that the exact driver plans. He knows the target speed and the road ahead: while his motion is
 * prescribed, gears, motors at work, disconnects and branches of all units are those of the sequence that costs least
 * over the way ahead, losses and prices of changes together. What does not pay is left, and what pays does not wait.
 * Where the motion is not prescribed a better setting waits until its price was forgone, as with the human driver
 * (rules.c).
 */
#ifndef EVENER_TRIP_FORESIGHT_H
#define EVENER_TRIP_FORESIGHT_H
#include "trip/trip.h"

typedef struct evn_foreseen {
    bool changes[EVN_UNITS_MAX]; /* of each unit: now, and to which setting */
    evn_setting to[EVN_UNITS_MAX];
    double look_s; /* when to look again, where nothing changes now */
} evn_foreseen;
evn_foreseen evn_foresee(const evn_trip *);

/* Whether he does now. Trucks with very many joint settings wait as a human driver does. */
bool evn_foresees(const evn_trip *);

#endif
