/*
 * The truck as it is written: one struct per object of the YAML file, in the units of the keys. The tables that fill
 * them stand in truck_fields.c, battery_fields.c, unit_fields.c and stages.c; rig.h is what comes out when one is
 * prepared.
 */
#ifndef EVENER_TRUCK_TRUCK_H
#define EVENER_TRUCK_TRUCK_H
#include "core/field.h"
#include "truck/axle_brake.h"
#include "truck/cooling.h"
#include "truck/heat.h"
#include "truck/loads.h"
#include "truck/oil.h"
#include "truck/pack.h"
#include "truck/places.h"
#include "truck/suspension.h"
#include "truck/takeoff.h"
#include "truck/tyre_warmth.h"
#include "truck/wind.h"

/* Friction torque over shaft speed, on a stated side of the load loss of the element it belongs to. */
typedef enum evn_side { EVN_WHEEL_SIDE, EVN_MOTOR_SIDE } evn_side;
typedef struct evn_drag_file {
    int at; /* evn_side; speed and torque are those of the shaft on that side */
    evn_list speed_rpm, torque_nm;
    const char *source;
} evn_drag_file;

/* Friction torque of the bearings and seals of all wheels of an axle, over wheel speed. */
typedef struct evn_hub_drag_file {
    evn_list speed_rpm, torque_nm;
    const char *source;
    evn_many uncertain; /* evn_uncertain_file */
} evn_hub_drag_file;

typedef struct evn_tyre_file {
    double rolling_resistance_coefficient;           /* at standstill */
    double rolling_resistance_speed_coefficient_s_m; /* added per m/s */
    double rolling_radius_m;
    double inertia_kg_m2;                                   /* one tyre with rim, hub and brake disc */
    double longitudinal_slip_stiffness;                     /* force per normal load and unit of slip; NAN: no slip */
    double free_radius_m, vertical_stiffness_kn_m, width_m; /* of one tyre; NAN: not given */
    double vertical_damping_kn_s_m;                         /* of one tyre */
    const char *source;
    evn_many uncertain; /* evn_uncertain_file */
} evn_tyre_file;

typedef enum evn_lift_request { EVN_LIFT_AUTO, EVN_LIFT_UP, EVN_LIFT_DOWN } evn_lift_request;
typedef struct evn_start_aid_file { /* below a speed the lifting axle leaves load to the driven axle beside it */
    double below_km_h, axle_load_kg;
} evn_start_aid_file;
typedef struct evn_lifts_file {
    int request;                         /* evn_lift_request */
    double lower_above_load_kg;          /* of its group, lifted; NAN: where an axle would carry more than permitted */
    const evn_start_aid_file *start_aid; /* NULL: none */
} evn_lifts_file;

typedef enum evn_support { EVN_FRONT_SUPPORT, EVN_REAR_SUPPORT } evn_support;
typedef struct evn_axle_file {
    double behind_front_axle_m;
    int support;       /* evn_support: axles of one support share its load */
    double load_share; /* of the support's load; NAN: equal shares */
    double tyres;
    double mass_kg; /* beam, hubs, brakes, suspension, wheels; gears and shafts are parts of their own */
    double permitted_kg;
    double track_m, bowl_below_centre_m; /* NAN: not given */
    const evn_tyre_file *tyre;
    double friction_share;                     /* of the friction brakes' force; NAN: not given */
    const evn_axle_brake_file *friction_brake; /* NULL: its temperature is not modelled */
    const evn_lifts_file *lifts;               /* NULL: it stays on the ground */
    const evn_hub_drag_file *hub_drag;         /* NULL: none, or that of a path's wheel_end */
    const evn_suspension_file *suspension;     /* NULL: not known */
    const char *source;
    evn_many uncertain; /* evn_uncertain_file */
} evn_axle_file;

typedef struct evn_body_file {
    double mass_kg; /* frame, cab, body; without axles, drive units and battery */
    double centre_behind_front_axle_m, centre_height_m;
    double drag_area_m2;
    const evn_drag_area_yaw_file *drag_area_yaw; /* NULL: none, see wind.h */
    double permitted_gross_kg;                   /* of the whole combination */
    double zero_emission_extra_kg;               /* for rules that allow for it; NAN: not stated */
    const char *source;
    evn_many uncertain; /* evn_uncertain_file */
} evn_body_file;

typedef struct evn_coupling_file { /* a fifth wheel, or the hitch of a drawbar */
    double behind_front_axle_m, height_m;
} evn_coupling_file;

