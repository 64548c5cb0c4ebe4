/* Limits passed: one row each, held against its limit after each step. */
#include "trip/passed.h"
#include "core/units.h"
#include "pull/adhesion_use.h"
#include "trip/axle_brakes.h"
#include "trip/moment.h"
#include <math.h>
#include <stdio.h>

/* ------------------------------------------------------------------------------------------------ the limits */

typedef struct at { /* one instant, and of limits that each unit or axle has the unit or axle */
    const evn_trip *trip;
    const evn_seen *seen;
    const double *y;
    size_t unit;
} at;

static double winding_degc(const at *a)
{
    return evn_unit_winding_degc(&a->trip->rig->unit[a->unit], evn_states_degc(&a->trip->states, a->y, a->unit));
}
static double winding_limit_degc(const at *a) { return evn_unit_winding_limit_degc(&a->trip->rig->unit[a->unit]); }

static double inverter_degc(const at *a) { return a->seen->inverter_degc[a->unit]; }
static double inverter_limit_degc(const at *a) { return evn_unit_inverter_limit_degc(&a->trip->rig->unit[a->unit]); }

static double motor_rpm(const at *a) { return a->seen->motor_rad_s[a->unit] / EVN_RAD_S_PER_RPM; }
static double motor_limit_rpm(const at *a)
{
    return evn_unit_top_rad_s(&a->trip->rig->unit[a->unit]) / EVN_RAD_S_PER_RPM;
}

static double out_kw(const at *a) { return a->seen->terminal_w / 1e3; }
static double out_limit_kw(const at *a) { return a->seen->discharge_w / 1e3; }
static double in_kw(const at *a) { return -a->seen->terminal_w / 1e3; }
static double in_limit_kw(const at *a) { return a->seen->charge_w / 1e3; }

static double terminal_v(const at *a) { return a->seen->terminal_v; }
static double least_v(const at *a) { return a->trip->rig->pack.minimum_v; }
static double most_v(const at *a) { return a->trip->rig->pack.maximum_v; }

static double coolant_degc(const at *a) { return evn_states_coolant_degc(&a->trip->states, a->y); }
static double coolant_limit_degc(const at *a) { return a->trip->rig->cooling.limit_degc; }
static double battery_degc(const at *a) { return evn_states_battery_degc(&a->trip->states, a->y); }
static double battery_limit_degc(const at *a) { return a->trip->rig->pack.heat.limit_degc; }
static double brake_degc(const at *a) { return evn_axle_brake_degc(&a->trip->states, a->y, a->unit); }
static double brake_limit_degc(const at *a) { return a->trip->rig->axle[a->unit].brake.limit_degc; }
static double friction_kw(const at *a) { return a->seen->friction_w / 1e3; }
static double braking_rate(const at *a) { return a->seen->braking_rate; }
static double adhesion_there(const at *a) { return a->seen->adhesion; }
static double friction_limit_kw(const at *a) { return a->trip->rig->friction_limit_w / 1e3; }

/* `slack`: what the integration's own error and an event's touch may come to, in the row's unit; far below what matters
 * to a part. */
typedef struct limit {
    const char *what, *unit, *name, *advice;
    bool of_unit, below; /* of each drive unit; the limit is a lower one */
    double slack;
    double (*value)(const at *), (*limit)(const at *);
    bool of_axle; /* of each axle, and told with what friction brakes had taken by then */
} limit;

#define DEFERS "what brakes may take is for local regulation, approved testing and licensed practice"

