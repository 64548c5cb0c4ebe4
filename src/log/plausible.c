/* Bounds of braking, acceleration and grades, and speeds whose unit changes on the road. */
#include "log/plausible.h"
#include "cycle/resolve.h"
#include <math.h>

/* Beyond what loaded trucks and empty ones do, smoothed over some seconds: common practice, no source. */
#define ACCELERATION_MOST_M_S2 3.0
/* Public roads that trucks drive seldom exceed the first, and hardly any road the second: common practice, no source.
 */
#define GRADE_UNUSUAL 0.15
#define GRADE_MOST 0.3
/* More altitudes than that share of all beyond jumps: the log does not say where the road is. */
#define JUMPED_MOST 0.2
/* Pieces over which an odometer is held against speed: so long, and ten of its steps. */
#define PIECE_M 2000.0
#define PIECE_STEPS 10.0
#define PIECES_APART_MOST 1.25
/* A step of speed that no truck makes, at which a change of unit is looked for. */
#define STEP_M_S2 4.0
#define STEP_M_S 3.0

static size_t row_at(const evn_log *log, double time_s)
{
    size_t row = 0;
    while (row + 1 < log->rows && log->column[EVN_LOG_TIME][row] < time_s)
        row++;
    return row;
}

/* ------------------------------------------------------------------------------------------------ motion */

static bool accelerates(const evn_log *log, const evn_motion *m, size_t worst, double most, evn_report *report)
{
    if (most < ACCELERATION_MOST_M_S2)
        return true;
    evn_say(report, EVN_FAULT_OUT_OF_RANGE, evn_log_row(log, row_at(log, m->time_s[worst]), report), evn_nowhere,
            "speed rises from %.4g to %.4g km/h in %.4g s near this row, smoothed already; expected acceleration below "
            "%g m/s2; another unit from here on, or a loss of signal, which --speed-width-s, --from-s or --to-s may "
            "help over",
            m->speed_m_s[worst] * 3.6, m->speed_m_s[worst + 1] * 3.6, m->time_s[worst + 1] - m->time_s[worst],
            ACCELERATION_MOST_M_S2);
    return false;
}

static bool brakes(const evn_log *log, const evn_motion *m, size_t worst, double most, evn_report *report)
{
    if (most < EVN_BRAKING_MOST_M_S2)
        return true;
    evn_say(report, EVN_FAULT_BRAKING_TOO_HARD, evn_log_row(log, row_at(log, m->time_s[worst]), report), evn_nowhere,
            "speed falls from %.4g to %.4g km/h in %.4g s near this row, smoothed already; expected braking below %g "
            "m/s2; a loss of signal, which --speed-width-s, --from-s or --to-s may help over",
            m->speed_m_s[worst] * 3.6, m->speed_m_s[worst + 1] * 3.6, m->time_s[worst + 1] - m->time_s[worst],
            EVN_BRAKING_MOST_M_S2);
    return false;
}

bool evn_motion_is_a_trucks(const evn_log *log, const evn_motion *m, evn_import_told *told, evn_report *report)
{
    size_t up = 0, down = 0;
    for (size_t i = 0; i + 1 < m->count; i++) {
        double a = (m->speed_m_s[i + 1] - m->speed_m_s[i]) / (m->time_s[i + 1] - m->time_s[i]);
        up = a > told->acceleration_most_m_s2 ? i : up;
        down = -a > told->braking_most_m_s2 ? i : down;
        told->acceleration_most_m_s2 = fmax(told->acceleration_most_m_s2, a);
        told->braking_most_m_s2 = fmax(told->braking_most_m_s2, -a);
    }
    return brakes(log, m, down, told->braking_most_m_s2, report) &&
           accelerates(log, m, up, told->acceleration_most_m_s2, report);
}

/* ------------------------------------------------------------------------------------------------ unit of speeds */

static double middle(double a, double b, double c) { return fmax(fmin(a, b), fmin(fmax(a, b), c)); }

static double times(double a, double b) { return fmax(a, b) / fmax(fmin(a, b), 0.1); }

/* 3.6 for km/h and m/s, 1.609 for miles and kilometres, of three rows and of the step alone; 0: neither. */
static double unit_between(double before, double after, double step)
{
    static const double units[] = {3.6, 1.609};
    for (size_t k = 0; k < sizeof units / sizeof *units; k++)
        if (fabs(times(before, after) / units[k] - 1) < 0.05 && fabs(step / units[k] - 1) < 0.1)
            return units[k];
    return 0;
}

bool evn_speeds_keep_their_unit(const evn_log *log, double gap_s, evn_report *report)
{
    const double *t = log->column[EVN_LOG_TIME], *v = log->column[EVN_LOG_SPEED];
    for (size_t k = 2; v && k + 3 < log->rows; k++) {
        double step = fabs(v[k + 1] - v[k]), dt = t[k + 1] - t[k];
        if (!(step > STEP_M_S && step > STEP_M_S2 * dt && dt <= gap_s))
            continue;
        double before = middle(v[k - 2], v[k - 1], v[k]), after = middle(v[k + 1], v[k + 2], v[k + 3]);
        double unit = unit_between(before, after, times(v[k], v[k + 1]));
        if (unit == 0 || fabs(after - before) < STEP_M_S)
            continue;
        evn_say(
            report, EVN_FAULT_DISAGREES, evn_log_row(log, k + 1, report), evn_nowhere,
            "speed goes from %.4g to %.4g km/h in %.3g s at this row and stays there, %g times %s; expected one unit "
            "in the whole column; --from-s and --to-s take a part of the log",
            before * 3.6, after * 3.6, dt, unit, after > before ? "higher" : "lower");
        return false;
    }
    return true;
}

