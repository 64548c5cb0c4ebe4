/*
 * What a full pack refused over a run, summed step by step beside the states: a state more would change every other
 * run's steps, and nothing reads it. It costs only while the pack binds pushing.
 */
#ifndef EVENER_TRIP_REFUSAL_H
#define EVENER_TRIP_REFUSAL_H
#include "trip/trip.h"

void evn_refusal_note(evn_trip *, double from_s, double to_s); /* after a step of the integrator */

/* At the end of the run, where it was more than a small share of the braking work; the hottest friction brake's
 * temperature, NAN where none is modelled. */
void evn_refusal_say(const evn_trip *, double hottest_brake_degc);

#endif
