/* A trace v(t) of straight lines, made a plan over place; and the cut at top speed. */
#include "cycle/plan.h"
#include <math.h>
#include <stdlib.h>

/* Accelerations that differ by less are one. */
#define SAME_ACCELERATION 1e-12
/* A cut this near to the end of a stretch is made at the end. */
#define NEAR_END_M 1e-8

double evn_plan_duration_s(double way_m, double v2_begin, double v2_end)
{
    return 2.0 * way_m / (sqrt(v2_begin) + sqrt(v2_end));
}

void evn_plan_close(evn_plan_stretch *stretch)
{
    stretch->accel_m_s2 = (stretch->v2_end - stretch->v2_begin) / (2.0 * (stretch->end_m - stretch->begin_m));
    stretch->asked_v2_begin = stretch->v2_begin;
    stretch->asked_v2_end = stretch->v2_end;
}

evn_plan_stretch *evn_plan_space(size_t count, evn_report *report)
{
    evn_plan_stretch *space = calloc(count, sizeof *space);
    if (!space)
        evn_say(report, EVN_FAULT_OUT_OF_MEMORY, evn_nowhere, evn_nowhere,
                "no memory for the target speed of the course");
    return space;
}

/* ------------------------------------------------------------------------------------------------ trace */

typedef struct interval { /* between two points of a trace */
    double begin_s, end_s, begin_m_s, end_m_s, way_m;
} interval;

static interval interval_at(const evn_speed_view *view, size_t i)
{
    return (interval){evn_trace_time_s(view, i), evn_trace_time_s(view, i + 1), evn_trace_speed_m_s(view, i),
                      evn_trace_speed_m_s(view, i + 1), evn_trace_step_m(view, i)};
}

static double acceleration(double from_m_s, double to_m_s, double from_s, double to_s)
{
    return (to_m_s - from_m_s) / (to_s - from_s);
}

typedef struct tracer { /* lays the plan, interval by interval */
    evn_course *course;
    double place_m;   /* reached so far */
    double resting_s; /* since when it stands; its own clock */
    double line_m_s;  /* speed at the begin of the last stretch */
    bool standing;
} tracer;

/* True when the interval goes on in the straight line of the last stretch. */
static bool goes_on(const tracer *to, const interval *next)
{
    if (to->course->plan_count == 0 || to->standing || next->begin_m_s == 0.0)
        return false;
    const evn_plan_stretch *last = &to->course->plan[to->course->plan_count - 1];
    double before = acceleration(to->line_m_s, next->begin_m_s, last->clock_s, next->begin_s);
    double now = acceleration(next->begin_m_s, next->end_m_s, next->begin_s, next->end_s);
    return fabs(now - before) <= SAME_ACCELERATION * fmax(fabs(now), fabs(before));
}

static void begin_stretch(tracer *to, const interval *next)
{
    to->course->plan[to->course->plan_count++] = (evn_plan_stretch){
        .begin_m = to->place_m,
        .v2_begin = next->begin_m_s * next->begin_m_s,
        .wait_s = to->standing ? next->begin_s - to->resting_s : 0.0,
        .clock_s = next->begin_s,
    };
    to->line_m_s = next->begin_m_s;
    to->standing = false;
}

static void trace_on(tracer *to, const interval *next)
{
    if (next->begin_m_s == 0.0 && next->end_m_s == 0.0) {
        to->resting_s = to->standing ? to->resting_s : next->begin_s;
        to->standing = true;
        return;
    }
    if (!goes_on(to, next))
        begin_stretch(to, next);
    to->place_m += next->way_m;
    evn_plan_stretch *last = &to->course->plan[to->course->plan_count - 1];
    last->end_m = to->place_m;
    last->v2_end = next->end_m_s * next->end_m_s;
}

static bool brakes_too_hard(const interval *next)
{
    double change = acceleration(next->begin_m_s, next->end_m_s, next->begin_s, next->end_s);
    return -change > EVN_BRAKING_MOST_M_S2 * (1.0 + 1e-12);
}

