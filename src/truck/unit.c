/* What a drive unit draws for a wheel torque, and what torque it can; how it is made ready. */
#include "truck/unit.h"
#include "core/units.h"
#include <math.h>
#include <string.h>

/* ------------------------------------------------------------------------------------------------ motors */

evn_setting evn_all_engaged(const evn_unit *u, size_t gear)
{
    return (evn_setting){(uint8_t)gear, (uint8_t)((1u << u->motor_count) - 1), 0};
}

bool evn_has_all_engaged(const evn_unit *u, evn_setting s) { return s.engaged == (1u << u->motor_count) - 1; }

static double weakening_share(const evn_motor *m, double t, double motor_rad_s)
{
    return evn_weakening_share(m->characteristic_share, t, motor_rad_s * m->peak_nm / m->peak_w);
}

/* Lost of a power that passes at a constant efficiency, either way. */
static double by_efficiency_w(double power_w, double pull_share, double push_share)
{
    return power_w > 0 ? power_w * pull_share : -power_w * push_share;
}

/* Of motors and their inverters; copper: what of the motors' is lost in their windings. */
typedef struct losses {
    double motor_w, inverter_w, copper_w;
} losses;

/* Power from the bus of one engaged motor whose losses are in a map. */
static double map_draw_w(const evn_motor *m, double torque_nm, double w, double voltage_v, double copper_factor,
                         losses *of)
{
    double inverter = 0;
    double loss = evn_map_loss_w(m->map, torque_nm, w, voltage_v, copper_factor);
    if (m->map->includes_inverter) { /* of every part of the loss the same share */
        inverter = m->map_inverter_share * loss;
        loss -= inverter;
    } else {
        inverter = by_efficiency_w(torque_nm * w + loss, m->inverter_loss_share, m->inverter_push_loss_share);
        double t = torque_nm / m->peak_nm, id = weakening_share(m, t, w), current2 = t * t + id * id;
        inverter += m->inverter_constant_w + m->inverter_current_w * sqrt(current2) + m->inverter_current2_w * current2;
    }
    of->copper_w = m->heat.housing ? evn_map_copper_w(m->map, torque_nm, w, voltage_v, copper_factor, loss) : 0;
    of->motor_w = loss;
    of->inverter_w = inverter;
    return torque_nm * w + loss + inverter;
}

/* Power from the bus of one engaged motor. What a constant efficiency loses counts as copper: the winding is the
 * hotter. */
static double motor_draw_w(const evn_motor *m, double torque_nm, double w, double voltage_v, double copper_factor,
                           losses *of)
{
    if (m->map)
        return map_draw_w(m, torque_nm, w, voltage_v, copper_factor, of);
    double t = torque_nm / m->peak_nm, id = weakening_share(m, t, w), current2 = t * t + id * id;
    double copper = m->copper_w_nm2 * m->peak_nm * m->peak_nm * current2 * copper_factor;
    double shaft_w = torque_nm * w, loss = m->constant_w + (m->speed_w_s + m->speed2_w_s2 * w) * w + copper;
    double by_efficiency = by_efficiency_w(shaft_w, m->loss_share, m->push_loss_share);
    loss += by_efficiency;
    double inverter =
        m->inverter_constant_w + m->inverter_current_w * sqrt(current2) + m->inverter_current2_w * current2;
    inverter += by_efficiency_w(shaft_w + loss, m->inverter_loss_share, m->inverter_push_loss_share);
    *of = (losses){loss, inverter, copper + by_efficiency};
    return shaft_w + loss + inverter;
}

/* Drag torque of a motor that turns without being engaged; the magnets do not switch off. */
static double idle_drag_nm(const evn_motor *m, double w)
{
    return m->map ? evn_map_drag_nm(m->map, w) : m->speed_w_s + m->speed2_w_s2 * w;
}

/* What holding the voltage down costs in a motor that turns unused above its no-load limit; a map has it in its drag.
 */
static double idle_draw_w(const evn_motor *m, double w, double copper_factor, losses *of)
{
    double id = weakening_share(m, 0, w);
    double copper = m->copper_w_nm2 * m->peak_nm * m->peak_nm * id * id * copper_factor;
    double inverter = m->inverter_current_w * id + m->inverter_current2_w * id * id;
    *of = (losses){copper, inverter, copper};
    return copper + inverter;
}

