/*
 * Long descents: 6 km at 30 km/h, 6 and 7 % steep, as the Type-II and Type-IIA tests of UN R13 Annex 4 ask of endurance
 * braking ("at least 6 %" and "at least 7 %" seen in Dir. 71/320/EEC Annex VII; 30 km/h and 6 km from memory). Driven
 * by the exact driver, begun at that speed: what the battery gets, what friction brakes do, and how far below full
 * the battery must start so that they do nothing. That a full battery cannot take such a descent is a known matter of
 * regulation (GRVA-05-39/Rev.1, 2020, seen).
 *
 * No test of approval: how a loaded vehicle is taken downhill, and what its brakes must stand, is for local regulation,
 * approved testing and licensed practice.
 */
#include "core/units.h"
#include "limits/made_road.h"
#include "limits/scene.h"
#include <math.h>
#include <string.h>

static const double SPEED_M_S = 30 * EVN_M_S_PER_KM_H, LENGTH_M = 6000;
static const double SOC_FOUND_TO = 0.0005;

typedef struct steep_test {
    evn_limits_work *work;
    evn_rig *rig; /* a shallow copy, whose charge at the start may be changed */
    double tangent;
    const char *rubs; /* what made friction brakes brake most; NULL: they did not */
} steep_test;

/* ------------------------------------------------------------------------------------------------ one descent */

static evn_made_run drive(steep_test *t, double start_soc)
{
    evn_driving driving = t->work->driving;
    evn_scene ground = evn_scene_of(t->work, EVN_FORWARDS);
    evn_made_road road = evn_made_road_of(&ground, SPEED_M_S, LENGTH_M, -t->tangent);
    evn_friction_cause cause;
    driving.driver = EVN_DRIVER_EXACT;
    driving.endurance = EVN_ENDURANCE_OFF;
    t->rig->start_soc = start_soc;
    evn_made_run run = evn_made_run_of(t->work, t->rig, &driving, &road, NULL);
    t->rubs = run.results && evn_results_friction_cause_at(run.results, 0, &cause) ? cause.cause : NULL;
    return run;
}

/* Without friction brakes all the way. */
static bool holds(steep_test *t, double start_soc)
{
    evn_made_run run = drive(t, start_soc);
    bool held = run.finished && !t->rubs;
    evn_made_run_end(&run);
    return held;
}

/* ------------------------------------------------------------------------------------------------ below full */

static bool states_winding(const evn_rig *r)
{
    for (size_t u = 0; u < r->unit_count; u++)
        if (r->unit[u].motor[0].heat.winding)
            return true;
    return false;
}

static evn_bound bound_of(const steep_test *t)
{
    static const struct {
        const char *cause;
        evn_bound bound;
    } of[] = {{"motor_torque", EVN_BOUND_MOTOR_TORQUE}, {"motor_power", EVN_BOUND_MOTOR_POWER},
              {"battery_power", EVN_BOUND_PACK},        {"adhesion", EVN_BOUND_ADHESION},
              {"gear_change", EVN_BOUND_SHIFT},         {"low_speed", EVN_BOUND_LOW_SPEED},
              {"motor_share", EVN_BOUND_MOTOR_SHARE},   {"regeneration_off", EVN_BOUND_OFF}};
    if (!t->rubs)
        return EVN_BOUND_NONE;
    if (strcmp(t->rubs, "temperature") == 0)
        return states_winding(t->rig) ? EVN_BOUND_WINDING : EVN_BOUND_INVERTER;
    for (size_t k = 0; k < sizeof of / sizeof *of; k++)
        if (strcmp(t->rubs, of[k].cause) == 0)
            return of[k].bound;
    return EVN_BOUND_NONE;
}

/* A charge from which it holds, and a higher one from which it does not. */
typedef struct between {
    double held, lost;
} between;

/*
 * Where it should be: so far below the charge at which the battery still takes the mean power of the way, as the way
 * adds to it. Only a place to look first.
 */
