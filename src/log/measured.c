/* Which columns tell the speed, where the log has gaps, and whether its columns agree on the distance. */
#include "log/import.h"
#include <math.h>
#include <stdio.h>

/*
 * Scatter of acceleration that noise may leave, and the widths that are chosen for it. Noise of speed that is slow does
 * little; what it accelerates and brakes is work that nobody did.
 */
#define SCATTER_M_S2 0.05
#define WIDTH_LEAST_S 4.0
#define WIDTH_MOST_S 20.0
/* A vehicle that moved no further than that in a gap stood there, a receiver's wander taken in. */
#define STOOD_WITHIN_M 50.0
#define DISTANCES_APART_MOST 1.25

static bool no_memory(evn_report *report)
{
    evn_say(report, EVN_FAULT_OUT_OF_MEMORY, evn_nowhere, evn_nowhere, "memory ran out over a log");
    return false;
}

static bool has(const evn_log *log, evn_log_quantity q)
{
    const double *x = log->column[q];
    for (size_t k = 0; x && k < log->rows; k++)
        if (!isnan(x[k]))
            return true;
    return false;
}

static bool has_positions(const evn_log *log) { return has(log, EVN_LOG_LATITUDE) && has(log, EVN_LOG_LONGITUDE); }

/* ------------------------------------------------------------------------------------------------ points */

typedef struct taken { /* rows that have a value, as points over time */
    evn_points points;
    size_t *row;
} taken;

static bool take(const evn_log *log, evn_log_quantity q, evn_log_quantity with, taken *out, evn_arena *arena)
{
    const double *t = log->column[EVN_LOG_TIME], *y = log->column[q], *also = log->column[with];
    out->points.x = evn_arena_take(arena, (log->rows + 1) * sizeof *out->points.x);
    out->points.y = evn_arena_take(arena, (log->rows + 1) * sizeof *out->points.y);
    out->row = evn_arena_take(arena, (log->rows + 1) * sizeof *out->row);
    if (!out->points.x || !out->points.y || !out->row)
        return false;
    size_t n = 0;
    for (size_t k = 0; k < log->rows; k++) {
        if (isnan(y[k]) || isnan(also[k]))
            continue;
        out->points.x[n] = t[k];
        out->points.y[n] = y[k];
        out->row[n++] = k;
    }
    out->points.count = n;
    return true;
}

/* Longitudes without the step from 180 to -180. */
static void unwrap(evn_points *p)
{
    for (size_t i = 1; i < p->count; i++)
        p->y[i] -= 360 * round((p->y[i] - p->y[i - 1]) / 360);
}

/* ------------------------------------------------------------------------------------------------ gaps */

static double ground_m(const evn_log *log, const evn_geodesics *g, size_t from, size_t to)
{
    const double *lat = log->column[EVN_LOG_LATITUDE], *lon = log->column[EVN_LOG_LONGITUDE];
    if (!lat || !lon || isnan(lat[from] + lon[from] + lat[to] + lon[to]))
        return (double)NAN;
    return evn_ground_distance_m(g, (evn_position){lat[from], lon[from]}, (evn_position){lat[to], lon[to]}, NULL);
}

static double moved_m(const evn_log *log, const evn_geodesics *g, size_t from, size_t to)
{
    const double *place = log->column[EVN_LOG_PLACE];
    double by_ground = ground_m(log, g, from, to);
    return place && !isnan(place[from] + place[to]) ? place[to] - place[from] : by_ground;
}

static bool at_rest(const evn_log *log, const evn_geodesics *g, const evn_import_how *how, size_t from, size_t to)
{
    const double *v = log->column[EVN_LOG_SPEED];
    double moved = moved_m(log, g, from, to), below = how->rest_km_h / 3.6;
    bool slow = !v || ((isnan(v[from]) || v[from] < below) && (isnan(v[to]) || v[to] < below));
    return slow && (isnan(moved) ? v != NULL : fabs(moved) < STOOD_WITHIN_M);
}

/* Said once, not at each row. */
static bool steps_too_long(const evn_log *log, const evn_import_how *how, const evn_import_told *told,
                           evn_report *report)
{
    evn_say(report, EVN_FAULT_DISAGREES, evn_log_row(log, 0, report), evn_nowhere,
            "rows mostly %.6g s apart from here on; expected at most %.6g s%s; --bridge-s bridges longer gaps by a "
            "straight "
            "line",
            told->step_s, how->bridge_s,
            told->step_s >= 100 && told->step_s <= 60000 ? "; is the unit of time ms?" : "");
    return false;
}

