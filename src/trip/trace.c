/* The columns of a trace, each with its meaning and sign; one row of the list is one column. */
#include "trip/trace.h"
#include "core/units.h"
#include <math.h>

typedef struct instant {
    const evn_trip *trip;
    const evn_now *now;
    const double *y;
    double t;
} instant;

static double time_s(const instant *i) { return i->t; }
static double place_m(const instant *i) { return i->now->place_m; }
static double speed(const instant *i) { return i->now->speed_m_s / EVN_M_S_PER_KM_H; }
static double plan(const instant *i)
{
    size_t hint = i->trip->near_at;
    if (i->trip->motion != EVN_MOVING)
        return 0;
    return evn_plan_speed(i->trip->course, i->now->place_m, &hint) / EVN_M_S_PER_KM_H;
}
static double accel(const instant *i) { return i->now->accel_m_s2; }
static double grade(const instant *i) { return i->now->tangent * 100; }
static double height(const instant *i)
{
    return evn_road_height_m(&i->trip->course->road[i->trip->road_at], i->now->place_m);
}
static double gear(const instant *i) { return i->trip->box[0].shifting ? 0 : i->trip->box[0].now.gear + 1; }
static double unit_force(const instant *i) { return i->now->unit_n / 1e3; }
static double brake_force(const instant *i) { return i->now->brake_n / 1e3; }
static double rolling_force(const instant *i) { return i->now->rolling_n / 1e3; }
static double air_force(const instant *i) { return i->now->air_n / 1e3; }
static double grade_force(const instant *i) { return i->now->grade_n / 1e3; }
static double motor_speed(const instant *i)
{
    return (i->trip->box[0].shifting ? i->trip->box[0].rotor_rad_s : i->now->motor_rad_s) / EVN_RAD_S_PER_RPM;
}
static double motor_torque(const instant *i) { return i->now->motor_nm; }
static double winding(const instant *i) { return i->y[EVN_Y_WINDING]; }
static double motor_loss(const instant *i) { return i->now->flow.w[EVN_MOTOR] / 1e3; }
static double inverter_loss(const instant *i) { return i->now->flow.w[EVN_INVERTER] / 1e3; }
static double bus(const instant *i) { return i->now->bus_w / 1e3; }
static double terminal(const instant *i) { return i->now->load_w / 1e3; }
static double battery(const instant *i) { return i->now->open_circuit_v * i->now->current_a / 1e3; }
static double soc(const instant *i) { return i->now->soc; }
static double voltage(const instant *i)
{
    return i->now->open_circuit_v - i->now->current_a * i->trip->rig->pack.resistance_ohm;
}
static double drawn_so_far(const instant *i)
{
    const evn_pack *p = &i->trip->rig->pack;
    return p->capacity_as * evn_curve_integral(&p->open_circuit_v, i->now->soc, i->trip->rig->start_soc) /
           EVN_J_PER_KWH;
}

typedef struct column {
    evn_quantity what;
    double (*of)(const instant *);
} column;

static const column columns[EVN_TRACE_COLUMNS] = {
    {{"time_s", "s", "time since the start; rows at events come in pairs, before and after", EVN_REAL, 3}, time_s},
    {{"place_m", "m", "distance along the road", EVN_REAL, 2}, place_m},
    {{"speed_km_h", "km/h", "speed of the truck", EVN_REAL, 3}, speed},
    {{"plan_km_h", "km/h", "speed of the plan at this place, 0 at rest", EVN_REAL, 3}, plan},
    {{"accel_m_s2", "m/s2", "acceleration", EVN_REAL, 4}, accel},
    {{"grade_percent", "%", "tangent of the slope angle, above zero uphill", EVN_REAL, 3}, grade},
    {{"height_m", "m", "height above the start", EVN_REAL, 2}, height},
    {{"gear", "", "gear, 1 is the lowest; 0 during a gear change", EVN_WHOLE, 0}, gear},
    {{"tyre_force_kn", "kN", "force of the motors at the driven tyres, above zero pulls the truck", EVN_REAL, 4},
     unit_force},
    {{"brake_force_kn", "kN", "force of the friction brakes, above zero slows the truck", EVN_REAL, 4}, brake_force},
    {{"rolling_force_kn", "kN", "rolling resistance, above zero slows the truck", EVN_REAL, 4}, rolling_force},
    {{"air_force_kn", "kN", "air drag, above zero slows the truck", EVN_REAL, 4}, air_force},
    {{"grade_force_kn", "kN", "weight along the slope, above zero slows the truck", EVN_REAL, 4}, grade_force},
    {{"motor_speed_rpm", "rpm", "rotor speed; during a gear change the speed it began with", EVN_REAL, 1}, motor_speed},
    {{"motor_torque_nm", "Nm", "torque of all motors of the unit, above zero pulls the truck", EVN_REAL, 2},
     motor_torque},
    {{"winding_degc", "degC", "winding temperature", EVN_REAL, 2}, winding},
    {{"motor_loss_kw", "kW", "loss of the motors", EVN_REAL, 4}, motor_loss},
    {{"inverter_loss_kw", "kW", "loss of the inverters", EVN_REAL, 4}, inverter_loss},
    {{"bus_kw", "kW", "power from the d.c. bus into the unit, below zero returned", EVN_REAL, 4}, bus},
    {{"terminal_kw", "kW", "power at the terminals of the pack, above zero discharges", EVN_REAL, 4}, terminal},
    {{"battery_kw", "kW", "open-circuit voltage times current, above zero discharges", EVN_REAL, 4}, battery},
    {{"pack_voltage_v", "V", "voltage at the terminals", EVN_REAL, 2}, voltage},
    {{"soc", "", "state of charge, 0 to 1", EVN_REAL, 6}, soc},
    {{"battery_kwh", "kWh", "energy out of the pack since the start, net, inside its resistance", EVN_REAL, 5},
     drawn_so_far},
};

const evn_quantity *evn_trace_quantity(size_t index) { return index < EVN_TRACE_COLUMNS ? &columns[index].what : NULL; }

void evn_trace_row(const evn_trip *trip, double t, const double *y, double *row)
{
    evn_now n;
    evn_now_at(trip, t, y, &n);
    instant i = {trip, &n, y, t};
    for (size_t k = 0; k < EVN_TRACE_COLUMNS; k++)
        row[k] = columns[k].of(&i);
}
