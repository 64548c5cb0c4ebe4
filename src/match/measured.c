/* What a log tells beside its speed, on the clock of the cycle that was made of it. */
#include "core/units.h"
#include "match/match.h"
#include <math.h>
#include <string.h>

/* ------------------------------------------------------------------------------------------------ the cycle */

static evn_list list_of(const double *from, size_t count, double factor, evn_arena *arena)
{
    double *at = evn_arena_take(arena, (count + 1) * sizeof *at);
    for (size_t i = 0; at && i < count; i++)
        at[i] = factor * from[i];
    return (evn_list){at, at ? count : 0};
}

/* The last part of a path without what stands behind its point. */
static const char *name_of(const char *path, evn_arena *arena)
{
    const char *slash = strrchr(path, '/'), *name = slash ? slash + 1 : path;
    return evn_arena_text(arena, name, strlen(name));
}

const evn_cycle_file *evn_match_cycle(const evn_import *import, evn_arena *arena)
{
    const evn_import_cycle *c = &import->cycle;
    evn_cycle_file *file = evn_arena_take(arena, sizeof *file);
    evn_speed_file *speed = evn_arena_take(arena, sizeof *speed);
    evn_road_file *road = evn_arena_take(arena, sizeof *road);
    if (!file || !speed || !road)
        return NULL;
    speed->time_s = list_of(c->time_s, c->times, 1, arena);
    speed->speed_km_h = list_of(c->speed_m_s, c->times, 3.6, arena);
    road->place_m = list_of(c->grade_place_m, c->grades, 1, arena);
    road->grade_percent = list_of(c->grade_ratio, c->grades, 100, arena);
    *file = (evn_cycle_file){.name = name_of(import->log->file, arena),
                             .length_m = (double)NAN,
                             .speed = speed,
                             .road = c->grades > 1 ? road : NULL};
    return file->name && speed->speed_km_h.at && road->grade_percent.at ? file : NULL;
}

/* ------------------------------------------------------------------------------------------------ rows */

typedef struct rows {
    const evn_log *log; /* in order */
    size_t first, count;
    double sign;  /* of power, current and energy: 1 where discharging is above 0, else -1 */
    double gap_s; /* a longer step between powers is one */
    evn_arena *arena;
    evn_report *report;
} rows;

/* A column of those rows, NULL where the log lacks it. */
static const double *column(const rows *r, evn_log_quantity quantity)
{
    return r->log->column[quantity] ? r->log->column[quantity] + r->first : NULL;
}

/* The part of the log of which the cycle is made: its first row with a speed is the beginning of the clock. */
static void find_rows(rows *r, const evn_import *import, const evn_import_how *how)
{
    const double *t = r->log->column[EVN_LOG_TIME], *speed = r->log->column[EVN_LOG_SPEED];
    double from_s = t[0] + how->from_s, duration_s = import->cycle.time_s[import->cycle.times - 1];
    while (r->first < r->log->rows && (t[r->first] < from_s || (speed && isnan(speed[r->first]))))
        r->first++;
    while (r->first + r->count < r->log->rows && t[r->first + r->count] <= t[r->first] + duration_s + 1e-6)
        r->count++;
}

/* A column without a single value is none. */
static const double *with_values(const double *column, size_t count)
{
    for (size_t i = 0; column && i < count; i++)
        if (!isnan(column[i]))
            return column;
    return NULL;
}

static const double *power_of(const rows *r)
{
    const double *power = with_values(column(r, EVN_LOG_POWER), r->count);
    const double *volt = with_values(column(r, EVN_LOG_VOLTAGE), r->count);
    const double *ampere = with_values(column(r, EVN_LOG_CURRENT), r->count);
    if (!power && (!volt || !ampere))
        return NULL;
    double *product = evn_arena_take(r->arena, (r->count + 1) * sizeof *product);
    for (size_t i = 0; product && i < r->count; i++)
        product[i] = r->sign * (power ? power[i] : volt[i] * ampere[i]);
    return product;
}

