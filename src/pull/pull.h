/*
 * The pull: what a truck's motors can do, do and lose at one instant. No time, no trip: everything follows from a small
 * state (evn_given). What asks fills `at`, calls evn_pull_make, and has what is known before any force: the road's
 * resistances, what the pack allows, and the units as they stand. Forces, limits, the whole instant and the prices of
 * settings are asked of that (member.h, team.h, limits.h, instant.h, prices.h).
 */
#ifndef EVENER_PULL_PULL_H
#define EVENER_PULL_PULL_H
#include "truck/rig.h"

/* Which limit binds the tyre force of the motors. */
typedef enum evn_limit { EVN_FREE, EVN_BY_MOTOR, EVN_BY_PACK, EVN_BY_ADHESION, EVN_BY_SHIFT } evn_limit;

/* Side of the fade of regeneration at low speed; BY_SPEED: the one of the present speed. */
typedef enum evn_fade { EVN_FADE_BELOW, EVN_FADE_WITHIN, EVN_FADE_ABOVE, EVN_FADE_BY_SPEED } evn_fade;
evn_fade evn_fade_side(const evn_rig *, double speed_m_s);

/* A unit as it is asked about. */
typedef struct evn_unit_given {
    evn_setting setting;
    bool shifting;                      /* between two settings: it does not pull */
    const double *degc;                 /* of its nodes (truck/unit.h); must outlive the pull */
    bool axles_locked, branches_locked; /* the differentials of its axles, and that between them */
} evn_unit_given;

typedef struct evn_given {
    const evn_rig *rig;
    double tangent, rolling_factor;       /* of the road: slope, and surface */
    double adhesion, adhesion_other_side; /* of the place, peak, of either side; above 0 where it states one */
    bool has_heading;                     /* of the place; else the mean over all directions of the wind holds */
    double heading_rad;                   /* clockwise from north */
    double tyres_below_k;                 /* how far tyres are below warm ones (truck/tyre_warmth.h); 0: warm */
    bool start_aid;                       /* the stance of the rig that holds (rig.h); else that of driving */
    double speed_m_s;
    double asked_m_s2; /* acceleration that is asked for */
    double soc;
    double battery_degc, discharge_used, charge_used; /* of the pack: truck/pack.h */
    double coolant_degc;  /* of the truck's loop; NAN: it has none, and what the files of the units state holds */
    bool at_rest;         /* the brakes hold */
    double takeoff_w;     /* mechanical, asked of the power take-off at a stop; 0: nothing */
    unsigned making_up;   /* consumers that make up for brake applications (truck/loads.h), one bit each */
    double connector_w;   /* at rest: what a connector gives at most, at the terminals; 0: none is plugged in ... */
    bool charged;         /* ... and the battery takes nothing of it any more */
    bool steady;          /* the speed is held: the acceleration is the asked one whatever the force */
    evn_limit pull, push; /* that bind; at most one of them is not FREE */
    evn_fade fade;        /* BY_SPEED unless the motors' braking torque binds: then discrete state */
    evn_unit_given unit[EVN_UNITS_MAX];
} evn_given;

evn_pack_now evn_pack_now_of(const evn_given *);

/* Load of an axle, as the truck stands. */
static inline const evn_axle_load *evn_load_of(const evn_given *at, size_t axle)
{
    return at->start_aid ? &at->rig->start_aid.load[axle] : &at->rig->axle[axle].load;
}

/* The road: resistances, and what makes motion linear: F_motor - brake_factor F_brake = base_n + mass_kg a. */
typedef struct evn_ground {
    double slope_cos, slope_sin;
    double air_n, grade_n, rolling_at_rest_n; /* the last without what acceleration and brakes add to the axle loads */
    double hubs_n;                            /* bearings and seals of all wheels that turn */
    double base_n, mass_kg, brake_factor;
} evn_ground;

typedef struct evn_feed {                    /* what pack and bus allow */
    double open_circuit_v, most_w, charge_w; /* most at the terminals, out and (above zero) in */
    double resistance_ohm;                   /* of the pack now */
    evn_pack_power out, in;                  /* its limits of power, voltages left out */
    double taken_w;                          /* most that pack and brake resistor take together, above zero */
    double pull_v, push_v; /* bus voltages that the power envelopes follow: explicit, at the pack's own limits */
    double fade;           /* share of the motors' braking torque left */
} evn_feed;

/*
 * The units as they stand, or as they would with other settings: what each can do now. A unit that is not connected
 * (its gearbox in neutral, its disconnect open) is dragged along.
 */
typedef struct evn_member {
    evn_setting setting;
    bool connected;
    double rad_m;                          /* speed at the wheel side of its chain for 1 m/s of the truck */
    size_t turning;                        /* stages of its chain that turn while it is not connected */
    double motor_rad_s, most_nm, least_nm; /* torque of all engaged motors together, pulling and pushing (below zero) */
    evn_chain_at chain;     /* connected: between the torque of its motors and that at the wheel side of its chain */
    double inverter_past_k; /* of an inverter that follows its loss at once, how far the torque at the limit that binds
                               would bring it past the begin of its derating; -1 without one */
    double turning_kg;      /* mass that what turns with it stands for, its branches included */
} evn_member;

typedef struct evn_team {
    evn_member unit[EVN_UNITS_MAX];
    size_t connected; /* how many are */
} evn_team;

typedef struct evn_pull {
    evn_given at;
    evn_ground road;
    evn_feed feed;
    evn_team team;
    evn_chain_at branch[EVN_UNITS_MAX][EVN_BRANCHES_MAX]; /* of units that drive several axles */
} evn_pull;

/* Wind along the truck that cools it: headwind, and what a wind of known direction brings along the road. */
double evn_pull_headwind_m_s(const evn_given *);

/* Fills all but `at` from it. */
void evn_pull_make(evn_pull *);

/* A unit with another setting, everything else as it is. */
evn_member evn_pull_member(const evn_pull *, size_t unit, evn_setting, bool shifting);

/* Acceleration that a motor force gives without friction brakes; the asked one where the speed is held. */
double evn_pull_accel(const evn_pull *, double force_n);

/* Bus voltage that the power envelope follows which binds, or would. */
double evn_pull_limit_v(const evn_pull *);

/* How far a unit is past the begin of derating, K: winding or inverter, the further one. */
double evn_pull_past_derating_k(const evn_pull *, size_t unit);

/* How far a unit's motors are past the corner of their envelope, rad/s. */
double evn_pull_past_base_rad_s(const evn_pull *, size_t unit);

#endif
