/*
 * A trip: one simulated run as a small machine. Continuous state is integrated between events; every jump of the
 * discrete state is one row of the table in rules.c. Private to the room; the rest of the house sees drive.h.
 */
#ifndef EVENER_TRIP_TRIP_H
#define EVENER_TRIP_TRIP_H
#include "cycle/course.h"
#include "trip/solver.h"
#include "trip/watch.h"
#include "truck/rig.h"

/* ---- continuous state; energies in J, counted from the start. First the truck's, then those of each drive unit. */
enum {
    EVN_Y_PLACE,    /* m */
    EVN_Y_SPEED,    /* m/s */
    EVN_Y_CHARGE,   /* As taken from the pack */
    EVN_Y_DRAWN,    /* energy out of the pack, inside its resistance, while it discharges */
    EVN_Y_TERMINAL, /* energy at the terminals */
    EVN_Y_ROLLING,
    EVN_Y_AIR,
    EVN_Y_PACK,
    EVN_Y_AUXILIARIES,
    EVN_Y_BRAKES,
    EVN_Y_HELD,    /* work that the motors took at the driven tyres while they slowed the truck */
    EVN_Y_FORGONE, /* loss forgone since a better setting appeared */
    EVN_Y_UNITS    /* the states below of the first drive unit begin here */
};
enum {
    EVN_U_WINDING, /* degC */
    EVN_U_BUS,     /* energy the unit took from the bus */
    EVN_U_SLIP,
    EVN_U_WHEEL_END,
    EVN_U_FINAL_DRIVE,
    EVN_U_SHAFTS,
    EVN_U_GEARBOX,
    EVN_U_MOTOR,
    EVN_U_INVERTER,
    EVN_U_COUNT
};
enum { EVN_Y_MOST = EVN_Y_UNITS + EVN_UNITS_MAX * EVN_U_COUNT };

static inline size_t evn_y_count(const evn_rig *r) { return EVN_Y_UNITS + r->unit_count * EVN_U_COUNT; }
static inline size_t evn_y_of(size_t unit, size_t state) { return EVN_Y_UNITS + unit * EVN_U_COUNT + state; }

/* ---- discrete state */
typedef enum evn_motion { EVN_MOVING, EVN_STANDING, EVN_ENDED } evn_motion;

/* What acceleration is asked for. */
typedef enum evn_law {
    EVN_PRESCRIBED, /* constant acceleration from a known place, speed and time: exact driver on the plan, last metres
                       to a stop */
    EVN_FOLLOWING,  /* human driver on the plan: its acceleration here, corrected by the difference of speed */
    EVN_CAPPED,     /* catching up with the plan at a stated acceleration */
    EVN_PREVIEW,    /* human driver, nearly caught up: meet the plan's speed at the place looked ahead to */
    EVN_HALTING     /* human driver, held back on the last metres to a stop */
} evn_law;

/* Which limit binds the tyre force of the motors. */
typedef enum evn_limit { EVN_FREE, EVN_BY_MOTOR, EVN_BY_PACK, EVN_BY_ADHESION, EVN_BY_SHIFT } evn_limit;

enum { EVN_FADE_BELOW, EVN_FADE_WITHIN, EVN_FADE_ABOVE };

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
} evn_box;

/*
 * The units as they stand, or as they would with other settings: what each can do now. A unit that is not connected
 * (its gearbox in neutral, its disconnect open) is dragged along.
 */
typedef struct evn_member {
    evn_setting setting;
    bool connected;
    size_t turning;                        /* stages of its chain that turn while it is not connected */
    double motor_rad_s, most_nm, least_nm; /* torque of all engaged motors together, pulling and pushing (below zero) */
} evn_member;

typedef struct evn_team {
    evn_member unit[EVN_UNITS_MAX];
    size_t connected; /* how many are */
} evn_team;

/* Names of what held the truck back; one row each. */
#define EVN_HOLDS(X)                                                                                                   \
    X(MOTOR_TORQUE, "motor_torque")                                                                                    \
    X(MOTOR_POWER, "motor_power")                                                                                      \
    X(WINDING, "winding_temperature")                                                                                  \
    X(PACK, "pack") X(ADHESION, "adhesion") X(SHIFT, "gear_shift") X(TOP_SPEED, "top_speed")
typedef enum evn_hold {
    EVN_HELD_NOT,
#define X(name, key) EVN_HELD_##name,
    EVN_HOLDS(X)
#undef X
        EVN_HOLD_COUNT
} evn_hold;
extern const char *const evn_hold_names[EVN_HOLD_COUNT];

typedef struct evn_hold_record {
    double seconds, worst_m, worst_m_s; /* furthest below the plan, and where */
} evn_hold_record;