static bool gaps_allowed(const evn_log *log, const evn_geodesics *g, const evn_import_how *how, const taken *t,
                         evn_import_told *told, evn_report *report)
{
    bool allowed = true;
    if (told->step_s > how->bridge_s && told->step_s > how->gap_s)
        return steps_too_long(log, how, told, report);
    for (size_t i = 0; i + 1 < t->points.count; i++) {
        double step = t->points.x[i + 1] - t->points.x[i];
        told->longest_gap_s = fmax(told->longest_gap_s, step);
        if (step <= how->gap_s)
            continue;
        bool rest = at_rest(log, g, how, t->row[i], t->row[i + 1]);
        told->gaps += !rest;
        told->gaps_at_rest += rest;
        if (rest || step <= how->bridge_s)
            continue;
        double moved = moved_m(log, g, t->row[i], t->row[i + 1]);
        char by[60] = "";
        if (!isnan(moved))
            snprintf(by, sizeof by, ", in which the vehicle moved %.0f m", moved);
        evn_say(
            report, EVN_FAULT_DISAGREES, evn_log_row(log, t->row[i + 1], report), evn_nowhere,
            "a gap of %.6g s before this row%s; expected at most %.6g s; --bridge-s bridges longer ones by a straight "
            "line, --from-s and --to-s take a part of the log",
            step, by, how->bridge_s);
        allowed = false;
    }
    return allowed;
}

static bool bridge(const evn_import_how *how, evn_measured *m, evn_arena *arena)
{
    evn_points whole;
    size_t bridged;
    if (!evn_points_bridge(&m->value, how->gap_s, fmax(m->step_s, 0.1), &whole, &bridged, arena))
        return false;
    m->value = whole;
    if (m->by != EVN_LOG_LATITUDE)
        return true;
    if (!evn_points_bridge(&m->other, how->gap_s, fmax(m->step_s, 0.1), &whole, &bridged, arena))
        return false;
    m->other = whole;
    return true;
}

/* ------------------------------------------------------------------------------------------------ widths */

/* A speedometer that tells whole steps scatters by them, though its second differences are mostly 0. */
static double step_of(const evn_points *p)
{
    double least = (double)INFINITY;
    for (size_t i = 0; i + 1 < p->count; i++) {
        double d = fabs(p->y[i + 1] - p->y[i]);
        if (d > 1e-9 && d < least)
            least = d;
    }
    return isfinite(least) ? least : 0;
}

static bool choose_width(const evn_import_how *how, evn_measured *m)
{
    double noise, other = 0;
    if (!evn_points_noise(&m->value, &noise) || (m->by == EVN_LOG_LATITUDE && !evn_points_noise(&m->other, &other)))
        return false;
    bool positions = m->by == EVN_LOG_LATITUDE;
    m->noise = positions ? 111000 * fmax(noise, other * cos(m->value.y[0] * 0.017453292519943295)) : noise;
    double scatter = positions ? m->noise : fmax(m->noise, step_of(&m->value) / sqrt(12.0));
    double width = m->by == EVN_LOG_SPEED ? evn_spline_width_for_slope(scatter, m->step_s, SCATTER_M_S2)
                                          : evn_spline_width_for_bend(scatter, m->step_s, SCATTER_M_S2);
    m->width_s = how->speed_width_s > 0 ? how->speed_width_s : fmin(fmax(width, WIDTH_LEAST_S), WIDTH_MOST_S);
    return true;
}

/* ------------------------------------------------------------------------------------------------ the whole */

static bool nothing_tells(const evn_log *log, evn_report *report)
{
    evn_say(report, EVN_FAULT_MISSING_KEY, (evn_spot){evn_report_file(report, log->file), 0, 0}, evn_nowhere,
            "a log without speed, place, or latitude with longitude; expected one of them beside time; --column "
            "'speed=NAME [km/h]' says which column holds it");
    return false;
}

static bool enough(const evn_log *log, const taken *t, evn_report *report)
{
    if (t->points.count >= 3)
        return true;
    evn_say(report, EVN_FAULT_DISAGREES, (evn_spot){evn_report_file(report, log->file), 0, 0}, evn_nowhere,
            "%zu row%s with a time of its own and what tells the speed; expected 3 at least", t->points.count,
            t->points.count == 1 ? "" : "s");
    return false;
}

