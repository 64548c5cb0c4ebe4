/*
 * Every jump of the discrete state, one row each: when the rule is watched, the known time or the watch that falls
 * through zero when it is due, and what it does. Watches are of order one (see EVN_CROSSED).
 */
#include "trip/rules.h"
#include "pull/change_price.h"
#include "pull/member.h"
#include "pull/prices.h"
#include "trip/account.h"
#include "trip/acts.h"
#include "trip/axle_brakes.h"
#include "trip/catch_up.h"
#include "trip/changes.h"
#include "trip/endure.h"
#include "trip/foresight.h"
#include "trip/headway.h"
#include "trip/held_speed.h"
#include "trip/laws.h"
#include "trip/made_up.h"
#include "trip/moment.h"
#include "trip/pack_ends.h"
#include "trip/passed.h"
#include "trip/prescribe.h"
#include "trip/resting.h"
#include "trip/stance.h"
#include "trip/standing.h"
#include "trip/takeoff_work.h"
#include "trip/too_hot.h"
#include <math.h>
#include <string.h>

enum { MOST_AT_ONE_INSTANT = 64 };
static const double SAME_TIME_S = 1e-9;
static const double FORCE_N = 1e4, POWER_W = 1e5, COST_W = 1e4; /* scales of the watches */

/* What watches look at. */
typedef struct sight {
    double place_m;
    const evn_instant *is;
    double preview_m_s2, following_m_s2, forgone_j;
    double past_derating_k[EVN_UNITS_MAX];
    evn_reach reach;          /* in gear */
    const evn_prices *prices; /* where a change of setting may be due, and is asked for; else NULL */
} sight;

typedef struct rule {
    const char *name;
    bool (*applies)(const evn_trip *);
    double (*due_s)(const evn_trip *);                /* a known time, or NULL */
    double (*watch)(const evn_trip *, const sight *); /* or a watch */
    void (*act)(evn_trip *);                          /* or, where it needs to see: */
    void (*act_on)(evn_trip *, const sight *);
} rule;

/* --------------------------------------------------------------------------------------------- where a rule applies */

static bool running(const evn_trip *t) { return t->motion != EVN_ENDED; }
static bool standing(const evn_trip *t) { return t->motion == EVN_STANDING; }
static bool moving(const evn_trip *t) { return t->motion == EVN_MOVING; }
static bool prescribed(const evn_trip *t) { return moving(t) && t->law == EVN_PRESCRIBED; }
static bool unprescribed(const evn_trip *t) { return moving(t) && t->law != EVN_PRESCRIBED; }
static bool any_shifting(const evn_trip *t)
{
    for (size_t u = 0; u < t->rig->unit_count; u++)
        if (evn_is_changing(&t->box[u]))
            return true;
    return false;
}
static bool shifting(const evn_trip *t) { return moving(t) && any_shifting(t); }
static bool in_gear(const evn_trip *t) { return moving(t) && evn_connected_count(t) > 0; }
static bool in_gap(const evn_trip *t) { return moving(t) && evn_connected_count(t) == 0; }
static bool may_pull(const evn_trip *t) { return in_gear(t) && t->push == EVN_FREE; }
static bool may_push(const evn_trip *t) { return in_gear(t) && t->pull == EVN_FREE; }
static bool pull_not_motor(const evn_trip *t) { return may_pull(t) && t->pull != EVN_BY_MOTOR; }
static bool pull_not_pack(const evn_trip *t) { return may_pull(t) && t->pull != EVN_BY_PACK; }
static bool pull_not_adhesion(const evn_trip *t) { return may_pull(t) && t->pull != EVN_BY_ADHESION; }
static bool push_not_motor(const evn_trip *t) { return may_push(t) && t->push != EVN_BY_MOTOR; }
static bool push_not_pack(const evn_trip *t) { return may_push(t) && t->push != EVN_BY_PACK; }
static bool push_not_adhesion(const evn_trip *t) { return may_push(t) && t->push != EVN_BY_ADHESION; }
static bool pull_limited(const evn_trip *t) { return in_gear(t) && t->pull != EVN_FREE; }
static bool push_limited(const evn_trip *t) { return in_gear(t) && t->push != EVN_FREE; }
static bool by_motor(const evn_trip *t) { return in_gear(t) && (t->pull == EVN_BY_MOTOR || t->push == EVN_BY_MOTOR); }
/* Several units share by what each can: corners of their envelopes bend the shares at any force. */
static bool corners_matter(const evn_trip *t) { return by_motor(t) || (in_gear(t) && t->rig->unit_count > 1); }
static bool has_fan(const evn_trip *t) { return running(t) && t->rig->cooling.modelled; }
static bool fading(const evn_trip *t) { return in_gear(t) && t->push == EVN_BY_MOTOR && t->rig->fade_from_m_s > 0; }
/* Something may be left to the retarder. */
static bool retards(const evn_trip *t)
{
    bool left = t->push != EVN_FREE || (t->pull == EVN_FREE && t->rig->motor_share < 1);
    return moving(t) && left && t->rig->has_part[EVN_RETARDER];
}
static bool gap_pulls(const evn_trip *t) { return in_gap(t) && t->pull == EVN_BY_SHIFT; }
static bool gap_pushes(const evn_trip *t) { return in_gap(t) && t->push == EVN_BY_SHIFT; }
static bool following(const evn_trip *t) { return moving(t) && t->law == EVN_FOLLOWING; }
static bool previewing(const evn_trip *t) { return moving(t) && t->law == EVN_PREVIEW; }
static bool capped(const evn_trip *t) { return moving(t) && !evn_is_exact(t) && t->law == EVN_CAPPED; }
static bool holding(const evn_trip *t) { return moving(t) && t->law == EVN_HOLDING; }
static bool behind_exact(const evn_trip *t)
{
    return moving(t) && evn_is_exact(t) && (t->law == EVN_CAPPED || t->law == EVN_HOLDING);
}
static bool off_plan(const evn_trip *t) { return behind_exact(t) && !t->at_edge; }
static bool at_edge(const evn_trip *t) { return behind_exact(t) && t->at_edge; }
static bool capped_or_holding(const evn_trip *t) { return capped(t) || (holding(t) && !evn_is_exact(t)); }
/* The last metres of a human driver to a place where he meets the plan are his. */
static bool may_be_held(const evn_trip *t)
{
    bool prescribed_to_meet = t->law == EVN_PRESCRIBED && !evn_is_exact(t);
    return moving(t) && isfinite(evn_held_speed_m_s(t)) && t->law != EVN_HOLDING && t->law != EVN_HALTING &&
           !prescribed_to_meet;
}
/* Who follows the plan here may ask for more than a held speed does, where who looks ahead asks for less. */
static bool may_follow(const evn_trip *t) { return previewing(t) && isinf(evn_held_speed_m_s(t)); }
static bool before_descent(const evn_trip *t) { return evn_endures(t) && !t->endure.descending; }
static bool on_descent(const evn_trip *t) { return evn_endures(t) && t->endure.descending; }
static bool endures_in_gear(const evn_trip *t) { return on_descent(t) && in_gear(t); }
static bool judged_by_band(const evn_trip *t) { return moving(t) && t->course->trace_count > 0; }

