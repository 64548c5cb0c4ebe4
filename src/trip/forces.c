/*
 * Tyre forces: what a unit's motors give at the road and back, what limits it, and how several units share a request.
 */
#include "trip/motion.h"
#include <math.h>
#include <string.h>

/* ------------------------------------------------------------------------------------------------ tyres */

/* Normal load; the friction brakes' share of the load transfer only where it is asked for. */
static double load_n(const evn_rig *r, const evn_now *n, size_t axle, double accel, double brake_n)
{
    return evn_axle_load_n(&r->axle[axle].load, r->gravity_m_s2, n->slope_cos, n->slope_sin, accel, brake_n);
}

/* Slip stiffness of a driven axle at this acceleration; the friction brakes' small load transfer is left out of it. */
static double slip_stiffness_n(const evn_rig *r, const evn_now *n, size_t axle, double accel)
{
    if (isinf(r->axle[axle].slip_stiffness))
        return (double)INFINITY;
    return r->axle[axle].slip_stiffness * fmax(load_n(r, n, axle, accel, 0), 0);
}

static double hub_n(const evn_rig *r, const evn_now *n, size_t axle, double tyre_n, double accel)
{
    double k = slip_stiffness_n(r, n, axle, accel);
    return isinf(k) ? tyre_n : evn_slip_hub_n(tyre_n, k);
}

static double tyre_n(const evn_rig *r, const evn_now *n, size_t axle, double hub, double accel)
{
    double k = slip_stiffness_n(r, n, axle, accel);
    return isinf(k) ? hub : evn_slip_tyre_n(hub, k);
}

/* ------------------------------------------------------------------------------------------------ branches */

/* Tyre force of one branch for a torque at the dividing point. */
static double branch_force(const evn_rig *r, const evn_now *n, const evn_branch *b, double split_nm, double accel)
{
    double radius = r->axle[b->axle].radius_m;
    double wheel_nm = evn_branch_wheel_nm(b, b->share * split_nm, n->speed_m_s / radius, accel / radius);
    return tyre_n(r, n, b->axle, wheel_nm / radius, accel);
}

/* Forces of the branches for a torque at the dividing point; returns their sum. */
static double branch_forces(const evn_rig *r, const evn_now *n, const evn_unit *u, double split_nm, double accel,
                            double force_n[])
{
    double sum = 0;
    for (size_t k = 0; k < u->branch_count; k++)
        sum += force_n[k] = branch_force(r, n, &u->branch[k], split_nm, accel);
    return sum;
}

/*
 * Forces of the branches that sum up to a total: the torque at the dividing point is sought, along nearly a straight
 * line; what is left after a secant step or two is handed out alike.
 */
static void divide_force(const evn_rig *r, const evn_now *n, const evn_unit *u, double rad_m, double total_n,
                         double accel, double force_n[])
{
    double x0 = 0, e0 = branch_forces(r, n, u, x0, accel, force_n) - total_n, x1 = -e0 / rad_m, e1 = e0;
    for (int i = 0; i < 30; i++) {
        e1 = branch_forces(r, n, u, x1, accel, force_n) - total_n;
        if (fabs(e1) <= 1e-8 * (1e3 + fabs(total_n)) || e1 == e0)
            break;
        double next = x1 - e1 * (x1 - x0) / (e1 - e0);
        x0 = x1;
        e0 = e1;
        x1 = next;
    }
    for (size_t k = 0; k < u->branch_count; k++)
        force_n[k] -= e1 / (double)u->branch_count;
}

/* Books slip and losses of the branches; the shaft at the dividing point, its torque that which keeps the power. */
static evn_shaft branches_up(const evn_rig *r, const evn_now *n, const evn_unit *u, const double force_n[],
                             double rad_m, double accel, evn_flow *flow)
{
    double split_nm = 0;
    for (size_t k = 0; k < u->branch_count; k++) {
        const evn_branch *b = &u->branch[k];
        double radius = r->axle[b->axle].radius_m, hub = hub_n(r, n, b->axle, force_n[k], accel);
        flow->w[EVN_TYRE_SLIP] += (hub - force_n[k]) * n->speed_m_s;
        evn_shaft at = evn_branch_up(b, (evn_shaft){hub * radius, n->speed_m_s / radius, accel / radius}, flow);
        split_nm += at.torque_nm * b->ratio / radius;
    }
    return (evn_shaft){split_nm / rad_m, n->speed_m_s * rad_m, accel * rad_m};
}

