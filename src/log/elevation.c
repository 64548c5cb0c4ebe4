/* From altitudes or grades over time to elevation and grade over place. */
#include "log/elevation.h"
#include <math.h>
#include <string.h>

/* Between those the width is chosen. */
#define WIDTH_LEAST_M 200.0
#define WIDTH_MOST_M 1000.0
#define FIRST_WIDTH_M 200.0 /* by which the noise is measured */
#define GAP_M 200.0
#define THIN_PER_WIDTH 0.01
#define THIN_LEAST_M 2.0
#define ALTITUDE_OFF_LEAST_M 4.0
#define GRADE_OFF_LEAST 0.04
#define TANGENT_MOST 0.5
enum { DESPIKE_REACH = 4 }; /* rows on both sides */

static double off_least(const evn_elevation *p)
{
    return p->by == EVN_LOG_ALTITUDE ? ALTITUDE_OFF_LEAST_M : GRADE_OFF_LEAST;
}

static bool over_place(const evn_points *value, const evn_motion *m, evn_points *out, evn_arena *arena)
{
    out->x = evn_arena_take(arena, (value->count + 1) * sizeof *out->x);
    out->y = evn_arena_take(arena, (value->count + 1) * sizeof *out->y);
    out->count = value->count;
    if (!out->x || !out->y)
        return false;
    memcpy(out->y, value->y, value->count * sizeof *out->y);
    size_t at = 0;
    for (size_t i = 0; i < value->count; i++)
        out->x[i] = evn_motion_place_m(m, value->x[i], &at);
    return true;
}

static bool smooth(evn_elevation *p, evn_points *points, double width, double **value, double **slope, double *scatter,
                   evn_arena *arena)
{
    *value = evn_arena_take(arena, (points->count + 1) * sizeof **value);
    *slope = evn_arena_take(arena, (points->count + 1) * sizeof **slope);
    size_t off;
    if (!*value || !*slope || !evn_spline_robust(points, width, off_least(p), *value, *slope, &off, scatter))
        return false;
    p->off += off;
    return true;
}

static double held(double tangent) { return fmin(fmax(tangent, -TANGENT_MOST), TANGENT_MOST); }

/* Slopes of elevation over the way along the road are sines. */
static void from_altitudes(evn_elevation *p, const double *slope)
{
    for (size_t i = 0; i < p->count; i++) {
        double sine = fmin(fmax(slope[i], -0.45), 0.45);
        p->tangent[i] = held(sine / sqrt(1 - sine * sine));
    }
}

static bool from_grades(evn_elevation *p, evn_arena *arena)
{
    p->elevation_m = evn_arena_take(arena, (p->count + 1) * sizeof *p->elevation_m);
    if (!p->elevation_m)
        return false;
    for (size_t i = 0; i < p->count; i++) {
        p->tangent[i] = held(p->tangent[i]);
        double sine = p->tangent[i] / hypot(1, p->tangent[i]), before = i > 0 ? p->tangent[i - 1] : p->tangent[i];
        double step = i > 0 ? p->place_m[i] - p->place_m[i - 1] : 0;
        p->elevation_m[i] = (i > 0 ? p->elevation_m[i - 1] : 0) + step * (sine + before / hypot(1, before)) / 2;
    }
    return true;
}

static void sum_up(evn_elevation *p)
{
    for (size_t i = 1; i < p->count; i++) {
        double rise = p->elevation_m[i] - p->elevation_m[i - 1];
        p->climb_m += fmax(rise, 0);
        p->descent_m += fmax(-rise, 0);
    }
}

bool evn_elevation_make(evn_log_quantity by, const evn_points *measured, const evn_motion *m, double width_m,
                        double scale, evn_elevation *p, evn_arena *arena)
{
    evn_points raw, thin, whole;
    double *value, *slope, left;
    *p = (evn_elevation){.by = by};
    double thin_m = fmax((width_m > 0 ? width_m * scale : FIRST_WIDTH_M) * THIN_PER_WIDTH, THIN_LEAST_M);
    if (!over_place(measured, m, &raw, arena) ||
        (by == EVN_LOG_ALTITUDE && !evn_altitudes_without_jumps(&raw, measured->x, p, arena)))
        return false;
    size_t spikes;
    if (!evn_points_despike(&raw, DESPIKE_REACH, off_least(p), &spikes) ||
        !evn_points_thin(&raw, thin_m, &thin, arena) ||
        !evn_points_bridge(&thin, GAP_M, GAP_M / 10, &whole, &p->gaps, arena))
        return false;
    p->off += spikes;
    if (!smooth(p, &whole, FIRST_WIDTH_M, &value, &slope, &p->noise, arena))
        return false;
    p->width_m = width_m;
    if (width_m == 0 && !evn_spline_width_by_validation(&whole, WIDTH_LEAST_M, WIDTH_MOST_M, &p->width_m))
        return false;
    p->width_m *= scale;
    if (p->width_m != FIRST_WIDTH_M && !smooth(p, &whole, p->width_m, &value, &slope, &left, arena))
        return false;
    p->place_m = whole.x;
    p->count = whole.count;
    p->elevation_m = value;
    p->tangent = by == EVN_LOG_ALTITUDE ? slope : value;
    if (by == EVN_LOG_ALTITUDE)
        from_altitudes(p, slope);
    else if (!from_grades(p, arena))
        return false;
    sum_up(p);
    return true;
}
