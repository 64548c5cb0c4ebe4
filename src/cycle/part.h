/* Parts of a course, from one of its rests to another, and the place where a truck stands. */
#ifndef EVENER_CYCLE_PART_H
#define EVENER_CYCLE_PART_H
#include "cycle/course.h"

/* A place this near to a rest is that rest: it came through a sum. */
#define EVN_AT_THE_REST_M 2e-3

typedef struct evn_course_part {
    double from_m, to_m; /* rests of the course, its ends among them; NAN: its beginning, its end */
    bool begins_at_once; /* the wait at its beginning is no part of it */
} evn_course_part;

/*
 * Leaves of a course what lies between two of its rests, places as they are; the wait at the end is no part of it,
 * unless it is the end of the course. False (said): no rest there, or a trace, whose band is judged as a whole.
 */
bool evn_course_take_part(evn_course *, const evn_course_part *, evn_report *);

/* The whole of it. */
static inline bool evn_is_whole(const evn_course_part *p)
{
    return p->from_m != p->from_m && p->to_m != p->to_m && !p->begins_at_once;
}

/* A course without a way: the truck stands at this place, level. NULL (said) when memory is out. */
evn_course *evn_course_of_stop(double place_m, evn_report *);

#endif
