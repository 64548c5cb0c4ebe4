/* Settings compared at one instant, and those of a launch. */
#include "pull/prices.h"
#include "pull/member.h"
#include "pull/slowing.h"
#include "pull/team.h"
#include <math.h>

static const double NEAR_TOP = 0.98; /* of the motors' speed limit */

/*
 * A setting whose motors turn too fast, or would within the dwell of a gear change at this acceleration: it would have
 * to be left at once. Jumps in speed and acceleration: for watches only, never for a rate.
 */
static bool overspeeds(const evn_instant *n, size_t unit, const evn_member *m)
{
    const evn_given *at = &n->pull.at;
    const evn_unit *u = &at->rig->unit[unit];
    double top = evn_unit_top_rad_s(u), ahead = 0;
    if (m->setting.gear != at->unit[unit].setting.gear)
        ahead = fmax(n->accel_m_s2, 0) * u->shift_dwell_s / fmax(at->speed_m_s, 1);
    return m->motor_rad_s > NEAR_TOP * top || m->motor_rad_s * (1 + ahead) > top;
}

static double unit_losses_w(const evn_flow *f)
{
    double sum = 0;
    for (int i = EVN_UNIT_LINES; i < EVN_LINE_COUNT; i++)
        sum += f->w[i];
    return sum;
}

/* Losses of the units at given forces, and the torques of their motors. */
static double losses_w(const evn_pull *p, const evn_team *team, double accel, const double force_n[], double motor_nm[])
{
    double sum = 0;
    evn_flow unbooked = {{0}};
    for (size_t u = 0; u < p->at.rig->unit_count; u++) {
        const evn_member *m = &team->unit[u];
        motor_nm[u] = 0;
        if (m->connected) {
            evn_at_work w = evn_member_at_work(p, u, m, force_n[u], accel);
            motor_nm[u] = w.motor_nm;
            sum += evn_member_losses_w(p, m, w.bus_w, force_n[u], accel);
        } else {
            double dragged_n = evn_member_dragged(p, u, m, accel, NULL);
            double ready_w = evn_unit_ready_w(&p->at.rig->unit[u], m->setting, &unbooked);
            sum += evn_member_losses_w(p, m, ready_w, dragged_n, accel);
        }
    }
    return sum;
}

/* Nm by which a torque may pass its limit: round-off at a limit of zero, where the winding is at its hottest. */
static double slack_nm(double limit_nm) { return 1e-6 * (100 + fabs(limit_nm)); }

typedef struct demand {
    double need_n, want_n, accel,
        brake_n; /* of all; of the motors; brake_n: at which tyres are asked what they carry */
} demand;

/* 1: a unit would pull more than it can, -1: push more, 0: none would. */
static int beyond(const evn_pull *p, const evn_team *team, const demand *d, const double force_n[],
                  const double motor_nm[])
{
    for (size_t u = 0; u < p->at.rig->unit_count; u++) {
        const evn_member *m = &team->unit[u];
        if (m->connected && motor_nm[u] > m->most_nm + slack_nm(m->most_nm))
            return 1;
        if (m->connected && motor_nm[u] < m->least_nm - slack_nm(m->least_nm))
            return -1;
    }
    if (!evn_cut_by_adhesion(p->at.rig) || evn_team_carries(p, team, d->accel, d->brake_n, force_n))
        return 0;
    double force[EVN_UNITS_MAX];
    double share = d->want_n >= evn_team_forces(p, team, 0, d->accel, d->brake_n, force) ? 1 : -1;
    double rest = d->want_n - evn_team_forces(p, team, share, d->accel, d->brake_n, force);
    return share * rest > 1e-6 * (1 + fabs(d->want_n)) ? (int)share : 0;
}

static const double WALKING_M_S = 2;

double evn_cost_w(const evn_cost *cost, double speed_m_s)
{
    double at_m_s = cost->missing_n > 0 ? fmax(speed_m_s, WALKING_M_S) : speed_m_s;
    return cost->losses_w + fabs(cost->missing_n) * at_m_s;
}

static evn_cost team_cost(const evn_pull *p, const evn_team *team, const demand *d)
{
    double force[EVN_UNITS_MAX], motor_nm[EVN_UNITS_MAX], got = d->want_n;
    evn_team_share(p, team, d->want_n, d->accel, d->brake_n, force);
    double sum = losses_w(p, team, d->accel, force, motor_nm);
    int side = beyond(p, team, d, force, motor_nm);
    if (side != 0) {
        got = evn_team_forces(p, team, side, d->accel, d->brake_n, force);
        sum = losses_w(p, team, d->accel, force, motor_nm);
    }
    return (evn_cost){sum, got, d->need_n - got};
}

static double team_cost_w(const evn_pull *p, const evn_team *team, const demand *d)
{
    evn_cost cost = team_cost(p, team, d);
    return evn_cost_w(&cost, p->at.speed_m_s);
}

