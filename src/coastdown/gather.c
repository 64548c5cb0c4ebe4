/* Coast-downs in a log. */
#include "coastdown/gather.h"
#include "core/units.h"
#include "truck/rig.h"
#include <math.h>
#include <stdarg.h>
#include <stdio.h>
#include <string.h>

/* Speed that falls by so much is a coast-down, or braking: what is less is traffic. */
static const double FALL_LEAST_M_S = 30 * EVN_M_S_PER_KM_H;
/* It ends where speed rises by so much above its lowest, and begins so far below its highest: noise of a receiver, and
 * the last of the pull. */
static const double RISE_M_S = 1, BEGIN_BELOW_M_S = 0.6, SETTLE_S = 1;
static const double GAP_S = 2.5;
/* Half of the stretch whose straight line of altitude over the way is the grade in its middle. */
static const double GRADE_HALF_M = 200;
static const double BRAKE_LEAST = 0.02;
/* Limits of wind of SAE J1263, 16, 20 and 8 km/h: from memory. */
static const double WIND_MOST_M_S = 16 / 3.6, WIND_PEAK_M_S = 20 / 3.6, CROSS_MOST_M_S = 8 / 3.6;
static const double AIR_J_KG_K = 287.05287, ZERO_DEGC_K = 273.15;

void evn_coast_refuse(evn_coast_piece *piece, const char *reason, const char *format, ...)
{
    va_list values;
    if (piece->reason)
        return;
    piece->reason = reason;
    va_start(values, format);
    vsnprintf(piece->why, sizeof piece->why, format, values);
    va_end(values);
}

typedef struct search {
    const evn_log *log;
    const evn_coastdown_how *how;
    evn_arena *arena;
    evn_report *report;
} search;

static double cell(const search *s, evn_log_quantity quantity, size_t row)
{
    return s->log->column[quantity] ? s->log->column[quantity][row] : (double)NAN;
}

static double speed_at(const search *s, size_t row) { return cell(s, EVN_LOG_SPEED, row); }
static double time_at(const search *s, size_t row) { return cell(s, EVN_LOG_TIME, row); }

/* Mean of a column over rows; NAN: nothing stands there. */
static double mean_of(const search *s, evn_log_quantity quantity, size_t begin, size_t end)
{
    double sum = 0;
    size_t count = 0;
    for (size_t row = begin; s->log->column[quantity] && row < end; row++)
        if (!isnan(cell(s, quantity, row))) {
            sum += cell(s, quantity, row);
            count++;
        }
    return count > 0 ? sum / (double)count : (double)NAN;
}

/* ------------------------------------------------------------------------------------------------ from, to */

/* The rows between the last pull and the end: no speeds above or below what is asked, nor behind the first braking. */
static void trim(const search *s, size_t *begin, size_t *end)
{
    double highest = speed_at(s, *begin), from = s->how->from_km_h * EVN_M_S_PER_KM_H;
    double upper = isnan(from) ? highest - BEGIN_BELOW_M_S : fmin(from, highest - BEGIN_BELOW_M_S);
    for (size_t row = *begin; row < *end; row++)
        if (speed_at(s, row) > upper)
            *begin = row + 1;
    double settled_s = *begin < *end ? time_at(s, *begin) + (upper < from || isnan(from) ? SETTLE_S : 0) : 0;
    while (*begin < *end && time_at(s, *begin) < settled_s)
        ++*begin;
    for (size_t row = *begin; row < *end; row++)
        if (speed_at(s, row) < s->how->to_km_h * EVN_M_S_PER_KM_H || cell(s, EVN_LOG_BRAKE, row) > BRAKE_LEAST) {
            *end = row;
            break;
        }
}

static void judge_range(const search *s, evn_coast_piece *p, bool braked)
{
    double from = s->how->from_km_h * EVN_M_S_PER_KM_H, fall = p->from_m_s - p->to_m_s;
    double from_km_h = 3.6 * p->from_m_s, to_km_h = 3.6 * p->to_m_s;
    if (fall < FALL_LEAST_M_S)
        evn_coast_refuse(p, braked ? "braked" : "too_short",
                         "it coasts from %.1f to %.1f km/h%s; 30 km/h or more were expected", from_km_h, to_km_h,
                         braked ? ", and brakes then" : "");
    if (p->from_m_s < from - 1)
        evn_coast_refuse(p, "too_short", "it begins at %.1f km/h; %.1f km/h were expected", from_km_h,
                         s->how->from_km_h);
}

