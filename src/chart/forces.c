/*
 * Tyre force over speed on the level at constant speed: what motors, tyres and pack allow, and what the road asks. Cold
 * windings, pack half full. Each unit in the gear that gives most; units share as they do on the road, each at the same
 * share of what its motors can.
 */
#include "chart/chart.h"
#include "core/units.h"
#include "pull/best.h"
#include "pull/continuous.h"
#include "pull/limits.h"
#include "pull/member.h"
#include <math.h>
#include <stdio.h>

enum { SPEEDS = 121, KEY_BYTES = 512 };

static const int grades_percent[] = {0, 2, 4, 6, 8, 10, 12, 15, 18, 20, 25};
enum { GRADES = sizeof grades_percent / sizeof *grades_percent };

typedef struct scene { /* one speed */
    evn_pull pull;
    double degc[EVN_UNITS_MAX][EVN_NODES_MAX]; /* cold windings */
} scene;

static void set_scene(scene *s, const evn_rig *r, double speed_m_s)
{
    s->pull.at = (evn_given){.rig = r,
                             .rolling_factor = 1,
                             .speed_m_s = speed_m_s,
                             .soc = 0.5 * (r->pack.usable_from + r->pack.usable_to),
                             .battery_degc = r->pack.start_degc,
                             .coolant_degc = evn_rig_coolant_degc(r),
                             .steady = true,
                             .start_aid = r->start_aid.there && speed_m_s < r->start_aid.below_m_s,
                             .fade = EVN_FADE_BY_SPEED};
    for (size_t k = 0; k < r->unit_count; k++) {
        evn_unit_coolant_degc(&r->unit[k], s->degc[k]);
        s->pull.at.unit[k] = (evn_unit_given){.setting = evn_all_engaged(&r->unit[k], 0), .degc = s->degc[k]};
    }
    evn_pull_make(&s->pull);
}

/* ------------------------------------------------------------------------------------------------ one unit */

static evn_member in_gear(const scene *s, size_t unit, size_t gear)
{
    return evn_pull_member(&s->pull, unit, evn_all_engaged(&s->pull.at.rig->unit[unit], gear), false);
}

/* What the motors of a unit give in a gear, pulling or (below zero) pushing. */
static double motors_n(const scene *s, size_t unit, const evn_member *m, bool pulling)
{
    return evn_member_force(&s->pull, unit, m, pulling ? m->most_nm : m->least_nm, 0);
}

/* ------------------------------------------------------------------------------------------------ all units */

static double most_n(const scene *s, bool pulling)
{
    evn_pull p = s->pull;
    evn_pull_take_best(&p, pulling);
    return evn_pull_most_n(&p, pulling);
}

static double continuous_n(const scene *s)
{
    double sum = evn_pull_continuous_n(&s->pull, (evn_parts_that_heat){true, true}, NULL);
    return isnan(sum) ? sum : fmin(sum, most_n(s, true));
}

/* ------------------------------------------------------------------------------------------------ the road */

static double road_load_n(const scene *s, double tangent)
{
    evn_pull p = s->pull;
    p.at.tangent = tangent;
    evn_pull_make(&p);
    return p.road.base_n;
}

/* ------------------------------------------------------------------------------------------------ the chart */

static size_t gears_of_all(const evn_rig *r)
{
    size_t count = 0;
    for (size_t k = 0; k < r->unit_count; k++)
        count += r->unit[k].gear_count;
    return count;
}

static void add_columns(evn_chart *chart, const evn_rig *r)
{
    char key[KEY_BYTES], label[KEY_BYTES];
    evn_chart_add_column(chart, "speed_km_h", "km/h", "speed", "constant speed on the level", 1);
    evn_chart_add_column(chart, "peak_driving_kn", "kN", "peak wheel force",
                         "tractive effort that motors, adhesion and battery allow", 2);
    evn_chart_add_column(chart, "peak_braking_kn", "kN", "peak braking force",
                         "braking force that motors, adhesion and battery allow, above zero", 2);
    evn_chart_add_column(chart, "continuous_driving_kn", "kN", "continuous wheel force",
                         "that the windings bear for ever", 2);
    for (size_t k = 0; k < r->unit_count; k++)
        for (size_t gear = 0; gear < r->unit[k].gear_count; gear++) {
            snprintf(key, sizeof key, "%.400s.%zu.driving_kn", r->unit[k].name, gear + 1);
            snprintf(label, sizeof label, "%.400s, wheel force in gear %zu", r->unit[k].name, gear + 1);
            evn_chart_add_column(chart, key, "kN", label, "of this unit in this gear, by its motors alone", 2);
        }
    for (int k = 0; k < GRADES; k++) {
        snprintf(key, sizeof key, "road_load.%d_percent_kn", grades_percent[k]);
        snprintf(label, sizeof label, "driving resistance at %d %%", grades_percent[k]);
        evn_chart_add_column(chart, key, "kN", label, "rolling resistance, hub drag, air drag and grade", 2);
    }
}

static void add_speed(evn_chart *chart, const scene *s)
{
    const evn_rig *r = s->pull.at.rig;
    double *row = evn_chart_add_row(chart);
    if (!row)
        return;
    size_t column = 0;
    row[column++] = s->pull.at.speed_m_s / EVN_M_S_PER_KM_H;
    row[column++] = most_n(s, true) / 1e3;
    row[column++] = fmax(-most_n(s, false), 0) / 1e3;
    row[column++] = continuous_n(s) / 1e3;
    for (size_t k = 0; k < r->unit_count; k++)
        for (size_t gear = 0; gear < r->unit[k].gear_count; gear++, column++) {
            evn_member m = in_gear(s, k, gear);
            if (evn_member_can_turn(&s->pull, k, &m))
                row[column] = motors_n(s, k, &m, true) / 1e3;
        }
    for (int k = 0; k < GRADES; k++)
        row[column++] = road_load_n(s, grades_percent[k] / 100.0) / 1e3;
}

evn_status evn_chart_forces(const evn_rig *r, evn_chart **out, evn_report *report)
{
    evn_chart *chart = evn_chart_begin(4 + gears_of_all(r) + GRADES, report);
    if (!chart)
        return EVN_NO_RESULT;
    add_columns(chart, r);
    double top_m_s = fmin(r->top_speed_m_s, 200 * EVN_M_S_PER_KM_H);
    for (int k = 0; k < SPEEDS; k++) {
        scene s;
        set_scene(&s, r, top_m_s * k / (SPEEDS - 1));
        add_speed(chart, &s);
    }
    return evn_chart_done(chart, out, report);
}
