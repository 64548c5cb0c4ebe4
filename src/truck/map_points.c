/*
 * The points of a loss map as they are sent, in any order, sorted into a grid. Efficiency becomes loss by
 *   motoring (torque above 0):    loss = P (1/efficiency - 1), P = torque x speed
 *   generating (torque below 0):  loss = |P| (1 - efficiency)
 * Holes: cells that are not there or empty, efficiency 0, and efficiency where there is no power.
 */
#include "core/units.h"
#include "core/words.h"
#include "truck/map.h"
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

typedef enum measure { LOSS_W, LOSS_KW, EFFICIENCY, EFFICIENCY_PERCENT, MEASURES } measure;
static const char *const measure_names[MEASURES] = {"loss_w", "loss_kw", "efficiency", "efficiency_percent"};
static const char *const column_names[] = {"speed_rpm", "torque_nm",  "voltage_v",         "loss_w",
                                           "loss_kw",   "efficiency", "efficiency_percent"};
enum { COLUMNS = sizeof column_names / sizeof *column_names };

typedef struct point {
    double voltage_v, speed_rpm, torque_nm, value; /* value: NAN for a hole */
    size_t row;                                    /* as read */
} point;

/* What is read, from a table or from lists, and where faults are said. */
typedef struct desk {
    const evn_map_file *file;
    const evn_seat *seat;
    evn_report *report;
    measure measure;
    point *point;
    size_t count;
} desk;

/* ------------------------------------------------------------------------------------------------ saying */

/* Place of one point: its line of the table, or its item of the list. */
static evn_spot spot_of(const desk *d, size_t row, evn_spot *used_from)
{
    evn_spot unused;
    if (d->file->table) {
        *used_from = evn_seat_of(d->seat, "table", &unused);
        return evn_sheet_row(d->file->table, row, d->report);
    }
    char path[40];
    snprintf(path, sizeof path, "%s[%zu]", measure_names[d->measure], row);
    return evn_seat_of(d->seat, path, used_from);
}

static void say_point(const desk *d, const point *p, evn_fault fault, const char *format, ...)
    __attribute__((format(printf, 4, 5)));
static void say_point(const desk *d, const point *p, evn_fault fault, const char *format, ...)
{
    evn_spot used_from, at;
    va_list values;
    if (!d->report)
        return;
    at = spot_of(d, p->row, &used_from);
    va_start(values, format);
    evn_vsay(d->report, fault, at, used_from, format, values);
    va_end(values);
}

/* At the header of the table, or at a key. */
static void say_whole(const desk *d, const char *key, evn_fault fault, const char *format, ...)
    __attribute__((format(printf, 4, 5)));
static void say_whole(const desk *d, const char *key, evn_fault fault, const char *format, ...)
{
    evn_spot used_from, at;
    va_list values;
    if (!d->report)
        return;
    at = evn_seat_of(d->seat, d->file->table ? "table" : key, &used_from);
    if (d->file->table) {
        used_from = at;
        at = evn_sheet_header(d->file->table, d->report);
    }
    va_start(values, format);
    evn_vsay(d->report, fault, at, used_from, format, values);
    va_end(values);
}

static bool no_memory(const desk *d)
{
    if (d->report)
        evn_say(d->report, EVN_FAULT_OUT_OF_MEMORY, evn_nowhere, evn_nowhere, "memory ran out over a loss map");
    return false;
}

/* ------------------------------------------------------------------------------------------------ columns */

static const double *column(const evn_sheet *table, const char *name)
{
    for (size_t k = 0; k < table->columns; k++)
        if (strcmp(table->name[k], name) == 0)
            return table->column[k];
    return NULL;
}

