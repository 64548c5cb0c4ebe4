/*
 * The power take-off as it is written: what a drive unit offers of it, the work that the truck asks, and what drives
 * it. Either motors of a unit through a take-off on its gearbox, the truck at rest in neutral; or a motor of its own at
 * the d.c. bus. What comes of it: takeoff_draw.h.
 */
#ifndef EVENER_TRUCK_TAKEOFF_H
#define EVENER_TRUCK_TAKEOFF_H
#include "core/field.h"

struct evn_truck_file;
struct evn_motor_file;

typedef enum evn_takeoff_at { EVN_TAKEOFF_AT_GEARBOX, EVN_TAKEOFF_AT_MOTOR } evn_takeoff_at;
typedef struct evn_unit_takeoff_file { /* what a unit offers */
    int at;                            /* evn_takeoff_at */
    double ratio, efficiency, torque_limit_nm, speed_limit_rpm, mass_kg;
    const char *source;
    evn_many uncertain; /* evn_uncertain_file */
} evn_unit_takeoff_file;
extern const evn_object evn_unit_takeoff_object;

typedef enum evn_takeoff_by { EVN_TAKEOFF_BY_EITHER, EVN_TAKEOFF_BY_UNIT, EVN_TAKEOFF_BY_MOTOR } evn_takeoff_by;
typedef struct evn_power_take_off_file { /* the work, and what drives it */
    int driven_by;                       /* evn_takeoff_by */
    double speed_rpm;
    double stop_kw, stop_s, running_kw, running_share;
    const struct evn_motor_file *motor; /* of its own; NULL: none */
    double motor_ratio, motor_gear_efficiency;
    double motor_behind_front_axle_m, motor_height_m;
    const char *source;
    evn_many uncertain; /* evn_uncertain_file */
} evn_power_take_off_file;
extern const evn_object evn_power_take_off_object;

/* Rules between the work and what offers it. */
void evn_takeoff_check(const struct evn_truck_file *, const evn_seat *, evn_report *);
/* Motors of a unit drive it; which one: the first that offers a take-off, the count of units where none does. */
bool evn_takeoff_is_by_unit(const struct evn_truck_file *);
size_t evn_takeoff_offering(const struct evn_truck_file *);
/* Mass of a motor of its own with its inverter; 0 where none drives it. */
double evn_takeoff_motor_kg(const struct evn_truck_file *);

#endif
