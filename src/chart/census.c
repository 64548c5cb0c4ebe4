/* Where the time of a run went: in cells of motor speed and torque, and in gears with so many motors at work. */
#include "chart/chart.h"
#include "core/units.h"
#include "evener/traces.h"
#include <math.h>
#include <stdlib.h>
#include <string.h>

enum { CELLS = 40, MOTORS = EVN_MOTORS_MAX + 1, GEARS = EVN_GEARS_MAX + 1 };

typedef struct member { /* of one drive unit */
    const char *name;
    size_t speed, torque, gear, motors; /* columns of a row */
    double top_rpm, peak_nm;
    size_t gear_count;
    double rest_s;               /* the motors do not turn */
    double cell_s[CELLS][CELLS]; /* speed, then torque from minus to plus peak */
    double setting_s[GEARS][MOTORS];
} member;

struct evn_census {
    size_t time, units;
    member *unit;
    double *last; /* row; NULL before there is room */
    size_t columns;
    bool begun;
};

size_t evn_chart_trace_column(const evn_rig *r, const char *unit, const char *key)
{
    evn_trace_column column;
    for (size_t k = 0; evn_trace_column_at(r, k, &column); k++) {
        bool named = !unit || (column.drive_unit && strcmp(column.drive_unit, unit) == 0);
        if (named && strcmp(column.what.key, key) == 0)
            return k;
    }
    return 0;
}

static void set_member(member *m, const evn_rig *r, size_t unit)
{
    const evn_unit *u = &r->unit[unit];
    const char *name = r->unit_count > 1 ? u->name : NULL;
    m->name = u->name;
    m->speed = evn_chart_trace_column(r, name, "motor_speed_rpm");
    m->torque = evn_chart_trace_column(r, name, "motor_torque_nm");
    m->gear = evn_chart_trace_column(r, name, "gear");
    m->motors = evn_chart_trace_column(r, name, "motors_engaged");
    m->top_rpm = evn_unit_top_rad_s(u) / EVN_RAD_S_PER_RPM;
    m->gear_count = u->gear_count;
    m->peak_nm = evn_unit_peak_nm(u);
}

evn_census *evn_census_new(const evn_rig *r)
{
    evn_census *c = r ? calloc(1, sizeof *c) : NULL;
    if (!c)
        return NULL;
    c->columns = evn_trace_column_count(r);
    c->units = r->unit_count;
    c->unit = calloc(r->unit_count, sizeof *c->unit);
    c->last = calloc(c->columns, sizeof *c->last);
    if (!c->unit || !c->last) {
        evn_census_free(c);
        return NULL;
    }
    c->time = evn_chart_trace_column(r, NULL, "time_s");
    for (size_t k = 0; k < r->unit_count; k++)
        set_member(&c->unit[k], r, k);
    return c;
}

void evn_census_free(evn_census *c)
{
    if (!c)
        return;
    free(c->unit);
    free(c->last);
    free(c);
}

static size_t bound(double value, size_t count)
{
    return value <= 0 || isnan(value) ? 0 : value >= (double)count ? count - 1 : (size_t)value;
}

static void count(member *m, const double *from, const double *to, double seconds)
{
    double rpm = 0.5 * (from[m->speed] + to[m->speed]), nm = 0.5 * (from[m->torque] + to[m->torque]);
    if (rpm <= 0)
        m->rest_s += seconds;
    else
        m->cell_s[bound(CELLS * rpm / m->top_rpm, CELLS)][bound(CELLS * (0.5 + 0.5 * nm / m->peak_nm), CELLS)] +=
            seconds;
    /* what holds between two rows holds from the first on: changes come with rows of their own */
    m->setting_s[bound(from[m->gear], GEARS)][bound(from[m->motors], MOTORS)] += seconds;
}

void evn_census_sample(void *census, const double *row, size_t columns)
{
    evn_census *c = census;
    if (!c || !row || columns != c->columns || !isfinite(row[c->time]))
        return;
    double seconds = row[c->time] - c->last[c->time];
    for (size_t k = 0; c->begun && seconds > 0 && k < c->units; k++)
        count(&c->unit[k], c->last, row, seconds);
    memcpy(c->last, row, columns * sizeof *row);
    c->begun = true;
}

/* ------------------------------------------------------------------------------------------------ charts */

