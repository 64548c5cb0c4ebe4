/*
 * evener.h: what libevener does, from files to results. Beside it stand
 *   keys.h        every key that a file may hold, with bounds and defaults; every fault that can be found
 *   beside.h      a comparison beside one of the same trucks with other data of their parts
 *   catalogue.h   the files of trucks, cycles, lineups and parts that there are
 *   values.h      a truck value by value, with places; hashes; parts by themselves; numbers changed in memory
 *   traces.h      the columns of a run over time, and who takes its rows
 *   charts.h      numbers behind pictures; where the time of a run went
 *   kept.h        results kept in a file, and new ones held against them
 *   limits.h      what a truck can do before any route, and what is demanded of it
 *   explain.h     how a number of a run comes about, down to the values of files
 *   duty.h        a working day of legs and stops, driven whole
 *   likeness.h    whether the trucks of a comparison are alike, and what makes them so
 *
 * A run is: load a truck, load a cycle, prepare the truck for one load case (the rig), drive the rig over the cycle,
 * read the results by key. A comparison is: load a lineup, or make one of loaded trucks; compare; read the outcomes by
 * truck and basis. Both stand whole in tests/example/drive_and_compare.c of the source tree.
 *
 * Rules that hold for every call of every header
 *   - Nothing prints, exits, or keeps global state. Calls on different objects may run in parallel threads. An object
 *     that calls take as const may be shared by threads while none changes or frees it. A report belongs to one thread.
 *   - What went wrong is said in the evn_report that the caller passes. The returned status is the report's worst, that
 *     of earlier calls included (charts.h and kept.h say where it is another), and with a report that holds an error
 *     already nothing is loaded: a new report for each thing that is judged by itself.
 *   - Where `out` is a pointer to a handle, the call sets it: to an object that the caller frees, or to NULL when there
 *     is none. There may be one where the status is not EVN_DONE.
 *   - Every call with a report may find "out_of_memory" (EVN_NO_RESULT).
 *   - Pointers must not be NULL, but where that is said; each _free takes NULL. Indices count from 0, and enumerators
 *     are those of their type. What is none of these is refused: by a call that takes a report with "usage"
 *     (EVN_BAD_INPUT; false), and nothing is done; where the report itself is NULL the status alone says so. A call
 *     without a report gives what it gives where there is nothing: false, 0, NULL, NAN, an empty text, the defaults;
 *     false from an _at or a _get: there is no such one, and nothing is written. Numbers that are none (NAN, infinity)
 *     are out of all bounds, but where NAN has a meaning that is said.
 *   - A call needs up to 128 KiB of stack of the thread that makes it.
 *   - SI units inside; a name that ends in a unit (`_kg`, `_km_h`, `_kwh`) is in that unit.
 *   - Text returned by a call belongs to the object it came from and lives as long as that object; text that comes
 *     from no object lives as long as the program.
 */
