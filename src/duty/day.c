/* Drives the day of a duty, season by season, and puts together what came of it. */
#include "duty/day.h"
#include "core/arena.h"
#include "core/field_number.h"
#include "core/units.h"
#include "duty/demanded.h"
#include "duty/told.h"
#include "trip/takeoff_work.h"
#include "truck/load_case.h"
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { SEASONS_MOST = 12 };

typedef struct season {
    evn_day_plan plan;
    evn_day_season is;
    evn_rig *rig;         /* in its load case, with the payload at the start of the day */
    evn_results *results; /* of the day */
    evn_driven_on on;     /* where the duty demands more than the day's distance */
    bool driven_on;
    evn_duty_verdicts verdicts;
} season;

struct evn_day {
    evn_arena *arena;
    evn_run *run; /* of each season */
    season *season;
    size_t seasons;
    evn_results *year; /* NULL: none */
};

/* ------------------------------------------------------------------------------------------------ load cases */

static double payload_kg(const evn_truck_file *t, const evn_load_case *c)
{
    return isnan(c->payload_kg) ? t->payload->mass_kg : c->payload_kg;
}

/* ------------------------------------------------------------------------------------------------ what came of it */

static bool has_finished(const evn_run *r) { return strcmp(r->status, "finished") == 0; }

/* False when memory is out. */
static bool sum_up(season *s, const evn_run *run)
{
    evn_share_of *of = calloc(s->plan.count, sizeof *of);
    size_t count = 0;
    for (size_t k = 0; of && k < s->plan.count; k++)
        if (s->plan.phase[k].results)
            of[count++] = (evn_share_of){s->plan.phase[k].results, 1};
    if (of && count > 0)
        s->results = evn_results_together(of, count, true, run->status);
    free(of);
    s->is.status = run->status;
    s->is.results = s->results;
    return of && (count == 0 || s->results);
}

static bool sum_up_year(evn_day *d, double days)
{
    evn_share_of of[SEASONS_MOST];
    for (size_t k = 0; k < d->seasons; k++) {
        if (isnan(days) || !d->season[k].results || !has_finished(&d->run[k]))
            return true;
        of[k] = (evn_share_of){d->season[k].results, days * d->season[k].is.share};
    }
    d->year = evn_results_together(of, d->seasons, false, "finished");
    return d->year;
}

/* ------------------------------------------------------------------------------------------------ the whole */

static bool no_memory(evn_day *d, evn_report *report)
{
    evn_say(report, EVN_FAULT_OUT_OF_MEMORY, evn_nowhere, evn_nowhere, "memory ran out over the day");
    evn_day_free(d);
    return false;
}

static evn_day *day_with_room(size_t seasons)
{
    evn_day *d = calloc(1, sizeof *d);
    if (!d)
        return NULL;
    d->arena = evn_arena_new();
    d->run = calloc(seasons, sizeof *d->run);
    d->season = calloc(seasons, sizeof *d->season);
    d->seasons = d->run && d->season ? seasons : 0;
    if (d->arena && d->seasons > 0)
        return d;
    evn_day_free(d);
    return NULL;
}

/* False: said. */
static bool set_up(evn_day *d, size_t k, const evn_truck_file *t, const evn_duty_file *f, const evn_conditions *ask,
                   evn_report *report)
{
    const evn_season_file *file = f->seasons.count > 0 ? (const evn_season_file *)f->seasons.item + k : NULL;
    season *s = &d->season[k];
    s->is = (evn_day_season){.name = file ? f->seasons.name[k] : NULL,
                             .share = file ? file->share : 1,
                             .load_case = evn_duty_load_case(f, k, ask)};
    s->is.load_case.payload_kg = payload_kg(t, &s->is.load_case);
    if (!evn_day_plan_make(&s->plan, f, s->is.load_case.payload_kg, d->arena, report))
        return false;
    d->run[k] = (evn_run){.truck = t,
                          .load_case = s->is.load_case,
                          .phase = s->plan.phase,
                          .phases = s->plan.count,
                          .driving = ask->driving,
                          .report = report};
    return evn_day_plan_reports(&s->plan, evn_report_is_strict(report), report);
}

