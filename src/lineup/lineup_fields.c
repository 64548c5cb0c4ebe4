/* The keys of a lineup. */
#include "lineup/lineup.h"
#include <math.h>
#include <stddef.h>
#include <stdio.h>
#include <string.h>

#define COUNT(a) (sizeof(a) / sizeof *(a))

#define MEMBER(member) offsetof(evn_conditions_file, member)
static const evn_field conditions_fields[] = {
    {.key = "gravity_m_s2",
     .shape = EVN_NUMBER,
     .least = 0,
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
     .least = -1000,
     .most = 11000,
     .offset = MEMBER(altitude_m),
     .help = "height above the sea"},
    {.key = "temperature_degc",
     .shape = EVN_NUMBER,
     .least = -80,
     .most = 80,
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
     .help = "along the road, against the trucks; negative from behind"},
};
#undef MEMBER

static const evn_object conditions_object = {"conditions",
                                             "air, wind and gravity that all trucks of a lineup meet",
                                             sizeof(evn_conditions_file),
                                             conditions_fields,
                                             COUNT(conditions_fields),
                                             NULL};

static const char *const drivers[] = {"human", "exact", NULL}; /* in the order of evn_driver */

#define MEMBER(member) offsetof(evn_lineup_file, member)
static const evn_field lineup_fields[] = {
    {.key = "name",
     .shape = EVN_TEXT,
     .presence = EVN_REQUIRED,
     .offset = MEMBER(name),
     .help = "what the lineup is called"},
    {.key = "source",
     .shape = EVN_TEXT,
     .offset = MEMBER(source),
     .help = "where trucks and duty come from; needed unless it is marked as invented"},
    {.key = "invented", .shape = EVN_FLAG, .offset = MEMBER(invented), .help = "true: made up, no such trucks exist"},
    {.key = "cycle",
     .shape = EVN_ONE,
     .presence = EVN_REQUIRED,
     .of = &evn_cycle_object,
     .offset = MEMBER(cycle),
     .help = "the cycle that all of them drive"},
    {.key = "driver",
     .shape = EVN_CHOICE,
     .choices = drivers,
     .offset = MEMBER(driver),
     .help = "of the trucks at their own speeds: looks ahead and takes time to shift, or holds the plan exactly"},
    {.key = "payload_kg",
     .shape = EVN_NUMBER,
     .least = 0,
     .most = 1e6,
     .usual_high = 60000,
     .fallback = (double)NAN,
     .offset = MEMBER(payload_kg),
     .help = "payload of each truck; where not given: each truck's own"},
    {.key = "conditions",
     .shape = EVN_ONE,
     .presence = EVN_DEFAULTED,
     .of = &conditions_object,
     .offset = MEMBER(conditions),
     .help = "air, wind and gravity"},
    {.key = "trucks",
     .shape = EVN_MANY,
     .presence = EVN_REQUIRED,
     .of = &evn_truck_object,
     .offset = MEMBER(trucks),
     .count_least = EVN_LINEUP_LEAST,
     .count_most = EVN_LINEUP_MOST,
     .help = "the trucks by name, in the order of the columns; the first is what the others are held against"},
};
#undef MEMBER

bool evn_lineup_name_fits(const char *name)
{
    for (const char *at = name; *at != '\0'; at++)
        if (*at == '/' || (unsigned char)*at < 0x20 || *at == 0x7f)
            return false;
    return name[0] != '\0';
}

static void check_lineup(const void *self, const evn_seat *seat, evn_report *report)
{
    const evn_lineup_file *l = self;
    if (!l->invented && (l->source == NULL || l->source[0] == '\0'))
        evn_say_at(report, seat, EVN_FAULT_MISSING_KEY, "source",
                   "nothing says where the lineup comes from; expected source, or invented: true");
    for (size_t i = 0; i < l->trucks.count; i++) {
        char path[256];
        snprintf(path, sizeof path, "trucks.%.240s", l->trucks.name[i]);
        if (!evn_lineup_name_fits(l->trucks.name[i]))
            evn_say_at(report, seat, EVN_FAULT_UNKNOWN_KEY, path,
                       "the name '%s' cannot be part of the name of a file; expected letters, digits, '_' and '-'",
                       l->trucks.name[i]);
    }
}

const evn_object evn_lineup_object = {"lineup",
                                      "several trucks side by side on one cycle",
                                      sizeof(evn_lineup_file),
                                      lineup_fields,
                                      COUNT(lineup_fields),
                                      check_lineup};

evn_conditions evn_lineup_asks(const evn_lineup_file *l, evn_conditions from)
{
    const evn_conditions_file *c = l->conditions;
    from.driving.driver = l->driver;
    from.load_case.payload_kg = l->payload_kg;
    from.load_case.gravity_m_s2 = c->gravity_m_s2;
    from.load_case.air_density_kg_m3 = c->air_density_kg_m3;
    from.load_case.altitude_m = c->altitude_m;
    from.load_case.temperature_degc = c->temperature_degc;
    from.load_case.headwind_m_s = c->headwind_m_s;
    return from;
}
