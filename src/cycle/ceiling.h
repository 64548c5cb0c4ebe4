/*
 * A ceiling over a plan: a squared speed over place, straight between its points, below which a course's plan is cut.
 * Where speed changes at a constant acceleration, v^2 over place is a straight line: such a ceiling is exact there.
 */
#ifndef EVENER_CYCLE_CEILING_H
#define EVENER_CYCLE_CEILING_H
#include "cycle/course.h"

/* Points nearer than this are one. */
#define EVN_CEILING_APART_M 1e-3
/* A ceiling that is below the plan by less than this share (and m2/s2) leaves the plan as it is. */
#define EVN_CEILING_ON_PLAN 2e-5

typedef struct evn_ceiling_point {
    double place_m, v2;
} evn_ceiling_point;

typedef struct evn_ceiling {
    evn_ceiling_point *at; /* places rise; before the first and behind the last point their values hold */
    size_t count, room;
} evn_ceiling;

/* Adds a point behind the last; one that is too near to it lowers it instead, and takes its place if it alone is at
 * rest. False when memory is out. */
bool evn_ceiling_add(evn_ceiling *, double place_m, double v2);
void evn_ceiling_clear(evn_ceiling *); /* no points, no memory */

/* INFINITY without points. */
double evn_ceiling_v2(const evn_ceiling *, double place_m);

/* The lower of both at each place; the corners where they cross are points too. False when memory is out. */
bool evn_ceiling_lower(evn_ceiling *, const evn_ceiling *by);

/* Leaves out points near which the line without them passes within `share` of their v2; points at rest stay. */
void evn_ceiling_thin(evn_ceiling *, double share);

/*
 * The plan of a course below a ceiling, with its rests and waits as they were and its clock anew; what is asked is then
 * this plan, and a trace is no longer judged. False (said) when memory is out.
 */
bool evn_course_lower(evn_course *, const evn_ceiling *, evn_report *);

/* The same, but what is asked, its clock and the trace stay: the truck is late by what the ceiling takes. */
bool evn_course_endure_below(evn_course *, const evn_ceiling *, evn_report *);

#endif
