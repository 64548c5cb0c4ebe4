/* Descents of a course, and the plan cut at a set speed on them. */
#include "cycle/endure.h"
#include "cycle/ceiling.h"
#include <math.h>

typedef struct descent {
    double begin_m, end_m;
} descent;

/* The part of a stretch that falls by this tangent or more; its end before its begin: none does. */
static descent descent_on(const evn_road_stretch *road, double tangent)
{
    double slope = road->tangent_slope, from = -tangent + EVN_SAME_TANGENT;
    double over_begin = road->tangent_begin - from;
    double over_end = over_begin + slope * (road->end_m - road->begin_m);
    descent all = {road->begin_m, road->end_m};
    if (over_begin > 0 && over_end > 0)
        return (descent){road->end_m, road->begin_m};
    if (over_begin > 0)
        all.begin_m = fmin(road->begin_m - over_begin / slope, road->end_m);
    else if (over_end > 0)
        all.end_m = fmax(road->begin_m - over_begin / slope, road->begin_m);
    return all;
}

/* v^2 over place at the set speed, and comfortably down to it and up from it. */
typedef struct slopes {
    double v2, down, up; /* 2 m/s2 */
    double reached_m;    /* where the last descent ends; below 0: there was none */
} slopes;

/* Between two descents: up from one until the way down to the next begins. */
static bool add_descent(evn_ceiling *to, slopes *s, const descent *d)
{
    bool added = true;
    if (s->reached_m < 0 && d->begin_m > 0) {
        added = evn_ceiling_add(to, 0, s->v2 + s->down * d->begin_m);
    } else if (s->reached_m >= 0 && d->begin_m > s->reached_m) {
        double rise_m = (d->begin_m - s->reached_m) * (s->down / (s->up + s->down));
        added = evn_ceiling_add(to, s->reached_m + rise_m, s->v2 + s->up * rise_m);
    }
    s->reached_m = d->end_m;
    return added && evn_ceiling_add(to, d->begin_m, s->v2) && evn_ceiling_add(to, d->end_m, s->v2);
}

static bool gather(evn_ceiling *to, const evn_course *course, const evn_course_ask *ask)
{
    slopes s = {ask->descent_m_s * ask->descent_m_s, 2 * ask->comfort_braking_m_s2, 2 * ask->comfort_acceleration_m_s2,
                -1};
    bool added = true;
    for (size_t k = 0; added && k < course->road_count; k++) {
        descent d = descent_on(&course->road[k], ask->descent_tangent);
        if (d.begin_m <= d.end_m)
            added = add_descent(to, &s, &d);
    }
    double rest_m = course->length_m - s.reached_m;
    if (added && s.reached_m >= 0 && rest_m > 0)
        added = evn_ceiling_add(to, course->length_m, s.v2 + s.up * rest_m);
    return added;
}

bool evn_course_endure(evn_course *course, const evn_course_ask *ask, evn_report *report)
{
    evn_ceiling below = {0};
    if (!(ask->descent_m_s > 0))
        return true;
    bool made = gather(&below, course, ask);
    if (!made)
        evn_say(report, EVN_FAULT_OUT_OF_MEMORY, evn_nowhere, evn_nowhere, "no memory for the descents of the course");
    else if (below.count > 0)
        made = evn_course_endure_below(course, &below, report);
    evn_ceiling_clear(&below);
    return made;
}
