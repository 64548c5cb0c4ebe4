/*
 * Results: one row each. The ledger closes between the energy the pack gave (from its charge and open-circuit voltage
 * at both ends) and the sum of all lines, of which the stores (height, motion) come from the states at both ends too.
 */
#include "trip/results.h"
#include "core/units.h"
#include "trip/kinetic.h"
#include "trip/moment.h"
#include <math.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* ------------------------------------------------------------------------------------------------ energies */

typedef struct sums {
    double line_j[EVN_LINE_COUNT];
    double battery_j, drawn_j, returned_j, terminal_j;
    double distance_km, closure;
} sums;

static double grade_j(const evn_trip *t)
{
    double rise = evn_road_height_m(&t->course->road[t->road_at], t->y[EVN_Y_PLACE]) - t->start_height_m;
    return t->rig->mass_kg * t->rig->gravity_m_s2 * rise;
}

/* A line that is kept per drive unit, of one of them. */
static double unit_line_j(const evn_trip *t, size_t unit, int line)
{
    return line == EVN_SHIFTING ? t->shifting_j[unit] : evn_states_unit_line_j(&t->states, t->y, unit, line);
}

static void sum_up(const evn_trip *t, sums *s)
{
    const evn_pack *p = &t->rig->pack;
    const double *y = t->y;
    double all = 0;
    for (int k = 0; k < EVN_LINE_COUNT; k++) {
        s->line_j[k] = t->lump_j[k] + evn_states_line_j(&t->states, y, k);
        for (size_t u = 0; k >= EVN_UNIT_LINES && u < t->rig->unit_count; u++)
            s->line_j[k] += unit_line_j(t, u, k);
    }
    s->line_j[EVN_KINETIC] = evn_trip_kinetic_j(t) - t->start_kinetic_j;
    s->line_j[EVN_GRADE] = grade_j(t);
    for (int k = 0; k < EVN_LINE_COUNT; k++)
        all += s->line_j[k];
    s->battery_j = p->capacity_as * evn_curve_integral(&p->open_circuit_v, evn_trip_soc(t, y), t->rig->start_soc);
    s->drawn_j = y[EVN_Y_DRAWN];
    s->returned_j = s->drawn_j - s->battery_j;
    s->terminal_j = y[EVN_Y_TERMINAL];
    s->distance_km = y[EVN_Y_PLACE] / 1000;
    double throughput = s->drawn_j + fabs(s->returned_j);
    s->closure = throughput > 0 ? fabs(s->battery_j - all) / throughput : 0;
}

/* ------------------------------------------------------------------------------------------------ rows */

typedef struct run {
    const evn_trip *trip;
    const sums *sum;
} run;

static double kwh(double j) { return j / EVN_J_PER_KWH; }
static double per(double a, double b) { return b > 0 ? a / b : (double)NAN; }

static double distance(const run *r) { return r->sum->distance_km; }
static double duration(const run *r) { return r->trip->t; }
static double mean_speed(const run *r) { return per(r->sum->distance_km * 3600, r->trip->t); }
static double battery(const run *r) { return kwh(r->sum->battery_j); }
static double drawn(const run *r) { return kwh(r->sum->drawn_j); }
static double returned(const run *r) { return kwh(r->sum->returned_j); }
static double motor_braking(const run *r) { return kwh(r->trip->y[EVN_Y_HELD]); }
static double terminal(const run *r) { return kwh(r->sum->terminal_j); }
static double kwh_per_km(const run *r) { return per(kwh(r->sum->battery_j), r->sum->distance_km); }
static double kwh_per_t_km(const run *r)
{
    return per(kwh(r->sum->battery_j), r->sum->distance_km * r->trip->rig->payload_kg / 1000);
}
static double closure(const run *r) { return r->sum->closure; }
static double behind(const run *r) { return r->trip->behind_s; }
static double extra(const run *r)
{
    const evn_course *c = r->trip->course;
    return r->trip->status == EVN_STATUS_FINISHED ? r->trip->t - (c->clock_end_s - c->clock_begin_s) : (double)NAN;
}
static double band_ok(const run *r) { return r->trip->course->trace_count ? !r->trip->band_broken : (double)NAN; }
static double shifts(const run *r)
{
    double sum = 0;
    for (size_t u = 0; u < r->trip->rig->unit_count; u++)
        sum += r->trip->box[u].shifts;
    return sum;
}
static double peak_winding(const run *r)
{
    double most = r->trip->peak_winding_degc[0];
    for (size_t u = 1; u < r->trip->rig->unit_count; u++)
        most = fmax(most, r->trip->peak_winding_degc[u]);
    return most;
}
static double final_soc(const run *r) { return evn_trip_soc(r->trip, r->trip->y); }
static double gross_mass(const run *r) { return r->trip->rig->mass_kg; }
static double payload(const run *r) { return r->trip->rig->payload_kg; }
static double air_density(const run *r) { return r->trip->rig->air_density_kg_m3; }

