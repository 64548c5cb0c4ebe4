/*
 * Which values of a few parameters explain a log best: least squares of the energies of blocks, by Levenberg-Marquardt
 * (cminpack), each value of the sum a run of the truck, its derivatives one run each.
 */
#include "match/match.h"
#include <cminpack.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

typedef struct search {
    evn_match_drive *drive;
    const evn_match_blocks *blocks;
    evn_match_fit *fit;
    double scale[EVN_MATCH_PARAMETERS]; /* unknowns are in steps */
    double step[EVN_MATCH_PARAMETERS];
    double at[EVN_MATCH_PARAMETERS]; /* at which `run_j` holds */
    double *run_j;                   /* [blocks] */
    double *jacobian;                /* [blocks][EVN_MATCH_PARAMETERS] of the last one asked, kJ per step */
    const char *why_not;
} search;

/* ------------------------------------------------------------------------------------------------ driving */

static void values_of(const search *s, const double *x, double value[EVN_MATCH_PARAMETERS])
{
    for (size_t k = 0; k < EVN_MATCH_PARAMETERS; k++)
        value[k] = evn_match_stated((evn_match_parameter)k, s->drive->rig);
    for (size_t i = 0; i < s->fit->count; i++)
        value[s->fit->parameter[i]] += s->step[i] * x[i];
}

typedef struct flight {
    evn_match_variant variant;
    evn_modelled rows;
    evn_sampler sampler;
    evn_report *report;
} flight;

static bool prepare(const search *s, const double *x, flight *f, evn_run *run)
{
    const evn_match_drive *d = s->drive;
    double value[EVN_MATCH_PARAMETERS];
    values_of(s, x, value);
    f->report = evn_report_new();
    if (!f->report || !evn_match_vary(&f->variant, d->truck, d->load_case, d->rig, s->fit->which, value, f->report))
        return false;
    f->sampler = evn_modelled_sampler(&f->rows, &f->variant.rig);
    *run = (evn_run){.rig = &f->variant.rig,
                     .cycle = d->cycle,
                     .driving = *d->driving,
                     .sampler = &f->sampler,
                     .samplers = 1,
                     .report = f->report};
    return true;
}

static bool finished(const search *s, flight *f, const evn_run *run, double *run_j)
{
    if (!run->status || strcmp(run->status, "finished") != 0 || f->rows.out_of_memory)
        return false;
    evn_modelled_end(&f->rows, s->drive->charge_j);
    evn_match_blocks_run(s->blocks, &f->rows, run_j);
    return true;
}

/* Runs with so many sets of unknowns, at once. `rows` may be NULL; else it takes those of the first. */
static bool drive_all(search *s, double (*x)[EVN_MATCH_PARAMETERS], size_t count, double **run_j, evn_modelled *rows)
{
    flight of[EVN_MATCH_PARAMETERS] = {{{.made = NULL}}};
    evn_run run[EVN_MATCH_PARAMETERS] = {{.rig = NULL}};
    bool made = true;
    for (size_t k = 0; made && k < count; k++)
        made = prepare(s, x[k], &of[k], &run[k]);
    if (made)
        evn_runs_drive(s->drive->runs, run, count);
    s->drive->driven += made ? count : 0;
    for (size_t k = 0; made && k < count; k++)
        made = finished(s, &of[k], &run[k], run_j[k]);
    if (made && rows) {
        evn_modelled_free(rows);
        *rows = of[0].rows;
        of[0].rows = (evn_modelled){0};
    }
    for (size_t k = 0; k < count; k++) {
        evn_run_forget(&run[k]);
        evn_modelled_free(&of[k].rows);
        evn_match_variant_free(&of[k].variant);
        evn_report_free(of[k].report);
    }
    return made;
}

/* ------------------------------------------------------------------------------------------------ the search */

static const double J_PER_KJ = 1e3;

