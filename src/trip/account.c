/* Accounting: what limited the truck, time below its target speed, the band around a trace, and what a step leaves
 * behind. */
#include "trip/account.h"
#include "core/units.h"
#include "trip/axle_brakes.h"
#include "trip/collective.h"
#include "trip/friction_causes.h"
#include "trip/headway.h"
#include "trip/held_speed.h"
#include "trip/hottest.h"
#include "trip/laws.h"
#include "trip/moment.h"
#include "trip/passed.h"
#include "trip/refusal.h"
#include "trip/resting.h"
#include "trip/too_hot.h"
#include "trip/trace.h"
#include <math.h>

static const double BEHIND_M_S = EVN_BELOW_TARGET_M_S;
static const double BAND_M_S = 2 * EVN_M_S_PER_MPH, EXCURSION_S = 2; /* 40 CFR 1066.425(b)(1), (2) */

const evn_hold_row evn_hold_rows[EVN_HOLD_COUNT] = {[EVN_HELD_NOT] = {"", ""},
#define X(name, key, label) [EVN_HELD_##name] = {key, label},
                                                    EVN_HOLDS(X)
#undef X
};

/* ------------------------------------------------------------------------------------------------ held back */

/* The winding of a unit that derates, or nothing else that could. */
static bool winding_derates(const evn_trip *t, size_t unit)
{
    const evn_heat *h = &t->rig->unit[unit].motor[0].heat;
    const double *degc = evn_states_degc(&t->states, t->y, unit);
    return !h->inverter || (h->winding && evn_heat_winding_degc(h, degc, EVN_AS_STATED) > h->winding_range.from_degc);
}

static evn_hold hold_of_motor(const evn_trip *t)
{
    bool derating = false, winding = false, base_passed = false, changing = false;
    for (size_t u = 0; u < t->rig->unit_count; u++) {
        derating = derating || (evn_connected(t, u) && t->derating[u]);
        winding = winding || (evn_connected(t, u) && t->derating[u] && winding_derates(t, u));
        base_passed = base_passed || (evn_connected(t, u) && t->base_passed[u]);
        changing = changing || t->box[u].shifting;
    }
    if (changing) /* the others alone cannot hold the plan */
        return EVN_HELD_SHIFT;
    if (derating)
        return winding ? EVN_HELD_WINDING : EVN_HELD_INVERTER;
    return base_passed ? EVN_HELD_MOTOR_POWER : EVN_HELD_MOTOR_TORQUE;
}

/* The truck's top speed, or endurance braking with a set speed. */
static evn_hold hold_of_cut_plan(const evn_trip *t)
{
    if (t->plan_at >= t->course->plan_count)
        return EVN_HELD_NOT;
    const evn_plan_stretch *p = &t->course->plan[t->plan_at];
    if (p->endured)
        return EVN_HELD_ENDURANCE;
    return p->asked_v2_end > p->v2_end || p->asked_v2_begin > p->v2_begin ? EVN_HELD_TOP_SPEED : EVN_HELD_NOT;
}

static evn_hold hold_of_speed(const evn_trip *t)
{
    return evn_held_by(t) == EVN_HOLDER_HEAT ? EVN_HELD_WINDING : EVN_HELD_ENDURANCE;
}

static evn_hold hold_now(const evn_trip *t)
{
    if (t->motion != EVN_MOVING)
        return EVN_HELD_NOT;
    switch (t->pull) {
    case EVN_BY_MOTOR:
        return hold_of_motor(t);
    case EVN_BY_PACK:
        return EVN_HELD_PACK;
    case EVN_BY_ADHESION:
        return EVN_HELD_ADHESION;
    case EVN_BY_SHIFT:
        return EVN_HELD_SHIFT;
    case EVN_FREE:
        break;
    }
    return t->law == EVN_HOLDING ? hold_of_speed(t) : hold_of_cut_plan(t);
}

void evn_account_held(evn_trip *t)
{
    if (t->hold != EVN_HELD_NOT)
        t->held[t->hold].seconds += t->t - t->hold_since_s;
    t->hold_since_s = t->t;
    evn_friction_causes_book(t);
}

