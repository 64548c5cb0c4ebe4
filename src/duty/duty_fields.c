/* The keys of a duty. The rules between them stand in duty_checks.c. */
#include "cycle/cycle_checks.h"
#include "duty/duty_checks.h"
#include "limits/demands.h"
#include "truck/load_case.h"
#include <math.h>
#include <stddef.h>

#define COUNT(a) (sizeof(a) / sizeof *(a))
#define OBJECT(title, text, type, table, rule)                                                                         \
    {.name = title, .help = text, .size = sizeof(type), .fields = table, .field_count = COUNT(table), .check = rule}

#define PAYLOAD_MOST_KG 500000

/* ------------------------------------------------------------------------------------------------ stops */

#define MEMBER(member) offsetof(evn_charging_file, member)
static const evn_field charging_fields[] = {
    {.key = "connector_kw",
     .shape = EVN_NUMBER,
     .presence = EVN_REQUIRED,
     .least = 0.1,
     .most = 10000,
     .usual_low = 3,
     .usual_high = 1500,
     .offset = MEMBER(connector_kw),
     .help = "power that the connector gives at most, at the terminals of the battery; what runs meanwhile is fed from "
             "it first"},
    {.key = "until_soc",
     .shape = EVN_NUMBER,
     .most = 1,
     .fallback = (double)NAN,
     .offset = MEMBER(until_soc),
     .help = "state of charge at which it ends; not given: as long as the stop lasts"},
    {.key = "soc",
     .shape = EVN_LIST,
     .most = 1,
     .offset = MEMBER(soc),
     .apart_least = 1e-3,
     .count_most = EVN_CURVE_POINTS_MAX,
     .help =
         "states of charge, rising, at which the connector gives less: its power follows power_kw, smoothly between"},
    {.key = "power_kw",
     .shape = EVN_LIST,
     .least = 0.1,
     .most = 10000,
     .offset = MEMBER(power_kw),
     .count_most = EVN_CURVE_POINTS_MAX,
     .help = "power of the connector at these states of charge, never more than connector_kw"},
    {.key = "efficiency",
     .shape = EVN_NUMBER,
     .least = 0.5,
     .most = 1,
     .usual_low = 0.85,
     .usual_high = 0.98,
     .fallback = (double)NAN,
     .offset = MEMBER(efficiency),
     .help = "from the grid to the terminals of the battery; where it is given the energy from the grid is told"},
    EVN_SOURCE_FIELD(evn_charging_file),
};
#undef MEMBER
static const evn_object charging_object =
    OBJECT("charging", "a connector at a stop", evn_charging_file, charging_fields, evn_charging_check);

#define MEMBER(member) offsetof(evn_stop_file, member)
static const evn_field stop_fields[] = {
    {.key = "name",
     .shape = EVN_TEXT,
     .presence = EVN_REQUIRED,
     .offset = MEMBER(name),
     .help = "what is done there: tip, load, a customer, a break"},
    {.key = "place_m",
     .shape = EVN_NUMBER,
     .most = EVN_PLACE_MOST_M,
     .fallback = (double)NAN,
     .offset = MEMBER(place_m),
     .help = "of a stop within a leg: the place of a stop of its cycle, as the cycle's file counts it, also on the way "
             "back"},
    {.key = "duration_min",
     .shape = EVN_NUMBER,
     .most = 1440,
     .usual_high = 720,
     .fallback = (double)NAN,
     .offset = MEMBER(duration_min),
     .help = "how long it lasts; not given: until the battery is charged as far as charging says, and within a leg as "
             "long as the cycle's stop"},
    {.key = "payload_kg",
     .shape = EVN_NUMBER,
     .most = PAYLOAD_MOST_KG,
     .usual_high = 60000,
     .fallback = (double)NAN,
     .offset = MEMBER(payload_kg),
     .help = "payload behind it: 0 where all is tipped"},
    {.key = "payload_change_kg",
     .shape = EVN_NUMBER,
     .least = -PAYLOAD_MOST_KG,
     .most = PAYLOAD_MOST_KG,
     .usual_low = -60000,
     .usual_high = 60000,
     .fallback = (double)NAN,
     .offset = MEMBER(payload_change_kg),
     .help = "instead of payload_kg: what is loaded, or below zero delivered"},
    {.key = "takeoff_kw",
     .shape = EVN_NUMBER,
     .most = 500,
     .usual_high = 120,
     .fallback = (double)NAN,
     .offset = MEMBER(takeoff_kw),
     .help = "mechanical power that the stop asks of the power take-off; 0: none; not given: none, and within a leg "
             "what the cycle's stop has"},
    {.key = "takeoff_s",
     .shape = EVN_NUMBER,
     .most = 86400,
     .usual_high = 3600,
     .fallback = (double)NAN,
     .offset = MEMBER(takeoff_s),
     .help = "for how long, from the beginning of the stop; at most as long as the stop lasts"},
    {.key = "charging",
     .shape = EVN_ONE,
     .of = &charging_object,
     .offset = MEMBER(charging),
     .help = "the battery is charged there"},
};
#undef MEMBER
static const evn_object stop_object = OBJECT("stop", "the truck stands: it is loaded, tipped, charged, or waits",
                                             evn_stop_file, stop_fields, evn_stop_check);

