/* What is driven, in which order: the speed of the draws, the trucks as they are, each datum alone, draws. */
#include "uncertainty/find.h"
#include "lineup/outcome.h"
#include "uncertainty/answer.h"
#include "uncertainty/sobol.h"
#include "uncertainty/speed.h"
#include <math.h>
#include <string.h>

/* One finding. */
typedef struct finding {
    evn_uncertainty *of;
    const evn_uncertainty_how *how;
    evn_runs runs;
    size_t to_come;
    evn_ceiling speed; /* of changes of one datum; then of the draws */
    evn_case_reasons reasons;
    evn_report *report;
} finding;

/* ------------------------------------------------------------------------------------------------ what is asked */

static size_t draws_of(const evn_uncertainty_how *how)
{
    size_t asked = how->draws > 0 ? how->draws : EVN_DRAWS_USUAL;
    return how->method == EVN_UNCERTAINTY_DRAWS ? asked : 0;
}

static bool refuse(evn_report *report, const char *format, ...) __attribute__((format(printf, 2, 3)));
static bool refuse(evn_report *report, const char *format, ...)
{
    va_list values;
    va_start(values, format);
    evn_vsay(report, EVN_FAULT_USAGE, evn_nowhere, evn_nowhere, format, values);
    va_end(values);
    return false;
}

bool evn_uncertainty_fits(const evn_uncertainty_how *how, evn_report *report)
{
    size_t draws = draws_of(how);
    if (how->method != EVN_UNCERTAINTY_FIRST_ORDER && how->method != EVN_UNCERTAINTY_DRAWS)
        return refuse(report, "method of evn_uncertainty_find is %d; expected first order or draws", (int)how->method);
    if (how->method == EVN_UNCERTAINTY_FIRST_ORDER ||
        (draws >= EVN_DRAWS_LEAST && draws <= EVN_DRAWS_MOST && draws % EVN_DRAW_GROUPS == 0))
        return true;
    return refuse(report, "%zu draws; expected %d to %d, a multiple of %d", draws, EVN_DRAWS_LEAST, EVN_DRAWS_MOST,
                  EVN_DRAW_GROUPS);
}

/* ------------------------------------------------------------------------------------------------ who takes part */

static void find_trucks(evn_uncertainty *u)
{
    const char *key = evn_comparison_decides(u->of);
    for (int basis = 0; basis < EVN_BASES; basis++)
        for (size_t i = 0; i < u->trucks; i++) {
            const evn_outcome *o = evn_comparison_outcome(u->of, i, (evn_basis)basis);
            double *value = &u->compared[basis][i];
            bool in = evn_outcome_finished(o) && evn_results_get(o->results, key, value) && *value != 0;
            u->in[basis] |= (uint64_t)in << i;
            u->nominal[basis][i] = u->middle[basis][i] = *value;
        }
}

bool evn_uncertainty_data_fit(const evn_data *data, evn_report *report)
{
    if (data->count > EVN_SOBOL_DIMENSIONS_MOST)
        return refuse(report,
                      "%zu values that err; expected %d at most: entries of `uncertain` with several values, "
                      "or one errs_with for several entries, are one",
                      data->count, EVN_SOBOL_DIMENSIONS_MOST);
    if (data->count == 0)
        return refuse(report, "nothing is stated of how far values may be off; expected `uncertain` in a part, a "
                              "truck, the lineup or a file of its own");
    return true;
}

static bool can_be_found(const evn_uncertainty *u, evn_report *report)
{
    if (!evn_uncertainty_data_fit(&u->data, report))
        return false;
    if (evn_count_of(u->in[EVN_BASIS_COMMON]) >= 2)
        return true;
    evn_say(report, EVN_FAULT_NOT_FINISHED, evn_nowhere, evn_nowhere,
            "how sure the difference is cannot be told: %zu of the trucks finished at the common speed; expected two "
            "or more",
            evn_count_of(u->in[EVN_BASIS_COMMON]));
    return false;
}

/* ------------------------------------------------------------------------------------------------ cases */

/* Trucks that a datum moves, of those that take part on a basis. */
static uint64_t moved_by(const evn_uncertainty *u, int basis, size_t datum)
{
    return u->data.datum[datum].trucks & u->in[basis];
}

