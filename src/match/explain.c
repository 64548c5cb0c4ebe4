/*
 * Which values of a few parameters explain a log best: least squares of the energies of blocks, a few rounds of
 * Gauss-Newton within the bounds that a parameter has. Each round is one run of the truck with the values that are
 * tried; one that is worse than the best so far is not kept, and the next step from there is half as long. Derivatives
 * are those of derive.c.
 */
#include "match/match.h"
#include <math.h>
#include <stdlib.h>
#include <string.h>

typedef struct search {
    evn_match_drive *drive;
    const evn_match_blocks *blocks;
    evn_match_fit *fit;
    double step[EVN_MATCH_PARAMETERS]; /* unknowns are in steps */
    double least[EVN_MATCH_PARAMETERS], most[EVN_MATCH_PARAMETERS];
    double x[EVN_MATCH_PARAMETERS]; /* the best so far */
    double *run_j;                  /* [blocks] at x */
    double *tried_j;                /* [blocks] of the last round */
    bool finished;                  /* a run of any round did */
    double *derivative;             /* [blocks][EVN_MATCH_PARAMETERS] of the run as stated, kJ for a step */
} search;

static const double J_PER_KJ = 1e3;

/* ------------------------------------------------------------------------------------------------ driving */

static void values_of(const search *s, const double *x, double value[EVN_MATCH_PARAMETERS])
{
    for (size_t k = 0; k < EVN_MATCH_PARAMETERS; k++)
        value[k] = evn_match_stated((evn_match_parameter)k, s->drive->rig);
    for (size_t i = 0; i < s->fit->count; i++)
        value[s->fit->parameter[i]] += s->step[i] * x[i];
}

/* Drives a variant; false: no results to its end. */
static bool drive(search *s, const evn_rig *rig, evn_modelled *rows, evn_report *report)
{
    evn_sampler sampler = evn_modelled_sampler(rows, rig);
    evn_run run = {.rig = rig,
                   .cycle = s->drive->cycle,
                   .driving = *s->drive->driving,
                   .sampler = &sampler,
                   .samplers = 1,
                   .report = report};
    evn_runs_drive(s->drive->runs, &run, 1);
    bool finished = run.status && strcmp(run.status, "finished") == 0 && !rows->out_of_memory;
    evn_run_forget(&run);
    s->drive->driven++;
    return finished;
}

/* With the values at x: its rows, and the energies of its blocks in tried_j. */
static bool drive_there(search *s, const double *x, evn_modelled *rows)
{
    double value[EVN_MATCH_PARAMETERS];
    evn_match_variant variant = {.made = NULL};
    evn_report *report = evn_report_new(); /* what such a truck would be warned of is no news of the one asked about */
    values_of(s, x, value);
    bool made = report && evn_match_vary(&variant, s->drive->truck, s->drive->load_case, s->drive->rig, s->fit->which,
                                         value, report);
    made = made && drive(s, &variant.rig, rows, report);
    if (made) {
        evn_modelled_end(rows, s->drive->charge_j, value[EVN_MATCH_REGENERATION]);
        evn_match_blocks_run(s->blocks, rows, s->tried_j);
    }
    evn_match_variant_free(&variant);
    evn_report_free(report);
    return made;
}

/* ------------------------------------------------------------------------------------------------ sums */

static double squares(const search *s, const double *run_j)
{
    double sum = 0;
    for (size_t b = 0; b < s->blocks->count; b++)
        sum += pow((run_j[b] - s->blocks->log_j[b]) / J_PER_KJ, 2);
    return sum;
}

/* Of each part of the log, and of all; the right side is log less run. */
static void add_up(const search *s, evn_normal part[EVN_MATCH_PARTS], evn_normal *all)
{
    memset(part, 0, EVN_MATCH_PARTS * sizeof *part);
    memset(all, 0, sizeof *all);
    for (size_t b = 0; b < s->blocks->count; b++) {
        const double *row = &s->derivative[b * EVN_MATCH_PARAMETERS];
        double residual = (s->blocks->log_j[b] - s->run_j[b]) / J_PER_KJ;
        if (s->blocks->parts > 0 && !s->blocks->lost[b])
            evn_normal_add(&part[evn_match_part(s->blocks, b)], s->fit->count, row, residual);
        evn_normal_add(all, s->fit->count, row, residual);
    }
}

