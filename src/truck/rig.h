/*
 * The rig: a truck made ready to drive in one load case. Immutable, shared by threads. SI.
 *
 * Longitudinal motion (design of the road-load model; any handbook of vehicle dynamics):
 *   effective_kg dv/dt = F_tyre - F_roll - F_air - F_grade - F_brake
 * with effective_kg = mass + inertia of all wheels / r^2; everything that turns with a motor is the unit's own affair.
 */
#ifndef EVENER_TRUCK_RIG_H
#define EVENER_TRUCK_RIG_H
#include "truck/hubs.h"
#include "truck/pack.h"
#include "truck/unit.h"
#include <math.h>

enum { EVN_AXLES_MAX = 8 };
_Static_assert((int)EVN_AXLES_MAX <= (int)EVN_HUBS_MAX, "room for the hubs of every axle");

/*
 * Normal load of an axle, linear in what presses on it:
 *   N = cosine x g cos(slope) + along x (a + g sin(slope)) + brake x F_brake
 * from the moments about the axles of truck and trailer with the coupling force at the height of fifth wheel or hitch;
 * a trailer at a hinged drawbar stands on axles of its own, which count as one here. Left out:
 * the pitch moments of air drag and of the wheels' own inertia, rolling resistance within the coupling force (each
 * below 1 % of an axle load).
 */
typedef struct evn_axle_load {
    double cosine_kg, along_kg, brake;
} evn_axle_load;

typedef struct evn_axle {
    const char *name;
    evn_axle_load load;
    double rolling, rolling_s_m; /* coefficient at rest, and per m/s */
    double slip_stiffness;       /* INFINITY: no slip */
    double radius_m;
    double permitted_kg; /* NAN: not stated */
    /* Of the friction brakes' force; where it goes by the loads of the moment (friction_ideal): at rest. */
    double friction_share;
    evn_axle_brake brake;
    bool lifted;      /* while driving; a lifting axle */
    size_t driven_by; /* unit; EVN_UNITS_MAX: none */
} evn_axle;

/* The other stance of a truck with a lifting axle: at low speed, with start aid. */
typedef struct evn_stance {
    bool there;
    double below_m_s;
    evn_axle_load load[EVN_AXLES_MAX]; /* of each axle */
    evn_axle_load rolling, rolling_s_m;
    evn_hubs hubs; /* an axle without load does not turn */
} evn_stance;

typedef struct evn_retarder { /* where the truck has one: has_part[EVN_RETARDER] */
    size_t axle;
    double force_limit_n, power_limit_w;
    double fade_from_m_s, fade_to_m_s;
    double endurance_m_s2; /* demanded deceleration up to which it is used; INFINITY: all */
    double coolant_share;  /* of its heat; the rest goes to the air */
} evn_retarder;

typedef struct evn_rig_figure {
    evn_quantity what;
    double value;
} evn_rig_figure;

typedef struct evn_rig {
    evn_arena *arena;
    const char *truck_name;
    bool invented;
    double mass_kg, payload_kg;
    double effective_kg; /* mass with the wheels' inertia */
    double gravity_m_s2, air_density_kg_m3, headwind_m_s, ambient_degc;
    double air_kg_m; /* half density times drag area */
    evn_wind wind;   /* beside the headwind */
    evn_tyre_warmth tyres;
    evn_axle_load rolling, rolling_s_m; /* sums of coefficient x axle load, constant part and part per m/s */
    evn_hubs hubs;                      /* of all axles that are not lifted */
    bool has_hubs;                      /* any axle or the trailer states its hubs' drag */
    evn_stance start_aid;               /* instead of those and of the axles' own loads (pull.h: evn_load_of) */
    evn_axle axle[EVN_AXLES_MAX];
    size_t axle_count, truck_axles; /* a trailer's group comes after the truck's own where there is one */
    evn_unit unit[EVN_UNITS_MAX];
    double unit_rad_m[EVN_UNITS_MAX]; /* see evn_rig_unit_rad_m */
    size_t unit_count;
    evn_pack pack;
    double start_soc;
    evn_loads loads; /* beside the units */
    evn_takeoff takeoff;
    evn_cooling cooling;
    bool has_part[EVN_LINE_COUNT]; /* of lines that are of a part (evn_is_line_of_a_part): the truck has it */
    bool regeneration;
    double fade_from_m_s, fade_to_m_s;
    bool friction_ideal;     /* each axle's braking, motors and friction, in proportion to its load of the moment */
    bool tells_friction;     /* of each axle: results and columns; where the file says more than the default */
    double friction_limit_w; /* INFINITY: not stated */
    double motor_share;      /* of the demanded braking force, which motors take */
    double resistor_w;       /* what the brake resistor takes at most; 0: none */
    evn_retarder retarder;
    double adhesion_driving, adhesion_regenerating;             /* where the place states none ... */
    double adhesion_driving_share, adhesion_regenerating_share; /* ... and of that of the place */
    double regenerating_margin;                                 /* INFINITY: none */
    double top_speed_m_s;         /* lowest over the units that cannot disconnect, in their highest gears */
    const evn_rig_figure *figure; /* what follows from the truck before it drives (rig_figures.c) */
    size_t figure_count;
    const evn_fact *fact; /* what the truck is, as it is read (facts.c) */
    size_t fact_count;
} evn_rig;

