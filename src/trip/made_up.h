/*
 * Brake applications, and what makes up for them: a compressor for one, which runs at its stated power until the stated
 * energy of each application is made up for. An application begins when friction brakes begin to brake, on the way or
 * to hold the truck at a stop; brakes that were free for less than a second go on with the same one.
 */
#ifndef EVENER_TRIP_MADE_UP_H
#define EVENER_TRIP_MADE_UP_H
#include "trip/trip.h"

void evn_made_up_begin(evn_trip *);       /* the truck's consumers, at the start of a run */
bool evn_made_up_after_event(evn_trip *); /* behind the rules that acted: true where a consumer begins to draw */
void evn_made_up_go_on(evn_trip *, size_t consumer, double left_s); /* as the run before has left it */
double evn_made_up_left_s(const evn_trip *, size_t consumer);       /* 0: it has made up for all */
bool evn_makes_up(const evn_trip *);
double evn_made_up_due_s(const evn_trip *);
void evn_act_made_up(evn_trip *);

#endif
