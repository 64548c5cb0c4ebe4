/* What a run tells at the times of a log. */
#include "core/units.h"
#include "match/match.h"
#include <math.h>
#include <stdlib.h>
#include <string.h>

static const double SAMPLE_S = 0.5;

static size_t column_of(const evn_rig *rig, const char *key)
{
    evn_trace_column column;
    size_t k = 0;
    while (evn_trace_column_at(rig, k, &column) && strcmp(column.what.key, key) != 0)
        k++;
    return k;
}

static void begin_rows(void *self) { ((evn_modelled *)self)->count = 0; }

static bool has_room(evn_modelled *m)
{
    if (m->count < m->room)
        return true;
    size_t room = m->room > 0 ? 2 * m->room : 1024;
    double *row = realloc(m->row, room * EVN_MODELLED_COLUMNS * sizeof *row);
    if (!row)
        return false;
    m->row = row;
    m->room = room;
    return true;
}

static void take_row(void *self, const double *row, size_t columns)
{
    evn_modelled *m = self;
    (void)columns;
    if (!has_room(m)) {
        m->out_of_memory = true;
        return;
    }
    double *to = &m->row[m->count++ * EVN_MODELLED_COLUMNS];
    for (size_t k = 0; k < EVN_MODELLED_ENERGY; k++)
        to[k] = row[m->column[k]];
}

evn_sampler evn_modelled_sampler(evn_modelled *m, const evn_rig *rig)
{
    static const char *const keys[] = {"time_s",
                                       "place_m",
                                       "speed_km_h",
                                       "terminal_kw",
                                       "soc",
                                       "motor_speed_rpm",
                                       "rolling_resistance_kn",
                                       "air_drag_kn",
                                       "grade_resistance_kn",
                                       "wheel_force_kn",
                                       "friction_brake_force_kn"};
    for (size_t k = 0; k < EVN_MODELLED_ENERGY; k++)
        m->column[k] = column_of(rig, keys[k]);
    return (evn_sampler){m, SAMPLE_S, begin_rows, take_row};
}

static double at(const evn_modelled *m, size_t row, int column)
{
    return m->row[row * EVN_MODELLED_COLUMNS + (size_t)column];
}

void evn_modelled_end(evn_modelled *m, double charge_j, double regeneration)
{
    double sum_j = 0;
    for (size_t i = 0; i < m->count; i++) {
        double *power_kw = &m->row[i * EVN_MODELLED_COLUMNS + EVN_MODELLED_POWER];
        *power_kw *= *power_kw < 0 ? regeneration : 1;
        if (charge_j > 0)
            sum_j = charge_j * (at(m, 0, EVN_MODELLED_SOC) - at(m, i, EVN_MODELLED_SOC));
        else if (i > 0)
            sum_j += 1e3 * (at(m, i, EVN_MODELLED_TIME) - at(m, i - 1, EVN_MODELLED_TIME)) *
                     (at(m, i, EVN_MODELLED_POWER) + at(m, i - 1, EVN_MODELLED_POWER)) / 2;
        m->row[i * EVN_MODELLED_COLUMNS + EVN_MODELLED_ENERGY] = sum_j;
    }
}

void evn_modelled_free(evn_modelled *m)
{
    free(m->row);
    *m = (evn_modelled){0};
}

/* Row of the latest time that is not behind this one; 0 where there is none. */
static size_t last_up_to(const evn_modelled *m, double time_s)
{
    size_t low = 0, high = m->count;
    while (low + 1 < high) {
        size_t middle = (low + high) / 2;
        if (at(m, middle, EVN_MODELLED_TIME) <= time_s)
            low = middle;
        else
            high = middle;
    }
    return low;
}

enum { NEAR = 8 };
double evn_modelled_at(const evn_modelled *m, int column, double time_s, size_t *near)
{
    size_t i = *near < m->count ? *near : 0;
    if (m->count == 0)
        return (double)NAN;
    bool is_near =
        at(m, i, EVN_MODELLED_TIME) <= time_s && i + NEAR < m->count && at(m, i + NEAR, EVN_MODELLED_TIME) > time_s;
    if (!is_near)
        i = last_up_to(m, time_s);
    while (i + 1 < m->count && at(m, i + 1, EVN_MODELLED_TIME) <= time_s)
        i++;
    *near = i;
    double from_s = at(m, i, EVN_MODELLED_TIME);
    if (i + 1 == m->count || time_s <= from_s)
        return at(m, i, column);
    double share = (time_s - from_s) / (at(m, i + 1, EVN_MODELLED_TIME) - from_s);
    return at(m, i, column) + share * (at(m, i + 1, column) - at(m, i, column));
}

/* A place this near is the same: it came through sums. */
static const double SAME_M = 0.05;

double evn_modelled_when(const evn_modelled *m, double place_m, double rested_s, size_t *near)
{
    size_t i = *near < m->count && at(m, *near, EVN_MODELLED_PLACE) < place_m - SAME_M ? *near : 0;
    while (i + 1 < m->count && at(m, i + 1, EVN_MODELLED_PLACE) < place_m - SAME_M)
        i++;
    *near = i;
    if (i + 1 >= m->count)
        return m->count > 0 ? at(m, m->count - 1, EVN_MODELLED_TIME) : (double)NAN;
    double from_m = at(m, i, EVN_MODELLED_PLACE), to_m = at(m, i + 1, EVN_MODELLED_PLACE);
    double from_s = at(m, i, EVN_MODELLED_TIME), to_s = at(m, i + 1, EVN_MODELLED_TIME);
    double share = from_m < place_m && to_m > from_m ? fmin((place_m - from_m) / (to_m - from_m), 1) : 0;
    double when_s = from_s + share * (to_s - from_s);
    size_t k = i + 1;
    while (rested_s > 0 && k + 1 < m->count && at(m, k + 1, EVN_MODELLED_PLACE) < place_m + SAME_M)
        k++;
    return rested_s > 0 ? fmin(when_s + rested_s, fmax(at(m, k, EVN_MODELLED_TIME), when_s)) : when_s;
}