static bool looking_ahead(const evn_trip *t) { return previewing(t) || capped_or_holding(t); }
static bool previews_on(const evn_trip *t) { return previewing(t) && t->own_at + 1 < t->course->plan_count; }
static bool aiming(const evn_trip *t)
{
    if (!unprescribed(t) || t->plan_at == t->stop_at)
        return false; /* a stop is not passed: "the stop ahead is near" comes first */
    return t->plan_at + (looking_ahead(t) ? 0 : 1) < t->course->plan_count;
}
static bool stop_ahead(const evn_trip *t)
{
    return (following(t) || looking_ahead(t)) && t->plan_at == t->stop_at && t->stop_at < t->course->plan_count;
}

static bool has_choice(const evn_trip *t, size_t unit) { return t->rig->unit[unit].setting_count > 1; }
static bool before(const evn_trip *t, double time_s) { return t->t < time_s - SAME_TIME_S; }
static bool dwells(const evn_trip *t, size_t unit)
{
    return before(t, t->box[unit].dwell_until_s) || before(t, t->box[unit].fewer_from_s);
}
/* More motors may be engaged at any time; fewer, another gear and the disconnect wait for their dwell. Branches open
 * and close by themselves, with gear and motors as they are. */
static bool may_take(const evn_trip *t, size_t unit, evn_setting to)
{
    const evn_box *box = &t->box[unit];
    if (evn_heat_holds(t, unit))
        return false;
    if (to.open != box->now.open)
        return to.gear == box->now.gear && to.engaged == box->now.engaged && !before(t, box->dwell_until_s);
    bool fewer = to.engaged < box->now.engaged, disconnect = evn_is_open(box->now) || evn_is_open(to);
    if ((disconnect || to.gear != box->now.gear) && before(t, box->dwell_until_s))
        return false;
    return !fewer || !before(t, box->fewer_from_s);
}
static bool more_possible(const evn_trip *t, size_t unit)
{
    return (unsigned)t->box[unit].now.engaged + 1 < 1u << t->rig->unit[unit].motor_count;
}
/* One change at a time: units shift in turn. */
static bool may_change(const evn_trip *t)
{
    if (!in_gear(t) || any_shifting(t))
        return false;
    for (size_t u = 0; u < t->rig->unit_count; u++)
        if (has_choice(t, u) && (!before(t, t->box[u].dwell_until_s) || more_possible(t, u) ||
                                 (t->box[u].now.engaged > 1 && !before(t, t->box[u].fewer_from_s))))
            return true;
    return false;
}
/* Dwells hold back what is planned, not the planning. */
static bool foresees(const evn_trip *t) { return evn_foresees(t) && in_gear(t) && !any_shifting(t); }
static bool waits(const evn_trip *t) { return may_change(t) && !evn_foresees(t); }
static bool no_candidate(const evn_trip *t) { return waits(t) && !t->has_candidate; }
static bool a_candidate(const evn_trip *t) { return waits(t) && t->has_candidate; }
static bool has_aid(const evn_trip *t) { return moving(t) && evn_stance_has_aid(t); }
static bool has_locks(const evn_trip *t) { return moving(t) && evn_stance_has_locks(t); }
static bool dwelling(const evn_trip *t)
{
    if (!in_gear(t))
        return false;
    for (size_t u = 0; u < t->rig->unit_count; u++)
        if (has_choice(t, u) && dwells(t, u))
            return true;
    return false;
}
/* A connected unit with a higher gear, or that may disconnect because another one pulls. */
static bool can_slow_down(const evn_trip *t, size_t unit)
{
    const evn_unit *u = &t->rig->unit[unit];
    return evn_connected(t, unit) &&
           (t->box[unit].now.gear + 1u < u->gear_count || (u->can_disconnect && evn_connected_count(t) > 1));
}
static bool may_overspeed(const evn_trip *t)
{
    for (size_t u = 0; u < t->rig->unit_count; u++)
        if (can_slow_down(t, u))
            return moving(t);
    return false;
}

/* ------------------------------------------------------------------------------------------------ known times */

static double wait_ends(const evn_trip *t) { return t->wait_until_s; }
static double plan_ends(const evn_trip *t) { return t->seg.end_s; }
static double road_ends(const evn_trip *t) { return t->seg.road_end_s; }
static double shift_ends(const evn_trip *t)
{
    double earliest = (double)INFINITY;
    for (size_t u = 0; u < t->rig->unit_count; u++)
        if (evn_is_changing(&t->box[u]))
            earliest = fmin(earliest, t->box[u].busy_until_s);
    return earliest;
}
static double dwell_ends(const evn_trip *t)
{
    double earliest = (double)INFINITY;
    for (size_t u = 0; u < t->rig->unit_count; u++) {
        const evn_box *box = &t->box[u];
        if (has_choice(t, u) && before(t, box->dwell_until_s))
            earliest = fmin(earliest, box->dwell_until_s);
        if (has_choice(t, u) && before(t, box->fewer_from_s))
            earliest = fmin(earliest, box->fewer_from_s);
    }
    return earliest;
}

