/* A pack that ends the run: empty, or too weak for what is drawn. Each says so, and is called by rules only. */
#ifndef EVENER_TRIP_PACK_ENDS_H
#define EVENER_TRIP_PACK_ENDS_H
#include "pull/instant.h"
#include "trip/trip.h"

void evn_act_pack_empty(evn_trip *, const evn_instant *, double place_m);
void evn_act_pack_too_weak(evn_trip *, const evn_instant *, double place_m);  /* for what always runs */
void evn_act_pack_overdrawn(evn_trip *, const evn_instant *, double place_m); /* at the brink of what any pack gives */

#endif
