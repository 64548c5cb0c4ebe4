/* The power take-off made ready, and what it draws. */
#include "truck/takeoff_draw.h"
#include "core/units.h"
#include "truck/unit.h"
#include <math.h>

static double drag_nm(const evn_takeoff *t, const evn_unit *u)
{
    bool turns = !t->own && u->takeoff.drags;
    return turns ? evn_stage_drag_nm(&u->takeoff.drag, t->motor_rad_s, NULL) : 0;
}

double evn_takeoff_motor_nm(const evn_takeoff *t, const evn_unit *u, double shaft_w)
{
    return shaft_w / (t->efficiency * t->motor_rad_s) + drag_nm(t, u);
}

double evn_takeoff_shaft_w(const evn_takeoff *t, const evn_unit *u, double motor_nm)
{
    return fmax(motor_nm - drag_nm(t, u), 0) * t->efficiency * t->motor_rad_s;
}

double evn_takeoff_gear_w(const evn_takeoff *t, const evn_unit *u, double shaft_w)
{
    return shaft_w * (1 / t->efficiency - 1) + drag_nm(t, u) * t->motor_rad_s;
}

evn_takeoff_flow evn_takeoff_own(const evn_takeoff *t, double shaft_w)
{
    evn_setting on = evn_all_engaged(t->own, 0);
    evn_takeoff_flow f = {.shaft_w = shaft_w, .gear_w = evn_takeoff_gear_w(t, t->own, shaft_w)};
    double degc[EVN_NODES_MAX];
    evn_flow flow = {{0}};
    if (shaft_w <= 0)
        return (evn_takeoff_flow){0};
    evn_unit_reference_degc(t->own, degc);
    f.bus_w = evn_unit_motors_w(t->own, on, evn_takeoff_motor_nm(t, t->own, shaft_w), t->motor_rad_s,
                                evn_unit_reference_v(t->own), degc, &flow);
    f.motor_w = flow.w[EVN_MOTOR];
    f.inverter_w = flow.w[EVN_INVERTER];
    return f;
}

/* False: memory ran out. */
static bool make_own(const evn_motor_file *f, evn_arena *arena, evn_takeoff *to)
{
    evn_unit *own = evn_arena_take(arena, sizeof *own);
    if (!own)
        return false;
    *own = (evn_unit){.name = "power take-off", .motor_count = 1};
    to->own = own;
    return evn_motor_prepare(f, arena, &own->motor[0]);
}

/* By permitted torque, and by what the motors have at the voltage of their data. */
static void set_most(evn_takeoff *to, const evn_unit *u, double permitted_nm)
{
    evn_supply whole = {evn_unit_reference_v(u), 1, 1};
    double motor_nm = evn_unit_most_motor_nm(u, evn_all_engaged(u, 0), to->motor_rad_s, &whole);
    double by_motor_w = evn_takeoff_shaft_w(to, u, motor_nm), by_shaft_w = permitted_nm * to->shaft_rad_s;
    to->most_w = fmin(by_motor_w, by_shaft_w);
    to->limit = by_motor_w < by_shaft_w ? "what its motors have" : "the torque that its shaft is permitted";
}

static evn_takeoff_flow times(evn_takeoff_flow f, double share)
{
    return (evn_takeoff_flow){share * f.bus_w, share * f.shaft_w, share * f.gear_w, share * f.motor_w,
                              share * f.inverter_w};
}

bool evn_takeoff_make(const evn_truck_file *t, const evn_unit *units, evn_arena *arena, evn_takeoff *to)
{
    const evn_power_take_off_file *f = t->power_take_off;
    *to = (evn_takeoff){.there = f && (evn_takeoff_is_by_unit(t) || f->motor)};
    if (!to->there)
        return true;
    to->unit = evn_takeoff_offering(t);
    to->shaft_rad_s = f->speed_rpm * EVN_RAD_S_PER_RPM;
    to->stop = (evn_takeoff_ask){f->stop_kw * 1e3, f->stop_s};
    if (evn_takeoff_is_by_unit(t)) {
        const evn_unit_takeoff *offered = &units[to->unit].takeoff;
        to->motor_rad_s = to->shaft_rad_s * offered->ratio;
        to->efficiency = offered->efficiency;
        set_most(to, &units[to->unit], offered->torque_limit_nm);
        return true;
    }
    to->motor_rad_s = to->shaft_rad_s * f->motor_ratio;
    to->efficiency = f->motor_gear_efficiency;
    if (!make_own(f->motor, arena, to))
        return false;
    set_most(to, to->own, (double)INFINITY);
    to->running_w = f->running_share * f->running_kw * 1e3;
    to->running = times(evn_takeoff_own(to, f->running_kw * 1e3), f->running_share);
    return true;
}
