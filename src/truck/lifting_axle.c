/* A lifting axle: its keys, whether it is up, and how its group shares its load then. */
#include "truck/lifting_axle.h"
#include <math.h>
#include <stdio.h>

#define COUNT(a) (sizeof(a) / sizeof *(a))

/* ------------------------------------------------------------------------------------------------ keys */

static const evn_field start_aid_fields[] = {
    {.key = "below_km_h",
     .shape = EVN_NUMBER,
     .least = 2,
     .most = 60,
     .usual_low = 5,
     .usual_high = 30,
     .fallback = 30,
     .offset = offsetof(evn_start_aid_file, below_km_h),
     .source = "Directive 97/27/EC Annex IV: start aid ends at 30 km/h, from memory",
     .help = "the start aid works below this speed"},
    {.key = "axle_load_kg",
     .shape = EVN_NUMBER,
     .presence = EVN_REQUIRED,
     .least = 100,
     .most = 50000,
     .usual_low = 5000,
     .usual_high = 15000,
     .offset = offsetof(evn_start_aid_file, axle_load_kg),
     .source = "Directive 97/27/EC Annex IV: at most 30 % more than permitted, from memory",
     .help =
         "to which the driven axle beside it is loaded, at rest on the level; what makers and local regulation permit "
         "decides; the lifting axle leaves it so much load, or all"},
};
static const evn_object start_aid_object = {"start_aid",
                                            "load for the driven axle at low speed",
                                            sizeof(evn_start_aid_file),
                                            start_aid_fields,
                                            COUNT(start_aid_fields),
                                            NULL};

static const char *const requests[] = {"auto", "up", "down", NULL}; /* in the order of evn_lift_request */
static const evn_field lifts_fields[] = {
    {.key = "request",
     .shape = EVN_CHOICE,
     .choices = requests,
     .fallback = EVN_LIFT_AUTO,
     .offset = offsetof(evn_lifts_file, request),
     .help = "auto: up as long as the load allows it; or always up, or always down"},
    {.key = "lower_above_load_kg",
     .shape = EVN_NUMBER,
     .least = 100,
     .most = 100000,
     .fallback = (double)NAN,
     .offset = offsetof(evn_lifts_file, lower_above_load_kg),
     .help = "auto: it comes down where the other axles of its group would carry more than this together; not given: "
             "where an axle would carry more than its permitted_kg"},
    {.key = "start_aid",
     .shape = EVN_ONE,
     .offset = offsetof(evn_lifts_file, start_aid),
     .of = &start_aid_object,
     .help = "not given: it stands at low speed as at any other"},
};
const evn_object evn_lifts_object = {"lifts",      "when an axle is lifted", sizeof(evn_lifts_file),
                                     lifts_fields, COUNT(lifts_fields),      NULL};

/* ------------------------------------------------------------------------------------------------ rules */

static const evn_axle_file *axle_of(const evn_truck_file *t, size_t k)
{
    return (const evn_axle_file *)t->axles.item + k;
}

static bool is_driven(const evn_truck_file *t, size_t axle)
{
    const evn_unit_file *unit = t->drive_units.item;
    for (size_t k = 0; k < t->drive_units.count; k++)
        for (size_t i = 0; i < unit[k].axles.count; i++)
            if (unit[k].axles.at[i] == (double)axle + 1)
                return true;
    return false;
}

typedef struct beside { /* the other axles of a group */
    size_t axles, driven, permitted;
} beside;

static beside beside_of(const evn_truck_file *t, size_t axle)
{
    beside others = {0, 0, 0};
    for (size_t k = 0; k < t->axles.count; k++) {
        if (k == axle || axle_of(t, k)->support != axle_of(t, axle)->support)
            continue;
        others.axles++;
        others.driven += is_driven(t, k);
        others.permitted += isnan(axle_of(t, k)->permitted_kg) ? 0 : 1;
    }
    return others;
}