/* ------------------------------------------------------------------------------------------------ course */

static double wrapped_deg(double deg) { return deg - 360 * floor(deg / 360); }

/* Of the straight line from first to last place; on a sphere, which is exact enough for a direction. */
static double course_by_places(const search *s, size_t begin, size_t end)
{
    const double rad = EVN_PI / 180;
    size_t first = begin, last = end - 1;
    while (first < last && isnan(cell(s, EVN_LOG_LATITUDE, first)))
        first++;
    while (last > first && isnan(cell(s, EVN_LOG_LATITUDE, last)))
        last--;
    double north = cell(s, EVN_LOG_LATITUDE, last) - cell(s, EVN_LOG_LATITUDE, first);
    double east = cell(s, EVN_LOG_LONGITUDE, last) - cell(s, EVN_LOG_LONGITUDE, first);
    east = (east - 360 * round(east / 360)) * cos(rad * cell(s, EVN_LOG_LATITUDE, first));
    if (!(hypot(north, east) > 0))
        return (double)NAN;
    return wrapped_deg(atan2(east, north) / rad);
}

static double course_by_heading(const search *s, size_t begin, size_t end)
{
    const double rad = EVN_PI / 180;
    double east = 0, north = 0;
    for (size_t row = begin; row < end; row++)
        if (!isnan(cell(s, EVN_LOG_HEADING, row))) {
            east += sin(rad * cell(s, EVN_LOG_HEADING, row));
            north += cos(rad * cell(s, EVN_LOG_HEADING, row));
        }
    return hypot(east, north) > 0 ? wrapped_deg(atan2(east, north) / rad) : (double)NAN;
}

static double course_of(const search *s, size_t begin, size_t end)
{
    double heading = course_by_heading(s, begin, end);
    return isnan(heading) ? course_by_places(s, begin, end) : heading;
}

/* ------------------------------------------------------------------------------------------------ grade */

typedef struct sums {
    double count, x, y, xx, xy;
} sums;

static void add(sums *to, double x, double y, double sign)
{
    if (isnan(y))
        return;
    to->count += sign;
    to->x += sign * x;
    to->y += sign * y;
    to->xx += sign * x * x;
    to->xy += sign * x * y;
}

/* Slope of the straight line through altitudes over the way, around each sample. `way_m` counts from the first. */
static void grade_by_altitude(const search *s, size_t begin, const double *way_m, evn_coast_sample *at, size_t count)
{
    double base_m = mean_of(s, EVN_LOG_ALTITUDE, begin, begin + count);
    sums window = {0};
    size_t first = 0, last = 0;
    for (size_t i = 0; i < count; i++) {
        for (; last < count && way_m[last] <= way_m[i] + GRADE_HALF_M; last++)
            add(&window, way_m[last], cell(s, EVN_LOG_ALTITUDE, begin + last) - base_m, 1);
        for (; way_m[first] < way_m[i] - GRADE_HALF_M; first++)
            add(&window, way_m[first], cell(s, EVN_LOG_ALTITUDE, begin + first) - base_m, -1);
        double spread = window.count * window.xx - window.x * window.x;
        at[i].grade = spread > 0 ? (window.count * window.xy - window.x * window.y) / spread : 0;
    }
}

static void put_grades(const search *s, size_t begin, const double *way_m, evn_coast_piece *p, evn_coast_sample *at)
{
    size_t count = p->run.count;
    p->grade_from = !isnan(s->how->grade_percent)      ? "given"
                    : s->log->column[EVN_LOG_GRADE]    ? "grade"
                    : s->log->column[EVN_LOG_ALTITUDE] ? "altitude"
                                                       : "level";
    if (strcmp(p->grade_from, "altitude") == 0)
        grade_by_altitude(s, begin, way_m, at, count);
    for (size_t i = 0; i < count && strcmp(p->grade_from, "grade") == 0; i++) {
        double grade = cell(s, EVN_LOG_GRADE, begin + i);
        at[i].grade = !isnan(grade) ? grade : i > 0 ? at[i - 1].grade : 0;
    }
}

/* ------------------------------------------------------------------------------------------------ air */

static double headwind_at(const search *s, const evn_coast_piece *p, size_t row)
{
    const double rad = EVN_PI / 180;
    double air = cell(s, EVN_LOG_AIR_SPEED, row);
    if (!isnan(air))
        return air - speed_at(s, row);
    return cell(s, EVN_LOG_WIND_SPEED, row) * cos(rad * (cell(s, EVN_LOG_WIND_FROM, row) - p->course_deg));
}

