/* What is known at an instant before any force: resistances of the road, what the pack allows, the units. */
#include "pull/pull.h"
#include <math.h>

/* ------------------------------------------------------------------------------------------------ road */

static bool wind_is_known(const evn_given *at)
{
    return at->rig->wind.speed_m_s > 0 && at->has_heading && !isnan(at->rig->wind.from_rad);
}

double evn_pull_headwind_m_s(const evn_given *at)
{
    const evn_wind *w = &at->rig->wind;
    double own = at->rig->headwind_m_s;
    return wind_is_known(at) ? own + w->speed_m_s * cos(w->from_rad - at->heading_rad) : own;
}

static double air_n(const evn_given *at)
{
    const evn_rig *r = at->rig;
    const evn_wind *w = &r->wind;
    double along = at->speed_m_s + r->headwind_m_s;
    if (w->speed_m_s <= 0)
        return r->air_kg_m * along * fabs(along);
    if (!wind_is_known(at))
        return r->air_kg_m * evn_wind_mean_squared(w, along);
    double from = w->from_rad - at->heading_rad;
    return r->air_kg_m * evn_wind_squared(w, along + w->speed_m_s * cos(from), w->speed_m_s * sin(from));
}

static void set_road(const evn_given *at, evn_ground *road)
{
    const evn_rig *r = at->rig;
    double v = at->speed_m_s, g = r->gravity_m_s2;
    road->slope_cos = 1 / sqrt(1 + at->tangent * at->tangent);
    road->slope_sin = at->tangent * road->slope_cos;
    road->air_n = air_n(at);
    road->grade_n = r->mass_kg * g * road->slope_sin;
    const evn_axle_load *rolling = at->start_aid ? &r->start_aid.rolling : &r->rolling;
    const evn_axle_load *rolling_s_m = at->start_aid ? &r->start_aid.rolling_s_m : &r->rolling_s_m;
    double factor = at->rolling_factor;
    if (r->tyres.law != EVN_ROLLING_RESISTANCE_LAW_CONSTANT)
        factor *= evn_tyre_factor(&r->tyres, at->tyres_below_k);
    double cosine = factor * (rolling->cosine_kg + rolling_s_m->cosine_kg * v);
    double along = factor * (rolling->along_kg + rolling_s_m->along_kg * v);
    road->rolling_at_rest_n = g * (cosine * road->slope_cos + along * road->slope_sin);
    road->hubs_n = evn_hubs_n(at->start_aid ? &r->start_aid.hubs : &r->hubs, v);
    road->base_n = road->air_n + road->grade_n + road->rolling_at_rest_n + road->hubs_n;
    road->mass_kg = r->effective_kg + along;
    road->brake_factor = 1 + factor * (rolling->brake + rolling_s_m->brake * v);
}

double evn_pull_accel(const evn_pull *p, double force_n)
{
    return p->at.steady ? p->at.asked_m_s2 : (force_n - p->road.base_n) / p->road.mass_kg;
}

/* ------------------------------------------------------------------------------------------------ pack */

evn_fade evn_fade_side(const evn_rig *r, double v)
{
    return v > r->fade_from_m_s ? EVN_FADE_ABOVE : v > r->fade_to_m_s ? EVN_FADE_WITHIN : EVN_FADE_BELOW;
}

/*
 * While the motors' braking torque binds, the side of the fade is discrete state: a fade without width is a jump, which
 * no rate may show before its event.
 */
static double fade_share(const evn_given *at)
{
    const evn_rig *r = at->rig;
    evn_fade side = at->fade == EVN_FADE_BY_SPEED ? evn_fade_side(r, at->speed_m_s) : at->fade;
    if (!r->regeneration || side == EVN_FADE_BELOW)
        return 0;
    if (side == EVN_FADE_ABOVE)
        return 1;
    return fmin(fmax((at->speed_m_s - r->fade_to_m_s) / (r->fade_from_m_s - r->fade_to_m_s), 0), 1);
}

static double limit_voltage_v(const evn_feed *f, double terminal_w)
{
    return f->open_circuit_v - f->resistance_ohm * evn_pack_current_a(f->resistance_ohm, f->open_circuit_v, terminal_w);
}

evn_pack_now evn_pack_now_of(const evn_given *at)
{
    return (evn_pack_now){at->soc, at->battery_degc, at->discharge_used, at->charge_used};
}

static void set_feed(const evn_given *at, evn_feed *f)
{
    evn_pack_now now = evn_pack_now_of(at);
    evn_pack_able able = evn_pack_at(&at->rig->pack, &now);
    f->open_circuit_v = able.open_circuit_v;
    f->resistance_ohm = able.resistance_ohm;
    f->out = able.out;
    f->in = able.in;
    f->most_w = able.most_w;
    f->charge_w = able.charge_w;
    f->taken_w = f->charge_w + at->rig->resistor_w;
    f->pull_v = limit_voltage_v(f, f->most_w);
    f->push_v = limit_voltage_v(f, -f->charge_w);
    f->fade = fade_share(at);
}

double evn_pull_limit_v(const evn_pull *p) { return p->at.push != EVN_FREE ? p->feed.push_v : p->feed.pull_v; }

/* ------------------------------------------------------------------------------------------------ units */

