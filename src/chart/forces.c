/*
 * Tyre force over speed on the level at constant speed: what motors, tyres and pack allow, and what the road asks. Cold
 * windings, pack half full. Each unit in the gear that gives most; units share as they do on the road, each at the same
 * share of what its motors can.
 */
#include "chart/chart.h"
#include "chart/motors.h"
#include "core/units.h"
#include <math.h>
#include <stdio.h>

enum { SPEEDS = 121, HALVINGS = 40, KEY_BYTES = 512 };

static const int grades_percent[] = {0, 2, 4, 6, 8, 10, 12, 15, 18, 20, 25};
enum { GRADES = sizeof grades_percent / sizeof *grades_percent };

typedef struct scene { /* one speed */
    const evn_rig *rig;
    double speed_m_s, open_circuit_v, soc;
} scene;

static evn_setting all_in(const evn_unit *u, size_t gear)
{
    return (evn_setting){(uint8_t)gear, (uint8_t)((1u << u->motor_count) - 1u)};
}

/* ------------------------------------------------------------------------------------------------ one unit */

static double motor_rad_s(const scene *at, size_t unit, size_t gear)
{
    const evn_unit *u = &at->rig->unit[unit];
    return at->speed_m_s * at->rig->unit_rad_m[unit] * u->gear[gear].total_ratio;
}

static bool can_turn(const scene *at, size_t unit, size_t gear)
{
    return motor_rad_s(at, unit, gear) <= evn_unit_top_rad_s(&at->rig->unit[unit]) * (1 + 1e-12);
}

static double tyre_of_hub_n(const scene *at, size_t axle, double hub_n)
{
    const evn_axle *a = &at->rig->axle[axle];
    return evn_slip_tyre_n(hub_n, a->slip_stiffness * a->load.cosine_kg * at->rig->gravity_m_s2);
}

/* Tyre force of a unit for a torque of its motors. */
static double unit_force_n(const scene *at, size_t unit, evn_setting s, double motor_nm)
{
    const evn_rig *r = at->rig;
    const evn_unit *u = &r->unit[unit];
    double chain_nm = evn_unit_wheel_nm(u, s, motor_nm, at->speed_m_s * r->unit_rad_m[unit], 0), sum = 0;
    if (u->branch_count == 0)
        return tyre_of_hub_n(at, u->axle, chain_nm / r->axle[u->axle].radius_m);
    for (size_t k = 0; k < u->branch_count; k++) {
        const evn_branch *b = &u->branch[k];
        double radius_m = r->axle[b->axle].radius_m;
        double nm = evn_branch_wheel_nm(b, b->share * chain_nm, at->speed_m_s / radius_m, 0);
        sum += tyre_of_hub_n(at, b->axle, nm / radius_m);
    }
    return sum;
}

/* What the tyres of a unit's axles carry at rest. */
static double adhesion_n(const scene *at, size_t unit, double mu)
{
    const evn_rig *r = at->rig;
    const evn_unit *u = &r->unit[unit];
    double kg = u->branch_count ? 0 : r->axle[u->axle].load.cosine_kg;
    for (size_t k = 0; k < u->branch_count; k++)
        kg += r->axle[u->branch[k].axle].load.cosine_kg;
    return mu * kg * r->gravity_m_s2;
}

static double fade_at(const evn_rig *r, double v)
{
    if (!r->regeneration)
        return 0;
    if (r->fade_from_m_s <= r->fade_to_m_s)
        return v > r->fade_from_m_s ? 1 : 0;
    return fmin(fmax((v - r->fade_to_m_s) / (r->fade_from_m_s - r->fade_to_m_s), 0), 1);
}

static double cold_degc(const evn_motor *m) { return m->has_winding ? m->coolant_degc : m->reference_degc; }