static const limit limits[EVN_PASSED_COUNT] = {
    [EVN_PASSED_WINDING] = {"winding", "degC", "where derating ends",
                            "no torque is left there, and the losses that go on without torque are too many: less loss "
                            "at this speed, a lower ratio or better cooling would help",
                            true, false, 0.1, winding_degc, winding_limit_degc},
    [EVN_PASSED_INVERTER] = {"inverter", "degC", "where derating ends",
                             "no torque is left there, and the losses that go on without torque are too many: less "
                             "loss at this speed, a lower ratio or better cooling would help",
                             true, false, 0.1, inverter_degc, inverter_limit_degc},
    [EVN_PASSED_MOTOR_SPEED] = {"motor", "rpm", "its top speed", "a lower ratio or a lower road speed would help", true,
                                false, 10, motor_rpm, motor_limit_rpm},
    [EVN_PASSED_DISCHARGE] = {"terminal power", "kW", "the discharge limit",
                              "losses that nothing limits take more than the battery may give", false, false, 0.1,
                              out_kw, out_limit_kw},
    [EVN_PASSED_CHARGE] = {"charging power", "kW", "the charge limit at this state of charge and voltage",
                           "more is regenerated than the battery may take", false, false, 0.5, in_kw, in_limit_kw},
    [EVN_PASSED_LOW_VOLTAGE] = {"terminal voltage", "V", "the minimum voltage",
                                "a larger battery, or one of less resistance, would help", false, true, 0.5, terminal_v,
                                least_v},
    [EVN_PASSED_HIGH_VOLTAGE] = {"terminal voltage", "V", "the maximum voltage",
                                 "a lower state of charge at the start, or less resistance, would help", false, false,
                                 0.5, terminal_v, most_v},
    [EVN_PASSED_COOLANT] = {"coolant", "degC", "the limit of the coolant",
                            "a larger radiator, a stronger or earlier fan, or less loss would help", false, false, 0.1,
                            coolant_degc, coolant_limit_degc},
    [EVN_PASSED_BATTERY] = {"battery", "degC", "the limit of the battery",
                            "stronger or earlier cooling, less power or a larger battery would help; what a battery "
                            "may reach is for its maker, local regulation and licensed practice",
                            false, false, 0.1, battery_degc, battery_limit_degc},
    [EVN_PASSED_BRAKE] = {"friction brakes", "degC", "the limit of the friction brakes",
                          "a lower speed downhill, or more braking by motors, would help; " DEFERS, false, false, 0.1,
                          brake_degc, brake_limit_degc, true},
    [EVN_PASSED_FRICTION_POWER] = {"friction braking power", "kW", "the limit of friction braking power",
                                   "a lower speed, or more braking by motors, would help; " DEFERS, false, false, 0.5,
                                   friction_kw, friction_limit_kw, false},
    [EVN_PASSED_ADHESION] = {"braking rate", "of the weight", "the adhesion of the place",
                             "no brake stops the truck so there: wheels lock, or anti-lock control lengthens the way, "
                             "which this run does not know; a lower speed before would help; " DEFERS,
                             false, false, 0.002, braking_rate, adhesion_there, false},
};

/* How many of a rig have such a limit, and the name of one; NULL: the truck itself. */
static size_t parts_of(const evn_rig *r, const limit *l)
{
    return l->of_unit ? r->unit_count : l->of_axle ? r->axle_count : 1;
}
static const char *part_name(const evn_rig *r, const limit *l, size_t part)
{
    return l->of_unit ? r->unit[part].name : l->of_axle ? r->axle[part].name : NULL;
}

/* ------------------------------------------------------------------------------------------------ noting */

static double inverter_of(const evn_instant *is, size_t unit)
{
    const evn_given *now = &is->pull.at;
    return evn_unit_inverter_degc(&now->rig->unit[unit], now->unit[unit].setting, now->unit[unit].degc,
                                  now->coolant_degc, &is->unit_flow[unit]);
}

/* All wheels together, as anti-lock control shares what there is. */
static void see_braking(evn_seen *s, const evn_instant *is)
{
    const evn_given *now = &is->pull.at;
    bool brakes = now->adhesion > 0 && !now->at_rest;
    evn_forces f = {is->force_n, is->accel_m_s2, is->brake_n, is->retarder_n};
    s->adhesion = brakes ? 0.5 * (now->adhesion + now->adhesion_other_side) : (double)INFINITY;
    s->braking_rate = brakes ? evn_pull_braking_rate(&is->pull, &f) : 0;
}

