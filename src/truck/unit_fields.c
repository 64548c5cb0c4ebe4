/* Field tables of a drive unit: motors with inverter, gearbox, path. */
#include "core/arena.h"
#include "core/curve.h"
#include "core/units.h"
#include "truck/truck.h"
#include "truck/unit.h"
#include <math.h>
#include <stdio.h>
#include <string.h>

#define COUNT(a) (sizeof(a) / sizeof *(a))

/* ------------------------------------------------------------------------------------------------ motor */

static const evn_field loss_fields[] = {
    {.key = "constant_w",
     .shape = EVN_NUMBER,
     .most = 1e5,
     .offset = offsetof(evn_motor_loss_file, constant_w),
     .help = "c0 of the loss c0 + c1 w + c2 w^2 + c3 (T^2 + (peak torque x i_d)^2), w in rad/s: what is lost at rest "
             "without torque, while the motor is engaged; i_d as in field_weakening"},
    {.key = "speed_w_per_rad_s",
     .shape = EVN_NUMBER,
     .most = 1e4,
     .offset = offsetof(evn_motor_loss_file, speed_w_per_rad_s),
     .help = "c1, hysteresis and bearings: loss per rad/s of rotor speed"},
    {.key = "speed_squared_w_per_rad2_s2",
     .shape = EVN_NUMBER,
     .most = 100,
     .offset = offsetof(evn_motor_loss_file, speed_squared_w_per_rad2_s2),
     .help = "c2, eddy currents and windage: loss per (rad/s)2"},
    {.key = "torque_squared_w_per_nm2",
     .shape = EVN_NUMBER,
     .most = 100,
     .offset = offsetof(evn_motor_loss_file, torque_squared_w_per_nm2),
     .help = "c3, copper: loss per Nm2"},
    {.key = "winding_degc",
     .shape = EVN_NUMBER,
     .least = -50,
     .most = 250,
     .fallback = 100,
     .offset = offsetof(evn_motor_loss_file, winding_degc),
     .help = "winding temperature at which the copper loss is stated; it grows with (235 + degC)",
     .source = "IEC 60034-1, from memory"},
};
static const evn_object loss_object = {
    "loss", "loss coefficients of a motor", sizeof(evn_motor_loss_file), loss_fields, COUNT(loss_fields), NULL};

static const evn_field field_weakening_fields[] = {
    {.key = "characteristic_current_share",
     .shape = EVN_NUMBER,
     .presence = EVN_REQUIRED,
     .least = 0.05,
     .most = 5,
     .usual_low = 0.6,
     .usual_high = 1,
     .offset = offsetof(evn_field_weakening_file, characteristic_current_share),
     .help = "k, characteristic current over maximum current; the weakening current over the maximum is i_d = k (1 - "
             "sqrt((1 + 1/k^2)/x^2 - (t/k)^2)), at least 0, and k where the root has no real value, at t of the peak "
             "torque and x times the base speed, which is peak power over peak torque at the reference voltage; below "
             "base speed 0"},
};
static const evn_object field_weakening_object = {
    "field_weakening",
    "current that holds the voltage down above base speed (permanent magnets)",
    sizeof(evn_field_weakening_file),
    field_weakening_fields,
    COUNT(field_weakening_fields),
    NULL};

static const evn_field inverter_fields[] = {
    {.key = "constant_w",
     .shape = EVN_NUMBER,
     .most = 1e5,
     .offset = offsetof(evn_inverter_file, constant_w),
     .help =
         "a of the loss a + b i + c i^2, i the current over its maximum, sqrt(t^2 + i_d^2) with t of the peak torque: "
         "loss without current, while the inverter runs"},
    {.key = "current_w",
     .shape = EVN_NUMBER,
     .most = 1e6,
     .offset = offsetof(evn_inverter_file, current_w),
     .help = "b: part of the loss at maximum current that grows with the current"},
    {.key = "current_squared_w",
     .shape = EVN_NUMBER,
     .most = 1e6,
     .offset = offsetof(evn_inverter_file, current_squared_w),
     .help = "c: part of the loss at maximum current that grows with its square"},
    {.key = "efficiency",
     .shape = EVN_NUMBER,
     .least = 0.5,
     .most = 1,
     .usual_low = 0.95,
     .usual_high = 0.99,
     .fallback = (double)NAN,
     .offset = offsetof(evn_inverter_file, efficiency),
     .help = "constant efficiency both ways, instead of the losses above"},
    {.key = "mass_kg",
     .shape = EVN_NUMBER,
     .most = 1000,
     .offset = offsetof(evn_inverter_file, mass_kg),
     .help = "mass, cables included"},
};
static const evn_object inverter_object = {"inverter",
                                           "losses of the inverter over its current",
                                           sizeof(evn_inverter_file),
                                           inverter_fields,
                                           COUNT(inverter_fields),
                                           NULL};

