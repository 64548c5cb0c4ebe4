/* Motion that is prescribed: on the plan, to a stop; and what is set beside it when the motion changes. */
#ifndef EVENER_TRIP_PRESCRIBE_H
#define EVENER_TRIP_PRESCRIBE_H
#include "trip/trip.h"

static inline const evn_plan_stretch *evn_plan_now(const evn_trip *t) { return &t->course->plan[t->plan_at]; }
static inline bool evn_is_exact(const evn_trip *t) { return t->driving.driver == EVN_DRIVER_EXACT; }

void evn_set_sides(evn_trip *);      /* of the corners that the motors are at: envelope, derating, fade */
void evn_set_road_end(evn_trip *);   /* when the stretch of road ends, prescribed as the motion is */
void evn_step_onto_road(evn_trip *); /* a place within round-off of the end of a stretch is on the next one */

/* On the plan from here to the end of its stretch; onto a stop by the deceleration that the rest of the way needs. */
void evn_follow_plan(evn_trip *);
void evn_find_stop(evn_trip *); /* the next one ahead */
/*
 * The last metres to a place where the plan has to be met, the end of the stretch aimed at: a stop, or the bottom of a
 * dip. By constant acceleration and a known time. (A root on the distance is ill-posed where the speed vanishes.)
 */
void evn_begin_meeting(evn_trip *);
/* What was prescribed becomes free at its present speed and place. */
void evn_set_free(evn_trip *);

#endif
