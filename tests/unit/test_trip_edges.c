/* Corners of a trip where a limit has no width, or is met at the very start. */
#define _POSIX_C_SOURCE 200809L
#include "scene.h"

#define FOUR "tests/trucks/four-speed.yaml"

static const evn_driver both[] = {EVN_DRIVER_HUMAN, EVN_DRIVER_EXACT};

/* Braking torque that ends at one speed: no row of the trace shows the one side's torque on the other, nor brakes that
 * push. */
START_TEST(a_fade_without_width_is_a_clean_step)
{
    scene it = scene_of(FOUR, "brakes: {fade_from_km_h: 20, fade_to_km_h: 20}",
                        "length_m: 900\nspeed: {place_m: [0], limit_km_h: [60]}");
    it.ask.driving.driver = both[_i];
    it.ask.driving.trace_interval_s = 0.05;
    drive run = play(&it);
    must_finish(&run);
    size_t speed = column(&run, "speed_km_h"), torque = column(&run, "motor_torque_nm");
    size_t brake = column(&run, "friction_brake_force_kn"), place = column(&run, "place_m"), below = 0, above = 0;
    for (size_t k = 0; k < it.rows.rows; k++) {
        double v = at_row(&it.rows, k, speed), nm = at_row(&it.rows, k, torque);
        ck_assert_double_ge(at_row(&it.rows, k, brake), -1e-6);
        if (at_row(&it.rows, k, place) < 450 || v <= 0)
            continue;
        if (v < 20 - 1e-6) {
            ck_assert_double_ge(nm, -1e-6);
            below++;
        }
        above += v > 20 + 1e-6 && nm < -100;
    }
    ck_assert_uint_gt(below, 10);
    ck_assert_uint_gt(above, 10);
    scene_end(&it, &run);
}
END_TEST

START_TEST(a_pack_that_starts_at_its_lowest_usable_charge_is_empty_at_once)
{
    scene it = scene_of(FOUR, "battery: {usable_from_soc: 0.3, start_soc: 0.3}",
                        "length_m: 900\nspeed: {place_m: [0], limit_km_h: [60]}");
    it.ask.driving.driver = both[_i];
    drive run = play(&it);
    ck_assert_int_eq(run.status, EVN_ANSWER_NO);
    ck_assert_str_eq(evn_results_status(run.results), "battery_empty");
    ck_assert(result(&run, "duration_s") == 0);
    scene_end(&it, &run);
}
END_TEST

START_TEST(a_winding_too_hot_to_start_is_named)
{
    scene it = scene_of(FOUR, "drive_units: {rear: {motors: {a: {winding: {start_degc: 300}}}}}",
                        "length_m: 900\nspeed: {place_m: [0], limit_km_h: [60]}");
    it.ask.driving.driver = both[_i];
    drive run = play(&it);
    ck_assert_int_eq(run.status, EVN_ANSWER_NO);
    ck_assert_msg(strstr(first_finding(run.report), "winding"), "%s", first_finding(run.report));
    scene_end(&it, &run);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("trip edges");
    TCase *edges = tcase_create("edges");
    tcase_add_checked_fixture(edges, folder_begin, folder_end);
    tcase_add_loop_test(edges, a_fade_without_width_is_a_clean_step, 0, 2); /* 0: human, 1: exact */
    tcase_add_loop_test(edges, a_pack_that_starts_at_its_lowest_usable_charge_is_empty_at_once, 0, 2);
    tcase_add_loop_test(edges, a_winding_too_hot_to_start_is_named, 0, 2);
    suite_add_tcase(suite, edges);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_NORMAL);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
