/* All trucks of a lineup on both bases: runs of their own, then rounds at a common speed. */
#include "core/words.h"
#include "lineup/compare_day.h"
#include "lineup/equal.h"
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* ------------------------------------------------------------------------------------------------ who samples */

/* False when memory is out. */
static bool set_samplers(evn_compare_work *w, size_t truck, evn_basis basis)
{
    evn_compare_side *s = &w->of->side[truck];
    const evn_compare_how *how = w->how;
    static const evn_sampler nobody = {0}; /* which its run refuses */
    evn_samplers asked = {NULL, 0};
    if (how->samplers && !w->of->duty)
        asked = how->samplers(how->self, truck, s->rig, basis);
    if (asked.count > 0 && !asked.at)
        asked = (evn_samplers){&nobody, 1};
    evn_sampler *all = evn_arena_take(w->of->arena, (asked.count + 1) * sizeof *all);
    if (!all)
        return false;
    all[0] = evn_reach_sampler(&s->reach, s->rig);
    for (size_t k = 0; k < asked.count; k++)
        all[k + 1] = asked.at[k];
    s->sampler[basis] = (evn_samplers){all, asked.count + 1};
    return true;
}

static bool set_all_samplers(evn_compare_work *w)
{
    bool set = true;
    for (size_t i = 0; set && i < w->of->count; i++)
        if (w->of->side[i].rig)
            set = set_samplers(w, i, EVN_BASIS_OWN) && set_samplers(w, i, EVN_BASIS_COMMON);
    return set && (!w->of->duty || evn_compare_day_sample(w));
}

/* ---------------------------------------------------------------------------------------------- at their own speeds */

static void prepare(evn_compare_work *w)
{
    evn_comparison *c = w->of;
    for (size_t i = 0; i < c->count; i++)
        evn_compare_add_run(w, &c->side[i], &c->side[i].outcome[EVN_BASIS_OWN]);
    evn_runs_prepare(&w->runs, w->run, w->count);
    for (size_t i = 0; i < c->count; i++) {
        c->side[i].rig = w->run[i].made;
        if (c->duty && c->side[i].rig)
            evn_compare_day_suits(c, &c->side[i]);
    }
    w->count = 0;
}

static bool asks_for_exact(const evn_comparison *c) { return c->ask.driving.driver == EVN_DRIVER_EXACT; }

/* The run of a truck that tells what speeds it reaches. */
static evn_outcome *exact_of(const evn_comparison *c, evn_compare_side *s)
{
    return asks_for_exact(c) ? &s->outcome[EVN_BASIS_OWN] : &s->exact;
}

/* All as asked, then, where that was not the exact driver, all by him. False when memory is out. */
static bool drive_own(evn_compare_work *w)
{
    evn_comparison *c = w->of;
    if (c->duty)
        return evn_compare_day_own(w);
    for (size_t i = 0; i < c->count; i++) {
        evn_compare_side *s = &c->side[i];
        if (!s->rig)
            continue;
        evn_samplers all = s->sampler[EVN_BASIS_OWN], asked = {all.at + 1, all.count - 1};
        evn_compare_sample(evn_compare_add_run(w, s, &s->outcome[EVN_BASIS_OWN]), asks_for_exact(c) ? all : asked);
    }
    for (size_t i = 0; !asks_for_exact(c) && i < c->count; i++) {
        evn_compare_side *s = &c->side[i];
        if (!s->rig)
            continue;
        evn_run *run = evn_compare_add_run(w, s, &s->exact);
        run->driving.driver = EVN_DRIVER_EXACT;
        evn_compare_sample(run, (evn_samplers){s->sampler[EVN_BASIS_OWN].at, 1});
    }
    return evn_compare_drive(w);
}

/* ------------------------------------------------------------------------------------------------ common speed */

/* Down to what all that take part have reached by now; their next outcomes are to come. */
static bool lower(evn_compare_work *w)
{
    evn_comparison *c = w->of;
    for (size_t i = 0; i < c->count; i++)
        if (c->side[i].in && !(evn_ceiling_lower(&c->ceiling, &c->side[i].reach.speeds) &&
                               evn_compare_renew(&c->side[i].outcome[EVN_BASIS_COMMON])))
            return false;
    evn_common_thin(&c->ceiling);
    return true;
}

