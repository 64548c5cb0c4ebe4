/* Energy of all that moves and turns. */
#include "trip/kinetic.h"

/* In neutral, or behind an open disconnect, only what is below turns; a rotor set free keeps its energy. */
static double unit_kinetic_j(const evn_trip *t, size_t unit)
{
    const evn_unit *u = &t->rig->unit[unit];
    const evn_box *box = &t->box[unit];
    double v = t->y[EVN_Y_SPEED], w = v * evn_rig_setting_rad_m(t->rig, unit, box->now),
           chain = evn_unit_inertia_kg_m2(u, box->now);
    if (box->shifting && !evn_is_open(box->now))
        chain = u->path_inertia_kg_m2;
    double sum = 0.5 * chain * w * w + box->freed_j;
    for (size_t k = 0; k < u->branch_count; k++) {
        double wheel = v / t->rig->axle[u->branch[k].axle].radius_m;
        sum += evn_is_branch_open(box->now, k) ? 0.5 * evn_rig_branch_kg(t->rig, unit, box->now, k) * v * v
                                               : 0.5 * u->branch[k].inertia_kg_m2 * wheel * wheel;
    }
    return sum;
}

double evn_trip_kinetic_j(const evn_trip *t)
{
    double v = t->y[EVN_Y_SPEED], sum = 0.5 * t->rig->effective_kg * v * v;
    for (size_t u = 0; u < t->rig->unit_count; u++)
        sum += unit_kinetic_j(t, u);
    return sum;
}
