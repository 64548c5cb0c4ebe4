/*
 * The road load by fit: coefficients with which the equations of motion follow the measured speeds best, all runs at
 * once, by Levenberg-Marquardt (cminpack: a C port of MINPACK; Moré, Garbow, Hillstrom 1980). Speeds are fitted, never
 * differentiated: noise of single samples is no noise of a deceleration.
 */
#include "coastdown/coastdown.h"
#include <cminpack.h>
#include <math.h>
#include <stdlib.h>

enum { RUNS_MOST = 64, UNKNOWNS_MOST = EVN_COAST_LAWS + RUNS_MOST };

typedef struct fit {
    const evn_coast_vehicle *of;
    const evn_coast_run *run;
    size_t runs;
    evn_coast_road_load load;   /* as it begins, and what stays */
    size_t law[EVN_COAST_LAWS]; /* that are sought */
    size_t laws, unknowns, rows;
    double *speed_m_s; /* [rows], as are the next two */
    double (*slope)[EVN_COAST_SLOPES];
    uint32_t *run_of;
} fit;

/* Unknowns: the laws that are sought, then the first speed of each run. */
static evn_coast_road_load load_at(const fit *f, const double *x)
{
    evn_coast_road_load load = f->load;
    for (size_t k = 0; k < f->laws; k++)
        load.of[f->law[k]] = x[k];
    return load;
}

static void move_all(fit *f, const double *x, bool with_slopes)
{
    evn_coast_road_load load = load_at(f, x);
    size_t row = 0;
    for (size_t r = 0; r < f->runs; r++) {
        evn_coast_motion(f->of, &f->run[r], &load, x[f->laws + r], &f->speed_m_s[row],
                         with_slopes ? &f->slope[row] : NULL);
        row += f->run[r].count;
    }
}

static void put_residuals(const fit *f, double *out)
{
    size_t row = 0;
    for (size_t r = 0; r < f->runs; r++)
        for (size_t i = 0; i < f->run[r].count; i++, row++)
            out[row] = f->speed_m_s[row] - f->run[r].at[i].speed_m_s;
}

static void put_row(const fit *f, size_t row, double *out)
{
    for (size_t k = 0; k < f->unknowns; k++)
        out[k] = 0;
    for (size_t k = 0; k < f->laws; k++)
        out[k] = f->slope[row][f->law[k]];
    out[f->laws + f->run_of[row]] = f->slope[row][EVN_COAST_LAWS];
}

/* As lmstr wants it: 1, the residuals; from 2 on, row by row, their derivatives. */
static int ask(void *self, int rows, int unknowns, const double *x, double *residual, double *row, int what)
{
    fit *f = self;
    (void)rows;
    (void)unknowns;
    if (what == 1) {
        move_all(f, x, false);
        put_residuals(f, residual);
    } else if (what >= 2) {
        if (what == 2)
            move_all(f, x, true);
        put_row(f, (size_t)what - 2, row);
    }
    return 0;
}

/* ------------------------------------------------------------------------------------------------ intervals */

/* Of one run, with what its first speed takes up left out. */
static evn_normal normal_of(const fit *f, size_t row, size_t count, const evn_coast_run *run, double *sum2)
{
    evn_normal n = {.right = {0}};
    double line[EVN_NORMAL_MOST];
    size_t laws = f->laws;
    for (size_t i = 0; i < count; i++) {
        double residual = run->at[i].speed_m_s - f->speed_m_s[row + i];
        for (size_t k = 0; k < laws; k++)
            line[k] = f->slope[row + i][f->law[k]];
        line[laws] = f->slope[row + i][EVN_COAST_LAWS];
        evn_normal_add(&n, laws + 1, line, residual);
        *sum2 += residual * residual;
    }
    double own = n.matrix[laws][laws];
    for (size_t i = 0; i < laws; i++) {
        for (size_t j = 0; j <= i; j++)
            n.matrix[i][j] -= n.matrix[laws][i] * n.matrix[laws][j] / own;
        n.right[i] -= n.matrix[laws][i] * n.right[laws] / own;
    }
    return n;
}

