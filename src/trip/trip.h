/*
 * A trip: one simulated run as a small machine. Continuous state is integrated between events; every jump of the
 * discrete state is one row of the table in rules.c. Private to the room; the rest of the house sees drive.h.
 */
#ifndef EVENER_TRIP_TRIP_H
#define EVENER_TRIP_TRIP_H
#include "core/takeoff_ask.h"
#include "cycle/course.h"
#include "pull/instant.h"
#include "pull/prices.h"
#include "trip/solver.h"
#include "trip/states.h"
#include "trip/watch.h"

/* ---- discrete state */
typedef enum evn_motion { EVN_MOVING, EVN_STANDING, EVN_ENDED } evn_motion;

/* What acceleration is asked for. */
typedef enum evn_law {
    EVN_PRESCRIBED, /* constant acceleration from a known place, speed and time: exact driver on the plan, last metres
                       to a stop or to the bottom of a dip of it */
    EVN_FOLLOWING,  /* human driver on the plan: its acceleration here, corrected by the difference of speed */
    EVN_CAPPED,     /* catching up with the plan at a stated acceleration */
    EVN_PREVIEW,    /* human driver, nearly caught up: meet the plan's speed at the place looked ahead to */
    EVN_HALTING,    /* human driver, held back on the last metres to a place where he has to meet the plan */
    EVN_HOLDING     /* off the plan, as when catching up with it, at a speed that is held meanwhile (held_speed.h) */
} evn_law;

typedef struct evn_prescribed {
    double begin_s, place_m, speed_m_s, accel_m_s2;
    double end_s;      /* when the stretch of the plan ends */
    double road_end_s; /* when the stretch of the road ends; INFINITY: later than end_s */
} evn_prescribed;

typedef struct evn_box { /* the setting of a unit, and what changes of it there were */
    evn_setting now, next;
    bool shifting;                          /* between two settings: the unit does not pull */
    double busy_until_s, dwell_until_s;     /* no change of gear, or of the disconnect, before */
    double fewer_from_s;                    /* no fewer motors before */
    double rotor_rad_s, freed_j;            /* speed and energy of what the change set free */
    unsigned shifts, engagements, openings; /* changes of gear, of the number of motors, of the disconnect */
    double open_since_s, open_s;
    bool closing; /* branches close (next, busy_until_s); the unit pulls on without them */
    unsigned branch_openings;
    double branch_since_s, branch_s; /* with a branch open */
    bool resting;                    /* at rest, without pulses until the truck moves off (resting.h) */
    double rest_from_s, resting_s;   /* when it begins to, INFINITY: not in this stop; for how long in all */
} evn_box;

/* What kept the truck below its target speed: X(enum name, key, label). */
#define EVN_HOLDS(X)                                                                                                   \
    X(MOTOR_TORQUE, "motor_torque", "motor torque")                                                                    \
    X(MOTOR_POWER, "motor_power", "motor power")                                                                       \
    X(WINDING, "winding_temperature", "winding temperature")                                                           \
    X(INVERTER, "inverter_temperature", "inverter temperature")                                                        \
    X(PACK, "battery_power", "battery power")                                                                          \
    X(ADHESION, "adhesion", "adhesion")                                                                                \
    X(SHIFT, "gear_change", "gear change")                                                                             \
    X(TOP_SPEED, "top_speed", "top speed")                                                                             \
    X(ENDURANCE, "endurance_braking", "endurance braking")
typedef enum evn_hold {
    EVN_HELD_NOT,
#define X(name, key, label) EVN_HELD_##name,
    EVN_HOLDS(X)
#undef X
        EVN_HOLD_COUNT
} evn_hold;
typedef struct evn_hold_row {
    const char *key, *label;
} evn_hold_row;
extern const evn_hold_row evn_hold_rows[EVN_HOLD_COUNT];

typedef struct evn_hold_record {
    double seconds, worst_m, worst_m_s; /* furthest below the target speed, and where */
} evn_hold_record;

/* What may hold the speed down beside the plan: several at once, and the lowest counts (held_speed.h). */
typedef enum evn_holder { EVN_HOLDER_ENDURANCE, EVN_HOLDER_HEAT, EVN_HOLDERS } evn_holder;

