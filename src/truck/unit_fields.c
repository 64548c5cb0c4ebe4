/* Field tables of a drive unit: gearbox, path, and the unit that holds them and its motors. */
#include "core/arena.h"
#include "core/uncertain.h"
#include "truck/truck.h"
#include "truck/unit.h"
#include "truck/usual.h"
#include <math.h>
#include <stdio.h>
#include <string.h>

#define COUNT(a) (sizeof(a) / sizeof *(a))

/* ------------------------------------------------------------------------------------------------ gearbox */

static const evn_field shift_fields[] = {
    {.key = "time_s",
     .shape = EVN_NUMBER,
     .most = 10,
     .usual_low = 0.15,
     .usual_high = 1,
     .fallback = 0.6,
     .offset = offsetof(evn_shift_file, time_s),
     .source = "common practice, no source",
     .help = "pause without torque at a gear change (the exact driver needs none)"},
    {.key = "wear_kj",
     .shape = EVN_NUMBER,
     .least = 0.01,
     .most = 1e4,
     .usual_low = 0.1,
     .usual_high = 20,
     .fallback = 2,
     .offset = offsetof(evn_shift_file, wear_kj),
     .source = "common practice, no source",
     .help = "what a change counts as wear, a choice; with the losses of synchronising and of the pause its price: a "
             "change is due once that much loss was forgone since a better gear appeared"},
    {.key = "price_kj",
     .shape = EVN_NUMBER,
     .least = 0.1,
     .most = 1e4,
     .usual_low = 1,
     .usual_high = 60,
     .fallback = (double)NAN,
     .offset = offsetof(evn_shift_file, price_kj),
     .help = "price of a change, whatever it costs; not given: its losses and wear_kj"},
    {.key = "dwell_s",
     .shape = EVN_NUMBER,
     .least = 0.5,
     .most = 60,
     .usual_low = 0.5,
     .usual_high = 5,
     .fallback = 0.5,
     .offset = offsetof(evn_shift_file, dwell_s),
     .source = "common practice, no source",
     .help = "shortest time between two changes, but to save the motor from overspeed"},
    {.key = "synchronising_loss_share",
     .shape = EVN_NUMBER,
     .most = 1,
     .usual_low = 0.05,
     .usual_high = 0.5,
     .fallback = 0.15,
     .offset = offsetof(evn_shift_file, synchronising_loss_share),
     .source = "common practice, no source",
     .help = "share lost of the rotor energy that the motor gives or takes to reach its new speed"},
    EVN_SOURCE_FIELD(evn_shift_file),
};
static const evn_object shift_object = {"shift",      "how a gearbox changes gear", sizeof(evn_shift_file),
                                        shift_fields, COUNT(shift_fields),          NULL};

static const evn_field gearbox_fields[] = {
    {.key = "ratios",
     .shape = EVN_LIST,
     .presence = EVN_REQUIRED,
     .least = 0.05,
     .most = 100,
     .usual_low = 0.5,
     .usual_high = 20,
     .offset = offsetof(evn_gearbox_file, ratios),
     .apart_least = EVN_RATIOS_APART_LEAST,
     .count_least = 1,
     .count_most = 8,
     .help = "ratio of each gear, first gear first, falling"},
    {.key = "efficiencies",
     .shape = EVN_LIST,
     .presence = EVN_REQUIRED,
     .least = 0.5,
     .most = 1,
     .usual_low = 0.96,
     .usual_high = 1,
     .offset = offsetof(evn_gearbox_file, efficiencies),
     .count_least = 1,
     .count_most = 8,
     .source = "usual from 0.96: the default of an indirect gear by (EU) 2017/2400, Annex VI, Appendix 8, deliberately "
               "low",
     .uncertain = &evn_usual_gearbox_efficiency,
     .help = "efficiency of each gear, of the load alone: the torque that passes, what drags and speeds up the stages "
             "towards the wheels included; pushed, loss and torque change sides"},
    {.key = "drag",
     .shape = EVN_ONE,
     .offset = offsetof(evn_gearbox_file, drag),
     .of = &evn_drag_object,
     .help = "friction torque over speed, apart from the load loss"},
    EVN_OIL_FIELD(evn_gearbox_file),
    {.key = "input_inertia_kg_m2",
     .shape = EVN_NUMBER,
     .most = 100,
     .usual_high = 1,
     .offset = offsetof(evn_gearbox_file, input_inertia_kg_m2),
     .help = "moment of inertia of what turns with the motors, at their speed"},
    {.key = "mass_kg",
     .shape = EVN_NUMBER,
     .most = 5000,
     .usual_high = 400,
     .offset = offsetof(evn_gearbox_file, mass_kg),
     .help = "mass"},
    {.key = "shift",
     .shape = EVN_ONE,
     .presence = EVN_DEFAULTED,
     .offset = offsetof(evn_gearbox_file, shift),
     .of = &shift_object,
     .help = "how it changes gear"},
    EVN_SOURCE_FIELD(evn_gearbox_file),
    EVN_UNCERTAIN_FIELD(evn_gearbox_file),
};

