/* The columns of a trace, each with its meaning and sign; one row of the list is one column. */
#include "trip/trace.h"
#include "core/units.h"
#include "pull/beside.h"
#include "pull/friction.h"
#include "trip/axle_brakes.h"
#include "trip/laws.h"
#include "trip/moment.h"
#include <math.h>

typedef struct instant {
    const evn_trip *trip;
    const evn_instant *is;
    double place_m;
    double t;
    size_t unit; /* of the columns that each drive unit has */
    const double *y;
    size_t axle; /* of the columns that each axle has */
    double friction_n[EVN_AXLES_MAX];
} instant;

static double time_s(const instant *i) { return i->t; }
static double place_m(const instant *i) { return i->place_m; }
static double speed(const instant *i) { return i->is->pull.at.speed_m_s / EVN_M_S_PER_KM_H; }
static double plan(const instant *i)
{
    size_t hint = i->trip->near_at;
    if (i->trip->motion != EVN_MOVING)
        return 0;
    return evn_plan_speed(i->trip->course, i->place_m, &hint) / EVN_M_S_PER_KM_H;
}
static double accel(const instant *i) { return i->is->accel_m_s2; }
static double grade(const instant *i) { return i->is->pull.at.tangent * 100; }
static double height(const instant *i)
{
    return evn_road_height_m(&i->trip->course->road[i->trip->road_at], i->place_m);
}
static double gear(const instant *i)
{
    const evn_box *box = &i->trip->box[i->unit];
    return box->shifting || evn_is_open(box->now) ? 0 : box->now.gear + 1;
}
static double engaged(const instant *i)
{
    const evn_box *box = &i->trip->box[i->unit];
    return box->shifting || box->resting ? 0 : (double)evn_engaged_count(box->now);
}
static double own_force(const instant *i) { return i->is->force_n[i->unit] / 1e3; }
static double unit_force(const instant *i) { return i->is->limited.unit_n / 1e3; }
static double brake_force(const instant *i) { return i->is->brake_n / 1e3; }
static double retarder_force(const instant *i) { return i->is->retarder_n / 1e3; }
static double resistor(const instant *i) { return i->is->resistor_w / 1e3; }
static double rolling_force(const instant *i) { return i->is->rolling_n / 1e3; }
static double air_force(const instant *i) { return i->is->air_n / 1e3; }
static double hubs_force(const instant *i) { return i->is->hubs_n / 1e3; }
static double grade_force(const instant *i) { return i->is->grade_n / 1e3; }
static double motor_speed(const instant *i)
{
    const evn_box *box = &i->trip->box[i->unit];
    if (evn_unit_takes_off(&i->is->pull.at, i->unit))
        return i->trip->rig->takeoff.motor_rad_s / EVN_RAD_S_PER_RPM;
    return (box->shifting ? box->rotor_rad_s : i->is->pull.team.unit[i->unit].motor_rad_s) / EVN_RAD_S_PER_RPM;
}
static double takeoff(const instant *i) { return i->is->flow.w[EVN_PTO] / 1e3; }
static double motor_torque(const instant *i) { return i->is->unit_motor_nm[i->unit]; }
static double winding(const instant *i)
{
    return evn_unit_winding_degc(&i->trip->rig->unit[i->unit], i->is->pull.at.unit[i->unit].degc);
}
static double coolant(const instant *i) { return i->is->pull.at.coolant_degc; }
static double battery_degc(const instant *i) { return i->is->pull.at.battery_degc; }
static double battery_gives(const instant *i) { return i->is->pull.feed.most_w / 1e3; }
static double battery_takes(const instant *i) { return i->is->pull.feed.charge_w / 1e3; }
static double fan(const instant *i) { return evn_fan_share(&i->trip->rig->cooling.fan, i->is->pull.at.coolant_degc); }
static double tyre_degc(const instant *i) { return i->trip->rig->tyres.warm_degc - i->is->pull.at.tyres_below_k; }
static double gearbox_oil(const instant *i)
{
    return evn_unit_oil_degc(&i->trip->rig->unit[i->unit], EVN_OIL_GEARBOX, i->is->pull.at.unit[i->unit].degc);
}
static double axle_oil(const instant *i)
{
    return evn_unit_oil_degc(&i->trip->rig->unit[i->unit], EVN_OIL_AXLE, i->is->pull.at.unit[i->unit].degc);
}
static double housing(const instant *i)
{
    return evn_unit_housing_degc(&i->trip->rig->unit[i->unit], i->is->pull.at.unit[i->unit].degc);
}
static double inverter(const instant *i)
{
    const evn_given *at = &i->is->pull.at;
    return evn_unit_inverter_degc(&at->rig->unit[i->unit], at->unit[i->unit].setting, at->unit[i->unit].degc,
                                  at->coolant_degc, &i->is->unit_flow[i->unit]);
}
static double motor_loss(const instant *i) { return i->is->unit_flow[i->unit].w[EVN_MOTOR] / 1e3; }
static double inverter_loss(const instant *i) { return i->is->unit_flow[i->unit].w[EVN_INVERTER] / 1e3; }
static double bus(const instant *i) { return i->is->unit_bus_w[i->unit] / 1e3; }
static double terminal(const instant *i) { return i->is->load_w / 1e3; }
static double battery(const instant *i) { return i->is->pull.feed.open_circuit_v * i->is->current_a / 1e3; }
static double limited_by(const instant *i) { return (double)i->trip->hold; }
static double soc(const instant *i) { return i->is->pull.at.soc; }
static double voltage(const instant *i)
{
    return i->is->pull.feed.open_circuit_v - i->is->current_a * i->is->pull.feed.resistance_ohm;
}
static double drawn_so_far(const instant *i)
{
    const evn_pack *p = &i->trip->rig->pack;
    return p->capacity_as * evn_curve_integral(&p->open_circuit_v, i->is->pull.at.soc, i->trip->start_soc) /
           EVN_J_PER_KWH;
}