static double foresee_due(const evn_trip *t) { return t->foresee_s; }

/* ------------------------------------------------------------------------------------------------ watches */

static double road_left(const evn_trip *t, const sight *n)
{
    return (t->course->road[t->road_at].end_m - n->place_m) / 10;
}
static double plan_left(const evn_trip *t, const sight *n)
{
    double ahead = looking_ahead(t) ? n->is->pull.at.speed_m_s * t->driving.look_ahead_s + t->ahead_m : 0;
    return (t->course->plan[t->plan_at].end_m - n->place_m - ahead) / 10;
}
static double below_plan(const evn_trip *t, const sight *n)
{
    return (evn_plan_v2(&t->course->plan[t->plan_at], n->place_m) -
            n->is->pull.at.speed_m_s * n->is->pull.at.speed_m_s) /
           20;
}
/* Following, a stop takes the look-ahead time (the mean speed is half the present one). Looking ahead, it is seen
 * coming. */
static double stop_left(const evn_trip *t, const sight *n)
{
    double rest = t->course->plan[t->stop_at].end_m - n->place_m,
           way = n->is->pull.at.speed_m_s * t->driving.look_ahead_s;
    return (rest - (looking_ahead(t) ? way + t->ahead_m : 0.5 * way)) / 10;
}
/*
 * Below the plan by more than a fifth, or by more than half of what would make the following driver ask for the cap. On
 * the stretch where the truck is, of which nothing else tells the end while the law looks further on: this jumps there,
 * and what is so on a short stretch only must not hang on whether a step ends on it.
 */
static double to_catch_up(const evn_trip *t, const sight *n)
{
    const evn_plan_stretch *p = &t->course->plan[t->own_at];
    double cap = evn_cap_over(t, p), enough = fmin(0.5, 0.5 * (cap - p->accel_m_s2) / t->driving.speed_gain_1_s);
    double plan = sqrt(evn_plan_v2(p, n->place_m));
    return plan - n->is->pull.at.speed_m_s - fmin(enough, 0.2 * plan);
}
static double own_left(const evn_trip *t, const sight *n)
{
    return (t->course->plan[t->own_at].end_m - n->place_m) / 10;
}
static double below_cap(const evn_trip *t, const sight *n) { return evn_cap_m_s2(t) - n->following_m_s2; }
/* What the plan needs here over what the limit gives. */
static double beyond_limit(const evn_trip *t, const sight *n)
{
    return (n->is->pull.road.base_n + n->is->pull.road.mass_kg * t->course->plan[t->plan_at].accel_m_s2 -
            n->is->limited.unit_n) /
           FORCE_N;
}
static double below_cap_looking(const evn_trip *t, const sight *n)
{
    return 1.1 * evn_cap_m_s2(t) - n->preview_m_s2; /* a tenth above: it has just come from the cap */
}
/* The cap, or what holds the speed. */
static double above_cap(const evn_trip *t, const sight *n)
{
    (void)t;
    return n->preview_m_s2 - n->is->pull.at.asked_m_s2;
}
static double held_left(const evn_trip *t, const sight *n)
{
    return evn_held_asks(t, n->is->pull.at.speed_m_s) + EVN_HELD_LEAST_M_S2 - n->is->pull.at.asked_m_s2;
}
static double below_cap_holding(const evn_trip *t, const sight *n)
{
    return evn_cap_m_s2(t) + EVN_HELD_LEAST_M_S2 - n->is->pull.at.asked_m_s2;
}
/* A grade that is just the stated one is a descent. */
static double descent_ahead(const evn_trip *t, const sight *n)
{
    return 10 * (n->is->pull.at.tangent + evn_endure_descent_tangent(t)) + 2 * EVN_CROSSED;
}
static double descent_left(const evn_trip *t, const sight *n)
{
    return -10 * (n->is->pull.at.tangent + EVN_DESCENT_OVER_SHARE * evn_endure_descent_tangent(t));
}
static double speed_left(const evn_trip *t, const sight *n)
{
    (void)t;
    return n->is->pull.at.speed_m_s;
}

static double peak_nm(const evn_trip *t) { return evn_unit_motor_peak_nm(&t->rig->unit[0]); }
/* Of one unit on one axle by its torque; several by their force, cut by adhesion: at a limit the two tell apart who
 * holds. */
static double motor_pull(const evn_trip *t, const sight *n)
{
    if (t->pull == EVN_BY_PACK)
        return n->is->limited.beyond_pack_w / POWER_W;
    if (!evn_cut_by_adhesion(t->rig))
        return (n->is->pull.team.unit[0].most_nm - n->is->motor_nm) / peak_nm(t);
    return t->pull == EVN_BY_ADHESION ? -n->reach.apart_n / FORCE_N
                                      : fmin((n->reach.most_n - n->is->limited.unit_n) / FORCE_N, 100);
}
static double motor_push(const evn_trip *t, const sight *n)
{
    if (t->push == EVN_BY_PACK)
        return n->is->limited.beyond_pack_w / POWER_W;
    if (!evn_cut_by_adhesion(t->rig))
        return (n->is->motor_nm - n->is->pull.team.unit[0].least_nm) / peak_nm(t);
    return t->push == EVN_BY_ADHESION ? -n->reach.apart_n / FORCE_N
                                      : fmin((n->is->limited.unit_n - n->reach.least_n) / FORCE_N, 100);
}
static double pack_pull(const evn_trip *t, const sight *n)
{
    (void)t;
    return n->is->motor_nm > 0 ? (n->is->pull.feed.most_w - n->is->load_w) / POWER_W
                               : 1; /* braking, copper is the motors' own limit */
}
static double floor_left(const evn_trip *t, const sight *n)
{
    (void)t;
    return (n->is->pull.feed.most_w - evn_instant_floor_w(&n->is->pull)) / POWER_W;
}
/* Losses without a pull, which no limit of the force holds down, may draw more than any pack can give. */
static double brink_left(const evn_trip *t, const sight *n)
{
    (void)t;
    static const double NEAR = 0.999; /* beyond the brink there is no current at all */
    const evn_feed *f = &n->is->pull.feed;
    double left_w = NEAR * evn_pack_brink_w(f->resistance_ohm, f->open_circuit_v) - n->is->load_w;
    return n->is->motor_nm > 0 ? 1 : isnan(left_w) ? -1 : fmin(left_w / POWER_W, 100);
}
static double pack_push(const evn_trip *t, const sight *n)
{
    (void)t;
    return (n->is->load_w - n->is->resistor_w + n->is->pull.feed.taken_w) / POWER_W;
}
static double adhesion_pull(const evn_trip *t, const sight *n)
{
    if (!evn_cut_by_adhesion(t->rig))
        return (n->reach.most_n - n->is->limited.unit_n) / FORCE_N;
    return t->pull == EVN_BY_MOTOR ? n->reach.apart_n / FORCE_N : 1;
}
static double adhesion_push(const evn_trip *t, const sight *n)
{
    if (!evn_cut_by_adhesion(t->rig))
        return (n->is->limited.unit_n - n->reach.least_n) / FORCE_N;
    return t->push == EVN_BY_MOTOR ? n->reach.apart_n / FORCE_N : 1;
}
static double pull_wanted(const evn_trip *t, const sight *n)
{
    (void)t;
    return (n->is->need_n - n->is->limited.unit_n) / FORCE_N;
}
static double push_wanted(const evn_trip *t, const sight *n)
{
    (void)t;
    return (n->is->limited.unit_n - n->is->want_n) / FORCE_N;
}

