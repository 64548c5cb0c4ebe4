/* The keys of a cycle. The rules between them stand in cycle_checks.c. */
#include "cycle/cycle.h"
#include "cycle/cycle_checks.h"
#include "cycle/resolve.h"
#include "cycle/surface.h"
#include <math.h>
#include <stddef.h>

#define MEMBER(member) offsetof(evn_speed_file, member)
static const evn_field speed_fields[] = {
    {.key = "time_s",
     .shape = EVN_LIST,
     .most = EVN_TIME_MOST_S,
     .offset = MEMBER(time_s),
     .apart_least = EVN_APART_LEAST,
     .help = "times of a trace, rising; the clock starts at the first"},
    {.key = "speed_km_h",
     .shape = EVN_LIST,
     .most = EVN_SPEED_MOST_KM_H,
     .usual_high = 130.0,
     .offset = MEMBER(speed_km_h),
     .help = "speeds at these times, straight lines between; below 0.0036 km/h is rest; may begin and end moving"},
    {.key = "speed_mph",
     .shape = EVN_LIST,
     .most = EVN_SPEED_MOST_MPH,
     .usual_high = 81.0,
     .offset = MEMBER(speed_mph),
     .help = "the same in miles per hour, instead of speed_km_h"},
    {.key = "place_m",
     .shape = EVN_LIST,
     .most = EVN_PLACE_MOST_M,
     .offset = MEMBER(place_m),
     .apart_least = EVN_APART_LEAST,
     .help = "where speed limits begin, rising, the first 0"},
    {.key = "limit_km_h",
     .shape = EVN_LIST,
     .least = EVN_LIMIT_LEAST_KM_H,
     .most = EVN_SPEED_MOST_KM_H,
     .usual_low = 4.0,
     .usual_high = 130.0,
     .offset = MEMBER(limit_km_h),
     .help = "limits, each from its place to the next; the truck starts and ends at rest"},
    {.key = "table",
     .shape = EVN_SHEET,
     .offset = MEMBER(table),
     .help =
         "CSV file instead: time_s with speed_km_h, speed_mph or speed_m_s; or place_m or distance_m with limit_km_h"},
};
#undef MEMBER

#define MEMBER(member) offsetof(evn_road_file, member)
static const evn_field road_fields[] = {
    {.key = "place_m",
     .shape = EVN_LIST,
     .most = EVN_PLACE_MOST_M,
     .offset = MEMBER(place_m),
     .help = "places along the road, rising by at least 0.001 m, or twice the same where the grade steps; before the "
             "first and behind the last it is level"},
    {.key = "grade_percent",
     .shape = EVN_LIST,
     .least = -EVN_GRADE_MOST_PERCENT,
     .most = EVN_GRADE_MOST_PERCENT,
     .usual_low = -16.0,
     .usual_high = 16.0,
     .offset = MEMBER(grade_percent),
     .help = "grade there, tangent of the slope angle times 100, straight lines between"},
    {.key = "elevation_m",
     .shape = EVN_LIST,
     .least = EVN_ELEVATION_LEAST_M,
     .most = EVN_ELEVATION_MOST_M,
     .offset = MEMBER(elevation_m),
     .help = "elevations there, instead of grade_percent; straight lines between"},
    {.key = "table",
     .shape = EVN_SHEET,
     .offset = MEMBER(table),
     .help = "CSV file instead: place_m or distance_m with grade_percent or elevation_m"},
    {.key = "repeat",
     .shape = EVN_FLAG,
     .offset = MEMBER(repeat),
     .help = "true: the profile, from 0 to its last place, starts again where it ends, as long as the course is"},
    {.key = "level_beyond",
     .shape = EVN_FLAG,
     .offset = MEMBER(level_beyond),
     .help = "true: the course may go on behind the last place of the road's table, level and at the last limit; a "
             "course that is longer than its table is refused else"},
    {.key = "grade_factor",
     .shape = EVN_NUMBER,
     .least = 0.5,
     .most = 2,
     .usual_low = 0.8,
     .usual_high = 1.25,
     .fallback = 1,
     .offset = MEMBER(grade_factor),
     .help = "times all grades of the road: for what is not known of a road that was measured and smoothed, as "
             "cycle.road.grade_factor in what errs"},
};
#undef MEMBER

