/* A variant from the values of its variables to its row. */
#include "vary/drive.h"
#include "duty/day.h"
#include "lineup/equal.h"
#include "runs/runs.h"
#include <math.h>
#include <stdio.h>
#include <string.h>

typedef struct work { /* on one variant */
    const evn_variants_of *of;
    evn_row *row;
    const evn_study_file *file; /* with its numbers */
    const evn_truck_file *truck;
    evn_conditions ask;
    evn_arena *arena; /* for as long as it is driven */
    evn_report *report;
    evn_rig *rig;
    evn_results *results;
    evn_limits *limits;
    evn_day_plan plan;
    evn_day_season day;
} work;

static evn_conditions asks_of(const evn_variants_of *of, const evn_study_file *file)
{
    evn_conditions ask = of->ask;
    const evn_load_case *load_case = file->lineup ? file->lineup->load_case : file->load_case;
    const evn_driving *driving = file->lineup ? file->lineup->driving : file->driving;
    ask.load_case = load_case ? *load_case : ask.load_case; /* which the ask was written to before the variables */
    ask.driving = driving ? *driving : ask.driving;
    return ask;
}

/* The truck as the lineup makes it equal to its first, with the same values. False: said. */
static bool equalise(work *w)
{
    evn_equal by = w->file->lineup ? evn_lineup_wants_equal(w->file->lineup) : EVN_EQUAL_PAYLOAD;
    if (by == EVN_EQUAL_PAYLOAD || w->row->truck == 0)
        return true;
    evn_contender who[] = {{evn_study_truck_name(w->file, 0), evn_study_truck(w->file, 0)},
                           {evn_study_truck_name(w->file, w->row->truck), w->truck}};
    evn_equalised given[2];
    if (!evn_make_equal(who, 2, &w->ask, by, given, w->arena, w->report))
        return false;
    w->truck = who[1].truck;
    if (!isnan(given[1].payload_kg))
        w->ask.load_case.payload_kg = given[1].payload_kg;
    return true;
}

/* ------------------------------------------------------------------------------------------------ driving */

static void drive_run(work *w, evn_run *run)
{
    evn_runs runs;
    evn_runs_begin(&runs, &(evn_runs_how){1, w->of->self, w->of->go_on});
    evn_runs_drive(&runs, run, 1);
    evn_runs_end(&runs);
    w->row->status = run->status;
}

static void drive_cycle(work *w)
{
    evn_run run = {.rig = w->rig, .cycle = evn_study_cycle(w->file), .driving = w->ask.driving, .report = w->report};
    drive_run(w, &run);
    w->results = run.results;
}

static bool sum_up(work *w, const char *status)
{
    size_t count = 0;
    evn_share_of *of = evn_arena_take(w->arena, (w->plan.count + 1) * sizeof *of);
    for (size_t k = 0; of && k < w->plan.count; k++)
        if (w->plan.phase[k].results)
            of[count++] = (evn_share_of){w->plan.phase[k].results, 1};
    if (of && count > 0)
        w->results = evn_results_together(of, count, true, status);
    evn_day_plan_reserve(&w->plan, &w->day);
    return of && (count == 0 || w->results);
}

/* What is found in its legs stands in reports of their own. */
static void take_findings(work *w)
{
    evn_finding found;
    for (size_t k = 0; k < w->plan.count; k++)
        for (size_t i = 0; w->plan.phase[k].report && evn_report_at(w->plan.phase[k].report, i, &found); i++)
            evn_say(w->report, evn_fault_named(found.fault), evn_nowhere, evn_nowhere, "%s: %s", w->plan.of[k].name,
                    found.text);
}

/* False when memory is out. */
static bool drive_day(work *w)
{
    const evn_duty_file *duty = evn_study_duty(w->file);
    evn_load_case in = evn_duty_load_case(duty, evn_study_season(w->file), &w->ask);
    in.payload_kg = isnan(in.payload_kg) ? w->truck->payload->mass_kg : in.payload_kg;
    w->row->status = EVN_VARIANT_REFUSED;
    if (!evn_day_plan_make(&w->plan, duty, in.payload_kg, w->arena, w->report) ||
        !evn_day_plan_reports(&w->plan, false, w->report) || !evn_duty_suits(duty, &w->plan, w->rig, w->report))
        return true;
    evn_run run = {.truck = w->truck,
                   .load_case = in,
                   .phase = w->plan.phase,
                   .phases = w->plan.count,
                   .driving = w->ask.driving,
                   .report = w->report};
    drive_run(w, &run);
    take_findings(w);
    return sum_up(w, run.status);
}

