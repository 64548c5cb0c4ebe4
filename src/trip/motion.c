/*
 * Everything that holds at one instant. The tyre force is the request: the law asks for an acceleration, the road says
 * what force that needs, limits cut it, and from the force that remains follow acceleration, motor torque, bus power
 * and the power into every line of the ledger.
 */
#include "trip/motion.h"
#include <math.h>
#include <string.h>

/* ------------------------------------------------------------------------------------------------ plan, laws */

double evn_plan_v2(const evn_plan_stretch *p, double place_m)
{
    return fmax(p->v2_begin + 2 * p->accel_m_s2 * (place_m - p->begin_m), 0);
}

size_t evn_plan_index(const evn_course *c, double place_m, size_t hint)
{
    size_t k = hint < c->plan_count ? hint : c->plan_count - 1;
    while (k > 0 && place_m < c->plan[k].begin_m)
        k--;
    while (k + 1 < c->plan_count && place_m >= c->plan[k].end_m)
        k++;
    return k;
}

/* The plan before a truck's top speed cut it. */
static double asked_v2(const evn_plan_stretch *p, double place_m)
{
    double share = (place_m - p->begin_m) / (p->end_m - p->begin_m);
    return fmax(p->asked_v2_begin + share * (p->asked_v2_end - p->asked_v2_begin), 0);
}

double evn_plan_speed(const evn_course *c, double place_m, size_t *hint)
{
    size_t k = *hint = evn_plan_index(c, place_m, *hint);
    return sqrt(asked_v2(&c->plan[k], fmin(place_m, c->plan[k].end_m)));
}

double evn_prescribed_speed(const evn_prescribed *p, double t)
{
    return fmax(p->speed_m_s + p->accel_m_s2 * (t - p->begin_s), 0);
}

double evn_prescribed_place(const evn_prescribed *p, double t)
{
    double dt = t - p->begin_s;
    return p->place_m + (p->speed_m_s + 0.5 * p->accel_m_s2 * dt) * dt;
}

static double look_ahead_m(const evn_trip *trip, const double *y)
{
    return y[EVN_Y_SPEED] * trip->ask.look_ahead_s + trip->ahead_m;
}

double evn_preview_m(const evn_trip *trip, const double *y) { return y[EVN_Y_PLACE] + look_ahead_m(trip, y); }

/* The constant acceleration that meets the plan's speed at the place looked to. */
double evn_preview_asks(const evn_trip *trip, const double *y)
{
    const evn_course *c = trip->course;
    double ahead = look_ahead_m(trip, y), v = y[EVN_Y_SPEED];
    double v2 = trip->plan_at < c->plan_count ? evn_plan_v2(&c->plan[trip->plan_at], y[EVN_Y_PLACE] + ahead)
                                              : c->plan[c->plan_count - 1].v2_end;
    return (v2 - v * v) / (2 * ahead);
}

/*
 * The plan's acceleration here, and a correction of the speed: gain (v_plan^2 - v^2)/(2 v + 1 m/s), which is gain times
 * the difference of the speeds and stays smooth at rest, where v_plan over place is not. A braking plan is followed in
 * proportion, by (v/v_plan)^2: a truck below it then comes to rest where the plan does, and not before.
 */
double evn_following_asks(const evn_trip *trip, const double *y)
{
    const evn_plan_stretch *p = &trip->course->plan[trip->plan_at];
    double v = y[EVN_Y_SPEED], plan2 = evn_plan_v2(p, y[EVN_Y_PLACE]), share = 1;
    if (p->accel_m_s2 < 0)
        share = v * v < 4 * plan2 ? v * v / plan2 : 4;
    return share * p->accel_m_s2 + trip->ask.speed_gain_1_s * (plan2 - v * v) / (2 * v + 1);
}

