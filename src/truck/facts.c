/* What a truck is, as it is read: motors, gears, battery, body, tyres, axle loads, each fact a text or a number, in one
 * order for every truck. */
#include "truck/facts.h"
#include "core/units.h"
#include <math.h>
#include <stdarg.h>
#include <stdio.h>
#include <string.h>

enum { TEXT = 1024, FACTS = 12 };

/* ------------------------------------------------------------------------------------------------ texts */

static void say(char out[TEXT], const char *format, ...) __attribute__((format(printf, 2, 3)));
static void say(char out[TEXT], const char *format, ...)
{
    size_t used = strlen(out);
    va_list values;
    va_start(values, format);
    vsnprintf(out + used, TEXT - used, format, values);
    va_end(values);
}

static const evn_unit_file *unit_at(const evn_truck_file *t, size_t unit)
{
    return (const evn_unit_file *)t->drive_units.item + unit;
}

/* What is said of each drive unit; of several that are alike once, with their names before it. */
typedef void unit_writer(const evn_rig *, const evn_truck_file *, size_t unit, char out[TEXT]);

static bool is_said_alike(const evn_rig *r, const evn_truck_file *t, unit_writer *write, size_t unit, size_t other)
{
    char one[TEXT] = "", two[TEXT] = "";
    write(r, t, unit, one);
    write(r, t, other, two);
    return strcmp(one, two) == 0;
}

static bool is_said_before(const evn_rig *r, const evn_truck_file *t, unit_writer *write, size_t unit)
{
    for (size_t k = 0; k < unit; k++)
        if (is_said_alike(r, t, write, unit, k))
            return true;
    return false;
}

static void say_units(const evn_rig *r, const evn_truck_file *t, unit_writer *write, char out[TEXT])
{
    for (size_t k = 0; k < r->unit_count; k++) {
        char text[TEXT] = "";
        if (is_said_before(r, t, write, k))
            continue;
        write(r, t, k, text);
        say(out, "%s", out[0] != '\0' ? "; " : "");
        size_t alike = 0;
        for (size_t i = k; r->unit_count > 1 && i < r->unit_count; i++)
            if (is_said_alike(r, t, write, k, i))
                say(out, "%s%.60s", alike++ > 0 ? ", " : "", r->unit[i].name);
        say(out, "%s%s", r->unit_count > 1 ? ": " : "", text);
    }
}

/* ------------------------------------------------------------------------------------------------ drive units */

static void say_motors(const evn_rig *r, const evn_truck_file *t, size_t unit, char out[TEXT])
{
    (void)t;
    const evn_unit *u = &r->unit[unit];
    const evn_motor *m = &u->motor[0];
    say(out, "%zu of %.0f kW, %.0f Nm, %.0f rpm", u->motor_count, m->peak_w / 1e3, m->peak_nm,
        m->top_rad_s / EVN_RAD_S_PER_RPM);
}

static void say_gears(const evn_rig *r, const evn_truck_file *t, size_t unit, char out[TEXT])
{
    (void)r;
    const evn_gearbox_file *g = unit_at(t, unit)->gearbox;
    if (!g)
        say(out, "none");
    for (size_t k = 0; g && k < g->ratios.count; k++)
        say(out, "%s%.2f", k > 0 ? ", " : "", g->ratios.at[k]);
}

static double number_of(const evn_step *step, const char *key)
{
    const evn_object *object = evn_stage_kinds[step->kind].object;
    double value = (double)NAN;
    for (size_t i = 0; i < object->field_count; i++)
        if (strcmp(object->fields[i].key, key) == 0)
            memcpy(&value, (const char *)step->item + object->fields[i].offset, sizeof value);
    return value;
}

/* NAN: it has none. */
static double ratio_of(const evn_step *step)
{
    if (strcmp(evn_stage_kinds[step->kind].key, "planet_set") == 0)
        return evn_planet_set_ratio(number_of(step, "sun_teeth"), number_of(step, "ring_teeth"));
    return number_of(step, "ratio");
}

static void say_steps(const evn_steps *path, char out[TEXT])
{
    for (size_t k = 0; k < path->count; k++) {
        double ratio = ratio_of(&path->at[k]);
        char name[64];
        if (!(fabs(ratio - 1) > 0.005))
            continue;
        snprintf(name, sizeof name, "%s", evn_stage_kinds[path->at[k].kind].key);
        for (char *c = name; *c != '\0'; c++)
            *c = *c == '_' ? ' ' : *c;
        say(out, "%s%s %.2f", out[0] != '\0' ? ", " : "", name, ratio);
    }
}

/* Branches are told once: they drive axles at one speed. */
static void say_final(const evn_rig *r, const evn_truck_file *t, size_t unit, char out[TEXT])
{
    (void)r;
    const evn_unit_file *f = unit_at(t, unit);
    say_steps(&f->path, out);
    if (f->branches.count > 0)
        say_steps(&((const evn_branch_file *)f->branches.item)->path, out);
    if (out[0] == '\0')
        say(out, "none");
}

