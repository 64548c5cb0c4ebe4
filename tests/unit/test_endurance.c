/* Endurance braking downhill: the plan cut on descents, and the speed that motors and battery hold by themselves. */
#define _POSIX_C_SOURCE 200809L
#include "core/units.h"
#include "course_probe.h"
#include "scene.h"
#include "trip/held_speed.h"

#define FOUR "tests/trucks/four-speed.yaml"
#define TANDEM "tests/trucks/tandem.yaml"
#define UNITS "tests/trucks/two-units.yaml"
#define IDEAL "tests/trucks/ideal.yaml"

/* ------------------------------------------------------------------------------------------------ the plan */

/* Down from 1000 m to 2010 m and up from 3000 m to 3500 m, 6 % each, with ends 10 m long. */
static const evn_road_file down_and_up = {.place_m = LIST(0, 1000, 1010, 2000, 2010, 3000, 3010, 3490, 3500),
                                          .grade_percent = LIST(0, 0, -6, -6, 0, 0, 6, 6, 0)};
static const double BEGIN_M = 1000 + 10 / 3.0, END_M = 2000 + 20 / 3.0; /* where it falls by 2 % */
static const evn_course_ask at_36_km_h = {.comfort_acceleration_m_s2 = 0.8,
                                          .comfort_braking_m_s2 = 1.0,
                                          .top_speed_m_s = (double)INFINITY,
                                          .descent_m_s = 10,
                                          .descent_tangent = 0.02};

static const evn_plan_stretch *stretch_at(const evn_course *course, double place_m)
{
    size_t k = 0;
    while (k + 1 < course->plan_count && place_m >= course->plan[k].end_m)
        k++;
    return &course->plan[k];
}

static double v2_at(const evn_course *course, double place_m)
{
    const evn_plan_stretch *p = stretch_at(course, place_m);
    return p->v2_begin + 2 * p->accel_m_s2 * (place_m - p->begin_m);
}

static double asked_v2_at(const evn_course *course, double place_m)
{
    const evn_plan_stretch *p = stretch_at(course, place_m);
    double share = (place_m - p->begin_m) / (p->end_m - p->begin_m);
    return p->asked_v2_begin + share * (p->asked_v2_end - p->asked_v2_begin);
}

/* What the set speed and comfort allow at a place. */
static double allowed_v2(double place_m)
{
    double before_m = fmax(BEGIN_M - place_m, 0), behind_m = fmax(place_m - END_M, 0);
    return 100 + 2 * 1.0 * before_m + 2 * 0.8 * behind_m;
}

static void check_cut(const evn_cycle_file *cycle)
{
    evn_course *whole = prepare(cycle, &no_top), *cut = prepare(cycle, &at_36_km_h);
    check_promises(cut);
    ck_assert(cut->length_m == whole->length_m && cut->clock_end_s == whole->clock_end_s);
    ck_assert(cut->final_wait_s == whole->final_wait_s && cut->trace_count == whole->trace_count);
    for (double place_m = 0.5; place_m < cut->length_m; place_m += 1) {
        double asked = v2_at(whole, place_m), expected = fmin(asked, allowed_v2(place_m));
        ck_assert_double_eq_tol(v2_at(cut, place_m), expected, 1e-4 * (1 + expected));
        ck_assert_double_eq_tol(asked_v2_at(cut, place_m), asked, 1e-9 * (1 + asked));
        ck_assert(stretch_at(cut, place_m)->endured || expected > asked - 0.1);
        ck_assert(!stretch_at(cut, place_m)->endured || asked > 0.9 * allowed_v2(place_m));
    }
    evn_course_free(whole);
    evn_course_free(cut);
}

START_TEST(a_set_speed_cuts_limits_on_the_descent_alone_with_comfortable_ways_to_it)
{
    evn_speed_file speed = {.place_m = LIST(0, 1500), .limit_km_h = LIST(72, 50)};
    evn_stops_file stops = {.place_m = LIST(1200, 2500), .wait_s = LIST(7, 9)};
    evn_cycle_file cycle = cycle_of(&speed);
    cycle.length_m = 4000;
    cycle.road = &down_and_up;
    check_cut(&cycle);
    cycle.stops = &stops;
    check_cut(&cycle);
}
END_TEST

