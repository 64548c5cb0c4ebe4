/* States of a run: where they stand, what error they may have, their starts and rates. */
#include "trip/states.h"
#include "pull/beside.h"
#include "pull/prices.h"
#include "trip/axle_brakes.h"
#include "trip/moment.h"
#include <math.h>
#include <stdio.h>
#include <string.h>

/* ------------------------------------------------------------------------------------------------ the table */

/* At rest the speed of the instant is 0. */
static double place(const evn_trip *t, const evn_instant *is)
{
    (void)t;
    return is->pull.at.speed_m_s;
}
static double speed(const evn_trip *t, const evn_instant *is)
{
    (void)t;
    return is->accel_m_s2;
}
static double charge(const evn_trip *t, const evn_instant *is)
{
    (void)t;
    return is->current_a;
}
static double drawn(const evn_trip *t, const evn_instant *is)
{
    (void)t;
    return fmax(is->current_a, 0) * is->pull.feed.open_circuit_v;
}
static double terminal(const evn_trip *t, const evn_instant *is)
{
    (void)t;
    return is->load_w;
}
static double held(const evn_trip *t, const evn_instant *is)
{
    (void)t;
    return fmax(-is->limited.unit_n, 0) * is->pull.at.speed_m_s;
}
static double forgone(const evn_trip *t, const evn_instant *is)
{
    bool forgoes = t->has_candidate && t->motion == EVN_MOVING;
    return forgoes ? evn_instant_forgone_w(is, t->candidate_unit, t->candidate) : 0;
}
static double coolant(const evn_trip *t, const evn_instant *is)
{
    const evn_given *at = &is->pull.at;
    return evn_cooling_rate_k_s(&t->rig->cooling, at->coolant_degc, t->rig->ambient_degc,
                                at->speed_m_s + evn_pull_headwind_m_s(at), evn_instant_to_coolant_w(is));
}
static double hubs(const evn_trip *t, const evn_instant *is)
{
    (void)t;
    return is->hubs_n * is->pull.at.speed_m_s;
}
static double battery(const evn_trip *t, const evn_instant *is)
{
    return evn_pack_heat_rate_k_s(&t->rig->pack.heat, is->pull.at.battery_degc, t->rig->ambient_degc,
                                  is->flow.w[EVN_PACK]);
}
static double discharge_used(const evn_trip *t, const evn_instant *is)
{
    return evn_pack_used_rate_1_s(&t->rig->pack.out, &is->pull.feed.out, is->pull.at.discharge_used, is->load_w);
}
static double charge_used(const evn_trip *t, const evn_instant *is)
{
    return evn_pack_used_rate_1_s(&t->rig->pack.in, &is->pull.feed.in, is->pull.at.charge_used, -is->load_w);
}
static double takeoff_gear(const evn_trip *t, const evn_instant *is)
{
    (void)t;
    return is->takeoff.gear_w;
}
static double takeoff_motor(const evn_trip *t, const evn_instant *is)
{
    (void)t;
    return is->takeoff.motor_w;
}
static double takeoff_inverter(const evn_trip *t, const evn_instant *is)
{
    (void)t;
    return is->takeoff.inverter_w;
}
static double tyres(const evn_trip *t, const evn_instant *is)
{
    const evn_given *at = &is->pull.at;
    return evn_tyre_rate_k_s(&t->rig->tyres, at->tyres_below_k, at->speed_m_s);
}
static bool has_loop(const evn_rig *r) { return r->cooling.modelled; }

/*
 * An error of scale times the accuracy is allowed in a step: fixed, since odometer and energies grow (NUMERICS.md). The
 * rate is that of the ledger line, or the function's. `aside`: no rate and no watch reads it, and it bends only where
 * others do. Drawn and held bend where current and force change their sign, and the energy at the terminals stands for
 * all that are aside where errors are held against their bounds.
 */
enum { NO_LINE = -1 };
typedef struct row {
    const char *name, *unit;
    double scale, start;
    int line;
    double (*rate)(const evn_trip *, const evn_instant *);
    bool (*applies)(const evn_rig *); /* NULL: to all */
    bool aside;
    bool of_charging; /* only of stops that charge */
} row;

