/*
 * Load collectives of a run, counted step by step beside the states: states more would change every run's steps, and
 * nothing reads them; and rows of a trace, which others count (chart/census.c), are seconds apart and bear no torque
 * between two stages. A run that nobody counts pays nothing.
 */
#ifndef EVENER_TRIP_COLLECTIVE_H
#define EVENER_TRIP_COLLECTIVE_H
#include "evener/collectives.h"
#include "truck/rig.h"

struct evn_trip;

enum { EVN_TORQUE_CLASSES = 128, EVN_SPEED_CLASSES = 25 };

bool evn_collective_is_of(const evn_collective *, const evn_rig *);
void evn_collective_begin(evn_collective *);
void evn_collective_note(evn_collective *, const struct evn_trip *, double from_s, double to_s); /* after a step */

/* A stretch of time in which torque and speed of a shaft go in straight lines from one to the other. */
typedef struct evn_collective_stretch {
    double from_nm, to_nm, from_rpm, to_rpm, duration_s, revolutions;
} evn_collective_stretch;
void evn_collective_add(evn_collective *, size_t shaft, size_t gear, const evn_collective_stretch *);

/* How far a torque may be off a straight line, in classes; so that tests see what finer divisions change. */
void evn_collective_divide_to(evn_collective *, double classes);

#endif