/* What it would be for this run alone, all but rolling and drag as found. */
static void put_own(const fit *f, const evn_normal *n, const evn_coast_road_load *load, evn_coast_own *own)
{
    evn_normal two = {.right = {0}};
    size_t place[2], count = 0;
    double step[EVN_NORMAL_MOST] = {0};
    for (size_t k = 0; k < f->laws; k++)
        if (f->law[k] == EVN_COAST_ROLLING || f->law[k] == EVN_COAST_DRAG)
            place[count++] = k;
    for (size_t i = 0; i < count; i++) {
        for (size_t j = 0; j <= i; j++)
            two.matrix[i][j] = n->matrix[place[i]][place[j]];
        two.right[i] = n->right[place[i]];
    }
    double of[EVN_COAST_LAWS] = {0};
    bool there = evn_normal_solve(&two, count, step, NULL);
    for (size_t i = 0; i < count; i++)
        of[f->law[place[i]]] = there ? step[i] : (double)NAN;
    own->rolling = load->of[EVN_COAST_ROLLING] + of[EVN_COAST_ROLLING];
    own->drag_area_m2 = load->of[EVN_COAST_DRAG] + of[EVN_COAST_DRAG];
}

/* By how much residuals of neighbours hang together: the variance of sums of them over what it would be if they did
 * not, for noise whose memory fades evenly (autoregressive of order 1, textbook result). */
static double together(const fit *f)
{
    double product = 0, square = 0, before = 0;
    size_t row = 0;
    for (size_t r = 0; r < f->runs; r++)
        for (size_t i = 0; i < f->run[r].count; i++, row++) {
            double residual = f->run[r].at[i].speed_m_s - f->speed_m_s[row];
            product += i > 0 ? residual * before : 0;
            square += residual * residual;
            before = residual;
        }
    static const double MOST = 0.999;
    double memory = square > 0 ? fmin(fmax(product / square, 0), MOST) : 0;
    return (1 + memory) / (1 - memory);
}

static void put_correlation(const fit *f, double inverse[][EVN_NORMAL_MOST], evn_coast_found *out)
{
    for (size_t i = 0; i < f->laws; i++)
        for (size_t j = 0; j < f->laws; j++)
            out->correlation[f->law[i]][f->law[j]] = inverse[i][j] / sqrt(inverse[i][i] * inverse[j][j]);
}

/* Half of the 95 % interval: by the scatter between groups where there are enough of them, and at least by the noise.
 */
static void put_intervals(const fit *f, const evn_normal *group, double sum2, double inverse[][EVN_NORMAL_MOST],
                          evn_coast_found *out)
{
    double scatter[EVN_NORMAL_MOST][EVN_NORMAL_MOST], factor = together(f);
    double rows = fmax((double)f->rows / factor, (double)f->unknowns + 1), free = rows - (double)f->unknowns;
    double variance = factor * sum2 / ((double)f->rows * free / rows);
    out->by_scatter = evn_normal_jackknife(group, out->groups, f->laws, scatter);
    for (size_t k = 0; k < f->laws; k++) {
        double half = evn_student_95((size_t)free) * sqrt(variance * inverse[k][k]);
        if (out->by_scatter)
            half = fmax(half, evn_student_95(out->groups - 1) * sqrt(scatter[k][k]));
        out->half[f->law[k]] = half;
    }
}

