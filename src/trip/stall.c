/* A truck that cannot move off: what binds it, with the force that it needs and the force that there is. */
#include "trip/stall.h"
#include "pull/launch.h"
#include "trip/moment.h"
#include <math.h>
#include <stdio.h>

typedef struct rest { /* where the truck stands */
    const evn_trip *trip;
    evn_launch_reach reach;
    double place_km, grade_percent;
} rest;

static rest rest_of(const evn_trip *t)
{
    evn_setting first[EVN_UNITS_MAX];
    for (size_t u = 0; u < t->rig->unit_count; u++)
        first[u] = evn_all_engaged(&t->rig->unit[u], 0);
    evn_given at = evn_trip_launch_given(t, first);
    return (rest){t, evn_launch_reach_of(&at), t->y[EVN_Y_PLACE] / 1000, at.tangent * 100};
}

/* The unit whose winding has taken most of its torque. */
static size_t hottest(const evn_trip *t)
{
    size_t at = 0;
    double least = 2;
    for (size_t u = 0; u < t->rig->unit_count; u++) {
        double left = evn_unit_torque_share(&t->rig->unit[u], evn_states_degc(&t->states, t->y, u));
        if (left < least) {
            least = left;
            at = u;
        }
    }
    return at;
}

/* "... cannot move off at 1.234 km on a grade of 5.0 %: it needs 51.2 kN at the tyres, " stands before each. */
#define CANNOT "%s cannot move off at %.3f km on a grade of %.1f %%: it needs %.1f kN at the tyres, "
#define CANNOT_VALUES(r) (r)->trip->rig->truck_name, (r)->place_km, (r)->grade_percent, (r)->reach.need_n / 1e3

static void say_winding(const rest *r)
{
    const evn_trip *t = r->trip;
    size_t unit = hottest(t);
    const evn_unit *u = &t->rig->unit[unit];
    const double *degc = evn_states_degc(&t->states, t->y, unit);
    const evn_heat *h = &u->motor[0].heat;
    double winding_share = h->winding ? evn_derating_share(&h->winding_range, evn_unit_winding_degc(u, degc)) : 1;
    bool winding = winding_share <= evn_unit_torque_share(u, degc);
    double at_degc = winding ? evn_unit_winding_degc(u, degc)
                             : evn_heat_inverter_degc(h, degc, &(evn_heat_gains){.coolant_degc = (double)NAN});
    evn_say(
        t->report, EVN_FAULT_CANNOT_START, evn_nowhere, evn_nowhere,
        CANNOT
        "and has %.1f kN: the %s of drive unit %s is at %.1f degC, where derating leaves %.0f %% of the "
        "torque; expected it below %g degC, where derating ends; cold there would be %.1f kN; a lower load or better "
        "cooling would help",
        CANNOT_VALUES(r), fmax(r->reach.both_n, 0) / 1e3, winding ? "winding" : "inverter", u->name, at_degc,
        100 * evn_unit_torque_share(u, degc),
        winding ? evn_unit_winding_limit_degc(u) : evn_unit_inverter_limit_degc(u), r->reach.both_cold_n / 1e3);
}

/* What open differentials cost, or what locks gain: "" where all tyres carry the same with both. */
enum { DIFFERENTIALS_BYTES = 160 };
static void tell_differentials(const evn_launch_reach *l, char out[DIFFERENTIALS_BYTES])
{
    static const double SAME = 1e-6;
    out[0] = '\0';
    if (l->tyres_n < (1 - SAME) * l->locked_n)
        snprintf(out, DIFFERENTIALS_BYTES, "; with its differentials locked they would carry %.1f kN",
                 l->locked_n / 1e3);
    else if (l->open_n < (1 - SAME) * l->tyres_n)
        snprintf(out, DIFFERENTIALS_BYTES, "; its differentials are locked, and open they would carry %.1f kN",
                 l->open_n / 1e3);
}

static void say_tyres(const rest *r)
{
    char differentials[DIFFERENTIALS_BYTES], adhesion[80];
    const evn_road_stretch *road = &r->trip->course->road[r->trip->road_at];
    bool stated = road->adhesion > 0;
    tell_differentials(&r->reach, differentials);
    if (stated && road->adhesion != road->adhesion_other_side)
        snprintf(adhesion, sizeof adhesion, "%g and %g on either side", road->adhesion, road->adhesion_other_side);
    else
        snprintf(adhesion, sizeof adhesion, "%g", stated ? road->adhesion : r->trip->rig->adhesion_driving);
    evn_say(r->trip->report, EVN_FAULT_CANNOT_START, evn_nowhere, evn_nowhere,
            CANNOT "and its driven tyres carry %.1f kN of what its motors can, %.1f kN%s; expected more load on driven "
                   "axles, more driven axles or more adhesion than %s",
            CANNOT_VALUES(r), fmin(r->reach.tyres_n, r->reach.both_cold_n) / 1e3, r->reach.cold_n / 1e3, differentials,
            adhesion);
}

