/*
 * A drive unit made ready: one contiguous chain of normal-form stages per gear, its motors, and two questions:
 * what does it draw from the d.c. bus for this wheel torque, and what wheel torque can it reach.
 */
#ifndef EVENER_TRUCK_UNIT_H
#define EVENER_TRUCK_UNIT_H
#include "truck/map.h"
#include "truck/stage.h"

enum { EVN_UNITS_MAX = 4 };
enum { EVN_MOTORS_MAX = 8, EVN_GEARS_MAX = 8, EVN_CHAIN_MAX = 32, EVN_BRANCHES_MAX = 4 };
enum { EVN_SETTINGS_MAX = EVN_GEARS_MAX * EVN_MOTORS_MAX + 1 };

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
    evn_stage stage[EVN_CHAIN_MAX];    /* wheel side first; the path's own come first */
    double speed_ratio[EVN_CHAIN_MAX]; /* of each stage's wheel side over that of the chain */
    size_t count;
    double total_ratio;
    double inertia_kg_m2; /* of all that turns, rotors of all motors included, seen at the wheel side of the chain */
} evn_gear;

/*
 * Where a path divides between several driven axles: behind an inter-axle differential, which gives each branch its
 * share of the torque and turns at the mean of their speeds, weighted by the same shares (so that power is kept).
 */
typedef struct evn_branch {
    size_t axle;                    /* of the rig */
    double share;                   /* of the torque; all shares sum up to one */
    evn_stage stage[EVN_CHAIN_MAX]; /* wheel side first */
    double speed_ratio[EVN_CHAIN_MAX];
    size_t count;
    double ratio;         /* speed at the dividing point over wheel speed */
    double inertia_kg_m2; /* seen at the wheels */
} evn_branch;

/* A setting of the gearbox and of the motors that work. */
typedef struct evn_setting {
    uint8_t gear, engaged; /* engaged: one bit per motor; none: the disconnect is open */
} evn_setting;

typedef struct evn_unit {
    const char *name;
    size_t axle;                         /* driven, of the rig; with branches the first */
    evn_branch branch[EVN_BRANCHES_MAX]; /* behind the chains below; none: those go to the wheels of the one axle */
    size_t branch_count;
    evn_gear gear[EVN_GEARS_MAX];
    size_t gear_count;
    size_t path_count;            /* stages below the gearbox: what still turns in neutral */
    double path_inertia_kg_m2;    /* of those, seen at the wheel side of the chain */
    double below_inertia_kg_m2;   /* of those below the disconnect, likewise */
    double rotors_kg_m2;          /* all rotors together, at motor speed */
    double machine_inertia_kg_m2; /* rotors and gearbox input at motor speed: what a shift must synchronise */
    evn_motor motor[EVN_MOTORS_MAX];
    size_t motor_count;
    bool idle_stands_still;
    double shift_time_s, shift_price_j, shift_dwell_s, synchronising_loss_share;
    evn_setting setting[EVN_SETTINGS_MAX]; /* all that may be chosen */
    size_t setting_count;
    double engage_price_j, engage_dwell_s;
    bool can_disconnect;
    size_t disconnected_count; /* stages below the disconnect: what still turns while it is open */
    double disconnect_time_s, disconnect_price_j;
} evn_unit;

static inline bool evn_is_open(evn_setting s) { return s.engaged == 0; }

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

/*
 * Wheel torque with nothing behind the first `stages` of the chain (gearbox in neutral: path_count; disconnect open:
 * disconnected_count): what still turns is dragged along. Books the drags.
 */
double evn_unit_dragged_nm(const evn_unit *, size_t stages, double wheel_rad_s, double wheel_accel_rad_s2, evn_flow *);

/* Torque at the wheels of a branch for one at the dividing point, and back (books its losses). */
double evn_branch_wheel_nm(const evn_branch *, double split_nm, double wheel_rad_s, double wheel_accel_rad_s2);
evn_shaft evn_branch_up(const evn_branch *, evn_shaft at_wheels, evn_flow *);

/* Inertia of what turns with the engaged setting, seen at the wheels (at the dividing point with branches): the whole
 * chain; and the part of it that a change of setting has to bring to a new speed, seen at the motors. */
double evn_unit_inertia_kg_m2(const evn_unit *, evn_setting);
double evn_unit_rotor_inertia_kg_m2(const evn_unit *, evn_setting);

/* Motor speed at which the power envelope takes over from the torque envelope, lowest of the engaged. */
double evn_unit_base_rad_s(const evn_unit *, evn_setting, double voltage_v);
double evn_unit_top_rad_s(const evn_unit *);
double evn_unit_derating(const evn_motor *, double winding_degc);

/* Copper loss grows with (235 + T)/(235 + T0): IEC 60034-1 (from memory), M4 of the published checks. */
double evn_copper_factor(double winding_degc, double reference_degc);

/* Lowers what was read. False when memory ran out. */
typedef struct evn_unit_masses {
    double machine_kg, path_kg; /* motors, inverters and gearbox; stages of the path */
    double branch_kg[EVN_BRANCHES_MAX];
} evn_unit_masses;
bool evn_unit_prepare(const evn_unit_file *, const char *name, evn_arena *, evn_unit *, evn_unit_masses *);

#endif
