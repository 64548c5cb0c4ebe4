/*
 * From rest on the level, at full force: the time to a speed, and over a distance. Driven by the human driver, whose
 * gear changes take their time, with a target speed that nobody reaches on the way and an acceleration that no motor
 * gives, so that only limits hold the truck.
 */
#include "core/units.h"
#include "limits/abilities.h"
#include "limits/made_road.h"
#include <math.h>
#include <string.h>

static const double ROW_S = 0.05;

/* ------------------------------------------------------------------------------------------------ watching a run */

/* When a column of the trace first reaches a value, between two rows on the straight line. */
typedef struct watching {
    size_t column;
    double value;
    bool began;
    double last_s, last, reached_s; /* NAN: it is not reached */
} watching;

static void watch_row(void *self, const double *row, size_t columns)
{
    watching *w = self;
    double now = w->column < columns ? row[w->column] : (double)NAN;
    if (isnan(w->reached_s) && w->began && now >= w->value)
        w->reached_s =
            now > w->last ? w->last_s + (row[0] - w->last_s) * (w->value - w->last) / (now - w->last) : row[0];
    w->began = true;
    w->last_s = row[0];
    w->last = now;
}

static size_t column_of(const evn_rig *r, const char *key)
{
    evn_trace_column c;
    size_t column = 0;
    for (size_t k = 0; evn_trace_column_at(r, k, &c); k++)
        column = strcmp(c.what.key, key) == 0 ? k : column;
    return column;
}

/* ------------------------------------------------------------------------------------------------ one sprint */

/* Limits of a run by the names of this room. */
typedef struct bound_of_limit {
    const char *limit;
    evn_bound bound;
} bound_of_limit;
static const bound_of_limit bounds[] = {
    {"motor_torque", EVN_BOUND_MOTOR_TORQUE},   {"motor_power", EVN_BOUND_MOTOR_POWER},
    {"winding_temperature", EVN_BOUND_WINDING}, {"inverter_temperature", EVN_BOUND_INVERTER},
    {"battery_power", EVN_BOUND_PACK},          {"adhesion", EVN_BOUND_ADHESION},
    {"gear_change", EVN_BOUND_SHIFT},           {"top_speed", EVN_BOUND_MOTOR_SPEED},
};

static evn_bound bound_at(const evn_made_run *run, size_t index)
{
    evn_limitation by;
    evn_bound found = EVN_BOUND_NONE;
    bool there = run->results && evn_results_limitation_at(run->results, index, &by);
    for (size_t k = 0; there && k < sizeof bounds / sizeof *bounds; k++)
        found = strcmp(bounds[k].limit, by.limit) == 0 ? bounds[k].bound : found;
    return found;
}

/* A truck that does not even move off on the level, by what holds it there. */
static evn_answer unmoved(evn_limits_work *w)
{
    evn_scene s = evn_scene_of(w, EVN_FORWARDS);
    evn_answer start = evn_able_start_percent(&s);
    return evn_answer_none(isnan(start.value) ? start.bound : EVN_BOUND_NONE);
}

/* Those that held longest, not those whose lifting gains most: over a sprint one after another binds. */
static evn_answer answer_of(evn_limits_work *work, const watching *w, const evn_made_run *run)
{
    evn_answer a = evn_answer_of(w->reached_s);
    if (isnan(a.value) && evn_made_ended_by(run) != EVN_BOUND_NONE)
        return evn_answer_none(evn_made_ended_by(run));
    if (isnan(a.value) && !run->finished)
        return unmoved(work);
    a.bound = bound_at(run, 0);
    a.next = bound_at(run, 1);
    return a;
}

static evn_driving at_full_force(const evn_limits_work *w)
{
    evn_driving d = w->driving;
    d.driver = EVN_DRIVER_HUMAN;
    d.comfort_acceleration_m_s2 = 10;
    d.comfort_braking_m_s2 = 8; /* the stop at the end of the road begins late */
    d.look_ahead_s = 0.5;       /* and what is asked for near the target speed stays more than it can */
    d.endurance = EVN_ENDURANCE_OFF;
    return d;
}

typedef struct sprint {
    const char *row, *label, *column;
    double value;              /* of the column */
    double target_m_s, road_m; /* more than is reached until then, and long enough for it and for the stop at its end */
} sprint;

static const sprint sprints[] = {
    {"to_50_km_h", "to 50 km/h", "speed_km_h", 50, 60 * EVN_M_S_PER_KM_H, 3000},
    {"to_80_km_h", "to 80 km/h", "speed_km_h", 80, 90 * EVN_M_S_PER_KM_H, 8000},
    {"over_100_m", "over 100 m", "place_m", 100, 130 * EVN_M_S_PER_KM_H, 150},
};
enum { SPRINTS = sizeof sprints / sizeof *sprints };

static bool is_too_slow(const evn_rig *r, const sprint *s)
{
    return strcmp(s->column, "speed_km_h") == 0 && s->value * EVN_M_S_PER_KM_H > r->top_speed_m_s;
}

static evn_answer sprint_of(evn_limits_work *w, const sprint *s)
{
    const evn_rig *r = w->rig[EVN_FORWARDS];
    evn_driving driving = at_full_force(w);
    watching watch = {.column = column_of(r, s->column), .value = s->value, .reached_s = (double)NAN};
    evn_sampler sampler = {&watch, ROW_S, NULL, watch_row};
    evn_scene ground = evn_scene_of(w, EVN_FORWARDS);
    evn_made_road road = evn_made_road_of(&ground, s->target_m_s, s->road_m, 0);
    evn_answer a = evn_answer_of((double)NAN);
    a.bound = EVN_BOUND_MOTOR_SPEED;
    if (is_too_slow(r, s))
        return a;
    road.from_rest = true;
    evn_made_run run = evn_made_run_of(w, r, &driving, &road, &sampler);
    a = answer_of(w, &watch, &run);
    evn_made_run_end(&run);
    return a;
}

static const evn_limits_column time_taken = {
    "time_s", "s", "time",
    "from rest on the level at full force, gear changes included; the limits are those that held longest", 1};

void evn_limits_sprint(evn_limits_work *w)
{
    for (int k = 0; w->runs && k < SPRINTS && !evn_runs_stopped(w->runs); k++) {
        evn_answer a = sprint_of(w, &sprints[k]);
        evn_limits_add(w, &(evn_limits_name){"sprint", sprints[k].row, sprints[k].label}, &time_taken, &a);
    }
}
