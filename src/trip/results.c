/*
 * Results: one row each. The ledger closes between the energy the pack gave (from its charge and open-circuit voltage
 * at both ends) and the sum of all lines, of which the stores (height, motion) come from the states at both ends too.
 */
#include "trip/results.h"
#include "core/units.h"
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* ------------------------------------------------------------------------------------------------ energies */

typedef struct sums {
    double line_j[EVN_LINE_COUNT];
    double battery_j, drawn_j, returned_j, terminal_j;
    double distance_km, closure;
} sums;

/* In neutral, or behind an open disconnect, only what is below turns; a rotor set free keeps its energy. */
static double unit_kinetic_j(const evn_trip *t, size_t unit)
{
    const evn_unit *u = &t->rig->unit[unit];
    const evn_box *box = &t->box[unit];
    double v = t->y[EVN_Y_SPEED], w = v * t->rig->unit_rad_m[unit], chain = evn_unit_inertia_kg_m2(u, box->now);
    if (box->shifting && !evn_is_open(box->now))
        chain = u->path_inertia_kg_m2;
    double sum = 0.5 * chain * w * w + box->freed_j;
    for (size_t k = 0; k < u->branch_count; k++) {
        double wheel = v / t->rig->axle[u->branch[k].axle].radius_m;
        sum += 0.5 * u->branch[k].inertia_kg_m2 * wheel * wheel;
    }
    return sum;
}

double evn_trip_kinetic_j(const evn_trip *t)
{
    double v = t->y[EVN_Y_SPEED], sum = 0.5 * t->rig->effective_kg * v * v;
    for (size_t u = 0; u < t->rig->unit_count; u++)
        sum += unit_kinetic_j(t, u);
    return sum;
}

static double grade_j(const evn_trip *t)
{
    double rise = evn_road_height_m(&t->course->road[t->road_at], t->y[EVN_Y_PLACE]) - t->start_height_m;
    return t->rig->mass_kg * t->rig->gravity_m_s2 * rise;
}

/* A line that is kept per drive unit, of one of them. */
static double unit_line_j(const evn_trip *t, size_t unit, int line)
{
    static const int state_of_line[EVN_LINE_COUNT] = {
        [EVN_TYRE_SLIP] = EVN_U_SLIP,    [EVN_WHEEL_END] = EVN_U_WHEEL_END, [EVN_FINAL_DRIVE] = EVN_U_FINAL_DRIVE,
        [EVN_SHAFTS] = EVN_U_SHAFTS,     [EVN_GEARBOX] = EVN_U_GEARBOX,     [EVN_MOTOR] = EVN_U_MOTOR,
        [EVN_INVERTER] = EVN_U_INVERTER,
    };
    if (line == EVN_SHIFTING)
        return t->shifting_j[unit];
    return t->y[evn_y_of(unit, (size_t)state_of_line[line])];
}