static bool stands(const evn_truck_file *t, const evn_load_case *c)
{
    evn_report *aside = evn_report_new();
    evn_rig *rig = NULL;
    bool made = aside && evn_rig_make(t, c, &rig, aside);
    evn_rig_free(rig);
    evn_report_free(aside);
    return made;
}

evn_rig *evn_day_stand(const evn_truck_file *t, const evn_duty_file *f, size_t index, const evn_conditions *asked,
                       evn_report *report)
{
    enum { PATH = 120 };
    const evn_season_file *of = f->seasons.count > 0 ? (const evn_season_file *)f->seasons.item + index : NULL;
    const char *name = of ? f->seasons.name[index] : "";
    evn_load_case c = evn_duty_load_case(f, index, asked);
    evn_report *aside = evn_report_new();
    evn_rig *rig = NULL;
    evn_finding found;
    char path[PATH] = "";
    if (!aside) {
        evn_say(report, EVN_FAULT_OUT_OF_MEMORY, evn_nowhere, evn_nowhere, "memory ran out setting up the day");
        return NULL;
    }
    bool made = evn_rig_make(t, &c, &rig, aside);
    if (!made && of && stands(t, &asked->load_case))
        snprintf(path, sizeof path, "seasons.%.100s", name);
    for (size_t i = 0; !made && evn_report_at(aside, i, &found); i++) {
        evn_fault fault = evn_fault_named(found.fault);
        if (evn_fault_rows[fault].severity == EVN_ERROR)
            evn_duty_say(f, path, "load_case", fault, report, "%s%s%s", name, of ? ": " : "", found.text);
    }
    evn_report_free(aside);
    return rig;
}

/* False: said. */
static bool stand(season *s, size_t index, const evn_truck_file *t, const evn_duty_file *f, const evn_conditions *ask,
                  evn_report *report)
{
    s->rig = evn_day_stand(t, f, index, ask, report);
    return s->rig;
}

/* That its stops can be had, before anything is driven. False: said. */
static bool stops_fit(const evn_day *d, const evn_duty_file *f, evn_report *report)
{
    const season *s = NULL;
    for (size_t k = 0; !s && k < d->seasons; k++)
        s = d->season[k].rig ? &d->season[k] : NULL;
    return !s || evn_duty_suits(f, &s->plan, s->rig, report);
}

/* False: said. */
static bool set_samplers(evn_day *d, size_t k, const evn_day_how *how, evn_report *report)
{
    evn_day_plan *p = &d->season[k].plan;
    for (size_t phase = 0; how->samplers && phase < p->count; phase++)
        if (!evn_day_plan_sample(p, phase, NULL, how->samplers(how->self, k, d->season[k].rig, phase), d->arena)) {
            evn_say(report, EVN_FAULT_OUT_OF_MEMORY, evn_nowhere, evn_nowhere, "memory ran out setting up the day");
            return false;
        }
    return true;
}

/* What came of a season, and what of it the duty does not bear. */
static void tell_season(evn_day *d, size_t k, const evn_duty_file *f, const evn_driving *driving, evn_report *report)
{
    season *s = &d->season[k];
    evn_day_plan_reserve(&s->plan, &s->is);
    evn_duty_judge(&s->verdicts, f->demands, &s->is, &s->plan, s->driven_on ? &s->on : NULL, driving, report);
    evn_day_tell(s->plan.phase, s->plan.of, s->plan.count, s->is.name, report);
    if (has_finished(&d->run[k]))
        evn_duty_say_unmet(&s->verdicts, s->is.name ? s->is.name : "", report);
}

