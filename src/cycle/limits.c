/*
 * The plan over speed limits: the highest v^2(s) that stays below every limit, rests at the stops and at both ends, and
 * rises and falls no steeper than comfort allows. Limits are steps, so the answer is made of straight lines whose
 * corners have closed forms; nothing is sampled.
 */
#include "cycle/plan.h"
#include <math.h>
#include <stdlib.h>

/* Corners nearer than this are one. */
#define ONE_CORNER_M 1e-8
/* A limit that begins this near to a stop begins there. */
#define AT_THE_STOP_M EVN_APART_LEAST

typedef struct node { /* where a limit begins, a stop stands, or the course begins or ends */
    double place_m, wait_s;
    double cap_v2; /* of the limit from here on */
    double v2;     /* the plan's, at this place */
    evn_takeoff_ask takeoff;
    bool rest;
} node;

typedef struct nodes {
    node *at;
    size_t count;
} nodes;

/* ------------------------------------------------------------------------------------------------ nodes */

static void add_node(nodes *to, node next)
{
    node *last = to->count > 0 ? &to->at[to->count - 1] : NULL;
    if (!last || !(last->rest || next.rest) || next.place_m - last->place_m >= AT_THE_STOP_M) {
        to->at[to->count++] = next;
        return;
    }
    if (!last->rest)
        last->place_m = next.place_m;
    last->rest = true;
    last->wait_s += next.wait_s;
    if (next.takeoff.power_w > 0)
        last->takeoff = next.takeoff;
    last->cap_v2 = next.cap_v2;
}

/* Limits and stops as they come on the way, out or back. */
typedef struct way {
    const evn_speed_view *view;
    const evn_stops_file *stops;
    double length_m;
    bool reversed;
    size_t limits, stop_count; /* on the course */
} way;

static size_t count_until(const double *place_m, size_t count, double end_m, bool with_end)
{
    size_t k = 0;
    while (k < count && (place_m[k] < end_m || (with_end && place_m[k] == end_m)))
        k++;
    return k;
}

static evn_takeoff_ask takeoff_of(const evn_stops_file *stops, size_t i)
{
    bool asks = i < stops->takeoff_kw.count;
    return asks ? (evn_takeoff_ask){stops->takeoff_kw.at[i] * 1e3, stops->takeoff_s.at[i]} : (evn_takeoff_ask){0};
}

static way way_of(const evn_cycle_file *cycle, const evn_speed_view *view, double length_m, bool reversed)
{
    way w = {view, cycle->stops, length_m, reversed, 0, 0};
    w.limits = count_until(view->axis.at, view->axis.count, length_m, false);
    if (cycle->stops)
        w.stop_count = count_until(cycle->stops->place_m.at, cycle->stops->place_m.count, length_m, true);
    return w;
}

/* On the way back the last comes first. */
static size_t turned(const way *w, size_t i, size_t count) { return w->reversed ? count - 1 - i : i; }

static double stop_place_m(const way *w, size_t i)
{
    if (i >= w->stop_count)
        return (double)INFINITY;
    double place_m = w->stops->place_m.at[turned(w, i, w->stop_count)];
    return w->reversed ? w->length_m - place_m : place_m;
}

static double stop_wait_s(const way *w, size_t i) { return w->stops->wait_s.at[turned(w, i, w->stop_count)]; }

static evn_takeoff_ask stop_takeoff(const way *w, size_t i)
{
    return takeoff_of(w->stops, turned(w, i, w->stop_count));
}

/* A limit holds from its place to the next one's: on the way back it begins where it ends. */
static double limit_place_m(const way *w, size_t i)
{
    if (i >= w->limits)
        return (double)INFINITY;
    size_t k = turned(w, i, w->limits);
    if (!w->reversed)
        return w->view->axis.at[k];
    return k + 1 < w->limits ? w->length_m - w->view->axis.at[k + 1] : 0.0;
}

static double limit_v2(const way *w, size_t i)
{
    double limit_m_s = evn_limit_m_s(w->view, turned(w, i, w->limits));
    return limit_m_s * limit_m_s;
}