/* What each explains if nothing else is changed: before anything is. */
static void put_alone(const search *s, const evn_normal *all, double before)
{
    for (size_t i = 0; i < s->fit->count && before > 0; i++)
        s->fit->alone_share[i] = all->matrix[i][i] > 0 ? all->right[i] * all->right[i] / all->matrix[i][i] / before : 0;
}

static void put_intervals(const search *s, const evn_normal *part, double inverse[][EVN_NORMAL_MOST])
{
    evn_match_fit *f = s->fit;
    double scatter[EVN_NORMAL_MOST][EVN_NORMAL_MOST];
    size_t free_rows = s->blocks->held - f->count;
    double variance = squares(s, s->run_j) / (double)free_rows;
    f->by_scatter = evn_normal_jackknife(part, s->blocks->parts, f->count, scatter);
    for (size_t i = 0; i < f->count; i++) {
        double half = evn_student_95(free_rows) * sqrt(variance * inverse[i][i]);
        if (f->by_scatter)
            half = fmax(half, evn_student_95(s->blocks->parts - 1) * sqrt(scatter[i][i]));
        f->half[i] = s->step[i] * half;
        f->value[i] = f->stated[i] + s->step[i] * s->x[i];
        f->at_bound[i] = s->x[i] <= s->least[i] || s->x[i] >= s->most[i];
        for (size_t j = 0; j < f->count; j++)
            f->correlation[i][j] = inverse[i][j] / sqrt(inverse[i][i] * inverse[j][j]);
    }
}

/* ------------------------------------------------------------------------------------------------ the search */

static double of(const evn_normal *n, size_t i, size_t j) { return i >= j ? n->matrix[i][j] : n->matrix[j][i]; }

/* The step of those that are free, where the others step to their bounds. */
static bool solve_free(const evn_normal *all, size_t count, const bool *fixed, double *step)
{
    evn_normal some = {.right = {0}};
    size_t place[EVN_NORMAL_MOST], left = 0;
    double found[EVN_NORMAL_MOST];
    for (size_t i = 0; i < count; i++)
        if (!fixed[i])
            place[left++] = i;
    for (size_t i = 0; i < left; i++) {
        some.right[i] = all->right[place[i]];
        for (size_t j = 0; j <= i; j++)
            some.matrix[i][j] = of(all, place[i], place[j]);
        for (size_t k = 0; k < count; k++)
            some.right[i] -= fixed[k] ? of(all, place[i], k) * step[k] : 0;
    }
    if (left > 0 && !evn_normal_solve(&some, left, found, NULL))
        return false;
    for (size_t i = 0; i < left; i++)
        step[place[i]] = found[i];
    return true;
}

/* A step within the bounds: whatever would go furthest beyond stays at its bound, and the others make up for it. */
static bool step_within(const search *s, const evn_normal *all, double *step)
{
    bool fixed[EVN_NORMAL_MOST] = {false};
    size_t count = s->fit->count;
    for (size_t round = 0; round <= count; round++) {
        double furthest = 0;
        size_t at = count;
        if (!solve_free(all, count, fixed, step))
            return false;
        for (size_t i = 0; i < count; i++) {
            double to = s->x[i] + step[i], off = fmax(to - s->most[i], s->least[i] - to);
            if (!fixed[i] && off > furthest) {
                furthest = off;
                at = i;
            }
        }
        if (at == count)
            return true;
        fixed[at] = true;
        step[at] = (s->x[at] + step[at] > s->most[at] ? s->most[at] : s->least[at]) - s->x[at];
    }
    return true;
}