static void add_cell(evn_chart *chart, const member *m, size_t i, size_t j)
{
    double *row = m->cell_s[i][j] > 0 ? evn_chart_add_row(chart) : NULL;
    if (!row)
        return;
    row[0] = m->top_rpm * ((double)i + 0.5) / CELLS;
    row[1] = m->peak_nm * (((double)j + 0.5) / CELLS * 2 - 1);
    row[2] = m->cell_s[i][j];
}

static void add_rest(evn_chart *chart, const member *m)
{
    double *row = m->rest_s > 0 ? evn_chart_add_row(chart) : NULL;
    if (!row)
        return;
    row[0] = row[1] = 0;
    row[2] = m->rest_s;
}

static int longest_first(const void *a, const void *b)
{
    double left = ((const double *)a)[2], right = ((const double *)b)[2];
    return left < right ? 1 : left > right ? -1 : 0;
}

evn_status evn_chart_of_points(const evn_census *c, size_t unit, evn_chart **out, evn_report *report)
{
    if (out)
        *out = NULL;
    if (!evn_not_null(report, __func__, (const evn_argument[]){{"census", c}, {"out", out}, {0}}))
        return EVN_BAD_INPUT;
    if (!evn_chart_unit_is_there(unit, c->units, report))
        return EVN_BAD_INPUT;
    evn_chart *chart = evn_chart_begin(3, report);
    if (!chart)
        return EVN_NO_RESULT;
    evn_chart_add_column(chart, "speed_rpm", "rpm", "motor speed", "middle of the cell", 0);
    evn_chart_add_column(chart, "torque_nm", "Nm", "motor torque",
                         "middle of the cell; all motors of the unit, above zero pulls", 0);
    evn_chart_add_column(chart, "duration_s", "s", "time", "time in the cell", 2);
    add_rest(chart, &c->unit[unit]);
    for (size_t i = 0; i < CELLS; i++)
        for (size_t j = 0; j < CELLS; j++)
            add_cell(chart, &c->unit[unit], i, j);
    if (chart->rows > 0)
        qsort(chart->value, chart->rows, 3 * sizeof *chart->value, longest_first);
    return evn_chart_done(chart, out, report);
}

static double all_seconds(const member *m)
{
    double sum = 0;
    for (size_t g = 0; g < GEARS; g++)
        for (size_t k = 0; k < MOTORS; k++)
            sum += m->setting_s[g][k];
    return sum;
}

/* A gear that was never used stands there once, with no time. */
static bool is_listed(const member *m, size_t gear, size_t motors)
{
    double sum = 0;
    for (size_t k = 0; k < MOTORS; k++)
        sum += m->setting_s[gear][k];
    return m->setting_s[gear][motors] > 0 || (sum == 0 && gear > 0 && gear <= m->gear_count && motors == 0);
}

evn_status evn_chart_of_settings(const evn_census *c, size_t unit, evn_chart **out, evn_report *report)
{
    if (out)
        *out = NULL;
    if (!evn_not_null(report, __func__, (const evn_argument[]){{"census", c}, {"out", out}, {0}}))
        return EVN_BAD_INPUT;
    if (!evn_chart_unit_is_there(unit, c->units, report))
        return EVN_BAD_INPUT;
    const member *m = &c->unit[unit];
    evn_chart *chart = evn_chart_begin(4, report);
    if (!chart)
        return EVN_NO_RESULT;
    evn_chart_add_column(chart, "gear", "", "gear", "1 is the lowest; 0: it changes, or the disconnect is open", 0);
    evn_chart_add_column(chart, "motors", "", "motors engaged", "at work", 0);
    evn_chart_add_column(chart, "duration_s", "s", "time", "time in this setting", 2);
    evn_chart_add_column(chart, "share", "", "share of time", "of the run's time", 4);
    double all = all_seconds(m);
    for (size_t g = 0; g < GEARS; g++)
        for (size_t k = 0; k < MOTORS; k++) {
            double *row = is_listed(m, g, k) ? evn_chart_add_row(chart) : NULL;
            if (!row)
                continue;
            row[0] = (double)g;
            row[1] = (double)k;
            row[2] = m->setting_s[g][k];
            row[3] = all > 0 ? m->setting_s[g][k] / all : 0;
        }
    return evn_chart_done(chart, out, report);
}