START_TEST(a_set_speed_cuts_a_trace_alike_and_leaves_its_clock)
{
    evn_speed_file speed = {.time_s = LIST(0, 40, 90, 100, 250, 260), .speed_km_h = LIST(0, 72, 72, 54, 72, 0)};
    evn_cycle_file cycle = cycle_of(&speed);
    cycle.road = &down_and_up;
    check_cut(&cycle);
}
END_TEST

START_TEST(a_plan_below_the_set_speed_stays_as_it_is_to_the_bit)
{
    evn_speed_file speed = {.time_s = LIST(0, 20, 300, 320), .speed_km_h = LIST(0, 36, 36, 0)};
    evn_cycle_file cycle = cycle_of(&speed);
    cycle.road = &down_and_up;
    evn_course *whole = prepare(&cycle, &no_top), *cut = prepare(&cycle, &at_36_km_h);
    for (double place_m = 0.5; place_m < cut->length_m; place_m += 1)
        ck_assert(!stretch_at(cut, place_m)->endured && fabs(v2_at(cut, place_m) - v2_at(whole, place_m)) < 1e-9);
    evn_course_free(whole);
    evn_course_free(cut);
}
END_TEST

/* Two descents so near that the way down to the second begins on the way up from the first. */
START_TEST(between_two_descents_the_plan_goes_up_and_down_comfortably)
{
    evn_road_file road = {.place_m = LIST(0, 500, 501, 1000, 1001, 1050, 1051, 1500, 1501),
                          .grade_percent = LIST(0, 0, -5, -5, 0, 0, -5, -5, 0)};
    evn_speed_file speed = {.place_m = LIST(0), .limit_km_h = LIST(90)};
    evn_cycle_file cycle = cycle_of(&speed);
    cycle.length_m = 2000;
    cycle.road = &road;
    evn_course *cut = prepare(&cycle, &at_36_km_h);
    double from_m = 1000.6, to_m = 1050.4, peak_m = from_m + (to_m - from_m) * (1.0 / 1.8);
    check_promises(cut);
    ck_assert_double_eq_tol(v2_at(cut, peak_m), 100 + 1.6 * (peak_m - from_m), 1e-6);
    ck_assert_double_eq_tol(v2_at(cut, 0.5 * (from_m + peak_m)), 100 + 0.8 * (peak_m - from_m), 1e-6);
    ck_assert_double_eq_tol(v2_at(cut, 0.5 * (peak_m + to_m)), 100 + 1.0 * (to_m - peak_m), 1e-6);
    evn_course_free(cut);
}
END_TEST

/* ------------------------------------------------------------------------------------------------ runs */

#define SLOPE_TO(percent, end)                                                                                         \
    "speed: {place_m: [0], limit_km_h: [70]}\nlength_m: " end "\nroad: {place_m: [0, 1000, 1010, 4000, 4010], "        \
    "grade_percent: [0, 0, " percent ", " percent ", 0]}"
#define SLOPE(percent) SLOPE_TO(percent, "5500")

#define HALF_FULL "battery: {start_soc: 0.6, charge_limit_kw: 200}"

typedef struct variant {
    evn_driver driver;
    evn_integrator integrator;
} variant;
static const variant variants[] = {{EVN_DRIVER_HUMAN, EVN_INTEGRATOR_CVODE},
                                   {EVN_DRIVER_EXACT, EVN_INTEGRATOR_CVODE},
                                   {EVN_DRIVER_HUMAN, EVN_INTEGRATOR_ARKODE},
                                   {EVN_DRIVER_EXACT, EVN_INTEGRATOR_ARKODE}};
enum { VARIANTS = sizeof variants / sizeof *variants };

static scene descent_of(const char *truck, const char *changes, const char *cycle, const variant *v)
{
    scene it = scene_of(truck, changes, cycle);
    it.ask.driving.driver = v->driver;
    it.ask.driving.integrator = v->integrator;
    it.ask.driving.trace_interval_s = 0.5;
    it.ask.driving.endurance = EVN_ENDURANCE_HOLDABLE;
    return it;
}

