/*
 * Which values of a few parameters explain a log best: least squares of the energies of blocks, a few rounds of
 * Gauss-Newton. Each round is one run of the truck with the values found so far; derivatives are those of derive.c.
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
    double x[EVN_MATCH_PARAMETERS];
    double *run_j;      /* [blocks] at the last x */
    double *derivative; /* [blocks][EVN_MATCH_PARAMETERS] of the run as stated, kJ for a step */
} search;

static const double J_PER_KJ = 1e3;

/* ------------------------------------------------------------------------------------------------ driving */

static void values_of(const search *s, double value[EVN_MATCH_PARAMETERS])
{
    for (size_t k = 0; k < EVN_MATCH_PARAMETERS; k++)
        value[k] = evn_match_stated((evn_match_parameter)k, s->drive->rig);
    for (size_t i = 0; i < s->fit->count; i++)
        value[s->fit->parameter[i]] += s->step[i] * s->x[i];
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

/* With the values at x: the rows of the run stay with the fit. */
static bool drive_there(search *s)
{
    double value[EVN_MATCH_PARAMETERS];
    evn_match_variant variant = {.made = NULL};
    evn_report *report = evn_report_new(); /* what such a truck would be warned of is no news of the one asked about */
    values_of(s, value);
    bool made = report && evn_match_vary(&variant, s->drive->truck, s->drive->load_case, s->drive->rig, s->fit->which,
                                         value, report);
    evn_modelled_free(&s->fit->run);
    made = made && drive(s, &variant.rig, &s->fit->run, report);
    if (made) {
        evn_modelled_end(&s->fit->run, s->drive->charge_j, value[EVN_MATCH_REGENERATION]);
        evn_match_blocks_run(s->blocks, &s->fit->run, s->run_j);
    }
    evn_match_variant_free(&variant);
    evn_report_free(report);
    return made;
}

/* ------------------------------------------------------------------------------------------------ sums */

static double squares(const search *s)
{
    double sum = 0;
    for (size_t b = 0; b < s->blocks->count; b++)
        sum += pow((s->run_j[b] - s->blocks->log_j[b]) / J_PER_KJ, 2);
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
        if (s->blocks->parts > 0)
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
    size_t free_rows = s->blocks->count - f->count;
    double variance = squares(s) / (double)free_rows;
    f->by_scatter = evn_normal_jackknife(part, s->blocks->parts, f->count, scatter);
    for (size_t i = 0; i < f->count; i++) {
        double half = evn_student_95(free_rows) * sqrt(variance * inverse[i][i]);
        if (f->by_scatter)
            half = fmax(half, evn_student_95(s->blocks->parts - 1) * sqrt(scatter[i][i]));
        f->half[i] = s->step[i] * half;
        f->value[i] = f->stated[i] + s->step[i] * s->x[i];
        for (size_t j = 0; j < f->count; j++)
            f->correlation[i][j] = inverse[i][j] / sqrt(inverse[i][i] * inverse[j][j]);
    }
}

/* ------------------------------------------------------------------------------------------------ the search */

/* Rounds from the run as stated on, whose blocks stand in run_j. False: a run did not finish. */
static bool go_round(search *s)
{
    evn_normal part[EVN_MATCH_PARTS], all;
    double step[EVN_NORMAL_MOST], inverse[EVN_NORMAL_MOST][EVN_NORMAL_MOST], before = squares(s);
    add_up(s, part, &all);
    put_alone(s, &all, before);
    s->fit->condition = evn_normal_condition(&all, s->fit->count);
    for (size_t round = 0; round < EVN_MATCH_ROUNDS; round++) {
        if (!evn_normal_solve(&all, s->fit->count, step, inverse)) {
            s->fit->why_not = "this log says the same of two of the parameters, or nothing of one";
            return true;
        }
        for (size_t i = 0; i < s->fit->count; i++)
            s->x[i] += step[i];
        if (!drive_there(s))
            return false;
        add_up(s, part, &all);
    }
    s->fit->found = true;
    s->fit->share = 1 - squares(s) / before;
    put_intervals(s, part, inverse);
    return true;
}

static bool explain(search *s, const evn_modelled *stated)
{
    evn_match_fit *f = s->fit;
    if (!evn_match_derive(s->blocks, stated, s->drive->rig, f->parameter, f->count, s->derivative))
        return false;
    for (size_t k = 0; k < s->blocks->count * EVN_MATCH_PARAMETERS; k++)
        s->derivative[k] /= J_PER_KJ;
    evn_match_blocks_run(s->blocks, stated, s->run_j);
    if (!go_round(s))
        f->why_not = "a run with the values that the log asks for did not finish";
    return !evn_runs_stopped(s->drive->runs);
}

bool evn_match_explain(evn_match_drive *drive, const evn_match_blocks *blocks, const evn_modelled *stated,
                       evn_match_fit *fit)
{
    search s = {.drive = drive, .blocks = blocks, .fit = fit};
    for (size_t k = 0; k < EVN_MATCH_PARAMETERS; k++)
        if (fit->which & 1u << k) {
            fit->stated[fit->count] = evn_match_stated((evn_match_parameter)k, drive->rig);
            s.step[fit->count] = evn_match_step((evn_match_parameter)k, drive->rig);
            fit->parameter[fit->count++] = (evn_match_parameter)k;
        }
    if (blocks->count < 2 * fit->count + 1) {
        fit->why_not = "the log is too short: it has fewer blocks than it takes to tell parameters from each other";
        return true;
    }
    s.run_j = calloc(blocks->count, sizeof *s.run_j);
    s.derivative = calloc(blocks->count * EVN_MATCH_PARAMETERS, sizeof *s.derivative);
    bool made = s.run_j && s.derivative && explain(&s, stated);
    fit->runs = drive->driven;
    free(s.run_j);
    free(s.derivative);
    return made;
}