typedef struct column {
    evn_quantity what;
    double (*of)(const instant *);
    enum { OF_TRUCK, PER_UNIT, PER_UNIT_OF_SEVERAL } kind;
    bool (*applies)(const evn_rig *, size_t unit); /* NULL: to all */
} column;

static bool has_loop(const evn_rig *r, size_t unit)
{
    (void)unit;
    return r->cooling.modelled;
}
static bool has_battery_heat(const evn_rig *r, size_t unit)
{
    (void)unit;
    return r->pack.heat.modelled;
}
static bool limits_differ(const evn_rig *r, size_t unit)
{
    (void)unit;
    return r->pack.out.share || r->pack.in.share;
}
static bool has_retarder(const evn_rig *r, size_t unit)
{
    (void)unit;
    return r->has_part[EVN_RETARDER];
}
static bool has_resistor(const evn_rig *r, size_t unit)
{
    (void)unit;
    return r->has_part[EVN_BRAKE_RESISTOR];
}
static bool has_takeoff(const evn_rig *r, size_t unit)
{
    (void)unit;
    return r->takeoff.there;
}
static bool has_hubs(const evn_rig *r, size_t unit)
{
    (void)unit;
    return r->has_hubs;
}
static bool has_gearbox_oil(const evn_rig *r, size_t unit) { return r->unit[unit].oil[EVN_OIL_GEARBOX].there; }
static bool has_axle_oil(const evn_rig *r, size_t unit) { return r->unit[unit].oil[EVN_OIL_AXLE].there; }
static bool has_tyre_warmth(const evn_rig *r, size_t unit)
{
    (void)unit;
    return r->tyres.law != EVN_ROLLING_RESISTANCE_LAW_CONSTANT;
}
static bool has_housing(const evn_rig *r, size_t unit) { return evn_unit_has_housing(&r->unit[unit]); }
static bool has_inverter_heat(const evn_rig *r, size_t unit) { return evn_unit_has_inverter_heat(&r->unit[unit]); }