static double guess(const steep_test *t, double added_soc)
{
    const evn_pack *p = &t->rig->pack;
    double low = p->usable_from, high = p->usable_to;
    double mean_w = added_soc * p->capacity_as * evn_curve_at(&p->open_circuit_v, high) / (LENGTH_M / SPEED_M_S);
    while (high - low > SOC_FOUND_TO) {
        double soc = 0.5 * (low + high);
        evn_pack_now now = {.soc = soc, .degc = p->start_degc, .in_used = 1}; /* for longer than seconds */
        if (evn_pack_at(p, &now).charge_w >= mean_w)
            low = soc;
        else
            high = soc;
    }
    return low - added_soc;
}

/* Outwards from a first place, by steps that double. */
static void look_around(steep_test *t, double soc, between *b)
{
    bool up = soc > b->held && soc < b->lost && holds(t, soc);
    for (double step = 2 * SOC_FOUND_TO; soc > b->held && soc < b->lost && !evn_runs_stopped(t->work->runs);
         step *= 2) {
        double next = soc + (up ? step : -step);
        *(up ? &b->held : &b->lost) = soc;
        if (next <= b->held || next >= b->lost)
            return;
        if (holds(t, next) != up) {
            *(up ? &b->lost : &b->held) = next;
            return;
        }
        soc = next;
    }
}

static double highest_soc(steep_test *t, between b, double first)
{
    look_around(t, first, &b);
    while (b.lost - b.held > SOC_FOUND_TO && !evn_runs_stopped(t->work->runs)) {
        double middle = 0.5 * (b.held + b.lost);
        *(holds(t, middle) ? &b.held : &b.lost) = middle;
    }
    return b.held;
}

/* What the way adds to the charge, where motors hold all of it; else NAN. */
static double added_soc(steep_test *t, double start_soc)
{
    evn_made_run run = drive(t, start_soc);
    double added = run.finished && !t->rubs ? evn_made_result(&run, "final_soc") - start_soc : (double)NAN;
    evn_made_run_end(&run);
    return added;
}

/* Half charged a battery takes most, at the voltage of the other figures; where even so it takes too little it may have
 * room for all of the way from the low end, or a little above, since at the low end itself a run ends before it begins.
 */
static evn_answer below_full(steep_test *t)
{
    const evn_pack *p = &t->rig->pack;
    between b = {0.5 * (p->usable_from + p->usable_to), p->usable_to};
    evn_answer a = evn_answer_of((double)NAN);
    double added = added_soc(t, b.held);
    if (isnan(added)) {
        a.bound = bound_of(t);
        b = (between){p->usable_from + SOC_FOUND_TO, b.held};
        added = a.bound == EVN_BOUND_PACK ? added_soc(t, b.held) : (double)NAN;
        if (isnan(added))
            return a;
    } else if (holds(t, b.lost)) {
        return evn_answer_of(0);
    }
    a.value = p->usable_to - highest_soc(t, b, guess(t, added));
    a.bound = EVN_BOUND_PACK;
    return a;
}

/* ------------------------------------------------------------------------------------------------ the group */

static const evn_limits_column
    potential = {"potential_kwh", "kWh", "potential energy", "that the way down sets free, m g d sin", 2},
    regenerated = {"regenerated_kwh", "kWh", "regenerated", "into the battery, from the state of charge of the start",
                   2},
    resistor = {"resistor_kwh", "kWh", "brake resistor", "heat in the brake resistor, where the truck has one", 2},
    retarder = {"retarder_kwh", "kWh", "retarder", "braking work of the retarder, where the truck has one", 2},
    friction = {"friction_kwh", "kWh", "friction brakes", "heat in the friction brakes", 2},
    peak = {"peak_friction_kw", "kW", "peak friction power", "most power of all friction brakes together", 0},
    hottest = {"peak_brake_degc", "degC", "hottest brakes",
               "of the axle whose friction brakes get hottest; none where no file states "
               "how they heat",
               0},
    below = {"below_full_percent", "%", "below full",
             "how far below the top of the usable window the battery must start, points of "
             "its charge, so that friction brakes do nothing all of the way; none: no charge does",
             2};