/* In the order of the choices of `springs`. */
typedef enum evn_springs { EVN_SPRINGS_NOT_STATED, EVN_SPRINGS_STEEL, EVN_SPRINGS_AIR } evn_springs;

/* Carried by the fifth wheel and one group of axles; at a drawbar, whose eye is meant by the kingpin, likewise, or by
 * two groups of its own. */
typedef struct evn_trailer_file {
    double mass_kg; /* empty, axles included */
    double centre_behind_kingpin_m, centre_height_m;
    double axles_behind_kingpin_m;       /* centre of the axle group; of the rear one, where there are two */
    double front_axles_behind_kingpin_m; /* of the front one, which the hinged drawbar steers; NAN: one group */
    double axles, axle_spacing_m;        /* how many, of neighbours of a group; NAN: not stated */
    double track_m;                      /* NAN: not stated */
    int springs;                         /* evn_springs */
    double tyres;
    double permitted_axles_kg;
    const evn_tyre_file *tyre;
    double friction_share; /* as an axle's */
    const evn_axle_brake_file *friction_brake;
    const evn_hub_drag_file *hub_drag;       /* of all its axles together; NULL: none */
    const evn_trailer_outline_file *outline; /* NULL: not drawn */
    const char *source;
    evn_many uncertain; /* evn_uncertain_file */
} evn_trailer_file;

typedef struct evn_payload_file {
    double mass_kg;
    double centre_behind_m; /* behind the kingpin with a semitrailer, behind the front axle without */
    double centre_height_m;
    double centre_from_m, centre_to_m;             /* where that centre may be, as centre_behind_m; NAN: there only */
    double trailer_share, trailer_centre_behind_m; /* with a drawbar: on the trailer, and where behind the eye */
    const char *source;
    evn_many uncertain; /* evn_uncertain_file */
} evn_payload_file;

/* Points of curves, and axes of loss maps, lie at least this far apart: what is nearer bends like a jump. */
#define EVN_SOC_APART_LEAST 1e-3
#define EVN_DRAG_APART_LEAST_RPM 0.1
#define EVN_MAP_APART_LEAST_RPM 0.1
#define EVN_MAP_APART_LEAST_NM 0.01
#define EVN_MAP_APART_LEAST_V 0.1
/* Bounds of loss maps, in lists and tables. */
#define EVN_MAP_MOST_RPM 1e6
#define EVN_MAP_MOST_NM 1e7
#define EVN_MAP_MOST_W 1e8
/* Gears of a gearbox: what is nearer is one gear, and would be shifted to and fro. */
#define EVN_RATIOS_APART_LEAST 1e-3

/* Bounds of a d.c. voltage at which a motor's data are stated. */
#define EVN_DC_LEAST_V 10
#define EVN_DC_MOST_V 5000

typedef struct evn_open_circuit_file {
    evn_list soc, voltage_v;
    const char *source;
} evn_open_circuit_file;

typedef struct evn_charge_taper_file {
    evn_list soc, share;
    const char *source;
} evn_charge_taper_file;

struct evn_battery_file {
    double capacity_ah;
    double resistance_ohm;
    const evn_open_circuit_file *open_circuit;
    double discharge_limit_kw, charge_limit_kw; /* at the terminals */
    const evn_charge_taper_file *charge_taper;
    const evn_power_shares_file *discharge_shares, *charge_shares; /* NULL: the limits hold at any temperature */
    const evn_resistance_factors_file *resistance_factors;         /* NULL: resistance_ohm at any */
    const evn_battery_ageing_file *ageing;                         /* NULL: it stays as it is */
    const evn_battery_heat_file *heat;                             /* NULL: its temperature stays that of the start */
    double minimum_voltage_v, maximum_voltage_v;                   /* NAN: none */
    double usable_from_soc, usable_to_soc, start_soc;
    double mass_kg, centre_behind_front_axle_m, centre_height_m;
    evn_many boxes;                /* evn_pack_box_file */
    const evn_module_file *module; /* NULL: not given */
    const char *source;
    evn_many uncertain; /* evn_uncertain_file */
};

/* How axles share the friction brakes' force. */
typedef enum evn_distribution { EVN_BY_LOADS_AT_REST, EVN_BY_LOADS_NOW, EVN_BY_STATED_SHARES } evn_distribution;
extern const char *const evn_brake_distributions[]; /* their words; ends with NULL */

typedef struct evn_brakes_file {
    bool regeneration;
    double fade_from_km_h, fade_to_km_h; /* regeneration fades out between these speeds as the truck slows */
    int distribution;                    /* evn_distribution */
    double friction_power_limit_kw;      /* NAN: none */
    double motor_share;                  /* of the demanded braking force, which motors take */
} evn_brakes_file;

