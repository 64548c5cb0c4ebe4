/*
 * Descending: the steepest grade on which motors alone hold a speed, so that no friction brake works and no retarder.
 * Held downhill as a run does it: rolling resistance, air drag and the units' own drag help, motors do the rest within
 * torque, power, heat, what the tyres carry and what battery and brake resistor take.
 *
 * A figure for comparing layouts: how a loaded vehicle is taken downhill, and what its brakes must stand, is for local
 * regulation, approved testing and licensed practice.
 */
#include "core/root.h"
#include "core/units.h"
#include "limits/abilities.h"
#include "pull/best.h"
#include "pull/limits.h"
#include "pull/member.h"
#include "pull/prices.h"
#include "truck/steady.h"
#include <math.h>

/* ------------------------------------------------------------------------------------------------ the battery */

typedef struct descent_search {
    const evn_scene *scene;
    double speed_m_s;
    unsigned lifted;
} descent_search;

/* Takes the setting that saves most, of one unit. False: none saves anything, or anything to speak of. */
static bool take_cheaper(const evn_scene *s, evn_instant *n)
{
    static const double NOTHING_W = 1;
    const evn_rig *r = n->pull.at.rig;
    evn_prices prices;
    evn_instant_make(n);
    evn_instant_prices(n, &prices);
    double least_w = prices.now_w - NOTHING_W;
    size_t unit = 0;
    const evn_setting *best = NULL;
    for (size_t u = 0; u < r->unit_count; u++)
        for (size_t k = 0; k < r->unit[u].setting_count && !s->unit_out[u] && !s->motor_out[u]; k++)
            if (prices.w[u][k] < least_w) {
                least_w = prices.w[u][k];
                unit = u;
                best = &r->unit[u].setting[k];
            }
    if (best)
        n->pull.at.unit[unit].setting = *best;
    return best;
}

/*
 * What battery and resistor could take beyond what comes, W, in the settings that lose least: a run changes to those,
 * even where a battery that is nearly full would be spared by a gear that loses more (PHYSICS.md, settings).
 */
static double spare_w(void *self, double tangent)
{
    enum { ROUNDS = 20 };
    const descent_search *d = self;
    evn_asked_of_scene ask = {.speed_m_s = d->speed_m_s, .tangent = -tangent, .held = true, .lifted = d->lifted};
    evn_instant n;
    evn_scene_pull(d->scene, &ask, &n.pull);
    for (int k = 0; k < ROUNDS && take_cheaper(d->scene, &n); k++)
        ;
    return n.pull.feed.taken_w + evn_pull_terminals_w(&n.pull, n.pull.road.base_n, false);
}

/* ------------------------------------------------------------------------------------------------ at a charge */

/* By motors and tyres, in the gears that push most; then by the battery. */
static double steepest_percent(void *self, unsigned lifted)
{
    static const evn_between how = {.tolerance = 0.1, .x_tolerance = 1e-7, .steps = 60};
    descent_search *d = self;
    d->lifted = lifted;
    double steepest = evn_scene_steepest(d->scene, d->speed_m_s, false, lifted | evn_lift(EVN_BOUND_PACK));
    if (evn_is_lifted(lifted, EVN_BOUND_PACK) || !(steepest > 0))
        return 100 * steepest;
    evn_known level = {0, spare_w(d, 0)}, steep = {steepest, spare_w(d, steepest)};
    if (level.error < 0)
        return (double)NAN;
    return 100 * (steep.error >= 0 ? steepest : evn_root_between(spare_w, d, level, steep, &how).x);
}

/* Which of those that hold the motors does, on the grade that they just hold. */
static evn_bound motors_bound(const descent_search *d, double percent)
{
    evn_asked_of_scene ask = {.speed_m_s = d->speed_m_s, .tangent = -percent / 100, .held = true};
    evn_pull p;
    evn_scene_pull(d->scene, &ask, &p);
    p.at.push = EVN_BY_MOTOR;
    return evn_scene_motors_bound(&p);
}

/* What one of the limits that are lifted is called there: that of the motors is one of several. */
static evn_bound named(const descent_search *d, evn_bound bound, double percent)
{
    return bound == EVN_BOUND_MOTOR_TORQUE ? motors_bound(d, percent) : bound;
}