/* False when the report holds an error. The rig keeps nothing of the truck it was made from. */
bool evn_rig_make(const evn_truck_file *, const evn_load_case *, evn_rig **out, evn_report *);
/* The same without figures and facts, which nothing that drives or judges asks for and which take longer than all the
 * rest (continuous power is looked for at 200 speeds): for who asks a truck again and again. */
bool evn_rig_make_untold(const evn_truck_file *, const evn_load_case *, evn_rig **out, evn_report *);

/* ISO 2533 (US Standard Atmosphere 1976 below 32 km): geometric altitude; temperature NAN: the standard's own. */
double evn_air_density_kg_m3(double altitude_m, double temperature_degc);
double evn_air_degc(double altitude_m, double temperature_degc);

/* Whether a line of the ledger can be anything but 0. */
static inline bool evn_rig_has_line(const evn_rig *r, int line)
{
    return !evn_is_line_of_a_part(line) || r->has_part[line];
}

/* Temperature with which the coolant loop starts; NAN: the truck has none. */
static inline double evn_rig_coolant_degc(const evn_rig *r)
{
    return r->cooling.modelled ? r->cooling.start_degc : (double)NAN;
}

/* ------------------------------------------------------------------------------------------------ at rest, by itself
 */

typedef struct evn_mass_at { /* a mass at a place: behind the front axle or the kingpin, above the road */
    double kg, x_m, z_m;
} evn_mass_at;

/* How a truck stands on level ground: of each axle, and of the trailer's group behind them where there is one. */
typedef struct evn_at_rest {
    evn_mass_at truck, trailer; /* with what each carries; the trailer's behind the kingpin */
    double load_kg[EVN_AXLES_MAX];
    size_t count, truck_axles;
} evn_at_rest;

/* Masses of the drive units. False: memory ran out. */
bool evn_truck_unit_masses(const evn_truck_file *, evn_unit_masses out[EVN_UNITS_MAX]);
/* A drive unit as one mass. */
evn_mass_at evn_truck_unit_at(const evn_truck_file *, size_t unit, const evn_unit_masses *);
/* A lifting axle is on the ground. Nothing is judged: what carries less than nothing is told so. */
void evn_truck_at_rest(const evn_truck_file *, const evn_unit_masses masses[], double payload_kg, evn_at_rest *out);

/* ------------------------------------------------------------------------------------------------ speeds, slip */

/* Speed at the wheel side of a unit's chain (at its dividing point, with branches) for 1 m/s of the truck: rad/m. */
double evn_rig_unit_rad_m(const evn_rig *, const evn_unit *);
/* The same with a setting, whose open branches do not count; and the mass that what turns in a branch stands for. */
double evn_rig_open_rad_m(const evn_rig *, size_t unit, evn_setting);
static inline double evn_rig_setting_rad_m(const evn_rig *r, size_t unit, evn_setting s)
{
    return s.open == 0 ? r->unit_rad_m[unit] : evn_rig_open_rad_m(r, unit, s);
}
double evn_rig_open_branch_kg(const evn_rig *, size_t unit, evn_setting, size_t branch);
static inline double evn_rig_branch_kg(const evn_rig *r, size_t unit, evn_setting s, size_t branch)
{
    const evn_branch *b = &r->unit[unit].branch[branch];
    double radius_m = r->axle[b->axle].radius_m;
    return evn_is_branch_open(s, branch) ? evn_rig_open_branch_kg(r, unit, s, branch)
                                         : b->inertia_kg_m2 / (radius_m * radius_m);
}

/* Road speed at the motors' speed limit in a unit's highest gear. */
double evn_rig_unit_top_m_s(const evn_rig *, size_t unit);

/* Normal load of an axle, N. In the header, as the slips below: every force of an instant passes through them. */
static inline double evn_axle_load_n(const evn_axle_load *l, double gravity_m_s2, double slope_cos, double slope_sin,
                                     double accel_m_s2, double brake_n)
{
    return l->cosine_kg * gravity_m_s2 * slope_cos + l->along_kg * (accel_m_s2 + gravity_m_s2 * slope_sin) +
           l->brake * brake_n;
}

/* Slip of a driven tyre: torque/r for a tyre force, and back; k = stiffness x normal load. s = (w r - v)/(w r) driving.
 */
static inline double evn_slip_hub_n(double tyre_n, double k)
{
    if (tyre_n > 0)
        return tyre_n < k / 2 ? tyre_n / (1 - tyre_n / k) : k + 4 * (tyre_n - k / 2);
    return tyre_n > -k / 2 ? tyre_n * (1 + tyre_n / k) : tyre_n + k / 4;
}

static inline double evn_slip_tyre_n(double hub_n, double k)
{
    if (hub_n > 0)
        return hub_n < k ? hub_n / (1 + hub_n / k) : k / 2 + (hub_n - k) / 4;
    return hub_n > -k / 4 ? 2 * hub_n / (1 + sqrt(1 + 4 * hub_n / k)) : hub_n - k / 4;
}

/* What the tyre force gains of each newton more at the hub. */
static inline double evn_slip_tyre_slope(double hub_n, double k)
{
    if (hub_n > 0)
        return hub_n < k ? 1 / ((1 + hub_n / k) * (1 + hub_n / k)) : 0.25;
    return hub_n > -k / 4 ? 1 / sqrt(1 + 4 * hub_n / k) : 1;
}

#endif
