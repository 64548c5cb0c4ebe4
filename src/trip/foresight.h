/*
 * Changes of setting that the exact driver plans. He knows the target speed and the road ahead: gears, motors at work,
 * disconnects and branches of all units are those of the sequence that costs least over the way ahead, losses and
 * prices of changes together. What does not pay is left, and what pays does not wait. Behind his plan he goes by what
 * the best setting gives there.
 */
#ifndef EVENER_TRIP_FORESIGHT_H
#define EVENER_TRIP_FORESIGHT_H
#include "trip/trip.h"

typedef struct evn_foreseen {
    bool changes; /* all units together, at a time, soon, to these settings: */
    double at_s;
    evn_setting to[EVN_UNITS_MAX];
    double next_s; /* when to look again, after it or without */
} evn_foreseen;
evn_foreseen evn_foresee(const evn_trip *);

/* Room for what is planned, too large for a thread's stack: one for a run. NULL: memory ran out. */
evn_foresight *evn_foresight_new(void);
void evn_foresight_free(evn_foresight *);

/* Whether he does now. Trucks with very many joint settings, and runs without room for it, wait as a human driver does.
 */
bool evn_foresees(const evn_trip *);

#endif