/* Idle motors that still turn: their drag is paid, and their rotors are spun up, by the engaged ones. With pulses off
 * none works, and the road pays. */
double evn_unit_idle_drag_nm(const evn_unit *u, evn_setting s, double w)
{
    size_t idle = u->idle_stands_still ? 0 : u->motor_count - evn_engaged_count(s);
    if (s.pulses_off)
        idle += evn_engaged_count(s);
    return idle ? (double)idle * idle_drag_nm(&u->motor[0], w) : 0;
}

double evn_unit_rotors_kg_m2(const evn_unit *u, evn_setting s)
{
    if (!u->idle_stands_still || evn_has_all_engaged(u, s))
        return u->rotors_kg_m2;
    return (double)evn_engaged_count(s) * u->motor[0].inertia_kg_m2;
}

/*
 * From the share at rest to one by the cubic that is level at both ends: level at rest, so that it is even in the
 * speed and a step a hair below standstill meets no bend, and level where the whole torque begins, so that the first
 * derivative is continuous there too and no integrator needs to be told of that speed.
 */
double evn_motor_turning_share(const evn_motor *m, double w)
{
    if (m->short_at_rest == 0 || w >= m->full_torque_rad_s)
        return 1;
    double x = fmax(w, 0) / m->full_torque_rad_s;
    return 1 - m->short_at_rest * (1 - x) * (1 - x) * (1 + 2 * x);
}

double evn_unit_most_motor_nm(const evn_unit *u, evn_setting s, double w, const evn_supply *supply)
{
    const evn_motor *m = &u->motor[0];
    if (s.pulses_off)
        return 0;
    double power_w = m->peak_w * supply->voltage_v / m->reference_v;
    double most = m->peak_nm * w > power_w ? power_w / w : m->peak_nm;
    most *= evn_motor_turning_share(m, w);
    return (double)evn_engaged_count(s) * most * supply->torque_share;
}

double evn_unit_least_motor_nm(const evn_unit *u, evn_setting s, double w, const evn_supply *supply)
{
    return -supply->fade * evn_unit_most_motor_nm(u, s, w, supply);
}

double evn_unit_base_rad_s(const evn_unit *u, evn_setting s, double voltage_v)
{
    double base = (double)INFINITY;
    for (size_t i = 0; i < u->motor_count; i++)
        if (evn_is_engaged(s, i))
            base = fmin(base, u->motor[i].peak_w * voltage_v / u->motor[i].reference_v / u->motor[i].peak_nm);
    return base;
}

double evn_unit_top_rad_s(const evn_unit *u)
{
    double top = (double)INFINITY;
    for (size_t i = 0; i < u->motor_count; i++)
        top = fmin(top, u->motor[i].top_rad_s);
    return top;
}

double evn_unit_peak_nm(const evn_unit *u)
{
    double sum = 0;
    for (size_t i = 0; i < u->motor_count; i++)
        sum += u->motor[i].peak_nm;
    return sum;
}

double evn_unit_motor_peak_nm(const evn_unit *u) { return u->motor[0].peak_nm; }
double evn_unit_reference_v(const evn_unit *u) { return u->motor[0].reference_v; }

double evn_unit_ready_w(const evn_unit *u, evn_setting s, evn_flow *flow)
{
    double motor_w = 0, inverter_w = 0;
    for (size_t i = 0; i < u->motor_count; i++)
        if (evn_is_engaged(s, i) && !s.pulses_off) {
            motor_w += u->motor[i].constant_w;
            inverter_w += u->motor[i].inverter_constant_w;
        }
    flow->w[EVN_MOTOR] += motor_w;
    flow->w[EVN_INVERTER] += inverter_w;
    return motor_w + inverter_w;
}

bool evn_unit_has_map(const evn_unit *u) { return u->motor[0].map; }
bool evn_unit_has_filled_map(const evn_unit *u) { return u->motor[0].map && u->motor[0].map->any_filled; }

