/* What a run leaves to the next one of the same truck, whose payload may be another: how it begins. */
#ifndef EVENER_TRIP_CARRIED_H
#define EVENER_TRIP_CARRIED_H
#include "trip/trip.h"

typedef struct evn_carried_unit {
    evn_setting now;
    double dwell_left_s, fewer_left_s; /* of the dwells behind its last change */
    evn_hot hot;                       /* what losses without torque have led to, and what was said of it */
} evn_carried_unit;

struct evn_carried {
    bool there; /* false: the run begins as its rig says */
    evn_states states;
    double y[EVN_Y_MOST];
    evn_carried_unit unit[EVN_UNITS_MAX];
    double owed_s[EVN_CONSUMERS_MAX]; /* that consumers still make up for brake applications; 0: they do not */
};

/* Once a run's states are at their start. */
void evn_carried_take(evn_trip *, const evn_carried *);
/* At its end. */
void evn_carried_leave(const evn_trip *, evn_carried *);

#endif