/* ------------------------------------------------------------------------------------------------ legs, rounds */

static const char *const directions[] = {"out", "back", NULL}; /* in the order of evn_direction */

static const evn_kind_row kinds_within_leg[] = {{"stop", &stop_object}, {NULL, NULL}};

#define MEMBER(member) offsetof(evn_leg_file, member)
static const evn_field leg_fields[] = {
    {.key = "name",
     .shape = EVN_TEXT,
     .presence = EVN_REQUIRED,
     .offset = MEMBER(name),
     .help = "what the leg is called in reports"},
    {.key = "cycle",
     .shape = EVN_ONE,
     .presence = EVN_REQUIRED,
     .of = &evn_cycle_object,
     .offset = MEMBER(cycle),
     .help = "the cycle that is driven"},
    {.key = "direction",
     .shape = EVN_CHOICE,
     .choices = directions,
     .fallback = EVN_DIRECTION_OUT,
     .offset = MEMBER(direction),
     .help = "out, as the cycle is written, or back: its road the other way, only of limits over place"},
    {.key = "payload_kg",
     .shape = EVN_NUMBER,
     .most = PAYLOAD_MOST_KG,
     .usual_high = 60000,
     .fallback = (double)NAN,
     .offset = MEMBER(payload_kg),
     .help = "payload at its start; not given: as the phase before left it, and at the start of the day as asked"},
    {.key = "stops",
     .shape = EVN_STEPS,
     .kinds = kinds_within_leg,
     .offset = MEMBER(stops),
     .help = "stops of the cycle at which more is done than to wait, as they come on the way"},
};
#undef MEMBER
static const evn_object leg_object =
    OBJECT("leg", "a cycle that is driven, with a payload", evn_leg_file, leg_fields, evn_leg_check);

/* In the order of evn_day_kind. */
static const evn_kind_row kinds_within_rounds[] = {{"leg", &leg_object}, {"stop", &stop_object}, {NULL, NULL}};

#define MEMBER(member) offsetof(evn_rounds_file, member)
static const evn_field rounds_fields[] = {
    {.key = "times",
     .shape = EVN_COUNT,
     .presence = EVN_REQUIRED,
     .least = 1,
     .most = 200,
     .fallback = 1,
     .offset = MEMBER(times),
     .help = "how often the round is driven: each time anew, with what the time before left"},
    {.key = "each",
     .shape = EVN_STEPS,
     .presence = EVN_REQUIRED,
     .kinds = kinds_within_rounds,
     .count_least = 1,
     .count_most = 100,
     .offset = MEMBER(each),
     .help = "legs and stops of one round, in their order"},
};
#undef MEMBER
static const evn_object rounds_object =
    OBJECT("rounds", "legs and stops that are driven several times", evn_rounds_file, rounds_fields, evn_rounds_check);

/* ------------------------------------------------------------------------------------------------ the year, demands */

#define MEMBER(member) offsetof(evn_season_file, member)
static const evn_field season_fields[] = {
    {.key = "share",
     .shape = EVN_NUMBER,
     .presence = EVN_REQUIRED,
     .least = 0,
     .most = 1,
     .offset = MEMBER(share),
     .help = "of the working days; those of all seasons sum to 1"},
    {.key = "load_case",
     .shape = EVN_ONE,
     .presence = EVN_DEFAULTED,
     .of = &evn_load_case_object,
     .offset = MEMBER(load_case),
     .help =
         "its weather: what it states goes before the load case of a lineup, and options of the command line before "
         "it"},
};
#undef MEMBER
static const evn_object season_object =
    OBJECT("season", "weather of a part of the year", evn_season_file, season_fields, evn_season_check);

