/* What a truck is bought of. */
#include "money/bought.h"
#include "core/field_walk.h"
#include "duty/pack_size.h"
#include "truck/stage.h"
#include <math.h>
#include <stdio.h>
#include <string.h>

static evn_bought_part *put(evn_bought *b, evn_part_class of, double kw, double kg)
{
    if (b->count == EVN_BOUGHT_MOST) {
        b->more = true;
        return &b->part[b->count - 1];
    }
    b->part[b->count] = (evn_bought_part){.of = of, .kw = kw, .kg = kg > 0 ? kg : 0};
    return &b->part[b->count++];
}

#define PATH_OF(part, ...) snprintf((part)->path, EVN_BOUGHT_PATH, __VA_ARGS__)

/* ------------------------------------------------------------------------------------------------ drive units */

static double put_motors(evn_bought *b, const char *unit, const evn_unit_file *u)
{
    double kw = 0;
    const evn_motor_file *motor = u->motors.item;
    for (size_t k = 0; k < u->motors.count; k++) {
        evn_scaled_motor room;
        const evn_motor_file *m = evn_motor_scaled(&motor[k], &room);
        PATH_OF(put(b, EVN_CLASS_motor, m->peak_power_kw, m->mass_kg), "drive_units.%.40s.motors.%.40s", unit,
                u->motors.name[k]);
        if (m->inverter)
            PATH_OF(put(b, EVN_CLASS_inverter, m->peak_power_kw, m->inverter->mass_kg),
                    "drive_units.%.40s.motors.%.40s.inverter", unit, u->motors.name[k]);
        kw += m->peak_power_kw;
    }
    return kw;
}

/* Steps bear the names of their classes; one that has no class (a wheel end) comes with its axle. */
static bool class_of(const char *step, evn_part_class *out)
{
    for (size_t k = 0; k < EVN_CLASS_COUNT; k++)
        if (strcmp(evn_part_class_names[k], step) == 0) {
            *out = (evn_part_class)k;
            return true;
        }
    return false;
}

static double mass_of(const evn_step *step)
{
    const evn_field *field = evn_field_named(evn_stage_kinds[step->kind].object, "mass_kg", strlen("mass_kg"));
    return field ? *(const double *)((const char *)step->item + field->offset) : 0;
}

static void put_path(evn_bought *b, const char *holder, const evn_steps *path, double kw)
{
    evn_part_class of;
    for (size_t k = 0; k < path->count; k++) {
        const char *key = evn_stage_kinds[path->at[k].kind].key;
        if (class_of(key, &of))
            PATH_OF(put(b, of, kw, mass_of(&path->at[k])), "%.119s.path[%zu].%.24s", holder, k, key);
    }
}

static void put_unit(evn_bought *b, const char *name, const evn_unit_file *u)
{
    char holder[120];
    double kw = put_motors(b, name, u);
    const evn_branch_file *branch = u->branches.item;
    if (u->gearbox)
        PATH_OF(put(b, EVN_CLASS_gearbox, kw, u->gearbox->mass_kg), "drive_units.%.40s.gearbox", name);
    if (u->takeoff)
        PATH_OF(put(b, EVN_CLASS_takeoff, 0, u->takeoff->mass_kg), "drive_units.%.40s.takeoff", name);
    snprintf(holder, sizeof holder, "drive_units.%.40s", name);
    put_path(b, holder, &u->path, kw);
    for (size_t k = 0; k < u->branches.count; k++) {
        double share = isnan(branch[k].torque_share) ? 1 / (double)u->branches.count : branch[k].torque_share;
        snprintf(holder, sizeof holder, "drive_units.%.30s.branches.%.30s", name, u->branches.name[k]);
        put_path(b, holder, &branch[k].path, kw * share);
    }
}

/* ------------------------------------------------------------------------------------------------ the truck */

static bool is_driven(const evn_truck_file *t, size_t axle)
{
    const evn_unit_file *unit = t->drive_units.item;
    for (size_t u = 0; u < t->drive_units.count; u++)
        for (size_t k = 0; k < unit[u].axles.count; k++)
            if (unit[u].axles.at[k] == (double)(axle + 1))
                return true;
    return false;
}

static void put_axles(evn_bought *b, const evn_truck_file *t)
{
    const evn_axle_file *axle = t->axles.item;
    for (size_t k = 0; k < t->axles.count; k++) {
        PATH_OF(put(b, EVN_CLASS_axle, 0, axle[k].mass_kg), "axles.%.60s", t->axles.name[k]);
        evn_tyre_place place = is_driven(t, k) ? EVN_TYRES_DRIVEN : k == 0 ? EVN_TYRES_STEERED : EVN_TYRES_CARRYING;
        b->tyres[place] += axle[k].tyres;
    }
    b->tyres[EVN_TYRES_TRAILER] = t->trailer ? t->trailer->tyres : 0;
}

