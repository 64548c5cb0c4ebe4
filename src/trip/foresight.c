/*
 * Settings planned ahead, as far as the motion is prescribed: a dynamic programme over the joint settings of all units
 * (Bellman 1957, Dynamic Programming; from memory), in pieces of the way ahead on which each joint setting loses a
 * known power, and between which each unit changes at its price.
 */
#include "trip/foresight.h"
#include "pull/change_price.h"
#include "pull/prices.h"
#include "trip/laws.h"
#include "trip/moment.h"
#include "trip/prescribe.h"
#include <math.h>

/* How far ahead, and in what steps: what is further off decides less. */
static const double HORIZON_S = 300, NEAR_S = 20, LOOK_AGAIN_S = 30, LEAST_STEP_S = 0.25, STEP_SHARE = 0.1;
enum { MOST_JOINT = 80, MOST_PIECES = 120 };

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

/* ------------------------------------------------------------------------------------------------ settings */

/* Price of a change at a speed v: fixed_j + by_v2_j v^2 (what synchronising loses goes with the energy of what turns).
 */
typedef struct price {
    double fixed_j, by_v2;
} price;

typedef struct option { /* what a unit may be in */
    const evn_setting *setting;
    size_t count, stride; /* stride: in the number of the joint setting */
    const price *price;   /* [from * count + to] */
} option;

typedef struct choice { /* of all units */
    size_t units, joint, present;
    option of[EVN_UNITS_MAX];
    price pool[MOST_JOINT * MOST_JOINT];
} choice;

static size_t joint_settings(const evn_trip *t)
{
    size_t joint = 1;
    for (size_t u = 0; u < t->rig->unit_count && joint <= MOST_JOINT; u++)
        joint *= evn_heat_holds(t, u) ? 1 : t->rig->unit[u].setting_count;
    return joint;
}

static price price_of_one(evn_instant *n, size_t unit, evn_setting from, evn_setting to)
{
    double v2 = n->pull.at.speed_m_s * n->pull.at.speed_m_s;
    n->pull.at.unit[unit].setting = from;
    evn_change_price p = evn_change_price_at(n, unit, to, false);
    return (price){p.wear_j + p.stated_j, p.synchronising_j / v2};
}

/* Branches open and close by themselves, with gear and motors as they are: where both differ it is two changes. */
static price price_between(evn_instant *n, size_t unit, evn_setting from, evn_setting to)
{
    evn_setting between = to;
    between.open = from.open;
    if (evn_same_setting(from, to))
        return (price){0, 0};
    if (evn_same_setting(from, between) || evn_same_setting(between, to))
        return price_of_one(n, unit, from, to);
    price first = price_of_one(n, unit, from, between), then = price_of_one(n, unit, between, to);
    return (price){first.fixed_j + then.fixed_j, first.by_v2 + then.by_v2};
}

static size_t number_of(const option *o, evn_setting s)
{
    for (size_t k = 0; k < o->count; k++)
        if (evn_same_setting(o->setting[k], s))
            return k;
    return 0;
}

/* Prices do not need the instant beyond its settings and speed, as long as changes take no time. */
static void choice_of(const evn_trip *t, const evn_given *now, evn_instant *scratch, choice *c)
{
    static const double ANY_M_S = 10;
    price *free_pool = c->pool;
    c->units = t->rig->unit_count;
    c->joint = 1;
    c->present = 0;
    for (size_t u = 0; u < c->units; u++) {
        const evn_unit *unit = &t->rig->unit[u];
        bool held = evn_heat_holds(t, u);
        option *o = &c->of[u];
        *o =
            (option){held ? &now->unit[u].setting : unit->setting, held ? 1 : unit->setting_count, c->joint, free_pool};
        scratch->pull.at = *now;
        scratch->pull.at.speed_m_s = ANY_M_S;
        for (size_t i = 0; i < o->count * o->count && o->count > 1; i++)
            *free_pool++ = price_between(scratch, u, o->setting[i / o->count], o->setting[i % o->count]);
        c->present += c->joint * number_of(o, now->unit[u].setting);
        c->joint *= o->count;
    }
}

static size_t setting_in(const option *o, size_t joint) { return joint / o->stride % o->count; }

/* ------------------------------------------------------------------------------------------------ the programme */

typedef struct piece {
    double begin_s, length_s, v2; /* speed squared where it begins */
    double w[MOST_JOINT];
} piece;

typedef struct programme {
    choice choice;
    evn_instant is;
    evn_member member[MOST_JOINT];
    piece piece[MOST_PIECES];
    size_t pieces, target[MOST_PIECES]; /* joint setting to be taken where a piece begins, from the present one */
} programme;

/* What cannot be taken costs so much that nothing else counts, and little enough to be added up. */
static const double NEVER_W = 1e9;

