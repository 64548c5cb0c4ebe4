/* The fastest speed that motors, tyres and pack can hold downhill, and when it is looked for. */
#include "trip/endure.h"
#include "core/root.h"
#include "core/units.h"
#include "pull/limits.h"
#include "pull/member.h"
#include "pull/slowing.h"
#include "pull/team.h"
#include "trip/held_speed.h"
#include "trip/moment.h"
#include <math.h>
#include <stdio.h>

static const double LOOK_EVERY_S = 10;
static const double FASTER_BY_M_S = 1 * EVN_M_S_PER_KM_H; /* that is worth it */

/* ------------------------------------------------------------------------------------------------ at one speed */

/* One setting of a unit at a speed, all motors at work, and the push that these give; below zero. */
typedef struct pushing {
    evn_member member;
    double push_n;
} pushing;

/* False: the motors would turn too fast; in the highest gear they may. */
static bool try_gear(const evn_pull *p, size_t unit, size_t gear, pushing *out)
{
    static const double NEAR_TOP = 0.98; /* where a lower gear is no candidate any more (pull/prices.c) */
    const evn_unit *u = &p->at.rig->unit[unit];
    out->member = evn_pull_member(p, unit, evn_all_engaged(u, gear), false);
    out->push_n = evn_member_force(p, unit, &out->member, out->member.least_nm, 0);
    return gear + 1 == u->gear_count || out->member.motor_rad_s <= NEAR_TOP * evn_unit_top_rad_s(u);
}

static pushing strongest(const evn_pull *p, size_t unit)
{
    pushing best = {.push_n = (double)INFINITY}, each;
    for (size_t k = 0; k < p->at.rig->unit[unit].gear_count; k++)
        if (try_gear(p, unit, k, &each) && each.push_n < best.push_n)
            best = each;
    return best;
}

/* Among gears whose motors push enough, the one that returns most: the truck changes to that one (PHYSICS.md,
 * settings). */
static evn_member returning_most(const evn_pull *p, size_t unit, double push_n, const pushing *otherwise)
{
    evn_member best = otherwise->member;
    double least_w = evn_member_at_work(p, unit, &best, push_n, 0).bus_w;
    for (size_t k = 0; k < p->at.rig->unit[unit].gear_count; k++) {
        pushing each;
        if (!try_gear(p, unit, k, &each) || each.push_n > push_n)
            continue;
        double bus_w = evn_member_at_work(p, unit, &each.member, push_n, 0).bus_w;
        if (bus_w < least_w) {
            best = each.member;
            least_w = bus_w;
        }
    }
    return best;
}

/*
 * Gears for holding this speed: units share the push by what each can. One that is kept as it is (heat holds it open,
 * or without pulses) stays so.
 */
static void choose_gears(evn_pull *p, const bool kept[])
{
    pushing most[EVN_UNITS_MAX];
    double all_n = 0;
    size_t count = p->at.rig->unit_count;
    for (size_t u = 0; u < count; u++) {
        most[u] = kept[u] ? (pushing){.push_n = 0} : strongest(p, u);
        all_n += most[u].push_n;
    }
    double share = all_n < 0 ? fmin(fmax(p->road.base_n / all_n, 0), 1) : 1;
    p->team.connected = 0;
    for (size_t u = 0; u < count; u++) {
        if (!kept[u]) /* the others stand as the pull was made */
            p->team.unit[u] = returning_most(p, u, share * most[u].push_n, &most[u]);
        p->team.connected += p->team.unit[u].connected;
    }
}

/*
 * What is asked of a speed: that motors, tyres and pack hold the grade and spare a share of their push, so that no
 * friction brake is needed. On a grade that motors and tyres hold at no speed, whatever the pack takes: that the pack
 * takes nearly all that these push where they push most. So the speed does not jump where a grade gets too steep for
 * the tyres; and a full pack asks for the least speed.
 */
typedef struct demand {
    double spare_share, short_share;
} demand;
static const demand TO_HOLD = {0.02, 0.001};
static const demand STILL_TO_HOLD = {0.01, 0.01}; /* a speed that is held: what little pack and windings change does not
                                                     move it */

typedef struct holding {
    evn_pull pull;
    demand asks;
    double most_n; /* that motors and tyres push at any speed; INFINITY: enough */
    bool kept[EVN_UNITS_MAX];
} holding;

static void set_speed(holding *h, double speed_m_s)
{
    h->pull.at.speed_m_s = speed_m_s;
    evn_pull_make(&h->pull);
    choose_gears(&h->pull, h->kept);
}

