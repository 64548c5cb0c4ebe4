/* Consumers by cause in runs: each against the closed form of its law, and all of them against their line. */
#define _POSIX_C_SOURCE 200809L
#include "../unit/scene.h"

#define FOUR "tests/trucks/four-speed.yaml"
#define SINGLE "tests/trucks/single-speed.yaml"
#define CONSUMERS(list) "auxiliaries: {power_kw: 0.8, consumers: {" list "}}\n"
#define TWO_STOPS                                                                                                      \
    "length_m: 2400\nspeed: {place_m: [0], limit_km_h: [50]}\n"                                                        \
    "stops: {place_m: [800, 1600, 2400], wait_s: [20, 50, 400]}"

static const double WAITING_S = 470;

static scene strict_scene(const char *truck, const char *changes)
{
    scene it = scene_of(truck, changes, TWO_STOPS);
    it.ask.driving.driver = EVN_DRIVER_EXACT;
    it.ask.driving.accuracy = 1e-8;
    it.ask.load_case.temperature_degc = -5;
    return it;
}

static double drawn(const drive *run, const char *consumer)
{
    char key[80];
    snprintf(key, sizeof key, "auxiliaries.%s.used_kwh", consumer);
    return result(run, key);
}

static double moving_s(const drive *run) { return result(run, "duration_s") - WAITING_S; }

/* Of one unit without gears: engaged as long as it moves. Between 0 degC, 3 kW, and -20 degC, 6 kW. */
START_TEST(each_law_draws_its_closed_form)
{
    scene it =
        strict_scene(SINGLE, CONSUMERS("body: {constant_kw: 0.7}, steering: {moving_kw: 0.9}, "
                                       "oil: {engaged_unit_kw: 0.3}, "
                                       "cab: {outside_temperature_degc: [-20, 0, 20], outside_power_kw: [6, 3, 0.5]}"));
    drive run = play(&it);
    must_finish(&run);
    double hours = result(&run, "duration_s") / 3600;
    ck_assert_double_eq_tol(drawn(&run, "body"), 0.7 * hours, 1e-9);
    ck_assert_double_eq_tol(drawn(&run, "steering"), 0.9 * moving_s(&run) / 3600, 1e-9);
    ck_assert_double_eq_tol(drawn(&run, "oil"), 0.3 * moving_s(&run) / 3600, 1e-9);
    ck_assert_double_eq_tol(drawn(&run, "cab"), 3.75 * hours, 1e-9);
    ck_assert_double_eq_tol(result(&run, "auxiliaries_steady_kwh"), 0.8 * hours, 1e-9);
    scene_end(&it, &run);
}
END_TEST

START_TEST(the_air_beyond_the_table_draws_its_end_values)
{
    static const double degc[] = {-40, -20, 20, 45}, kw[] = {6, 6, 0.5, 0.5};
    scene it =
        strict_scene(SINGLE, CONSUMERS("cab: {outside_temperature_degc: [-20, 0, 20], outside_power_kw: [6, 3, 0.5]}"));
    it.ask.load_case.temperature_degc = degc[_i];
    drive run = play(&it);
    ck_assert_double_eq_tol(drawn(&run, "cab"), kw[_i] * result(&run, "duration_s") / 3600, 1e-9);
    scene_end(&it, &run);
}
END_TEST

/* Three stops, without motors that brake: one application each. Of 150 kJ at 1 kW those overlap, and none is lost. */
START_TEST(every_brake_application_is_made_up_for)
{
    static const char *const changes[] = {
        CONSUMERS("compressor: {brake_application_kj: 30, making_up_kw: 4}") "brakes: {regeneration: false}",
        CONSUMERS("compressor: {brake_application_kj: 150, making_up_kw: 1}") "brakes: {regeneration: false}"};
    scene it = strict_scene(SINGLE, changes[_i]);
    drive run = play(&it);
    must_finish(&run);
    ck_assert_double_eq(result(&run, "brake_applications"), 3);
    ck_assert_double_eq_tol(drawn(&run, "compressor"), 3 * (_i ? 150 : 30) / 3600.0, 1e-9);
    scene_end(&it, &run);
}
END_TEST

