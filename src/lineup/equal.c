/*
 * Making trucks equal: by the payload of their load case (gross mass), or by `scale.torque` of their motors, set by
 * path in a copy, until the peak wheel power is the first's. Each is then the truck whose file states the same.
 */
#include "lineup/equal.h"
#include "core/change.h"
#include "core/field_copy.h"
#include "core/root.h"
#include "lineup/likeness.h"
#include <math.h>
#include <stdio.h>
#include <string.h>

typedef struct equalising {
    const evn_conditions *ask;
    evn_arena *arena;
    evn_report *report;
} equalising;

/* Made ready as it stands; what is found is said where the truck is prepared for its runs. NULL: it cannot be. */
static evn_rig *rig_of(const evn_truck_file *truck, const evn_conditions *ask)
{
    evn_rig *rig = NULL;
    evn_report *unsaid = evn_report_new();
    if (unsaid)
        evn_rig_make(truck, &ask->load_case, &rig, unsaid);
    evn_report_free(unsaid);
    return rig;
}

static bool refuse(evn_report *report, const char *format, ...) __attribute__((format(printf, 2, 3)));
static bool refuse(evn_report *report, const char *format, ...)
{
    va_list values;
    va_start(values, format);
    evn_vsay(report, EVN_FAULT_CANNOT_BE_EQUAL, evn_nowhere, evn_nowhere, format, values);
    va_end(values);
    return false;
}

static bool no_memory(evn_report *report)
{
    evn_say(report, EVN_FAULT_OUT_OF_MEMORY, evn_nowhere, evn_nowhere, "memory ran out making trucks equal");
    return false;
}

/* ------------------------------------------------------------------------------------------------ gross mass */

static bool give_gross(const equalising *e, const evn_contender *who, const evn_rig *first, evn_equalised *out)
{
    evn_rig *own = rig_of(who->truck, e->ask);
    if (!own)
        return true;
    double kerb_kg = own->mass_kg - own->payload_kg;
    out->payload_kg = first->mass_kg - kerb_kg;
    evn_rig_free(own);
    return out->payload_kg >= 0 ||
           refuse(
               e->report,
               "%s weighs %.0f kg without payload, more than the first truck with it: %.0f kg; expected a gross mass "
               "that leaves it a payload",
               who->name, kerb_kg, first->mass_kg);
}

/* ------------------------------------------------------------------------------------------------ wheel power */

enum { PATH_BYTES = 4600, MOTORS_MOST = EVN_UNITS_MAX * EVN_MOTORS_MAX };

/* One truck whose motors are being scaled. */
typedef struct scaling {
    const equalising *with;
    evn_truck_file *truck; /* a copy */
    evn_change motor[MOTORS_MOST];
    double as_stated[MOTORS_MOST];
    size_t motors;
    double wanted_w;
} scaling;

/* What is read belongs to the copy, which may be changed. */
static void *own(const void *of_copy)
{
    void *own;
    memcpy(&own, &of_copy, sizeof own);
    return own;
}

/* A motor that states no scale gets the one that changes nothing. False when memory is out. */
static bool give_scale(evn_motor_file *motor, evn_arena *arena)
{
    if (motor->scale)
        return true;
    evn_motor_scale_file *scale = evn_arena_take(arena, sizeof *scale);
    if (scale)
        evn_object_default(&evn_motor_scale_object, scale, NULL);
    motor->scale = scale;
    return scale;
}

/* Puts the path of each motor's scale, and what it is. False: said. */
static bool find_motors(scaling *s, evn_report *report)
{
    const evn_unit_file *unit = s->truck->drive_units.item;
    char text[PATH_BYTES];
    for (size_t u = 0; u < s->truck->drive_units.count; u++)
        for (size_t m = 0; m < unit[u].motors.count; m++) {
            int length = snprintf(text, sizeof text, "drive_units.%s.motors.%s.scale.torque",
                                  s->truck->drive_units.name[u], unit[u].motors.name[m]);
            const char *path = evn_arena_text(s->with->arena, text, (size_t)length);
            if (!path || !give_scale((evn_motor_file *)own(unit[u].motors.item) + m, s->with->arena))
                return no_memory(report);
            s->motor[s->motors].path = path;
            if (!evn_number_get(&evn_truck_object, s->truck, path, &s->as_stated[s->motors++], report))
                return false;
        }
    return true;
}

static bool scale(scaling *s, double factor, evn_report *report)
{
    for (size_t k = 0; k < s->motors; k++)
        s->motor[k].value = factor * s->as_stated[k];
    return evn_numbers_set(&evn_truck_object, s->truck, s->motor, s->motors, report);
}

/* The share of the wanted power that is missing, below zero, or too much; NAN where it cannot be made ready so. */
static double power_off(void *self, double factor)
{
    scaling *s = self;
    evn_report *unsaid = evn_report_new();
    evn_rig *rig = unsaid && scale(s, factor, unsaid) ? rig_of(s->truck, s->with->ask) : NULL;
    double found_w = rig ? evn_likeness_peak_wheel_w(rig, s->with->ask->driving.surface) : (double)NAN;
    evn_rig_free(rig);
    evn_report_free(unsaid);
    return found_w / s->wanted_w - 1;
}