static bool names_fit(const desk *d)
{
    const evn_sheet *t = d->file->table;
    bool fit = true;
    for (size_t k = 0; k < t->columns; k++) {
        bool known = false;
        for (size_t n = 0; n < COLUMNS; n++)
            known = known || strcmp(t->name[k], column_names[n]) == 0;
        if (known)
            continue;
        const char *nearest = evn_nearest(t->name[k], column_names, COLUMNS);
        say_whole(d, "table", EVN_FAULT_UNKNOWN_KEY,
                  "column '%.60s' in a loss map; expected speed_rpm, torque_nm, voltage_v and one of loss_w, loss_kw, "
                  "efficiency, efficiency_percent%s%s%s",
                  t->name[k], nearest ? "; nearest is '" : "", nearest ? nearest : "", nearest ? "'" : "");
        fit = false;
    }
    return fit;
}

/* Exactly one of the four says what the map holds. */
static bool find_measure(desk *d, const double *const value[MEASURES])
{
    size_t found = 0;
    for (size_t k = 0; k < MEASURES; k++)
        if (value[k]) {
            d->measure = (measure)k;
            found++;
        }
    if (found == 0)
        say_whole(d, "", EVN_FAULT_MISSING_KEY, "a loss map without losses; expected %s",
                  d->file->table ? "one of the columns loss_w, loss_kw, efficiency, efficiency_percent"
                                 : "a table, or speed_rpm and torque_nm with loss_w or efficiency");
    else if (found > 1)
        say_whole(d, measure_names[d->measure], EVN_FAULT_DISAGREES,
                  "a loss map with %zu kinds of values; expected one of them", found);
    return found == 1;
}

static bool take_table(desk *d, evn_arena *arena)
{
    const evn_sheet *t = d->file->table;
    const double *value[MEASURES], *voltage = column(t, "voltage_v");
    const double *speed = column(t, "speed_rpm"), *torque = column(t, "torque_nm");
    for (size_t k = 0; k < MEASURES; k++)
        value[k] = column(t, measure_names[k]);
    bool fit = names_fit(d);
    if (!speed || !torque)
        say_whole(d, "table", EVN_FAULT_MISSING_KEY, "no column %s; expected speed_rpm and torque_nm in a loss map",
                  speed ? "torque_nm" : "speed_rpm");
    if (!find_measure(d, value) || !speed || !torque || !fit)
        return false;
    d->count = t->rows;
    d->point = evn_arena_take(arena, (t->rows + 1) * sizeof *d->point);
    if (!d->point)
        return no_memory(d);
    for (size_t k = 0; k < t->rows; k++)
        d->point[k] = (point){voltage ? voltage[k] : 0, speed[k], torque[k], value[d->measure][k], k};
    return true;
}

static bool take_lists(desk *d, evn_arena *arena)
{
    const evn_map_file *f = d->file;
    const double *value[MEASURES] = {
        [LOSS_W] = f->loss_w.count ? f->loss_w.at : NULL, [EFFICIENCY] = f->efficiency.count ? f->efficiency.at : NULL};
    if (!find_measure(d, value))
        return false;
    size_t rows = f->speed_rpm.count, across = f->torque_nm.count;
    d->count = d->measure == LOSS_W ? f->loss_w.count : f->efficiency.count;
    if (d->count != rows * across) {
        say_whole(
            d, measure_names[d->measure], EVN_FAULT_DISAGREES,
            "%zu values for %zu speeds and %zu torques; expected %zu, all torques of the first speed, then of the next",
            d->count, rows, across, rows * across);
        return false;
    }
    d->point = evn_arena_take(arena, (d->count + 1) * sizeof *d->point);
    if (!d->point)
        return no_memory(d);
    for (size_t k = 0; k < d->count; k++)
        d->point[k] = (point){0, f->speed_rpm.at[k / across], f->torque_nm.at[k % across], value[d->measure][k], k};
    return true;
}

/* ------------------------------------------------------------------------------------------------ points */

static bool within(const desk *d, const point *p, const char *name, double value, double least, double most)
{
    if (value >= least && value <= most)
        return true;
    char bounds[EVN_BOUNDS_BYTES];
    const char *unit = evn_unit_of(name);
    say_point(d, p, EVN_FAULT_OUT_OF_RANGE, "%s is %.10g%s%s; expected %s", name, value, unit[0] == '\0' ? "" : " ",
              unit, evn_bounds_text(bounds, least, most, name));
    return false;
}

