/*
 * Settings that the exact driver plans: when they change, against the plan's own places and against what both settings
 * draw; and starts on grades that all motors together just hold.
 */
#define _POSIX_C_SOURCE 200809L
#include "../unit/scene.h"

#define FOUR "tests/trucks/four-speed.yaml"
#define TWO "tests/trucks/two-units.yaml"

static double shown(const scene *of, const drive *run, size_t row, const char *key)
{
    return at_row(&of->rows, row, column(run, key));
}

static scene planned(const char *truck, const char *changes, const char *cycle)
{
    scene it = scene_of(truck, changes, cycle);
    it.ask.driving.driver = EVN_DRIVER_EXACT;
    return it;
}

/* ------------------------------------------------------------------------------------------------ when */

/* The row behind the first change of gear at or beyond a place: events have a row on either side, at one instant. */
static size_t changed_from(const scene *of, const drive *run, double place_m)
{
    for (size_t k = 1; k < of->rows.rows; k++)
        if (shown(of, run, k, "place_m") >= place_m && shown(of, run, k, "gear") != shown(of, run, k - 1, "gear"))
            return k;
    ck_abort_msg("no change from %g m on", place_m);
}

/*
 * Where the acceleration ends, and where braking begins, one gear's losses jump past another's: the change comes at the
 * very bend of the plan, v/a and v^2/2a after the start and v^2/2b before the stop, wherever pieces of the way ahead
 * would end otherwise.
 */
START_TEST(a_change_that_the_plan_brings_comes_at_its_bend)
{
    static const double A = 0.6, B = 0.7; /* comfortable, by default */
    static const int speeds_km_h[] = {53, 55, 57};
    char cycle[200];
    double v = speeds_km_h[_i] / 3.6, slow = 30 / 3.6;
    snprintf(cycle, sizeof cycle, "length_m: 3000\nspeed: {place_m: [0, 1500], limit_km_h: [%d, 30]}", speeds_km_h[_i]);
    scene it = planned(FOUR, "payload: {mass_kg: 1000}", cycle);
    drive run = play(&it);
    must_finish(&run);
    size_t up = changed_from(&it, &run, 100), down = changed_from(&it, &run, 2000);
    ck_assert_double_eq_tol(shown(&it, &run, up, "place_m"), v * v / (2 * A), 1e-6);
    ck_assert_double_eq_tol(shown(&it, &run, up, "time_s"), v / A, 1e-6);
    ck_assert_double_eq(shown(&it, &run, up, "gear"), 4);
    ck_assert_double_eq_tol(shown(&it, &run, down, "place_m"), 3000 - slow * slow / (2 * B), 1e-6);
    ck_assert_double_eq(shown(&it, &run, down, "gear"), 2);
    scene_end(&it, &run);
}
END_TEST

/*
 * On a road that grows steeper at one speed, with a price that is stated: the change comes where both gears draw the
 * same from the bus, so that the power does not jump. But for the thousandth of the force that the plan keeps in
 * reserve: gears' losses grow with the force by some hundredths of it, and unlike, which is at most 1e-4 of the power.
 */
START_TEST(a_change_between_bends_comes_where_both_gears_draw_the_same)
{
    static const int speeds_km_h[] = {45, 55, 65};
    char cycle[200];
    snprintf(cycle, sizeof cycle,
             "length_m: 11000\nspeed: {place_m: [0], limit_km_h: [%d]}\n"
             "road: {place_m: [7000, 7400, 9500, 9600], grade_percent: [-0.5, 8, 8, 0]}",
             speeds_km_h[_i]);
    scene it = planned(FOUR, "payload: {mass_kg: 5000}", cycle);
    it.ask.driving.accuracy = 1e-8;
    drive run = play(&it);
    must_finish(&run);
    size_t k = changed_from(&it, &run, 7000);
    ck_assert_double_lt(shown(&it, &run, k, "place_m"), 7400);
    ck_assert_double_lt(shown(&it, &run, k, "gear"), shown(&it, &run, k - 1, "gear"));
    ck_assert_double_eq(shown(&it, &run, k, "time_s"), shown(&it, &run, k - 1, "time_s"));
    double bus_kw = shown(&it, &run, k, "bus_kw");
    ck_assert_double_eq_tol(shown(&it, &run, k - 1, "bus_kw"), bus_kw, 1e-4 * bus_kw);
    scene_end(&it, &run);
}
END_TEST

/* ------------------------------------------------------------------------------------------------ off the plan */

/*
 * All motors in first gear pull 23 kN at rest: 44.1 t on 4.8 % need 21.2 kN. Near rest an engaged motor costs its
 * losses, and what it pulls is next to no power; it stays at work all the same.
 */
#define LITTLE "{peak_torque_nm: 90, peak_power_kw: 30}"
START_TEST(a_start_that_needs_all_motors_keeps_them)
{
    static const double grades_percent[] = {4.6, 4.8};
    char cycle[200];
    snprintf(cycle, sizeof cycle,
             "length_m: 300\nspeed: {place_m: [0], limit_km_h: [50]}\n"
             "road: {place_m: [0, 300], grade_percent: [%g, %g]}",
             grades_percent[_i], grades_percent[_i]);
    scene it = planned(TWO, "drive_units: {leading: {motors: {a: " LITTLE ", b: " LITTLE "}}}", cycle);
    drive run = play(&it);
    must_finish(&run);
    double force_kn = shown(&it, &run, 0, "wheel_force_kn");
    ck_assert(force_kn > 22.5 && force_kn < 23.5);
    for (size_t k = 0; k < it.rows.rows && shown(&it, &run, k, "place_m") < 10; k++) {
        ck_assert_double_eq(shown(&it, &run, k, "leading.motors_engaged"), 2);
        ck_assert_double_eq(shown(&it, &run, k, "trailing.motors_engaged"), 1);
    }
    scene_end(&it, &run);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("foresight");
    TCase *runs = tcase_create("runs");
    tcase_add_checked_fixture(runs, folder_begin, folder_end);
    tcase_add_loop_test(runs, a_change_that_the_plan_brings_comes_at_its_bend, 0, 3);
    tcase_add_loop_test(runs, a_change_between_bends_comes_where_both_gears_draw_the_same, 0, 3);
    tcase_add_loop_test(runs, a_start_that_needs_all_motors_keeps_them, 0, 2);
    suite_add_tcase(suite, runs);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_NORMAL);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