typedef struct row {
    evn_quantity what;
    double (*of)(const run *);
} row;

static const row rows_before_ledger[] = {
    {{"distance_km", "km", "distance driven", EVN_REAL, 3}, distance},
    {{"duration_s", "s", "time from start to end, waits included", EVN_REAL, 1, "time", 1}, duration},
    {{"mean_speed_km_h", "km/h", "distance over duration", EVN_REAL, 2, "mean speed", 2}, mean_speed},
    {{"battery_kwh", "kWh", "energy out of the pack, net, inside its resistance", EVN_REAL, 3, "net from battery", 3},
     battery},
    {{"drawn_kwh", "kWh", "its part while the pack discharged", EVN_REAL, 3, "drawn", 4}, drawn},
    {{"returned_kwh", "kWh", "its part while the pack was charged, as a positive number", EVN_REAL, 3, "given back", 5},
     returned},
    {{"motor_braking_kwh", "kWh", "work that the motors took at the driven tyres while they slowed the truck", EVN_REAL,
      3, "braking by motors"},
     motor_braking},
    {{"terminal_kwh", "kWh", "energy at the terminals of the pack, net", EVN_REAL, 3}, terminal},
    {{"kwh_per_km", "kWh/km", "battery energy over distance", EVN_REAL, 4, "per kilometre", 6}, kwh_per_km},
    {{"kwh_per_t_km", "kWh/(t km)", "battery energy over distance and payload", EVN_REAL, 5, "per t km", 7},
     kwh_per_t_km},
};

static const row rows_after_ledger[] = {
    {{"closure", "", "what the ledger leaves open, over the energy that went through the pack", EVN_REAL, 9}, closure},
    {{"behind_plan_s", "s", "time more than 2 mph below the plan at that place", EVN_REAL, 1, "behind plan", 8},
     behind},
    {{"extra_time_s", "s", "duration beyond the plan's own", EVN_REAL, 1, "longer than plan", 9}, extra},
    {{"band_ok", "", "speed kept to the trace within 40 CFR 1066.425(b); not judged for limits over place", EVN_YES_NO,
      0, "within speed band", 10},
     band_ok},
    {{"shifts", "", "gear changes", EVN_WHOLE, 0, "gear changes", 11}, shifts},
    {{"peak_winding_degc", "degC", "hottest winding", EVN_REAL, 1, "hottest winding", 12}, peak_winding},
    {{"final_soc", "", "state of charge at the end", EVN_REAL, 4, "charge left", 13}, final_soc},
    {{"gross_mass_kg", "kg", "mass of the whole combination with payload", EVN_REAL, 0, "gross mass", 14}, gross_mass},
    {{"payload_kg", "kg", "payload", EVN_REAL, 0, "payload", 15}, payload},
    {{"air_density_kg_m3", "kg/m3", "density of the air", EVN_REAL, 4}, air_density},
};

/* ------------------------------------------------------------------------------------------------ rows of each unit */

static double bus(const run *r, size_t unit)
{
    return kwh(r->trip->y[evn_states_unit(&r->trip->states, unit, EVN_U_BUS)]);
}
static double unit_shifts(const run *r, size_t unit) { return r->trip->box[unit].shifts; }
static double engagements(const run *r, size_t unit) { return r->trip->box[unit].engagements; }
static double openings(const run *r, size_t unit) { return r->trip->box[unit].openings; }
static double open_s(const run *r, size_t unit) { return r->trip->box[unit].open_s; }
static double filled_s(const run *r, size_t unit) { return r->trip->filled_map_s[unit]; }
static double unit_winding(const run *r, size_t unit) { return r->trip->peak_winding_degc[unit]; }

static bool has_several(const evn_unit *u) { return u->motor_count > 1; }
static bool disconnects(const evn_unit *u) { return u->can_disconnect; }

