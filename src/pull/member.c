/* One unit at work: what its motors give at the road and back, and what its tyres carry. */
#include "pull/member.h"
#include "core/root.h"
#include "pull/branch.h"
#include "pull/branches.h"
#include "pull/locked.h"
#include "pull/tyres.h"
#include <math.h>

/* ------------------------------------------------------------------------------------------------ at work */

static evn_shaft wheels_of(const evn_pull *p, size_t unit, const evn_member *m, double force_n, double accel,
                           evn_flow *flow)
{
    const evn_rig *r = p->at.rig;
    const evn_unit *u = &r->unit[unit];
    if (u->branch_count) {
        double each_n[EVN_BRANCHES_MAX];
        evn_branches_divide(p, unit, m, force_n, accel, each_n);
        return evn_branches_up(p, unit, m, each_n, accel, flow);
    }
    double radius = r->axle[u->axle].radius_m, hub = evn_tyres_hub_n(p, u->axle, force_n, accel);
    flow->w[EVN_TYRE_SLIP] += (hub - force_n) * p->at.speed_m_s;
    return (evn_shaft){hub * radius, p->at.speed_m_s / radius, accel / radius};
}

evn_at_work evn_member_draw(const evn_pull *p, size_t unit, const evn_member *m, double force_n, double accel,
                            evn_flow *flow)
{
    evn_at_work w;
    evn_shaft at = wheels_of(p, unit, m, force_n, accel, flow);
    w.bus_w = evn_unit_draw_w(&p->at.rig->unit[unit], m->setting, at, p->feed.open_circuit_v, p->at.unit[unit].degc,
                              flow, &w.motor_nm);
    return w;
}

/* Torque at the wheel side of the chain for a tyre force. */
static double chain_nm_of(const evn_pull *p, size_t unit, const evn_member *m, double force_n, double accel)
{
    const evn_rig *r = p->at.rig;
    const evn_unit *u = &r->unit[unit];
    double each_n[EVN_BRANCHES_MAX];
    if (u->branch_count)
        return evn_branches_divide(p, unit, m, force_n, accel, each_n);
    return evn_tyres_hub_n(p, u->axle, force_n, accel) * r->axle[u->axle].radius_m;
}

evn_at_work evn_member_at_work(const evn_pull *p, size_t unit, const evn_member *m, double force_n, double accel)
{
    const evn_unit *u = &p->at.rig->unit[unit];
    double rad_m = m->rad_m, chain_nm = chain_nm_of(p, unit, m, force_n, accel);
    evn_at_work w;
    if (evn_chain_at_up(&m->chain, chain_nm, accel * rad_m, &w.motor_nm)) {
        w.bus_w = evn_unit_motors_w(u, m->setting, w.motor_nm, m->motor_rad_s, p->feed.open_circuit_v,
                                    p->at.unit[unit].degc, NULL);
        return w;
    }
    evn_flow unbooked = {{0}};
    evn_shaft at = {chain_nm, p->at.speed_m_s * rad_m, accel * rad_m};
    w.bus_w = evn_unit_draw_w(u, m->setting, at, p->feed.open_circuit_v, p->at.unit[unit].degc, &unbooked, &w.motor_nm);
    return w;
}

double evn_member_losses_w(const evn_pull *p, const evn_member *m, double bus_w, double force_n, double accel)
{
    return bus_w - (force_n + m->turning_kg * accel) * p->at.speed_m_s;
}

/* Tyre force for a torque at the wheel side of the chain, and its slope over it. */
static double force_of_chain(const evn_pull *p, size_t unit, const evn_member *m, double chain_nm, double accel,
                             double *slope_1_m)
{
    const evn_rig *r = p->at.rig;
    const evn_unit *u = &r->unit[unit];
    double each_n[EVN_BRANCHES_MAX];
    if (u->branch_count)
        return evn_branches_forces(p, unit, m, chain_nm, accel, each_n, slope_1_m);
    double radius = r->axle[u->axle].radius_m, hub_n = chain_nm / radius;
    double k = evn_tyres_slip_stiffness_n(p, u->axle, accel);
    *slope_1_m = (isinf(k) ? 1 : evn_slip_tyre_slope(hub_n, k)) / radius;
    return isinf(k) ? hub_n : evn_slip_tyre_n(hub_n, k);
}

