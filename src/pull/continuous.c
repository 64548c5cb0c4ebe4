/* Continuous force: in each gear the torque at which winding and inverter come to stand where derating begins. */
#include "pull/continuous.h"
#include "pull/best.h"
#include "pull/member.h"
#include <math.h>

/* Of one unit; NAN without a winding: nothing is known of its heat. */
static double unit_continuous_n(const evn_pull *p, size_t unit, evn_parts_that_heat by, size_t in_gear)
{
    const evn_unit *u = &p->at.rig->unit[unit];
    double most = 0;
    for (size_t gear = 0; gear < u->gear_count; gear++) {
        evn_member m = evn_pull_member(p, unit, evn_all_engaged(u, gear), false);
        if (!evn_member_can_turn(p, unit, &m) || (in_gear > 0 && gear + 1 != in_gear))
            continue;
        double nm = evn_unit_continuous_by_nm(u, m.motor_rad_s, by);
        if (isnan(nm))
            return nm;
        most = fmax(most, evn_member_force(p, unit, &m, fmin(nm, m.most_nm), 0));
    }
    return fmin(most, evn_member_adhesion_n(p, unit, &p->team.unit[unit], true, 0, 0));
}

double evn_pull_continuous_n(const evn_pull *p, evn_parts_that_heat by, const uint8_t gear[])
{
    double sum = 0;
    for (size_t u = 0; u < p->at.rig->unit_count; u++)
        sum += unit_continuous_n(p, u, by, gear ? gear[u] : 0);
    return sum;
}