typedef struct unit_row { /* keys stand behind the unit's name */
    evn_quantity what;
    double (*of)(const run *, size_t unit);
    bool (*applies)(const evn_unit *); /* NULL: to all */
} unit_row;

static const unit_row unit_rows_before_ledger[] = {
    {{"bus_kwh", "kWh", "energy from the d.c. bus into the unit, net", EVN_REAL, 3}, bus, NULL},
};
static const unit_row unit_rows_after_ledger[] = {
    {{"shifts", "", "gear changes", EVN_WHOLE, 0}, unit_shifts, NULL},
    {{"engagement_changes", "", "changes of the number of motors at work", EVN_WHOLE, 0}, engagements, has_several},
    {{"disconnections", "", "how often it disconnected", EVN_WHOLE, 0}, openings, disconnects},
    {{"disconnected_s", "s", "time disconnected", EVN_REAL, 1}, open_s, disconnects},
    {{"filled_map_s", "s", "time where a fit fills the motor's loss map", EVN_REAL, 1}, filled_s, evn_unit_has_map},
    {{"peak_winding_degc", "degC", "hottest winding", EVN_REAL, 1}, unit_winding, NULL},
};

/* ------------------------------------------------------------------------------------------------ the list */

#define COUNT(a) (sizeof(a) / sizeof *(a))

/* Walked twice: once to count, then with room for so many. */
typedef struct listing {
    evn_results *to;
    const run *run;
    bool counting, out_of_memory;
} listing;

static void put(listing *l, const evn_quantity *what, double value)
{
    if (!l->counting)
        l->to->result[l->to->count] = (evn_result){*what, value};
    l->to->count++;
}

/* A result whose key is made of three parts at run time. */
static void put_made(listing *l, const char *group, const char *name, const char *key, evn_quantity what, double value)
{
    char *text = NULL;
    if (!l->counting) {
        size_t bytes = strlen(group) + strlen(name) + strlen(key) + 1;
        text = evn_arena_take(l->to->arena, bytes);
        l->out_of_memory = l->out_of_memory || !text;
        if (text)
            snprintf(text, bytes, "%s%s%s", group, name, key);
    }
    what.key = text;
    put(l, &what, value);
}

static void put_rows(listing *l, const row *of, size_t count)
{
    for (size_t k = 0; k < count; k++)
        put(l, &of[k].what, of[k].of(l->run));
}

static void put_ledger(listing *l)
{
    for (int k = 0; k < EVN_LINE_COUNT; k++) {
        evn_quantity what = {NULL, "kWh", evn_line_rows[k].meaning, EVN_REAL, 3};
        put_made(l, "ledger.", evn_line_rows[k].key, "_kwh", what, kwh(l->run->sum->line_j[k]));
    }
}

static void put_axles(listing *l, const evn_rig *rig)
{
    for (size_t k = 0; k < rig->axle_count; k++) {
        evn_quantity what = {NULL, "kg", "load on level ground at rest; local regulation decides what is permitted",
                             EVN_REAL, 0};
        put_made(l, "axles.", rig->axle[k].name, ".load_kg", what, rig->axle[k].load.cosine_kg);
    }
}

static void put_unit_rows(listing *l, const unit_row *of, size_t count, size_t unit)
{
    const evn_unit *u = &l->run->trip->rig->unit[unit];
    for (size_t k = 0; k < count; k++) {
        char key[64];
        snprintf(key, sizeof key, ".%s", of[k].what.key);
        if (!of[k].applies || of[k].applies(u))
            put_made(l, "units.", u->name, key, of[k].what, of[k].of(l->run, unit));
    }
}

static void put_unit(listing *l, size_t unit)
{
    const evn_trip *t = l->run->trip;
    put_unit_rows(l, unit_rows_before_ledger, COUNT(unit_rows_before_ledger), unit);
    for (int k = EVN_UNIT_LINES; k < EVN_LINE_COUNT; k++) {
        char key[64];
        evn_quantity what = {NULL, "kWh", evn_line_rows[k].meaning, EVN_REAL, 3};
        snprintf(key, sizeof key, ".%s_kwh", evn_line_rows[k].key);
        put_made(l, "units.", t->rig->unit[unit].name, key, what, kwh(unit_line_j(t, unit, k)));
    }
    put_unit_rows(l, unit_rows_after_ledger, COUNT(unit_rows_after_ledger), unit);
}