/* The nearest of the units to its corner. */
static double base_left(const evn_trip *t, const sight *n, size_t unit)
{
    double over = evn_pull_past_base_rad_s(&n->is->pull, unit) / 100;
    return t->base_passed[unit] ? over : -over;
}
static double base_side(const evn_trip *t, const sight *n)
{
    double least = 1;
    for (size_t u = 0; u < t->rig->unit_count; u++)
        if (evn_connected(t, u))
            least = fmin(least, base_left(t, n, u));
    return least;
}
static double fan_side(const evn_trip *t, const sight *n)
{
    double over = (n->is->pull.at.coolant_degc - t->rig->cooling.fan.full_degc) / 10;
    return t->fan_full ? over : -over;
}
static double derating_left(const evn_trip *t, const sight *n, size_t unit)
{
    double over = n->past_derating_k[unit] / 10;
    return t->derating[unit] ? over : -over;
}
static double derating_side(const evn_trip *t, const sight *n)
{
    double least = 1;
    for (size_t u = 0; u < t->rig->unit_count; u++)
        least = fmin(least, derating_left(t, n, u));
    return least;
}
static double too_hot_left(const evn_trip *t, const sight *n) { return evn_too_hot_left(t, n->is); }
static double left_of_fade(evn_fade side, double over_from, double over_to)
{
    switch (side) {
    case EVN_FADE_ABOVE:
        return over_from;
    case EVN_FADE_BELOW:
        return -over_to;
    default:
        return fmin(over_to, -over_from);
    }
}
static double fade_left(const evn_trip *t, const sight *n)
{
    double v = n->is->pull.at.speed_m_s;
    return left_of_fade(t->fade_side, v - t->rig->fade_from_m_s, v - t->rig->fade_to_m_s);
}
/*
 * Where it fades friction brakes take over: without a restart a step might span that, and know nothing of it. A little
 * within the range, so that a speed that is held at one of its ends does not toggle it.
 */
static double retarder_left(const evn_trip *t, const sight *n)
{
    static const double WITHIN_M_S = 0.01;
    const evn_retarder *r = &t->rig->retarder;
    double v = n->is->pull.at.speed_m_s, within = t->retarder_side == EVN_FADE_WITHIN ? 0 : WITHIN_M_S;
    return left_of_fade(t->retarder_side, v - r->fade_from_m_s + within, v - r->fade_to_m_s - within);
}

static double aid_left(const evn_trip *t, const sight *n) { return evn_stance_aid_left(t, n->is->pull.at.speed_m_s); }
static double locks_left(const evn_trip *t, const sight *n)
{
    return evn_stance_locks_left(t, n->is->pull.at.speed_m_s);
}

static double reserve_of(const evn_trip *t, const sight *n, size_t unit)
{
    return 10 * (0.99 - n->is->pull.team.unit[unit].motor_rad_s / evn_unit_top_rad_s(&t->rig->unit[unit]));
}
/* The unit nearest to its motors' speed limit among those that can do something about it. */
static size_t fastest(const evn_trip *t, const sight *n)
{
    size_t at = t->rig->unit_count;
    for (size_t u = 0; u < t->rig->unit_count; u++)
        if (can_slow_down(t, u) && (at == t->rig->unit_count || reserve_of(t, n, u) < reserve_of(t, n, at)))
            at = u;
    return at;
}
static double speed_reserve(const evn_trip *t, const sight *n)
{
    size_t unit = fastest(t, n);
    return unit < t->rig->unit_count ? reserve_of(t, n, unit) : 1;
}

/* One setting's cost over another's, as a watch: far beyond one it only needs its sign. */
static double lead(double over_w, double under_w) { return fmax(-100, fmin((over_w - under_w) / COST_W, 100)); }

typedef struct choice { /* a setting of a unit, and its cost; unit beyond the last: none */
    size_t unit, setting;
    double cost_w;
} choice;

static bool is_candidate(const evn_trip *t, size_t unit, size_t setting)
{
    return t->has_candidate && t->candidate_unit == unit &&
           evn_same_setting(t->candidate, t->rig->unit[unit].setting[setting]);
}

