/* Within the room: normal loads and slip of driven axles. */
#ifndef EVENER_PULL_TYRES_H
#define EVENER_PULL_TYRES_H
#include "pull/pull.h"

/* Normal load, N; the friction brakes' share of the load transfer only where it is asked for. */
double evn_tyres_load_n(const evn_pull *, size_t axle, double accel_m_s2, double brake_n);

/* Torque at the hubs over the rolling radius for a tyre force, and back. */
double evn_tyres_hub_n(const evn_pull *, size_t axle, double tyre_n, double accel_m_s2);
double evn_tyres_force_n(const evn_pull *, size_t axle, double hub_n, double accel_m_s2);

#endif
