/* Drives what two trucks come to, and parts their difference. */
#include "causes/parting.h"
#include "causes/average.h"
#include "lineup/common.h"
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* ------------------------------------------------------------------------------------------------ groups */

unsigned evn_parting_causes(const evn_parting *p, size_t group)
{
    unsigned causes = 0;
    for (unsigned c = 0; c < EVN_CAUSE_COUNT; c++)
        causes |= p->group[c] == group ? 1u << c : 0;
    return causes;
}

unsigned evn_parting_set(const evn_parting *p, unsigned groups)
{
    unsigned set = 0;
    for (unsigned c = 0; c < EVN_CAUSE_COUNT; c++)
        set |= groups >> p->group[c] & 1u ? 1u << c : 0;
    return set;
}

static const evn_mixed *of_groups(const evn_parting *p, const evn_mixture *m, unsigned groups)
{
    return &m->one[m->place[evn_parting_set(p, groups)]];
}

/* ------------------------------------------------------------------------------------------------ merging */

static bool is_faulty(const evn_mixed *is) { return !is->hybrid.sound || is->reason[0] != '\0' || is->slow; }

static size_t count_faulty(const evn_parting *p, const evn_mixture *m)
{
    size_t count = 0;
    for (unsigned groups = 0; groups < 1u << p->groups; groups++)
        count += is_faulty(of_groups(p, m, groups));
    return count;
}

static void join(evn_parting *p, unsigned one, unsigned other)
{
    for (size_t c = 0; c < EVN_CAUSE_COUNT; c++) {
        unsigned g = p->group[c];
        p->group[c] = g == other ? one : g > other ? g - 1 : g;
    }
    p->groups--;
}

static const char *reason_of(const evn_mixed *is)
{
    if (!is->hybrid.sound)
        return is->hybrid.reason;
    return is->reason[0] != '\0' ? is->reason : "it is too slow to follow";
}

static void note(evn_parting *p, const evn_mixture *m, unsigned one, unsigned other)
{
    evn_merged *to = &p->merged[p->merges++];
    unsigned groups = 0;
    to->one = to->other = EVN_CAUSE_COUNT;
    while (!is_faulty(of_groups(p, m, groups)))
        groups++;
    for (unsigned c = EVN_CAUSE_COUNT; c-- > 0;) {
        to->one = p->group[c] == one ? (evn_cause)c : to->one;
        to->other = p->group[c] == other ? (evn_cause)c : to->other;
    }
    snprintf(to->reason, sizeof to->reason, "%s", reason_of(of_groups(p, m, groups)));
}

/* The two groups whose merging leaves the fewest faulty hybrids; of equals the first. */
static void merge_two(evn_parting *p, const evn_mixture *m)
{
    size_t best = EVN_HYBRIDS_MOST + 1;
    unsigned one = 0, other = 1;
    for (unsigned b = 1; b < p->groups; b++)
        for (unsigned a = 0; a < b; a++) {
            evn_parting trial = *p;
            join(&trial, a, b);
            size_t left = count_faulty(&trial, m);
            if (left < best) {
                best = left;
                one = a;
                other = b;
            }
        }
    note(p, m, one, other);
    join(p, one, other);
}

static void merge_faulty(evn_parting *p, const evn_mixture *m)
{
    while (p->groups > 1 && count_faulty(p, m) > 0)
        merge_two(p, m);
}

void evn_parting_begin(evn_parting *p, const evn_mixture *m)
{
    for (unsigned c = 0; c < EVN_CAUSE_COUNT; c++)
        p->group[c] = c;
    p->groups = EVN_CAUSE_COUNT;
    p->merges = 0;
    merge_faulty(p, m);
}

/* ------------------------------------------------------------------------------------------------ one speed */

static bool all_keep(const evn_mixture *m)
{
    for (size_t k = 0; k < m->count; k++)
        if (m->one[k].wanted && m->one[k].late)
            return false;
    return true;
}

/* The trucks themselves. */
static const evn_mixed *end_of(const evn_parting *p, const evn_mixture *m, bool other)
{
    return of_groups(p, m, other ? (1u << p->groups) - 1 : 0);
}

static bool ends_are_driven(const evn_parting *p, const evn_mixture *m)
{
    return !isnan(end_of(p, m, false)->value) && !isnan(end_of(p, m, true)->value);
}

bool evn_parting_drive(evn_parting *p, evn_mixture *m, const evn_mixing *how)
{
    bool all = true, kept = false;
    for (p->facts.rounds = 0; all && !kept && p->facts.rounds < EVN_ROUNDS_MOST; p->facts.rounds++) {
        p->facts.hybrids = evn_mixture_want(m, p->group);
        all = (p->facts.rounds == 0 || evn_mixture_lower(m, &p->speed)) && evn_mixture_drive(m, how, &p->speed, 0);
        if (!all || evn_runs_stopped(how->runs))
            return all;
        merge_faulty(p, m);
        p->facts.hybrids = evn_mixture_want(m, p->group);
        kept = all_keep(m);
        *how->to_come += kept ? 0 : p->facts.hybrids;
    }
    p->facts.kept = kept;
    p->facts.state = all && ends_are_driven(p, m) ? EVN_CAUSES_FOUND : EVN_CAUSES_NOT_DRIVEN;
    return all;
}

