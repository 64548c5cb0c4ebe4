/* A unit that drives several axles through an inter-axle differential: each gets its share of the torque. */
#include "pull/branches.h"
#include "core/root.h"
#include "pull/branch.h"
#include "pull/locked.h"
#include "pull/tyres.h"
#include <math.h>

/* A branch at an acceleration, for many torques: what its tyres' slip is stiff by, N. An open one is dragged. */
typedef struct end {
    const evn_branch *branch;
    const evn_chain_at *chain;
    bool open;
    double share; /* of what is shared */
    double radius_m, rad_s, stiffness_n;
    double dragged_n; /* open: without slip, a drag of a few newton metres */
} end;

/* All of a unit; and the torque at the dividing point that is not shared, since it turns what is open above. */
typedef struct split {
    const evn_pull *pull;
    size_t unit, count, closed;
    double accel, above_nm;
    end end[EVN_BRANCHES_MAX];
} split;

static double above_nm(const evn_pull *p, size_t unit, const evn_member *m, const evn_branch *b, double accel,
                       evn_flow *flow)
{
    return evn_opening_above_nm(&b->opening, b->stage, b->count, p->at.speed_m_s * m->rad_m, accel * m->rad_m,
                                p->at.unit[unit].degc, flow);
}

static double below_nm(const evn_pull *p, size_t unit, const evn_branch *b, double accel, evn_flow *flow)
{
    double radius = p->at.rig->axle[b->axle].radius_m;
    return evn_opening_below_nm(&b->opening, b->stage, b->speed_ratio, p->at.speed_m_s / radius, accel / radius,
                                p->at.unit[unit].degc, flow);
}

static void set_end(const split *s, const evn_member *m, size_t k, end *e)
{
    const evn_pull *p = s->pull;
    const evn_unit *u = &p->at.rig->unit[s->unit];
    const evn_branch *b = &u->branch[k];
    e->branch = b;
    e->radius_m = p->at.rig->axle[b->axle].radius_m;
    e->open = evn_is_branch_open(m->setting, k);
    if (e->open) {
        e->dragged_n = below_nm(p, s->unit, b, s->accel, NULL) / e->radius_m;
        return;
    }
    e->chain = &p->branch[s->unit][k];
    e->share = evn_closed_share(u, m->setting, k);
    e->rad_s = p->at.speed_m_s / e->radius_m;
    e->stiffness_n = evn_tyres_slip_stiffness_n(p, b->axle, s->accel);
}

static void set_split(const evn_pull *p, size_t unit, const evn_member *m, double accel, split *s)
{
    s->pull = p;
    s->unit = unit;
    s->count = s->closed = p->at.rig->unit[unit].branch_count;
    s->accel = accel;
    s->above_nm = 0;
    for (size_t k = 0; k < s->count; k++) {
        set_end(s, m, k, &s->end[k]);
        if (s->end[k].open) {
            s->closed--;
            s->above_nm += above_nm(p, unit, m, s->end[k].branch, accel, NULL);
        }
    }
}

/* Tyre force for a torque at the dividing point that is shared; and its slope over it. */
static double force_of(const split *s, const end *e, double shared_nm, double *slope_1_m)
{
    double nm = e->share * shared_nm, wheel_nm, accel_rad_s2 = s->accel / e->radius_m;
    if (!evn_chain_at_down(e->chain, nm, accel_rad_s2, &wheel_nm))
        wheel_nm = evn_branch_wheel_nm(e->branch, nm, e->rad_s, accel_rad_s2, s->pull->at.unit[s->unit].degc);
    const evn_chain_side *side = wheel_nm >= 0 ? &e->branch->map.pull : &e->branch->map.push;
    double hub = wheel_nm / e->radius_m, slips = isinf(e->stiffness_n) ? 1 : evn_slip_tyre_slope(hub, e->stiffness_n);
    *slope_1_m = e->share / (side->motor_nm.torque * e->radius_m) * slips;
    return isinf(e->stiffness_n) ? hub : evn_slip_tyre_n(hub, e->stiffness_n);
}

static double forces_of(const split *s, double split_nm, double force_n[], double *slope_1_m)
{
    double sum = 0, own;
    *slope_1_m = 0;
    for (size_t k = 0; k < s->count; k++) {
        const end *e = &s->end[k];
        if (e->open) {
            sum += force_n[k] = e->dragged_n;
            continue;
        }
        sum += force_n[k] = force_of(s, e, split_nm - s->above_nm, &own);
        *slope_1_m += own;
    }
    return sum;
}

double evn_branches_forces(const evn_pull *p, size_t unit, const evn_member *m, double split_nm, double accel,
                           double force_n[], double *slope_1_m)
{
    split s;
    if (evn_is_locked(p, unit, m))
        return evn_locked_forces(p, unit, split_nm, accel, force_n, slope_1_m);
    set_split(p, unit, m, accel, &s);
    return forces_of(&s, split_nm, force_n, slope_1_m);
}

typedef struct dividing { /* the sum of all forces less a total, over the torque at the dividing point */
    const split *among;
    double total_n;
    double *force_n;
} dividing;

