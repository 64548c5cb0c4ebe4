/*
 * A drive unit made ready: one contiguous chain of normal-form stages per gear, its motors, and two questions:
 * what does it draw from the d.c. bus for this wheel torque, and what wheel torque can it reach.
 */
#ifndef EVENER_TRUCK_UNIT_H
#define EVENER_TRUCK_UNIT_H
#include "truck/chain.h"
#include "truck/map.h"
#include "truck/opening.h"
#include "truck/takeoff_draw.h"

enum { EVN_UNITS_MAX = 4 };
enum { EVN_MOTORS_MAX = 8, EVN_GEARS_MAX = 8, EVN_BRANCHES_MAX = 4 };
/* One branch at least stays closed: the others may be open or not. */
enum { EVN_SETTINGS_MAX = (EVN_GEARS_MAX * EVN_MOTORS_MAX + 1) << (EVN_BRANCHES_MAX - 1) };

/*
 * Motor with inverter: losses over torque and speed, envelope, winding. With a map the coefficients hold what goes with
 * it: constant_w its loss at rest without torque, characteristic_share that of its fit, for the current of the
 * inverter.
 */
typedef struct evn_motor {
    double peak_nm, peak_w, top_rad_s, reference_v;
    double short_at_rest, full_torque_rad_s; /* share of the torque that is missing at rest, 0: none; speed from which
                                                none is */
    double constant_w, speed_w_s, speed2_w_s2, copper_w_nm2; /* copper at reference_degc */
    double reference_degc;
    double characteristic_share; /* field weakening; 0: none */
    double inverter_constant_w, inverter_current_w, inverter_current2_w;
    double loss_share,
        inverter_loss_share; /* of constant efficiencies, as stage.h has them: 1/efficiency - 1 and ... */
    double push_loss_share, inverter_push_loss_share; /* ... 1 - efficiency; 0: none */
    double inertia_kg_m2, mass_kg, inverter_mass_kg;
    bool is_scaled;            /* the file's `scale` made it */
    const evn_map *map;        /* NULL: the coefficients */
    double map_inverter_share; /* of its loss, booked as the inverter's */
    double rated_nm, rated_w;  /* continuous, as the file states; NAN: not stated */
    evn_heat heat;
} evn_motor;

/* A path as it was written, wheel side first: the kind of each stage (evn_stage_kinds), and how many stages of the
 * normal form lie on its wheel side. */
typedef struct evn_written_path {
    uint8_t kind[EVN_CHAIN_MAX], below[EVN_CHAIN_MAX];
    size_t count;
} evn_written_path;

typedef struct evn_gear {
    evn_stage stage[EVN_CHAIN_MAX];    /* wheel side first; the path's own come first */
    double speed_ratio[EVN_CHAIN_MAX]; /* of each stage's wheel side over that of the chain */
    size_t count;
    evn_chain_map map;
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
    evn_chain_map map;
    double ratio;         /* speed at the dividing point over wheel speed */
    double inertia_kg_m2; /* seen at the wheels */
    evn_opening opening;  /* its disconnects */
    evn_written_path written;
} evn_branch;

/* A setting of the gearbox, of the motors that work, and of the branches. */
typedef struct evn_setting {
    uint8_t gear, engaged; /* engaged: one bit per motor; none: the disconnect is open */
    uint8_t open;          /* one bit per branch whose disconnects are open */
    bool pulses_off;       /* the motors turn without current: their drag is left; never one of a unit's settings */
} evn_setting;

typedef struct evn_unit {
    const char *name;
    size_t axle;                         /* driven, of the rig; with branches the first */
    evn_branch branch[EVN_BRANCHES_MAX]; /* behind the chains below; none: those go to the wheels of the one axle */
    size_t branch_count;
    evn_gear gear[EVN_GEARS_MAX];
    size_t gear_count;
    bool has_gearbox;
    evn_written_path written;   /* of its path */
    size_t path_count;          /* stages below the gearbox: what still turns in neutral */
    double path_inertia_kg_m2;  /* of those, seen at the wheel side of the chain */
    double below_inertia_kg_m2; /* of those below the disconnect, likewise */
    evn_oil oil[EVN_OILS];      /* of its gears */
    size_t oil_at[EVN_OILS];    /* which node holds its temperature */
    size_t nodes;               /* of motors and oils */
    evn_node_row node_row[EVN_NODES_MAX];
    double rotors_kg_m2; /* all rotors together, at motor speed */
    double machine_kg;   /* motors, inverters, gearbox, what drives a take-off */
    evn_motor motor[EVN_MOTORS_MAX];
    size_t motor_count;
    bool idle_stands_still;
    double shift_time_s, shift_dwell_s, synchronising_loss_share;
    double shift_wear_j, shift_price_j;    /* price_j: stated, in place of what a change costs; NAN: not stated */
    evn_setting setting[EVN_SETTINGS_MAX]; /* all that may be chosen */
    size_t setting_count;
    double engage_wear_j, engage_price_j, engage_dwell_s; /* likewise */
    double rest_after_s;                                  /* of standstill, before its motors rest without pulses */
    bool can_disconnect;
    size_t disconnected_count; /* stages below the disconnect: what still turns while it is open */
    double disconnect_time_s;
    evn_disconnect_price disconnect;
    double braking_force_limit_n;            /* at its tyres, by its motors; INFINITY: none */
    bool has_axle_lock, has_inter_axle_lock; /* of its differentials */
    double locks_below_m_s;
    evn_unit_takeoff takeoff; /* what it offers */
} evn_unit;