/* Endurance braking at the fastest speed that motors and pack can hold (endure.h). */
typedef struct evn_endure {
    bool descending, friction; /* on a descent; friction brakes were in use when it was looked at last ... */
    double look_s;             /* ... and when that is due again, on the same stretch of road: */
    size_t road_at;
    double most_n; /* push of motors and tyres where it is strongest, on a grade too steep for it; else INFINITY */
} evn_endure;

/* What the limits that the file states are asked of, at one time (passed.h), and which of them a run has passed. */
typedef struct evn_seen {
    double time_s, terminal_w, terminal_v, discharge_w, charge_w, motor_rad_s[EVN_UNITS_MAX];
    double friction_w;
    double braking_rate, adhesion;       /* of all braking forces; of the place, INFINITY: not stated */
    double inverter_degc[EVN_UNITS_MAX]; /* -INFINITY: not modelled */
} evn_seen;
enum {
    EVN_PASSED_WINDING,
    EVN_PASSED_INVERTER,
    EVN_PASSED_MOTOR_SPEED,
    EVN_PASSED_DISCHARGE,
    EVN_PASSED_CHARGE,
    EVN_PASSED_LOW_VOLTAGE,
    EVN_PASSED_HIGH_VOLTAGE,
    EVN_PASSED_COOLANT,
    EVN_PASSED_BATTERY,
    EVN_PASSED_BRAKE,
    EVN_PASSED_FRICTION_POWER,
    EVN_PASSED_ADHESION,
    EVN_PASSED_COUNT
};
typedef struct evn_passed {
    double over; /* at most; 0: the limit was kept */
    double value, limit, place_m, time_s, first_m, first_s;
    double friction_j; /* what all friction brakes had taken when it was first passed */
} evn_passed;
/* Parts that have a limit each: drive units, or axles. */
enum { EVN_PARTS_MAX = (int)EVN_AXLES_MAX > (int)EVN_UNITS_MAX ? (int)EVN_AXLES_MAX : (int)EVN_UNITS_MAX };

/* Of the friction brakes (axle_brakes.h). */
typedef struct evn_friction_record {
    double peak_degc[EVN_AXLES_MAX]; /* NAN: not modelled */
    double peak_w, braking_s;        /* of all together; by accepted steps */
    double seen_j;                   /* their energy at the end of the last step */
} evn_friction_record;

/* Where endurance braking first found no speed that is held without friction brakes (endure.h). */
typedef struct evn_not_held {
    bool there;
    double time_s, place_m, tangent, speed_m_s; /* speed: that is driven instead; INFINITY: that of the plan */
} evn_not_held;

/* What made friction brakes brake (friction_causes.h): X(enum name, key, label). */
#define EVN_FRICTION_CAUSES(X)                                                                                         \
    X(OTHER, "other", "other causes")                                                                                  \
    X(REGENERATION_OFF, "regeneration_off", "regeneration off")                                                        \
    X(MOTOR_SHARE, "motor_share", "stated share of the motors")                                                        \
    X(LOW_SPEED, "low_speed", "low speed")                                                                             \
    X(MOTOR_TORQUE, "motor_torque", "motor torque")                                                                    \
    X(MOTOR_POWER, "motor_power", "motor power")                                                                       \
    X(TEMPERATURE, "temperature", "temperature of winding or inverter")                                                \
    X(PACK, "battery_power", "battery power")                                                                          \
    X(ADHESION, "adhesion", "adhesion or its margin")                                                                  \
    X(SHIFT, "gear_change", "gear change")
typedef enum evn_rubs {
#define X(name, key, label) EVN_RUBS_BY_##name,
    EVN_FRICTION_CAUSES(X)
#undef X
        EVN_RUBS_COUNT
} evn_rubs;
typedef struct evn_rubbing {
    evn_rubs now;
    double by_j[EVN_RUBS_COUNT], booked_j;
} evn_rubbing;

/* What a full pack refused (refusal.h). */
typedef struct evn_refusal {
    double wheels_j, terminals_j;
    double first_m, first_soc; /* where it began, once wheels_j is above 0 */
    double most_soc, most_w;   /* fullest while it refused; most that it would have been charged with */
} evn_refusal;

