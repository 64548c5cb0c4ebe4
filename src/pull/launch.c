/* What a truck has to move off with. */
#include "pull/launch.h"
#include "pull/member.h"
#include <math.h>

static double motors_n(const evn_pull *p, size_t unit)
{
    const evn_member *m = &p->team.unit[unit];
    return m->connected ? evn_member_force(p, unit, m, m->most_nm, 0) : 0;
}

/* What all driven tyres carry at rest, with every differential locked or open. */
static double carried_n(const evn_pull *as_is, bool locked)
{
    evn_pull p = *as_is;
    double sum = 0;
    for (size_t u = 0; u < p.at.rig->unit_count; u++) {
        p.at.unit[u].axles_locked = p.at.unit[u].branches_locked = locked;
        sum += evn_member_adhesion_n(&p, u, &p.team.unit[u], true, 0, 0);
    }
    return sum;
}

evn_launch_reach evn_launch_reach_of(const evn_given *at)
{
    double cold_degc[EVN_UNITS_MAX][EVN_NODES_MAX];
    const evn_rig *r = at->rig;
    evn_pull now = {.at = *at}, cold;
    now.at.speed_m_s = 0;
    now.at.asked_m_s2 = 0;
    for (size_t u = 0; u < r->unit_count; u++)
        now.at.unit[u].shifting = false;
    cold.at = now.at;
    for (size_t u = 0; u < r->unit_count; u++) {
        evn_unit_coolant_degc(&r->unit[u], cold_degc[u]);
        cold.at.unit[u].degc = cold_degc[u];
    }
    evn_pull_make(&now);
    evn_pull_make(&cold);
    evn_launch_reach l = {
        .need_n = now.road.base_n, .open_n = carried_n(&now, false), .locked_n = carried_n(&now, true)};
    for (size_t u = 0; u < r->unit_count; u++) {
        double tyres = evn_member_adhesion_n(&now, u, &now.team.unit[u], true, 0, 0);
        double by_motors = motors_n(&now, u), by_cold = motors_n(&cold, u);
        l.tyres_n += tyres;
        l.motors_n += by_motors;
        l.cold_n += by_cold;
        l.both_n += fmin(by_motors, tyres);
        l.both_cold_n += fmin(by_cold, tyres);
    }
    return l;
}
