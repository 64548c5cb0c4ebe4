/*
 * Changes of setting: gears, motors at work, the disconnect. The change of the rotors' speed, with its loss, is booked
 * in lumps.
 */
#include "trip/changes.h"
#include "trip/catch_up.h"
#include "trip/laws.h"
#include "trip/moment.h"
#include "trip/prescribe.h"
#include <math.h>

/* Speed at the wheel side of a unit's chain. */
static double chain_rad_s(const evn_trip *trip, size_t unit)
{
    return trip->y[EVN_Y_SPEED] * trip->rig->unit_rad_m[unit];
}

/* Charge that accounts for an energy taken at once at the open-circuit voltage: Newton's steps, of which the first is
 * right where the voltage is level, and each next one leaves the square of what was left. */
static double charge_of_as(const evn_pack *p, double soc, double energy_j)
{
    double charge_as = energy_j / evn_curve_at(&p->open_circuit_v, soc);
    for (int step = 0; step < 4; step++) {
        double then = soc - charge_as / p->capacity_as;
        double taken_j = p->capacity_as * evn_curve_integral(&p->open_circuit_v, then, soc);
        charge_as -= (taken_j - energy_j) / evn_curve_at(&p->open_circuit_v, then);
    }
    return charge_as;
}

/*
 * The motors bring their rotors to a new speed: that energy goes to or comes from the pack, less the share that is
 * lost. Booked without the pack's resistance loss. A pack takes no more than it has room for, and nothing where it may
 * not charge: the rest is lost too.
 */
static void book_synchronising(evn_trip *trip, size_t unit, double gain_j)
{
    double loss_j = trip->rig->unit[unit].synchronising_loss_share * fabs(gain_j), bus_j = gain_j + loss_j;
    double soc = evn_trip_soc(trip, trip->y), e = evn_curve_at(&trip->rig->pack.open_circuit_v, soc);
    double room_j = fmax(trip->rig->pack.usable_to - soc, 0) * trip->rig->pack.capacity_as * e;
    double most_j = evn_pack_charge_w(&trip->rig->pack, soc, e) > 0 ? room_j : 0;
    if (bus_j < -most_j) {
        loss_j -= bus_j + most_j;
        bus_j = -most_j;
    }
    trip->shifting_j[unit] += loss_j;
    trip->y[evn_states_unit(&trip->states, unit, EVN_U_BUS)] += bus_j;
    trip->y[EVN_Y_TERMINAL] += bus_j;
    trip->y[EVN_Y_DRAWN] += fmax(bus_j, 0);
    trip->y[EVN_Y_CHARGE] += charge_of_as(&trip->rig->pack, soc, bus_j);
}

/* Inertia of what goes on turning between two settings: below the disconnect where it opens or closes, else below the
 * gearbox. */
static double kept_kg_m2(const evn_unit *u, evn_setting from, evn_setting to)
{
    return evn_is_open(from) || evn_is_open(to) ? u->below_inertia_kg_m2 : u->path_inertia_kg_m2;
}

/* Energy of what turns beyond that with a setting, at the present speed. */
static double beyond_j(const evn_trip *trip, size_t unit, evn_setting s, double kept)
{
    double w = chain_rad_s(trip, unit);
    return evn_is_open(s) ? 0 : 0.5 * (evn_unit_inertia_kg_m2(&trip->rig->unit[unit], s) - kept) * w * w;
}

static void count_change(evn_trip *trip, size_t unit, evn_setting to)
{
    evn_box *box = &trip->box[unit];
    bool was_open = evn_is_open(box->now), is_open = evn_is_open(to);
    box->openings += !was_open && is_open;
    box->shifts += !was_open && !is_open && box->now.gear != to.gear;
    box->engagements += !was_open && !is_open && box->now.engaged != to.engaged;
    if (is_open && !was_open)
        box->open_since_s = trip->t;
    if (was_open && !is_open)
        box->open_s += trip->t - box->open_since_s;
}

static void begin_dwell(evn_trip *trip, size_t unit, evn_setting to)
{
    const evn_unit *u = &trip->rig->unit[unit];
    evn_box *box = &trip->box[unit];
    bool disconnect = evn_is_open(box->now) || evn_is_open(to), number = box->now.engaged != to.engaged;
    if (disconnect)
        box->dwell_until_s = trip->t + u->engage_dwell_s;
    else if (box->now.gear != to.gear || !number)
        box->dwell_until_s = trip->t + u->shift_dwell_s;
    if (disconnect || number)
        box->fewer_from_s = trip->t + u->engage_dwell_s;
}

void evn_drop_candidate(evn_trip *trip)
{
    trip->has_candidate = false;
    trip->y[EVN_Y_FORGONE] = 0;
}

void evn_take_setting(evn_trip *trip, size_t unit, evn_setting s)
{
    evn_box *box = &trip->box[unit];
    s = evn_heat_allows(trip, unit, s);
    count_change(trip, unit, s);
    begin_dwell(trip, unit, s);
    box->now = s;
    box->shifting = false;
    box->freed_j = 0;
    evn_drop_candidate(trip);
}

static void settle_gap(evn_trip *trip)
{
    evn_instant is;
    trip->push = EVN_FREE;
    trip->pull = EVN_BY_SHIFT;
    evn_instant_at(trip, trip->t, trip->y, &is);
    if (is.need_n <= is.limited.unit_n)
        evn_act_gap_pushes(trip);
    else
        evn_act_gap_pulls(trip);
}

/* Other units go on: their limits are found anew by the rules. */
static void settle_rest(evn_trip *trip)
{
    trip->pull = trip->push = EVN_FREE;
    if (trip->law == EVN_HALTING)
        evn_catch_up_unheld(trip);
    evn_set_sides(trip);
}

