/* Braking forces of the axles over their loads. */
#include "pull/adhesion_use.h"
#include "pull/branches.h"
#include "pull/tyres.h"

/* Share of an axle in the friction brakes' force: in proportion to the axle loads at rest. */
static double friction_share(const evn_rig *r, size_t axle) { return r->axle[axle].load.cosine_kg / r->mass_kg; }

static void add_unit(const evn_pull *p, size_t unit, double force_n, double accel, double braking_n[])
{
    const evn_unit *u = &p->at.rig->unit[unit];
    double each_n[EVN_BRANCHES_MAX];
    if (u->branch_count == 0) {
        braking_n[u->axle] -= force_n;
        return;
    }
    evn_branches_divide(p, unit, force_n, accel, each_n);
    for (size_t k = 0; k < u->branch_count; k++)
        braking_n[u->branch[k].axle] -= each_n[k];
}

void evn_pull_adhesion_use(const evn_pull *p, const double unit_n[], double accel, double brake_n,
                           double use[EVN_AXLES_MAX])
{
    const evn_rig *r = p->at.rig;
    double braking_n[EVN_AXLES_MAX];
    for (size_t k = 0; k < r->axle_count; k++)
        braking_n[k] = friction_share(r, k) * brake_n;
    for (size_t u = 0; u < r->unit_count; u++)
        add_unit(p, u, unit_n[u], accel, braking_n);
    for (size_t k = 0; k < r->axle_count; k++)
        use[k] = braking_n[k] / evn_tyres_load_n(p, k, accel, brake_n);
}

double evn_pull_braking_rate(const evn_pull *p, const double unit_n[], double brake_n)
{
    double sum = brake_n;
    for (size_t u = 0; u < p->at.rig->unit_count; u++)
        sum -= unit_n[u];
    return sum / (p->at.rig->mass_kg * p->at.rig->gravity_m_s2 * p->road.slope_cos);
}
