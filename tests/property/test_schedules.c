/*
 * Schedules of runs: the same however closely the run is integrated, and whatever the last digits of what is asked. A
 * few of the shipped runs; tools/schedules compares all of them.
 */
#include "../schedules/schedule.h"
#include "../unit/trip_probe.h"
#include "api/objects.h"
#include "pull/change_price.h"
#include "pull/prices.h"
#include "trip/moment.h"
#include "trip/prescribe.h"
#include "trip/trip.h"
#include <math.h>

#define TWO_UNITS "tests/trucks/plain/tipper-8x4-two-eaxles.yaml"
#define TWO_MOTORS "tests/vehicles/trucks/tractor-4x2-eaxle.yaml"
#define ECE "cycles/reference/ece-15.yaml"
#define TIPPER_BACK "cycles/scenarios/tipper-back.yaml"
#define TIPPER "tests/vehicles/trucks/tipper-8x4-central.yaml"

/* ------------------------------------------------------------------------------------------------ driving */

typedef struct trip_file {
    const char *truck, *cycle;
    evn_driver driver;
} trip_file;

typedef struct ready {
    evn_truck *truck;
    evn_cycle *cycle;
    evn_rig *rig;
    evn_report *report;
    evn_conditions ask;
} ready;

static ready get_ready(const trip_file *of)
{
    ready r = {load_truck(of->truck), load_cycle(of->cycle), NULL, evn_report_new(), evn_conditions_default()};
    r.ask.driving.driver = of->driver;
    ck_assert_ptr_nonnull(r.report);
    evn_rig_prepare(r.truck, &r.ask.load_case, &r.rig, r.report);
    ck_assert_msg(r.rig, "%s", first_finding(r.report));
    return r;
}

static void ready_end(ready *r)
{
    evn_rig_free(r->rig);
    evn_truck_free(r->truck);
    evn_cycle_free(r->cycle);
    evn_report_free(r->report);
}

static schedule driven(const ready *r, const evn_rig *rig, double accuracy)
{
    schedule s;
    evn_driving driving = r->ask.driving;
    driving.accuracy = accuracy;
    evn_course *course = evn_drive_course_of(rig, r->cycle->file, &driving, NULL, r->report);
    ck_assert_msg(course, "%s", first_finding(r->report));
    bool ok = schedule_drive(rig, course, &driving, &evn_cvode, &s, r->report);
    ck_assert_msg(ok, "%s", first_finding(r->report));
    evn_course_free(course);
    return s;
}

static void must_be_same(const trip_file *of, const char *what, const schedule *a, const schedule *b)
{
    char why[400] = "";
    ck_assert_msg(schedule_same(a, b, why, sizeof why), "%s on %s, %s: %s", of->truck, of->cycle, what, why);
}

/* ------------------------------------------------------------------------------------------------ accuracy */

static const char *const trucks[] = {
    "tests/vehicles/trucks/tractor-4x2-central.yaml", TWO_MOTORS, "tests/vehicles/trucks/rigid-6x2-two-eaxles.yaml",
    "tests/vehicles/trucks/tractor-6x4-central.yaml", "tests/vehicles/trucks/tipper-8x4-two-eaxles.yaml"};
static const char *const cycles[] = {ECE, HILL, TIPPER_BACK, "cycles/reference/j1376-cbd.yaml"};
enum {
    TRUCKS = sizeof trucks / sizeof *trucks,
    CYCLES = sizeof cycles / sizeof *cycles,
    DRIVERS = 2,
    TRIPS = TRUCKS * CYCLES * DRIVERS
};

static trip_file trip_at(int k)
{
    return (trip_file){trucks[k / DRIVERS / CYCLES], cycles[k / DRIVERS % CYCLES],
                       k % DRIVERS == 0 ? EVN_DRIVER_EXACT : EVN_DRIVER_HUMAN};
}

START_TEST(the_schedule_is_that_of_a_hundred_times_the_accuracy_and_does_not_hang_on_last_digits)
{
    trip_file of = trip_at(_i);
    ready r = get_ready(&of);
    evn_rig less_charged = *r.rig;
    less_charged.start_soc -= 1e-9;
    schedule usual = driven(&r, r.rig, 1e-6), close = driven(&r, r.rig, 1e-8), closer = driven(&r, r.rig, 0.9e-6),
             less = driven(&r, &less_charged, 1e-6);
    must_be_same(&of, "accuracy 1e-6 and 1e-8", &usual, &close);
    must_be_same(&of, "accuracy 1e-6 and 0.9e-6", &usual, &closer);
    must_be_same(&of, "a start_soc less by 1e-9", &usual, &less);
    schedule_free(&usual);
    schedule_free(&close);
    schedule_free(&closer);
    schedule_free(&less);
    ready_end(&r);
}
END_TEST