/* Motors brake almost to rest, then friction brakes hold: again one for each stop. */
START_TEST(a_stop_is_one_application_however_motors_and_friction_brakes_share_it)
{
    scene it = strict_scene(SINGLE, CONSUMERS("compressor: {brake_application_kj: 30, making_up_kw: 4}"));
    drive run = play(&it);
    must_finish(&run);
    ck_assert_double_eq(result(&run, "brake_applications"), 3);
    scene_end(&it, &run);
}
END_TEST

/* No part stores heat but the loop: what it does not keep of all losses its radiator has carried off. */
START_TEST(a_pump_by_heat_draws_its_share_of_what_the_radiator_carries_off)
{
    scene it = strict_scene(
        SINGLE, CONSUMERS("pump: {heat_rejected_share: 0.04}") "cooling: {heat_capacity_kj_per_k: 80, still_kw_per_k: "
                                                               "0.15, at_80_km_h_kw_per_k: 0.6, "
                                                               "fan_kw_per_k: 0.5, fan_power_kw: 3, start_degc: 30}");
    it.ask.load_case.headwind_m_s = 3;
    drive run = play(&it);
    must_finish(&run);
    double last = at_row(&it.rows, it.rows.rows - 1, column(&run, "coolant_temperature_degc"));
    double losses =
        result(&run, "energy_balance.motor_losses_kwh") + result(&run, "energy_balance.inverter_losses_kwh");
    double rejected = losses - 80 * (last - 30) / 3600;
    ck_assert_double_gt(rejected, 0.2);
    ck_assert_double_eq_tol(drawn(&run, "pump"), 0.04 * rejected, 1e-6);
    scene_end(&it, &run);
}
END_TEST

/* Two units, of which one disconnects: what goes with engaged units stops with it. */
START_TEST(an_oil_pump_stops_with_a_unit_that_disconnects)
{
    scene it = scene_of("tests/trucks/two-units.yaml", CONSUMERS("oil: {engaged_unit_kw: 0.3}"),
                        "length_m: 9000\nspeed: {place_m: [0], limit_km_h: [80]}");
    it.ask.driving.trace_interval_s = 0.05;
    drive run = play(&it);
    must_finish(&run);
    double disconnected_s = 0, sum_s = 0;
    evn_quantity what;
    double value;
    for (size_t k = 0; evn_results_at(run.results, k, &what, &value); k++)
        if (strstr(what.key, ".disconnected_s"))
            disconnected_s += value;
    size_t power = column(&run, "oil.consumer_kw"), time = column(&run, "time_s");
    for (size_t k = 1; k < it.rows.rows; k++)
        sum_s += (at_row(&it.rows, k, time) - at_row(&it.rows, k - 1, time)) * at_row(&it.rows, k - 1, power) / 0.3;
    ck_assert_double_gt(disconnected_s, 10);
    ck_assert_double_lt(drawn(&run, "oil") * 3600 / 0.3, 2 * result(&run, "duration_s") - disconnected_s + 1e-6);
    ck_assert_double_eq_tol(drawn(&run, "oil") * 3600 / 0.3, sum_s, 0.5);
    scene_end(&it, &run);
}
END_TEST

START_TEST(consumers_and_steady_power_sum_up_to_their_line_in_results_and_rows)
{
    static const char *const names[] = {"a", "b", "c", "d", "e"};
    scene it = strict_scene(FOUR, CONSUMERS("a: {constant_kw: 0.7}, b: {moving_kw: 0.9}, c: {engaged_unit_kw: 0.3}, "
                                            "d: {outside_temperature_degc: [0, 10], outside_power_kw: [2, 1]}, "
                                            "e: {brake_application_kj: 25, making_up_kw: 3}"));
    it.ask.driving.driver = _i ? EVN_DRIVER_HUMAN : EVN_DRIVER_EXACT;
    it.ask.driving.integrator = _i ? EVN_INTEGRATOR_ARKODE : EVN_INTEGRATOR_CVODE;
    drive run = play(&it);
    must_finish(&run);
    double sum = result(&run, "auxiliaries_steady_kwh"), line = result(&run, "energy_balance.auxiliaries_kwh");
    for (size_t k = 0; k < 5; k++)
        sum += drawn(&run, names[k]);
    ck_assert_double_eq_tol(sum, line, 1e-12 + 1e-9 * line);
    for (size_t row = 0; row < it.rows.rows; row++) {
        double all = 0.8 + at_row(&it.rows, row, column(&run, "bus_kw"));
        for (size_t k = 0; k < 5; k++) {
            char key[40];
            snprintf(key, sizeof key, "%s.consumer_kw", names[k]);
            all += at_row(&it.rows, row, column(&run, key));
        }
        ck_assert_double_eq_tol(at_row(&it.rows, row, column(&run, "terminal_kw")), all, 1e-9);
    }
    scene_end(&it, &run);
}
END_TEST

