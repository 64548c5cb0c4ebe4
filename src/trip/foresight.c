/* What a change of setting will save on the way ahead, as far as the motion is prescribed. */
#include "trip/foresight.h"
#include "pull/change_price.h"
#include "trip/laws.h"
#include "trip/moment.h"
#include "trip/prescribe.h"
#include <math.h>

/* How far ahead, and in what steps: what is further off decides less. */
static const double HORIZON_S = 60, LEAST_STEP_S = 0.25, STEP_SHARE = 0.1;

/* The way ahead by the plan. */
typedef struct ahead {
    const evn_course *course;
    size_t plan_at, road_at;
    double place_m, speed_m_s;
    bool stopped; /* at the next stop, or at the end */
} ahead;

static double left_s(const ahead *a)
{
    const evn_plan_stretch *p = &a->course->plan[a->plan_at];
    double mean_m_s = 0.5 * (a->speed_m_s + sqrt(p->v2_end));
    return mean_m_s > 0 ? fmax(p->end_m - a->place_m, 0) / mean_m_s : 0;
}

static void go_to_end(ahead *a)
{
    const evn_plan_stretch *p = &a->course->plan[a->plan_at];
    a->place_m = p->end_m;
    a->speed_m_s = sqrt(p->v2_end);
    a->stopped = p->v2_end <= 0 || a->plan_at + 1 == a->course->plan_count;
    a->plan_at += !a->stopped;
}

static void go_on(ahead *a, double step_s)
{
    while (!a->stopped && left_s(a) <= step_s) {
        step_s -= left_s(a);
        go_to_end(a);
    }
    if (a->stopped)
        return;
    double accel = a->course->plan[a->plan_at].accel_m_s2;
    a->place_m += a->speed_m_s * step_s + 0.5 * accel * step_s * step_s;
    a->speed_m_s = fmax(a->speed_m_s + accel * step_s, 0);
    while (a->road_at + 1 < a->course->road_count && a->course->road[a->road_at].end_m <= a->place_m)
        a->road_at++;
}

/* The truck there, with settings, charge and temperatures of now, and limits not asked that are found by events only.
 */
static void instant_there(const evn_given *now, const ahead *a, evn_instant *is)
{
    const evn_road_stretch *road = &a->course->road[a->road_at];
    evn_given *at = &is->pull.at;
    *at = *now;
    at->tangent = road->tangent_begin + road->tangent_slope * (a->place_m - road->begin_m);
    at->rolling_factor = road->rolling_factor;
    at->adhesion = road->adhesion;
    at->adhesion_other_side = road->adhesion_other_side;
    at->speed_m_s = a->speed_m_s;
    at->asked_m_s2 = a->course->plan[a->plan_at].accel_m_s2;
    at->pull = at->push = EVN_FREE;
    at->fade = EVN_FADE_BY_SPEED;
    evn_instant_make(is);
}

typedef struct seen {
    evn_instant is;
    double now_w, to_w; /* with the present setting and with the one that is asked about */
    evn_setting best;   /* of the unit */
    double best_w;
} seen;

static void see(const evn_given *now, const ahead *a, size_t unit, evn_setting to, seen *s)
{
    evn_prices prices;
    const evn_unit *u = &now->rig->unit[unit];
    instant_there(now, a, &s->is);
    evn_instant_prices(&s->is, &prices);
    s->now_w = prices.now_w;
    s->best = now->unit[unit].setting;
    s->best_w = prices.now_w;
    s->to_w = EVN_NEVER_W;
    for (size_t k = 0; k < u->setting_count; k++) {
        if (evn_same_setting(u->setting[k], to))
            s->to_w = prices.w[unit][k];
        if (prices.w[unit][k] < s->best_w) {
            s->best_w = prices.w[unit][k];
            s->best = u->setting[k];
        }
    }
}

/* Price of going from one setting to another there; none for staying. */
static double price_from_j(evn_instant *is, size_t unit, evn_setting from, evn_setting to)
{
    if (evn_same_setting(from, to))
        return 0;
    evn_setting present = is->pull.at.unit[unit].setting;
    is->pull.at.unit[unit].setting = from;
    double price_j = evn_change_price_j(is, unit, to, false);
    is->pull.at.unit[unit].setting = present;
    return price_j;
}

evn_foreseen evn_foresee(const evn_trip *t, size_t unit, evn_setting to)
{
    static const double SAME_COST_W = 1; /* as between candidates (rules.c) */
    if (!evn_is_exact(t) || t->motion != EVN_MOVING || t->law != EVN_PRESCRIBED)
        return EVN_UNFORESEEN;
    evn_given now = evn_trip_given(t, t->t, t->y);
    ahead a = {t->course, t->plan_at, t->road_at, evn_trip_place_m(t, t->t, t->y), now.speed_m_s, false};
    evn_setting present = now.unit[unit].setting;
    seen s;
    see(&now, &a, unit, to, &s);
    double price_j = price_from_j(&s.is, unit, present, to), saved_j = 0, at_s = 0, before_w = s.now_w - s.to_w;
    bool decided = false;
    while (at_s < HORIZON_S) {
        double step_s = fmax(LEAST_STEP_S, STEP_SHARE * at_s);
        go_on(&a, step_s);
        decided = a.stopped; /* moving off, settings are chosen anew */
        if (decided)
            break;
        at_s += step_s;
        see(&now, &a, unit, to, &s);
        if (s.best_w < s.to_w - SAME_COST_W) {
            price_j += price_from_j(&s.is, unit, to, s.best) - price_from_j(&s.is, unit, present, s.best);
            decided =
                s.best.gear != to.gear || s.best.engaged != to.engaged; /* what opens or closes alone leaves both */
            break;
        }
        saved_j += 0.5 * (before_w + s.now_w - s.to_w) * step_s;
        before_w = s.now_w - s.to_w;
    }
    if (saved_j > price_j)
        return EVN_PAYS;
    return decided ? EVN_PAYS_NOT : EVN_UNFORESEEN;
}
