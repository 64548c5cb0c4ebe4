/* One branch of a unit that drives several axles, between its tyres and the dividing point. */
#include "pull/branch.h"
#include "pull/tyres.h"

evn_shaft evn_branch_of_wheels(const evn_pull *p, size_t unit, const evn_branch *b, double hub_n, double accel,
                               evn_flow *flow)
{
    double radius = p->at.rig->axle[b->axle].radius_m;
    evn_shaft wheels = {hub_n * radius, p->at.speed_m_s / radius, accel / radius};
    return evn_branch_up(b, wheels, p->at.unit[unit].degc, flow);
}

double evn_branch_torque_nm(const evn_pull *p, size_t unit, size_t branch, double tyre_n, double accel)
{
    const evn_branch *b = &p->at.rig->unit[unit].branch[branch];
    double radius = p->at.rig->axle[b->axle].radius_m, split_nm;
    double hub = evn_tyres_hub_n(p, b->axle, tyre_n, accel);
    if (!evn_chain_at_up(&p->branch[unit][branch], hub * radius, accel / radius, &split_nm))
        split_nm = evn_branch_of_wheels(p, unit, b, hub, accel, NULL).torque_nm;
    return split_nm;
}