/* Mass that turns with a unit: its chain, seen at the dividing point with branches, and those. */
static double turning_kg(const evn_rig *r, size_t unit, const evn_member *m)
{
    const evn_unit *u = &r->unit[unit];
    double chain_kg_m2 = m->connected              ? evn_unit_inertia_kg_m2(u, m->setting)
                         : evn_is_open(m->setting) ? u->below_inertia_kg_m2
                                                   : u->path_inertia_kg_m2;
    double sum = chain_kg_m2 * m->rad_m * m->rad_m;
    for (size_t k = 0; k < u->branch_count; k++)
        sum += evn_rig_branch_kg(r, unit, m->setting, k);
    return sum;
}

/* What an inverter that follows its loss at once leaves of both limits: pull_nm and push_nm without any derating. */
static void hold_by_inverter(const evn_pull *p, size_t unit, double pull_nm, double push_nm, evn_member *m)
{
    const evn_unit *u = &p->at.rig->unit[unit];
    const double *degc = p->at.unit[unit].degc;
    evn_turning at = {m->setting, m->motor_rad_s, p->feed.open_circuit_v, p->at.coolant_degc};
    double pull_degc, push_degc;
    double pull_share = evn_unit_quick_share(u, &at, pull_nm, degc, &pull_degc);
    double push_share = evn_unit_quick_share(u, &at, push_nm, degc, &push_degc);
    m->most_nm = fmin(m->most_nm, pull_share * pull_nm);
    m->least_nm = fmax(m->least_nm, push_share * push_nm);
    m->inverter_past_k = (p->at.push != EVN_FREE ? push_degc : pull_degc) - u->motor[0].heat.inverter_range.from_degc;
}

/* A chain as it is at this instant, by its map or, where drags hang on more than that knows, by its stages. */
static evn_chain_at chain_now(const evn_chain_map *m, const evn_stage *stage, const double speed_ratio[], size_t count,
                              double rad_s, const double degc[])
{
    return m->usable ? evn_chain_at_speed(m, rad_s) : evn_chain_at_stages(m, stage, speed_ratio, count, rad_s, degc);
}

evn_member evn_pull_member(const evn_pull *p, size_t unit, evn_setting s, bool shifting)
{
    const evn_rig *r = p->at.rig;
    const evn_unit *u = &r->unit[unit];
    evn_member m = {.setting = s,
                    .connected = !shifting && !evn_is_open(s),
                    .rad_m = evn_rig_setting_rad_m(r, unit, s),
                    .turning = evn_is_open(s) ? u->disconnected_count : u->path_count,
                    .inverter_past_k = -1};
    if (!evn_is_open(s))
        m.motor_rad_s = p->at.speed_m_s * m.rad_m * u->gear[s.gear].total_ratio;
    m.turning_kg = turning_kg(r, unit, &m);
    if (!m.connected)
        return m;
    const evn_gear *g = &u->gear[s.gear];
    m.chain = chain_now(&g->map, g->stage, g->speed_ratio, g->count, p->at.speed_m_s * m.rad_m, p->at.unit[unit].degc);
    evn_chain_at_add(&m.chain, evn_unit_idle_drag_nm(u, s, m.motor_rad_s), evn_unit_rotors_kg_m2(u, s) * g->map.ratio);
    double share = evn_unit_torque_share(u, p->at.unit[unit].degc), fade = p->feed.fade;
    double pull_nm = evn_unit_most_motor_nm(u, s, m.motor_rad_s, &(evn_supply){p->feed.pull_v, 1, 1});
    double push_nm = evn_unit_most_motor_nm(u, s, m.motor_rad_s, &(evn_supply){p->feed.push_v, 1, 1});
    m.most_nm = pull_nm * share;
    m.least_nm = -fade * (push_nm * share);
    if (evn_unit_has_quick_inverter(u))
        hold_by_inverter(p, unit, pull_nm, -fade * push_nm, &m);
    return m;
}

static void set_branches(evn_pull *p, size_t unit)
{
    const evn_unit *u = &p->at.rig->unit[unit];
    for (size_t k = 0; k < u->branch_count; k++) {
        const evn_branch *b = &u->branch[k];
        double rad_s = p->at.speed_m_s / p->at.rig->axle[b->axle].radius_m;
        p->branch[unit][k] = chain_now(&b->map, b->stage, b->speed_ratio, b->count, rad_s, p->at.unit[unit].degc);
    }
}

static void set_team(evn_pull *p)
{
    p->team.connected = 0;
    for (size_t u = 0; u < p->at.rig->unit_count; u++) {
        p->team.unit[u] = evn_pull_member(p, u, p->at.unit[u].setting, p->at.unit[u].shifting);
        p->team.connected += p->team.unit[u].connected;
        set_branches(p, u);
    }
}

double evn_pull_past_derating_k(const evn_pull *p, size_t unit)
{
    double past_k = evn_unit_past_derating_k(&p->at.rig->unit[unit], p->at.unit[unit].degc);
    return fmax(past_k, p->team.unit[unit].inverter_past_k);
}

double evn_pull_past_base_rad_s(const evn_pull *p, size_t unit)
{
    const evn_member *m = &p->team.unit[unit];
    return m->motor_rad_s - evn_unit_base_rad_s(&p->at.rig->unit[unit], m->setting, evn_pull_limit_v(p));
}

void evn_pull_make(evn_pull *p)
{
    set_road(&p->at, &p->road);
    set_feed(&p->at, &p->feed);
    set_team(p);
}
