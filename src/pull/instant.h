/* Everything that holds at one instant: forces, powers, and the power into every line of the ledger. */
#ifndef EVENER_PULL_INSTANT_H
#define EVENER_PULL_INSTANT_H
#include "pull/limits.h"
#include "pull/pull.h"

typedef struct evn_instant {
    evn_pull pull; /* what was asked, and what is known before any force */
    double need_n; /* tyre force that the asked acceleration needs without friction brakes */
    double accel_m_s2;
    evn_limited limited; /* unit_n: tyre force of all units */
    double want_n;       /* what is wanted of the motors of it */
    double rest_n;       /* what friction brakes would have to do without a retarder, above zero */
    double retarder_n, retarder_w;
    double brake_n; /* of the friction brakes, above zero */
    double air_n, grade_n, rolling_n, hubs_n;
    double bus_w, load_w, current_a; /* into all units; at the terminals */
    double resistor_w;               /* into the brake resistor */
    double connector_w;              /* from a connector */
    double motor_nm;                 /* of all units: its sign tells pulling from pushing */
    double force_n[EVN_UNITS_MAX], unit_motor_nm[EVN_UNITS_MAX], unit_bus_w[EVN_UNITS_MAX];
    evn_takeoff_flow takeoff;                /* by a motor of its own; where the rig has one */
    evn_flow flow, unit_flow[EVN_UNITS_MAX]; /* of the whole truck; of each unit, its own lines only */
} evn_instant;

/* Fills all but pull.at from it. */
void evn_instant_make(evn_instant *);

/* What those units give together that are not held by motors, tyres or pack alone; see evn_reach. */
evn_reach evn_instant_reach(const evn_instant *);

/* Power that the pack always has to give, W: what is drawn beside the units, and motors that stand ready, less what a
 * connector gives. */
double evn_instant_floor_w(const evn_pull *);

/* Heat into the coolant of the truck's loop, W: a further source of it is a term of this sum. */
double evn_instant_to_coolant_w(const evn_instant *);

#endif
