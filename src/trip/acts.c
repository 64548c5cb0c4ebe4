/* Jumps of the discrete state: limits reached and left, rest and launch, ends of stretches, the beginning. */
#include "trip/acts.h"
#include "pull/prices.h"
#include "trip/axle_brakes.h"
#include "trip/carried.h"
#include "trip/catch_up.h"
#include "trip/changes.h"
#include "trip/held_speed.h"
#include "trip/hottest.h"
#include "trip/kinetic.h"
#include "trip/laws.h"
#include "trip/made_up.h"
#include "trip/moment.h"
#include "trip/prescribe.h"
#include "trip/resting.h"
#include "trip/stall.h"
#include "trip/stance.h"
#include "trip/standing.h"
#include "trip/takeoff_work.h"
#include <math.h>

/* ------------------------------------------------------------------------------------------------ limits */

void evn_act_pull_limit(evn_trip *trip, evn_limit limit)
{
    if (limit != EVN_BY_PACK && evn_act_all_hands(trip, true))
        return;
    if (trip->law == EVN_PRESCRIBED)
        evn_set_free(trip);
    trip->pull = limit;
    evn_set_sides(trip);
}

void evn_act_push_limit(evn_trip *trip, evn_limit limit)
{
    if (limit != EVN_BY_PACK && evn_act_all_hands(trip, false))
        return;
    trip->push = limit;
    evn_set_sides(trip);
}

void evn_act_leave_pull(evn_trip *trip)
{
    trip->pull = EVN_FREE;
    if (trip->law == EVN_HALTING)
        evn_catch_up_unheld(trip);
}

void evn_act_leave_push(evn_trip *trip) { trip->push = EVN_FREE; }

/* Met from below; where a plan that falls away is met from above, the brakes take the difference. */
void evn_act_rejoin(evn_trip *trip)
{
    double before_j = evn_trip_kinetic_j(trip);
    trip->pull = EVN_FREE;
    evn_follow_plan(trip);
    double taken_j = fmax(before_j - evn_trip_kinetic_j(trip), 0);
    trip->lump_j[EVN_FRICTION_BRAKES] += taken_j;
    evn_axle_brakes_lump(trip, taken_j);
}

/* ------------------------------------------------------------------------------------------------ rest and launch */

void evn_act_end(evn_trip *trip, int status)
{
    evn_takeoff_work_ends(trip);
    trip->status = status;
    trip->motion = EVN_ENDED;
}

/* At rest: what a change under way had still to do is done at once, and no limit binds. */
static void stand(evn_trip *trip, double wait_s)
{
    trip->y[EVN_Y_SPEED] = 0;
    for (size_t u = 0; u < trip->rig->unit_count; u++)
        if (trip->box[u].shifting)
            evn_engage(trip, u);
        else if (trip->box[u].closing)
            evn_take_setting(trip, u, trip->box[u].next); /* at rest: nothing to speed up */
    evn_drop_candidate(trip);
    evn_foresee_anew(trip); /* once it moves off */
    trip->pull = trip->push = EVN_FREE;
    trip->motion = EVN_STANDING;
    trip->wait_until_s = trip->t + wait_s;
    evn_resting_stand(trip, wait_s);
    evn_step_onto_road(trip);
    evn_stance_set(trip, 0);
}

static void cannot_start(evn_trip *trip)
{
    evn_stall_say(trip);
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
        setting[unit] = evn_heat_allows(trip, unit, evn_all_engaged(u, k));
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
        setting[u] = evn_heat_allows(trip, u, evn_all_engaged(&trip->rig->unit[u], 0));
    for (size_t k = 0; k < (count > 1 ? 2 * count : 1); k++)
        moves = choose_launch_gear(trip, k % count, setting, accel_m_s2);
    return moves;
}