static bool sound_place(const desk *d, const point *p)
{
    if (isnan(p->speed_rpm) || isnan(p->torque_nm) || isnan(p->voltage_v)) {
        say_point(d, p, EVN_FAULT_MISSING_KEY, "no %s in this row; expected one in every row",
                  isnan(p->speed_rpm)   ? "speed"
                  : isnan(p->torque_nm) ? "torque"
                                        : "voltage");
        return false;
    }
    if (p->speed_rpm < 0) {
        say_point(d, p, EVN_FAULT_OUT_OF_RANGE,
                  "speed of %g rpm; expected 0 or more; generating is written with a torque below 0", p->speed_rpm);
        return false;
    }
    bool voltage = d->file->table && column(d->file->table, "voltage_v");
    return within(d, p, "speed_rpm", p->speed_rpm, 0, EVN_MAP_MOST_RPM) &&
           within(d, p, "torque_nm", p->torque_nm, -EVN_MAP_MOST_NM, EVN_MAP_MOST_NM) &&
           (!voltage || within(d, p, "voltage_v", p->voltage_v, EVN_DC_LEAST_V, EVN_DC_MOST_V));
}

static double loss_of(measure m, const point *p)
{
    double w = p->speed_rpm * EVN_RAD_S_PER_RPM, power = p->torque_nm * w;
    if (m == LOSS_W)
        return p->value;
    if (m == LOSS_KW)
        return p->value * 1e3;
    double efficiency = m == EFFICIENCY ? p->value : p->value / 100;
    if (isnan(efficiency) || efficiency <= 0 || power == 0)
        return (double)NAN;
    return power > 0 ? power * (1 / efficiency - 1) : -power * (1 - efficiency);
}

static bool sound_value(const desk *d, const point *p)
{
    bool efficiency = d->measure == EFFICIENCY || d->measure == EFFICIENCY_PERCENT;
    double most = d->measure == EFFICIENCY ? 1 : d->measure == EFFICIENCY_PERCENT ? 100 : (double)INFINITY;
    if (p->value < 0) {
        say_point(d, p, EVN_FAULT_OUT_OF_RANGE, "%s of %g; expected 0 or more", efficiency ? "efficiency" : "loss",
                  p->value);
        return false;
    }
    if (p->value > most) {
        say_point(d, p, EVN_FAULT_OUT_OF_RANGE, "efficiency of %g; expected 0 to %g%s", p->value, most,
                  d->measure == EFFICIENCY ? "; per cent go into a column efficiency_percent" : " per cent");
        return false;
    }
    double loss_w = loss_of(d->measure, p);
    if (loss_w > EVN_MAP_MOST_W) {
        say_point(d, p, EVN_FAULT_OUT_OF_RANGE, "%s of %.10g is a loss of %.10g W; expected at most %.10g W",
                  measure_names[d->measure], p->value, loss_w, EVN_MAP_MOST_W);
        return false;
    }
    return true;
}

static int rising(double a, double b) { return (a > b) - (a < b); }

static int by_place(const void *left, const void *right)
{
    const point *a = left, *b = right;
    int order = rising(a->voltage_v, b->voltage_v);
    order = order ? order : rising(a->speed_rpm, b->speed_rpm);
    order = order ? order : rising(a->torque_nm, b->torque_nm);
    return order ? order : (a->row > b->row) - (a->row < b->row);
}

/* Sorted points: two at one place follow each other. */
static bool each_once(const desk *d)
{
    bool once = true;
    for (size_t k = 1; k < d->count; k++) {
        const point *a = &d->point[k - 1], *b = &d->point[k];
        if (a->voltage_v != b->voltage_v || a->speed_rpm != b->speed_rpm || a->torque_nm != b->torque_nm)
            continue;
        once = false;
        say_point(d, b, EVN_FAULT_DISAGREES, "a second point at %g rpm and %g Nm; expected each once%s", b->speed_rpm,
                  b->torque_nm, d->file->table ? "" : "; axes without repeats");
    }
    return once;
}

