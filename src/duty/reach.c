/* Drives days until the reserve of charge is met. */
#include "duty/reach.h"
#include "core/arena.h"
#include "core/units.h"
#include "truck/load_case.h"
#include "truck/pack.h"
#include <math.h>
#include <stdlib.h>
#include <string.h>

static double result(const evn_results *r, const char *key)
{
    double value;
    return evn_results_get(r, key, &value) ? value : (double)NAN;
}

/* ------------------------------------------------------------------------------------------------ the reserve */

static double held_kwh(const evn_pack *p, double from_soc, double to_soc)
{
    return p->capacity_as * evn_curve_integral(&p->open_circuit_v, from_soc, to_soc) / EVN_J_PER_KWH;
}

/* The charge above which the battery holds so much more than at the end of its usable window. */
static double soc_of_kwh(const evn_pack *p, double kwh)
{
    double low = p->usable_from, high = 1;
    if (held_kwh(p, low, high) <= kwh)
        return high;
    for (int k = 0; k < 60; k++) {
        double middle = 0.5 * (low + high);
        if (held_kwh(p, p->usable_from, middle) < kwh)
            low = middle;
        else
            high = middle;
    }
    return high;
}

static double floor_of(const evn_pack *p, const evn_duty_demands_file *d)
{
    double by_soc = isnan(d->reserve_soc) ? p->usable_from : p->usable_from + d->reserve_soc;
    double by_kwh = isnan(d->reserve_kwh) ? p->usable_from : soc_of_kwh(p, d->reserve_kwh);
    return fmin(fmax(by_soc, by_kwh), 1);
}

/* As a rig of this truck begins. */
static double begin_of(const evn_battery_file *b, const evn_load_case *c)
{
    if (!isnan(c->start_soc))
        return c->start_soc;
    return isnan(b->start_soc) ? fmax(b->usable_to_soc - 0.05, b->usable_from_soc) : b->start_soc;
}

/* The run ends where the reserve is met: there the usable window of the truck that is driven ends. A day that begins
 * with no more than that is not begun. False: memory is out. */
static bool set_floor(evn_day_reach *r, evn_pack *pack)
{
    const evn_battery_file *b = r->truck->battery;
    evn_pack_ask ask = {r->load_case.battery_age_years, (double)NAN, 20};
    if (!evn_pack_make(pack, b, &ask, r->arena))
        return false;
    r->floor_soc = floor_of(pack, r->duty->demands);
    r->begin_soc = begin_of(b, &r->load_case);
    r->lowest_soc = r->begin_soc;
    r->as_driven = *r->truck;
    r->battery = *b;
    r->as_driven.battery = &r->battery;
    bool in_window = r->begin_soc >= b->usable_from_soc && r->begin_soc <= b->usable_to_soc;
    if (in_window && r->begin_soc <= r->floor_soc) {
        r->status = "battery_empty";
        r->ended = true;
    } else if (in_window) { /* else its rig says what is wrong */
        r->battery.start_soc = r->begin_soc;
        r->battery.usable_from_soc = r->floor_soc;
    }
    return true;
}

/* ------------------------------------------------------------------------------------------------ set up */

double evn_day_reach_heaviest_kg(const evn_day_plan *p)
{
    double most = 0;
    for (size_t k = 0; k < p->count; k++)
        most = fmax(most, p->phase[k].payload_kg);
    return most;
}

static void load(evn_day_reach *r)
{
    double written = evn_day_reach_heaviest_kg(&r->plan);
    for (size_t k = 0; k < r->plan.count; k++) {
        double *kg = &r->plan.phase[k].payload_kg;
        if (!isnan(r->payload_kg))
            *kg = written > 0 ? *kg * (r->payload_kg / written) : r->payload_kg;
        *kg = fmin(*kg, r->most_payload_kg);
    }
}

static evn_load_case load_case_of(const evn_day_reach *r)
{
    evn_load_case c = evn_duty_load_case(r->duty, r->season, &r->ask);
    c.battery_age_years = r->ask.load_case.battery_age_years;
    if (isnan(c.payload_kg))
        c.payload_kg = r->truck->payload->mass_kg;
    return c;
}