static void say_total(const evn_rig *r, const evn_truck_file *t, size_t unit, char out[TEXT])
{
    (void)t;
    const evn_unit *u = &r->unit[unit];
    double to_wheels = r->unit_rad_m[unit] * r->axle[u->axle].radius_m;
    for (size_t k = 0; k < u->gear_count; k++)
        say(out, "%s%.2f", k > 0 ? ", " : "", u->gear[k].total_ratio * to_wheels);
}

/* ------------------------------------------------------------------------------------------------ axles */

static const evn_axle_file *axle_at(const evn_truck_file *t, size_t axle)
{
    return (const evn_axle_file *)t->axles.item + axle;
}

static void say_tyres(const evn_rig *r, const evn_truck_file *t, char out[TEXT])
{
    for (size_t k = 0; k < r->axle_count; k++) {
        double tyres = k < r->truck_axles ? axle_at(t, k)->tyres : t->trailer->tyres;
        say(out, "%s%.40s %.0f (%.4f)", k > 0 ? ", " : "", r->axle[k].name, tyres, r->axle[k].rolling);
    }
}

static void say_axle_loads(const evn_rig *r, char out[TEXT])
{
    for (size_t k = 0; k < r->axle_count; k++) {
        const evn_axle *a = &r->axle[k];
        say(out, "%s%.40s %.0f", k > 0 ? ", " : "", a->name, a->load.cosine_kg);
        if (isfinite(a->permitted_kg))
            say(out, " of %.0f", a->permitted_kg);
    }
}

/* ------------------------------------------------------------------------------------------------ the list */

typedef struct listing {
    evn_rig *rig;
    evn_fact *at;
    size_t count;
    bool out_of_memory;
} listing;

static evn_fact *add(listing *l, const char *key, const char *unit, const char *label, const char *help)
{
    evn_fact *fact = &l->at[l->count++];
    *fact = (evn_fact){.what = {.key = key, .unit = unit, .help = help, .label = label, .short_label = label},
                       .value = (double)NAN};
    return fact;
}

static void add_text(listing *l, const char *key, const char *unit, const char *label, const char *help,
                     const char *text)
{
    char *kept = evn_arena_text(l->rig->arena, text, strlen(text));
    l->out_of_memory = l->out_of_memory || !kept;
    add(l, key, unit, label, help)->text = kept;
}

static void add_number(listing *l, const char *key, const char *unit, int digits, const char *label, const char *help,
                       double value)
{
    evn_fact *fact = add(l, key, unit, label, help);
    fact->value = value;
    fact->what.digits = digits;
}

static void add_drive(listing *l, const evn_truck_file *t)
{
    static const struct {
        const char *key, *label, *help;
        unit_writer *write;
    } of[] = {
        {"motors", "motors", "of each drive unit: how many, peak power, peak torque and top speed of one of them",
         say_motors},
        {"gear_ratios", "gears", "of each drive unit: ratios of its gearbox, the first gear first", say_gears},
        {"final_drive", "gears behind the gearbox",
         "of each drive unit: ratios between gearbox and wheels, from the motors on", say_final},
        {"total_ratios", "total ratios", "of each drive unit: motor speed over wheel speed, gear by gear", say_total}};
    for (size_t k = 0; k < sizeof of / sizeof *of; k++) {
        char text[TEXT] = "";
        say_units(l->rig, t, of[k].write, text);
        add_text(l, of[k].key, "", of[k].label, of[k].help, text);
    }
}

static double kwh_between(const evn_pack *p, double from, double to)
{
    return p->capacity_as * evn_curve_integral(&p->open_circuit_v, from, to) / EVN_J_PER_KWH;
}

static void add_rest(listing *l, const evn_truck_file *t)
{
    const evn_pack *p = &l->rig->pack;
    char tyres[TEXT] = "", loads[TEXT] = "";
    say_tyres(l->rig, t, tyres);
    say_axle_loads(l->rig, loads);
    add_number(l, "battery_kwh", "kWh", 0, "battery", "energy of the full battery, at open-circuit voltage",
               kwh_between(p, 0, 1));
    add_number(l, "usable_battery_kwh", "kWh", 0, "usable battery energy", "of that within its usable window",
               kwh_between(p, p->usable_from, p->usable_to));
    add_number(l, "start_soc_percent", "%", 0, "state of charge at the start", "of the full battery, as the run begins",
               100 * l->rig->start_soc);
    add_number(l, "drag_area_m2", "m2", 2, "drag area", "drag coefficient times frontal area", t->body->drag_area_m2);
    add_number(l, "auxiliaries_kw", "kW", 1, "auxiliaries", "power taken under way, beside the fan",
               evn_loads_under_way_w(&l->rig->loads, 1) / 1e3);
    add_text(l, "tyres", "", "tyres", "of each axle: how many, and their rolling resistance coefficient at rest",
             tyres);
    add_text(l, "axle_loads_kg", "kg", "axle loads", "on level ground at rest, of what the file permits", loads);
}

bool evn_rig_facts_make(evn_rig *r, const evn_truck_file *t)
{
    listing l = {.rig = r, .at = evn_arena_take(r->arena, FACTS * sizeof(evn_fact))};
    if (!l.at)
        return false;
    add_drive(&l, t);
    add_rest(&l, t);
    r->fact = l.at;
    r->fact_count = l.count;
    return !l.out_of_memory;
}
