/* Field table of an axle's suspension. */
#include "core/uncertain.h"
#include "truck/suspension.h"
#include <math.h>
#include <stddef.h>

#define COUNT(a) (sizeof(a) / sizeof *(a))

static const evn_field fields[] = {
    {.key = "stiffness_kn_m",
     .shape = EVN_NUMBER,
     .least = 1,
     .most = 20000,
     .usual_low = 100,
     .usual_high = 2000,
     .fallback = (double)NAN,
     .offset = offsetof(evn_suspension_file, stiffness_kn_m),
     .help = "stiffness of the springs of one side, at the wheel and at the load that is asked; this or "
             "natural_frequency_hz"},
    {.key = "natural_frequency_hz",
     .shape = EVN_NUMBER,
     .least = 0.2,
     .most = 20,
     .usual_low = 0.8,
     .usual_high = 3,
     .fallback = (double)NAN,
     .offset = offsetof(evn_suspension_file, natural_frequency_hz),
     .help = "natural frequency of the body on the springs alone, tyres rigid, at any load: their stiffness goes with "
             "the load they carry, as that of air springs nearly does; this or stiffness_kn_m"},
    {.key = "damping_kn_s_m",
     .shape = EVN_NUMBER,
     .presence = EVN_REQUIRED,
     .least = 0.1,
     .most = 1000,
     .usual_low = 5,
     .usual_high = 60,
     .offset = offsetof(evn_suspension_file, damping_kn_s_m),
     .help = "damping of one side at the wheel, the mean of bump and rebound; friction between leaves counts as what "
             "dissipates as much"},
    {.key = "damper_share",
     .shape = EVN_NUMBER,
     .least = 0,
     .most = 1,
     .fallback = (double)NAN,
     .offset = offsetof(evn_suspension_file, damper_share),
     .help = "share of damping_kn_s_m that dampers bring, the rest is friction of springs and joints; asked only of "
             "springs that are to be as good as air; not given: not known"},
    {.key = "bump_travel_m",
     .shape = EVN_NUMBER,
     .least = 0.005,
     .most = 1,
     .usual_low = 0.04,
     .usual_high = 0.2,
     .fallback = (double)NAN,
     .offset = offsetof(evn_suspension_file, bump_travel_m),
     .help = "way upwards of the wheel to the bump stop, from where it stands at rest, loaded as is asked; not given: "
             "not known"},
    {.key = "rebound_travel_m",
     .shape = EVN_NUMBER,
     .least = 0.005,
     .most = 1,
     .usual_low = 0.04,
     .usual_high = 0.2,
     .fallback = (double)NAN,
     .offset = offsetof(evn_suspension_file, rebound_travel_m),
     .help = "way downwards of the wheel to the rebound stop, likewise"},
    {.key = "stop_stiffness_kn_m",
     .shape = EVN_NUMBER,
     .least = 1,
     .most = 100000,
     .usual_low = 200,
     .usual_high = 10000,
     .fallback = 2000,
     .offset = offsetof(evn_suspension_file, stop_stiffness_kn_m),
     .source = "common practice, no source",
     .help = "stiffness of the stops of one side where they are squeezed by 10 mm; it grows in proportion to that; "
             "asked only over time"},
    {.key = "air",
     .shape = EVN_FLAG,
     .offset = offsetof(evn_suspension_file, air),
     .help = "true: at least three quarters of the spring effect comes from air (Directive 96/53/EC, Annex II)"},
    EVN_SOURCE_FIELD(evn_suspension_file),
    EVN_UNCERTAIN_FIELD(evn_suspension_file),
};

/* One of both says how stiff it is. */
static void check(const void *self, const evn_seat *seat, evn_report *report)
{
    const evn_suspension_file *s = self;
    bool stiffness = !isnan(s->stiffness_kn_m), frequency = !isnan(s->natural_frequency_hz);
    if (stiffness == frequency)
        evn_say_at(report, seat, stiffness ? EVN_FAULT_DISAGREES : EVN_FAULT_MISSING_KEY,
                   stiffness ? "natural_frequency_hz" : "",
                   "a suspension with %s of stiffness_kn_m and natural_frequency_hz; expected one of them",
                   stiffness ? "both" : "neither");
}

const evn_object evn_suspension_object = {
    "suspension", "springs, dampers and stops of an axle, one side", sizeof(evn_suspension_file), fields, COUNT(fields),
    check};
