/* The rows of likeness with their tolerances, what a truck has in each, and the verdict: see LIKENESS.md. */
#include "lineup/likeness.h"
#include "core/units.h"
#include "limits/abilities.h"
#include <math.h>

/* ------------------------------------------------------------------------------------------------ the table */

#define PRACTICE "common practice, no source"

/* The one place of all tolerances; LIKENESS.md argues for them. */
static const evn_likeness_row rows[EVN_LIKENESS_COUNT] = {
    [EVN_LIKENESS_PEAK_WHEEL_POWER] =
        {{"peak_wheel_power_kw", "kW",
          "most power at the wheels at speeds up to 90 km/h, on the level: what motors, tyres and "
          "battery give at the temperatures and the charge of the start",
          EVN_REAL, 0, "peak wheel power", "peak wheel power", 0},
         0.03,
         true,
         true,
         PRACTICE},
    [EVN_LIKENESS_CONTINUOUS_WHEEL_POWER] = {{"continuous_wheel_power_kw", "kW",
                                              "the same for ever, by the heat of windings and inverters", EVN_REAL, 0,
                                              "continuous wheel power", "continuous wheel power", 0},
                                             0.03,
                                             true,
                                             true,
                                             PRACTICE},
    [EVN_LIKENESS_FORCE_FROM_REST] = {{"force_from_rest_kn", "kN",
                                       "most force at the wheels from rest on the level: what motors give and tyres "
                                       "carry",
                                       EVN_REAL, 1, "wheel force from rest", "wheel force from rest", 0},
                                      0.10,
                                      true,
                                      false,
                                      PRACTICE},
    [EVN_LIKENESS_SPEED_ON_3_PERCENT] = {{"speed_on_3_percent_km_h", "km/h",
                                          "highest speed up to 90 km/h that it holds on a grade of 3 %, at the "
                                          "temperatures of the start",
                                          EVN_REAL, 1, "speed up to 90 km/h held on 3 %", "speed to 90 km/h on 3 %", 0},
                                         0.03,
                                         true,
                                         false,
                                         PRACTICE},
    [EVN_LIKENESS_INSTALLED_POWER] = {{"installed_motor_power_kw", "kW", "peak power of all motors together", EVN_REAL,
                                       0, "installed motor power", "installed motor power", 0},
                                      0.06,
                                      true,
                                      false,
                                      PRACTICE},
    [EVN_LIKENESS_DRIVEN_AXLES] = {{"driven_axles", "", "axles that motors drive", EVN_WHOLE, 0, "driven axles",
                                    "driven axles", 0},
                                   0,
                                   false,
                                   false,
                                   PRACTICE},
    [EVN_LIKENESS_AXLES] = {{"axles", "", "axles of the truck without its trailer", EVN_WHOLE, 0, "axles", "axles", 0},
                            0,
                            false,
                            false,
                            PRACTICE},
    [EVN_LIKENESS_ROLLING_RESISTANCE] = {{"rolling_resistance_coefficient", "",
                                          "of all tyres at standstill, the mean over the axle loads", EVN_REAL, 5,
                                          "rolling resistance coefficient", "rolling resistance", 0},
                                         0.005,
                                         true,
                                         false,
                                         PRACTICE},
    [EVN_LIKENESS_ROLLING_RADIUS] = {{"driven_rolling_radius_m", "m", "of the driven tyres, the mean over their loads",
                                      EVN_REAL, 3, "rolling radius of the driven tyres", "rolling radius, driven", 0},
                                     0.005,
                                     true,
                                     false,
                                     PRACTICE},
    [EVN_LIKENESS_HUB_DRAG] =
        {{"hub_drag_n", "N",
          "drag of bearings and seals of all wheels at 80 km/h, as a force; a hub reduction's own "
          "left out",
          EVN_REAL, 0, "hub drag at 80 km/h", "hub drag at 80 km/h", 0},
         0.05,
         true,
         false,
         PRACTICE},
    [EVN_LIKENESS_DRAG_AREA] = {{"drag_area_m2", "m2", "drag coefficient times frontal area", EVN_REAL, 2, "drag area",
                                 "drag area", 0},
                                0.005,
                                true,
                                false,
                                PRACTICE},
    [EVN_LIKENESS_AUXILIARIES] = {{"auxiliaries_kw", "kW",
                                   "power that is taken under way beside drive units and fan: steady, moving and by "
                                   "weather, and of what goes with drive units that of one",
                                   EVN_REAL, 1, "auxiliaries", "auxiliaries", 0},
                                  0.005,
                                  true,
                                  false,
                                  PRACTICE},
    [EVN_LIKENESS_TAKE_OFF] = {{"take_off_work_kwh", "kWh",
                                "work that the truck asks of its power take-off at a stop, and in an hour from start "
                                "to end",
                                EVN_REAL, 2, "work of the power take-off", "take-off work", 0},
                               0.005,
                               true,
                               false,
                               PRACTICE},
    [EVN_LIKENESS_USABLE_ENERGY] = {{"usable_battery_kwh", "kWh",
                                     "energy of the battery within its usable window, at open-circuit voltage",
                                     EVN_REAL, 0, "usable battery energy", "usable battery", 0},
                                    0.005,
                                    true,
                                    false,
                                    PRACTICE},
    [EVN_LIKENESS_BATTERY_RESISTANCE] = {{"battery_resistance_ohm", "ohm", "internal resistance of the battery",
                                          EVN_REAL, 3, "battery resistance", "battery resistance", 0},
                                         0.005,
                                         true,
                                         false,
                                         PRACTICE},
    [EVN_LIKENESS_DISCHARGE_LIMIT] = {{"battery_discharge_kw", "kW", "most that the battery gives, as its file states",
                                       EVN_REAL, 0, "discharge limit of the battery", "battery discharge limit", 0},
                                      0.005,
                                      true,
                                      false,
                                      PRACTICE},
    [EVN_LIKENESS_CHARGE_LIMIT] = {{"battery_charge_kw", "kW", "most that the battery takes, as its file states",
                                    EVN_REAL, 0, "charge limit of the battery", "battery charge limit", 0},
                                   0.005,
                                   true,
                                   false,
                                   PRACTICE},
    [EVN_LIKENESS_PAYLOAD] =
        {{"payload_kg", "kg", "payload", EVN_REAL, 0, "payload", "payload", 0}, 0.5, false, false, PRACTICE},
    [EVN_LIKENESS_GROSS_MASS] = {{"gross_mass_kg", "kg", "truck, trailer and payload", EVN_REAL, 0, "gross mass",
                                  "gross mass", 0},
                                 0.5,
                                 false,
                                 false,
                                 PRACTICE},
};

