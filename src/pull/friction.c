/* Friction braking force of each axle: by fixed shares, or what motors leave of braking in proportion to axle loads. */
#include "pull/friction.h"
#include "pull/branches.h"
#include "pull/tyres.h"
#include <math.h>
#include <string.h>

/* What is known of each axle before its friction brakes. */
typedef struct braked {
    double load_n, motor_n; /* motor_n: braking force of motors and retarder, below zero where motors pull */
    bool rubs;              /* its friction brakes have something left to do */
} braked;

/* Of each axle; an axle of no unit is 0. */
static void set_motor_forces(const evn_instant *n, braked axle[])
{
    const evn_rig *r = n->pull.at.rig;
    for (size_t u = 0; u < r->unit_count; u++) {
        const evn_unit *unit = &r->unit[u];
        double each_n[EVN_BRANCHES_MAX];
        if (unit->branch_count == 0)
            axle[unit->axle].motor_n = -n->force_n[u];
        else
            evn_branches_divide(&n->pull, u, &n->pull.team.unit[u], n->force_n[u], n->accel_m_s2, each_n);
        for (size_t k = 0; k < unit->branch_count; k++)
            axle[unit->branch[k].axle].motor_n = -each_n[k];
    }
    if (r->has_part[EVN_RETARDER])
        axle[r->retarder.axle].motor_n += n->retarder_n;
}

/*
 * Braking over load that the axles with friction left to do come to together. One whose motors alone do more gives up
 * its part, which lowers it for the others: so that none comes back, and a round for each axle is enough.
 */
static double braking_over_load(braked axle[], size_t count, double brake_n)
{
    for (;;) {
        double load_n = 0, braking_n = brake_n, z;
        bool again = false;
        for (size_t k = 0; k < count; k++) {
            load_n += axle[k].rubs ? axle[k].load_n : 0;
            braking_n += axle[k].rubs ? axle[k].motor_n : 0;
        }
        z = braking_n / load_n;
        for (size_t k = 0; k < count; k++) {
            bool beyond = axle[k].rubs && z * axle[k].load_n < axle[k].motor_n;
            axle[k].rubs = axle[k].rubs && !beyond;
            again = again || beyond;
        }
        if (!again)
            return z;
    }
}

/* T = z N for the whole braking T of each axle: alike adhesion utilised, T/N of UN R13 Annex 10, from memory. */
static void share_ideally(const evn_instant *n, double force_n[])
{
    const evn_rig *r = n->pull.at.rig;
    braked axle[EVN_AXLES_MAX] = {{0}};
    for (size_t k = 0; k < r->axle_count; k++) {
        axle[k].load_n = evn_tyres_load_n(&n->pull, k, n->accel_m_s2, n->brake_n);
        axle[k].rubs = axle[k].load_n > 0;
    }
    set_motor_forces(n, axle);
    double z = braking_over_load(axle, r->axle_count, n->brake_n);
    for (size_t k = 0; k < r->axle_count; k++)
        force_n[k] = axle[k].rubs ? z * axle[k].load_n - axle[k].motor_n : 0;
}

/* Where brakes end, their force may be a hair below 0: that goes by the shares. */
void evn_friction_forces(const evn_instant *n, double force_n[EVN_AXLES_MAX])
{
    const evn_rig *r = n->pull.at.rig;
    if (r->friction_ideal && n->brake_n > 0) {
        share_ideally(n, force_n);
        return;
    }
    for (size_t k = 0; k < r->axle_count; k++)
        force_n[k] = r->axle[k].friction_share * n->brake_n;
}
