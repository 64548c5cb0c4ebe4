/*
 * Braking by motors alone, on the level: how hard, and what of the tyres' adhesion the driven axles use for it. Driven
 * axles that brake alone use more than all axles together would: f = T/N of each (UN R13 Annex 10, from memory), with
 * the load transfer of the deceleration, against z, all braking forces over the weight, which is what every axle would
 * use in the ideal distribution T = z N.
 *
 * For comparing layouts: what brakes must do, and how they share, is for local regulation, approved testing and
 * licensed practice.
 */
#include "core/units.h"
#include "limits/scene.h"
#include "pull/adhesion_use.h"
#include "pull/limits.h"
#include "pull/team.h"
#include <math.h>

/* ------------------------------------------------------------------------------------------------ at a speed */

typedef struct braking {
    const evn_scene *scene;
    double speed_m_s;
    evn_pull pull; /* as it brakes, of the last that was asked */
    bool known;    /* without any limit lifted: asked several times, found once */
    double as_is_kn;
    evn_pull as_is;
} braking;

/* kN; what the units' drag does is part of it. */
static double in_gears_of(const evn_scene *s, const evn_asked_of_scene *ask, evn_pull *p)
{
    evn_scene_pull(s, ask, p);
    return -evn_pull_brake_alone_n(p) / 1e3;
}

/* Another gear of one unit, where it brakes more: of a full battery that is one that loses more. */
static double try_gears(evn_scene *s, size_t unit, const evn_asked_of_scene *ask, double most, evn_pull *p)
{
    const evn_unit *u = &s->rig->unit[unit];
    uint8_t best = s->gear[unit];
    for (size_t gear = 0; gear < u->gear_count; gear++) {
        evn_pull other;
        double motor_rad_s = ask->speed_m_s * evn_rig_unit_rad_m(s->rig, u) * u->gear[gear].total_ratio;
        if (motor_rad_s > evn_unit_top_rad_s(u))
            continue;
        s->gear[unit] = (uint8_t)(gear + 1);
        double kn = in_gears_of(s, ask, &other);
        if (kn > most + 1e-9) {
            most = kn;
            best = s->gear[unit];
            *p = other;
        }
    }
    s->gear[unit] = best;
    return most;
}

/* The battery, with a brake resistor, takes no more. */
static bool is_full_of_power(const evn_pull *p, double most_kn)
{
    return evn_pull_terminals_w(p, -1e3 * most_kn, false) <= -(1 - 1e-6) * p->feed.taken_w;
}

/* In the gears that push most, and where the battery binds in those in which it lets most through. */
static double find_most_kn(braking *b, unsigned lifted)
{
    evn_scene s = *b->scene;
    evn_asked_of_scene ask = {.speed_m_s = b->speed_m_s, .lifted = lifted};
    double most = in_gears_of(&s, &ask, &b->pull);
    bool binds = !evn_is_lifted(lifted, EVN_BOUND_PACK) && is_full_of_power(&b->pull, most);
    for (size_t u = 0; binds && u < s.rig->unit_count; u++)
        most = try_gears(&s, u, &ask, most, &b->pull);
    return most;
}

static double most_kn(void *self, unsigned lifted)
{
    braking *b = self;
    if (lifted != 0)
        return find_most_kn(b, lifted);
    if (!b->known)
        b->as_is_kn = find_most_kn(b, 0);
    b->as_is = b->known ? b->as_is : b->pull;
    b->pull = b->as_is;
    b->known = true;
    return b->as_is_kn;
}

static evn_bound named(braking *b, evn_bound bound, unsigned lifted)
{
    if (bound != EVN_BOUND_MOTOR_TORQUE)
        return bound;
    evn_scene_pull(b->scene, &(evn_asked_of_scene){.speed_m_s = b->speed_m_s, .lifted = lifted}, &b->pull);
    b->pull.at.push = EVN_BY_MOTOR;
    return evn_scene_motors_bound(&b->pull);
}