static const evn_field motor_fields[] = {
    {.key = "peak_torque_nm",
     .shape = EVN_NUMBER,
     .presence = EVN_REQUIRED,
     .least = 1,
     .most = 1e7,
     .usual_low = 200,
     .usual_high = 5000,
     .offset = offsetof(evn_motor_file, peak_torque_nm),
     .help = "peak torque, up to base speed: peak power over peak torque"},
    {.key = "peak_power_kw",
     .shape = EVN_NUMBER,
     .presence = EVN_REQUIRED,
     .least = 1,
     .most = 1e6,
     .usual_low = 60,
     .usual_high = 600,
     .offset = offsetof(evn_motor_file, peak_power_kw),
     .help = "peak shaft power at the reference voltage; follows the pack's voltage"},
    {.key = "top_speed_rpm",
     .shape = EVN_NUMBER,
     .presence = EVN_REQUIRED,
     .least = 100,
     .most = 1e6,
     .usual_low = 3000,
     .usual_high = 18000,
     .offset = offsetof(evn_motor_file, top_speed_rpm),
     .help = "speed limit of the rotor"},
    {.key = "reference_voltage_v",
     .shape = EVN_NUMBER,
     .least = EVN_DC_LEAST_V,
     .most = EVN_DC_MOST_V,
     .usual_low = 400,
     .usual_high = 900,
     .fallback = 680,
     .offset = offsetof(evn_motor_file, reference_voltage_v),
     .help = "d.c. voltage at which peak power is stated"},
    {.key = "rotor_inertia_kg_m2",
     .shape = EVN_NUMBER,
     .most = 100,
     .usual_high = 2,
     .offset = offsetof(evn_motor_file, rotor_inertia_kg_m2),
     .help = "moment of inertia of the rotor"},
    {.key = "mass_kg", .shape = EVN_NUMBER, .most = 5000, .offset = offsetof(evn_motor_file, mass_kg), .help = "mass"},
    {.key = "efficiency",
     .shape = EVN_NUMBER,
     .least = 0.5,
     .most = 1,
     .usual_low = 0.85,
     .usual_high = 0.98,
     .fallback = (double)NAN,
     .offset = offsetof(evn_motor_file, efficiency),
     .help = "constant efficiency both ways, instead of loss, field_weakening or a map: a first estimate, since losses "
             "without torque are left out"},
    {.key = "loss",
     .shape = EVN_ONE,
     .offset = offsetof(evn_motor_file, loss),
     .of = &loss_object,
     .help = "losses as coefficients; neither these nor a map nor an efficiency given: none"},
    {.key = "field_weakening",
     .shape = EVN_ONE,
     .offset = offsetof(evn_motor_file, field_weakening),
     .of = &field_weakening_object,
     .help = "weakening current above base speed; not given: none"},
    {.key = "map",
     .shape = EVN_ONE,
     .offset = offsetof(evn_motor_file, map),
     .of = &evn_map_object,
     .help = "losses as a map, instead of loss and field_weakening"},
    {.key = "inverter",
     .shape = EVN_ONE,
     .presence = EVN_DEFAULTED,
     .offset = offsetof(evn_motor_file, inverter),
     .of = &inverter_object,
     .help = "inverter; not given: without loss and mass"},
    {.key = "winding",
     .shape = EVN_ONE,
     .offset = offsetof(evn_motor_file, winding),
     .of = &evn_winding_object,
     .help = "winding temperature; not given: it stays at the winding_degc of loss or map"},
};