static void launch(evn_trip *trip)
{
    const evn_plan_stretch *p = evn_plan_now(trip);
    evn_setting setting[EVN_UNITS_MAX];
    double accel = p->accel_m_s2 > 0 ? p->accel_m_s2 : trip->driving.comfort_acceleration_m_s2;
    if (!choose_launch(trip, setting, accel)) {
        cannot_start(trip);
        return;
    }
    evn_takeoff_work_ends(trip);
    for (size_t u = 0; u < trip->rig->unit_count; u++) {
        evn_resting_ends(trip, u);
        evn_take_setting(trip, u, setting[u]);
    }
    trip->motion = EVN_MOVING;
    bool at_begin = trip->y[EVN_Y_PLACE] <= p->begin_m;
    evn_find_stop(trip);
    trip->ahead_m = fmin(1, 0.5 * (p->end_m - trip->y[EVN_Y_PLACE]));
    trip->law = EVN_FOLLOWING;
    if (evn_is_exact(trip) && at_begin)
        evn_follow_plan(trip);
    else if (!at_begin) /* below a plan that may be slowing down: catching up looks ahead and does not come to rest
                           again */
        evn_act_catch_up(trip);
    evn_set_sides(trip);
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
    stand(trip, last ? trip->course->final_wait_s : evn_plan_now(trip)->wait_s);
    evn_takeoff_work_begin(trip, last ? trip->course->final_takeoff : evn_plan_now(trip)->takeoff);
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
    if (evn_plan_now(trip)->v2_end <= 0 && evn_plan_now(trip)->end_m - trip->y[EVN_Y_PLACE] < 1e-3) {
        trip->y[EVN_Y_PLACE] = evn_plan_now(trip)->end_m; /* at the stop, to a millimetre */
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
    const evn_plan_stretch *p = evn_plan_now(trip);
    trip->y[EVN_Y_PLACE] = p->end_m;
    trip->y[EVN_Y_SPEED] = sqrt(p->v2_end);
    if (p->v2_end <= 0) {
        arrive(trip);
    } else if (trip->plan_at + 1 == trip->course->plan_count) {
        evn_act_end(trip, EVN_STATUS_FINISHED);
    } else if (evn_is_exact(trip)) {
        trip->plan_at++;
        evn_follow_plan(trip);
    } else {
        evn_act_met(trip);
    }
}

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
    evn_set_road_end(trip);
}

/* ------------------------------------------------------------------------------------------------ the beginning */

/* A course may begin at speed: the cheapest setting of one unit, the others as they are; where none is slow enough for
 * its motors yet, the one in which they turn slowest. */
static void begin_setting(evn_trip *trip, size_t unit)
{
    const evn_unit *u = &trip->rig->unit[unit];
    evn_prices prices;
    evn_prices_now(trip, &prices);
    size_t best = 0;
    for (size_t k = 1; k < u->setting_count; k++) {
        bool higher = u->setting[k].gear > u->setting[best].gear && prices.w[unit][k] <= prices.w[unit][best];
        if (prices.w[unit][k] < prices.w[unit][best] || higher)
            best = k;
    }
    trip->box[unit].now = u->setting[best];
}

static void begin_moving(evn_trip *trip)
{
    trip->motion = EVN_MOVING;
    trip->y[EVN_Y_SPEED] = sqrt(evn_plan_now(trip)->v2_begin);
    trip->ahead_m = fmin(1, 0.5 * evn_plan_now(trip)->end_m);
    trip->law = EVN_FOLLOWING;
    if (evn_is_exact(trip))
        evn_follow_plan(trip);
    evn_find_stop(trip);
    evn_stance_set(trip, trip->y[EVN_Y_SPEED]);
    for (size_t k = 0; k < 2 * trip->rig->unit_count; k++)
        begin_setting(trip, k % trip->rig->unit_count);
    evn_set_sides(trip);
}

void evn_act_begin(evn_trip *trip)
{
    trip->stall_place_m = -(double)INFINITY;
    evn_hold_nothing(trip);
    evn_states_start(&trip->states, trip->y);
    trip->y[EVN_Y_PLACE] = trip->course->begin_m;
    for (size_t u = 0; u < trip->rig->unit_count; u++)
        trip->box[u] = (evn_box){.now = evn_all_engaged(&trip->rig->unit[u], 0)};
    if (trip->carried && trip->carried->there)
        evn_carried_take(trip, trip->carried);
    trip->start_soc = evn_trip_soc(trip, trip->y);
    evn_hottest_begin(trip);
    trip->peak_coolant_temperature_degc = evn_states_coolant_degc(&trip->states, trip->y);
    trip->peak_battery_degc =
        trip->rig->pack.heat.modelled ? evn_states_battery_degc(&trip->states, trip->y) : (double)NAN;
    evn_axle_brakes_begin(trip);
    trip->last_wait = trip->standing;
    if (trip->standing) {
        stand(trip, trip->standing->duration_s);
        evn_takeoff_work_begin(trip, evn_takeoff_ask_of(trip->rig, trip->standing));
    } else if (evn_plan_now(trip)->v2_begin > 0)
        begin_moving(trip);
    else
        stand(trip, evn_plan_now(trip)->wait_s);
    evn_made_up_begin(trip);
}
