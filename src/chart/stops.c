/*
 * Stated stops: what of the demanded braking power the motors take when the truck comes to rest on the level at a
 * stated deceleration. Loaded as it is, at the state of charge of its start, motors cold; at each speed all motors
 * engaged, in the gears in which they push most. The demand is what tyres have to brake beyond air drag and rolling
 * resistance.
 */
#include "chart/chart.h"
#include "core/units.h"
#include "pull/best.h"
#include "pull/limits.h"
#include "pull/slowing.h"
#include <math.h>
#include <stdio.h>

static const double decelerations_m_s2[] = {0.5, 1, 3};
enum { STOPS = sizeof decelerations_m_s2 / sizeof *decelerations_m_s2, SPEEDS = 121, CELLS = 40 };

static const double FROM_M_S = 80 * EVN_M_S_PER_KM_H; /* at most */

static double from_m_s(const evn_rig *r) { return fmin(r->top_speed_m_s, FROM_M_S); }

typedef struct braking {
    double demanded_n, by_motors_n;
} braking;

static braking braking_at(const evn_rig *r, double speed_m_s, double deceleration_m_s2)
{
    double degc[EVN_UNITS_MAX][EVN_NODES_MAX];
    evn_pull p = {.at = {.rig = r,
                         .rolling_factor = 1,
                         .speed_m_s = speed_m_s,
                         .asked_m_s2 = -deceleration_m_s2,
                         .soc = r->start_soc,
                         .battery_degc = r->pack.start_degc,
                         .coolant_degc = evn_rig_coolant_degc(r),
                         .fade = EVN_FADE_BY_SPEED}};
    for (size_t u = 0; u < r->unit_count; u++) {
        evn_unit_coolant_degc(&r->unit[u], degc[u]);
        p.at.unit[u] = (evn_unit_given){.setting = evn_all_engaged(&r->unit[u], 0), .degc = degc[u]};
    }
    evn_pull_make(&p);
    evn_pull_take_best(&p, false);
    bool by_pack;
    double demanded_n = fmax(-(p.road.base_n - p.road.mass_kg * deceleration_m_s2), 0);
    double want_n = evn_wanted_of_motors_n(&p, &p.team, -demanded_n, -deceleration_m_s2);
    return (braking){demanded_n, fmax(-evn_pull_given_n(&p, want_n, &by_pack), 0)};
}

/* ------------------------------------------------------------------------------------------------ over speed */

static double share_at(const evn_rig *r, double speed_m_s, double deceleration_m_s2)
{
    braking b = braking_at(r, speed_m_s, deceleration_m_s2);
    return b.demanded_n > 0 ? b.by_motors_n / b.demanded_n : (double)NAN;
}

evn_status evn_chart_braking_shares(const evn_rig *r, evn_chart **out, evn_report *report)
{
    char key[80], label[80];
    evn_chart *chart = evn_chart_begin(1 + STOPS, report);
    if (!chart)
        return EVN_NO_RESULT;
    evn_chart_add_column(chart, "speed_km_h", "km/h", "speed", "speed on the level", 1);
    for (int k = 0; k < STOPS; k++) {
        snprintf(key, sizeof key, "deceleration_%g_m_s2.motor_share", decelerations_m_s2[k]);
        snprintf(label, sizeof label, "motors' share at %g m/s2", decelerations_m_s2[k]);
        evn_chart_add_column(chart, key, "", label, "of the demanded braking power, 0 to 1", 3);
    }
    for (int i = 0; i < SPEEDS; i++) {
        double speed_m_s = from_m_s(r) * i / (SPEEDS - 1), *row = evn_chart_add_row(chart);
        if (!row)
            break;
        row[0] = speed_m_s / EVN_M_S_PER_KM_H;
        for (int k = 0; k < STOPS; k++)
            row[1 + k] = share_at(r, speed_m_s, decelerations_m_s2[k]);
    }
    return evn_chart_done(chart, out, report);
}

/* ------------------------------------------------------------------------------------------------ over a stop */

typedef struct work {
    double demanded_j, by_motors_j;
} work;

/* F v dv over a deceleration, between two speeds: Gauss's two points in each cell. */
static work work_between(const evn_rig *r, double low_m_s, double high_m_s, double deceleration_m_s2)
{
    work sum = {0, 0};
    double half = 0.5 * (high_m_s - low_m_s) / CELLS;
    for (int k = 0; half > 0 && k < 2 * CELLS; k++) {
        double v = low_m_s + half * (k / 2 * 2 + 1 + (k % 2 ? 1 : -1) / sqrt(3));
        braking b = braking_at(r, v, deceleration_m_s2);
        sum.demanded_j += half * b.demanded_n * v / deceleration_m_s2;
        sum.by_motors_j += half * b.by_motors_n * v / deceleration_m_s2;
    }
    return sum;
}

/* Parted where the fade of regeneration begins and ends: it may be a jump. */
static work work_of(const evn_rig *r, double deceleration_m_s2)
{
    double from = from_m_s(r), fade_to = fmin(r->fade_to_m_s, from), fade_from = fmin(r->fade_from_m_s, from);
    const double ends[] = {0, fade_to, fade_from, from};
    work all = {0, 0};
    for (int k = 0; k < 3; k++) {
        work w = work_between(r, ends[k], ends[k + 1], deceleration_m_s2);
        all.demanded_j += w.demanded_j;
        all.by_motors_j += w.by_motors_j;
    }
    return all;
}

evn_status evn_chart_braking_to_rest(const evn_rig *r, evn_chart **out, evn_report *report)
{
    evn_chart *chart = evn_chart_begin(5, report);
    if (!chart)
        return EVN_NO_RESULT;
    evn_chart_add_column(chart, "deceleration_m_s2", "m/s2", "deceleration", "constant, on the level", 1);
    evn_chart_add_column(chart, "from_speed_km_h", "km/h", "from", "the top speed, at most 80 km/h; to rest", 0);
    evn_chart_add_column(chart, "demanded_kwh", "kWh", "braking work",
                         "that tyres have to do beyond air drag and rolling resistance", 2);
    evn_chart_add_column(chart, "by_motors_kwh", "kWh", "by motors", "of the braking work, what motors take", 2);
    evn_chart_add_column(chart, "motor_share", "", "motors' share", "of the braking work, 0 to 1", 3);
    for (int k = 0; k < STOPS; k++) {
        double *row = evn_chart_add_row(chart);
        if (!row)
            break;
        work w = work_of(r, decelerations_m_s2[k]);
        row[0] = decelerations_m_s2[k];
        row[1] = from_m_s(r) / EVN_M_S_PER_KM_H;
        row[2] = w.demanded_j / EVN_J_PER_KWH;
        row[3] = w.by_motors_j / EVN_J_PER_KWH;
        if (w.demanded_j > 0)
            row[4] = w.by_motors_j / w.demanded_j;
    }
    return evn_chart_done(chart, out, report);
}