static void weigh(programme *p, double w[])
{
    const choice *c = &p->choice;
    size_t first[EVN_UNITS_MAX], at = 0;
    for (size_t u = 0; u < c->units; u++) {
        first[u] = at;
        for (size_t k = 0; k < c->of[u].count; k++)
            p->member[at++] = evn_pull_member(&p->is.pull, u, c->of[u].setting[k], false);
    }
    for (size_t j = 0; j < c->joint; j++) {
        evn_team team = {.connected = 0};
        for (size_t u = 0; u < c->units; u++) {
            team.unit[u] = p->member[first[u] + setting_in(&c->of[u], j)];
            team.connected += team.unit[u].connected;
        }
        w[j] = fmin(evn_instant_team_w(&p->is, &team), NEVER_W);
    }
}

/* A piece ends where the plan bends; further off it spans what bends within it. */
static double piece_s(const ahead *a, double at_s, bool *ends)
{
    double step_s = fmax(LEAST_STEP_S, STEP_SHARE * at_s), left = left_s(a);
    *ends = at_s < NEAR_S && left <= step_s;
    return *ends ? left : step_s;
}

/* Each piece is weighed at its middle. */
static void look_ahead(programme *p, const evn_given *now, ahead a)
{
    double at_s = 0;
    for (p->pieces = 0; p->pieces < MOST_PIECES && at_s < HORIZON_S && !a.stopped; p->pieces++) {
        bool ends;
        piece *x = &p->piece[p->pieces];
        double length_s = piece_s(&a, at_s, &ends);
        *x = (piece){.begin_s = at_s, .length_s = length_s, .v2 = a.speed_m_s * a.speed_m_s};
        go_on(&a, 0.5 * length_s);
        if (a.stopped)
            return;
        instant_there(now, &a, &p->is);
        weigh(p, x->w);
        if (ends)
            go_to_end(&a);
        else
            go_on(&a, 0.5 * length_s);
        at_s += length_s;
    }
}

/* The least where one unit may change first, in place; which joint setting each is left for. */
static void relax(const choice *c, size_t unit, double v2, double cost_j[], size_t to[])
{
    const option *o = &c->of[unit];
    double least_j[MOST_JOINT];
    size_t best[MOST_JOINT];
    for (size_t j = 0; j < c->joint; j++) {
        size_t from = setting_in(o, j), base = j - from * o->stride;
        least_j[j] = cost_j[j];
        best[j] = to[j];
        for (size_t k = 0; k < o->count; k++) {
            const price *p = &o->price[from * o->count + k];
            size_t there = base + k * o->stride;
            if (k != from && cost_j[there] + p->fixed_j + p->by_v2 * v2 < least_j[j]) {
                least_j[j] = cost_j[there] + p->fixed_j + p->by_v2 * v2;
                best[j] = to[there];
            }
        }
    }
    for (size_t j = 0; j < c->joint; j++) {
        cost_j[j] = least_j[j];
        to[j] = best[j];
    }
}

/* From the end: at rest, and beyond the horizon, all settings are alike. */
static void solve(programme *p)
{
    const choice *c = &p->choice;
    double cost_j[MOST_JOINT] = {0};
    size_t to[MOST_JOINT];
    for (size_t k = p->pieces; k-- > 0;) {
        const piece *x = &p->piece[k];
        for (size_t j = 0; j < c->joint; j++) {
            cost_j[j] += x->w[j] * x->length_s;
            to[j] = j;
        }
        for (size_t u = 0; u < c->units; u++)
            if (c->of[u].count > 1)
                relax(c, u, x->v2, cost_j, to);
        p->target[k] = to[c->present];
    }
}

bool evn_foresees(const evn_trip *t)
{
    return evn_is_exact(t) && t->motion == EVN_MOVING && t->law == EVN_PRESCRIBED && joint_settings(t) <= MOST_JOINT;
}

/* Far off pieces are long: asked again before the change, the plan is finer there. */
static double ask_at_s(const programme *p, size_t change)
{
    return change > 1 ? p->piece[change - 1].begin_s : p->piece[change].begin_s;
}

evn_foreseen evn_foresee(const evn_trip *t)
{
    programme p;
    evn_given now = evn_trip_given(t, t->t, t->y);
    choice_of(t, &now, &p.is, &p.choice);
    look_ahead(&p, &now,
               (ahead){t->course, t->plan_at, t->road_at, evn_trip_place_m(t, t->t, t->y), now.speed_m_s, false});
    solve(&p);
    evn_foreseen f = {.look_s = t->t + LOOK_AGAIN_S};
    size_t k = 0;
    while (k < p.pieces && p.target[k] == p.choice.present)
        k++;
    if (k < p.pieces)
        f.look_s = t->t + ask_at_s(&p, k);
    for (size_t u = 0; k == 0 && k < p.pieces && u < p.choice.units; u++) {
        const option *o = &p.choice.of[u];
        f.to[u] = o->setting[setting_in(o, p.target[0])];
        f.changes[u] = !evn_same_setting(f.to[u], now.unit[u].setting);
    }
    return f;
}
