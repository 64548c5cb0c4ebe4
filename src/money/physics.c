/* Days driven again where a datum of a truck moves them. */
#include "money/physics.h"
#include "lineup/outcome.h"
#include "uncertainty/shape.h"
#include "uncertainty/variant.h"
#include <math.h>
#include <stdio.h>
#include <string.h>

enum { CASES_AT_ONCE = 16 };
static const char *const part_keys[] = {"battery_kwh", "discharged_kwh", "duration_s", "charged_stored_kwh",
                                        "charged_kwh"}; /* of parts; those behind them are both ways of charging */
enum { KEYED_PARTS = sizeof part_keys / sizeof *part_keys };

/* ------------------------------------------------------------------------------------------------ a short day */

/* Phases of a day that are like none before, in their order; rounds mostly are. Where stops charge, what one takes
 * hangs on all legs before it and on how full the battery is: then none is like another. */
typedef struct short_day {
    size_t phase[EVN_PHASES_MOST];
    double times[EVN_PHASES_MOST];
    size_t count;
} short_day;

static bool is_alike(const evn_day_plan *p, size_t a, size_t b)
{
    return p->of[a].part == p->of[b].part && p->phase[a].payload_kg == p->phase[b].payload_kg &&
           strcmp(p->of[a].path, p->of[b].path) == 0;
}

static bool charges(const evn_day_plan *p)
{
    for (size_t k = 0; k < p->count; k++)
        if (p->of[k].stop && p->of[k].stop->charging)
            return true;
    return false;
}

static void shorten(const evn_day_plan *p, short_day *out)
{
    bool whole = charges(p);
    out->count = 0;
    for (size_t k = 0; k < p->count; k++) {
        size_t at = whole ? out->count : 0;
        while (at < out->count && !is_alike(p, out->phase[at], k))
            at++;
        if (at == out->count) {
            out->phase[at] = k;
            out->times[out->count++] = 0;
        }
        out->times[at]++;
    }
}

/* ------------------------------------------------------------------------------------------------ cases */

typedef enum what_moves { NOTHING_MOVES, TO_THE_MIDDLE, UP, DOWN } what_moves;

typedef struct one_case {
    what_moves kind;
    size_t datum;
    uint64_t trucks;
    evn_day_parts came[EVN_LINEUP_MOST];
} one_case;

/* A run of a case that is at hand. */
typedef struct one_run {
    one_case *of;
    size_t truck;
    evn_day_plan plan;
} one_run;

typedef struct physics_work {
    const evn_payback_of *of;
    evn_physics *found;
    evn_varied varied;
    evn_runs runs;
    size_t to_come;
    short_day *day; /* of each truck */
    evn_report *report;
    char lost[EVN_FINDING_BYTES]; /* why the first that did not come to its end did not */
    char open[EVN_FINDING_BYTES]; /* what is said of the first energy balance that does not close */
} physics_work;

static bool no_memory(evn_report *report)
{
    evn_say(report, EVN_FAULT_OUT_OF_MEMORY, evn_nowhere, evn_nowhere, "memory ran out over uncertain data");
    return false;
}

static void write_numbers(const physics_work *w, const one_case *c, evn_variant *v, double *deviation)
{
    size_t count = w->of->errs->count;
    for (size_t d = 0; d < count; d++)
        for (size_t shape = 0; shape < EVN_ERROR_SHAPES; shape++)
            deviation[EVN_ERROR_SHAPES * d + shape] =
                c->kind >= UP && d == c->datum ? (c->kind == UP ? 1 : -1) * evn_standard_share((evn_error_shape)shape)
                                               : 0;
    evn_variant_write(&w->varied, v, c->kind == NOTHING_MOVES ? NULL : deviation);
}

