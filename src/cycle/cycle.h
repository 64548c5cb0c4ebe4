/* The cycle as it is written, its field tables, its statistics. */
#ifndef EVENER_CYCLE_CYCLE_H
#define EVENER_CYCLE_CYCLE_H
#include "core/field.h"

/*
 * Speed, one of:
 *   time_s with speed_km_h (or speed_mph): a trace; straight lines between the points; driven by place (see course.h)
 *   place_m with limit_km_h: each limit holds from its place to the next place; the plan cuts corners comfortably
 *   table: a CSV file with columns of those names
 */
typedef struct evn_speed_file {
    evn_list time_s, speed_km_h, speed_mph, place_m, limit_km_h;
    const evn_sheet *table;
} evn_speed_file;

/* Grade in percent (tangent of the slope angle), or elevation, straight lines between the places; level outside. */
typedef struct evn_road_file {
    evn_list place_m, grade_percent, elevation_m;
    const evn_sheet *table; /* columns place_m or distance_m, and grade_percent or elevation_m */
    bool repeat;            /* the profile starts again where it ends, as often as the cycle is long */
    bool level_beyond;      /* the course may go on behind it, level */
    double grade_factor;    /* times all its grades; 0: 1 */
} evn_road_file;

typedef struct evn_stops_file { /* only for limits over place: the truck comes to rest there */
    evn_list place_m, wait_s;
    evn_list takeoff_kw, takeoff_s; /* work of the power take-off there, both or none */
} evn_stops_file;

typedef struct evn_spectrum_file { /* of the road's height, as measured: one-sided, over cycles per metre */
    evn_list wave_m1, density_m3;
    const char *source;
} evn_spectrum_file;

typedef struct evn_profile_file { /* of the road's height along it, as measured, points evenly apart: surface.h */
    evn_list place_m, height_m;
    const evn_sheet *table; /* columns place_m and height_m */
    const char *source;
} evn_profile_file;

typedef struct evn_surface_file { /* steps: each value holds from its place on; see surface.h */
    evn_list place_m, rolling_factor;
    evn_text_list kind;
    evn_list adhesion, adhesion_other_side;
    evn_text_list unevenness;          /* classes of ISO 8608 */
    evn_list unevenness_m3;            /* instead of them */
    const evn_spectrum_file *spectrum; /* instead of both, all along; NULL: none */
    const evn_profile_file *profile;   /* instead of all three, all along; NULL: none */
} evn_surface_file;

typedef struct evn_heading_file { /* steps likewise, from 0 on; clockwise from north, where the truck drives to */
    evn_list place_m, heading_deg;
} evn_heading_file;

typedef struct evn_cycle_file {
    const char *name, *source;
    bool invented;
    double length_m; /* NAN: where speed (or the road) ends; only for limits over place */
    const evn_speed_file *speed;
    const evn_road_file *road;
    const evn_stops_file *stops;
    const evn_surface_file *surface;
    const evn_heading_file *heading; /* NULL: not known */
} evn_cycle_file;

extern const evn_object evn_cycle_object;

/* One list of statistics: `cycle info` walks it. Computed from the cycle alone. */
typedef struct evn_cycle_figure_row {
    evn_quantity what;
    double (*of)(const evn_cycle_file *);
} evn_cycle_figure_row;
extern const evn_cycle_figure_row evn_cycle_figures[];
extern const size_t evn_cycle_figures_count;

#endif