/* Torque limit of a unit's motors in a gear: pulling or, below zero, pushing. */
static double limit_nm(const scene *at, size_t unit, size_t gear, bool pulling)
{
    const evn_unit *u = &at->rig->unit[unit];
    evn_supply supply = {at->open_circuit_v, cold_degc(&u->motor[0]), fade_at(at->rig, at->speed_m_s)};
    double w = motor_rad_s(at, unit, gear);
    return pulling ? evn_unit_most_motor_nm(u, all_in(u, gear), w, &supply)
                   : evn_unit_least_motor_nm(u, all_in(u, gear), w, &supply);
}

/* ------------------------------------------------------------------------------------------------ all units */

typedef struct choice { /* of one unit at one speed */
    bool turns;
    evn_setting setting;
    double limit_nm;
} choice;

/* The gear that gives most; a unit whose motors would turn too fast in all of them does not work. */
static choice best_gear(const scene *at, size_t unit, bool pulling)
{
    const evn_unit *u = &at->rig->unit[unit];
    choice best = {false, {0, 0}, 0};
    double most = -(double)INFINITY;
    for (size_t gear = 0; gear < u->gear_count; gear++) {
        if (!can_turn(at, unit, gear))
            continue;
        double nm = limit_nm(at, unit, gear, pulling);
        double force = (pulling ? 1 : -1) * unit_force_n(at, unit, all_in(u, gear), nm);
        if (force > most) {
            most = force;
            best = (choice){true, all_in(u, gear), nm};
        }
    }
    return best;
}

/* Force of all units with each at a share of its limit, and what they draw from the bus. */
static double team_force_n(const scene *at, const choice chosen[], bool pulling, double share, double *bus_w)
{
    const evn_rig *r = at->rig;
    double sum = 0;
    *bus_w = r->auxiliaries_w;
    for (size_t k = 0; k < r->unit_count; k++) {
        const evn_unit *u = &r->unit[k];
        if (!chosen[k].turns)
            continue;
        double nm = share * chosen[k].limit_nm, force = unit_force_n(at, k, chosen[k].setting, nm);
        double limit = adhesion_n(at, k, pulling ? r->adhesion_driving : r->adhesion_regenerating);
        double wheel_rad_s = at->speed_m_s * r->unit_rad_m[k];
        evn_shaft wheels = {evn_unit_wheel_nm(u, chosen[k].setting, nm, wheel_rad_s, 0), wheel_rad_s, 0};
        evn_flow unbooked = {{0}};
        sum += pulling ? fmin(force, limit) : fmax(force, -limit);
        *bus_w += evn_unit_draw_w(u, chosen[k].setting, wheels, at->open_circuit_v, u->motor[0].reference_degc,
                                  &unbooked, NULL);
    }
    return sum;
}

static double most_force_n(const scene *at, bool pulling)
{
    const evn_pack *p = &at->rig->pack;
    choice chosen[EVN_UNITS_MAX];
    for (size_t k = 0; k < at->rig->unit_count; k++)
        chosen[k] = best_gear(at, k, pulling);
    double gives_w = evn_pack_most_w(p, at->open_circuit_v),
           takes_w = evn_pack_charge_w(p, at->soc, at->open_circuit_v);
    double bus_w, force = team_force_n(at, chosen, pulling, 1, &bus_w), low = 0, high = 1;
    if (bus_w <= gives_w && bus_w >= -takes_w)
        return force;
    for (int k = 0; k < HALVINGS; k++) {
        double middle = 0.5 * (low + high);
        force = team_force_n(at, chosen, pulling, middle, &bus_w);
        if (bus_w <= gives_w && bus_w >= -takes_w)
            low = middle;
        else
            high = middle;
    }
    return team_force_n(at, chosen, pulling, low, &bus_w);
}

/* The gear counts in which the windings bear most. NAN where a unit has no winding: nothing is known of its heat. */
static double continuous_force_n(const scene *at)
{
    const evn_rig *r = at->rig;
    double sum = 0;
    for (size_t k = 0; k < r->unit_count; k++) {
        const evn_unit *u = &r->unit[k];
        double most = 0;
        for (size_t gear = 0; gear < u->gear_count; gear++) {
            if (!can_turn(at, k, gear))
                continue;
            double nm = fmin(evn_chart_continuous_nm(u, motor_rad_s(at, k, gear)), limit_nm(at, k, gear, true));
            most = fmax(most, unit_force_n(at, k, all_in(u, gear), nm));
        }
        sum += u->motor[0].has_winding ? fmin(most, adhesion_n(at, k, r->adhesion_driving)) : (double)NAN;
    }
    return isnan(sum) ? sum : fmin(sum, most_force_n(at, true));
}

