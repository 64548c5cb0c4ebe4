/*
 * A truck's limits: what it can do, before any route. Each figure is an answer: a value with the limit that binds it
 * and the one that would bind next. Figures that follow from forces ask the room pull (scene.h); those that hang on
 * heat or on what happens over time are found by driving (made_road.h), with the same rules as any run.
 */
#ifndef EVENER_LIMITS_LIMITS_H
#define EVENER_LIMITS_LIMITS_H
#include "core/arena.h"
#include "evener/limits.h"
#include "runs/runs.h"

/* What may bind a figure: X(enum name, key, label). */
#define EVN_BOUNDS(X)                                                                                                  \
    X(MOTOR_TORQUE, "motor_torque", "motor torque")                                                                    \
    X(MOTOR_POWER, "motor_power", "motor power")                                                                       \
    X(MOTOR_SPEED, "motor_speed", "motor speed")                                                                       \
    X(WINDING, "winding_temperature", "winding temperature")                                                           \
    X(INVERTER, "inverter_temperature", "inverter temperature")                                                        \
    X(BRAKE, "brake_temperature", "brake temperature")                                                                 \
    X(PACK, "battery_power", "battery power")                                                                          \
    X(CHARGE, "battery_charge", "battery charge")                                                                      \
    X(ADHESION, "adhesion", "adhesion")                                                                                \
    X(SHIFT, "gear_change", "gear change")                                                                             \
    X(NO_DRIVE, "no_drive", "no drive left")                                                                           \
    X(OFF, "off", "regeneration off")                                                                                  \
    X(LOW_SPEED, "low_speed", "fading at low speed")                                                                   \
    X(MOTOR_SHARE, "motor_share", "motors' share")                                                                     \
    X(NO_HEAT_DATA, "no_heat_data", "missing heat data")
typedef enum evn_bound {
    EVN_BOUND_NONE,
#define X(name, key, label) EVN_BOUND_##name,
    EVN_BOUNDS(X)
#undef X
        EVN_BOUND_COUNT
} evn_bound;

typedef struct evn_answer {
    double value; /* NAN: there is none */
    bool beyond;  /* the search ended there */
    evn_bound bound, next;
    double next_value;
    double low, high; /* NAN: no range */
} evn_answer;

/* Nothing binds, no range. */
evn_answer evn_answer_of(double value);
/* No value, and why. */
evn_answer evn_answer_none(evn_bound why);

/*
 * What binds, and what next, by lifting limits one at a time: `able` gives the figure, the more the better, without
 * those of `lifted`, one bit (1u << evn_bound) each. The limit that binds is the one whose lifting gains most. Where
 * lifting any one alone gains nothing two bind together, and the first of the list is told. `limits` ends with
 * EVN_BOUND_NONE.
 */
typedef double evn_able(void *self, unsigned lifted);
evn_answer evn_answer_by(evn_able *able, void *self, const evn_bound limits[]);
/* The same; where it is plain the value alone. */
evn_answer evn_answer_of_scene(bool plain, evn_able *able, void *self, const evn_bound limits[]);

static inline unsigned evn_lift(evn_bound b) { return 1u << b; }
static inline bool evn_is_lifted(unsigned lifted, evn_bound b) { return lifted >> b & 1u; }

/* Which way the truck goes: in reverse its rear end leads, and what presses on the axles is mirrored. */
typedef enum evn_way { EVN_FORWARDS, EVN_REVERSING, EVN_WAYS } evn_way;

typedef struct evn_limits_work {
    evn_limits *to;
    const evn_rig *rig[EVN_WAYS];
    const evn_rig *free_tyres[EVN_WAYS]; /* the same without margin and force limit of regenerating (scene.h) */
    evn_driving driving;
    evn_demands demands; /* those by default: nothing is demanded */
    bool plain;          /* values alone, without what binds them */
    evn_runs *runs;      /* NULL: forces only */
    evn_report *report;
} evn_limits_work;

/* A shallow copy that may be changed, and lasts as long as the list; NULL when memory is out, which it remembers. */
evn_rig *evn_limits_rig_copy(evn_limits_work *, const evn_rig *);

/* A row of a group, and a column of it, as they are told. The key of a figure is GROUP.ROW.COLUMN. */
typedef struct evn_limits_name {
    const char *group, *row, *row_label;
} evn_limits_name;
typedef struct evn_limits_column {
    const char *key, *unit, *label, *help;
    int digits;
} evn_limits_column;
void evn_limits_add(evn_limits_work *, const evn_limits_name *, const evn_limits_column *, const evn_answer *);

/* What the ground is called where none is named: the one that the driving asks for, or as the truck states it. */
const char *evn_limits_ground(const evn_limits_work *);

/* A text that lasts as long as the list of figures; "" when memory is out, which the list remembers. */
const char *evn_limits_text(evn_limits_work *, const char *format, ...) __attribute__((format(printf, 2, 3)));

/* Held against what the truck can, in the unit of what is told. */
void evn_limits_add_verdict(evn_limits_work *, const evn_quantity *, double demanded, const evn_answer *);
void evn_limits_judge(evn_limits_work *); /* all that is demanded */

/* ---- the groups, one file each */
void evn_limits_deciding(evn_limits_work *);
void evn_limits_start(evn_limits_work *);
void evn_limits_going(evn_limits_work *);
void evn_limits_climb(evn_limits_work *);
void evn_limits_derating(evn_limits_work *);
void evn_limits_sprint(evn_limits_work *);
void evn_limits_descent(evn_limits_work *);
void evn_limits_long_descent(evn_limits_work *);
void evn_limits_braking(evn_limits_work *);

/* As evn_limits_find, of which it is all but the checks of a public call. */
evn_status evn_limits_make(const evn_rig *, const evn_driving *, const evn_limits_how *, evn_limits **out,
                           evn_report *);

#endif