bool evn_unit_is_filled(const evn_unit *u, evn_setting s, double motor_nm, double motor_rad_s, double voltage_v)
{
    double each_nm = motor_nm / fmax((double)evn_engaged_count(s), 1);
    return evn_unit_has_filled_map(u) && evn_map_is_filled(u->motor[0].map, each_nm, motor_rad_s, voltage_v);
}

/* ------------------------------------------------------------------------------------------------ the unit */

/* Motors of a unit are alike (the file's check): one is worked out for all that do the same. */
typedef struct shared_losses {
    double engaged, idle; /* how many there are of each; idle ones that stand still are none */
    losses of_engaged, of_idle;
} shared_losses;

static double share_losses(const evn_unit *u, evn_setting s, double motor_nm, double w, double voltage_v,
                           const double degc[], shared_losses *of)
{
    const evn_motor *m = &u->motor[0];
    *of = (shared_losses){.engaged = (double)evn_engaged_count(s)};
    if (s.pulses_off) /* no current: what a force asks that no limit has cut yet is given without a loss */
        return motor_nm * w;
    double copper_factor = evn_heat_copper_factor(&m->heat, degc, m->reference_degc);
    double dc_w = of->engaged * motor_draw_w(m, motor_nm / of->engaged, w, voltage_v, copper_factor, &of->of_engaged);
    of->idle = u->idle_stands_still ? 0 : (double)u->motor_count - of->engaged;
    if (of->idle > 0)
        dc_w += of->idle * idle_draw_w(m, w, copper_factor, &of->of_idle);
    return dc_w;
}

static void book(evn_flow *flow, double motors, const losses *each)
{
    flow->w[EVN_MOTOR] += motors * each->motor_w;
    flow->w[EVN_INVERTER] += motors * each->inverter_w;
    flow->copper_w += motors * each->copper_w;
}

double evn_unit_motors_w(const evn_unit *u, evn_setting s, double motor_nm, double w, double voltage_v,
                         const double degc[], evn_flow *flow)
{
    shared_losses of;
    double dc_w = share_losses(u, s, motor_nm, w, voltage_v, degc, &of);
    if (flow)
        book(flow, of.engaged, &of.of_engaged);
    if (flow && of.idle > 0)
        book(flow, of.idle, &of.of_idle);
    return dc_w;
}

double evn_unit_inverters_w(const evn_unit *u, evn_setting s, double motor_nm, double w, double voltage_v,
                            const double degc[])
{
    shared_losses of;
    share_losses(u, s, motor_nm, w, voltage_v, degc, &of);
    return of.engaged * of.of_engaged.inverter_w + of.idle * of.of_idle.inverter_w;
}

double evn_unit_draw_w(const evn_unit *u, evn_setting s, evn_shaft at, double voltage_v, const double degc[],
                       evn_flow *flow, double *motor_nm)
{
    const evn_gear *g = &u->gear[s.gear];
    at = evn_chain_up(&g->map, g->stage, g->count, at, degc, flow);
    double w = at.speed_rad_s, spin = evn_unit_rotors_kg_m2(u, s) * at.accel_rad_s2;
    double drag = evn_unit_idle_drag_nm(u, s, w), total = at.torque_nm + spin + drag;
    flow->w[EVN_KINETIC] += spin * w;
    flow->w[EVN_MOTOR] += drag * w;
    if (motor_nm)
        *motor_nm = total;
    return evn_unit_motors_w(u, s, total, w, voltage_v, degc, flow);
}

/* From the motor side of the first `count` stages of a chain down to its wheel side. */
static inline double chain_down(const evn_stage *stage, const double *speed_ratio, size_t count, double nm,
                                double wheel_rad_s, double wheel_accel, const double degc[])
{
    for (size_t i = count; i-- > 0;)
        nm = evn_stage_down(&stage[i], nm, wheel_rad_s * speed_ratio[i], wheel_accel * speed_ratio[i], degc);
    return nm;
}