/* Other limits than the motors' hold in every setting alike: what they leave is what is needed. */
static bool others_hold(const evn_instant *n)
{
    const evn_given *at = &n->pull.at;
    bool pack = at->pull == EVN_BY_PACK || at->push == EVN_BY_PACK;
    bool adhesion = at->pull == EVN_BY_ADHESION || at->push == EVN_BY_ADHESION;
    return pack || (adhesion && !evn_cut_by_adhesion(at->rig));
}

/*
 * Of what is needed the motors of a team are asked for their share, and friction brakes burn the rest. What these do
 * hardly loads the axles, and is left out but where a margin holds the driven ones to them.
 */
static demand demand_of(const evn_instant *n, const evn_team *team)
{
    double brake_n = isinf(n->pull.at.rig->regenerating_margin) ? 0 : n->rest_n, a = n->accel_m_s2;
    if (others_hold(n))
        return (demand){n->limited.unit_n, n->limited.unit_n, a, brake_n};
    return (demand){n->need_n, evn_wanted_of_motors_n(&n->pull, team, n->need_n, a), a, brake_n};
}

static double cost_of_team_w(const evn_instant *n, const evn_team *team)
{
    demand d = demand_of(n, team);
    return team_cost_w(&n->pull, team, &d);
}

/* Of the settings as they are: where the units give what is wanted, the instant has their losses already. */
static double present_cost_w(const evn_instant *n)
{
    const evn_pull *p = &n->pull;
    demand d = demand_of(n, &p->team);
    double sum = 0;
    bool given = d.want_n == n->limited.unit_n && n->rest_n == 0;
    if (!given || beyond(p, &p->team, &d, n->force_n, n->unit_motor_nm) != 0)
        return team_cost_w(p, &p->team, &d);
    for (size_t u = 0; u < p->at.rig->unit_count; u++)
        sum += unit_losses_w(&n->unit_flow[u]);
    return sum;
}

/* The team with another setting of one unit. */
static evn_team replaced(const evn_pull *p, size_t unit, evn_setting s)
{
    evn_team team;
    team.connected = 0;
    for (size_t u = 0; u < p->at.rig->unit_count; u++) {
        team.unit[u] = u == unit ? evn_pull_member(p, unit, s, false) : p->team.unit[u];
        team.connected += team.unit[u].connected;
    }
    return team;
}

/* A connected unit whose highest gear is good for the truck's top speed: the last of those does not disconnect. */
static bool may_go_on(const evn_rig *r, const evn_team *team)
{
    for (size_t u = 0; u < r->unit_count; u++)
        if (team->unit[u].connected && evn_rig_unit_top_m_s(r, u) >= (1 - 1e-9) * r->top_speed_m_s)
            return true;
    return false;
}

static double cost_with(const evn_instant *n, size_t unit, evn_setting s, double now_w)
{
    const evn_unit_given *as_is = &n->pull.at.unit[unit];
    bool present = evn_same_setting(s, as_is->setting) && !as_is->shifting;
    evn_team team = present ? n->pull.team : replaced(&n->pull, unit, s);
    if ((evn_is_open(s) && !may_go_on(n->pull.at.rig, &team)) || overspeeds(n, unit, &team.unit[unit]))
        return EVN_NEVER_W;
    if (present)
        return now_w;
    return cost_of_team_w(n, &team);
}

/* Whether no motor turns too fast, and the truck may go on so. */
static bool may_be(const evn_rig *r, const evn_team *team)
{
    for (size_t u = 0; u < r->unit_count; u++)
        if (team->unit[u].motor_rad_s > NEAR_TOP * evn_unit_top_rad_s(&r->unit[u]))
            return false;
    return may_go_on(r, team);
}

void evn_instant_outline(evn_instant *n)
{
    evn_pull *p = &n->pull;
    evn_pull_make(p);
    n->accel_m_s2 = p->at.asked_m_s2;
    n->need_n = p->road.base_n + p->road.mass_kg * n->accel_m_s2;
    n->want_n = n->limited.unit_n = evn_wanted_of_motors_n(p, &p->team, n->need_n, n->accel_m_s2);
    n->rest_n = (n->want_n - n->need_n) / p->road.brake_factor;
}

bool evn_instant_cost(const evn_instant *n, const evn_team *team, evn_cost *cost)
{
    if (!may_be(n->pull.at.rig, team))
        return false;
    demand d = demand_of(n, team);
    d.brake_n = n->rest_n;
    *cost = team_cost(&n->pull, team, &d);
    return true;
}

void evn_instant_prices(const evn_instant *n, evn_prices *prices)
{
    const evn_rig *r = n->pull.at.rig;
    prices->now_w = present_cost_w(n);
    for (size_t u = 0; u < r->unit_count; u++)
        for (size_t k = 0; k < r->unit[u].setting_count; k++)
            prices->w[u][k] = cost_with(n, u, r->unit[u].setting[k], prices->now_w);
}

double evn_instant_forgone_w(const evn_instant *n, size_t unit, evn_setting s)
{
    evn_team team = replaced(&n->pull, unit, s);
    return present_cost_w(n) - cost_of_team_w(n, &team);
}

