/*
 * A human driver off his plan: catching up with it, and the places ahead where he has to meet it, because it stops
 * there or has slowed down and does so no more. Who looked past those would pass over the plan's dips.
 */
#ifndef EVENER_TRIP_CATCH_UP_H
#define EVENER_TRIP_CATCH_UP_H
#include "trip/trip.h"

/* Held back on the last metres to such a place: what held him is over. */
void evn_catch_up_unheld(evn_trip *);

/* ---- acts */
void evn_act_catch_up(evn_trip *);  /* following -> capped; any driver */
void evn_act_caught_up(evn_trip *); /* preview -> following */
void evn_act_stop_ahead(evn_trip *);
void evn_act_plan_end(evn_trip *); /* not prescribed: the place aimed at passes the end of its stretch; any driver */
void evn_act_begin_holding(evn_trip *); /* the law asks for more than what holds the speed; any driver */
void evn_act_met(evn_trip *);           /* at such a place, not a stop: on the plan from here */

#endif
