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

static void add_unit(const evn_pull *p, size_t unit, double unit_n, double accel_m_s2, double force_n[])
{
    const evn_unit *u = &p->at.rig->unit[unit];
    double each_n[EVN_BRANCHES_MAX];
    if (u->branch_count == 0) {
        force_n[u->axle] -= unit_n;
        return;
    }
    evn_branches_divide(p, unit, &p->team.unit[unit], unit_n, accel_m_s2, each_n);
    for (size_t k = 0; k < u->branch_count; k++)
        force_n[u->branch[k].axle] -= each_n[k];
}

void evn_motor_braking(const evn_pull *p, const evn_forces *f, double force_n[EVN_AXLES_MAX])
{
    const evn_rig *r = p->at.rig;
    memset(force_n, 0, EVN_AXLES_MAX * sizeof *force_n);
    for (size_t u = 0; u < r->unit_count; u++)
        add_unit(p, u, f->unit_n[u], f->accel_m_s2, force_n);
    if (r->has_part[EVN_RETARDER])
        force_n[r->retarder.axle] += f->retarder_n;
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
static void share_ideally(const evn_pull *p, const evn_forces *f, double force_n[])
{
    const evn_rig *r = p->at.rig;
    braked axle[EVN_AXLES_MAX];
    double motor_n[EVN_AXLES_MAX];
    evn_motor_braking(p, f, motor_n);
    for (size_t k = 0; k < r->axle_count; k++) {
        double load_n = evn_tyres_load_n(p, k, f->accel_m_s2, f->brake_n);
        axle[k] = (braked){load_n, motor_n[k], load_n > 0};
    }
    double z = braking_over_load(axle, r->axle_count, f->brake_n);
    for (size_t k = 0; k < r->axle_count; k++)
        force_n[k] = axle[k].rubs ? z * axle[k].load_n - axle[k].motor_n : 0;
}

/* Where brakes end, their force may be a hair below 0 within a step: it goes on as it came to 0, by the axles that had
 * it last. */
void evn_friction_shared(const evn_pull *p, const evn_forces *f, double force_n[EVN_AXLES_MAX])
{
    const evn_rig *r = p->at.rig;
    bool ideal = r->friction_ideal && f->brake_n != 0;
    evn_forces above = *f;
    above.brake_n = fabs(f->brake_n);
    if (ideal)
        share_ideally(p, &above, force_n);
    for (size_t k = 0; k < r->axle_count; k++)
        force_n[k] = ideal ? copysign(force_n[k], f->brake_n) : r->axle[k].friction_share * f->brake_n;
}

void evn_friction_forces(const evn_instant *n, double force_n[EVN_AXLES_MAX])
{
    evn_friction_shared(&n->pull, &(evn_forces){n->force_n, n->accel_m_s2, n->brake_n, n->retarder_n}, force_n);
}
