/* The keys of a load case. Each is a key of lineups and kept runs, and an option of the commands that drive. */
#include "truck/load_case.h"
#include <math.h>
#include <stddef.h>

static const char *const lifting_requests[] = {"auto", "up", "down", NULL}; /* in the order of evn_lifting_axle */
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
    {.key = "lifting_axle",
     .shape = EVN_CHOICE,
     .choices = lifting_requests,
     .fallback = EVN_LIFTING_AXLE_AUTO,
     .offset = MEMBER(lifting_axle),
     .help = "where the truck has one: auto as its file says, up, or down (then without start aid)"},
};

const evn_object evn_load_case_object = {
    .name = "load_case",
    .help = "what a truck is made ready for: payload, state of charge at the start, air, wind and gravity",
    .size = sizeof(evn_load_case),
    .fields = fields,
    .field_count = sizeof fields / sizeof *fields};