/* The best of all other settings, the candidate left out or not. */
static choice cheapest(const evn_trip *t, const sight *n, bool without_candidate)
{
    choice best = {t->rig->unit_count, 0, (double)INFINITY};
    for (size_t u = 0; u < t->rig->unit_count; u++)
        for (size_t k = 0; k < t->rig->unit[u].setting_count; k++)
            if (n->prices->w[u][k] < best.cost_w && !evn_same_setting(t->rig->unit[u].setting[k], t->box[u].now) &&
                may_take(t, u, t->rig->unit[u].setting[k]) && !(without_candidate && is_candidate(t, u, k)))
                best = (choice){u, k, n->prices->w[u][k]};
    return best;
}
static double candidate_cost_w(const evn_trip *t, const sight *n)
{
    size_t u = t->candidate_unit;
    for (size_t k = 0; k < t->rig->unit[u].setting_count; k++)
        if (is_candidate(t, u, k))
            return n->prices->w[u][k];
    return n->prices->now_w;
}
static double own_lead(const evn_trip *t, const sight *n)
{
    return lead(cheapest(t, n, false).cost_w, n->prices->now_w);
}
/*
 * A candidate goes when it costs more than the present setting by this, and another one takes its place when it costs
 * less by this: small beside what a change of setting costs (its price over its dwell: 200 W for the number of motors,
 * 4 kW and more for a gear), large beside what the integrator's errors make of two that cost the same (measured: 0.01 W
 * at an accuracy of 1e-6, ten times that at 1e-5). Without it those would replace each other at every step. What is
 * forgone is that of the candidate all the while, below nothing too; and none that is better than the present setting
 * is left when the candidate goes: it would have taken its place before.
 */
static const double SAME_COST_W = 1;
static double candidate_lead(const evn_trip *t, const sight *n)
{
    return lead(n->prices->now_w + SAME_COST_W, candidate_cost_w(t, n));
}
static double candidate_over_others(const evn_trip *t, const sight *n)
{
    choice other = cheapest(t, n, true);
    return other.unit == t->rig->unit_count ? 1 : lead(other.cost_w + SAME_COST_W, candidate_cost_w(t, n));
}
static double price_left(const evn_trip *t, const sight *n)
{
    return 1 - n->forgone_j / evn_change_price_j(n->is, t->candidate_unit, t->candidate, !evn_is_exact(t));
}
/* A pack that begins at its lowest usable charge is empty at once, not once it has crossed it. */
static double charge_left(const evn_trip *t, const sight *n)
{
    return 10 * (n->is->pull.at.soc - t->rig->pack.usable_from) + 2 * EVN_CROSSED;
}

static double charge_asked_left(const evn_trip *t, const sight *n)
{
    return evn_standing_charge_left(t, n->is->pull.at.soc);
}

/* ------------------------------------------------------------------------------------------------ the instant */

static bool wants_prices(const evn_trip *t) { return waits(t); }

static void look(const evn_trip *t, double time, const double *y, bool with_prices, sight *n)
{
    n->is = evn_instant_seen(t, time, y);
    n->place_m = evn_trip_place_m(t, time, y);
    n->preview_m_s2 = looking_ahead(t) ? evn_preview_asks(t, y) : 0;
    n->following_m_s2 = following(t) ? n->is->pull.at.asked_m_s2 : 0;
    for (size_t u = 0; u < t->rig->unit_count; u++)
        n->past_derating_k[u] = evn_pull_past_derating_k(&n->is->pull, u);
    if (in_gear(t))
        n->reach = evn_instant_reach(n->is);
    n->forgone_j = y[EVN_Y_FORGONE];
    n->prices = with_prices && wants_prices(t) ? evn_prices_seen(t, time, y) : NULL;
}

static double behind_left(const evn_trip *t, const sight *n)
{
    return evn_behind_margin(t, n->place_m, n->is->pull.at.speed_m_s);
}
static double band_left(const evn_trip *t, const sight *n)
{
    return evn_band_margin(t, n->place_m, n->is->pull.at.speed_m_s);
}

/* ------------------------------------------------------------------------------------------------ acts */

/*
 * At the very edge of a limit the integrator's error alone may bring the truck back to its plan. It rejoins only if it
 * is able to stay; otherwise it goes on at its limit, and may rejoin once the limit gives what the plan needs.
 */
static void rejoin(evn_trip *t, const sight *n)
{
    evn_trip on_plan = *t;
    sight m = {0};
    (void)n;
    evn_act_rejoin(&on_plan);
    evn_instant_drop(t);
    look(&on_plan, on_plan.t, on_plan.y, false, &m);
    if (fmin(fmin(motor_pull(&on_plan, &m), pack_pull(&on_plan, &m)), adhesion_pull(&on_plan, &m)) >= 0) {
        *t = on_plan;
        return;
    }
    t->y[EVN_Y_SPEED] = fmin(t->y[EVN_Y_SPEED], on_plan.y[EVN_Y_SPEED]);
    evn_axle_brakes_lump(t, on_plan.lump_j[EVN_FRICTION_BRAKES] - t->lump_j[EVN_FRICTION_BRAKES]);
    t->lump_j[EVN_FRICTION_BRAKES] = on_plan.lump_j[EVN_FRICTION_BRAKES];
    t->at_edge = true;
}
static void edge_left(evn_trip *t) { t->at_edge = false; }
static void cap_again(evn_trip *t)
{
    t->law = EVN_CAPPED;
    evn_foresee_anew(t);
}
static void cap_left(evn_trip *t)
{
    t->law = EVN_PREVIEW;
    t->own_at = evn_plan_index(t->course, t->y[EVN_Y_PLACE], t->near_at);
}
static void own_passed(evn_trip *t) { t->own_at++; }
static void pull_by_motor(evn_trip *t) { evn_act_pull_limit(t, EVN_BY_MOTOR); }
static void pull_by_pack(evn_trip *t) { evn_act_pull_limit(t, EVN_BY_PACK); }
static void pull_by_adhesion(evn_trip *t) { evn_act_pull_limit(t, EVN_BY_ADHESION); }
static void push_by_motor(evn_trip *t) { evn_act_push_limit(t, EVN_BY_MOTOR); }
static void push_by_pack(evn_trip *t) { evn_act_push_limit(t, EVN_BY_PACK); }
static void push_by_adhesion(evn_trip *t) { evn_act_push_limit(t, EVN_BY_ADHESION); }
/*
 * Of several units only those cross a corner that are due by their own side: the nearest, and those at the same place
 * to round-off. One that has just crossed stands within a hair of it too, and would be thrown back.
 */