static void check_gearbox(const void *self, const evn_seat *seat, evn_report *report)
{
    const evn_gearbox_file *g = self;
    if (g->ratios.count != g->efficiencies.count)
        evn_say_at(report, seat, EVN_FAULT_DISAGREES, "efficiencies",
                   "%zu efficiencies for %zu ratios; expected one for each gear", g->efficiencies.count,
                   g->ratios.count);
    for (size_t k = 1; k < g->ratios.count; k++)
        if (!(g->ratios.at[k - 1] - g->ratios.at[k] >= EVN_RATIOS_APART_LEAST * (1 - EVN_APART_HAIR)))
            evn_say_at(report, seat, EVN_FAULT_DISAGREES, "ratios",
                       "ratio %.10g after %.10g; expected falling ratios, first gear first, at least %g apart",
                       g->ratios.at[k], g->ratios.at[k - 1], EVN_RATIOS_APART_LEAST);
    evn_check_drag(g->drag, seat, report);
}
static const evn_object gearbox_object = {"gearbox",
                                          "gears between the motors and the path",
                                          sizeof(evn_gearbox_file),
                                          gearbox_fields,
                                          COUNT(gearbox_fields),
                                          check_gearbox};

/* ------------------------------------------------------------------------------------------------ unit */

static const evn_field engagement_fields[] = {
    {.key = "fewest",
     .shape = EVN_COUNT,
     .least = 1,
     .most = EVN_MOTORS_MAX,
     .fallback = 1,
     .offset = offsetof(evn_engagement_file, fewest),
     .help = "least number of motors that work; as many as there are: all of them always"},
    {.key = "wear_kj",
     .shape = EVN_NUMBER,
     .least = 0.001,
     .most = 1e4,
     .usual_low = 0.01,
     .usual_high = 1,
     .fallback = 0.1,
     .offset = offsetof(evn_engagement_file, wear_kj),
     .source = "common practice, no source",
     .help = "what a change of their number counts as wear, a choice; with the loss of synchronising, where a clutch "
             "frees idle motors, its price: a change is due once that much loss was forgone"},
    {.key = "price_kj",
     .shape = EVN_NUMBER,
     .least = 0.001,
     .most = 1e4,
     .usual_low = 0.01,
     .usual_high = 20,
     .fallback = (double)NAN,
     .offset = offsetof(evn_engagement_file, price_kj),
     .help = "price of a change of their number, whatever it costs; not given: its loss and wear_kj"},
    {.key = "dwell_s",
     .shape = EVN_NUMBER,
     .least = 0.1,
     .most = 60,
     .usual_low = 0.5,
     .usual_high = 10,
     .fallback = 0.5,
     .offset = offsetof(evn_engagement_file, dwell_s),
     .source = "common practice, no source",
     .help = "shortest time until the next change, but when all are needed"},
    {.key = "rest_after_s",
     .shape = EVN_NUMBER,
     .most = 1e6,
     .usual_low = 1,
     .usual_high = 30,
     .fallback = 3,
     .offset = offsetof(evn_engagement_file, rest_after_s),
     .source = "common practice, no source",
     .help =
         "standing for longer, motors and inverters rest without pulses until the truck moves off; the exact driver "
         "knows how long a stop lasts and lets them rest from its beginning"},
};
static const evn_object engagement_object = {"engagement",
                                             "how many of the motors work; the number that loses least",
                                             sizeof(evn_engagement_file),
                                             engagement_fields,
                                             COUNT(engagement_fields),
                                             NULL};