/* The hottest that the parts of a unit became, the winding also at the ends of its time constants (hottest.h). */
typedef struct evn_hottest {
    double winding_degc[EVN_PACES], place_m[EVN_PACES];
    double oil_degc[EVN_OILS];          /* NAN: not modelled */
    double housing_degc, inverter_degc; /* of no meaning where they are not modelled */
} evn_hottest;

/* What losses without torque have led to in a unit (too_hot.h). */
typedef enum evn_too_hot {
    EVN_HEAT_BORNE,
    EVN_HEAT_OPENED,
    EVN_HEAT_PULSES_OFF,
    EVN_HEAT_SPEED_HELD,
    EVN_HEAT_COUNT
} evn_too_hot;
typedef struct evn_hot {
    evn_too_hot now;
    bool told[EVN_HEAT_COUNT];
    double held_rad_s; /* SPEED_HELD, PULSES_OFF: of its motors, at most */
    double pulses_off_s, pulses_off_since_s;
} evn_hot;

/* Work of the power take-off at stops (takeoff_work.h): what is asked now, and what was asked before. */
typedef struct evn_takeoff_record {
    evn_takeoff_ask ask; /* power 0: it does not work */
    double begin_s, asked_j, worked_s;
} evn_takeoff_record;

/* Brake applications, and what makes up for them (made_up.h). */
typedef struct evn_made_up {
    bool braking;
    double released_s;
    unsigned on; /* consumers, one bit each */
    double until_s[EVN_CONSUMERS_MAX];
    unsigned long applications;
} evn_made_up;

/* Effort that the way driven takes (headway.h). */
typedef struct evn_headway {
    double since_m, since_s; /* where the present count began, and on which stretches; the plan's: the furthest yet */
    size_t road_at, plan_at;
    unsigned long spent;
    bool lost; /* too much for too little way: the run has to end */
} evn_headway;
enum { EVN_LATELY = 3 };

/* How it ended; the names are those of evn_results_status. */
enum {
    EVN_STATUS_FINISHED,
    EVN_STATUS_STALLED,
    EVN_STATUS_BATTERY_EMPTY,
    EVN_STATUS_BATTERY_TOO_WEAK,
    EVN_STATUS_NOT_CHARGED,
    EVN_STATUS_INTERRUPTED,
    EVN_STATUS_COUNT
};
extern const char *const evn_trip_status_names[EVN_STATUS_COUNT];

/*
 * The instant that was worked out last, for whoever asks for the very same one: rates, watches and rules do so where a
 * step ends. Dropped by every act, since what an instant is depends on the discrete state too.
 */
typedef struct evn_last {
    bool there, priced;
    double t, y[EVN_Y_MOST];
    evn_instant is;
    evn_prices prices;
} evn_last;

/* A change of setting of all units that is due soon (foresight.h), and when to look again after it. */
typedef struct evn_planned {
    bool there;
    evn_setting to[EVN_UNITS_MAX];
    double next_s;
} evn_planned;

typedef struct evn_foresight evn_foresight; /* foresight.h */
typedef struct evn_standing evn_standing;   /* standing.h */
typedef struct evn_carried evn_carried;     /* carried.h */

