/* Reads a table of losses, sorts its axes, fits by turns, and says how far the fit is off. */
#define _POSIX_C_SOURCE 200809L
#include "log/loss_fit.h"
#include "core/curve.h"
#include "core/plain_locale.h"
#include "core/units.h"
#include "core/words.h"
#include "read/bytes.h"
#include "read/read.h"
#include "read/sheet.h"
#include <math.h>
#include <stdlib.h>
#include <string.h>

enum { AXIS_MOST = EVN_CURVE_POINTS_MAX, ROUNDS_MOST = 400 };

typedef struct point {
    double rpm, nm, loss_nm, degc, weight;
    size_t speed, oil; /* places on the axes */
} point;

typedef struct desk {
    const evn_sheet *table;
    evn_report *report;
    point *point;
    size_t count, speeds, oils;
    double rpm[AXIS_MOST], degc[AXIS_MOST];
    double share, drag[AXIS_MOST], factor[AXIS_MOST]; /* a, c, f of LOSSES.md */
    double mean_nm;
} desk;

static bool no_memory(evn_report *report)
{
    evn_say(report, EVN_FAULT_OUT_OF_MEMORY, evn_nowhere, evn_nowhere, "memory ran out over a table of losses");
    return false;
}

static const double *column(const desk *d, const char *name)
{
    for (size_t k = 0; k < d->table->columns; k++)
        if (strcmp(d->table->name[k], name) == 0)
            return d->table->column[k];
    return NULL;
}

/* ------------------------------------------------------------------------------------------------ reading */

static bool columns_fit(desk *d)
{
    static const char *const names[] = {"speed_rpm", "torque_nm", "oil_degc", "loss_nm", "loss_w", "loss_kw"};
    enum { NAMES = sizeof names / sizeof *names };
    size_t losses = 0;
    for (size_t k = 0; k < d->table->columns; k++) {
        const char *name = d->table->name[k];
        char near[EVN_PHRASE_BYTES];
        bool known = false;
        for (size_t n = 0; n < NAMES; n++)
            known = known || strcmp(name, names[n]) == 0;
        losses += strncmp(name, "loss_", 5) == 0;
        if (!known) {
            evn_say(d->report, EVN_FAULT_UNKNOWN_KEY, evn_sheet_header(d->table, d->report), evn_nowhere,
                    "column '%.60s' in a table of losses; expected speed_rpm, torque_nm, oil_degc and one of loss_nm, "
                    "loss_w, loss_kw%s",
                    name, evn_nearest_phrase(near, name, names, NAMES));
            return false;
        }
    }
    if (losses == 1 && column(d, "speed_rpm") && column(d, "torque_nm"))
        return true;
    evn_say(
        d->report, EVN_FAULT_MISSING_KEY, evn_sheet_header(d->table, d->report), evn_nowhere,
        "a table of losses with %zu columns of losses, %s speed_rpm and %s torque_nm; expected one of loss_nm, loss_w, "
        "loss_kw, and both others",
        losses, column(d, "speed_rpm") ? "with" : "without", column(d, "torque_nm") ? "with" : "without");
    return false;
}

static bool refuse_row(desk *d, size_t row, const char *text)
{
    evn_say(d->report, EVN_FAULT_OUT_OF_RANGE, evn_sheet_row(d->table, row, d->report), evn_nowhere, "%s", text);
    return false;
}

static bool take_point(desk *d, size_t row, const double *loss, bool is_power, double factor)
{
    const double *oil = column(d, "oil_degc");
    point *p = &d->point[d->count];
    double rpm = column(d, "speed_rpm")[row], nm = column(d, "torque_nm")[row];
    *p = (point){.rpm = rpm, .nm = nm, .degc = oil ? oil[row] : 0};
    if (rpm < 0 || rpm > 60000)
        return refuse_row(d, row, "a speed outside 0 to 60000 rpm; expected one within");
    if (fabs(nm) > 1e6)
        return refuse_row(d, row, "a torque above 1e6 Nm; expected less");
    if (oil && (oil[row] < -60 || oil[row] > 200))
        return refuse_row(d, row, "oil outside -60 to 200 degC; expected a temperature within");
    if (is_power && rpm == 0)
        return true; /* no power tells the torque at rest */
    p->loss_nm = loss[row] * factor / (is_power ? rpm * EVN_RAD_S_PER_RPM : 1);
    if (!(p->loss_nm >= 0))
        return refuse_row(d, row, "a loss below 0; expected 0 or more");
    if (p->loss_nm > 0.5 * fabs(nm) + 5000)
        return refuse_row(d, row, "a loss of more than half the torque and 5000 Nm; expected less; another unit");
    d->count++;
    return true;
}