static const double FACTOR_LEAST = 0.1, FACTOR_MOST = 10;
/* Of the wanted power: how near is near enough. */
static const double FOUND_TO = 1e-9;

/* Power nearly goes with torque, but for where the battery or the tyres begin to hold it. */
static evn_root look_for_factor(scaling *s, evn_known as_stated)
{
    const evn_secant straight = {FOUND_TO, 0, FACTOR_LEAST, FACTOR_MOST, 20};
    const evn_between bent = {FOUND_TO, 1e-12, 100};
    evn_root at = evn_root_secant(power_off, s, as_stated, 1 / (1 + as_stated.error), &straight);
    if (at.found)
        return at;
    double end = as_stated.error < 0 ? FACTOR_MOST : FACTOR_LEAST;
    evn_known there = {end, power_off(s, end)};
    if (isnan(there.error) || (there.error < 0) == (as_stated.error < 0))
        return (evn_root){there.x, there.error, false};
    return evn_root_between(power_off, s, as_stated, there, &bent);
}

static bool find_factor(scaling *s, const char *name, double *factor)
{
    evn_known as_stated = {1, power_off(s, 1)};
    *factor = 1;
    if (isnan(as_stated.error) || fabs(as_stated.error) <= FOUND_TO)
        return true;
    evn_root at = look_for_factor(s, as_stated);
    *factor = at.x;
    return at.found ||
           refuse(
               s->with->report,
               "the peak wheel power of %s is %.0f kW, and %.0f kW with its motors scaled by %.3g in torque; that of "
               "the first truck is %.0f kW; expected motors that reach it scaled by %g to %g: its battery or its "
               "tyres may be what holds it",
               name, (1 + as_stated.error) * s->wanted_w / 1e3, (1 + at.error) * s->wanted_w / 1e3, at.x,
               s->wanted_w / 1e3, FACTOR_LEAST, FACTOR_MOST);
}

static bool is_among(const evn_report *report, const evn_finding *one)
{
    evn_finding other;
    for (size_t i = 0; evn_report_at(report, i, &other); i++)
        if (strcmp(one->fault, other.fault) == 0 && one->file && other.file && strcmp(one->file, other.file) == 0)
            return true;
    return false;
}

/* What was found of the truck as scaled, and not as its file states it, which was told where it was read. */
static void tell_new(const equalising *e, const char *name, double factor, const evn_report *before,
                     const evn_report *after)
{
    evn_finding one;
    for (size_t i = 0; evn_report_at(after, i, &one); i++)
        if (!is_among(before, &one))
            evn_say(e->report, evn_fault_named(one.fault), evn_nowhere, evn_nowhere,
                    "%s, its motors scaled by %.3g in torque: %s%s%s", name, factor, one.file ? one.file : "",
                    one.file ? ": " : "", one.text);
}

/* False: said. */
static bool scale_and_tell(scaling *s, const char *name, double factor)
{
    evn_report *before = evn_report_new(), *after = evn_report_new();
    bool room = before && after, scaled = false;
    if (room) {
        evn_report_be_strict(after, evn_report_is_strict(s->with->report));
        scale(s, 1, before);
        scaled = scale(s, factor, after);
        tell_new(s->with, name, factor, before, after);
    }
    evn_report_free(before);
    evn_report_free(after);
    return room ? scaled : no_memory(s->with->report);
}

static bool give_power(const equalising *e, evn_contender *who, double wanted_w, evn_equalised *out)
{
    scaling s = {.with = e, .truck = evn_object_copy(&evn_truck_object, who->truck, e->arena), .wanted_w = wanted_w};
    if (!s.truck)
        return no_memory(e->report);
    if (!find_motors(&s, e->report) || !find_factor(&s, who->name, &out->torque_scale))
        return false;
    if (out->torque_scale != 1 && !scale_and_tell(&s, who->name, out->torque_scale))
        return false;
    if (out->torque_scale != 1)
        who->truck = s.truck;
    return true;
}

/* ------------------------------------------------------------------------------------------------ all of them */

bool evn_make_equal(evn_contender *who, size_t count, const evn_conditions *ask, evn_equal by, evn_equalised out[],
                    evn_arena *arena, evn_report *report)
{
    const equalising e = {ask, arena, report};
    for (size_t i = 0; i < count; i++)
        out[i] = (evn_equalised){by, (double)NAN, 1};
    if (by == EVN_EQUAL_PAYLOAD)
        return true;
    evn_rig *first = rig_of(who[0].truck, ask);
    if (!first)
        return refuse(report, "%s, which the others are to be equal to, cannot be made ready", who[0].name);
    double wanted_w = by == EVN_EQUAL_POWER ? evn_likeness_peak_wheel_w(first, ask->driving.surface) : (double)NAN;
    bool all = true;
    for (size_t i = 1; all && i < count; i++)
        all = by == EVN_EQUAL_GROSS ? give_gross(&e, &who[i], first, &out[i])
                                    : give_power(&e, &who[i], wanted_w, &out[i]);
    evn_rig_free(first);
    return all;
}
