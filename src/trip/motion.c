/*
 * Everything that holds at one instant. The tyre force is the request: the law asks for an acceleration, the road says
 * what force that needs, limits cut it (forces.c), the units share it, and from what each does follow acceleration,
 * motor torque, bus power and the power into every line of the ledger.
 */
#include "trip/motion.h"
#include <math.h>
#include <string.h>

/* ------------------------------------------------------------------------------------------------ road */

/* Resistances, and the two numbers that make motion linear: F_motor - factor F_brake = base + mass a. */
void evn_set_road(const evn_trip *trip, evn_now *n)
{
    const evn_rig *r = trip->rig;
    const evn_road_stretch *road = &trip->course->road[trip->road_at];
    double v = n->speed_m_s, wind = v + r->headwind_m_s, g = r->gravity_m_s2;
    n->tangent = road->tangent_begin + road->tangent_slope * (n->place_m - road->begin_m);
    n->slope_cos = 1 / sqrt(1 + n->tangent * n->tangent);
    n->slope_sin = n->tangent * n->slope_cos;
    n->surface = road->rolling_factor;
    n->air_n = r->air_kg_m * wind * fabs(wind);
    n->grade_n = r->mass_kg * g * n->slope_sin;
    double cosine = n->surface * (r->rolling.cosine_kg + r->rolling_s_m.cosine_kg * v);
    double along = n->surface * (r->rolling.along_kg + r->rolling_s_m.along_kg * v);
    n->rolling_at_rest_n = g * (cosine * n->slope_cos + along * n->slope_sin);
    n->base_n = n->air_n + n->grade_n + n->rolling_at_rest_n;
    n->mass_kg = r->effective_kg + along;
    n->brake_factor = 1 + n->surface * (r->rolling.brake + r->rolling_s_m.brake * v);
}

/* Acceleration that a motor force gives without friction brakes. */
double evn_free_accel(const evn_now *n, double force_n) { return (force_n - n->base_n) / n->mass_kg; }

/* ------------------------------------------------------------------------------------------------ supply, pack */

double evn_trip_soc(const evn_trip *trip, const double *y)
{
    return trip->rig->start_soc - y[EVN_Y_CHARGE] / trip->rig->pack.capacity_as;
}

/* Bus voltage that a power envelope follows: explicit, at the pack's own limit. */
static double limit_voltage_v(const evn_pack *p, const evn_now *n, double terminal_w)
{
    return n->open_circuit_v - p->resistance_ohm * evn_pack_current_a(p, n->open_circuit_v, terminal_w);
}

double evn_limit_voltage_v(const evn_trip *trip, const evn_now *n)
{
    return trip->push != EVN_FREE ? n->push_v : n->pull_v;
}

int evn_fade_side(const evn_rig *r, double v)
{
    return v > r->fade_from_m_s ? EVN_FADE_ABOVE : v > r->fade_to_m_s ? EVN_FADE_WITHIN : EVN_FADE_BELOW;
}

/*
 * Share of the motors' braking torque that the fade leaves. While that torque binds the side of the fade is discrete
 * state: a fade without width is a jump, which no rate may show before its event.
 */
static double fade_share(const evn_trip *trip, double v)
{
    const evn_rig *r = trip->rig;
    int side = trip->push == EVN_BY_MOTOR ? trip->fade_side : evn_fade_side(r, v);
    if (!r->regeneration || side == EVN_FADE_BELOW)
        return 0;
    if (side == EVN_FADE_ABOVE)
        return 1;
    return fmin(fmax((v - r->fade_to_m_s) / (r->fade_from_m_s - r->fade_to_m_s), 0), 1);
}

