/*
 * Jumps of the discrete state. What jumps in energy is booked here, in lumps: the change of the rotors' speed at a gear
 * change, with its loss. Everything else is continuous across an event.
 */
#include "trip/acts.h"
#include "pull/prices.h"
#include "trip/kinetic.h"
#include "trip/laws.h"
#include "trip/moment.h"
#include <math.h>

static const evn_plan_stretch *plan_now(const evn_trip *trip) { return &trip->course->plan[trip->plan_at]; }

static bool exact(const evn_trip *trip) { return trip->driving.driver == EVN_DRIVER_EXACT; }

/* Speed at the wheel side of a unit's chain. */
static double chain_rad_s(const evn_trip *trip, size_t unit)
{
    return trip->y[EVN_Y_SPEED] * trip->rig->unit_rad_m[unit];
}

/* ------------------------------------------------------------------------------------------------ sides of corners */

static void set_sides(evn_trip *trip)
{
    evn_pull p = {.at = evn_trip_given(trip, trip->t, trip->y)};
    evn_pull_make(&p);
    for (size_t u = 0; u < trip->rig->unit_count; u++) {
        trip->base_passed[u] = evn_connected(trip, u) && evn_pull_past_base_rad_s(&p, u) > 0;
        trip->derating[u] = evn_unit_past_derating_k(&trip->rig->unit[u], p.at.unit[u].degc) > 0;
    }
    trip->fade_side = evn_fade_side(trip->rig, p.at.speed_m_s);
}

/* ------------------------------------------------------------------------------------------------ prescribed motion */

static void set_road_end(evn_trip *trip)
{
    const evn_road_stretch *road = &trip->course->road[trip->road_at];
    evn_prescribed *p = &trip->seg;
    double d = road->end_m - p->place_m, v2_end = p->speed_m_s * p->speed_m_s + 2 * p->accel_m_s2 * d;
    p->road_end_s = (double)INFINITY;
    if (road->end_m >= plan_now(trip)->end_m - 1e-9)
        return; /* the plan ends first, or at the same place */
    double reached = p->speed_m_s + sqrt(fmax(v2_end, 0));
    if (reached > 0)
        p->road_end_s = p->begin_s + 2 * d / reached;
}

/* A place within round-off of the end of a stretch of road is on the next one. */
static void step_onto_road(evn_trip *trip)
{
    while (trip->road_at + 1 < trip->course->road_count &&
           trip->y[EVN_Y_PLACE] >= trip->course->road[trip->road_at].end_m - 1e-9)
        trip->road_at++;
}

static void prescribe(evn_trip *trip, double speed_m_s, double accel_m_s2, double end_s)
{
    trip->law = EVN_PRESCRIBED;
    trip->y[EVN_Y_SPEED] = speed_m_s;
    trip->seg = (evn_prescribed){trip->t, trip->y[EVN_Y_PLACE], speed_m_s, accel_m_s2, end_s, (double)INFINITY};
    step_onto_road(trip);
    set_road_end(trip);
}

/* On the plan from here to the end of its stretch; onto a stop by the deceleration that the rest of the way needs. */
static void follow_plan(evn_trip *trip)
{
    while (plan_now(trip)->end_m - trip->y[EVN_Y_PLACE] <= 1e-9 && plan_now(trip)->v2_end > 0 &&
           trip->plan_at + 1 < trip->course->plan_count)
        trip->plan_at++; /* at the end of a stretch, to round-off: on the next one */
    const evn_plan_stretch *p = plan_now(trip);
    double rest = p->end_m - trip->y[EVN_Y_PLACE];
    if (rest <= 1e-9) {
        prescribe(trip, sqrt(p->v2_end), 0, trip->t);
        return;
    }
    double v0 = sqrt(evn_plan_v2(p, trip->y[EVN_Y_PLACE])), v1 = sqrt(p->v2_end);
    double a = (p->v2_end - v0 * v0) / (2 * rest);
    prescribe(trip, v0, a, trip->t + 2 * rest / (v0 + v1));
}

static void find_stop(evn_trip *trip)
{
    trip->stop_at = trip->plan_at;
    while (trip->stop_at < trip->course->plan_count && trip->course->plan[trip->stop_at].v2_end > 0)
        trip->stop_at++;
}

