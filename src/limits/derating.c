/*
 * Derating: how long the fastest speed on a grade lasts. Driven from the temperatures and the charge of the start, at
 * that speed from the first metre, until the first winding or inverter is so warm that its torque is taken back, for an
 * hour at most.
 */
#include "core/units.h"
#include "limits/abilities.h"
#include "limits/climb.h"
#include "limits/heat_runs.h"
#include <math.h>
#include <string.h>

static const double HOUR_S = 3600;

static const evn_limits_column until = {
    "until_derating_min", "min", "until derating",
    "time at the fastest speed on this grade, temperatures of the start, until derating of a winding or an inverter "
    "begins, an hour at most",
    1};

/* ------------------------------------------------------------------------------------------------ watching a run */

/* The temperatures at which parts derate, each with the column of a trace that tells how warm the part is. */
typedef struct warm_part {
    size_t column;
    double from_degc;
    evn_bound bound;
} warm_part;

typedef struct watching {
    warm_part part[2 * EVN_UNITS_MAX];
    size_t count;
    double last_s, derates_s; /* NAN: it does not */
    evn_bound bound;
} watching;

static size_t unit_of(const evn_rig *r, const evn_trace_column *c)
{
    size_t unit = 0;
    for (size_t u = 0; c->drive_unit && u < r->unit_count; u++)
        unit = strcmp(r->unit[u].name, c->drive_unit) == 0 ? u : unit;
    return unit;
}

static void watch_column(watching *w, const evn_rig *r, size_t column, const evn_trace_column *c)
{
    const evn_heat *h = &r->unit[unit_of(r, c)].motor[0].heat;
    bool winding = strcmp(c->what.key, "winding_temperature_degc") == 0 && h->winding;
    bool inverter = strcmp(c->what.key, "inverter_temperature_degc") == 0 && h->inverter;
    if (winding || inverter)
        w->part[w->count++] = (warm_part){column, winding ? h->winding_range.from_degc : h->inverter_range.from_degc,
                                          winding ? EVN_BOUND_WINDING : EVN_BOUND_INVERTER};
}

static watching watching_of(const evn_rig *r)
{
    watching w = {.derates_s = (double)NAN};
    evn_trace_column c;
    for (size_t k = 0; evn_trace_column_at(r, k, &c) && w.count < 2 * EVN_UNITS_MAX; k++)
        watch_column(&w, r, k, &c);
    return w;
}

/* Time is the first column. A run restarts where derating begins, so that there is a row at that very time. */
static void watch_row(void *self, const double *row, size_t columns)
{
    static const double ROUND_OFF_K = 1e-3;
    watching *w = self;
    w->last_s = row[0];
    for (size_t k = 0; k < w->count && isnan(w->derates_s); k++) {
        if (w->part[k].column >= columns || row[w->part[k].column] < w->part[k].from_degc - ROUND_OFF_K)
            continue;
        w->derates_s = row[0];
        w->bound = w->part[k].bound;
    }
}

static bool has_derated(void *self) { return !isnan(((watching *)self)->derates_s); }

/* ------------------------------------------------------------------------------------------------ one grade */

static evn_answer answer_of(const watching *w, const evn_made_run *run)
{
    evn_answer a = evn_answer_of(fmin(w->derates_s, HOUR_S) / 60);
    a.bound = w->bound;
    if (!isnan(w->derates_s) && w->derates_s < HOUR_S)
        return a;
    a = evn_answer_of(fmin(w->last_s, HOUR_S) / 60);
    a.beyond = run->finished;
    a.bound = run->finished ? EVN_BOUND_NONE : EVN_BOUND_CHARGE;
    return a;
}

/* At its fastest nothing is left over: a run over so much less of a grade holds the speed. */
static const double NEARLY = 1 - 1e-6;

static evn_answer drive_up(evn_limits_work *w, const evn_scene *ground, double speed_m_s, double tangent)
{
    evn_driving driving = evn_exactly(w);
    watching watch = watching_of(w->rig[EVN_FORWARDS]);
    evn_sampler sampler = {&watch, 60, NULL, watch_row};
    evn_made_road road = evn_made_road_of(ground, NEARLY * speed_m_s, speed_m_s * HOUR_S, tangent);
    evn_made_run run = evn_made_run_until(w, w->rig[EVN_FORWARDS], &driving, &road, &sampler, has_derated);
    evn_answer a = answer_of(&watch, &run);
    evn_made_run_end(&run);
    return a;
}

static evn_answer until_derating(evn_limits_work *w, evn_scene *s, double tangent)
{
    evn_answer speed = evn_able_speed_m_s(s, tangent, false);
    if (isnan(speed.value)) {
        speed.next = EVN_BOUND_NONE;
        speed.next_value = (double)NAN;
        return speed;
    }
    return drive_up(w, s, speed.value, tangent);
}

void evn_limits_derating(evn_limits_work *w)
{
    evn_scene s = evn_scene_of(w, EVN_FORWARDS);
    for (int k = 0; w->runs && k < EVN_CLIMB_GRADES && !evn_runs_stopped(w->runs); k++) {
        int percent = evn_climb_grades_percent[k];
        evn_limits_name name = {"derating", evn_limits_text(w, "on_%d_percent", percent),
                                evn_limits_text(w, "on %d %%", percent)};
        evn_answer a = until_derating(w, &s, percent / 100.0);
        evn_limits_add(w, &name, &until, &a);
    }
}
