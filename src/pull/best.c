/* Settings in which units pull, or push, most: each by itself, by what its motors give. */
#include "pull/best.h"
#include "pull/member.h"

bool evn_member_can_turn(const evn_pull *p, size_t unit, const evn_member *m)
{
    return m->motor_rad_s <= evn_unit_top_rad_s(&p->at.rig->unit[unit]) * (1 + 1e-12);
}

evn_setting evn_pull_best_setting(const evn_pull *p, size_t unit, bool pulling)
{
    const evn_unit *u = &p->at.rig->unit[unit];
    evn_setting best = u->can_disconnect ? (evn_setting){0, 0} : evn_all_engaged(u, u->gear_count - 1);
    double most = -(double)INFINITY;
    for (size_t gear = 0; gear < u->gear_count; gear++) {
        evn_member m = evn_pull_member(p, unit, evn_all_engaged(u, gear), false);
        double motors_n = evn_member_force(p, unit, &m, pulling ? m.most_nm : m.least_nm, p->at.asked_m_s2);
        double force = pulling ? motors_n : -motors_n;
        if (evn_member_can_turn(p, unit, &m) && force > most) {
            most = force;
            best = m.setting;
        }
    }
    return best;
}

void evn_pull_take_best(evn_pull *p, bool pulling)
{
    for (size_t u = 0; u < p->at.rig->unit_count; u++) {
        p->at.unit[u].setting = evn_pull_best_setting(p, u, pulling);
        p->at.unit[u].shifting = false;
    }
    evn_pull_make(p);
}
