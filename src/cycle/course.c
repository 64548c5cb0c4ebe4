/* Makes a course of a cycle, frees it, and answers what the trace allows at a time. */
#include "cycle/endure.h"
#include "cycle/plan.h"
#include "cycle/road.h"
#include <math.h>
#include <stdlib.h>

static bool keep_trace(evn_course *course, const evn_speed_view *view, evn_report *report)
{
    size_t count = view->axis.count;
    course->trace_time_s = calloc(count, sizeof *course->trace_time_s);
    course->trace_speed_m_s = calloc(count, sizeof *course->trace_speed_m_s);
    if (!course->trace_time_s || !course->trace_speed_m_s) {
        evn_say(report, EVN_FAULT_OUT_OF_MEMORY, evn_nowhere, evn_nowhere, "no memory for the trace of the course");
        return false;
    }
    for (size_t i = 0; i < count; i++) {
        course->trace_time_s[i] = evn_trace_time_s(view, i);
        course->trace_speed_m_s[i] = evn_trace_speed_m_s(view, i);
    }
    course->trace_count = count;
    return true;
}

static bool plan(evn_course *course, const evn_cycle_file *cycle, const evn_course_ask *ask, evn_report *report)
{
    evn_speed_view view = evn_speed_view_of(cycle->speed);
    switch (view.form) {
    case EVN_FORM_TRACE:
        if (ask->reversed) {
            evn_say(report, EVN_FAULT_DISAGREES, evn_nowhere, evn_nowhere,
                    "a trace over time has no way back: its speeds belong to its clock; expected limits over place");
            return false;
        }
        return evn_plan_trace(course, &view, report) && keep_trace(course, &view, report);
    case EVN_FORM_LIMITS:
        return evn_plan_limits(course, cycle, &view, ask, report);
    case EVN_FORM_UNCLEAR:
        break;
    }
    evn_say(report, EVN_FAULT_DISAGREES, evn_nowhere, evn_nowhere,
            "a cycle without a clear speed; expected a trace over time, or limits over place");
    return false;
}

static bool check_top_speed(double top_speed_m_s, evn_report *report)
{
    if (top_speed_m_s > EVN_REST_BELOW_M_S)
        return true;
    evn_say(report, EVN_FAULT_OUT_OF_RANGE, evn_nowhere, evn_nowhere,
            "a top speed of %g m/s; expected more than %g m/s", top_speed_m_s, EVN_REST_BELOW_M_S);
    return false;
}

evn_course *evn_course_prepare(const evn_cycle_file *cycle, const evn_course_ask *ask, evn_report *report)
{
    evn_course *course = calloc(1, sizeof *course);
    if (!course) {
        evn_say(report, EVN_FAULT_OUT_OF_MEMORY, evn_nowhere, evn_nowhere, "no memory for the course");
        return NULL;
    }
    bool made = check_top_speed(ask->top_speed_m_s, report) && plan(course, cycle, ask, report) &&
                evn_plan_cut(course, ask->top_speed_m_s, report) && evn_road_build(course, cycle, ask, report) &&
                evn_course_endure(course, ask, report);
    if (!made) {
        evn_course_free(course);
        return NULL;
    }
    return course;
}

void evn_course_free(evn_course *course)
{
    if (!course)
        return;
    free(course->plan);
    free(course->road);
    free(course->trace_time_s);
    free(course->trace_speed_m_s);
    free(course);
}

/* ------------------------------------------------------------------------------------------------ band */

/* How many points of the trace lie at or before this time. */
static size_t points_until(const evn_course *course, double clock_s)
{
    size_t low = 0, high = course->trace_count;
    while (low < high) {
        size_t middle = low + (high - low) / 2;
        if (course->trace_time_s[middle] <= clock_s)
            low = middle + 1;
        else
            high = middle;
    }
    return low;
}

/* Speed of the trace, given how many of its points lie at or before this time. */
static double trace_speed(const evn_course *course, size_t passed, double clock_s)
{
    const double *time = course->trace_time_s, *speed = course->trace_speed_m_s;
    if (passed == 0)
        return speed[0];
    if (passed == course->trace_count)
        return speed[passed - 1];
    double share = (clock_s - time[passed - 1]) / (time[passed] - time[passed - 1]);
    return speed[passed - 1] + (speed[passed] - speed[passed - 1]) * share;
}

void evn_course_band(const evn_course *course, double clock_s, double *lowest_m_s, double *highest_m_s)
{
    if (course->trace_count == 0) {
        *lowest_m_s = *highest_m_s = (double)NAN;
        return;
    }
    size_t from = points_until(course, clock_s - 1.0), until = points_until(course, clock_s + 1.0);
    double begin = trace_speed(course, from, clock_s - 1.0), end = trace_speed(course, until, clock_s + 1.0);
    double low = fmin(begin, end), high = fmax(begin, end);
    for (size_t i = from; i < until; i++) {
        low = fmin(low, course->trace_speed_m_s[i]);
        high = fmax(high, course->trace_speed_m_s[i]);
    }
    *lowest_m_s = low;
    *highest_m_s = high;
}