static void check_lifts(const evn_truck_file *t, size_t axle, const evn_seat *seat, evn_report *report)
{
    const evn_lifts_file *lifts = axle_of(t, axle)->lifts;
    beside others = beside_of(t, axle);
    const char *name = t->axles.name[axle];
    char path[160];
    snprintf(path, sizeof path, "axles.%.100s.lifts", name);
    if (axle != evn_axle_that_lifts(t))
        evn_say_at(report, seat, EVN_FAULT_DISAGREES, path, "axle %s lifts, and axle %s does; expected one at most",
                   name, t->axles.name[evn_axle_that_lifts(t)]);
    if (is_driven(t, axle))
        evn_say_at(report, seat, EVN_FAULT_DISAGREES, path, "axle %s lifts and is driven; expected one of them", name);
    if (others.axles == 0)
        evn_say_at(report, seat, EVN_FAULT_DISAGREES, path,
                   "axle %s lifts and is alone in its group; expected another axle of the same support", name);
    if (lifts->start_aid && others.driven == 0)
        evn_say_at(report, seat, EVN_FAULT_DISAGREES, path,
                   "start_aid of axle %s without a driven axle beside it; expected one of the same support", name);
    if (lifts->request == EVN_LIFT_AUTO && isnan(lifts->lower_above_load_kg) && others.axles > others.permitted)
        evn_say_at(report, seat, EVN_FAULT_DISAGREES, path,
                   "nothing says up to which load axle %s stays up; expected lower_above_load_kg, permitted_kg of each "
                   "other axle of its support, or request: up or down",
                   name);
}

void evn_check_lifting(const evn_truck_file *t, const evn_seat *seat, evn_report *report)
{
    for (size_t k = 0; k < t->axles.count; k++)
        if (axle_of(t, k)->lifts)
            check_lifts(t, k, seat, report);
}

/* ------------------------------------------------------------------------------------------------ loads */

size_t evn_axle_that_lifts(const evn_truck_file *t)
{
    size_t k = 0;
    while (k < t->axles.count && !axle_of(t, k)->lifts)
        k++;
    return k;
}

void evn_lift_share(const evn_truck_file *t, size_t axle, double lifting, double share[])
{
    double left = (1 - lifting) / (1 - share[axle]);
    for (size_t k = 0; k < t->axles.count; k++)
        if (axle_of(t, k)->support == axle_of(t, axle)->support)
            share[k] = k == axle ? lifting : share[k] * left;
}

static bool load_allows(const evn_truck_file *t, size_t axle, const evn_axle_load lifted[])
{
    double most_kg = axle_of(t, axle)->lifts->lower_above_load_kg, group_kg = 0;
    bool permitted = true;
    for (size_t k = 0; k < t->axles.count; k++) {
        if (axle_of(t, k)->support == axle_of(t, axle)->support)
            group_kg += lifted[k].cosine_kg;
        permitted = permitted && !(lifted[k].cosine_kg > axle_of(t, k)->permitted_kg);
    }
    return isnan(most_kg) ? permitted : group_kg <= most_kg;
}

bool evn_lift_is_up(const evn_truck_file *t, size_t axle, evn_lifting_axle asked, const evn_axle_load lifted[])
{
    int request = axle_of(t, axle)->lifts->request;
    if (asked != EVN_LIFTING_AXLE_AUTO)
        request = asked == EVN_LIFTING_AXLE_UP ? EVN_LIFT_UP : EVN_LIFT_DOWN;
    return request == EVN_LIFT_AUTO ? load_allows(t, axle, lifted) : request == EVN_LIFT_UP;
}

double evn_lift_driven_kg(const evn_truck_file *t, size_t axle, const evn_axle_load load[])
{
    double most_kg = 0;
    for (size_t k = 0; k < t->axles.count; k++)
        if (axle_of(t, k)->support == axle_of(t, axle)->support && is_driven(t, k))
            most_kg = fmax(most_kg, load[k].cosine_kg);
    return most_kg;
}
