/*
 * Everything that holds at one instant. The tyre force is the request: the acceleration asked for and the road say what
 * force is needed, limits cut it, the units share it, and from what each does follow acceleration, motor torque, bus
 * power and the power into every line of the ledger.
 */
#include "pull/instant.h"
#include "pull/beside.h"
#include "pull/member.h"
#include "pull/slowing.h"
#include "pull/team.h"
#include <math.h>
#include <string.h>

static void set_forces(evn_instant *n)
{
    const evn_pull *p = &n->pull;
    const evn_ground *road = &p->road;
    double asked = p->at.asked_m_s2;
    n->need_n = road->base_n + road->mass_kg * asked;
    n->want_n = evn_wanted_of_motors_n(p, &p->team, n->need_n, asked);
    n->limited = evn_pull_limited(p, n->want_n);
    double unit_n = n->limited.unit_n;
    n->accel_m_s2 = p->at.pull == EVN_FREE ? asked : evn_pull_accel(p, unit_n);
    bool brakes = p->at.push != EVN_FREE || (p->at.pull == EVN_FREE && n->want_n != n->need_n);
    double left_n = brakes ? unit_n - road->base_n - road->mass_kg * asked : 0;
    n->rest_n = left_n / road->brake_factor;
    evn_team_share(p, &p->team, unit_n, n->accel_m_s2, n->rest_n, n->force_n);
    n->retarder_n = evn_retarder_n(p, n->force_n, n->accel_m_s2, left_n);
    n->brake_n = (left_n - n->retarder_n) / road->brake_factor;
    n->air_n = road->air_n;
    n->grade_n = road->grade_n;
    n->hubs_n = road->hubs_n;
    n->rolling_n = road->rolling_at_rest_n + (road->mass_kg - p->at.rig->effective_kg) * n->accel_m_s2 +
                   (road->brake_factor - 1) * n->brake_n;
}

/* The brakes hold: no motion, no force that does work. */
static void set_rest(evn_instant *n)
{
    n->need_n = n->accel_m_s2 = n->brake_n = n->air_n = n->grade_n = n->rolling_n = n->hubs_n = 0;
    n->want_n = n->rest_n = n->retarder_n = 0;
    n->limited = (evn_limited){0};
    for (size_t u = 0; u < n->pull.at.rig->unit_count; u++)
        n->force_n[u] = 0;
}

/* What one unit draws, into its own flow. */
static void set_unit_power(evn_instant *n, size_t unit)
{
    const evn_pull *p = &n->pull;
    evn_flow *f = &n->unit_flow[unit];
    const evn_member *m = &p->team.unit[unit];
    *f = (evn_flow){{0}};
    n->unit_motor_nm[unit] = 0;
    if (!p->at.at_rest && m->connected) {
        evn_at_work w = evn_member_draw(p, unit, m, n->force_n[unit], n->accel_m_s2, f);
        n->unit_bus_w[unit] = w.bus_w;
        n->unit_motor_nm[unit] = w.motor_nm;
    } else if (evn_unit_takes_off(&p->at, unit)) {
        n->unit_bus_w[unit] = evn_unit_takeoff_w(p, f, &n->unit_motor_nm[unit]);
    } else {
        if (!p->at.at_rest)
            evn_member_dragged(p, unit, m, n->accel_m_s2, f);
        n->unit_bus_w[unit] = evn_unit_ready_w(&p->at.rig->unit[unit], m->setting, f);
    }
    n->bus_w += n->unit_bus_w[unit];
    if (!p->at.at_rest) /* that of a power take-off is no pull */
        n->motor_nm += n->unit_motor_nm[unit];
}

