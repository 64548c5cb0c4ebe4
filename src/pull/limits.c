/* Tyre force at the limits of motors, pack and adhesion. */
#include "pull/limits.h"
#include "core/root.h"
#include "pull/beside.h"
#include "pull/member.h"
#include "pull/team.h"
#include "pull/tyres.h"
#include <math.h>

/* ------------------------------------------------------------------------------------------------ motors */

typedef struct at_share { /* all units at one share of what they can */
    const evn_pull *pull;
    const evn_team *team;
    double share, force_n;
} at_share;

static double accel_off(void *self, double accel)
{
    at_share *s = self;
    double each_n[EVN_UNITS_MAX];
    s->force_n = evn_team_forces(s->pull, s->team, s->share, accel, 0, each_n);
    return evn_pull_accel(s->pull, s->force_n) - accel;
}

/* Secant steps may go to and fro over a bend for ever. Both functions fall all the way, so that a zero can be
 * bracketed.
 */
static bool is_missed(evn_root at) { return !at.found && fabs(at.error) > 1e-11 * (1 + fabs(at.x)); }

static void bracket(evn_error *error, at_share *s, evn_known from)
{
    evn_between how = {.tolerance = 1e-13 * (1 + fabs(from.error)), .x_tolerance = 1e-15, .steps = 200};
    evn_root_outwards(error, s, from, from.error, &how);
}

/*
 * Tyre force and acceleration depend on each other through the inertia of what turns. Along the chain the force is
 * linear in the acceleration but for a few bends, so that secant steps mostly end after two or three.
 */
double evn_team_pull_n(const evn_pull *p, const evn_team *team, double share)
{
    static const evn_secant how = {1e-14, 1e-14, -(double)INFINITY, (double)INFINITY, 8};
    at_share s = {p, team, share, 0};
    if (p->at.steady) {
        accel_off(&s, p->at.asked_m_s2);
        return s.force_n;
    }
    double off = accel_off(&s, 0);
    if (is_missed(evn_root_secant(accel_off, &s, (evn_known){0, off}, off, &how)))
        bracket(accel_off, &s, (evn_known){0, off});
    return s.force_n;
}

static double push_off(void *self, double total_n)
{
    at_share *s = self;
    double each_n[EVN_UNITS_MAX], a = s->pull->at.asked_m_s2;
    s->force_n = evn_team_forces(s->pull, s->team, s->share, a, evn_rest_by_brakes_n(s->pull, total_n), each_n);
    return s->force_n - total_n;
}

/* What friction brakes do loads the axles, and so depends on the force itself: by a tenth of it. */
double evn_team_push_n(const evn_pull *p, const evn_team *team, double share)
{
    static const evn_secant how = {1e-10, 1e-13, -(double)INFINITY, (double)INFINITY, 30};
    double each_n[EVN_UNITS_MAX], a = p->at.asked_m_s2;
    double first = evn_team_forces(p, team, share, a, 0, each_n);
    if (!evn_cut_by_adhesion(p->at.rig) || (evn_team_carries(p, team, a, 0, each_n) &&
                                            evn_team_carries(p, team, a, evn_rest_by_brakes_n(p, first), each_n)))
        return first;
    at_share s = {p, team, share, first};
    double off = push_off(&s, first);
    if (fabs(off) <= how.tolerance + how.tolerance_per_x * fabs(first))
        return s.force_n;
    if (is_missed(evn_root_secant(push_off, &s, (evn_known){first, off}, s.force_n, &how)))
        bracket(push_off, &s, (evn_known){first, off});
    return s.force_n;
}

static double team_limit_n(const evn_pull *p, const evn_team *team, double share)
{
    return share >= 0 ? evn_team_pull_n(p, team, share) : evn_team_push_n(p, team, share);
}

/* ------------------------------------------------------------------------------------------------ pack */

/*
 * Terminal power over the limit, as a function of the share of the motors' torque: convex, since losses grow with its
 * square.
 */
typedef struct power_search {
    const evn_pull *pull;
    double limit_w;
    bool pulling;
} power_search;

static double force_of_share(const power_search *s, double share)
{
    return s->pulling ? evn_team_pull_n(s->pull, &s->pull->team, share)
                      : evn_team_push_n(s->pull, &s->pull->team, share);
}