#define IN_WORDS(name, key, label) ", " label
static const column columns[] = {
    {{"time_s", "s", "time since the start; rows at events come in pairs, before and after", EVN_REAL, 3, "time",
      "time"},
     time_s,
     OF_TRUCK},
    {{"place_m", "m", "distance along the route", EVN_REAL, 2, "distance along the route", "distance"},
     place_m,
     OF_TRUCK},
    {{"speed_km_h", "km/h", "speed of the truck", EVN_REAL, 3, "speed", "speed"}, speed, OF_TRUCK},
    {{"target_speed_km_h", "km/h", "target speed at this place, 0 at rest", EVN_REAL, 3, "target speed",
      "target speed"},
     plan,
     OF_TRUCK},
    {{"acceleration_m_s2", "m/s2", "acceleration", EVN_REAL, 4, "acceleration", "acceleration"}, accel, OF_TRUCK},
    {{"grade_percent", "%", "tangent of the slope angle, above zero uphill", EVN_REAL, 3, "grade", "grade"},
     grade,
     OF_TRUCK},
    {{"elevation_m", "m", "elevation above the start", EVN_REAL, 2, "elevation", "elevation"}, height, OF_TRUCK},
    {{"gear", "", "gear, 1 is the lowest; 0 during a gear change", EVN_WHOLE, 0, "gear", "gear"}, gear, PER_UNIT},
    {{"wheel_force_kn", "kN", "tractive effort of the motors at the driven tyres, above zero pulls the truck", EVN_REAL,
      4, "wheel force (tractive effort)", "wheel force"},
     unit_force,
     OF_TRUCK},
    {{"friction_brake_force_kn", "kN", "force of the friction brakes, above zero slows the truck", EVN_REAL, 4,
      "friction brake force", "friction brakes"},
     brake_force,
     OF_TRUCK},
    {{"rolling_resistance_kn", "kN", "rolling resistance, above zero slows the truck", EVN_REAL, 4,
      "rolling resistance", "rolling resistance"},
     rolling_force,
     OF_TRUCK},
    {{"air_drag_kn", "kN", "air drag, above zero slows the truck", EVN_REAL, 4, "air drag", "air drag"},
     air_force,
     OF_TRUCK},
    {{"grade_resistance_kn", "kN", "weight along the slope, above zero slows the truck", EVN_REAL, 4,
      "grade resistance", "grade resistance"},
     grade_force,
     OF_TRUCK},
    {{"motor_speed_rpm", "rpm", "rotor speed; during a gear change the speed it began with", EVN_REAL, 1, "motor speed",
      "motor speed"},
     motor_speed,
     PER_UNIT},
    {{"motor_torque_nm", "Nm", "torque of all motors of the unit, above zero pulls the truck", EVN_REAL, 2,
      "motor torque", "motor torque"},
     motor_torque,
     PER_UNIT},
    {{"winding_temperature_degc", "degC", "winding temperature", EVN_REAL, 2, "winding temperature", "winding temp."},
     winding,
     PER_UNIT},
    {{"motor_losses_kw", "kW", "losses of the motors", EVN_REAL, 4, "motor losses", "motor losses"},
     motor_loss,
     PER_UNIT},
    {{"inverter_losses_kw", "kW", "losses of the inverters", EVN_REAL, 4, "inverter losses", "inverter losses"},
     inverter_loss,
     PER_UNIT},
    {{"bus_kw", "kW", "power from the d.c. bus into the unit, below zero returned", EVN_REAL, 4, "power from d.c. bus",
      "d.c. bus power"},
     bus,
     PER_UNIT},
    {{"terminal_kw", "kW", "power at the terminals of the battery, above zero discharges", EVN_REAL, 4,
      "power at battery terminals", "terminal power"},
     terminal,
     OF_TRUCK},
    {{"battery_kw", "kW", "open-circuit voltage times current, above zero discharges", EVN_REAL, 4, "battery power",
      "battery power"},
     battery,
     OF_TRUCK},
    {{"battery_voltage_v", "V", "voltage at the terminals", EVN_REAL, 2, "battery voltage", "battery voltage"},
     voltage,
     OF_TRUCK},
    {{"soc", "", "state of charge, 0 to 1", EVN_REAL, 6, "state of charge", "state of charge"}, soc, OF_TRUCK},
    {{"battery_kwh", "kWh", "energy out of the battery since the start, net, before its internal resistance", EVN_REAL,
      5, "net battery energy", "net energy"},
     drawn_so_far,
     OF_TRUCK},
    {{"motors_engaged", "", "motors engaged; 0 while the gear changes, the disconnect is open or they rest", EVN_WHOLE,
      0, "motors engaged", "motors engaged"},
     engaged,
     PER_UNIT},
    {{"unit_wheel_force_kn", "kN", "its share of wheel_force_kn, below zero where it is dragged along", EVN_REAL, 4,
      "wheel force of the drive unit", "unit wheel force"},
     own_force,
     PER_UNIT_OF_SEVERAL},
    {{"coolant_temperature_degc", "degC", "temperature of the coolant loop", EVN_REAL, 2, "coolant temperature",
      "coolant temp."},
     coolant,
     OF_TRUCK,
     has_loop},
    {{"fan_speed_share", "", "speed of the radiator's fan, of its full speed", EVN_REAL, 4, "fan speed", "fan speed"},
     fan,
     OF_TRUCK,
     has_loop},
    {{"battery_temperature_degc", "degC", "temperature of the battery", EVN_REAL, 3, "battery temperature",
      "battery temp."},
     battery_degc,
     OF_TRUCK,
     has_battery_heat},
    {{"permitted_discharge_kw", "kW", "most power at the terminals, out of the battery, now", EVN_REAL, 2,
      "permitted discharging power", "permitted discharge"},
     battery_gives,
     OF_TRUCK,
     limits_differ},
    {{"permitted_charge_kw", "kW", "most power at the terminals, into the battery, now", EVN_REAL, 2,
      "permitted charging power", "permitted charge"},
     battery_takes,
     OF_TRUCK,
     limits_differ},
    {{"retarder_force_kn", "kN", "force of the retarder, above zero slows the truck", EVN_REAL, 4, "retarder force",
      "retarder"},
     retarder_force,
     OF_TRUCK,
     has_retarder},
    {{"brake_resistor_kw", "kW", "power that the brake resistor turns into heat", EVN_REAL, 4, "brake resistor power",
      "brake resistor"},
     resistor,
     OF_TRUCK,
     has_resistor},
    {{"housing_temperature_degc", "degC", "temperature of the motor's housing", EVN_REAL, 2, "housing temperature",
      "housing temp."},
     housing,
     PER_UNIT,
     has_housing},
    {{"inverter_temperature_degc", "degC", "temperature of the inverter where it is hottest", EVN_REAL, 2,
      "inverter temperature", "inverter temp."},
     inverter,
     PER_UNIT,
     has_inverter_heat},
    {{"hub_drag_kn", "kN", "drag of the hubs of all axles that turn, above zero slows the truck", EVN_REAL, 4,
      "hub drag", "hub drag"},
     hubs_force,
     OF_TRUCK,
     has_hubs},
    {{"power_take_off_kw", "kW", "mechanical power at the shaft of the power take-off", EVN_REAL, 4,
      "power of the power take-off", "power take-off"},
     takeoff,
     OF_TRUCK,
     has_takeoff},
    {{"tyre_temperature_degc", "degC", "temperature of the tyres", EVN_REAL, 2, "tyre temperature", "tyre temp."},
     tyre_degc,
     OF_TRUCK,
     has_tyre_warmth},
    {{"gearbox_oil_temperature_degc", "degC", "temperature of the oil of the gearbox", EVN_REAL, 2,
      "gearbox oil temperature", "gearbox oil temp."},
     gearbox_oil,
     PER_UNIT,
     has_gearbox_oil},
    {{"axle_oil_temperature_degc", "degC", "temperature of the oil of the axle gears", EVN_REAL, 2,
      "axle gear oil temperature", "axle oil temp."},
     axle_oil,
     PER_UNIT,
     has_axle_oil},
    {{"limited_by", "", "limit that acts, by its number; 0 is none, the others are, from 1" EVN_HOLDS(IN_WORDS),
      EVN_WHOLE, 0, "limited by", "limited by"},
     limited_by,
     OF_TRUCK},
};
#undef IN_WORDS
enum { COLUMNS = sizeof columns / sizeof *columns };

