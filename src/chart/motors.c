/* The motors of a unit over speed and torque: what they lose, what they can. */
#include "chart/motors.h"
#include "chart/chart.h"
#include "core/units.h"
#include <math.h>

enum { MAP_SPEEDS = 41, MAP_TORQUES = 41, ENVELOPE_SPEEDS = 81 };

static evn_setting all_motors(const evn_unit *u) { return (evn_setting){0, (uint8_t)((1u << u->motor_count) - 1u)}; }

/* Cold windings and the reference voltage: as the maker states the envelope. */
static evn_supply reference_supply(const evn_unit *u)
{
    const evn_motor *m = &u->motor[0];
    return (evn_supply){m->reference_v, m->has_winding ? m->coolant_degc : m->reference_degc, 1};
}

static double peak_nm(const evn_unit *u)
{
    double sum = 0;
    for (size_t i = 0; i < u->motor_count; i++)
        sum += u->motor[i].peak_nm;
    return sum;
}

typedef struct point { /* all motors together */
    double bus_w, motor_loss_w, loss_w;
} point;

static point point_at(const evn_unit *u, double torque_nm, double motor_rad_s, double winding_degc)
{
    evn_setting s = all_motors(u);
    evn_flow flow = {{0}};
    double wheel_rad_s = motor_rad_s / u->gear[s.gear].total_ratio;
    evn_shaft at = {evn_unit_wheel_nm(u, s, torque_nm, wheel_rad_s, 0), wheel_rad_s, 0};
    double bus_w = evn_unit_draw_w(u, s, at, u->motor[0].reference_v, winding_degc, &flow, NULL);
    return (point){bus_w, flow.w[EVN_MOTOR], flow.w[EVN_MOTOR] + flow.w[EVN_INVERTER]};
}

/* Motoring: shaft over bus; generating: bus over shaft. NAN where nothing useful comes out. */
static double efficiency_of(double shaft_w, double bus_w)
{
    if (shaft_w > 0 && bus_w > 0)
        return shaft_w / bus_w;
    return shaft_w < 0 && bus_w < 0 ? bus_w / shaft_w : (double)NAN;
}

static void add_map_row(evn_chart *chart, const evn_unit *u, double motor_rad_s, double torque_nm)
{
    evn_supply supply = reference_supply(u);
    double most = evn_unit_most_motor_nm(u, all_motors(u), motor_rad_s, &supply);
    double *row = evn_chart_add_row(chart);
    if (!row)
        return;
    row[0] = motor_rad_s / EVN_RAD_S_PER_RPM;
    row[1] = torque_nm;
    if (fabs(torque_nm) > most * (1 + 1e-9))
        return;
    point at = point_at(u, torque_nm, motor_rad_s, u->motor[0].reference_degc);
    row[2] = at.loss_w / 1e3;
    row[3] = efficiency_of(torque_nm * motor_rad_s, at.bus_w);
}

evn_status evn_chart_motor(const evn_rig *r, size_t unit, evn_chart **out, evn_report *report)
{
    const evn_unit *u = &r->unit[unit];
    evn_chart *chart = evn_chart_begin(4, report);
    if (!chart)
        return EVN_NO_RESULT;
    evn_chart_add_column(chart, "speed_rpm", "rpm", "rotor speed", 0);
    evn_chart_add_column(chart, "torque_nm", "Nm", "of all motors of the unit together", 1);
    evn_chart_add_column(chart, "loss_kw", "kW", "of motors and inverters", 3);
    evn_chart_add_column(chart, "efficiency", "", "of motor and inverter; none beyond the peak", 4);
    for (int i = 0; i < MAP_SPEEDS; i++)
        for (int j = 0; j < MAP_TORQUES; j++)
            add_map_row(chart, u, evn_unit_top_rad_s(u) * i / (MAP_SPEEDS - 1),
                        peak_nm(u) * (2.0 * j / (MAP_TORQUES - 1) - 1));
    return evn_chart_done(chart, out, report);
}

double evn_chart_continuous_nm(const evn_unit *u, double motor_rad_s)
{
    const evn_motor *m = &u->motor[0];
    evn_supply supply = reference_supply(u);
    if (!m->has_winding)
        return (double)NAN;
    double low = 0, high = evn_unit_most_motor_nm(u, all_motors(u), motor_rad_s, &supply);
    double bearable_w = (m->derate_from_degc - m->coolant_degc) / m->resistance_k_w * (double)u->motor_count;
    if (point_at(u, high, motor_rad_s, m->derate_from_degc).motor_loss_w <= bearable_w)
        return high;
    if (point_at(u, low, motor_rad_s, m->derate_from_degc).motor_loss_w >= bearable_w)
        return 0;
    for (int k = 0; k < 50; k++) { /* losses rise with torque */
        double middle = 0.5 * (low + high);
        if (point_at(u, middle, motor_rad_s, m->derate_from_degc).motor_loss_w < bearable_w)
            low = middle;
        else
            high = middle;
    }
    return low;
}

evn_status evn_chart_envelope(const evn_rig *r, size_t unit, evn_chart **out, evn_report *report)
{
    const evn_unit *u = &r->unit[unit];
    evn_supply supply = reference_supply(u);
    evn_chart *chart = evn_chart_begin(4, report);
    if (!chart)
        return EVN_NO_RESULT;
    evn_chart_add_column(chart, "speed_rpm", "rpm", "rotor speed", 0);
    evn_chart_add_column(chart, "most_nm", "Nm", "peak torque of all motors of the unit, pulling", 1);
    evn_chart_add_column(chart, "least_nm", "Nm", "the same, braking", 1);
    evn_chart_add_column(chart, "continuous_nm", "Nm", "torque whose loss the coolant carries off for ever", 1);
    for (int i = 0; i < ENVELOPE_SPEEDS; i++) {
        double w = evn_unit_top_rad_s(u) * i / (ENVELOPE_SPEEDS - 1), *row = evn_chart_add_row(chart);
        if (!row)
            break;
        row[0] = w / EVN_RAD_S_PER_RPM;
        row[1] = evn_unit_most_motor_nm(u, all_motors(u), w, &supply);
        row[2] = evn_unit_least_motor_nm(u, all_motors(u), w, &supply);
        row[3] = evn_chart_continuous_nm(u, w);
    }
    return evn_chart_done(chart, out, report);
}