static double change_time_s(const evn_trip *trip, const evn_unit *u, evn_setting from, evn_setting to)
{
    if (evn_is_exact(trip) || evn_is_open(to))
        return 0;
    if (evn_is_open(from))
        return u->disconnect_time_s;
    return from.gear != to.gear ? u->shift_time_s : 0;
}

void evn_act_change(evn_trip *trip, size_t unit, evn_setting to)
{
    const evn_unit *u = &trip->rig->unit[unit];
    evn_box *box = &trip->box[unit];
    if (trip->law == EVN_PRESCRIBED) {
        trip->y[EVN_Y_SPEED] = evn_prescribed_speed(&trip->seg, trip->t);
        trip->y[EVN_Y_PLACE] = evn_prescribed_place(&trip->seg, trip->t);
    }
    double kept = kept_kg_m2(u, box->now, to), time_s = change_time_s(trip, u, box->now, to);
    if (time_s <= 0) {
        book_synchronising(trip, unit, beyond_j(trip, unit, to, kept) - beyond_j(trip, unit, box->now, kept));
        evn_take_setting(trip, unit, to);
        evn_set_sides(trip);
        return;
    }
    box->shifting = true;
    box->next = to;
    box->busy_until_s = trip->t + time_s;
    box->freed_j = beyond_j(trip, unit, box->now, kept);
    box->rotor_rad_s = evn_is_open(box->now) ? 0 : chain_rad_s(trip, unit) * u->gear[box->now.gear].total_ratio;
    evn_drop_candidate(trip);
    if (evn_connected_count(trip) == 0)
        settle_gap(trip);
    else
        settle_rest(trip);
}

/* What a change has set free is brought to its new speed. */
void evn_engage(evn_trip *trip, size_t unit)
{
    evn_box *box = &trip->box[unit];
    double kept = kept_kg_m2(&trip->rig->unit[unit], box->now, box->next);
    book_synchronising(trip, unit, beyond_j(trip, unit, box->next, kept) - box->freed_j);
    evn_take_setting(trip, unit, box->next);
}

/* The truck may have got too fast, while the change went on, for the gear that was chosen. */
static void raise_next(evn_trip *trip, size_t unit)
{
    const evn_unit *u = &trip->rig->unit[unit];
    evn_setting *next = &trip->box[unit].next;
    double w = chain_rad_s(trip, unit), top = evn_unit_top_rad_s(u);
    while (!evn_is_open(*next) && next->gear + 1u < u->gear_count && w * u->gear[next->gear].total_ratio > top)
        next->gear++;
}

void evn_act_change_ends(evn_trip *trip, size_t unit)
{
    if (trip->law == EVN_PRESCRIBED)
        trip->y[EVN_Y_SPEED] = evn_prescribed_speed(&trip->seg, trip->t);
    raise_next(trip, unit);
    evn_engage(trip, unit);
    settle_rest(trip);
}

void evn_prices_now(const evn_trip *trip, evn_prices *prices)
{
    evn_instant is;
    evn_instant_at(trip, trip->t, trip->y, &is);
    evn_instant_prices(&is, prices);
}

/* The gear in which closing a disconnect costs least now. False: the motors would turn too fast in any. */
static bool best_closed(const evn_trip *trip, size_t unit, evn_setting *best)
{
    const evn_unit *u = &trip->rig->unit[unit];
    double least = EVN_NEVER_W;
    evn_prices prices;
    evn_prices_now(trip, &prices);
    for (size_t k = 0; k < u->setting_count; k++)
        if (evn_has_all_engaged(u, u->setting[k]) && prices.w[unit][k] < least) {
            least = prices.w[unit][k];
            *best = u->setting[k];
        }
    return least < EVN_NEVER_W;
}

/*
 * Whether a disconnect closes for braking. Where regeneration fades there is nothing to win by it; and at the very
 * speed where the fade begins, which plans like to change at too (10 km/h), it stays open: the integrator's last digit
 * would decide otherwise.
 */
static bool closes_for_braking(const evn_trip *trip)
{
    static const double ABOVE_FADE_M_S = 0.05;
    return trip->y[EVN_Y_SPEED] > trip->rig->fade_from_m_s + ABOVE_FADE_M_S;
}

bool evn_act_all_hands(evn_trip *trip, bool pulling)
{
    bool done = false, busy = false;
    for (size_t k = 0; k < trip->rig->unit_count; k++) {
        const evn_unit *u = &trip->rig->unit[k];
        evn_setting now = trip->box[k].now;
        busy = busy || trip->box[k].shifting;
        if (!evn_connected(trip, k) || evn_has_all_engaged(u, now) || now.pulses_off)
            continue;
        evn_act_change(trip, k, evn_all_engaged(u, now.gear));
        done = true;
    }
    bool close = pulling || closes_for_braking(trip);
    for (size_t k = 0; close && !done && !busy && k < trip->rig->unit_count; k++) {
        evn_setting closed;
        if (evn_is_open(trip->box[k].now) && !evn_heat_holds(trip, k) && best_closed(trip, k, &closed)) {
            evn_act_change(trip, k, closed);
            return true;
        }
    }
    return done;
}

void evn_act_gap_pulls(evn_trip *trip)
{
    trip->push = EVN_FREE;
    trip->pull = EVN_BY_SHIFT;
    if (trip->law == EVN_PRESCRIBED)
        evn_set_free(trip);
}

void evn_act_gap_pushes(evn_trip *trip)
{
    trip->pull = EVN_FREE;
    trip->push = EVN_BY_SHIFT;
    if (trip->law == EVN_HALTING)
        evn_catch_up_unheld(trip);
}
