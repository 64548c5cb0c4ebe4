/* What made the friction brakes brake: their energy, booked between events to the cause that held then. */
#ifndef EVENER_TRIP_FRICTION_CAUSES_H
#define EVENER_TRIP_FRICTION_CAUSES_H
#include "trip/trip.h"

void evn_friction_causes_book(evn_trip *); /* at an event: what braked so far */
void evn_friction_causes_next(evn_trip *); /* after it: by what from here on */

/* Those that there are, most energy first; returns how many. Room for EVN_RUBS_COUNT. */
size_t evn_friction_causes_of(const evn_trip *, evn_friction_cause out[]);

#endif