static bool take_points(desk *d, evn_arena *arena)
{
    const double *nm = column(d, "loss_nm"), *w = column(d, "loss_w"), *kw = column(d, "loss_kw");
    d->point = evn_arena_take(arena, (d->table->rows + 1) * sizeof *d->point);
    if (!d->point)
        return no_memory(d->report);
    bool sound = true;
    for (size_t row = 0; row < d->table->rows; row++)
        sound = take_point(d, row, nm ? nm : w ? w : kw, !nm, kw ? 1e3 : 1) && sound;
    return sound;
}

/* ------------------------------------------------------------------------------------------------ axes */

static int rising(const void *a, const void *b)
{
    double x = *(const double *)a, y = *(const double *)b;
    return (x > y) - (x < y);
}

static double *member(point *p, bool oil) { return oil ? &p->degc : &p->rpm; }

/* Different values of all points, rising; those within `hair` of each other are one. */
static bool take_axis(desk *d, bool oil, double hair, double axis[AXIS_MOST], size_t *count, evn_arena *arena)
{
    double *all = evn_arena_take(arena, (d->count + 1) * sizeof *all);
    if (!all)
        return no_memory(d->report);
    for (size_t k = 0; k < d->count; k++)
        all[k] = *member(&d->point[k], oil);
    qsort(all, d->count, sizeof *all, rising);
    *count = 0;
    for (size_t k = 0; k < d->count; k++) {
        if (*count > 0 && all[k] - axis[*count - 1] <= hair)
            continue;
        if (*count == AXIS_MOST) {
            evn_say(d->report, EVN_FAULT_TOO_LARGE, evn_sheet_header(d->table, d->report), evn_nowhere,
                    "more than %d different %s; expected fewer; those within %g of each other count as one", AXIS_MOST,
                    oil ? "oil temperatures" : "speeds", hair);
            return false;
        }
        axis[(*count)++] = all[k];
    }
    for (size_t k = 0; k < d->count; k++) {
        size_t at = 0;
        while (at + 1 < *count && *member(&d->point[k], oil) - axis[at] > hair)
            at++;
        *(oil ? &d->point[k].oil : &d->point[k].speed) = at;
    }
    return true;
}

/* ------------------------------------------------------------------------------------------------ the fit */

static double fitted(const desk *d, const point *p) { return d->share * p->nm + d->drag[p->speed] * d->factor[p->oil]; }

/* Least squares of one number, the others held: sum of weight x (loss - rest) x by, over sum of weight x by^2. */
typedef struct sums {
    double above, below;
} sums;

static void add(sums *s, double weight, double left, double by)
{
    s->above += weight * left * by;
    s->below += weight * by * by;
}

static double solved(const sums *s, double before, double *moved)
{
    double now = s->below > 0 ? fmax(s->above / s->below, 0) : before;
    *moved = fmax(*moved, fabs(now - before) / (fabs(before) + 1e-9));
    return now;
}