double evn_pull_terminals_w(const evn_pull *p, double total_n, bool pulling)
{
    evn_flow unbooked = {{0}};
    double force[EVN_UNITS_MAX], bus_w = 0;
    double a = pulling ? evn_pull_accel(p, total_n) : p->at.asked_m_s2;
    double brake = pulling ? 0 : evn_rest_by_brakes_n(p, total_n);
    evn_team_share(p, &p->team, total_n, a, brake, force);
    for (size_t u = 0; u < p->at.rig->unit_count; u++) {
        const evn_member *m = &p->team.unit[u];
        bus_w += m->connected ? evn_member_at_work(p, u, m, force[u], a).bus_w
                              : evn_unit_ready_w(&p->at.rig->unit[u], m->setting, &unbooked);
    }
    return bus_w + evn_beside_w(&p->at, &unbooked, NULL);
}

static double power_over_at_n(void *self, double total)
{
    const power_search *s = self;
    return evn_pull_terminals_w(s->pull, total, s->pulling) - s->limit_w;
}

static double power_over_w(void *self, double share) { return power_over_at_n(self, force_of_share(self, share)); }

/*
 * Share between `low`, where the power is under the limit, and `high`, where it is over. Tyre force and power may jump
 * over the share, where adhesion lets a unit go as brakes load its axle: the pack is then left on the side that it
 * bears.
 */
static double share_at_limit(power_search *s, double low, double high)
{
    evn_between how = {.tolerance = 1e-10 * (1e3 + fabs(s->limit_w)), .x_tolerance = 1e-13, .steps = 100};
    evn_known at_low = {low, power_over_w(s, low)}, at_high = {high, power_over_w(s, high)};
    if (at_low.error >= 0)
        return low;
    if (at_high.error <= 0)
        return high;
    return s->pulling ? evn_root_short_of(power_over_w, s, at_low, at_high, &how).x
                      : evn_root_short_of(power_over_w, s, at_high, at_low, &how).x;
}

double evn_pack_limit_n(const evn_pull *p, bool pulling, double *beyond_w)
{
    power_search s = {p, pulling ? p->feed.most_w : -p->feed.taken_w, pulling};
    double share, most = pulling ? 1 : -1, over_w = power_over_w(&s, most);
    if (pulling) {
        share = share_at_limit(&s, 0, most);
    } else {
        if (over_w >= 0) { /* beyond the torque of least power the copper eats more than the torque returns */
            most = evn_root_least(power_over_w, &s, most, 0, 1e-12);
            over_w = power_over_w(&s, most);
        }
        share = share_at_limit(&s, most, 0);
    }
    *beyond_w = pulling ? over_w : -over_w;
    return force_of_share(&s, share);
}

/*
 * Where adhesion cuts some units and others brake beyond the torque of least power, the power over the share has more
 * than one hollow: the pack may take what they give at a strong push and at a weak one, and not in between. Then
 * it holds one below the wanted push at which it takes just its limit; there the pack binds, whatever it could take at
 * a stronger one.
 */
static void hold_between(const evn_pull *p, double wanted_n, evn_limited *l)
{
    power_search s = {p, -p->feed.taken_w, false};
    evn_between how = {.tolerance = 1e-10 * (1e3 + fabs(s.limit_w)), .x_tolerance = 1e-13, .steps = 100};
    if (l->unit_n >= wanted_n && l->beyond_pack_w > 0)
        return;
    double idle_n = force_of_share(&s, 0), want_n = fmax(wanted_n, force_of_share(&s, -1));
    if (want_n >= idle_n)
        return;
    evn_known wanted = {want_n, power_over_at_n(&s, want_n)}, idle = {idle_n, power_over_at_n(&s, idle_n)};
    if (wanted.error >= 0 || idle.error <= 0)
        return;
    l->unit_n = evn_root_short_of(power_over_at_n, &s, idle, wanted, &how).x;
    l->beyond_pack_w = fmax(l->beyond_pack_w, -wanted.error);
}

/* ------------------------------------------------------------------------------------------------ all of them */

evn_limited evn_pull_limited(const evn_pull *p, double want_n)
{
    bool pulling = p->at.pull != EVN_FREE, cut = evn_cut_by_adhesion(p->at.rig);
    double share = pulling ? 1 : -1;
    evn_limited l = {.unit_n = want_n};
    switch (pulling ? p->at.pull : p->at.push) {
    case EVN_BY_MOTOR:
    case EVN_BY_SHIFT: /* nothing is connected: the share does not matter */
        l.unit_n = team_limit_n(p, &p->team, share);
        break;
    case EVN_BY_PACK:
        l.unit_n = evn_pack_limit_n(p, pulling, &l.beyond_pack_w);
        if (!pulling)
            hold_between(p, want_n, &l);
        break;
    case EVN_BY_ADHESION:
        l.unit_n = cut       ? team_limit_n(p, &p->team, share)
                   : pulling ? evn_single_adhesion_pull_n(p)
                             : evn_single_adhesion_push_n(p);
        break;
    case EVN_FREE:
        break;
    }
    return l;
}