double evn_member_force_and_slope(const evn_pull *p, size_t unit, const evn_member *m, double motor_nm, double accel,
                                  double *slope_1_m)
{
    const evn_unit *u = &p->at.rig->unit[unit];
    double rad_m = m->rad_m, chain_nm;
    if (!evn_chain_at_down(&m->chain, motor_nm, accel * rad_m, &chain_nm))
        chain_nm =
            evn_unit_wheel_nm(u, m->setting, motor_nm, p->at.speed_m_s * rad_m, accel * rad_m, p->at.unit[unit].degc);
    double force_n = force_of_chain(p, unit, m, chain_nm, accel, slope_1_m);
    *slope_1_m /= chain_nm >= 0 ? u->gear[m->setting.gear].map.pull.motor_nm.torque
                                : u->gear[m->setting.gear].map.push.motor_nm.torque;
    return force_n;
}

double evn_member_force(const evn_pull *p, size_t unit, const evn_member *m, double motor_nm, double accel)
{
    double slope;
    return evn_member_force_and_slope(p, unit, m, motor_nm, accel, &slope);
}

double evn_member_slip_stiffness_n(const evn_pull *p, size_t unit, const evn_member *m, double accel)
{
    const evn_unit *u = &p->at.rig->unit[unit];
    double sum = u->branch_count == 0 ? evn_tyres_slip_stiffness_n(p, u->axle, accel) : 0;
    for (size_t k = 0; k < u->branch_count; k++)
        sum += evn_is_branch_open(m->setting, k) ? 0 : evn_tyres_slip_stiffness_n(p, u->branch[k].axle, accel);
    return sum;
}

/* Without slip where the chain drives one axle: a drag of a few newton metres. */
double evn_member_dragged(const evn_pull *p, size_t unit, const evn_member *m, double accel, evn_flow *flow)
{
    const evn_rig *r = p->at.rig;
    const evn_unit *u = &r->unit[unit];
    double rad_m = m->rad_m;
    double nm = evn_unit_dragged_nm(u, m->turning, p->at.speed_m_s * rad_m, accel * rad_m, p->at.unit[unit].degc, flow);
    if (u->branch_count == 0)
        return nm * rad_m;
    double each_n[EVN_BRANCHES_MAX], slope, sum = evn_branches_forces(p, unit, m, nm, accel, each_n, &slope);
    if (flow)
        evn_branches_up(p, unit, m, each_n, accel, flow);
    return sum;
}

/* ------------------------------------------------------------------------------------------------ adhesion */

bool evn_cut_by_adhesion(const evn_rig *r) { return r->unit_count > 1 || r->unit[0].branch_count > 0; }

/* mu N with N linear in the acceleration that the force itself gives. */
double evn_single_adhesion_pull_n(const evn_pull *p)
{
    const evn_rig *r = p->at.rig;
    const evn_axle_load *l = evn_load_of(&p->at, r->unit[0].axle);
    double mu = evn_tyres_may_use(p, r->unit[0].axle, true);
    if (p->at.steady)
        return evn_member_adhesion_n(p, 0, &p->team.unit[0], true, p->at.asked_m_s2, 0);
    double at_rest =
        evn_axle_load_n(l, r->gravity_m_s2, p->road.slope_cos, p->road.slope_sin, -p->road.base_n / p->road.mass_kg, 0);
    double share = mu * l->along_kg / p->road.mass_kg; /* of each newton, what its load transfer lets through again */
    return share < 1 ? mu * at_rest / (1 - share) : EVN_NO_LIMIT_N;
}

static double push_off(void *self, double force_n)
{
    const evn_pull *p = self;
    return evn_member_adhesion_n(p, 0, &p->team.unit[0], false, p->at.asked_m_s2, evn_rest_by_brakes_n(p, force_n)) -
           force_n;
}

/*
 * With limits that the closed form below does not know. The force falls all the way against what it would leave to the
 * friction brakes, so that there is one zero. What the unit drags by itself, no limit of its motors helps.
 */