/* ------------------------------------------------------------------------------------------------ a unit at work */

static evn_shaft wheels_of(const evn_trip *trip, const evn_now *n, size_t unit, double force_n, double accel,
                           evn_flow *flow)
{
    const evn_rig *r = trip->rig;
    const evn_unit *u = &r->unit[unit];
    if (u->branch_count) {
        double each_n[EVN_BRANCHES_MAX];
        divide_force(r, n, u, r->unit_rad_m[unit], force_n, accel, each_n);
        return branches_up(r, n, u, each_n, r->unit_rad_m[unit], accel, flow);
    }
    double radius = r->axle[u->axle].radius_m, hub = hub_n(r, n, u->axle, force_n, accel);
    flow->w[EVN_TYRE_SLIP] += (hub - force_n) * n->speed_m_s;
    return (evn_shaft){hub * radius, n->speed_m_s / radius, accel / radius};
}

evn_at_work evn_member_draw(const evn_trip *trip, const double *y, const evn_now *n, size_t unit, const evn_member *m,
                            double force_n, double accel, evn_flow *flow)
{
    evn_at_work w;
    evn_shaft at = wheels_of(trip, n, unit, force_n, accel, flow);
    w.bus_w = evn_unit_draw_w(&trip->rig->unit[unit], m->setting, at, n->open_circuit_v,
                              y[evn_y_of(unit, EVN_U_WINDING)], flow, &w.motor_nm);
    return w;
}

/* Tyre force for a torque at the wheel side of the chain. */
static double force_of_chain(const evn_trip *trip, const evn_now *n, size_t unit, double chain_nm, double accel)
{
    const evn_rig *r = trip->rig;
    const evn_unit *u = &r->unit[unit];
    double each_n[EVN_BRANCHES_MAX];
    if (u->branch_count)
        return branch_forces(r, n, u, chain_nm, accel, each_n);
    return tyre_n(r, n, u->axle, chain_nm / r->axle[u->axle].radius_m, accel);
}

double evn_member_force(const evn_trip *trip, const evn_now *n, size_t unit, const evn_member *m, double motor_nm,
                        double accel)
{
    double rad_m = trip->rig->unit_rad_m[unit];
    double nm = evn_unit_wheel_nm(&trip->rig->unit[unit], m->setting, motor_nm, n->speed_m_s * rad_m, accel * rad_m);
    return force_of_chain(trip, n, unit, nm, accel);
}

/* Without slip where the chain drives one axle: a drag of a few newton metres. */
double evn_member_dragged(const evn_trip *trip, const evn_now *n, size_t unit, const evn_member *m, double accel,
                          evn_flow *flow)
{
    const evn_rig *r = trip->rig;
    const evn_unit *u = &r->unit[unit];
    double rad_m = r->unit_rad_m[unit];
    double nm = evn_unit_dragged_nm(u, m->turning, n->speed_m_s * rad_m, accel * rad_m, flow);
    if (u->branch_count == 0)
        return nm * rad_m;
    double each_n[EVN_BRANCHES_MAX], sum = branch_forces(r, n, u, nm, accel, each_n);
    branches_up(r, n, u, each_n, rad_m, accel, flow);
    return sum;
}

/* ------------------------------------------------------------------------------------------------ adhesion */

static const double NO_LIMIT_N = 1e12;

/* mu N with N linear in the acceleration that the force itself gives. */
double evn_adhesion_pull_n(const evn_rig *r, const evn_now *n, size_t unit)
{
    const evn_axle_load *l = &r->axle[r->unit[unit].axle].load;
    double mu = r->adhesion_driving;
    double at_rest = evn_axle_load_n(l, r->gravity_m_s2, n->slope_cos, n->slope_sin, -n->base_n / n->mass_kg, 0);
    double share =
        mu * l->along_kg / n->mass_kg; /* of each newton of pull, what its load transfer lets through again */
    return share < 1 ? mu * at_rest / (1 - share) : NO_LIMIT_N;
}

/* The same pushing, at the asked acceleration, where friction brakes do the rest: F_brake = (F - base - m a)/factor. */
static double adhesion_push_n(const evn_rig *r, const evn_now *n, size_t unit)
{
    const evn_axle_load *l = &r->axle[r->unit[unit].axle].load;
    double mu = r->adhesion_regenerating, a = n->asked_m_s2;
    double without = evn_axle_load_n(l, r->gravity_m_s2, n->slope_cos, n->slope_sin, a, 0);
    double rest = (n->base_n + n->mass_kg * a) / n->brake_factor;
    return -mu * (without - l->brake * rest) / (1 + mu * l->brake / n->brake_factor);
}

