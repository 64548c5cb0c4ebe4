/*
 * The power take-off made ready: what a drive unit offers, the truck's work, and what it draws and loses. PHYSICS.md
 * says what is left out.
 */
#ifndef EVENER_TRUCK_TAKEOFF_DRAW_H
#define EVENER_TRUCK_TAKEOFF_DRAW_H
#include "core/takeoff_ask.h"
#include "truck/chain.h"
#include "truck/truck.h"

struct evn_unit;

/* What a unit offers, made ready. */
typedef struct evn_unit_takeoff {
    bool there, drags;
    double ratio, efficiency, torque_limit_nm, top_rad_s;
    evn_stage drag; /* of the gearbox, at its input */
} evn_unit_takeoff;
evn_unit_takeoff evn_unit_takeoff_of(const evn_unit_takeoff_file *, const evn_gearbox_file *, evn_lowering *);

/* What a power take-off draws and loses now, W. */
typedef struct evn_takeoff_flow {
    double bus_w, shaft_w, gear_w, motor_w, inverter_w;
} evn_takeoff_flow;

/* That of the truck. */
typedef struct evn_takeoff {
    bool there;
    size_t unit;                /* whose motors drive it, where no motor of its own does */
    const struct evn_unit *own; /* that motor, as a unit without a path; NULL: none */
    double shaft_rad_s, motor_rad_s;
    double efficiency;    /* of the gears between */
    double most_w;        /* at the shaft, by permitted torque and by what the motors have */
    const char *limit;    /* which of them that is */
    evn_takeoff_ask stop; /* at each stop that lasts as long; where the cycle does not say */
    double running_w;     /* from start to end, mean over its share of the time */
    evn_takeoff_flow running;
} evn_takeoff;
/* False: memory ran out. Behind the units. */
bool evn_takeoff_make(const evn_truck_file *, const struct evn_unit *units, evn_arena *, evn_takeoff *);

/* By a motor of its own. */
evn_takeoff_flow evn_takeoff_own(const evn_takeoff *, double shaft_w);

/* Torque that all its motors have to give for a power at the shaft, Nm, and the power at the shaft of such a torque. */
double evn_takeoff_motor_nm(const evn_takeoff *, const struct evn_unit *, double shaft_w);
double evn_takeoff_shaft_w(const evn_takeoff *, const struct evn_unit *, double motor_nm);
/* Power lost in gears between. */
double evn_takeoff_gear_w(const evn_takeoff *, const struct evn_unit *, double shaft_w);

#endif