/* Greatest of a column between two places. */
static double greatest(const scene *it, const drive *run, const char *key, double from_m, double to_m)
{
    size_t place = column(run, "place_m"), of = column(run, key);
    double most = -(double)INFINITY;
    for (size_t k = 0; k < it->rows.rows; k++)
        if (at_row(&it->rows, k, place) >= from_m && at_row(&it->rows, k, place) <= to_m)
            most = fmax(most, at_row(&it->rows, k, of));
    return most;
}

static double held_s(const drive *run, const char *limit)
{
    evn_limitation held;
    for (size_t k = 0; evn_results_limitation_at(run->results, k, &held); k++)
        if (strcmp(held.limit, limit) == 0)
            return held.duration_s;
    return 0;
}

START_TEST(a_set_speed_is_reached_before_the_descent_and_not_passed_on_it)
{
    scene it = descent_of(FOUR, NULL, SLOPE("-6"), &variants[_i]);
    it.ask.driving.endurance = EVN_ENDURANCE_SET_SPEED;
    it.ask.driving.endurance_speed_km_h = 40;
    drive run = play(&it);
    must_finish(&run);
    double slack_km_h = it.ask.driving.driver == EVN_DRIVER_EXACT ? 0.01 : 0.1;
    ck_assert_double_le(greatest(&it, &run, "speed_km_h", BEGIN_M, 4006), 40 + slack_km_h);
    ck_assert_double_gt(greatest(&it, &run, "speed_km_h", 0, BEGIN_M), 69);
    ck_assert_double_gt(greatest(&it, &run, "speed_km_h", 4010, 5500), 69);
    ck_assert_double_gt(held_s(&run, "endurance_braking"), 200);
    ck_assert_double_gt(result(&run, "delay_s"), 3000 * 3.6 * (1 / 40.0 - 1 / 70.0) - 1);
    scene_end(&it, &run);
}
END_TEST

START_TEST(a_set_speed_needs_a_speed)
{
    scene it = descent_of(FOUR, NULL, SLOPE("-6"), &variants[0]);
    it.ask.driving.endurance = EVN_ENDURANCE_SET_SPEED;
    drive run = play(&it);
    ck_assert_int_eq(run.status, EVN_BAD_INPUT);
    ck_assert(was_said(&run, "missing_key") && strstr(first_finding(run.report), "endurance_speed_km_h"));
    scene_end(&it, &run);
}
END_TEST

/* 18 t, rolling 0.006, 6 m2 of drag area, no losses: the battery's limit and the margin of 2 % decide. */
static double closed_form_m_s(double charge_w, double grade)
{
    double mass_kg = 18000, g = 9.80665, air_kg_m3 = 1.225, v = 10;
    for (int k = 0; k < 100; k++) {
        double slope = mass_kg * g * (grade - 0.006) / sqrt(1 + grade * grade);
        v = 0.5 * (v + 0.98 * charge_w / (slope - 0.5 * air_kg_m3 * 6 * v * v));
    }
    return v;
}

START_TEST(the_speed_that_is_held_is_that_of_the_closed_form)
{
    scene it = descent_of(IDEAL, "battery: {charge_limit_kw: 120}", SLOPE("-6"), &variants[_i]);
    drive run = play(&it);
    must_finish(&run);
    double expected_km_h = closed_form_m_s(120e3, 0.06) / EVN_M_S_PER_KM_H;
    ck_assert(expected_km_h > 35 && expected_km_h < 60);
    ck_assert_double_eq_tol(greatest(&it, &run, "speed_km_h", 2500, 3990), expected_km_h, 0.005);
    ck_assert_double_eq_tol(greatest(&it, &run, "friction_brake_force_kn", 2500, 3990), 0, 1e-9);
    ck_assert_double_gt(greatest(&it, &run, "speed_km_h", 4010, 5500), 69);
    ck_assert_double_gt(held_s(&run, "endurance_braking"), 100);
    scene_end(&it, &run);
}
END_TEST

static double friction_kwh(const char *truck, const char *cycle, const variant *v, evn_endurance endurance)
{
    scene it = descent_of(truck, HALF_FULL, cycle, v);
    it.ask.driving.endurance = endurance;
    drive run = play(&it);
    must_finish(&run);
    double kwh = result(&run, "energy_balance.friction_brakes_kwh");
    scene_end(&it, &run);
    return kwh;
}

