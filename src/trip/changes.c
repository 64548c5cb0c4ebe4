/*
 * Changes of setting: gears, motors at work, the disconnect (branches: branch_changes.c). The change of the rotors'
 * speed, with its loss, is booked in lumps.
 */
#include "trip/changes.h"
#include "pull/change_price.h"
#include "trip/branch_changes.h"
#include "trip/catch_up.h"
#include "trip/held_speed.h"
#include "trip/laws.h"
#include "trip/lumps.h"
#include "trip/moment.h"
#include "trip/prescribe.h"
#include <math.h>

/* Speed at the wheel side of a unit's chain. */
static double chain_rad_s(const evn_trip *trip, size_t unit)
{
    return trip->y[EVN_Y_SPEED] * evn_rig_setting_rad_m(trip->rig, unit, trip->box[unit].now);
}

/* Energy of what a change sets free with a setting, at the present speed. */
static double freed_j(const evn_trip *trip, size_t unit, evn_setting s, double kept)
{
    return evn_freed_j(trip->rig, unit, s, kept, trip->y[EVN_Y_SPEED]);
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
    evn_branches_count(trip, unit, to);
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
    if (box->now.open != to.open)
        box->dwell_until_s = fmax(box->dwell_until_s, trip->t + u->engage_dwell_s);
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
    box->shifting = box->closing = false;
    box->freed_j = 0;
    evn_act_hold_for_heat(trip);
    evn_drop_candidate(trip);
    evn_foresee_anew(trip);
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

static void take_branches(evn_trip *trip, size_t unit, evn_setting to)
{
    evn_branches_book(trip, unit, to);
    evn_take_setting(trip, unit, to);
}

/* Opens at once; closes in the time of the slowest, for a driver who is not exact, while the unit pulls on. */
static void change_branches(evn_trip *trip, size_t unit, evn_setting to)
{
    evn_box *box = &trip->box[unit];
    double time_s = evn_is_exact(trip) ? 0 : evn_branches_close_s(&trip->rig->unit[unit], box->now, to);
    if (time_s <= 0) {
        take_branches(trip, unit, to);
        evn_set_sides(trip);
        return;
    }
    box->closing = true;
    box->next = to;
    box->busy_until_s = trip->t + time_s;
    evn_drop_candidate(trip);
}

void evn_act_change(evn_trip *trip, size_t unit, evn_setting to)
{
    const evn_unit *u = &trip->rig->unit[unit];
    evn_box *box = &trip->box[unit];
    if (trip->law == EVN_PRESCRIBED) {
        trip->y[EVN_Y_SPEED] = evn_prescribed_speed(&trip->seg, trip->t);
        trip->y[EVN_Y_PLACE] = evn_prescribed_place(&trip->seg, trip->t);
    }
    if (box->now.open != to.open) {
        change_branches(trip, unit, to);
        return;
    }
    box->closing = false; /* a gear that cannot wait: what was closing stays open, and closes later */
    double kept = evn_kept_kg_m2(u, box->now, to), time_s = change_time_s(trip, u, box->now, to);
    if (time_s <= 0) {
        evn_book_synchronising(trip, unit, freed_j(trip, unit, to, kept) - freed_j(trip, unit, box->now, kept));
        evn_take_setting(trip, unit, to);
        evn_set_sides(trip);
        return;
    }
    box->shifting = true;
    box->next = to;
    box->busy_until_s = trip->t + time_s;
    box->freed_j = freed_j(trip, unit, box->now, kept);
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
    double kept = evn_kept_kg_m2(&trip->rig->unit[unit], box->now, box->next);
    evn_book_synchronising(trip, unit, freed_j(trip, unit, box->next, kept) - box->freed_j);
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

/* With branches closed, in the gear that it has: axles of other tyres bring the dividing point to another speed. */
static bool closed_is_too_fast(const evn_trip *trip, size_t unit, evn_setting closed)
{
    static const double NEAR_TOP = 0.98; /* as of any other setting (pull/prices.c) */
    const evn_unit *u = &trip->rig->unit[unit];
    double rad_s = trip->y[EVN_Y_SPEED] * evn_rig_setting_rad_m(trip->rig, unit, closed);
    return rad_s * u->gear[closed.gear].total_ratio > NEAR_TOP * evn_unit_top_rad_s(u);
}

void evn_act_change_ends(evn_trip *trip, size_t unit)
{
    if (trip->law == EVN_PRESCRIBED)
        trip->y[EVN_Y_SPEED] = evn_prescribed_speed(&trip->seg, trip->t);
    evn_box *box = &trip->box[unit];
    if (box->closing && closed_is_too_fast(trip, unit, box->next)) {
        box->closing = false; /* it has become too fast meanwhile, and stays open */
    } else if (box->closing) {
        take_branches(trip, unit, box->next);
    } else {
        raise_next(trip, unit);
        evn_engage(trip, unit);
    }
    settle_rest(trip);
}

bool evn_is_changing(const evn_box *box) { return box->shifting || box->closing; }

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
    for (size_t k = 0; k < u->setting_count; k++) {
        bool same_branches = u->setting[k].open == trip->box[unit].now.open;
        if (same_branches && evn_has_all_engaged(u, u->setting[k]) && prices.w[unit][k] < least) {
            least = prices.w[unit][k];
            *best = u->setting[k];
        }
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

/* Closes what is open of one unit: its disconnect, else its branches. False: nothing is, or its motors would turn too
 * fast. */
static bool close_one(evn_trip *trip, size_t unit)
{
    evn_setting now = trip->box[unit].now, closed = now;
    closed.open = 0;
    if (evn_heat_holds(trip, unit))
        return false;
    if (evn_is_open(now) ? !best_closed(trip, unit, &closed) : now.open == 0 || closed_is_too_fast(trip, unit, closed))
        return false;
    evn_act_change(trip, unit, closed);
    return true;
}

bool evn_act_all_hands(evn_trip *trip, bool pulling)
{
    bool done = false, busy = false;
    for (size_t k = 0; k < trip->rig->unit_count; k++) {
        const evn_unit *u = &trip->rig->unit[k];
        evn_setting all = trip->box[k].now;
        busy = busy || evn_is_changing(&trip->box[k]);
        if (!evn_connected(trip, k) || trip->box[k].closing || evn_has_all_engaged(u, all) || all.pulses_off)
            continue;
        all.engaged = evn_all_engaged(u, all.gear).engaged;
        evn_act_change(trip, k, all);
        done = true;
    }
    bool close = pulling || closes_for_braking(trip);
    for (size_t k = 0; close && !done && !busy && k < trip->rig->unit_count; k++)
        if (close_one(trip, k))
            return true;
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