/* Whether all that take part kept the common speed; who could not finish takes part no longer. */
static bool judge(evn_compare_work *w, bool *kept)
{
    evn_comparison *c = w->of;
    *kept = true;
    for (size_t i = 0; i < c->count; i++) {
        evn_compare_side *s = &c->side[i];
        if (s->in && !evn_outcome_finished(&s->outcome[EVN_BASIS_COMMON])) {
            if (!evn_compare_leave_out(s, s->outcome[EVN_BASIS_COMMON].report))
                return false;
        } else if (s->in && !evn_reach_keeps(&s->reach, s->outcome[EVN_BASIS_COMMON].results)) {
            *kept = false;
        }
    }
    return true;
}

static size_t count_in(const evn_comparison *c)
{
    size_t count = 0;
    for (size_t i = 0; i < c->count; i++)
        count += c->side[i].in;
    return count;
}

/* One round. False when memory is out. */
static bool drive_common(evn_compare_work *w)
{
    evn_comparison *c = w->of;
    for (size_t i = 0; i < c->count; i++) {
        evn_compare_side *s = &c->side[i];
        if (!s->in)
            continue;
        evn_run *run = evn_compare_add_run(w, s, &s->outcome[EVN_BASIS_COMMON]);
        evn_common_ask(run, &c->ceiling);
        evn_compare_sample(run, s->sampler[EVN_BASIS_COMMON]);
    }
    return evn_compare_drive(w);
}

/* False when memory is out. */
static bool find_common(evn_compare_work *w, unsigned *rounds)
{
    evn_comparison *c = w->of;
    bool kept = false;
    if (c->duty)
        return evn_compare_day_common(w, rounds);
    for (size_t i = 0; i < c->count; i++) {
        evn_compare_side *s = &c->side[i];
        s->in = s->rig && evn_outcome_finished(exact_of(c, s));
        if (!s->in && !evn_compare_leave_out(s, s->rig ? exact_of(c, s)->report : s->outcome[EVN_BASIS_OWN].report))
            return false;
    }
    for (*rounds = 0; !kept && *rounds < EVN_ROUNDS_MOST && count_in(c) > 0; ++*rounds) {
        evn_runs_expect(&w->runs, count_in(c) * (*rounds == 0 ? EVN_ROUNDS_USUAL : 1));
        if (!lower(w) || !drive_common(w))
            return false;
        if (evn_runs_stopped(&w->runs))
            return true;
        if (!judge(w, &kept))
            return false;
    }
    return true;
}

/* ------------------------------------------------------------------------------------------------ what came of it */

static void put_figures(evn_comparison *c, unsigned rounds)
{
    double least_s = (double)INFINITY, most_s = -(double)INFINITY, below_km_h = 0, duration_s;
    size_t count = 0;
    for (size_t i = 0; i < c->count; i++) {
        const evn_outcome *o = &c->side[i].outcome[EVN_BASIS_COMMON];
        if (!evn_outcome_finished(o) || !evn_results_get(o->results, "duration_s", &duration_s))
            continue;
        least_s = fmin(least_s, duration_s);
        most_s = fmax(most_s, duration_s);
        below_km_h = fmax(below_km_h, c->side[i].reach.below_km_h);
        count++;
    }
    double spread_s = count > 0 ? most_s - least_s : (double)NAN;
    const evn_rig_figure figures[EVN_COMPARISON_FIGURES] = {
        {{"common.trucks", "", "trucks that drove at the common speed", EVN_WHOLE, 0, "trucks at the common speed",
          "trucks at the common speed"},
         (double)count},
        {{"common.rounds", "", "how often the common speed was driven, lowered each time", EVN_WHOLE, 0,
          "rounds until the common speed was found", "rounds until the common speed was found"},
         rounds},
        {{"common.duration_spread_s", "s", "longest duration less the shortest", EVN_REAL, 4, "spread of travel times",
          "spread of travel times"},
         spread_s},
        {{"common.duration_spread", "", "that, of the shortest", EVN_REAL, 7, "spread of travel times, relative",
          "spread of travel times, relative"},
         spread_s / least_s},
        {{"common.furthest_below_km_h", "km/h", "furthest that a truck was below the common speed", EVN_REAL, 3,
          "largest speed below the common speed", "largest speed below the common speed"},
         count > 0 ? below_km_h : (double)NAN},
    };
    memcpy(c->figure, figures, sizeof figures);
}

static void repeat_warnings(const evn_compare_side *s, evn_report *report)
{
    evn_finding found;
    for (size_t i = 0; evn_report_at(s->outcome[EVN_BASIS_OWN].report, i, &found); i++) {
        evn_fault fault = evn_fault_named(found.fault);
        if (evn_fault_rows[fault].severity == EVN_WARNING) /* an error only because all are strict */
            evn_say(report, fault, evn_nowhere, evn_nowhere, "%s: %s", s->who->name, found.text);
    }
}