static bool fits_beside_map(const evn_motor_file *m, const evn_seat *seat, evn_report *report)
{
    const evn_inverter_file *i = m->inverter;
    bool coefficients = m->loss || m->field_weakening;
    bool inverter = m->map->includes_inverter && (i->constant_w > 0 || i->current_w > 0 || i->current_squared_w > 0);
    if (coefficients)
        evn_say_at(report, seat, EVN_FAULT_DISAGREES, m->loss ? "loss" : "field_weakening",
                   "%s beside a map; expected the one or the other", m->loss ? "loss coefficients" : "field weakening");
    if (inverter)
        evn_say_at(report, seat, EVN_FAULT_DISAGREES, "inverter",
                   "losses of an inverter beside a map that includes it; expected its mass_kg alone, or "
                   "includes_inverter: false");
    return !coefficients && !inverter;
}

/* A map that covers little of what the motor can do is often in another unit. */
static void check_reach(const evn_motor_file *m, const evn_seat *seat, evn_report *report)
{
    double speed_rpm, torque_nm;
    evn_map_reach(m->map, &speed_rpm, &torque_nm);
    if (speed_rpm < 0.7 * m->top_speed_rpm || speed_rpm > 2 * m->top_speed_rpm)
        evn_say_at(report, seat, EVN_FAULT_UNUSUAL_VALUE, "map",
                   "a loss map up to %g rpm; usual is about top_speed_rpm, %g; beyond it a fit goes on", speed_rpm,
                   m->top_speed_rpm);
    if (torque_nm < 0.7 * m->peak_torque_nm || torque_nm > 2 * m->peak_torque_nm)
        evn_say_at(report, seat, EVN_FAULT_UNUSUAL_VALUE, "map",
                   "a loss map up to %g Nm; usual is about peak_torque_nm, %g; beyond it a fit goes on", torque_nm,
                   m->peak_torque_nm);
}

/* By the loss coefficients, with the winding as hot as stated: of the motor without its inverter. */
static double loss_w(const evn_motor_file *m, double torque_share, double speed_rpm, double winding_degc)
{
    const evn_motor_loss_file *l = m->loss;
    double w = speed_rpm * EVN_RAD_S_PER_RPM, base_rad_s = m->peak_power_kw * 1e3 / m->peak_torque_nm;
    double k = m->field_weakening ? m->field_weakening->characteristic_current_share : 0;
    double id = evn_weakening_share(k, torque_share, w / base_rad_s);
    double current_nm2 = m->peak_torque_nm * m->peak_torque_nm * (torque_share * torque_share + id * id);
    return l->constant_w + (l->speed_w_per_rad_s + l->speed_squared_w_per_rad2_s2 * w) * w +
           l->torque_squared_w_per_nm2 * current_nm2 * evn_copper_factor(winding_degc, l->winding_degc);
}

/* A torque that was raised while the coefficients were kept: copper losses go with its square. */
static void check_losses(const evn_motor_file *m, const evn_seat *seat, evn_report *report)
{
    static const double MOST_AT_PEAK = 0.15, MOST_WITHOUT_TORQUE = 0.08; /* of peak power: common practice, no source */
    double base_rpm = fmin(m->peak_power_kw * 1e3 / m->peak_torque_nm / EVN_RAD_S_PER_RPM, m->top_speed_rpm);
    double peak_kw = loss_w(m, 1, base_rpm, m->loss->winding_degc) * 1e-3;
    double idle_kw = loss_w(m, 0, m->top_speed_rpm, m->loss->winding_degc) * 1e-3;
    if (peak_kw > MOST_AT_PEAK * m->peak_power_kw)
        evn_say_at(report, seat, EVN_FAULT_UNUSUAL_VALUE, "loss",
                   "%.1f kW are lost at peak torque and base speed, %.0f %% of peak power; usual is at most %.0f %%; "
                   "coefficients of another motor than one of %g Nm?",
                   peak_kw, 100 * peak_kw / m->peak_power_kw, 100 * MOST_AT_PEAK, m->peak_torque_nm);
    else if (idle_kw > MOST_WITHOUT_TORQUE * m->peak_power_kw)
        evn_say_at(report, seat, EVN_FAULT_UNUSUAL_VALUE, "loss",
                   "%.1f kW are lost without torque at top speed, %.0f %% of peak power; usual is at most %.0f %%; "
                   "coefficients of another motor than one of %g Nm?",
                   idle_kw, 100 * idle_kw / m->peak_power_kw, 100 * MOST_WITHOUT_TORQUE, m->peak_torque_nm);
}

