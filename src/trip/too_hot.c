/* Losses without torque that would heat a drive unit beyond its derating, and what is done about them. */
#include "trip/too_hot.h"
#include "core/units.h"
#include "trip/changes.h"
#include "trip/held_speed.h"
#include "trip/moment.h"
#include "truck/steady.h"
#include <math.h>

/* ------------------------------------------------------------------------------------------------ how hot */

static const evn_heat *heat_of(const evn_trip *t, size_t unit) { return &t->rig->unit[unit].motor[0].heat; }

/* With its pulses on, wherever they stand; of an open one as in its highest gear. */
static evn_turning turning(const evn_instant *is, size_t unit)
{
    const evn_rig *r = is->pull.at.rig;
    const evn_unit *u = &r->unit[unit];
    const evn_member *m = &is->pull.team.unit[unit];
    evn_turning at = {m->setting, m->motor_rad_s, is->pull.feed.open_circuit_v, is->pull.at.coolant_degc};
    at.setting.pulses_off = false;
    if (evn_is_open(m->setting)) {
        at.setting = evn_all_engaged(u, u->gear_count - 1);
        at.motor_rad_s = is->pull.at.speed_m_s * r->unit_rad_m[unit] * u->gear[at.setting.gear].total_ratio;
    }
    return at;
}

/* How far winding and inverter are beyond a place of their derating ranges, K: the further one. A quick inverter stands
 * where it would without torque. */
static double beyond_k(const evn_trip *t, const evn_instant *is, size_t unit, double (*of)(const evn_derating *))
{
    const evn_heat *h = heat_of(t, unit);
    const double *degc = is->pull.at.unit[unit].degc;
    double most_k = h->winding ? evn_heat_winding_degc(h, degc, EVN_AS_STATED) - of(&h->winding_range) : -1e3;
    if (!h->inverter)
        return most_k;
    evn_turning at = turning(is, unit);
    double inverter_degc = h->quick
                               ? evn_unit_steady_without_torque(&t->rig->unit[unit], &at).inverter_degc
                               : evn_heat_inverter_degc(h, degc, &(evn_heat_gains){.coolant_degc = at.coolant_degc});
    return fmax(most_k, fmin(inverter_degc - of(&h->inverter_range), 1e3));
}

static double end_degc(const evn_derating *d) { return d->to_degc; }

static double heats_on_k(const evn_trip *t, const evn_instant *is, size_t unit)
{
    evn_turning at = turning(is, unit);
    return fmin(evn_unit_without_torque_past_k(&t->rig->unit[unit], &at), 1e3);
}

/* ------------------------------------------------------------------------------------------------ watches */

/*
 * Above the end and heating on. Far below the end the second is not asked: what it costs is paid where it may matter.
 */
static double onset_left(const evn_trip *t, const evn_instant *is, size_t unit)
{
    static const double NEAR_K = 5;
    double below_k = -beyond_k(t, is, unit, end_degc);
    if (below_k > NEAR_K)
        return fmin(below_k, 1e3) / 10;
    return fmax(below_k, -heats_on_k(t, is, unit)) / 10;
}

static double cooling_left(const evn_trip *t, const evn_instant *is, size_t unit)
{
    return beyond_k(t, is, unit, evn_derating_middle_degc) / 10;
}

/* Pulses go off only so far below the speed at which they must be on: one that stays there does not toggle them. */
static const double WELL_BELOW = 0.95;

static double over_no_load(const evn_trip *t, const evn_instant *is, size_t unit, double share)
{
    double limit = share * evn_unit_no_load_rad_s(&t->rig->unit[unit]);
    return fmax((is->pull.team.unit[unit].motor_rad_s - limit) / 100, -1e3);
}

static double left_of(const evn_trip *t, const evn_instant *is, size_t unit)
{
    switch (t->hot[unit].now) {
    case EVN_HEAT_BORNE:
        return onset_left(t, is, unit);
    case EVN_HEAT_PULSES_OFF:
        return fmin(cooling_left(t, is, unit), -over_no_load(t, is, unit, 1));
    case EVN_HEAT_SPEED_HELD: {
        double slow_left = over_no_load(t, is, unit, WELL_BELOW);
        if (slow_left <= 0)
            slow_left = fmax(slow_left, -heats_on_k(t, is, unit) / 10);
        return fmin(cooling_left(t, is, unit), slow_left);
    }
    default:
        return cooling_left(t, is, unit);
    }
}

/* A unit that others disconnected loses nothing. */
static bool is_concerned(const evn_trip *t, size_t unit)
{
    return evn_unit_heat_acts(&t->rig->unit[unit]) && !t->box[unit].shifting &&
           (evn_connected(t, unit) || t->hot[unit].now != EVN_HEAT_BORNE);
}

bool evn_too_hot_applies(const evn_trip *t)
{
    for (size_t u = 0; u < t->rig->unit_count; u++)
        if (is_concerned(t, u))
            return t->motion != EVN_ENDED;
    return false;
}

double evn_too_hot_left(const evn_trip *t, const evn_instant *is)
{
    double least = 1;
    for (size_t u = 0; u < t->rig->unit_count; u++)
        if (is_concerned(t, u))
            least = fmin(least, left_of(t, is, u));
    return least;
}

/* ------------------------------------------------------------------------------------------------ acts */

/* Another one that is connected, good for the truck's top speed, and not too hot itself. */
static bool others_go_on(const evn_trip *t, size_t unit)
{
    for (size_t u = 0; u < t->rig->unit_count; u++)
        if (u != unit && evn_connected(t, u) && t->hot[u].now == EVN_HEAT_BORNE &&
            evn_rig_unit_top_m_s(t->rig, u) >= (1 - 1e-9) * t->rig->top_speed_m_s)
            return true;
    return false;
}