static const evn_field branch_fields[] = {
    {.key = "axle",
     .shape = EVN_COUNT,
     .presence = EVN_REQUIRED,
     .least = 1,
     .most = 8,
     .offset = offsetof(evn_branch_file, axle),
     .help = "the axle driven by this branch, numbered from the front, from 1"},
    {.key = "torque_share",
     .shape = EVN_NUMBER,
     .least = 0.05,
     .most = 1,
     .usual_low = 0.3,
     .usual_high = 0.7,
     .fallback = 0.5,
     .offset = offsetof(evn_branch_file, torque_share),
     .help = "its part of the torque at the inter-axle differential, in proportion to those of the other branches"},
    {.key = "path",
     .shape = EVN_STEPS,
     .presence = EVN_REQUIRED,
     .offset = offsetof(evn_branch_file, path),
     .kinds = evn_stage_kind_rows,
     .count_least = 1,
     .count_most = 12,
     .help = "stages from the inter-axle differential to the wheels, in order; what only this axle's share of the "
             "torque passes, as the transfer gear and the second shaft of a through-drive; with disconnects in it, "
             "which open together, the other branches take all torque, and what lies between two of them stands "
             "still; one branch has none"},
    EVN_SOURCE_FIELD(evn_branch_file),
    EVN_UNCERTAIN_FIELD(evn_branch_file),
};
static const evn_object branch_object = {"branch",
                                         "from the inter-axle differential to the wheels of one axle",
                                         sizeof(evn_branch_file),
                                         branch_fields,
                                         COUNT(branch_fields),
                                         NULL};

static const evn_field unit_fields[] = {
    {.key = "axles",
     .shape = EVN_LIST,
     .presence = EVN_REQUIRED,
     .least = 1,
     .most = 8,
     .offset = offsetof(evn_unit_file, axles),
     .count_least = 1,
     .count_most = EVN_BRANCHES_MAX,
     .help = "the axle driven, numbered from the front, from 1; several need branches"},
    {.key = "motors",
     .shape = EVN_MANY,
     .presence = EVN_REQUIRED,
     .offset = offsetof(evn_unit_file, motors),
     .of = &evn_motor_object,
     .alike = true,
     .count_least = 1,
     .count_most = EVN_MOTORS_MAX,
     .help = "the motors, by name; several are alike, turn together and share the torque"},
    {.key = "engagement",
     .shape = EVN_ONE,
     .presence = EVN_DEFAULTED,
     .offset = offsetof(evn_unit_file, engagement),
     .of = &engagement_object,
     .help = "how many of the motors work"},
    {.key = "idle_motors_stand_still",
     .shape = EVN_FLAG,
     .offset = offsetof(evn_unit_file, idle_motors_stand_still),
     .help = "true where a clutch at each motor frees it when it does not work; else it turns along, and its drag is "
             "paid"},
    {.key = "gearbox",
     .shape = EVN_ONE,
     .offset = offsetof(evn_unit_file, gearbox),
     .of = &gearbox_object,
     .help = "not given: the motor drives the path directly"},
    {.key = "path",
     .shape = EVN_STEPS,
     .offset = offsetof(evn_unit_file, path),
     .kinds = evn_stage_kind_rows,
     .count_most = 12,
     .help = "stages from the gearbox to the wheels, in order; with branches, to the inter-axle differential"},
    {.key = "branches",
     .shape = EVN_MANY,
     .offset = offsetof(evn_unit_file, branches),
     .of = &branch_object,
     .count_most = EVN_BRANCHES_MAX,
     .help = "by name, one for each driven axle where there are several"},
    {.key = "axle_differential_lock",
     .shape = EVN_FLAG,
     .offset = offsetof(evn_unit_file, axle_differential_lock),
     .help =
         "true: the differential of each driven axle has a lock; open it gives both wheels the same torque, so that "
         "the side with less adhesion says what the axle carries"},
    {.key = "inter_axle_lock",
     .shape = EVN_FLAG,
     .offset = offsetof(evn_unit_file, inter_axle_lock),
     .help = "true: the differential between the driven axles has a lock; open the axle that reaches its limit first "
             "holds the others"},
    {.key = "locks_below_km_h",
     .shape = EVN_NUMBER,
     .least = 2,
     .most = 60,
     .usual_low = 5,
     .usual_high = 30,
     .fallback = 20,
     .offset = offsetof(evn_unit_file, locks_below_km_h),
     .source = "common practice, no source",
     .help =
         "the driver keeps these locks engaged below this speed wherever the cycle states the adhesion of the road, "
         "released above it"},
    {.key = "machine_behind_front_axle_m",
     .shape = EVN_NUMBER,
     .least = -2,
     .most = 20,
     .fallback = (double)NAN,
     .offset = offsetof(evn_unit_file, machine_behind_front_axle_m),
     .help =
         "where the centre of motors and gearbox hangs, behind the front axle; not given: at the (first) driven axle"},
    {.key = "machine_height_m",
     .shape = EVN_NUMBER,
     .most = 4,
     .fallback = 0.8,
     .offset = offsetof(evn_unit_file, machine_height_m),
     .help = "height of their centre above the road"},
    {.key = "braking_force_limit_kn",
     .shape = EVN_NUMBER,
     .most = 1000,
     .usual_low = 5,
     .usual_high = 80,
     .fallback = (double)NAN,
     .offset = offsetof(evn_unit_file, braking_force_limit_kn),
     .source = "common practice, no source",
     .help = "most tyre force with which its motors brake; not given: no such limit"},
    {.key = "unsprung_share",
     .shape = EVN_NUMBER,
     .most = 1,
     .fallback = (double)NAN,
     .offset = offsetof(evn_unit_file, unsprung_share),
     .help = "share of the mass of its motors, inverters and gearbox that goes up and down with the wheels; asked on "
             "rough roads; not given: all of it where the path has no propeller shaft, as in an electric axle, else "
             "nothing of it"},
    {.key = "takeoff",
     .shape = EVN_ONE,
     .offset = offsetof(evn_unit_file, takeoff),
     .of = &evn_unit_takeoff_object,
     .help = "a take-off that its gearbox or motors offer for work of the body, the truck at rest; not given: none"},
    {.key = "housings",
     .shape = EVN_MANY,
     .offset = offsetof(evn_unit_file, housings),
     .of = &evn_unit_housing_object,
     .count_most = 8,
     .help = "its housings, by name, on the frame or on an axle: what hangs low, and what takes room; masses stand in "
             "motors and gearbox"},
    EVN_SOURCE_FIELD(evn_unit_file),
    EVN_UNCERTAIN_FIELD(evn_unit_file),
};