/* Comfortable, or a fifth above what the plan itself asks: else a steep plan could never be caught up with. */
double evn_cap_over(const evn_trip *trip, const evn_plan_stretch *plan)
{
    return fmax(trip->ask.comfort_acceleration_m_s2, 1.2 * plan->accel_m_s2);
}

double evn_cap_m_s2(const evn_trip *trip)
{
    const evn_course *c = trip->course;
    return evn_cap_over(trip, &c->plan[trip->plan_at < c->plan_count ? trip->plan_at : c->plan_count - 1]);
}

/* The stop ahead: end of the stretch aimed at. */
static double halting_asks(const evn_trip *trip, const double *y)
{
    double rest = trip->course->plan[trip->plan_at].end_m - y[EVN_Y_PLACE];
    return -y[EVN_Y_SPEED] * y[EVN_Y_SPEED] / (2 * fmax(rest, 1e-3));
}

static double asked(const evn_trip *trip, const double *y)
{
    switch (trip->law) {
    case EVN_PRESCRIBED:
        return trip->seg.accel_m_s2;
    case EVN_FOLLOWING:
        return evn_following_asks(trip, y);
    case EVN_PREVIEW:
        return evn_preview_asks(trip, y);
    case EVN_CAPPED:
        return evn_cap_m_s2(trip);
    case EVN_HALTING:
        return halting_asks(trip, y);
    }
    return 0;
}

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

const evn_axle *evn_driven_axle(const evn_rig *r) { return &r->axle[r->unit_axle[0]]; }

/* Slip stiffness of the driven axle at this acceleration; the friction brakes' small load transfer is left out of it.
 */
static double slip_stiffness_n(const evn_rig *r, const evn_now *n, double accel)
{
    const evn_axle *axle = evn_driven_axle(r);
    if (isinf(axle->slip_stiffness))
        return (double)INFINITY;
    double load_n = evn_axle_load_n(&axle->load, r->gravity_m_s2, n->slope_cos, n->slope_sin, accel, 0);
    return axle->slip_stiffness * fmax(load_n, 0);
}

static double hub_n(const evn_rig *r, const evn_now *n, double tyre_n, double accel)
{
    double k = slip_stiffness_n(r, n, accel);
    return isinf(k) ? tyre_n : evn_slip_hub_n(tyre_n, k);
}

static double tyre_n(const evn_rig *r, const evn_now *n, double hub, double accel)
{
    double k = slip_stiffness_n(r, n, accel);
    return isinf(k) ? hub : evn_slip_tyre_n(hub, k);
}

/* Acceleration that a motor force gives without friction brakes. */
double evn_free_accel(const evn_now *n, double force_n) { return (force_n - n->base_n) / n->mass_kg; }

/* ------------------------------------------------------------------------------------------------ supply, pack */

double evn_trip_soc(const evn_trip *trip, const double *y)
{
    return trip->rig->start_soc - y[EVN_Y_CHARGE] / trip->rig->pack.capacity_as;
}

void evn_set_pack_limits(const evn_trip *trip, const double *y, evn_now *n)
{
    const evn_pack *p = &trip->rig->pack;
    n->soc = evn_trip_soc(trip, y);
    n->open_circuit_v = evn_curve_at(&p->open_circuit_v, n->soc);
    n->pack_most_w = evn_pack_most_w(p, n->open_circuit_v);
    n->pack_charge_w = evn_pack_charge_w(p, n->soc, n->open_circuit_v);
}

/* Bus voltage that a power envelope follows: explicit, at the pack's own limit. */
static double limit_voltage_v(const evn_pack *p, const evn_now *n, double terminal_w)
{
    return n->open_circuit_v - p->resistance_ohm * evn_pack_current_a(p, n->open_circuit_v, terminal_w);
}