/* ------------------------------------------------------------------------------------------------ edges and ties */

/* The second unit is open when the plan begins to brake, at the very speed where regeneration begins to fade. */
START_TEST(a_fade_that_begins_at_a_speed_of_the_plan_decides_no_schedule)
{
    static const double off_m_s[] = {-1e-3, -1e-6, -1e-9, 1e-9, 1e-6, 1e-3};
    trip_file of = {TWO_UNITS, ECE, EVN_DRIVER_HUMAN};
    ready r = get_ready(&of);
    schedule stated = driven(&r, r.rig, 1e-6);
    ck_assert_double_eq_tol(r.rig->fade_from_m_s, 10 / 3.6, 1e-12);
    for (size_t k = 0; k < sizeof off_m_s / sizeof *off_m_s; k++) {
        evn_rig other = *r.rig;
        other.fade_from_m_s += off_m_s[k];
        schedule s = driven(&r, &other, 1e-6);
        must_be_same(&of, "another speed where the fade begins", &stated, &s);
        schedule_free(&s);
    }
    schedule_free(&stated);
    ready_end(&r);
}
END_TEST

/* The side of that edge: where the plan brakes from the speed where the fade begins, the open unit stays open, as from
 * below it; clearly above, it closes. */
START_TEST(a_unit_stays_open_for_braking_from_where_the_fade_begins)
{
    trip_file of = {TWO_UNITS, ECE, EVN_DRIVER_HUMAN};
    char why[400] = "";
    ready r = get_ready(&of);
    evn_rig from_below = *r.rig, from_above = *r.rig;
    from_below.fade_from_m_s += 0.1;
    from_above.fade_from_m_s -= 0.1;
    schedule stated = driven(&r, r.rig, 1e-6), below = driven(&r, &from_below, 1e-6),
             above = driven(&r, &from_above, 1e-6);
    must_be_same(&of, "a fade that begins 0.1 m/s further up", &stated, &below);
    ck_assert(!schedule_same(&stated, &above, why, sizeof why));
    schedule_free(&stated);
    schedule_free(&below);
    schedule_free(&above);
    ready_end(&r);
}
END_TEST

/* Endurance braking on a mountain road: what is held is looked at when friction brakes begin, and from time to time. */
START_TEST(what_is_held_downhill_does_not_hang_on_the_accuracy)
{
    static const double accuracies[] = {1e-5, 1e-6, 1e-7};
    trip_file of = {trucks[_i / DRIVERS], "cycles/scenarios/pass-road.yaml",
                    _i % DRIVERS == 0 ? EVN_DRIVER_EXACT : EVN_DRIVER_HUMAN};
    ready r = get_ready(&of);
    r.ask.driving.endurance = EVN_ENDURANCE_HOLDABLE;
    schedule close = driven(&r, r.rig, 1e-8);
    for (size_t k = 0; k < 3; k++) {
        schedule s = driven(&r, r.rig, accuracies[k]);
        must_be_same(&of, "held downhill", &s, &close);
        schedule_free(&s);
    }
    schedule_free(&close);
    ready_end(&r);
}
END_TEST

/* One motor or two in the higher gear cost the same for seconds. */
START_TEST(candidates_that_cost_the_same_do_not_replace_each_other_for_ever)
{
    trip_file of = {TWO_MOTORS, TIPPER_BACK, EVN_DRIVER_HUMAN};
    ready r = get_ready(&of);
    schedule close = driven(&r, r.rig, 1e-8);
    for (double accuracy = 1e-7; accuracy < 2e-4; accuracy *= 10) {
        schedule s = driven(&r, r.rig, accuracy);
        ck_assert_msg((double)s.events < 1.02 * (double)close.events, "%lu events at %g, %lu at 1e-8", s.events,
                      accuracy, close.events);
        schedule_free(&s);
    }
    schedule_free(&close);
    ready_end(&r);
}
END_TEST

/* On one stretch of 3.6 m, between two where he is not, the driver has caught up. */
START_TEST(the_plan_is_met_again_on_a_short_stretch_wherever_steps_end)
{
    static const double accuracy[] = {0.9e-6, 1.1e-6, 1e-8};
    trip_file of = {TIPPER, "cycles/scenarios/delivery-day.yaml", EVN_DRIVER_HUMAN};
    ready r = get_ready(&of);
    evn_rig rig = *r.rig; /* motors that never rest: so it was found */
    rig.unit[0].rest_after_s = (double)INFINITY;
    schedule usual = driven(&r, &rig, 1e-6);
    for (size_t k = 0; k < sizeof accuracy / sizeof *accuracy; k++) {
        schedule s = driven(&r, &rig, accuracy[k]);
        must_be_same(&of, "another accuracy", &usual, &s);
        ck_assert_uint_eq(s.events, usual.events);
        schedule_free(&s);
    }
    schedule_free(&usual);
    ready_end(&r);
}
END_TEST

