/* A duty whose stops that charge are longer, or have another connector. */
#ifndef EVENER_DUTY_CHARGING_STOPS_H
#define EVENER_DUTY_CHARGING_STOPS_H
#include "duty/duty.h"

/*
 * The duty with each stop that charges longer by so much, and its connector of so many kW (NAN: as it is), power over
 * the state of charge in proportion. Stops without a duration, which last until the battery is charged, stay so. Into
 * the arena, beside which the duty must live; NULL when memory is out.
 */
const evn_duty_file *evn_duty_with_stops(const evn_duty_file *, double longer_min, double connector_kw, evn_arena *);

#endif
