/*
 * Endurance braking at the fastest speed that motors and pack can hold: on a descent, once friction brakes are used,
 * the speed is held (held_speed.h) at which motors, tyres and pack, as they stand now, hold the truck by themselves.
 */
#ifndef EVENER_TRIP_ENDURE_H
#define EVENER_TRIP_ENDURE_H
#include "trip/trip.h"

bool evn_endures(const evn_trip *);                  /* asked for, and moving */
double evn_endure_descent_tangent(const evn_trip *); /* a road that falls by this or more is a descent */
/* A descent is over where the road falls by less than this share of it: short gentler parts belong to the descent. */
#define EVN_DESCENT_OVER_SHARE 0.5

/* When the speed is to be looked at: friction brakes begin or end, another stretch of road, and from time to time. */
double evn_endure_due_s(const evn_trip *);

/* ---- acts */
void evn_act_descent_begins(evn_trip *);
void evn_act_descent_ends(evn_trip *);
void evn_act_endure(evn_trip *);

/* At the end of the run: where no speed could be held. */
void evn_endure_say(const evn_trip *);

#endif