/* 2 mph below the target speed for three hundredths of a second after each stop, where a stretch ends. */
START_TEST(the_time_below_target_speed_is_that_of_short_steps)
{
    evn_conditions ask = evn_conditions_default();
    ask.driving.driver = EVN_DRIVER_HUMAN;
    double at[2];
    for (int k = 0; k < 2; k++) {
        ask.driving.accuracy = k == 0 ? 1e-6 : 1e-12;
        drive run = drive_whole(TIPPER, "cycles/reference/j1376-cbd.yaml", &ask, NULL);
        at[k] = result(&run, "time_below_target_s");
        drive_end(&run);
    }
    ck_assert_double_eq_tol(at[0], at[1], 1e-3);
    ck_assert_double_gt(at[0], 0.1);
}
END_TEST

/* ------------------------------------------------------------------------------------------------ what is forgone */

/* What became of candidates where no setting changed. */
typedef struct candidates {
    unsigned kept, overtaken, gone; /* gone: another one, or none, begins at nothing */
} candidates;

/* CVODE, with a look at the candidate before the rules of an event and behind them. */
struct evn_solver {
    const evn_trip *trip;
    evn_system system;
    evn_solver *within;
    evn_trip before;
};

static evn_solver *watching_create(const evn_system *system)
{
    evn_solver *s = calloc(1, sizeof *s);
    ck_assert_ptr_nonnull(s);
    s->trip = system->self;
    s->within = evn_cvode.create(system);
    return s;
}

static bool same_candidate(const evn_trip *a, const evn_trip *b)
{
    return a->has_candidate == b->has_candidate && a->candidate_unit == b->candidate_unit &&
           evn_same_setting(a->candidate, b->candidate);
}

static bool same_settings(const evn_trip *a, const evn_trip *b)
{
    for (size_t u = 0; u < a->rig->unit_count; u++)
        if (!evn_same_setting(a->box[u].now, b->box[u].now) || a->box[u].shifting || b->box[u].shifting ||
            a->box[u].closing || b->box[u].closing)
            return false;
    return a->motion == EVN_MOVING && b->motion == EVN_MOVING;
}

/* What the candidate before the event costs now over the present setting, W: much, where its motors would overspeed. */
static double costs_more_w(const evn_trip *now, const evn_trip *before)
{
    const evn_unit *u = &now->rig->unit[before->candidate_unit];
    evn_instant is;
    evn_prices prices;
    size_t k = 0;
    evn_instant_at(now, now->t, now->y, &is);
    evn_instant_prices(&is, &prices);
    while (k + 1 < u->setting_count && !evn_same_setting(u->setting[k], before->candidate))
        k++;
    return prices.w[before->candidate_unit][k] - prices.now_w;
}

/* Of going to the candidate before the event, or to the one that took its place there, now. */
static double price_j(const evn_trip *now, const evn_trip *before)
{
    evn_instant is;
    evn_instant_at(now, now->t, now->y, &is);
    double was = evn_change_price_j(&is, before->candidate_unit, before->candidate, false);
    return now->has_candidate ? fmin(was, evn_change_price_j(&is, now->candidate_unit, now->candidate, false)) : was;
}

static void look_at_candidates(const evn_trip *before, const evn_trip *now, candidates *count)
{
    if (!before->has_candidate || !same_settings(before, now))
        return;
    double was_j = before->y[EVN_Y_FORGONE], is_j = now->y[EVN_Y_FORGONE];
    bool same = same_candidate(before, now), goes_on = is_j == was_j;
    count->kept += same;
    count->overtaken += !same && goes_on;
    count->gone += !same && !goes_on;
    if (evn_is_exact(now) && !goes_on && is_j == 0 && was_j > 0.999 * price_j(now, before))
        return; /* he leaves what he foresees not to pay, though its price was forgone */
    ck_assert_msg(goes_on || (!same && is_j == 0), "%g J forgone, then %g J", was_j, is_j);
    ck_assert_msg(goes_on || costs_more_w(now, before) > 0.99, "%g J of %g lost at %g s by one that costs %g W more",
                  was_j, price_j(now, before), now->t, costs_more_w(now, before));
}

