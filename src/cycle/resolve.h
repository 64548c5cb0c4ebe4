/* A cycle as it is written, seen in SI and in one shape, whichever way the file put it. Views: nothing is copied. */
#ifndef EVENER_CYCLE_RESOLVE_H
#define EVENER_CYCLE_RESOLVE_H
#include "cycle/cycle.h"

/* What asks for more than this is no brake application of a loaded truck: about all that a dry road gives its tyres. */
#define EVN_BRAKING_MOST_M_S2 8.0

/*
 * A speed below this is rest. Loggers report such speeds while a truck stands, and a squared speed so small drowns in
 * the rounding of the place.
 */
#define EVN_REST_BELOW_M_S 1e-3

/* Points of a list lie at least this far apart, in s or m, so that no stretch drowns in the rounding of the place. */
#define EVN_APART_LEAST 1e-3

/* Stops, and a course's ends, lie at least this far apart; so does the end of a road profile that repeats, from 0. */
#define EVN_STOPS_APART_LEAST_M 1.0
#define EVN_REPEAT_LEAST_M 10.0

/* One column of numbers in the unit of its key; `factor` brings it to SI. Empty (count 0) when not written. */
typedef struct evn_column {
    const char *key;
    const double *at;
    size_t count;
    double factor;
} evn_column;

typedef enum evn_speed_form { EVN_FORM_UNCLEAR, EVN_FORM_TRACE, EVN_FORM_LIMITS } evn_speed_form;

/* Unclear unless axis and speed are one pair of equal length, long enough to mean something. */
typedef struct evn_speed_view {
    evn_speed_form form;
    evn_column axis, speed; /* time_s or place_m; speed or limit */
} evn_speed_view;

typedef enum evn_road_form { EVN_ROAD_UNCLEAR, EVN_ROAD_GRADE, EVN_ROAD_ELEVATION } evn_road_form;

typedef struct evn_road_view {
    evn_road_form form; /* unclear also when there is none: level */
    evn_column axis, value;
    bool repeat;
    double grade_factor; /* times the tangents */
} evn_road_view;

evn_speed_view evn_speed_view_of(const evn_speed_file *); /* NULL: unclear */
evn_road_view evn_road_view_of(const evn_road_file *);    /* NULL: unclear */

/* The column of that name, empty when the table has none. */
evn_column evn_table_column(const evn_sheet *, const char *name);
/* Factor to SI of a column this room knows, 0 when it does not. */
double evn_column_factor(const char *name);
/* All names of columns, for a hint at a mistyped one. */
extern const char *const evn_column_names[];
extern const size_t evn_column_names_count;

/* Of a trace: the clock starts at its first point. */
double evn_trace_time_s(const evn_speed_view *, size_t);
double evn_trace_speed_m_s(const evn_speed_view *, size_t);
double evn_trace_step_m(const evn_speed_view *, size_t); /* way from this point to the next */

/* Of limits. */
double evn_limit_m_s(const evn_speed_view *, size_t);

/* Tangent of the slope angle at the begin or the end of the interval that starts at this point. */
double evn_road_tangent_begin(const evn_road_view *, size_t);
double evn_road_tangent_end(const evn_road_view *, size_t);

/*
 * Length of the course. A trace has its own; limits end at length_m or, where that is not given, at the last place of
 * the speed or of the road, whichever is further. 0 when nothing says.
 */
double evn_cycle_length_m(const evn_cycle_file *);

#endif