/* As evn_day_drive would have it, in the season. */
static evn_load_case load_case_of(const physics_work *w, const evn_variant *v, size_t truck)
{
    evn_conditions ask = *w->of->ask;
    evn_load_case given = ask.load_case;
    if (!isnan(w->of->given[truck].payload_kg))
        given.payload_kg = w->of->given[truck].payload_kg;
    ask.load_case = evn_variant_load_case(&w->varied, v, &given);
    evn_load_case in = evn_duty_load_case(w->of->duty, w->of->season, &ask);
    if (isnan(in.payload_kg))
        in.payload_kg = evn_variant_truck(&w->varied, v, truck)->payload->mass_kg;
    return in;
}

/* False: said. */
static bool set_up(physics_work *w, one_run *r, evn_run *run, const evn_variant *v, evn_arena *arena)
{
    const short_day *day = &w->day[r->truck];
    evn_load_case in = load_case_of(w, v, r->truck);
    evn_day_plan all;
    if (!evn_day_plan_make(&all, w->of->duty, in.payload_kg, arena, w->report))
        return false;
    for (size_t k = 0; k < day->count; k++) { /* rises: no place is read that was written before */
        all.phase[k] = all.phase[day->phase[k]];
        all.of[k] = all.of[day->phase[k]];
        if (w->of->is_cycle && all.phase[k].cycle)
            all.phase[k].cycle = evn_variant_cycle(&w->varied, v);
    }
    r->plan = (evn_day_plan){all.phase, all.of, day->count};
    *run = (evn_run){.truck = evn_variant_truck(&w->varied, v, r->truck),
                     .load_case = in,
                     .phase = r->plan.phase,
                     .phases = r->plan.count,
                     .driving = w->of->ask->driving,
                     .report = evn_report_new()};
    return (run->report && evn_day_plan_reports(&r->plan, false, w->report)) || no_memory(w->report);
}

/* Each run closes its energy balance: the first that does not is told. */
static void note_open_balance(physics_work *w, const one_run *r)
{
    evn_finding f;
    for (size_t k = 0; k < r->plan.count; k++)
        for (size_t i = 0; w->open[0] == '\0' && evn_report_at(r->plan.phase[k].report, i, &f); i++)
            if (strcmp(f.fault, evn_fault_rows[EVN_FAULT_OPEN_BALANCE].name) == 0)
                snprintf(w->open, sizeof w->open, "%.80s: %.400s", w->of->who[r->truck].name, f.text);
}

static void note_lost(physics_work *w, const one_run *r, const evn_run *run)
{
    if (w->lost[0] != '\0')
        return;
    const char *why = evn_outcome_why(run->report);
    for (size_t k = 0; k < r->plan.count; k++)
        if (r->plan.phase[k].status && strcmp(r->plan.phase[k].status, "finished") != 0)
            why = evn_outcome_why(r->plan.phase[k].report);
    snprintf(w->lost, sizeof w->lost, "%.80s: %.400s", w->of->who[r->truck].name, why);
}

static void add_phase(evn_day_parts *to, const evn_results *r, double times)
{
    double value, from_grid_kwh, unstated_kwh;
    for (size_t i = 0; i < KEYED_PARTS; i++)
        if (evn_results_get(r, part_keys[i], &value))
            to->of[i] += times * value;
    evn_use_charged(r, &from_grid_kwh, &unstated_kwh);
    to->of[EVN_DAY_FROM_GRID_KWH] += times * from_grid_kwh;
    to->of[EVN_DAY_UNSTATED_KWH] += times * unstated_kwh;
}

static void take(physics_work *w, one_run *r, const evn_run *run)
{
    evn_day_parts *came = &r->of->came[r->truck];
    bool finished = strcmp(run->status, "finished") == 0;
    for (size_t i = 0; i < EVN_DAY_PARTS; i++)
        came->of[i] = finished ? 0 : (double)NAN;
    for (size_t k = 0; finished && k < r->plan.count; k++)
        add_phase(came, r->plan.phase[k].results, w->day[r->truck].times[k]);
    came->of[EVN_DAY_H] /= 3600;
    note_open_balance(w, r);
    if (!finished && !evn_runs_stopped(&w->runs))
        note_lost(w, r, run);
}