enum { EVN_STATUS_FINISHED, EVN_STATUS_STALLED, EVN_STATUS_PACK_EMPTY, EVN_STATUS_INTERRUPTED };

typedef struct evn_trip {
    const evn_rig *rig;
    const evn_course *course;
    evn_driving driving;
    evn_report *report;
    const evn_watch *watch; /* NULL: nobody looks */

    double t, y[EVN_Y_MOST];
    evn_motion motion;
    evn_law law;
    evn_limit pull, push; /* at most one is not FREE, or both are */
    evn_prescribed seg;
    size_t plan_at; /* stretch aimed at: where the truck is, or (preview, human catching up) looks to; count: past the
                       end */
    size_t stop_at; /* stretch at whose end the truck comes to rest next; plan_count: none */
    size_t road_at;
    double ahead_m; /* human: fixed part of the look-ahead distance */
    double wait_until_s;
    bool last_wait; /* standing at the end of the course */
    bool at_edge;   /* exact: met the plan, but the limit would not let it stay there */
    evn_box box[EVN_UNITS_MAX];
    bool has_candidate; /* a setting of one unit that loses less: EVN_Y_FORGONE counts what it would have saved */
    size_t candidate_unit;
    evn_setting candidate;
    double stall_place_m; /* where the truck last came to rest unasked ... */
    unsigned stalls;      /* ... and how often without getting away from there */
    /* side of the envelope's corner, of the start of derating, of a unit's adhesion limit: restarts only */
    bool base_passed[EVN_UNITS_MAX], derating[EVN_UNITS_MAX];
    int fade_side; /* of the fade of regeneration, while the motors' braking torque binds */

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
    size_t near_at; /* stretch of the plan nearest to the place last looked up: a hint only */
    double peak_winding_degc[EVN_UNITS_MAX];
    double moving_s, filled_map_s[EVN_UNITS_MAX]; /* by accepted steps; the second where a fit fills a motor's map */
    double start_height_m, start_kinetic_j;
    int status;
    unsigned long events, steps, crowd_events;
    double crowd_since_s;

    const evn_solver_kind *kind;
    evn_solver *solver;
    double *next_sample_s; /* of each sampler */
    unsigned long go_on_asked;
} evn_trip;

/* ---- everything that holds at one instant; motion.c */
#define EVN_NEVER_W 1e15 /* cost of a setting that cannot be taken */

typedef struct evn_now {
    double place_m, speed_m_s, accel_m_s2, asked_m_s2;
    double tangent, slope_cos, slope_sin, surface;
    double air_n, grade_n, rolling_n, rolling_at_rest_n;
    double base_n, mass_kg, brake_factor; /* F_motor - brake_factor F_brake = base_n + mass_kg a */
    double need_n;                        /* tyre force that the asked acceleration needs without friction brakes */
    double unit_n, brake_n;               /* tyre force of all units; of the friction brakes (above zero) */
    double bus_w, load_w, open_circuit_v, current_a, soc;
    double pack_most_w, pack_charge_w;
    double beyond_pack_w; /* at the pack's limit: what the motors could do beyond it; below zero: they bind first */
    double pull_v, push_v, fade; /* bus voltages that the power envelopes follow; share of braking torque left */
    double adhesion_most_n, adhesion_least_n; /* a single unit's */
    double motor_nm;                          /* of all units: its sign tells pulling from pushing */
    double most_n, least_n, apart_n;          /* several driven axles, only where rules ask; see evn_now_reach */
    double force_n[EVN_UNITS_MAX], unit_motor_nm[EVN_UNITS_MAX], unit_bus_w[EVN_UNITS_MAX];
    double preview_m_s2, following_m_s2, forgone_j; /* only where rules ask */
    double past_derating_k[EVN_UNITS_MAX];          /* likewise */
    evn_team team;
    double cost_now_w; /* loss with the settings as they are, and with each other one; only where asked for */
    double cost_w[EVN_UNITS_MAX][EVN_SETTINGS_MAX];
    evn_flow flow, unit_flow[EVN_UNITS_MAX]; /* of the whole truck; of each unit, its own lines only */
} evn_now;

void evn_now_at(const evn_trip *, double t, const double *y, evn_now *);
void evn_now_costs(const evn_trip *, const double *y, evn_now *); /* fills cost_now_w, cost_w */
/*
 * Where adhesion cuts the force of each unit or axle (several of them): most_n, least_n: what they give together,
 * pulling and pushing, each at what its motors or its tyres allow. apart_n, at a limit: by how much the adhesion limit
 * is above what the motors can, for the unit where that is most; below zero: adhesion holds all of them.
 */