/* Limits and stops in the order of the road, from rest at 0 to rest at the length. */
static void gather(nodes *to, const way *w)
{
    double cap_v2 = limit_v2(w, 0), final_wait_s = 0.0;
    evn_takeoff_ask final_takeoff = {0};
    size_t limit = 1, stop = 0;
    add_node(to, (node){.place_m = 0.0, .cap_v2 = cap_v2, .rest = true});
    for (;;) {
        double limit_m = limit_place_m(w, limit), stop_m = stop_place_m(w, stop), length_m = w->length_m;
        if (fmin(limit_m, stop_m) >= length_m) {
            final_wait_s = stop_m == length_m ? stop_wait_s(w, stop) : 0.0;
            if (stop_m == length_m)
                final_takeoff = stop_takeoff(w, stop);
            break;
        }
        if (limit_m <= stop_m) {
            cap_v2 = limit_v2(w, limit++);
            add_node(to, (node){.place_m = limit_m, .cap_v2 = cap_v2});
        } else {
            add_node(to, (node){stop_m, stop_wait_s(w, stop), cap_v2, 0.0, stop_takeoff(w, stop), true});
            stop++;
        }
    }
    double length_m = w->length_m;
    add_node(to, (node){length_m, final_wait_s, cap_v2, 0.0, final_takeoff, true});
    to->at[to->count - 1].place_m = length_m;
}

/* Speed at the nodes: the limits on both sides, then what can be reached from before, then what can be braked down to.
 */
static void settle(nodes *of, const evn_course_ask *ask)
{
    node *at = of->at;
    for (size_t i = 0; i < of->count; i++)
        at[i].v2 = at[i].rest ? 0.0 : fmin(at[i - 1].cap_v2, at[i].cap_v2);
    for (size_t i = 1; i < of->count; i++) {
        double reached = at[i - 1].v2 + 2.0 * ask->comfort_acceleration_m_s2 * (at[i].place_m - at[i - 1].place_m);
        at[i].v2 = fmin(at[i].v2, reached);
    }
    for (size_t i = of->count - 1; i-- > 0;) {
        double braked = at[i + 1].v2 + 2.0 * ask->comfort_braking_m_s2 * (at[i + 1].place_m - at[i].place_m);
        at[i].v2 = fmin(at[i].v2, braked);
    }
}

/* ------------------------------------------------------------------------------------------------ drawing */

typedef enum slope { RISE, HOLD, FALL } slope;

typedef struct pen {
    evn_course *course;
    double at_m, v2;
    slope last;
    double wait_s; /* to be waited before the next stretch */
    evn_takeoff_ask takeoff;
} pen;

static evn_plan_stretch *last_stretch(const pen *with)
{
    return with->course->plan_count == 0 ? NULL : &with->course->plan[with->course->plan_count - 1];
}

/* A line too short to be one: the corners at its ends are joined. A level stretch stays level, others bend. */
static void join_corners(pen *with, double v2)
{
    evn_plan_stretch *last = last_stretch(with);
    if (last && with->v2 > 0.0 && with->last != HOLD)
        last->v2_end = with->v2 = v2;
}

static void draw(pen *with, double to_m, double v2, slope kind)
{
    if (to_m - with->at_m < ONE_CORNER_M) {
        join_corners(with, v2);
        return;
    }
    evn_plan_stretch *last = last_stretch(with);
    bool on = last && with->last == kind && with->v2 > 0.0 && (kind != HOLD || last->v2_begin == v2);
    if (!on) {
        last = &with->course->plan[with->course->plan_count++];
        *last = (evn_plan_stretch){
            .begin_m = with->at_m, .v2_begin = with->v2, .wait_s = with->wait_s, .takeoff = with->takeoff};
        with->wait_s = 0.0;
        with->takeoff = (evn_takeoff_ask){0};
    }
    last->end_m = with->at_m = to_m;
    last->v2_end = with->v2 = v2;
    with->last = kind;
}

