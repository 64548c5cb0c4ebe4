/*
 * Speed limits over place from a speed that was driven: at each place the highest speed within some way of it, rounded
 * up. That is what traffic, driver and the vehicle of the log allowed there, and no sign at the road.
 */
#include "log/import.h"
#include <math.h>

#define STATION_M 25.0
#define REACH_M 150.0

static double speed_at(const evn_motion *m, double place_m, size_t *at)
{
    while (*at + 2 < m->count && m->place_m[*at + 1] <= place_m)
        ++*at;
    size_t i = *at;
    double way = m->place_m[i + 1] - m->place_m[i];
    double share = way > 0 ? fmin(fmax((place_m - m->place_m[i]) / way, 0), 1) : 1;
    double v0 = m->speed_m_s[i] * m->speed_m_s[i], v1 = m->speed_m_s[i + 1] * m->speed_m_s[i + 1];
    return sqrt(v0 + share * (v1 - v0)); /* straight in the square over place, as constant acceleration is */
}

static bool take_limits(const evn_motion *m, double step_m_s, evn_import_cycle *c, evn_arena *arena)
{
    size_t n = (size_t)(c->length_m / STATION_M) + 1, reach = (size_t)(REACH_M / STATION_M), at = 0;
    double *v = evn_arena_take(arena, (n + 1) * sizeof *v), *place = evn_arena_take(arena, (n + 1) * sizeof *place);
    double *limit = evn_arena_take(arena, (n + 1) * sizeof *limit);
    if (!v || !place || !limit)
        return false;
    for (size_t k = 0; k < n; k++)
        v[k] = speed_at(m, (double)k * STATION_M, &at);
    for (size_t k = 0; k < n; k++) {
        double most = 0;
        for (size_t j = k > reach ? k - reach : 0; j < n && j <= k + reach; j++)
            most = fmax(most, v[j]);
        double here = step_m_s * fmax(ceil(most / step_m_s - 1e-9), 1);
        if (c->limits > 0 && limit[c->limits - 1] == here)
            continue;
        place[c->limits] = (double)k * STATION_M;
        limit[c->limits++] = here;
    }
    c->limit_place_m = place;
    c->limit_m_s = limit;
    return true;
}

static bool take_stops(const evn_motion *m, evn_import_cycle *c, evn_arena *arena)
{
    const double NEAR_END_M = 1, APART_M = 1;
    double *place = evn_arena_take(arena, (m->count + 1) * sizeof *place);
    double *wait = evn_arena_take(arena, (m->count + 1) * sizeof *wait);
    if (!place || !wait)
        return false;
    for (size_t i = 0; i + 1 < m->count; i++) {
        if (m->speed_m_s[i] > 0 || m->speed_m_s[i + 1] > 0)
            continue;
        double at = m->place_m[i], step = m->time_s[i + 1] - m->time_s[i];
        if (at < NEAR_END_M || at > c->length_m - NEAR_END_M)
            continue;
        if (c->stops > 0 && at < place[c->stops - 1] + APART_M) {
            wait[c->stops - 1] += step;
            continue;
        }
        place[c->stops] = at;
        wait[c->stops++] = step;
    }
    c->stop_place_m = place;
    c->wait_s = wait;
    return true;
}

bool evn_limits_of_motion(const evn_motion *m, double step_m_s, evn_import_cycle *c, evn_arena *arena)
{
    return take_limits(m, step_m_s, c, arena) && take_stops(m, c, arena);
}