static double turn(desk *d)
{
    sums share = {0}, drag[AXIS_MOST] = {{0}}, factor[AXIS_MOST] = {{0}};
    double moved = 0;
    for (size_t k = 0; k < d->count; k++) {
        const point *p = &d->point[k];
        if (p->nm >= 0)
            add(&share, p->weight, p->loss_nm - d->drag[p->speed] * d->factor[p->oil], p->nm);
    }
    d->share = solved(&share, d->share, &moved);
    for (size_t k = 0; k < d->count; k++) {
        const point *p = &d->point[k];
        if (p->nm >= 0)
            add(&drag[p->speed], p->weight, p->loss_nm - d->share * p->nm, d->factor[p->oil]);
    }
    for (size_t i = 0; i < d->speeds; i++)
        d->drag[i] = solved(&drag[i], d->drag[i], &moved);
    for (size_t k = 0; k < d->count; k++) {
        const point *p = &d->point[k];
        if (p->nm >= 0)
            add(&factor[p->oil], p->weight, p->loss_nm - d->share * p->nm, d->drag[p->speed]);
    }
    for (size_t j = 0; j + 1 < d->oils; j++) /* that of the highest temperature stays 1 */
        d->factor[j] = solved(&factor[j], d->factor[j], &moved);
    return moved;
}

static bool fit(desk *d)
{
    size_t used = 0;
    double sum = 0;
    for (size_t k = 0; k < d->count; k++)
        if (d->point[k].nm >= 0) {
            used++;
            sum += d->point[k].loss_nm;
        }
    if (used < d->speeds + d->oils + 1) {
        evn_say(d->report, EVN_FAULT_DISAGREES, evn_sheet_header(d->table, d->report), evn_nowhere,
                "%zu points of torque 0 or more for %zu speeds and %zu oil temperatures; expected at least %zu", used,
                d->speeds, d->oils, d->speeds + d->oils + 1);
        return false;
    }
    d->mean_nm = fmax(sum / (double)used, 1e-6);
    for (size_t k = 0; k < d->count; k++)
        d->point[k].weight = pow(1 / (d->point[k].loss_nm + d->mean_nm), 2);
    d->share = 0.02;
    for (size_t i = 0; i < d->speeds; i++)
        d->drag[i] = d->mean_nm / 2;
    for (size_t j = 0; j < d->oils; j++)
        d->factor[j] = 1;
    for (int round = 0; round < ROUNDS_MOST && turn(d) > 1e-12; round++) {
    }
    return true;
}

/* ------------------------------------------------------------------------------------------------ what came out */

/* Of a load that pushes, by the same coefficients: the meshes lose 1 - efficiency of it, and drag relieves them. */
static double pushing(const desk *d, const point *p, const evn_loss_told *t)
{
    double e = t->efficiency, drag = d->drag[p->speed] * d->factor[p->oil];
    return t->motor_side ? drag / (e * e) - (1 / e - 1) * p->nm : drag * e * e - (1 - e) * p->nm;
}

static void judge(const desk *d, evn_loss_told *t)
{
    double sum = 0, sum_pushing = 0, most = -1;
    size_t pushed = 0;
    for (size_t k = 0; k < d->count; k++) {
        const point *p = &d->point[k];
        double off = (p->nm >= 0 ? fitted(d, p) : pushing(d, p, t)) - p->loss_nm;
        if (p->nm < 0) {
            sum_pushing += off * off;
            pushed++;
            continue;
        }
        sum += off * off;
        t->fitted++;
        if (fabs(off) <= most)
            continue;
        most = fabs(off);
        t->most_speed_rpm = p->rpm;
        t->most_torque_nm = p->nm;
        t->most_oil_degc = p->degc;
    }
    t->off_rms = sqrt(sum / (double)t->fitted) / d->mean_nm;
    t->off_most = most / d->mean_nm;
    t->off_pushing_rms = pushed > 0 ? sqrt(sum_pushing / (double)pushed) / d->mean_nm : (double)NAN;
}

static bool sound(const desk *d, const evn_loss_told *t)
{
    double most = 0;
    for (size_t i = 0; i < d->speeds; i++)
        most = fmax(most, t->drag_nm[i]);
    if (t->efficiency >= 0.5 && most <= 5000)
        return true;
    evn_say(
        d->report, EVN_FAULT_OUT_OF_RANGE, evn_sheet_header(d->table, d->report), evn_nowhere,
        "losses that come to an efficiency of %.4g and a drag of %.4g Nm; expected 0.5 or more and at most 5000 Nm; "
        "torque and loss on one shaft, in one unit",
        t->efficiency, most);
    return false;
}