/* The unit whose motors have least of their peak torque at rest, and how much: ""  where all have it whole. */
enum { AT_REST_BYTES = 160 };
static void tell_at_rest(const evn_rig *r, char out[AT_REST_BYTES])
{
    double least = 1;
    out[0] = '\0';
    for (size_t u = 0; u < r->unit_count; u++) {
        double share = evn_motor_turning_share(&r->unit[u].motor[0], 0);
        if (share >= least)
            continue;
        least = share;
        snprintf(out, AT_REST_BYTES, ", where those of drive unit %s have %.0f %% of their peak torque",
                 r->unit[u].name, 100 * share);
    }
}

static void say_motors(const rest *r)
{
    char at_rest[AT_REST_BYTES];
    tell_at_rest(r->trip->rig, at_rest);
    evn_say(r->trip->report, EVN_FAULT_CANNOT_START, evn_nowhere, evn_nowhere,
            CANNOT "and its motors give %.1f kN at rest in first gear%s; expected more than it needs to move %.0f kg; "
                   "a lower first gear or more motor torque%s would help",
            CANNOT_VALUES(r), r->reach.motors_n / 1e3, at_rest, r->trip->rig->mass_kg, at_rest[0] ? " at rest" : "");
}

/* A unit that heat keeps from working; unit_count: none. */
static size_t kept(const evn_trip *t)
{
    size_t u = 0;
    while (u < t->rig->unit_count && !evn_heat_holds(t, u))
        u++;
    return u;
}

/* It works again once it has cooled to the middle of its derating, and so may the truck go on then. */
static void say_kept(const rest *r)
{
    const evn_trip *t = r->trip;
    size_t unit = kept(t);
    const evn_unit *u = &t->rig->unit[unit];
    const evn_heat *h = &u->motor[0].heat;
    double winding_degc = evn_unit_winding_degc(u, evn_states_degc(&t->states, t->y, unit)), degc = winding_degc;
    double back_degc = evn_derating_middle_degc(&h->winding_range);
    bool winding = h->winding && (!h->inverter || winding_degc > back_degc);
    if (!winding) {
        back_degc = evn_derating_middle_degc(&h->inverter_range);
        degc = evn_heat_inverter_degc(h, evn_states_degc(&t->states, t->y, unit),
                                      &(evn_heat_gains){.coolant_degc = (double)NAN});
    }
    evn_say(t->report, EVN_FAULT_CANNOT_START, evn_nowhere, evn_nowhere,
            CANNOT "and would have %.1f kN, but drive unit %s is %s, since losses without torque had made it too hot: "
                   "its %s is at %.1f degC; expected at most %g, the middle of its derating, before it works again; a "
                   "longer wait, less loss without torque or better cooling would help",
            CANNOT_VALUES(r), r->reach.both_n / 1e3, u->name,
            t->hot[unit].now == EVN_HEAT_OPENED ? "disconnected" : "without pulses", winding ? "winding" : "inverter",
            degc, back_degc);
}

/* What held the truck longest so far. */
static evn_hold most_held(const evn_trip *t)
{
    evn_hold most = EVN_HELD_SHIFT;
    for (int k = EVN_HELD_NOT + 1; k < EVN_HOLD_COUNT; k++)
        if (t->held[k].seconds > t->held[most].seconds)
            most = (evn_hold)k;
    return most;
}

static void say_held(const rest *r)
{
    evn_hold most = most_held(r->trip);
    bool told = r->trip->held[most].seconds > 0;
    evn_say(r->trip->report, EVN_FAULT_CANNOT_START, evn_nowhere, evn_nowhere,
            CANNOT
            "and has %.1f kN at rest, but comes to rest again at once%s%s; expected enough power of "
            "motors and battery to go on, and no pause of a gear change that takes all speed; a lower load would help",
            CANNOT_VALUES(r), r->reach.both_n / 1e3, told ? ", limited by " : "",
            told ? evn_hold_rows[most].label : "");
}

void evn_stall_say(const evn_trip *t)
{
    rest r = rest_of(t);
    const evn_launch_reach *l = &r.reach;
    if (l->tyres_n <= l->need_n)
        say_tyres(&r);
    else if (l->both_n <= l->need_n && l->both_cold_n > l->need_n)
        say_winding(&r);
    else if (l->cold_n <= l->need_n)
        say_motors(&r);
    else if (l->both_cold_n <= l->need_n)
        say_tyres(&r);
    else if (kept(t) < t->rig->unit_count)
        say_kept(&r);
    else
        say_held(&r);
}
