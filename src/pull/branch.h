/* Within the room: one branch of a unit that drives several axles. Torques are those at the dividing point. */
#ifndef EVENER_PULL_BRANCH_H
#define EVENER_PULL_BRANCH_H
#include "pull/pull.h"

/* The shaft of a branch at its dividing-point end, for a force at the hubs; books its losses (NULL: none). */
evn_shaft evn_branch_of_wheels(const evn_pull *, size_t unit, const evn_branch *, double hub_n, double accel_m_s2,
                               evn_flow *);

/* Torque of one branch, closed, at the dividing point for a tyre force of it. */
double evn_branch_torque_nm(const evn_pull *, size_t unit, size_t branch, double tyre_n, double accel_m_s2);

#endif