/* Derating takes the torque, not the losses that go on without it. */
static void check_runaway(const evn_motor_file *m, double idle_w, const evn_seat *seat, evn_report *report)
{
    const evn_winding_file *w = m->winding;
    double steady_degc = w ? w->coolant_degc + w->resistance_k_per_kw * idle_w * 1e-3 : (double)NAN;
    if (w && steady_degc > w->derate_to_degc)
        evn_say_at(
            report, seat, EVN_FAULT_UNUSUAL_VALUE, "winding",
            "without torque at top speed %.1f kW are lost, which bring the winding past %.0f degC; usual is that "
            "derating holds it below derate_to_degc, %g",
            idle_w * 1e-3, steady_degc, w->derate_to_degc);
}

/* Beside a constant efficiency nothing else says what is lost. */
static void check_efficiency(const evn_motor_file *m, const evn_seat *seat, evn_report *report)
{
    const evn_inverter_file *i = m->inverter;
    const char *beside = m->loss ? "loss" : m->field_weakening ? "field_weakening" : m->map ? "map" : NULL;
    if (!isnan(m->efficiency) && beside)
        evn_say_at(report, seat, EVN_FAULT_DISAGREES, beside,
                   "%s beside a constant efficiency of the motor; expected the one or the other", beside);
    bool losses = i->constant_w > 0 || i->current_w > 0 || i->current_squared_w > 0;
    if (!isnan(i->efficiency) && (losses || (m->map && m->map->includes_inverter)))
        evn_say_at(report, seat, EVN_FAULT_DISAGREES, "inverter.efficiency",
                   "a constant efficiency beside %s; expected the one or the other",
                   losses ? "losses of the inverter" : "a map that includes the inverter");
}

static void check_motor(const void *self, const evn_seat *seat, evn_report *report)
{
    const evn_motor_file *m = self;
    evn_map_machine machine = {m->peak_torque_nm, m->peak_power_kw * 1e3, m->top_speed_rpm * EVN_RAD_S_PER_RPM,
                               m->reference_voltage_v};
    check_efficiency(m, seat, report);
    if (m->loss)
        check_losses(m, seat, report);
    if (m->loss && m->winding)
        check_runaway(m, loss_w(m, 0, m->top_speed_rpm, m->winding->derate_to_degc), seat, report);
    if (m->map && fits_beside_map(m, seat, report)) {
        check_reach(m, seat, report);
        check_runaway(m, evn_map_check(m->map, &machine, seat, report), seat, report);
    }
    double base_rpm = m->peak_power_kw * 1e3 / m->peak_torque_nm / EVN_RAD_S_PER_RPM;
    if (base_rpm >= m->top_speed_rpm)
        evn_say_at(report, seat, EVN_FAULT_UNUSUAL_VALUE, "peak_power_kw",
                   "peak power would be reached at %.0f rpm; usual is below top_speed_rpm, %g", base_rpm,
                   m->top_speed_rpm);
}
static const evn_object motor_object = {
    "motor",    "electric machine with its inverter", sizeof(evn_motor_file), motor_fields, COUNT(motor_fields),
    check_motor};

const char *evn_motors_differ(const evn_motor_file *a, const evn_motor_file *b)
{
    return evn_object_differs(&motor_object, a, b);
}

/* ------------------------------------------------------------------------------------------------ gearbox */

