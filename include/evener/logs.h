/*
 * logs.h: what was measured on the road, as loggers and satellite receivers write it: CSV files of any separator and
 * GPX 1.1. A log is told column by column what it holds; nothing is guessed in silence.
 */
#ifndef EVENER_LOGS_H
#define EVENER_LOGS_H

#include "evener/evener.h"

#ifdef __cplusplus
extern "C" {
#endif

/*
 * How a CSV log is to be read. All zero: the separator and the decimal mark are found out from the file (and told), and
 * columns by their names: those of the house ("speed_km_h"), or a quantity with its unit ("speed [km/h]", "Altitude
 * (m)"). A mapping is a YAML file of the kind `log` that says the same; what stands here comes before what stands
 * there. GPX files say all of this themselves.
 */
typedef struct evn_log_ask {
    const char *mapping;        /* path of a YAML file; NULL: none */
    const char *const *columns; /* "speed=v_gps [km/h]": quantity, name in the file, unit; ends with NULL; NULL: none */
    const char *separator;      /* "comma", "semicolon", "tab", "bar"; NULL: found out */
    const char *decimal;        /* "point", "comma"; NULL: found out */
    unsigned header_line;       /* that names the columns; 0: the first that is neither empty nor a comment */
} evn_log_ask;

/* ------------------------------------------------------------------------------------------------ import */

typedef enum evn_import_over {
    EVN_OVER_TIME, /* the speed that was driven, over time */
    EVN_OVER_PLACE /* speed limits over place, as high as what was driven, and the stops */
} evn_import_over;

/* How a log becomes a cycle; what each stands for and why stands in src/log/LOGS.md of the source tree. */
typedef struct evn_import_how {
    evn_log_ask log;
    evn_import_over over;
    double from_s, to_s;    /* the part that is taken, from the log's first time, 0 to 1e7; to_s 0: to its end */
    double speed_width_s;   /* waves of speed shorter than that are smoothed away, 0.5 to 120; 0: by the log's noise */
    double grade_width_m;   /* the same of elevation, 20 to 5000; 0: by the log's noise */
    double gap_s;           /* a longer step of time is a gap, 0.5 to 600 */
    double bridge_s;        /* gaps up to that are bridged by a straight line, 0 to 86400 */
    double rest_km_h;       /* below that, ... 0.1 to 10 */
    double rest_s;          /* ... for so long: the vehicle stands, 0.5 to 600 */
    double limit_step_km_h; /* over place: limits are multiples of that, 1 to 50 */
    /* A truck of a few figures, on which the effect of smoothing is told. */
    double mass_kg;            /* 500 to 200000 */
    double rolling_resistance; /* 0.001 to 0.1 */
    double drag_area_m2;       /* 0.1 to 20 */
} evn_import_how;
EVN_API evn_import_how evn_import_default(void);

typedef struct evn_import evn_import; /* a log made a cycle */

/*
 * Reads a log and makes a cycle of it. `how` may be NULL. EVN_DONE, or why not: said with the line of the log. NULL in
 * `out` then.
 */
EVN_API evn_status evn_import_log(const char *path, const evn_import_how *how, evn_import **out, evn_report *);
EVN_API void evn_import_free(evn_import *);

/* Work at the wheels of the truck of a few figures, with smoothing of these widths. */
typedef struct evn_import_work {
    double speed_width_s, grade_width_m;
    double traction_kwh, braking_kwh; /* both at least 0 */
    double climb_m;
} evn_import_work;

/* What was found and what was done. Quantities that the log does not have are NAN, texts NULL. */
typedef struct evn_import_told {
    const char *form;   /* "CSV", "GPX" */
    const char *path;   /* of the log */
    const char *unread; /* names of its columns that were not read; NULL: none */
    size_t rows, empty_cells;
    bool cut_short;      /* the last line was not whole, and was left out */
    bool local_time;     /* times bear a date and no zone */
    double begin_unix_s; /* of the cycle: seconds since 1970-01-01T00:00:00 UTC */
    char separator, decimal;
    size_t repeated, backward, no_time; /* rows left out: time as before, behind a time already there, none */
    double step_s;                      /* median step of time */
    size_t gaps, gaps_at_rest;          /* bridged by a straight line; over which the vehicle stood */
    double longest_gap_s;
    const char *speed_from; /* "speed", "place", "latitude and longitude" */
    double speed_noise_m_s, speed_width_s;
    size_t speeds_off;      /* left out, as they stand off all others */
    const char *grade_from; /* "altitude", "grade"; NULL: the cycle is level */
    double altitude_noise_m, grade_width_m;
    size_t altitudes_off, altitude_gaps;
    double climb_before_m, climb_m, descent_m; /* of all rises of the log, row by row; of the cycle */
    double duration_s, distance_m, ground_distance_m, place_distance_m; /* of the cycle; by positions; by odometer */
    double speed_most_m_s, braking_most_m_s2, acceleration_most_m_s2;   /* at least 0 */
    double steepest_ratio, steepest_place_m; /* tangent of the steepest grade, falling below 0, and where */
    size_t stops;
    double stopped_s;
    evn_import_work work[3];                      /* as made, with half the widths, with twice the widths */
    double traction_least_kwh, traction_most_kwh; /* of the three */
    /* What moves the work as much, as half widths about the middle of those two: of the factor on all grades (`road.
     * grade_factor`), and how far that middle lies from 1. NAN: the road is level, or grades would have to err by more
     * than half. For what errs in comparisons. */
    double grade_factor_half_width, grade_factor_offset;
    double mass_kg, rolling_resistance, drag_area_m2;
} evn_import_told;
EVN_API const evn_import_told *evn_import_tells(const evn_import *);

/* Columns that were taken: quantity, and name and unit in the log. False: no more. */
typedef struct evn_import_column {
    const char *quantity, *name, *unit;
} evn_import_column;
EVN_API bool evn_import_column_at(const evn_import *, size_t index, evn_import_column *out);

/* The cycle, ready to be written. Lists of the other form are empty. */
typedef struct evn_import_cycle {
    evn_import_over over;
    const double *time_s, *speed_m_s; /* [times] */
    size_t times;
    const double *limit_place_m, *limit_m_s; /* [limits] */
    size_t limits;
    const double *stop_place_m, *wait_s; /* [stops] */
    size_t stops;
    const double *grade_place_m, *grade_ratio; /* [grades]; none: level */
    size_t grades;
    double length_m;
} evn_import_cycle;
EVN_API const evn_import_cycle *evn_import_cycle_of(const evn_import *);

#ifdef __cplusplus
}
#endif
#endif
