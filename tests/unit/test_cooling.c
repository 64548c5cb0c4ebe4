/* The coolant loop by itself: what its radiator carries off, its fan, its file's rules, and what a rig makes of it. */
#define _POSIX_C_SOURCE 200809L
#include "folder.h"
#include "trip/states.h"
#include "trip_probe.h"

#define COOLED "tests/trucks/cooled.yaml"
#define FOUR "tests/trucks/four-speed.yaml"

static const evn_cooling_file stated = {.heat_capacity_kj_per_k = 120,
                                        .still_kw_per_k = 0.15,
                                        .at_80_km_h_kw_per_k = 1.2,
                                        .fan_kw_per_k = 1,
                                        .fan_power_kw = 3,
                                        .fan_from_degc = 45,
                                        .fan_full_degc = 60,
                                        .limit_degc = (double)NAN,
                                        .start_degc = (double)NAN};
static const double COLD = 20, HOT = 90, AT_80 = 80 / 3.6;

/* ------------------------------------------------------------------------------------------------ radiator */

START_TEST(the_radiator_carries_off_what_is_stated_at_each_of_the_three_points)
{
    evn_cooling c = evn_cooling_of(&stated, 20);
    ck_assert_double_eq_tol(evn_cooling_w_k(&c, 0, COLD), 150, 1e-9);
    ck_assert_double_eq_tol(evn_cooling_w_k(&c, AT_80, COLD), 1200, 1e-9);
    ck_assert_double_eq_tol(evn_cooling_w_k(&c, 0, HOT), 1000, 1e-9);
}
END_TEST

START_TEST(it_grows_with_the_power_of_six_tenths_of_a_fast_air_and_is_smooth_at_rest)
{
    evn_cooling c = evn_cooling_of(&stated, 20);
    double twice = evn_cooling_w_k(&c, 4000, COLD) / evn_cooling_w_k(&c, 2000, COLD);
    ck_assert_double_eq_tol(twice, pow(2, 0.6), 1e-5);
    for (double v = 1e-3; v < 60; v *= 1.5) { /* from behind as from ahead, and always more */
        ck_assert_double_eq(evn_cooling_w_k(&c, v, COLD), evn_cooling_w_k(&c, -v, COLD));
        ck_assert_double_gt(evn_cooling_w_k(&c, v, COLD), 150);
        ck_assert_double_lt(evn_cooling_w_k(&c, v, COLD), evn_cooling_w_k(&c, 1.5 * v, COLD));
    }
    double at_rest = evn_cooling_w_k(&c, 0, COLD), near = evn_cooling_w_k(&c, 0.01, COLD) - at_rest;
    double nearer = evn_cooling_w_k(&c, 0.005, COLD) - at_rest;
    ck_assert_double_eq_tol(near / nearer, 4, 1e-3); /* with the square: no slope at rest */
}
END_TEST

/* The squares of both airs add: what the fan gives at rest counts for less on the way. */
START_TEST(fan_and_way_together_give_more_than_either_and_less_than_their_sum)
{
    evn_cooling c = evn_cooling_of(&stated, 20);
    double way = evn_cooling_w_k(&c, AT_80, COLD), fan = evn_cooling_w_k(&c, 0, HOT);
    double both = evn_cooling_w_k(&c, AT_80, HOT);
    double squares = pow(1200 / 150.0, 1 / 0.3) + pow(1000 / 150.0, 1 / 0.3) - 1;
    ck_assert(both > way && both > fan && both < way + fan);
    ck_assert_double_eq_tol(both, 150 * pow(squares, 0.3), 1e-9);
}
END_TEST

START_TEST(the_rate_is_heat_in_less_heat_carried_off_over_the_heat_capacity)
{
    evn_cooling c = evn_cooling_of(&stated, 20);
    ck_assert_double_eq_tol(evn_cooling_rate_k_s(&c, 40, 15, AT_80, 0), -1200.0 * 25 / 120e3, 1e-12);
    ck_assert_double_eq_tol(evn_cooling_rate_k_s(&c, 40, 15, AT_80, 30e3), 0, 1e-12);
    ck_assert_double_eq_tol(evn_cooling_rate_k_s(&c, 15, 15, AT_80, 6e3), 0.05, 1e-12);
}
END_TEST

/* ------------------------------------------------------------------------------------------------ fan */

START_TEST(the_fan_turns_from_one_temperature_to_the_other_in_a_straight_line_its_power_with_the_cube)
{
    evn_fan fan = evn_cooling_of(&stated, 20).fan;
    ck_assert_double_eq(evn_fan_share(&fan, 44.9), 0);
    ck_assert_double_eq(evn_fan_share(&fan, 45), 0);
    ck_assert_double_eq_tol(evn_fan_share(&fan, 48), 0.2, 1e-12);
    ck_assert_double_eq_tol(evn_fan_share(&fan, 52.5), 0.5, 1e-12);
    ck_assert_double_eq(evn_fan_share(&fan, 60), 1);
    ck_assert_double_eq(evn_fan_share(&fan, 100), 1);
    ck_assert_double_eq_tol(evn_fan_w(&fan, 48), 3000 * 0.008, 1e-9);
    ck_assert_double_eq_tol(evn_fan_w(&fan, 52.5), 3000 / 8.0, 1e-9);
    ck_assert_double_eq_tol(evn_fan_w(&fan, 60), 3000, 1e-9);
}
END_TEST