static const evn_field shift_fields[] = {
    {.key = "time_s",
     .shape = EVN_NUMBER,
     .most = 10,
     .usual_low = 0.15,
     .usual_high = 1,
     .fallback = 0.6,
     .offset = offsetof(evn_shift_file, time_s),
     .source = "common practice, no source",
     .help = "pause without torque at a gear change (the exact driver needs none)"},
    {.key = "price_kj",
     .shape = EVN_NUMBER,
     .least = 0.1,
     .most = 1e4,
     .usual_low = 20,
     .usual_high = 60,
     .fallback = 30,
     .offset = offsetof(evn_shift_file, price_kj),
     .source = "common practice, no source",
     .help = "a change is due once this much loss was forgone since a better gear appeared"},
    {.key = "dwell_s",
     .shape = EVN_NUMBER,
     .least = 0.5,
     .most = 60,
     .usual_low = 1,
     .usual_high = 5,
     .fallback = 2,
     .offset = offsetof(evn_shift_file, dwell_s),
     .source = "common practice, no source",
     .help = "shortest time between two changes, but to save the motor from overspeed"},
    {.key = "synchronising_loss_share",
     .shape = EVN_NUMBER,
     .most = 1,
     .usual_low = 0.05,
     .usual_high = 0.5,
     .fallback = 0.15,
     .offset = offsetof(evn_shift_file, synchronising_loss_share),
     .source = "common practice, no source",
     .help = "share lost of the rotor energy that the motor gives or takes to reach its new speed"},
};
static const evn_object shift_object = {"shift",      "how a gearbox changes gear", sizeof(evn_shift_file),
                                        shift_fields, COUNT(shift_fields),          NULL};

static const evn_field gearbox_fields[] = {
    {.key = "ratios",
     .shape = EVN_LIST,
     .presence = EVN_REQUIRED,
     .least = 0.05,
     .most = 100,
     .usual_low = 0.5,
     .usual_high = 20,
     .offset = offsetof(evn_gearbox_file, ratios),
     .apart_least = EVN_RATIOS_APART_LEAST,
     .count_least = 1,
     .count_most = 8,
     .help = "ratio of each gear, first gear first, falling"},
    {.key = "efficiencies",
     .shape = EVN_LIST,
     .presence = EVN_REQUIRED,
     .least = 0.5,
     .most = 1,
     .usual_low = 0.97,
     .usual_high = 1,
     .offset = offsetof(evn_gearbox_file, efficiencies),
     .count_least = 1,
     .count_most = 8,
     .help = "efficiency of each gear, of the load alone: the torque that passes, what drags and speeds up the stages "
             "towards the wheels included; pushed, loss and torque change sides"},
    {.key = "drag",
     .shape = EVN_ONE,
     .offset = offsetof(evn_gearbox_file, drag),
     .of = &evn_drag_object,
     .help = "friction torque over speed, apart from the load loss"},
    {.key = "input_inertia_kg_m2",
     .shape = EVN_NUMBER,
     .most = 100,
     .usual_high = 1,
     .offset = offsetof(evn_gearbox_file, input_inertia_kg_m2),
     .help = "moment of inertia of what turns with the motors, at their speed"},
    {.key = "mass_kg",
     .shape = EVN_NUMBER,
     .most = 5000,
     .usual_high = 400,
     .offset = offsetof(evn_gearbox_file, mass_kg),
     .help = "mass"},
    {.key = "shift",
     .shape = EVN_ONE,
     .presence = EVN_DEFAULTED,
     .offset = offsetof(evn_gearbox_file, shift),
     .of = &shift_object,
     .help = "how it changes gear"},
};

static void check_gearbox(const void *self, const evn_seat *seat, evn_report *report)
{
    const evn_gearbox_file *g = self;
    if (g->ratios.count != g->efficiencies.count)
        evn_say_at(report, seat, EVN_FAULT_DISAGREES, "efficiencies",
                   "%zu efficiencies for %zu ratios; expected one for each gear", g->efficiencies.count,
                   g->ratios.count);
    for (size_t k = 1; k < g->ratios.count; k++)
        if (!(g->ratios.at[k - 1] - g->ratios.at[k] >= EVN_RATIOS_APART_LEAST * (1 - EVN_APART_HAIR)))
            evn_say_at(report, seat, EVN_FAULT_DISAGREES, "ratios",
                       "ratio %.10g after %.10g; expected falling ratios, first gear first, at least %g apart",
                       g->ratios.at[k], g->ratios.at[k - 1], EVN_RATIOS_APART_LEAST);
    evn_check_drag(g->drag, seat, report);
}
static const evn_object gearbox_object = {"gearbox",
                                          "gears between the motors and the path",
                                          sizeof(evn_gearbox_file),
                                          gearbox_fields,
                                          COUNT(gearbox_fields),
                                          check_gearbox};