static double off_total(void *self, double split_nm)
{
    const dividing *d = self;
    double slope;
    return forces_of(d->among, split_nm, d->force_n, &slope) - d->total_n;
}

/* The torque if all tyres slipped alike, and no branch bent: near enough for one step of Newton's, mostly. */
static double first_guess_nm(const dividing *d)
{
    const split *s = d->among;
    double slope = 0, lost_n = 0, stiffness_n = 0, total_n = d->total_n;
    for (size_t k = 0; k < s->count; k++) {
        const end *e = &s->end[k];
        if (e->open) {
            total_n -= e->dragged_n;
            continue;
        }
        const evn_chain_at_side *side = d->total_n >= 0 ? &e->chain->pull : &e->chain->push;
        double per_m = 1 / (side->torque * e->radius_m);
        slope += e->share * per_m;
        lost_n += (side->constant + side->accel * s->accel / e->radius_m) * per_m;
        stiffness_n += e->stiffness_n;
    }
    double hub_n = isinf(stiffness_n) ? total_n : evn_slip_hub_n(total_n, stiffness_n);
    return (hub_n + lost_n) / slope + s->above_nm;
}

/* Newton's steps. False: to and fro over a bend. */
static bool divide_quickly(dividing *d, double near_n, evn_root *at)
{
    double slope;
    at->x = first_guess_nm(d);
    for (int step = 0; step < 8; step++) {
        at->error = forces_of(d->among, at->x, d->force_n, &slope) - d->total_n;
        if (fabs(at->error) <= near_n)
            return true;
        at->x -= at->error / slope;
    }
    return false;
}

/* Nearly a straight line; what is left after a step or two is handed out alike. */
double evn_branches_divide(const evn_pull *p, size_t unit, const evn_member *m, double total_n, double accel,
                           double force_n[])
{
    split s;
    if (evn_is_locked(p, unit, m))
        return evn_locked_divide(p, unit, total_n, accel, force_n);
    set_split(p, unit, m, accel, &s);
    dividing d = {&s, total_n, force_n};
    double near_n = 1e-8 * (1e3 + fabs(total_n));
    evn_root at;
    if (!divide_quickly(&d, near_n, &at)) { /* it rises all the way */
        double off = off_total(&d, 0);
        at = evn_root_outwards(off_total, &d, (evn_known){0, off}, -off / m->rad_m, &(evn_between){near_n, 1e-15, 200});
    }
    for (size_t k = 0; k < s.count; k++)
        force_n[k] -= s.end[k].open ? 0 : at.error / (double)s.closed;
    return at.x;
}

/* Books a branch; what it takes at the dividing point, as torque there times the point's speed over the truck's. */
static double book_branch(const evn_pull *p, size_t unit, const evn_member *m, size_t k, double force_n, double accel,
                          evn_flow *flow)
{
    const evn_branch *b = &p->at.rig->unit[unit].branch[k];
    if (evn_is_branch_open(m->setting, k)) {
        below_nm(p, unit, b, accel, flow);
        return above_nm(p, unit, m, b, accel, flow) * m->rad_m;
    }
    double hub = evn_tyres_hub_n(p, b->axle, force_n, accel);
    flow->w[EVN_TYRE_SLIP] += (hub - force_n) * p->at.speed_m_s;
    evn_shaft at = evn_branch_of_wheels(p, unit, b, hub, accel, flow);
    return at.torque_nm * b->ratio / p->at.rig->axle[b->axle].radius_m;
}

evn_shaft evn_branches_up(const evn_pull *p, size_t unit, const evn_member *m, const double force_n[], double accel,
                          evn_flow *flow)
{
    double taken_n = 0;
    for (size_t k = 0; k < p->at.rig->unit[unit].branch_count; k++)
        taken_n += book_branch(p, unit, m, k, force_n[k], accel, flow);
    return (evn_shaft){taken_n / m->rad_m, p->at.speed_m_s * m->rad_m, accel * m->rad_m};
}

double evn_branch_split_nm(const evn_pull *p, size_t unit, const evn_member *m, size_t branch, double tyre_n,
                           double accel)
{
    const evn_unit *u = &p->at.rig->unit[unit];
    double split_nm = evn_branch_torque_nm(p, unit, branch, tyre_n, accel), beside_nm = 0;
    for (size_t k = 0; m->setting.open && k < u->branch_count; k++)
        if (evn_is_branch_open(m->setting, k))
            beside_nm += above_nm(p, unit, m, &u->branch[k], accel, NULL);
    return split_nm / evn_closed_share(u, m->setting, branch) + beside_nm;
}

double evn_open_branches_n(const evn_pull *p, size_t unit, const evn_member *m, double accel)
{
    const evn_unit *u = &p->at.rig->unit[unit];
    double sum = 0;
    for (size_t k = 0; k < u->branch_count; k++)
        if (evn_is_branch_open(m->setting, k))
            sum += below_nm(p, unit, &u->branch[k], accel, NULL) / p->at.rig->axle[u->branch[k].axle].radius_m;
    return sum;
}