double evn_pull_most_n(const evn_pull *p, bool pulling)
{
    double beyond_w, by_motor = team_limit_n(p, &p->team, pulling ? 1 : -1);
    double by_pack = evn_pack_limit_n(p, pulling, &beyond_w), most = beyond_w > 0 ? by_pack : by_motor;
    if (evn_cut_by_adhesion(p->at.rig))
        return most;
    return pulling ? fmin(most, evn_single_adhesion_pull_n(p)) : fmax(most, evn_single_adhesion_push_n(p));
}

static double slowing_off_n(void *self, double accel)
{
    evn_pull *p = self;
    p->at.asked_m_s2 = accel;
    return evn_pull_most_n(p, false) - p->road.base_n - p->road.mass_kg * accel;
}

/* Rotors that slow down push, so that the force falls the less, the harder it slows: bracketed from a held speed on. */
double evn_pull_brake_alone_n(evn_pull *p)
{
    static const evn_between how = {.tolerance = 1e-4, .x_tolerance = 1e-11, .steps = 100};
    evn_known held = {0, slowing_off_n(p, 0)};
    evn_root_outwards(slowing_off_n, p, held, held.error / p->road.mass_kg, &how);
    return evn_pull_most_n(p, false);
}

double evn_pull_given_n(const evn_pull *p, double want_n, bool *by_pack)
{
    double beyond_w, force_n = fmax(want_n, team_limit_n(p, &p->team, -1));
    if (!evn_cut_by_adhesion(p->at.rig))
        force_n = fmax(force_n, evn_single_adhesion_push_n(p));
    *by_pack = evn_pull_terminals_w(p, force_n, false) < -p->feed.charge_w;
    return *by_pack ? fmax(force_n, evn_pack_limit_n(p, false, &beyond_w)) : force_n;
}

/* ------------------------------------------------------------------------------------------------ reach */

/* By how much a unit's adhesion limit is above what its motors can, of the unit where that is most. */
static double most_apart_n(const evn_pull *p, const evn_reached_now *now, bool pulling)
{
    const evn_rig *r = p->at.rig;
    double most = -EVN_NO_LIMIT_N;
    for (size_t u = 0; u < r->unit_count; u++) {
        const evn_member *m = &p->team.unit[u];
        if (!m->connected)
            continue;
        double motors = evn_member_force(p, u, m, pulling ? m->most_nm : m->least_nm, now->accel_m_s2);
        double tyres = evn_member_adhesion_n(p, u, m, pulling, now->accel_m_s2, now->brake_n);
        most = fmax(most, pulling ? tyres - motors : motors - tyres);
    }
    return most;
}

/* Well within what motors and tyres can: the limits need not be worked out. */
static bool far_from_limits(const evn_pull *p, const evn_reached_now *now)
{
    static const double FAR = 0.7;
    if (p->at.pull != EVN_FREE || p->at.push != EVN_FREE)
        return false;
    for (size_t u = 0; u < p->at.rig->unit_count; u++) {
        const evn_member *m = &p->team.unit[u];
        double nm = now->motor_nm[u];
        if (!m->connected)
            continue;
        if (nm > FAR * m->most_nm || nm < FAR * m->least_nm)
            return false;
        if (!evn_member_easily_carried(p, u, m, now->force_n[u] / FAR, now->accel_m_s2, now->brake_n))
            return false;
    }
    return true;
}

/* The force that the units are held at is what all of them can. */
static bool holds_units(evn_limit limit) { return limit == EVN_BY_MOTOR || limit == EVN_BY_ADHESION; }

evn_reach evn_pull_reach(const evn_pull *p, const evn_reached_now *now)
{
    evn_reach r = {EVN_NO_LIMIT_N, -EVN_NO_LIMIT_N, 0};
    bool braked = p->at.push == EVN_FREE && now->brake_n > 0; /* brakes hold the speed: no limit of a pull does */
    if (!evn_cut_by_adhesion(p->at.rig))
        return (evn_reach){braked ? r.most_n : evn_single_adhesion_pull_n(p), evn_single_adhesion_push_n(p), 0};
    if (far_from_limits(p, now))
        return r;
    if (p->at.push == EVN_FREE && !braked)
        r.most_n = holds_units(p->at.pull) ? now->limited_n : evn_team_pull_n(p, &p->team, 1);
    if (p->at.pull == EVN_FREE)
        r.least_n = holds_units(p->at.push) ? now->limited_n : evn_team_push_n(p, &p->team, -1);
    if (p->at.pull != EVN_FREE || p->at.push != EVN_FREE)
        r.apart_n = most_apart_n(p, now, p->at.pull != EVN_FREE);
    return r;
}