static bool no_memory(evn_report *report)
{
    evn_say(report, EVN_FAULT_OUT_OF_MEMORY, evn_nowhere, evn_nowhere, "memory ran out over the day");
    return false;
}

/* False: said. */
static bool set_up(evn_day_reach *r, evn_report *report)
{
    evn_pack pack;
    r->arena = evn_arena_new();
    r->carried = evn_carried_new();
    if (!r->arena || !r->carried)
        return no_memory(report);
    r->load_case = load_case_of(r);
    if (!set_floor(r, &pack))
        return no_memory(report);
    if (!evn_day_plan_make(&r->plan, r->duty, r->load_case.payload_kg, r->arena, report) ||
        !evn_day_plan_reports(&r->plan, evn_report_is_strict(report), report))
        return false;
    load(r);
    return true;
}

void evn_day_reach_end(evn_day_reach *r)
{
    evn_day_plan_end(&r->plan);
    evn_carried_free(r->carried);
    if (r->arena)
        evn_arena_free(r->arena);
    r->plan = (evn_day_plan){0};
    r->carried = NULL;
    r->arena = NULL;
}

/* ------------------------------------------------------------------------------------------------ a day */

bool evn_day_reach_does(const evn_day_reach *r, double distance_km)
{
    bool in_last_stops = r->short_kwh > 0 && r->distance_km <= distance_km + EVN_ALIKE_KM;
    return r->sustained || (r->distance_km >= distance_km - EVN_ALIKE_KM && !in_last_stops);
}

static evn_run run_of(evn_day_reach *r, evn_report *report)
{
    return (evn_run){.truck = &r->as_driven,
                     .load_case = r->load_case,
                     .phase = r->plan.phase,
                     .phases = r->plan.count,
                     .begins = r->days > 0 ? r->carried : NULL,
                     .leaves = r->carried,
                     .driving = r->ask.driving,
                     .report = report};
}

static void count_phase(evn_day_reach *r, size_t index)
{
    const evn_results *of = r->plan.phase[index].results;
    double charged = result(of, "charged_stored_kwh");
    r->phase = index;
    r->phase_km = fmax(result(of, "distance_km"), 0);
    r->distance_km += r->phase_km;
    r->duration_s += result(of, "duration_s");
    r->drawn_kwh += result(of, "battery_kwh") + (isfinite(charged) ? charged : 0);
    r->lowest_soc = fmin(r->lowest_soc, result(of, "final_soc"));
}

/* Rigs stay with their phases. */
static void clear(evn_day_reach *r)
{
    for (size_t k = 0; k < r->plan.count; k++) {
        evn_phase *p = &r->plan.phase[k];
        evn_results_free(p->results);
        p->results = NULL;
        p->status = NULL;
        p->begin_soc = (double)NAN;
    }
}

/* How long stops last from a phase on, if only they follow; NAN: legs do. One that lasts until it is charged counts
 * nothing. */
static double stops_from_s(const evn_day_reach *r, size_t first)
{
    double sum_s = 0;
    for (size_t k = first; k < r->plan.count; k++) {
        const evn_phase *p = &r->plan.phase[k];
        if (p->cycle)
            return (double)NAN;
        sum_s += isfinite(p->standing.duration_s) ? p->standing.duration_s : 0;
    }
    return sum_s;
}

/* A day whose battery runs down behind its last leg has come all its distance, and is not done: what its stops are
 * short of goes to zero evenly with what the reserve hangs on. */
static void put_short(evn_day_reach *r)
{
    const evn_results *of = r->plan.phase[r->phase].results;
    double stops_s = stops_from_s(r, r->phase), lived_s = of ? result(of, "duration_s") : 0;
    if (strcmp(r->status, "battery_empty") != 0 || !of || isnan(stops_s))
        return;
    double kwh_per_s = lived_s > 0 ? result(of, "battery_kwh") / lived_s : r->drawn_kwh / fmax(r->duration_s, 1);
    r->short_kwh = fmax(kwh_per_s * (stops_s - lived_s), 0);
}