/* The last metres to a stop: by a known time. (A root on the distance is ill-posed where the speed vanishes.) */
static void begin_stop(evn_trip *trip)
{
    trip->plan_at = trip->stop_at;
    double rest = plan_now(trip)->end_m - trip->y[EVN_Y_PLACE], v = trip->y[EVN_Y_SPEED];
    if (rest <= 1e-9 || v <= 0) {
        prescribe(trip, 0, 0, trip->t);
        return;
    }
    prescribe(trip, v, -v * v / (2 * rest), trip->t + 2 * rest / v);
}

/* What was prescribed becomes free at its present speed and place. */
static void set_free(evn_trip *trip)
{
    trip->y[EVN_Y_SPEED] = evn_prescribed_speed(&trip->seg, trip->t);
    trip->y[EVN_Y_PLACE] = evn_prescribed_place(&trip->seg, trip->t);
    trip->law = exact(trip) ? EVN_CAPPED : EVN_HALTING;
    trip->at_edge = false;
}

/* ------------------------------------------------------------------------------------------------ changes of setting
 */

/*
 * The motors bring their rotors to a new speed: that energy goes to or comes from the pack, less the share that is
 * lost. Booked without the pack's resistance loss. A pack that may not charge takes nothing: then all of it is lost.
 */
static void book_synchronising(evn_trip *trip, size_t unit, double gain_j)
{
    double loss_j = trip->rig->unit[unit].synchronising_loss_share * fabs(gain_j), bus_j = gain_j + loss_j;
    double soc = evn_trip_soc(trip, trip->y), e = evn_curve_at(&trip->rig->pack.open_circuit_v, soc);
    if (bus_j < 0 && evn_pack_charge_w(&trip->rig->pack, soc, e) <= 0) {
        loss_j -= bus_j;
        bus_j = 0;
    }
    trip->shifting_j[unit] += loss_j;
    trip->y[evn_states_unit(&trip->states, unit, EVN_U_BUS)] += bus_j;
    trip->y[EVN_Y_TERMINAL] += bus_j;
    trip->y[EVN_Y_DRAWN] += fmax(bus_j, 0);
    /* at the open-circuit voltage half way, so that the charge accounts for this energy to the third order */
    double half_soc = 0.5 * bus_j / e / trip->rig->pack.capacity_as;
    trip->y[EVN_Y_CHARGE] += bus_j / evn_curve_at(&trip->rig->pack.open_circuit_v, soc - half_soc);
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

static void drop_candidate(evn_trip *trip)
{
    trip->has_candidate = false;
    trip->y[EVN_Y_FORGONE] = 0;
}

static void take_setting(evn_trip *trip, size_t unit, evn_setting s)
{
    evn_box *box = &trip->box[unit];
    count_change(trip, unit, s);
    begin_dwell(trip, unit, s);
    box->now = s;
    box->shifting = false;
    box->freed_j = 0;
    drop_candidate(trip);
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
        begin_stop(trip);
    set_sides(trip);
}

static double change_time_s(const evn_trip *trip, const evn_unit *u, evn_setting from, evn_setting to)
{
    if (exact(trip) || evn_is_open(to))
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
        take_setting(trip, unit, to);
        set_sides(trip);
        return;
    }
    box->shifting = true;
    box->next = to;
    box->busy_until_s = trip->t + time_s;
    box->freed_j = beyond_j(trip, unit, box->now, kept);
    box->rotor_rad_s = evn_is_open(box->now) ? 0 : chain_rad_s(trip, unit) * u->gear[box->now.gear].total_ratio;
    drop_candidate(trip);
    if (evn_connected_count(trip) == 0)
        settle_gap(trip);
    else
        settle_rest(trip);
}

/* What a change has set free is brought to its new speed. */
static void engage(evn_trip *trip, size_t unit)
{
    evn_box *box = &trip->box[unit];
    double kept = kept_kg_m2(&trip->rig->unit[unit], box->now, box->next);
    book_synchronising(trip, unit, beyond_j(trip, unit, box->next, kept) - box->freed_j);
    take_setting(trip, unit, box->next);
}

void evn_act_change_ends(evn_trip *trip, size_t unit)
{
    if (trip->law == EVN_PRESCRIBED)
        trip->y[EVN_Y_SPEED] = evn_prescribed_speed(&trip->seg, trip->t);
    engage(trip, unit);
    settle_rest(trip);
}

static void prices_now(const evn_trip *trip, evn_prices *prices)
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
    prices_now(trip, &prices);
    for (size_t k = 0; k < u->setting_count; k++)
        if (evn_has_all_engaged(u, u->setting[k]) && prices.w[unit][k] < least) {
            least = prices.w[unit][k];
            *best = u->setting[k];
        }
    return least < EVN_NEVER_W;
}

