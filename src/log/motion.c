/* From what was measured to speed over time in straight lines. */
#include "log/motion.h"
#include "core/units.h"
#include <math.h>
#include <string.h>

/* What straight lines may differ from the smoothed speed. */
#define SIMPLE_MOST_M_S 0.03
/* How fast speed leaves the line of rest: as gentle as a truck moves off, and no jump. */
#define ROLL_M_S2 1.0
/* Further off the smoothed curve than that, at least, a value stands off. */
#define SPEED_OFF_LEAST_M_S 3.0
/* Rows of so long, and four at most, are looked at on both sides of a speed; what a truck may do within is no spike. */
#define SPIKE_REACH_S 2.0
#define SPIKE_REACH_MOST 4.0
#define CHANGE_M_S2 2.0
#define PLACE_OFF_LEAST_M 20.0
#define THIN_PER_WIDTH 0.01
#define METRES_PER_DEGREE 111000.0 /* near enough for what stands off */

double evn_motion_place_m(const evn_motion *m, double time_s, size_t *at)
{
    while (*at + 2 < m->count && m->time_s[*at + 1] <= time_s)
        ++*at;
    size_t i = *at;
    if (m->count < 2 || time_s <= m->time_s[i])
        return m->place_m[i];
    double step = m->time_s[i + 1] - m->time_s[i], dt = fmin(time_s - m->time_s[i], step);
    double a = (m->speed_m_s[i + 1] - m->speed_m_s[i]) / step;
    return m->place_m[i] + dt * (m->speed_m_s[i] + a * dt / 2);
}

/* ------------------------------------------------------------------------------------------------ smoothing */

static bool room_for(size_t count, double **one, double **two, evn_arena *arena)
{
    *one = evn_arena_take(arena, (count + 1) * sizeof **one);
    *two = evn_arena_take(arena, (count + 1) * sizeof **two);
    return *one && *two;
}

static size_t spike_reach(const evn_measured *m)
{
    return m->step_s > 0 ? (size_t)fmin(fmax(floor(SPIKE_REACH_S / m->step_s), 1), SPIKE_REACH_MOST) : 1;
}

static double speed_off_least(const evn_measured *m)
{
    return fmax(SPEED_OFF_LEAST_M_S, CHANGE_M_S2 * (double)spike_reach(m) * m->step_s);
}

static bool by_speed(evn_measured *m, double width, evn_points *speed, evn_arena *arena)
{
    double *slope, *value, scatter;
    size_t spikes;
    evn_points clean = m->value;
    if (!room_for(clean.count, &clean.x, &clean.y, arena))
        return false;
    memcpy(clean.x, m->value.x, clean.count * sizeof *clean.x);
    memcpy(clean.y, m->value.y, clean.count * sizeof *clean.y);
    if (!evn_points_despike(&clean, spike_reach(m), speed_off_least(m), &spikes) ||
        !evn_points_thin(&clean, width * THIN_PER_WIDTH, speed, arena) ||
        !room_for(speed->count, &value, &slope, arena) ||
        !evn_spline_robust(speed, width, speed_off_least(m), value, slope, &m->off, &scatter))
        return false;
    m->off += spikes;
    speed->y = value;
    return true;
}

static bool by_place(evn_measured *m, double width, evn_points *speed, evn_arena *arena)
{
    double *slope, *value, scatter;
    if (!evn_points_thin(&m->value, width * THIN_PER_WIDTH, speed, arena) ||
        !room_for(speed->count, &value, &slope, arena) ||
        !evn_spline_robust(speed, width, PLACE_OFF_LEAST_M, value, slope, &m->off, &scatter))
        return false;
    speed->y = slope;
    return true;
}

typedef struct positions {
    evn_points north, east;
    double *latitude, *longitude, *slope;
} positions;

static double off_m(const positions *p, size_t i)
{
    double north = (p->north.y[i] - p->latitude[i]) * METRES_PER_DEGREE;
    double east = (p->east.y[i] - p->longitude[i]) * METRES_PER_DEGREE * cos(p->latitude[i] * EVN_PI / 180);
    return hypot(north, east);
}

/* Leaves out what stands off in either; how many. `room` holds as many numbers as there are points. */
static size_t leave_off(positions *p, double *room)
{
    size_t kept = 0, count = p->north.count;
    for (size_t i = 0; i < count; i++)
        room[i] = off_m(p, i);
    double most = fmax(5 * EVN_SCATTER_PER_MEDIAN * evn_median_of(room, count), PLACE_OFF_LEAST_M);
    for (size_t i = 0; i < count; i++) {
        if (off_m(p, i) > most)
            continue;
        p->north.x[kept] = p->east.x[kept] = p->north.x[i];
        p->north.y[kept] = p->north.y[i];
        p->east.y[kept++] = p->east.y[i];
    }
    p->north.count = p->east.count = kept;
    return count - kept;
}

static bool smooth_positions(positions *p, double width, size_t *off)
{
    enum { ROUNDS = 4 };
    *off = 0;
    for (int round = 0;; round++) {
        if (!evn_spline_smooth(&p->north, width, p->latitude, p->slope) ||
            !evn_spline_smooth(&p->east, width, p->longitude, p->slope))
            return false;
        size_t more = round < ROUNDS ? leave_off(p, p->slope) : 0;
        *off += more;
        if (more == 0)
            return true;
    }
}