static void count_day(evn_day_reach *r, const evn_run *run)
{
    double begin_soc = r->plan.phase[0].begin_soc;
    for (size_t k = 0; k < r->plan.count && r->plan.phase[k].results; k++)
        count_phase(r, k);
    r->status = run->status;
    r->ended = strcmp(run->status, "finished") != 0;
    if (r->ended) {
        put_short(r);
        return;
    }
    r->days++;
    if (r->days == 1) {
        r->day_lowest_soc = r->lowest_soc;
        r->day_duration_s = r->duration_s;
    }
    r->sustained = result(r->plan.phase[r->plan.count - 1].results, "final_soc") >= begin_soc;
    r->ended = r->sustained || r->days >= r->days_most || evn_day_reach_does(r, r->enough_km);
    if (!r->ended)
        clear(r);
}

/* ------------------------------------------------------------------------------------------------ all */

static size_t still_to_drive(evn_day_reach *list, size_t count, evn_report *report, evn_run *run, evn_day_reach **of)
{
    size_t going = 0;
    for (size_t k = 0; k < count; k++) {
        if (list[k].ended)
            continue;
        of[going] = &list[k];
        run[going++] = run_of(&list[k], report);
    }
    return going;
}

static void weigh(evn_day_reach *r)
{
    evn_pack pack;
    evn_pack_ask ask = {r->load_case.battery_age_years, (double)NAN, 20};
    if (!evn_pack_make(&pack, r->truck->battery, &ask, r->arena))
        return;
    r->left_kwh = held_kwh(&pack, r->floor_soc, fmax(r->lowest_soc, r->floor_soc));
    r->day_left_kwh = held_kwh(&pack, pack.usable_from, fmax(r->day_lowest_soc, pack.usable_from));
}

static void begin(evn_day_reach *r)
{
    r->day_lowest_soc = r->day_duration_s = r->left_kwh = r->day_left_kwh = (double)NAN;
    r->distance_km = r->duration_s = r->drawn_kwh = r->phase_km = r->short_kwh = 0;
    r->days = 0;
    r->phase = 0;
    r->ended = r->sustained = false;
    r->status = EVN_RUN_FAILED;
}

bool evn_day_reach_find(evn_day_reach *list, size_t count, evn_runs *runs, evn_report *report)
{
    evn_run *run = calloc(count, sizeof *run);
    evn_day_reach **of = calloc(count, sizeof(evn_day_reach *));
    bool fits = (run && of) || no_memory(report);
    for (size_t k = 0; k < count; k++) {
        begin(&list[k]);
        fits = fits && set_up(&list[k], report);
    }
    for (size_t going = 1; fits && going > 0 && !evn_runs_stopped(runs);) {
        going = still_to_drive(list, count, report, run, of);
        evn_runs_drive(runs, run, going);
        for (size_t k = 0; k < going; k++)
            count_day(of[k], &run[k]);
    }
    for (size_t k = 0; fits && k < count; k++)
        weigh(&list[k]);
    free(run);
    free(of);
    return fits && !evn_runs_stopped(runs);
}

/* Where a day takes nothing out of the battery, any figure does: it only weighs what is left. */
static double kwh_per_km(const evn_day_reach *r)
{
    static const double LEAST = 0.05;
    return fmax(r->drawn_kwh / fmax(r->distance_km, EVN_ALIKE_KM), LEAST);
}

double evn_day_reach_beyond_km(const evn_day_reach *r, double distance_km)
{
    double beyond = r->distance_km - distance_km;
    if (beyond <= EVN_ALIKE_KM)
        beyond -= r->short_kwh / kwh_per_km(r);
    double left = strcmp(r->status, "finished") == 0 ? r->left_kwh / kwh_per_km(r) : 0;
    return (r->sustained ? fmax(beyond, 0) : beyond) + left;
}

/* What goes on for ever is short of nothing, however little of it was driven. */
bool evn_day_reach_is_worse(const evn_day_reach *a, const evn_day_reach *b, double distance_km)
{
    if (a->sustained != b->sustained)
        return b->sustained;
    return evn_day_reach_beyond_km(a, distance_km) < evn_day_reach_beyond_km(b, distance_km);
}
