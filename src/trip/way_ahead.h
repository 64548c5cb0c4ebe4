/*
 * The way ahead of an exact driver, as it is known now: on the plan from here to the next stop, or behind it, at the
 * acceleration that the driver asks for and the truck has, until it is back on the plan.
 */
#ifndef EVENER_TRIP_WAY_AHEAD_H
#define EVENER_TRIP_WAY_AHEAD_H
#include "trip/trip.h"

typedef struct evn_ahead {
    const evn_trip *trip;
    size_t plan_at, road_at;
    double place_m, speed_m_s;
    bool behind, stopped; /* stopped: at the next stop, at the end, or where the truck comes to rest unasked */
} evn_ahead;
evn_ahead evn_ahead_of(const evn_trip *);

/* On the plan: until it bends; to there; on for a time, of which what is left at a stop is returned. */
double evn_ahead_left_s(const evn_ahead *);
void evn_ahead_to_bend(evn_ahead *);
double evn_ahead_go(evn_ahead *, double step_s);
/* Until the plan or the road bends; to there. True: the plan does. */
double evn_ahead_kink_s(const evn_ahead *);
bool evn_ahead_to_kink(evn_ahead *);

/* Behind the plan: what is asked for over the next step, and the step with what the truck has of it. */
double evn_ahead_asks(const evn_ahead *, double step_s);
void evn_ahead_go_behind(evn_ahead *, double step_s, double accel_m_s2);

/* The truck there, with settings, charge and temperatures of now: as far as costs of settings ask (pull/prices.h). */
void evn_ahead_outline(const evn_given *now, const evn_ahead *, double asked_m_s2, evn_instant *);

#endif
