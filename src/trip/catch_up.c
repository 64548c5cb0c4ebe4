/* A human driver off his plan: catching up, and meeting it where he has to. */
#include "trip/catch_up.h"
#include "trip/held_speed.h"
#include "trip/laws.h"
#include "trip/prescribe.h"
#include <math.h>

/* ------------------------------------------------------------------------------------------------ places to meet */

/* Where the plan has slowed down, or is slow, and goes up again, and the driver could be there faster than it. */
static bool has_to_meet(const evn_trip *t, size_t stretch)
{
    const evn_plan_stretch *p = &t->course->plan[stretch];
    bool has_next = stretch + 1 < t->course->plan_count; /* a course may end at speed */
    if (evn_is_exact(t) || stretch >= t->stop_at || !has_next || p->accel_m_s2 > 0 || p[1].accel_m_s2 <= p->accel_m_s2)
        return false;
    double rest = p->end_m - t->y[EVN_Y_PLACE], v = t->y[EVN_Y_SPEED], most = fmax(v, evn_held_speed_m_s(t));
    return rest > 1e-9 && fmin(v * v + 2 * evn_cap_over(t, p) * rest, most * most) > p->v2_end;
}

/* Prescribed, unless a pause pulls less than wanted: then once that is over. */
static void meet(evn_trip *t, size_t stretch)
{
    t->plan_at = stretch;
    t->pull = evn_connected_count(t) == 0 ? t->pull : EVN_FREE;
    if (t->pull == EVN_BY_SHIFT)
        t->law = EVN_HALTING;
    else
        evn_begin_meeting(t);
}

void evn_act_stop_ahead(evn_trip *t) { meet(t, t->stop_at); }

void evn_act_met(evn_trip *t)
{
    t->plan_at++;
    t->law = EVN_FOLLOWING;
}

void evn_catch_up_unheld(evn_trip *t)
{
    if (t->plan_at == t->stop_at || has_to_meet(t, t->plan_at))
        evn_begin_meeting(t);
    else
        evn_act_catch_up(t);
}

/* ------------------------------------------------------------------------------------------------ catching up */

/* Nobody looks past the next stop, nor past a place where he has to meet the plan. */
void evn_act_catch_up(evn_trip *t)
{
    t->law = EVN_CAPPED;
    if (evn_is_exact(t))
        return;
    size_t seen = evn_plan_index(t->course, evn_preview_m(t, t->y), t->plan_at);
    size_t most = seen < t->stop_at ? seen : t->stop_at;
    for (size_t k = evn_plan_index(t->course, t->y[EVN_Y_PLACE], t->plan_at); k < most; k++)
        if (has_to_meet(t, k)) {
            meet(t, k);
            return;
        }
    t->plan_at = most;
}

void evn_act_caught_up(evn_trip *t)
{
    t->law = EVN_FOLLOWING;
    t->plan_at = evn_plan_index(t->course, t->y[EVN_Y_PLACE], t->plan_at);
}

void evn_act_plan_end(evn_trip *t)
{
    bool looks_ahead = t->law == EVN_PREVIEW || t->law == EVN_CAPPED; /* who is held turns to that before a dip */
    if (looks_ahead && has_to_meet(t, t->plan_at)) {
        meet(t, t->plan_at);
        return;
    }
    bool held = t->law == EVN_HALTING;
    t->plan_at++;
    if (held) /* all the way to the place: slower than the plan by now */
        evn_act_catch_up(t);
}

/* ------------------------------------------------------------------------------------------------ holding a speed */

/* What is prescribed is set free; who follows the plan looks ahead from here on, and may first have to meet it. */
void evn_act_begin_holding(evn_trip *t)
{
    if (t->law == EVN_PRESCRIBED)
        evn_set_free(t);
    if (t->law == EVN_FOLLOWING)
        evn_act_catch_up(t);
    if (t->law == EVN_CAPPED || t->law == EVN_PREVIEW)
        t->law = EVN_HOLDING;
    evn_foresee_anew(t);
}