double evn_unit_wheel_nm(const evn_unit *u, evn_setting s, double motor_nm, double wheel_rad_s, double wheel_accel,
                         const double degc[])
{
    const evn_gear *g = &u->gear[s.gear];
    double spin = evn_unit_rotors_kg_m2(u, s) * wheel_accel * g->total_ratio;
    double drag = evn_unit_idle_drag_nm(u, s, wheel_rad_s * g->total_ratio);
    return evn_chain_down(&g->map, g->stage, g->speed_ratio, g->count, motor_nm - spin - drag, wheel_rad_s, wheel_accel,
                          degc);
}

double evn_unit_dragged_nm(const evn_unit *u, size_t stages, double wheel_rad_s, double wheel_accel,
                           const double degc[], evn_flow *flow)
{
    const evn_gear *g = &u->gear[0];
    double nm = chain_down(g->stage, g->speed_ratio, stages, 0, wheel_rad_s, wheel_accel, degc);
    evn_shaft at = {nm, wheel_rad_s, wheel_accel};
    for (size_t i = 0; flow && i < stages; i++)
        at = evn_stage_up(&g->stage[i], at, degc, flow);
    return nm;
}

double evn_branch_wheel_nm(const evn_branch *b, double split_nm, double wheel_rad_s, double wheel_accel,
                           const double degc[])
{
    return evn_chain_down(&b->map, b->stage, b->speed_ratio, b->count, split_nm, wheel_rad_s, wheel_accel, degc);
}

evn_shaft evn_branch_up(const evn_branch *b, evn_shaft at, const double degc[], evn_flow *flow)
{
    return evn_chain_up(&b->map, b->stage, b->count, at, degc, flow);
}

double evn_share_beside_open(const evn_unit *u, evn_setting s, size_t branch)
{
    double closed = 0;
    for (size_t k = 0; k < u->branch_count; k++)
        closed += evn_is_branch_open(s, k) ? 0 : u->branch[k].share;
    return u->branch[branch].share / closed;
}

static unsigned openable(const evn_unit *u)
{
    unsigned bits = 0;
    for (size_t k = 0; k < u->branch_count; k++)
        bits |= (unsigned)u->branch[k].opening.can << k;
    return bits;
}

bool evn_can_open_branch(const evn_unit *u) { return openable(u) != 0; }

static double idle_rotors_kg_m2(const evn_unit *u, evn_setting s)
{
    double sum = 0;
    for (size_t i = 0; u->idle_stands_still && i < u->motor_count; i++)
        sum += evn_is_engaged(s, i) ? 0 : u->motor[i].inertia_kg_m2;
    return sum;
}

double evn_unit_inertia_kg_m2(const evn_unit *u, evn_setting s)
{
    if (evn_is_open(s))
        return u->below_inertia_kg_m2;
    const evn_gear *g = &u->gear[s.gear];
    return g->inertia_kg_m2 - idle_rotors_kg_m2(u, s) * g->total_ratio * g->total_ratio;
}

/* ------------------------------------------------------------------------------------------------ preparing */

static void set_losses(const evn_motor_loss_file *f, evn_motor *m)
{
    m->constant_w = f->constant_w;
    m->speed_w_s = f->speed_w_per_rad_s;
    m->speed2_w_s2 = f->speed_squared_w_per_rad2_s2;
    m->copper_w_nm2 = f->torque_squared_w_per_nm2;
    m->reference_degc = f->winding_degc;
}

/* False: memory ran out. */
static bool set_map(const evn_map_file *f, evn_arena *arena, evn_motor *m)
{
    evn_map_machine machine = {m->peak_nm, m->peak_w, m->top_rad_s, m->reference_v};
    m->map = evn_map_take(f, &machine, arena);
    m->map = m->map ? evn_map_times(m->map, f->loss_factor, arena) : NULL;
    if (!m->map)
        return false;
    m->constant_w = evn_map_loss_w(m->map, 0, 0, m->reference_v, 1);
    if (f->inverter_loss_share > 0) {
        m->map_inverter_share = f->inverter_loss_share;
        m->inverter_constant_w = m->map_inverter_share * m->constant_w;
        m->constant_w -= m->inverter_constant_w;
    }
    m->reference_degc = f->winding_degc;
    m->characteristic_share = m->map->layer[0].fit.characteristic_share;
    return true;
}

static void set_efficiency(double efficiency, double *pull_share, double *push_share)
{
    if (!(efficiency > 0)) /* not given */
        return;
    *pull_share = 1 / efficiency - 1;
    *push_share = 1 - efficiency;
}