static inline bool evn_is_open(evn_setting s) { return s.engaged == 0; }
static inline bool evn_is_branch_open(evn_setting s, size_t branch) { return s.open >> branch & 1u; }
static inline bool evn_same_setting(evn_setting a, evn_setting b)
{
    return a.gear == b.gear && a.engaged == b.engaged && a.open == b.open;
}
static inline bool evn_is_engaged(evn_setting s, size_t motor) { return s.engaged >> motor & 1u; }
static inline size_t evn_engaged_count(evn_setting s)
{
    size_t count = 0;
    for (unsigned bits = s.engaged; bits; bits &= bits - 1)
        count++;
    return count;
}

/* All motors of a unit in a gear, all branches closed. */
evn_setting evn_all_engaged(const evn_unit *, size_t gear);
bool evn_has_all_engaged(const evn_unit *, evn_setting);

/*
 * Temperatures of a unit (unit_heat.c): `degc` holds one for each of its nodes, as many as evn_unit_nodes says. Its
 * motors are alike and share one winding's; those that do not all work take turns, so that the heat is spread over all
 * of them.
 */
size_t evn_unit_nodes(const evn_unit *, const evn_node_row **rows);
void evn_unit_start_degc(const evn_unit *, double degc[]);     /* at the start of a run; so oil begins in all three */
void evn_unit_start_with(evn_unit *, double coolant_degc);     /* see evn_heat_start_with */
void evn_unit_reference_degc(const evn_unit *, double degc[]); /* those for which its losses are stated */
void evn_unit_coolant_degc(const evn_unit *, double degc[]);   /* cold: all at the coolant's, where that is stated */
/* coolant_degc: of the truck's loop; NAN: it has none, and the file's own coolant temperature holds. */
void evn_unit_heat_rates(const evn_unit *, const double degc[], double coolant_degc, const evn_flow *own,
                         double rate_k_s[]);
/* Of its oils, whose nodes stand behind those of its motors. */
void evn_unit_oil_rates(const evn_unit *, const double degc[], double ambient_degc, double speed_m_s,
                        const evn_flow *own, double rate_k_s[]);
void evn_unit_start_oil_cold(evn_unit *, double ambient_degc);
double evn_unit_oil_degc(const evn_unit *, evn_oil_place, const double degc[]); /* NAN: not modelled */
double evn_unit_to_coolant_w(const evn_unit *, const double degc[], double coolant_degc, const evn_flow *own);
double evn_unit_winding_degc(const evn_unit *, const double degc[]); /* the hottest */
double evn_unit_winding_limit_degc(const evn_unit *);                /* where torque ends; INFINITY: none stated */
double evn_unit_housing_degc(const evn_unit *, const double degc[]); /* NAN: not modelled */
double evn_unit_inverter_degc(const evn_unit *, evn_setting, const double degc[], double coolant_degc,
                              const evn_flow *own); /* likewise */
double evn_unit_inverter_limit_degc(const evn_unit *);
double evn_unit_torque_share(const evn_unit *, const double degc[]);    /* that derating leaves, 0 to 1 */
double evn_unit_past_derating_k(const evn_unit *, const double degc[]); /* above zero: it derates */
bool evn_unit_has_winding(const evn_unit *);                            /* modelled */
bool evn_unit_has_housing(const evn_unit *);
bool evn_unit_has_inverter_heat(const evn_unit *);
bool evn_unit_has_quick_inverter(const evn_unit *); /* whose temperature follows its loss at once: see below */
/* Whether losses without torque have consequences in a run: where more than the winding alone is modelled. */
bool evn_unit_heat_acts(const evn_unit *);

/* Where and how a unit's motors turn. */
typedef struct evn_turning {
    evn_setting setting;
    double motor_rad_s, voltage_v; /* of the bus for loss maps: the open-circuit voltage */
    double coolant_degc;           /* NAN: the file's own */
} evn_turning;
/*
 * Of a quick inverter: the share of a torque of all engaged motors (below zero: braking) at which its temperature
 * leaves just that share: the temperature rises with the torque, and the share falls with it, so that there is one.
 * full_degc receives the temperature at the whole torque.
 */
double evn_unit_quick_share(const evn_unit *, const evn_turning *, double full_nm, const double degc[],
                            double *full_degc);

/* What limits a unit's torque besides its own envelope. */
typedef struct evn_supply {
    double voltage_v;    /* of the bus, for the power envelope */
    double torque_share; /* that derating leaves: evn_unit_torque_share */
    double fade;         /* share of the braking torque that is allowed, 0 to 1 */
} evn_supply;