/* What runs is fed first; the battery takes as much of the rest as it may for any time. */
static double from_connector_w(const evn_instant *n)
{
    const evn_given *at = &n->pull.at;
    if (at->connector_w <= 0)
        return 0;
    double running_w = fmax(n->load_w, 0);
    evn_pack_now now = {at->soc, at->battery_degc, at->discharge_used, at->charge_used};
    double borne_w = evn_pack_charging(&at->rig->pack, &now, at->connector_w - running_w, (double)INFINITY).terminal_w;
    double battery_w = at->charged ? 0 : fmin(n->pull.feed.charge_w, borne_w);
    return fmin(at->connector_w, running_w + battery_w);
}

static void set_power(evn_instant *n)
{
    const evn_rig *r = n->pull.at.rig;
    double v = n->pull.at.at_rest ? 0 : n->pull.at.speed_m_s;
    evn_flow *f = &n->flow;
    n->bus_w = n->motor_nm = 0;
    *f = (evn_flow){{0}};
    for (size_t u = 0; u < r->unit_count; u++) {
        set_unit_power(n, u);
        f->w[EVN_KINETIC] += n->unit_flow[u].w[EVN_KINETIC];
        f->w[EVN_PTO] += n->unit_flow[u].w[EVN_PTO];
        for (int k = EVN_UNIT_LINES; k < EVN_LINE_COUNT; k++)
            f->w[k] += n->unit_flow[u].w[k];
    }
    n->load_w = n->bus_w + evn_beside_w(&n->pull.at, f, &n->takeoff);
    n->resistor_w = fmin(fmax(-n->load_w - n->pull.feed.charge_w, 0), r->resistor_w);
    if (n->resistor_w > 0) /* the pack is charged first */
        n->load_w += n->resistor_w;
    n->connector_w = from_connector_w(n);
    n->load_w -= n->connector_w;
    f->w[EVN_CHARGING] = -n->connector_w;
    f->w[EVN_BRAKE_RESISTOR] = n->resistor_w;
    f->w[EVN_RETARDER] = n->retarder_w = n->retarder_n * v;
    n->current_a = evn_pack_current_a(n->pull.feed.resistance_ohm, n->pull.feed.open_circuit_v, n->load_w);
    f->w[EVN_PACK] = n->current_a * n->current_a * n->pull.feed.resistance_ohm;
    f->w[EVN_ROLLING] = n->rolling_n * v;
    f->w[EVN_WHEEL_END] += n->hubs_n * v;
    f->w[EVN_AIR] = n->air_n * v;
    f->w[EVN_GRADE] = n->grade_n * v;
    f->w[EVN_FRICTION_BRAKES] = n->brake_n * v;
    f->w[EVN_KINETIC] += r->effective_kg * n->accel_m_s2 * v;
}

void evn_instant_make(evn_instant *n)
{
    evn_pull_make(&n->pull);
    if (n->pull.at.at_rest)
        set_rest(n);
    else
        set_forces(n);
    set_power(n);
}

evn_reach evn_instant_reach(const evn_instant *n)
{
    evn_reached_now now = {n->accel_m_s2, n->rest_n, n->limited.unit_n, n->force_n, n->unit_motor_nm};
    return evn_pull_reach(&n->pull, &now);
}

double evn_instant_floor_w(const evn_pull *p)
{
    evn_flow unbooked = {{0}};
    double sum = evn_beside_w(&p->at, &unbooked, NULL);
    for (size_t u = 0; u < p->at.rig->unit_count; u++)
        sum += evn_unit_takes_off(&p->at, u) ? evn_unit_takeoff_w(p, &unbooked, NULL)
                                             : evn_unit_ready_w(&p->at.rig->unit[u], p->at.unit[u].setting, &unbooked);
    return fmax(sum - p->at.connector_w, 0);
}

double evn_instant_to_coolant_w(const evn_instant *n)
{
    const evn_given *at = &n->pull.at;
    double sum = 0;
    for (size_t u = 0; u < at->rig->unit_count; u++)
        sum += evn_unit_to_coolant_w(&at->rig->unit[u], at->unit[u].degc, at->coolant_degc, &n->unit_flow[u]);
    return sum + at->rig->retarder.coolant_share * n->retarder_w;
}