static void sum_up(const evn_trip *t, sums *s)
{
    const evn_pack *p = &t->rig->pack;
    const double *y = t->y;
    const int state_of_line[EVN_LINE_COUNT] = {
        [EVN_ROLLING] = EVN_Y_ROLLING,
        [EVN_AIR] = EVN_Y_AIR,
        [EVN_PACK] = EVN_Y_PACK,
        [EVN_AUXILIARIES] = EVN_Y_AUXILIARIES,
        [EVN_FRICTION_BRAKES] = EVN_Y_BRAKES,
    };
    double all = 0;
    for (int k = 0; k < EVN_LINE_COUNT; k++) {
        s->line_j[k] = t->lump_j[k] + (state_of_line[k] ? y[state_of_line[k]] : 0);
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
    {{"mean_speed_km_h", "km/h", "distance over duration", EVN_REAL, 2, "mean speed, stops included", 2}, mean_speed},
    {{"battery_kwh", "kWh", "energy out of the pack, net, inside its resistance", EVN_REAL, 3,
      "energy from the battery, net", 3},
     battery},
    {{"drawn_kwh", "kWh", "its part while the pack discharged", EVN_REAL, 3, "drawn", 4}, drawn},
    {{"returned_kwh", "kWh", "its part while the pack was charged, as a positive number", EVN_REAL, 3,
      "given back while braking", 5},
     returned},
    {{"motor_braking_kwh", "kWh", "work that the motors took at the driven tyres while they slowed the truck", EVN_REAL,
      3, "braking work taken by motors, at the tyres"},
     motor_braking},
    {{"terminal_kwh", "kWh", "energy at the terminals of the pack, net", EVN_REAL, 3}, terminal},
    {{"kwh_per_km", "kWh/km", "battery energy over distance", EVN_REAL, 4, "per kilometre", 6}, kwh_per_km},
    {{"kwh_per_t_km", "kWh/(t km)", "battery energy over distance and payload", EVN_REAL, 5,
      "per tonne of payload and kilometre", 7},
     kwh_per_t_km},
};

static const row rows_after_ledger[] = {
    {{"closure", "", "what the ledger leaves open, over the energy that went through the pack", EVN_REAL, 9}, closure},
    {{"behind_plan_s", "s", "time more than 2 mph below the plan at that place", EVN_REAL, 1, "behind the plan", 8},
     behind},
    {{"extra_time_s", "s", "duration beyond the plan's own", EVN_REAL, 1, "longer than the plan", 9}, extra},
    {{"band_ok", "", "speed kept to the trace within 40 CFR 1066.425(b); not judged for limits over place", EVN_YES_NO,
      0, "within the speed band of the cycle", 10},
     band_ok},
    {{"shifts", "", "gear changes", EVN_WHOLE, 0, "gear changes", 11}, shifts},
    {{"peak_winding_degc", "degC", "hottest winding", EVN_REAL, 1, "hottest winding", 12}, peak_winding},
    {{"final_soc", "", "state of charge at the end", EVN_REAL, 4, "charge left, of full", 13}, final_soc},
    {{"gross_mass_kg", "kg", "mass of the whole combination with payload", EVN_REAL, 0, "gross mass", 14}, gross_mass},
    {{"payload_kg", "kg", "payload", EVN_REAL, 0, "payload", 15}, payload},
    {{"air_density_kg_m3", "kg/m3", "density of the air", EVN_REAL, 4}, air_density},
};

static void put(evn_results *r, const evn_quantity *what, double value)
{
    if (r->count < r->room)
        r->result[r->count++] = (evn_result){*what, value};
}

/* A result whose key is made at run time. False when memory ran out. */
static bool put_made(evn_results *r, const char *format, const char *name, const char *key, evn_quantity what,
                     double value)
{
    int length = snprintf(NULL, 0, format, name, key);
    char *text = length < 0 ? NULL : evn_arena_take(r->arena, (size_t)length + 1);
    if (!text)
        return false;
    snprintf(text, (size_t)length + 1, format, name, key);
    what.key = text;
    put(r, &what, value);
    return true;
}

static bool put_ledger(evn_results *r, const sums *s)
{
    bool all = true;
    for (int k = 0; k < EVN_LINE_COUNT; k++) {
        evn_quantity what = {NULL, "kWh", evn_line_rows[k].meaning, EVN_REAL, 3};
        all = put_made(r, "ledger.%s%s_kwh", evn_line_rows[k].key, "", what, kwh(s->line_j[k])) && all;
    }
    return all;
}

static bool put_axles(evn_results *r, const evn_rig *rig)
{
    bool all = true;
    for (size_t k = 0; k < rig->axle_count; k++) {
        evn_quantity what = {NULL, "kg", "load on level ground at rest; local regulation decides what is permitted",
                             EVN_REAL, 0};
        all = put_made(r, "axles.%s.%s", rig->axle[k].name, "load_kg", what, rig->axle[k].load.cosine_kg) && all;
    }
    return all;
}

static bool put_unit(evn_results *r, const evn_trip *t, size_t unit)
{
    bool all = true;
    const evn_unit *u = &t->rig->unit[unit];
    const evn_box *box = &t->box[unit];
    evn_quantity bus = {NULL, "kWh", "energy from the d.c. bus into the unit, net", EVN_REAL, 3};
    all = put_made(r, "units.%s.%s", u->name, "bus_kwh", bus, kwh(t->y[evn_y_of(unit, EVN_U_BUS)])) && all;
    for (int k = EVN_UNIT_LINES; k < EVN_LINE_COUNT; k++) {
        char key[40];
        evn_quantity what = {NULL, "kWh", evn_line_rows[k].meaning, EVN_REAL, 3};
        snprintf(key, sizeof key, "%s_kwh", evn_line_rows[k].key);
        all = put_made(r, "units.%s.%s", u->name, key, what, kwh(unit_line_j(t, unit, k))) && all;
    }
    evn_quantity changes = {NULL, "", "gear changes", EVN_WHOLE, 0};
    evn_quantity numbers = {NULL, "", "changes of the number of motors at work", EVN_WHOLE, 0};
    evn_quantity openings = {NULL, "", "how often it disconnected", EVN_WHOLE, 0};
    evn_quantity open = {NULL, "s", "time disconnected", EVN_REAL, 1};
    evn_quantity filled = {NULL, "s", "time where a fit fills the motor's loss map", EVN_REAL, 1};
    evn_quantity winding = {NULL, "degC", "hottest winding", EVN_REAL, 1};
    all = put_made(r, "units.%s.%s", u->name, "shifts", changes, box->shifts) && all;
    if (u->motor_count > 1)
        all = put_made(r, "units.%s.%s", u->name, "engagement_changes", numbers, box->engagements) && all;
    if (u->can_disconnect) {
        all = put_made(r, "units.%s.%s", u->name, "disconnections", openings, box->openings) && all;
        all = put_made(r, "units.%s.%s", u->name, "disconnected_s", open, box->open_s) && all;
    }
    if (u->motor[0].map)
        all = put_made(r, "units.%s.%s", u->name, "filled_map_s", filled, t->filled_map_s[unit]) && all;
    return put_made(r, "units.%s.%s", u->name, "peak_winding_degc", winding, t->peak_winding_degc[unit]) && all;
}

static bool put_units(evn_results *r, const evn_trip *t)
{
    bool all = true;
    for (size_t u = 0; u < t->rig->unit_count; u++)
        all = put_unit(r, t, u) && all;
    return all;
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

#define COUNT(a) (sizeof(a) / sizeof *(a))

static bool put_all(evn_results *r, const evn_trip *t)
{
    sums s;
    sum_up(t, &s);
    run at_end = {t, &s};
    for (size_t k = 0; k < COUNT(rows_before_ledger); k++)
        put(r, &rows_before_ledger[k].what, rows_before_ledger[k].of(&at_end));
    bool all = put_ledger(r, &s);
    for (size_t k = 0; k < COUNT(rows_after_ledger); k++)
        put(r, &rows_after_ledger[k].what, rows_after_ledger[k].of(&at_end));
    put_held(r, t);
    return put_axles(r, t->rig) && put_units(r, t) && all;
}

evn_results *evn_results_of(const evn_trip *t)
{
    static const char *const statuses[] = {
        [EVN_STATUS_FINISHED] = "finished",
        [EVN_STATUS_STALLED] = "stalled",
        [EVN_STATUS_PACK_EMPTY] = "pack_empty",
        [EVN_STATUS_INTERRUPTED] = "interrupted",
    };
    evn_results *r = calloc(1, sizeof *r);
    if (!r)
        return NULL;
    r->room = COUNT(rows_before_ledger) + COUNT(rows_after_ledger) + EVN_LINE_COUNT + EVN_AXLES_MAX +
              EVN_UNITS_MAX * (EVN_UNIT_LINE_COUNT + 7);
    r->arena = evn_arena_new();
    r->result = calloc(r->room, sizeof *r->result);
    r->status = statuses[t->status];
    r->steps = t->steps;
    r->events = t->events;
    if (r->arena && r->result && put_all(r, t))
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

const char *evn_results_status(const evn_results *r) { return r->status; }
size_t evn_results_count(const evn_results *r) { return r->count; }
size_t evn_results_held_count(const evn_results *r) { return r->held_count; }

bool evn_results_at(const evn_results *r, size_t index, evn_quantity *out, double *value)
{
    if (index >= r->count)
        return false;
    *out = r->result[index].what;
    *value = r->result[index].value;
    return true;
}

bool evn_results_get(const evn_results *r, const char *key, double *value)
{
    for (size_t k = 0; k < r->count; k++)
        if (strcmp(r->result[k].what.key, key) == 0) {
            *value = r->result[k].value;
            return true;
        }
    return false;
}

bool evn_results_held_at(const evn_results *r, size_t index, evn_held *out)
{
    if (index >= r->held_count)
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
    const evn_quantity *what =
        ranked(rows_before_ledger, sizeof rows_before_ledger / sizeof rows_before_ledger[0], index + 1);
    if (!what)
        what = ranked(rows_after_ledger, sizeof rows_after_ledger / sizeof rows_after_ledger[0], index + 1);
    if (what)
        *out = *what;
    return what;
}
