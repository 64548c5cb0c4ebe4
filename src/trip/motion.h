/* Within the room: the pieces of an instant that motion.c and gears.c share. */
#ifndef EVENER_TRIP_MOTION_H
#define EVENER_TRIP_MOTION_H
#include "trip/trip.h"

typedef struct evn_at_work {
    double bus_w, motor_nm;
} evn_at_work;

typedef double (*evn_force_at)(const evn_trip *, const evn_now *, evn_setting, double motor_nm, double accel);

const evn_axle *evn_driven_axle(const evn_rig *);
void evn_set_pack_limits(const evn_trip *, const double *y, evn_now *);
void evn_set_road(const evn_trip *, evn_now *);
void evn_set_motor_limits(const evn_trip *, const double *y, evn_now *);
evn_supply evn_pull_supply(const evn_trip *, const double *y, const evn_now *);
evn_supply evn_push_supply(const evn_trip *, const double *y, const evn_now *);
double evn_wanted_n(const evn_trip *, const evn_now *); /* gears.c */
double evn_gear_cost_w(const evn_trip *, const double *y, const evn_now *, uint8_t gear, double want_n, double accel);

/* Acceleration that a motor force gives without friction brakes. */
double evn_free_accel(const evn_now *, double force_n);
/* Bus power and motor torque for a tyre force at an acceleration; adds to the flow. */
evn_at_work evn_drive_unit(const evn_trip *, const double *y, const evn_now *, evn_setting, double force_n,
                           double accel, evn_flow *);
/* Tyre force of a motor torque at an acceleration. */
double evn_force_of_motor(const evn_trip *, const evn_now *, evn_setting, double motor_nm, double accel);
/* The same at the acceleration that the force itself gives. */
double evn_coupled_force(const evn_trip *, const evn_now *, evn_setting, double motor_nm, evn_force_at);
double evn_adhesion_pull_n(const evn_rig *, const evn_now *);

#endif
