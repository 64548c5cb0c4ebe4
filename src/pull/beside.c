/* What is drawn at an instant beside the motors' pull: consumers by cause, and the power take-off. */
#include "pull/beside.h"
#include <math.h>

static double engaged_units(const evn_given *at)
{
    double count = 0;
    for (size_t u = 0; u < at->rig->unit_count; u++) {
        const evn_unit_given *unit = &at->unit[u];
        count += !unit->shifting && !unit->setting.pulses_off && !evn_is_open(unit->setting);
    }
    return count;
}

static double rejected_w(const evn_given *at)
{
    const evn_rig *r = at->rig;
    double air_m_s = (at->at_rest ? 0 : at->speed_m_s) + evn_pull_headwind_m_s(at);
    if (!r->cooling.modelled)
        return 0;
    return fmax(at->coolant_degc - r->ambient_degc, 0) * evn_cooling_w_k(&r->cooling, air_m_s, at->coolant_degc);
}

evn_loads_now evn_beside_now(const evn_given *at)
{
    return (evn_loads_now){.moving = !at->at_rest,
                           .making_up = at->making_up,
                           .engaged_units = engaged_units(at),
                           .rejected_w = rejected_w(at)};
}

/* Work of a stop goes before what is asked from start to end. */
static evn_takeoff_flow by_own_motor(const evn_given *at)
{
    const evn_takeoff *t = &at->rig->takeoff;
    return at->takeoff_w > 0 ? evn_takeoff_own(t, at->takeoff_w) : t->running;
}

double evn_beside_causes_w(const evn_given *at, evn_flow *flow, evn_takeoff_flow *own)
{
    double w = 0;
    if (at->rig->loads.consumer_count > 0) {
        evn_loads_now now = evn_beside_now(at);
        w += evn_consumers_w(&at->rig->loads, &now, flow);
    }
    if (!at->rig->takeoff.own)
        return w;
    evn_takeoff_flow f = by_own_motor(at);
    flow->w[EVN_PTO] += f.shaft_w;
    flow->w[EVN_GEARBOX] += f.gear_w;
    flow->w[EVN_MOTOR] += f.motor_w;
    flow->w[EVN_INVERTER] += f.inverter_w;
    if (own)
        *own = f;
    return w + f.bus_w;
}

/* Most torque of all motors at the speed of the work. */
static double most_nm(const evn_pull *p, const evn_unit *u, evn_setting s, double rad_s)
{
    const double *degc = p->at.unit[p->at.rig->takeoff.unit].degc;
    evn_supply supply = {p->feed.pull_v, evn_unit_torque_share(u, degc), 1};
    double most = evn_unit_most_motor_nm(u, s, rad_s, &supply), hot_degc;
    if (!evn_unit_has_quick_inverter(u))
        return most;
    evn_turning at = {s, rad_s, p->feed.open_circuit_v, p->at.coolant_degc};
    evn_supply whole = {p->feed.pull_v, 1, 1};
    double full_nm = evn_unit_most_motor_nm(u, s, rad_s, &whole);
    return fmin(most, evn_unit_quick_share(u, &at, full_nm, degc, &hot_degc) * full_nm);
}

double evn_unit_takeoff_w(const evn_pull *p, evn_flow *flow, double *motor_nm)
{
    const evn_takeoff *t = &p->at.rig->takeoff;
    const evn_unit *u = &p->at.rig->unit[t->unit];
    const evn_unit_given *now = &p->at.unit[t->unit];
    double nm = evn_takeoff_motor_nm(t, u, p->at.takeoff_w), most = most_nm(p, u, now->setting, t->motor_rad_s);
    double shaft_w = nm > most ? evn_takeoff_shaft_w(t, u, most) : p->at.takeoff_w;
    nm = fmin(nm, evn_takeoff_motor_nm(t, u, shaft_w));
    flow->w[EVN_PTO] += shaft_w;
    flow->w[EVN_GEARBOX] += evn_takeoff_gear_w(t, u, shaft_w);
    if (motor_nm)
        *motor_nm = nm;
    return evn_unit_motors_w(u, now->setting, nm, t->motor_rad_s, p->feed.open_circuit_v, now->degc, flow);
}