/* Room and runs of all cases. False when memory is out. */
static bool make_cases(finding *f)
{
    evn_uncertainty *u = f->of;
    uint64_t any = 0;
    u->draw = evn_arena_take(u->arena, (u->facts.draws_asked + 1) * sizeof *u->draw);
    for (int basis = 0; basis < EVN_BASES; basis++) {
        u->single[basis] = evn_arena_take(u->arena, 2 * u->data.count * sizeof *u->single[basis]);
        if (!u->single[basis] || !u->draw)
            return false;
        for (size_t k = 0; k < 2 * u->data.count; k++) {
            u->single[basis][k] = (evn_case){.kind = k % 2 == 0 ? EVN_CASE_UP : EVN_CASE_DOWN,
                                             .number = (uint32_t)(k / 2),
                                             .moves = moved_by(u, basis, k / 2)};
            f->to_come += evn_count_of(u->single[basis][k].moves);
        }
    }
    for (size_t d = 0; d < u->data.count; d++)
        any |= moved_by(u, EVN_BASIS_COMMON, d);
    for (size_t k = 0; k < u->facts.draws_asked; k++)
        u->draw[k] = (evn_case){.kind = EVN_CASE_DRAW, .number = (uint32_t)k, .moves = any};
    u->draws = u->facts.draws_asked;
    f->to_come += u->draws * evn_count_of(any) + 2 * evn_count_of(u->in[EVN_BASIS_COMMON]);
    if (u->draws > 0)
        f->to_come += EVN_PILOT_DRAWS * evn_count_of(any) + evn_count_of(u->in[EVN_BASIS_COMMON]);
    for (int basis = 0; u->facts.uneven > 0 && basis < EVN_BASES; basis++)
        f->to_come += evn_count_of(u->in[basis]);
    return true;
}

/* `unmoved`: of trucks that nothing moves. */
static evn_cases cases_of(finding *f, evn_basis basis, const double *unmoved, evn_case_reasons *reasons)
{
    evn_uncertainty *u = f->of;
    memset(reasons, 0, sizeof *reasons);
    evn_cases c = {.compared = u->of,
                   .of = &u->varied,
                   .basis = basis,
                   .speed = &f->speed,
                   .seed = f->how->seed,
                   .in = u->in[basis],
                   .runs = &f->runs,
                   .to_come = &f->to_come,
                   .reasons = reasons};
    memcpy(c.middle, unmoved, sizeof c.middle);
    return c;
}

/* ------------------------------------------------------------------------------------------------ driving them */

static bool was_stopped(finding *f) { return evn_runs_stopped(&f->runs); }

/* Cases in which a truck did not finish. */
static size_t count_failed(const evn_case *c, size_t count, size_t truck)
{
    size_t failed = 0;
    for (size_t k = 0; k < count; k++)
        failed += c[k].done && (c[k].failed >> truck & 1);
    return failed;
}

/* Stopped, not all were driven. */
static size_t count_driven(const evn_case *c, size_t count)
{
    size_t driven = 0;
    for (size_t k = 0; k < count; k++)
        driven += c[k].done;
    return driven;
}

static bool any_driven(const evn_uncertainty *u)
{
    size_t driven = count_driven(u->draw, u->facts.draws_asked);
    for (int basis = 0; basis < EVN_BASES; basis++)
        driven += count_driven(u->single[basis], 2 * u->data.count);
    return driven > 0;
}

/* The trucks that did not finish, each with its reason. */
static void warn(const finding *f, const evn_cases *with, const evn_case *list, size_t count, const char *what)
{
    for (size_t i = 0; i < f->of->trucks; i++) {
        size_t failed = count_failed(list, count, i);
        if (failed > 0)
            evn_say(f->report, EVN_FAULT_DRAWS_FAILED, evn_nowhere, evn_nowhere,
                    "in %zu of %zu %s %s does not finish: %s", failed, count_driven(list, count), what,
                    evn_comparison_told(f->of->of, i), with->reasons->of[i]);
    }
    if (with->open[0] != '\0')
        evn_say(f->report, EVN_FAULT_OPEN_BALANCE, evn_nowhere, evn_nowhere,
                "with values within their uncertainty: %s: %s", evn_comparison_told(f->of->of, with->open_in),
                with->open);
}