/* Beyond that a part would lose what the table does not say; common practice, no source. */
#define OFF_RMS_MOST 0.3

static bool near_table(const desk *d, const evn_loss_told *t)
{
    if (t->off_rms <= OFF_RMS_MOST)
        return true;
    evn_say(d->report, EVN_FAULT_DISAGREES, evn_sheet_header(d->table, d->report), evn_nowhere,
            "losses that the fitted part is off by %.0f %% of their mean; expected at most %.0f %%; a part loses a "
            "share of "
            "the load and a drag over speed, and this table holds other losses, or other columns than it says",
            100 * t->off_rms, 100 * OFF_RMS_MOST);
    return false;
}

static bool tell(const desk *d, const evn_loss_ask *ask, evn_loss_fit *out)
{
    evn_loss_told *t = &out->told;
    double *rpm = evn_arena_take(out->arena, d->speeds * sizeof *rpm);
    double *drag = evn_arena_take(out->arena, d->speeds * sizeof *drag);
    double *degc = evn_arena_take(out->arena, d->oils * sizeof *degc);
    double *factor = evn_arena_take(out->arena, d->oils * sizeof *factor);
    if (!rpm || !drag || !degc || !factor)
        return no_memory(d->report);
    t->points = d->count;
    t->ratio = ask->ratio;
    t->motor_side = ask->motor_side;
    t->efficiency = ask->motor_side ? 1 - d->share : 1 / (1 + d->share);
    for (size_t i = 0; i < d->speeds; i++) {
        rpm[i] = d->rpm[i];
        drag[i] = ask->motor_side ? d->drag[i] / t->efficiency : d->drag[i] * t->efficiency;
    }
    memcpy(degc, d->degc, d->oils * sizeof *degc);
    memcpy(factor, d->factor, d->oils * sizeof *factor);
    t->speed_rpm = rpm;
    t->drag_nm = drag;
    t->speeds = d->speeds;
    bool stated = column(d, "oil_degc");
    t->reference_degc = stated ? d->degc[d->oils - 1] : (double)NAN;
    t->oils = stated && d->oils > 1 ? d->oils : 0;
    t->oil_degc = degc;
    t->drag_factor = factor;
    judge(d, t);
    return sound(d, t) && near_table(d, t);
}

static bool read_table(desk *d, const char *path, const evn_bytes *bytes, evn_arena *arena)
{
    evn_reading reading = {.report = d->report, .keep = arena, .scratch = arena};
    const evn_source *source = evn_source_new(&reading, path, path, NULL, evn_nowhere);
    evn_plain_locale locale;
    if (!source || !evn_plain_locale_enter(&locale))
        return no_memory(d->report);
    d->table = evn_sheet_read(&reading, source, bytes->at, bytes->length, false);
    evn_plain_locale_leave(&locale);
    return d->table;
}

bool evn_loss_fit_make(evn_loss_fit *out, const char *path, const evn_loss_ask *ask, evn_report *report)
{
    const double SPEED_HAIR_RPM = 1, OIL_HAIR_K = 2;
    evn_bytes bytes;
    evn_trouble trouble;
    desk *d = evn_arena_take(out->arena, sizeof *d);
    if (!d)
        return no_memory(report);
    if (!(ask->ratio >= 0.05 && ask->ratio <= 50)) {
        evn_say(report, EVN_FAULT_OUT_OF_RANGE, evn_nowhere, evn_nowhere, "ratio is %g; expected 0.05 to 50",
                ask->ratio);
        return false;
    }
    if (!evn_bytes_load(path, &bytes, &trouble)) {
        evn_read_trouble(path, &trouble, report);
        return false;
    }
    d->report = report;
    bool there = read_table(d, path, &bytes, out->arena);
    free(bytes.at);
    return there && columns_fit(d) && take_points(d, out->arena) &&
           take_axis(d, false, SPEED_HAIR_RPM, d->rpm, &d->speeds, out->arena) &&
           take_axis(d, true, OIL_HAIR_K, d->degc, &d->oils, out->arena) && fit(d) && tell(d, ask, out);
}