static evn_too_hot consequence(const evn_trip *t, const evn_instant *is, size_t unit)
{
    if (t->rig->unit[unit].can_disconnect && others_go_on(t, unit))
        return EVN_HEAT_OPENED;
    return over_no_load(t, is, unit, WELL_BELOW) <= 0 ? EVN_HEAT_PULSES_OFF : EVN_HEAT_SPEED_HELD;
}

/* Which part it is, and where its derating ends. */
static const char *hotter(const evn_trip *t, const evn_turning *at, size_t unit, double *end)
{
    const evn_heat *h = heat_of(t, unit);
    evn_steady to = evn_unit_steady_without_torque(&t->rig->unit[unit], at);
    bool inverter = h->inverter && (!h->winding || to.inverter_degc - h->inverter_range.to_degc >
                                                       to.winding_degc - h->winding_range.to_degc);
    *end = inverter ? h->inverter_range.to_degc : h->winding_range.to_degc;
    return inverter ? "inverter" : "winding";
}

static void say(evn_trip *t, const evn_instant *is, size_t unit)
{
    static const char *const done[EVN_HEAT_COUNT] = {"", "is disconnected", "runs without pulses",
                                                     "has its speed held down"};
    evn_hot *hot = &t->hot[unit];
    const evn_unit *u = &t->rig->unit[unit];
    evn_turning at = turning(is, unit);
    double end_degc_of_part, held_rpm = evn_unit_speed_held_rad_s(u, &at) / EVN_RAD_S_PER_RPM;
    const char *part = hotter(t, &at, unit, &end_degc_of_part);
    if (hot->told[hot->now])
        return;
    hot->told[hot->now] = true;
    double per_rpm_m_s = EVN_RAD_S_PER_RPM / t->rig->unit_rad_m[unit] / u->gear[at.setting.gear].total_ratio;
    evn_say(t->report, EVN_FAULT_TOO_HOT, evn_nowhere, evn_nowhere,
            "drive unit %s %s from %.3f km, %.1f s on: at %.0f rpm its losses without torque would heat its %s beyond "
            "%g degC, where derating ends; expected at most %.0f rpm, %.0f km/h in this gear; less loss without "
            "torque, a lower "
            "ratio or better cooling would help; whether a machine may be dragged so is for approved testing",
            u->name, done[hot->now], evn_trip_place_m(t, t->t, t->y) / 1000, t->t, at.motor_rad_s / EVN_RAD_S_PER_RPM,
            part, end_degc_of_part, held_rpm, held_rpm * per_rpm_m_s / EVN_M_S_PER_KM_H);
}

static void count_pulses(evn_trip *t, evn_hot *hot, evn_too_hot next)
{
    if (hot->now == EVN_HEAT_PULSES_OFF)
        hot->pulses_off_s += t->t - hot->pulses_off_since_s;
    if (next == EVN_HEAT_PULSES_OFF)
        hot->pulses_off_since_s = t->t;
}

/*
 * A little slower than where it would come to stand at the end of derating: coolant and winding drift. Without pulses
 * too, where drag alone would heat it on.
 */
static void set_held(evn_trip *t, const evn_instant *is, size_t unit)
{
    static const double SPARE_SHARE = 0.02;
    evn_hot *hot = &t->hot[unit];
    evn_turning at = turning(is, unit);
    at.setting.pulses_off = hot->now == EVN_HEAT_PULSES_OFF;
    if (at.setting.pulses_off || hot->now == EVN_HEAT_SPEED_HELD)
        hot->held_rad_s = (1 - SPARE_SHARE) * evn_unit_speed_held_rad_s(&t->rig->unit[unit], &at);
    evn_act_hold_for_heat(t);
}

static void enter(evn_trip *t, const evn_instant *is, size_t unit, evn_too_hot next)
{
    evn_hot *hot = &t->hot[unit];
    evn_setting now = t->box[unit].now;
    count_pulses(t, hot, next);
    hot->now = next;
    if (next != EVN_HEAT_BORNE)
        say(t, is, unit);
    set_held(t, is, unit);
    evn_setting then = evn_heat_allows(t, unit, now);
    if (evn_same_setting(now, then) && now.pulses_off == then.pulses_off)
        return;
    if (t->motion == EVN_MOVING)
        evn_act_change(t, unit, then);
    else
        evn_take_setting(t, unit, then);
}

static void due(evn_trip *t, const evn_instant *is, size_t unit)
{
    evn_too_hot now = t->hot[unit].now;
    if (now == EVN_HEAT_BORNE)
        enter(t, is, unit, consequence(t, is, unit));
    else if (cooling_left(t, is, unit) <= 1e-9)
        enter(t, is, unit, EVN_HEAT_BORNE);
    else
        enter(t, is, unit, now == EVN_HEAT_PULSES_OFF ? EVN_HEAT_SPEED_HELD : EVN_HEAT_PULSES_OFF);
}

/* Those that are due by their own side, as at corners of envelopes. */
void evn_act_too_hot(evn_trip *t, const evn_instant *is)
{
    double at = fmax(evn_too_hot_left(t, is), 1e-9);
    bool is_due[EVN_UNITS_MAX];
    for (size_t u = 0; u < t->rig->unit_count; u++)
        is_due[u] = is_concerned(t, u) && left_of(t, is, u) <= at;
    for (size_t u = 0; u < t->rig->unit_count; u++)
        if (is_due[u])
            due(t, is, u);
}

void evn_too_hot_close(evn_trip *t)
{
    for (size_t u = 0; u < t->rig->unit_count; u++)
        count_pulses(t, &t->hot[u], EVN_HEAT_BORNE);
}