static void take_speed(finding *f, evn_ceiling *lowered)
{
    if (lowered->count == 0)
        return;
    evn_ceiling_clear(&f->speed);
    f->speed = *lowered;
}

/* All trucks at this speed, which is lowered once more where they do not keep it. False (said). */
static bool drive_at_speed(finding *f, evn_case_kind kind, double *value, bool *lowered)
{
    evn_uncertainty *u = f->of;
    evn_case all = {.kind = kind, .moves = kind == EVN_CASE_MIDDLE ? u->in[EVN_BASIS_COMMON] : 0};
    evn_cases with = cases_of(f, EVN_BASIS_COMMON, value, &f->reasons);
    evn_ceiling kept = {0};
    bool driven = evn_cases_drive(&with, &all, 1, &kept, f->report);
    *lowered = kept.count > 0;
    take_speed(f, &kept);
    if (!driven)
        return false;
    memcpy(value, all.value, sizeof all.value);
    for (size_t i = 0; i < u->trucks; i++)
        if (all.failed >> i & 1) {
            evn_say(f->report, EVN_FAULT_NOT_FINISHED, evn_nowhere, evn_nowhere,
                    "how sure the difference is cannot be told: at the speed of the draws%s, %s: %s",
                    kind == EVN_CASE_MIDDLE ? ", with all data in the middle of their ranges" : "",
                    evn_comparison_told(u->of, i), f->reasons.of[i]);
            return false;
        }
    return true;
}

static bool drive_nominal(finding *f, double *value)
{
    bool lowered;
    return drive_at_speed(f, EVN_CASE_NOMINAL, value, &lowered);
}

/* As they are, and in the middle of their ranges, at one speed. */
static bool drive_both(finding *f)
{
    evn_uncertainty *u = f->of;
    double *nominal = u->nominal[EVN_BASIS_COMMON], *middle = u->middle[EVN_BASIS_COMMON];
    bool lowered;
    if (!drive_nominal(f, nominal))
        return false;
    memcpy(middle, nominal, sizeof u->middle[EVN_BASIS_COMMON]);
    if (u->facts.uneven == 0 || was_stopped(f))
        return true;
    if (!drive_at_speed(f, EVN_CASE_MIDDLE, middle, &lowered))
        return false;
    if (!lowered || was_stopped(f))
        return true;
    f->to_come += evn_count_of(u->in[EVN_BASIS_COMMON]);
    return drive_nominal(f, nominal);
}

/* At the trucks' own speeds; those that do not finish so take no part there. */
static bool drive_own_middle(finding *f)
{
    evn_uncertainty *u = f->of;
    evn_case middle = {.kind = EVN_CASE_MIDDLE, .moves = u->in[EVN_BASIS_OWN]};
    evn_cases with = cases_of(f, EVN_BASIS_OWN, u->nominal[EVN_BASIS_OWN], &f->reasons);
    if (u->facts.uneven == 0 || was_stopped(f))
        return true;
    if (!evn_cases_drive(&with, &middle, 1, NULL, f->report))
        return false;
    memcpy(u->middle[EVN_BASIS_OWN], middle.value, sizeof middle.value);
    warn(f, &with, &middle, 1, "drives at own speeds with all data in the middle of their ranges");
    u->in[EVN_BASIS_OWN] &= ~middle.failed;
    return true;
}

static bool drive_singles(finding *f, evn_basis basis)
{
    evn_uncertainty *u = f->of;
    evn_cases with = cases_of(f, basis, u->middle[basis], &f->reasons);
    evn_case *list = u->single[basis];
    size_t count = 2 * u->data.count;
    bool all = was_stopped(f) || evn_cases_drive(&with, list, count, NULL, f->report);
    warn(f, &with, list, count,
         basis == EVN_BASIS_OWN ? "changes of one datum by its standard uncertainty, at own speeds,"
                                : "changes of one datum by its standard uncertainty, at the common speed,");
    return all;
}