static double at_corner(double nearest) { return fmax(nearest, 1e-9); }
static void base_crossed(evn_trip *t, const sight *n)
{
    double at = at_corner(base_side(t, n));
    for (size_t u = 0; u < t->rig->unit_count; u++)
        if (evn_connected(t, u) && base_left(t, n, u) <= at)
            t->base_passed[u] = !t->base_passed[u];
}
static void derating_crossed(evn_trip *t, const sight *n)
{
    double at = at_corner(derating_side(t, n));
    for (size_t u = 0; u < t->rig->unit_count; u++)
        if (derating_left(t, n, u) <= at)
            t->derating[u] = !t->derating[u];
}
static void fan_crossed(evn_trip *t) { t->fan_full = !t->fan_full; }
static void too_hot(evn_trip *t, const sight *n) { evn_act_too_hot(t, n->is); }
static void fade_crossed(evn_trip *t, const sight *n)
{
    bool no_width = t->rig->fade_from_m_s <= t->rig->fade_to_m_s;
    bool nearer_to = n->is->pull.at.speed_m_s - t->rig->fade_to_m_s < t->rig->fade_from_m_s - n->is->pull.at.speed_m_s;
    if (t->fade_side == EVN_FADE_WITHIN)
        t->fade_side = nearer_to ? EVN_FADE_BELOW : EVN_FADE_ABOVE;
    else if (no_width)
        t->fade_side = t->fade_side == EVN_FADE_ABOVE ? EVN_FADE_BELOW : EVN_FADE_ABOVE;
    else
        t->fade_side = EVN_FADE_WITHIN;
}
static void retarder_crossed(evn_trip *t, const sight *n)
{
    const evn_retarder *r = &t->rig->retarder;
    double v = n->is->pull.at.speed_m_s;
    if (t->retarder_side == EVN_FADE_WITHIN)
        t->retarder_side = v - r->fade_to_m_s < r->fade_from_m_s - v ? EVN_FADE_BELOW : EVN_FADE_ABOVE;
    else
        t->retarder_side = EVN_FADE_WITHIN;
}
static void locks_crossed(evn_trip *t, const sight *n) { evn_stance_cross_locks(t, n->is->pull.at.speed_m_s); }
static void shift_over(evn_trip *t)
{
    for (size_t u = 0; u < t->rig->unit_count; u++)
        if (evn_is_changing(&t->box[u]) && t->t >= t->box[u].busy_until_s - SAME_TIME_S)
            evn_act_change_ends(t, u);
}
static void dwell_over(evn_trip *t) { (void)t; } /* what waited for it is asked anew */
static void save_motor(evn_trip *t, const sight *n)
{
    size_t unit = fastest(t, n);
    evn_setting now = t->box[unit].now;
    bool higher = now.gear + 1u < t->rig->unit[unit].gear_count;
    evn_act_change(t, unit,
                   higher ? (evn_setting){(uint8_t)(now.gear + 1), now.engaged, now.open}
                          : (evn_setting){.open = now.open});
}
static void take_candidate(evn_trip *t, choice best)
{
    t->has_candidate = true;
    t->candidate_unit = best.unit;
    t->candidate = t->rig->unit[best.unit].setting[best.setting];
}
static void propose(evn_trip *t, const sight *n)
{
    take_candidate(t, cheapest(t, n, false));
    t->y[EVN_Y_FORGONE] = 0;
}
/* What was forgone so far goes on with the next candidate. */
static void overtake(evn_trip *t, const sight *n) { take_candidate(t, cheapest(t, n, true)); }
/* Branches by themselves: gear and motors first. */
static evn_setting next_to(const evn_trip *t, size_t unit, evn_setting to)
{
    evn_setting now = t->box[unit].now;
    if (now.gear != to.gear || now.engaged != to.engaged)
        to.open = now.open;
    return to;
}
/* All at one instant or none: what a dwell holds back, and branches behind their gear, are planned anew at its end. */
static void take_planned(evn_trip *t)
{
    evn_planned plan = t->planned;
    bool may = true, whole = true;
    for (size_t u = 0; u < t->rig->unit_count; u++)
        may = may && (evn_same_setting(plan.to[u], t->box[u].now) || may_take(t, u, next_to(t, u, plan.to[u])));
    for (size_t u = 0; may && u < t->rig->unit_count; u++) {
        evn_setting to = next_to(t, u, plan.to[u]);
        whole = whole && evn_same_setting(to, plan.to[u]);
        if (!evn_same_setting(to, t->box[u].now))
            evn_act_change(t, u, to);
    }
    t->planned.there = false;
    t->foresee_s = may && whole ? plan.next_s : fmin(plan.next_s, dwell_ends(t));
}
static void foresee(evn_trip *t)
{
    if (!t->planned.there) {
        evn_foreseen f = evn_foresee(t);
        evn_drop_candidate(t);
        t->planned = (evn_planned){.there = f.changes, .next_s = f.next_s};
        memcpy(t->planned.to, f.to, sizeof f.to);
        t->foresee_s = f.changes ? f.at_s : f.next_s;
    }
    if (t->planned.there && !before(t, t->foresee_s))
        take_planned(t);
}
/* Barely rolling, the pause would bring the truck to rest again and again: it keeps its gear, and asks after a dwell.
 */
static void shift_due(evn_trip *t, const sight *n)
{
    static const double BARELY_M_S = 0.5;
    size_t unit = t->candidate_unit;
    const evn_unit *u = &t->rig->unit[unit];
    bool gap = evn_connected_count(t) == 1 && evn_connected(t, unit) && t->candidate.gear != t->box[unit].now.gear;
    double coasting_m_s2 = -n->is->pull.road.base_n / n->is->pull.road.mass_kg,
           pause_s = evn_is_exact(t) || !gap ? 0 : u->shift_time_s;
    if (pause_s > 0 && n->is->pull.at.speed_m_s < BARELY_M_S &&
        n->is->pull.at.speed_m_s + coasting_m_s2 * pause_s <= 0) {
        evn_drop_candidate(t);
        t->box[unit].dwell_until_s = t->t + u->shift_dwell_s;
        return;
    }
    evn_act_change(t, unit, t->candidate);
}
static void battery_empty(evn_trip *t, const sight *n) { evn_act_pack_empty(t, n->is, n->place_m); }
static void battery_too_weak(evn_trip *t, const sight *n) { evn_act_pack_too_weak(t, n->is, n->place_m); }
static void pack_overdrawn(evn_trip *t, const sight *n) { evn_act_pack_overdrawn(t, n->is, n->place_m); }