/* ------------------------------------------------------------------------------------------------ grid */

static int compare(const void *a, const void *b) { return rising(*(const double *)a, *(const double *)b); }

/* Values of an axis are the same or stand well apart; else it is said at a point of the later one. */
static bool stands_apart(const desk *d, const char *name, size_t offset, const double *x, size_t count, double least)
{
    for (size_t k = 1; k < count; k++) {
        if (x[k] - x[k - 1] >= least * (1 - EVN_APART_HAIR))
            continue;
        const point *at = d->point;
        while (memcmp((const char *)at + offset, &x[k], sizeof *x) != 0)
            at++;
        say_point(d, at, EVN_FAULT_DISAGREES, "%s %.10g beside %.10g; expected the same, or at least %g apart", name,
                  x[k], x[k - 1], least);
        return false;
    }
    return true;
}

/* The different values of one member of all points, rising. */
static double *axis_of(const desk *d, size_t offset, evn_arena *arena, size_t *count)
{
    double *x = evn_arena_take(arena, (d->count + 1) * sizeof *x);
    *count = 0;
    if (!x)
        return NULL;
    for (size_t k = 0; k < d->count; k++)
        memcpy(&x[k], (const char *)&d->point[k] + offset, sizeof *x);
    qsort(x, d->count, sizeof *x, compare);
    for (size_t k = 0; k < d->count; k++)
        if (!*count || x[k] > x[*count - 1])
            x[(*count)++] = x[k];
    return x;
}

static bool sizes_fit(const desk *d, const evn_map_points *p)
{
    if (p->speeds < 2 || p->torques < 2) {
        say_whole(d, "", EVN_FAULT_DISAGREES, "a loss map of %zu speeds and %zu torques; expected at least 2 of each",
                  p->speeds, p->torques);
        return false;
    }
    /* A grid of many more cells than points is no grid: torques that differ from speed to speed. */
    if (4 * d->count < p->voltages * p->speeds * p->torques) {
        say_whole(
            d, "", EVN_FAULT_DISAGREES,
            "%zu points over %zu speeds and %zu torques; expected a grid, the same torques at every speed; cells may "
            "be missing, but not three of four",
            d->count, p->speeds, p->torques);
        return false;
    }
    if (p->speeds > EVN_MAP_AXIS_MOST || p->torques > EVN_MAP_AXIS_MOST || p->voltages > EVN_MAP_VOLTAGES_MOST) {
        say_whole(d, "", EVN_FAULT_TOO_LARGE,
                  "a loss map of %zu speeds, %zu torques and %zu voltages; expected at most %d, %d and %d", p->speeds,
                  p->torques, p->voltages, EVN_MAP_AXIS_MOST, EVN_MAP_AXIS_MOST, EVN_MAP_VOLTAGES_MOST);
        return false;
    }
    return true;
}

static size_t place_on(const double *x, size_t count, double at)
{
    const double *found = bsearch(&at, x, count, sizeof *x, compare);
    return (size_t)(found - x);
}

static bool put_cells(const desk *d, evn_map_points *p, evn_arena *arena)
{
    size_t cells = p->speeds * p->torques, all = p->voltages * cells;
    p->loss_w = evn_arena_take(arena, all * sizeof *p->loss_w);
    if (!p->loss_w)
        return no_memory(d);
    for (size_t c = 0; c < all; c++)
        p->loss_w[c] = (double)NAN;
    for (size_t k = 0; k < d->count; k++) {
        const point *at = &d->point[k];
        size_t v = place_on(p->voltage_v, p->voltages, at->voltage_v);
        size_t i = place_on(p->speed_rad_s, p->speeds, at->speed_rpm),
               j = place_on(p->torque_nm, p->torques, at->torque_nm);
        p->loss_w[v * cells + i * p->torques + j] = loss_of(d->measure, at);
    }
    for (size_t v = 0; v < p->voltages; v++) {
        size_t measured = 0;
        for (size_t c = 0; c < cells; c++)
            measured += isnan(p->loss_w[v * cells + c]) ? 0 : 1;
        if (measured >= 4)
            continue;
        say_whole(d, "", EVN_FAULT_DISAGREES,
                  "%zu measured cells in a loss map, or at one of its voltages; expected at least 4", measured);
        return false;
    }
    return true;
}

