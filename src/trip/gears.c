/*
 * Settings compared at one instant: what each gear, each number of engaged motors and an open disconnect would lose for
 * the force that is wanted. The settings of a launch.
 */
#include "trip/motion.h"
#include <math.h>
#include <string.h>

/*
 * A setting whose motors turn too fast, or would within the dwell of a gear change at this acceleration: it would have
 * to be left at once. Jumps in speed and acceleration: for watches only, never for a rate.
 */
static bool overspeeds(const evn_trip *trip, const evn_now *n, size_t unit, const evn_member *m)
{
    const evn_unit *u = &trip->rig->unit[unit];
    double top = evn_unit_top_rad_s(u), ahead = 0;
    if (m->setting.gear != trip->box[unit].now.gear)
        ahead = fmax(n->accel_m_s2, 0) * u->shift_dwell_s / fmax(n->speed_m_s, 1);
    return m->motor_rad_s > 0.98 * top || m->motor_rad_s * (1 + ahead) > top;
}

static double unit_losses_w(const evn_flow *f)
{
    double sum = 0;
    for (int i = EVN_UNIT_LINES; i < EVN_LINE_COUNT; i++)
        sum += f->w[i];
    return sum;
}

/* Losses of the units at given forces, and the torques of their motors. */
static double losses_w(const evn_trip *trip, const double *y, const evn_now *n, const evn_team *team, double accel,
                       const double force_n[], double motor_nm[])
{
    double sum = 0;
    for (size_t u = 0; u < trip->rig->unit_count; u++) {
        evn_flow f = {{0}};
        const evn_member *m = &team->unit[u];
        motor_nm[u] = 0;
        if (m->connected) {
            motor_nm[u] = evn_member_draw(trip, y, n, u, m, force_n[u], accel, &f).motor_nm;
        } else {
            evn_member_dragged(trip, n, u, m, accel, &f);
            evn_ready_w(trip, u, m->setting, &f);
        }
        sum += unit_losses_w(&f);
    }
    return sum;
}

/* Nm by which a torque may pass its limit: round-off at a limit of zero, where the winding is at its hottest. */
static double slack_nm(double limit_nm) { return 1e-6 * (100 + fabs(limit_nm)); }

/* 1: a unit would pull more than it can, -1: push more, 0: none would. */
static int beyond(const evn_trip *trip, const evn_now *n, const evn_team *team, double want_n, double accel,
                  const double force_n[], const double motor_nm[])
{
    for (size_t u = 0; u < trip->rig->unit_count; u++) {
        const evn_member *m = &team->unit[u];
        if (m->connected && motor_nm[u] > m->most_nm + slack_nm(m->most_nm))
            return 1;
        if (m->connected && motor_nm[u] < m->least_nm - slack_nm(m->least_nm))
            return -1;
    }
    if (!evn_cut_by_adhesion(trip->rig) || evn_team_carries(trip, n, team, accel, force_n))
        return 0;
    double force[EVN_UNITS_MAX];
    double share = want_n >= evn_team_forces(trip, n, team, 0, accel, 0, force) ? 1 : -1;
    double rest = want_n - evn_team_forces(trip, n, team, share, accel, 0, force);
    return share * rest > 1e-6 * (1 + fabs(want_n)) ? (int)share : 0;
}

static const double WALKING_M_S = 2;

/*
 * What a team costs for a wanted tyre force: its losses, and one watt for each watt that is wanted and does not reach
 * the road (or, braking, that the friction brakes burn instead). Pulling slower than a walk a missing newton costs what
 * it does at a walk: near rest it would cost nothing, and the truck would save its losses and stay there.
 */
static double team_cost_w(const evn_trip *trip, const double *y, const evn_now *n, const evn_team *team, double want_n,
                          double accel)
{
    double force[EVN_UNITS_MAX], motor_nm[EVN_UNITS_MAX], got = want_n;
    evn_team_share(trip, n, team, want_n, accel, 0, force);
    double sum = losses_w(trip, y, n, team, accel, force, motor_nm);
    int side = beyond(trip, n, team, want_n, accel, force, motor_nm);
    if (side != 0) {
        got = evn_team_forces(trip, n, team, side, accel, 0, force);
        sum = losses_w(trip, y, n, team, accel, force, motor_nm);
    }
    double worth_m_s = want_n > got ? fmax(n->speed_m_s, WALKING_M_S) : n->speed_m_s;
    return sum + fabs(want_n - got) * worth_m_s;
}

