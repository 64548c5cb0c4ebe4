/*
 * Limits that the truck's file states and a run passes all the same: of windings, of the motors' speed, of the pack's
 * power and voltage, of friction brakes. The run goes on; what passed which limit, where and by how much is said when
 * it ends.
 */
#ifndef EVENER_TRIP_PASSED_H
#define EVENER_TRIP_PASSED_H
#include "pull/instant.h"
#include "trip/trip.h"

/* Keeps what limits are asked of, where watches were last looked at: after a quiet step, its end. */
void evn_passed_see(evn_trip *, double time_s, const evn_instant *);

void evn_passed_note(evn_trip *, double time_s, const double *y); /* after each step of the integrator */
void evn_passed_say(const evn_trip *);                            /* at the end of the run, whatever came of it */

#endif
