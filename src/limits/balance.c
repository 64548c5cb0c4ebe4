/*
 * Speeds and grades at which the force that is left is just what the road asks, at once (peak) and for ever
 * (continuous: by the heat of windings and inverters).
 */
#include "core/root.h"
#include "core/units.h"
#include "limits/abilities.h"
#include "pull/continuous.h"
#include <math.h>
#include <string.h>

static const double STEADY_M_S = 0.01; /* slower nothing is held: what pulls from rest is asked of the start */

typedef struct balance {
    evn_scene *scene;
    evn_asked_of_scene ask;
    bool continuous;
} balance;

static double continuous_n(const balance *b, const evn_pull *p)
{
    unsigned lifted = b->ask.lifted;
    evn_parts_that_heat by = {!evn_is_lifted(lifted, EVN_BOUND_WINDING), !evn_is_lifted(lifted, EVN_BOUND_INVERTER)};
    return evn_pull_continuous_n(p, by, b->scene->gear);
}

static double most_n(const balance *b, evn_pull *p)
{
    evn_scene_pull(b->scene, &b->ask, p);
    return evn_scene_most_n(p, &b->ask);
}

/* Whether the battery is what holds the force that a pull gives. */
static bool held_by_pack(const balance *b, const evn_pull *p, double most)
{
    evn_asked_of_scene without = b->ask;
    without.lifted |= evn_lift(EVN_BOUND_PACK);
    return evn_scene_most_n(p, &without) > most * (1 + 1e-9);
}

static bool can_turn(const balance *b, size_t unit, size_t gear)
{
    const evn_unit *u = &b->scene->rig->unit[unit];
    double rad_s = b->ask.speed_m_s * evn_rig_unit_rad_m(b->scene->rig, u) * u->gear[gear].total_ratio;
    return rad_s <= evn_unit_top_rad_s(u) * (1 + 1e-12);
}

/* Of one unit the gear that leaves most, the others as they are; the scene keeps it. */
static double try_gears(balance *b, size_t unit, double most)
{
    uint8_t best = b->scene->gear[unit];
    for (size_t gear = 0; gear < b->scene->rig->unit[unit].gear_count; gear++) {
        evn_pull p;
        if (!can_turn(b, unit, gear))
            continue;
        b->scene->gear[unit] = (uint8_t)(gear + 1);
        double n = most_n(b, &p);
        if (n > most) {
            most = n;
            best = b->scene->gear[unit];
        }
    }
    b->scene->gear[unit] = best;
    return most;
}

/* What is left of the force, N; in a gear that cannot turn so fast, of none. */
static double left_n(balance *b)
{
    evn_pull p;
    double most = most_n(b, &p);
    for (size_t u = 0; u < b->scene->rig->unit_count; u++)
        if (b->scene->gear[u] > 0 && !can_turn(b, u, b->scene->gear[u] - 1u))
            return -p.road.base_n - b->scene->rig->mass_kg;
    if (b->continuous)
        most = fmin(most, continuous_n(b, &p));
    return most - p.road.base_n;
}

/*
 * A scene takes the gears whose motors give most. Where the battery holds the force, most comes from those that lose
 * least: at the place that was found other gears are tried, unit by unit, and with them it is looked for once more.
 */
static double in_other_gears(evn_error *look, balance *b, double found)
{
    uint8_t as_is[EVN_UNITS_MAX];
    evn_pull p;
    double most = most_n(b, &p), better = found;
    if (isnan(found) || !held_by_pack(b, &p, most))
        return found;
    memcpy(as_is, b->scene->gear, sizeof as_is);
    for (size_t u = 0; u < b->scene->rig->unit_count; u++) {
        if (as_is[u] > 0 || b->scene->rig->unit[u].gear_count == 1 || !p.team.unit[u].connected)
            continue;
        b->scene->gear[u] = (uint8_t)(p.team.unit[u].setting.gear + 1);
        most = try_gears(b, u, most);
    }
    if (memcmp(as_is, b->scene->gear, sizeof as_is) != 0)
        better = fmax(look(b, found), found);
    memcpy(b->scene->gear, as_is, sizeof as_is);
    return better;
}

static bool heat_is_stated(const evn_scene *s)
{
    bool all = true;
    for (size_t u = 0; u < s->rig->unit_count; u++)
        all = all && (s->rig->unit[u].motor[0].heat.winding || s->rig->unit[u].motor[0].heat.inverter);
    return all;
}

/*
 * For ever the motors' own envelope is only what is left when heat does not bind. What lifting it would give is not
 * known: nobody states how a motor heats beyond its envelope.
 */
static const evn_bound at_once[] = {EVN_BOUND_MOTOR_TORQUE, EVN_BOUND_PACK, EVN_BOUND_ADHESION, EVN_BOUND_NONE};
static const evn_bound for_ever[] = {EVN_BOUND_MOTOR_TORQUE, EVN_BOUND_WINDING,  EVN_BOUND_INVERTER,
                                     EVN_BOUND_PACK,         EVN_BOUND_ADHESION, EVN_BOUND_NONE};

static evn_answer answer(evn_able *able, balance *b)
{
    if (!b->continuous)
        return evn_answer_of_scene(b->scene->plain, able, b, at_once);
    if (!heat_is_stated(b->scene))
        return evn_answer_none(EVN_BOUND_NO_HEAT_DATA);
    evn_answer a = evn_answer_of_scene(b->scene->plain, able, b, for_ever);
    if (a.bound == EVN_BOUND_MOTOR_TORQUE)
        a.next_value = (double)NAN;
    else if (a.next == EVN_BOUND_NONE)
        a.next = EVN_BOUND_MOTOR_TORQUE;
    return a;
}