bool evn_plan_trace(evn_course *course, const evn_speed_view *view, evn_report *report)
{
    size_t intervals = view->axis.count - 1;
    course->plan = evn_plan_space(intervals, report);
    if (!course->plan)
        return false;
    tracer to = {.course = course};
    for (size_t i = 0; i < intervals; i++) {
        interval next = interval_at(view, i);
        if (brakes_too_hard(&next)) {
            evn_say(report, EVN_FAULT_BRAKING_TOO_HARD, evn_nowhere, evn_nowhere,
                    "the cycle brakes harder than %g m/s2 at %.10g s; expected what tyres can give",
                    EVN_BRAKING_MOST_M_S2, next.begin_s);
            return false;
        }
        trace_on(&to, &next);
    }
    for (size_t i = 0; i < course->plan_count; i++)
        evn_plan_close(&course->plan[i]);
    course->length_m = to.place_m;
    course->clock_end_s = evn_trace_time_s(view, intervals);
    course->final_wait_s = to.standing ? course->clock_end_s - to.resting_s : 0.0;
    if (course->plan_count == 0) {
        evn_say(report, EVN_FAULT_DISAGREES, evn_nowhere, evn_nowhere,
                "a trace that stands from beginning to end; expected a distance");
        return false;
    }
    return true;
}

/* ------------------------------------------------------------------------------------------------ top speed */

/* The stretch from one place on it to another, not cut yet; asked speeds are those of the line. */
static evn_plan_stretch part_of(const evn_plan_stretch *whole, double split_m, double split_v2, bool first)
{
    evn_plan_stretch part = *whole;
    if (first) {
        part.end_m = split_m;
        part.asked_v2_end = split_v2;
    } else {
        part.begin_m = split_m;
        part.asked_v2_begin = split_v2;
        part.wait_s = 0.0;
        part.takeoff = (evn_takeoff_ask){0};
        part.clock_s += evn_plan_duration_s(split_m - whole->begin_m, whole->asked_v2_begin, split_v2);
    }
    return part;
}

static void cap(evn_plan_stretch *stretch, double cap_v2)
{
    stretch->v2_begin = fmin(stretch->asked_v2_begin, cap_v2);
    stretch->v2_end = fmin(stretch->asked_v2_end, cap_v2);
    stretch->accel_m_s2 = (stretch->v2_end - stretch->v2_begin) / (2.0 * (stretch->end_m - stretch->begin_m));
}

/* One stretch cut into one or two; returns how many. */
static size_t cut_stretch(const evn_plan_stretch *whole, double cap_v2, evn_plan_stretch *out)
{
    double begin = whole->asked_v2_begin, end = whole->asked_v2_end;
    bool crosses = fmin(begin, end) < cap_v2 && fmax(begin, end) > cap_v2;
    double way_m = whole->end_m - whole->begin_m;
    double split_m = crosses ? whole->begin_m + way_m * ((cap_v2 - begin) / (end - begin)) : whole->begin_m;
    size_t parts = 1;
    out[0] = *whole;
    if (crosses && split_m - whole->begin_m >= NEAR_END_M && whole->end_m - split_m >= NEAR_END_M) {
        out[0] = part_of(whole, split_m, cap_v2, true);
        out[1] = part_of(whole, split_m, cap_v2, false);
        parts = 2;
    }
    for (size_t i = 0; i < parts; i++)
        cap(&out[i], cap_v2);
    return parts;
}

bool evn_plan_cut(evn_course *course, double top_speed_m_s, evn_report *report)
{
    double cap_v2 = top_speed_m_s * top_speed_m_s, most_v2 = 0.0;
    for (size_t i = 0; i < course->plan_count; i++)
        most_v2 = fmax(most_v2, fmax(course->plan[i].v2_begin, course->plan[i].v2_end));
    if (most_v2 <= cap_v2)
        return true;
    evn_plan_stretch *plan = evn_plan_space(2 * course->plan_count, report);
    if (!plan)
        return false;
    size_t count = 0;
    for (size_t i = 0; i < course->plan_count; i++)
        count += cut_stretch(&course->plan[i], cap_v2, plan + count);
    free(course->plan);
    course->plan = plan;
    course->plan_count = count;
    return true;
}
