/*
 * Changing up on a grade, or on soft ground: from its first gear, in which it starts, each unit with gears goes into
 * its second, one after another; meanwhile it does not pull and the others do. The truck loses speed in that gap, and
 * must not come to rest in it; then it has to go on accelerating. The driver takes the best speed for it, which is the
 * lowest at which the next gear pulls most: at rest, or where a motor has less torque at rest a little above. So a
 * change is asked for at the speed that the gap brings down to that one, and that the gears before it have to reach
 * from rest.
 */
#include "limits/change_up.h"
#include "core/root.h"
#include <math.h>

static const double MOVES_M_S2 = 1e-3; /* as a start (start.c) */

/* ------------------------------------------------------------------------------------------------ one change */

static bool changes(const evn_scene *s, size_t unit) { return s->rig->unit[unit].gear_count > 1 && !s->unit_out[unit]; }

bool evn_has_gears_to_change(const evn_rig *r)
{
    bool any = false;
    for (size_t u = 0; u < r->unit_count; u++)
        any = any || r->unit[u].gear_count > 1;
    return any;
}

static double accel_m_s2(const evn_change_up *c, double speed_m_s)
{
    evn_asked_of_scene ask = {.speed_m_s = speed_m_s, .tangent = c->tangent, .pulling = true, .lifted = c->lifted};
    evn_pull p;
    evn_scene_pull(&c->scene, &ask, &p);
    return evn_pull_accel(&p, evn_scene_most_n(&p, &ask));
}

/* Runge-Kutta of the fourth order, backwards from the speed that is left. */
double evn_change_up_before_m_s(evn_change_up *c, size_t unit)
{
    enum { STEPS = 4 };
    double v = c->after_m_s[unit], h = c->scene.rig->unit[unit].shift_time_s / STEPS;
    c->scene.shifting[unit] = true;
    for (int k = 0; k < STEPS && h > 0; k++) {
        double a1 = -accel_m_s2(c, v), a2 = -accel_m_s2(c, fmax(v + h / 2 * a1, 0)),
               a3 = -accel_m_s2(c, fmax(v + h / 2 * a2, 0)), a4 = -accel_m_s2(c, fmax(v + h * a3, 0));
        v = fmax(v + h / 6 * (a1 + 2 * a2 + 2 * a3 + a4), 0);
    }
    c->scene.shifting[unit] = false;
    return v;
}

/* The slowest of some speeds at which the gears of the scene pull most: no less torque at rest than a little above. */
static double pulls_most_m_s(const evn_change_up *c)
{
    static const double speeds_m_s[] = {0.1, 0.2, 0.4, 0.8, 1.6};
    double best_m_s = 0, most = accel_m_s2(c, 0);
    for (size_t k = 0; k < sizeof speeds_m_s / sizeof *speeds_m_s; k++) {
        double accel = accel_m_s2(c, speeds_m_s[k]);
        if (accel > most + MOVES_M_S2) {
            most = accel;
            best_m_s = speeds_m_s[k];
        }
    }
    return best_m_s;
}

/* Whether the gears as they are reach a speed from rest: what is left on the way there, and of the motors' top speed.
 */
static double reach_left(const evn_change_up *c, size_t unit, double speed_m_s)
{
    const evn_unit *u = &c->scene.rig->unit[unit];
    double rad_s = speed_m_s * evn_rig_unit_rad_m(c->scene.rig, u) * u->gear[c->scene.gear[unit] - 1].total_ratio;
    double to_top = 1 - rad_s / evn_unit_top_rad_s(u);
    double on_the_way = fmin(accel_m_s2(c, speed_m_s / 2), accel_m_s2(c, speed_m_s));
    return fmin(to_top, on_the_way);
}

static void set_gears(evn_change_up *c, uint8_t gear)
{
    for (size_t u = 0; u < c->scene.rig->unit_count; u++)
        c->scene.gear[u] = changes(&c->scene, u) ? gear : 0;
}

/* What is left of an instant change, and (with gaps) of all that the gaps ask; below zero: it does not do it. */
static double left(evn_change_up *c, bool gaps)
{
    set_gears(c, 1);
    double least = accel_m_s2(c, 0) - MOVES_M_S2;
    for (size_t u = 0; u < c->scene.rig->unit_count; u++) {
        if (!changes(&c->scene, u))
            continue;
        if (gaps)
            least = fmin(least, reach_left(c, u, evn_change_up_before_m_s(c, u)));
        c->scene.gear[u] = 2;
        least = fmin(least, accel_m_s2(c, c->after_m_s[u]) - MOVES_M_S2);
    }
    return least;
}

