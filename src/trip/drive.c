/* The loop, whole: go to the earliest known time or event; run every rule that is due; restart. */
#include "trip/drive.h"
#include "core/units.h"
#include "trip/account.h"
#include "trip/acts.h"
#include "trip/axle_brakes.h"
#include "trip/carried.h"
#include "trip/collective.h"
#include "trip/endure.h"
#include "trip/foresight.h"
#include "trip/kinetic.h"
#include "trip/passed.h"
#include "trip/refusal.h"
#include "trip/results.h"
#include "trip/rules.h"
#include "trip/standing.h"
#include "trip/takeoff_work.h"
#include "trip/trace.h"
#include <math.h>
#include <stdlib.h>
#include <string.h>

static void emit_row(const evn_trip *trip)
{
    double row[EVN_TRACE_MOST];
    const evn_watch *w = trip->watch;
    if (!w || w->samplers == 0)
        return;
    size_t columns = evn_trace_column_count(trip->rig);
    evn_trace_row(trip, trip->t, trip->y, row);
    for (size_t k = 0; k < w->samplers; k++)
        w->sampler[k].sample(w->sampler[k].self, row, columns);
}

static bool interrupted(evn_trip *trip)
{
    evn_say(trip->report, EVN_FAULT_INTERRUPTED, evn_nowhere, evn_nowhere, "interrupted at %.3f km, %.1f s",
            trip->y[EVN_Y_PLACE] / 1000, trip->t);
    evn_act_end(trip, EVN_STATUS_INTERRUPTED);
    return true;
}

static bool gave_up(evn_trip *trip)
{
    char name[EVN_STATE_NAME_BYTES] = "";
    if (trip->lost_state < EVN_Y_MOST)
        evn_states_name(&trip->states, trip->lost_state, name);
    evn_say(trip->report, EVN_FAULT_SOLVER_GAVE_UP, evn_nowhere, evn_nowhere,
            "the integrator stopped at %.6f s, %.6f km: %s%s%s", trip->t, trip->y[EVN_Y_PLACE] / 1000,
            trip->kind->why(trip->solver), name[0] ? "; the first that was not finite was the rate of " : "", name);
    return false;
}

/* Integrates to the next known time or event; `hit` tells which watches fell. False: no way on. */
static bool go(evn_trip *trip, uint64_t *hit)
{
    double until = evn_rules_next_time(trip);
    *hit = 0;
    if (until <= trip->t + 1e-9) { /* too close for any integrator: the same instant */
        trip->t = fmax(until, trip->t);
        return true;
    }
    switch (trip->kind->go(trip->solver, until, &trip->t, trip->y, hit)) {
    case EVN_REACHED_TIME:
    case EVN_REACHED_EVENT:
        return true;
    case EVN_STOPPED:
        return trip->headway.lost ? evn_rules_no_headway(trip) : interrupted(trip);
    case EVN_GAVE_UP:
        break;
    }
    return gave_up(trip);
}

/* Held off its plan, a truck may leave the band around a trace and be back within seconds: steps must not pass over
 * that. */
static double longest_step_s(const evn_trip *trip)
{
    bool judged = trip->course->trace_count > 0 && trip->motion == EVN_MOVING && trip->law != EVN_PRESCRIBED;
    return judged ? 0.5 : (double)INFINITY;
}

static void start_again(evn_trip *trip)
{
    double tolerance[EVN_Y_MOST], accuracy = trip->driving.accuracy;
    double share = evn_states_energy_share(trip->y);
    evn_states_tolerance(&trip->states, accuracy, share, tolerance);
    /* the first step is of order one: its error goes with its square */
    trip->watched = evn_rules_watched(trip);
    evn_pace pace = {trip->watched, tolerance, sqrt(accuracy * share), longest_step_s(trip)};
    trip->kind->restart(trip->solver, trip->t, trip->y, &pace);
}