/*
 * Power taken from the bus, W (below zero: returned), for a torque at the wheels of the unit; adds to the flow: losses
 * to their lines, power into turning masses to EVN_KINETIC. motor_nm, where not NULL, receives the torque of all
 * motors. voltage_v is that of the bus for loss maps: the open-circuit voltage, which is explicit and does not jump
 * between pulling and pushing as the voltages of the two limits do.
 */
double evn_unit_draw_w(const evn_unit *, evn_setting, evn_shaft at_wheels, double voltage_v, const double degc[],
                       evn_flow *, double *motor_nm);

/*
 * The same for a torque of all motors together (idle ones dragged along included) and their speed, without a chain. The
 * flow may be NULL: nothing is booked.
 */
double evn_unit_motors_w(const evn_unit *, evn_setting, double motor_nm, double motor_rad_s, double voltage_v,
                         const double degc[], evn_flow *);
/* What of this is lost in its inverters. */
double evn_unit_inverters_w(const evn_unit *, evn_setting, double motor_nm, double motor_rad_s, double voltage_v,
                            const double degc[]);

/* Drag of idle motors at a motor speed, and inertia of the rotors that turn, as the engaged ones see them. */
double evn_unit_idle_drag_nm(const evn_unit *, evn_setting, double motor_rad_s);
double evn_unit_rotors_kg_m2(const evn_unit *, evn_setting);

/* What the engaged motors take to stand ready, W: constant losses, at rest and while a change goes on. */
double evn_unit_ready_w(const evn_unit *, evn_setting, evn_flow *);

/* What a motor has of its peak torque at a speed: at standstill one phase carries the whole current. */
double evn_motor_turning_share(const evn_motor *, double motor_rad_s);
/* Torque limit of all engaged motors together, pulling, and the same pushing (below zero). */
double evn_unit_most_motor_nm(const evn_unit *, evn_setting, double motor_rad_s, const evn_supply *);
double evn_unit_least_motor_nm(const evn_unit *, evn_setting, double motor_rad_s, const evn_supply *);

/* Wheel torque that a torque of the engaged motors gives at this wheel speed and acceleration: exact inverse of the
 * above. */
double evn_unit_wheel_nm(const evn_unit *, evn_setting, double motor_nm, double wheel_rad_s, double wheel_accel_rad_s2,
                         const double degc[]);

/*
 * Wheel torque with nothing behind the first `stages` of the chain (gearbox in neutral: path_count; disconnect open:
 * disconnected_count): what still turns is dragged along. Books the drags, where there is a flow (NULL: none).
 */
double evn_unit_dragged_nm(const evn_unit *, size_t stages, double wheel_rad_s, double wheel_accel_rad_s2,
                           const double degc[], evn_flow *);

/* Torque at the wheels of a branch for one at the dividing point, and back (books its losses). */
double evn_branch_wheel_nm(const evn_branch *, double split_nm, double wheel_rad_s, double wheel_accel_rad_s2,
                           const double degc[]);
evn_shaft evn_branch_up(const evn_branch *, evn_shaft at_wheels, const double degc[], evn_flow *);

/*
 * A closed branch's part of the torque that all closed ones share: with one open the inter-axle differential is locked,
 * and nothing is kept for it.
 */
double evn_share_beside_open(const evn_unit *, evn_setting, size_t branch);
static inline double evn_closed_share(const evn_unit *u, evn_setting s, size_t branch)
{
    return s.open == 0 ? u->branch[branch].share : evn_share_beside_open(u, s, branch);
}
bool evn_can_open_branch(const evn_unit *); /* any of them */

/* Inertia of what turns with the engaged setting, seen at the wheels (at the dividing point with branches). */
double evn_unit_inertia_kg_m2(const evn_unit *, evn_setting);

/* Motor speed at which the power envelope takes over from the torque envelope, lowest of the engaged. */
double evn_unit_base_rad_s(const evn_unit *, evn_setting, double voltage_v);
double evn_unit_top_rad_s(const evn_unit *);
double evn_unit_peak_nm(const evn_unit *);       /* of all motors together */
double evn_unit_motor_peak_nm(const evn_unit *); /* of its first motor: a scale */
double evn_unit_reference_v(const evn_unit *);   /* bus voltage for which the envelopes are stated */

/* Whether the motors bring a loss map, whether a fit fills some of it, and whether it does at this point. */
bool evn_unit_has_map(const evn_unit *);
bool evn_unit_has_filled_map(const evn_unit *);
bool evn_unit_is_filled(const evn_unit *, evn_setting, double motor_nm, double motor_rad_s, double voltage_v);

/* Lowers what was read. False when memory ran out. */
typedef struct evn_unit_masses {
    double machine_kg, path_kg; /* motors, inverters and gearbox; stages of the path */
    double branch_kg[EVN_BRANCHES_MAX];
} evn_unit_masses;
bool evn_motor_prepare(const evn_motor_file *, evn_arena *, evn_motor *);
bool evn_unit_prepare(const evn_unit_file *, const char *name, evn_arena *, evn_unit *, evn_unit_masses *);

#endif