/* One run, a share of the step from the best so far; true: it is better, and the best now. */
static bool try_there(search *s, const double *step, double share)
{
    double x[EVN_MATCH_PARAMETERS];
    evn_modelled rows = {0};
    for (size_t i = 0; i < s->fit->count; i++)
        x[i] = fmin(fmax(s->x[i] + share * step[i], s->least[i]), s->most[i]);
    bool finished = drive_there(s, x, &rows);
    bool better = finished && squares(s, s->tried_j) < squares(s, s->run_j);
    s->finished = s->finished || finished;
    if (better) {
        double *other = s->run_j;
        s->run_j = s->tried_j;
        s->tried_j = other;
        memcpy(s->x, x, s->fit->count * sizeof *x);
        evn_modelled_free(&s->fit->run);
        s->fit->run = rows;
    } else
        evn_modelled_free(&rows);
    return better;
}

/* Rounds from the run as stated on, whose blocks stand in run_j. */
static void go_round(search *s)
{
    evn_normal part[EVN_MATCH_PARTS], all;
    double step[EVN_NORMAL_MOST], inverse[EVN_NORMAL_MOST][EVN_NORMAL_MOST], before = squares(s, s->run_j), share = 1;
    add_up(s, part, &all);
    put_alone(s, &all, before);
    s->fit->condition = evn_normal_condition(&all, s->fit->count);
    if (!evn_normal_solve(&all, s->fit->count, step, inverse)) {
        s->fit->why_not = "this log says the same of two of the parameters, or nothing of one";
        return;
    }
    for (size_t round = 0; round < EVN_MATCH_ROUNDS && !evn_runs_stopped(s->drive->runs); round++) {
        if (!step_within(s, &all, step))
            break;
        share = try_there(s, step, share) ? fmin(2 * share, 1) : share / 2;
        add_up(s, part, &all);
    }
    s->fit->share = before > 0 ? 1 - squares(s, s->run_j) / before : 0;
    s->fit->found = s->fit->share > 0;
    if (s->fit->found)
        put_intervals(s, part, inverse);
    else
        s->fit->why_not = s->finished ? "with no values that a truck can have the run comes nearer to the log than as "
                                        "it is stated"
                                      : "no run with the values that the log asks for came to its end";
}

static bool explain(search *s, const evn_modelled *stated)
{
    evn_match_fit *f = s->fit;
    if (!evn_match_derive(s->blocks, stated, s->drive->rig, f->parameter, f->count, s->derivative))
        return false;
    for (size_t k = 0; k < s->blocks->count * EVN_MATCH_PARAMETERS; k++)
        s->derivative[k] /= J_PER_KJ;
    evn_match_blocks_run(s->blocks, stated, s->run_j);
    go_round(s);
    return !evn_runs_stopped(s->drive->runs);
}

/* In steps from what is stated, which they always hold. */
static void put_bounds(search *s, size_t index, evn_match_parameter parameter)
{
    evn_match_bounds bounds = evn_match_bounds_of(parameter, s->drive->rig);
    double stated = evn_match_stated(parameter, s->drive->rig);
    s->least[index] = fmin((bounds.least - stated) / s->step[index], 0);
    s->most[index] = fmax((bounds.most - stated) / s->step[index], 0);
}

bool evn_match_explain(evn_match_drive *drive, const evn_match_blocks *blocks, const evn_modelled *stated,
                       evn_match_fit *fit)
{
    search s = {.drive = drive, .blocks = blocks, .fit = fit};
    for (size_t k = 0; k < EVN_MATCH_PARAMETERS; k++)
        if (fit->which & 1u << k) {
            fit->stated[fit->count] = evn_match_stated((evn_match_parameter)k, drive->rig);
            s.step[fit->count] = evn_match_step((evn_match_parameter)k, drive->rig);
            put_bounds(&s, fit->count, (evn_match_parameter)k);
            fit->parameter[fit->count++] = (evn_match_parameter)k;
        }
    if (blocks->held < 2 * fit->count + 1) {
        fit->why_not = "the log is too short: it has fewer blocks than it takes to tell parameters from each other";
        return true;
    }
    s.run_j = calloc(blocks->count, sizeof *s.run_j);
    s.tried_j = calloc(blocks->count, sizeof *s.tried_j);
    s.derivative = calloc(blocks->count * EVN_MATCH_PARAMETERS, sizeof *s.derivative);
    bool made = s.run_j && s.tried_j && s.derivative && explain(&s, stated);
    fit->runs = drive->driven;
    free(s.run_j);
    free(s.tried_j);
    free(s.derivative);
    return made;
}