/* Braking by motors is switched off, faded at this speed, or shared with friction brakes from the first newton on;
 * NONE: none of it. */
static evn_bound kept_by(const evn_scene *s, double speed_m_s)
{
    evn_asked_of_scene ask = {.speed_m_s = speed_m_s, .held = true};
    evn_pull p;
    evn_scene_pull(s, &ask, &p);
    evn_bound fade = evn_scene_fade_bound(&p);
    return fade == EVN_BOUND_NONE && s->rig->motor_share < 1 ? EVN_BOUND_MOTOR_SHARE : fade;
}

evn_answer evn_able_descent_percent(evn_scene *s, double speed_m_s)
{
    static const evn_bound limits[] = {EVN_BOUND_MOTOR_TORQUE, EVN_BOUND_PACK, EVN_BOUND_ADHESION, EVN_BOUND_NONE};
    descent_search d = {s, speed_m_s, 0};
    if (speed_m_s > s->rig->top_speed_m_s)
        return evn_answer_none(EVN_BOUND_MOTOR_SPEED);
    evn_bound kept = kept_by(s, speed_m_s);
    if (kept != EVN_BOUND_NONE) {
        evn_answer drag_alone = evn_answer_of(steepest_percent(&d, 0));
        drag_alone.bound = kept;
        return drag_alone;
    }
    evn_answer a = evn_answer_of_scene(s->plain, steepest_percent, &d, limits);
    a.beyond = a.value >= 100 * EVN_STEEPEST;
    a.bound = named(&d, a.bound, a.value);
    a.next = named(&d, a.next, a.next_value);
    return a;
}

/* ------------------------------------------------------------------------------------------------ for ever */

/* The gear in which a unit's motors brake most for ever, and how much: a tyre force below zero, its tyres included. */
typedef struct continuous {
    double push_n;
    size_t gear;
} continuous;

static continuous unit_continuous(const evn_pull *p, size_t unit)
{
    const evn_unit *u = &p->at.rig->unit[unit];
    continuous best = {(double)INFINITY, 0};
    for (size_t gear = 0; gear < u->gear_count; gear++) {
        evn_member m = evn_pull_member(p, unit, evn_all_engaged(u, gear), false);
        double nm = evn_unit_continuous_nm(u, m.motor_rad_s);
        double n = evn_member_force(p, unit, &m, fmax(-nm, m.least_nm), 0);
        if (evn_member_can_turn(p, unit, &m) && n < best.push_n)
            best = (continuous){fmax(n, evn_member_adhesion_n(p, unit, &m, false, 0, 0)), gear};
    }
    if (isinf(best.push_n)) /* its motors would turn too fast in any gear */
        best.push_n = evn_member_dragged(p, unit, &p->team.unit[unit], 0, NULL);
    return best;
}

/* What is left of a push that motors bear for ever, and that tyres carry. */
static double left_n(void *self, double tangent)
{
    const descent_search *d = self;
    evn_asked_of_scene ask = {
        .speed_m_s = d->speed_m_s, .tangent = -tangent, .held = true, .lifted = d->lifted | evn_lift(EVN_BOUND_PACK)};
    evn_pull p;
    evn_scene_pull(d->scene, &ask, &p);
    double sum_n = 0;
    for (size_t u = 0; u < p.at.rig->unit_count; u++)
        sum_n += unit_continuous(&p, u).push_n;
    return p.road.base_n - fmax(sum_n, evn_scene_most_n(&p, &ask));
}

/* As steepest_percent, heat in the end being one more limit; it goes by the name of the winding. */
static double continuous_percent(void *self, unsigned lifted)
{
    static const evn_between how = {.tolerance = 1e-3, .x_tolerance = 1e-10, .steps = 100};
    descent_search *d = self;
    double others = steepest_percent(d, lifted);
    evn_known level = {0, left_n(d, 0)}, steep = {EVN_STEEPEST, left_n(d, EVN_STEEPEST)};
    if (evn_is_lifted(lifted, EVN_BOUND_WINDING) || steep.error >= 0 || isnan(others))
        return others;
    if (isnan(level.error) || level.error < 0)
        return (double)NAN;
    return fmin(others, 100 * evn_root_between(left_n, d, level, steep, &how).x);
}