typedef enum evn_retarder_use { EVN_RETARDER_ENDURANCE, EVN_RETARDER_ALL } evn_retarder_use;
typedef struct evn_retarder_file {
    double axle;
    double torque_limit_nm, braking_force_limit_kn; /* at the hubs, or at the tyres; one of them, NAN: the other */
    double power_limit_kw;
    double fade_from_km_h, fade_to_km_h;
    int used_for; /* evn_retarder_use */
    double endurance_braking_m_s2;
    double coolant_share;
    const char *source;
    evn_many uncertain; /* evn_uncertain_file */
} evn_retarder_file;

typedef struct evn_brake_resistor_file {
    double power_kw;
    const char *source;
    evn_many uncertain; /* evn_uncertain_file */
} evn_brake_resistor_file;

typedef struct evn_adhesion_file {            /* what motors may use of the driven axles' normal load */
    double driving, regenerating;             /* where the course does not state the adhesion of the place ... */
    double driving_share, regenerating_share; /* ... and of that where it does */
    double regenerating_margin;               /* over what the front axle uses; NAN: none */
} evn_adhesion_file;

typedef struct evn_motor_loss_file {
    double constant_w, speed_w_per_rad_s, speed_squared_w_per_rad2_s2, torque_squared_w_per_nm2;
    double winding_degc; /* at which torque_squared holds */
    const char *source;
} evn_motor_loss_file;

typedef struct evn_field_weakening_file {
    double characteristic_current_share; /* of the maximum current */
    const char *source;
} evn_field_weakening_file;

typedef struct evn_inverter_file { /* loss over current as a share of the maximum current */
    double constant_w, current_w, current_squared_w;
    double efficiency; /* instead of those; NAN: not given */
    double mass_kg;
    const evn_inverter_heat_file *heat; /* NULL: its temperature is not modelled */
    const char *source;
    evn_many uncertain; /* evn_uncertain_file */
} evn_inverter_file;

typedef struct evn_motor_scale_file { /* like another motor but for its active length, or for its turns */
    double torque, base_speed;
} evn_motor_scale_file;

typedef struct evn_map_shelf evn_map_shelf; /* maps that were made; map.h */

typedef struct evn_map_file {      /* losses over speed and torque, instead of coefficients */
    const evn_sheet *table;        /* columns as in map_points.c; or the lists */
    evn_list speed_rpm, torque_nm; /* axes, rising */
    evn_list loss_w, efficiency;   /* one of them, row by row: all torques of the first speed, ... */
    bool includes_inverter;
    double inverter_loss_share;        /* of the loss; NAN: not given */
    double winding_degc;               /* at which it was measured */
    double off_law_share;              /* of its loss, from which on a point off the fitted law is told */
    double loss_factor;                /* times all losses, once the map is made */
    evn_map_shelf *shelf;              /* of all that was read with it; NULL: none */
    const evn_motor_scale_file *scale; /* of its motor (evn_motor_scaled); NULL: none */
    const char *source;
    evn_many uncertain; /* evn_uncertain_file */
} evn_map_file;

typedef struct evn_motor_file {
    double peak_torque_nm, peak_power_kw, top_speed_rpm;
    double reference_voltage_v;                        /* at which peak power holds */
    double torque_at_rest_share, full_torque_from_rpm; /* NAN: not given */
    double rotor_inertia_kg_m2, mass_kg;
    double efficiency;               /* instead of loss or map; NAN: not given */
    const evn_motor_loss_file *loss; /* NULL: none, or the map's */
    const evn_field_weakening_file *field_weakening;
    const evn_map_file *map;
    const evn_inverter_file *inverter;
    const evn_winding_file *winding; /* NULL: the winding stays at the loss's winding_degc */
    const evn_housing_file *housing; /* NULL: the winding stands against the coolant */
    double rated_continuous_torque_nm, rated_continuous_power_kw; /* NAN: not given; only told */
    const evn_motor_scale_file *scale;                            /* NULL: as it stands */
    const char *source;
    evn_many uncertain; /* evn_uncertain_file */
} evn_motor_file;

typedef struct evn_shift_file {
    double time_s, wear_kj, dwell_s, synchronising_loss_share;
    double price_kj; /* NAN: what a change costs, and its wear */
    const char *source;
} evn_shift_file;

typedef struct evn_gearbox_file {
    evn_list ratios, efficiencies; /* one each per gear, ratios falling */
    const evn_drag_file *drag;
    const evn_oil_file *oil;    /* NULL: the drag holds at any temperature */
    double input_inertia_kg_m2; /* turns with the motors */
    double mass_kg;
    const evn_shift_file *shift;
    const char *source;
    evn_many uncertain; /* evn_uncertain_file */
} evn_gearbox_file;