void evn_bought_of(const evn_truck_file *t, evn_bought *b)
{
    memset(b, 0, sizeof *b);
    const evn_unit_file *unit = t->drive_units.item;
    for (size_t k = 0; k < t->drive_units.count; k++)
        put_unit(b, t->drive_units.name[k], &unit[k]);
    const evn_motor_file *own = t->power_take_off ? t->power_take_off->motor : NULL;
    if (own) {
        PATH_OF(put(b, EVN_CLASS_motor, own->peak_power_kw, own->mass_kg), "power_take_off.motor");
        if (own->inverter)
            PATH_OF(put(b, EVN_CLASS_inverter, own->peak_power_kw, own->inverter->mass_kg),
                    "power_take_off.motor.inverter");
    }
    put_axles(b, t);
    evn_bought_part *battery = put(b, EVN_CLASS_battery, 0, t->battery->mass_kg);
    battery->kwh = evn_battery_kwh(t->battery);
    PATH_OF(battery, "battery");
    if (t->cooling)
        PATH_OF(put(b, EVN_CLASS_cooling, 0, 0), "cooling");
    if (t->retarder)
        PATH_OF(put(b, EVN_CLASS_retarder, isnan(t->retarder->power_limit_kw) ? 0 : t->retarder->power_limit_kw, 0),
                "retarder");
    if (t->brake_resistor)
        PATH_OF(put(b, EVN_CLASS_brake_resistor, t->brake_resistor->power_kw, 0), "brake_resistor");
}

/* ------------------------------------------------------------------------------------------------ prices */

typedef struct measure { /* one way of pricing a part */
    const char *key, *of_part;
    double price, amount;
} measure;

enum { MEASURES = 3 };

static void measures_of(const evn_part_price_file *p, const evn_bought_part *part, measure out[MEASURES])
{
    out[0] = (measure){"per_kw", "power", p->per_kw, part->kw};
    out[1] = (measure){"per_kwh", "energy", p->per_kwh, part->kwh};
    out[2] = (measure){"per_kg", "mass", p->per_kg, part->kg};
}

double evn_bought_price(const evn_prices_file *prices, const evn_bought_part *part)
{
    const evn_part_price_file *p = prices->parts->of[part->of];
    measure by[MEASURES];
    if (!p)
        return (double)NAN;
    measures_of(p, part, by);
    double sum = isnan(p->each) ? 0 : p->each;
    for (size_t k = 0; k < MEASURES; k++)
        sum += isnan(by[k].price) ? 0 : by[k].amount > 0 || by[k].price == 0 ? by[k].price * by[k].amount : (double)NAN;
    return sum * evn_exchange_rate(prices, p->currency);
}

static void say_measure(const evn_bought_part *part, const char *truck, const measure *by,
                        const evn_price_places *places, evn_report *report)
{
    char path[80];
    snprintf(path, sizeof path, "parts.%s.%s", evn_part_class_names[part->of], by->key);
    evn_prices_say(places, path, EVN_FAULT_DISAGREES, report,
                   "%s of %.80s of truck %.60s, which states no %s; expected another way of pricing it (each), or its "
                   "%s in the truck's file",
                   by->key, part->path, truck, by->of_part, by->of_part);
}

static bool has_price(const evn_bought_part *part, const char *truck, const evn_prices_file *prices,
                      const evn_price_places *places, evn_report *report)
{
    const evn_part_price_file *p = prices->parts->of[part->of];
    const char *class = evn_part_class_names[part->of];
    char path[80];
    measure by[MEASURES];
    if (!p) {
        snprintf(path, sizeof path, "parts.%s", class);
        evn_prices_say(places, path, EVN_FAULT_MISSING_KEY, report,
                       "no price of %.80s of truck %.60s; expected parts.%s", part->path, truck, class);
        return false;
    }
    measures_of(p, part, by);
    for (size_t k = 0; k < MEASURES; k++)
        if (!isnan(by[k].price) && by[k].price > 0 && !(by[k].amount > 0)) {
            say_measure(part, truck, &by[k], places, report);
            return false;
        }
    return true;
}

static bool came_before(const evn_bought *b, size_t index)
{
    for (size_t k = 0; k < index; k++)
        if (b->part[k].of == b->part[index].of)
            return true;
    return false;
}

bool evn_bought_has_prices(const evn_bought *b, const char *truck, const evn_prices_file *prices,
                           const evn_price_places *places, evn_report *report)
{
    char path[80];
    bool all = !b->more;
    if (b->more)
        evn_prices_say(places, "parts", EVN_FAULT_TOO_LARGE, report, "truck %.60s has more than %d parts with a price",
                       truck, EVN_BOUGHT_MOST);
    for (size_t k = 0; k < b->count; k++)
        if (!came_before(b, k) || prices->parts->of[b->part[k].of]) /* what is missing is said once of a class */
            all = has_price(&b->part[k], truck, prices, places, report) && all;
    for (size_t k = 0; k < EVN_TYRE_PLACES; k++) {
        if (!(b->tyres[k] > 0) || prices->tyres->of[k])
            continue;
        snprintf(path, sizeof path, "tyres.%s", evn_tyre_place_names[k]);
        evn_prices_say(places, path, EVN_FAULT_MISSING_KEY, report,
                       "no price of the %s tyres of truck %.60s; expected %s", evn_tyre_place_names[k], truck, path);
        all = false;
    }
    return all;
}
