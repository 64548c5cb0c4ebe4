/*
 * The friction brakes of an axle, or of a trailer's group of axles, whole: their keys, their temperature as a state of
 * a run, and what cools them. One node for all brakes of the axle.
 */
#ifndef EVENER_TRUCK_AXLE_BRAKE_H
#define EVENER_TRUCK_AXLE_BRAKE_H
#include "core/field.h"

typedef struct evn_axle_brake_file { /* all brakes of the axle together */
    double heat_capacity_kj_per_k;
    double standing_w_per_k, at_80_km_h_w_per_k; /* cooling; straight over speed */
    double limit_degc;                           /* NAN: none */
    double start_degc;                           /* NAN: the ambient's */
    const char *source;
    evn_many uncertain; /* evn_uncertain_file */
} evn_axle_brake_file;
extern const evn_object evn_axle_brake_object;

/* C dT/dt = friction power - (a + b v)(T - ambient). Not modelled: no state, no temperature. */
typedef struct evn_axle_brake {
    bool modelled;
    double capacity_j_k, standing_w_k, moving_w_s_m_k;
    double limit_degc; /* INFINITY: none */
    double start_degc;
} evn_axle_brake;

/* NULL: not modelled. */
evn_axle_brake evn_axle_brake_of(const evn_axle_brake_file *, double ambient_degc);

/* An error of this, times the accuracy, is allowed in a step. */
#define EVN_AXLE_BRAKE_SCALE_K 50

double evn_axle_brake_cooling_w_k(const evn_axle_brake *, double speed_m_s);
double evn_axle_brake_rate_k_s(const evn_axle_brake *, double degc, double ambient_degc, double speed_m_s,
                               double friction_w);

#endif