bool evn_motor_prepare(const evn_motor_file *as_stated, evn_arena *arena, evn_motor *m)
{
    evn_scaled_motor room;
    const evn_motor_file *f = evn_motor_scaled(as_stated, &room);
    *m = (evn_motor){
        .peak_nm = f->peak_torque_nm,
        .peak_w = f->peak_power_kw * 1e3,
        .top_rad_s = f->top_speed_rpm * EVN_RAD_S_PER_RPM,
        .reference_v = f->reference_voltage_v,
        .short_at_rest = f->full_torque_from_rpm > 0 ? 1 - f->torque_at_rest_share : 0,
        .full_torque_rad_s = f->full_torque_from_rpm > 0 ? f->full_torque_from_rpm * EVN_RAD_S_PER_RPM : 0,
        .reference_degc = 100,
        .characteristic_share = f->field_weakening ? f->field_weakening->characteristic_current_share : 0,
        .inverter_constant_w = f->inverter->constant_w,
        .inverter_current_w = f->inverter->current_w,
        .inverter_current2_w = f->inverter->current_squared_w,
        .inertia_kg_m2 = f->rotor_inertia_kg_m2,
        .mass_kg = f->mass_kg,
        .inverter_mass_kg = f->inverter->mass_kg,
        .is_scaled = as_stated->scale,
        .rated_nm = f->rated_continuous_torque_nm > 0 ? f->rated_continuous_torque_nm : (double)NAN,
        .rated_w = f->rated_continuous_power_kw > 0 ? f->rated_continuous_power_kw * 1e3 : (double)NAN,
    };
    set_efficiency(f->efficiency, &m->loss_share, &m->push_loss_share);
    set_efficiency(f->inverter->efficiency, &m->inverter_loss_share, &m->inverter_push_loss_share);
    if (f->loss)
        set_losses(f->loss, m);
    if (f->map && !set_map(f->map, arena, m))
        return false;
    m->heat = evn_heat_of(f->winding, f->housing, f->inverter->heat, m->reference_degc);
    return true;
}

/* Appends what a written stage became; a stage that neither changes speed nor costs anything is left out. */
static void append(evn_gear *g, const evn_lowering *low)
{
    for (size_t k = 0; k < low->count; k++) {
        const evn_stage *s = &low->stage[k];
        bool idle = s->ratio == 1 && s->pull_share == 0 && s->push_share == 0 && s->drag_nm == 0 && s->drag_nm_s == 0 &&
                    s->inertia_kg_m2 == 0 && !s->drag_curve;
        if (!idle)
            g->stage[g->count++] = *s;
    }
}

static void lower_path(const evn_steps *path, evn_lowering *low, evn_opening *opening, evn_written_path *written,
                       evn_gear *to, double *mass_kg)
{
    *opening = (evn_opening){.can = false};
    for (size_t k = path->count; k-- > 0;) { /* written from the gearbox, kept from the wheels */
        const evn_step *step = &path->at[k];
        low->mass_kg = 0;
        low->disconnects = false;
        evn_stage_kinds[step->kind].lower(step->item, low);
        *mass_kg += low->mass_kg;
        if (low->disconnects)
            evn_opening_note(opening, low, to->count);
        written->kind[written->count] = (uint8_t)step->kind;
        written->below[written->count++] = (uint8_t)to->count;
        append(to, low);
    }
}

/* Gear stage with its load loss; then drag and inertia of the input shaft, beyond that loss, at motor speed. */
static void lower_gear(const evn_gearbox_file *box, size_t k, evn_lowering *low, evn_gear *g)
{
    evn_lower_first(low, EVN_GEARBOX, box->ratios.at[k], box->efficiencies.at[k]);
    evn_lower_drag(box->drag, low);
    evn_lower_oil(box->oil, low);
    append(g, low);
    if (box->input_inertia_kg_m2 > 0)
        g->stage[g->count++] = (evn_stage){.ratio = 1, .inertia_kg_m2 = box->input_inertia_kg_m2, .line = EVN_GEARBOX};
}

