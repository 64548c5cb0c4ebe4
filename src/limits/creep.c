/*
 * Creeping: the steepest grade on which a walking speed is held for ten minutes. At most the one that the forces allow;
 * below it by how warm windings and inverters become, which is driven.
 */
#include "limits/creep.h"
#include "core/units.h"
#include "limits/abilities.h"
#include "limits/heat_runs.h"
#include <math.h>

static const double CREEP_M_S = 3 * EVN_M_S_PER_KM_H, CREEP_S = 600;

typedef struct creep {
    evn_limits_work *work;
    const evn_scene *ground;
    evn_driving driving;
    evn_bound bound; /* of the last grade on which it did not hold the speed */
} creep;

static bool holds(creep *c, double tangent)
{
    evn_made_road road = evn_made_road_of(c->ground, CREEP_M_S, CREEP_M_S * CREEP_S, tangent);
    evn_made_run run = evn_made_run_of(c->work, c->work->rig[EVN_FORWARDS], &c->driving, &road, NULL);
    bool held = run.finished && !evn_made_held_back(&run);
    evn_bound heat = evn_made_hottest(&run);
    if (!held)
        c->bound = heat != EVN_BOUND_NONE ? heat : EVN_BOUND_CHARGE;
    evn_made_run_end(&run);
    return held;
}

/* Between a grade that is held and one that is not, in per cent; NAN: interrupted. */
static double between(creep *c, double held, double too_steep)
{
    static const double WITHIN = 0.002;
    while (too_steep - held > WITHIN && !evn_runs_stopped(c->work->runs)) {
        double middle = (held + too_steep) / 2;
        if (holds(c, middle / 100))
            held = middle;
        else
            too_steep = middle;
    }
    return evn_runs_stopped(c->work->runs) ? (double)NAN : held;
}

/* Which of several parts would be too hot next is not asked; with one of them the forces bind next. */
static void bind_by_heat(evn_answer *a, const creep *c, double percent)
{
    evn_answer force = *a;
    *a = evn_answer_of(percent);
    a->bound = c->bound;
    bool one_part = true;
    const evn_rig *r = c->work->rig[EVN_FORWARDS];
    for (size_t u = 0; u < r->unit_count; u++)
        one_part = one_part && !(r->unit[u].motor[0].heat.winding && r->unit[u].motor[0].heat.inverter);
    if (one_part) {
        a->next = force.bound;
        a->next_value = force.value;
    }
}

/* The grade that the forces allow leaves nothing over: as much less as a run needs to tell one from the other. */
static const double NEARLY = 1 - 1e-5;

evn_answer evn_creep_percent(evn_limits_work *w)
{
    evn_scene s = evn_scene_of(w, EVN_FORWARDS);
    creep c = {w, &s, evn_exactly(w), EVN_BOUND_NONE};
    evn_answer a = evn_able_grade_percent(&s, CREEP_M_S, false);
    if (isnan(a.value) || holds(&c, NEARLY * a.value / 100))
        return a;
    evn_answer for_ever = evn_able_grade_percent(&s, CREEP_M_S, true);
    double low = for_ever.value > 0 && holds(&c, NEARLY * for_ever.value / 100) ? NEARLY * for_ever.value : 0;
    if (low > 0 || holds(&c, 0)) {
        double percent = between(&c, low, a.value);
        bind_by_heat(&a, &c, percent);
    } else {
        bind_by_heat(&a, &c, (double)NAN);
    }
    return a;
}