static evn_answer most_of(braking *b)
{
    static const evn_bound limits[] = {EVN_BOUND_MOTOR_TORQUE, EVN_BOUND_PACK, EVN_BOUND_ADHESION, EVN_BOUND_NONE};
    evn_answer off = evn_answer_of(most_kn(b, 0));
    off.bound = evn_scene_fade_bound(&b->pull);
    if (off.bound != EVN_BOUND_NONE)
        return off;
    evn_answer a = evn_answer_by(most_kn, b, limits);
    evn_bound by = a.bound;
    a.bound = named(b, by, 0);
    a.next = named(b, a.next, evn_lift(by));
    return a;
}

typedef struct use {
    double deceleration_m_s2, of_adhesion, over_ideal;
} use;

/* Without any limit lifted. */
static use use_of(braking *b)
{
    double each_n[EVN_UNITS_MAX], of_axle[EVN_AXLES_MAX], driven_n = 0, motors_n = 1e3 * most_kn(b, 0);
    const evn_pull *p = &b->pull;
    const evn_rig *r = p->at.rig;
    evn_forces f = {each_n, p->at.asked_m_s2, 0, 0};
    use u = {-f.accel_m_s2, 0, 0};
    evn_team_share(p, &p->team, -motors_n, f.accel_m_s2, 0, each_n);
    evn_pull_adhesion_use(p, &f, of_axle);
    for (size_t k = 0; k < r->axle_count; k++) {
        if (r->axle[k].driven_by >= r->unit_count)
            continue;
        u.of_adhesion = fmax(u.of_adhesion, of_axle[k]);
        driven_n += evn_axle_load_n(evn_load_of(&p->at, k), r->gravity_m_s2, 1, 0, f.accel_m_s2, 0);
    }
    u.over_ideal = motors_n / (evn_pull_braking_rate(p, &f) * driven_n);
    return u;
}

/* ------------------------------------------------------------------------------------------------ the group */

static const evn_limits_column motors = {"motors_kn", "kN", "motors",
                                         "most braking force of the motors at their tyres, without friction brakes", 2},
                               slows = {"deceleration_m_s2", "m/s2", "deceleration",
                                        "that this gives, with air drag and rolling resistance", 2},
                               used = {"adhesion_used", "", "adhesion used",
                                       "braking force over load of the most used driven axle, with the load transfer "
                                       "of that deceleration",
                                       3},
                               ideal = {"ideal_share", "", "share of ideal",
                                        "braking force of the motors over what their axles would have of it if every "
                                        "axle braked in proportion to its load; above 1: they brake more than ideal",
                                        2};

static void add(evn_limits_work *w, const evn_limits_name *name, const evn_limits_column *column, double value)
{
    evn_answer a = evn_answer_of(value);
    evn_limits_add(w, name, column, &a);
}

static void add_too_fast(evn_limits_work *w, const evn_limits_name *name)
{
    evn_answer none = evn_answer_none(EVN_BOUND_MOTOR_SPEED);
    evn_limits_add(w, name, &motors, &none);
    evn_limits_add(w, name, &slows, &none);
    evn_limits_add(w, name, &used, &none);
    evn_limits_add(w, name, &ideal, &none);
}

static void add_speed(evn_limits_work *w, int speed_km_h)
{
    evn_limits_name name = {"braking", evn_limits_text(w, "%d_km_h", speed_km_h),
                            evn_limits_text(w, "%d km/h", speed_km_h)};
    evn_scene s = evn_scene_of(w, EVN_FORWARDS);
    braking b = {.scene = &s, .speed_m_s = speed_km_h * EVN_M_S_PER_KM_H};
    if (b.speed_m_s > s.rig->top_speed_m_s) {
        add_too_fast(w, &name);
        return;
    }
    evn_answer most = most_of(&b);
    use u = use_of(&b);
    evn_limits_add(w, &name, &motors, &most);
    add(w, &name, &slows, u.deceleration_m_s2);
    add(w, &name, &used, u.of_adhesion);
    add(w, &name, &ideal, u.over_ideal);
}

void evn_limits_braking(evn_limits_work *w)
{
    static const int speeds_km_h[] = {10, 20, 30, 50, 80};
    for (size_t k = 0; k < sizeof speeds_km_h / sizeof *speeds_km_h; k++)
        add_speed(w, speeds_km_h[k]);
}
