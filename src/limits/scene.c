/* Forces of a truck as it stands, with limits lifted. */
#include "limits/scene.h"
#include "core/root.h"
#include "pull/best.h"
#include "pull/limits.h"
#include "pull/member.h"
#include <math.h>
#include <string.h>

evn_scene evn_scene_of_rig(const evn_rig *r, evn_surface surface)
{
    evn_scene s = {.rig = r, .rolling_factor = 1, .soc = r->start_soc};
    for (size_t u = 0; u < r->unit_count; u++)
        evn_unit_start_degc(&r->unit[u], s.degc[u]);
    if (surface != EVN_SURFACE_AS_CYCLE)
        evn_scene_on(&s, &evn_surface_kinds[surface - 1]);
    return s;
}

evn_scene evn_scene_of(const evn_limits_work *w, evn_way way)
{
    evn_scene s = evn_scene_of_rig(w->rig[way], w->driving.surface);
    s.free_tyres = w->free_tyres[way];
    s.plain = w->plain;
    return s;
}

const char *evn_limits_ground(const evn_limits_work *w)
{
    static const char *const asked[] = {"as the truck states", "dry, as asked",  "wet, as asked",
                                        "gravel, as asked",    "soil, as asked", "snow, as asked"};
    _Static_assert(sizeof asked / sizeof *asked == EVN_SURFACE_KINDS + 1, "each kind of surface can be asked for");
    return asked[w->driving.surface];
}

void evn_scene_on(evn_scene *s, const evn_surface_kind *kind)
{
    s->adhesion = kind->adhesion;
    s->rolling_factor = kind->rolling_factor;
}

/* ------------------------------------------------------------------------------------------------ as it stands */

/* In a run locks work below their speed, and only where the ground's adhesion is stated (trip/stance.c). */
static bool locked(const evn_scene *s, bool has, double below_m_s, double speed_m_s)
{
    if (s->locks != EVN_LOCKS_AS_DRIVEN)
        return has && s->locks == EVN_LOCKS_LOCKED;
    return has && s->adhesion > 0 && speed_m_s < below_m_s;
}

static evn_unit_given unit_given(const evn_scene *s, size_t unit, double speed_m_s)
{
    const evn_unit *u = &s->rig->unit[unit];
    return (evn_unit_given){.setting = evn_all_engaged(u, 0),
                            .shifting = s->shifting[unit],
                            .degc = s->degc[unit],
                            .axles_locked = locked(s, u->has_axle_lock, u->locks_below_m_s, speed_m_s),
                            .branches_locked = locked(s, u->has_inter_axle_lock, u->locks_below_m_s, speed_m_s)};
}

/* What of a unit works in a gear. A unit that is out and has no disconnect is dragged along without current. */
static evn_setting in_gear(const evn_scene *s, size_t unit, size_t gear)
{
    const evn_unit *u = &s->rig->unit[unit];
    evn_setting all = evn_all_engaged(u, gear);
    if (s->unit_out[unit] && u->can_disconnect)
        return (evn_setting){0, 0};
    all.pulses_off = s->unit_out[unit];
    if (s->motor_out[unit])
        all.engaged &= (uint8_t)(all.engaged - 1); /* all but the first */
    return all;
}

static evn_setting best_setting(const evn_scene *s, const evn_pull *p, size_t unit, bool pulling)
{
    const evn_unit *u = &s->rig->unit[unit];
    evn_setting best = u->can_disconnect ? (evn_setting){0, 0} : in_gear(s, unit, u->gear_count - 1);
    double most = -(double)INFINITY;
    if (s->gear[unit] > 0)
        return in_gear(s, unit, s->gear[unit] - 1u);
    for (size_t gear = 0; gear < u->gear_count; gear++) {
        evn_setting set = in_gear(s, unit, gear);
        if (evn_is_open(set))
            return set;
        evn_member m = evn_pull_member(p, unit, set, false);
        double n = evn_member_force(p, unit, &m, pulling ? m.most_nm : m.least_nm, 0) * (pulling ? 1 : -1);
        if (evn_member_can_turn(p, unit, &m) && n > most) {
            most = n;
            best = set;
        }
    }
    return best;
}

/* ------------------------------------------------------------------------------------------------ limits lifted */

/* As strong as that, motors bind nowhere; the power that it takes stays a number. */
static const double STRONGER = 50;

static void lift_motors(evn_pull *p)
{
    for (size_t u = 0; u < p->at.rig->unit_count; u++) {
        p->team.unit[u].most_nm *= STRONGER;
        p->team.unit[u].least_nm *= STRONGER;
    }
}

static void lift_pack(evn_pull *p)
{
    static const double ANY_W = 1e12;
    p->feed.most_w = p->feed.charge_w = p->feed.taken_w = ANY_W;
}