/* So many cases together. False: said. */
static bool drive_some(physics_work *w, one_case *c, size_t count, evn_variant *v, double *deviation)
{
    one_run of[CASES_AT_ONCE * EVN_LINEUP_MOST] = {0};
    evn_run run[CASES_AT_ONCE * EVN_LINEUP_MOST] = {0};
    evn_arena *arena = evn_arena_new();
    size_t runs = 0;
    bool all = arena || no_memory(w->report);
    for (size_t k = 0; k < count; k++) {
        write_numbers(w, &c[k], &v[k], deviation);
        for (size_t i = 0; all && i < w->of->count; i++)
            if (c[k].trucks >> i & 1) {
                of[runs] = (one_run){.of = &c[k], .truck = i};
                all = set_up(w, &of[runs], &run[runs], &v[k], arena);
                runs++;
            }
    }
    if (all)
        evn_runs_drive(&w->runs, run, runs);
    for (size_t k = 0; k < runs; k++) {
        if (all)
            take(w, &of[k], &run[k]);
        evn_run_forget(&run[k]);
        evn_report_free(run[k].report);
        evn_day_plan_end(&of[k].plan);
    }
    w->to_come -= runs;
    evn_runs_expect(&w->runs, w->to_come);
    if (arena)
        evn_arena_free(arena);
    return all;
}

/* False: stopped, or said. */
static bool drive_all(physics_work *w, one_case *c, size_t count, evn_arena *arena)
{
    evn_variant *v = evn_arena_take(arena, CASES_AT_ONCE * sizeof *v);
    double *deviation = evn_arena_take(arena, (EVN_ERROR_SHAPES * w->of->errs->count + 1) * sizeof *deviation);
    bool all = (v && deviation) || no_memory(w->report);
    for (size_t k = 0; all && k < CASES_AT_ONCE; k++)
        all = evn_variant_make(&w->varied, arena, &v[k], w->report);
    evn_runs_expect(&w->runs, w->to_come);
    for (size_t done = 0; all && done < count; done += CASES_AT_ONCE) {
        size_t left = count - done;
        all = drive_some(w, &c[done], left < CASES_AT_ONCE ? left : CASES_AT_ONCE, v, deviation) &&
              !evn_runs_stopped(&w->runs);
    }
    return all;
}

/* ------------------------------------------------------------------------------------------------ what is driven */

static size_t count_of(uint64_t trucks)
{
    size_t count = 0;
    for (; trucks != 0; trucks &= trucks - 1)
        count++;
    return count;
}

size_t evn_physics_runs(const evn_data *data, uint64_t trucks)
{
    size_t runs = count_of(trucks) * (evn_data_uneven(data) > 0 ? 2 : 1);
    for (size_t d = 0; d < data->count; d++)
        runs += 2 * count_of(data->datum[d].trucks & trucks);
    return runs;
}

/* The trucks as they are, in the middle, then each datum up and down; where all ranges are even the middle is as they
 * are, and nothing is driven for it. */
static one_case *cases_of(const physics_work *w, size_t *count, evn_arena *arena)
{
    const evn_data *data = w->of->errs;
    uint64_t in = w->found->in;
    *count = 2 + 2 * data->count;
    one_case *c = evn_arena_take(arena, *count * sizeof *c);
    if (!c)
        return NULL;
    c[0] = (one_case){.kind = NOTHING_MOVES, .trucks = in};
    c[1] = (one_case){.kind = TO_THE_MIDDLE, .trucks = evn_data_uneven(data) > 0 ? in : 0};
    for (size_t k = 2; k < *count; k++)
        c[k] = (one_case){
            .kind = k % 2 == 0 ? UP : DOWN, .datum = k / 2 - 1, .trucks = data->datum[k / 2 - 1].trucks & in};
    return c;
}