/* ------------------------------------------------------------------------------------------------ parts */

/* Whether no exchange of it makes another truck. */
static bool is_alike(const evn_parting *p, const evn_mixture *m, size_t group)
{
    for (unsigned groups = 0; groups < 1u << p->groups; groups++)
        if (of_groups(p, m, groups) != of_groups(p, m, groups ^ 1u << group))
            return false;
    return true;
}

static void sum_lines(evn_parting *p, const evn_mixture *m)
{
    double value[EVN_HYBRIDS_MOST], part[EVN_CAUSE_COUNT];
    for (size_t line = 0; line < EVN_CAUSE_LINES; line++) {
        for (unsigned groups = 0; groups < 1u << p->groups; groups++)
            value[groups] = of_groups(p, m, groups)->line[line];
        evn_average_over_orders(value, p->groups, part);
        for (size_t g = 0; g < p->groups; g++)
            p->line[g][line] = part[g];
    }
}

/* What is the layout's doing, and what is not. */
static void sum_kinds(evn_parting *p)
{
    evn_cause_row row;
    p->facts.layout = p->facts.rest = p->facts.mixed = 0;
    for (size_t g = 0; g < p->groups; g++) {
        bool layout = false, rest = false;
        for (unsigned c = 0; c < EVN_CAUSE_COUNT; c++)
            if (p->group[c] == g && evn_cause_row_at(c, &row))
                *(row.of_layout ? &layout : &rest) = true;
        *(layout && rest ? &p->facts.mixed : layout ? &p->facts.layout : &p->facts.rest) += p->part[g];
    }
}

void evn_parting_sum(evn_parting *p, const evn_mixture *m)
{
    for (unsigned groups = 0; groups < 1u << p->groups; groups++)
        p->value[groups] = of_groups(p, m, groups)->value;
    evn_average_over_orders(p->value, p->groups, p->part);
    p->facts.first_parted = end_of(p, m, false)->value;
    p->facts.other_parted = end_of(p, m, true)->value;
    for (size_t g = 0; g < p->groups; g++) {
        evn_range_over_orders(p->value, p->groups, g, &p->least[g], &p->most[g]);
        p->alike[g] = is_alike(p, m, g);
    }
    sum_kinds(p);
    sum_lines(p, m);
}

/* ------------------------------------------------------------------------------------------------ laws */

typedef struct trial { /* the first truck with one law of the other's drivetrain */
    evn_rig rig;       /* shares all else with the truck's own */
    evn_run run;
    evn_law law;
} trial;

/* Laws that can be exchanged are ready to be driven; how many. False when memory is out. */
static bool make_trials(evn_parting *p, const evn_mixture *m, const evn_mixing *how, evn_arena *arena, trial *t,
                        size_t *count)
{
    const evn_mixed *first = end_of(p, m, false), *from = of_groups(p, m, 1u << p->group[EVN_CAUSE_DRIVETRAIN]);
    bool all = true;
    *count = 0;
    for (int law = 0; law < EVN_LAW_COUNT; law++) {
        trial *is = &t[*count];
        is->rig = *first->rig;
        is->law = (evn_law)law;
        p->law[law].why_not = evn_law_put(is->law, &is->rig, from->rig, arena);
        if (p->law[law].why_not)
            continue;
        is->run = (evn_run){.rig = &is->rig,
                            .load_case = first->load_case,
                            .cycle = how->cycle,
                            .driving = how->driving,
                            .report = evn_report_new()};
        evn_common_ask(&is->run, &p->speed);
        all = is->run.report && all;
        ++*count;
    }
    return all;
}

static void drive_trials(evn_parting *p, const evn_mixing *how, trial *t, size_t count)
{
    evn_run list[EVN_LAW_COUNT];
    double line[EVN_CAUSE_LINES], value;
    for (size_t k = 0; k < count; k++)
        list[k] = t[k].run;
    evn_runs_drive(how->runs, list, count);
    p->laws = !evn_runs_stopped(how->runs);
    for (size_t k = 0; k < count; k++) {
        evn_law_found *found = &p->law[t[k].law];
        bool finished = list[k].results && strcmp(list[k].status, "finished") == 0 &&
                        evn_mixed_take(list[k].results, how->decides, &value, line);
        if (!finished)
            found->why_not = "the first truck does not get to the end with it";
        else if (!evn_is_in_time(list[k].results, EVN_HYBRID_SLOW_SHARE))
            found->why_not = "the first truck is too slow with it to follow";
        else
            found->part = value - p->facts.first_parted;
        evn_run_forget(&list[k]);
    }
}

bool evn_parting_laws(evn_parting *p, const evn_mixture *m, const evn_mixing *how)
{
    evn_arena *arena = evn_arena_new();
    trial *t = calloc(EVN_LAW_COUNT, sizeof *t);
    size_t count = 0;
    bool all = arena && t && make_trials(p, m, how, arena, t, &count);
    if (all)
        drive_trials(p, how, t, count);
    for (size_t k = 0; k < count; k++)
        evn_report_free(t[k].run.report);
    *how->to_come -= EVN_LAW_COUNT < *how->to_come ? EVN_LAW_COUNT : *how->to_come;
    evn_runs_expect(how->runs, *how->to_come);
    free(t);
    if (arena)
        evn_arena_free(arena);
    return all;
}