/* Of axles, behind those of the truck and its units, axle by axle. */
static double axle_friction(const instant *i) { return i->friction_n[i->axle] * i->is->pull.at.speed_m_s / 1e3; }
static double brake_degc(const instant *i) { return evn_axle_brake_degc(&i->trip->states, i->y, i->axle); }
static bool tells_friction(const evn_rig *r, size_t axle)
{
    (void)axle;
    return r->tells_friction;
}
static bool models_brake(const evn_rig *r, size_t axle) { return r->axle[axle].brake.modelled; }

typedef struct axle_column {
    evn_quantity what;
    double (*of)(const instant *);
    bool (*applies)(const evn_rig *, size_t axle);
} axle_column;

static const axle_column axle_columns[] = {
    {{"axle_friction_braking_kw", "kW", "power of the friction brakes of the axle", EVN_REAL, 3,
      "friction braking power of the axle", "axle friction power"},
     axle_friction,
     tells_friction},
    {{"axle_brake_temperature_degc", "degC", "temperature of the friction brakes of the axle", EVN_REAL, 2,
      "brake temperature of the axle", "axle brake temp."},
     brake_degc,
     models_brake},
};
enum { AXLE_COLUMNS = sizeof axle_columns / sizeof *axle_columns };
_Static_assert((int)COLUMNS *EVN_UNITS_MAX + (int)AXLE_COLUMNS * EVN_AXLES_MAX + EVN_CONSUMERS_MAX <= EVN_TRACE_MOST,
               "room for all columns of all units, axles and consumers");