/* Of the units, the inverter where it holds one of them before its winding. */
static evn_bound heat_bound(const descent_search *d)
{
    evn_asked_of_scene ask = {.speed_m_s = d->speed_m_s, .held = true};
    evn_pull p;
    evn_scene_pull(d->scene, &ask, &p);
    for (size_t u = 0; u < p.at.rig->unit_count; u++) {
        const evn_unit *unit = &p.at.rig->unit[u];
        size_t gear = unit_continuous(&p, u).gear;
        evn_member m = evn_pull_member(&p, u, evn_all_engaged(unit, gear), false);
        if (evn_unit_continuous_by_inverter(unit, m.motor_rad_s))
            return EVN_BOUND_INVERTER;
    }
    return EVN_BOUND_WINDING;
}

static bool states_heat(const evn_rig *r)
{
    for (size_t u = 0; u < r->unit_count; u++)
        if (!r->unit[u].motor[0].heat.winding && !r->unit[u].motor[0].heat.inverter)
            return false;
    return true;
}

static evn_answer continuous_of(evn_scene *s, double speed_m_s)
{
    static const evn_bound limits[] = {EVN_BOUND_WINDING, EVN_BOUND_MOTOR_TORQUE, EVN_BOUND_PACK, EVN_BOUND_ADHESION,
                                       EVN_BOUND_NONE};
    descent_search d = {s, speed_m_s, 0};
    if (speed_m_s > s->rig->top_speed_m_s || kept_by(s, speed_m_s) != EVN_BOUND_NONE)
        return evn_able_descent_percent(s, speed_m_s);
    if (!states_heat(s->rig))
        return evn_answer_none(EVN_BOUND_NO_HEAT_DATA);
    evn_answer a = evn_answer_by(continuous_percent, &d, limits);
    a.beyond = a.value >= 100 * EVN_STEEPEST;
    if (a.bound == EVN_BOUND_WINDING)
        a.bound = heat_bound(&d);
    if (a.next == EVN_BOUND_WINDING)
        a.next = heat_bound(&d);
    a.bound = named(&d, a.bound, a.value);
    a.next = named(&d, a.next, a.next_value);
    return a;
}

/* ------------------------------------------------------------------------------------------------ the group */

#define HELD "steepest descent on which motors alone hold the speed, "
static const evn_limits_column at_start = {"at_start_soc_percent", "%", "as charged at the start",
                                           HELD "at the state of charge of the start", 2},
                               half = {"half_charged_percent", "%", "half charged",
                                       HELD "in the middle of the usable window of charge", 2},
                               full = {"full_percent", "%", "full", HELD "at the top of the usable window of charge",
                                       2},
                               for_ever = {"continuous_percent", "%", "for ever",
                                           HELD "with no winding or inverter beyond the begin of its derating in the "
                                                "end, at the state of charge of the start; none where the files state "
                                                "no temperatures",
                                           2};

static void add_at(evn_limits_work *w, const evn_limits_name *name, const evn_limits_column *column, double soc,
                   double speed_m_s)
{
    evn_scene s = evn_scene_of(w, EVN_FORWARDS);
    s.soc = soc;
    evn_answer a = evn_able_descent_percent(&s, speed_m_s);
    evn_limits_add(w, name, column, &a);
}

static void add_speed(evn_limits_work *w, const evn_limits_name *name, double speed_m_s)
{
    const evn_rig *r = w->rig[EVN_FORWARDS];
    add_at(w, name, &at_start, r->start_soc, speed_m_s);
    add_at(w, name, &half, 0.5 * (r->pack.usable_from + r->pack.usable_to), speed_m_s);
    add_at(w, name, &full, r->pack.usable_to, speed_m_s);
    evn_scene s = evn_scene_of(w, EVN_FORWARDS);
    evn_answer a = continuous_of(&s, speed_m_s);
    evn_limits_add(w, name, &for_ever, &a);
}

void evn_limits_descent(evn_limits_work *w)
{
    add_speed(w, &(evn_limits_name){"descent", "30_km_h", "30 km/h"}, 30 * EVN_M_S_PER_KM_H);
    add_speed(w, &(evn_limits_name){"descent", "50_km_h", "50 km/h"}, 50 * EVN_M_S_PER_KM_H);
}
