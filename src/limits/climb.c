/*
 * Climbing: the steepest grade held at a speed, the fastest speed held on a grade, and what each gear is for. From
 * forces, at the temperatures and the charge of the start, each unit in the gear in which it pulls most.
 */
#include "limits/climb.h"
#include "core/root.h"
#include "core/units.h"
#include "limits/abilities.h"
#include <math.h>

const int evn_climb_grades_percent[EVN_CLIMB_GRADES] = {1, 2, 3, 4, 5, 6, 8, 12, 18};

/* ------------------------------------------------------------------------------------------------ by speed */

static const int speeds_km_h[] = {3, 5, 10, 20, 30, 40, 50, 60, 70, 80};
enum { SPEEDS = sizeof speeds_km_h / sizeof *speeds_km_h };

static const evn_limits_column peak_grade = {"peak_percent", "%", "peak",
                                             "steepest grade on which this speed is held, temperatures of the start",
                                             2},
                               continuous_grade = {"continuous_percent", "%", "continuous",
                                                   "steepest grade on which this speed is held for ever, by steady "
                                                   "temperatures of windings and inverters",
                                                   2};

static void add_speeds(evn_limits_work *w, evn_scene *s)
{
    for (int k = 0; k < SPEEDS && speeds_km_h[k] * EVN_M_S_PER_KM_H <= s->rig->top_speed_m_s; k++) {
        evn_limits_name name = {"climb", evn_limits_text(w, "at_%d_km_h", speeds_km_h[k]),
                                evn_limits_text(w, "at %d km/h", speeds_km_h[k])};
        evn_answer a = evn_able_grade_percent(s, speeds_km_h[k] * EVN_M_S_PER_KM_H, false);
        evn_limits_add(w, &name, &peak_grade, &a);
        a = evn_able_grade_percent(s, speeds_km_h[k] * EVN_M_S_PER_KM_H, true);
        evn_limits_add(w, &name, &continuous_grade, &a);
    }
}

/* ------------------------------------------------------------------------------------------------ by grade */

static const evn_limits_column peak_speed = {"peak_km_h", "km/h", "peak",
                                             "fastest speed held on this grade, temperatures of the start", 1},
                               continuous_speed = {"continuous_km_h", "km/h", "continuous",
                                                   "fastest speed held on this grade for ever, by steady temperatures "
                                                   "of windings and inverters",
                                                   1};

static void add_speed(evn_limits_work *w, const evn_limits_name *name, const evn_limits_column *column,
                      evn_answer at_m_s)
{
    at_m_s.value /= EVN_M_S_PER_KM_H;
    at_m_s.next_value /= EVN_M_S_PER_KM_H;
    evn_limits_add(w, name, column, &at_m_s);
}

static void add_grades(evn_limits_work *w, evn_scene *s)
{
    for (int k = 0; k < EVN_CLIMB_GRADES; k++) {
        int percent = evn_climb_grades_percent[k];
        evn_limits_name name = {"climb", evn_limits_text(w, "on_%d_percent", percent),
                                evn_limits_text(w, "on %d %%", percent)};
        add_speed(w, &name, &peak_speed, evn_able_speed_m_s(s, percent / 100.0, false));
        add_speed(w, &name, &continuous_speed, evn_able_speed_m_s(s, percent / 100.0, true));
    }
    evn_limits_name level = {"climb", "level", "on the level"};
    add_speed(w, &level, &peak_speed, evn_able_speed_m_s(s, 0, false));
    add_speed(w, &level, &continuous_speed, evn_able_speed_m_s(s, 0, true));
}

/* ------------------------------------------------------------------------------------------------ by gear */

static const evn_limits_column gear_grade = {"peak_percent", "%", "peak",
                                             "steepest grade on which a slow speed is held in this gear, the other "
                                             "drive units in the gears in which they pull most",
                                             2},
                               gear_base = {"base_km_h", "km/h", "full torque to",
                                            "speed up to which the motors of this gear give their torque", 1},
                               gear_top = {"top_km_h", "km/h", "top speed", "top speed of the motors in this gear", 1};

/* Slow enough for no gear to be near its base speed, and faster than at rest. */
static const double SLOW_M_S = 1 * EVN_M_S_PER_KM_H;

static void add_gear(evn_limits_work *w, evn_scene *s, size_t unit, size_t gear)
{
    const evn_unit *u = &s->rig->unit[unit];
    double rad_m = evn_rig_unit_rad_m(s->rig, u) * u->gear[gear].total_ratio;
    evn_limits_name name = {"climb", evn_limits_text(w, "%s_gear_%zu", u->name, gear + 1),
                            evn_limits_text(w, "%s, gear %zu", u->name, gear + 1)};
    evn_asked_of_scene slowly = {.speed_m_s = SLOW_M_S, .pulling = true, .held = true};
    evn_pull p;
    s->gear[unit] = (uint8_t)(gear + 1);
    evn_answer a = evn_able_grade_percent(s, SLOW_M_S, false);
    evn_limits_add(w, &name, &gear_grade, &a);
    evn_scene_pull(s, &slowly, &p);
    a = evn_answer_of(evn_unit_base_rad_s(u, evn_all_engaged(u, gear), p.feed.pull_v) / rad_m / EVN_M_S_PER_KM_H);
    a.bound = EVN_BOUND_MOTOR_POWER;
    evn_limits_add(w, &name, &gear_base, &a);
    a = evn_answer_of(evn_unit_top_rad_s(u) / rad_m / EVN_M_S_PER_KM_H);
    a.bound = EVN_BOUND_MOTOR_SPEED;
    evn_limits_add(w, &name, &gear_top, &a);
    s->gear[unit] = 0;
}

void evn_limits_climb(evn_limits_work *w)
{
    evn_scene s = evn_scene_of(w, EVN_FORWARDS);
    add_speeds(w, &s);
    add_grades(w, &s);
    for (size_t u = 0; u < s.rig->unit_count; u++)
        for (size_t gear = 0; gear < s.rig->unit[u].gear_count; gear++)
            add_gear(w, &s, u, gear);
}