void evn_now_reach(const evn_trip *, evn_now *);
bool evn_cut_by_adhesion(const evn_rig *); /* that is so; else it is an event of its own */
bool evn_trip_rate(double t, const double *y, double *dy, void *trip);

/* Plan's speed squared at a place of a stretch (its straight line goes on beyond its ends, not below 0). */
double evn_plan_v2(const evn_plan_stretch *, double place_m);
/* Speed that the plan asks for at a place, before a truck's top speed cut it; *hint is where to begin to look. */
double evn_plan_speed(const evn_course *, double place_m, size_t *hint);
double evn_preview_m(const evn_trip *, const double *y); /* place that the human driver looks to */
double evn_following_asks(const evn_trip *, const double *y);
size_t evn_plan_index(const evn_course *, double place_m, size_t hint);
double evn_preview_asks(const evn_trip *, const double *y);
double evn_cap_m_s2(const evn_trip *); /* stated acceleration of catching up */
double evn_cap_over(const evn_trip *, const evn_plan_stretch *);
/*
 * Greatest acceleration from rest here with given settings of the units, within what motors and adhesion give. (At rest
 * no power flows but the losses: the pack does not limit.)
 */
double evn_launch_accel(const evn_trip *, const double *y, const evn_setting setting[]);
double evn_launch_cost_w(const evn_trip *, const double *y, const evn_setting setting[], double accel_m_s2);
double evn_limit_voltage_v(const evn_trip *, const evn_now *); /* that the binding power envelope follows */
bool evn_connected(const evn_trip *, size_t unit);
size_t evn_connected_count(const evn_trip *);
/* How far a unit's motors are past the corner of their envelope, of the start of derating (rad/s, K). */
double evn_past_base_rad_s(const evn_trip *, const evn_now *, size_t unit);
double evn_past_derating_k(const evn_trip *, const double *y, size_t unit);
double evn_trip_floor_w(const evn_trip *); /* power that always runs: auxiliaries, motors that stand ready */
int evn_fade_side(const evn_rig *, double speed_m_s);
double evn_trip_soc(const evn_trip *, const double *y);
double evn_prescribed_speed(const evn_prescribed *, double t);
double evn_prescribed_place(const evn_prescribed *, double t);

/* ---- jumps of the discrete state; acts.c. Each is called by rules only. */
void evn_act_begin(evn_trip *); /* the first state, at the start of the course */
void evn_act_wait_over(evn_trip *);
void evn_act_plan_end_prescribed(evn_trip *);
void evn_act_plan_end(evn_trip *);
void evn_act_road_end(evn_trip *);
void evn_act_rejoin(evn_trip *);
void evn_act_stop_ahead(evn_trip *);
void evn_act_catch_up(evn_trip *);  /* following -> capped */
void evn_act_caught_up(evn_trip *); /* preview -> following */
void evn_act_come_to_rest(evn_trip *);
void evn_act_pull_limit(evn_trip *, evn_limit);
void evn_act_push_limit(evn_trip *, evn_limit);
void evn_act_leave_pull(evn_trip *);
void evn_act_leave_push(evn_trip *);
void evn_act_gap_pulls(evn_trip *);
void evn_act_gap_pushes(evn_trip *);
void evn_act_change(evn_trip *, size_t unit, evn_setting);
void evn_act_change_ends(evn_trip *, size_t unit);
/* Idle motors are engaged, and an open disconnect is closed where none else changes: true when that is done already. */
bool evn_act_all_hands(evn_trip *, bool pulling);
void evn_act_end(evn_trip *, int status);

/* ---- events; rules.c */
extern const size_t evn_rules_count;
/* Runs every rule that is due, in the order of the table, until none is. False: the run has failed (report says why).
 */
bool evn_rules_run(evn_trip *, uint64_t hit, bool *restart);
double evn_rules_next_time(const evn_trip *); /* earliest of the known times */
void evn_trip_watch(double t, const double *y, double *g, void *trip);

/* ---- accounting; account.c */
void evn_account_held(evn_trip *);   /* at an event: books the time held so far */
void evn_account_holds(evn_trip *);  /* after it: what holds the truck back from here on */
void evn_account_behind(evn_trip *); /* crosses 2 mph below the plan */
void evn_account_band(evn_trip *);   /* crosses the edge of the band around the trace */
double evn_behind_margin(const evn_trip *, const evn_now *);
double evn_band_margin(const evn_trip *, const evn_now *);
void evn_account_close(evn_trip *); /* at the end of the run */
bool evn_trip_step(double from, double to, const double *y, void *trip);

double evn_trip_kinetic_j(const evn_trip *); /* of all that moves and turns, now; results.c */

#endif
