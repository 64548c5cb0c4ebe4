/* Field tables of a motor with its inverter, and whether its losses can belong to it. */
#include "core/uncertain.h"
#include "core/units.h"
#include "truck/truck.h"
#include "truck/unit.h"
#include "truck/usual.h"
#include <math.h>

#define COUNT(a) (sizeof(a) / sizeof *(a))

static const evn_field loss_fields[] = {
    {.key = "constant_w",
     .shape = EVN_NUMBER,
     .most = 1e5,
     .offset = offsetof(evn_motor_loss_file, constant_w),
     .uncertain = &evn_usual_motor_loss,
     .help = "c0 of the loss c0 + c1 w + c2 w^2 + c3 (T^2 + (peak torque x i_d)^2), w in rad/s: what is lost at rest "
             "without torque, while the motor is engaged; i_d as in field_weakening"},
    {.key = "speed_w_per_rad_s",
     .shape = EVN_NUMBER,
     .most = 1e4,
     .offset = offsetof(evn_motor_loss_file, speed_w_per_rad_s),
     .uncertain = &evn_usual_motor_loss,
     .help = "c1, hysteresis and bearings: loss per rad/s of rotor speed"},
    {.key = "speed_squared_w_per_rad2_s2",
     .shape = EVN_NUMBER,
     .most = 100,
     .offset = offsetof(evn_motor_loss_file, speed_squared_w_per_rad2_s2),
     .uncertain = &evn_usual_motor_loss,
     .help = "c2, eddy currents and windage: loss per (rad/s)2"},
    {.key = "torque_squared_w_per_nm2",
     .shape = EVN_NUMBER,
     .most = 100,
     .offset = offsetof(evn_motor_loss_file, torque_squared_w_per_nm2),
     .uncertain = &evn_usual_motor_loss,
     .help = "c3, copper: loss per Nm2"},
    {.key = "winding_degc",
     .shape = EVN_NUMBER,
     .least = -50,
     .most = 250,
     .fallback = 100,
     .offset = offsetof(evn_motor_loss_file, winding_degc),
     .help = "winding temperature at which the copper loss is stated; it grows with (235 + degC)",
     .source = "IEC 60034-1, from memory"},
    EVN_SOURCE_FIELD(evn_motor_loss_file),
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
    EVN_SOURCE_FIELD(evn_field_weakening_file),
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
     .uncertain = &evn_usual_inverter_loss,
     .help =
         "a of the loss a + b i + c i^2, i the current over its maximum, sqrt(t^2 + i_d^2) with t of the peak torque: "
         "loss without current, while the inverter runs"},
    {.key = "current_w",
     .shape = EVN_NUMBER,
     .most = 1e6,
     .offset = offsetof(evn_inverter_file, current_w),
     .uncertain = &evn_usual_inverter_loss,
     .help = "b: part of the loss at maximum current that grows with the current"},
    {.key = "current_squared_w",
     .shape = EVN_NUMBER,
     .most = 1e6,
     .offset = offsetof(evn_inverter_file, current_squared_w),
     .uncertain = &evn_usual_inverter_loss,
     .help = "c: part of the loss at maximum current that grows with its square"},
    {.key = "efficiency",
     .shape = EVN_NUMBER,
     .least = 0.5,
     .most = 1,
     .usual_low = 0.95,
     .usual_high = 0.99,
     .fallback = (double)NAN,
     .offset = offsetof(evn_inverter_file, efficiency),
     .uncertain = &evn_usual_inverter_efficiency,
     .help = "constant efficiency both ways, instead of the losses above"},
    {.key = "mass_kg",
     .shape = EVN_NUMBER,
     .most = 1000,
     .offset = offsetof(evn_inverter_file, mass_kg),
     .help = "mass, cables included"},
    {.key = "heat",
     .shape = EVN_ONE,
     .offset = offsetof(evn_inverter_file, heat),
     .of = &evn_inverter_heat_object,
     .help = "temperature of the inverter; not given: it does not derate"},
    EVN_SOURCE_FIELD(evn_inverter_file),
    EVN_UNCERTAIN_FIELD(evn_inverter_file),
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
     .help = "peak torque, up to base speed: peak power over peak torque; at rest torque_at_rest_share of it"},
    {.key = "peak_power_kw",
     .shape = EVN_NUMBER,
     .presence = EVN_REQUIRED,
     .least = 1,
     .most = 1e6,
     .usual_low = 60,
     .usual_high = 800,
     .offset = offsetof(evn_motor_file, peak_power_kw),
     .help = "peak shaft power at the reference voltage; follows the battery voltage"},
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
    {.key = "torque_at_rest_share",
     .shape = EVN_NUMBER,
     .least = 0.05,
     .most = 1,
     .usual_low = 0.5,
     .usual_high = 1,
     .fallback = 1,
     .offset = offsetof(evn_motor_file, torque_at_rest_share),
     .help = "torque at standstill over peak torque, pulling and pushing: there one phase of inverter and winding "
             "carries the whole current; with a share below 1 full_torque_from_rpm says from which speed all of it is "
             "there, s + (1 - s) (3 x^2 - 2 x^3) at x of that speed; what the standing phase is heated beyond the "
             "others is left out",
     .source = "common practice, no source"},
    {.key = "full_torque_from_rpm",
     .shape = EVN_NUMBER,
     .least = 1,
     .most = 1e6,
     .usual_low = 10,
     .usual_high = 1000,
     .fallback = (double)NAN,
     .offset = offsetof(evn_motor_file, full_torque_from_rpm),
     .help = "rotor speed from which peak torque is there, below base speed and top speed; goes with a "
             "torque_at_rest_share below 1",
     .source = "common practice, no source"},
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
     .uncertain = &evn_usual_motor_efficiency,
     .help = "constant efficiency both ways, instead of loss, field_weakening or a map: a first estimate, since losses "
             "without torque are left out; where a housing is stated they heat the winding, which is cautious"},
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
    {.key = "housing",
     .shape = EVN_ONE,
     .offset = offsetof(evn_motor_file, housing),
     .of = &evn_housing_object,
     .help = "temperature of the housing between winding and coolant: copper losses (c3 of loss, the like of a map's "
             "fit) heat the winding, all others the housing; where losses without torque would heat beyond "
             "derate_to_degc, a disconnect opens or the pulses go off; not given: all losses heat the winding"},
    {.key = "rated_continuous_torque_nm",
     .shape = EVN_NUMBER,
     .least = 1,
     .most = 1e7,
     .fallback = (double)NAN,
     .offset = offsetof(evn_motor_file, rated_continuous_torque_nm),
     .help = "continuous torque at base speed that the maker states; told beside that of the temperatures"},
    {.key = "rated_continuous_power_kw",
     .shape = EVN_NUMBER,
     .least = 1,
     .most = 1e6,
     .fallback = (double)NAN,
     .offset = offsetof(evn_motor_file, rated_continuous_power_kw),
     .help = "continuous power that the maker states; told beside the greatest of the temperatures"},
    {.key = "scale",
     .shape = EVN_ONE,
     .offset = offsetof(evn_motor_file, scale),
     .of = &evn_motor_scale_object,
     .help = "makes of all that is stated here, inverter included, that of a motor that is alike but for its active "
             "length or its turns; not given: the motor as it stands"},
    EVN_SOURCE_FIELD(evn_motor_file),
    EVN_UNCERTAIN_FIELD(evn_motor_file),
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