/* In the order of evn_unevenness. */
static const char *const unevenness_classes[] = {"as_route", "A", "B", "C", "D", "E", "F", "G", "H", NULL};
_Static_assert(sizeof unevenness_classes / sizeof *unevenness_classes == EVN_UNEVENNESS_H + 2, "each class has a name");

#define MEMBER(member) offsetof(evn_ground_demands_file, member)
static const evn_field ground_fields[] = {
    {.key = "rut_mm",
     .shape = EVN_NUMBER,
     .most = 1000,
     .usual_high = 400,
     .offset = MEMBER(rut_mm),
     .help = "depth of the ruts that the wheels stand in"},
    {.key = "crown_mm",
     .shape = EVN_NUMBER,
     .most = 1000,
     .usual_high = 300,
     .offset = MEMBER(crown_mm),
     .help = "how much higher than beside the ruts the ground is midway between them"},
    {.key = "clearance_mm",
     .shape = EVN_NUMBER,
     .most = 2000,
     .usual_high = 500,
     .fallback = (double)NAN,
     .offset = MEMBER(clearance_mm),
     .help = "height over that ground that all that hangs low has with the largest payload of the day, at least"},
    {.key = "unevenness",
     .shape = EVN_CHOICE,
     .choices = unevenness_classes,
     .offset = MEMBER(unevenness),
     .source = "ISO 8608, from memory",
     .help = "how uneven the worst track is, the class of ISO 8608; as_route: not given"},
    {.key = "unevenness_m3",
     .shape = EVN_NUMBER,
     .least = 1e-8,
     .most = 1,
     .fallback = (double)NAN,
     .offset = MEMBER(unevenness_m3),
     .help = "instead of a class: one-sided power spectral density of the track's height at 0.1 cycles/m"},
    {.key = "speed_km_h",
     .shape = EVN_NUMBER,
     .least = 1,
     .most = 150,
     .fallback = (double)NAN,
     .offset = MEMBER(speed_km_h),
     .help = "speed at which tyres keep to that track with the largest payload of the day, at least"},
    {.key = "empty_speed_km_h",
     .shape = EVN_NUMBER,
     .least = 1,
     .most = 150,
     .fallback = (double)NAN,
     .offset = MEMBER(empty_speed_km_h),
     .help = "speed at which tyres keep to that track without payload, at least"},
    {.key = "shaken_m_s2",
     .shape = EVN_NUMBER,
     .least = 0.01,
     .most = 1000,
     .usual_low = 1,
     .usual_high = 200,
     .fallback = (double)NAN,
     .offset = MEMBER(shaken_m_s2),
     .help = "acceleration (RMS) of the machine that is shaken most, laden, at speed_km_h on that track, at most"},
};
#undef MEMBER
static const evn_object ground_object = OBJECT("ground_demands", "what the ground demands", evn_ground_demands_file,
                                               ground_fields, evn_ground_demands_check);