static double chain_inertia(const evn_stage *stage, size_t count, double speed_ratio[], double *ratio)
{
    double sum = 0;
    *ratio = 1;
    for (size_t i = 0; i < count; i++) {
        speed_ratio[i] = *ratio;
        sum += stage[i].inertia_kg_m2 * *ratio * *ratio;
        *ratio *= stage[i].ratio;
    }
    return sum;
}

static void set_inertias(evn_unit *u)
{
    double ratio;
    u->path_inertia_kg_m2 = chain_inertia(u->gear[0].stage, u->path_count, u->gear[0].speed_ratio, &ratio);
    u->below_inertia_kg_m2 = chain_inertia(u->gear[0].stage, u->disconnected_count, u->gear[0].speed_ratio, &ratio);
    for (size_t k = 0; k < u->gear_count; k++) {
        evn_gear *g = &u->gear[k];
        g->inertia_kg_m2 = chain_inertia(g->stage, g->count, g->speed_ratio, &g->total_ratio);
        g->map = evn_chain_map_of(g->stage, g->speed_ratio, g->count);
        g->inertia_kg_m2 += u->rotors_kg_m2 * g->total_ratio * g->total_ratio;
    }
}

static void set_disconnect(evn_unit *u, const evn_opening *from)
{
    u->can_disconnect = from->can;
    u->disconnected_count = from->below;
    u->disconnect_time_s = from->time_s;
    u->disconnect = from->price;
}

static void lower_branches(const evn_unit_file *f, evn_lowering *low, evn_unit *u, evn_unit_masses *masses)
{
    double shares = 0;
    u->branch_count = f->branches.count;
    for (size_t k = 0; k < f->branches.count; k++) {
        const evn_branch_file *file = (const evn_branch_file *)f->branches.item + k;
        evn_gear chain = {.count = 0};
        evn_branch *b = &u->branch[k];
        lower_path(&file->path, low, &b->opening, &b->written, &chain, &masses->branch_kg[k]);
        b->axle = (size_t)file->axle - 1;
        b->share = file->torque_share;
        b->count = chain.count;
        memcpy(b->stage, chain.stage, chain.count * sizeof *chain.stage);
        b->inertia_kg_m2 = chain_inertia(b->stage, b->count, b->speed_ratio, &b->ratio);
        b->map = evn_chain_map_of(b->stage, b->speed_ratio, b->count);
        evn_opening_make(&b->opening, b->stage, b->speed_ratio, b->count, b->ratio);
        shares += b->share;
    }
    for (size_t k = 0; k < u->branch_count; k++)
        u->branch[k].share /= shares;
}

static void add_setting(evn_unit *u, size_t gear, size_t count, unsigned open)
{
    u->setting[u->setting_count++] = (evn_setting){(uint8_t)gear, (uint8_t)((1u << count) - 1), (uint8_t)open};
}

/* All gears with any allowed number of motors; alike as they are, it does not matter which. And that with any of the
 * branches open that can be, first with none. */
static void set_settings(evn_unit *u, size_t fewest)
{
    unsigned all = openable(u), open = 0;
    do {
        for (size_t k = 0; k < u->gear_count; k++)
            for (size_t n = u->motor_count; n >= fewest; n--)
                add_setting(u, k, n, open);
        if (u->can_disconnect)
            add_setting(u, 0, 0, open);
        open = (open - all) & all; /* the next subset of these bits */
    } while (open != 0);
}

static bool prepare_motors(const evn_unit_file *f, evn_arena *arena, evn_unit *u, evn_unit_masses *masses)
{
    bool all = true;
    u->motor_count = f->motors.count;
    for (size_t i = 0; i < f->motors.count; i++) {
        const evn_motor_file *m = (const evn_motor_file *)f->motors.item + i;
        bool again = i && !evn_motors_differ(f->motors.item, m);
        if (again) /* one map for all alike */
            u->motor[i] = u->motor[0];
        else
            all = evn_motor_prepare(m, arena, &u->motor[i]) && all;
        u->rotors_kg_m2 += u->motor[i].inertia_kg_m2;
        masses->machine_kg += u->motor[i].mass_kg + u->motor[i].inverter_mass_kg;
    }
    return all;
}