static void watching_restart(evn_solver *s, double time_s, const double *y, const evn_pace *pace)
{
    if (s->before.rig)
        look_at_candidates(&s->before, s->trip, s->trip->watch->self);
    evn_cvode.restart(s->within, time_s, y, pace);
}

static evn_reached watching_go(evn_solver *s, double until, double *time_s, double *y, uint64_t *hit)
{
    evn_reached how = evn_cvode.go(s->within, until, time_s, y, hit);
    s->before = *s->trip;
    return how;
}

static void watching_look_back(evn_solver *s, double time_s, double *y) { evn_cvode.look_back(s->within, time_s, y); }
static const char *watching_why(const evn_solver *s) { return evn_cvode.why(s->within); }
static void watching_drop(evn_solver *s)
{
    evn_cvode.drop(s->within);
    free(s);
}

/* It goes on with the candidate that takes another one's place, and is lost only with one that costs more than the
 * present setting. */
START_TEST(what_is_forgone_is_neither_lost_nor_counted_twice_when_candidates_change)
{
    static const evn_solver_kind watching = {"watching",         watching_create, watching_restart, watching_go,
                                             watching_look_back, watching_why,    watching_drop};
    trip_file of = trip_at(_i);
    ready r = get_ready(&of);
    candidates count = {0};
    evn_watch watch = {.self = &count};
    evn_results *results = NULL;
    evn_course *course = evn_drive_course_of(r.rig, r.cycle->file, &r.ask.driving, NULL, r.report);
    evn_drive_course(r.rig, course, &r.ask.driving, &watch, &watching, &results, r.report);
    ck_assert_msg(results, "%s", first_finding(r.report));
    if (of.driver == EVN_DRIVER_HUMAN) /* an exact one foresees */
        ck_assert_uint_gt(count.kept, 0);
    if (of.driver == EVN_DRIVER_HUMAN && strcmp(of.cycle, TIPPER_BACK) == 0) {
        ck_assert_uint_gt(count.overtaken, 0);
        ck_assert_uint_gt(count.gone, 0);
    }
    evn_results_free(results);
    evn_course_free(course);
    ready_end(&r);
}
END_TEST

/* ------------------------------------------------------------------------------------------------ comparing */

/* Moving all the time, with these spans in one lane. */
static schedule made(size_t lane, schedule_span span[], size_t count)
{
    static schedule_span moving[] = {{EVN_MOVING, 0, 0}};
    schedule s = {.end_s = 100, .end_m = 1000};
    s.lane[SCHEDULE_MOTION] = (schedule_lane){moving, 1, 1};
    s.lane[lane] = (schedule_lane){span, count, count};
    return s;
}

#define MADE(lane, ...)                                                                                                \
    made(lane, (schedule_span[]){__VA_ARGS__}, sizeof(schedule_span[]){__VA_ARGS__} / sizeof(schedule_span))

START_TEST(limits_count_when_they_are_held_for_half_a_second)
{
    enum { FREE = EVN_FREE, MOTORS = EVN_BY_MOTOR, PACK = EVN_BY_PACK };
    char why[400];
    schedule held = MADE(SCHEDULE_LIMIT, {FREE, 0, 0}, {MOTORS, 10, 100}, {FREE, 14, 140});
    schedule touched = MADE(SCHEDULE_LIMIT, {FREE, 0, 0}, {PACK, 5, 50}, {FREE, 5.3, 53}, {MOTORS, 10, 100},
                            {FREE, 11, 110}, {MOTORS, 11.2, 112}, {FREE, 14, 140}),
             early = MADE(SCHEDULE_LIMIT, {FREE, 0, 0}, {MOTORS, 10.02, 100.2}, {FREE, 14, 140}),
             barely = MADE(SCHEDULE_LIMIT, {FREE, 0, 0}, {PACK, 5, 50}, {FREE, 5.52, 55.2}, {MOTORS, 10, 100},
                           {FREE, 14, 140}),
             late = MADE(SCHEDULE_LIMIT, {FREE, 0, 0}, {MOTORS, 10.1, 101}, {FREE, 14, 140}),
             other = MADE(SCHEDULE_LIMIT, {FREE, 0, 0}, {PACK, 10, 100}, {FREE, 14, 140}),
             twice = MADE(SCHEDULE_LIMIT, {FREE, 0, 0}, {MOTORS, 10, 100}, {FREE, 11, 110}, {MOTORS, 12, 120},
                          {FREE, 14, 140}),
             none = MADE(SCHEDULE_LIMIT, {FREE, 0, 0});
    const schedule *same[] = {&held, &touched, &early, &barely}, *another[] = {&late, &other, &twice, &none};
    for (size_t k = 0; k < 4; k++) {
        ck_assert_msg(schedule_same(&held, same[k], why, sizeof why), "%zu: %s", k, why);
        ck_assert_msg(schedule_same(same[k], &held, why, sizeof why), "%zu: %s", k, why);
        ck_assert_msg(!schedule_same(&held, another[k], why, sizeof why), "%zu", k);
        ck_assert_msg(!schedule_same(another[k], &held, why, sizeof why), "%zu", k);
    }
    ck_assert_str_eq(why, "nothing against limited by motors from 10.0000 s, 100.00 m");
}
END_TEST

