/* Parts each other truck's difference against the first, and answers what is asked of it. */
#include "causes/find.h"
#include "causes/pair_speed.h"
#include "lineup/outcome.h"
#include <math.h>
#include <stdlib.h>
#include <string.h>

typedef struct finding {
    evn_causes *of;
    const evn_comparison *compared;
    const evn_causes_how *how;
    evn_runs runs;
    size_t to_come;
    evn_report *report;
} finding;

/* ------------------------------------------------------------------------------------------------ as compared */

evn_two evn_two_of(const evn_comparison *c, size_t against, size_t truck)
{
    size_t count;
    const evn_contender *who = evn_comparison_contenders(c, &count);
    return (evn_two){{who[against].truck, who[truck].truck},
                     {evn_comparison_load_case(c, against), evn_comparison_load_case(c, truck)}};
}

static double result_of(const evn_comparison *c, size_t truck, evn_basis basis, const char *key)
{
    const evn_outcome *o = evn_comparison_outcome(c, truck, basis);
    double value;
    return evn_outcome_finished(o) && evn_results_get(o->results, key, &value) ? value : (double)NAN;
}

static bool took_part(const evn_comparison *c, size_t truck)
{
    double value = result_of(c, truck, EVN_BASIS_COMMON, evn_comparison_decides(c));
    return !isnan(value) && value != 0;
}

/* The truck that all are held against, as ranking and report have it (show/compare_held.h): the first, or where that
 * did not finish the one that takes least; the count of trucks: no two finished that could be held. */
static size_t held_against(const evn_comparison *c)
{
    size_t trucks, count = 0, least;
    evn_comparison_contenders(c, &trucks);
    least = trucks;
    for (size_t i = 0; i < trucks; i++) {
        double value = result_of(c, i, EVN_BASIS_COMMON, evn_comparison_decides(c));
        if (!took_part(c, i))
            continue;
        count++;
        if (least == trucks || value < result_of(c, least, EVN_BASIS_COMMON, evn_comparison_decides(c)))
            least = i;
    }
    return took_part(c, 0) ? 0 : count > 1 ? least : trucks;
}

static void take_compared(finding *f, size_t truck)
{
    const evn_comparison *c = f->compared;
    const char *key = f->of->decides;
    evn_causes_pair *facts = &f->of->pair[truck].facts;
    size_t against = f->of->against;
    facts->first = result_of(c, against, EVN_BASIS_COMMON, key);
    facts->other = result_of(c, truck, EVN_BASIS_COMMON, key);
    facts->first_own = result_of(c, against, EVN_BASIS_OWN, key);
    facts->other_own = result_of(c, truck, EVN_BASIS_OWN, key);
    facts->own_speed = facts->other_own - facts->first_own - (facts->other - facts->first);
    facts->state = took_part(c, truck) ? EVN_CAUSES_STOPPED : EVN_CAUSES_NOT_DRIVEN;
}

/* ------------------------------------------------------------------------------------------------ a pair */

static evn_mixing mixing_of(finding *f)
{
    return (evn_mixing){.cycle = evn_comparison_cycle(f->compared),
                        .driving = evn_comparison_asks(f->compared)->driving,
                        .decides = f->of->decides,
                        .runs = &f->runs,
                        .to_come = &f->to_come};
}

/* More trucks than the two have a part in the comparison's common speed. */
static bool has_others(const evn_comparison *c)
{
    size_t trucks, count = 0;
    evn_comparison_contenders(c, &trucks);
    for (size_t i = 0; i < trucks; i++)
        count += took_part(c, i);
    return count > 2;
}

/* False when memory is out. */
static bool take_speed(finding *f, size_t truck, const evn_mixture *m, const evn_mixing *how)
{
    evn_causes_pair *facts = &f->of->pair[truck].facts;
    const evn_mixed *first = &m->one[m->place[0]];
    double of_all = result_of(f->compared, f->of->against, EVN_BASIS_COMMON, "mean_speed_km_h"), of_two = of_all;
    bool all = !has_others(f->compared) ||
               evn_pair_mean_km_h(f->compared, (const size_t[]){f->of->against, truck}, how, &of_two);
    facts->duration_s = first->duration_s;
    facts->slower_km_h = of_all - first->mean_km_h;
    facts->below_pair_km_h = of_two - first->mean_km_h;
    return all;
}

static bool part_with(finding *f, size_t truck, evn_mixture *m)
{
    evn_parting *p = &f->of->pair[truck];
    const size_t pair[] = {f->of->against, truck};
    const evn_two two = evn_two_of(f->compared, pair[0], truck);
    const evn_mixing how = mixing_of(f);
    if (!evn_mixture_make(&two, f->of->arena, m) || !evn_ceiling_lower(&p->speed, evn_comparison_ceiling(f->compared)))
        return false;
    p->differing = evn_differing_of(&two, f->of->arena);
    if (!p->differing)
        return false;
    p->facts.laid_out_alike = evn_laid_out_alike(two.truck[0], two.truck[1]);
    evn_parting_begin(p, m);
    if (!evn_parting_drive(p, m, &how))
        return false;
    if (p->facts.state != EVN_CAUSES_FOUND)
        return true;
    evn_parting_sum(p, m);
    return take_speed(f, truck, m, &how) && evn_parting_laws(p, m, &how) &&
           (!f->how->draws || evn_parting_draws(p, f->how->draws, pair, &how, f->report));
}