static bool was_stopped(const evn_outcome *o) { return strcmp(o->status, "interrupted") == 0; }

static void say_unmet(const evn_compare_side *s, evn_report *report)
{
    enum { CAN = 64 };
    char can[CAN];
    evn_limits_verdict is;
    for (size_t k = 0; evn_limits_demand_at(s->limits, k, &is); k++) {
        if (is.met)
            continue;
        snprintf(can, sizeof can, "it %s %.*f %s", is.what.short_label, is.what.digits, is.value, is.what.unit);
        evn_say(report, EVN_FAULT_DEMAND_NOT_MET, evn_nowhere, evn_nowhere, "%s: %s: %s; limited by %s", s->who->name,
                is.what.label, isnan(is.value) ? "it cannot" : can,
                is.limit ? is.limit_label : "what is not stated of its heat");
    }
}

static bool any_finished(const evn_comparison *c)
{
    size_t i = 0;
    while (i < c->count && !evn_outcome_finished(&c->side[i].outcome[EVN_BASIS_OWN]))
        i++;
    return i < c->count;
}

/* What the report of the whole says of each truck. */
static void sum_up(const evn_comparison *c, bool stopped, evn_report *report)
{
    for (size_t i = 0; i < c->count; i++) {
        const evn_compare_side *s = &c->side[i];
        const evn_outcome *own = &s->outcome[EVN_BASIS_OWN], *common = &s->outcome[EVN_BASIS_COMMON];
        repeat_warnings(s, report);
        say_unmet(s, report);
        evn_compare_day_say_unmet(c, s, report);
        if (!evn_outcome_finished(own) && !was_stopped(own))
            evn_outcome_say_why(own->report, s->who->name, report);
        else if (!stopped && !evn_outcome_finished(common))
            evn_outcome_say_why(common->report, s->who->name, report);
        evn_compare_seasons_say_unfinished(c, s, report);
    }
    if (stopped)
        evn_say(report, EVN_FAULT_INTERRUPTED, evn_nowhere, evn_nowhere,
                any_finished(c) ? "interrupted; what had finished by then is there"
                                : "interrupted; no truck had finished by then");
}

static bool hold_against_first(evn_comparison *c)
{
    bool all = true;
    evn_balance_lines lines[EVN_BASIS_COMMON + 1] = {0};
    for (size_t i = 0; i < c->count; i++)
        for (int basis = EVN_BASIS_OWN; basis <= EVN_BASIS_COMMON; basis++)
            evn_balance_lines_add(&lines[basis], &c->side[i].outcome[basis]);
    for (size_t i = 0; all && i < c->count; i++) {
        evn_compare_side *s = &c->side[i];
        for (int basis = EVN_BASIS_OWN; all && basis <= EVN_BASIS_COMMON; basis++)
            all = evn_outcome_hold_against(&s->outcome[basis], &c->side[0].outcome[basis], &lines[basis], c->arena);
        all = all && evn_outcome_weigh_against(&s->outcome[EVN_BASIS_OWN], s->rig, c->side[0].rig, c->arena);
    }
    return all;
}

/* ------------------------------------------------------------------------------------------------ the whole */

/* A truck by its name in the report. NULL when memory is out. */
static const char *name_told(evn_comparison *c, const char *called, const char *name)
{
    char text[2 * EVN_PHRASE_BYTES];
    if (!called)
        return name;
    int length = snprintf(text, sizeof text, "%.*s: %.*s", EVN_PHRASE_BYTES - 3, called, EVN_PHRASE_BYTES, name);
    return evn_arena_text(c->arena, text, (size_t)length);
}

static bool set_up(evn_comparison *c, const evn_contender *who, size_t count, const char *called, bool strict)
{
    c->arena = evn_arena_new();
    c->side = calloc(count, sizeof *c->side);
    c->who = c->arena ? evn_arena_take(c->arena, count * sizeof *c->who) : NULL;
    c->plain = c->arena ? evn_arena_take(c->arena, count * sizeof *c->plain) : NULL;
    if (!c->side || !c->who || !c->plain)
        return false;
    c->count = count;
    for (size_t i = 0; i < count; i++) {
        c->plain[i] = who[i];
        c->who[i] = (evn_contender){name_told(c, called, who[i].name), who[i].truck};
        c->side[i].who = &c->who[i];
        bool begun = evn_outcome_begin(&c->side[i].outcome[EVN_BASIS_OWN], strict);
        begun = evn_outcome_begin(&c->side[i].outcome[EVN_BASIS_COMMON], strict) && begun;
        if (!(evn_outcome_begin(&c->side[i].exact, strict) && begun && c->who[i].name))
            return false;
    }
    return true;
}