START_TEST(the_fan_is_drawn_from_the_bus_with_the_auxiliaries_in_a_line_of_its_own)
{
    evn_cooling c = evn_cooling_of(&stated, 20), none = evn_cooling_of(NULL, 20);
    evn_auxiliaries_file auxiliaries = {.power_kw = 4};
    evn_pack_heat plain = {.modelled = false};
    evn_loads with, without;
    ck_assert(evn_loads_make(&auxiliaries, &c, &plain, 20, NULL, &with) &&
              evn_loads_make(&auxiliaries, &none, &plain, 20, NULL, &without));
    evn_flow flow = {{0}}, other = {{0}};
    ck_assert_double_eq_tol(evn_loads_w(&with, 52.5, 20, &flow), 4375, 1e-9);
    ck_assert_double_eq_tol(flow.w[EVN_COOLING_FAN], 375, 1e-9);
    ck_assert_double_eq(flow.w[EVN_AUXILIARIES], 4000);
    ck_assert_double_eq(evn_loads_w(&without, (double)NAN, 20, &other), 4000);
    ck_assert_double_eq(other.w[EVN_COOLING_FAN], 0);
    ck_assert_double_eq(evn_loads_w(&with, (double)NAN, 20, &other), 4000);
}
END_TEST

/* ------------------------------------------------------------------------------------------------ file, rig */

static void prepare(const char *truck_path, const char *changes, const evn_load_case *ask, evn_rig **rig,
                    evn_report *report)
{
    char path[PATH_BYTES], text[1000], here[300];
    evn_truck *truck = NULL;
    ck_assert_ptr_nonnull(getcwd(here, sizeof here));
    snprintf(text, sizeof text, "extends: %s/%s\n%s\n", here, truck_path, changes);
    write_file("truck.yaml", text);
    *rig = NULL;
    if (evn_truck_load(in_folder(path, "truck.yaml"), &truck, report) == EVN_DONE)
        evn_rig_prepare(truck, ask, rig, report);
    evn_truck_free(truck);
}

static evn_rig *rig_with(const char *changes, const evn_load_case *ask)
{
    evn_report *report = evn_report_new();
    evn_rig *rig;
    prepare(COOLED, changes, ask, &rig, report);
    ck_assert_msg(rig, "%s", first_finding(report));
    evn_report_free(report);
    return rig;
}

START_TEST(a_loop_that_contradicts_itself_is_refused)
{
    static const char *const refused[][2] = {
        {"at_80_km_h_kw_per_k: 0.15", "0.15 kW/K; expected above still_kw_per_k"},
        {"fan_kw_per_k: 0.1", "0.1 kW/K; expected above still_kw_per_k"},
        {"fan_full_degc: 45.5", "at least 1 K above fan_from_degc"},
        {"heat_capacity_kj_per_k: 5.9", "at least 5 s"},
    };
    evn_load_case ask = evn_conditions_default().load_case;
    evn_report *report = evn_report_new();
    evn_finding finding;
    char text[100];
    evn_rig *rig;
    snprintf(text, sizeof text, "cooling: {%s}", refused[_i][0]);
    prepare(COOLED, text, &ask, &rig, report);
    ck_assert_ptr_null(rig);
    bool told = false;
    for (size_t k = 0; evn_report_at(report, k, &finding); k++)
        told = told || (finding.severity == EVN_ERROR && strstr(finding.text, refused[_i][1]));
    ck_assert_msg(told, "%s", first_finding(report));
    evn_report_free(report);
}
END_TEST

START_TEST(the_air_around_is_that_of_the_load_case_or_of_the_standard_atmosphere)
{
    evn_load_case ask = evn_conditions_default().load_case;
    static const double known[][3] = {
        {(double)NAN, 0, 15}, {(double)NAN, 1000, 8.501}, {(double)NAN, 3000, -4.491}, {-7, 3000, -7}};
    for (size_t k = 0; k < sizeof known / sizeof *known; k++) { /* ISO 2533, table, geometric altitude */
        ask.temperature_degc = known[k][0];
        ask.altitude_m = known[k][1];
        evn_rig *rig = rig_with("", &ask);
        ck_assert_double_eq_tol(rig->ambient_degc, known[k][2], 6e-4);
        ck_assert_double_eq(rig->cooling.start_degc, rig->ambient_degc);
        evn_rig_free(rig);
    }
}
END_TEST

static double winding_start(const evn_rig *rig)
{
    double degc[EVN_NODES_MAX];
    evn_unit_start_degc(&rig->unit[0], degc);
    return evn_unit_winding_degc(&rig->unit[0], degc);
}