/* Where the duty demands more than a day that was done comes to. False: stopped, or memory is out (said). */
static bool drive_on(evn_day *d, const evn_truck_file *t, const evn_duty_file *f, const evn_conditions *ask,
                     evn_runs *runs, evn_report *report)
{
    evn_driven_on on[SEASONS_MOST];
    size_t count = 0;
    for (size_t k = 0; k < d->seasons; k++) {
        season *s = &d->season[k];
        evn_day_plan_reserve(&s->plan, &s->is);
        s->driven_on = evn_duty_wants_more(f->demands, &s->is);
        if (s->driven_on)
            on[count++] = (evn_driven_on){k, s->is.load_case.battery_age_years, (double)NAN, false};
    }
    bool found = evn_driven_on_find(on, count, t, f, ask, runs, report);
    for (size_t k = 0; k < count; k++)
        d->season[on[k].season].on = on[k];
    if (!found && evn_runs_stopped(runs))
        evn_say(report, EVN_FAULT_INTERRUPTED, evn_nowhere, evn_nowhere,
                "interrupted before it was found how far the day goes on");
    return found || evn_runs_stopped(runs);
}

evn_day *evn_day_drive(const evn_truck_file *t, const evn_duty_file *f, const evn_conditions *ask,
                       const evn_day_how *how, evn_report *report)
{
    size_t seasons = f->seasons.count > 0 ? f->seasons.count : 1;
    evn_day *d = day_with_room(seasons);
    evn_runs runs;
    bool room = true;
    if (!d) {
        no_memory(NULL, report);
        return NULL;
    }
    for (size_t k = 0; k < seasons; k++)
        room = set_up(d, k, t, f, ask, report) && stand(&d->season[k], k, t, f, ask, report) && room;
    room = stops_fit(d, f, report) && room;
    for (size_t k = 0; room && k < seasons; k++)
        room = set_samplers(d, k, how, report);
    if (!room) {
        evn_day_free(d);
        return NULL;
    }
    evn_runs_begin(&runs, &(evn_runs_how){how->threads, how->self, how->go_on});
    evn_runs_drive(&runs, d->run, seasons);
    for (size_t k = 0; k < seasons; k++)
        room = sum_up(&d->season[k], &d->run[k]) && room;
    bool found = room && drive_on(d, t, f, ask, &runs, report);
    evn_runs_end(&runs);
    for (size_t k = 0; k < seasons; k++)
        tell_season(d, k, f, &ask->driving, report);
    if (room && !found) {
        evn_day_free(d);
        return NULL;
    }
    if (room && sum_up_year(d, f->working_days_per_year))
        return d;
    no_memory(d, report);
    return NULL;
}

void evn_day_free(evn_day *d)
{
    if (!d)
        return;
    for (size_t k = 0; k < d->seasons; k++) {
        season *s = &d->season[k];
        evn_results_free(s->results);
        evn_day_plan_end(&s->plan);
        evn_rig_free(s->rig);
    }
    evn_results_free(d->year);
    if (d->arena)
        evn_arena_free(d->arena);
    free(d->run);
    free(d->season);
    free(d);
}

/* ------------------------------------------------------------------------------------------------ calls */

bool evn_day_season_at(const evn_day *d, size_t index, evn_day_season *out)
{
    if (!d || !out || index >= d->seasons)
        return false;
    *out = d->season[index].is;
    return true;
}

const evn_rig *evn_day_rig(const evn_day *d, size_t index)
{
    return d && index < d->seasons ? d->season[index].rig : NULL;
}

size_t evn_day_worst_season(const evn_day *d)
{
    size_t worst = 0;
    for (size_t k = 1; d && k < d->seasons; k++)
        if (evn_day_season_is_worse(&d->season[k].is, &d->season[worst].is))
            worst = k;
    return worst;
}

bool evn_day_phase_at(const evn_day *d, size_t index, size_t phase, evn_day_phase *out)
{
    return d && out && index < d->seasons && evn_day_plan_phase_at(&d->season[index].plan, phase, out);
}

const evn_results *evn_day_year(const evn_day *d) { return d ? d->year : NULL; }

bool evn_day_demand_at(const evn_day *d, size_t index, size_t demand, evn_day_demand *out)
{
    if (!d || !out || index >= d->seasons || demand >= d->season[index].verdicts.count)
        return false;
    *out = d->season[index].verdicts.demand[demand];
    return true;
}