/* Force at which a unit's tyres carry what they may, pulling (mu above zero) or pushing, at an acceleration. */
static double adhesion_n(const evn_trip *trip, const evn_now *n, size_t unit, double mu, double accel, double brake_n)
{
    const evn_rig *r = trip->rig;
    const evn_unit *u = &r->unit[unit];
    if (u->branch_count == 0)
        return mu * fmax(load_n(r, n, u->axle, accel, brake_n), 0);
    double least = (double)INFINITY; /* the branch that reaches its limit first holds the others */
    for (size_t k = 0; k < u->branch_count; k++) {
        const evn_branch *b = &u->branch[k];
        evn_flow unbooked = {{0}};
        double radius = r->axle[b->axle].radius_m;
        double hub = hub_n(r, n, b->axle, mu * fmax(load_n(r, n, b->axle, accel, brake_n), 0), accel);
        evn_shaft at = {hub * radius, n->speed_m_s / radius, accel / radius};
        double split = evn_branch_up(b, at, &unbooked).torque_nm / b->share;
        least = fmin(least, mu > 0 ? split : -split);
    }
    double each_n[EVN_BRANCHES_MAX];
    return branch_forces(r, n, u, mu > 0 ? least : -least, accel, each_n);
}

/* Certainly below that, without working out how branches share: each with a good part more than its share. */
static bool easily_carried(const evn_trip *trip, const evn_now *n, size_t unit, double force_n, double accel)
{
    const evn_rig *r = trip->rig;
    const evn_unit *u = &r->unit[unit];
    double mu = force_n > 0 ? r->adhesion_driving : r->adhesion_regenerating;
    if (u->branch_count == 0)
        return fabs(force_n) <= mu * load_n(r, n, u->axle, accel, 0);
    for (size_t k = 0; k < u->branch_count; k++) {
        const evn_branch *b = &u->branch[k];
        double part = b->share * b->ratio / r->axle[b->axle].radius_m / r->unit_rad_m[unit];
        if (1.3 * part * fabs(force_n) + 500 > mu * load_n(r, n, b->axle, accel, 0))
            return false;
    }
    return true;
}

/* ------------------------------------------------------------------------------------------------ a team at work */

/* A single unit on one axle has its adhesion limit as an event of its own (rules.c); else it cuts the unit's force. */
bool evn_cut_by_adhesion(const evn_rig *r) { return r->unit_count > 1 || r->unit[0].branch_count > 0; }

/* Adhesion limits what motors add while braking; that a unit drags more by itself they cannot help. */
static double cut_force(const evn_trip *trip, const evn_now *n, size_t unit, const evn_member *m, double force_n,
                        double share, double accel, double brake_n)
{
    const evn_rig *r = trip->rig;
    if (brake_n == 0 && easily_carried(trip, n, unit, force_n, accel))
        return force_n;
    if (share > 0)
        return fmin(force_n, adhesion_n(trip, n, unit, r->adhesion_driving, accel, brake_n));
    double carried_n = adhesion_n(trip, n, unit, -r->adhesion_regenerating, accel, brake_n);
    return fmax(force_n, fmin(carried_n, evn_member_force(trip, n, unit, m, 0, accel)));
}

double evn_team_forces(const evn_trip *trip, const evn_now *n, const evn_team *team, double share, double accel,
                       double brake_n, double force_n[])
{
    const evn_rig *r = trip->rig;
    double sum = 0;
    for (size_t u = 0; u < r->unit_count; u++) {
        const evn_member *m = &team->unit[u];
        evn_flow unbooked = {{0}};
        if (!m->connected) {
            force_n[u] = evn_member_dragged(trip, n, u, m, accel, &unbooked);
        } else {
            force_n[u] = evn_member_force(trip, n, u, m, share >= 0 ? share * m->most_nm : -share * m->least_nm, accel);
            if (share != 0 && evn_cut_by_adhesion(r))
                force_n[u] = cut_force(trip, n, u, m, force_n[u], share, accel, brake_n);
        }
        sum += force_n[u];
    }
    return sum;
}

/*
 * Adds what is missing to a total in proportion to how far each unit's force went from `from`; in equal parts if none
 * did. By its amount alone: in the moment before a limit is found to bind much may be missing, and units that went
 * opposite ways must not be driven apart by it.
 */
