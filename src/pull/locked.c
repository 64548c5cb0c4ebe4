/* Branches behind a locked inter-axle differential: each carries in proportion to its load. */
#include "pull/locked.h"
#include "core/root.h"
#include "pull/branch.h"
#include "pull/tyres.h"
#include <math.h>

double evn_locked_carried_n(const evn_pull *p, size_t unit, bool pulling, double accel, double brake_n)
{
    const evn_unit *u = &p->at.rig->unit[unit];
    double sum = 0;
    for (size_t k = 0; k < u->branch_count; k++)
        sum += evn_tyres_carried_n(p, u->branch[k].axle, pulling, accel, brake_n);
    return sum;
}

typedef struct locked {
    const evn_pull *pull;
    size_t unit;
    double accel, wanted_nm;
    double part[EVN_BRANCHES_MAX]; /* of the total, of each branch */
    double *force_n;
} locked;

/* The friction brakes' small load transfer is left out, as in the slip. */
static locked locked_of(const evn_pull *p, size_t unit, double accel, double force_n[])
{
    const evn_unit *u = &p->at.rig->unit[unit];
    locked l = {.pull = p, .unit = unit, .accel = accel, .force_n = force_n};
    double sum = 0;
    for (size_t k = 0; k < u->branch_count; k++)
        sum += l.part[k] = fmax(evn_tyres_load_n(p, u->branch[k].axle, accel, 0), 0);
    for (size_t k = 0; k < u->branch_count; k++)
        l.part[k] = sum > 0 ? l.part[k] / sum : u->branch[k].share; /* off the ground altogether */
    return l;
}

/* Torque at the dividing point that keeps the power, for a total of the tyre forces. */
static double split_nm_of(const locked *l, double total_n)
{
    const evn_rig *r = l->pull->at.rig;
    const evn_unit *u = &r->unit[l->unit];
    double sum = 0;
    for (size_t k = 0; k < u->branch_count; k++) {
        const evn_branch *b = &u->branch[k];
        l->force_n[k] = total_n * l->part[k];
        sum +=
            evn_branch_torque_nm(l->pull, l->unit, k, l->force_n[k], l->accel) * b->ratio / r->axle[b->axle].radius_m;
    }
    return sum / r->unit_rad_m[l->unit];
}

static double off_wanted(void *self, double total_n)
{
    const locked *l = self;
    return split_nm_of(l, total_n) - l->wanted_nm;
}

/* It rises all the way, bends where pulling turns to pushing, and is nearly straight on either side. */
double evn_locked_forces(const evn_pull *p, size_t unit, double split_nm, double accel, double force_n[],
                         double *slope_1_m)
{
    locked l = locked_of(p, unit, accel, force_n);
    l.wanted_nm = split_nm;
    double rad_m = p->at.rig->unit_rad_m[unit], guess_n = split_nm * rad_m, near_nm = 1e-11 * (1e2 + fabs(split_nm));
    evn_known at_guess = {guess_n, off_wanted(&l, guess_n)};
    evn_secant how = {near_nm, 0, -(double)INFINITY, (double)INFINITY, 10};
    double step_n = -at_guess.error * rad_m;
    evn_root at = {at_guess.x, at_guess.error, fabs(at_guess.error) <= near_nm};
    if (!at.found)
        at = evn_root_secant(off_wanted, &l, at_guess, guess_n + step_n, &how);
    if (!at.found)
        at = evn_root_outwards(off_wanted, &l, at_guess, step_n, &(evn_between){near_nm, 1e-15, 200});
    double beside_n = at.x + 1e-3 * (1e3 + fabs(at.x)) * (at.x >= 0 ? 1 : -1);
    double beside_nm = split_nm_of(&l, beside_n), at_nm = split_nm_of(&l, at.x); /* the last leaves the forces */
    *slope_1_m = (beside_n - at.x) / (beside_nm - at_nm);
    return at.x;
}

double evn_locked_divide(const evn_pull *p, size_t unit, double total_n, double accel, double force_n[])
{
    locked l = locked_of(p, unit, accel, force_n);
    return split_nm_of(&l, total_n);
}