static bool make_grid(const desk *d, evn_arena *arena, evn_map_points *p)
{
    *p = (evn_map_points){0};
    p->voltage_v = axis_of(d, offsetof(point, voltage_v), arena, &p->voltages);
    p->speed_rad_s = axis_of(d, offsetof(point, speed_rpm), arena, &p->speeds);
    p->torque_nm = axis_of(d, offsetof(point, torque_nm), arena, &p->torques);
    if (!p->voltage_v || !p->speed_rad_s || !p->torque_nm)
        return no_memory(d);
    bool apart =
        stands_apart(d, "voltage_v", offsetof(point, voltage_v), p->voltage_v, p->voltages, EVN_MAP_APART_LEAST_V) &&
        stands_apart(d, "speed_rpm", offsetof(point, speed_rpm), p->speed_rad_s, p->speeds, EVN_MAP_APART_LEAST_RPM) &&
        stands_apart(d, "torque_nm", offsetof(point, torque_nm), p->torque_nm, p->torques, EVN_MAP_APART_LEAST_NM);
    if (!apart || !sizes_fit(d, p) || !put_cells(d, p, arena))
        return false;
    p->two_sided = p->torque_nm[0] < 0;
    for (size_t i = 0; i < p->speeds; i++)
        p->speed_rad_s[i] *= EVN_RAD_S_PER_RPM;
    if (!d->file->table || !column(d->file->table, "voltage_v"))
        p->voltage_v[0] = (double)NAN;
    return true;
}

/* Of a motor of another active length: at each share of the peak torque the same share of the loss. */
static void scale_grid(evn_map_points *p, double k)
{
    for (size_t j = 0; j < p->torques; j++)
        p->torque_nm[j] *= k;
    for (size_t c = 0; c < p->voltages * p->speeds * p->torques; c++)
        p->loss_w[c] *= k;
}

bool evn_map_points_read(const evn_map_file *f, const evn_seat *seat, evn_arena *arena, evn_map_points *out,
                         evn_report *report)
{
    desk d = {.file = f, .seat = seat, .report = report};
    if (f->table ? !take_table(&d, arena) : !take_lists(&d, arena))
        return false;
    bool sound = true;
    for (size_t k = 0; k < d.count; k++)
        sound = sound_place(&d, &d.point[k]) && sound_value(&d, &d.point[k]) && sound;
    if (!sound)
        return false;
    qsort(d.point, d.count, sizeof *d.point, by_place);
    if (!each_once(&d) || !make_grid(&d, arena, out))
        return false;
    if (f->scale)
        scale_grid(out, f->scale->torque);
    return true;
}

static double greatest(const double *x, size_t count)
{
    double most = 0;
    for (size_t k = 0; k < count; k++)
        most = fmax(most, fabs(x[k]));
    return most;
}

void evn_map_reach(const evn_map_file *f, double *speed_rpm, double *torque_nm)
{
    const evn_sheet *t = f->table;
    *speed_rpm = t ? greatest(column(t, "speed_rpm"), t->rows) : greatest(f->speed_rpm.at, f->speed_rpm.count);
    *torque_nm = t ? greatest(column(t, "torque_nm"), t->rows) : greatest(f->torque_nm.at, f->torque_nm.count);
    if (f->scale)
        *torque_nm *= f->scale->torque;
}