/* At the speed of the instant. */
void evn_set_pack_limits(const evn_trip *trip, const double *y, evn_now *n)
{
    const evn_pack *p = &trip->rig->pack;
    n->soc = evn_trip_soc(trip, y);
    n->open_circuit_v = evn_curve_at(&p->open_circuit_v, n->soc);
    n->pack_most_w = evn_pack_most_w(p, n->open_circuit_v);
    n->pack_charge_w = evn_pack_charge_w(p, n->soc, n->open_circuit_v);
    n->pull_v = limit_voltage_v(p, n, n->pack_most_w);
    n->push_v = limit_voltage_v(p, n, -n->pack_charge_w);
    n->fade = fade_share(trip, n->speed_m_s);
}

/* ------------------------------------------------------------------------------------------------ the team */

bool evn_connected(const evn_trip *trip, size_t unit)
{
    return !trip->box[unit].shifting && !evn_is_open(trip->box[unit].now);
}

size_t evn_connected_count(const evn_trip *trip)
{
    size_t count = 0;
    for (size_t u = 0; u < trip->rig->unit_count; u++)
        count += evn_connected(trip, u);
    return count;
}

evn_member evn_member_of(const evn_trip *trip, const double *y, const evn_now *n, size_t unit, evn_setting s,
                         bool shifting)
{
    const evn_unit *u = &trip->rig->unit[unit];
    double winding = y[evn_y_of(unit, EVN_U_WINDING)];
    evn_member m = {.setting = s,
                    .connected = !shifting && !evn_is_open(s),
                    .turning = evn_is_open(s) ? u->disconnected_count : u->path_count};
    if (!evn_is_open(s))
        m.motor_rad_s = n->speed_m_s * trip->rig->unit_rad_m[unit] * u->gear[s.gear].total_ratio;
    if (!m.connected)
        return m;
    m.most_nm = evn_unit_most_motor_nm(u, s, m.motor_rad_s, &(evn_supply){n->pull_v, winding, 1});
    m.least_nm = evn_unit_least_motor_nm(u, s, m.motor_rad_s, &(evn_supply){n->push_v, winding, n->fade});
    return m;
}

void evn_set_team(const evn_trip *trip, const double *y, evn_now *n)
{
    n->team.connected = 0;
    for (size_t u = 0; u < trip->rig->unit_count; u++) {
        n->team.unit[u] = evn_member_of(trip, y, n, u, trip->box[u].now, trip->box[u].shifting);
        n->team.connected += n->team.unit[u].connected;
    }
}

double evn_past_base_rad_s(const evn_trip *trip, const evn_now *n, size_t unit)
{
    const evn_member *m = &n->team.unit[unit];
    return m->motor_rad_s - evn_unit_base_rad_s(&trip->rig->unit[unit], m->setting, evn_limit_voltage_v(trip, n));
}

double evn_past_derating_k(const evn_trip *trip, const double *y, size_t unit)
{
    const evn_motor *m = &trip->rig->unit[unit].motor[0];
    return m->has_winding ? y[evn_y_of(unit, EVN_U_WINDING)] - m->derate_from_degc : -1;
}

/* ------------------------------------------------------------------------------------------------ the instant */

static void set_kinematics(const evn_trip *trip, double t, const double *y, evn_now *n)
{
    bool prescribed = trip->law == EVN_PRESCRIBED;
    n->speed_m_s = prescribed ? evn_prescribed_speed(&trip->seg, t) : y[EVN_Y_SPEED];
    n->place_m = prescribed ? evn_prescribed_place(&trip->seg, t) : y[EVN_Y_PLACE];
    n->asked_m_s2 = evn_law_asks(trip, y);
}

static void set_forces(const evn_trip *trip, const double *y, evn_now *n)
{
    n->need_n = n->base_n + n->mass_kg * n->asked_m_s2;
    n->unit_n = evn_limited_force(trip, y, n);
    n->accel_m_s2 = trip->pull == EVN_FREE ? n->asked_m_s2 : evn_free_accel(n, n->unit_n);
    n->brake_n = trip->push == EVN_FREE ? 0 : (n->unit_n - n->base_n - n->mass_kg * n->asked_m_s2) / n->brake_factor;
    n->rolling_n = n->rolling_at_rest_n + (n->mass_kg - trip->rig->effective_kg) * n->accel_m_s2 +
                   (n->brake_factor - 1) * n->brake_n;
    evn_team_share(trip, n, &n->team, n->unit_n, n->accel_m_s2, n->brake_n, n->force_n);
}