bool evn_likeness_row_at(size_t index, evn_likeness_row *out)
{
    if (!out || index >= EVN_LIKENESS_COUNT)
        return false;
    *out = rows[index];
    return true;
}

/* ------------------------------------------------------------------------------------------------ what a truck has */

static const double HUB_DRAG_M_S = 80 * EVN_M_S_PER_KM_H;

static double installed_w(const evn_rig *r)
{
    double sum = 0;
    for (size_t u = 0; u < r->unit_count; u++)
        for (size_t m = 0; m < r->unit[u].motor_count; m++)
            sum += r->unit[u].motor[m].peak_w;
    return sum;
}

static bool is_driven(const evn_rig *r, size_t axle) { return r->axle[axle].driven_by < r->unit_count; }

static double driven_axles(const evn_rig *r)
{
    double count = 0;
    for (size_t k = 0; k < r->axle_count; k++)
        count += is_driven(r, k);
    return count;
}

static double driven_radius_m(const evn_rig *r)
{
    double sum = 0, kg = 0;
    for (size_t k = 0; k < r->axle_count; k++)
        if (is_driven(r, k)) {
            sum += r->axle[k].radius_m * r->axle[k].load.cosine_kg;
            kg += r->axle[k].load.cosine_kg;
        }
    return sum / kg;
}

/* Where a wind blows: that which is felt at a speed, the mean over all its directions. */
static double drag_area_m2(const evn_rig *r, double still_m2)
{
    static const double AT_M_S = 80 * EVN_M_S_PER_KM_H;
    return r->wind.speed_m_s > 0 ? still_m2 * evn_wind_mean_squared(&r->wind, AT_M_S) / (AT_M_S * AT_M_S) : still_m2;
}

/* Power, W, that the wheel ends of a path take without load where its wheels turn so fast. A hub reduction is gearing,
 * the layout's own: it and what lies behind it are left out. */
static double hub_drag_w(const evn_stage *stage, const double speed_ratio[], size_t count, double wheel_rad_s)
{
    double degc[EVN_NODES_MAX] = {0}, w = 0;
    for (size_t k = 0; k < count; k++) {
        double rad_s = wheel_rad_s * speed_ratio[k];
        if (stage[k].line != EVN_WHEEL_END)
            continue;
        if (stage[k].ratio != 1)
            return w;
        w += evn_stage_drag_nm(&stage[k], rad_s, degc) * rad_s;
    }
    return w;
}

static double unit_hub_drag_w(const evn_rig *r, const evn_unit *u)
{
    double w = 0;
    if (u->branch_count == 0)
        return hub_drag_w(u->gear[0].stage, u->gear[0].speed_ratio, u->path_count,
                          HUB_DRAG_M_S / r->axle[u->axle].radius_m);
    for (size_t k = 0; k < u->branch_count; k++) {
        const evn_branch *b = &u->branch[k];
        w += hub_drag_w(b->stage, b->speed_ratio, b->count, HUB_DRAG_M_S / r->axle[b->axle].radius_m);
    }
    return w;
}

static double hub_drag_n(const evn_rig *r)
{
    double w = 0;
    for (size_t u = 0; u < r->unit_count; u++)
        w += unit_hub_drag_w(r, &r->unit[u]);
    return w / HUB_DRAG_M_S + evn_hubs_n(&r->hubs, HUB_DRAG_M_S);
}