/* ------------------------------------------------------------------------------------------------ the road */

static double road_load_n(const scene *at, double tangent)
{
    const evn_rig *r = at->rig;
    double cosine = 1 / sqrt(1 + tangent * tangent), sine = tangent * cosine, v = at->speed_m_s;
    double wind = v + r->headwind_m_s, rolling = 0;
    for (size_t k = 0; k < r->axle_count; k++) {
        const evn_axle *a = &r->axle[k];
        double load = evn_axle_load_n(&a->load, r->gravity_m_s2, cosine, sine, 0, 0);
        rolling += (a->rolling + a->rolling_s_m * v) * load;
    }
    return rolling + r->air_kg_m * wind * fabs(wind) + r->mass_kg * r->gravity_m_s2 * sine;
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
    char key[KEY_BYTES];
    evn_chart_add_column(chart, "speed_km_h", "km/h", "constant speed on the level", 1);
    evn_chart_add_column(chart, "most_driving_kn", "kN", "most that motors, tyres and pack give at the tyres", 2);
    evn_chart_add_column(chart, "most_braking_kn", "kN", "most that motors take there while braking, above zero", 2);
    evn_chart_add_column(chart, "continuous_driving_kn", "kN", "most that the windings bear for ever", 2);
    for (size_t k = 0; k < r->unit_count; k++)
        for (size_t gear = 0; gear < r->unit[k].gear_count; gear++) {
            snprintf(key, sizeof key, "%.400s.%zu.driving_kn", r->unit[k].name, gear + 1);
            evn_chart_add_column(chart, key, "kN", "of this unit in this gear, by its motors alone", 2);
        }
    for (int k = 0; k < GRADES; k++) {
        snprintf(key, sizeof key, "road_load.%d_percent_kn", grades_percent[k]);
        evn_chart_add_column(chart, key, "kN", "rolling resistance, air drag and grade", 2);
    }
}

static void add_speed(evn_chart *chart, const scene *at)
{
    double *row = evn_chart_add_row(chart);
    if (!row)
        return;
    size_t column = 0;
    row[column++] = at->speed_m_s / EVN_M_S_PER_KM_H;
    row[column++] = most_force_n(at, true) / 1e3;
    row[column++] = fmax(-most_force_n(at, false), 0) / 1e3;
    row[column++] = continuous_force_n(at) / 1e3;
    for (size_t k = 0; k < at->rig->unit_count; k++)
        for (size_t gear = 0; gear < at->rig->unit[k].gear_count; gear++, column++)
            if (can_turn(at, k, gear))
                row[column] = unit_force_n(at, k, all_in(&at->rig->unit[k], gear), limit_nm(at, k, gear, true)) / 1e3;
    for (int k = 0; k < GRADES; k++)
        row[column++] = road_load_n(at, grades_percent[k] / 100.0) / 1e3;
}

evn_status evn_chart_forces(const evn_rig *r, evn_chart **out, evn_report *report)
{
    evn_chart *chart = evn_chart_begin(4 + gears_of_all(r) + GRADES, report);
    if (!chart)
        return EVN_NO_RESULT;
    add_columns(chart, r);
    double soc = 0.5 * (r->pack.usable_from + r->pack.usable_to);
    double top_m_s = fmin(r->top_speed_m_s, 200 * EVN_M_S_PER_KM_H);
    for (int k = 0; k < SPEEDS; k++) {
        scene at = {r, top_m_s * k / (SPEEDS - 1), evn_curve_at(&r->pack.open_circuit_v, soc), soc};
        add_speed(chart, &at);
    }
    return evn_chart_done(chart, out, report);
}