static bool run(evn_trip *trip)
{
    uint64_t hit = 0;
    bool restart = true;
    evn_act_begin(trip);
    trip->start_kinetic_j = evn_trip_kinetic_j(trip);
    trip->start_height_m = evn_road_height_m(&trip->course->road[0], trip->course->begin_m);
    while (trip->motion != EVN_ENDED) {
        if (!evn_rules_run(trip, hit, &restart))
            return false;
        if (trip->motion == EVN_ENDED)
            break;
        if (restart) {
            emit_row(trip); /* after the event */
            start_again(trip);
            evn_account_restart(trip);
        }
        restart = false;
        if (!go(trip, &hit))
            return false;
        if (trip->motion != EVN_ENDED)
            emit_row(trip); /* before it */
    }
    evn_account_close(trip);
    return true;
}

/* An accuracy of 0.001, the coarsest, leaves about a hundredth of this open. */
static const double OPEN_MOST = 0.01;

static evn_status finish(evn_trip *trip, evn_results **out)
{
    double balance_error = 0;
    *out = evn_results_of(trip);
    if (*out && evn_results_get(*out, "balance_error", &balance_error) && balance_error > OPEN_MOST)
        evn_say(
            trip->report, EVN_FAULT_OPEN_BALANCE, evn_nowhere, evn_nowhere,
            "the energy balance of %s is open by %.2g of what went through the battery; expected at most %g; a smaller "
            "accuracy may close it",
            trip->rig->truck_name, balance_error, OPEN_MOST);
    if (!*out)
        evn_say(trip->report, EVN_FAULT_OUT_OF_MEMORY, evn_nowhere, evn_nowhere, "memory ran out over the results");
    return evn_report_status(trip->report);
}

static void watch_fits(const evn_watch *watch, const evn_rig *rig, evn_report *report)
{
    if (watch && watch->collective && !evn_collective_is_of(watch->collective, rig))
        evn_say(report, EVN_FAULT_USAGE, evn_nowhere, evn_nowhere,
                "a load collective of another rig than the one that is driven; expected one made for it");
    for (size_t k = 0; watch && k < watch->samplers; k++) {
        if (!watch->sampler[k].sample)
            evn_say(report, EVN_FAULT_USAGE, evn_nowhere, evn_nowhere, "rows of a run for nobody; expected a sampler");
        if (!(watch->sampler[k].interval_s >= 0.001 && watch->sampler[k].interval_s <= 86400))
            evn_say(report, EVN_FAULT_OUT_OF_RANGE, evn_nowhere, evn_nowhere,
                    "rows of a run every %g s; expected 0.001 to 86400", watch->sampler[k].interval_s);
    }
}

/* A trip with a place for the next instant of each sampler behind it. NULL: memory ran out. */
static evn_trip *trip_for(const evn_watch *watch)
{
    size_t samplers = watch ? watch->samplers : 0;
    return calloc(1, sizeof(evn_trip) + samplers * sizeof(double));
}

static void begin_samplers(evn_trip *trip)
{
    const evn_watch *w = trip->watch;
    trip->next_sample_s = (double *)(trip + 1);
    if (w && w->collective)
        evn_collective_begin(w->collective);
    for (size_t k = 0; w && k < w->samplers; k++) {
        trip->next_sample_s[k] = w->sampler[k].interval_s;
        if (w->sampler[k].begin)
            w->sampler[k].begin(w->sampler[k].self);
    }
}

/*
 * Rolling resistance loads the axles, which changes it again. Beyond what any ground shows that would turn the sign of
 * the motion: a truck that rolls by its own resistance.
 */
static bool rolling_fits(const evn_rig *r, const evn_course *course, evn_report *report)
{
    static const double MOST = 0.5; /* the bound of the coefficient itself */
    double factor = 0, fastest2 = 0;
    for (size_t k = 0; k < course->road_count; k++)
        factor = fmax(factor, course->road[k].rolling_factor);
    factor *= evn_tyre_factor(&r->tyres, evn_tyre_most_below_k(&r->tyres));
    for (size_t k = 0; k < course->plan_count; k++)
        fastest2 = fmax(fastest2, fmax(course->plan[k].v2_begin, course->plan[k].v2_end));
    for (size_t k = 0; k < r->axle_count; k++) {
        double coefficient = factor * (r->axle[k].rolling + r->axle[k].rolling_s_m * sqrt(fastest2));
        if (coefficient <= MOST)
            continue;
        evn_say(report, EVN_FAULT_OUT_OF_RANGE, evn_nowhere, evn_nowhere,
                "%s: axle %s would roll with a coefficient of %.3g on a surface of %g; expected at most %g",
                r->truck_name, r->axle[k].name, coefficient, factor, MOST);
        return false;
    }
    return true;
}

