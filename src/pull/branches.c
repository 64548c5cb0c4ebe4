/* A unit that drives several axles through an inter-axle differential: each gets its share of the torque. */
#include "pull/branches.h"
#include "core/root.h"
#include "pull/tyres.h"
#include <math.h>

static double branch_force(const evn_pull *p, size_t unit, const evn_branch *b, double split_nm, double accel)
{
    double radius = p->at.rig->axle[b->axle].radius_m;
    double wheel_nm =
        evn_branch_wheel_nm(b, b->share * split_nm, p->at.speed_m_s / radius, accel / radius, p->at.unit[unit].degc);
    return evn_tyres_force_n(p, b->axle, wheel_nm / radius, accel);
}

double evn_branches_forces(const evn_pull *p, size_t unit, double split_nm, double accel, double force_n[])
{
    const evn_unit *u = &p->at.rig->unit[unit];
    double sum = 0;
    for (size_t k = 0; k < u->branch_count; k++)
        sum += force_n[k] = branch_force(p, unit, &u->branch[k], split_nm, accel);
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
    return evn_branches_forces(d->pull, d->unit, split_nm, d->accel, d->force_n) - d->total_n;
}

/* Nearly a straight line; what is left after a secant step or two is handed out alike. */
void evn_branches_divide(const evn_pull *p, size_t unit, double total_n, double accel, double force_n[])
{
    dividing d = {p, unit, total_n, accel, force_n};
    evn_secant how = {1e-8 * (1e3 + fabs(total_n)), 0, -(double)INFINITY, (double)INFINITY, 30};
    double off = off_total(&d, 0);
    evn_known from = {0, off};
    double guess = -off / p->at.rig->unit_rad_m[unit];
    evn_root at = evn_root_secant(off_total, &d, from, guess, &how);
    if (!at.found) /* to and fro over a bend; it rises all the way */
        at = evn_root_outwards(off_total, &d, from, guess, &(evn_between){how.tolerance, 1e-15, 200});
    size_t count = p->at.rig->unit[unit].branch_count;
    for (size_t k = 0; k < count; k++)
        force_n[k] -= at.error / (double)count;
}

/* The shaft of a branch at its dividing-point end, for a force at the hubs. */
static evn_shaft branch_up(const evn_pull *p, size_t unit, const evn_branch *b, double hub_n, double accel,
                           evn_flow *flow)
{
    double radius = p->at.rig->axle[b->axle].radius_m;
    evn_shaft wheels = {hub_n * radius, p->at.speed_m_s / radius, accel / radius};
    return evn_branch_up(b, wheels, p->at.unit[unit].degc, flow);
}

evn_shaft evn_branches_up(const evn_pull *p, size_t unit, const double force_n[], double accel, evn_flow *flow)
{
    const evn_unit *u = &p->at.rig->unit[unit];
    double split_nm = 0, rad_m = p->at.rig->unit_rad_m[unit];
    for (size_t k = 0; k < u->branch_count; k++) {
        const evn_branch *b = &u->branch[k];
        double hub = evn_tyres_hub_n(p, b->axle, force_n[k], accel);
        flow->w[EVN_TYRE_SLIP] += (hub - force_n[k]) * p->at.speed_m_s;
        evn_shaft at = branch_up(p, unit, b, hub, accel, flow);
        split_nm += at.torque_nm * b->ratio / p->at.rig->axle[b->axle].radius_m;
    }
    return (evn_shaft){split_nm / rad_m, p->at.speed_m_s * rad_m, accel * rad_m};
}

double evn_branch_split_nm(const evn_pull *p, size_t unit, size_t branch, double tyre_n, double accel)
{
    const evn_branch *b = &p->at.rig->unit[unit].branch[branch];
    evn_flow unbooked = {{0}};
    double hub = evn_tyres_hub_n(p, b->axle, tyre_n, accel);
    return branch_up(p, unit, b, hub, accel, &unbooked).torque_nm / b->share;
}