static void add_rest(const evn_trip *trip, const evn_team *team, double rest_n, const double from[], double force_n[])
{
    double gone = 0;
    for (size_t u = 0; u < trip->rig->unit_count; u++)
        gone += fabs(force_n[u] - from[u]);
    for (size_t u = 0; u < trip->rig->unit_count; u++)
        if (team->unit[u].connected)
            force_n[u] += rest_n * (gone > 1 ? fabs(force_n[u] - from[u]) / gone : 1.0 / (double)team->connected);
}

/* Near enough: the rest is handed out in proportion, and what the shares are off by costs only its square. */
static bool near_total(double off_n, double total_n) { return fabs(off_n) <= 1e-8 * (1e3 + fabs(total_n)); }

/*
 * Root of the sum over the share, which it rises with; nearly a straight line but where adhesion cuts a unit, and level
 * once it cuts all. Regula falsi, the end that stays halved (Illinois), with halvings of the share between.
 */
static double share_within(const evn_trip *trip, const evn_now *n, const evn_team *team, double total_n, double accel,
                           double brake_n, double end, double at_rest_n, double at_end_n, double force_n[])
{
    double low = 0, high = end, e_low = at_rest_n - total_n, e_high = at_end_n - total_n, sum = at_end_n;
    int stayed = 0;
    for (int i = 0; i < 60 && !near_total(sum - total_n, total_n); i++) {
        double x = i % 4 == 3 ? 0.5 * (low + high) : low - e_low * (high - low) / (e_high - e_low), e;
        sum = evn_team_forces(trip, n, team, x, accel, brake_n, force_n);
        e = sum - total_n;
        if ((e < 0) == (e_high < 0)) {
            high = x;
            e_high = e;
            e_low *= stayed > 0 ? 0.5 : 1;
            stayed = 1;
        } else {
            low = x;
            e_low = e;
            e_high *= stayed < 0 ? 0.5 : 1;
            stayed = -1;
        }
    }
    return sum;
}

/* Tyre force of all connected motors at what they can, as if nothing were lost: a first guess. */
static double rough_reach_n(const evn_trip *trip, const evn_team *team, double end)
{
    double sum = 0;
    for (size_t u = 0; u < trip->rig->unit_count; u++) {
        const evn_member *m = &team->unit[u];
        if (m->connected)
            sum += (end > 0 ? m->most_nm : m->least_nm) * trip->rig->unit[u].gear[m->setting.gear].total_ratio *
                   trip->rig->unit_rad_m[u];
    }
    return sum;
}

/* Two or three secant steps from rest; false where they do not end within what the units reach. */
static bool share_by_secant(const evn_trip *trip, const evn_now *n, const evn_team *team, double total_n, double accel,
                            double brake_n, double end, double at_rest_n, double force_n[], double *sum)
{
    double x0 = 0, e0 = at_rest_n - total_n, x1 = -e0 / fabs(rough_reach_n(trip, team, end));
    for (int i = 0; i < 5; i++) {
        if (!(end * x1 >= 0 && end * x1 <= 1))
            return false;
        *sum = evn_team_forces(trip, n, team, x1, accel, brake_n, force_n);
        double e1 = *sum - total_n;
        if (near_total(e1, total_n))
            return true;
        if (e1 == e0)
            return false;
        double next = x1 - e1 * (x1 - x0) / (e1 - e0);
        x0 = x1;
        e0 = e1;
        x1 = next;
    }
    return false;
}

/* Several units at one share; returns the sum of their forces, which falls short of what is beyond their reach. */
static double share_alike(const evn_trip *trip, const evn_now *n, const evn_team *team, double total_n, double accel,
                          double brake_n, double at_rest_n, double force_n[])
{
    double end = total_n >= at_rest_n ? 1 : -1, sum;
    if (share_by_secant(trip, n, team, total_n, accel, brake_n, end, at_rest_n, force_n, &sum))
        return sum;
    double at_end = evn_team_forces(trip, n, team, end, accel, brake_n, force_n);
    if (fabs(at_end - at_rest_n) <= 1 || end * (at_end - total_n) <= 0)
        return at_end;
    return share_within(trip, n, team, total_n, accel, brake_n, end, at_rest_n, at_end, force_n);
}