static double take_off_kwh(const evn_takeoff *t)
{
    return t->stop.power_w * t->stop.seconds / EVN_J_PER_KWH + t->running_w / 1e3;
}

static double usable_j(const evn_pack *p)
{
    return p->capacity_as * evn_curve_integral(&p->open_circuit_v, p->usable_from, p->usable_to);
}

double evn_likeness_peak_wheel_w(const evn_rig *r, evn_surface surface)
{
    evn_scene s = evn_scene_of_rig(r, surface);
    double at_m_s;
    return evn_able_wheel_power_w(&s, false, &at_m_s);
}

static void put_wheel_power(evn_likeness_of_truck *of, evn_likeness_place place, evn_scene *s, bool continuous)
{
    double at_m_s;
    of->value[place] = evn_able_wheel_power_w(s, continuous, &at_m_s) / 1e3;
    of->at_km_h[place] = at_m_s / EVN_M_S_PER_KM_H;
}

evn_likeness_of_truck evn_likeness_measure(const evn_truck_file *t, const evn_rig *r, evn_surface surface,
                                           const evn_limits *limits)
{
    evn_likeness_of_truck of;
    evn_limits_figure speed;
    evn_scene s = evn_scene_of_rig(r, surface);
    double *v = of.value;
    for (size_t k = 0; k < EVN_LIKENESS_COUNT; k++)
        of.at_km_h[k] = (double)NAN;
    put_wheel_power(&of, EVN_LIKENESS_PEAK_WHEEL_POWER, &s, false);
    put_wheel_power(&of, EVN_LIKENESS_CONTINUOUS_WHEEL_POWER, &s, true);
    v[EVN_LIKENESS_FORCE_FROM_REST] = evn_able_force_n(&s, 0, false) / 1e3;
    v[EVN_LIKENESS_SPEED_ON_3_PERCENT] =
        evn_limits_get(limits, "deciding.speed_on_3_percent.balanced_km_h", &speed) && !isnan(speed.value)
            ? fmin(speed.value, EVN_LIMITER_KM_H)
            : (double)NAN;
    v[EVN_LIKENESS_INSTALLED_POWER] = installed_w(r) / 1e3;
    v[EVN_LIKENESS_DRIVEN_AXLES] = driven_axles(r);
    v[EVN_LIKENESS_AXLES] = (double)r->truck_axles;
    v[EVN_LIKENESS_ROLLING_RESISTANCE] = r->rolling.cosine_kg / r->mass_kg * evn_tyre_factor(&r->tyres, 0);
    v[EVN_LIKENESS_ROLLING_RADIUS] = driven_radius_m(r);
    v[EVN_LIKENESS_HUB_DRAG] = hub_drag_n(r);
    v[EVN_LIKENESS_DRAG_AREA] = drag_area_m2(r, t->body->drag_area_m2);
    v[EVN_LIKENESS_AUXILIARIES] = evn_loads_under_way_w(&r->loads, 1) / 1e3;
    v[EVN_LIKENESS_TAKE_OFF] = take_off_kwh(&r->takeoff);
    v[EVN_LIKENESS_USABLE_ENERGY] = usable_j(&r->pack) / EVN_J_PER_KWH;
    v[EVN_LIKENESS_BATTERY_RESISTANCE] = r->pack.resistance_ohm;
    v[EVN_LIKENESS_DISCHARGE_LIMIT] = r->pack.out.limit_w / 1e3;
    v[EVN_LIKENESS_CHARGE_LIMIT] = r->pack.in.limit_w / 1e3;
    v[EVN_LIKENESS_PAYLOAD] = r->payload_kg;
    v[EVN_LIKENESS_GROSS_MASS] = r->mass_kg;
    return of;
}

/* ------------------------------------------------------------------------------------------------ the verdict */

/* Of payload and gross mass the one that the trucks are to have in common is judged: the other differs by what layouts
 * weigh. */
static bool is_judged(size_t row, evn_equal by)
{
    if (row == EVN_LIKENESS_PAYLOAD)
        return by != EVN_EQUAL_GROSS;
    return row != EVN_LIKENESS_GROSS_MASS || by == EVN_EQUAL_GROSS;
}

bool evn_likeness_within(const evn_likeness_row *row, double value, double first)
{
    if (isnan(value) || isnan(first))
        return isnan(value) && isnan(first);
    return fabs(value - first) <= row->tolerance * (row->of_first ? fabs(first) : 1);
}

evn_likeness evn_likeness_judge(size_t row, const evn_likeness_of_truck *of, const evn_likeness_of_truck *first,
                                evn_equal by)
{
    bool judged = is_judged(row, by);
    return (evn_likeness){.value = of->value[row],
                          .first = first->value[row],
                          .at_km_h = of->at_km_h[row],
                          .first_at_km_h = first->at_km_h[row],
                          .judged = judged,
                          .alike = !judged || evn_likeness_within(&rows[row], of->value[row], first->value[row])};
}
