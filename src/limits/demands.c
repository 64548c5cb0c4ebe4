/* The keys of demands. Each is a key of lineups, and an option of the commands that tell what a truck can. */
#include "limits/demands.h"
#include "core/field_number.h"
#include "cycle/surface.h"
#include <math.h>
#include <stddef.h>

/* In the order of evn_surface; the first is no kind but what is stated elsewhere. */
static const char *const grounds[] = {"as_stated", "dry", "wet", "gravel", "soil", "snow", NULL};
_Static_assert(sizeof grounds / sizeof *grounds == EVN_SURFACE_KINDS + 2, "each kind of surface can be asked for");
_Static_assert(sizeof(evn_surface) == sizeof(int), "a choice of a field table is an int");

#define MEMBER(member) offsetof(evn_demands, member)
static const evn_field fields[] = {
    {.key = "start_grade_percent",
     .shape = EVN_NUMBER,
     .least = 0,
     .most = 100,
     .usual_high = 40,
     .fallback = (double)NAN,
     .offset = MEMBER(start_grade_percent),
     .help = "grade on which it must move off from rest, loaded as it is; where not given: not asked"},
    {.key = "start_surface",
     .shape = EVN_CHOICE,
     .choices = grounds,
     .fallback = EVN_SURFACE_AS_CYCLE,
     .offset = MEMBER(start_surface),
     .source = "common practice, from memory: " EVN_SURFACE_RANGES,
     .help = "ground on which starting is asked for and told; as_stated: what the condition surface says, else the "
             "truck's own"},
    {.key = "change_up",
     .shape = EVN_FLAG,
     .offset = MEMBER(change_up),
     .help = "on that grade and ground it must also change up and go on pulling"},
    {.key = "climb_grade_percent",
     .shape = EVN_NUMBER,
     .least = 0,
     .most = 100,
     .usual_high = 40,
     .fallback = (double)NAN,
     .offset = MEMBER(climb_grade_percent),
     .help = "grade on which it must hold climb_speed_km_h; where not given: not asked"},
    {.key = "climb_speed_km_h",
     .shape = EVN_NUMBER,
     .least = 1,
     .most = 150,
     .fallback = (double)NAN,
     .offset = MEMBER(climb_speed_km_h),
     .help = "speed that it must hold on climb_grade_percent, which needs it"},
    {.key = "climb_continuous",
     .shape = EVN_FLAG,
     .offset = MEMBER(climb_continuous),
     .help = "that speed must hold for as long as it likes, by the heat of windings and inverters with the coolant "
             "that the truck's file states; else at the temperatures of the start"},
    {.key = "descent_grade_percent",
     .shape = EVN_NUMBER,
     .least = 0,
     .most = 100,
     .usual_high = 40,
     .fallback = (double)NAN,
     .offset = MEMBER(descent_grade_percent),
     .help = "grade that motors alone must hold down at descent_speed_km_h; where not given: not asked"},
    /* The speed at which regulations test endurance braking: UN R13 Annex 4, from memory. */
    {.key = "descent_speed_km_h",
     .shape = EVN_NUMBER,
     .least = 1,
     .most = 150,
     .fallback = 30,
     .offset = MEMBER(descent_speed_km_h),
     .source = "UN R13 Annex 4, from memory",
     .help = "speed at which descents are asked for and told"},
    {.key = "descent_soc",
     .shape = EVN_NUMBER,
     .least = 0,
     .most = 1,
     .fallback = (double)NAN,
     .offset = MEMBER(descent_soc),
     .help = "state of charge at which they are; where not given: that of the start"},
};

/* ------------------------------------------------------------------------------------------------ halves */

/* A key that is given without the one that it needs. */
typedef struct half {
    bool given, has_other;
    const char *key, *other, *expected;
} half;
enum { HALVES = 4 };

static void find_halves(const evn_demands *d, half out[HALVES])
{
    bool start = !isnan(d->start_grade_percent), grade = !isnan(d->climb_grade_percent);
    bool speed = !isnan(d->climb_speed_km_h);
    const half all[HALVES] = {
        {d->change_up, start, "change_up", "start_grade_percent", "the grade on which it starts, in per cent"},
        {grade, speed, "climb_grade_percent", "climb_speed_km_h", "the speed to hold on that grade, in km/h"},
        {speed, grade, "climb_speed_km_h", "climb_grade_percent", "the grade on which to hold it, in per cent"},
        {d->climb_continuous && !speed, grade, "climb_continuous", "climb_grade_percent",
         "a grade in per cent, and climb_speed_km_h"},
    };
    for (size_t k = 0; k < HALVES; k++)
        out[k] = all[k];
}

static bool lacks(const half *h) { return h->given && !h->has_other; }

#define LACKS "%s is given, and no %s; expected %s"

static void check(const void *self, const evn_seat *seat, evn_report *report)
{
    half all[HALVES];
    find_halves(self, all);
    for (size_t k = 0; k < HALVES; k++)
        if (lacks(&all[k]))
            evn_say_at(report, seat, EVN_FAULT_MISSING_KEY, all[k].key, LACKS, all[k].key, all[k].other,
                       all[k].expected);
}

const evn_object evn_demands_object = {.name = "demands",
                                       .help = "what a truck must be able to do: starting on a grade, a speed uphill, "
                                               "a descent held by its motors",
                                       .size = sizeof(evn_demands),
                                       .fields = fields,
                                       .field_count = sizeof fields / sizeof *fields,
                                       .check = check};

bool evn_demands_fit(const evn_demands *d, evn_report *report)
{
    half all[HALVES];
    bool fit = evn_object_fits(&evn_demands_object, d, report);
    find_halves(d, all);
    for (size_t k = 0; k < HALVES; k++)
        if (lacks(&all[k])) {
            evn_say(report, EVN_FAULT_MISSING_KEY, evn_nowhere, evn_nowhere, LACKS, all[k].key, all[k].other,
                    all[k].expected);
            fit = false;
        }
    return fit;
}
