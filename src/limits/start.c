/*
 * Starting: the steepest grade on which the truck moves off from rest, as a run would (trip/acts.c: it moves off where
 * it accelerates by 1 mm/s2): all motors in the gears that pull most, tyres with what their ground carries, and no
 * power yet that a battery could refuse.
 */
#include "core/root.h"
#include "limits/abilities.h"
#include "limits/five_starts.h"
#include <math.h>

static const double MOVES_M_S2 = 1e-3;

/* ------------------------------------------------------------------------------------------------ one start */

typedef struct start_search {
    const evn_scene *scene;
    unsigned lifted;
} start_search;

static double accel_left(void *self, double tangent)
{
    const start_search *s = self;
    evn_asked_of_scene ask = {.tangent = tangent, .pulling = true, .lifted = s->lifted};
    evn_pull p;
    evn_scene_pull(s->scene, &ask, &p);
    return evn_pull_accel(&p, evn_scene_most_n(&p, &ask)) - MOVES_M_S2;
}

/* Per cent; NAN: not even on the level. */
static double steepest_percent(void *scene, unsigned lifted)
{
    static const evn_between how = {.tolerance = 1e-9, .x_tolerance = 1e-9, .steps = 100};
    start_search s = {scene, lifted};
    evn_known level = {0, accel_left(&s, 0)}, steep = {EVN_STEEPEST, 0};
    if (level.error < 0)
        return (double)NAN;
    steep.error = accel_left(&s, EVN_STEEPEST);
    return 100 * (steep.error >= 0 ? EVN_STEEPEST : evn_root_between(accel_left, &s, level, steep, &how).x);
}

evn_answer evn_able_start_percent(evn_scene *s)
{
    static const evn_bound limits[] = {EVN_BOUND_MOTOR_TORQUE, EVN_BOUND_ADHESION, EVN_BOUND_NONE};
    evn_answer a = evn_answer_of_scene(s->plain, steepest_percent, s, limits);
    a.beyond = a.value >= 100 * EVN_STEEPEST;
    return a;
}

/* With the ends of the range of adhesion of the ground. */
static void set_range(evn_answer *a, const evn_scene *s, const evn_surface_kind *kind)
{
    evn_scene at = *s;
    at.adhesion = kind->adhesion_least;
    a->low = steepest_percent(&at, 0);
    at.adhesion = kind->adhesion_most;
    a->high = steepest_percent(&at, 0);
}

/* ------------------------------------------------------------------------------------------------ what is out */

static size_t fewest_pulling(const evn_scene *s)
{
    size_t left = 0;
    for (size_t u = 0; u < s->rig->unit_count; u++)
        left += s->unit_out[u] ? 0 : s->rig->unit[u].motor_count - s->motor_out[u];
    return left;
}

/* Of all units the one whose loss, of a motor or whole, leaves least. */
static evn_answer worst_without(const evn_scene *as_is, bool whole_unit)
{
    evn_answer worst = evn_answer_of((double)INFINITY);
    for (size_t u = 0; u < as_is->rig->unit_count; u++) {
        evn_scene s = *as_is;
        if (whole_unit || s.rig->unit[u].motor_count == 1)
            s.unit_out[u] = true;
        else
            s.motor_out[u] = true;
        if (fewest_pulling(&s) == 0) {
            worst = evn_answer_of((double)NAN);
            worst.bound = EVN_BOUND_NO_DRIVE;
            return worst;
        }
        evn_answer a = evn_able_start_percent(&s);
        if (isnan(a.value) || a.value < worst.value)
            worst = a;
        if (isnan(a.value))
            return worst;
    }
    return worst;
}

/* ------------------------------------------------------------------------------------------------ the group */

static bool has_locks(const evn_rig *r)
{
    bool any = false;
    for (size_t u = 0; u < r->unit_count; u++)
        any = any || r->unit[u].has_axle_lock || r->unit[u].has_inter_axle_lock;
    return any;
}

#define FIVE "steepest grade on which it moves off five times in five minutes, found by driving"
#define STARTS "steepest grade on which it moves off from rest"
static const evn_limits_column
    once = {"once_percent", "%", "once", STARTS ", temperatures of the start", 2},
    five = {"five_percent", "%", "five times", FIVE, 1},
    back_five = {"reversing_five_percent", "%", "reversing, five times", FIVE ", backwards", 1},
    open = {"open_percent", "%", "open", STARTS " with all differentials open", 2},
    locked = {"locked_percent", "%", "locked", STARTS " with all its differential locks in", 2},
    no_aid = {"no_start_aid_percent", "%", "no start aid", STARTS " with the lifting axle as while driving", 2},
    motor_out = {"motor_out_percent", "%", "a motor out",
                 STARTS " without one motor, of whichever unit that leaves least", 2},
    unit_out = {"unit_out_percent", "%", "a unit out", STARTS " without one drive unit, whichever leaves least", 2},
    back = {"reversing_percent", "%", "reversing", STARTS " backwards, up a grade that its rear end faces", 2};

static void add(evn_limits_work *w, const evn_limits_name *name, const evn_limits_column *column, const evn_scene *s)
{
    evn_scene at = *s;
    evn_answer a = evn_able_start_percent(&at);
    evn_limits_add(w, name, column, &a);
}

static void add_five(evn_limits_work *w, const evn_limits_name *name, const evn_limits_column *column, evn_way way,
                     const evn_scene *s)
{
    if (!w->runs)
        return;
    evn_scene at = *s;
    evn_answer once_of = evn_able_start_percent(&at), a = evn_five_starts(w, way, s, &once_of);
    evn_limits_add(w, name, column, &a);
}

static void add_surface(evn_limits_work *w, const evn_limits_name *name, const evn_surface_kind *kind)
{
    evn_scene s = evn_scene_of(w, EVN_FORWARDS), r = evn_scene_of(w, EVN_REVERSING);
    if (kind) {
        evn_scene_on(&s, kind);
        evn_scene_on(&r, kind);
    }
    evn_answer a = evn_able_start_percent(&s);
    if (kind)
        set_range(&a, &s, kind);
    evn_limits_add(w, name, &once, &a);
    add_five(w, name, &five, EVN_FORWARDS, &s);
    add(w, name, &back, &r);
    add_five(w, name, &back_five, EVN_REVERSING, &r);
    if (has_locks(s.rig)) {
        evn_scene by_hand = s;
        by_hand.locks = EVN_LOCKS_OPEN;
        add(w, name, &open, &by_hand);
        by_hand.locks = EVN_LOCKS_LOCKED;
        add(w, name, &locked, &by_hand);
    }
    if (s.rig->start_aid.there) {
        evn_scene without = s;
        without.no_start_aid = true;
        add(w, name, &no_aid, &without);
    }
    a = worst_without(&s, false);
    evn_limits_add(w, name, &motor_out, &a);
    a = worst_without(&s, true);
    evn_limits_add(w, name, &unit_out, &a);
}

void evn_limits_start(evn_limits_work *w)
{
    add_surface(w, &(evn_limits_name){"start", "as_stated", evn_limits_ground(w)}, NULL);
    for (size_t k = 0; k < EVN_SURFACE_KINDS; k++)
        add_surface(w, &(evn_limits_name){"start", evn_surface_kinds[k].name, evn_surface_kinds[k].name},
                    &evn_surface_kinds[k]);
}
