/*
 * A duty: a working day of legs and stops, some of them in rounds. As it is written, and driven whole by one truck
 * (DUTY.md).
 */
#ifndef EVENER_DUTY_DUTY_H
#define EVENER_DUTY_DUTY_H
#include "cycle/cycle.h"
#include "evener/duty.h"
#include "evener/limits.h"
#include "evener/site.h"
#include "evener/values.h"
#include "runs/runs.h"
#include "truck/rules.h"
#include "truck/truck.h"

typedef struct evn_charging_file {
    double connector_kw, until_soc; /* the second NAN: as far as the battery allows */
    evn_list soc, power_kw;         /* less than the connector's over state of charge; may be empty */
    double efficiency;              /* NAN: not stated */
    const char *source;
} evn_charging_file;

typedef struct evn_stop_file {
    const char *name;
    double place_m; /* of stops within a leg; NAN: not given, as all below */
    double duration_min;
    double payload_kg, payload_change_kg; /* of them at most one is given */
    double takeoff_kw, takeoff_s;         /* both or neither */
    const evn_charging_file *charging;    /* NULL: none */
} evn_stop_file;

/* In the order of the choices of `direction`. */
typedef enum evn_direction { EVN_DIRECTION_OUT, EVN_DIRECTION_BACK } evn_direction;

/* In the order of the kinds of steps of a day. */
typedef enum evn_day_kind { EVN_DAY_LEG, EVN_DAY_STOP, EVN_DAY_ROUNDS } evn_day_kind;

typedef struct evn_leg_file {
    const char *name;
    const evn_cycle_file *cycle;
    int direction;     /* evn_direction */
    double payload_kg; /* NAN: as it comes from before */
    evn_steps stops;   /* evn_stop_file */
} evn_leg_file;

typedef struct evn_rounds_file {
    double times;
    evn_steps each; /* legs and stops */
} evn_rounds_file;

enum { EVN_SEASON_NAME_MOST = 80 }; /* bytes of the name of a season */

typedef struct evn_season_file {
    double share; /* of the working days */
    const evn_load_case *load_case;
    uint64_t stated; /* no key: rows of the load case that it states, by their bits; evn_duty_place says it */
} evn_season_file;

/* What the ground demands; NAN: not demanded. */
typedef struct evn_ground_demands_file {
    double rut_mm, crown_mm; /* what it is like */
    double clearance_mm;     /* under all that hangs low, laden */
    int unevenness;          /* of the track: evn_unevenness; EVN_UNEVENNESS_AS_ROUTE: not given */
    double unevenness_m3;    /* instead */
    double speed_km_h, empty_speed_km_h, shaken_m_s2;
} evn_ground_demands_file;

typedef struct evn_duty_demands_file {
    double reserve_soc, reserve_kwh;       /* at the end of the day, above the usable window's end; NAN: not demanded */
    double steepest_start_percent;         /* likewise */
    double distance_km;                    /* at least so much a day */
    const evn_demands *abilities;          /* with the heaviest payload of the day; NULL: none */
    const evn_ground_demands_file *ground; /* NULL: nothing */
    const evn_rules_file *rules;           /* likewise */
    double payload_kg, takeoff_kw, payback_years, spare_percent;
} evn_duty_demands_file;

/* Where the values of a duty stand: rows of a list whose paths begin with `more` before those of the duty, and lack
 * `less` of them (of a cycle that is driven alone). */
typedef struct evn_duty_places {
    const evn_value *at; /* NULL: nowhere */
    size_t count;
    const char *more, *less;
} evn_duty_places;

typedef struct evn_duty_file {
    const char *name, *source;
    bool invented;
    evn_steps day; /* legs, stops, rounds */
    double working_days_per_year;
    evn_many seasons; /* evn_season_file */
    const evn_duty_demands_file *demands;
    evn_duty_places places; /* no key: evn_duty_place says it */
} evn_duty_file;

extern const evn_object evn_duty_object;

/* Says where the values of a duty stand, and so what its seasons state. False when memory is out. */
bool evn_duty_place(evn_duty_file *, const evn_duty_places *, evn_arena *);
/* The value of so much of a path of the duty; NULL: none that is known. */
const evn_value *evn_duty_value_at(const evn_duty_places *, const char *path, size_t length);

/* In a season: what it states over what is asked, but for what that has before seasons. Without seasons as asked. */
evn_load_case evn_duty_load_case(const evn_duty_file *, size_t season, const evn_conditions *asked);

/* ------------------------------------------------------------------------------------------------ written out */

enum { EVN_PHASES_MOST = 1000 };

/* How many phases a day has. */
size_t evn_duty_phase_count(const evn_duty_file *);

/* What a phase of the day is of. */
typedef struct evn_phase_of {
    const char *name;
    const char *path;          /* of the duty, to the map of the leg or stop: "day[2].rounds.each[0].leg" */
    const evn_leg_file *leg;   /* of a leg or a part of one; NULL: a stop */
    const evn_stop_file *stop; /* NULL: a leg */
    unsigned round, rounds;    /* from 1, of so many; 0: of no rounds */
    unsigned part, parts;      /* of a leg, from 1 */
} evn_phase_of;

typedef struct evn_day_plan {
    evn_phase *phase; /* as asked, without reports, samplers and ceilings */
    evn_phase_of *of;
    size_t count;
} evn_day_plan;

/* The day written out, into the arena. False (said) when memory is out, or what can only be told together does not fit.
 */
bool evn_day_plan_make(evn_day_plan *, const evn_duty_file *, double payload_kg, evn_arena *, evn_report *);

/* Says what is wrong with a truck and a duty together, at the value of a key below a path of the duty. */
void evn_duty_say(const evn_duty_file *, const char *path, const char *key, evn_fault, evn_report *, const char *format,
                  ...) __attribute__((format(printf, 6, 7)));

/*
 * Whether a truck can do what is asked of it at the stops of a day, also those of the cycles of its legs, before
 * anything is driven: all that it cannot is said, each place of the duty once. The weather does not matter to them.
 */
bool evn_duty_suits(const evn_duty_file *, const evn_day_plan *, const evn_rig *, evn_report *);

/* Whether a payload that is asked for, if any, is carried on a leg of the day; else it is said where the day states
 * another. */
bool evn_duty_takes_payload(const evn_duty_file *, const evn_load_case *asked, evn_report *);
/* evn_duty_payload_until (duty.h) of what is written. */
bool evn_duty_file_payload_until(const evn_duty_file *, const char **name, bool *stop);

/* A report for each phase. False (said) when memory is out. */
bool evn_day_plan_reports(evn_day_plan *, bool strict, evn_report *);
/* Who samples a phase, behind one more (NULL: none), into the arena. False when memory is out. */
bool evn_day_plan_sample(evn_day_plan *, size_t phase, const evn_sampler *first, evn_samplers, evn_arena *);
/* What came of a phase. False: there are not so many. */
bool evn_day_plan_phase_at(const evn_day_plan *, size_t phase, evn_day_phase *out);
/* The charge at its begin, the lowest and what is left then; NAN: no phase was begun. */
void evn_day_plan_reserve(const evn_day_plan *, evn_day_season *);
/* Gives up what came of its phases, and their reports. */
void evn_day_plan_end(evn_day_plan *);

/* ------------------------------------------------------------------------------------------------ put together */

/* One of several results, with how often it counts. */
typedef struct evn_share_of {
    const evn_results *results;
    double times;
} evn_share_of;

/* What they come to together (DUTY.md), with this status; at least one. NULL when memory is out. */
evn_results *evn_results_together(const evn_share_of *, size_t count, bool one_after_another, const char *status);

#endif