static void prepare_gearbox(const evn_gearbox_file *box, evn_unit *u, evn_unit_masses *masses)
{
    masses->machine_kg += box->mass_kg;
    u->shift_time_s = box->shift->time_s;
    u->shift_wear_j = box->shift->wear_kj * 1e3;
    u->shift_price_j = box->shift->price_kj * 1e3;
    u->shift_dwell_s = box->shift->dwell_s;
    u->synchronising_loss_share = box->shift->synchronising_loss_share;
}

static void lead_to_oil(const evn_unit *u, evn_stage *stage, size_t count)
{
    for (size_t i = 0; i < count; i++)
        stage[i].oil_at = stage[i].oil_factor ? u->oil_at[evn_oil_place_of(stage[i].line)] : 0;
}

/* The nodes of a unit: those of its motors, which are alike, and behind them its oils. */
static void set_nodes(evn_unit *u, const evn_oil oil[])
{
    static const evn_node_row rows[EVN_OILS] = {{"gearbox oil", 50}, {"axle gear oil", 50}};
    const evn_heat *heat = &u->motor[0].heat;
    u->nodes = heat->nodes;
    memcpy(u->node_row, heat->row, heat->nodes * sizeof *heat->row);
    for (size_t k = 0; k < EVN_OILS; k++) {
        u->oil[k] = oil[k];
        u->oil_at[k] = u->nodes;
        u->node_row[u->nodes] = rows[k];
        u->nodes += oil[k].there;
    }
    for (size_t k = 0; k < u->gear_count; k++)
        lead_to_oil(u, u->gear[k].stage, u->gear[k].count);
    for (size_t k = 0; k < u->branch_count; k++)
        lead_to_oil(u, u->branch[k].stage, u->branch[k].count);
}

bool evn_unit_prepare(const evn_unit_file *f, const char *name, evn_arena *arena, evn_unit *u, evn_unit_masses *masses)
{
    evn_lowering low = {.arena = arena};
    evn_gear path = {.count = 0};
    *u = (evn_unit){.name = name,
                    .axle = (size_t)f->axles.at[0] - 1,
                    .has_gearbox = f->gearbox,
                    .idle_stands_still = f->idle_motors_stand_still,
                    .engage_wear_j = f->engagement->wear_kj * 1e3,
                    .engage_price_j = f->engagement->price_kj * 1e3,
                    .engage_dwell_s = f->engagement->dwell_s,
                    .rest_after_s = f->engagement->rest_after_s,
                    .braking_force_limit_n =
                        isnan(f->braking_force_limit_kn) ? (double)INFINITY : f->braking_force_limit_kn * 1e3,
                    .has_axle_lock = f->axle_differential_lock,
                    .has_inter_axle_lock = f->inter_axle_lock,
                    .locks_below_m_s = f->locks_below_km_h * EVN_M_S_PER_KM_H};
    *masses = (evn_unit_masses){0};
    evn_opening opening;
    lower_path(&f->path, &low, &opening, &u->written, &path, &masses->path_kg);
    set_disconnect(u, &opening);
    lower_branches(f, &low, u, masses);
    u->path_count = path.count;
    u->gear_count = f->gearbox ? f->gearbox->ratios.count : 1;
    for (size_t k = 0; k < u->gear_count; k++) {
        u->gear[k] = path;
        if (f->gearbox)
            lower_gear(f->gearbox, k, &low, &u->gear[k]);
    }
    u->takeoff = evn_unit_takeoff_of(f->takeoff, f->gearbox, &low);
    bool all = prepare_motors(f, arena, u, masses);
    masses->machine_kg += f->takeoff ? f->takeoff->mass_kg : 0;
    evn_oil_add(&low.oil[EVN_OIL_GEARBOX], f->gearbox ? f->gearbox->oil : NULL);
    set_nodes(u, low.oil);
    if (f->gearbox)
        prepare_gearbox(f->gearbox, u, masses);
    u->machine_kg = masses->machine_kg;
    set_settings(u, f->engagement->fewest > (double)u->motor_count ? u->motor_count : (size_t)f->engagement->fewest);
    set_inertias(u);
    return all && !low.out_of_memory;
}