#define ENERGY_J 1e6

static bool has_retarder(const evn_rig *r) { return r->has_part[EVN_RETARDER]; }
static bool has_hubs(const evn_rig *r) { return r->has_hubs; }
static bool has_battery_heat(const evn_rig *r) { return r->pack.heat.modelled; }
static bool discharge_tires(const evn_rig *r) { return r->pack.out.tires; }
static bool charge_tires(const evn_rig *r) { return r->pack.in.tires; }
static bool has_conditioning(const evn_rig *r) { return r->has_part[EVN_BATTERY_CONDITIONING]; }
static bool has_takeoff(const evn_rig *r) { return r->takeoff.there; }
static bool has_own_motor(const evn_rig *r) { return r->takeoff.own; }
static bool has_tyre_warmth(const evn_rig *r) { return r->tyres.law != EVN_ROLLING_RESISTANCE_LAW_CONSTANT; }
static bool has_resistor(const evn_rig *r) { return r->has_part[EVN_BRAKE_RESISTOR]; }

static const row rows[] = {
    [EVN_Y_PLACE] = {"place", "m", 30, 0, NO_LINE, place, NULL},
    [EVN_Y_SPEED] = {"speed", "m/s", 3, 0, NO_LINE, speed, NULL},
    [EVN_Y_CHARGE] = {"charge discharged", "As", 0.05, 0, NO_LINE, charge,
                      NULL}, /* the scale is a share of the capacity */
    [EVN_Y_DRAWN] = {"energy discharged", "J", ENERGY_J, 0, NO_LINE, drawn, NULL},
    [EVN_Y_TERMINAL] = {"energy at the terminals", "J", ENERGY_J, 0, NO_LINE, terminal, NULL},
    [EVN_Y_ROLLING] = {"rolling resistance", "J", ENERGY_J, 0, EVN_ROLLING, NULL, NULL, true},
    [EVN_Y_AIR] = {"air drag", "J", ENERGY_J, 0, EVN_AIR, NULL, NULL},
    [EVN_Y_PACK] = {"battery losses", "J", ENERGY_J, 0, EVN_PACK, NULL, NULL, true},
    [EVN_Y_AUXILIARIES] = {"auxiliaries", "J", ENERGY_J, 0, EVN_AUXILIARIES, NULL, NULL, true},
    [EVN_Y_BRAKES] = {"friction brakes", "J", ENERGY_J, 0, EVN_FRICTION_BRAKES, NULL, NULL},
    [EVN_Y_HELD] = {"regenerative braking", "J", ENERGY_J, 0, NO_LINE, held, NULL},
    [EVN_Y_FORGONE] = {"gain of another setting", "J", ENERGY_J, 0, NO_LINE, forgone, NULL},
    [EVN_Y_COOLANT] = {"coolant", "degC", 50, 0, NO_LINE, coolant, has_loop},
    [EVN_Y_FAN] = {"cooling fan", "J", ENERGY_J, 0, EVN_COOLING_FAN, NULL, has_loop, true},
    [EVN_Y_RETARDER] = {"retarder", "J", ENERGY_J, 0, EVN_RETARDER, NULL, has_retarder},
    [EVN_Y_RESISTOR] = {"brake resistor", "J", ENERGY_J, 0, EVN_BRAKE_RESISTOR, NULL, has_resistor},
    [EVN_Y_HUBS] = {"hub losses of axles", "J", ENERGY_J, 0, EVN_WHEEL_END, hubs, has_hubs, true},
    [EVN_Y_BATTERY] = {"battery", "degC", 50, 0, NO_LINE, battery, has_battery_heat},
    [EVN_Y_DISCHARGE_USED] = {"discharging for 10 s, used up", "", 1, 0, NO_LINE, discharge_used, discharge_tires},
    [EVN_Y_CHARGE_USED] = {"charging for 10 s, used up", "", 1, 0, NO_LINE, charge_used, charge_tires},
    [EVN_Y_CONDITIONING] = {"battery cooling and heating", "J", ENERGY_J, 0, EVN_BATTERY_CONDITIONING, NULL,
                            has_conditioning, true},
    [EVN_Y_TAKEOFF] = {"power take-off", "J", ENERGY_J, 0, EVN_PTO, NULL, has_takeoff, true},
    [EVN_Y_TAKEOFF_GEAR] = {"gear losses of the power take-off", "J", ENERGY_J, 0, EVN_GEARBOX, takeoff_gear,
                            has_own_motor, true},
    [EVN_Y_TAKEOFF_MOTOR] = {"motor losses of the power take-off", "J", ENERGY_J, 0, EVN_MOTOR, takeoff_motor,
                             has_own_motor, true},
    [EVN_Y_TAKEOFF_INVERTER] = {"inverter losses of the power take-off", "J", ENERGY_J, 0, EVN_INVERTER,
                                takeoff_inverter, has_own_motor, true},
    [EVN_Y_TYRES] = {"tyres", "degC", 50, 0, NO_LINE, tyres, has_tyre_warmth},
    [EVN_Y_CHARGING] = {"charging at stops", "J", ENERGY_J, 0, EVN_CHARGING, NULL, NULL, true, true},
};
_Static_assert(sizeof rows / sizeof *rows == EVN_Y_COUNT, "a row for each state of the truck");