/* Peak torque must be reached before peak power takes over, or its key would state a torque that never is. */
static void check_rest(const evn_motor_file *m, const evn_seat *seat, evn_report *report)
{
    double base_rpm = m->peak_power_kw * 1e3 / m->peak_torque_nm / EVN_RAD_S_PER_RPM,
           from_rpm = m->full_torque_from_rpm;
    bool rises = m->torque_at_rest_share < 1;
    if (rises && isnan(from_rpm))
        evn_say_at(report, seat, EVN_FAULT_DISAGREES, "torque_at_rest_share",
                   "%g of peak torque at rest, and no speed from which all of it is there; expected "
                   "full_torque_from_rpm beside it",
                   m->torque_at_rest_share);
    else if (!rises && !isnan(from_rpm))
        evn_say_at(report, seat, EVN_FAULT_DISAGREES, "full_torque_from_rpm",
                   "a speed from which peak torque is there beside all of it at rest; expected a torque_at_rest_share "
                   "below 1, or neither");
    else if (rises && !(from_rpm < fmin(base_rpm, m->top_speed_rpm)))
        evn_say_at(report, seat, EVN_FAULT_DISAGREES, "full_torque_from_rpm",
                   "peak torque from %g rpm on; expected below %s, %.6g", from_rpm,
                   base_rpm < m->top_speed_rpm ? "base speed" : "top_speed_rpm", fmin(base_rpm, m->top_speed_rpm));
}