void evn_account_holds(evn_trip *t)
{
    t->hold = hold_now(t);
    evn_friction_causes_next(t);
}

static void note_deficit(evn_trip *t, const double *y)
{
    if (t->hold == EVN_HELD_NOT)
        return;
    evn_hold_record *h = &t->held[t->hold];
    double below = evn_plan_speed(t->course, y[EVN_Y_PLACE], &t->near_at) - y[EVN_Y_SPEED];
    if (below > h->worst_m_s) {
        h->worst_m_s = below;
        h->worst_m = y[EVN_Y_PLACE];
    }
}

/* ------------------------------------------------------------------------------------------------ behind, band */

double evn_behind_margin(const evn_trip *t, double place_m, double speed_m_s)
{
    size_t hint = t->near_at;
    double over = speed_m_s - (evn_plan_speed(t->course, place_m, &hint) - BEHIND_M_S);
    return t->behind ? -over : over;
}

void evn_account_behind(evn_trip *t)
{
    if (t->behind)
        t->behind_s += t->t - t->behind_since_s;
    t->behind = !t->behind;
    t->behind_since_s = t->t;
}

/* The cycle's own clock at a place. */
static double clock_at(const evn_course *c, double place_m, size_t *hint)
{
    evn_plan_speed(c, place_m, hint);
    const evn_plan_stretch *p = &c->plan[*hint];
    double d = fmax(place_m - p->begin_m, 0);
    double reached = sqrt(p->asked_v2_begin) + evn_plan_speed(c, place_m, hint);
    return reached > 0 ? p->clock_s + 2 * d / reached : p->clock_s;
}

double evn_band_margin(const evn_trip *t, double place_m, double speed_m_s)
{
    size_t hint = t->near_at;
    double lowest, highest;
    evn_course_band(t->course, clock_at(t->course, place_m, &hint), &lowest, &highest);
    double inside = fmin(speed_m_s - (lowest - BAND_M_S), highest + BAND_M_S - speed_m_s);
    return t->outside ? -inside : inside;
}

void evn_account_band(evn_trip *t)
{
    if (t->outside)
        t->band_broken = t->band_broken || t->t - t->outside_since_s > EXCURSION_S;
    t->outside = !t->outside;
    t->outside_since_s = t->t;
}

/* ------------------------------------------------------------------------------------------------ maps */

static bool has_filled(const evn_trip *t, size_t unit)
{
    return evn_unit_has_filled_map(&t->rig->unit[unit]) && evn_connected(t, unit);
}

/* Counts a step whole by where it ends. */
static void note_filled(evn_trip *t, double from, double to, const double *y)
{
    bool any = false;
    t->moving_s += to - from;
    for (size_t u = 0; u < t->rig->unit_count; u++)
        any = any || has_filled(t, u);
    if (!any)
        return;
    const evn_instant *is = evn_instant_seen(t, to, y);
    for (size_t u = 0; u < t->rig->unit_count; u++)
        if (has_filled(t, u) && evn_unit_is_filled(&t->rig->unit[u], t->box[u].now, is->unit_motor_nm[u],
                                                   is->pull.team.unit[u].motor_rad_s, is->pull.feed.open_circuit_v))
            t->filled_map_s[u] += to - from;
}

static void say_filled(const evn_trip *t)
{
    static const double USUAL_SHARE = 0.05;
    for (size_t u = 0; u < t->rig->unit_count; u++)
        if (t->filled_map_s[u] > USUAL_SHARE * t->moving_s)
            evn_say(t->report, EVN_FAULT_FILLED_MAP, evn_nowhere, evn_nowhere,
                    "drive unit %s ran %.0f %% of its moving time where a fit fills the loss map of its motor; "
                    "expected at most 5 %%; measure more of the map, or take its losses there for an estimate",
                    t->rig->unit[u].name, 100 * t->filled_map_s[u] / t->moving_s);
}

/* ------------------------------------------------------------------------------------------------ battery */

