/* A unit that drives several axles through an inter-axle differential: each gets its share of the torque. */
#include "pull/branches.h"
#include "core/root.h"
#include "pull/branch.h"
#include "pull/locked.h"
#include "pull/tyres.h"
#include <math.h>

/* A branch at an acceleration, for many torques: what its tyres' slip is stiff by, N. */
typedef struct end {
    const evn_branch *branch;
    const evn_chain_at *chain;
    double radius_m, rad_s, stiffness_n;
} end;

static end end_of(const evn_pull *p, size_t unit, size_t k, double accel)
{
    const evn_branch *b = &p->at.rig->unit[unit].branch[k];
    double radius = p->at.rig->axle[b->axle].radius_m;
    return (end){b, &p->branch[unit][k], radius, p->at.speed_m_s / radius,
                 evn_tyres_slip_stiffness_n(p, b->axle, accel)};
}

/* Tyre force for a torque at the dividing point; and its slope over it. */
static double force_of(const evn_pull *p, size_t unit, const end *e, double split_nm, double accel, double *slope_1_m)
{
    double nm = e->branch->share * split_nm, wheel_nm, accel_rad_s2 = accel / e->radius_m;
    if (!evn_chain_at_down(e->chain, nm, accel_rad_s2, &wheel_nm))
        wheel_nm = evn_branch_wheel_nm(e->branch, nm, e->rad_s, accel_rad_s2, p->at.unit[unit].degc);
    const evn_chain_side *side = wheel_nm >= 0 ? &e->branch->map.pull : &e->branch->map.push;
    double hub = wheel_nm / e->radius_m, slips = isinf(e->stiffness_n) ? 1 : evn_slip_tyre_slope(hub, e->stiffness_n);
    *slope_1_m = e->branch->share / (side->motor_nm.torque * e->radius_m) * slips;
    return isinf(e->stiffness_n) ? hub : evn_slip_tyre_n(hub, e->stiffness_n);
}

double evn_branches_forces(const evn_pull *p, size_t unit, double split_nm, double accel, double force_n[],
                           double *slope_1_m)
{
    const evn_unit *u = &p->at.rig->unit[unit];
    double sum = 0, own;
    if (p->at.unit[unit].branches_locked)
        return evn_locked_forces(p, unit, split_nm, accel, force_n, slope_1_m);
    *slope_1_m = 0;
    for (size_t k = 0; k < u->branch_count; k++) {
        end e = end_of(p, unit, k, accel);
        sum += force_n[k] = force_of(p, unit, &e, split_nm, accel, &own);
        *slope_1_m += own;
    }
    return sum;
}

typedef struct dividing { /* the sum of all forces less a total, over the torque at the dividing point */
    const evn_pull *pull;
    size_t unit;
    double total_n, accel;
    double *force_n;
} dividing;

static double off_total(void *self, double split_nm)
{
    const dividing *d = self;
    double slope;
    return evn_branches_forces(d->pull, d->unit, split_nm, d->accel, d->force_n, &slope) - d->total_n;
}

/* The torque if all tyres slipped alike, and no branch bent: near enough for one step of Newton's, mostly. */
static double first_guess_nm(const dividing *d, const end ends[], size_t count)
{
    double slope = 0, lost_n = 0, stiffness_n = 0;
    for (size_t k = 0; k < count; k++) {
        const end *e = &ends[k];
        const evn_chain_at_side *side = d->total_n >= 0 ? &e->chain->pull : &e->chain->push;
        double per_m = 1 / (side->torque * e->radius_m);
        slope += e->branch->share * per_m;
        lost_n += (side->constant + side->accel * d->accel / e->radius_m) * per_m;
        stiffness_n += e->stiffness_n;
    }
    double hub_n = isinf(stiffness_n) ? d->total_n : evn_slip_hub_n(d->total_n, stiffness_n);
    return (hub_n + lost_n) / slope;
}

/* Newton's steps. False: to and fro over a bend. */
static bool divide_quickly(const dividing *d, double near_n, evn_root *at)
{
    const evn_pull *p = d->pull;
    size_t count = p->at.rig->unit[d->unit].branch_count;
    end ends[EVN_BRANCHES_MAX];
    for (size_t k = 0; k < count; k++)
        ends[k] = end_of(p, d->unit, k, d->accel);
    at->x = first_guess_nm(d, ends, count);
    for (int step = 0; step < 8; step++) {
        double sum = 0, slope = 0, own;
        for (size_t k = 0; k < count; k++) {
            sum += d->force_n[k] = force_of(p, d->unit, &ends[k], at->x, d->accel, &own);
            slope += own;
        }
        at->error = sum - d->total_n;
        if (fabs(at->error) <= near_n)
            return true;
        at->x -= at->error / slope;
    }
    return false;
}

/* Nearly a straight line; what is left after a step or two is handed out alike. */
double evn_branches_divide(const evn_pull *p, size_t unit, double total_n, double accel, double force_n[])
{
    if (p->at.unit[unit].branches_locked)
        return evn_locked_divide(p, unit, total_n, accel, force_n);
    dividing d = {p, unit, total_n, accel, force_n};
    double near_n = 1e-8 * (1e3 + fabs(total_n));
    evn_root at;
    if (!divide_quickly(&d, near_n, &at)) { /* it rises all the way */
        double off = off_total(&d, 0);
        at = evn_root_outwards(off_total, &d, (evn_known){0, off}, -off / p->at.rig->unit_rad_m[unit],
                               &(evn_between){near_n, 1e-15, 200});
    }
    size_t count = p->at.rig->unit[unit].branch_count;
    for (size_t k = 0; k < count; k++)
        force_n[k] -= at.error / (double)count;
    return at.x;
}

evn_shaft evn_branches_up(const evn_pull *p, size_t unit, const double force_n[], double accel, evn_flow *flow)
{
    const evn_unit *u = &p->at.rig->unit[unit];
    double split_nm = 0, rad_m = p->at.rig->unit_rad_m[unit];
    for (size_t k = 0; k < u->branch_count; k++) {
        const evn_branch *b = &u->branch[k];
        double hub = evn_tyres_hub_n(p, b->axle, force_n[k], accel);
        flow->w[EVN_TYRE_SLIP] += (hub - force_n[k]) * p->at.speed_m_s;
        evn_shaft at = evn_branch_of_wheels(p, unit, b, hub, accel, flow);
        split_nm += at.torque_nm * b->ratio / p->at.rig->axle[b->axle].radius_m;
    }
    return (evn_shaft){split_nm / rad_m, p->at.speed_m_s * rad_m, accel * rad_m};
}
