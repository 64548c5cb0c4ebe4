/*
 * evener.h: the public interface of libevener.
 *
 * A run is: load a truck, load a cycle, prepare the truck for one load case (the rig),
 * drive the rig over the cycle, read the results by key. A comparison is: load a lineup of trucks, compare, read the
 * outcomes by truck and basis.
 *
 * Rules that hold for every call
 *   - Nothing prints, exits, or keeps global state. Calls on different objects may run in parallel threads; a rig and
 *     a cycle are immutable once made and may be shared by threads.
 *   - What went wrong is said in the evn_report that the caller passes; the returned status is the report's worst.
 *   - SI units inside; a name that ends in a unit (`_kg`, `_km_h`, `_kwh`) is in that unit.
 *   - Text returned by a call belongs to the object it came from and lives as long as that object.
 */
#ifndef EVENER_EVENER_H
#define EVENER_EVENER_H

#include <stdbool.h>
#include <stddef.h>

#ifdef __cplusplus
extern "C" {
#endif

#if defined(__GNUC__)
#define EVN_API __attribute__((visibility("default")))
#else
#define EVN_API
#endif

/* ------------------------------------------------------------------------------------------------ status, report */

/* The outcome of a call, and the exit code of the program. */
typedef enum evn_status {
    EVN_DONE = 0,      /* done */
    EVN_ANSWER_NO = 1, /* an answer was computed, and it is no: the truck stalled, the pack ran empty */
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
    const char *fault; /* name of the fault, as `evener keys --faults` lists it: "unknown_key" */
    const char *file;  /* NULL where no file is concerned */
    unsigned line, column;
    const char *used_from_file; /* NULL, or the file that extends or uses the one above */
    unsigned used_from_line, used_from_column;
    const char *text; /* what was found; what was expected; hint */
} evn_finding;

typedef struct evn_report evn_report;

EVN_API const char *evn_version(void);

EVN_API evn_report *evn_report_new(void); /* NULL only when memory is out */
EVN_API void evn_report_free(evn_report *);
EVN_API size_t evn_report_count(const evn_report *); /* findings kept; sorted by file, line, column */
EVN_API bool evn_report_at(const evn_report *, size_t index, evn_finding *out);
EVN_API size_t evn_report_left_out(const evn_report *); /* findings beyond the first 20, counted but not kept */
EVN_API evn_status evn_report_status(const evn_report *);
/* Files and folders that were read, or tried, while this report was passed; NULL past the last. */
EVN_API const char *evn_report_file_at(const evn_report *, size_t index);

/* ------------------------------------------------------------------------------------------------ keys */

/*
 * Every key that a file may hold, from the tables by which files are read. Keys stand in kinds: "truck", "cycle" and
 * "lineup" are those of whole files, "motor", "tyre", "final_drive" and the like those of parts, which a file may hold
 * inline or bring in with `use: PATH`. All text lives as long as the program.
 */
typedef struct evn_kind {
    const char *name, *help;
    size_t key_count;
} evn_kind;

typedef enum evn_key_shape {
    EVN_KEY_NUMBER,
    EVN_KEY_COUNT, /* a whole number */
    EVN_KEY_FLAG,
    EVN_KEY_TEXT,
    EVN_KEY_CHOICE,
    EVN_KEY_NUMBERS, /* a list */
    EVN_KEY_GROUP,   /* a map of the keys of `kind` */
    EVN_KEY_NAMED,   /* a map of names, each with the keys of `kind` */
    EVN_KEY_STEPS,   /* a list of maps of one key, which is the name of a kind: evn_key_step */
    EVN_KEY_FILE,    /* the path of a CSV file */
    EVN_KEY_FIGURES, /* a map of names to numbers, or to the word none */
    EVN_KEY_TEXTS    /* a list of texts */
} evn_key_shape;

typedef enum evn_key_presence {
    EVN_KEY_REQUIRED,
    EVN_KEY_OPTIONAL,
    EVN_KEY_HAS_DEFAULT /* of a group: when it is left out, one that is made of its own defaults stands in */
} evn_key_presence;

typedef struct evn_key {
    const char *key, *unit, *help, *source; /* "" where there is none */
    evn_key_shape shape;
    evn_key_presence presence;
    const char *kind;               /* of GROUP and NAMED, else NULL */
    double least, most;             /* numbers: hard bounds, inclusive */
    double usual_low, usual_high;   /* outside gives a warning; NAN: none stated */
    double fallback;                /* default of numbers; NAN: none */
    const char *fallback_word;      /* default of FLAG and CHOICE; NULL: none */
    const char *const *choices;     /* of CHOICE, ends with NULL; else NULL */
    size_t count_least, count_most; /* of lists and names; count_most 0: no limit of its own */
} evn_key;

EVN_API size_t evn_kind_count(void);
EVN_API bool evn_kind_at(size_t index, evn_kind *out);
EVN_API bool evn_kind_get(const char *name, evn_kind *out);
EVN_API bool evn_key_at(const char *kind, size_t index, evn_key *out);
/* Kinds that the items of a STEPS key may be; NULL past the last. */
EVN_API const char *evn_key_step(const char *kind, const char *key, size_t index);

/* Where a dotted path leads. */
typedef struct evn_key_place {
    const char *holder; /* the kind that holds the key; NULL when the path is that of a whole kind */
    size_t index;       /* of the key in its holder */
    const char *inner;  /* the kind that it leads into; NULL: none, or one of several */
} evn_key_place;

/*
 * Finds "truck.battery.capacity_ah", "drive_units.rear.path[4].final_drive" (from a truck, else from a cycle), "motor",
 * "motor.loss". Names of things may be any. False, with the nearest name in the report, when there is none.
 */
EVN_API bool evn_key_find(const char *path, evn_key_place *out, evn_report *);

/* Every fault that a finding can name. */
typedef struct evn_fault_meaning {
    const char *name, *meaning;
    evn_severity severity;
    evn_status status; /* that it leads to */
} evn_fault_meaning;

EVN_API size_t evn_fault_count(void);
EVN_API bool evn_fault_at(size_t index, evn_fault_meaning *out);

/* ------------------------------------------------------------------------------------------------ truck, cycle */

typedef struct evn_truck evn_truck; /* as read */
typedef struct evn_cycle evn_cycle; /* as read, checked */

/*
 * Values that replace those of the files, as "KEY=VALUE". KEY is the dotted path of a key, places in lists in brackets
 * from 0: "drive_units.rear.gearbox.ratios[1]", "drive_units.rear.path[4].final_drive.ratio". VALUE is written as in a
 * file; maps merge. "cycle.KEY=VALUE" is for the cycle and left alone by a truck, all others are for the truck and left
 * alone by a cycle, unless no truck is loaded. Where several trucks are loaded, "trucks.NAME.KEY=VALUE" is for the one
 * of that name. Of a lineup all keys are its own: "trucks.NAME.KEY", "cycle.KEY", "load_case.payload_kg".
 */
typedef struct evn_load {
    const char *const *set; /* ends with NULL; may be NULL */
    const char *set_beside; /* the file from whose folder paths in these values start; NULL: the working folder */
    bool strict;            /* warnings about what stands in the files are errors */
    bool only_cycle;        /* no truck is loaded: keys without "cycle." are for the cycle */
    const char
        *truck_name; /* of this truck among several: keys with "trucks." and another name are not for it; or NULL */
} evn_load;

EVN_API evn_status evn_truck_load(const char *path, evn_truck **out, evn_report *);
EVN_API evn_status evn_truck_load_with(const char *path, const evn_load *, evn_truck **out, evn_report *);
EVN_API void evn_truck_free(evn_truck *);
EVN_API const char *evn_truck_name(const evn_truck *);
EVN_API bool evn_truck_invented(const evn_truck *); /* the file marks its data as invented */
/* Wheel ends by driven wheel ends, "4x2"; axles of the truck without its trailer, and those that are driven. */
EVN_API const char *evn_truck_wheel_formula(const evn_truck *);
EVN_API size_t evn_truck_axle_count(const evn_truck *);
EVN_API size_t evn_truck_driven_axle_count(const evn_truck *);
EVN_API double evn_truck_drag_area_m2(const evn_truck *); /* drag coefficient times frontal area */

/* A hash of all values that count, defaults included, names and comments not: equal values, equal text of 16 digits. */
enum { EVN_HASH_BYTES = 17 };
EVN_API void evn_truck_hash(const evn_truck *, char out[EVN_HASH_BYTES]);

/* Where a value comes from. */
typedef enum evn_origin {
    EVN_FROM_FILE,
    EVN_FROM_SET,     /* a value set beside the files */
    EVN_FROM_DEFAULT, /* written nowhere: the default of the key */
    EVN_NOT_GIVEN     /* written nowhere, and "not given" has a meaning of its own */
} evn_origin;

typedef enum evn_value_kind {
    EVN_VALUE_GROUP, /* the rows below it, one deeper, are its keys or names */
    EVN_VALUE_STEPS, /* a list: the EVN_VALUE_STEP rows below it, one deeper */
    EVN_VALUE_STEP,  /* an item of such a list, a map of this one key; the rows below it are two deeper */
    EVN_VALUE_NUMBER,
    EVN_VALUE_NUMBERS, /* a list */
    EVN_VALUE_WORD,    /* true, false, or one of the choices of the key */
    EVN_VALUE_TEXT,
    EVN_VALUE_FILE, /* a CSV file: its path from the root */
    EVN_VALUE_TEXTS /* a list */
} evn_value_kind;

/* One value of a truck as it stands after extends, use and what was set, in the order of the files. */
typedef struct evn_value {
    evn_value_kind kind;
    unsigned depth;          /* levels of indentation of the key when written as YAML */
    const char *key, *path;  /* "ratios", "drive_units.rear.gearbox.ratios" */
    const char *unit, *help; /* "" where there is none */
    const double *numbers;   /* of NUMBER (one) and NUMBERS */
    size_t count;
    const char *text;         /* of WORD, TEXT, FILE */
    const char *const *texts; /* of TEXTS; ends with NULL */
    evn_origin origin;
    const char *file; /* of the origin; "--set 2" for EVN_FROM_SET; NULL where it is written nowhere */
    unsigned line, column;
    const char
        *used_from_file; /* NULL, or the file that extends or uses the one above; of a GROUP: that uses a part here */
    unsigned used_from_line, used_from_column;
    const char *changed_by; /* NULL, or what set some numbers of the list: "--set 2" */
} evn_value;

EVN_API size_t evn_truck_value_count(const evn_truck *);
EVN_API bool evn_truck_value_at(const evn_truck *, size_t index, evn_value *out);

EVN_API evn_status evn_cycle_load(const char *path, evn_cycle **out, evn_report *);
EVN_API evn_status evn_cycle_load_with(const char *path, const evn_load *, evn_cycle **out, evn_report *);
EVN_API void evn_cycle_free(evn_cycle *);
EVN_API const char *evn_cycle_name(const evn_cycle *);
EVN_API const char *evn_cycle_source(const evn_cycle *); /* published source, or "invented" */
EVN_API void evn_cycle_hash(const evn_cycle *, char out[EVN_HASH_BYTES]);

/*
 * Variants in memory: a copy, and numbers of it changed, without text and without reading again. A path is the KEY of
 * evn_load's KEY=VALUE, without "cycle." or "trucks.NAME."; its number is in the unit that its key ends in. A flag is 0
 * or 1, a choice its place among the choices, from 0; NAN is "not given". Texts, maps, whole lists and CSV files are no
 * numbers, and nothing comes in that is not there: what is absent is read from a file.
 *
 * A changed number is judged as one that is read: by the hard bounds of its key, with a warning outside the usual ones,
 * then by the rules of all that holds it; so a truck changed in memory is to the bit what the file with that value set
 * beside it would be. Where a number is refused nothing changes. Findings name the path where else a file is named,
 * with line 0: "unknown_key" with the nearest name, "wrong_shape", "out_of_range", "not_a_number", "unknown_choice",
 * "disagrees", "syntax", "too_large"; EVN_BAD_INPUT. The status is the report's worst.
 *
 * Different objects may be copied, asked and changed in parallel threads, and many may copy or ask the same one; one
 * that is being changed must not be used by another thread. A rig, and a run, keep nothing of the truck and the cycle
 * that they were made from. A lineup does: its trucks and cycle stay as they are while it is in use.
 */
typedef struct evn_change {
    const char *path; /* UTF-8 */
    double value;
} evn_change;

/*
 * A copy that shares nothing with its original, CSV files included: either may be freed or changed first. Values of a
 * copy are not listed (evn_truck_value_count is 0), for they stand in no file. NULL in `out` when memory is out.
 */
EVN_API evn_status evn_truck_copy(const evn_truck *, evn_truck **out, evn_report *);
EVN_API evn_status evn_cycle_copy(const evn_cycle *, evn_cycle **out, evn_report *);

/* The number at a path; `out` is left alone where there is none. */
EVN_API evn_status evn_truck_number(const evn_truck *, const char *path, double *out, evn_report *);
EVN_API evn_status evn_cycle_number(const evn_cycle *, const char *path, double *out, evn_report *);

/*
 * Changes so many numbers at once, all or none: the rules between keys are checked when all are in place. Of one path
 * given twice the last counts. Values of a changed truck are not listed any more.
 */
EVN_API evn_status evn_truck_set_numbers(evn_truck *, const evn_change *, size_t count, evn_report *);
EVN_API evn_status evn_cycle_set_numbers(evn_cycle *, const evn_change *, size_t count, evn_report *);
/* The same for one. */
EVN_API evn_status evn_truck_set_number(evn_truck *, const char *path, double value, evn_report *);
EVN_API evn_status evn_cycle_set_number(evn_cycle *, const char *path, double value, evn_report *);

/*
 * An object of any kind by itself (see evn_kind), as a file holds it or as an example that is invented and sensible.
 * Its values are listed like those of a truck.
 */
typedef struct evn_part evn_part;
EVN_API evn_status evn_part_load(const char *kind, const char *path, evn_part **out, evn_report *);
EVN_API evn_status evn_part_example(const char *kind, evn_part **out, evn_report *);
EVN_API void evn_part_free(evn_part *);
EVN_API bool evn_part_value_at(const evn_part *, size_t index, evn_value *out);

/*
 * The YAML files below some folders, below those of EVENER_PATH, and below the installed data; of files that bear the
 * same name below two of them the first counts. The kind of a file is the one whose keys fit; where several fit, the
 * one whose name the file's begins with ("final-drive-hypoid.yaml"), else the first of them.
 */
typedef enum evn_item_group {
    EVN_ITEM_TRUCK,
    EVN_ITEM_CYCLE,
    EVN_ITEM_LINEUP,
    EVN_ITEM_PART,
    EVN_ITEM_OTHER
} evn_item_group;
typedef struct evn_item {
    evn_item_group group;     /* OTHER: no kind fits, or the file cannot be read */
    const char *kind;         /* NULL for OTHER */
    const char *name;         /* of the file, without folder and ending */
    const char *title;        /* what it says it is: its key `name`, else the comment that it begins with; "" */
    const char *path, *below; /* `below`: from the folder in which it was found */
} evn_item;

typedef struct evn_catalogue evn_catalogue;
/* Files that cannot be read are said and listed as OTHER. NULL in `out` only when memory is out. */
EVN_API evn_status evn_catalogue_open(const char *const *folders, evn_catalogue **out, evn_report *);
EVN_API void evn_catalogue_free(evn_catalogue *);
EVN_API bool evn_catalogue_at(const evn_catalogue *, size_t index, evn_item *out); /* by group, kind, name */

/* What a number is: one row of a result list. Keys hold dots where they nest ("ledger.rolling_kwh"). */
typedef enum evn_quantity_kind { EVN_REAL, EVN_WHOLE, EVN_YES_NO } evn_quantity_kind;
typedef struct evn_quantity {
    const char *key, *unit, *help; /* unit "" for a pure number */
    evn_quantity_kind kind;        /* EVN_YES_NO: 1, 0, or NAN for "not judged" */
    int digits;                    /* decimals that a table shows */
    const char *short_name;        /* as tables head it; NULL: none, the key's words do */
    int rank;                      /* place in the short list of what a run came to, from 1; 0: not in it */
} evn_quantity;

/* Statistics of a cycle as it is written, before any truck drives it. */
EVN_API size_t evn_cycle_figure_count(const evn_cycle *);
EVN_API bool evn_cycle_figure_at(const evn_cycle *, size_t index, evn_quantity *out, double *value);

/* ------------------------------------------------------------------------------------------------ asking for a run */

typedef enum evn_driver {
    EVN_DRIVER_HUMAN, /* follows the plan with look-ahead; a shift takes its time */
    EVN_DRIVER_EXACT  /* holds the plan exactly wherever the truck is able; a shift takes no time */
} evn_driver;

/*
 * What is asked of a run is two things. The load case is what the truck is made ready for: with another one it is
 * another rig. The driving is how it is driven, and how closely that is worked out. Both are kinds of their own,
 * "load_case" and "driving": evn_key_at tells bounds, default and meaning of each member under its name. NAN, where a
 * member has no default, is "not given".
 */
typedef struct evn_load_case {
    double payload_kg; /* NAN: the truck file's own */
    double start_soc;  /* NAN: the truck file's own */
    double gravity_m_s2;
    double air_density_kg_m3; /* NAN: from altitude and temperature by the standard atmosphere (ISO 2533) */
    double altitude_m;        /* geometric */
    double temperature_degc;  /* NAN: the standard atmosphere's own at that altitude */
    double headwind_m_s;      /* along the road, against the truck; negative: from behind */
} evn_load_case;

typedef struct evn_driving {
    int driver;                       /* evn_driver */
    double speed_gain_1_s;            /* human driver: acceleration per m/s below the plan */
    double look_ahead_s;              /* human driver: how far ahead stops and the plan are aimed at */
    double comfort_acceleration_m_s2; /* plan over speed limits, and catching up with a plan once held back */
    double comfort_braking_m_s2;      /* plan over speed limits */
    double accuracy;                  /* tolerance of the integration */
    double trace_interval_s;          /* spacing of trace rows; rows at events come on top */
} evn_driving;

typedef struct evn_conditions {
    evn_load_case load_case;
    evn_driving driving;
} evn_conditions;

EVN_API evn_conditions evn_conditions_default(void); /* the defaults of both kinds */

/*
 * One member by its key; of a choice (the driver) the value is its place among the key's choices. Setting refuses what
 * is out of the key's bounds, and warns of what is unusual. False: refused (said); getting: no such key.
 */
EVN_API bool evn_load_case_set(evn_load_case *, const char *key, double value, evn_report *);
EVN_API bool evn_load_case_get(const evn_load_case *, const char *key, double *value);
EVN_API bool evn_driving_set(evn_driving *, const char *key, double value, evn_report *);
EVN_API bool evn_driving_get(const evn_driving *, const char *key, double *value);

/* A truck made ready to drive: chains of stages, masses, limits. */
typedef struct evn_rig evn_rig;
EVN_API evn_status evn_rig_prepare(const evn_truck *, const evn_load_case *, evn_rig **out, evn_report *);
EVN_API void evn_rig_free(evn_rig *);

/* What follows from the truck before it drives: masses, axle loads at rest, and what each gear gives. Names of axles,
 * drive units and gears stand in the keys: "axle_loads.front.load_kg", "gears.rear.1.total_ratio". */
EVN_API size_t evn_rig_figure_count(const evn_rig *);
EVN_API bool evn_rig_figure_at(const evn_rig *, size_t index, evn_quantity *out, double *value);

/* ------------------------------------------------------------------------------------------------ driving */

/* One column of a trace; sign conventions stand in its help text. */
typedef struct evn_trace_column {
    evn_quantity what;
    const char *drive_unit; /* whose it is, of several; NULL: the truck's, or that of its only drive unit */
} evn_trace_column;

/* Columns of a trace row for this rig. Key and drive unit together are no other column's. */
EVN_API size_t evn_trace_column_count(const evn_rig *);
EVN_API bool evn_trace_column_at(const evn_rig *, size_t index, evn_trace_column *out);

/*
 * Who takes rows of a run. The rows at events go to every sampler of a run, those between at its own interval: each has
 * the rows that it would have alone. Calls of one run come one at a time, in the order of time, from one thread; those
 * of different runs may come at the same time from different threads. The results are the same bytes with and without.
 */
typedef struct evn_sampler {
    void *self;
    double interval_s; /* between two rows; 0.001 to 86400 */
    void (*begin)(
        void *self); /* the run begins: rows of an earlier one, driven before it, count no more. May be NULL */
    void (*sample)(void *self, const double *row, size_t columns);
} evn_sampler;

/* Both members may be NULL. The results are the same bytes whether or not a run is watched. `sample` has its rows at
 * the trace interval of the driving. */
typedef struct evn_watcher {
    void *self;
    void (*sample)(void *self, const double *row, size_t columns);
    bool (*go_on)(void *self, double done_share); /* false ends the run: status "interrupted", EVN_NO_RESULT */
} evn_watcher;

typedef struct evn_results evn_results;

/* EVN_DONE, or EVN_ANSWER_NO with results when the truck stalled or its pack ran empty. */
EVN_API evn_status evn_drive(const evn_rig *, const evn_cycle *, const evn_driving *, const evn_watcher *,
                             evn_results **out, evn_report *);
EVN_API void evn_results_free(evn_results *);

EVN_API const char *evn_results_status(const evn_results *); /* "finished", "stalled", "pack_empty", "interrupted" */
EVN_API size_t evn_results_count(const evn_results *);
EVN_API bool evn_results_at(const evn_results *, size_t index, evn_quantity *out, double *value);
EVN_API bool evn_results_get(const evn_results *, const char *key, double *value); /* false: no such key */

/* The short list of what a run comes to, in its order, without a run; `index` from 0. False: there are no more. */
EVN_API bool evn_headline_at(size_t index, evn_quantity *out);

/* A truck counts as behind its plan where it is slower than that by more than so much (2 mph). */
#define EVN_BEHIND_PLAN_M_S (2 * 0.44704)

/* What held the truck below its plan: one row per limit that did, longest first. */
typedef struct evn_held {
    const char *limit; /* "motor_torque", "motor_power", "pack", "adhesion", "gear_shift", "top_speed" */
    double seconds;    /* time during which this limit was the binding one */
    double worst_m;    /* place where the truck was furthest below its plan while this limit held it */
    double worst_km_h; /* by how much, there */
} evn_held;
EVN_API size_t evn_results_held_count(const evn_results *);
EVN_API bool evn_results_held_at(const evn_results *, size_t index, evn_held *out);

/* ------------------------------------------------------------------------------------------------ charts */

/*
 * Numbers behind pictures: columns with keys and units, rows. What does not exist somewhere is NAN. Each call gives a
 * chart of its own, to be freed; EVN_NO_RESULT (said) when memory is out. A unit is one below evn_rig_unit_count.
 */
typedef struct evn_chart evn_chart;
EVN_API void evn_chart_free(evn_chart *);
EVN_API size_t evn_chart_column_count(const evn_chart *);
EVN_API bool evn_chart_column_at(const evn_chart *, size_t index, evn_quantity *out);
EVN_API size_t evn_chart_row_count(const evn_chart *);
EVN_API const double *evn_chart_row(const evn_chart *, size_t row); /* a value for each column; NULL: no such row */

EVN_API size_t evn_rig_unit_count(const evn_rig *);
EVN_API const char *evn_rig_unit_name(const evn_rig *, size_t unit); /* NULL: no such */

/* The road: place_m, height_m, grade_percent, rolling_factor; two rows where one of them jumps. */
EVN_API evn_status evn_chart_of_road(const evn_cycle *, evn_chart **out, evn_report *);
/* The speed as the cycle has it: place_m, limit_km_h; a limit is two rows; of a cycle over time its speed over place.
 */
EVN_API evn_status evn_chart_of_limits(const evn_cycle *, evn_chart **out, evn_report *);
/* Places of rest on the way: place_m, wait_s. May have no rows. */
EVN_API evn_status evn_chart_of_stops(const evn_cycle *, evn_chart **out, evn_report *);

/*
 * Force at the driven tyres over speed, on the level at constant speed, windings cold, pack half full: speed_km_h,
 * most_driving_kn and most_braking_kn (of motors, adhesion and pack), continuous_driving_kn (NAN where a unit states no
 * winding), "UNIT.GEAR.driving_kn" of the motors alone, and what grades ask: "road_load.6_percent_kn".
 */
EVN_API evn_status evn_chart_of_forces(const evn_rig *, evn_chart **out, evn_report *);
/*
 * All motors of a unit together, at the reference voltage and winding temperature: speed_rpm, torque_nm, loss_kw (with
 * inverters), efficiency (shaft over bus, or bus over shaft while braking). A grid: all torques of the first speed,
 * then of the second. No loss beyond the peak torque.
 */
EVN_API evn_status evn_chart_of_motor(const evn_rig *, size_t unit, evn_chart **out, evn_report *);
/* speed_rpm, most_nm, least_nm, and continuous_nm: the torque whose loss the coolant carries off with the winding at
 * the temperature where derating begins; NAN without a winding. */
EVN_API evn_status evn_chart_of_envelope(const evn_rig *, size_t unit, evn_chart **out, evn_report *);

/* Counts where the time of a run goes; give it the rows of its trace. */
typedef struct evn_census evn_census;
EVN_API evn_census *evn_census_new(const evn_rig *); /* which must outlive it; NULL when memory is out */
EVN_API void evn_census_free(evn_census *);
EVN_API void evn_census_sample(void *census, const double *row, size_t columns); /* as evn_watcher.sample wants it */
/* speed_rpm, torque_nm (middles of cells), seconds: cells with time in them, the longest first; 0 and 0: at rest. */
EVN_API evn_status evn_chart_of_points(const evn_census *, size_t unit, evn_chart **out, evn_report *);
/* gear, motors, seconds, share: what occurred, and gears that never did. */
EVN_API evn_status evn_chart_of_settings(const evn_census *, size_t unit, evn_chart **out, evn_report *);

/* ------------------------------------------------------------------------------------------------ comparing */

/* Two to twelve trucks side by side, each by a name of its own, on one cycle; the others are held against the first. */
typedef struct evn_lineup evn_lineup;

EVN_API evn_status evn_lineup_load(const char *path, evn_lineup **out, evn_report *);
EVN_API evn_status evn_lineup_load_with(const char *path, const evn_load *, evn_lineup **out, evn_report *);

/*
 * A lineup of what is loaded already: so many trucks with as many names, which differ and can be part of names of files
 * (no '/', no control characters), and a cycle. The names are copied; trucks and cycle must outlive the lineup.
 */
EVN_API evn_status evn_lineup_of(const evn_truck *const *trucks, const char *const *names, size_t count,
                                 const evn_cycle *, evn_lineup **out, evn_report *);
EVN_API void evn_lineup_free(evn_lineup *);

EVN_API const char *evn_lineup_name(const evn_lineup *);   /* NULL: of what was loaded already */
EVN_API const char *evn_lineup_source(const evn_lineup *); /* where it comes from, or "invented"; NULL likewise */
EVN_API size_t evn_lineup_truck_count(const evn_lineup *);
EVN_API const char *evn_lineup_truck_name(const evn_lineup *, size_t index); /* its name in the lineup; NULL: no such */
/* One of its trucks, or NULL; belongs to the lineup. Values of a truck that came with a lineup are not listed. */
EVN_API const evn_truck *evn_lineup_truck(const evn_lineup *, size_t index);
EVN_API const evn_cycle *evn_lineup_cycle(const evn_lineup *); /* belongs to the lineup */

/* The load case and the driving that the lineup asks for; of what was loaded already evn_conditions_default. */
EVN_API evn_conditions evn_lineup_ask(const evn_lineup *);

/*
 * A truck that climbs slower saves air drag. So there are two bases:
 *   OWN     each truck at its own speeds, as the asked driver drives it;
 *   COMMON  all at one speed, the lowest that any of them reaches at each place with the exact driver, driven by the
 *           exact driver. A truck whose exact run does not finish is left out of it.
 */
typedef enum evn_basis { EVN_BASIS_OWN, EVN_BASIS_COMMON } evn_basis;

/* So many samplers, for one run. */
typedef struct evn_samplers {
    const evn_sampler *at;
    size_t count;
} evn_samplers;

typedef struct evn_compare_how {
    size_t threads; /* that drive at the same time; 0: as many as processors online. The results are the same bytes */
    void *self;
    /* May be NULL. Called now and then, by one thread at a time and not always the same; false ends all runs that have
     * not ended: "interrupted", EVN_NO_RESULT, and what has finished is there. The share never falls and ends at 1.
     */
    bool (*go_on)(void *self, double done_share);
    /* May be NULL. Says who samples the run of a truck on a basis; the list is copied. Called by the thread that called
     * evn_compare, before any run begins, truck by truck for those that could be prepared, each first for OWN. The rig
     * lives as long as the comparison. A run on the COMMON basis is driven anew where the common speed must be lowered
     * further: its samplers begin again, and the rows of the last time are those of its outcome. */
    evn_samplers (*samplers)(void *self, size_t truck, const evn_rig *, evn_basis);
} evn_compare_how;

/* What came of one truck on one basis. */
typedef struct evn_outcome evn_outcome;
typedef struct evn_comparison evn_comparison;

/*
 * Prepares and drives all trucks of the lineup, which must outlive the comparison. EVN_DONE, or EVN_ANSWER_NO where one
 * of them could not be prepared or did not finish: the others' outcomes are there none the less. `how` may be NULL.
 * NULL in `out` only when the ask or the cycle does not do for any truck, or memory is out.
 */
EVN_API evn_status evn_compare(const evn_lineup *, const evn_conditions *, const evn_compare_how *,
                               evn_comparison **out, evn_report *);
EVN_API void evn_comparison_free(evn_comparison *);

EVN_API const evn_rig *evn_comparison_rig(const evn_comparison *, size_t truck); /* NULL: it could not be prepared */
EVN_API const evn_outcome *evn_comparison_outcome(const evn_comparison *, size_t truck, evn_basis); /* NULL: no such */

/* How the common speed came about and how closely it was kept, by key ("common.duration_spread"). */
EVN_API size_t evn_comparison_figure_count(const evn_comparison *);
EVN_API bool evn_comparison_figure_at(const evn_comparison *, size_t index, evn_quantity *out, double *value);

/* As evn_results_status; "failed": no results; "left_out": of the common basis. */
EVN_API const char *evn_outcome_status(const evn_outcome *);
EVN_API const evn_results *evn_outcome_results(const evn_outcome *); /* NULL: none; belongs to the comparison */
EVN_API const evn_report *evn_outcome_report(const evn_outcome *);   /* what was found about this truck on this basis */

/*
 * Against the first truck, of each number that both have, where both finished: "difference.KEY" in the number's unit,
 * this truck's less the first's, and "percent.KEY" of the first's (NAN where that is 0). On the own basis also of the
 * masses that are known before anything drives: "difference.masses.unladen_kg".
 */
EVN_API size_t evn_outcome_difference_count(const evn_outcome *);
EVN_API bool evn_outcome_difference_at(const evn_outcome *, size_t index, evn_quantity *out, double *value);
/* ------------------------------------------------------------------------------------------------ kept results */

/*
 * A file of runs (truck and cycle by path, load case, driving) with what came of them, to hold new runs against: a kind
 * of its own ("kept"). Loading it loads its trucks and cycles too; a run whose files cannot be read is said at its
 * place.
 */
typedef struct evn_kept evn_kept;

typedef struct evn_kept_run {
    const char *name;
    const char *lineup, *truck, *cycle;  /* paths as written, from the folder of the file; with a lineup (else NULL) the
                                            name of a truck in it, and no cycle */
    evn_conditions ask;                  /* with a lineup as the lineup has it */
    const char *const *set;              /* values that replace those of the files; ends with NULL */
    const char *status;                  /* as recorded; NULL: nothing is yet */
    const char *truck_hash, *cycle_hash; /* of what the files hold now, 16 digits; "": not read */
    const char *kept_truck_hash, *kept_cycle_hash; /* as recorded; NULL: nothing is yet */
    bool truck_changed, cycle_changed;             /* since it was recorded */
    size_t result_count;                           /* recorded */
} evn_kept_run;

typedef struct evn_kept_tolerance { /* of one kind of quantity; the unit stands at the end of its name */
    const char *name, *help;
    double absolute, relative;
} evn_kept_tolerance;

EVN_API evn_status evn_kept_load(const char *path, evn_kept **out, evn_report *);
/* A file that is to be: without runs. NULL when memory is out. */
EVN_API evn_kept *evn_kept_new(const char *path);
EVN_API void evn_kept_free(evn_kept *);
/*
 * Adds the run of a truck on a cycle, paths from the working folder, with values set beside their files (as in
 * evn_load; ends with NULL, may be NULL; paths in them start from the folder of the kept file). Nothing when it is
 * there already.
 */
EVN_API evn_status evn_kept_add(evn_kept *, const char *truck, const char *cycle, const evn_conditions *,
                                const char *const *set, evn_report *);
/* The same for every truck of a lineup, as the lineup asks. */
EVN_API evn_status evn_kept_add_lineup(evn_kept *, const char *lineup, const char *const *set, evn_report *);
EVN_API size_t evn_kept_count(const evn_kept *);
EVN_API bool evn_kept_at(const evn_kept *, size_t index, evn_kept_run *out);
EVN_API bool evn_kept_result_at(const evn_kept *, size_t index, size_t result, const char **key, double *value);
EVN_API bool evn_kept_tolerance_at(const evn_kept *, size_t index, evn_kept_tolerance *out);
EVN_API const char *evn_kept_about(const evn_kept *);   /* NULL: not said */
EVN_API const char *evn_kept_program(const evn_kept *); /* version that recorded; NULL: none did */

/* What became of a kept run. */
typedef enum evn_checked_state {
    EVN_CHECKED_SAME,
    EVN_CHECKED_MOVED,  /* a quantity is beyond its tolerance, or it ended otherwise */
    EVN_CHECKED_NEW,    /* nothing was recorded */
    EVN_CHECKED_NOT_RUN /* it could not be driven, or was not because of an interrupt */
} evn_checked_state;

typedef enum evn_moved {
    EVN_MOVED_NOT,
    EVN_MOVED,         /* beyond its tolerance */
    EVN_MOVED_GONE,    /* kept, but there no more */
    EVN_MOVED_TO_NONE, /* a number before, none now (NAN), or the other way round */
    EVN_MOVED_NEW      /* there, and always kept, but not in the file: it was dropped, or is new in this version */
} evn_moved;

typedef struct evn_moved_quantity {
    const char *key;
    evn_moved moved;
    double kept, now, tolerance;
} evn_moved_quantity;

typedef struct evn_checked {
    const char *name;
    evn_checked_state state;
    const evn_results *results; /* NULL when there are none */
    const evn_report *report;   /* of this run */
    size_t moved_count;
} evn_checked;

typedef struct evn_check_how {
    size_t threads;   /* 0: as many as there are processors; the results are the same at any number */
    const char *only; /* runs whose name holds this, or fits it where it holds * or ?; NULL: all */
    void *self;
    bool (*go_on)(void *self,
                  double done_share); /* may be NULL; from any thread, one at a time; false ends the check */
} evn_check_how;

typedef struct evn_check evn_check;
/* EVN_DONE where all is the same, EVN_ANSWER_NO where something moved; worse where something could not run. */
EVN_API evn_status evn_kept_check(const evn_kept *, const evn_check_how *, evn_check **out, evn_report *);
EVN_API void evn_check_free(evn_check *);
EVN_API size_t evn_check_count(const evn_check *); /* runs, in the order of the file */
EVN_API bool evn_check_at(const evn_check *, size_t index, evn_checked *out);
EVN_API bool evn_check_moved_at(const evn_check *, size_t index, size_t quantity, evn_moved_quantity *out);

/* Whether a result is always kept: what tells whether anything moved, and not what follows from it. */
EVN_API bool evn_result_is_kept(const char *key);

/* One quantity held against another by the tolerances of a kept file (NULL: the defaults), by the end of its key. */
EVN_API evn_moved_quantity evn_hold_against(const evn_kept *, const char *key, double kept, double now);

#ifdef __cplusplus
}
#endif
#endif