static double searched_push_n(const evn_pull *p)
{
    static const evn_between how = {1e-9, 1e-15, 200};
    double force_n = evn_member_adhesion_n(p, 0, &p->team.unit[0], false, p->at.asked_m_s2, 0),
           off = push_off((void *)p, force_n);
    if (fabs(off) > how.tolerance)
        force_n = evn_root_outwards(push_off, (void *)p, (evn_known){force_n, off}, off, &how).x;
    const evn_member *m = &p->team.unit[0];
    return m->connected ? fmin(force_n, evn_member_force(p, 0, m, 0, p->at.asked_m_s2)) : force_n;
}

/* The same pushing, at the asked acceleration, where friction brakes do the rest: F_brake = (F - base - m a)/factor. */
double evn_single_adhesion_push_n(const evn_pull *p)
{
    const evn_rig *r = p->at.rig;
    if (isfinite(r->regenerating_margin) || isfinite(r->unit[0].braking_force_limit_n))
        return searched_push_n(p);
    const evn_axle_load *l = evn_load_of(&p->at, r->unit[0].axle);
    double mu = evn_tyres_may_use(p, r->unit[0].axle, false), a = p->at.asked_m_s2;
    double without = evn_axle_load_n(l, r->gravity_m_s2, p->road.slope_cos, p->road.slope_sin, a, 0);
    double rest = (p->road.base_n + p->road.mass_kg * a) / p->road.brake_factor;
    return -mu * (without - l->brake * rest) / (1 + mu * l->brake / p->road.brake_factor);
}

double evn_member_adhesion_n(const evn_pull *p, size_t unit, const evn_member *m, bool pulling, double accel,
                             double brake_n)
{
    const evn_unit *u = &p->at.rig->unit[unit];
    double side = pulling ? 1 : -1, lowest_n = pulling ? 0 : -u->braking_force_limit_n;
    if (u->branch_count == 0)
        return fmax(side * evn_tyres_carried_n(p, u->axle, pulling, accel, brake_n), lowest_n);
    if (evn_is_locked(p, unit, m))
        return fmax(side * evn_locked_carried_n(p, unit, pulling, accel, brake_n), lowest_n);
    double least = (double)INFINITY; /* the branch that reaches its limit first holds the others; of the closed ones */
    for (size_t k = 0; k < u->branch_count; k++) {
        if (evn_is_branch_open(m->setting, k))
            continue;
        double carried_n = side * evn_tyres_carried_n(p, u->branch[k].axle, pulling, accel, brake_n);
        least = fmin(least, side * evn_branch_split_nm(p, unit, m, k, carried_n, accel));
    }
    double each_n[EVN_BRANCHES_MAX], slope;
    double force_n = evn_branches_forces(p, unit, m, side * least, accel, each_n, &slope);
    return pulling ? force_n : fmax(force_n, lowest_n);
}

bool evn_member_easily_carried(const evn_pull *p, size_t unit, const evn_member *m, double force_n, double accel,
                               double brake_n)
{
    const evn_rig *r = p->at.rig;
    const evn_unit *u = &r->unit[unit];
    bool pulling = force_n > 0;
    if (!pulling && (1 + 1e-9) * fabs(force_n) >= u->braking_force_limit_n)
        return false;
    if (u->branch_count == 0) /* not what is cut */
        return (1 + 1e-9) * fabs(force_n) < evn_tyres_carried_n(p, u->axle, pulling, accel, brake_n);
    if (evn_is_locked(p, unit, m))
        return (1 + 1e-9) * fabs(force_n) < evn_locked_carried_n(p, unit, pulling, accel, brake_n);
    double shared_n = fabs(force_n) + (m->setting.open ? fabs(evn_open_branches_n(p, unit, m, accel)) : 0);
    for (size_t k = 0; k < u->branch_count; k++) {
        const evn_branch *b = &u->branch[k];
        if (evn_is_branch_open(m->setting, k))
            continue;
        double part = evn_closed_share(u, m->setting, k) * b->ratio / r->axle[b->axle].radius_m / m->rad_m;
        if (1.3 * part * shared_n + 500 > evn_tyres_carried_n(p, b->axle, pulling, accel, brake_n))
            return false;
    }
    return true;
}