/* A step counts whole: limits begin and end at events. */
static void note_battery(evn_trip *t, double from, double to, const double *y)
{
    if (t->rig->pack.heat.modelled)
        t->peak_battery_degc = fmax(t->peak_battery_degc, evn_states_battery_degc(&t->states, y));
    if (t->motion != EVN_MOVING)
        return;
    if (t->pull == EVN_BY_PACK)
        t->discharge_limited_s += to - from;
    if (t->push == EVN_BY_PACK)
        t->charge_limited_s += to - from;
}

/* ------------------------------------------------------------------------------------------------ the whole run */

void evn_account_close(evn_trip *t)
{
    for (size_t u = 0; u < t->rig->unit_count; u++) {
        if (evn_is_open(t->box[u].now))
            t->box[u].open_s += t->t - t->box[u].open_since_s;
        if (t->box[u].now.open != 0)
            t->box[u].branch_s += t->t - t->box[u].branch_since_s;
    }
    evn_too_hot_close(t);
    for (size_t u = 0; u < t->rig->unit_count; u++)
        evn_resting_ends(t, u);
    say_filled(t);
    evn_hottest_say(t);
    evn_account_held(t);
    if (t->behind)
        t->behind_s += t->t - t->behind_since_s;
    if (t->outside)
        t->band_broken = t->band_broken || t->t - t->outside_since_s > EXCURSION_S;
    if (t->status != EVN_STATUS_FINISHED)
        t->band_broken = true;
}

static bool goes_on(evn_trip *t, const double *y)
{
    enum { EVERY = 100 }; /* steps between two questions */
    const evn_watch *w = t->watch;
    if (!w || !w->go_on || ++t->go_on_asked % EVERY)
        return true;
    const evn_course *c = t->course;
    double way_m = c->length_m - c->begin_m; /* none at a stop */
    return w->go_on(w->self, way_m > 0 ? (y[EVN_Y_PLACE] - c->begin_m) / way_m : 0);
}

static void sample_for(evn_trip *t, const evn_sampler *who, double *next_s, double from, double to)
{
    double y[EVN_Y_MOST], row[EVN_TRACE_MOST];
    size_t columns = evn_trace_column_count(t->rig);
    for (; *next_s <= to; *next_s += who->interval_s) {
        if (*next_s < from)
            continue;
        t->kind->look_back(t->solver, *next_s, y);
        evn_trace_row(t, *next_s, y, row);
        who->sample(who->self, row, columns);
    }
}

static void sample(evn_trip *t, double from, double to)
{
    const evn_watch *w = t->watch;
    for (size_t k = 0; w && k < w->samplers; k++)
        sample_for(t, &w->sampler[k], &t->next_sample_s[k], from, to);
}

void evn_account_restart(evn_trip *t)
{
    if (!t->rig->tells_friction)
        return;
    evn_passed_see(t, t->t, evn_instant_seen(t, t->t, t->y));
    evn_passed_note(t, t->t, t->y);
    evn_axle_brakes_see(t, t->seen.friction_w);
}

bool evn_trip_step(double from, double to, const double *y, void *self)
{
    evn_trip *t = self;
    t->steps++;
    if (t->motion == EVN_MOVING) {
        t->near_at = evn_plan_index(t->course, evn_trip_place_m(t, to, y), t->near_at);
        note_deficit(t, y);
        note_filled(t, from, to, y);
    }
    t->peak_coolant_temperature_degc = fmax(t->peak_coolant_temperature_degc, evn_states_coolant_degc(&t->states, y));
    note_battery(t, from, to, y);
    evn_passed_note(t, to, y);
    evn_hottest_note(t, to, y);
    evn_axle_brakes_step(t, from, to, y);
    evn_refusal_note(t, from, to);
    if (t->watch && t->watch->collective)
        evn_collective_note(t->watch->collective, t, from, to);
    sample(t, from, to);
    return evn_headway_after_step(t, to, evn_trip_place_m(t, to, y)) && goes_on(t, y);
}