static void put_wind(const search *s, size_t begin, evn_coast_piece *p, evn_coast_sample *at)
{
    const double rad = EVN_PI / 180;
    double cross = 0;
    size_t known = 0, crossed = 0;
    p->wind_m_s = mean_of(s, EVN_LOG_WIND_SPEED, begin, begin + p->run.count);
    p->wind_peak_m_s = p->cross_wind_m_s = (double)NAN;
    for (size_t i = 0; i < p->run.count; i++) {
        double along = headwind_at(s, p, begin + i), wind = cell(s, EVN_LOG_WIND_SPEED, begin + i);
        double across = wind * sin(rad * (cell(s, EVN_LOG_WIND_FROM, begin + i) - p->course_deg));
        at[i].headwind_m_s = !isnan(along) ? along : i > 0 ? at[i - 1].headwind_m_s : 0;
        known += isnan(along) ? 0 : 1;
        p->wind_peak_m_s = fmax(p->wind_peak_m_s, wind);
        cross += isnan(across) ? 0 : across;
        crossed += isnan(across) ? 0 : 1;
    }
    if (crossed > 0)
        p->cross_wind_m_s = fabs(cross) / (double)crossed;
    p->wind_along = 2 * known > p->run.count && isnan(s->how->headwind_m_s);
    for (size_t i = 0; i < p->run.count && !p->wind_along; i++)
        at[i].headwind_m_s = 0;
}

static void judge_wind(evn_coast_piece *p)
{
    if (p->wind_m_s > WIND_MOST_M_S || p->wind_peak_m_s > WIND_PEAK_M_S || p->cross_wind_m_s > CROSS_MOST_M_S)
        evn_coast_refuse(
            p, "wind", "wind of %.1f m/s, at most %.1f, across %.1f; up to %.1f, %.1f and %.1f m/s were expected",
            p->wind_m_s, p->wind_peak_m_s, p->cross_wind_m_s, WIND_MOST_M_S, WIND_PEAK_M_S, CROSS_MOST_M_S);
}

static double density_of(const search *s, size_t begin, size_t end)
{
    double given = s->how->air_density_kg_m3, measured = mean_of(s, EVN_LOG_AIR_DENSITY, begin, end);
    double degc = s->how->temperature_degc, altitude_m = s->how->altitude_m;
    double pressure_pa = mean_of(s, EVN_LOG_AIR_PRESSURE, begin, end);
    degc = isnan(degc) ? mean_of(s, EVN_LOG_AIR_TEMPERATURE, begin, end) : degc;
    altitude_m = isnan(altitude_m) ? mean_of(s, EVN_LOG_ALTITUDE, begin, end) : altitude_m;
    if (!isnan(given) || !isnan(measured))
        return isnan(given) ? measured : given;
    if (!isnan(pressure_pa) && !isnan(degc))
        return pressure_pa / (AIR_J_KG_K * (degc + ZERO_DEGC_K));
    return evn_air_density_kg_m3(isnan(altitude_m) ? 0 : altitude_m, degc);
}

/* ------------------------------------------------------------------------------------------------ one piece */

static void judge_gaps(evn_coast_piece *p)
{
    for (size_t i = 1; i < p->run.count; i++) {
        double step_s = p->run.at[i].time_s - p->run.at[i - 1].time_s;
        if (step_s > GAP_S)
            evn_coast_refuse(p, "gap", "nothing was logged for %.1f s at %.1f km/h; steps up to %.1f s were expected",
                             step_s, 3.6 * p->run.at[i].speed_m_s, GAP_S);
    }
}

static bool put_samples(const search *s, size_t begin, size_t end, evn_coast_piece *p)
{
    size_t count = end - begin;
    evn_coast_sample *at = evn_arena_take(s->arena, count * sizeof *at);
    double *way_m = evn_arena_take(s->arena, count * sizeof *way_m);
    if (!at || !way_m) {
        evn_say(s->report, EVN_FAULT_OUT_OF_MEMORY, evn_nowhere, evn_nowhere, "memory ran out over %s", s->log->file);
        return false;
    }
    for (size_t i = 0; i < count; i++) {
        at[i] = (evn_coast_sample){.time_s = time_at(s, begin + i), .speed_m_s = speed_at(s, begin + i)};
        double step_s = i > 0 ? at[i].time_s - at[i - 1].time_s : 0;
        way_m[i] = i > 0 ? way_m[i - 1] + step_s * (at[i].speed_m_s + at[i - 1].speed_m_s) / 2 : 0;
    }
    p->sample = at;
    p->run.at = at;
    p->run.count = count;
    put_grades(s, begin, way_m, p, at);
    put_wind(s, begin, p, at);
    return true;
}