/* Engaged motors stand ready: their constant losses run at rest, and while a shift goes on. */
double evn_ready_w(const evn_trip *trip, size_t unit, evn_setting s, evn_flow *flow)
{
    const evn_unit *u = &trip->rig->unit[unit];
    double motor_w = 0, inverter_w = 0;
    for (size_t i = 0; i < u->motor_count; i++)
        if (s.engaged >> i & 1u) {
            motor_w += u->motor[i].constant_w;
            inverter_w += u->motor[i].inverter_constant_w;
        }
    flow->w[EVN_MOTOR] += motor_w;
    flow->w[EVN_INVERTER] += inverter_w;
    return motor_w + inverter_w;
}

/* What one unit draws, into its own flow. */
static void set_unit_power(const evn_trip *trip, const double *y, evn_now *n, size_t unit)
{
    evn_flow *f = &n->unit_flow[unit];
    const evn_member *m = &n->team.unit[unit];
    if (trip->motion == EVN_MOVING && m->connected) {
        evn_at_work w = evn_member_draw(trip, y, n, unit, m, n->force_n[unit], n->accel_m_s2, f);
        n->unit_bus_w[unit] = w.bus_w;
        n->unit_motor_nm[unit] = w.motor_nm;
    } else {
        if (trip->motion == EVN_MOVING)
            evn_member_dragged(trip, n, unit, m, n->accel_m_s2, f);
        n->unit_bus_w[unit] = evn_ready_w(trip, unit, m->setting, f);
    }
    n->bus_w += n->unit_bus_w[unit];
    n->motor_nm += n->unit_motor_nm[unit];
}

static void set_power(const evn_trip *trip, const double *y, evn_now *n)
{
    evn_flow *f = &n->flow;
    for (size_t u = 0; u < trip->rig->unit_count; u++) {
        set_unit_power(trip, y, n, u);
        f->w[EVN_KINETIC] += n->unit_flow[u].w[EVN_KINETIC];
        for (int k = EVN_UNIT_LINES; k < EVN_LINE_COUNT; k++)
            f->w[k] += n->unit_flow[u].w[k];
    }
    n->load_w = n->bus_w + trip->rig->auxiliaries_w;
    n->current_a = evn_pack_current_a(&trip->rig->pack, n->open_circuit_v, n->load_w);
    f->w[EVN_AUXILIARIES] = trip->rig->auxiliaries_w;
    f->w[EVN_PACK] = n->current_a * n->current_a * trip->rig->pack.resistance_ohm;
    f->w[EVN_ROLLING] = n->rolling_n * n->speed_m_s;
    f->w[EVN_AIR] = n->air_n * n->speed_m_s;
    f->w[EVN_GRADE] = n->grade_n * n->speed_m_s;
    f->w[EVN_FRICTION_BRAKES] = n->brake_n * n->speed_m_s;
    f->w[EVN_KINETIC] += trip->rig->effective_kg * n->accel_m_s2 * n->speed_m_s;
}

void evn_now_at(const evn_trip *trip, double t, const double *y, evn_now *n)
{
    memset(n, 0, offsetof(evn_now, team));
    memset(&n->flow, 0, sizeof n->flow);
    memset(n->unit_flow, 0, trip->rig->unit_count * sizeof *n->unit_flow);
    if (trip->motion == EVN_MOVING) {
        set_kinematics(trip, t, y, n);
        evn_set_pack_limits(trip, y, n);
        evn_set_road(trip, n);
        evn_set_team(trip, y, n);
        set_forces(trip, y, n);
    } else {
        evn_set_pack_limits(trip, y, n);
        n->place_m = y[EVN_Y_PLACE];
        evn_set_road(trip, n);
        evn_set_team(trip, y, n);
        n->air_n = n->grade_n = n->rolling_n = 0; /* the brakes hold: no motion, no power */
    }
    set_power(trip, y, n);
}