/* ------------------------------------------------------------------------------------------------ unit */

static const evn_field engagement_fields[] = {
    {.key = "fewest",
     .shape = EVN_COUNT,
     .least = 1,
     .most = EVN_MOTORS_MAX,
     .fallback = 1,
     .offset = offsetof(evn_engagement_file, fewest),
     .help = "least number of motors that work; as many as there are: all of them always"},
    {.key = "price_kj",
     .shape = EVN_NUMBER,
     .least = 0.001,
     .most = 1e4,
     .usual_low = 0.01,
     .usual_high = 20,
     .fallback = 0.5,
     .offset = offsetof(evn_engagement_file, price_kj),
     .source = "common practice, no source",
     .help = "a change of their number is due once this much loss was forgone since a better one appeared"},
    {.key = "dwell_s",
     .shape = EVN_NUMBER,
     .least = 0.1,
     .most = 60,
     .usual_low = 0.5,
     .usual_high = 10,
     .fallback = 2,
     .offset = offsetof(evn_engagement_file, dwell_s),
     .source = "common practice, no source",
     .help = "shortest time until the next change, but when all are needed"},
};
static const evn_object engagement_object = {"engagement",
                                             "how many of the motors work; the number that loses least",
                                             sizeof(evn_engagement_file),
                                             engagement_fields,
                                             COUNT(engagement_fields),
                                             NULL};

static const evn_field branch_fields[] = {
    {.key = "axle",
     .shape = EVN_COUNT,
     .presence = EVN_REQUIRED,
     .least = 1,
     .most = 8,
     .offset = offsetof(evn_branch_file, axle),
     .help = "the axle driven by this branch, numbered from the front, from 1"},
    {.key = "torque_share",
     .shape = EVN_NUMBER,
     .least = 0.05,
     .most = 1,
     .usual_low = 0.3,
     .usual_high = 0.7,
     .fallback = 0.5,
     .offset = offsetof(evn_branch_file, torque_share),
     .help = "its part of the torque at the inter-axle differential, in proportion to those of the other branches"},
    {.key = "path",
     .shape = EVN_STEPS,
     .presence = EVN_REQUIRED,
     .offset = offsetof(evn_branch_file, path),
     .kinds = evn_stage_kind_rows,
     .count_least = 1,
     .count_most = 12,
     .help = "stages from the inter-axle differential to the wheels, in order; what only this axle's share of the "
             "torque passes, as the transfer gear and the second shaft of a through-drive"},
};
static const evn_object branch_object = {"branch",
                                         "from the inter-axle differential to the wheels of one axle",
                                         sizeof(evn_branch_file),
                                         branch_fields,
                                         COUNT(branch_fields),
                                         NULL};