void evn_team_share(const evn_trip *trip, const evn_now *n, const evn_team *team, double total_n, double accel,
                    double brake_n, double force_n[])
{
    double idle[EVN_UNITS_MAX];
    if (trip->rig->unit_count == 1) {
        force_n[0] = total_n;
        return;
    }
    double sum = evn_team_forces(trip, n, team, 0, accel, 0, idle);
    memcpy(force_n, idle, sizeof idle);
    if (team->connected > 1)
        sum = share_alike(trip, n, team, total_n, accel, brake_n, sum, force_n);
    add_rest(trip, team, total_n - sum, idle, force_n);
}

/* ------------------------------------------------------------------------------------------------ forces at limits */

/*
 * Tyre force and acceleration depend on each other through the inertia of what turns. Along the chain the force is
 * linear in the acceleration but for a few bends, so that secant steps end after two or three.
 */
double evn_team_pull_n(const evn_trip *trip, const evn_now *n, const evn_team *team, double share)
{
    double force[EVN_UNITS_MAX];
    double a0 = 0, f0 = evn_team_forces(trip, n, team, share, a0, 0, force), e0 = evn_free_accel(n, f0) - a0;
    double a1 = a0 + e0, f1 = f0, e1;
    for (int i = 0; i < 8; i++) {
        f1 = evn_team_forces(trip, n, team, share, a1, 0, force);
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

/* What friction brakes do besides a force of the motors, at the asked acceleration. */
static double rest_by_brakes_n(const evn_now *n, double force_n)
{
    return fmax((force_n - n->base_n - n->mass_kg * n->asked_m_s2) / n->brake_factor, 0);
}

/* Pushing, at the asked acceleration: what friction brakes do loads the axles, and so depends on the force itself. */
static double team_push_n(const evn_trip *trip, const evn_now *n, const evn_team *team, double share)
{
    double force[EVN_UNITS_MAX], a = n->asked_m_s2;
    double sum = evn_team_forces(trip, n, team, share, a, 0, force);
    if (!evn_cut_by_adhesion(trip->rig))
        return sum;
    for (int i = 0; i < 30; i++) { /* the brakes' load transfer is a tenth of their force: a contraction */
        double brake = rest_by_brakes_n(n, sum);
        double next = evn_team_forces(trip, n, team, share, a, brake, force);
        if (fabs(next - sum) <= 1e-13 * (1e3 + fabs(sum)))
            return next;
        sum = next;
    }
    return sum;
}

static double team_limit_n(const evn_trip *trip, const evn_now *n, const evn_team *team, double share)
{
    return share >= 0 ? evn_team_pull_n(trip, n, team, share) : team_push_n(trip, n, team, share);
}

/*
 * Terminal power over the limit, as a function of the share of the motors' torque: convex, since losses grow with its
 * square.
 */
typedef struct power_search {
    const evn_trip *trip;
    const double *y;
    const evn_now *n;
    double limit_w;
    bool pulling;
} power_search;

static double force_of_share(const power_search *p, double share)
{
    return p->pulling ? evn_team_pull_n(p->trip, p->n, &p->n->team, share)
                      : team_push_n(p->trip, p->n, &p->n->team, share);
}

static double power_over_w(const power_search *p, double share)
{
    double force[EVN_UNITS_MAX], total = force_of_share(p, share), bus_w = 0;
    double a = p->pulling ? evn_free_accel(p->n, total) : p->n->asked_m_s2;
    double brake = p->pulling ? 0 : rest_by_brakes_n(p->n, total);
    evn_team_share(p->trip, p->n, &p->n->team, total, a, brake, force);
    for (size_t u = 0; u < p->trip->rig->unit_count; u++) {
        const evn_member *m = &p->n->team.unit[u];
        evn_flow unbooked = {{0}};
        bus_w += m->connected ? evn_member_draw(p->trip, p->y, p->n, u, m, force[u], a, &unbooked).bus_w
                              : evn_ready_w(p->trip, u, m->setting, &unbooked);
    }
    return bus_w + p->trip->rig->auxiliaries_w - p->limit_w;
}

/* Root between `low`, where the power is under the limit, and `high`, where it is over: Illinois, with halvings
 * between. */
static double share_at_limit(const power_search *p, double low, double high)
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
static double share_of_least_power(const power_search *p, double least)
{
    double low = least, high = 0;
    for (int i = 0; i < 60; i++) {
        double a = low + 0.382 * (high - low), b = low + 0.618 * (high - low);
        if (power_over_w(p, a) < power_over_w(p, b))
            high = b;
        else
            low = a;
    }
    return 0.5 * (low + high);
}

/*
 * Force at which the terminals give, or take, just the pack's limit; and by how much the motors could go beyond it,
 * below zero where they cannot reach it.
 */
static double force_of_power(const evn_trip *trip, const double *y, const evn_now *n, bool pulling, double *beyond_w)
{
    power_search p = {trip, y, n, pulling ? n->pack_most_w : -n->pack_charge_w, pulling};
    double share, most = pulling ? 1 : -1, over_w = power_over_w(&p, most);
    if (pulling) {
        share = share_at_limit(&p, 0, most);
    } else {
        if (over_w >= 0) {
            most = share_of_least_power(&p, most);
            over_w = power_over_w(&p, most);
        }
        share = share_at_limit(&p, most, 0);
    }
    *beyond_w = pulling ? over_w : -over_w;
    return force_of_share(&p, share);
}

double evn_limited_force(const evn_trip *trip, const double *y, evn_now *n)
{
    bool pulling = trip->pull != EVN_FREE, cut = evn_cut_by_adhesion(trip->rig);
    double share = pulling ? 1 : -1;
    if (!cut) {
        n->adhesion_most_n = evn_adhesion_pull_n(trip->rig, n, 0);
        n->adhesion_least_n = adhesion_push_n(trip->rig, n, 0);
    }
    switch (pulling ? trip->pull : trip->push) {
    case EVN_BY_MOTOR:
        return team_limit_n(trip, n, &n->team, share);
    case EVN_BY_PACK:
        return force_of_power(trip, y, n, pulling, &n->beyond_pack_w);
    case EVN_BY_ADHESION:
        return cut ? team_limit_n(trip, n, &n->team, share) : pulling ? n->adhesion_most_n : n->adhesion_least_n;
    case EVN_BY_SHIFT: /* nothing is connected: the share does not matter */
        return team_limit_n(trip, n, &n->team, share);
    case EVN_FREE:
        break;
    }
    return n->need_n;
}

/* ------------------------------------------------------------------------------------------------ for the rules */

bool evn_team_carries(const evn_trip *trip, const evn_now *n, const evn_team *team, double accel,
                      const double force_n[])
{
    for (size_t u = 0; u < trip->rig->unit_count; u++)
        if (team->unit[u].connected && !easily_carried(trip, n, u, force_n[u], accel))
            return false;
    return true;
}

/* By how much a unit's adhesion limit is above what its motors can, of the unit where that is most. */
static double most_apart_n(const evn_trip *trip, const evn_now *n, bool pulling)
{
    const evn_rig *r = trip->rig;
    double most = -NO_LIMIT_N;
    for (size_t u = 0; u < r->unit_count; u++) {
        const evn_member *m = &n->team.unit[u];
        if (!m->connected)
            continue;
        double motors = evn_member_force(trip, n, u, m, pulling ? m->most_nm : m->least_nm, n->accel_m_s2);
        double mu = pulling ? r->adhesion_driving : -r->adhesion_regenerating;
        double tyres = adhesion_n(trip, n, u, mu, n->accel_m_s2, n->brake_n);
        most = fmax(most, pulling ? tyres - motors : motors - tyres);
    }
    return most;
}

/* Well within what motors and tyres can: the limits need not be worked out. */
static bool far_from_limits(const evn_trip *trip, const evn_now *n)
{
    static const double FAR = 0.7;
    const evn_rig *r = trip->rig;
    if (trip->pull != EVN_FREE || trip->push != EVN_FREE)
        return false;
    for (size_t u = 0; u < r->unit_count; u++) {
        const evn_member *m = &n->team.unit[u];
        double nm = n->unit_motor_nm[u];
        if (!m->connected)
            continue;
        if (nm > FAR * m->most_nm || nm < FAR * m->least_nm)
            return false;
        if (!easily_carried(trip, n, u, n->force_n[u] / FAR, n->accel_m_s2))
            return false;
    }
    return true;
}

void evn_now_reach(const evn_trip *trip, evn_now *n)
{
    n->most_n = NO_LIMIT_N;
    n->least_n = -NO_LIMIT_N;
    if (!evn_cut_by_adhesion(trip->rig) || far_from_limits(trip, n))
        return;
    if (trip->push == EVN_FREE)
        n->most_n = evn_team_pull_n(trip, n, &n->team, 1);
    if (trip->pull == EVN_FREE)
        n->least_n = team_push_n(trip, n, &n->team, -1);
    if (trip->pull != EVN_FREE || trip->push != EVN_FREE)
        n->apart_n = most_apart_n(trip, n, trip->pull != EVN_FREE);
}