/* What a housing or a share of the inverter needs beside it. */
static void check_heat(const evn_motor_file *m, const evn_seat *seat, evn_report *report)
{
    if (m->housing && !m->winding)
        evn_say_at(report, seat, EVN_FAULT_DISAGREES, "housing", "a housing without a winding; expected both");
    if (m->housing && m->winding && !(m->winding->resistance_k_per_kw > 0))
        evn_say_at(report, seat, EVN_FAULT_DISAGREES, "winding.resistance_k_per_kw",
                   "no resistance between winding and housing; expected above 0");
    if (m->map && m->map->includes_inverter && m->winding && isnan(m->map->inverter_loss_share))
        evn_say_at(report, seat, EVN_FAULT_UNUSUAL_VALUE, "map.includes_inverter",
                   "the winding is heated with the inverter's losses too, which the map includes; usual is an "
                   "inverter_loss_share that parts them");
}

/* What `scale` cannot make of a motor; `m` is what it made. */
static void check_scale(const evn_motor_file *as_stated, const evn_motor_file *m, const evn_seat *seat,
                        evn_report *report)
{
    if (!as_stated->scale || as_stated->scale->base_speed == 1)
        return;
    double base_rpm = m->peak_power_kw * 1e3 / m->peak_torque_nm / EVN_RAD_S_PER_RPM;
    if (m->map)
        evn_say_at(report, seat, EVN_FAULT_DISAGREES, "scale.base_speed",
                   "other turns beside a loss map, whose losses from base speed on hold for its own; expected torque "
                   "alone, or loss and field_weakening instead of the map");
    if (base_rpm >= m->top_speed_rpm)
        evn_say_at(report, seat, EVN_FAULT_DISAGREES, "scale.base_speed",
                   "base speed would be %.6g rpm; expected below top_speed_rpm, %g, which other turns do not change",
                   base_rpm, m->top_speed_rpm);
}

static void check_motor(const void *self, const evn_seat *seat, evn_report *report)
{
    evn_scaled_motor room;
    const evn_motor_file *m = evn_motor_scaled(self, &room);
    check_scale(self, m, seat, report);
    evn_map_machine machine = {m->peak_torque_nm, m->peak_power_kw * 1e3, m->top_speed_rpm * EVN_RAD_S_PER_RPM,
                               m->reference_voltage_v};
    check_efficiency(m, seat, report);
    check_rest(m, seat, report);
    if (m->loss)
        check_losses(m, seat, report);
    if (m->loss && m->winding && !m->housing)
        check_runaway(m, loss_w(m, 0, m->top_speed_rpm, m->winding->derate_to_degc), seat, report);
    if (m->map && fits_beside_map(m, seat, report)) {
        check_reach(m, seat, report);
        double idle_w = evn_map_check(m->map, &machine, seat, report);
        if (!m->housing)
            check_runaway(m, (1 - fmax(m->map->inverter_loss_share, 0)) * idle_w, seat, report);
    }
    check_heat(m, seat, report);
    double base_rpm = m->peak_power_kw * 1e3 / m->peak_torque_nm / EVN_RAD_S_PER_RPM;
    if (base_rpm >= m->top_speed_rpm)
        evn_say_at(report, seat, EVN_FAULT_UNUSUAL_VALUE, "peak_power_kw",
                   "peak power would be reached at %.0f rpm; usual is below top_speed_rpm, %g", base_rpm,
                   m->top_speed_rpm);
}
const evn_object evn_motor_object = {
    "motor",    "electric machine with its inverter", sizeof(evn_motor_file), motor_fields, COUNT(motor_fields),
    check_motor};

const char *evn_motors_differ(const evn_motor_file *a, const evn_motor_file *b)
{
    return evn_object_differs(&evn_motor_object, a, b);
}