/* The same power stated as one or as another law of it: the same run. */
START_TEST(a_constant_consumer_is_as_the_steady_power)
{
    scene as_power = strict_scene(FOUR, "auxiliaries: {power_kw: 3.2}");
    scene as_consumer = strict_scene(FOUR, "auxiliaries: {power_kw: 0.8, consumers: {rest: {constant_kw: 2.4}}}");
    drive one = play(&as_power), other = play(&as_consumer);
    ck_assert_double_eq_tol(result(&one, "battery_kwh"), result(&other, "battery_kwh"), 1e-6);
    ck_assert_double_eq_tol(result(&one, "duration_s"), result(&other, "duration_s"), 1e-6);
    scene_end(&as_power, &one);
    scene_end(&as_consumer, &other);
}
END_TEST

/* ------------------------------------------------------------------------------------------------ refusals */

static const struct refusal {
    const char *list, *text;
} refusals[] = {
    {"a: {}", "nothing says what makes it draw"},
    {"a: {constant_kw: 1, moving_kw: 1}", "moving_kw beside constant_kw; expected one law"},
    {"a: {brake_application_kj: 1}", "brake_application_kj without making_up_kw"},
    {"a: {constant_kw: 1, making_up_kw: 1}", "making_up_kw without brake_application_kj"},
    {"a: {outside_temperature_degc: [0, 10], outside_power_kw: [2]}", "expected one value"},
    {"a: {outside_temperature_degc: [10, 0], outside_power_kw: [2, 1]}", "expected a rise"},
    {"a: {heat_rejected_share: 0.02}", "without cooling; expected cooling, or another law"},
    {"a: {constant_kw: -1}", "-1"},
    {"a: {brake_application_kj: 5, making_up_kw: 0}", "making_up_kw is 0"},
    {"a: {mooving_kw: 1}", "nearest is 'moving_kw'"},
};

START_TEST(what_is_no_consumer_is_refused_where_it_stands)
{
    char path[PATH_BYTES], text[1000], here[300];
    evn_report *report = evn_report_new();
    evn_truck *truck = NULL;
    evn_finding found = {.text = "nothing"};
    ck_assert_ptr_nonnull(getcwd(here, sizeof here));
    snprintf(text, sizeof text, "extends: %s/%s\nauxiliaries:\n  consumers:\n    %s\n", here, FOUR, refusals[_i].list);
    write_file("truck.yaml", text);
    ck_assert_int_eq(evn_truck_load(in_folder(path, "truck.yaml"), &truck, report), EVN_BAD_INPUT);
    bool told = false;
    for (size_t k = 0; evn_report_at(report, k, &found); k++)
        told = told || (strstr(found.text, refusals[_i].text) && found.line == 4 && strstr(found.file, "truck.yaml"));
    ck_assert_msg(told, "%s", first_finding(report));
    evn_report_free(report);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("consumer runs");
    TCase *runs = tcase_create("runs");
    tcase_add_checked_fixture(runs, folder_begin, folder_end);
    tcase_add_test(runs, each_law_draws_its_closed_form);
    tcase_add_loop_test(runs, the_air_beyond_the_table_draws_its_end_values, 0, 4);
    tcase_add_loop_test(runs, every_brake_application_is_made_up_for, 0, 2);
    tcase_add_test(runs, a_stop_is_one_application_however_motors_and_friction_brakes_share_it);
    tcase_add_test(runs, a_pump_by_heat_draws_its_share_of_what_the_radiator_carries_off);
    tcase_add_test(runs, an_oil_pump_stops_with_a_unit_that_disconnects);
    tcase_add_loop_test(runs, consumers_and_steady_power_sum_up_to_their_line_in_results_and_rows, 0, 2);
    tcase_add_test(runs, a_constant_consumer_is_as_the_steady_power);
    tcase_add_loop_test(runs, what_is_no_consumer_is_refused_where_it_stands, 0,
                        (int)(sizeof refusals / sizeof *refusals));
    suite_add_tcase(suite, runs);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_NORMAL);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
