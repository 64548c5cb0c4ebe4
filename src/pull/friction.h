/* How the axles share the friction braking force of an instant; nothing else of the instant asks for it. */
#ifndef EVENER_PULL_FRICTION_H
#define EVENER_PULL_FRICTION_H
#include "pull/instant.h"

/* All that slows or pulls: tyre forces of the units, above zero pulling; of retarder and friction brakes, slowing. */
typedef struct evn_forces {
    const double *unit_n;
    double accel_m_s2, brake_n, retarder_n;
} evn_forces;

/* Friction braking force of each axle, the trailer's group last; they sum up to brake_n. */
void evn_friction_shared(const evn_pull *, const evn_forces *, double force_n[EVN_AXLES_MAX]);
void evn_friction_forces(const evn_instant *, double force_n[EVN_AXLES_MAX]);

/* Braking force of motors and retarder on each axle; 0 on one that none is at, below zero where motors pull. */
void evn_motor_braking(const evn_pull *, const evn_forces *, double force_n[EVN_AXLES_MAX]);

#endif