static bool drive_at(search *s, const double *x)
{
    double at[1][EVN_MATCH_PARAMETERS] = {{0}};
    memcpy(at[0], x, s->fit->count * sizeof *x);
    if (!drive_all(s, at, 1, &s->run_j, &s->fit->run))
        return false;
    memcpy(s->at, at[0], sizeof s->at);
    return true;
}

static bool is_at(const search *s, const double *x) { return memcmp(s->at, x, s->fit->count * sizeof *x) == 0; }

/* Forward differences of one step of each. */
static bool derive(search *s, const double *x)
{
    double at[EVN_MATCH_PARAMETERS][EVN_MATCH_PARAMETERS] = {{0}}, *run_j[EVN_MATCH_PARAMETERS];
    size_t blocks = s->blocks->count, count = s->fit->count;
    double *room = malloc(count * blocks * sizeof *room);
    bool made = room && (is_at(s, x) || drive_at(s, x));
    for (size_t i = 0; i < count; i++) {
        memcpy(at[i], x, count * sizeof *x);
        at[i][i] += 1;
        run_j[i] = room + i * blocks;
    }
    made = made && drive_all(s, at, count, run_j, NULL);
    for (size_t b = 0; made && b < blocks; b++)
        for (size_t i = 0; i < count; i++)
            s->jacobian[b * EVN_MATCH_PARAMETERS + i] = (run_j[i][b] - s->run_j[b]) / J_PER_KJ;
    free(room);
    return made;
}

/* As lmder wants it: 1, run less log in kJ; 2, its derivatives, column by column. */
static int ask(void *self, int rows, int unknowns, const double *x, double *residual, double *jacobian, int stride,
               int what)
{
    search *s = self;
    (void)unknowns;
    if (what == 1) {
        if (!is_at(s, x) && !drive_at(s, x))
            return -1;
        for (int b = 0; b < rows; b++)
            residual[b] = (s->run_j[b] - s->blocks->log_j[b]) / J_PER_KJ;
        return 0;
    }
    if (!derive(s, x))
        return -1;
    for (size_t i = 0; i < s->fit->count; i++)
        for (size_t b = 0; b < s->blocks->count; b++)
            jacobian[i * (size_t)stride + b] = s->jacobian[b * EVN_MATCH_PARAMETERS + i];
    return 0;
}

static const double TOLERANCE = 1e-5;

/* False when memory is out; else the status of lmder. */
static bool seek(search *s, double *x, int *came_to)
{
    int rows = (int)s->blocks->count, count = (int)s->fit->count, pivot[EVN_MATCH_PARAMETERS];
    int work_size = 5 * count + rows;
    double *residual = malloc((size_t)rows * sizeof *residual), *work = malloc((size_t)work_size * sizeof *work);
    double *jacobian = malloc((size_t)(rows * count) * sizeof *jacobian);
    bool room = residual && work && jacobian;
    if (room)
        *came_to = lmder1(ask, s, rows, count, x, residual, jacobian, rows, TOLERANCE, pivot, work, work_size);
    free(residual);
    free(work);
    free(jacobian);
    return room;
}

/* ------------------------------------------------------------------------------------------------ what came of it */

static double squares(const search *s, const double *run_j)
{
    double sum = 0;
    for (size_t b = 0; b < s->blocks->count; b++)
        sum += pow((run_j[b] - s->blocks->log_j[b]) / J_PER_KJ, 2);
    return sum;
}

/* Of each part of the log, and of all, from the last derivatives; the right side is log less run. */
static void add_up(const search *s, const double *run_j, evn_normal *part, evn_normal *all)
{
    for (size_t b = 0; b < s->blocks->count; b++) {
        const double *row = &s->jacobian[b * EVN_MATCH_PARAMETERS];
        double residual = (s->blocks->log_j[b] - run_j[b]) / J_PER_KJ;
        if (s->blocks->parts > 0)
            evn_normal_add(&part[evn_match_part(s->blocks, b)], s->fit->count, row, residual);
        evn_normal_add(all, s->fit->count, row, residual);
    }
}