static void set_after(evn_change_up *c)
{
    set_gears(c, 1);
    for (size_t u = 0; u < c->scene.rig->unit_count; u++) {
        if (!changes(&c->scene, u))
            continue;
        c->scene.gear[u] = 2;
        c->after_m_s[u] = pulls_most_m_s(c);
    }
}

double evn_change_up_most_lost_m_s(evn_change_up *c)
{
    double most = 0;
    set_after(c);
    set_gears(c, 1);
    for (size_t u = 0; u < c->scene.rig->unit_count; u++) {
        if (!changes(&c->scene, u))
            continue;
        most = fmax(most, evn_change_up_before_m_s(c, u) - c->after_m_s[u]);
        c->scene.gear[u] = 2;
    }
    return most;
}

/* ------------------------------------------------------------------------------------------------ how much */

static void set_asked(evn_change_up *c, double x)
{
    if (c->by_rolling)
        c->scene.rolling_factor = x;
    else
        c->tangent = x;
}

static double left_at_once(void *self, double x)
{
    set_asked(self, x);
    return left(self, false);
}

static double left_with_gaps(void *self, double x)
{
    set_asked(self, x);
    return left(self, true);
}

static double most(evn_change_up *c, evn_error *left_of, double up_to)
{
    static const evn_between how = {.tolerance = 1e-10, .x_tolerance = 1e-9, .steps = 100};
    evn_known none = {0, left_of(c, 0)}, all = {up_to, 0};
    if (none.error < 0)
        return (double)NAN;
    all.error = left_of(c, up_to);
    return all.error >= 0 ? up_to : evn_root_between(left_of, c, none, all, &how).x;
}

double evn_change_up_most(void *self, unsigned lifted)
{
    static const double WITHIN = 1e-7; /* an instant change at its most has nothing left: a little less than that */
    evn_change_up *c = self;
    c->lifted = lifted | c->lifted_too;
    set_asked(c, 0);
    set_after(c);
    double at_once = most(c, left_at_once, c->up_to);
    if (isnan(at_once) || evn_is_lifted(c->lifted, EVN_BOUND_SHIFT))
        return at_once;
    return left_with_gaps(c, at_once * (1 - WITHIN)) >= 0 ? at_once : most(c, left_with_gaps, at_once);
}

static bool gains(double value, double over) { return !isnan(value) && (isnan(over) || value > over * (1 + 1e-6)); }

/* Where an instant change would do more, the gap binds, whatever else would help too. */
evn_answer evn_change_up_answer(evn_change_up *c)
{
    static const evn_bound limits[] = {EVN_BOUND_MOTOR_TORQUE, EVN_BOUND_ADHESION, EVN_BOUND_PACK, EVN_BOUND_SHIFT,
                                       EVN_BOUND_NONE};
    if (c->scene.plain)
        return evn_answer_of(evn_change_up_most(c, 0));
    double value = evn_change_up_most(c, 0), at_once = evn_change_up_most(c, evn_lift(EVN_BOUND_SHIFT));
    if (!gains(at_once, value))
        return evn_answer_by(evn_change_up_most, c, limits);
    evn_answer a = evn_answer_of(value);
    a.bound = EVN_BOUND_SHIFT;
    a.next_value = at_once;
    c->lifted_too = evn_lift(EVN_BOUND_SHIFT);
    a.next = evn_answer_by(evn_change_up_most, c, limits).bound;
    c->lifted_too = 0;
    return a;
}

evn_change_up evn_change_up_of(const evn_scene *s) { return (evn_change_up){.scene = *s, .up_to = EVN_STEEPEST}; }

static evn_answer in_percent(evn_answer a)
{
    a.value *= 100;
    a.next_value *= 100;
    a.beyond = a.value >= 100 * EVN_STEEPEST;
    return a;
}

evn_answer evn_able_change_up_percent(evn_scene *s)
{
    evn_change_up c = evn_change_up_of(s);
    if (evn_has_gears_to_change(s->rig))
        return in_percent(evn_change_up_answer(&c));
    evn_answer start = evn_able_start_percent(s);
    start.next = EVN_BOUND_NONE;
    start.next_value = (double)NAN;
    return start;
}