/* Torque or power, where the motors bind at a speed. */
static void tell_motors_apart(evn_bound *bound, const balance *b, double speed_m_s, double tangent)
{
    evn_asked_of_scene ask = {.speed_m_s = speed_m_s, .tangent = tangent, .pulling = true, .held = true};
    evn_pull p;
    if (*bound != EVN_BOUND_MOTOR_TORQUE)
        return;
    evn_scene_pull(b->scene, &ask, &p);
    *bound = evn_scene_motors_bound(&p);
}

/* ------------------------------------------------------------------------------------------------ forces */

static double left_as_it_is(void *self, double unused)
{
    (void)unused;
    return left_n(self);
}

double evn_able_force_n(evn_scene *s, double speed_m_s, bool continuous)
{
    balance b = {s, {.speed_m_s = speed_m_s, .pulling = true, .held = true}, continuous};
    s->battery_spent = continuous;
    evn_pull p;
    if (continuous && !heat_is_stated(s))
        return (double)NAN;
    double left = in_other_gears(left_as_it_is, &b, left_n(&b));
    evn_scene_pull(s, &b.ask, &p);
    return left + p.road.base_n;
}

/* ------------------------------------------------------------------------------------------------ grades */

static double left_on_grade_n(void *self, double tangent)
{
    balance *b = self;
    b->ask.tangent = tangent;
    return left_n(b);
}

static double steepest(void *self, double from)
{
    static const evn_between how = {.tolerance = 1e-3, .x_tolerance = 1e-10, .steps = 100};
    balance *b = self;
    evn_known least = {from, left_on_grade_n(b, from)}, steep = {EVN_STEEPEST, 0};
    if (!(least.error >= 0))
        return (double)NAN;
    steep.error = left_on_grade_n(b, EVN_STEEPEST);
    return steep.error >= 0 ? EVN_STEEPEST : evn_root_between(left_on_grade_n, b, least, steep, &how).x;
}

static double steepest_percent(void *self, unsigned lifted)
{
    balance *b = self;
    b->ask.lifted = lifted;
    double found = steepest(b, 0);
    b->ask.tangent = isnan(found) ? 0 : found;
    return 100 * in_other_gears(steepest, b, found);
}

evn_answer evn_able_grade_percent(evn_scene *s, double speed_m_s, bool continuous)
{
    balance b = {s, {.speed_m_s = speed_m_s, .pulling = true, .held = true}, continuous};
    s->battery_spent = continuous;
    evn_answer a = answer(steepest_percent, &b);
    double tangent = isnan(a.value) ? 0 : a.value / 100;
    tell_motors_apart(&a.bound, &b, speed_m_s, tangent);
    tell_motors_apart(&a.next, &b, speed_m_s, tangent);
    a.beyond = a.value >= 100 * EVN_STEEPEST;
    return a;
}

/* ------------------------------------------------------------------------------------------------ speeds */

double evn_able_top_m_s(const evn_rig *r) { return fmin(r->top_speed_m_s, 200 * EVN_M_S_PER_KM_H); }

static double left_at_speed_n(void *self, double speed_m_s)
{
    balance *b = self;
    b->ask.speed_m_s = speed_m_s;
    return left_n(b);
}

/*
 * The fastest: looked for from above in strides, since a gear that ends, or a lock that opens, may let the force jump;
 * the strides grow shorter towards low speeds, where a step in speed is more of a grade.
 */
static double fastest(void *self, double from)
{
    static const evn_between how = {.tolerance = 1e-3, .x_tolerance = 1e-9, .steps = 100};
    static const double STRIDE = 0.8;
    balance *b = self;
    double top = evn_able_top_m_s(b->scene->rig);
    evn_known above = {top, left_at_speed_n(b, top)}, below = above;
    while (below.error < 0 && below.x > from) {
        above = below;
        below.x = fmax(below.x * STRIDE, from);
        below.error = left_at_speed_n(b, below.x);
    }
    if (below.error < 0)
        return (double)NAN;
    return below.x >= top ? top : evn_root_between(left_at_speed_n, b, below, above, &how).x;
}

static double fastest_m_s(void *self, unsigned lifted)
{
    balance *b = self;
    b->ask.lifted = lifted;
    double found = fastest(b, STEADY_M_S);
    b->ask.speed_m_s = isnan(found) ? STEADY_M_S : found;
    return in_other_gears(fastest, b, found);
}

/* At the top speed nothing else binds. */
static void hold_by_top(evn_answer *a, double top_m_s)
{
    if (a->value >= top_m_s) {
        a->bound = EVN_BOUND_MOTOR_SPEED;
        a->next = EVN_BOUND_NONE;
        a->next_value = (double)NAN;
    } else if (a->next_value >= top_m_s) {
        a->next = EVN_BOUND_MOTOR_SPEED;
    }
}

evn_answer evn_able_speed_m_s(evn_scene *s, double tangent, bool continuous)
{
    balance b = {s, {.tangent = tangent, .pulling = true, .held = true}, continuous};
    s->battery_spent = continuous;
    double top_m_s = evn_able_top_m_s(s->rig);
    evn_answer a = answer(fastest_m_s, &b);
    double at_m_s = isnan(a.value) ? STEADY_M_S : a.value;
    tell_motors_apart(&a.bound, &b, at_m_s, tangent);
    tell_motors_apart(&a.next, &b, isnan(a.next_value) ? at_m_s : fmin(a.next_value, top_m_s), tangent);
    hold_by_top(&a, top_m_s);
    a.beyond = a.value >= top_m_s && top_m_s < s->rig->top_speed_m_s;
    return a;
}