/* False when memory is out. */
static bool part(finding *f, size_t truck)
{
    evn_mixture *m = calloc(1, sizeof *m);
    bool all = m && part_with(f, truck, m);
    if (m)
        evn_mixture_end(m);
    free(m);
    return all;
}

/* ------------------------------------------------------------------------------------------------ how many runs */

/* Of a pair as it is first merged: its different hybrids. 0 when memory is out. */
static size_t hybrids_of(const evn_comparison *c, size_t against, size_t truck)
{
    evn_arena *arena = evn_arena_new();
    evn_mixture *m = calloc(1, sizeof *m);
    evn_parting *p = calloc(1, sizeof *p);
    const evn_two two = evn_two_of(c, against, truck);
    size_t count = 0;
    if (arena && m && p && evn_mixture_make(&two, arena, m)) {
        evn_parting_begin(p, m);
        count = evn_mixture_want(m, p->group);
    }
    free(p);
    free(m);
    if (arena)
        evn_arena_free(arena);
    return count;
}

static bool is_asked(const evn_causes_how *how, size_t truck) { return !how->one_alone || how->truck == truck; }

size_t evn_causes_runs(const evn_comparison *c, const evn_causes_how *how)
{
    size_t trucks, count = 0;
    if (!c || !how)
        return 0;
    size_t of_two = has_others(c) ? EVN_PAIR_RUNS : 0, against = held_against(c);
    evn_comparison_contenders(c, &trucks);
    for (size_t i = 0; against < trucks && i < trucks; i++)
        if (i != against && is_asked(how, i) && took_part(c, i))
            count += hybrids_of(c, against, i) * (1 + evn_causes_draws_of(how->draws)) + EVN_LAW_COUNT + of_two;
    return count;
}

/* ------------------------------------------------------------------------------------------------ the whole */

static bool no_memory(evn_report *report)
{
    evn_say(report, EVN_FAULT_OUT_OF_MEMORY, evn_nowhere, evn_nowhere, "memory ran out over causes");
    return false;
}

static bool any_found(const evn_causes *of)
{
    for (size_t i = 0; i < of->trucks; i++)
        if (i != of->against && of->pair[i].facts.state == EVN_CAUSES_FOUND)
            return true;
    return false;
}

static bool find(finding *f)
{
    bool all = true;
    f->to_come = evn_causes_runs(f->compared, f->how);
    evn_runs_expect(&f->runs, f->to_come);
    for (size_t i = 0; i < f->of->trucks; i++)
        if (i != f->of->against)
            take_compared(f, i);
    for (size_t i = 0; all && i < f->of->trucks && !evn_runs_stopped(&f->runs); i++)
        if (i != f->of->against && is_asked(f->how, i) && took_part(f->compared, i))
            all = part(f, i);
    if (!all)
        return no_memory(f->report);
    evn_runs_expect(&f->runs, 0);
    f->of->partial = evn_runs_stopped(&f->runs);
    if (f->of->partial)
        evn_say(f->report, EVN_FAULT_INTERRUPTED, evn_nowhere, evn_nowhere,
                any_found(f->of) ? "interrupted; the causes that were whole by then are told"
                                 : "interrupted; no causes were whole by then");
    return true;
}

static evn_causes *make(const evn_comparison *c)
{
    evn_arena *arena = evn_arena_new();
    evn_causes *causes = arena ? evn_arena_take(arena, sizeof *causes) : NULL;
    if (causes) {
        causes->arena = arena;
        causes->decides = evn_comparison_decides(c);
        causes->against = held_against(c);
        evn_comparison_contenders(c, &causes->trucks);
        causes->pair = evn_arena_take(arena, causes->trucks * sizeof *causes->pair);
    }
    if (causes && causes->pair)
        return causes;
    if (arena)
        evn_arena_free(arena);
    return NULL;
}

evn_status evn_causes_find(const evn_comparison *c, const evn_causes_how *how, evn_causes **out, evn_report *report)
{
    if (out)
        *out = NULL;
    if (!evn_not_null(report, __func__, (const evn_argument[]){{"comparison", c}, {"how", how}, {"out", out}, {0}}))
        return evn_report_status(report);
    if (!evn_comparison_cycle(c)) {
        evn_say(report, EVN_FAULT_USAGE, evn_nowhere, evn_nowhere,
                "why trucks differ over a duty is not found; expected a comparison over a cycle");
        return evn_report_status(report);
    }
    size_t trucks;
    evn_comparison_contenders(c, &trucks);
    if (held_against(c) == trucks) {
        evn_say(report, EVN_FAULT_NOT_FINISHED, evn_nowhere, evn_nowhere,
                "why the trucks differ cannot be told: %s did not finish at the common speed, nor did two others",
                evn_comparison_told(c, 0));
        return evn_report_status(report);
    }
    finding f = {.of = make(c), .compared = c, .how = how, .report = report};
    evn_runs_begin(&f.runs, &(evn_runs_how){how->threads, how->self, how->go_on});
    bool found = f.of ? find(&f) : no_memory(report);
    evn_runs_end(&f.runs);
    if (found)
        *out = f.of;
    else
        evn_causes_free(f.of);
    return evn_report_status(report);
}

void evn_causes_free(evn_causes *causes)
{
    if (!causes)
        return;
    for (size_t i = 0; i < causes->trucks; i++)
        evn_ceiling_clear(&causes->pair[i].speed);
    evn_arena_free(causes->arena);
}
