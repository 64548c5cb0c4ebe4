/*
 * A drive unit made ready: one contiguous chain of normal-form stages per gear, its motors, and two questions:
 * what does it draw from the d.c. bus for this wheel torque, and what wheel torque can it reach.
 */
#ifndef EVENER_TRUCK_UNIT_H
#define EVENER_TRUCK_UNIT_H
#include "truck/map.h"
#include "truck/stage.h"

enum { EVN_MOTORS_MAX = 4, EVN_GEARS_MAX = 8, EVN_CHAIN_MAX = 32 };

/*
 * Motor with inverter: losses over torque and speed, envelope, winding. With a map the coefficients hold what goes with
 * it: constant_w its loss at rest without torque, characteristic_share that of its fit, for the current of the
 * inverter.
 */
typedef struct evn_motor {
    double peak_nm, peak_w, top_rad_s, reference_v;
    double constant_w, speed_w_s, speed2_w_s2, copper_w_nm2; /* copper at reference_degc */
    double reference_degc;
    double characteristic_share; /* field weakening; 0: none */
    double inverter_constant_w, inverter_current_w, inverter_current2_w;
    double inertia_kg_m2;
    const evn_map *map; /* NULL: the coefficients */
    /* winding: C dT/dt = loss - (T - coolant)/R, with tau = R C; has_winding false: T stays at reference_degc */
    bool has_winding;
    double coolant_degc, resistance_k_w, time_constant_s, derate_from_degc, derate_to_degc, start_degc;
} evn_motor;

typedef struct evn_gear {
    evn_stage stage[EVN_CHAIN_MAX]; /* wheel side first; the path's own come first */
    size_t count;
    double total_ratio;
    double inertia_kg_m2; /* of all that turns, rotors of all motors included, seen at the wheels */
} evn_gear;

typedef struct evn_unit {
    const char *name;
    evn_gear gear[EVN_GEARS_MAX];
    size_t gear_count;
    size_t path_count;            /* stages below the gearbox: what still turns in neutral */
    double path_inertia_kg_m2;    /* of those, seen at the wheels */
    double machine_inertia_kg_m2; /* rotors and gearbox input at motor speed: what a shift must synchronise */
    evn_motor motor[EVN_MOTORS_MAX];
    size_t motor_count;
    bool idle_stands_still;
    double shift_time_s, shift_price_j, shift_dwell_s, synchronising_loss_share;
} evn_unit;

typedef struct evn_setting {
    uint8_t gear, engaged; /* engaged: one bit per motor */
} evn_setting;

/* What limits a unit's torque besides its own envelope. */
typedef struct evn_supply {
    double voltage_v; /* of the bus, for the power envelope */
    double winding_degc;
    double fade; /* share of the braking torque that is allowed, 0 to 1 */
} evn_supply;

/*
 * Power taken from the bus, W (below zero: returned), for a torque at the wheels of the unit; adds to the flow: losses
 * to their lines, power into turning masses to EVN_KINETIC. motor_nm, where not NULL, receives the torque of all
 * motors. voltage_v is that of the bus for loss maps: the open-circuit voltage, which is explicit and does not jump
 * between pulling and pushing as the voltages of the two limits do.
 */
double evn_unit_draw_w(const evn_unit *, evn_setting, evn_shaft at_wheels, double voltage_v, double winding_degc,
                       evn_flow *, double *motor_nm);

/* Torque limit of all engaged motors together, pulling, and the same pushing (below zero). */
double evn_unit_most_motor_nm(const evn_unit *, evn_setting, double motor_rad_s, const evn_supply *);
double evn_unit_least_motor_nm(const evn_unit *, evn_setting, double motor_rad_s, const evn_supply *);

/* Wheel torque that a torque of the engaged motors gives at this wheel speed and acceleration: exact inverse of the
 * above. */
double evn_unit_wheel_nm(const evn_unit *, evn_setting, double motor_nm, double wheel_rad_s, double wheel_accel_rad_s2);

/* Wheel torque with the gearbox in neutral: what still turns is dragged along. Books the drags. */
double evn_unit_neutral_nm(const evn_unit *, double wheel_rad_s, double wheel_accel_rad_s2, evn_flow *);

/* Motor speed at which the power envelope takes over from the torque envelope, lowest of the engaged. */
double evn_unit_base_rad_s(const evn_unit *, evn_setting, double voltage_v);
double evn_unit_top_rad_s(const evn_unit *);
double evn_unit_derating(const evn_motor *, double winding_degc);

/* Copper loss grows with (235 + T)/(235 + T0): IEC 60034-1 (from memory), M4 of the published checks. */
double evn_copper_factor(double winding_degc, double reference_degc);

/* Lowers what was read. False when memory ran out. mass_kg receives the masses of path stages on the axle and shafts.
 */
typedef struct evn_unit_masses {
    double machine_kg, path_kg; /* motors, inverters and gearbox; stages of the path */
} evn_unit_masses;
bool evn_unit_prepare(const evn_unit_file *, const char *name, evn_arena *, evn_unit *, evn_unit_masses *);

#endif