#define MEMBER(member) offsetof(evn_stops_file, member)
static const evn_field stops_fields[] = {
    {.key = "place_m",
     .shape = EVN_LIST,
     .presence = EVN_REQUIRED,
     .most = EVN_PLACE_MOST_M,
     .offset = MEMBER(place_m),
     .apart_least = EVN_STOPS_APART_LEAST_M,
     .count_least = 1,
     .help = "where the truck comes to rest, rising"},
    {.key = "wait_s",
     .shape = EVN_LIST,
     .presence = EVN_REQUIRED,
     .most = 1e5,
     .usual_high = 3600.0,
     .offset = MEMBER(wait_s),
     .count_least = 1,
     .help = "how long it stands there; 0: it goes on at once"},
    {.key = "takeoff_kw",
     .shape = EVN_LIST,
     .most = 500,
     .usual_high = 120,
     .offset = MEMBER(takeoff_kw),
     .count_least = 1,
     .help = "mechanical power that each stop asks of the power take-off; 0: none; in place of what the truck's "
             "power_take_off asks by itself"},
    {.key = "takeoff_s",
     .shape = EVN_LIST,
     .most = 1e5,
     .usual_high = 3600,
     .offset = MEMBER(takeoff_s),
     .count_least = 1,
     .help = "for how long, from the beginning of the stop; at most its wait_s"},
};
#undef MEMBER

#define MEMBER(member) offsetof(evn_spectrum_file, member)
static const evn_field spectrum_fields[] = {
    {.key = "wave_m1",
     .shape = EVN_LIST,
     .presence = EVN_REQUIRED,
     .least = 1e-4,
     .most = 100,
     .usual_low = 0.005,
     .usual_high = 10,
     .offset = MEMBER(wave_m1),
     .apart_least = EVN_WAVES_APART_LEAST_M1,
     .count_least = 2,
     .help = "wave numbers in cycles per metre, rising"},
    {.key = "density_m3",
     .shape = EVN_LIST,
     .presence = EVN_REQUIRED,
     .least = 1e-15,
     .most = 1e3,
     .offset = MEMBER(density_m3),
     .count_least = 2,
     .help = "one-sided power spectral density of the road's height there, straight between the points where both axes "
             "are logarithmic; nothing beyond them"},
    EVN_SOURCE_FIELD(evn_spectrum_file),
};
#undef MEMBER
static void check_spectrum(const void *self, const evn_seat *seat, evn_report *report)
{
    const evn_spectrum_file *s = self;
    evn_check_curve(&s->wave_m1, "wave_m1", EVN_WAVES_APART_LEAST_M1, &s->density_m3, "density_m3", seat, report);
}
static const evn_object spectrum_object = {.name = "spectrum",
                                           .help = "unevenness of a road as measured",
                                           .size = sizeof(evn_spectrum_file),
                                           .fields = spectrum_fields,
                                           .field_count = sizeof spectrum_fields / sizeof *spectrum_fields,
                                           .check = check_spectrum};

#define MEMBER(member) offsetof(evn_profile_file, member)
static const evn_field profile_fields[] = {
    {.key = "place_m",
     .shape = EVN_LIST,
     .most = EVN_PLACE_MOST_M,
     .offset = MEMBER(place_m),
     .apart_least = EVN_PROFILE_APART_LEAST_M,
     .count_least = 2,
     .help = "places along the track, rising in even steps of 0.01 to 0.25 m, over 50 to 5000 m"},
    {.key = "height_m",
     .shape = EVN_LIST,
     .least = EVN_ELEVATION_LEAST_M,
     .most = EVN_ELEVATION_MOST_M,
     .offset = MEMBER(height_m),
     .count_least = 2,
     .help = "height of the road there; the straight line from the first to the last is taken off"},
    {.key = "table", .shape = EVN_SHEET, .offset = MEMBER(table), .help = "CSV file instead: place_m and height_m"},
    EVN_SOURCE_FIELD(evn_profile_file),
};
#undef MEMBER
static const evn_object profile_object = {.name = "profile",
                                          .help = "height of a track along it, as measured",
                                          .size = sizeof(evn_profile_file),
                                          .fields = profile_fields,
                                          .field_count = sizeof profile_fields / sizeof *profile_fields,
                                          .check = evn_profile_check};

