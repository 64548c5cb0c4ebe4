/* Within the room: the branches of a unit that drives several axles. Torques are those at the dividing point. */
#ifndef EVENER_PULL_BRANCHES_H
#define EVENER_PULL_BRANCHES_H
#include "pull/pull.h"

/* Tyre forces of a unit's branches for a torque at the dividing point; returns their sum, and its slope over the
 * torque. */
double evn_branches_forces(const evn_pull *, size_t unit, const evn_member *, double split_nm, double accel_m_s2,
                           double force_n[], double *slope_1_m);

/* Tyre forces of the branches that sum up to a total; returns the torque at the dividing point. */
double evn_branches_divide(const evn_pull *, size_t unit, const evn_member *, double total_n, double accel_m_s2,
                           double force_n[]);

/* Books slip and losses of the branches; the shaft at the dividing point, its torque that which keeps the power. */
evn_shaft evn_branches_up(const evn_pull *, size_t unit, const evn_member *, const double force_n[], double accel_m_s2,
                          evn_flow *);

/* Torque at the dividing point for a tyre force of one closed branch, all that turns beside it included. */
double evn_branch_split_nm(const evn_pull *, size_t unit, const evn_member *, size_t branch, double tyre_n,
                           double accel_m_s2);

/* Tyre force of the open branches, dragged by the road; 0 where none is open. */
double evn_open_branches_n(const evn_pull *, size_t unit, const evn_member *, double accel_m_s2);

#endif