/* Losses of the present team that pulls a force in all, whether it can or not. */
static double losses_pulling_w(const evn_instant *n, double pulled_n, double accel)
{
    double force[EVN_UNITS_MAX], motor_nm[EVN_UNITS_MAX];
    evn_team_share(&n->pull, &n->pull.team, pulled_n, accel, 0, force);
    return losses_w(&n->pull, &n->pull.team, accel, force, motor_nm);
}

/* For each second of a pause that left so much to be brought afterwards. */
static double catching_up_w(const evn_instant *n, double pulled_n, double missing_n, double now_w)
{
    static const double LEAST_SHARE = 0.01; /* at the motors' limit: the slope of the losses there */
    double force[EVN_UNITS_MAX];
    double spare_n = evn_team_forces(&n->pull, &n->pull.team, 1, n->accel_m_s2, 0, force) - pulled_n;
    double more_n = fmin(fmax(spare_n, LEAST_SHARE * missing_n), missing_n);
    return (losses_pulling_w(n, pulled_n + more_n, n->accel_m_s2) - now_w) * missing_n / more_n;
}

/* What a team gives of a force, and its losses then. */
typedef struct given_n {
    double force_n, losses_w;
} given_n;
static given_n given_of(const evn_instant *n, const evn_team *team, double pulled_n)
{
    double force[EVN_UNITS_MAX], motor_nm[EVN_UNITS_MAX];
    demand d = {pulled_n, pulled_n, n->accel_m_s2, 0};
    if (team->connected == 0) {
        double dragged_n = evn_team_forces(&n->pull, team, 0, d.accel, 0, force);
        return (given_n){dragged_n, losses_w(&n->pull, team, d.accel, force, motor_nm)};
    }
    evn_team_share(&n->pull, team, pulled_n, d.accel, 0, force);
    given_n given = {pulled_n, losses_w(&n->pull, team, d.accel, force, motor_nm)};
    int side = beyond(&n->pull, team, &d, force, motor_nm);
    if (side != 0) {
        given.force_n = evn_team_forces(&n->pull, team, side, d.accel, 0, force);
        given.losses_w = losses_w(&n->pull, team, d.accel, force, motor_nm);
    }
    return given;
}

double evn_instant_gap_w(const evn_instant *n, size_t unit)
{
    const evn_pull *p = &n->pull;
    double now_w = 0, pulled_n = n->limited.unit_n;
    evn_team team = p->team;
    if (!team.unit[unit].connected)
        return 0;
    team.unit[unit] = evn_pull_member(p, unit, p->at.unit[unit].setting, true);
    team.connected--;
    given_n gap = given_of(n, &team, pulled_n);
    for (size_t u = 0; u < p->at.rig->unit_count; u++)
        now_w += unit_losses_w(&n->unit_flow[u]);
    double missing_n = pulled_n - gap.force_n;
    double after_w = missing_n > 0 ? catching_up_w(n, pulled_n, missing_n, now_w) : -missing_n * p->at.speed_m_s;
    return fmax(gap.losses_w - now_w + after_w, 0);
}

/* What the motors of a team take of a need, not more than they can. */
static double taken_n(const evn_instant *n, const evn_team *team, double need_n, double accel)
{
    double force[EVN_UNITS_MAX];
    return fmax(need_n, evn_team_forces(&n->pull, team, team->connected ? -1 : 0, accel, 0, force));
}

double evn_instant_braking_gap_w(const evn_instant *n, size_t unit, evn_setting s, double braking_m_s2)
{
    const evn_pull *p = &n->pull;
    double need_n = p->road.base_n - p->road.mass_kg * braking_m_s2;
    evn_team with = replaced(p, unit, s), without = with;
    without.connected -= without.unit[unit].connected;
    without.unit[unit] = evn_pull_member(p, unit, s, true);
    double more_n = taken_n(n, &without, need_n, -braking_m_s2) - taken_n(n, &with, need_n, -braking_m_s2);
    return fmax(more_n, 0) * p->at.speed_m_s;
}

/* ------------------------------------------------------------------------------------------------ launch */

static void launch(const evn_given *at, double speed_m_s, double asked_m_s2, evn_pull *p)
{
    p->at = *at;
    p->at.speed_m_s = speed_m_s;
    p->at.asked_m_s2 = asked_m_s2;
    evn_pull_make(p);
}

double evn_launch_accel_m_s2(const evn_given *at)
{
    evn_pull p;
    launch(at, 0, 0, &p);
    double force = evn_team_pull_n(&p, &p.team, 1);
    if (!evn_cut_by_adhesion(at->rig))
        force = fmin(force, evn_single_adhesion_pull_n(&p));
    return evn_pull_accel(&p, force);
}

double evn_launch_cost_w(const evn_given *at, double accel_m_s2)
{
    evn_pull p;
    launch(at, WALKING_M_S, accel_m_s2, &p);
    double need_n = p.road.base_n + p.road.mass_kg * accel_m_s2;
    return team_cost_w(&p, &p.team, &(demand){need_n, need_n, accel_m_s2, 0});
}