#define MEMBER(member) offsetof(evn_surface_file, member)
static const evn_field surface_fields[] = {
    {.key = "place_m",
     .shape = EVN_LIST,
     .presence = EVN_REQUIRED,
     .most = EVN_PLACE_MOST_M,
     .offset = MEMBER(place_m),
     .apart_least = EVN_APART_LEAST,
     .count_least = 1,
     .help = "where another surface begins, rising"},
    {.key = "rolling_factor",
     .shape = EVN_LIST,
     .least = 0.3,
     .most = 40.0,
     .usual_low = 0.8,
     .usual_high = 15.0,
     .offset = MEMBER(rolling_factor),
     .count_least = 1,
     .source = "common practice, no source: coarse asphalt 1.1, hard gravel 2.5, site track 3.5, soft soil 12",
     .help = "times the tyres' rolling resistance from there on; 1 before the first place; not given: that of the kind "
             "(dry, wet 1, gravel 2.5, soil 12, snow 1.5), or 1"},
    {.key = "kind",
     .shape = EVN_TEXTS,
     .offset = MEMBER(kind),
     .count_least = 1,
     .source = "common practice, from memory: " EVN_SURFACE_RANGES,
     .help =
         "what the road is of from there on: dry or wet asphalt, gravel, soil or snow; brings its peak adhesion, the "
         "middle of a wide range (" EVN_SURFACE_RANGES "), and its rolling_factor, where these are not given"},
    {.key = "adhesion",
     .shape = EVN_LIST,
     .least = 0.01,
     .most = 100,
     .usual_low = 0.1,
     .usual_high = 0.9,
     .offset = MEMBER(adhesion),
     .count_least = 1,
     .source = "common practice, from memory: " EVN_SURFACE_RANGES,
     .help =
         "peak adhesion from there on: most tyre force over normal load; not given: that of the kind; without both, "
         "and before the first place, the truck's own adhesion holds"},
    {.key = "adhesion_other_side",
     .shape = EVN_LIST,
     .least = 0.01,
     .most = 100,
     .usual_low = 0.1,
     .usual_high = 0.9,
     .offset = MEMBER(adhesion_other_side),
     .count_least = 1,
     .source = "common practice, no source: ice along one side, 0.1 to 0.2",
     .help = "peak adhesion of the wheels of one side where it is not that of the other (split adhesion); the value of "
             "adhesion where it is"},
    {.key = "unevenness",
     .shape = EVN_TEXTS,
     .offset = MEMBER(unevenness),
     .count_least = 1,
     .source = "classes of ISO 8608, from memory; of kinds: common practice, no source",
     .help = "how uneven the road is from there on, the class of ISO 8608, A (smooth) to H; asked on rough roads; not "
             "given: that of the kind (" EVN_UNEVENNESS_OF_KINDS ")"},
    {.key = "unevenness_m3",
     .shape = EVN_LIST,
     .least = 1e-8,
     .most = 1,
     .usual_low = 1e-6,
     .usual_high = 0.02,
     .offset = MEMBER(unevenness_m3),
     .count_least = 1,
     .help =
         "instead of the class: one-sided power spectral density of the road's height at 0.1 cycles/m (class A 16e-6, "
         "each class four times the last)"},
    {.key = "spectrum",
     .shape = EVN_ONE,
     .of = &spectrum_object,
     .offset = MEMBER(spectrum),
     .help = "instead of classes and numbers, for all of the road: its spectrum as measured"},
    {.key = "profile",
     .shape = EVN_ONE,
     .of = &profile_object,
     .offset = MEMBER(profile),
     .help = "instead of those, for all of the road: heights along a track as measured, of which rides take the lines "
             "of its spectrum, and over time the track itself"},
};
#undef MEMBER