bool evn_measured_find(const evn_log *log, const evn_import_how *how, evn_measured *m, evn_import_told *told,
                       evn_arena *arena, evn_report *report)
{
    static const char *const names[] = {"speed", "place", "latitude and longitude"};
    bool speeds = has(log, EVN_LOG_SPEED), places = has(log, EVN_LOG_PLACE);
    if (!speeds && !places && !has_positions(log))
        return nothing_tells(log, report);
    if (log->column[EVN_LOG_LATITUDE] && log->column[EVN_LOG_LONGITUDE] && !evn_geodesics_open(&m->geodesics, report))
        return false;
    m->by = speeds ? EVN_LOG_SPEED : places ? EVN_LOG_PLACE : EVN_LOG_LATITUDE;
    evn_log_quantity with = m->by == EVN_LOG_LATITUDE ? EVN_LOG_LONGITUDE : m->by;
    taken first, second;
    if (!take(log, m->by, with, &first, arena) || (with != m->by && !take(log, with, m->by, &second, arena)))
        return no_memory(report);
    if (!enough(log, &first, report) || !gaps_allowed(log, &m->geodesics, how, &first, told, report))
        return false;
    m->value = first.points;
    if (with != m->by) {
        unwrap(&second.points);
        m->other = second.points;
    }
    m->step_s = told->step_s;
    if (!choose_width(how, m) || !bridge(how, m, arena))
        return no_memory(report);
    told->speed_from = names[speeds ? 0 : places ? 1 : 2];
    told->speed_noise_m_s = m->by == EVN_LOG_SPEED ? m->noise : (double)NAN;
    return true;
}

/* ------------------------------------------------------------------------------------------------ distances */

/* Along positions some seconds apart, so that a receiver's noise is little beside the way. */
static double along_ground_m(const evn_log *log, const evn_geodesics *g)
{
    const double SECONDS = 5.0, *t = log->column[EVN_LOG_TIME], *lat = log->column[EVN_LOG_LATITUDE];
    double sum = 0, before_s = -(double)INFINITY;
    size_t last = log->rows;
    for (size_t k = 0; k < log->rows; k++) {
        if (t[k] < before_s + SECONDS || isnan(lat[k]) || isnan(log->column[EVN_LOG_LONGITUDE][k]))
            continue;
        double step = last < log->rows ? ground_m(log, g, last, k) : 0;
        sum += step >= 5 ? step : 0; /* wander at rest */
        before_s = t[k];
        last = k;
    }
    return sum;
}

static double along_odometer_m(const evn_log *log)
{
    const double *place = log->column[EVN_LOG_PLACE];
    double first = (double)NAN, last = (double)NAN;
    for (size_t k = 0; k < log->rows; k++)
        if (!isnan(place[k])) {
            first = isnan(first) ? place[k] : first;
            last = place[k];
        }
    return last - first;
}

static bool alike(const evn_log *log, double distance_m, double other_m, const char *by, const evn_import_told *told,
                  evn_report *report)
{
    double share = distance_m / other_m;
    if (isnan(other_m) || fmax(distance_m, other_m) < 1000 ||
        (share < DISTANCES_APART_MOST && share > 1 / DISTANCES_APART_MOST))
        return true;
    const char *hint = fabs(share - 3.6) < 0.2         ? "; speed 3.6 times too high: is its unit km/h?"
                       : fabs(share * 3.6 - 1) < 0.06  ? "; speed 3.6 times too low: is its unit m/s?"
                       : fabs(share - 1.609) < 0.1     ? "; is one of them in miles?"
                       : fabs(share * 1.609 - 1) < 0.1 ? "; is one of them in miles?"
                                                       : "";
    evn_say(report, EVN_FAULT_DISAGREES, (evn_spot){evn_report_file(report, log->file), 0, 0}, evn_nowhere,
            "%.4g km by %s and %.4g km by %s; expected nearly the same%s; --column 'QUANTITY=' leaves one out",
            distance_m / 1e3, told->speed_from, other_m / 1e3, by, hint);
    return false;
}

bool evn_distances_agree(const evn_log *log, const evn_measured *m, evn_import_told *told, evn_report *report)
{
    bool positions = has_positions(log) && m->by != EVN_LOG_LATITUDE;
    bool places = has(log, EVN_LOG_PLACE) && m->by != EVN_LOG_PLACE;
    told->ground_distance_m = positions ? along_ground_m(log, &m->geodesics) : (double)NAN;
    told->place_distance_m = places ? along_odometer_m(log) : (double)NAN;
    bool ground = alike(log, told->distance_m, told->ground_distance_m, "latitude and longitude", told, report);
    return alike(log, told->distance_m, told->place_distance_m, "place", told, report) && ground;
}