/* Of consumers by cause, behind those of axles. */
static const evn_quantity consumer_column = {"consumer_kw", "kW", "power that the consumer draws from the d.c. bus",
                                             EVN_REAL,      4,    "power of the consumer",
                                             "consumer"};

/* The one so many places on among those of axles; NULL past the last. *axle is whose it is. */
static const axle_column *axle_column_at(const evn_rig *r, size_t index, size_t *axle)
{
    for (*axle = 0; *axle < r->axle_count; (*axle)++)
        for (size_t k = 0; k < AXLE_COLUMNS; k++)
            if (axle_columns[k].applies(r, *axle) && index-- == 0)
                return &axle_columns[k];
    return NULL;
}

static size_t axle_column_count(const evn_rig *r)
{
    size_t count = 0, axle;
    while (axle_column_at(r, count, &axle))
        count++;
    return count;
}

/* Of a truck with one drive unit in the order of the list; with several, first the truck's own, then unit by unit. */
static bool goes_with(const column *c, const evn_rig *r, bool truck_part, size_t unit)
{
    if (c->applies && !c->applies(r, unit))
        return false;
    if (r->unit_count == 1)
        return truck_part && c->kind != PER_UNIT_OF_SEVERAL;
    return truck_part == (c->kind == OF_TRUCK);
}