/* Of a unit: the energy from the bus, and its lines of the ledger. */
static const struct unit_row {
    const char *name;
    int line;
} unit_rows[] = {
    [EVN_U_BUS] = {"energy from the d.c. bus", NO_LINE},
    [EVN_U_SLIP] = {"tyre slip losses", EVN_TYRE_SLIP},
    [EVN_U_WHEEL_END] = {"hub losses", EVN_WHEEL_END},
    [EVN_U_FINAL_DRIVE] = {"final drive losses", EVN_FINAL_DRIVE},
    [EVN_U_SHAFTS] = {"propeller shaft losses", EVN_SHAFTS},
    [EVN_U_GEARBOX] = {"gearbox losses", EVN_GEARBOX},
    [EVN_U_MOTOR] = {"motor losses", EVN_MOTOR},
    [EVN_U_INVERTER] = {"inverter losses", EVN_INVERTER},
};
_Static_assert(sizeof unit_rows / sizeof *unit_rows == EVN_U_COUNT, "a row for each state of a unit");

/* ------------------------------------------------------------------------------------------------ places */

static bool applies(const row *of, const evn_rig *r, bool charging)
{
    return (!of->applies || of->applies(r)) && (!of->of_charging || charging);
}

static evn_states places_of(const evn_rig *r, bool charging)
{
    evn_states s = {.rig = r};
    for (size_t k = 0; k < EVN_Y_COUNT; k++) {
        s.at[k] = applies(&rows[k], r, charging) ? s.count++ : EVN_Y_MOST;
        if (s.at[k] < EVN_Y_MOST)
            s.truck[s.trucks++] = (evn_truck_state){s.at[k], k, rows[k].line, rows[k].rate};
    }
    for (size_t u = 0; u < r->unit_count; u++) {
        const evn_node_row *nodes;
        s.nodes_at[u] = s.count;
        s.unit_at[u] = s.count + evn_unit_nodes(&r->unit[u], &nodes);
        s.count = s.unit_at[u] + EVN_U_COUNT;
    }
    s.consumers_at = s.count;
    s.count += r->loads.consumer_count;
    evn_axle_brakes_place(&s);
    return s;
}

evn_states evn_states_of(const evn_rig *r) { return places_of(r, false); }
evn_states evn_states_of_charging(const evn_rig *r) { return places_of(r, true); }

/* What went through the pack at its terminals, about: drawn and given back. */
double evn_states_energy_share(const double *y)
{
    static const double WHOLE_J = 1e7, LEAST = 1e-3;
    double moved_j = fmax(2 * y[EVN_Y_DRAWN] - y[EVN_Y_TERMINAL], y[EVN_Y_DRAWN]);
    return fmin(fmax(moved_j / WHOLE_J, LEAST), 1);
}

static bool is_energy(const row *of) { return strcmp(of->unit, "J") == 0; }