START_TEST(stops_and_ends_count_however_short)
{
    char why[400];
    schedule_span halt[] = {{EVN_MOVING, 0, 0}, {EVN_STANDING, 50, 500}, {EVN_MOVING, 50.01, 500}};
    schedule through = made(SCHEDULE_LIMIT, NULL, 0), stopped = through, longer = through;
    stopped.lane[SCHEDULE_MOTION] = (schedule_lane){halt, 3, 3};
    longer.end_s = 101;
    ck_assert(schedule_same(&stopped, &stopped, why, sizeof why));
    ck_assert(!schedule_same(&through, &stopped, why, sizeof why));
    ck_assert_str_eq(why, "nothing against standing from 50.0000 s, 500.00 m");
    ck_assert(!schedule_same(&through, &longer, why, sizeof why));
    ck_assert_str_eq(why, "finished at 100.0000 s, 1000.00 m against finished at 101.0000 s, 1000.00 m");
}
END_TEST

/* The recorder sees what a trace shows: as many changes of gear as the results count, and another payload's schedule is
 * another. */
START_TEST(what_is_recorded_is_what_the_run_did)
{
    char why[400];
    trip_file of = {TWO_MOTORS, URBAN, EVN_DRIVER_HUMAN};
    ready r = get_ready(&of);
    schedule s = driven(&r, r.rig, 1e-6);
    drive run = drive_whole(of.truck, of.cycle, &r.ask, NULL);
    const schedule_lane *unit = &s.lane[SCHEDULE_UNIT];
    size_t stops = 0, shifts = 0;
    for (size_t k = 1; k < s.lane[SCHEDULE_MOTION].count; k++)
        stops += s.lane[SCHEDULE_MOTION].span[k].value == EVN_STANDING;
    for (size_t k = 1; k < unit->count; k++)
        shifts += unit->span[k].value / 256 != unit->span[k - 1].value / 256;
    ck_assert_uint_gt(stops, 10);
    ck_assert_double_eq(result(&run, "gear_changes"), (double)shifts);
    ck_assert_double_eq_tol(result(&run, "duration_s"), s.end_s, 1e-9);
    drive_end(&run);
    r.ask.load_case.payload_kg = 5000;
    evn_rig *lighter = NULL;
    evn_rig_prepare(r.truck, &r.ask.load_case, &lighter, r.report);
    schedule other = driven(&r, lighter, 1e-6);
    ck_assert(!schedule_same(&s, &other, why, sizeof why));
    schedule_free(&s);
    schedule_free(&other);
    evn_rig_free(lighter);
    ready_end(&r);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("schedules");
    TCase *tests = tcase_create("schedules");
    tcase_add_loop_test(tests, the_schedule_is_that_of_a_hundred_times_the_accuracy_and_does_not_hang_on_last_digits, 0,
                        TRIPS);
    tcase_add_loop_test(tests, what_is_held_downhill_does_not_hang_on_the_accuracy, 0, TRUCKS * DRIVERS);
    tcase_add_test(tests, a_fade_that_begins_at_a_speed_of_the_plan_decides_no_schedule);
    tcase_add_test(tests, a_unit_stays_open_for_braking_from_where_the_fade_begins);
    tcase_add_test(tests, candidates_that_cost_the_same_do_not_replace_each_other_for_ever);
    tcase_add_test(tests, the_plan_is_met_again_on_a_short_stretch_wherever_steps_end);
    tcase_add_test(tests, the_time_below_target_speed_is_that_of_short_steps);
    tcase_add_loop_test(tests, what_is_forgone_is_neither_lost_nor_counted_twice_when_candidates_change, 0, TRIPS);
    tcase_add_test(tests, limits_count_when_they_are_held_for_half_a_second);
    tcase_add_test(tests, stops_and_ends_count_however_short);
    tcase_add_test(tests, what_is_recorded_is_what_the_run_did);
    suite_add_tcase(suite, tests);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_NORMAL);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed == 0 ? 0 : 1;
}