static size_t count_of(const evn_rig *r, bool truck_part, size_t unit)
{
    size_t count = 0;
    for (size_t k = 0; k < COLUMNS; k++)
        count += goes_with(&columns[k], r, truck_part, unit);
    return count;
}

size_t evn_trace_column_count(const evn_rig *r)
{
    size_t count = r ? count_of(r, true, 0) + axle_column_count(r) + r->loads.consumer_count : 0;
    for (size_t u = 0; r && u < r->unit_count; u++)
        count += count_of(r, false, u);
    return count;
}

/* The column so many places on, of those that go with the truck or with a unit; NULL past the last: *index is then how
 * many places further on it is. */
static const column *column_at(const evn_rig *r, bool truck_part, size_t unit, size_t *index)
{
    for (size_t k = 0; k < COLUMNS; k++)
        if (goes_with(&columns[k], r, truck_part, unit) && (*index)-- == 0)
            return &columns[k];
    return NULL;
}

bool evn_trace_column_at(const evn_rig *r, size_t index, evn_trace_column *out)
{
    const column *found = r && out ? column_at(r, true, 0, &index) : NULL;
    const char *unit = NULL;
    for (size_t u = 0; r && out && !found && u < r->unit_count; u++) {
        found = column_at(r, false, u, &index);
        unit = r->unit[u].name;
    }
    if (found)
        *out = (evn_trace_column){.what = found->what, .drive_unit = unit};
    if (found || !r || !out)
        return found;
    size_t axle, of_axles = axle_column_count(r);
    const axle_column *of_axle = axle_column_at(r, index, &axle);
    if (of_axle)
        *out = (evn_trace_column){.what = of_axle->what, .axle = r->axle[axle].name};
    if (of_axle || index - of_axles >= r->loads.consumer_count)
        return of_axle;
    *out = (evn_trace_column){.what = consumer_column, .consumer = r->loads.consumer[index - of_axles].name};
    return true;
}

bool evn_trace_quantity_at(size_t index, evn_quantity *out)
{
    if (!out || index > COLUMNS + AXLE_COLUMNS)
        return false;
    if (index == COLUMNS + AXLE_COLUMNS)
        *out = consumer_column;
    else
        *out = index < COLUMNS ? columns[index].what : axle_columns[index - COLUMNS].what;
    return true;
}

static void put_consumer_columns(const instant *i, double *row)
{
    const evn_loads *l = &i->trip->rig->loads;
    evn_loads_now now = evn_beside_now(&i->is->pull.at);
    for (size_t k = 0; k < l->consumer_count; k++)
        row[k] = evn_consumer_w(l, k, &now) / 1e3;
}

/* Returns where the next ones go. */
static double *put_axle_columns(instant *i, double *row)
{
    const evn_rig *r = i->trip->rig;
    if (!r->tells_friction)
        return row;
    evn_friction_forces(i->is, i->friction_n);
    for (i->axle = 0; i->axle < r->axle_count; i->axle++)
        for (size_t k = 0; k < AXLE_COLUMNS; k++)
            if (axle_columns[k].applies(r, i->axle))
                *row++ = axle_columns[k].of(i);
    return row;
}

void evn_trace_row(const evn_trip *trip, double t, const double *y, double *row)
{
    evn_instant is;
    evn_instant_at(trip, t, y, &is);
    instant i = {.trip = trip, .is = &is, .place_m = evn_trip_place_m(trip, t, y), .t = t, .y = y};
    size_t count = 0;
    for (size_t k = 0; k < COLUMNS; k++)
        if (goes_with(&columns[k], trip->rig, true, 0))
            row[count++] = columns[k].of(&i);
    for (i.unit = 0; i.unit < trip->rig->unit_count; i.unit++)
        for (size_t k = 0; k < COLUMNS; k++)
            if (goes_with(&columns[k], trip->rig, false, i.unit))
                row[count++] = columns[k].of(&i);
    put_consumer_columns(&i, put_axle_columns(&i, row + count));
}
