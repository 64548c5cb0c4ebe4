/* What speed the plan wants at a place, and what acceleration the driver asks for to hold it. */
#ifndef EVENER_TRIP_LAWS_H
#define EVENER_TRIP_LAWS_H
#include "trip/trip.h"

/* Plan's speed squared at a place of a stretch (its straight line goes on beyond its ends, not below 0). */
double evn_plan_v2(const evn_plan_stretch *, double place_m);
/* Speed that the plan asks for at a place, before a truck's top speed cut it; *hint is where to begin to look. */
double evn_plan_speed(const evn_course *, double place_m, size_t *hint);
size_t evn_plan_index(const evn_course *, double place_m, size_t hint);

double evn_prescribed_speed(const evn_prescribed *, double t);
double evn_prescribed_place(const evn_prescribed *, double t);

double evn_law_asks(const evn_trip *, const double *y); /* acceleration, as the law has it now; as others would: */
double evn_following_asks(const evn_trip *, const double *y);
double evn_preview_asks(const evn_trip *, const double *y);
double evn_preview_m(const evn_trip *, const double *y);  /* place that the human driver looks to */
double evn_cap_m_s2(const evn_trip *);                    /* stated acceleration of catching up */
double evn_held_asks(const evn_trip *, double speed_m_s); /* to hold the speed that is held; INFINITY: none is */
double evn_cap_over(const evn_trip *, const evn_plan_stretch *);

#endif