/* As it stands: over a duty in the season, with what it carries at the start. False: said. */
static bool make_rig(work *w)
{
    const evn_duty_file *duty = evn_study_duty(w->file);
    if (duty)
        w->rig = evn_day_stand(w->truck, duty, evn_study_season(w->file), &w->ask, w->report);
    else
        evn_rig_make(w->truck, &w->ask.load_case, &w->rig, w->report);
    return w->rig;
}

/* False when memory is out. */
static bool drive_and_ask(work *w)
{
    const evn_columns *columns = w->of->columns;
    evn_limits_how how = evn_columns_limits_how(columns, w->file->lineup ? w->file->lineup->demands : NULL);
    bool room = true;
    if (evn_study_duty(w->file))
        room = drive_day(w);
    else
        drive_cycle(w);
    if (columns->limits && w->results)
        evn_limits_make(w->rig, &w->ask.driving, &how, &w->limits, w->report);
    evn_driven driven = {w->rig, w->results, w->limits, evn_study_duty(w->file) ? &w->day : NULL};
    for (size_t k = 0; k < columns->count; k++)
        w->row->value[k] = evn_column_value(&columns->at[k], &driven);
    return room;
}

/* ------------------------------------------------------------------------------------------------ the row */

/* The first error, else the first warning. False: nothing was found. */
static bool first_of(const evn_report *report, evn_finding *out)
{
    evn_finding found;
    bool any = evn_report_at(report, 0, out);
    for (size_t k = 0; evn_report_at(report, k, &found); k++)
        if (found.severity == EVN_ERROR) {
            *out = found;
            break;
        }
    return any;
}

static void tell(const work *w)
{
    evn_finding found;
    evn_row *row = w->row;
    if (first_of(w->report, &found)) {
        bool path = found.file && found.line == 0; /* of a number that was set, in the place of a file */
        row->fault = found.fault;
        snprintf(row->finding, sizeof row->finding, "%.300s%s%.800s", path ? found.file : "", path ? ": " : "",
                 found.text);
    }
    row->finished = strcmp(row->status, "finished") == 0;
    const evn_bound_on *broken = row->finished ? evn_columns_broken(w->of->columns, row->value) : NULL;
    row->may_be = row->finished && !broken;
    if (broken)
        snprintf(row->unmet, sizeof row->unmet, "%s: found %.6g", broken->text, row->value[broken->column]);
}

/* False when memory is out. */
static bool drive_seat(work *w, evn_vary_seat *seat)
{
    bool room = true;
    w->file = seat->file;
    if (evn_seat_write(w->of->seats, seat, w->row->input, w->report)) {
        w->truck = evn_study_truck(w->file, w->row->truck);
        w->ask = asks_of(w->of, w->file);
        if (equalise(w) && make_rig(w))
            room = drive_and_ask(w);
    }
    return room;
}

static void refuse(work *w, const evn_base *base)
{
    w->row->fault = evn_fault_rows[base->fault].name;
    snprintf(w->row->finding, sizeof w->row->finding, "%s", base->why);
}

static void forget(work *w)
{
    evn_results_free(w->results);
    evn_limits_free(w->limits);
    evn_day_plan_end(&w->plan);
    evn_rig_free(w->rig);
    evn_report_free(w->report);
    if (w->arena)
        evn_arena_free(w->arena);
}

bool evn_variant_drive(const evn_variants_of *of, evn_row *row)
{
    work w = {.of = of, .row = row, .arena = evn_arena_new(), .report = evn_report_new()};
    size_t base = evn_seats_base(of->seats, row->input);
    row->status = EVN_VARIANT_REFUSED;
    row->fault = NULL;
    row->finding[0] = row->unmet[0] = '\0';
    row->finished = row->may_be = false;
    for (size_t k = 0; k < of->columns->count; k++)
        row->value[k] = (double)NAN;
    bool room = w.arena && w.report;
    if (room && !of->seats->base[base].file) {
        refuse(&w, &of->seats->base[base]);
    } else if (room) {
        evn_vary_seat *seat = evn_seat_take(of->seats, base);
        room = seat && drive_seat(&w, seat);
        if (room)
            tell(&w);
        if (seat)
            evn_seat_leave(of->seats, seat);
    }
    forget(&w);
    return room;
}