/* What each explains if nothing else is changed: before anything is. */
static void put_alone(const search *s, const double *stated_j)
{
    evn_normal part[EVN_MATCH_PARTS] = {{.right = {0}}}, all = {.right = {0}};
    double before = squares(s, stated_j);
    add_up(s, stated_j, part, &all);
    for (size_t i = 0; i < s->fit->count && before > 0; i++)
        s->fit->alone_share[i] = all.matrix[i][i] > 0 ? all.right[i] * all.right[i] / all.matrix[i][i] / before : 0;
}

static void put_intervals(const search *s, const evn_normal *part, const evn_normal *all,
                          double inverse[][EVN_NORMAL_MOST])
{
    evn_match_fit *f = s->fit;
    double scatter[EVN_NORMAL_MOST][EVN_NORMAL_MOST];
    size_t free_rows = s->blocks->count - f->count;
    double variance = squares(s, s->run_j) / (double)free_rows;
    f->by_scatter = evn_normal_jackknife(part, s->blocks->parts, f->count, scatter);
    f->condition = evn_normal_condition(all, f->count);
    for (size_t i = 0; i < f->count; i++) {
        double half = evn_student_95(free_rows) * sqrt(variance * inverse[i][i]);
        if (f->by_scatter)
            half = fmax(half, evn_student_95(s->blocks->parts - 1) * sqrt(scatter[i][i]));
        f->half[i] = s->step[i] * half;
        for (size_t j = 0; j < f->count; j++)
            f->correlation[i][j] = inverse[i][j] / sqrt(inverse[i][i] * inverse[j][j]);
    }
}

static bool conclude(search *s, const double *x, const double *stated_j)
{
    evn_match_fit *f = s->fit;
    evn_normal part[EVN_MATCH_PARTS] = {{.right = {0}}}, all = {.right = {0}};
    double inverse[EVN_NORMAL_MOST][EVN_NORMAL_MOST], step[EVN_NORMAL_MOST];
    if (!derive(s, x))
        return false;
    add_up(s, s->run_j, part, &all);
    f->found = evn_normal_solve(&all, f->count, step, inverse);
    f->condition = evn_normal_condition(&all, f->count);
    f->why_not = f->found ? NULL : "this log says the same of two of the parameters, or nothing of one";
    if (!f->found)
        return true;
    for (size_t i = 0; i < f->count; i++)
        f->value[i] = f->stated[i] + s->step[i] * x[i];
    f->share = 1 - squares(s, s->run_j) / squares(s, stated_j);
    put_intervals(s, part, &all, inverse);
    return true;
}

static bool explain(search *s, const double *stated_j)
{
    double x[EVN_MATCH_PARAMETERS] = {0};
    int came_to = 0;
    if (!derive(s, x)) {
        s->fit->why_not = "a run with another value of a parameter did not finish";
        return !evn_runs_stopped(s->drive->runs);
    }
    put_alone(s, stated_j);
    if (!seek(s, x, &came_to))
        return false;
    if (came_to < 1 || came_to > 4 || !conclude(s, x, stated_j))
        s->fit->why_not = "the search came to no end: a run did not finish, or the log says too little";
    return !evn_runs_stopped(s->drive->runs);
}

bool evn_match_explain(evn_match_drive *drive, const evn_match_blocks *blocks, const double *stated_j,
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
    s.run_j = malloc(blocks->count * sizeof *s.run_j);
    s.jacobian = malloc(blocks->count * EVN_MATCH_PARAMETERS * sizeof *s.jacobian);
    s.at[0] = (double)NAN; /* nothing was driven yet */
    bool made = s.run_j && s.jacobian && explain(&s, stated_j);
    fit->runs = drive->driven;
    free(s.run_j);
    free(s.jacobian);
    return made;
}