/* Runs at the common speed that were never begun. */
static void mark_stopped(evn_comparison *c)
{
    for (size_t i = 0; i < c->count; i++) {
        evn_outcome *common = &c->side[i].outcome[EVN_BASIS_COMMON];
        if (c->side[i].rig && strcmp(common->status, EVN_RUN_FAILED) == 0)
            common->status = "interrupted";
    }
}

static size_t count_prepared(const evn_comparison *c)
{
    size_t count = 0;
    for (size_t i = 0; i < c->count; i++)
        count += c->side[i].rig ? 1 : 0;
    return count;
}

/* By forces, before anything drives. False when memory is out. */
static bool find_limits(evn_compare_work *w, evn_report *report)
{
    evn_comparison *c = w->of;
    const evn_limits_how how = {.only_deciding = true, .demands = w->how->demands};
    for (size_t i = 0; i < c->count; i++) {
        evn_compare_side *s = &c->side[i];
        if (!s->rig)
            continue;
        evn_limits_make(s->rig, &c->ask.driving, &how, &s->limits, report);
        if (!s->limits)
            return false;
        s->likeness = evn_likeness_measure(s->who->truck, s->rig, c->ask.driving.surface, s->limits);
    }
    return true;
}

/* False when memory is out. */
static bool compare(evn_compare_work *w, evn_report *report)
{
    evn_comparison *c = w->of;
    unsigned rounds = 0;
    if (c->duty && !evn_compare_day_write(w, report))
        return false;
    prepare(w);
    evn_runs_expect(&w->runs, count_prepared(c) * (asks_for_exact(c) ? 1 + EVN_ROUNDS_USUAL : 2 + EVN_ROUNDS_USUAL) +
                                  evn_compare_seasons_runs(w));
    if (!find_limits(w, report) || !set_all_samplers(w) || !drive_own(w) || !evn_compare_seasons_drive(w) ||
        !evn_compare_day_judge(w, report) || (!evn_runs_stopped(&w->runs) && !find_common(w, &rounds)) ||
        !hold_against_first(c))
        return false;
    evn_runs_expect(&w->runs, 0);
    bool stopped = evn_runs_stopped(&w->runs);
    if (stopped)
        mark_stopped(c);
    put_figures(c, rounds);
    sum_up(c, stopped, report);
    return true;
}

/* False: said. */
static bool make_equal(evn_comparison *c, evn_report *report)
{
    evn_equalised given[EVN_LINEUP_MOST];
    bool made = evn_make_equal(c->who, c->count, &c->ask, c->equal, given, c->arena, report);
    for (size_t i = 0; made && i < c->count; i++) {
        c->side[i].given = given[i];
        c->plain[i].truck = c->who[i].truck;
    }
    return made;
}

/* A cycle that does for no truck is said once. */
static bool cycle_does(const evn_cycle_file *cycle, const evn_conditions *ask, evn_report *report)
{
    evn_course_ask how = {ask->driving.comfort_acceleration_m_s2, ask->driving.comfort_braking_m_s2, (double)INFINITY};
    evn_course *course = evn_course_prepare(cycle, &how, report);
    evn_course_free(course);
    return course;
}

evn_comparison *evn_compare_trucks(const evn_contender *who, size_t count, const evn_compared_over *over,
                                   const evn_conditions *ask, const evn_compare_how *how, evn_report *report)
{
    size_t before = evn_report_errors(report);
    evn_driving_fits(&ask->driving, report);
    if (evn_report_errors(report) > before || (over->cycle && !cycle_does(over->cycle, ask, report)))
        return NULL;
    evn_comparison *c = calloc(1, sizeof *c);
    evn_compare_work w = {
        .of = c, .how = how, .run = calloc(2 * count, sizeof *w.run), .outcome = calloc(2 * count, sizeof *w.outcome)};
    evn_runs_begin(&w.runs, &(evn_runs_how){how->threads, how->self, how->go_on});
    bool made = c && w.run && w.outcome, equal = true;
    if (made) {
        c->cycle = over->cycle;
        c->duty = over->duty;
        c->season = over->season;
        c->any_season = over->any_season ? *over->any_season : *ask;
        c->ask = *ask;
        c->equal = how->equal;
        made = set_up(c, who, count, how->called, evn_report_is_strict(report));
        equal = made && make_equal(c, report);
        made = equal && compare(&w, report);
    }
    evn_runs_end(&w.runs);
    free(w.run);
    free(w.outcome);
    if (!made) {
        if (equal && evn_report_errors(report) == before)
            evn_say(report, EVN_FAULT_OUT_OF_MEMORY, evn_nowhere, evn_nowhere, "memory ran out comparing");
        evn_comparison_free(c);
        return NULL;
    }
    return c;
}