/* ------------------------------------------------------------------------------------------------ the table */

static const rule rules[] = {
    {"the battery is empty", running, NULL, charge_left, NULL, battery_empty},
    {"the battery cannot feed what always runs", running, NULL, floor_left, NULL, battery_too_weak},
    {"the battery is discharged with all it can give", running, NULL, brink_left, NULL, pack_overdrawn},
    {"a wait is over", standing, wait_ends, NULL, evn_act_wait_over, NULL},
    {"the battery is charged as far as asked", evn_standing_charges, NULL, charge_asked_left, evn_act_charged, NULL},
    {"the battery will not be charged", evn_standing_may_be_endless, evn_standing_given_up_s, NULL, evn_act_not_charged,
     NULL},
    {"motors rest in a stop that lasts", evn_resting_waits, evn_resting_due_s, NULL, evn_act_rest, NULL},
    {"the work of the power take-off is over", evn_takeoff_works, evn_takeoff_work_due_s, NULL,
     evn_act_takeoff_work_over, NULL},
    {"brake applications are made up for", evn_makes_up, evn_made_up_due_s, NULL, evn_act_made_up, NULL},
    {"the stretch of the target speed ends, at its known time", prescribed, plan_ends, NULL,
     evn_act_plan_end_prescribed, NULL},
    {"the stretch of the road ends, at its known time", prescribed, road_ends, NULL, evn_act_road_end, NULL},
    {"back at the target speed", off_plan, NULL, below_plan, NULL, rejoin},
    {"the limit allows the target speed again", at_edge, NULL, beyond_limit, edge_left, NULL},
    {"the stretch of the target speed ends", aiming, NULL, plan_left, evn_act_plan_end, NULL},
    {"the stretch of the road ends", unprescribed, NULL, road_left, evn_act_road_end, NULL},
    {"came to rest unasked", unprescribed, NULL, speed_left, evn_act_come_to_rest, NULL},
    {"the stop ahead is near", stop_ahead, NULL, stop_left, evn_act_stop_ahead, NULL},
    {"the driver's comfort caps the acceleration", following, NULL, below_cap, evn_act_catch_up, NULL},
    {"the descent ends", on_descent, NULL, descent_left, evn_act_descent_ends, NULL},
    {"a descent begins", before_descent, NULL, descent_ahead, evn_act_descent_begins, NULL},
    {"the speed that can be held downhill is looked at", endures_in_gear, evn_endure_due_s, NULL, evn_act_endure, NULL},
    {"the target speed passes the speed that is held", may_be_held, NULL, held_left, evn_act_begin_holding, NULL},
    {"the driver's comfort caps the way to the speed that is held", holding, NULL, below_cap_holding, cap_again, NULL},
    {"the target speed asks for less than the comfortable acceleration", capped_or_holding, NULL, above_cap, cap_left,
     NULL},
    {"the driver's comfort caps catching up", previewing, NULL, below_cap_looking, cap_again, NULL},
    {"the stretch of the target speed is passed", previews_on, NULL, own_left, own_passed, NULL},
    {"target speed reached again", may_follow, NULL, to_catch_up, evn_act_caught_up, NULL},
    {"the change of setting is over", shifting, shift_ends, NULL, shift_over, NULL},
    {"the pause leaves less than wanted", gap_pushes, NULL, push_wanted, evn_act_gap_pulls, NULL},
    {"the pause leaves more than wanted", gap_pulls, NULL, pull_wanted, evn_act_gap_pushes, NULL},
    {"the motor would overspeed", may_overspeed, NULL, speed_reserve, NULL, save_motor},
    {"settings are planned", foresees, foresee_due, NULL, foresee, NULL},
    {"less is wanted than the limit leaves, pulling", pull_limited, NULL, pull_wanted, evn_act_leave_pull, NULL},
    {"less is wanted than the limit leaves, pushing", push_limited, NULL, push_wanted, evn_act_leave_push, NULL},
    {"the motors' limit binds, pulling", pull_not_motor, NULL, motor_pull, pull_by_motor, NULL},
    {"battery power limits, driving", pull_not_pack, NULL, pack_pull, pull_by_pack, NULL},
    {"the adhesion limit binds, pulling", pull_not_adhesion, NULL, adhesion_pull, pull_by_adhesion, NULL},
    {"the motors' limit binds, pushing", push_not_motor, NULL, motor_push, push_by_motor, NULL},
    {"battery power limits, braking", push_not_pack, NULL, pack_push, push_by_pack, NULL},
    {"the adhesion limit binds, pushing", push_not_adhesion, NULL, adhesion_push, push_by_adhesion, NULL},
    {"the corner of the motors' envelope is passed", corners_matter, NULL, base_side, NULL, base_crossed},
    {"derating begins or ends", corners_matter, NULL, derating_side, NULL, derating_crossed},
    {"the fan's full speed is reached or left", has_fan, NULL, fan_side, fan_crossed, NULL},
    {"losses without torque heat a unit too far, or it has cooled", evn_too_hot_applies, NULL, too_hot_left, NULL,
     too_hot},
    {"regeneration begins or ends to fade", fading, NULL, fade_left, NULL, fade_crossed},
    {"the retarder begins or ends to fade", retards, NULL, retarder_left, NULL, retarder_crossed},
    {"the start aid begins or ends", has_aid, NULL, aid_left, evn_stance_cross_aid, NULL},
    {"differentials are locked or released", has_locks, NULL, locks_left, NULL, locks_crossed},
    {"the dwell after a change is over", dwelling, dwell_ends, NULL, dwell_over, NULL},
    {"a better setting appears", no_candidate, NULL, own_lead, NULL, propose},
    {"the better setting is no longer better", a_candidate, NULL, candidate_lead, evn_drop_candidate, NULL},
    {"another setting is better still", a_candidate, NULL, candidate_over_others, NULL, overtake},
    {"a change of setting is due", a_candidate, NULL, price_left, NULL, shift_due},
    {"2 mph below the target speed, or back", moving, NULL, behind_left, evn_account_behind, NULL},
    {"the edge of the band around the trace", judged_by_band, NULL, band_left, evn_account_band, NULL},
};
const size_t evn_rules_count = sizeof rules / sizeof *rules;
_Static_assert(sizeof rules / sizeof *rules <= EVN_WATCHES_MAX, "one bit per rule");

