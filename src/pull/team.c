/* How several units share a request. */
#include "pull/team.h"
#include "core/root.h"
#include "pull/member.h"
#include <math.h>
#include <string.h>

/*
 * Adhesion limits what motors add, pulling and pushing alike. That a unit drags more by itself while braking, or that
 * the inertia of what turns pushes it along by more while the truck slows, they leave: so nothing jumps where pulling
 * turns to pushing, and no motor works against its envelope or a full pack to hold its tyres.
 */
static double cut_force(const evn_pull *p, size_t unit, const evn_member *m, double force_n, double share, double accel,
                        double brake_n)
{
    if (evn_member_easily_carried(p, unit, m, force_n, accel, brake_n))
        return force_n;
    double idle_n = evn_member_force(p, unit, m, 0, accel);
    if (share > 0)
        return fmin(force_n, fmax(evn_member_adhesion_n(p, unit, m, true, accel, brake_n), idle_n));
    double carried_n = evn_member_adhesion_n(p, unit, m, false, accel, brake_n);
    return fmax(force_n, fmin(carried_n, idle_n));
}

/* The same with the slope of the sum over the share: of units that adhesion does not cut. */
static double forces_and_slope(const evn_pull *p, const evn_team *team, double share, double accel, double brake_n,
                               double force_n[], double *slope_n)
{
    const evn_rig *r = p->at.rig;
    double sum = 0;
    bool may_cut = share != 0 && evn_cut_by_adhesion(r);
    *slope_n = 0;
    for (size_t u = 0; u < r->unit_count; u++) {
        const evn_member *m = &team->unit[u];
        if (!m->connected) {
            force_n[u] = evn_member_dragged(p, u, m, accel, NULL);
        } else {
            double own, reach_nm = share >= 0 ? m->most_nm : -m->least_nm;
            double free_n = evn_member_force_and_slope(p, u, m, share * reach_nm, accel, &own);
            force_n[u] = may_cut ? cut_force(p, u, m, free_n, share, accel, brake_n) : free_n;
            *slope_n += force_n[u] == free_n ? own * reach_nm : 0;
        }
        sum += force_n[u];
    }
    return sum;
}

double evn_team_forces(const evn_pull *p, const evn_team *team, double share, double accel, double brake_n,
                       double force_n[])
{
    double slope;
    return forces_and_slope(p, team, share, accel, brake_n, force_n, &slope);
}

bool evn_team_carries(const evn_pull *p, const evn_team *team, double accel, double brake_n, const double force_n[])
{
    for (size_t u = 0; u < p->at.rig->unit_count; u++)
        if (team->unit[u].connected && !evn_member_easily_carried(p, u, &team->unit[u], force_n[u], accel, brake_n))
            return false;
    return true;
}

/* ------------------------------------------------------------------------------------------------ sharing */

/*
 * Adds what is missing to a total in proportion to how far each unit's force went from `from`; in equal parts if none
 * did. By its amount alone: in the moment before a limit is found to bind much may be missing, and units that went
 * opposite ways must not be driven apart by it.
 */
static void add_rest(const evn_pull *p, const evn_team *team, double rest_n, const double from[], double force_n[])
{
    double gone = 0;
    for (size_t u = 0; u < p->at.rig->unit_count; u++)
        gone += fabs(force_n[u] - from[u]);
    for (size_t u = 0; u < p->at.rig->unit_count; u++)
        if (team->unit[u].connected)
            force_n[u] += rest_n * (gone > 1 ? fabs(force_n[u] - from[u]) / gone : 1.0 / (double)team->connected);
}

typedef struct sharing { /* the sum of all forces less a total, over the share */
    const evn_pull *pull;
    const evn_team *team;
    double total_n, accel, brake_n;
    double *force_n;
} sharing;

static double off_total(void *self, double share)
{
    const sharing *s = self;
    return evn_team_forces(s->pull, s->team, share, s->accel, s->brake_n, s->force_n) - s->total_n;
}

/*
 * The share if all tyres slipped alike and no chain bent between pulling and pushing: near enough for a step of
 * Newton's or two. `idle`: forces at no torque, of which only those of units that are not connected count.
 */
static double first_guess(const sharing *s, double end, const double idle[])
{
    const evn_rig *r = s->pull->at.rig;
    double tyre_n = s->total_n, lost_n = 0, reach_n = 0, stiffness_n = 0;
    for (size_t u = 0; u < r->unit_count; u++) {
        const evn_member *m = &s->team->unit[u];
        if (!m->connected) {
            tyre_n -= idle[u];
            continue;
        }
        const evn_chain_at_side *side = end > 0 ? &m->chain.pull : &m->chain.push;
        double rad_m = m->rad_m, per_m = rad_m / side->torque;
        reach_n += fabs(end > 0 ? m->most_nm : m->least_nm) * per_m;
        lost_n += (side->constant + side->accel * s->accel * rad_m) * per_m;
        stiffness_n += evn_member_slip_stiffness_n(s->pull, u, m, s->accel);
    }
    double hub_n = isinf(stiffness_n) ? tyre_n : evn_slip_hub_n(tyre_n, stiffness_n);
    return (hub_n + lost_n) / reach_n;
}

/* Newton's steps between the ends; false: they lead out of them, or to and fro over a bend. */
static bool share_quickly(const sharing *s, double guess, double end, double near_n, evn_root *at)
{
    double slope;
    at->x = guess;
    for (int step = 0; step < 5; step++) {
        if (!(end * at->x >= 0 && end * at->x <= 1))
            return false;
        at->error = forces_and_slope(s->pull, s->team, at->x, s->accel, s->brake_n, s->force_n, &slope) - s->total_n;
        if (fabs(at->error) <= near_n)
            return true;
        at->x -= at->error / slope;
    }
    return false;
}

/*
 * Several units at one share; returns what the sum of their forces is off by, which is what is beyond their reach. Near
 * enough: the rest is handed out in proportion, and what the shares are off by costs only its square. A step or two do
 * where adhesion cuts no unit; the sum is level once it cuts all.
 */
static double share_alike(sharing *s, double at_rest_n, const double idle[])
{
    double end = s->total_n >= at_rest_n ? 1 : -1, near_n = 1e-8 * (1e3 + fabs(s->total_n));
    evn_known rest = {0, at_rest_n - s->total_n};
    evn_root at;
    if (share_quickly(s, first_guess(s, end, idle), end, near_n, &at))
        return at.error;
    evn_known limit = {end, off_total(s, end)};
    if (fabs(limit.error - rest.error) <= 1 || end * limit.error <= 0)
        return limit.error;
    return evn_root_between(off_total, s, rest, limit, &(evn_between){.tolerance = near_n, .steps = 100}).error;
}

void evn_team_share(const evn_pull *p, const evn_team *team, double total_n, double accel, double brake_n,
                    double force_n[])
{
    double idle[EVN_UNITS_MAX];
    if (p->at.rig->unit_count == 1) {
        force_n[0] = total_n;
        return;
    }
    double sum = evn_team_forces(p, team, 0, accel, 0, idle), off = sum - total_n;
    memcpy(force_n, idle, sizeof idle);
    sharing s = {p, team, total_n, accel, brake_n, force_n};
    if (team->connected > 1)
        off = share_alike(&s, sum, idle);
    add_rest(p, team, -off, idle, force_n);
}