/* Slowing down on the descent takes some; from then on none. */
START_TEST(friction_brakes_rest_on_a_descent_that_the_motors_hold_at_some_speed)
{
    static const char *const trucks[] = {FOUR, TANDEM, UNITS};
    const char *truck = trucks[_i / VARIANTS];
    const variant *v = &variants[_i % VARIANTS];
    scene it = descent_of(truck, HALF_FULL, SLOPE_TO("-6.3", "4600"), v);
    drive run = play(&it);
    must_finish(&run);
    ck_assert_double_eq_tol(greatest(&it, &run, "friction_brake_force_kn", 2500, 3990), 0, 1e-9);
    double held = result(&run, "energy_balance.friction_brakes_kwh");
    double off = friction_kwh(truck, SLOPE_TO("-6.3", "4600"), v, EVN_ENDURANCE_OFF);
    ck_assert_msg(held < 0.35 * off, "%s: %g kWh against %g", truck, held, off);
    scene_end(&it, &run);
}
END_TEST

#define FULL "battery: {usable_to_soc: 0.9, charge_taper: {soc: [0, 0.89, 0.9], share: [1, 1, 0]}}"

START_TEST(a_full_battery_or_motors_that_do_not_brake_leave_the_least_speed_that_is_stated)
{
    static const struct {
        const char *changes;
        double least_km_h;
    } of[] = {{FULL, 10}, {FULL, 25}, {"brakes: {regeneration: false}", 15}};
    for (size_t k = 0; k < sizeof of / sizeof *of; k++) {
        scene it = descent_of(FOUR, of[k].changes, SLOPE("-6"), &variants[_i]);
        it.ask.driving.endurance_least_km_h = of[k].least_km_h;
        drive run = play(&it);
        must_finish(&run);
        ck_assert_double_eq_tol(greatest(&it, &run, "speed_km_h", 2500, 3990), of[k].least_km_h, 0.05);
        ck_assert_double_gt(greatest(&it, &run, "friction_brake_force_kn", 2500, 3990), 5);
        scene_end(&it, &run);
    }
}
END_TEST

START_TEST(steeper_is_never_faster)
{
    static const char *const cycles[] = {SLOPE("-3"), SLOPE("-5"), SLOPE("-6"), SLOPE("-7"), SLOPE("-8"), SLOPE("-10")};
    double before = (double)INFINITY;
    for (size_t k = 0; k < sizeof cycles / sizeof *cycles; k++) {
        scene it =
            descent_of(FOUR, "battery: {charge_limit_kw: 150}\nadhesion: {regenerating: 3}", cycles[k], &variants[_i]);
        drive run = play(&it);
        must_finish(&run);
        double now = greatest(&it, &run, "speed_km_h", 3000, 3990);
        ck_assert_msg(now <= before + 0.01, "%s: %g km/h after %g", cycles[k], now, before);
        ck_assert_double_ge(now, 9.99);
        before = now;
        scene_end(&it, &run);
    }
    ck_assert_double_lt(before, 40);
}
END_TEST

/* Motors and tyres hold the gentlest of these and not the steepest, whatever the battery takes: the speed does not
 * jump. */
START_TEST(a_grade_that_gets_too_steep_for_the_tyres_does_not_make_the_speed_jump)
{
    static const char *const cycles[] = {SLOPE("-6.6"), SLOPE("-6.8"), SLOPE("-7"),
                                         SLOPE("-7.2"), SLOPE("-7.4"), SLOPE("-7.6")};
    enum { COUNT = sizeof cycles / sizeof *cycles };
    double km_h[COUNT], brake_kn[COUNT];
    for (size_t k = 0; k < COUNT; k++) {
        scene it = descent_of(FOUR, HALF_FULL, cycles[k], &variants[_i]);
        drive run = play(&it);
        must_finish(&run);
        km_h[k] = greatest(&it, &run, "speed_km_h", 3000, 3990);
        brake_kn[k] = greatest(&it, &run, "friction_brake_force_kn", 3000, 3990);
        ck_assert_msg(k == 0 || fabs(km_h[k] - km_h[k - 1]) < 2.5, "%g, then %g km/h", km_h[k - 1], km_h[k]);
        scene_end(&it, &run);
    }
    ck_assert_double_eq_tol(brake_kn[0], 0, 1e-9);
    ck_assert_double_gt(brake_kn[COUNT - 1], 0.5);
}
END_TEST