/* ------------------------------------------------------------------------------------------------ odometer */

/* The least that an odometer counts by. */
static double step_of(const evn_log *log)
{
    const double *place = log->column[EVN_LOG_PLACE];
    double before = (double)NAN, least = (double)INFINITY;
    for (size_t k = 0; k < log->rows; k++) {
        if (isnan(place[k]))
            continue;
        least = place[k] - before > 1e-6 ? fmin(least, place[k] - before) : least;
        before = place[k];
    }
    return isfinite(least) ? least : 0;
}

static bool paces_apart(const evn_log *log, size_t from, size_t to, double by_speed_m, double by_place_m,
                        const evn_import_told *told, evn_report *report)
{
    double share = by_speed_m / by_place_m;
    if (share < PIECES_APART_MOST && share > 1 / PIECES_APART_MOST)
        return true;
    evn_say(
        report, EVN_FAULT_DISAGREES, evn_log_row(log, from, report), evn_nowhere,
        "from this row to that at %.6g s %.3g km by %s and %.3g km by place; expected nearly the same; another unit "
        "there, or a column that stands still; --column 'QUANTITY=' leaves one out",
        log->column[EVN_LOG_TIME][to], by_speed_m / 1e3, told->speed_from, by_place_m / 1e3);
    return false;
}

bool evn_odometer_keeps_pace(const evn_log *log, const evn_motion *m, const evn_import_told *told, evn_report *report)
{
    const double *place = log->column[EVN_LOG_PLACE];
    if (!place || isnan(told->place_distance_m)) /* none, or what tells the speed */
        return true;
    double piece_m = fmax(PIECE_M, PIECE_STEPS * step_of(log)), begun_m = 0;
    size_t at = 0, from = log->rows;
    for (size_t k = 0; k < log->rows; k++) {
        if (isnan(place[k]))
            continue;
        double by_speed = evn_motion_place_m(m, log->column[EVN_LOG_TIME][k], &at);
        double counted = from < log->rows ? place[k] - place[from] : 0;
        if (from < log->rows && fmax(counted, by_speed - begun_m) < piece_m)
            continue;
        if (from < log->rows && !paces_apart(log, from, k, by_speed - begun_m, counted, told, report))
            return false;
        from = k;
        begun_m = by_speed;
    }
    return true;
}

/* ------------------------------------------------------------------------------------------------ road */

static size_t row_at_place(const evn_log *log, const evn_motion *m, double place_m)
{
    size_t row = 0, at = 0;
    while (row + 1 < log->rows && evn_motion_place_m(m, log->column[EVN_LOG_TIME][row], &at) < place_m)
        row++;
    return row;
}

static bool jumps_are_few(const evn_log *log, const evn_elevation *p, evn_report *report)
{
    if ((double)p->jumped <= JUMPED_MOST * (double)p->measured)
        return true;
    evn_say(
        report, EVN_FAULT_DISAGREES, evn_log_row(log, row_at(log, p->jump_s), report), evn_nowhere,
        "altitude jumps at this row, and %zu of %zu altitudes lie beyond such jumps; expected at most %.0f %%; heights "
        "that a receiver lost; --from-s and --to-s take a part of the log, --column 'altitude=' none of its heights",
        p->jumped, p->measured, 100 * JUMPED_MOST);
    return false;
}

bool evn_road_is_a_road(const evn_log *log, const evn_motion *m, const evn_elevation *p, evn_import_told *told,
                        evn_report *report)
{
    told->steepest_ratio = told->steepest_place_m = (double)NAN;
    if (p->count == 0)
        return true;
    size_t worst = 0;
    for (size_t i = 1; i < p->count; i++)
        worst = fabs(p->tangent[i]) > fabs(p->tangent[worst]) ? i : worst;
    double steepest = fabs(p->tangent[worst]);
    told->steepest_ratio = p->tangent[worst];
    told->steepest_place_m = p->place_m[worst];
    if (!jumps_are_few(log, p, report))
        return false;
    if (steepest <= GRADE_UNUSUAL)
        return true;
    bool refused = steepest > GRADE_MOST;
    size_t row = row_at_place(log, m, p->place_m[worst]);
    evn_say(
        report, refused ? EVN_FAULT_OUT_OF_RANGE : EVN_FAULT_UNUSUAL_VALUE, evn_log_row(log, row, report), evn_nowhere,
        "a grade of %.3g %% near this row, smoothed already; expected at most %.3g %%; heights that a receiver lost, "
        "or another unit; --grade-width-m smooths more, --column 'altitude=' takes none of the log's heights",
        100 * p->tangent[worst], 100 * (refused ? GRADE_MOST : GRADE_UNUSUAL));
    return !refused;
}
