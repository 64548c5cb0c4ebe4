/*
 * Within the room: branches behind a locked inter-axle differential. Its axles turn alike, so that tyres that are alike
 * slip alike and carry in proportion to the loads on them, whatever their shares of the torque would be: all reach
 * their adhesion limits at once, and together carry the sum (textbooks of vehicle dynamics). Torques are those at the
 * dividing point.
 */
#ifndef EVENER_PULL_LOCKED_H
#define EVENER_PULL_LOCKED_H
#include "pull/pull.h"

/* Whether a unit's branches are locked together: with one of them open the whole torque goes to the others anyway. */
static inline bool evn_is_locked(const evn_pull *p, size_t unit, const evn_member *m)
{
    return p->at.unit[unit].branches_locked && !m->setting.open;
}

/* Most that all branches carry together; a magnitude, N. */
double evn_locked_carried_n(const evn_pull *, size_t unit, bool pulling, double accel_m_s2, double brake_n);

/* As evn_branches_forces and evn_branches_divide (branches.h). */
double evn_locked_forces(const evn_pull *, size_t unit, double split_nm, double accel_m_s2, double force_n[],
                         double *slope_1_m);
double evn_locked_divide(const evn_pull *, size_t unit, double total_n, double accel_m_s2, double force_n[]);

#endif
