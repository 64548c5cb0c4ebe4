/* The plan of a course: stretches straight in v^2 over place. Each call fills plan, length, clock and final wait. */
#ifndef EVENER_CYCLE_PLAN_H
#define EVENER_CYCLE_PLAN_H
#include "cycle/course.h"
#include "cycle/resolve.h"

/* False when the report says why. */
bool evn_plan_trace(evn_course *, const evn_speed_view *, evn_report *);
bool evn_plan_limits(evn_course *, const evn_cycle_file *, const evn_speed_view *, const evn_course_ask *,
                     evn_report *);

/* Cuts the plan at a truck's top speed. The cycle's clock stays what it was: that of the plan as it is asked. */
bool evn_plan_cut(evn_course *, double top_speed_m_s, evn_report *);

/* Time over a stretch of constant acceleration; not for one that rests at both ends. */
double evn_plan_duration_s(double way_m, double v2_begin, double v2_end);

/* Sets the acceleration from the ends, to the bit, and what is asked to what is planned. */
void evn_plan_close(evn_plan_stretch *);

/* Space for so many stretches; says it when there is none. */
evn_plan_stretch *evn_plan_space(size_t count, evn_report *);

#endif
