/* Endurance braking with a set speed: the plan of a course, on whose descents it is held. */
#ifndef EVENER_CYCLE_ENDURE_H
#define EVENER_CYCLE_ENDURE_H
#include "cycle/course.h"

/* A road within this of a stated tangent has it: a file's per cent and an interpolated place differ by round-off. */
#define EVN_SAME_TANGENT 1e-9

/*
 * Cuts the plan where the road falls by the stated tangent or more, so that it comes down comfortably before that
 * begins, and goes up comfortably behind it. Rests, waits, length and the cycle's clock stay. False (said) when memory
 * is out.
 */
bool evn_course_endure(evn_course *, const evn_course_ask *, evn_report *);

#endif