/* From the highest speed to the lowest, rows `begin` to before `end`. */
static bool add_piece(const search *s, size_t begin, size_t end, evn_coast_pieces *out)
{
    enum { ROWS_LEAST = 8 };
    size_t all_end = end;
    trim(s, &begin, &end);
    if (begin + ROWS_LEAST > end)
        return true;
    evn_spot spot = evn_log_row(s->log, begin, s->report);
    if (out->count == EVN_COAST_PIECES_MOST) {
        evn_say(s->report, EVN_FAULT_TOO_LARGE, spot, evn_nowhere, "coast-down %d; at most %d were expected",
                EVN_COAST_PIECES_MOST + 1, EVN_COAST_PIECES_MOST);
        return false;
    }
    evn_coast_piece *p = &out->at[out->count++];
    *p = (evn_coast_piece){.file = s->log->file,
                           .line = s->log->line[begin],
                           .last_line = s->log->line[end - 1],
                           .from_m_s = speed_at(s, begin),
                           .to_m_s = speed_at(s, end - 1),
                           .duration_s = time_at(s, end - 1) - time_at(s, begin),
                           .course_deg = course_of(s, begin, end)};
    if (!put_samples(s, begin, end, p))
        return false;
    p->run.density_kg_m3 = density_of(s, begin, end);
    judge_gaps(p);
    judge_range(s, p, end < all_end && cell(s, EVN_LOG_BRAKE, end) > BRAKE_LEAST);
    judge_wind(p);
    return true;
}

static bool find_pieces(const search *s, evn_coast_pieces *out)
{
    size_t high = 0, low = 0, rows = s->log->rows;
    for (size_t row = 1; row <= rows; row++) {
        bool rose = row == rows || speed_at(s, row) > speed_at(s, low) + RISE_M_S;
        if (rose && speed_at(s, high) - speed_at(s, low) >= FALL_LEAST_M_S && !add_piece(s, high, low + 1, out))
            return false;
        if (row < rows && (rose || speed_at(s, row) >= speed_at(s, high)))
            high = low = row;
        else if (row < rows && speed_at(s, row) < speed_at(s, low))
            low = row;
    }
    return true;
}

/* Rows without a speed are no samples: the step over them is longer, and a gap where it is too long. */
static const evn_log *with_speed(const evn_log *log, evn_arena *arena)
{
    evn_log *out = evn_arena_take(arena, sizeof *out);
    uint32_t *line = evn_arena_take(arena, log->rows * sizeof *line);
    if (!out || !line)
        return NULL;
    *out = *log;
    out->line = line;
    out->segment = NULL;
    for (size_t q = 0; q < EVN_LOG_QUANTITY_COUNT; q++) {
        double *column = log->column[q] ? evn_arena_take(arena, log->rows * sizeof *column) : NULL;
        if (log->column[q] && !column)
            return NULL;
        out->column[q] = column;
        out->rows = 0;
        for (size_t row = 0; row < log->rows; row++) {
            if (isnan(log->column[EVN_LOG_SPEED][row]))
                continue;
            line[out->rows] = log->line[row];
            if (column)
                column[out->rows] = log->column[q][row];
            out->rows++;
        }
    }
    return out;
}

bool evn_coast_gather(const evn_log *log, const evn_coastdown_how *how, evn_coast_pieces *out, evn_arena *arena,
                      evn_report *report)
{
    static const evn_log_quantity needed[] = {EVN_LOG_TIME, EVN_LOG_SPEED, EVN_LOG_QUANTITY_COUNT};
    evn_log_order order;
    search s = {log, how, arena, report};
    if (!evn_log_has(log, needed, "coast-downs", report))
        return false;
    const evn_log *ordered = evn_log_ordered(log, GAP_S, &order, arena, report);
    if (!ordered)
        return false;
    s.log = with_speed(ordered, arena);
    if (!s.log)
        evn_say(report, EVN_FAULT_OUT_OF_MEMORY, evn_nowhere, evn_nowhere, "memory ran out over %s", log->file);
    return s.log && (s.log->rows == 0 || find_pieces(&s, out));
}