static void fill_seen(evn_seen *s, double time_s, const evn_instant *is)
{
    const evn_rig *r = is->pull.at.rig;
    see_braking(s, is);
    s->time_s = time_s;
    s->terminal_w = is->load_w;
    s->terminal_v = is->pull.feed.open_circuit_v - is->pull.feed.resistance_ohm * is->current_a;
    s->discharge_w = is->pull.feed.out.now_w;
    s->charge_w = is->pull.feed.charge_w;
    s->friction_w = is->flow.w[EVN_FRICTION_BRAKES];
    for (size_t u = 0; u < r->unit_count; u++) { /* between two settings the rotors do not turn with the wheels */
        const evn_member *m = &is->pull.team.unit[u];
        s->motor_rad_s[u] = m->connected ? m->motor_rad_s : 0;
        s->inverter_degc[u] = evn_unit_has_inverter_heat(&r->unit[u]) ? inverter_of(is, u) : -(double)INFINITY;
    }
}

void evn_passed_see(evn_trip *t, double time_s, const evn_instant *is) { fill_seen(&t->seen, time_s, is); }

static void note(const at *a, const limit *l, evn_passed *p)
{
    double value = l->value(a), most = l->limit(a), over = l->below ? most - value : value - most;
    if (!(over > l->slack))
        return;
    double place_m = evn_trip_place_m(a->trip, a->seen->time_s, a->y);
    if (p->over <= 0)
        *p = (evn_passed){.first_m = place_m,
                          .first_s = a->seen->time_s,
                          .friction_j = a->trip->lump_j[EVN_FRICTION_BRAKES] + a->y[EVN_Y_BRAKES]};
    if (over <= p->over)
        return;
    p->over = over;
    p->value = value;
    p->limit = most;
    p->place_m = place_m;
    p->time_s = a->seen->time_s;
}

void evn_passed_note(evn_trip *t, double time_s, const double *y)
{
    if (t->seen.time_s != time_s) /* the step ended at an event: the watches were asked elsewhere last */
        fill_seen(&t->seen, time_s, evn_instant_seen(t, time_s, y));
    at a = {t, &t->seen, y, 0};
    for (int k = 0; k < EVN_PASSED_COUNT; k++)
        for (a.unit = 0; a.unit < parts_of(t->rig, &limits[k]); a.unit++)
            note(&a, &limits[k], &t->passed[k][a.unit]);
}

/* ------------------------------------------------------------------------------------------------ saying */

void evn_passed_say(const evn_trip *t)
{
    for (int k = 0; k < EVN_PASSED_COUNT; k++)
        for (size_t u = 0; u < parts_of(t->rig, &limits[k]); u++) {
            const limit *l = &limits[k];
            const evn_passed *p = &t->passed[k][u];
            const char *name = part_name(t->rig, l, u);
            char taken[80] = "";
            if (p->over <= 0)
                continue;
            if (l->of_axle)
                snprintf(taken, sizeof taken, ", when the friction brakes had taken %.3g kWh",
                         p->friction_j / EVN_J_PER_KWH);
            evn_say(t->report, EVN_FAULT_LIMIT_PASSED, evn_nowhere, evn_nowhere,
                    "%s%s%s at %.4g %s at %.3f km, %.1f s; expected at %s %.4g %s, %s, which was first passed at "
                    "%.3f km, %.1f s%s; %s",
                    l->what,
                    l->of_unit   ? " of drive unit "
                    : l->of_axle ? " of axle "
                                 : "",
                    name ? name : "", p->value, l->unit, p->place_m / 1000, p->time_s, l->below ? "least" : "most",
                    p->limit, l->unit, l->name, p->first_m / 1000, p->first_s, taken, l->advice);
        }
}