bool evn_act_all_hands(evn_trip *trip, bool pulling)
{
    bool done = false, busy = false;
    for (size_t k = 0; k < trip->rig->unit_count; k++) {
        const evn_unit *u = &trip->rig->unit[k];
        evn_setting now = trip->box[k].now;
        busy = busy || trip->box[k].shifting;
        if (!evn_connected(trip, k) || evn_has_all_engaged(u, now))
            continue;
        evn_act_change(trip, k, evn_all_engaged(u, now.gear));
        done = true;
    }
    bool close = pulling || evn_fade_side(trip->rig, trip->y[EVN_Y_SPEED]) == EVN_FADE_ABOVE;
    for (size_t k = 0; close && !done && !busy && k < trip->rig->unit_count; k++) {
        evn_setting closed;
        if (evn_is_open(trip->box[k].now) && best_closed(trip, k, &closed)) {
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
        set_free(trip);
}

void evn_act_gap_pushes(evn_trip *trip)
{
    trip->pull = EVN_FREE;
    trip->push = EVN_BY_SHIFT;
    if (trip->law == EVN_HALTING)
        begin_stop(trip);
}

/* ------------------------------------------------------------------------------------------------ limits */

void evn_act_pull_limit(evn_trip *trip, evn_limit limit)
{
    if (limit != EVN_BY_PACK && evn_act_all_hands(trip, true))
        return;
    if (trip->law == EVN_PRESCRIBED)
        set_free(trip);
    trip->pull = limit;
    set_sides(trip);
}

void evn_act_push_limit(evn_trip *trip, evn_limit limit)
{
    if (limit != EVN_BY_PACK && evn_act_all_hands(trip, false))
        return;
    trip->push = limit;
    set_sides(trip);
}

void evn_act_leave_pull(evn_trip *trip)
{
    trip->pull = EVN_FREE;
    if (trip->law == EVN_HALTING)
        begin_stop(trip);
}

void evn_act_leave_push(evn_trip *trip) { trip->push = EVN_FREE; }

void evn_act_stop_ahead(evn_trip *trip)
{
    trip->pull = evn_connected_count(trip) == 0 ? trip->pull : EVN_FREE;
    if (trip->pull == EVN_BY_SHIFT) { /* a pause that pulls less than wanted: the stop is prescribed once it is over */
        trip->plan_at = trip->stop_at;
        trip->law = EVN_HALTING;
        return;
    }
    begin_stop(trip);
}

void evn_act_catch_up(evn_trip *trip)
{
    trip->law = EVN_CAPPED;
    if (exact(trip))
        return;
    size_t seen = evn_plan_index(trip->course, evn_preview_m(trip, trip->y), trip->plan_at);
    trip->plan_at = seen < trip->stop_at ? seen : trip->stop_at; /* nobody looks past the next stop */
}

void evn_act_caught_up(evn_trip *trip)
{
    trip->law = EVN_FOLLOWING;
    trip->plan_at = evn_plan_index(trip->course, trip->y[EVN_Y_PLACE], trip->plan_at);
}

/* Met from below; where a plan that falls away is met from above, the brakes take the difference. */
void evn_act_rejoin(evn_trip *trip)
{
    double before_j = evn_trip_kinetic_j(trip);
    trip->pull = EVN_FREE;
    follow_plan(trip);
    trip->lump_j[EVN_FRICTION_BRAKES] += fmax(before_j - evn_trip_kinetic_j(trip), 0);
}

/* ------------------------------------------------------------------------------------------------ rest and launch */

void evn_act_end(evn_trip *trip, int status)
{
    trip->status = status;
    trip->motion = EVN_ENDED;
}

/* At rest: what a change under way had still to do is done at once, and no limit binds. */
static void stand(evn_trip *trip, double wait_s)
{
    trip->y[EVN_Y_SPEED] = 0;
    for (size_t u = 0; u < trip->rig->unit_count; u++)
        if (trip->box[u].shifting)
            engage(trip, u);
    drop_candidate(trip);
    trip->pull = trip->push = EVN_FREE;
    trip->motion = EVN_STANDING;
    trip->wait_until_s = trip->t + wait_s;
    step_onto_road(trip);
}

/* What derating leaves of the torque of the unit that has most, and its winding. */
static double most_torque_share(const evn_trip *trip, double *winding_degc)
{
    double most = -1;
    for (size_t u = 0; u < trip->rig->unit_count; u++) {
        const evn_unit *unit = &trip->rig->unit[u];
        const double *degc = evn_states_degc(&trip->states, trip->y, u);
        double left = evn_unit_torque_share(unit, degc);
        if (left > most) {
            most = left;
            *winding_degc = evn_unit_winding_degc(unit, degc);
        }
    }
    return most;
}

static void cannot_start(evn_trip *trip)
{
    const evn_road_stretch *road = &trip->course->road[trip->road_at];
    double tangent = road->tangent_begin + road->tangent_slope * (trip->y[EVN_Y_PLACE] - road->begin_m);
    double winding_degc = 0;
    if (most_torque_share(trip, &winding_degc) <= 0)
        evn_say(
            trip->report, EVN_FAULT_CANNOT_START, evn_nowhere, evn_nowhere,
            "%s cannot move off at %.3f km: the winding is at %.0f degC; expected below derate_to_degc, where torque "
            "ends; a lower load or better cooling would help",
            trip->rig->truck_name, trip->y[EVN_Y_PLACE] / 1000, winding_degc);
    else
        evn_say(
            trip->report, EVN_FAULT_CANNOT_START, evn_nowhere, evn_nowhere,
            "%s cannot move off at %.3f km on a grade of %.1f %%; expected a tyre force that holds and moves %.0f kg; "
            "a lower "
            "first gear, more motor torque or more load on the driven axle would help",
            trip->rig->truck_name, trip->y[EVN_Y_PLACE] / 1000, tangent * 100, trip->rig->mass_kg);
    evn_act_end(trip, EVN_STATUS_STALLED);
}

/* Of one unit, the gear that costs least at a walking pace among those that move the truck at all; the other units as
 * they are. False: none does. */
static bool choose_launch_gear(const evn_trip *trip, size_t unit, evn_setting setting[], double accel_m_s2)
{
    const evn_unit *u = &trip->rig->unit[unit];
    evn_setting best = setting[unit];
    double least = (double)INFINITY;
    for (size_t k = 0; k < u->gear_count; k++) {
        setting[unit] = evn_all_engaged(u, k);
        evn_given at = evn_trip_launch_given(trip, setting);
        if (evn_launch_accel_m_s2(&at) < 1e-3)
            continue;
        double cost = evn_launch_cost_w(&at, accel_m_s2);
        if (cost < least) {
            least = cost;
            best = setting[unit];
        }
    }
    setting[unit] = best;
    return isfinite(least);
}

/* All motors, each unit's gear in turn, twice: what one takes changes what is best for the other. */
static bool choose_launch(const evn_trip *trip, evn_setting setting[], double accel_m_s2)
{
    size_t count = trip->rig->unit_count;
    bool moves = false;
    for (size_t u = 0; u < count; u++)
        setting[u] = evn_all_engaged(&trip->rig->unit[u], 0);
    for (size_t k = 0; k < (count > 1 ? 2 * count : 1); k++)
        moves = choose_launch_gear(trip, k % count, setting, accel_m_s2);
    return moves;
}

static void launch(evn_trip *trip)
{
    const evn_plan_stretch *p = plan_now(trip);
    evn_setting setting[EVN_UNITS_MAX];
    double accel = p->accel_m_s2 > 0 ? p->accel_m_s2 : trip->driving.comfort_acceleration_m_s2;
    if (!choose_launch(trip, setting, accel)) {
        cannot_start(trip);
        return;
    }
    for (size_t u = 0; u < trip->rig->unit_count; u++)
        take_setting(trip, u, setting[u]);
    trip->motion = EVN_MOVING;
    bool at_begin = trip->y[EVN_Y_PLACE] <= p->begin_m;
    find_stop(trip);
    trip->ahead_m = fmin(1, 0.5 * (p->end_m - trip->y[EVN_Y_PLACE]));
    trip->law = EVN_FOLLOWING;
    if (exact(trip) && at_begin)
        follow_plan(trip);
    else if (!at_begin) /* below a plan that may be slowing down: catching up looks ahead and does not come to rest
                           again */
        evn_act_catch_up(trip);
    set_sides(trip);
}

void evn_act_wait_over(evn_trip *trip)
{
    if (trip->last_wait)
        evn_act_end(trip, EVN_STATUS_FINISHED);
    else
        launch(trip);
}

static void arrive(evn_trip *trip)
{
    bool last = trip->plan_at + 1 == trip->course->plan_count;
    trip->last_wait = last;
    trip->plan_at += !last;
    stand(trip, last ? trip->course->final_wait_s : plan_now(trip)->wait_s);
}

/* At rest unasked: held back too long, or in the pause of a gear change on a slope. The brakes hold; then it tries
 * again. */
void evn_act_come_to_rest(evn_trip *trip)
{
    enum { MOST_TRIES = 20 };
    bool again = trip->y[EVN_Y_PLACE] - trip->stall_place_m < 0.05;
    trip->stalls = again ? trip->stalls + 1 : 0;
    trip->stall_place_m = trip->y[EVN_Y_PLACE];
    trip->plan_at = evn_plan_index(trip->course, trip->y[EVN_Y_PLACE], trip->plan_at);
    if (plan_now(trip)->v2_end <= 0 && plan_now(trip)->end_m - trip->y[EVN_Y_PLACE] < 1e-3) {
        trip->y[EVN_Y_PLACE] = plan_now(trip)->end_m; /* at the stop, to a millimetre */
        arrive(trip);
        return;
    }
    stand(trip, 0);
    if (trip->stalls > MOST_TRIES)
        cannot_start(trip);
}

/* ------------------------------------------------------------------------------------------------ ends of stretches */

void evn_act_plan_end_prescribed(evn_trip *trip)
{
    const evn_plan_stretch *p = plan_now(trip);
    trip->y[EVN_Y_PLACE] = p->end_m;
    trip->y[EVN_Y_SPEED] = sqrt(p->v2_end);
    if (p->v2_end <= 0) {
        arrive(trip);
    } else if (trip->plan_at + 1 == trip->course->plan_count) {
        evn_act_end(trip, EVN_STATUS_FINISHED);
    } else {
        trip->plan_at++;
        follow_plan(trip);
    }
}

/* Not prescribed: the place aimed at passes the end of its stretch. */
void evn_act_plan_end(evn_trip *trip) { trip->plan_at++; }

void evn_act_road_end(evn_trip *trip)
{
    trip->y[EVN_Y_PLACE] = trip->course->road[trip->road_at].end_m;
    if (trip->road_at + 1 == trip->course->road_count) {
        evn_act_end(trip, EVN_STATUS_FINISHED);
        return;
    }
    trip->road_at++;
    if (trip->law != EVN_PRESCRIBED)
        return;
    trip->y[EVN_Y_SPEED] = evn_prescribed_speed(&trip->seg, trip->t);
    set_road_end(trip);
}

/* ------------------------------------------------------------------------------------------------ the beginning */

/* A course may begin at speed: the cheapest setting of one unit, the others as they are. */
static void begin_setting(evn_trip *trip, size_t unit)
{
    const evn_unit *u = &trip->rig->unit[unit];
    evn_prices prices;
    prices_now(trip, &prices);
    size_t best = 0;
    for (size_t k = 1; k < u->setting_count; k++)
        if (prices.w[unit][k] < prices.w[unit][best])
            best = k;
    trip->box[unit].now = u->setting[best];
}

static void begin_moving(evn_trip *trip)
{
    trip->motion = EVN_MOVING;
    trip->y[EVN_Y_SPEED] = sqrt(plan_now(trip)->v2_begin);
    trip->ahead_m = fmin(1, 0.5 * plan_now(trip)->end_m);
    trip->law = EVN_FOLLOWING;
    if (exact(trip))
        follow_plan(trip);
    find_stop(trip);
    for (size_t k = 0; k < 2 * trip->rig->unit_count; k++)
        begin_setting(trip, k % trip->rig->unit_count);
    set_sides(trip);
}

void evn_act_begin(evn_trip *trip)
{
    trip->stall_place_m = -(double)INFINITY;
    evn_states_start(&trip->states, trip->y);
    for (size_t u = 0; u < trip->rig->unit_count; u++) {
        const evn_unit *unit = &trip->rig->unit[u];
        trip->box[u] = (evn_box){.now = evn_all_engaged(unit, 0)};
        trip->peak_winding_degc[u] = evn_unit_winding_degc(unit, evn_states_degc(&trip->states, trip->y, u));
    }
    if (plan_now(trip)->v2_begin > 0)
        begin_moving(trip);
    else
        stand(trip, plan_now(trip)->wait_s);
}