/* ------------------------------------------------------------------------------------------------ the engine */

static bool of_prices(size_t k)
{
    return rules[k].watch == own_lead || rules[k].watch == candidate_lead || rules[k].watch == candidate_over_others;
}

/* The end of a dwell is a time at which the integration stops, and nothing more: what waited for it applies from then
 * on. */
static bool may_apply(const evn_trip *t, size_t k)
{
    bool waiting = rules[k].applies == no_candidate && in_gear(t) && !any_shifting(t) && !t->has_candidate;
    return rules[k].watch && (waiting || rules[k].applies(t));
}

uint64_t evn_rules_watched(const evn_trip *t)
{
    uint64_t all = 0;
    for (size_t k = 0; k < evn_rules_count; k++)
        if (may_apply(t, k))
            all |= UINT64_C(1) << k;
    return all;
}

/* The number of the lowest bit, which is taken out. */
static size_t next_bit(uint64_t *bits)
{
    size_t k = (size_t)__builtin_ctzll(*bits);
    *bits &= *bits - 1;
    return k;
}

void evn_trip_watch_some(double time, const double *y, uint64_t wanted, double *g, void *self)
{
    evn_trip *t = self;
    sight n;
    bool priced = false;
    for (uint64_t left = t->watched & wanted; left && !priced;)
        priced = of_prices(next_bit(&left));
    look(t, time, y, priced, &n);
    evn_passed_see(t, time, n.is);
    for (uint64_t left = t->watched; left;) {
        size_t k = next_bit(&left);
        if (priced || !of_prices(k))
            g[k] = rules[k].applies(t) ? rules[k].watch(t, &n) + EVN_TOUCH : 1;
    }
}

void evn_trip_watch(double time, const double *y, double *g, void *self)
{
    for (size_t k = 0; k < evn_rules_count; k++)
        g[k] = 1;
    evn_trip_watch_some(time, y, UINT64_MAX, g, self);
}

double evn_rules_next_time(const evn_trip *t)
{
    double next = t->t + 3600; /* nothing known ahead: look again in an hour */
    for (size_t k = 0; k < evn_rules_count; k++)
        if (rules[k].due_s && rules[k].applies(t))
            next = fmin(next, rules[k].due_s(t));
    return next;
}

static bool is_due(const evn_trip *t, size_t k, uint64_t hit, const sight *n)
{
    if (!rules[k].applies(t))
        return false;
    if (rules[k].due_s)
        return t->t >= rules[k].due_s(t) - SAME_TIME_S;
    /* what the integrator saw falling still counts after other rules have acted only if it is still at zero */
    double watch = rules[k].watch(t, n);
    return watch < EVN_CROSSED || ((hit >> k & 1u) && watch < 1e-4);
}

/* The name of what acted last, or so many events before. */
static const char *lately(const evn_trip *t, size_t back)
{
    return t->events > back ? rules[t->lately[(t->events - 1 - back) % EVN_LATELY]].name : "the start";
}

static bool too_many(evn_trip *t)
{
    evn_say(t->report, EVN_FAULT_TOO_MANY_EVENTS, evn_nowhere, evn_nowhere,
            "more than %d events at %.6f s, %.6f km; the last were \"%s\", \"%s\" and \"%s\"", MOST_AT_ONE_INSTANT,
            t->t, t->y[EVN_Y_PLACE] / 1000, lately(t, 2), lately(t, 1), lately(t, 0));
    return false;
}

bool evn_rules_no_headway(const evn_trip *t)
{
    const evn_headway *h = &t->headway;
    evn_say(t->report, EVN_FAULT_NO_HEADWAY, evn_nowhere, evn_nowhere,
            "%s gets nowhere at %.3f km, %.1f s: %lu steps of computing took it %.3f m and %.3f s; expected a few "
            "hundred for a hundred metres%s%s; what happened last was \"%s\", \"%s\" and \"%s\"",
            t->rig->truck_name, t->y[EVN_Y_PLACE] / 1000, t->t, h->spent, t->y[EVN_Y_PLACE] - h->since_m,
            t->t - h->since_s, t->hold == EVN_HELD_NOT ? "" : "; limited by ", evn_hold_rows[t->hold].label,
            lately(t, 2), lately(t, 1), lately(t, 0));
    return false;
}

bool evn_rules_run(evn_trip *t, uint64_t hit, bool *restart)
{
    size_t count = 0;
    evn_account_held(t);
    for (size_t k = 0; k < evn_rules_count && t->motion != EVN_ENDED;) {
        sight n;
        if (k == 0)
            look(t, t->t, t->y, true, &n);
        while (k < evn_rules_count && !is_due(t, k, hit, &n))
            k++;
        if (k == evn_rules_count)
            break;
        hit &= ~(UINT64_C(1) << k);
        if (rules[k].act)
            rules[k].act(t);
        else
            rules[k].act_on(t, &n);
        evn_instant_drop(t);
        *restart = true;
        if (++count > MOST_AT_ONE_INSTANT)
            return too_many(t);
        if (!evn_headway_after_event(t, k))
            return evn_rules_no_headway(t);
        k = 0; /* from the top: what one rule changed may make another due */
    }
    if (evn_made_up_after_event(t)) {
        evn_instant_drop(t);
        *restart = true;
    }
    evn_account_holds(t);
    return true;
}