/* ------------------------------------------------------------------------------------------------ calls */

void evn_comparison_free(evn_comparison *c)
{
    if (!c)
        return;
    for (size_t i = 0; i < c->count; i++) {
        evn_compare_side *s = &c->side[i];
        evn_outcome_end(&s->outcome[EVN_BASIS_OWN]);
        evn_outcome_end(&s->outcome[EVN_BASIS_COMMON]);
        evn_outcome_end(&s->exact);
        evn_reach_end(&s->reach);
        evn_compare_day_end(s);
        evn_compare_seasons_end(c, s);
        evn_limits_free(s->limits);
        evn_rig_free(s->rig);
    }
    evn_ceiling_clear(&c->ceiling);
    free(c->side);
    if (c->arena)
        evn_arena_free(c->arena);
    free(c);
}

const evn_limits *evn_comparison_limits(const evn_comparison *c, size_t truck)
{
    return c && truck < c->count ? c->side[truck].limits : NULL;
}

const evn_rig *evn_comparison_rig(const evn_comparison *c, size_t truck)
{
    return c && truck < c->count ? c->side[truck].rig : NULL;
}

const evn_outcome *evn_comparison_outcome(const evn_comparison *c, size_t truck, evn_basis basis)
{
    bool there = c && truck < c->count && (basis == EVN_BASIS_OWN || basis == EVN_BASIS_COMMON);
    return there ? &c->side[truck].outcome[basis] : NULL;
}

bool evn_comparison_likeness_between(const evn_comparison *c, size_t truck, size_t other, size_t row, evn_likeness *out)
{
    if (!c || !out || truck >= c->count || other >= c->count || row >= EVN_LIKENESS_COUNT || !c->side[other].rig ||
        !c->side[truck].rig)
        return false;
    *out = evn_likeness_judge(row, &c->side[truck].likeness, &c->side[other].likeness, c->equal);
    return true;
}

bool evn_comparison_likeness_at(const evn_comparison *c, size_t truck, size_t row, evn_likeness *out)
{
    return evn_comparison_likeness_between(c, truck, 0, row, out);
}

bool evn_comparison_is_alike(const evn_comparison *c, size_t truck)
{
    evn_likeness is;
    size_t row = 0;
    while (evn_comparison_likeness_at(c, truck, row, &is) && is.alike)
        row++;
    return row == EVN_LIKENESS_COUNT;
}

bool evn_comparison_equalised(const evn_comparison *c, size_t truck, evn_equalised *out)
{
    if (!c || !out || truck >= c->count)
        return false;
    *out = c->side[truck].given;
    return true;
}

size_t evn_comparison_figure_count(const evn_comparison *c) { return c ? EVN_COMPARISON_FIGURES : 0; }

bool evn_comparison_figure_at(const evn_comparison *c, size_t index, evn_quantity *out, double *value)
{
    if (!c || !out || !value || index >= EVN_COMPARISON_FIGURES)
        return false;
    *out = c->figure[index].what;
    *value = c->figure[index].value;
    return true;
}

/* ------------------------------------------------------------------------------------------------ as compared */

const evn_contender *evn_comparison_contenders(const evn_comparison *c, size_t *count)
{
    *count = c->count;
    return c->plain;
}

const char *evn_comparison_told(const evn_comparison *c, size_t truck) { return c->who[truck].name; }

const evn_cycle_file *evn_comparison_cycle(const evn_comparison *c) { return c->cycle; }

const evn_conditions *evn_comparison_asks(const evn_comparison *c) { return &c->ask; }

evn_load_case evn_comparison_load_case(const evn_comparison *c, size_t truck)
{
    return evn_compare_load_case_of(c, &c->side[truck]);
}

const evn_ceiling *evn_comparison_ceiling(const evn_comparison *c) { return &c->ceiling; }

const char *evn_comparison_decides(const evn_comparison *c)
{
    return c->equal == EVN_EQUAL_GROSS ? "kwh_per_t_km" : "kwh_per_km";
}
