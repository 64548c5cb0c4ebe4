/* What a run writes down beside its physics: where a limit held it most, time disconnected, sums over units, gears. */
#define _XOPEN_SOURCE 700
#include "scene.h"

#define TWO_UNITS "tests/trucks/two-units.yaml"

/* ------------------------------------------------------------------------------------------------ held back */

/* A truck that loses speed all the way up a hill is furthest behind near the top, and not where it began to be. */
START_TEST(the_worst_place_of_a_limit_is_where_the_truck_was_furthest_below_its_plan)
{
    scene it = scene_of(TRACTOR, NULL,
                        "speed: {place_m: [0], limit_km_h: [80]}\nlength_m: 3000\n"
                        "road: {place_m: [0, 1000, 1100, 2000, 2100, 3000], "
                        "grade_percent: [0, 0, 6, 6, 0, 0]}");
    it.ask.driving.driver = EVN_DRIVER_EXACT;
    drive run = play(&it);
    must_finish(&run);
    evn_limitation held = {0}, at;
    double begin_m = (double)INFINITY, most_km_h = 0, most_m = 0;
    size_t place = column(&run, "place_m"), speed = column(&run, "speed_km_h"),
           plan = column(&run, "target_speed_km_h");
    for (size_t i = 0; evn_results_limitation_at(run.results, i, &at); i++)
        held = strcmp(at.limit, "motor_power") == 0 ? at : held;
    ck_assert_double_gt(held.duration_s, 20);
    for (size_t row = 0; row < it.rows.rows; row++) {
        double below = at_row(&it.rows, row, plan) - at_row(&it.rows, row, speed), m = at_row(&it.rows, row, place);
        if (m < 1000 || m > 2600 || below < 1)
            continue;
        begin_m = fmin(begin_m, m);
        most_m = below > most_km_h ? m : most_m;
        most_km_h = fmax(most_km_h, below);
    }
    ck_assert_double_gt(most_m, begin_m + 200);
    ck_assert_double_eq_tol(held.at_m, most_m, 30);
    ck_assert_double_ge(held.below_target_km_h, 0.98 * most_km_h);
    ck_assert_double_le(held.below_target_km_h, 1.02 * most_km_h);
    scene_end(&it, &run);
}
END_TEST

/* ------------------------------------------------------------------------------------------------ several units */

/* Time without a motor at work, from row to row; the exact driver changes gears in no time. */
static double idle_s(const trace *rows, size_t time, size_t motors)
{
    double sum = 0;
    for (size_t row = 1; row < rows->rows; row++)
        if (at_row(rows, row - 1, motors) == 0)
            sum += at_row(rows, row, time) - at_row(rows, row - 1, time);
    return sum;
}

START_TEST(a_disconnect_that_is_open_at_the_end_counts_up_to_the_end)
{
    scene it = scene_of(TWO_UNITS, NULL, "speed: {time_s: [0, 200], speed_km_h: [70, 70]}");
    it.ask.driving.driver = EVN_DRIVER_EXACT;
    drive run = play(&it);
    must_finish(&run);
    size_t motors = column(&run, "trailing.motors_engaged"), last = it.rows.rows - 1;
    ck_assert_double_eq(at_row(&it.rows, last, motors), 0);
    double open_s = result(&run, "drive_units.trailing.disconnected_s");
    ck_assert_double_gt(open_s, 50);
    ck_assert_double_eq_tol(open_s, idle_s(&it.rows, column(&run, "time_s"), motors), 1e-6 * open_s);
    scene_end(&it, &run);
}
END_TEST

/* "energy_balance.gearbox_losses_kwh" from "drive_units.leading.gearbox_losses_kwh". */
static const char *sum_key(char out[100], const char *of_unit)
{
    const char *last = strrchr(of_unit, '.') + 1;
    bool of_ledger = strlen(last) > 4 && strcmp(last + strlen(last) - 4, "_kwh") == 0 && strcmp(last, "bus_kwh") != 0;
    snprintf(out, 100, "%s%.80s", of_ledger ? "energy_balance." : "", last);
    return strcmp(last, "gear_changes") == 0 || of_ledger ? out : NULL;
}

START_TEST(what_units_count_each_adds_up_to_what_the_truck_counts)
{
    scene it = scene_of(TWO_UNITS, NULL,
                        "speed: {place_m: [0], limit_km_h: [60]}\nlength_m: 2000\n"
                        "stops: {place_m: [800], wait_s: [1]}");
    drive run = play(&it);
    evn_quantity what;
    double value;
    size_t sums = 0, unlike = 0;
    must_finish(&run);
    for (size_t i = 0; evn_results_at(run.results, i, &what, &value); i++) {
        char key[120], other[120];
        if (strncmp(what.key, "drive_units.leading.", 20) != 0 || !sum_key(key, what.key))
            continue;
        snprintf(other, sizeof other, "drive_units.trailing.%.80s", strrchr(what.key, '.') + 1);
        ck_assert_double_eq_tol(result(&run, key), value + result(&run, other), 1e-12);
        unlike += value != result(&run, other);
        sums++;
    }
    ck_assert_uint_gt(sums, 7);
    ck_assert_uint_gt(unlike, 5);
    ck_assert_double_gt(result(&run, "drive_units.leading.gear_changes"), 0);
    scene_end(&it, &run);
}
END_TEST

/* ------------------------------------------------------------------------------------------------ trace */

START_TEST(a_trace_shows_no_gear_for_as_long_as_each_gear_change_lasts)
{
    scene it = scene_of(TRACTOR, NULL, "speed: {place_m: [0], limit_km_h: [80]}\nlength_m: 1500");
    drive run = play(&it);
    size_t gear = column(&run, "gear"), speed = column(&run, "speed_km_h"), changes = 0;
    must_finish(&run);
    for (size_t row = 1; row < it.rows.rows; row++)
        changes +=
            at_row(&it.rows, row, gear) == 0 && at_row(&it.rows, row - 1, gear) > 0 && at_row(&it.rows, row, speed) > 0;
    ck_assert_uint_gt(changes, 0);
    ck_assert_double_eq((double)changes, result(&run, "gear_changes"));
    scene_end(&it, &run);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("bookkeeping");
    TCase *all = tcase_create("all");
    tcase_add_checked_fixture(all, folder_begin, folder_end);
    tcase_add_test(all, the_worst_place_of_a_limit_is_where_the_truck_was_furthest_below_its_plan);
    tcase_add_test(all, a_disconnect_that_is_open_at_the_end_counts_up_to_the_end);
    tcase_add_test(all, what_units_count_each_adds_up_to_what_the_truck_counts);
    tcase_add_test(all, a_trace_shows_no_gear_for_as_long_as_each_gear_change_lasts);
    suite_add_tcase(suite, all);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_ENV);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
