/* The keys of a load case. Each is a key of lineups and kept runs, and an option of the commands that drive. */
#include "truck/load_case.h"
#include "truck/pack.h"
#include "truck/tyre_warmth.h"
#include <math.h>
#include <stddef.h>
#include <string.h>

static const char *const lifting_requests[] = {"auto", "up", "down", NULL}; /* in the order of evn_lifting_axle */
static const char *const rolling_laws[] = {"constant", "linear", "as_tested",
                                           NULL};                  /* in the order of evn_rolling_resistance_law */
static const char *const start_warmths[] = {"warm", "cold", NULL}; /* of evn_tyres_at_start and evn_oil_at_start */
_Static_assert(sizeof(evn_rolling_resistance_law) == sizeof(int) && sizeof(evn_tyres_at_start) == sizeof(int) &&
                   sizeof(evn_oil_at_start) == sizeof(int),
               "a choice of a field table is an int");
_Static_assert(sizeof(evn_lifting_axle) == sizeof(int), "a choice of a field table is an int");

#define MEMBER(member) offsetof(evn_load_case, member)
static const evn_field fields[] = {
    {.key = "payload_kg",
     .shape = EVN_NUMBER,
     .least = 0,
     .most = 500000,
     .usual_high = 60000,
     .fallback = (double)NAN,
     .offset = MEMBER(payload_kg),
     .help = "payload; where not given: the truck file's own"},
    {.key = "start_soc",
     .shape = EVN_NUMBER,
     .least = 0,
     .most = 1,
     .fallback = (double)NAN,
     .offset = MEMBER(start_soc),
     .help = "state of charge at the start, within the usable window of the battery; where not given: the truck file's "
             "own"},
    {.key = "battery_age_years",
     .shape = EVN_NUMBER,
     .least = 0,
     .most = EVN_BATTERY_YEARS_MOST,
     .usual_high = 12,
     .offset = MEMBER(battery_age_years),
     .help = "age of the battery, within what its file states of ageing"},
    {.key = "battery_start_degc",
     .shape = EVN_NUMBER,
     .least = -60,
     .most = 100,
     .usual_low = -30,
     .usual_high = 45,
     .fallback = (double)NAN,
     .offset = MEMBER(battery_start_degc),
     .help = "temperature of the battery at the start; where not given: the truck file's own, else that of the air"},
    {.key = "gravity_m_s2",
     .shape = EVN_NUMBER,
     .least = 0.1,
     .most = 30,
     .fallback = 9.80665,
     .offset = MEMBER(gravity_m_s2),
     .source = "standard acceleration of free fall",
     .help = "acceleration of free fall"},
    {.key = "air_density_kg_m3",
     .shape = EVN_NUMBER,
     .least = 0,
     .most = 10,
     .usual_low = 0.7,
     .usual_high = 1.5,
     .fallback = (double)NAN,
     .offset = MEMBER(air_density_kg_m3),
     .help = "density of the air; where not given: from altitude and temperature"},
    {.key = "altitude_m",
     .shape = EVN_NUMBER,
     .least = -500,
     .most = 9000,
     .offset = MEMBER(altitude_m),
     .help = "altitude above sea level"},
    {.key = "temperature_degc",
     .shape = EVN_NUMBER,
     .least = -60,
     .most = 60,
     .fallback = (double)NAN,
     .offset = MEMBER(temperature_degc),
     .help = "of the air; where not given: that of the standard atmosphere at this altitude"},
    {.key = "headwind_m_s",
     .shape = EVN_NUMBER,
     .least = -60,
     .most = 60,
     .usual_low = -15,
     .usual_high = 15,
     .offset = MEMBER(headwind_m_s),
     .help = "wind along the road, against the truck; negative from behind"},
    {.key = "wind_m_s",
     .shape = EVN_NUMBER,
     .least = 0,
     .most = 60,
     .usual_high = 15,
     .offset = MEMBER(wind_m_s),
     .help = "speed of the wind at the height of the truck, beside the headwind; along and across the road by "
             "wind_from_deg and the route's heading, or the mean over all directions"},
    {.key = "wind_from_deg",
     .shape = EVN_NUMBER,
     .least = 0,
     .most = 360,
     .fallback = (double)NAN,
     .offset = MEMBER(wind_from_deg),
     .help = "where that wind comes from, clockwise from north; counts where the cycle states its heading; not given, "
             "or a cycle without one: the mean of the force over all directions"},
    {.key = "rolling_resistance_law",
     .shape = EVN_CHOICE,
     .choices = rolling_laws,
     .fallback = EVN_ROLLING_RESISTANCE_LAW_CONSTANT,
     .offset = MEMBER(rolling_resistance_law),
     .source = EVN_ROLLING_LAW_SOURCE,
     .help = "how rolling resistance goes with temperature: constant (not at all), linear (1 % per 2 K below 25 degC), "
             "as_tested (the tests' correction of 0.6 % per K, carried beyond its 20 to 30 degC); with the last two "
             "tyres warm up as they roll (tyre_temperature of the truck)"},
    {.key = "tyres_at_start",
     .shape = EVN_CHOICE,
     .choices = start_warmths,
     .fallback = EVN_TYRES_AT_START_WARM,
     .offset = MEMBER(tyres_at_start),
     .help = "warm, as after a long run at 80 km/h, or cold, as the air; where the rolling_resistance_law knows it"},
    {.key = "oil_at_start",
     .shape = EVN_CHOICE,
     .choices = start_warmths,
     .fallback = EVN_OIL_AT_START_WARM,
     .offset = MEMBER(oil_at_start),
     .help = "of gears whose file states oil: warm, as that says, or cold, as the air"},
    {.key = "lifting_axle",
     .shape = EVN_CHOICE,
     .choices = lifting_requests,
     .fallback = EVN_LIFTING_AXLE_AUTO,
     .offset = MEMBER(lifting_axle),
     .help = "where the truck has one: auto as its file says, up, or down (then without start aid)"},
};

const evn_object evn_load_case_object = {
    .name = "load_case",
    .help = "what a truck is made ready for: payload, battery at the start, air, wind and gravity",
    .size = sizeof(evn_load_case),
    .fields = fields,
    .field_count = sizeof fields / sizeof *fields};

_Static_assert(sizeof fields / sizeof *fields <= 64, "each row has a bit");

evn_load_case evn_load_case_over(const evn_load_case *base, const evn_load_case *over, uint64_t which)
{
    evn_load_case both = *base;
    for (size_t k = 0; k < evn_load_case_object.field_count; k++) {
        const evn_field *f = &fields[k];
        size_t bytes = f->shape == EVN_CHOICE ? sizeof(int) : sizeof(double);
        if (which & ((uint64_t)1 << k))
            memcpy((char *)&both + f->offset, (const char *)over + f->offset, bytes);
    }
    return both;
}

bool evn_load_case_row(const char *key, unsigned *row)
{
    for (*row = 0; *row < evn_load_case_object.field_count; ++*row)
        if (strcmp(fields[*row].key, key) == 0)
            return true;
    return false;
}