#define MEMBER(member) offsetof(evn_duty_demands_file, member)
static const evn_field demands_fields[] = {
    {.key = "reserve_soc",
     .shape = EVN_NUMBER,
     .most = 1,
     .fallback = (double)NAN,
     .offset = MEMBER(reserve_soc),
     .help = "state of charge at the end of the day, above the lower end of the battery's usable window, at least"},
    {.key = "reserve_kwh",
     .shape = EVN_NUMBER,
     .most = 10000,
     .fallback = (double)NAN,
     .offset = MEMBER(reserve_kwh),
     .help = "energy in the battery at the end of the day above the lower end of its usable window, at least"},
    {.key = "steepest_start_percent",
     .shape = EVN_NUMBER,
     .most = 100,
     .usual_high = 30,
     .fallback = (double)NAN,
     .offset = MEMBER(steepest_start_percent),
     .help = "grade on which the truck moves off with the largest payload of the day, on the ground that the driving "
             "asks for, else as the truck states, at least"},
    {.key = "distance_km",
     .shape = EVN_NUMBER,
     .most = 2000,
     .fallback = (double)NAN,
     .offset = MEMBER(distance_km),
     .help = "distance that is to be reached before the reserve is met, at least; where it is more than the day's own, "
             "the day is driven on from its beginning"},
    {.key = "abilities",
     .shape = EVN_ONE,
     .of = &evn_demands_object,
     .offset = MEMBER(abilities),
     .help = "what the truck must be able to do with the largest payload of the day, in every season"},
    {.key = "ground",
     .shape = EVN_ONE,
     .of = &ground_object,
     .offset = MEMBER(ground),
     .help = "ruts and roughness of the ground, and what the truck must come to on it; assess judges it"},
    {.key = "rules",
     .shape = EVN_ONE,
     .of = &evn_rules_object,
     .offset = MEMBER(rules),
     .help =
         "rules on masses and axle loads that the truck keeps with the largest payload of the day; assess judges it"},
    {.key = "payload_kg",
     .shape = EVN_NUMBER,
     .most = PAYLOAD_MOST_KG,
     .usual_high = 60000,
     .fallback = (double)NAN,
     .offset = MEMBER(payload_kg),
     .help = "payload that the file and, where given, the rules leave, placed as stated, at least; assess judges it"},
    {.key = "takeoff_kw",
     .shape = EVN_NUMBER,
     .least = 0.1,
     .most = 500,
     .usual_low = 1,
     .usual_high = 120,
     .fallback = (double)NAN,
     .offset = MEMBER(takeoff_kw),
     .help = "mechanical power that the power take-off gives at a stop, at least; assess judges it"},
    {.key = "payback_years",
     .shape = EVN_COUNT,
     .least = 1,
     .most = 40,
     .usual_low = 1,
     .usual_high = 15,
     .fallback = (double)NAN,
     .offset = MEMBER(payback_years),
     .help = "years within which what a truck costs more than the first of the lineup has come back, at most; assess "
             "judges it, with prices"},
    {.key = "spare_percent",
     .shape = EVN_NUMBER,
     .most = 100,
     .usual_high = 50,
     .offset = MEMBER(spare_percent),
     .help =
         "of every demand: so much of what is demanded is to be left beyond it; assess tells which is kept without"},
};
#undef MEMBER
static const evn_object demands_object = OBJECT("duty_demands", "what the day has to come to", evn_duty_demands_file,
                                                demands_fields, evn_duty_demands_check);

/* ------------------------------------------------------------------------------------------------ the duty */

static const evn_kind_row kinds_within_day[] = {
    {"leg", &leg_object}, {"stop", &stop_object}, {"rounds", &rounds_object}, {NULL, NULL}};

#define MEMBER(member) offsetof(evn_duty_file, member)
static const evn_field duty_fields[] = {
    {.key = "name",
     .shape = EVN_TEXT,
     .presence = EVN_REQUIRED,
     .offset = MEMBER(name),
     .help = "what the duty is called"},
    {.key = "source",
     .shape = EVN_TEXT,
     .offset = MEMBER(source),
     .help = "where the duty comes from; needed unless it is marked as invented"},
    {.key = "invented",
     .shape = EVN_FLAG,
     .offset = MEMBER(invented),
     .help = "true: made up, nobody drives such a day"},
    {.key = "day",
     .shape = EVN_STEPS,
     .presence = EVN_REQUIRED,
     .kinds = kinds_within_day,
     .count_least = 1,
     .count_most = 200,
     .offset = MEMBER(day),
     .help = "legs, stops and rounds of a working day, in their order"},
    {.key = "working_days_per_year",
     .shape = EVN_NUMBER,
     .most = 366,
     .usual_low = 20,
     .usual_high = 320,
     .fallback = (double)NAN,
     .offset = MEMBER(working_days_per_year),
     .help = "days in a year on which it is driven; not given: nothing is told of a year"},
    {.key = "seasons",
     .shape = EVN_MANY,
     .of = &season_object,
     .count_most = 12,
     .offset = MEMBER(seasons),
     .help = "the parts of the year by name; the day is driven in each; not given: once, in the load case as asked"},
    {.key = "demands",
     .shape = EVN_ONE,
     .presence = EVN_DEFAULTED,
     .of = &demands_object,
     .offset = MEMBER(demands),
     .help = "what each truck has to come to on this day"},
};
#undef MEMBER

const evn_object evn_duty_object =
    OBJECT("duty", "a working day: legs, stops and rounds", evn_duty_file, duty_fields, evn_duty_check);