/* Other limits than the motors' hold in every setting alike: what they leave is what is wanted. */
static double wanted_n(const evn_trip *trip, const evn_now *n)
{
    bool pack = trip->pull == EVN_BY_PACK || trip->push == EVN_BY_PACK;
    bool adhesion = trip->pull == EVN_BY_ADHESION || trip->push == EVN_BY_ADHESION;
    return pack || (adhesion && !evn_cut_by_adhesion(trip->rig)) ? n->unit_n : n->need_n;
}

/* The team with another setting of one unit. */
static void replace(const evn_trip *trip, const double *y, const evn_now *n, size_t unit, evn_setting s, evn_team *team)
{
    team->connected -= team->unit[unit].connected;
    team->unit[unit] = evn_member_of(trip, y, n, unit, s, false);
    team->connected += team->unit[unit].connected;
}

/* A connected unit whose highest gear is good for the truck's top speed: the last of those does not disconnect. */
static bool may_go_on(const evn_rig *r, const evn_team *team)
{
    for (size_t u = 0; u < r->unit_count; u++)
        if (team->unit[u].connected && evn_rig_unit_top_m_s(r, u) >= (1 - 1e-9) * r->top_speed_m_s)
            return true;
    return false;
}

static double cost_with(const evn_trip *trip, const double *y, const evn_now *n, size_t unit, evn_setting s)
{
    evn_team team = n->team;
    replace(trip, y, n, unit, s, &team);
    if ((evn_is_open(s) && !may_go_on(trip->rig, &team)) || overspeeds(trip, n, unit, &team.unit[unit]))
        return EVN_NEVER_W;
    return team_cost_w(trip, y, n, &team, wanted_n(trip, n), n->accel_m_s2);
}

void evn_now_costs(const evn_trip *trip, const double *y, evn_now *n)
{
    n->cost_now_w = team_cost_w(trip, y, n, &n->team, wanted_n(trip, n), n->accel_m_s2);
    for (size_t u = 0; u < trip->rig->unit_count; u++)
        for (size_t k = 0; k < trip->rig->unit[u].setting_count; k++)
            n->cost_w[u][k] = cost_with(trip, y, n, u, trip->rig->unit[u].setting[k]);
}

double evn_forgone_w(const evn_trip *trip, const double *y, const evn_now *n)
{
    evn_team team = n->team;
    double want = wanted_n(trip, n), a = n->accel_m_s2, now = team_cost_w(trip, y, n, &n->team, want, a);
    replace(trip, y, n, trip->candidate_unit, trip->candidate, &team);
    return now - team_cost_w(trip, y, n, &team, want, a);
}

/* The trip as it would be, moving here at a low speed with other settings: for choosing those of a launch. */
static void launch_instant(const evn_trip *trip, const double *y, double speed_m_s, const evn_setting setting[],
                           evn_now *n)
{
    memset(n, 0, sizeof *n);
    n->speed_m_s = speed_m_s;
    n->place_m = y[EVN_Y_PLACE];
    evn_set_pack_limits(trip, y, n);
    evn_set_road(trip, n);
    for (size_t u = 0; u < trip->rig->unit_count; u++) {
        n->team.unit[u] = evn_member_of(trip, y, n, u, setting[u], false);
        n->team.connected += n->team.unit[u].connected;
    }
}

double evn_launch_accel(const evn_trip *trip, const double *y, const evn_setting setting[])
{
    evn_now n;
    launch_instant(trip, y, 0, setting, &n);
    double force = evn_team_pull_n(trip, &n, &n.team, 1);
    if (!evn_cut_by_adhesion(trip->rig))
        force = fmin(force, evn_adhesion_pull_n(trip->rig, &n, 0));
    return evn_free_accel(&n, force);
}

double evn_launch_cost_w(const evn_trip *trip, const double *y, const evn_setting setting[], double accel_m_s2)
{
    evn_now n;
    launch_instant(trip, y, WALKING_M_S, setting, &n);
    return team_cost_w(trip, y, &n, &n.team, n.base_n + n.mass_kg * accel_m_s2, accel_m_s2);
}