#define MEMBER(member) offsetof(evn_heading_file, member)
static const evn_field heading_fields[] = {
    {.key = "place_m",
     .shape = EVN_LIST,
     .presence = EVN_REQUIRED,
     .most = EVN_PLACE_MOST_M,
     .offset = MEMBER(place_m),
     .apart_least = EVN_APART_LEAST,
     .count_least = 1,
     .help = "where the route turns, rising, the first 0"},
    {.key = "heading_deg",
     .shape = EVN_LIST,
     .presence = EVN_REQUIRED,
     .most = 360,
     .offset = MEMBER(heading_deg),
     .count_least = 1,
     .help = "where it leads from there on, clockwise from north: 90 is east"},
};
#undef MEMBER

#define OBJECT(title, text, type, table, rule)                                                                         \
    {.name = title,                                                                                                    \
     .help = text,                                                                                                     \
     .size = sizeof(type),                                                                                             \
     .fields = table,                                                                                                  \
     .field_count = sizeof table / sizeof table[0],                                                                    \
     .check = rule}

static const evn_object speed_object =
    OBJECT("speed", "a trace over time, or limits over place", evn_speed_file, speed_fields, evn_speed_check);
static const evn_object road_object =
    OBJECT("road", "grade or elevation over place; level where not given", evn_road_file, road_fields, evn_road_check);
static const evn_object stops_object = OBJECT("stops", "where the truck comes to rest; only for limits over place",
                                              evn_stops_file, stops_fields, evn_stops_check);
static const evn_object surface_object = OBJECT("surface", "rolling resistance and adhesion over place, in steps",
                                                evn_surface_file, surface_fields, evn_surface_check);

static const evn_object heading_object =
    OBJECT("heading", "where the route leads, in steps; for wind that comes from somewhere", evn_heading_file,
           heading_fields, evn_heading_check);

#define MEMBER(member) offsetof(evn_cycle_file, member)
static const evn_field cycle_fields[] = {
    {.key = "name",
     .shape = EVN_TEXT,
     .presence = EVN_REQUIRED,
     .offset = MEMBER(name),
     .help = "what the cycle is called"},
    {.key = "source",
     .shape = EVN_TEXT,
     .offset = MEMBER(source),
     .help = "where it is published; needed unless it is marked as invented"},
    {.key = "invented",
     .shape = EVN_FLAG,
     .offset = MEMBER(invented),
     .help = "true: made up, no such road or schedule exists"},
    {.key = "length_m",
     .shape = EVN_NUMBER,
     .least = EVN_STOPS_APART_LEAST_M,
     .most = EVN_PLACE_MOST_M,
     .fallback = (double)NAN,
     .offset = MEMBER(length_m),
     .help = "length of a course of limits; where not given: the last place of speed or road, whichever is further"},
    {.key = "speed",
     .shape = EVN_ONE,
     .presence = EVN_REQUIRED,
     .of = &speed_object,
     .offset = MEMBER(speed),
     .help = "the speed to drive"},
    {.key = "road", .shape = EVN_ONE, .of = &road_object, .offset = MEMBER(road), .help = "its grade; absent: level"},
    {.key = "stops",
     .shape = EVN_ONE,
     .of = &stops_object,
     .offset = MEMBER(stops),
     .help = "stops along the route, besides both ends"},
    {.key = "surface",
     .shape = EVN_ONE,
     .of = &surface_object,
     .offset = MEMBER(surface),
     .help = "what the tyres roll on; absent: smooth asphalt throughout"},
    {.key = "heading",
     .shape = EVN_ONE,
     .of = &heading_object,
     .offset = MEMBER(heading),
     .help = "where it leads; absent: not known, and a wind counts by its mean over all directions"},
};
#undef MEMBER

const evn_object evn_cycle_object =
    OBJECT("cycle", "a speed to drive and the road to drive it on", evn_cycle_file, cycle_fields, evn_cycle_check);