static void tell_found(fit *f, const double *x, evn_coast_own *own, evn_coast_found *out)
{
    evn_normal group[RUNS_MOST] = {{{{0}}}}, all = {{{0}}};
    double inverse[EVN_NORMAL_MOST][EVN_NORMAL_MOST], step[EVN_NORMAL_MOST], sum2 = 0;
    size_t row = 0;
    move_all(f, x, true);
    out->load = load_at(f, x);
    for (size_t r = 0; r < f->runs; r++) {
        double square = 0;
        size_t count = f->run[r].count;
        evn_normal n = normal_of(f, row, count, &f->run[r], &square);
        put_own(f, &n, &out->load, &own[r]);
        own[r].rms_m_s = sqrt(square / (double)count);
        own[r].first_m_s = x[f->laws + r];
        evn_normal_sum(&group[f->run[r].group], &n, f->laws, 1);
        evn_normal_sum(&all, &n, f->laws, 1);
        sum2 += square;
        row += count;
    }
    out->rms = sqrt(sum2 / (double)f->rows);
    out->there = evn_normal_solve(&all, f->laws, step, inverse);
    out->why_not = out->there ? NULL : "what is sought cannot be told apart by these runs";
    if (!out->there)
        return;
    put_intervals(f, group, sum2, inverse, out);
    put_correlation(f, inverse, out);
}

/* ------------------------------------------------------------------------------------------------ the fit */

static bool take(fit *f)
{
    f->speed_m_s = malloc(f->rows * sizeof *f->speed_m_s);
    f->slope = malloc(f->rows * sizeof *f->slope);
    f->run_of = malloc(f->rows * sizeof *f->run_of);
    return f->speed_m_s && f->slope && f->run_of;
}

static void give_back(fit *f)
{
    free(f->speed_m_s);
    free(f->slope);
    free(f->run_of);
}

static void begin(fit *f, double *x)
{
    size_t row = 0;
    for (size_t k = 0; k < f->laws; k++)
        x[k] = f->load.of[f->law[k]];
    for (size_t r = 0; r < f->runs; r++) {
        x[f->laws + r] = f->run[r].at[0].speed_m_s;
        for (size_t i = 0; i < f->run[r].count; i++)
            f->run_of[row++] = (uint32_t)r;
    }
}

/* Enough for what has a few unknowns beside first speeds; which is told where it is not. */
static const double TOLERANCE = 1e-10;

static bool search(fit *f, double *x, evn_coast_found *out)
{
    size_t work_size = 5 * f->unknowns + f->rows;
    double *residual = malloc(f->rows * sizeof *residual), *work = malloc(work_size * sizeof *work);
    double *jacobian = malloc(f->unknowns * f->unknowns * sizeof *jacobian);
    int pivot[UNKNOWNS_MOST], came_to = 0;
    bool room = residual && work && jacobian;
    if (room)
        came_to = lmstr1(ask, f, (int)f->rows, (int)f->unknowns, x, residual, jacobian, (int)f->unknowns, TOLERANCE,
                         pivot, work, (int)work_size);
    out->why_not = came_to >= 1 && came_to <= 4 ? NULL : "the fit came to no end";
    free(residual);
    free(work);
    free(jacobian);
    return room;
}

static void begin_found(fit *f, evn_coast_sought sought, evn_coast_found *out)
{
    *out = (evn_coast_found){.load = f->load};
    for (size_t k = 0; k < EVN_COAST_LAWS; k++) {
        out->half[k] = (double)NAN;
        if (sought & 1u << k)
            f->law[f->laws++] = k;
    }
    for (size_t r = 0; r < f->runs; r++) {
        f->rows += f->run[r].count;
        out->groups = f->run[r].group + 1 > out->groups ? f->run[r].group + 1 : out->groups;
    }
    f->unknowns = f->laws + f->runs;
    out->rows = f->rows;
}

bool evn_coast_fit(const evn_coast_vehicle *of, const evn_coast_run *run, size_t runs, evn_coast_sought sought,
                   const evn_coast_road_load *load, evn_coast_own *own, evn_coast_found *out)
{
    fit f = {.of = of, .run = run, .runs = runs, .load = *load};
    double x[UNKNOWNS_MOST];
    begin_found(&f, sought, out);
    if (runs == 0 || runs > RUNS_MOST || f.rows <= f.unknowns) {
        out->why_not = "no runs, or fewer samples than unknowns";
        return true;
    }
    bool room = take(&f);
    if (room) {
        begin(&f, x);
        room = search(&f, x, out);
    }
    if (room && !out->why_not)
        tell_found(&f, x, own, out);
    give_back(&f);
    return room;
}