static void put_all(listing *l)
{
    const evn_rig *rig = l->run->trip->rig;
    l->to->count = 0;
    put_rows(l, rows_before_ledger, COUNT(rows_before_ledger));
    put_ledger(l);
    put_rows(l, rows_after_ledger, COUNT(rows_after_ledger));
    put_axles(l, rig);
    for (size_t u = 0; u < rig->unit_count; u++)
        put_unit(l, u);
}

/* ------------------------------------------------------------------------------------------------ held back */

static int longer_first(const void *a, const void *b)
{
    double x = ((const evn_held *)a)->seconds, y = ((const evn_held *)b)->seconds;
    return (x < y) - (x > y);
}

static void put_held(evn_results *r, const evn_trip *t)
{
    for (int k = 1; k < EVN_HOLD_COUNT; k++)
        if (t->held[k].seconds > 0)
            r->held[r->held_count++] = (evn_held){evn_hold_names[k], t->held[k].seconds, t->held[k].worst_m,
                                                  t->held[k].worst_m_s / EVN_M_S_PER_KM_H};
    qsort(r->held, r->held_count, sizeof *r->held, longer_first);
}

/* ------------------------------------------------------------------------------------------------ the whole */

/* False when memory is out. */
static bool fill(evn_results *r, const evn_trip *t)
{
    sums s;
    sum_up(t, &s);
    run at_end = {t, &s};
    listing l = {.to = r, .run = &at_end, .counting = true};
    put_all(&l);
    r->result = calloc(r->count, sizeof *r->result);
    if (!r->result)
        return false;
    l.counting = false;
    put_all(&l);
    put_held(r, t);
    return !l.out_of_memory;
}

const char *const evn_trip_status_names[EVN_STATUS_COUNT] = {
    [EVN_STATUS_FINISHED] = "finished",       [EVN_STATUS_STALLED] = "stalled",
    [EVN_STATUS_PACK_EMPTY] = "pack_empty",   [EVN_STATUS_PACK_TOO_WEAK] = "pack_too_weak",
    [EVN_STATUS_INTERRUPTED] = "interrupted",
};

evn_results *evn_results_of(const evn_trip *t)
{
    evn_results *r = calloc(1, sizeof *r);
    if (!r)
        return NULL;
    r->arena = evn_arena_new();
    r->status = evn_trip_status_names[t->status];
    r->steps = t->steps;
    r->events = t->events;
    if (r->arena && fill(r, t))
        return r;
    evn_results_free(r);
    return NULL;
}

void evn_results_free(evn_results *r)
{
    if (!r)
        return;
    evn_arena_free(r->arena);
    free(r->result);
    free(r);
}

const char *evn_results_status(const evn_results *r) { return r ? r->status : NULL; }
size_t evn_results_count(const evn_results *r) { return r ? r->count : 0; }
size_t evn_results_held_count(const evn_results *r) { return r ? r->held_count : 0; }

bool evn_results_at(const evn_results *r, size_t index, evn_quantity *out, double *value)
{
    if (!r || !out || !value || index >= r->count)
        return false;
    *out = r->result[index].what;
    *value = r->result[index].value;
    return true;
}

bool evn_results_get(const evn_results *r, const char *key, double *value)
{
    for (size_t k = 0; r && key && value && k < r->count; k++)
        if (strcmp(r->result[k].what.key, key) == 0) {
            *value = r->result[k].value;
            return true;
        }
    return false;
}

bool evn_results_held_at(const evn_results *r, size_t index, evn_held *out)
{
    if (!r || !out || index >= r->held_count)
        return false;
    *out = r->held[index];
    return true;
}

/* ------------------------------------------------------------------------------------------------ the short list */

static const evn_quantity *ranked(const row *rows, size_t count, size_t rank)
{
    for (size_t i = 0; i < count; i++)
        if ((size_t)rows[i].what.rank == rank)
            return &rows[i].what;
    return NULL;
}

bool evn_headline_at(size_t index, evn_quantity *out)
{
    const size_t before = sizeof rows_before_ledger / sizeof rows_before_ledger[0];
    if (!out || index == SIZE_MAX) /* ranks count from 1; of rank 0 is what is not in the list */
        return false;
    const evn_quantity *what = ranked(rows_before_ledger, before, index + 1);
    if (!what)
        what = ranked(rows_after_ledger, sizeof rows_after_ledger / sizeof rows_after_ledger[0], index + 1);
    if (what)
        *out = *what;
    return what;
}
