/*
 * What a parameter does to energies, by the powers of a run. Differences of two runs would tell it too, but with every
 * change of gear that comes a moment sooner or later in them, and noise in a derivative biases what is found by it.
 *
 * At the wheels it is a force times the speed. From the wheels to the battery it goes by the slope of the battery's
 * power over that at the wheels, one while the truck pulls and one while it brakes (straight lines of least squares
 * over the rows of the run; of braking the friction brakes take their part). They need not be right to the last per
 * cent: what is found is where differences of runs have nothing in common with derivatives any more.
 */
#include "match/match.h"
#include <math.h>
#include <stdlib.h>

static double at(const evn_modelled *m, size_t row, int column)
{
    return m->row[row * EVN_MODELLED_COLUMNS + (size_t)column];
}

static double speed_m_s(const evn_modelled *m, size_t row) { return at(m, row, EVN_MODELLED_SPEED) / 3.6; }

/* What drive units and friction brakes give at the wheels. */
static double demand_kn(const evn_modelled *m, size_t row)
{
    return at(m, row, EVN_MODELLED_PULL) - at(m, row, EVN_MODELLED_FRICTION);
}

/* Slope of the battery's power over the demand, of rows where that is of one sign and no trifle. */
static double slope_of(const evn_modelled *m, double sign)
{
    static const double LEAST_KW = 5;
    double count = 0, x = 0, y = 0, xx = 0, xy = 0;
    for (size_t i = 0; i < m->count; i++) {
        double demand = demand_kn(m, i) * speed_m_s(m, i), power = at(m, i, EVN_MODELLED_POWER);
        if (sign * demand < LEAST_KW)
            continue;
        count++;
        x += demand;
        y += power;
        xx += demand * demand;
        xy += demand * power;
    }
    double spread = count * xx - x * x;
    return count > 2 && spread > 0 ? (count * xy - x * y) / spread : 1;
}

/* Force at the wheels of one unit more of a parameter, kN. */
static double force_kn(const evn_modelled *m, size_t row, evn_match_parameter parameter, const evn_rig *rig)
{
    double air = at(m, row, EVN_MODELLED_AIR), air_m_s = speed_m_s(m, row) + rig->headwind_m_s;
    switch (parameter) {
    case EVN_MATCH_ROLLING:
        return at(m, row, EVN_MODELLED_ROLLING) / evn_match_stated(parameter, rig);
    case EVN_MATCH_DRAG:
        return air / evn_match_stated(parameter, rig);
    case EVN_MATCH_MASS: /* all but the air goes with it */
        return (demand_kn(m, row) - air) / rig->mass_kg;
    default:
        return air_m_s > 1 ? 2 * air / air_m_s : 0;
    }
}

typedef struct slopes {
    double pull, brake;
} slopes;

/* Power at the terminals of one unit more, W. */
static double power_w(const evn_modelled *m, size_t row, evn_match_parameter parameter, const evn_rig *rig,
                      const slopes *s)
{
    if (parameter == EVN_MATCH_AUXILIARIES)
        return 1e3;
    if (parameter == EVN_MATCH_REGENERATION)
        return 1e3 * fmin(at(m, row, EVN_MODELLED_POWER), 0);
    double slope = demand_kn(m, row) >= 0 ? s->pull : s->brake;
    return 1e3 * slope * force_kn(m, row, parameter, rig) * speed_m_s(m, row);
}

/* Energy up to each row by trapezoids, then of each block. */
static void sum_up(const evn_match_blocks *b, const evn_modelled *m, const evn_rig *rig, evn_match_parameter parameter,
                   const slopes *s, double *sum_j, double *out)
{
    size_t near = 0, row = 0;
    double before = 0, step = evn_match_step(parameter, rig), last_w = 0;
    for (size_t i = 0; i < m->count; i++) {
        double now_w = power_w(m, i, parameter, rig, s);
        double time_s = i > 0 ? at(m, i, EVN_MODELLED_TIME) - at(m, i - 1, EVN_MODELLED_TIME) : 0;
        sum_j[i] = (i > 0 ? sum_j[i - 1] : 0) + time_s * (last_w + now_w) / 2;
        last_w = now_w;
    }
    for (size_t k = 0; k < b->count; k++) {
        double when_s = evn_modelled_when(m, b->place_m[k], b->rested_s[k], &near);
        while (row + 1 < m->count && at(m, row + 1, EVN_MODELLED_TIME) <= when_s)
            row++;
        out[k * EVN_MATCH_PARAMETERS] = b->lost[k] ? 0 : step * (sum_j[row] - before);
        before = sum_j[row];
    }
}

bool evn_match_derive(const evn_match_blocks *b, const evn_modelled *m, const evn_rig *rig,
                      const evn_match_parameter *parameter, size_t count, double *out)
{
    double *sum_j = malloc((m->count + 1) * sizeof *sum_j);
    const slopes s = {slope_of(m, 1), slope_of(m, -1)};
    for (size_t i = 0; sum_j && i < count; i++)
        sum_up(b, m, rig, parameter[i], &s, sum_j, out + i);
    free(sum_j);
    return sum_j;
}