/* The first of the draws, for their speeds: that of all is then the lowest of them. */
static bool drive_pilots(finding *f)
{
    evn_uncertainty *u = f->of;
    evn_case pilot[EVN_PILOT_DRAWS];
    evn_cases with = cases_of(f, EVN_BASIS_COMMON, u->nominal[EVN_BASIS_COMMON], &f->reasons);
    evn_ceiling reached = {0};
    memcpy(pilot, u->draw, sizeof pilot);
    bool all = evn_cases_drive(&with, pilot, EVN_PILOT_DRAWS, &reached, f->report);
    take_speed(f, &reached);
    return all;
}

static bool drive_draws(finding *f)
{
    evn_uncertainty *u = f->of;
    if (u->draws == 0)
        return true;
    memcpy(u->drawn, u->nominal[EVN_BASIS_COMMON], sizeof u->drawn);
    if (!was_stopped(f) && !(drive_pilots(f) && (was_stopped(f) || drive_nominal(f, u->drawn))))
        return false;
    evn_cases with = cases_of(f, EVN_BASIS_COMMON, u->drawn, &u->draw_reasons);
    bool all = was_stopped(f) || evn_cases_drive(&with, u->draw, u->draws, NULL, f->report);
    warn(f, &with, u->draw, u->draws, "draws");
    return all;
}

/* False: said. */
static bool drive_all(finding *f)
{
    evn_uncertainty *u = f->of;
    evn_runs_expect(&f->runs, f->to_come);
    if (!evn_draw_speed(u->of, u->in[EVN_BASIS_COMMON], &f->runs, &f->speed, &u->facts.speed_margin, f->report))
        return false;
    f->to_come -= evn_count_of(u->in[EVN_BASIS_COMMON]);
    bool all = was_stopped(f) || drive_both(f);
    all = all && drive_singles(f, EVN_BASIS_COMMON) && drive_own_middle(f) && drive_singles(f, EVN_BASIS_OWN) &&
          drive_draws(f);
    if (all)
        evn_runs_expect(&f->runs, 0);
    return all;
}

/* ------------------------------------------------------------------------------------------------ the whole */

static bool no_memory(evn_report *report)
{
    evn_say(report, EVN_FAULT_OUT_OF_MEMORY, evn_nowhere, evn_nowhere, "memory ran out over uncertain data");
    return false;
}

/* False when memory is out. */
static bool vary(evn_uncertainty *u)
{
    evn_nominal of = {.cycle = evn_comparison_cycle(u->of), .asked = &evn_comparison_asks(u->of)->load_case};
    of.who = evn_comparison_contenders(u->of, &of.count);
    return evn_varied_of(&of, &u->data, u->arena, &u->varied);
}

/* False: said. */
static bool find(finding *f)
{
    evn_uncertainty *u = f->of;
    find_trucks(u);
    if (!can_be_found(u, f->report))
        return false;
    if (!vary(u) || !make_cases(f))
        return no_memory(f->report);
    if (!drive_all(f))
        return false;
    u->facts.partial = was_stopped(f);
    if (u->facts.partial)
        evn_say(f->report, EVN_FAULT_INTERRUPTED, evn_nowhere, evn_nowhere,
                any_driven(u) ? "interrupted; what was whole by then is there"
                              : "interrupted; no run was whole by then");
    return evn_answer_make(u) || no_memory(f->report);
}

evn_uncertainty *evn_uncertainty_make(const evn_comparison *c, evn_arena *arena, const evn_data *data,
                                      const evn_uncertainty_how *how, evn_report *report)
{
    evn_uncertainty *u = evn_arena_take(arena, sizeof *u);
    finding f = {.of = u, .how = how, .report = report};
    evn_runs_begin(&f.runs, &(evn_runs_how){how->threads, how->self, how->go_on});
    bool found = u || no_memory(report);
    if (u) {
        u->arena = arena;
        u->of = c;
        u->data = *data;
        evn_comparison_contenders(c, &u->trucks);
        u->facts = (evn_uncertainty_facts){.method = how->method,
                                           .draws_asked = draws_of(how),
                                           .seed = how->seed,
                                           .data = data->count,
                                           .uneven = evn_data_uneven(data)};
        found = find(&f);
    }
    evn_runs_end(&f.runs);
    evn_ceiling_clear(&f.speed);
    if (found)
        return u;
    evn_arena_free(arena);
    return NULL;
}
