/* Place and speed ahead: by the plan, or behind it as far as that can be known. */
#include "trip/way_ahead.h"
#include "trip/held_speed.h"
#include "trip/laws.h"
#include "trip/moment.h"
#include <math.h>

static const double AT_REST_M_S = 0.3; /* so slow, behind the plan: where it goes from there is not known */

evn_ahead evn_ahead_of(const evn_trip *t)
{
    double place_m = evn_trip_place_m(t, t->t, t->y);
    return (evn_ahead){.trip = t,
                       .plan_at = t->plan_at < t->course->plan_count ? t->plan_at : t->course->plan_count - 1,
                       .road_at = t->road_at,
                       .place_m = place_m,
                       .speed_m_s = evn_trip_given(t, t->t, t->y).speed_m_s,
                       .behind = t->law != EVN_PRESCRIBED};
}

static const evn_plan_stretch *plan_of(const evn_ahead *a) { return &a->trip->course->plan[a->plan_at]; }

static void step_onto_road(evn_ahead *a)
{
    const evn_course *c = a->trip->course;
    while (a->road_at + 1 < c->road_count && c->road[a->road_at].end_m <= a->place_m)
        a->road_at++;
}

/* ------------------------------------------------------------------------------------------------ on the plan */

double evn_ahead_left_s(const evn_ahead *a)
{
    const evn_plan_stretch *p = plan_of(a);
    double mean_m_s = 0.5 * (a->speed_m_s + sqrt(p->v2_end));
    return mean_m_s > 0 ? fmax(p->end_m - a->place_m, 0) / mean_m_s : 0;
}

void evn_ahead_to_bend(evn_ahead *a)
{
    const evn_plan_stretch *p = plan_of(a);
    a->place_m = p->end_m;
    a->speed_m_s = sqrt(p->v2_end);
    a->stopped = p->v2_end <= 0 || a->plan_at + 1 == a->trip->course->plan_count;
    a->plan_at += !a->stopped;
    step_onto_road(a);
}

/* Until the stretch of the road ends, at the plan's acceleration. */
static double road_left_s(const evn_ahead *a)
{
    double left_m = fmax(a->trip->course->road[a->road_at].end_m - a->place_m, 0);
    double end_v2 = a->speed_m_s * a->speed_m_s + 2 * plan_of(a)->accel_m_s2 * left_m;
    double mean_m_s = 0.5 * (a->speed_m_s + sqrt(fmax(end_v2, 0)));
    return mean_m_s > 0 ? left_m / mean_m_s : 0;
}

double evn_ahead_kink_s(const evn_ahead *a) { return fmin(evn_ahead_left_s(a), road_left_s(a)); }

bool evn_ahead_to_kink(evn_ahead *a)
{
    if (evn_ahead_left_s(a) <= road_left_s(a)) {
        evn_ahead_to_bend(a);
        return true;
    }
    double end_m = a->trip->course->road[a->road_at].end_m, accel = plan_of(a)->accel_m_s2;
    a->speed_m_s = sqrt(fmax(a->speed_m_s * a->speed_m_s + 2 * accel * (end_m - a->place_m), 0));
    a->place_m = end_m;
    step_onto_road(a);
    return false;
}

double evn_ahead_go(evn_ahead *a, double step_s)
{
    while (!a->stopped && evn_ahead_left_s(a) <= step_s) {
        step_s -= evn_ahead_left_s(a);
        evn_ahead_to_bend(a);
    }
    if (a->stopped)
        return step_s;
    double accel = plan_of(a)->accel_m_s2;
    a->place_m += (a->speed_m_s + 0.5 * accel * step_s) * step_s;
    a->speed_m_s = fmax(a->speed_m_s + accel * step_s, 0);
    step_onto_road(a);
    return 0;
}

/* ------------------------------------------------------------------------------------------------ behind it */

/* Up to the speed that plan and held speed allow at the end of the step. */
double evn_ahead_asks(const evn_ahead *a, double step_s)
{
    const evn_trip *t = a->trip;
    double there_m = a->place_m + a->speed_m_s * step_s;
    const evn_plan_stretch *there = &t->course->plan[evn_plan_index(t->course, there_m, a->plan_at)];
    double most_m_s = fmin(sqrt(evn_plan_v2(there, there_m)), evn_held_speed_m_s(t));
    return fmin(evn_cap_over(t, plan_of(a)), (most_m_s - a->speed_m_s) / step_s);
}

void evn_ahead_go_behind(evn_ahead *a, double step_s, double accel_m_s2)
{
    const evn_course *c = a->trip->course;
    a->place_m += (a->speed_m_s + 0.5 * accel_m_s2 * step_s) * step_s;
    a->speed_m_s += accel_m_s2 * step_s;
    while (!a->stopped && plan_of(a)->end_m <= a->place_m) {
        a->stopped = plan_of(a)->v2_end <= 0 || a->plan_at + 1 == c->plan_count;
        a->plan_at += !a->stopped;
    }
    a->stopped = a->stopped || a->speed_m_s < AT_REST_M_S;
    step_onto_road(a);
    double plan_v2 = evn_plan_v2(plan_of(a), a->place_m);
    if (a->stopped || a->speed_m_s * a->speed_m_s < plan_v2)
        return;
    a->speed_m_s = sqrt(plan_v2);
    a->behind = false;
}

/* ------------------------------------------------------------------------------------------------ the truck there */

void evn_ahead_outline(const evn_given *now, const evn_ahead *a, double asked_m_s2, evn_instant *is)
{
    const evn_road_stretch *road = &a->trip->course->road[a->road_at];
    evn_given *at = &is->pull.at;
    *at = *now;
    at->tangent = road->tangent_begin + road->tangent_slope * (a->place_m - road->begin_m);
    at->rolling_factor = road->rolling_factor;
    at->has_heading = road->has_heading;
    at->heading_rad = road->heading_rad;
    at->adhesion = road->adhesion;
    at->adhesion_other_side = road->adhesion_other_side;
    at->speed_m_s = a->speed_m_s;
    at->asked_m_s2 = asked_m_s2;
    at->pull = at->push = EVN_FREE;
    at->fade = EVN_FADE_BY_SPEED;
    evn_instant_outline(is);
}