/* Gentler than stated: not a descent; and the way up is none whatever it asks. */
START_TEST(only_a_descent_as_steep_as_stated_counts)
{
    scene it = descent_of(IDEAL, "battery: {charge_limit_kw: 20}", SLOPE("-3"), &variants[_i]);
    it.ask.driving.endurance_from_percent = 3.01;
    drive run = play(&it);
    must_finish(&run);
    ck_assert_double_gt(greatest(&it, &run, "speed_km_h", 3000, 3990), 69);
    ck_assert_double_eq(held_s(&run, "endurance_braking"), 0);
    scene_end(&it, &run);
    it.ask.driving.endurance_from_percent = 3; /* just as steep */
    run = play(&it);
    must_finish(&run);
    ck_assert_double_lt(greatest(&it, &run, "speed_km_h", 3000, 3990), 30);
    scene_end(&it, &run);
}
END_TEST

/* A stop, a dip of the plan and a bend on the descent: the plan holds where it is below. */
START_TEST(stops_and_dips_of_the_plan_on_a_descent_are_kept)
{
    scene it =
        descent_of(FOUR, "battery: {charge_limit_kw: 200}",
                   "length_m: 5000\nspeed: {place_m: [0, 1800, 1850, 3200, 3300], limit_km_h: [70, 12, 70, 20, 70]}\n"
                   "stops: {place_m: [2600], wait_s: [20]}\nroad: {place_m: [0, 1000, 1010, 4000, 4010], "
                   "grade_percent: [0, 0, -6, -6, 0]}",
                   &variants[_i]);
    drive run = play(&it);
    must_finish(&run);
    ck_assert_double_le(greatest(&it, &run, "speed_km_h", 1805, 1845), 12.5);
    ck_assert_double_le(greatest(&it, &run, "speed_km_h", 3205, 3295), 20.5);
    ck_assert_double_le(greatest(&it, &run, "speed_km_h", 2599.5, 2600), 5);
    ck_assert_double_gt(greatest(&it, &run, "speed_km_h", 2100, 2400), 20);
    scene_end(&it, &run);
}
END_TEST

/* ------------------------------------------------------------------------------------------------ side by side */

static double of_outcome(const evn_comparison *c, size_t truck, evn_basis basis, const char *key)
{
    double value = (double)NAN;
    const evn_outcome *outcome = evn_comparison_outcome(c, truck, basis);
    ck_assert_str_eq(evn_outcome_status(outcome), "finished");
    ck_assert(evn_results_get(evn_outcome_results(outcome), key, &value));
    return value;
}

/* One truck's battery takes less: it comes down slower, and at the common speed all come down as it does. */
START_TEST(the_common_speed_downhill_is_that_of_who_holds_least)
{
    char here[300], text[2000], path[PATH_BYTES];
    ck_assert_ptr_nonnull(getcwd(here, sizeof here));
    write_file("cycle.yaml", "name: down\ninvented: true\n" SLOPE("-6") "\n");
    snprintf(text, sizeof text,
             "name: a test\ninvented: true\ncycle: {use: cycle.yaml}\ndriving: {driver: exact, endurance: holdable}\n"
             "trucks:\n  more: {use: %s/" FOUR ", battery: {start_soc: 0.6, charge_limit_kw: 300}}\n"
             "  less: {use: %s/" FOUR ", battery: {start_soc: 0.6, charge_limit_kw: 150}}\n",
             here, here);
    write_file("lineup.yaml", text);
    evn_report *report = evn_report_new();
    evn_lineup *lineup = NULL;
    evn_comparison *c = NULL;
    ck_assert_msg(evn_lineup_load(in_folder(path, "lineup.yaml"), &lineup, report) == EVN_DONE, "%s",
                  first_finding(report));
    evn_conditions ask = evn_lineup_ask(lineup);
    ck_assert_int_eq(evn_compare(lineup, &ask, NULL, &c, report), EVN_DONE);
    double more_s = of_outcome(c, 0, EVN_BASIS_OWN, "duration_s"),
           less_s = of_outcome(c, 1, EVN_BASIS_OWN, "duration_s");
    ck_assert_double_gt(less_s, more_s + 60);
    for (size_t k = 0; k < 2; k++)
        ck_assert_double_eq_tol(of_outcome(c, k, EVN_BASIS_COMMON, "duration_s"), less_s, 2e-4 * less_s);
    double own_kwh = of_outcome(c, 1, EVN_BASIS_OWN, "energy_balance.friction_brakes_kwh");
    ck_assert_double_eq_tol(of_outcome(c, 1, EVN_BASIS_COMMON, "energy_balance.friction_brakes_kwh"), own_kwh,
                            0.02 * own_kwh);
    evn_comparison_free(c);
    evn_lineup_free(lineup);
    evn_report_free(report);
}
END_TEST