#ifndef EVENER_EVENER_H
#define EVENER_EVENER_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#ifdef __cplusplus
extern "C" {
#endif

#if defined(__GNUC__)
#define EVN_API __attribute__((visibility("default")))
#else
#define EVN_API
#endif

/* ------------------------------------------------------------------------------------------------ status, report */

/* The outcome of a call, and the exit code of the program. The larger, the worse. */
typedef enum evn_status {
    EVN_DONE = 0,      /* done; the report may hold warnings */
    EVN_ANSWER_NO = 1, /* an answer was computed, and it is no: the truck stalled, the battery ran empty */
    EVN_BAD_INPUT = 2, /* usage or input error */
    EVN_NO_RESULT = 3, /* no answer could be computed */
    EVN_BAD_IO = 4     /* a file could not be read or written */
} evn_status;

typedef enum evn_severity { EVN_ERROR, EVN_WARNING } evn_severity;

/*
 * One finding of a report. Lines and columns count from 1; 0 means that the place is not known. A file named "--set 2"
 * is no file but the second of the values set beside it: line 0, and the column in its text.
 */
typedef struct evn_finding {
    evn_severity severity;
    const char *fault; /* its name, one of those that evn_fault_at (keys.h) lists: "unknown_key" */
    const char *file;  /* NULL where no file is concerned */
    unsigned line, column;
    const char *used_from_file; /* NULL, or the file that extends or uses the one above */
    unsigned used_from_line, used_from_column;
    const char *text; /* what was found; what was expected; hint */
} evn_finding;

typedef struct evn_report evn_report;

EVN_API const char *evn_version(void); /* "0.1.0" */

EVN_API evn_report *evn_report_new(void); /* NULL only when memory is out */
EVN_API void evn_report_free(evn_report *);
/* Findings kept, at most 20: those that come first by file, line and column, errors before warnings. A warning of one
 * place is kept once, wherever the part is used from. */
EVN_API size_t evn_report_count(const evn_report *);
EVN_API bool evn_report_at(const evn_report *, size_t index, evn_finding *out); /* sorted by file, line, column */
EVN_API size_t evn_report_left_out(const evn_report *);                         /* counted, but not kept */
EVN_API evn_status evn_report_status(const evn_report *);                       /* the worst; EVN_DONE at first */
/*
 * While a report is strict, warnings that are said count as errors (EVN_BAD_INPUT), whatever says them: a truck with an
 * unusual value is not loaded, one above its permitted mass not prepared, and a run that passed a limit, with results,
 * is no success. A comparison hands it on to the reports of its outcomes. False: it was not before.
 */
EVN_API bool evn_report_be_strict(evn_report *, bool strict);
/* Files and folders that were read, or tried, while this report was passed; NULL past the last. */
EVN_API const char *evn_report_file_at(const evn_report *, size_t index);

/* ------------------------------------------------------------------------------------------------ quantities */

/* What a number is: one row of a list. Keys hold dots where they nest ("energy_balance.rolling_resistance_kwh"). */
typedef enum evn_quantity_kind { EVN_REAL, EVN_WHOLE, EVN_YES_NO, EVN_SHARE } evn_quantity_kind;
typedef struct evn_quantity {
    const char *key, *unit, *help; /* unit "" for a pure number */
    evn_quantity_kind kind;        /* EVN_YES_NO: 1, 0, or NAN for "not judged"; EVN_SHARE: 0 to 1, told in per cent */
    int digits;              /* decimals that the data deserve, in tables and sentences; of a share, of its per cent */
    const char *label;       /* its name in the field's terms, "final state of charge"; never NULL */
    const char *short_label; /* the same where there is little room; never NULL, and the label where that is short */
    int rank;                /* place in the short list of what a run came to, from 1; 0: not in it */
} evn_quantity;

/* ------------------------------------------------------------------------------------------------ load */

typedef struct evn_truck evn_truck; /* as read */
typedef struct evn_cycle evn_cycle; /* as read, checked */

/*
 * Values that replace those of the files, as "KEY=VALUE". KEY is the dotted path of a key, places in lists in brackets
 * from 0: "drive_units.rear.gearbox.ratios[1]", "drive_units.rear.path[4].final_drive.ratio". VALUE is written as in a
 * file; maps merge. "cycle.KEY=VALUE" is for the cycle and left alone by a truck, all others are for the truck and left
 * alone by a cycle, unless no truck is loaded. Where several trucks are loaded, "trucks.NAME.KEY=VALUE" is for the one
 * of that name. Of a lineup all keys are its own: "trucks.NAME.KEY", "cycle.KEY", "load_case.payload_kg". All zero:
 * as the files are.
 */
typedef struct evn_load {
    const char *const *set; /* ends with NULL; may be NULL */
    const char *set_beside; /* the file from whose folder paths in these values start; NULL: the working folder */
    bool strict;            /* warnings about what stands in the files are errors, as of a strict report */
    bool only_cycle;        /* no truck is loaded: keys without "cycle." are for the cycle */
    /* Of this truck among several: keys with "trucks." and another name are not for it. Or NULL. */
    const char *truck_name;
} evn_load;

/*
 * Read and check a file, and what it extends and uses: paths in a file start from its own folder, else from the folders
 * of the environment's EVENER_PATH (colons between them; of one that holds vehicles/ and cycles/ first from these),
 * else from the installed data.
 *   EVN_BAD_IO      it could not be read ("cannot_read")
 *   EVN_BAD_INPUT   it does not hold what it should, each fault said at its place ("unknown_key", "missing_key",
 *                   "out_of_range", "disagrees", "not_found" and others)
 * Values outside what is usual are warnings ("unusual_value"). Where there is an error nothing is loaded.
 */
EVN_API evn_status evn_truck_load(const char *path, evn_truck **out, evn_report *);
EVN_API evn_status evn_truck_load_with(const char *path, const evn_load *, evn_truck **out, evn_report *);
EVN_API void evn_truck_free(evn_truck *);

EVN_API const char *evn_truck_name(const evn_truck *);
EVN_API const char *evn_truck_short_name(const evn_truck *); /* NULL: none */
EVN_API bool evn_truck_invented(const evn_truck *);          /* the file marks its data as invented */
/* Wheels by driven wheels, twin tyres counted as one, "4x2"; axles of the truck without its trailer, and those that are
 * driven. */
EVN_API const char *evn_truck_axle_configuration(const evn_truck *);
EVN_API size_t evn_truck_axle_count(const evn_truck *);
EVN_API size_t evn_truck_driven_axle_count(const evn_truck *);
/* How axles share friction braking: the word of brakes.distribution. */
EVN_API const char *evn_truck_brake_distribution(const evn_truck *);
EVN_API double evn_truck_drag_area_m2(const evn_truck *); /* drag coefficient times frontal area */

/* The same for a cycle. */
EVN_API evn_status evn_cycle_load(const char *path, evn_cycle **out, evn_report *);
EVN_API evn_status evn_cycle_load_with(const char *path, const evn_load *, evn_cycle **out, evn_report *);
EVN_API void evn_cycle_free(evn_cycle *);

EVN_API const char *evn_cycle_name(const evn_cycle *);
EVN_API const char *evn_cycle_source(const evn_cycle *); /* published source, or "invented" */
/* Statistics of a cycle as it is written, before any truck drives it; NAN: what this kind of cycle does not say. */
EVN_API size_t evn_cycle_figure_count(const evn_cycle *);
EVN_API bool evn_cycle_figure_at(const evn_cycle *, size_t index, evn_quantity *out, double *value);

/* ------------------------------------------------------------------------------------------------ conditions */

typedef enum evn_driver {
    EVN_DRIVER_HUMAN, /* follows the target speed with look-ahead; a gear change takes its time */
    EVN_DRIVER_EXACT  /* holds the target speed exactly wherever the truck is able; a gear change takes no time */
} evn_driver;

/* Both from SUNDIALS. */
typedef enum evn_integrator {
    EVN_INTEGRATOR_CVODE, /* CVODE, Adams methods: the reference */
    EVN_INTEGRATOR_ARKODE /* ARKODE, an explicit Runge-Kutta pair: about half the time, with accuracy 1e-5 recommended
                           */
} evn_integrator;

/*
 * What is asked of a run is two things. The load case is what the truck is made ready for: with another one it is
 * another rig. The driving is how it is driven, and how closely that is worked out. Both are kinds of their own,
 * "load_case" and "driving", of which evn_key_at (keys.h) tells bounds, default and meaning under the member's name.
 * NAN, where a member has no default, is "not given".
 */
/* What the load case asks of a lifting axle; without one it asks nothing. */
typedef enum evn_lifting_axle {
    EVN_LIFTING_AXLE_AUTO, /* as the truck file says */
    EVN_LIFTING_AXLE_UP,
    EVN_LIFTING_AXLE_DOWN
} evn_lifting_axle;

/* How rolling resistance goes with temperature: of the air, and of tyres that are not warm yet. */
typedef enum evn_rolling_resistance_law {
    EVN_ROLLING_RESISTANCE_LAW_CONSTANT, /* not at all: the coefficients hold at any temperature */
    EVN_ROLLING_RESISTANCE_LAW_LINEAR,   /* so much more for each K below 25 degC, in a straight line */
    EVN_ROLLING_RESISTANCE_LAW_AS_TESTED /* the correction of tyre tests to 25 degC, carried beyond its 20 to 30 degC */
} evn_rolling_resistance_law;
/* With which temperature tyres and the oil of gears begin: cold is that of the air. */
typedef enum evn_tyres_at_start {
    EVN_TYRES_AT_START_WARM, /* as after a long run */
    EVN_TYRES_AT_START_COLD
} evn_tyres_at_start;
typedef enum evn_oil_at_start {
    EVN_OIL_AT_START_WARM, /* as the file of the part says */
    EVN_OIL_AT_START_COLD
} evn_oil_at_start;

typedef struct evn_load_case {
    double payload_kg;         /* 0 to 500000; NAN, the default: the truck file's own */
    double start_soc;          /* 0 to 1, within the battery's usable window; NAN, the default: the truck file's own */
    double battery_age_years;  /* 0 to 40; default 0; within what the battery states of ageing */
    double battery_start_degc; /* -60 to 100; NAN, the default: the truck file's own, else that of the air */
    double gravity_m_s2;       /* 0.1 to 30; default 9.80665 */
    double air_density_kg_m3;  /* 0 to 10; NAN, the default: from altitude and temperature by the standard atmosphere
                                  (ISO 2533) */
    double altitude_m;         /* -500 to 9000; default 0; geometric */
    double temperature_degc;   /* -60 to 60; NAN, the default: the standard atmosphere's own at that altitude */
    double headwind_m_s;       /* -60 to 60; default 0; along the road, against the truck; negative: from behind */
    double wind_m_s;           /* 0 to 60; default 0; at the height of the truck, beside the headwind */
    double wind_from_deg;      /* 0 to 360; NAN, the default: from all directions alike; clockwise from north */
    evn_rolling_resistance_law rolling_resistance_law; /* default EVN_ROLLING_RESISTANCE_LAW_CONSTANT */
    evn_tyres_at_start tyres_at_start;                 /* default EVN_TYRES_AT_START_WARM */
    evn_oil_at_start oil_at_start;                     /* default EVN_OIL_AT_START_WARM */
    evn_lifting_axle lifting_axle;                     /* default EVN_LIFTING_AXLE_AUTO */
} evn_load_case;

/* Whose adhesion holds on the whole course; the rolling resistance stays that of the cycle, and is the ground's own
 * where limits are told, which know no cycle. */
typedef enum evn_surface {
    EVN_SURFACE_AS_CYCLE, /* what the cycle states, or else the truck's own */
    EVN_SURFACE_DRY,
    EVN_SURFACE_WET,
    EVN_SURFACE_GRAVEL,
    EVN_SURFACE_SOIL,
    EVN_SURFACE_SNOW
} evn_surface;
/* Long descents: what is held besides the target speed, so that the friction brakes rest. */
typedef enum evn_endurance {
    EVN_ENDURANCE_OFF,       /* nothing: friction brakes take what motors and battery cannot */
    EVN_ENDURANCE_SET_SPEED, /* the target speed of a descent is at most a set one, reached before it begins */
    EVN_ENDURANCE_HOLDABLE   /* once friction brakes are used there: the fastest that motors and battery hold alone */
} evn_endurance;

typedef struct evn_driving {
    evn_driver driver;     /* default EVN_DRIVER_HUMAN */
    double speed_gain_1_s; /* 0.01 to 10; default 0.5; human driver: m/s2 for each m/s below the target speed */
    double look_ahead_s;   /* 0.05 to 60; default 2; human driver: how far ahead stops and target speed are aimed at */
    double comfort_acceleration_m_s2; /* 0.01 to 10; default 0.6; of the target speed between speed limits, and of
                                         returning to it after a limitation */
    double comfort_braking_m_s2;      /* 0.01 to 8; default 0.7; of the target speed between speed limits, as a positive
                                         number */
    evn_integrator integrator;        /* default EVN_INTEGRATOR_CVODE */
    double accuracy;                  /* 1e-12 to 0.001; default 1e-06; tolerance of the integration */
    double trace_interval_s;          /* 0.001 to 86400; default 1; between rows of a trace; events add rows */
    evn_endurance endurance;          /* default EVN_ENDURANCE_OFF */
    double endurance_speed_km_h;      /* 1 to 150; NAN, the default: none; EVN_ENDURANCE_SET_SPEED needs it */
    double endurance_from_percent;    /* 0.5 to 40; default 2; a road that falls by this much or more is a descent */
    double endurance_least_km_h;      /* 1 to 100; default 10; EVN_ENDURANCE_HOLDABLE holds no speed below it */
    evn_surface surface;              /* default EVN_SURFACE_AS_CYCLE */
} evn_driving;

typedef struct evn_conditions {
    evn_load_case load_case;
    evn_driving driving;
    uint64_t before_seasons; /* default 0; bit k: row k of "load_case" (evn_key_at), as asked, goes before what seasons
                                of a duty state of it; evn_conditions_before_seasons sets it */
} evn_conditions;

EVN_API evn_conditions evn_conditions_default(void); /* the defaults of both kinds */

/*
 * One member by its key; of a choice (the driver) the value is its place among the key's choices. Setting refuses what
 * is out of the key's bounds ("out_of_range"), no choice ("unknown_choice") or no key ("unknown_key"), and warns of
 * what is unusual. False: refused (said), and nothing is changed; getting: no such key. Members may as well be written
 * by hand: the call that uses them judges them all by the same bounds.
 */
EVN_API bool evn_load_case_set(evn_load_case *, const char *key, double value, evn_report *);
EVN_API bool evn_load_case_get(const evn_load_case *, const char *key, double *value);
EVN_API bool evn_driving_set(evn_driving *, const char *key, double value, evn_report *);
EVN_API bool evn_driving_get(const evn_driving *, const char *key, double *value);

/* What is asked of a key of the load case goes before what the seasons of a duty state of it, also where it is its
 * default. False: no such key. */
EVN_API bool evn_conditions_before_seasons(evn_conditions *, const char *key);

/* ------------------------------------------------------------------------------------------------ prepare */

/* A truck made ready to drive: chains of stages, masses, limits. It never changes; threads may share it. */
typedef struct evn_rig evn_rig;

/*
 * EVN_BAD_INPUT: a member of the load case is out of its bounds, or the state of charge outside the usable window of
 * this battery
 * ("out_of_range"); an axle that carries nothing ("disagrees"). More mass than permitted, of the whole or on an axle,
 * is a warning ("unusual_value"). A rig keeps nothing of its truck, which may be freed or changed.
 */
EVN_API evn_status evn_rig_prepare(const evn_truck *, const evn_load_case *, evn_rig **out, evn_report *);
EVN_API void evn_rig_free(evn_rig *);

/* What follows from the truck before it drives: masses, axle loads at rest, and what each gear gives. Names of axles,
 * drive units and gears stand in the keys: "axle_loads.front.load_kg", "gears.rear.1.total_ratio". */
EVN_API size_t evn_rig_figure_count(const evn_rig *);
EVN_API bool evn_rig_figure_at(const evn_rig *, size_t index, evn_quantity *out, double *value);

/*
 * What the truck is, as it is read, and loaded: motors, gears, battery, body, tyres, axle loads; the same facts of
 * every truck, in one order. Each is a text ("1 of 550 kW, 3600 Nm, 5000 rpm") or a number.
 */
typedef struct evn_fact {
    evn_quantity what;
    double value;     /* NAN: it is a text */
    const char *text; /* of the rig; NULL: it is a number */
} evn_fact;
EVN_API bool evn_rig_fact_at(const evn_rig *, size_t index, evn_fact *out);

/* Its drive units, in the order of the file. */
EVN_API size_t evn_rig_unit_count(const evn_rig *);
EVN_API const char *evn_rig_unit_name(const evn_rig *, size_t unit); /* NULL: no such */

/* ------------------------------------------------------------------------------------------------ drive */

typedef struct evn_collective evn_collective; /* collectives.h */

/* Who watches a run; all but self may be NULL. The results are the same bytes whether or not a run is watched. */
typedef struct evn_watcher {
    void *self;
    /* A row of the trace, with a value for each column of evn_trace_column_at (traces.h), in the order of time: at
     * events, and every trace_interval_s of the driving. The row is there during the call only. */
    void (*sample)(void *self, const double *row, size_t columns);
    /* Asked now and then; the share, of the way, never falls, and ends at 1. False ends the run. */
    bool (*go_on)(void *self, double done_share);
    evn_collective *collective; /* counts the load collectives of its shafts; of another rig: "usage" */
} evn_watcher;

typedef struct evn_results evn_results;

/*
 * Drives, in the calling thread; the watcher may be NULL, and is called from there. The same rig, cycle and driving
 * give the same bytes.
 *   EVN_DONE        finished
 *   EVN_ANSWER_NO   with results up to there: it stalled ("cannot_start"), its battery ran empty ("battery_empty"), or
 *                   gives less than what is asked of it ("battery_too_weak")
 *   EVN_BAD_INPUT   a member of the driving is out of its bounds ("out_of_range", "unknown_choice"), or the cycle
 *                   asks for what cannot be ("braking_too_hard" and others); with results where a strict report takes
 *                   a warning of the run for an error
 *   EVN_NO_RESULT   ended by the watcher ("interrupted"), with results up to there; or without any:
 *                   "too_many_events", "no_headway", "solver_gave_up"
 * Warnings: "limit_passed", the run passed a limit that the truck's file states, of a winding, an inverter, a motor's
 * speed, the battery's power or voltage; "too_hot", losses without torque would heat a drive unit beyond its derating,
 * and its disconnect opened, its pulses went off or its speed has to be held down; "not_decided", whether a winding
 * derates lies within the range of its time constants; "filled_map", a motor ran often where its loss map was not
 * measured; "open_balance", the energy balance leaves more open than an integration may. Results keep nothing of the
 * rest.
 */
EVN_API evn_status evn_drive(const evn_rig *, const evn_cycle *, const evn_driving *, const evn_watcher *,
                             evn_results **out, evn_report *);
EVN_API void evn_results_free(evn_results *);

/* ------------------------------------------------------------------------------------------------ results */

/* "finished", "stalled", "battery_empty", "battery_too_weak", "interrupted"; of a stop of a duty (duty.h) "not_charged"
 */
EVN_API const char *evn_results_status(const evn_results *);

/* Energies, times, counts, masses: what a run came to, in a fixed order. NAN: it has no such value. */
EVN_API size_t evn_results_count(const evn_results *);
EVN_API bool evn_results_at(const evn_results *, size_t index, evn_quantity *out, double *value);
EVN_API bool evn_results_get(const evn_results *, const char *key, double *value); /* "kwh_per_km" */

/*
 * All rows that results may have, in their order, without a run. Names of axles and drive units stand as NAME in the
 * keys: "axles.NAME.load_kg", "drive_units.NAME.gear_changes".
 */
EVN_API bool evn_result_row_at(size_t index, evn_quantity *out);

/* The short list of what a run comes to, in its order, without a run. */
EVN_API bool evn_headline_at(size_t index, evn_quantity *out);

/* A truck counts as below its target speed where it is slower by more than so much: 2 mph, the tolerance of
 * 40 CFR 1066.425(b). */
#define EVN_BELOW_TARGET_M_S (2 * 0.44704)

/* What kept the truck below its target speed: one row per limit that did, longest first. */
typedef struct evn_limitation {
    /* "motor_torque", "motor_power", "winding_temperature", "inverter_temperature", "battery_power", "adhesion",
     * "gear_change", "top_speed", "endurance_braking" */
    const char *limit;
    const char *label;        /* the same in words, "battery power" */
    double duration_s;        /* time during which this limit was the binding one */
    double at_m;              /* place where the truck was furthest below its target speed while this limit bound it */
    double below_target_km_h; /* by how much, there */
} evn_limitation;
EVN_API size_t evn_results_limitation_count(const evn_results *);
EVN_API bool evn_results_limitation_at(const evn_results *, size_t index, evn_limitation *out);
/* Why friction brakes braked: one row per cause, the most energy first. They sum up to the energy of the brakes. */
typedef struct evn_friction_cause {
    /* "motor_torque", "motor_power", "temperature", "battery_power", "adhesion", "gear_change", "low_speed",
     * "motor_share", "regeneration_off", "other" */
    const char *cause;
    const char *label; /* the same in words, "battery power" */
    double kwh;
} evn_friction_cause;
EVN_API bool evn_results_friction_cause_at(const evn_results *, size_t index, evn_friction_cause *out);

/*
 * The hottest that a part became in a run, and where its limits are; of each part whose heating the files state. Limits
 * are for comparing: what a part may bear is for approved testing and licensed practice.
 */
typedef struct evn_peak_temperature {
    const char *part; /* "winding", "housing", "inverter", "coolant", "friction brakes" */
    const char *of;   /* name of the drive unit or axle; NULL: the truck's */
    double peak_degc;
    double low_degc, high_degc; /* the lowest and the highest of that over the range of all time constants; NAN: none */
    double from_degc, limit_degc; /* where torque begins to be taken, and where none is left, or the stated limit; NAN:
                                     none */
} evn_peak_temperature;
EVN_API bool evn_results_peak_temperature_at(const evn_results *, size_t index, evn_peak_temperature *out);

/* All limits that an evn_limitation may name, with their labels. False: no more. */
EVN_API bool evn_limit_at(size_t index, const char **limit, const char **label);

/* ------------------------------------------------------------------------------------------------ compare */

/* Two to twelve trucks side by side, each by a name of its own, on one cycle; the others are held against the first. */
typedef struct evn_lineup evn_lineup;

/* As evn_truck_load. */
EVN_API evn_status evn_lineup_load(const char *path, evn_lineup **out, evn_report *);
EVN_API evn_status evn_lineup_load_with(const char *path, const evn_load *, evn_lineup **out, evn_report *);

/*
 * A lineup of what is loaded already: so many trucks with as many names, which differ and can be part of names of files
 * (no '/', no control characters), and a cycle; else "usage", EVN_BAD_INPUT. The names are copied; trucks and cycle
 * must outlive the lineup, and stay as they are meanwhile.
 */
EVN_API evn_status evn_lineup_of(const evn_truck *const *trucks, const char *const *names, size_t count,
                                 const evn_cycle *, evn_lineup **out, evn_report *);
EVN_API void evn_lineup_free(evn_lineup *);

EVN_API const char *evn_lineup_name(const evn_lineup *);   /* NULL: of what was loaded already */
EVN_API const char *evn_lineup_source(const evn_lineup *); /* where it comes from, or "invented"; NULL likewise */
EVN_API size_t evn_lineup_truck_count(const evn_lineup *);
EVN_API const char *evn_lineup_truck_name(const evn_lineup *, size_t index); /* its name in the lineup; NULL: no such */
/*
 * What it is called in sentences and charts: the truck's short name, else its name in the lineup with blanks for
 * underscores; with its name behind it, "electric axle (second)", where another is called so
 * too; of all their names where even so two are alike. NULL: no such.
 */
EVN_API const char *evn_lineup_truck_title(const evn_lineup *, size_t index);
/* One of its trucks, or NULL; belongs to the lineup. */
EVN_API const evn_truck *evn_lineup_truck(const evn_lineup *, size_t index);
EVN_API const evn_cycle *evn_lineup_cycle(const evn_lineup *); /* belongs to the lineup; NULL: it drives a duty */
/* What its trucks drive, a cycle or a duty: its name, and where it is published, or "invented". */
EVN_API const char *evn_lineup_over(const evn_lineup *);
EVN_API const char *evn_lineup_over_source(const evn_lineup *);
EVN_API bool evn_lineup_has_duty(const evn_lineup *);
/* The season of the duty in which they are compared; NULL: none. */
EVN_API const char *evn_lineup_season_name(const evn_lineup *);
/* What is asked, with the load case of that season laid over it: as its trucks are compared. NULL asks for
 * evn_conditions_default. */
EVN_API evn_conditions evn_lineup_in_season(const evn_lineup *, const evn_conditions *);

/* The load case and the driving that the lineup asks for; of what was loaded already evn_conditions_default. */
EVN_API evn_conditions evn_lineup_ask(const evn_lineup *);

/*
 * A truck that climbs slower saves air drag. So there are two bases:
 *   OWN     each truck at its own speeds, as the asked driver drives it;
 *   COMMON  all at one speed, the lowest that any of them reaches at each place with the exact driver, driven by the
 *           exact driver. A truck whose exact run does not finish is left out of it.
 */
typedef enum evn_basis { EVN_BASIS_OWN, EVN_BASIS_COMMON } evn_basis;

typedef struct evn_samplers evn_samplers; /* so many, for one run: traces.h */
typedef struct evn_demands evn_demands;   /* what trucks must be able to do: limits.h */
typedef struct evn_limits evn_limits;     /* what a truck can do: limits.h */

/*
 * What the trucks of a comparison are made equal in, before anything drives (likeness.h tells what each was given):
 *   PAYLOAD  nothing is changed: each carries the payload of the load case, else its file's own
 *   GROSS    each other truck carries so much that its gross mass is the first's
 *   POWER    the motors of each other truck are scaled in torque so that its peak wheel power is the first's
 */
typedef enum evn_equal {
    EVN_EQUAL_AS_LINEUP, /* evn_lineup_equal */
    EVN_EQUAL_PAYLOAD,
    EVN_EQUAL_GROSS,
    EVN_EQUAL_POWER
} evn_equal;

/* All zero does: as many threads as processors, nobody watches. */
typedef struct evn_compare_how {
    size_t threads; /* that drive at the same time, at most 64; 0: as many as processors online. The results are the
                       same bytes */
    void *self;
    /* May be NULL. Called now and then, by one thread at a time and not always the same; false ends all runs that have
     * not ended: "interrupted", EVN_NO_RESULT, and what has finished is there. The share never falls and ends at 1. */
    bool (*go_on)(void *self, double done_share);
    /* May be NULL. Says who samples the run of a truck on a basis over a cycle; the list is copied. Called by the
     * thread that called evn_compare, before any run begins, truck by truck for those that could be prepared, each
     * first for OWN. The rig lives as long as the comparison. A run on the COMMON basis is driven anew where the common
     * speed must be lowered further: its samplers begin again, and the rows of the last time are those of its outcome.
     */
    evn_samplers (*samplers)(void *self, size_t truck, const evn_rig *, evn_basis);
    /* The same over a duty, in its place: of each leg, part of one or stop of the day. The rig is that of the most that
     * the truck carries; columns of rows are those of all its rigs. A leg at the COMMON speed is driven anew as a run
     * is. */
    evn_samplers (*phase_samplers)(void *self, size_t truck, const evn_rig *, evn_basis, size_t phase);
    const evn_demands *demands; /* that each truck is held against (evn_comparison_limits); NULL: the lineup's */
    evn_equal equal;
    bool all_seasons;   /* over a duty: its day at own speeds is driven in its other seasons too (duty.h) */
    const char *called; /* stands before the names of trucks in the report, where it tells of two comparisons; may be
                           NULL */
} evn_compare_how;

/* What came of one truck on one basis. */
typedef struct evn_outcome evn_outcome;
typedef struct evn_comparison evn_comparison;

/*
 * Prepares and drives all trucks of the lineup, which must outlive the comparison. `how` may be NULL. EVN_DONE, or
 * EVN_ANSWER_NO where one of them could not be prepared or did not finish ("not_finished"), the others' outcomes being
 * there none the less, or where one cannot do what is demanded ("demand_not_met"). NULL in `out` only when the ask, the
 * demands or the cycle do not do for any truck, or the trucks cannot be made equal as asked ("cannot_be_equal";
 * EVN_BAD_INPUT), or memory is out. The report tells of the whole, each
 * outcome's own of one truck on one basis.
 */
EVN_API evn_status evn_compare(const evn_lineup *, const evn_conditions *, const evn_compare_how *how,
                               evn_comparison **out, evn_report *);
EVN_API void evn_comparison_free(evn_comparison *);

/* These belong to the comparison. */
EVN_API const evn_rig *evn_comparison_rig(const evn_comparison *, size_t truck); /* NULL: it could not be prepared */
EVN_API const evn_outcome *evn_comparison_outcome(const evn_comparison *, size_t truck, evn_basis); /* NULL: no such */

/* How the common speed came about and how closely it was kept, by key ("common.duration_spread"). */
EVN_API size_t evn_comparison_figure_count(const evn_comparison *);
EVN_API bool evn_comparison_figure_at(const evn_comparison *, size_t index, evn_quantity *out, double *value);

/* As evn_results_status; or "failed": no results; "left_out": of the common basis. */
EVN_API const char *evn_outcome_status(const evn_outcome *);
EVN_API const evn_results *evn_outcome_results(const evn_outcome *); /* NULL: none; belongs to the comparison */
EVN_API const evn_report *evn_outcome_report(const evn_outcome *);   /* what was found about this truck on this basis */

/*
 * Against the first truck, of each number that both have, where both finished: "difference.KEY" in the number's unit,
 * this truck's less the first's, and "percent.KEY" of the first's (NAN where that is 0). Of the energy balance of each
 * line that any truck has, 0 where a truck lacks its part: the differences add up. On the own basis also of the masses
 * that are known before anything drives: "difference.masses.kerb_kg".
 */
EVN_API size_t evn_outcome_difference_count(const evn_outcome *);
EVN_API bool evn_outcome_difference_at(const evn_outcome *, size_t index, evn_quantity *out, double *value);

#ifdef __cplusplus
}
#endif
#endif
