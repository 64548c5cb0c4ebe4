/* Field tables of what may brake beside motors and friction brakes: retarder, brake resistor. */
#include "core/uncertain.h"
#include "truck/truck.h"
#include <math.h>
#include <stddef.h>

#define COUNT(a) (sizeof(a) / sizeof *(a))

static const char *const uses[] = {"endurance", "all", NULL};
static const evn_field retarder_fields[] = {
    {.key = "axle",
     .shape = EVN_COUNT,
     .presence = EVN_REQUIRED,
     .least = 1,
     .most = 8,
     .offset = offsetof(evn_retarder_file, axle),
     .help = "the driven axle on which it acts, numbered from the front, from 1"},
    {.key = "torque_limit_nm",
     .shape = EVN_NUMBER,
     .least = 1,
     .most = 1e6,
     .usual_low = 5000,
     .usual_high = 30000,
     .fallback = (double)NAN,
     .offset = offsetof(evn_retarder_file, torque_limit_nm),
     .help = "most braking torque at the hubs of that axle, both together; this or braking_force_limit_kn"},
    {.key = "braking_force_limit_kn",
     .shape = EVN_NUMBER,
     .least = 0.001,
     .most = 1000,
     .usual_low = 10,
     .usual_high = 60,
     .fallback = (double)NAN,
     .offset = offsetof(evn_retarder_file, braking_force_limit_kn),
     .help = "most braking force at the tyres of that axle; this or torque_limit_nm"},
    {.key = "power_limit_kw",
     .shape = EVN_NUMBER,
     .presence = EVN_REQUIRED,
     .least = 0.1,
     .most = 1e5,
     .usual_low = 150,
     .usual_high = 600,
     .offset = offsetof(evn_retarder_file, power_limit_kw),
     .help = "most braking power"},
    {.key = "fade_from_km_h",
     .shape = EVN_NUMBER,
     .most = 100,
     .usual_high = 30,
     .fallback = 20,
     .offset = offsetof(evn_retarder_file, fade_from_km_h),
     .source = "common practice, no source",
     .help = "its braking force fades out as the truck slows from this speed ..."},
    {.key = "fade_to_km_h",
     .shape = EVN_NUMBER,
     .most = 100,
     .usual_high = 15,
     .fallback = 5,
     .offset = offsetof(evn_retarder_file, fade_to_km_h),
     .source = "common practice, no source",
     .help = "... to this"},
    {.key = "used_for",
     .shape = EVN_CHOICE,
     .fallback = EVN_RETARDER_ENDURANCE,
     .offset = offsetof(evn_retarder_file, used_for),
     .choices = uses,
     .help = "endurance: where no more than endurance_braking_m_s2 is demanded; all: for every demand. Motors come "
             "before it, friction brakes after it"},
    {.key = "endurance_braking_m_s2",
     .shape = EVN_NUMBER,
     .least = 0.05,
     .most = 10,
     .usual_low = 0.3,
     .usual_high = 1,
     .fallback = 0.7,
     .offset = offsetof(evn_retarder_file, endurance_braking_m_s2),
     .source = "common practice, no source",
     .help = "demanded deceleration up to which it is used for endurance; it fades out up to a tenth more"},
    {.key = "coolant_share",
     .shape = EVN_NUMBER,
     .most = 1,
     .offset = offsetof(evn_retarder_file, coolant_share),
     .help = "part of its heat that goes into the coolant loop of motors and inverters, where the truck states one; "
             "the rest goes to the air"},
    EVN_SOURCE_FIELD(evn_retarder_file),
    EVN_UNCERTAIN_FIELD(evn_retarder_file),
};
static void check_retarder(const void *self, const evn_seat *seat, evn_report *report)
{
    const evn_retarder_file *r = self;
    if (isnan(r->torque_limit_nm) == isnan(r->braking_force_limit_kn))
        evn_say_at(report, seat, EVN_FAULT_DISAGREES, "torque_limit_nm",
                   "%s torque_limit_nm and braking_force_limit_kn; expected one of them",
                   isnan(r->torque_limit_nm) ? "neither" : "both");
    if (r->fade_to_km_h >= r->fade_from_km_h)
        evn_say_at(report, seat, EVN_FAULT_DISAGREES, "fade_to_km_h", "fades out at %g km/h; expected below %g",
                   r->fade_to_km_h, r->fade_from_km_h);
}
const evn_object evn_retarder_object = {"retarder",
                                        "an endurance brake at a driven axle",
                                        sizeof(evn_retarder_file),
                                        retarder_fields,
                                        COUNT(retarder_fields),
                                        check_retarder};

static const evn_field resistor_fields[] = {
    {.key = "power_kw",
     .shape = EVN_NUMBER,
     .presence = EVN_REQUIRED,
     .least = 0.1,
     .most = 1e5,
     .usual_low = 50,
     .usual_high = 500,
     .offset = offsetof(evn_brake_resistor_file, power_kw),
     .help = "most power that it turns into heat; it takes what the battery does not"},
    EVN_SOURCE_FIELD(evn_brake_resistor_file),
    EVN_UNCERTAIN_FIELD(evn_brake_resistor_file),
};
const evn_object evn_brake_resistor_object = {
    "brake_resistor", "a resistor at the d.c. bus", sizeof(evn_brake_resistor_file),
    resistor_fields,  COUNT(resistor_fields),       NULL};
