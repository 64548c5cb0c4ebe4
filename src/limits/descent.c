/*
 * Descending: the steepest grade on which motors alone hold a speed, so that no friction brake works and no retarder.
 * Held downhill as a run does it: rolling resistance, air drag and the units' own drag help, motors do the rest within
 * torque, power, heat, what the tyres carry and what battery and brake resistor take.
 *
 * A figure for comparing layouts: how a loaded vehicle is taken downhill, and what its brakes must stand, is for local
 * regulation, approved testing and licensed practice.
 */
#include "core/units.h"
#include "limits/abilities.h"
#include <math.h>

/* ------------------------------------------------------------------------------------------------ at a charge */

typedef struct descent_search {
    const evn_scene *scene;
    double speed_m_s;
} descent_search;

static double steepest_percent(void *self, unsigned lifted)
{
    const descent_search *d = self;
    return 100 * evn_scene_steepest(d->scene, d->speed_m_s, false, lifted);
}

/* Which of those that hold the motors does, on the grade that they just hold. */
static evn_bound motors_bound(const descent_search *d, double percent)
{
    evn_asked_of_scene ask = {.speed_m_s = d->speed_m_s, .tangent = -percent / 100, .held = true};
    evn_pull p;
    evn_scene_pull(d->scene, &ask, &p);
    p.at.push = EVN_BY_MOTOR;
    return evn_scene_motors_bound(&p);
}

/* Braking by motors is switched off, faded at this speed, or shared with friction brakes from the first newton on. */
static bool is_off(const evn_rig *r, double speed_m_s)
{
    return !r->regeneration || r->motor_share < 1 || evn_fade_side(r, speed_m_s) != EVN_FADE_ABOVE;
}

static evn_answer none_by(evn_bound bound)
{
    evn_answer a = evn_answer_of((double)NAN);
    a.bound = bound;
    return a;
}

evn_answer evn_able_descent_percent(evn_scene *s, double speed_m_s)
{
    static const evn_bound limits[] = {EVN_BOUND_MOTOR_TORQUE, EVN_BOUND_PACK, EVN_BOUND_ADHESION, EVN_BOUND_NONE};
    descent_search d = {s, speed_m_s};
    if (speed_m_s > s->rig->top_speed_m_s)
        return none_by(EVN_BOUND_MOTOR_SPEED);
    if (is_off(s->rig, speed_m_s)) {
        evn_answer off = evn_answer_of(steepest_percent(&d, 0));
        off.bound = EVN_BOUND_OFF;
        return off;
    }
    evn_answer a = evn_answer_by(steepest_percent, &d, limits);
    a.beyond = a.value >= 100 * EVN_STEEPEST;
    if (a.bound == EVN_BOUND_MOTOR_TORQUE)
        a.bound = motors_bound(&d, a.value);
    if (a.next == EVN_BOUND_MOTOR_TORQUE)
        a.next = motors_bound(&d, a.next_value);
    return a;
}

/* ------------------------------------------------------------------------------------------------ the group */

#define HELD "steepest descent on which motors alone hold the speed, "
static const evn_limits_column at_start = {"at_start_soc_percent", "%", "as charged at the start",
                                           HELD "at the state of charge of the start", 2},
                               half = {"half_charged_percent", "%", "half charged",
                                       HELD "in the middle of the usable window of charge", 2},
                               full = {"full_percent", "%", "full", HELD "at the top of the usable window of charge",
                                       2};

static void add_at(evn_limits_work *w, const evn_limits_name *name, const evn_limits_column *column, double soc,
                   double speed_m_s)
{
    evn_scene s = evn_scene_of(w, EVN_FORWARDS);
    s.soc = soc;
    evn_answer a = evn_able_descent_percent(&s, speed_m_s);
    evn_limits_add(w, name, column, &a);
}

static void add_speed(evn_limits_work *w, const evn_limits_name *name, double speed_m_s)
{
    const evn_rig *r = w->rig[EVN_FORWARDS];
    add_at(w, name, &at_start, r->start_soc, speed_m_s);
    add_at(w, name, &half, 0.5 * (r->pack.usable_from + r->pack.usable_to), speed_m_s);
    add_at(w, name, &full, r->pack.usable_to, speed_m_s);
}

void evn_limits_descent(evn_limits_work *w)
{
    add_speed(w, &(evn_limits_name){"descent", "30_km_h", "30 km/h"}, 30 * EVN_M_S_PER_KM_H);
    add_speed(w, &(evn_limits_name){"descent", "50_km_h", "50 km/h"}, 50 * EVN_M_S_PER_KM_H);
}
