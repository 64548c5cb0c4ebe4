/*
 * Several units at work. They share a request so that each connected one works at the same share of the torque that its
 * motors can reach now (its envelope at this speed, voltage and temperature); where the tyres of one reach their
 * adhesion limit first, the others take the rest. Forces are tyre forces, N, above zero pulling; `force_n` receives
 * each unit's.
 */
#ifndef EVENER_PULL_TEAM_H
#define EVENER_PULL_TEAM_H
#include "pull/pull.h"

/* Forces of the units that sum up to a total; `brake_n` is what the friction brakes do besides. */
void evn_team_share(const evn_pull *, const evn_team *, double total_n, double accel_m_s2, double brake_n,
                    double force_n[]);
/* Forces at a share, -1 to 1, of what each can reach; returns their sum. */
double evn_team_forces(const evn_pull *, const evn_team *, double share, double accel_m_s2, double brake_n,
                       double force_n[]);
/* True: the tyres carry these forces without any doubt; false: it must be worked out. */
bool evn_team_carries(const evn_pull *, const evn_team *, double accel_m_s2, double brake_n, const double force_n[]);

#endif