/* What the retarder adds, held steadily, of what the motors leave. */
static double with_retarder_n(const evn_pull *p, double push_n, double need_n)
{
    double force_n[EVN_UNITS_MAX];
    if (!p->at.rig->has_part[EVN_RETARDER] || push_n >= need_n)
        return push_n;
    evn_team_share(p, &p->team, -push_n, 0, 0, force_n);
    return push_n + evn_retarder_n(p, force_n, 0, need_n - push_n);
}

/* Push over what is asked of this speed; of the motors no more than their stated share of braking is. */
static double left_n(void *self, double speed_m_s)
{
    holding *h = self;
    set_speed(h, speed_m_s);
    double need = -h->pull.road.base_n / (1 - h->asks.spare_share) * h->pull.at.rig->motor_share;
    double push = with_retarder_n(&h->pull, -evn_pull_most_n(&h->pull, false), need);
    return push - fmin(need, (1 - h->asks.short_share) * h->most_n);
}

/* ------------------------------------------------------------------------------------------------ over the speed */

static const double STEP = 1.1; /* of the speed, from one that is tried to the next */

static holding holding_now(const evn_trip *t)
{
    holding h = {.pull.at = evn_trip_given(t, t->t, t->y), .asks = TO_HOLD, .most_n = t->endure.most_n};
    h.pull.at.asked_m_s2 = 0;
    h.pull.at.steady = true;
    h.pull.at.at_rest = false;
    h.pull.at.pull = h.pull.at.push = EVN_FREE;
    h.pull.at.fade = EVN_FADE_BY_SPEED;
    for (size_t u = 0; u < t->rig->unit_count; u++)
        h.kept[u] = evn_heat_holds(t, u);
    return h;
}

static double root(holding *h, evn_known held, evn_known lost)
{
    static const evn_between how = {.tolerance = 1e-6, .x_tolerance = 1e-10, .steps = 100};
    return evn_root_between(left_n, h, held, lost, &how).x;
}

/* From a speed that cannot be held down to one that can. False: none down to the least. */
static bool slower(holding *h, evn_known lost, double least_m_s, double *found)
{
    while (lost.x > least_m_s) {
        evn_known next = {.x = fmax(lost.x / STEP, least_m_s)};
        next.error = left_n(h, next.x);
        if (next.error >= 0) {
            *found = root(h, next, lost);
            return true;
        }
        lost = next;
    }
    return false;
}

/* From one that can be held up to one that cannot. INFINITY: there is none. */
static double faster(holding *h, evn_known held)
{
    double top_m_s = h->pull.at.rig->top_speed_m_s;
    while (held.x < top_m_s) {
        evn_known next = {.x = fmin(STEP * held.x, top_m_s)};
        next.error = left_n(h, next.x);
        if (next.error < 0)
            return root(h, held, next);
        held = next;
    }
    return (double)INFINITY;
}

static double need_n(holding *h, double speed_m_s)
{
    set_speed(h, speed_m_s);
    return -h->pull.road.base_n;
}

/* That motors and tyres push, whatever the pack takes, at the speed where that is most. */
static double strongest_push_n(holding *h, double from_m_s)
{
    double most = 0, top_m_s = h->pull.at.rig->top_speed_m_s;
    for (double v = from_m_s; v < top_m_s; v *= STEP) {
        set_speed(h, v);
        double push = evn_team_push_n(&h->pull, &h->pull.team, -1);
        if (!evn_cut_by_adhesion(h->pull.at.rig))
            push = fmax(push, evn_single_adhesion_push_n(&h->pull));
        most = fmax(most, with_retarder_n(&h->pull, -push, -h->pull.road.base_n));
    }
    return most;
}

static double least_m_s(const evn_trip *t) { return t->driving.endurance_least_km_h * EVN_M_S_PER_KM_H; }

/* Where friction brakes have to do more than motors ever can, the truck goes as slowly as is stated. */
static const double MOTORS_LEAST_SHARE = 0.5;

/* From a speed that is near: the fastest that can be held. INFINITY: any. */
static double holdable_m_s(const evn_trip *t, holding *h, double near_m_s)
{
    double found, least = least_m_s(t);
    evn_known near = {.x = fmax(near_m_s, least)}, top = {.x = t->rig->top_speed_m_s};
    h->most_n = (double)INFINITY;
    near.error = left_n(h, near.x);
    if (near.error >= 0)
        return faster(h, near);
    if (slower(h, near, least, &found))
        return found;
    h->most_n = strongest_push_n(h, least);
    if (h->most_n < MOTORS_LEAST_SHARE * need_n(h, least))
        return least;
    top.error = left_n(h, top.x);
    if (top.error >= 0)
        return (double)INFINITY;
    return slower(h, top, least, &found) ? found : least;
}

