/*
 * Speeds and grades at which the force that is left is just what the road asks, at once (peak) and for ever
 * (continuous: by the heat of windings and inverters).
 */
#include "core/root.h"
#include "core/units.h"
#include "limits/abilities.h"
#include "pull/continuous.h"
#include <math.h>

static const double STEADY_M_S = 0.01; /* slower nothing is held: what pulls from rest is asked of the start */

typedef struct balance {
    evn_scene *scene;
    evn_asked_of_scene ask;
    bool continuous;
} balance;

static double continuous_n(const evn_pull *p, unsigned lifted)
{
    return evn_pull_continuous_n(p, (evn_parts_that_heat){!evn_is_lifted(lifted, EVN_BOUND_WINDING),
                                                          !evn_is_lifted(lifted, EVN_BOUND_INVERTER)});
}

/* What is left of the force, N. */
static double left_n(const balance *b)
{
    evn_pull p;
    evn_scene_pull(b->scene, &b->ask, &p);
    double most = evn_scene_most_n(&p, &b->ask);
    if (b->continuous)
        most = fmin(most, continuous_n(&p, b->ask.lifted));
    return most - p.road.base_n;
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
        return evn_answer_by(able, b, at_once);
    if (!heat_is_stated(b->scene))
        return evn_answer_of((double)NAN);
    evn_answer a = evn_answer_by(able, b, for_ever);
    if (a.bound == EVN_BOUND_MOTOR_TORQUE)
        a.next_value = (double)NAN;
    if (a.next == EVN_BOUND_NONE)
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

/* ------------------------------------------------------------------------------------------------ grades */

static double left_on_grade_n(void *self, double tangent)
{
    balance *b = self;
    b->ask.tangent = tangent;
    return left_n(b);
}

static double steepest_percent(void *self, unsigned lifted)
{
    static const evn_between how = {.tolerance = 1e-3, .x_tolerance = 1e-10, .steps = 100};
    balance *b = self;
    b->ask.lifted = lifted;
    evn_known level = {0, left_on_grade_n(b, 0)}, steep = {EVN_STEEPEST, 0};
    if (!(level.error >= 0))
        return (double)NAN;
    steep.error = left_on_grade_n(b, EVN_STEEPEST);
    return 100 * (steep.error >= 0 ? EVN_STEEPEST : evn_root_between(left_on_grade_n, b, level, steep, &how).x);
}

evn_answer evn_able_grade_percent(evn_scene *s, double speed_m_s, bool continuous)
{
    balance b = {s, {.speed_m_s = speed_m_s, .pulling = true, .held = true}, continuous};
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
static double fastest_m_s(void *self, unsigned lifted)
{
    static const evn_between how = {.tolerance = 1e-3, .x_tolerance = 1e-9, .steps = 100};
    static const double STRIDE = 0.8;
    balance *b = self;
    b->ask.lifted = lifted;
    double top = evn_able_top_m_s(b->scene->rig);
    evn_known above = {top, left_at_speed_n(b, top)}, below = above;
    while (below.error < 0 && below.x > STEADY_M_S) {
        above = below;
        below.x = fmax(below.x * STRIDE, STEADY_M_S);
        below.error = left_at_speed_n(b, below.x);
    }
    if (below.error < 0)
        return (double)NAN;
    return below.x >= top ? top : evn_root_between(left_at_speed_n, b, below, above, &how).x;
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
    double top_m_s = evn_able_top_m_s(s->rig);
    evn_answer a = answer(fastest_m_s, &b);
    double at_m_s = isnan(a.value) ? STEADY_M_S : a.value;
    tell_motors_apart(&a.bound, &b, at_m_s, tangent);
    tell_motors_apart(&a.next, &b, isnan(a.next_value) ? at_m_s : fmin(a.next_value, top_m_s), tangent);
    hold_by_top(&a, top_m_s);
    a.beyond = a.value >= top_m_s && top_m_s < s->rig->top_speed_m_s;
    return a;
}