static void tell_gap(const rows *r, size_t row, double lost_s)
{
    evn_say(r->report, EVN_FAULT_GAP_IN_LOG, evn_log_row(r->log, r->first + row, r->report), evn_nowhere,
            "no power is told for %.6g s before this row; the blocks that lie in it are left out, of log and run",
            lost_s);
}

/*
 * Trapezoids from row to row that has a power. Over a gap, and before the first and behind the last power, nothing is
 * known: that time is lost.
 */
static void sum_up(const rows *r, const evn_measured_rows *out, double *energy_j, double *lost_s)
{
    size_t last = 0;
    for (size_t i = 0; i < r->count; i++) {
        bool known = !isnan(out->power_w[i]), from_known = !isnan(out->power_w[last]), end = i + 1 == r->count;
        double step_s = out->time_s[i] - out->time_s[last];
        energy_j[i] = i > 0 ? energy_j[i - 1] : 0;
        lost_s[i] = i > 0 ? lost_s[i - 1] : 0;
        if (!known && !end)
            continue;
        if (step_s > r->gap_s) {
            for (size_t k = last + 1; k <= i; k++)
                lost_s[k] = lost_s[last] + out->time_s[k] - out->time_s[last];
            tell_gap(r, i, step_s);
        } else if (known && from_known)
            energy_j[i] = energy_j[last] + step_s * (out->power_w[last] + out->power_w[i]) / 2;
        last = i;
    }
}

/* A counter of energy makes no such step: what the strongest trucks take or return, and what coarse counters count by.
 */
static bool steps_as_a_counter(const rows *r, const double *counter)
{
    static const double MOST_W = 1.5e6, COARSE_J = 1 * EVN_J_PER_KWH;
    const double *time_s = column(r, EVN_LOG_TIME);
    size_t last = r->count;
    for (size_t i = 0; i < r->count; i++) {
        if (isnan(counter[i]))
            continue;
        double most_j = last < r->count ? COARSE_J + MOST_W * (time_s[i] - time_s[last]) : (double)INFINITY;
        if (last < r->count && fabs(counter[i] - counter[last]) > most_j) {
            evn_say(
                r->report, EVN_FAULT_DISAGREES, evn_log_row(r->log, r->first + i, r->report), evn_nowhere,
                "the energy goes from %.6g to %.6g kWh within %.6g s; expected at most %.3g kWh of change: a counter "
                "that starts again, or another unit; --from-s and --to-s take a part of the log",
                counter[last] / EVN_J_PER_KWH, counter[i] / EVN_J_PER_KWH, time_s[i] - time_s[last],
                most_j / EVN_J_PER_KWH);
            return false;
        }
        last = i;
    }
    return true;
}

/* A counter from its first value on; a missing value is that before it. */
static void count_up(const double *counter, double sign, size_t count, double *out)
{
    double first = (double)NAN;
    for (size_t i = 0; i < count; i++) {
        first = isnan(first) ? counter[i] : first;
        double now = sign * (counter[i] - first);
        out[i] = !isnan(now) ? now : i > 0 ? out[i - 1] : 0;
    }
}

static bool put_energy(const rows *r, evn_measured_rows *out)
{
    const double *counter = with_values(column(r, EVN_LOG_ENERGY), r->count);
    double *energy_j = evn_arena_take(r->arena, (r->count + 1) * sizeof *energy_j);
    double *lost_s = evn_arena_take(r->arena, (r->count + 1) * sizeof *lost_s);
    if (!energy_j || !lost_s)
        return false;
    if (out->power_w) {
        sum_up(r, out, energy_j, lost_s);
        out->lost_s = lost_s;
    } else if (counter)
        count_up(counter, r->sign, r->count, energy_j);
    else
        return true;
    out->energy_j = energy_j;
    out->energy_from = !out->power_w ? "energy" : column(r, EVN_LOG_POWER) ? "power" : "voltage and current";
    return true;
}

