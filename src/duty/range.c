/* The table of distances by payload, age and season. */
#include "cycle/resolve.h"
#include "duty/range_made.h"
#include "duty/told.h"
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* Years of a battery that is no longer new, where nobody asks for others. */
static const double LATER_YEARS = 5;

/* ------------------------------------------------------------------------------------------------ what is asked */

static void set_ages(evn_range *r, const evn_load_case *c, const evn_range_how *how)
{
    double to_years = evn_pack_ages_to(r->truck->battery);
    if (how->ages > 0) {
        for (size_t k = 0; k < how->ages; k++)
            r->age_years[r->ages++] = how->age_years[k];
        return;
    }
    r->age_years[r->ages++] = c->battery_age_years;
    if (c->battery_age_years == 0 && to_years > 0)
        r->age_years[r->ages++] = fmin(LATER_YEARS, to_years);
}

static void set_payloads(evn_range *r, double written_kg, const evn_range_how *how)
{
    if (how->payloads > 0) {
        for (size_t k = 0; k < how->payloads; k++)
            r->payload_kg[r->payloads++] = how->payload_kg[k];
        return;
    }
    r->payload_kg[r->payloads++] = written_kg;
    if (written_kg == 0)
        return;
    r->payload_kg[r->payloads++] = 0.5 * written_kg;
    r->payload_kg[r->payloads++] = 0;
}

static double length_km(const evn_day_plan *p)
{
    double m = 0;
    for (size_t k = 0; k < p->count; k++)
        if (p->of[k].leg && p->of[k].part == 1)
            m += evn_cycle_length_m(p->of[k].leg->cycle);
    return m / 1000;
}

static void set_goal(evn_range *r, double day_km, double asked_km)
{
    const evn_duty_demands_file *d = r->duty->demands;
    double demanded_km = isnan(d->distance_km) ? 0 : d->distance_km;
    r->goal = (evn_range_goal){.distance_km = asked_km > 0 ? asked_km : fmax(day_km, demanded_km),
                               .day_km = day_km,
                               .reserve_soc = d->reserve_soc,
                               .reserve_kwh = d->reserve_kwh,
                               .demanded = asked_km > 0 || !isnan(d->reserve_soc) || !isnan(d->reserve_kwh) ||
                                           !isnan(d->distance_km)};
}

/* The day as it is written. False: said. */
static bool read_day(evn_range *r, const evn_conditions *ask, const evn_range_how *how, evn_day_plan *plan,
                     evn_report *report)
{
    const evn_load_case *c = &ask->load_case;
    double at_start_kg = isnan(c->payload_kg) ? r->truck->payload->mass_kg : c->payload_kg;
    if (!evn_day_plan_make(plan, r->duty, at_start_kg, r->arena, report))
        return false;
    double day_km = length_km(plan);
    set_ages(r, c, how);
    set_payloads(r, evn_day_reach_heaviest_kg(plan), how);
    set_goal(r, day_km, how->distance_km);
    r->days_most = (unsigned)fmin(ceil(fmax(EVN_RANGE_KM_MOST, r->goal.distance_km) / day_km), EVN_DAYS_MOST);
    return true;
}

/* ------------------------------------------------------------------------------------------------ cells */

static void find_worst(evn_range *r)
{
    for (size_t k = 1; k < evn_range_first_cells(r); k++)
        if (evn_day_reach_is_worse(&r->reach[k], &r->reach[r->worst], r->goal.distance_km))
            r->worst = k;
}

static void tell_findings(const evn_range *r, evn_report *report)
{
    bool told[EVN_FAULT_COUNT] = {false};
    for (size_t k = 0; k < r->cells; k++)
        evn_day_tell_beside_answers(&r->reach[k].plan, evn_range_season_of(r, k), told, report);
}

static void say_unmet(const evn_range *r, evn_report *report)
{
    const evn_day_reach *w = &r->reach[r->worst];
    const char *season = evn_range_season_of(r, r->worst);
    if (!r->goal.demanded || evn_day_reach_does(w, r->goal.distance_km))
        return;
    char battery[40] = "a new battery";
    double years = w->ask.load_case.battery_age_years;
    if (years > 0)
        snprintf(battery, sizeof battery, "a battery of %g years", years);
    evn_say(report, EVN_FAULT_DEMAND_NOT_MET, evn_nowhere, evn_nowhere,
            "%.60s%s%.1f km with %s, before %s; expected at least %.1f km", season ? season : "", season ? ": " : "",
            w->distance_km, battery,
            strcmp(w->status, "battery_empty") == 0 ? "the reserve is met" : "it can go no further",
            r->goal.distance_km);
}

/* ------------------------------------------------------------------------------------------------ the whole */