/* ------------------------------------------------------------------------------------------------ slopes */

/* Where one side did not come to its end the slope is that of the other, where neither did there is none. */
static double slope_of(double up, double middle, double down)
{
    if (isnan(up) || isnan(down))
        return isnan(down) ? (isnan(up) ? 0 : up - middle) : middle - down;
    return (up - down) / 2;
}

static void put_slopes(evn_physics *p, const one_case *c)
{
    for (size_t t = 0; t < p->trucks; t++) {
        if (!(p->in >> t & 1))
            continue;
        evn_day_parts middle = c[1].trucks ? c[1].came[t] : c[0].came[t];
        p->is[t] = c[0].came[t];
        for (size_t i = 0; i < EVN_DAY_PARTS; i++)
            p->moves[t].of[i] = middle.of[i] - c[0].came[t].of[i];
        for (size_t d = 0; d < p->facts.data; d++) {
            const one_case *up = &c[2 + 2 * d], *down = up + 1;
            evn_day_parts *slope = &p->slope[d * p->trucks + t];
            if (!(up->trucks >> t & 1))
                continue;
            p->facts.lost += isnan(up->came[t].of[0]) ? 1 : 0;
            p->facts.lost += isnan(down->came[t].of[0]) ? 1 : 0;
            for (size_t i = 0; i < EVN_DAY_PARTS; i++)
                slope->of[i] = slope_of(up->came[t].of[i], middle.of[i], down->came[t].of[i]);
        }
    }
}

/* A truck that does not come to the end of this day as it is or in the middle has nothing to move from. */
static void leave_out(const physics_work *w, const one_case *c)
{
    for (size_t t = 0; t < w->of->count; t++) {
        bool lost = isnan(c[0].came[t].of[0]) || (c[1].trucks && isnan(c[1].came[t].of[0]));
        if (!(w->found->in >> t & 1) || !lost)
            continue;
        w->found->in &= ~(UINT64_C(1) << t);
        evn_say(w->report, EVN_FAULT_DRAWS_FAILED, evn_nowhere, evn_nowhere,
                "how sure it is of %s cannot be told with the physics: with all data in the middle of their ranges, %s",
                w->of->who[t].name, w->lost);
    }
}

static void tell_faults(const physics_work *w)
{
    if (w->open[0] != '\0')
        evn_say(w->report, EVN_FAULT_OPEN_BALANCE, evn_nowhere, evn_nowhere, "with values within their uncertainty: %s",
                w->open);
    if (w->found->facts.lost > 0)
        evn_say(
            w->report, EVN_FAULT_DRAWS_FAILED, evn_nowhere, evn_nowhere,
            "in %zu of %zu changes of one datum by its standard uncertainty a truck does not come to the end of its "
            "day: %s",
            w->found->facts.lost, w->found->facts.runs, w->lost);
}

/* ------------------------------------------------------------------------------------------------ the whole */

static bool shorten_days(physics_work *w, evn_arena *arena)
{
    evn_variant as_it_is = {.load_case = w->of->ask->load_case};
    w->day = evn_arena_take(arena, w->of->count * sizeof *w->day);
    for (size_t i = 0; w->day && i < w->of->count; i++) {
        evn_day_plan plan;
        if (!evn_day_plan_make(&plan, w->of->duty, load_case_of(w, &as_it_is, i).payload_kg, arena, w->report))
            return false;
        shorten(&plan, &w->day[i]);
    }
    return w->day || no_memory(w->report);
}

/* False: stopped, or said. `aside` is for as long as it takes. */
static bool find(physics_work *w, evn_arena *aside)
{
    size_t count;
    const evn_nominal nominal = {w->of->who, w->of->count, w->of->cycle, &w->of->ask->load_case};
    if (!evn_varied_of(&nominal, w->of->errs, aside, &w->varied))
        return no_memory(w->report);
    if (!shorten_days(w, aside))
        return false;
    one_case *c = cases_of(w, &count, aside);
    if (!c)
        return no_memory(w->report);
    if (!drive_all(w, c, count, aside))
        return false;
    leave_out(w, c);
    put_slopes(w->found, c);
    tell_faults(w);
    return true;
}