typedef struct evn_engagement_file { /* how many of a unit's motors work */
    double fewest, wear_kj, dwell_s, rest_after_s;
    double price_kj; /* NAN: what a change costs, and its wear */
} evn_engagement_file;

typedef struct evn_branch_file { /* from where a path divides to the wheels of one axle */
    double axle, torque_share;
    evn_steps path;
    const char *source;
    evn_many uncertain; /* evn_uncertain_file */
} evn_branch_file;

typedef struct evn_unit_file {
    evn_list axles; /* driven, numbered from the front, from 1 */
    evn_many motors;
    bool idle_motors_stand_still; /* a clutch frees a motor that is not engaged */
    const evn_engagement_file *engagement;
    const evn_gearbox_file *gearbox;
    evn_steps path;    /* from the gearbox to the wheels, or to where it divides */
    evn_many branches; /* one for each driven axle, where there are several */
    bool axle_differential_lock, inter_axle_lock;
    double locks_below_km_h;
    double machine_behind_front_axle_m, machine_height_m; /* of motors and gearbox; NAN: at the (first) driven axle */
    double braking_force_limit_kn;                        /* of its tyres by its motors; NAN: none */
    double unsprung_share; /* of motors' and gearbox's mass; NAN: 1 built into the axle, 0 at the frame */
    const evn_unit_takeoff_file *takeoff; /* NULL: it offers none */
    evn_many housings;                    /* evn_unit_housing_file */
    const char *source;
    evn_many uncertain; /* evn_uncertain_file */
} evn_unit_file;

typedef struct evn_truck_file {
    const char *name, *short_name; /* the second may be NULL */
    bool invented;
    const char *source;
    const evn_body_file *body;
    evn_many axles;
    const evn_coupling_file *fifth_wheel, *drawbar; /* with a trailer one of them, else none */
    const evn_trailer_file *trailer;
    const evn_payload_file *payload;
    evn_many drive_units;
    const evn_battery_file *battery;
    const evn_auxiliaries_file *auxiliaries;
    const evn_power_take_off_file *power_take_off; /* NULL: none */
    const evn_brakes_file *brakes;
    const evn_adhesion_file *adhesion;
    const evn_cooling_file *cooling;               /* NULL: not modelled */
    const evn_tyre_warmth_file *tyre_temperature;  /* NULL: the defaults */
    const evn_retarder_file *retarder;             /* NULL: none */
    const evn_brake_resistor_file *brake_resistor; /* likewise */
    const evn_frame_file *frame;                   /* NULL: not given */
    evn_many uncertain;                            /* evn_uncertain_file */
} evn_truck_file;

/* What a trailer hangs on; NULL: none. */
static inline const evn_coupling_file *evn_coupling_of(const evn_truck_file *t)
{
    return t->fifth_wheel ? t->fifth_wheel : t->drawbar;
}

extern const evn_object evn_truck_object;
extern const evn_object evn_map_object;
extern const evn_object evn_motor_object;
extern const evn_object evn_retarder_object, evn_brake_resistor_object;
extern const evn_object evn_lifts_object;
extern const evn_object evn_drag_object, evn_hub_drag_object, evn_tyre_object, evn_axle_object, evn_battery_object,
    evn_unit_object;

/* The first key in which two motors differ; NULL when they are alike. */
const char *evn_motors_differ(const evn_motor_file *, const evn_motor_file *);

/* motor_scale.c: a motor as its `scale` makes it, in the room for it; the motor itself, where it states none. */
typedef struct evn_scaled_motor {
    evn_motor_file motor;
    evn_motor_loss_file loss;
    evn_map_file map;
    evn_inverter_file inverter;
    evn_inverter_heat_file inverter_heat;
    evn_winding_file winding;
    evn_housing_file housing;
} evn_scaled_motor;
const evn_motor_file *evn_motor_scaled(const evn_motor_file *, evn_scaled_motor *room);
extern const evn_object evn_motor_scale_object;

/* heat_checks.c: of temperatures and ratings of a unit's motors. */
void evn_heat_check(const evn_unit_file *, const evn_seat *, evn_report *);

/* For check functions of every object that holds hubs of so many axles at most. */
void evn_check_hub_drag(const evn_hub_drag_file *, double axles, const evn_seat *, evn_report *);

/* For check functions of every object that holds a drag. */
bool evn_check_drag(const evn_drag_file *, const evn_seat *, evn_report *);

#endif
