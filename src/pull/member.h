/* One unit at work, between its motors and its tyres. Forces are tyre forces, N, above zero pulling.
 */
#ifndef EVENER_PULL_MEMBER_H
#define EVENER_PULL_MEMBER_H
#include "pull/pull.h"

typedef struct evn_at_work {
    double bus_w, motor_nm;
} evn_at_work;
/* Bus power and motor torque of a connected unit for a tyre force at an acceleration; adds to the flow. */
evn_at_work evn_member_draw(const evn_pull *, size_t unit, const evn_member *, double force_n, double accel_m_s2,
                            evn_flow *);
/* The same without a flow. */
evn_at_work evn_member_at_work(const evn_pull *, size_t unit, const evn_member *, double force_n, double accel_m_s2);
/* What is lost in a unit between the bus and the road: what it takes less what it gives to the road and to what turns.
 */
double evn_member_losses_w(const evn_pull *, const evn_member *, double bus_w, double force_n, double accel_m_s2);
/* Tyre force of a torque of its motors; with its slope over the torque, right but near bends. */
double evn_member_force_and_slope(const evn_pull *, size_t unit, const evn_member *, double motor_nm, double accel_m_s2,
                                  double *slope_1_m);
double evn_member_force(const evn_pull *, size_t unit, const evn_member *, double motor_nm, double accel_m_s2);
/* Tyre force of a unit that is not connected; adds its drags to the flow, where there is one (NULL: none). */
double evn_member_dragged(const evn_pull *, size_t unit, const evn_member *, double accel_m_s2, evn_flow *);

/* What the slip of a unit's tyres, those of closed branches all together, is stiff by, N; INFINITY: no slip. */
double evn_member_slip_stiffness_n(const evn_pull *, size_t unit, const evn_member *, double accel_m_s2);

/* A single unit on one axle has its adhesion limit as a limit of its own; else it cuts the force of each unit. */
bool evn_cut_by_adhesion(const evn_rig *);
/* Force at which a unit's tyres carry what they may, pulling or pushing (below zero), at an acceleration. */
double evn_member_adhesion_n(const evn_pull *, size_t unit, const evn_member *, bool pulling, double accel_m_s2,
                             double brake_n);
/* Certainly below that, without working out how branches share: each with a good part more than its share. */
bool evn_member_easily_carried(const evn_pull *, size_t unit, const evn_member *, double force_n, double accel_m_s2,
                               double brake_n);
/* Of a single unit on one axle, at the acceleration that the force itself gives; pushing at the asked one. */
double evn_single_adhesion_pull_n(const evn_pull *);
double evn_single_adhesion_push_n(const evn_pull *);

#define EVN_NO_LIMIT_N 1e12 /* a force that nothing limits */

#endif
