/* Work of the power take-off at stops. */
#include "trip/takeoff_work.h"
#include "core/units.h"
#include "trip/resting.h"
#include <math.h>
#include <stdio.h>

bool evn_takeoff_works(const evn_trip *t) { return t->motion == EVN_STANDING && t->takeoff.ask.power_w > 0; }
double evn_takeoff_work_due_s(const evn_trip *t) { return t->takeoff.begin_s + t->takeoff.ask.seconds; }

void evn_takeoff_work_begin(evn_trip *t, evn_takeoff_ask ask)
{
    if (!t->rig->takeoff.there || ask.power_w <= 0 || ask.seconds <= 0)
        return;
    t->takeoff.ask = ask;
    t->takeoff.begin_s = t->t;
    if (!t->rig->takeoff.own)
        evn_resting_not_yet(t, t->rig->takeoff.unit);
}

void evn_takeoff_work_ends(evn_trip *t)
{
    if (t->takeoff.ask.power_w <= 0)
        return;
    t->takeoff.worked_s += t->t - t->takeoff.begin_s;
    t->takeoff.asked_j += t->takeoff.ask.power_w * (t->t - t->takeoff.begin_s);
    t->takeoff.ask = (evn_takeoff_ask){0};
}

void evn_act_takeoff_work_over(evn_trip *t)
{
    evn_takeoff_work_ends(t);
    if (!t->rig->takeoff.own)
        evn_resting_stand_unit(t, t->rig->takeoff.unit, t->wait_until_s - t->t);
}

evn_setting evn_takeoff_setting(const evn_trip *t, size_t unit, evn_setting now)
{
    bool drives = evn_takeoff_works(t) && !t->rig->takeoff.own && t->rig->takeoff.unit == unit;
    return drives ? evn_all_engaged(&t->rig->unit[unit], now.gear) : now;
}

/* ------------------------------------------------------------------------------------------------ courses */

bool evn_takeoff_refuses(const evn_rig *r, double place_m, evn_takeoff_ask ask, char why[], size_t size)
{
    const evn_takeoff *t = &r->takeoff;
    if (ask.power_w <= 0 || (t->there && ask.power_w <= t->most_w * (1 + 1e-9)))
        return false;
    char at[40] = "";
    if (!isnan(place_m))
        snprintf(at, sizeof at, " at %.3f km", place_m / 1000);
    if (!t->there)
        snprintf(why, size,
                 "%.10g kW are asked of a power take-off%s, and %.200s has none; expected power_take_off in the truck, "
                 "or a %s without takeoff_kw",
                 ask.power_w / 1e3, at, r->truck_name, isnan(place_m) ? "stop" : "cycle");
    else
        snprintf(why, size,
                 "%.10g kW are asked of the power take-off of %.200s%s, at %.6g rpm; expected at most %.6g kW, by %s",
                 ask.power_w / 1e3, r->truck_name, at, t->shaft_rad_s / EVN_RAD_S_PER_RPM, t->most_w / 1e3, t->limit);
    return true;
}

static bool says_no(const evn_rig *r, double place_m, evn_takeoff_ask ask, evn_report *report)
{
    char why[EVN_TAKEOFF_WHY_BYTES];
    if (!evn_takeoff_refuses(r, place_m, ask, why, sizeof why))
        return false;
    evn_say(report, EVN_FAULT_DISAGREES, evn_nowhere, evn_nowhere, "%s", why);
    return true;
}

/* The first that it cannot is said. */
bool evn_takeoff_work_fits(const evn_rig *r, const evn_course *c, evn_report *report)
{
    for (size_t k = 0; k < c->plan_count; k++)
        if (says_no(r, c->plan[k].begin_m, c->plan[k].takeoff, report))
            return false;
    return !says_no(r, c->length_m, c->final_takeoff, report);
}

static bool is_for(evn_takeoff_ask ask, double wait_s) { return ask.power_w > 0 && wait_s >= ask.seconds; }

evn_takeoff_ask evn_takeoff_ask_of(const evn_rig *r, const evn_standing *s)
{
    if (!s->takeoff_by_truck)
        return s->takeoff;
    return r->takeoff.there && is_for(r->takeoff.stop, s->duration_s) ? r->takeoff.stop : (evn_takeoff_ask){0};
}

bool evn_takeoff_standing_fits(const evn_rig *r, const evn_standing *s, evn_report *report)
{
    return !says_no(r, (double)NAN, evn_takeoff_ask_of(r, s), report);
}

void evn_takeoff_work_of_truck(const evn_rig *r, bool asked_by_cycle, evn_course *c)
{
    evn_takeoff_ask ask = r->takeoff.stop;
    if (!r->takeoff.there || asked_by_cycle)
        return;
    for (size_t k = 1; k < c->plan_count; k++)
        if (c->plan[k].v2_begin <= 0 && is_for(ask, c->plan[k].wait_s))
            c->plan[k].takeoff = ask;
    if (is_for(ask, c->final_wait_s))
        c->final_takeoff = ask;
}