/* One winding temperature stands for all motors of a unit. */
static void check_alike(const evn_unit_file *u, const evn_seat *seat, evn_report *report)
{
    const evn_motor_file *motor = u->motors.item;
    for (size_t k = 1; k < u->motors.count; k++) {
        const char *key = evn_motors_differ(&motor[0], &motor[k]);
        char path[160];
        if (!key)
            continue;
        snprintf(path, sizeof path, "motors.%.60s.%.60s", u->motors.name[k], key);
        evn_say_at(report, seat, EVN_FAULT_DISAGREES, path,
                   "motor %.60s differs from motor %.60s in %.60s; expected motors that are alike; unlike ones need "
                   "drive units of their own",
                   u->motors.name[k], u->motors.name[0], key);
    }
}

static bool is_disconnect(const evn_step *step)
{
    return strcmp(evn_stage_kind_rows[step->kind].key, "disconnect") == 0;
}

/* Of a branch, the stage that opens it, counted from the inter-axle differential; the count of stages: none does. */
static size_t first_disconnect(const evn_steps *steps)
{
    size_t k = 0;
    while (k < steps->count && !is_disconnect(&steps->at[k]))
        k++;
    return k;
}

/* One has to stay closed, whatever the others do. */
static void check_one_without_disconnect(const evn_unit_file *u, const evn_seat *seat, evn_report *report)
{
    const evn_branch_file *branch = u->branches.item;
    char path[220];
    for (size_t k = 0; k < u->branches.count; k++) {
        size_t at = first_disconnect(&branch[k].path);
        if (at == branch[k].path.count)
            return;
        snprintf(path, sizeof path, "branches.%.160s.path[%zu]", u->branches.name[k], at);
    }
    if (u->branches.count > 0)
        evn_say_at(
            report, seat, EVN_FAULT_DISAGREES, path,
            "a disconnect in every branch; expected at least one branch without, which goes on pulling; one that "
            "frees all axles stands in the path before the inter-axle differential");
}

/* One branch for each of several driven axles, and none without. */
static void check_branches(const evn_unit_file *u, const evn_seat *seat, evn_report *report)
{
    const evn_branch_file *branch = u->branches.item;
    size_t wanted = u->axles.count > 1 ? u->axles.count : 0;
    if (u->branches.count != wanted)
        evn_say_at(report, seat, EVN_FAULT_DISAGREES, u->branches.count ? "branches" : "axles",
                   "%zu branches for %zu driven axles; expected %s", u->branches.count, u->axles.count,
                   wanted ? "one branch for each" : "none, path leads to the wheels");
    for (size_t k = 0; k < u->branches.count; k++) {
        bool listed = false;
        char path[160];
        snprintf(path, sizeof path, "branches.%.100s", u->branches.name[k]);
        for (size_t i = 0; i < u->axles.count; i++)
            listed = listed || u->axles.at[i] == branch[k].axle;
        for (size_t i = 0; i < k; i++)
            if (branch[i].axle == branch[k].axle)
                evn_say_at(report, seat, EVN_FAULT_DISAGREES, path, "axle %g again; expected one branch for each axle",
                           branch[k].axle);
        if (!listed)
            evn_say_at(report, seat, EVN_FAULT_DISAGREES, path, "axle %g; expected one of the axles of the unit",
                       branch[k].axle);
    }
}