evn_status evn_drive_course(const evn_rig *rig, const evn_course *course, const evn_driving *driving,
                            const evn_watch *watch, const evn_solver_kind *kind, evn_results **out, evn_report *report)
{
    return evn_drive_phase(rig, course, driving, watch, kind, &(evn_phase_ask){NULL, NULL}, out, report);
}

evn_status evn_drive_phase(const evn_rig *rig, const evn_course *course, const evn_driving *driving,
                           const evn_watch *watch, const evn_solver_kind *kind, const evn_phase_ask *ask,
                           evn_results **out, evn_report *report)
{
    *out = NULL;
    size_t before = evn_report_errors(report);
    evn_driving_fits(driving, report);
    watch_fits(watch, rig, report);
    rolling_fits(rig, course, report);
    evn_takeoff_work_fits(rig, course, report);
    if (evn_report_errors(report) > before)
        return evn_report_status(report);
    bool charges = ask->standing && ask->standing->charges;
    evn_states states = charges ? evn_states_of_charging(rig) : evn_states_of(rig);
    double tolerance[EVN_Y_MOST];
    evn_last last = {.there = false};
    bool aside[EVN_Y_MOST];
    evn_trip *trip = trip_for(watch);
    evn_foresight *foresight = evn_foresight_new();
    evn_status status;
    evn_states_aside(&states, aside);
    evn_states_tolerance(&states, driving->accuracy, 1, tolerance);
    evn_system system = {states.count,   evn_rules_count,     driving->accuracy, tolerance, evn_trip_rate,
                         evn_trip_watch, evn_trip_watch_some, evn_trip_step,     trip,      aside};
    if (trip)
        *trip = (evn_trip){.rig = rig,
                           .states = states,
                           .lost_state = EVN_Y_MOST,
                           .last = &last,
                           .foresight = foresight,
                           .course = course,
                           .driving = *driving,
                           .report = report,
                           .watch = watch,
                           .standing = ask->standing,
                           .carried = ask->carried,
                           .kind = kind,
                           .solver = kind->create(&system)};
    if (!trip || !foresight || !trip->solver) {
        evn_say(report, EVN_FAULT_OUT_OF_MEMORY, evn_nowhere, evn_nowhere, "memory ran out setting up the run");
        if (trip && trip->solver)
            kind->drop(trip->solver);
        status = evn_report_status(report);
    } else {
        begin_samplers(trip);
        bool through = run(trip);
        evn_passed_say(trip);
        evn_endure_say(trip);
        evn_refusal_say(trip, evn_axle_brakes_peak_degc(trip));
        status = through ? finish(trip, out) : evn_report_status(report);
        if (ask->carried)
            evn_carried_leave(trip, ask->carried);
        kind->drop(trip->solver);
    }
    evn_foresight_free(foresight);
    free(trip);
    return status;
}

evn_course *evn_drive_course_of(const evn_rig *rig, const evn_cycle_file *cycle, const evn_driving *driving,
                                const evn_ceiling *ceiling, evn_report *report)
{
    return evn_drive_course_along(rig, cycle, false, driving, ceiling, report);
}

evn_course *evn_drive_course_along(const evn_rig *rig, const evn_cycle_file *cycle, bool reversed,
                                   const evn_driving *driving, const evn_ceiling *ceiling, evn_report *report)
{
    evn_course_ask how = {driving->comfort_acceleration_m_s2, driving->comfort_braking_m_s2, rig->top_speed_m_s,
                          (size_t)driving->surface};
    how.reversed = reversed;
    if (driving->endurance == EVN_ENDURANCE_SET_SPEED)
        how.descent_m_s = driving->endurance_speed_km_h * EVN_M_S_PER_KM_H;
    how.descent_tangent = driving->endurance_from_percent / 100;
    evn_course *course = evn_course_prepare(cycle, &how, report);
    if (course && ceiling && !evn_course_lower(course, ceiling, report)) {
        evn_course_free(course);
        return NULL;
    }
    if (course)
        evn_takeoff_work_of_truck(rig, cycle->stops && cycle->stops->takeoff_kw.count > 0, course);
    return course;
}