double evn_limit_voltage_v(const evn_trip *trip, const evn_now *n)
{
    bool pushing = trip->push != EVN_FREE;
    return limit_voltage_v(&trip->rig->pack, n, pushing ? -n->pack_charge_w : n->pack_most_w);
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

evn_supply evn_pull_supply(const evn_trip *trip, const double *y, const evn_now *n)
{
    return (evn_supply){limit_voltage_v(&trip->rig->pack, n, n->pack_most_w), y[EVN_Y_WINDING], 1};
}

evn_supply evn_push_supply(const evn_trip *trip, const double *y, const evn_now *n)
{
    return (evn_supply){limit_voltage_v(&trip->rig->pack, n, -n->pack_charge_w), y[EVN_Y_WINDING],
                        fade_share(trip, n->speed_m_s)};
}

/* ------------------------------------------------------------------------------------------------ the unit at work */

/* Bus power and motor torque for a tyre force at an acceleration; adds to the flow. */
evn_at_work evn_drive_unit(const evn_trip *trip, const double *y, const evn_now *n, evn_setting s, double force_n,
                           double accel, evn_flow *flow)
{
    const evn_rig *r = trip->rig;
    double radius = evn_driven_axle(r)->radius_m, hub = hub_n(r, n, force_n, accel);
    evn_shaft at = {hub * radius, n->speed_m_s / radius, accel / radius};
    evn_at_work w;
    flow->w[EVN_TYRE_SLIP] += (hub - force_n) * n->speed_m_s;
    w.bus_w = evn_unit_draw_w(&r->unit[0], s, at, n->open_circuit_v, y[EVN_Y_WINDING], flow, &w.motor_nm);
    return w;
}

/* Tyre force of a motor torque at an acceleration. */
double evn_force_of_motor(const evn_trip *trip, const evn_now *n, evn_setting s, double motor_nm, double accel)
{
    const evn_rig *r = trip->rig;
    double radius = evn_driven_axle(r)->radius_m;
    double wheel_nm = evn_unit_wheel_nm(&r->unit[0], s, motor_nm, n->speed_m_s / radius, accel / radius);
    return tyre_n(r, n, wheel_nm / radius, accel);
}

static double neutral_force(const evn_trip *trip, const evn_now *n, double accel, evn_flow *flow)
{
    const evn_rig *r = trip->rig;
    double radius = evn_driven_axle(r)->radius_m;
    return evn_unit_neutral_nm(&r->unit[0], n->speed_m_s / radius, accel / radius, flow) / radius;
}

/* ------------------------------------------------------------------------------------------------ forces at limits */

/*
 * Tyre force and acceleration depend on each other through the inertia of what turns. Along the chain the force is
 * linear in the acceleration but for a few bends, so that secant steps end after two or three.
 */

double evn_coupled_force(const evn_trip *trip, const evn_now *n, evn_setting s, double motor_nm, evn_force_at force)
{
    double a0 = 0, f0 = force(trip, n, s, motor_nm, a0), e0 = evn_free_accel(n, f0) - a0;
    double a1 = a0 + e0, f1 = f0, e1;
    for (int i = 0; i < 8; i++) {
        f1 = force(trip, n, s, motor_nm, a1);
        e1 = evn_free_accel(n, f1) - a1;
        if (fabs(e1) <= 1e-14 * (1 + fabs(a1)) || e1 == e0)
            break;
        double next = a1 - e1 * (a1 - a0) / (e1 - e0);
        a0 = a1;
        e0 = e1;
        a1 = next;
    }
    return f1;
}

static double neutral_at(const evn_trip *trip, const evn_now *n, evn_setting s, double motor_nm, double accel)
{
    evn_flow unbooked = {{0}};
    (void)s, (void)motor_nm;
    return neutral_force(trip, n, accel, &unbooked);
}

static const double NO_LIMIT_N = 1e12;

/* mu N with N linear in the acceleration that the force itself gives. */
double evn_adhesion_pull_n(const evn_rig *r, const evn_now *n)
{
    const evn_axle_load *l = &evn_driven_axle(r)->load;
    double mu = r->adhesion_driving;
    double at_rest = evn_axle_load_n(l, r->gravity_m_s2, n->slope_cos, n->slope_sin, -n->base_n / n->mass_kg, 0);
    double share =
        mu * l->along_kg / n->mass_kg; /* of each newton of pull, what its load transfer lets through again */
    return share < 1 ? mu * at_rest / (1 - share) : NO_LIMIT_N;
}

/* The same pushing, at the asked acceleration, where friction brakes do the rest: F_brake = (F - base - m a)/factor. */
static double adhesion_push_n(const evn_rig *r, const evn_now *n)
{
    const evn_axle_load *l = &evn_driven_axle(r)->load;
    double mu = r->adhesion_regenerating, a = n->asked_m_s2;
    double without = evn_axle_load_n(l, r->gravity_m_s2, n->slope_cos, n->slope_sin, a, 0);
    double rest = (n->base_n + n->mass_kg * a) / n->brake_factor;
    return -mu * (without - l->brake * rest) / (1 + mu * l->brake / n->brake_factor);
}

/* Tyre force of a motor torque: at the acceleration it gives (pulling) or at the asked one (pushing, brakes do the
 * rest). */
static double force_of_torque(const evn_trip *trip, const evn_now *n, double motor_nm, bool pulling)
{
    evn_setting s = trip->box[0].now;
    return pulling ? evn_coupled_force(trip, n, s, motor_nm, evn_force_of_motor)
                   : evn_force_of_motor(trip, n, s, motor_nm, n->asked_m_s2);
}

/* Terminal power over the limit, as a function of the motor torque: convex, since losses grow with its square. */
typedef struct power_search {
    const evn_trip *trip;
    const double *y;
    const evn_now *n;
    double limit_w;
    bool pulling;
} power_search;

static double power_over_w(const power_search *p, double motor_nm)
{
    evn_flow unbooked = {{0}};
    double force = force_of_torque(p->trip, p->n, motor_nm, p->pulling);
    double a = p->pulling ? evn_free_accel(p->n, force) : p->n->asked_m_s2;
    double bus_w = evn_drive_unit(p->trip, p->y, p->n, p->trip->box[0].now, force, a, &unbooked).bus_w;
    return bus_w + p->trip->rig->auxiliaries_w - p->limit_w;
}

/* Root between `low`, where the power is under the limit, and `high`, where it is over: Illinois, with halvings
 * between. */
static double torque_at_limit(const power_search *p, double low, double high)
{
    double e_low = power_over_w(p, low), e_high = power_over_w(p, high), guess = high;
    int stayed = 0; /* above zero: how often the low end has stayed in a row; below: the high end */
    if (e_low >= 0)
        return low;
    if (e_high <= 0)
        return high;
    for (int i = 0; i < 100 && fabs(high - low) > 1e-13 * (fabs(low) + fabs(high)); i++) {
        guess = i % 4 == 3 ? 0.5 * (low + high) : low - e_low * (high - low) / (e_high - e_low);
        double e = power_over_w(p, guess);
        if (fabs(e) < 1e-10 * (1e3 + fabs(p->limit_w)))
            break;
        bool over = e > 0;
        stayed = over ? (stayed > 0 ? stayed + 1 : 1) : (stayed < 0 ? stayed - 1 : -1);
        if (over) {
            high = guess;
            e_high = e;
        } else {
            low = guess;
            e_low = e;
        }
        if (stayed > 1)
            e_low *= 0.5;
        else if (stayed < -1)
            e_high *= 0.5;
    }
    return guess;
}

/* Where the power is least between the least torque and none; beyond it the copper eats more than the torque returns.
 */
static double torque_of_least_power(const power_search *p, double least_nm)
{
    double low = least_nm, high = 0;
    for (int i = 0; i < 60; i++) {
        double a = low + 0.382 * (high - low), b = low + 0.618 * (high - low);
        if (power_over_w(p, a) < power_over_w(p, b))
            high = b;
        else
            low = a;
    }
    return 0.5 * (low + high);
}

/* Force at which the terminals give, or take, just the pack's limit. */
static double force_of_power(const evn_trip *trip, const double *y, const evn_now *n, bool pulling)
{
    power_search p = {trip, y, n, pulling ? n->pack_most_w : -n->pack_charge_w, pulling};
    double nm;
    if (pulling) {
        nm = torque_at_limit(&p, 0, n->most_nm);
    } else {
        double low = n->least_nm;
        if (power_over_w(&p, low) >= 0)
            low = torque_of_least_power(&p, low);
        nm = torque_at_limit(&p, low, 0);
    }
    return force_of_torque(trip, n, nm, pulling);
}

static double limited_force(const evn_trip *trip, const double *y, evn_now *n)
{
    evn_setting s = trip->box[0].now;
    bool pulling = trip->pull != EVN_FREE;
    switch (pulling ? trip->pull : trip->push) {
    case EVN_BY_MOTOR:
        return pulling ? evn_coupled_force(trip, n, s, n->most_nm, evn_force_of_motor)
                       : evn_force_of_motor(trip, n, s, n->least_nm, n->asked_m_s2);
    case EVN_BY_PACK:
        return force_of_power(trip, y, n, pulling);
    case EVN_BY_ADHESION:
        return pulling ? n->adhesion_most_n : n->adhesion_least_n;
    case EVN_BY_SHIFT:
        return pulling ? evn_coupled_force(trip, n, s, 0, neutral_at) : neutral_at(trip, n, s, 0, n->asked_m_s2);
    case EVN_FREE:
        break;
    }
    return n->need_n;
}

/* ------------------------------------------------------------------------------------------------ the instant */

static void set_kinematics(const evn_trip *trip, double t, const double *y, evn_now *n)
{
    bool prescribed = trip->law == EVN_PRESCRIBED;
    n->speed_m_s = prescribed ? evn_prescribed_speed(&trip->seg, t) : y[EVN_Y_SPEED];
    n->place_m = prescribed ? evn_prescribed_place(&trip->seg, t) : y[EVN_Y_PLACE];
    n->asked_m_s2 = asked(trip, y);
}

void evn_set_motor_limits(const evn_trip *trip, const double *y, evn_now *n)
{
    const evn_unit *u = &trip->rig->unit[0];
    evn_setting s = trip->box[0].now;
    evn_supply pull = evn_pull_supply(trip, y, n), push = evn_push_supply(trip, y, n);
    n->motor_rad_s = n->speed_m_s / evn_driven_axle(trip->rig)->radius_m * u->gear[s.gear].total_ratio;
    n->most_nm = evn_unit_most_motor_nm(u, s, n->motor_rad_s, &pull);
    n->least_nm = evn_unit_least_motor_nm(u, s, n->motor_rad_s, &push);
}

static void set_forces(const evn_trip *trip, const double *y, evn_now *n)
{
    n->need_n = n->base_n + n->mass_kg * n->asked_m_s2;
    n->adhesion_most_n = evn_adhesion_pull_n(trip->rig, n);
    n->adhesion_least_n = adhesion_push_n(trip->rig, n);
    n->unit_n = limited_force(trip, y, n);
    n->accel_m_s2 = trip->pull == EVN_FREE ? n->asked_m_s2 : evn_free_accel(n, n->unit_n);
    n->brake_n = trip->push == EVN_FREE ? 0 : (n->unit_n - n->base_n - n->mass_kg * n->asked_m_s2) / n->brake_factor;
    n->rolling_n = n->rolling_at_rest_n + (n->mass_kg - trip->rig->effective_kg) * n->accel_m_s2 +
                   (n->brake_factor - 1) * n->brake_n;
}

/* Engaged motors stand ready: their constant losses run at rest, and while a shift goes on. */
static double ready_w(const evn_trip *trip, evn_flow *flow)
{
    const evn_unit *u = &trip->rig->unit[0];
    double motor_w = 0, inverter_w = 0;
    for (size_t i = 0; i < u->motor_count; i++)
        if (trip->box[0].now.engaged >> i & 1u) {
            motor_w += u->motor[i].constant_w;
            inverter_w += u->motor[i].inverter_constant_w;
        }
    flow->w[EVN_MOTOR] += motor_w;
    flow->w[EVN_INVERTER] += inverter_w;
    return motor_w + inverter_w;
}

static void set_power(const evn_trip *trip, const double *y, evn_now *n)
{
    evn_flow *f = &n->flow;
    if (trip->motion != EVN_MOVING) {
        n->bus_w = ready_w(trip, f);
    } else if (trip->box[0].shifting) {
        neutral_force(trip, n, n->accel_m_s2, f);
        n->bus_w = ready_w(trip, f);
    } else {
        evn_at_work w = evn_drive_unit(trip, y, n, trip->box[0].now, n->unit_n, n->accel_m_s2, f);
        n->bus_w = w.bus_w;
        n->motor_nm = w.motor_nm;
    }
    n->winding_heat_w = f->w[EVN_MOTOR];
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
    memset(n, 0, offsetof(evn_now, cost_w));
    memset(&n->flow, 0, sizeof n->flow);
    evn_set_pack_limits(trip, y, n);
    if (trip->motion == EVN_MOVING) {
        set_kinematics(trip, t, y, n);
        evn_set_road(trip, n);
        evn_set_motor_limits(trip, y, n);
        set_forces(trip, y, n);
    } else {
        n->place_m = y[EVN_Y_PLACE];
        evn_set_road(trip, n);
        n->air_n = n->grade_n = n->rolling_n = 0; /* the brakes hold: no motion, no power */
    }
    set_power(trip, y, n);
}

double evn_trip_floor_w(const evn_trip *trip)
{
    evn_flow unbooked = {{0}};
    return ready_w(trip, &unbooked) + trip->rig->auxiliaries_w;
}

/* ------------------------------------------------------------------------------------------------ rates */

static double winding_rate(const evn_unit *u, double degc, double loss_w)
{
    const evn_motor *m = &u->motor[0];
    if (!m->has_winding)
        return 0;
    double each_w = loss_w / (double)u->motor_count;
    return (m->resistance_k_w * each_w - (degc - m->coolant_degc)) / m->time_constant_s;
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
    dy[EVN_Y_WINDING] = winding_rate(&trip->rig->unit[0], y[EVN_Y_WINDING], n.winding_heat_w);
    dy[EVN_Y_BUS] = n.bus_w;
    dy[EVN_Y_SLIP] = n.flow.w[EVN_TYRE_SLIP];
    dy[EVN_Y_WHEEL_END] = n.flow.w[EVN_WHEEL_END];
    dy[EVN_Y_FINAL_DRIVE] = n.flow.w[EVN_FINAL_DRIVE];
    dy[EVN_Y_SHAFTS] = n.flow.w[EVN_SHAFTS];
    dy[EVN_Y_GEARBOX] = n.flow.w[EVN_GEARBOX];
    dy[EVN_Y_MOTOR] = n.flow.w[EVN_MOTOR];
    dy[EVN_Y_INVERTER] = n.flow.w[EVN_INVERTER];
    dy[EVN_Y_FORGONE] = 0;
    if (trip->box[0].candidate >= 0 && moving && !trip->box[0].shifting) {
        double want = evn_wanted_n(trip, &n), a = n.accel_m_s2;
        dy[EVN_Y_FORGONE] = evn_gear_cost_w(trip, y, &n, trip->box[0].now.gear, want, a) -
                            evn_gear_cost_w(trip, y, &n, (uint8_t)trip->box[0].candidate, want, a);
    }
    return isfinite(n.accel_m_s2) && isfinite(n.current_a) && isfinite(dy[EVN_Y_FORGONE]);
}