void evn_states_tolerance(const evn_states *s, double accuracy, double energy_share, double tolerance[])
{
    double energy_j = accuracy * energy_share * ENERGY_J;
    for (size_t k = 0; k < EVN_Y_COUNT; k++)
        if (s->at[k] < EVN_Y_MOST)
            tolerance[s->at[k]] = is_energy(&rows[k]) ? energy_j : accuracy * rows[k].scale;
    tolerance[EVN_Y_CHARGE] *= s->rig->pack.capacity_as * energy_share;
    for (size_t u = 0; u < s->rig->unit_count; u++) {
        const evn_node_row *nodes;
        size_t count = evn_unit_nodes(&s->rig->unit[u], &nodes);
        for (size_t k = 0; k < count; k++)
            tolerance[s->nodes_at[u] + k] = accuracy * nodes[k].scale_k;
        for (size_t k = 0; k < EVN_U_COUNT; k++)
            tolerance[s->unit_at[u] + k] = energy_j;
    }
    evn_axle_brakes_tolerance(s, accuracy, energy_j, tolerance);
    for (size_t k = 0; k < s->rig->loads.consumer_count; k++)
        tolerance[s->consumers_at + k] = energy_j;
}

void evn_states_aside(const evn_states *s, bool aside[])
{
    memset(aside, 0, s->count * sizeof *aside); /* so the temperatures, and what axles brake */
    for (size_t k = 0; k < s->trucks; k++)
        aside[s->truck[k].at] = rows[s->truck[k].row].aside;
    for (size_t u = 0; u < s->rig->unit_count; u++)
        for (size_t k = 0; k < EVN_U_COUNT; k++)
            aside[s->unit_at[u] + k] = true;
    for (size_t k = 0; k < s->rig->loads.consumer_count; k++)
        aside[s->consumers_at + k] = true;
}

void evn_states_start(const evn_states *s, double y[])
{
    memset(y, 0, s->count * sizeof *y); /* so begin the energies of units */
    for (size_t k = 0; k < s->trucks; k++)
        y[s->truck[k].at] = rows[s->truck[k].row].start;
    if (has_loop(s->rig))
        y[s->at[EVN_Y_COOLANT]] = s->rig->cooling.start_degc;
    if (has_battery_heat(s->rig))
        y[s->at[EVN_Y_BATTERY]] = s->rig->pack.start_degc;
    if (has_tyre_warmth(s->rig))
        y[s->at[EVN_Y_TYRES]] = evn_tyre_start_degc(&s->rig->tyres);
    for (size_t u = 0; u < s->rig->unit_count; u++)
        evn_unit_start_degc(&s->rig->unit[u], y + s->nodes_at[u]);
    evn_axle_brakes_start(s, y);
}

/* Counted from the beginning of each run. */
static bool begins_anew(size_t k) { return is_energy(&rows[k]) || k == EVN_Y_PLACE || k == EVN_Y_SPEED; }

void evn_states_carry(const evn_states *from, const double *y, const evn_states *to, double *then)
{
    for (size_t k = 0; k < EVN_Y_COUNT; k++)
        if (!begins_anew(k) && from->at[k] < EVN_Y_MOST && to->at[k] < EVN_Y_MOST)
            then[to->at[k]] = y[from->at[k]];
    for (size_t u = 0; u < to->rig->unit_count; u++) {
        const evn_node_row *nodes;
        size_t count = evn_unit_nodes(&to->rig->unit[u], &nodes);
        memcpy(then + to->nodes_at[u], y + from->nodes_at[u], count * sizeof *then);
    }
    evn_axle_brakes_carry(from, y, to, then);
}

double evn_states_line_j(const evn_states *s, const double *y, int line)
{
    for (size_t k = 0; k < s->trucks; k++)
        if (rows[s->truck[k].row].line == line)
            return y[s->truck[k].at];
    return 0;
}

double evn_states_unit_line_j(const evn_states *s, const double *y, size_t unit, int line)
{
    for (size_t k = 0; k < EVN_U_COUNT; k++)
        if (unit_rows[k].line == line)
            return y[s->unit_at[unit] + k];
    return 0;
}