static bool by_positions(evn_measured *m, double width, evn_points *speed, evn_arena *arena)
{
    positions p = {0};
    double *along;
    if (!evn_points_thin(&m->value, width * THIN_PER_WIDTH, &p.north, arena) ||
        !evn_points_thin(&m->other, width * THIN_PER_WIDTH, &p.east, arena) ||
        !room_for(p.north.count, &p.latitude, &p.longitude, arena) ||
        !room_for(p.north.count, &p.slope, &along, arena) || !smooth_positions(&p, width, &m->off))
        return false;
    size_t n = p.north.count;
    evn_ground_along(&m->geodesics, p.latitude, p.longitude, n, along);
    for (size_t i = 0; i < n; i++) {
        size_t before = i > 0 ? i - 1 : i, after = i + 1 < n ? i + 1 : i;
        double dt = p.north.x[after] - p.north.x[before];
        p.slope[i] = dt > 0 ? (along[after] - along[before]) / dt : 0;
    }
    *speed = (evn_points){p.north.x, p.slope, n};
    return true;
}

bool evn_motion_smooth(evn_measured *m, double scale, evn_points *speed, evn_arena *arena)
{
    double width = scale * m->width_s;
    if (m->by == EVN_LOG_SPEED)
        return by_speed(m, width, speed, arena);
    return m->by == EVN_LOG_PLACE ? by_place(m, width, speed, arena) : by_positions(m, width, speed, arena);
}

/* ------------------------------------------------------------------------------------------------ rest */

static void put_rest(const evn_points *p, evn_rest_rule rule, double *v)
{
    for (size_t i = 0; i < p->count;) {
        size_t end = i;
        while (end < p->count && v[end] < rule.below_m_s)
            end++;
        if (end > i && p->x[end - 1] - p->x[i] >= rule.least_s)
            for (size_t k = i; k < end; k++)
                v[k] = 0;
        i = end > i ? end : i + 1;
    }
}

/*
 * From the line of rest speed falls and rises no faster than a truck rolls; both ways. What is above that line stays a
 * jump, and is refused where no truck brakes so.
 */
static void round_rest(const evn_points *p, const bool *rests, double below_m_s, double *v)
{
    for (size_t i = 1; i < p->count; i++)
        if (rests[i])
            v[i] = fmax(v[i], fmin(v[i - 1], below_m_s) - ROLL_M_S2 * (p->x[i] - p->x[i - 1]));
    for (size_t i = p->count; i-- > 1;)
        if (rests[i - 1])
            v[i - 1] = fmax(v[i - 1], fmin(v[i], below_m_s) - ROLL_M_S2 * (p->x[i] - p->x[i - 1]));
}

void evn_simplify(const double *x, const double *y, size_t first, size_t last, double most, bool *keep)
{
    keep[first] = keep[last] = true;
    size_t from = first;
    double low = -(double)INFINITY, high = (double)INFINITY;
    for (size_t i = first + 1; i <= last; i++) {
        double dx = x[i] - x[from], slope = (y[i] - y[from]) / dx;
        if (slope < low || slope > high) {
            from = i - 1;
            keep[from] = true;
            dx = x[i] - x[from];
            low = -(double)INFINITY;
            high = (double)INFINITY;
        }
        low = fmax(low, (y[i] - most - y[from]) / dx);
        high = fmin(high, (y[i] + most - y[from]) / dx);
    }
}

/* Straight lines between rests; the first and last instant of a rest stay. */
static void choose(const evn_points *p, const double *v, bool *keep)
{
    size_t first = 0;
    for (size_t i = 1; i < p->count; i++) {
        bool turns = (v[i] == 0) != (v[i - 1] == 0);
        if (turns || i + 1 == p->count) {
            size_t last = turns && v[i] != 0 ? i - 1 : i;
            if (last > first)
                evn_simplify(p->x, v, first, last, SIMPLE_MOST_M_S, keep);
            first = last;
        }
    }
    keep[0] = keep[p->count - 1] = true;
}

static void gather(const evn_points *p, const double *v, const bool *keep, evn_motion *m)
{
    double place = 0;
    for (size_t i = 0; i < p->count; i++) {
        if (!keep[i])
            continue;
        size_t k = m->count++;
        if (k > 0)
            place += (p->x[i] - m->time_s[k - 1]) * (v[i] + m->speed_m_s[k - 1]) / 2;
        m->time_s[k] = p->x[i];
        m->speed_m_s[k] = v[i];
        m->place_m[k] = place;
    }
}

bool evn_motion_make(const evn_points *speed, evn_rest_rule rule, evn_motion *m, evn_arena *arena)
{
    size_t n = speed->count;
    *m = (evn_motion){0};
    double *v;
    bool *keep = evn_arena_take(arena, n + 1), *rests = evn_arena_take(arena, n + 1);
    if (!room_for(n, &v, &m->time_s, arena) || !room_for(n, &m->speed_m_s, &m->place_m, arena) || !keep || !rests)
        return false;
    for (size_t i = 0; i < n; i++)
        v[i] = fmax(speed->y[i], 0);
    put_rest(speed, rule, v);
    for (size_t i = 0; i < n; i++)
        rests[i] = v[i] == 0;
    round_rest(speed, rests, rule.below_m_s, v);
    if (n < 2)
        return true;
    choose(speed, v, keep);
    gather(speed, v, keep, m);
    return true;
}