void evn_scene_pull(const evn_scene *s, const evn_asked_of_scene *ask, evn_pull *p)
{
    static const double ANY_ADHESION = 50;
    bool any_adhesion = evn_is_lifted(ask->lifted, EVN_BOUND_ADHESION);
    const evn_rig *r = any_adhesion ? s->free_tyres : s->rig;
    double adhesion = any_adhesion ? ANY_ADHESION : s->adhesion;
    p->at = (evn_given){.rig = r,
                        .tangent = ask->tangent,
                        .rolling_factor = s->rolling_factor,
                        .adhesion = adhesion,
                        .adhesion_other_side = adhesion,
                        .start_aid = r->start_aid.there && !s->no_start_aid && ask->speed_m_s < r->start_aid.below_m_s,
                        .speed_m_s = ask->speed_m_s,
                        .soc = s->soc,
                        .battery_degc = r->pack.start_degc,
                        .discharge_used = s->battery_spent,
                        .charge_used = s->battery_spent,
                        .coolant_degc = evn_rig_coolant_degc(r),
                        .tyres_below_k = evn_tyre_start_below_k(&r->tyres),
                        .steady = ask->held,
                        .fade = EVN_FADE_BY_SPEED};
    for (size_t u = 0; u < r->unit_count; u++)
        p->at.unit[u] = unit_given(s, u, ask->speed_m_s);
    evn_pull_make(p);
    for (size_t u = 0; u < r->unit_count; u++)
        p->at.unit[u].setting = best_setting(s, p, u, ask->pulling);
    evn_pull_make(p);
    if (evn_is_lifted(ask->lifted, EVN_BOUND_MOTOR_TORQUE))
        lift_motors(p);
    if (evn_is_lifted(ask->lifted, EVN_BOUND_PACK))
        lift_pack(p);
}

double evn_scene_most_n(const evn_pull *p, const evn_asked_of_scene *ask)
{
    double beyond_w, by_motor = ask->pulling ? evn_team_pull_n(p, &p->team, 1) : evn_team_push_n(p, &p->team, -1);
    double most = by_motor;
    if (ask->speed_m_s > 0 && !evn_is_lifted(ask->lifted, EVN_BOUND_PACK)) {
        double by_pack = evn_pack_limit_n(p, ask->pulling, &beyond_w);
        most = beyond_w > 0 ? by_pack : by_motor;
    }
    if (evn_cut_by_adhesion(p->at.rig) || evn_is_lifted(ask->lifted, EVN_BOUND_ADHESION))
        return most;
    return ask->pulling ? fmin(most, evn_single_adhesion_pull_n(p)) : fmax(most, evn_single_adhesion_push_n(p));
}

/* The winding where it derates, or where no inverter could. */
static evn_bound bound_by_heat(const evn_pull *p, size_t unit)
{
    const evn_heat *h = &p->at.rig->unit[unit].motor[0].heat;
    bool winding =
        h->winding && evn_heat_winding_degc(h, p->at.unit[unit].degc, EVN_AS_STATED) > h->winding_range.from_degc;
    return winding || !h->inverter ? EVN_BOUND_WINDING : EVN_BOUND_INVERTER;
}

evn_bound evn_scene_motors_bound(const evn_pull *p)
{
    for (size_t u = 0; u < p->at.rig->unit_count; u++)
        if (p->team.unit[u].connected && evn_pull_past_derating_k(p, u) > 0)
            return bound_by_heat(p, u);
    for (size_t u = 0; u < p->at.rig->unit_count; u++)
        if (p->team.unit[u].connected && evn_pull_past_base_rad_s(p, u) < 0)
            return EVN_BOUND_MOTOR_TORQUE;
    return EVN_BOUND_MOTOR_POWER;
}

evn_bound evn_scene_fade_bound(const evn_pull *p)
{
    if (p->feed.fade >= 1 - 1e-9)
        return EVN_BOUND_NONE;
    return p->at.rig->regeneration ? EVN_BOUND_LOW_SPEED : EVN_BOUND_OFF;
}

/* ------------------------------------------------------------------------------------------------ grades */

typedef struct grade_search {
    const evn_scene *scene;
    evn_asked_of_scene ask;
} grade_search;

/* Held downhill without friction brakes: where these have a share of all braking, motors must not brake at all. */
static double alone_n(const evn_pull *p, const evn_asked_of_scene *ask)
{
    return !ask->pulling && p->at.rig->motor_share < 1 ? evn_team_push_n(p, &p->team, 0) : evn_scene_most_n(p, ask);
}

/* What is left of the most force, N; held downhill, of the most push. */
static double left_n(void *self, double tangent)
{
    grade_search *g = self;
    evn_pull p;
    g->ask.tangent = g->ask.pulling ? tangent : -tangent;
    evn_scene_pull(g->scene, &g->ask, &p);
    double left = alone_n(&p, &g->ask) - p.road.base_n;
    return g->ask.pulling ? left : -left;
}

double evn_scene_steepest(const evn_scene *s, double speed_m_s, bool pulling, unsigned lifted)
{
    static const evn_between how = {.tolerance = 1e-3, .x_tolerance = 1e-10, .steps = 100};
    grade_search g = {s, {.speed_m_s = speed_m_s, .pulling = pulling, .held = true, .lifted = lifted}};
    evn_known level = {0, left_n(&g, 0)}, steep = {EVN_STEEPEST, 0};
    if (level.error <= 0)
        return level.error < 0 ? (double)NAN : 0;
    steep.error = left_n(&g, EVN_STEEPEST);
    return steep.error >= 0 ? EVN_STEEPEST : evn_root_between(left_n, &g, level, steep, &how).x;
}
