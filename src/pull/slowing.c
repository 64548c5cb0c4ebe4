/* Braking shared between motors, retarder and friction brakes. */
#include "pull/slowing.h"
#include "core/root.h"
#include "pull/branches.h"
#include "pull/team.h"
#include "pull/tyres.h"
#include <math.h>

/*
 * What the units do without a torque of their motors (drag, and rotors that slow down) comes before any share: motors
 * that had to leave it to friction brakes would pull against them. Of what is needed beyond it they take their share.
 */
double evn_wanted_of_motors_n(const evn_pull *p, const evn_team *team, double need_n, double accel)
{
    double share = p->at.rig->motor_share, each_n[EVN_UNITS_MAX];
    if (share >= 1)
        return need_n;
    double idle_n = evn_team_forces(p, team, 0, accel, 0, each_n);
    return need_n < idle_n ? idle_n + share * (need_n - idle_n) : need_n;
}

/* ------------------------------------------------------------------------------------------------ retarder */

static double faded(double x, double none, double all) { return fmin(fmax((x - none) / (all - none), 0), 1); }

double evn_retarder_most_n(const evn_pull *p)
{
    static const double GONE = 1.1; /* no jump where more is demanded than it is used for */
    const evn_retarder *r = &p->at.rig->retarder;
    double v = p->at.speed_m_s, share = faded(v, r->fade_to_m_s, r->fade_from_m_s);
    if (share <= 0)
        return 0;
    if (isfinite(r->endurance_m_s2))
        share *= faded(-p->at.asked_m_s2, GONE * r->endurance_m_s2, r->endurance_m_s2);
    return share * fmin(r->force_limit_n, r->power_limit_w / v);
}

/* Tyre force of the motors on an axle. */
static double motors_n(const evn_pull *p, size_t axle, const double force_n[], double accel)
{
    double each_n[EVN_BRANCHES_MAX];
    for (size_t u = 0; u < p->at.rig->unit_count; u++) {
        const evn_unit *unit = &p->at.rig->unit[u];
        if (unit->branch_count == 0 && unit->axle == axle)
            return force_n[u];
        for (size_t k = 0; k < unit->branch_count; k++)
            if (unit->branch[k].axle == axle) {
                evn_branches_divide(p, u, &p->team.unit[u], force_n[u], accel, each_n);
                return each_n[k];
            }
    }
    return 0;
}

typedef struct at_axle {
    const evn_pull *pull;
    double motors_n, accel, left_n;
} at_axle;

/* What the axle carries beside motors and retarder, where friction brakes do the rest. */
static double carried_over(void *self, double retarder_n)
{
    const at_axle *s = self;
    double brake_n = (s->left_n - retarder_n) / s->pull->road.brake_factor;
    return evn_tyres_carried_n(s->pull, s->pull->at.rig->retarder.axle, false, s->accel, brake_n) + s->motors_n -
           retarder_n;
}

double evn_retarder_n(const evn_pull *p, const double force_n[], double accel, double left_n)
{
    static const evn_between how = {1e-9, 1e-14, 100};
    if (!p->at.rig->has_part[EVN_RETARDER])
        return 0;
    double most_n = left_n != 0 ? evn_retarder_most_n(p) : 0, wanted_n = fmin(left_n, most_n);
    if (most_n <= 0)
        return 0;
    at_axle s = {p, motors_n(p, p->at.rig->retarder.axle, force_n, accel), accel, left_n};
    evn_known none = {0, carried_over(&s, 0)};
    if (wanted_n < 0) /* within a step past the end of braking: its force goes through zero as that of brakes does */
        return none.error > 0 ? wanted_n : 0;
    evn_known wanted = {wanted_n, carried_over(&s, wanted_n)};
    if (wanted.error >= 0)
        return wanted_n;
    return none.error <= 0 ? 0 : evn_root_between(carried_over, &s, none, wanted, &how).x;
}