/* What is told of the data, which need not last as long. False when memory is out. */
static bool make_room(evn_physics *p, const evn_data *data, evn_arena *arena)
{
    p->slope = evn_arena_take(arena, (data->count * p->trucks + 1) * sizeof *p->slope);
    p->label = evn_arena_take(arena, (data->count + 1) * sizeof *p->label);
    p->shape = evn_arena_take(arena, (data->count + 1) * sizeof *p->shape);
    bool made = p->slope && p->label && p->shape;
    for (size_t d = 0; made && d < data->count; d++) {
        p->shape[d] = data->datum[d].shape;
        p->label[d] = evn_arena_text(arena, data->datum[d].label, strlen(data->datum[d].label));
        made = p->label[d];
    }
    return made;
}

evn_physics *evn_physics_find(const evn_payback_of *of, uint64_t trucks, const evn_runs_how *how, evn_arena *arena,
                              evn_report *report)
{
    evn_physics *p = evn_arena_take(arena, sizeof *p);
    evn_arena *aside = evn_arena_new();
    size_t data = of->errs->count, runs = evn_physics_runs(of->errs, trucks);
    physics_work w = {.of = of, .found = p, .to_come = runs, .report = report};
    bool found = false;
    if (p && aside)
        *p = (evn_physics){.trucks = of->count, .in = trucks, .facts = {.data = data, .runs = runs}};
    if (!p || !aside || !make_room(p, of->errs, arena)) {
        no_memory(report);
    } else {
        evn_runs_begin(&w.runs, how);
        p->facts.season = of->duty->seasons.count > 0 ? of->duty->seasons.name[of->season] : NULL;
        found = find(&w, aside);
        evn_runs_end(&w.runs);
    }
    if (aside)
        evn_arena_free(aside);
    return found ? p : NULL;
}

evn_day_parts evn_physics_moved(const evn_physics *p, size_t truck, const double *standards)
{
    evn_day_parts sum = p->moves[truck];
    for (size_t d = 0; d < p->facts.data; d++)
        for (size_t i = 0; i < EVN_DAY_PARTS; i++)
            sum.of[i] += standards[d] * p->slope[d * p->trucks + truck].of[i];
    return sum;
}

/* The ratio of both, straight about the trucks as they are. */
bool evn_physics_energy(const evn_physics *p, size_t truck, evn_payback_energy *out)
{
    static const double to_end = 1.6448536269514722; /* standard deviations from the middle to 95 % */
    double first = p->is[0].of[EVN_DAY_BATTERY_KWH], other = p->is[truck].of[EVN_DAY_BATTERY_KWH], variance = 0;
    if (truck == 0 || truck >= p->trucks || !(p->in & 1) || !(p->in >> truck & 1) || !(first > 0))
        return false;
    double moved = p->moves[truck].of[EVN_DAY_BATTERY_KWH] - other / first * p->moves[0].of[EVN_DAY_BATTERY_KWH];
    for (size_t d = 0; d < p->facts.data; d++) {
        const evn_day_parts *slope = &p->slope[d * p->trucks];
        double by = slope[truck].of[EVN_DAY_BATTERY_KWH] - other / first * slope[0].of[EVN_DAY_BATTERY_KWH];
        variance += by * by;
    }
    out->is_percent = 100 * (other / first - 1);
    out->mean_percent = out->is_percent + 100 * moved / first;
    out->standard_percent = 100 * sqrt(variance) / first;
    out->low_percent = out->mean_percent - to_end * out->standard_percent;
    out->high_percent = out->mean_percent + to_end * out->standard_percent;
    return true;
}