/* ------------------------------------------------------------------------------------------------ places */

/* Places of the cycle at the times of rows, by trapezoids of its speed, and since when it has been there. */
static bool put_places(const rows *r, const evn_import_cycle *c, evn_measured_rows *out)
{
    double *place_m = evn_arena_take(r->arena, (r->count + 1) * sizeof *place_m);
    double *arrived_s = evn_arena_take(r->arena, (r->count + 1) * sizeof *arrived_s);
    double begun_m = 0, rests_since_s = 0, left_m = 0;
    size_t k = 0;
    for (size_t i = 0; place_m && arrived_s && i < r->count; i++) {
        double t = out->time_s[i];
        for (; k + 1 < c->times && c->time_s[k + 1] <= t; k++) {
            bool rests = c->speed_m_s[k] == 0 && c->speed_m_s[k + 1] == 0;
            begun_m += (c->time_s[k + 1] - c->time_s[k]) * (c->speed_m_s[k] + c->speed_m_s[k + 1]) / 2;
            rests_since_s = rests ? rests_since_s : c->time_s[k + 1];
            left_m = rests ? begun_m : left_m;
        }
        bool last = k + 1 >= c->times;
        double into_s = last ? 0 : t - c->time_s[k], step_s = last ? 1 : c->time_s[k + 1] - c->time_s[k];
        double more_m_s = last ? 0 : c->speed_m_s[k + 1] - c->speed_m_s[k];
        place_m[i] = begun_m + into_s * (c->speed_m_s[k] + more_m_s * into_s / step_s / 2);
        bool rests = c->speed_m_s[k] == 0 && (last || c->speed_m_s[k + 1] == 0);
        bool just_left = !rests && left_m > 0 && place_m[i] < left_m + EVN_JUST_LEFT_M;
        arrived_s[i] = rests ? fmin(rests_since_s, t) : just_left ? -(double)INFINITY : t;
    }
    out->place_m = place_m;
    out->arrived_s = arrived_s;
    return place_m && arrived_s;
}

bool evn_match_measure(const evn_import *import, const evn_match_how *match, evn_measured_rows *out, evn_arena *arena,
                       evn_report *report)
{
    evn_log_order order;
    const evn_import_how *how = &match->import;
    rows r = {.log = evn_log_ordered(import->log, how->gap_s, &order, arena, report),
              .sign = match->charging_positive ? -1 : 1,
              .arena = arena,
              .report = report};
    if (!r.log)
        return false;
    r.gap_s = fmax(how->gap_s, 3 * order.median_s);
    find_rows(&r, import, how);
    double *time_s = evn_arena_take(arena, (r.count + 1) * sizeof *time_s);
    for (size_t i = 0; time_s && i < r.count; i++)
        time_s[i] = column(&r, EVN_LOG_TIME)[i] - column(&r, EVN_LOG_TIME)[0];
    *out = (evn_measured_rows){.count = r.count, .time_s = time_s};
    if (time_s) {
        out->speed_m_s = with_values(column(&r, EVN_LOG_SPEED), r.count);
        out->power_w = power_of(&r);
        out->soc = with_values(column(&r, EVN_LOG_CHARGE), r.count);
        out->motor_rad_s = with_values(column(&r, EVN_LOG_MOTOR_SPEED), r.count);
    }
    const double *counter = with_values(column(&r, EVN_LOG_ENERGY), r.count);
    if (!out->power_w && counter && !steps_as_a_counter(&r, counter))
        return false;
    if (time_s && put_energy(&r, out) && put_places(&r, &import->cycle, out))
        return true;
    evn_say(report, EVN_FAULT_OUT_OF_MEMORY, evn_nowhere, evn_nowhere, "memory ran out over a log");
    return false;
}