START_TEST(a_winding_starts_with_the_coolant_of_the_loop_unless_its_file_says_otherwise)
{
    evn_load_case ask = evn_conditions_default().load_case;
    ask.temperature_degc = -10;
    evn_rig *cold = rig_with("", &ask), *warm = rig_with("cooling: {start_degc: 50}", &ask);
    evn_rig *own = rig_with("drive_units: {rear: {motors: {a: {winding: {start_degc: 90}}}}}", &ask);
    ck_assert_double_eq(winding_start(cold), -10);
    ck_assert_double_eq(winding_start(warm), 50);
    ck_assert_double_eq(winding_start(own), 90);
    evn_rig_free(cold);
    evn_rig_free(warm);
    evn_rig_free(own);
}
END_TEST

START_TEST(only_a_truck_with_a_loop_has_its_states_its_line_and_its_columns)
{
    evn_load_case ask = evn_conditions_default().load_case;
    evn_report *report = evn_report_new();
    evn_rig *with = rig_with("", &ask), *without;
    char name[EVN_STATE_NAME_BYTES];
    prepare(FOUR, "", &ask, &without, report);
    evn_states has = evn_states_of(with), lacks = evn_states_of(without);
    double y[EVN_Y_MOST];
    ck_assert_uint_eq(has.count, lacks.count + 2);
    ck_assert_str_eq(evn_states_name(&has, has.at[EVN_Y_COOLANT], name), "coolant, degC");
    evn_states_start(&has, y);
    ck_assert_double_eq(evn_states_coolant_degc(&has, y), 15);
    evn_states_start(&lacks, y);
    ck_assert(isnan(evn_states_coolant_degc(&lacks, y)));
    ck_assert(evn_rig_has_line(with, EVN_COOLING_FAN) && !evn_rig_has_line(without, EVN_COOLING_FAN));
    ck_assert_uint_eq(evn_trace_column_count(with), evn_trace_column_count(without) + 2);
    evn_rig_free(with);
    evn_rig_free(without);
    evn_report_free(report);
}
END_TEST

static double figure(const evn_rig *rig, const char *key)
{
    evn_quantity what;
    double value;
    for (size_t i = 0; evn_rig_figure_at(rig, i, &what, &value); i++)
        if (strcmp(what.key, key) == 0)
            return value;
    return (double)NAN;
}

START_TEST(figures_tell_the_loops_capacities_and_its_steady_heat_at_the_stated_limit)
{
    evn_load_case ask = evn_conditions_default().load_case;
    ask.temperature_degc = 30;
    ask.headwind_m_s = 5; /* the stated points are without wind */
    evn_rig *rig = rig_with("", &ask), *half = rig_with("cooling: {limit_degc: 52.5}", &ask);
    double squares = pow(8, 1 / 0.3) + pow(1 / 0.15, 1 / 0.3) - 1;
    ck_assert_double_eq_tol(figure(rig, "cooling.still_kw_per_k"), 0.15, 1e-12);
    ck_assert_double_eq_tol(figure(rig, "cooling.at_80_km_h_kw_per_k"), 1.2, 1e-12);
    ck_assert_double_eq_tol(figure(rig, "cooling.fan_kw_per_k"), 1, 1e-12);
    ck_assert_double_eq_tol(figure(rig, "cooling.steady_at_rest_kw"), 1 * 40, 1e-9);
    ck_assert_double_eq_tol(figure(rig, "cooling.steady_at_80_km_h_kw"), 0.15 * pow(squares, 0.3) * 40, 1e-9);
    /* where the limit is reached before the fan is at full speed */
    double at_half = 0.15 * pow(1 + 0.25 * (pow(1 / 0.15, 1 / 0.3) - 1), 0.3);
    ck_assert_double_eq_tol(figure(half, "cooling.steady_at_rest_kw"), at_half * 22.5, 1e-9);
    evn_rig_free(rig);
    evn_rig_free(half);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("cooling");
    TCase *loop = tcase_create("loop");
    tcase_add_checked_fixture(loop, folder_begin, folder_end);
    tcase_add_test(loop, the_radiator_carries_off_what_is_stated_at_each_of_the_three_points);
    tcase_add_test(loop, it_grows_with_the_power_of_six_tenths_of_a_fast_air_and_is_smooth_at_rest);
    tcase_add_test(loop, fan_and_way_together_give_more_than_either_and_less_than_their_sum);
    tcase_add_test(loop, the_rate_is_heat_in_less_heat_carried_off_over_the_heat_capacity);
    tcase_add_test(loop, the_fan_turns_from_one_temperature_to_the_other_in_a_straight_line_its_power_with_the_cube);
    tcase_add_test(loop, the_fan_is_drawn_from_the_bus_with_the_auxiliaries_in_a_line_of_its_own);
    tcase_add_loop_test(loop, a_loop_that_contradicts_itself_is_refused, 0, 4);
    tcase_add_test(loop, the_air_around_is_that_of_the_load_case_or_of_the_standard_atmosphere);
    tcase_add_test(loop, a_winding_starts_with_the_coolant_of_the_loop_unless_its_file_says_otherwise);
    tcase_add_test(loop, only_a_truck_with_a_loop_has_its_states_its_line_and_its_columns);
    tcase_add_test(loop, figures_tell_the_loops_capacities_and_its_steady_heat_at_the_stated_limit);
    suite_add_tcase(suite, loop);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_NORMAL);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