static const char *name_of_unit(const evn_states *s, size_t unit, size_t at, char out[EVN_STATE_NAME_BYTES])
{
    const evn_node_row *nodes;
    size_t node = at - s->nodes_at[unit];
    const char *name = s->rig->unit[unit].name;
    if (node < evn_unit_nodes(&s->rig->unit[unit], &nodes))
        snprintf(out, EVN_STATE_NAME_BYTES, "%.60s.%s, degC", name, nodes[node].name);
    else
        snprintf(out, EVN_STATE_NAME_BYTES, "%.60s.%s, J", name, unit_rows[at - s->unit_at[unit]].name);
    return out;
}

const char *evn_states_name(const evn_states *s, size_t at, char out[EVN_STATE_NAME_BYTES])
{
    if (at >= s->consumers_at && at < s->consumers_at + s->rig->loads.consumer_count) {
        snprintf(out, EVN_STATE_NAME_BYTES, "auxiliaries.%.60s, J", s->rig->loads.consumer[at - s->consumers_at].name);
        return out;
    }
    if (evn_axle_brakes_name(s, at, out))
        return out;
    for (size_t u = s->rig->unit_count; u-- > 0;)
        if (at >= s->nodes_at[u])
            return name_of_unit(s, u, at, out);
    out[0] = '\0';
    for (size_t k = 0; k < EVN_Y_COUNT; k++)
        if (s->at[k] == at)
            snprintf(out, EVN_STATE_NAME_BYTES, "%s, %s", rows[k].name, rows[k].unit);
    return out;
}

/* ------------------------------------------------------------------------------------------------ right-hand side */

static void unit_rates(const evn_states *s, const evn_instant *is, const double *y, size_t unit, double *dy)
{
    const evn_flow *own = &is->unit_flow[unit];
    double *of_unit = dy + s->unit_at[unit];
    evn_unit_heat_rates(&s->rig->unit[unit], evn_states_degc(s, y, unit), is->pull.at.coolant_degc, own,
                        dy + s->nodes_at[unit]);
    evn_unit_oil_rates(&s->rig->unit[unit], evn_states_degc(s, y, unit), s->rig->ambient_degc, is->pull.at.speed_m_s,
                       own, dy + s->nodes_at[unit]);
    of_unit[EVN_U_BUS] = is->unit_bus_w[unit];
    for (size_t k = EVN_U_BUS + 1; k < EVN_U_COUNT; k++)
        of_unit[k] = own->w[unit_rows[k].line];
}

static void consumer_rates(const evn_states *s, const evn_instant *is, double *dy)
{
    const evn_loads *l = &s->rig->loads;
    evn_loads_now now = evn_beside_now(&is->pull.at);
    for (size_t k = 0; k < l->consumer_count; k++)
        dy[s->consumers_at + k] = evn_consumer_w(l, k, &now);
}

/* True: all are finite. Of those that are, large ones may overflow it. */
static bool sum_is_finite(const double *dy, size_t count)
{
    double sum = 0;
    for (size_t k = 0; k < count; k++)
        sum += dy[k];
    return isfinite(sum);
}

static bool all_finite(const double *dy, size_t count, size_t *first_lost)
{
    size_t k = 0;
    while (k < count && isfinite(dy[k]))
        k++;
    if (k < count)
        *first_lost = k;
    return k == count;
}

bool evn_trip_rate(double t, const double *y, double *dy, void *self)
{
    evn_trip *trip = self;
    const evn_states *s = &trip->states;
    const evn_instant *is = evn_instant_seen(trip, t, y);
    for (const evn_truck_state *k = s->truck, *end = k + s->trucks; k < end; k++)
        dy[k->at] = k->rate ? k->rate(trip, is) : is->flow.w[k->line];
    for (size_t u = 0; u < s->rig->unit_count; u++)
        unit_rates(s, is, y, u, dy);
    evn_axle_brakes_rates(s, is, y, dy);
    if (s->rig->loads.consumer_count > 0)
        consumer_rates(s, is, dy);
    return sum_is_finite(dy, s->count) || all_finite(dy, s->count, &trip->lost_state);
}
