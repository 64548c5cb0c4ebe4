/* Jumps of the discrete state, but for changes of setting (changes.h) and for catching up (catch_up.h). Each is called
 * by rules only. */
#ifndef EVENER_TRIP_ACTS_H
#define EVENER_TRIP_ACTS_H
#include "trip/trip.h"

void evn_act_begin(evn_trip *); /* the first state, at the start of the course */
void evn_act_wait_over(evn_trip *);
void evn_act_plan_end_prescribed(evn_trip *);
void evn_act_road_end(evn_trip *);
void evn_act_rejoin(evn_trip *);
void evn_act_come_to_rest(evn_trip *);
void evn_act_pull_limit(evn_trip *, evn_limit);
void evn_act_push_limit(evn_trip *, evn_limit);
void evn_act_leave_pull(evn_trip *);
void evn_act_leave_push(evn_trip *);
void evn_act_end(evn_trip *, int status);

#endif