double evn_trip_floor_w(const evn_trip *trip)
{
    evn_flow unbooked = {{0}};
    double sum = trip->rig->auxiliaries_w;
    for (size_t u = 0; u < trip->rig->unit_count; u++)
        sum += evn_ready_w(trip, u, trip->box[u].now, &unbooked);
    return sum;
}

/* ------------------------------------------------------------------------------------------------ rates */

/* Motors that do not all work take turns: the heat is spread over all of them. */
static double winding_rate(const evn_unit *u, double degc, double loss_w)
{
    const evn_motor *m = &u->motor[0];
    if (!m->has_winding)
        return 0;
    double each_w = loss_w / (double)u->motor_count;
    return (m->resistance_k_w * each_w - (degc - m->coolant_degc)) / m->time_constant_s;
}

static void unit_rate(const evn_trip *trip, const double *y, const evn_now *n, size_t unit, double *dy)
{
    const evn_flow *f = &n->unit_flow[unit];
    const double *own = y + evn_y_of(unit, 0);
    double *d = dy + evn_y_of(unit, 0);
    d[EVN_U_WINDING] = winding_rate(&trip->rig->unit[unit], own[EVN_U_WINDING], f->w[EVN_MOTOR]);
    d[EVN_U_BUS] = n->unit_bus_w[unit];
    d[EVN_U_SLIP] = f->w[EVN_TYRE_SLIP];
    d[EVN_U_WHEEL_END] = f->w[EVN_WHEEL_END];
    d[EVN_U_FINAL_DRIVE] = f->w[EVN_FINAL_DRIVE];
    d[EVN_U_SHAFTS] = f->w[EVN_SHAFTS];
    d[EVN_U_GEARBOX] = f->w[EVN_GEARBOX];
    d[EVN_U_MOTOR] = f->w[EVN_MOTOR];
    d[EVN_U_INVERTER] = f->w[EVN_INVERTER];
}

bool evn_trip_rate(double t, const double *y, double *dy, void *self)
{
    const evn_trip *trip = self;
    evn_now n;
    evn_now_at(trip, t, y, &n);
    bool moving = trip->motion == EVN_MOVING;
    dy[EVN_Y_PLACE] = moving ? n.speed_m_s : 0;
    dy[EVN_Y_SPEED] = moving ? n.accel_m_s2 : 0;
    dy[EVN_Y_CHARGE] = n.current_a;
    dy[EVN_Y_DRAWN] = fmax(n.current_a, 0) * n.open_circuit_v;
    dy[EVN_Y_TERMINAL] = n.load_w;
    dy[EVN_Y_ROLLING] = n.flow.w[EVN_ROLLING];
    dy[EVN_Y_AIR] = n.flow.w[EVN_AIR];
    dy[EVN_Y_PACK] = n.flow.w[EVN_PACK];
    dy[EVN_Y_AUXILIARIES] = n.flow.w[EVN_AUXILIARIES];
    dy[EVN_Y_BRAKES] = n.flow.w[EVN_FRICTION_BRAKES];
    dy[EVN_Y_HELD] = moving ? fmax(-n.unit_n, 0) * n.speed_m_s : 0;
    for (size_t u = 0; u < trip->rig->unit_count; u++)
        unit_rate(trip, y, &n, u, dy);
    dy[EVN_Y_FORGONE] = trip->has_candidate && moving ? evn_forgone_w(trip, y, &n) : 0;
    return isfinite(n.accel_m_s2) && isfinite(n.current_a) && isfinite(dy[EVN_Y_FORGONE]);
}