static const evn_field unit_fields[] = {
    {.key = "axles",
     .shape = EVN_LIST,
     .presence = EVN_REQUIRED,
     .least = 1,
     .most = 8,
     .offset = offsetof(evn_unit_file, axles),
     .count_least = 1,
     .count_most = EVN_BRANCHES_MAX,
     .help = "the axle driven, numbered from the front, from 1; several need branches"},
    {.key = "motors",
     .shape = EVN_MANY,
     .presence = EVN_REQUIRED,
     .offset = offsetof(evn_unit_file, motors),
     .of = &motor_object,
     .count_least = 1,
     .count_most = EVN_MOTORS_MAX,
     .help = "the motors, by name; several are alike, turn together and share the torque"},
    {.key = "engagement",
     .shape = EVN_ONE,
     .presence = EVN_DEFAULTED,
     .offset = offsetof(evn_unit_file, engagement),
     .of = &engagement_object,
     .help = "how many of the motors work"},
    {.key = "idle_motors_stand_still",
     .shape = EVN_FLAG,
     .offset = offsetof(evn_unit_file, idle_motors_stand_still),
     .help = "true where a clutch at each motor frees it when it does not work; else it turns along, and its drag is "
             "paid"},
    {.key = "gearbox",
     .shape = EVN_ONE,
     .offset = offsetof(evn_unit_file, gearbox),
     .of = &gearbox_object,
     .help = "not given: the motor drives the path directly"},
    {.key = "path",
     .shape = EVN_STEPS,
     .offset = offsetof(evn_unit_file, path),
     .kinds = evn_stage_kind_rows,
     .count_most = 12,
     .help = "stages from the gearbox to the wheels, in order; with branches, to the inter-axle differential"},
    {.key = "branches",
     .shape = EVN_MANY,
     .offset = offsetof(evn_unit_file, branches),
     .of = &branch_object,
     .count_most = EVN_BRANCHES_MAX,
     .help = "by name, one for each driven axle where there are several"},
    {.key = "machine_behind_front_axle_m",
     .shape = EVN_NUMBER,
     .least = -2,
     .most = 20,
     .fallback = (double)NAN,
     .offset = offsetof(evn_unit_file, machine_behind_front_axle_m),
     .help =
         "where the centre of motors and gearbox hangs, behind the front axle; not given: at the (first) driven axle"},
    {.key = "machine_height_m",
     .shape = EVN_NUMBER,
     .most = 4,
     .fallback = 0.8,
     .offset = offsetof(evn_unit_file, machine_height_m),
     .help = "height of their centre above the road"},
};

/* One winding temperature stands for all motors of a unit. */
static void check_alike(const evn_unit_file *u, const evn_seat *seat, evn_report *report)
{
    const evn_motor_file *motor = u->motors.item;
    for (size_t k = 1; k < u->motors.count; k++) {
        const char *key = evn_motors_differ(&motor[0], &motor[k]);
        char path[160];
        if (!key)
            continue;
        snprintf(path, sizeof path, "motors.%.60s.%.60s", u->motors.name[k], key);
        evn_say_at(report, seat, EVN_FAULT_DISAGREES, path,
                   "motor %.60s differs from motor %.60s in %.60s; expected motors that are alike; unlike ones need "
                   "drive units of their own",
                   u->motors.name[k], u->motors.name[0], key);
    }
}

static bool is_disconnect(const evn_step *step)
{
    return strcmp(evn_stage_kind_rows[step->kind].key, "disconnect") == 0;
}

static void check_no_disconnect(const evn_steps *steps, const evn_seat *seat, const char *branch, evn_report *report)
{
    for (size_t k = 0; k < steps->count; k++) {
        char path[220];
        if (!is_disconnect(&steps->at[k]))
            continue;
        snprintf(path, sizeof path, "%.160s.path[%zu]", branch, k);
        evn_say_at(report, seat, EVN_FAULT_DISAGREES, path,
                   "a disconnect in a branch; expected it in the path before the inter-axle differential");
    }
}

/* One branch for each of several driven axles, and none without. */
static void check_branches(const evn_unit_file *u, const evn_seat *seat, evn_report *report)
{
    const evn_branch_file *branch = u->branches.item;
    size_t wanted = u->axles.count > 1 ? u->axles.count : 0;
    if (u->branches.count != wanted)
        evn_say_at(report, seat, EVN_FAULT_DISAGREES, u->branches.count ? "branches" : "axles",
                   "%zu branches for %zu driven axles; expected %s", u->branches.count, u->axles.count,
                   wanted ? "one branch for each" : "none, path leads to the wheels");
    for (size_t k = 0; k < u->branches.count; k++) {
        bool listed = false;
        char path[160];
        snprintf(path, sizeof path, "branches.%.100s", u->branches.name[k]);
        for (size_t i = 0; i < u->axles.count; i++)
            listed = listed || u->axles.at[i] == branch[k].axle;
        for (size_t i = 0; i < k; i++)
            if (branch[i].axle == branch[k].axle)
                evn_say_at(report, seat, EVN_FAULT_DISAGREES, path, "axle %g again; expected one branch for each axle",
                           branch[k].axle);
        if (!listed)
            evn_say_at(report, seat, EVN_FAULT_DISAGREES, path, "axle %g; expected one of the axles of the unit",
                       branch[k].axle);
        check_no_disconnect(&branch[k].path, seat, path, report);
    }
}