typedef struct evn_trip {
    const evn_rig *rig;
    const evn_course *course;
    evn_driving driving;
    evn_report *report;
    const evn_watch *watch;       /* NULL: nobody looks */
    const evn_standing *standing; /* NULL: it drives */
    const evn_carried *carried;   /* how it begins; NULL: as its rig says */

    evn_states states;
    evn_last *last;           /* belongs to the run */
    evn_foresight *foresight; /* likewise; NULL: nothing is planned */
    uint64_t watched;         /* rules with a watch that apply until the next restart, one bit each */
    double t, y[EVN_Y_MOST];
    size_t lost_state; /* whose rate was not finite, the last time that one was; EVN_Y_MOST: none */
    evn_motion motion;
    evn_law law;
    evn_limit pull, push; /* at most one of them is not FREE */
    evn_prescribed seg;
    size_t plan_at; /* stretch aimed at: where the truck is, or (preview, human catching up) looks to; count: past the
                       end */
    size_t own_at;  /* stretch where the truck is, while it previews */
    size_t stop_at; /* stretch at whose end the truck comes to rest next; plan_count: none */
    size_t road_at;
    double ahead_m; /* human: fixed part of the look-ahead distance */
    double wait_until_s;
    bool last_wait;               /* standing at the end of the course */
    bool charged;                 /* at a stop that charges: as far as asked */
    double held_m_s[EVN_HOLDERS]; /* the speed that each holds; INFINITY: none */
    evn_endure endure;
    bool at_edge; /* exact: met the plan, but the limit would not let it stay there */
    evn_box box[EVN_UNITS_MAX];
    bool has_candidate; /* a setting of one unit that loses less: EVN_Y_FORGONE counts what it would have saved */
    size_t candidate_unit;
    evn_setting candidate;
    double foresee_s; /* when settings are planned next, or the change that is, by who foresees (foresight.h) */
    evn_planned planned;
    double stall_place_m; /* where the truck last came to rest unasked ... */
    unsigned stalls;      /* ... and how often without getting away from there */
    /* side of the envelope's corner, of the start of derating, of a unit's adhesion limit: restarts only */
    bool base_passed[EVN_UNITS_MAX], derating[EVN_UNITS_MAX];
    bool fan_full; /* likewise of the temperature where the radiator's fan is at full speed */
    evn_hot hot[EVN_UNITS_MAX];
    bool locked[EVN_UNITS_MAX], start_aid; /* differentials of a unit; the lifting axle (stance.h) */
    evn_fade fade_side;                    /* of the fade of regeneration, while the motors' braking torque binds */
    evn_fade retarder_side;                /* of that of the retarder, while anything is left to it: restarts only */

    /* booked at events, J */
    double lump_j[EVN_LINE_COUNT];
    double shifting_j[EVN_UNITS_MAX];

    /* accounting */
    evn_hold hold;
    double hold_since_s;
    evn_hold_record held[EVN_HOLD_COUNT];
    bool behind, outside;
    double behind_since_s, outside_since_s, behind_s;
    bool band_broken;
    size_t near_at;                       /* stretch of the plan nearest to the place last looked up: a hint only */
    double peak_coolant_temperature_degc; /* NAN: no loop */
    double peak_battery_degc;             /* NAN: not modelled */
    double discharge_limited_s, charge_limited_s;
    evn_hottest hottest[EVN_UNITS_MAX];
    double moving_s, filled_map_s[EVN_UNITS_MAX]; /* by accepted steps; the second where a fit fills a motor's map */
    double start_height_m, start_kinetic_j, start_soc;
    int status;
    evn_seen seen;
    evn_passed passed[EVN_PASSED_COUNT][EVN_PARTS_MAX]; /* of limits of the truck the first alone */
    evn_friction_record friction;
    evn_rubbing rubbing;
    evn_not_held not_held;
    evn_refusal refusal;
    evn_takeoff_record takeoff;
    evn_made_up made_up;
    unsigned long events, steps;
    evn_headway headway;
    size_t lately[EVN_LATELY]; /* the rules that acted last: of event e at e % EVN_LATELY */

    const evn_solver_kind *kind;
    evn_solver *solver;
    double *next_sample_s; /* of each sampler */
    unsigned long go_on_asked;
} evn_trip;

/* Law or settings have come out otherwise than planned: what was (foresight.h) does not hold any more. */
static inline void evn_foresee_anew(evn_trip *t)
{
    t->foresee_s = t->t;
    t->planned.there = false;
}

/* A unit that is neither between two settings nor disconnected pulls; how many do. */
bool evn_connected(const evn_trip *, size_t unit);
size_t evn_connected_count(const evn_trip *);

/* What heat leaves of a setting that a unit is to take: open where it is kept open, without pulses where they are off;
 * and whether no other may be chosen. */
evn_setting evn_heat_allows(const evn_trip *, size_t unit, evn_setting);
bool evn_heat_holds(const evn_trip *, size_t unit);

#endif