/* ------------------------------------------------------------------------------------------------ who holds */

START_TEST(of_several_that_hold_a_speed_the_lowest_counts_and_each_releases_its_own)
{
    static evn_trip t;
    evn_hold_nothing(&t);
    ck_assert(isinf(evn_held_speed_m_s(&t)));
    evn_act_hold_speed(&t, 12, EVN_HOLDER_HEAT);
    evn_act_hold_speed(&t, 9, EVN_HOLDER_ENDURANCE);
    ck_assert(evn_held_speed_m_s(&t) == 9 && evn_held_by(&t) == EVN_HOLDER_ENDURANCE);
    evn_act_hold_speed(&t, 14, EVN_HOLDER_ENDURANCE);
    ck_assert(evn_held_speed_m_s(&t) == 12 && evn_held_by(&t) == EVN_HOLDER_HEAT);
    t.law = EVN_HOLDING;
    evn_act_release_hold(&t, EVN_HOLDER_HEAT);
    ck_assert(evn_held_speed_m_s(&t) == 14 && t.law == EVN_HOLDING);
    evn_act_release_hold(&t, EVN_HOLDER_HEAT);
    evn_act_release_hold(&t, EVN_HOLDER_ENDURANCE);
    ck_assert(isinf(evn_held_speed_m_s(&t)) && t.law == EVN_CAPPED);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("endurance");
    TCase *plan = tcase_create("plan"), *runs = tcase_create("runs");
    tcase_add_test(plan, a_set_speed_cuts_limits_on_the_descent_alone_with_comfortable_ways_to_it);
    tcase_add_test(plan, a_set_speed_cuts_a_trace_alike_and_leaves_its_clock);
    tcase_add_test(plan, a_plan_below_the_set_speed_stays_as_it_is_to_the_bit);
    tcase_add_test(plan, between_two_descents_the_plan_goes_up_and_down_comfortably);
    tcase_add_test(plan, of_several_that_hold_a_speed_the_lowest_counts_and_each_releases_its_own);
    suite_add_tcase(suite, plan);
    tcase_add_checked_fixture(runs, folder_begin, folder_end);
    tcase_add_loop_test(runs, a_set_speed_is_reached_before_the_descent_and_not_passed_on_it, 0, VARIANTS);
    tcase_add_test(runs, a_set_speed_needs_a_speed);
    tcase_add_loop_test(runs, the_speed_that_is_held_is_that_of_the_closed_form, 0, VARIANTS);
    tcase_add_loop_test(runs, friction_brakes_rest_on_a_descent_that_the_motors_hold_at_some_speed, 0, 3 * VARIANTS);
    tcase_add_loop_test(runs, a_full_battery_or_motors_that_do_not_brake_leave_the_least_speed_that_is_stated, 0,
                        VARIANTS);
    tcase_add_loop_test(runs, steeper_is_never_faster, 0, VARIANTS);
    tcase_add_loop_test(runs, a_grade_that_gets_too_steep_for_the_tyres_does_not_make_the_speed_jump, 0, VARIANTS);
    tcase_add_loop_test(runs, only_a_descent_as_steep_as_stated_counts, 0, VARIANTS);
    tcase_add_loop_test(runs, stops_and_dips_of_the_plan_on_a_descent_are_kept, 0, VARIANTS);
    tcase_add_test(runs, the_common_speed_downhill_is_that_of_who_holds_least);
    suite_add_tcase(suite, runs);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_NORMAL);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