static void check_disconnects(const evn_unit_file *u, const evn_seat *seat, evn_report *report)
{
    size_t count = 0;
    for (size_t k = 0; k < u->path.count; k++) {
        char path[40];
        if (!is_disconnect(&u->path.at[k]) || count++ == 0)
            continue;
        snprintf(path, sizeof path, "path[%zu]", k);
        evn_say_at(report, seat, EVN_FAULT_DISAGREES, path, "a second disconnect; expected one at most");
    }
}

static double path_ratio(const evn_steps *path, evn_arena *arena)
{
    evn_lowering low = {.arena = arena};
    double ratio = 1;
    for (size_t k = 0; k < path->count; k++) {
        evn_stage_kinds[path->at[k].kind].lower(path->at[k].item, &low);
        for (size_t i = 0; i < low.count; i++)
            ratio *= low.stage[i].ratio;
    }
    return ratio;
}

/* Else the differential between the axles would work all the time, on a straight road too. */
static void check_one_ratio(const evn_unit_file *u, const evn_seat *seat, evn_report *report)
{
    static const double SAME = 1e-3;
    const evn_branch_file *branch = u->branches.item;
    evn_arena *arena = u->branches.count > 1 && evn_report_errors(report) == 0 ? evn_arena_new() : NULL;
    double first = arena ? path_ratio(&branch[0].path, arena) : 1;
    for (size_t k = 1; arena && k < u->branches.count; k++) {
        char at[160];
        double ratio = path_ratio(&branch[k].path, arena);
        snprintf(at, sizeof at, "branches.%.100s.path", u->branches.name[k]);
        if (fabs(ratio - first) > SAME * first)
            evn_say_at(
                report, seat, EVN_FAULT_DISAGREES, at,
                "a ratio of %.6g where branch %s has %.6g; expected one ratio for all axles behind an inter-axle "
                "differential",
                ratio, u->branches.name[0], first);
    }
    evn_arena_free(arena);
}

static bool has_kind(const evn_steps *steps, const char *kind)
{
    for (size_t k = 0; k < steps->count; k++)
        if (strcmp(evn_stage_kinds[steps->at[k].kind].key, kind) == 0)
            return true;
    return false;
}

/* What every driven axle has; without it the path loses about one per cent too little. */
static void check_whole(const evn_steps *path, const evn_seat *seat, const char *at, evn_report *report)
{
    bool differential = has_kind(path, "differential") || has_kind(path, "final_drive");
    bool wheel_end = has_kind(path, "wheel_end");
    if (differential && wheel_end)
        return;
    evn_say_at(report, seat, EVN_FAULT_UNUSUAL_VALUE, at,
               "a path without %s; usual is one with wheel_end and differential or final_drive: a loss is missing",
               differential ? "wheel_end"
               : wheel_end  ? "differential"
                            : "differential and wheel_end");
}

static void check_paths_whole(const evn_unit_file *u, const evn_seat *seat, evn_report *report)
{
    const evn_branch_file *branch = u->branches.item;
    char at[160];
    if (u->branches.count == 0)
        check_whole(&u->path, seat, "path", report);
    for (size_t k = 0; k < u->branches.count; k++) {
        snprintf(at, sizeof at, "branches.%.100s.path", u->branches.name[k]);
        check_whole(&branch[k].path, seat, at, report);
    }
}

static void check_unit(const void *self, const evn_seat *seat, evn_report *report)
{
    const evn_unit_file *u = self;
    for (size_t k = 0; k < u->axles.count; k++)
        if (u->axles.at[k] != floor(u->axles.at[k]))
            evn_say_at(report, seat, EVN_FAULT_OUT_OF_RANGE, "axles",
                       "axle %g; expected a whole number, counted from the front", u->axles.at[k]);
    check_alike(u, seat, report);
    check_branches(u, seat, report);
    check_disconnects(u, seat, report);
    check_paths_whole(u, seat, report);
    check_one_ratio(u, seat, report);
}
const evn_object evn_unit_object = {"drive_unit",          "motor, gearbox and the path to its axle",
                                    sizeof(evn_unit_file), unit_fields,
                                    COUNT(unit_fields),    check_unit};
