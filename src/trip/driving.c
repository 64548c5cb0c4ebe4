/* The keys of a driving. Each is a key of lineups and kept runs, and an option of the commands that drive. */
#include "trip/driving.h"
#include "core/field_number.h"
#include "cycle/surface.h"
#include <math.h>
#include <stddef.h>

static const char *const drivers[] = {"human", "exact", NULL};                  /* in the order of evn_driver */
static const char *const integrators[] = {"cvode", "arkode", NULL};             /* in the order of evn_integrator */
static const char *const endurances[] = {"off", "set_speed", "holdable", NULL}; /* in the order of evn_endurance */
_Static_assert(sizeof(evn_endurance) == sizeof(int), "a choice of a field table is an int");
_Static_assert(sizeof(evn_driver) == sizeof(int), "a choice of a field table is an int");
_Static_assert((int)EVN_SURFACE_SNOW == (int)EVN_SURFACE_KINDS,
               "each kind of surface can be asked for, in their order");
_Static_assert(sizeof(evn_surface) == sizeof(int), "a choice of a field table is an int");
_Static_assert(sizeof(evn_integrator) == sizeof(int), "a choice of a field table is an int");

#define MEMBER(member) offsetof(evn_driving, member)
static const evn_field fields[] = {
    {.key = "driver",
     .shape = EVN_CHOICE,
     .choices = drivers,
     .fallback = EVN_DRIVER_HUMAN,
     .offset = MEMBER(driver),
     .help = "looks ahead and takes time for gear changes, or holds the target speed exactly"},
    {.key = "speed_gain_1_s",
     .shape = EVN_NUMBER,
     .least = 0.01,
     .most = 10,
     .fallback = 0.5,
     .offset = MEMBER(speed_gain_1_s),
     .help = "of the human driver: acceleration, in m/s2, for each m/s below the target speed"},
    {.key = "look_ahead_s",
     .shape = EVN_NUMBER,
     .least = 0.05,
     .most = 60,
     .fallback = 2,
     .offset = MEMBER(look_ahead_s),
     .help = "of the human driver: how far ahead stops, and the target speed after a delay, are aimed at"},
    {.key = "comfort_acceleration_m_s2",
     .shape = EVN_NUMBER,
     .least = 0.01,
     .most = 10,
     .fallback = 0.6,
     .offset = MEMBER(comfort_acceleration_m_s2),
     .help = "of the target speed between speed limits, and of returning to it after a limitation"},
    {.key = "comfort_braking_m_s2",
     .shape = EVN_NUMBER,
     .least = 0.01,
     .most = 8,
     .fallback = 0.7,
     .offset = MEMBER(comfort_braking_m_s2),
     .help = "deceleration of the target speed between speed limits"},
    {.key = "integrator",
     .shape = EVN_CHOICE,
     .choices = integrators,
     .fallback = EVN_INTEGRATOR_CVODE,
     .offset = MEMBER(integrator),
     .help = "cvode is the reference; arkode takes a third to a half of the time, for many variants: at accuracy 1e-5 "
             "with the exact "
             "driver, 1e-6 with the human one"},
    {.key = "accuracy",
     .shape = EVN_NUMBER,
     .least = 1e-12,
     .most = 1e-3,
     .fallback = 1e-6,
     .offset = MEMBER(accuracy),
     .help = "tolerance of the integration"},
    {.key = "trace_interval_s",
     .shape = EVN_NUMBER,
     .least = 1e-3,
     .most = 86400,
     .fallback = 1,
     .offset = MEMBER(trace_interval_s),
     .help = "time between rows of a trace; events add rows"},
    {.key = "surface",
     .shape = EVN_CHOICE,
     .choices = evn_surface_choices,
     .fallback = EVN_SURFACE_AS_CYCLE,
     .offset = MEMBER(surface),
     .source = "common practice, from memory: " EVN_SURFACE_RANGES,
     .help =
         "whose adhesion holds on the whole course, instead of what the cycle states: dry or wet asphalt, gravel, "
         "soil or snow; the rolling resistance stays that of the cycle, and is the ground's own where limits are told, "
         "which know no cycle"},
    {.key = "endurance",
     .shape = EVN_CHOICE,
     .choices = endurances,
     .fallback = EVN_ENDURANCE_OFF,
     .offset = MEMBER(endurance),
     .help = "endurance braking downhill: a set speed, or the fastest that motors and battery hold without friction "
             "brakes"},
    {.key = "endurance_speed_km_h",
     .shape = EVN_NUMBER,
     .least = 1,
     .most = 150,
     .fallback = (double)NAN,
     .offset = MEMBER(endurance_speed_km_h),
     .help = "of endurance set_speed, which needs it: target speed on descents, at most; default: none"},
    /* Common practice, no source. */
    {.key = "endurance_from_percent",
     .shape = EVN_NUMBER,
     .least = 0.5,
     .most = 40,
     .fallback = 2,
     .offset = MEMBER(endurance_from_percent),
     .help = "a road that falls by this much or more is a descent of endurance braking (common practice, no source)"},
    /* Where regeneration commonly begins to fade: common practice, no source. */
    {.key = "endurance_least_km_h",
     .shape = EVN_NUMBER,
     .least = 1,
     .most = 100,
     .fallback = 10,
     .offset = MEMBER(endurance_least_km_h),
     .help = "of endurance holdable: no slower than this; friction brakes take the rest (common practice, no source)"},
};

const evn_object evn_driving_object = {.name = "driving",
                                       .help = "how a truck is driven, and how closely that is worked out",
                                       .size = sizeof(evn_driving),
                                       .fields = fields,
                                       .field_count = sizeof fields / sizeof *fields};

const evn_solver_kind *evn_driving_solver(const evn_driving *driving)
{
    return driving->integrator == EVN_INTEGRATOR_ARKODE ? &evn_arkode : &evn_cvode;
}

bool evn_driving_fits(const evn_driving *driving, evn_report *report)
{
    if (!evn_object_fits(&evn_driving_object, driving, report))
        return false;
    if (driving->endurance != EVN_ENDURANCE_SET_SPEED || !isnan(driving->endurance_speed_km_h))
        return true;
    evn_say(report, EVN_FAULT_MISSING_KEY, evn_nowhere, evn_nowhere,
            "endurance is set_speed, and no endurance_speed_km_h says which; expected a speed in km/h");
    return false;
}
