/* The motors of a unit over speed and torque: what they lose, what they can. */
#include "chart/chart.h"
#include "core/units.h"
#include "truck/steady.h"
#include <math.h>

enum { MAP_SPEEDS = 41, MAP_TORQUES = 41, ENVELOPE_SPEEDS = 81 };

/* Cold windings and the reference voltage: as the maker states the envelope. */
typedef struct bench {
    const evn_unit *unit;
    evn_setting all;
    evn_supply supply;
} bench;

static void set_bench(bench *b, const evn_unit *u)
{
    b->unit = u;
    b->all = evn_all_engaged(u, 0);
    b->supply = (evn_supply){evn_unit_reference_v(u), 1, 1};
}

typedef struct point { /* all motors together */
    double bus_w, loss_w;
} point;

static point point_at(const bench *b, double torque_nm, double motor_rad_s, const double degc[])
{
    const evn_unit *u = b->unit;
    evn_flow flow = {{0}};
    double wheel_rad_s = motor_rad_s / u->gear[b->all.gear].total_ratio;
    evn_shaft at = {evn_unit_wheel_nm(u, b->all, torque_nm, wheel_rad_s, 0, degc), wheel_rad_s, 0};
    double bus_w = evn_unit_draw_w(u, b->all, at, evn_unit_reference_v(u), degc, &flow, NULL);
    return (point){bus_w, flow.w[EVN_MOTOR] + flow.w[EVN_INVERTER]};
}

/* Motoring: shaft over bus; generating: bus over shaft. NAN where nothing useful comes out. */
static double efficiency_of(double shaft_w, double bus_w)
{
    if (shaft_w > 0 && bus_w > 0)
        return shaft_w / bus_w;
    return shaft_w < 0 && bus_w < 0 ? bus_w / shaft_w : (double)NAN;
}

static void add_map_row(evn_chart *chart, const bench *b, double motor_rad_s, double torque_nm)
{
    double most = evn_unit_most_motor_nm(b->unit, b->all, motor_rad_s, &b->supply), stated_degc[EVN_NODES_MAX];
    double *row = evn_chart_add_row(chart);
    if (!row)
        return;
    row[0] = motor_rad_s / EVN_RAD_S_PER_RPM;
    row[1] = torque_nm;
    if (fabs(torque_nm) > most * (1 + 1e-9))
        return;
    evn_unit_reference_degc(b->unit, stated_degc);
    point at = point_at(b, torque_nm, motor_rad_s, stated_degc);
    row[2] = at.loss_w / 1e3;
    row[3] = efficiency_of(torque_nm * motor_rad_s, at.bus_w);
}

evn_status evn_chart_motor(const evn_rig *r, size_t unit, evn_chart **out, evn_report *report)
{
    const evn_unit *u = &r->unit[unit];
    evn_chart *chart = evn_chart_begin(4, report);
    if (!chart)
        return EVN_NO_RESULT;
    evn_chart_add_column(chart, "speed_rpm", "rpm", "motor speed", "rotor speed", 0);
    evn_chart_add_column(chart, "torque_nm", "Nm", "motor torque", "of all motors of the unit together", 1);
    evn_chart_add_column(chart, "loss_kw", "kW", "losses", "of motors and inverters", 3);
    evn_chart_add_column(chart, "efficiency", "", "efficiency", "of motor and inverter; none beyond the peak", 4);
    bench b;
    set_bench(&b, u);
    for (int i = 0; i < MAP_SPEEDS; i++)
        for (int j = 0; j < MAP_TORQUES; j++)
            add_map_row(chart, &b, evn_unit_top_rad_s(u) * i / (MAP_SPEEDS - 1),
                        evn_unit_peak_nm(u) * (2.0 * j / (MAP_TORQUES - 1) - 1));
    return evn_chart_done(chart, out, report);
}

evn_status evn_chart_envelope(const evn_rig *r, size_t unit, evn_chart **out, evn_report *report)
{
    const evn_unit *u = &r->unit[unit];
    bench b;
    evn_chart *chart = evn_chart_begin(4, report);
    if (!chart)
        return EVN_NO_RESULT;
    evn_chart_add_column(chart, "speed_rpm", "rpm", "motor speed", "rotor speed", 0);
    evn_chart_add_column(chart, "peak_driving_nm", "Nm", "peak torque",
                         "peak torque of all motors of the unit, pulling", 1);
    evn_chart_add_column(chart, "peak_braking_nm", "Nm", "peak braking torque", "the same, braking", 1);
    evn_chart_add_column(chart, "continuous_nm", "Nm", "continuous torque",
                         "torque whose loss the coolant carries off for ever", 1);
    set_bench(&b, u);
    for (int i = 0; i < ENVELOPE_SPEEDS; i++) {
        double w = evn_unit_top_rad_s(u) * i / (ENVELOPE_SPEEDS - 1), *row = evn_chart_add_row(chart);
        if (!row)
            break;
        row[0] = w / EVN_RAD_S_PER_RPM;
        row[1] = evn_unit_most_motor_nm(u, b.all, w, &b.supply);
        row[2] = evn_unit_least_motor_nm(u, b.all, w, &b.supply);
        row[3] = evn_unit_continuous_nm(u, w);
    }
    return evn_chart_done(chart, out, report);
}