/* Between two nodes: up from the first, level at the limit, down to the second; or up and down to where both meet. */
static void draw_between(pen *with, const node *from, const node *to, const evn_course_ask *ask)
{
    double up = 2.0 * ask->comfort_acceleration_m_s2, down = 2.0 * ask->comfort_braking_m_s2;
    double way_m = to->place_m - from->place_m;
    double rise_m = fmax(0.0, (from->cap_v2 - from->v2) / up), fall_m = fmax(0.0, (from->cap_v2 - to->v2) / down);
    if (rise_m + fall_m <= way_m) {
        draw(with, from->place_m + rise_m, from->cap_v2, RISE);
        draw(with, to->place_m - fall_m, from->cap_v2, HOLD);
    } else {
        double meet_m = fmin(fmax((to->v2 - from->v2 + down * way_m) / (up + down), 0.0), way_m);
        draw(with, meet_m < way_m ? from->place_m + meet_m : to->place_m, from->v2 + up * meet_m, RISE);
    }
    draw(with, to->place_m, to->v2, FALL);
    with->wait_s = to->rest ? to->wait_s : 0.0;
    with->takeoff = to->takeoff;
}

static void draw_all(evn_course *course, const nodes *of, const evn_course_ask *ask)
{
    pen with = {.course = course, .wait_s = of->at[0].wait_s, .takeoff = of->at[0].takeoff};
    for (size_t i = 1; i < of->count; i++)
        draw_between(&with, &of->at[i - 1], &of->at[i], ask);
    double clock_s = 0.0;
    for (size_t i = 0; i < course->plan_count; i++) {
        evn_plan_stretch *stretch = &course->plan[i];
        evn_plan_close(stretch);
        clock_s += stretch->wait_s;
        stretch->clock_s = clock_s;
        clock_s += evn_plan_duration_s(stretch->end_m - stretch->begin_m, stretch->v2_begin, stretch->v2_end);
    }
    course->final_wait_s = with.wait_s;
    course->final_takeoff = with.takeoff;
    course->clock_end_s = clock_s + with.wait_s;
}

/* ------------------------------------------------------------------------------------------------ entry */

static bool check_ask(const evn_course_ask *ask, evn_report *report)
{
    double up = ask->comfort_acceleration_m_s2, down = ask->comfort_braking_m_s2;
    if (!(up > 0.0 && isfinite(up) && down > 0.0)) {
        evn_say(report, EVN_FAULT_OUT_OF_RANGE, evn_nowhere, evn_nowhere,
                "comfortable acceleration %g m/s2, braking %g m/s2; expected both above 0", up, down);
        return false;
    }
    if (down > EVN_BRAKING_MOST_M_S2) {
        evn_say(report, EVN_FAULT_BRAKING_TOO_HARD, evn_nowhere, evn_nowhere,
                "comfortable braking with %g m/s2; expected at most %g m/s2", down, EVN_BRAKING_MOST_M_S2);
        return false;
    }
    return true;
}

bool evn_plan_limits(evn_course *course, const evn_cycle_file *cycle, const evn_speed_view *view,
                     const evn_course_ask *ask, evn_report *report)
{
    course->length_m = evn_cycle_length_m(cycle);
    if (!(course->length_m >= EVN_STOPS_APART_LEAST_M)) {
        evn_say(report, EVN_FAULT_MISSING_KEY, evn_nowhere, evn_nowhere,
                "nothing says how long the course is; expected length_m, or a last place of speed or road");
        return false;
    }
    if (!check_ask(ask, report))
        return false;
    size_t most = view->axis.count + (cycle->stops ? cycle->stops->place_m.count : 0) + 2;
    nodes of = {calloc(most, sizeof *of.at), 0};
    course->plan = evn_plan_space(3 * most, report);
    if (!of.at && course->plan)
        evn_say(report, EVN_FAULT_OUT_OF_MEMORY, evn_nowhere, evn_nowhere, "no memory for the limits of the course");
    bool made = of.at && course->plan;
    if (made) {
        way on = way_of(cycle, view, course->length_m, ask->reversed);
        gather(&of, &on);
        settle(&of, ask);
        draw_all(course, &of, ask);
    }
    free(of.at);
    return made;
}