static void check_disconnects(const evn_unit_file *u, const evn_seat *seat, evn_report *report)
{
    size_t count = 0;
    for (size_t k = 0; k < u->path.count; k++) {
        char path[40];
        if (!is_disconnect(&u->path.at[k]) || count++ == 0)
            continue;
        snprintf(path, sizeof path, "path[%zu]", k);
        evn_say_at(report, seat, EVN_FAULT_DISAGREES, path, "a second disconnect; expected one at most");
    }
}

static double path_ratio(const evn_steps *path, evn_arena *arena)
{
    evn_lowering low = {.arena = arena};
    double ratio = 1;
    for (size_t k = 0; k < path->count; k++) {
        evn_stage_kinds[path->at[k].kind].lower(path->at[k].item, &low);
        for (size_t i = 0; i < low.count; i++)
            ratio *= low.stage[i].ratio;
    }
    return ratio;
}

/* Else the differential between the axles would work all the time, on a straight road too. */
static void check_one_ratio(const evn_unit_file *u, const evn_seat *seat, evn_report *report)
{
    static const double SAME = 1e-3;
    const evn_branch_file *branch = u->branches.item;
    evn_arena *arena = u->branches.count > 1 && evn_report_errors(report) == 0 ? evn_arena_new() : NULL;
    double first = arena ? path_ratio(&branch[0].path, arena) : 1;
    for (size_t k = 1; arena && k < u->branches.count; k++) {
        char at[160];
        double ratio = path_ratio(&branch[k].path, arena);
        snprintf(at, sizeof at, "branches.%.100s.path", u->branches.name[k]);
        if (fabs(ratio - first) > SAME * first)
            evn_say_at(
                report, seat, EVN_FAULT_DISAGREES, at,
                "a ratio of %.6g where branch %s has %.6g; expected one ratio for all axles behind an inter-axle "
                "differential",
                ratio, u->branches.name[0], first);
    }
    evn_arena_free(arena);
}

static bool has_kind(const evn_steps *steps, const char *kind)
{
    for (size_t k = 0; k < steps->count; k++)
        if (strcmp(evn_stage_kinds[steps->at[k].kind].key, kind) == 0)
            return true;
    return false;
}

/* What every driven axle has; without it the path loses about one per cent too little. Its wheel ends: truck_fields.c,
 * since the axle may state them. */
static void check_whole(const evn_steps *path, const evn_seat *seat, const char *at, evn_report *report)
{
    if (!has_kind(path, "differential") && !has_kind(path, "final_drive"))
        evn_say_at(report, seat, EVN_FAULT_UNUSUAL_VALUE, at,
                   "a path without differential; usual is one with differential or final_drive: a loss is missing");
}

static void check_paths_whole(const evn_unit_file *u, const evn_seat *seat, evn_report *report)
{
    const evn_branch_file *branch = u->branches.item;
    char at[160];
    if (u->branches.count == 0)
        check_whole(&u->path, seat, "path", report);
    for (size_t k = 0; k < u->branches.count; k++) {
        snprintf(at, sizeof at, "branches.%.100s.path", u->branches.name[k]);
        check_whole(&branch[k].path, seat, at, report);
    }
}

static void check_unit(const void *self, const evn_seat *seat, evn_report *report)
{
    const evn_unit_file *u = self;
    for (size_t k = 0; k < u->axles.count; k++)
        if (u->axles.at[k] != floor(u->axles.at[k]))
            evn_say_at(report, seat, EVN_FAULT_OUT_OF_RANGE, "axles",
                       "axle %g; expected a whole number, counted from the front", u->axles.at[k]);
    check_alike(u, seat, report);
    check_branches(u, seat, report);
    check_disconnects(u, seat, report);
    if (u->inter_axle_lock && u->branches.count == 0)
        evn_say_at(report, seat, EVN_FAULT_DISAGREES, "inter_axle_lock",
                   "a lock between axles of a unit that drives one; expected it with branches only");
    check_one_without_disconnect(u, seat, report);
    check_paths_whole(u, seat, report);
    check_one_ratio(u, seat, report);
    evn_heat_check(u, seat, report);
}
const evn_object evn_unit_object = {"drive_unit",          "motor, gearbox and the path to its axle",
                                    sizeof(evn_unit_file), unit_fields,
                                    COUNT(unit_fields),    check_unit};