/* ------------------------------------------------------------------------------------------------ in the run */

bool evn_endures(const evn_trip *t)
{
    return t->driving.endurance == EVN_ENDURANCE_HOLDABLE && t->motion == EVN_MOVING;
}

double evn_endure_descent_tangent(const evn_trip *t) { return t->driving.endurance_from_percent / 100; }

static bool uses_friction(const evn_trip *t)
{
    return t->push == EVN_BY_MOTOR || t->push == EVN_BY_PACK || t->push == EVN_BY_ADHESION;
}

static bool is_held(const evn_trip *t) { return isfinite(t->held_m_s[EVN_HOLDER_ENDURANCE]); }

double evn_endure_due_s(const evn_trip *t)
{
    if (uses_friction(t) != t->endure.friction)
        return t->t;
    if (!uses_friction(t) && !is_held(t))
        return (double)INFINITY;
    return t->road_at != t->endure.road_at ? t->t : t->endure.look_s;
}

void evn_act_descent_begins(evn_trip *t) { t->endure = (evn_endure){.descending = true, .most_n = (double)INFINITY}; }

void evn_act_descent_ends(evn_trip *t)
{
    t->endure.descending = false;
    evn_act_release_hold(t, EVN_HOLDER_ENDURANCE);
}

/* The first place where friction brakes have to help for good. */
static void note_not_held(evn_trip *t, const holding *h, double speed_m_s)
{
    evn_not_held *n = &t->not_held;
    if (n->there)
        return;
    *n = (evn_not_held){true, t->t, t->y[EVN_Y_PLACE], h->pull.at.tangent, speed_m_s};
}

void evn_endure_say(const evn_trip *t)
{
    const evn_not_held *n = &t->not_held;
    char slowly[80] = "";
    if (!n->there)
        return;
    if (isfinite(n->speed_m_s))
        snprintf(slowly, sizeof slowly, ", and the truck goes at %.0f km/h", n->speed_m_s / EVN_M_S_PER_KM_H);
    evn_say(
        t->report, EVN_FAULT_NOT_HELD, evn_nowhere, evn_nowhere,
        "at %.3f km, %.1f s, on a grade of %.1f %%, %s holds no speed above %g km/h without its friction brakes: they "
        "take the rest%s; expected a speed that motors, battery and retarder hold; a lower state of charge, more "
        "adhesion or a lower load would help; how a loaded vehicle is braked downhill is for local regulation, "
        "approved testing and licensed practice",
        n->place_m / 1000, n->time_s, 100 * n->tangent, t->rig->truck_name, t->driving.endurance_least_km_h, slowly);
}

static void hold_near(evn_trip *t, holding *h, double near_m_s)
{
    double speed_m_s = holdable_m_s(t, h, near_m_s);
    bool held = isinf(h->most_n) && speed_m_s > least_m_s(t);
    t->endure.most_n = h->most_n;
    if (!held)
        note_not_held(t, h, speed_m_s);
    if (isfinite(speed_m_s))
        evn_act_hold_speed(t, speed_m_s, EVN_HOLDER_ENDURANCE);
    else
        evn_act_release_hold(t, EVN_HOLDER_ENDURANCE);
}

/* Slower where what is held can be held no more, faster where that is worth it; else it stays, to the bit. */
static void look_at_held(evn_trip *t)
{
    holding h = holding_now(t);
    double held = t->held_m_s[EVN_HOLDER_ENDURANCE];
    h.asks = STILL_TO_HOLD;
    bool still = held <= least_m_s(t) || left_n(&h, held) >= 0;
    h.asks = TO_HOLD;
    if (!still || left_n(&h, held + FASTER_BY_M_S) >= 0)
        hold_near(t, &h, still ? held + FASTER_BY_M_S : held);
}

void evn_act_endure(evn_trip *t)
{
    t->endure.friction = uses_friction(t);
    t->endure.road_at = t->road_at;
    t->endure.look_s = t->t + LOOK_EVERY_S;
    if (is_held(t)) {
        look_at_held(t);
    } else if (t->endure.friction) {
        holding h = holding_now(t);
        hold_near(t, &h, h.pull.at.speed_m_s);
    }
}