static void add(evn_limits_work *w, const evn_limits_name *name, const evn_limits_column *column, double value)
{
    evn_answer a = evn_answer_of(value);
    evn_limits_add(w, name, column, &a);
}

static const evn_limits_column *const driven[] = {&regenerated, &friction, &peak, &hottest};

/* Where the truck has them. */
static void add_other_brakes(const steep_test *t, const evn_limits_name *name, const evn_answer *of_resistor,
                             const evn_answer *of_retarder)
{
    if (t->rig->resistor_w > 0)
        evn_limits_add(t->work, name, &resistor, of_resistor);
    if (t->rig->has_part[EVN_RETARDER])
        evn_limits_add(t->work, name, &retarder, of_retarder);
}

static void add_none(const steep_test *t, const evn_limits_name *name, evn_bound why)
{
    evn_limits_work *w = t->work;
    evn_answer none = evn_answer_none(why);
    add_other_brakes(t, name, &none, &none);
    for (size_t k = 0; k < sizeof driven / sizeof *driven; k++)
        evn_limits_add(w, name, driven[k], &none);
}

static void add_hottest(evn_limits_work *w, const evn_limits_name *name, double degc)
{
    evn_answer a = isnan(degc) ? evn_answer_none(EVN_BOUND_NO_HEAT_DATA) : evn_answer_of(degc);
    evn_limits_add(w, name, &hottest, &a);
}

static void add_results(steep_test *t, const evn_limits_name *name, const evn_made_run *run)
{
    evn_limits_work *w = t->work;
    evn_answer rubbed = evn_answer_of(evn_made_result(run, "energy_balance.friction_brakes_kwh"));
    evn_answer of_resistor = evn_answer_of(evn_made_result(run, "energy_balance.brake_resistor_kwh"));
    evn_answer of_retarder = evn_answer_of(evn_made_result(run, "energy_balance.retarder_kwh"));
    rubbed.bound = bound_of(t);
    add(w, name, &regenerated, evn_made_result(run, "regenerated_kwh"));
    add_other_brakes(t, name, &of_resistor, &of_retarder);
    evn_limits_add(w, name, &friction, &rubbed);
    add(w, name, &peak, evn_made_result(run, "friction_brakes_peak_kw"));
    add_hottest(w, name, evn_made_result(run, "peak_brake_temperature_degc"));
}

/* A run that ends before the foot of the hill tells nothing of all of the way. */
static void add_driven(steep_test *t, const evn_limits_name *name)
{
    evn_made_run run = drive(t, t->work->rig[EVN_FORWARDS]->start_soc);
    if (run.finished)
        add_results(t, name, &run);
    else
        add_none(t, name, evn_made_ended_by(&run));
    evn_made_run_end(&run);
}

static void add_test(steep_test *t, const evn_limits_name *name)
{
    const evn_rig *r = t->rig;
    double sine = t->tangent / sqrt(1 + t->tangent * t->tangent);
    add(t->work, name, &potential, r->mass_kg * r->gravity_m_s2 * LENGTH_M * sine / EVN_J_PER_KWH);
    if (SPEED_M_S > r->top_speed_m_s) {
        evn_answer too_fast = evn_answer_none(EVN_BOUND_MOTOR_SPEED);
        add_none(t, name, too_fast.bound);
        evn_limits_add(t->work, name, &below, &too_fast);
        return;
    }
    add_driven(t, name);
    evn_answer a = below_full(t);
    a.value *= 100;
    evn_limits_add(t->work, name, &below, &a);
}

void evn_limits_long_descent(evn_limits_work *w)
{
    evn_rig *copy = w->runs ? evn_limits_rig_copy(w, w->rig[EVN_FORWARDS]) : NULL;
    if (!copy)
        return;
    copy->tells_friction = true; /* the peak of their power is asked for */
    add_test(&(steep_test){w, copy, 0.06, NULL}, &(evn_limits_name){"long_descent", "type_2", "6 %, 6 km, 30 km/h"});
    add_test(&(steep_test){w, copy, 0.07, NULL}, &(evn_limits_name){"long_descent", "type_2a", "7 %, 6 km, 30 km/h"});
}
