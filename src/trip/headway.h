/*
 * Progress per computing effort. Two conditions that answer each other in a creeping time, or a rate that is not smooth
 * where it should be, would keep the machine busy without end: a run that needs too much for too little way ends, and
 * says where and what happened last.
 */
#ifndef EVENER_TRIP_HEADWAY_H
#define EVENER_TRIP_HEADWAY_H
#include "trip/trip.h"

/* After a step of the integrator, and after an event that one of the rules brought about. False: no headway; the run
 * has to end. */
bool evn_headway_after_step(evn_trip *, double time_s, double place_m);
bool evn_headway_after_event(evn_trip *, size_t rule);

#endif