static evn_range *range_with_room(const evn_truck_file *t, const evn_duty_file *f, const evn_conditions *ask)
{
    evn_range *r = calloc(1, sizeof *r);
    if (!r)
        return NULL;
    r->truck = t;
    r->duty = f;
    r->ask = *ask;
    r->seasons = f->seasons.count > 0 ? f->seasons.count : 1;
    r->arena = evn_arena_new();
    r->reach = calloc(r->seasons * EVN_RANGE_PAYLOADS_MOST * EVN_RANGE_AGES_MOST, sizeof *r->reach);
    if (r->arena && r->reach)
        return r;
    evn_range_free(r);
    return NULL;
}

/* Whether the truck stands as it is asked for, in every season and at every age, and can do what is asked of it at the
 * stops; else said. */
static bool stands(const evn_range *r, const evn_day_plan *day, evn_report *report)
{
    bool all = true, asked = false;
    for (size_t age = 0; age < r->ages; age++)
        for (size_t season = 0; season < r->seasons; season++) {
            evn_conditions asked_for = r->ask;
            asked_for.load_case.battery_age_years = r->age_years[age];
            evn_rig *rig = evn_day_stand(r->truck, r->duty, season, &asked_for, report);
            if (rig && !asked)
                all = evn_duty_suits(r->duty, day, rig, report) && all;
            asked = asked || rig;
            all = all && rig;
            evn_rig_free(rig);
        }
    return all;
}

/* An age of the battery is told of each cell, and is that of all seasons. False: said where a season has its own. */
static bool ages_are_those_asked(const evn_duty_file *f, evn_report *report)
{
    enum { PATH = 140 };
    const evn_season_file *season = f->seasons.item;
    bool all = true;
    for (size_t k = 0; k < f->seasons.count; k++) {
        char path[PATH];
        if (season[k].load_case->battery_age_years == 0)
            continue;
        snprintf(path, sizeof path, "seasons.%.100s.load_case", f->seasons.name[k]);
        evn_duty_say(f, path, "battery_age_years", EVN_FAULT_DISAGREES, report,
                     "a battery of %g years in a season; expected ages that are asked for, which range tells of all "
                     "seasons (--ages-years)",
                     season[k].load_case->battery_age_years);
        all = false;
    }
    return all;
}

static bool drive(evn_range *r, const evn_range_how *how, evn_runs *runs, evn_report *report)
{
    enum { RUNS_OF_PACK = 12 };
    r->cells = r->payloads * r->ages * r->seasons;
    for (size_t k = 0; k < r->cells; k++)
        r->reach[k] = evn_range_ask_of(r, k);
    evn_runs_expect(runs, 2 * r->cells + (how->only_distances ? 0 : RUNS_OF_PACK));
    if (!evn_day_reach_find(r->reach, r->cells, runs, report))
        return false;
    find_worst(r);
    return how->only_distances || evn_range_find_pack(r, how->pack_kg_per_kwh, runs, report);
}

static bool find(evn_range *r, const evn_range_how *how, evn_report *report)
{
    evn_runs runs;
    evn_day_plan day;
    bool ages = ages_are_those_asked(r->duty, report);
    if (!read_day(r, &r->ask, how, &day, report) || !ages || !stands(r, &day, report))
        return false;
    evn_runs_begin(&runs, &(evn_runs_how){how->threads, how->self, how->go_on});
    bool found = drive(r, how, &runs, report);
    if (evn_runs_stopped(&runs))
        evn_say(report, EVN_FAULT_INTERRUPTED, evn_nowhere, evn_nowhere,
                "interrupted before all distances were found; nothing is told");
    evn_runs_end(&runs);
    if (!found)
        return false;
    size_t before = evn_report_errors(report);
    tell_findings(r, report);
    if (evn_report_errors(report) > before && !evn_report_is_strict(report))
        return false;
    say_unmet(r, report);
    return true;
}

evn_range *evn_range_make(const evn_truck_file *t, const evn_duty_file *f, const evn_conditions *ask,
                          const evn_range_how *how, evn_report *report)
{
    evn_range *r = range_with_room(t, f, ask);
    if (!r)
        evn_say(report, EVN_FAULT_OUT_OF_MEMORY, evn_nowhere, evn_nowhere, "memory ran out finding distances");
    if (!r || find(r, how, report))
        return r;
    evn_range_free(r);
    return NULL;
}

void evn_range_free(evn_range *r)
{
    if (!r)
        return;
    for (size_t k = 0; r->reach && k < r->cells; k++)
        evn_day_reach_end(&r->reach[k]);
    if (r->arena)
        evn_arena_free(r->arena);
    free(r->reach);
    free(r);
}
