/* What wind and cold must keep to in whole runs: symmetries, neutral settings, the ledger, and the mean of the wind. */
#define _POSIX_C_SOURCE 200809L
#include "../unit/scene.h"
#include "truck/rig.h"

#define TRUCK "tests/trucks/four-speed.yaml"
#define SHORT "length_m: 1500\nspeed: {place_m: [0, 700], limit_km_h: [70, 50]}\n"
#define EAST "heading: {place_m: [0], heading_deg: [90]}\n"
#define ROUND "heading: {place_m: [0, 300, 700, 1100], heading_deg: [10, 120, 190, 300]}\n"
#define YAW "body: {drag_area_yaw: {yaw_deg: [0, 5, 10, 20], factor: [1, 1.1, 1.25, 1.4]}}"
#define OIL                                                                                                            \
    "drive_units: {rear: {gearbox: {oil: {heat_capacity_kj_per_k: 60, standing_w_per_k: 8, at_80_km_h_w_per_k: 30, "   \
    "temperature_degc: [-20, 0, 40, 80], drag_factor: [4, 2.5, 1.4, 1]}}}}"

#define OIL_WITH(given_off, factors)                                                                                   \
    "drive_units: {rear: {gearbox: {oil: {heat_capacity_kj_per_k: 60, " given_off                                      \
    ", temperature_degc: [0, 80], drag_factor: [" factors "]}}}}"

static scene weather_scene(const char *changes, const char *cycle)
{
    scene it = scene_of(TRUCK, changes, cycle);
    it.ask.driving.driver = EVN_DRIVER_EXACT;
    return it;
}

/* One result of a run. */
static double come_to(const char *changes, const char *cycle, const evn_load_case *load_case, const char *key)
{
    scene it = weather_scene(changes, cycle);
    it.ask.load_case = *load_case;
    drive run = play(&it);
    must_finish(&run);
    double is = result(&run, key);
    scene_end(&it, &run);
    return is;
}

static evn_load_case blowing(double wind_m_s, double from_deg)
{
    evn_load_case c = evn_conditions_default().load_case;
    c.wind_m_s = wind_m_s;
    c.wind_from_deg = from_deg;
    return c;
}

static const char battery[] = "battery_kwh", air[] = "energy_balance.air_drag_kwh";
static const double NONE = (double)NAN;

/* ------------------------------------------------------------------------------------------------ wind */

START_TEST(without_wind_neither_table_nor_direction_moves_a_digit)
{
    evn_load_case still = evn_conditions_default().load_case, from = blowing(0, 35);
    double as_it_was = come_to("", SHORT, &still, battery);
    ck_assert_double_eq(come_to(YAW, SHORT, &still, battery), as_it_was);
    ck_assert_double_eq(come_to(YAW, SHORT, &from, battery), as_it_was);
    ck_assert_double_eq(come_to("", SHORT EAST, &from, battery), as_it_was);
}
END_TEST

START_TEST(wind_from_ahead_and_from_behind_is_headwind)
{
    double from_deg[] = {90, 270};
    for (size_t i = 0; i < 2; i++) {
        evn_load_case head = evn_conditions_default().load_case, wind = blowing(6, from_deg[i]);
        head.headwind_m_s = i ? -6 : 6;
        for (int yaw = 0; yaw < 2; yaw++)
            ck_assert_double_eq_tol(come_to(yaw ? YAW : "", SHORT EAST, &wind, air), come_to("", SHORT, &head, air),
                                    1e-6);
    }
}
END_TEST

START_TEST(wind_from_the_left_is_wind_from_the_right)
{
    double aside_deg[] = {30, 90, 150};
    for (size_t i = 0; i < 3; i++) {
        evn_load_case left = blowing(7, 90 - aside_deg[i] + 360 * (aside_deg[i] > 90)),
                      right = blowing(7, 90 + aside_deg[i]);
        ck_assert_double_eq_tol(come_to(YAW, SHORT EAST, &left, battery), come_to(YAW, SHORT EAST, &right, battery),
                                1e-9);
    }
}
END_TEST

START_TEST(the_mean_over_directions_is_the_mean_of_runs_in_each)
{
    enum { DIRECTIONS = 24 };
    evn_load_case all = blowing(5, NONE);
    double sum = 0;
    for (int k = 0; k < DIRECTIONS; k++) {
        evn_load_case one = blowing(5, 360.0 * k / DIRECTIONS);
        sum += come_to(YAW, SHORT EAST, &one, air) / DIRECTIONS;
    }
    ck_assert_double_eq_tol(come_to(YAW, SHORT, &all, air), sum, 2e-3 * sum);
    ck_assert_double_eq_tol(come_to(YAW, SHORT ROUND, &all, air), come_to(YAW, SHORT, &all, air), 1e-6);
}
END_TEST

START_TEST(a_direction_without_a_heading_is_the_mean_over_all)
{
    evn_load_case known = blowing(5, 123), all = blowing(5, NONE);
    ck_assert_double_eq(come_to(YAW, SHORT, &known, battery), come_to(YAW, SHORT, &all, battery));
}
END_TEST

START_TEST(a_route_turned_with_its_wind_costs_the_same)
{
    evn_load_case wind = blowing(8, 200), turned = blowing(8, 330);
    double one = come_to(YAW, SHORT ROUND, &wind, battery);
    double other = come_to(YAW, SHORT "heading: {place_m: [0, 300, 700, 1100], heading_deg: [140, 250, 320, 70]}\n",
                           &turned, battery);
    ck_assert_double_eq_tol(one, other, 1e-9);
    ck_assert_double_gt(fabs(one - come_to(YAW, SHORT ROUND, &turned, battery)), 1e-4);
}
END_TEST

START_TEST(each_stretch_has_the_heading_of_its_own_place)
{
    evn_load_case wind = blowing(8, 90);
    double east = come_to("", SHORT EAST, &wind, air);
    double back = come_to("", SHORT "heading: {place_m: [0, 100], heading_deg: [90, 270]}\n", &wind, air);
    double west = come_to("", SHORT "heading: {place_m: [0], heading_deg: [270]}\n", &wind, air);
    ck_assert_double_lt(west, back);
    ck_assert_double_lt(back - west, 0.1 * (east - west));
}
END_TEST

/* Cubic against integral, and the integral against one of many more panels, of (v + w)^2: what PHYSICS.md tells. */
START_TEST(what_a_run_asks_of_the_mean_is_the_integral_but_for_three_ten_thousandths)
{
    static const double yaw_deg[] = {0, 5, 10, 20}, factor[] = {1, 1.1, 1.25, 1.4};
    const evn_drag_area_yaw_file table = {.yaw_deg = {yaw_deg, 4}, .factor = {factor, 4}};
    double winds[] = {0.5, 3, 8, 20, 60}, worst[5] = {0}, worst_panels = 0;
    evn_arena *arena = evn_arena_new();
    ck_assert_ptr_nonnull(arena);
    for (int with = 0; with < 2; with++)
        for (size_t i = 0; i < 5; i++) {
            evn_wind w;
            evn_load_case c = blowing(winds[i], NONE);
            ck_assert(evn_wind_make(&w, with ? &table : NULL, &c, arena));
            for (double v = 0.1; v < 75; v += 1.37) {
                double scale = (v + winds[i]) * (v + winds[i]), fine = evn_wind_mean_integral(&w, v, 200);
                worst_panels = fmax(worst_panels, fabs(evn_wind_mean_integral(&w, v, 24) - fine) / scale);
                worst[i] = fmax(worst[i], fabs(evn_wind_mean_squared(&w, v) - fine) / scale);
                ck_assert_double_eq(evn_wind_mean_squared(&w, -v), -evn_wind_mean_squared(&w, v));
            }
            ck_assert_double_eq(evn_wind_mean_squared(&w, 0), 0);
        }
    ck_assert_double_lt(worst_panels, 1e-4);
    ck_assert_double_lt(worst[0], 1e-3);
    for (size_t i = 1; i < 5; i++)
        ck_assert_double_lt(worst[i], 3e-4);
    evn_arena_free(arena);
}
END_TEST

START_TEST(wind_along_the_road_cools_as_headwind_does)
{
    const char *loop =
        "cooling: {heat_capacity_kj_per_k: 60, still_kw_per_k: 0.15, at_80_km_h_kw_per_k: 0.6, fan_kw_per_k: "
        "0.5, fan_power_kw: 3, fan_from_degc: 140, fan_full_degc: 150}";
    evn_load_case head = evn_conditions_default().load_case, wind = blowing(6, 90);
    head.headwind_m_s = 6;
    ck_assert_double_eq_tol(come_to(loop, SHORT EAST, &wind, "peak_coolant_temperature_degc"),
                            come_to(loop, SHORT, &head, "peak_coolant_temperature_degc"), 1e-4);
}
END_TEST

/* ------------------------------------------------------------------------------------------------ bad input */

START_TEST(bad_values_are_refused_where_they_stand)
{
    static const struct {
        const char *text, *told;
        unsigned line, column;
    } bad[] = {
        {"body: {drag_area_yaw: {yaw_deg: [2, 5], factor: [1, 1.2]}}", "yaw_deg begins at 2; expected 0", 2, 34},
        {"body: {drag_area_yaw: {yaw_deg: [0, 5], factor: [1.1, 1.2]}}", "factor begins with 1.1; expected 1", 2, 50},
        {"body: {drag_area_yaw: {yaw_deg: [0, 5], factor: [1, 1.2, 1.3]}}", "factor", 2, 49},
        {"body: {drag_area_yaw: {yaw_deg: [0, 75], factor: [1, 1.2]}}", "75", 2, 37},
        {"tyre_temperature: {rise: 30}", "rise_k", 2, 20},
        {OIL_WITH("standing_w_per_k: 30, at_80_km_h_w_per_k: 20", "1, 1"), "20 W/K given off at 80 km/h", 2, 0},
        {OIL_WITH("standing_w_per_k: 8, at_80_km_h_w_per_k: 20", "1, 1, 2"), "drag_factor", 2, 0}};
    char here[300], text[900], path[PATH_BYTES];
    ck_assert_ptr_nonnull(getcwd(here, sizeof here));
    for (size_t i = 0; i < sizeof bad / sizeof *bad; i++) {
        evn_report *report = evn_report_new();
        evn_truck *truck = NULL;
        evn_finding finding = {0};
        size_t at = 0;
        snprintf(text, sizeof text, "extends: %s/" TRUCK "\n%s\n", here, bad[i].text);
        write_file("bad.yaml", text);
        ck_assert(evn_truck_load(in_folder(path, "bad.yaml"), &truck, report) == EVN_BAD_INPUT && !truck);
        while (evn_report_at(report, at, &finding) && finding.severity != EVN_ERROR)
            at++;
        ck_assert_msg(strstr(finding.text, bad[i].told), "%s", finding.text);
        ck_assert_msg(finding.line == bad[i].line, "%s", finding.text);
        if (bad[i].column > 0)
            ck_assert_msg(finding.column == bad[i].column, "%s: column %u", finding.text, finding.column);
        evn_report_free(report);
    }
}
END_TEST

/* ------------------------------------------------------------------------------------------------ cold */

START_TEST(at_25_degc_warm_tyres_roll_as_stated_but_for_what_they_cool)
{
    evn_load_case plain = evn_conditions_default().load_case, with;
    plain.temperature_degc = 25;
    with = plain;
    with.rolling_resistance_law = EVN_ROLLING_RESISTANCE_LAW_LINEAR;
    const char *key = "energy_balance.rolling_resistance_kwh";
    double stated = come_to("", SHORT, &plain, key), is = come_to("", SHORT, &with, key);
    ck_assert_double_eq_tol(is, stated, 0.02 * stated);
    ck_assert_double_eq_tol(come_to("tyre_temperature: {rise_k: 0}", SHORT, &with, key), stated, 1e-6);
}
END_TEST

START_TEST(cold_tyres_and_cold_oil_cost_more_than_warm_ones)
{
    evn_load_case c = evn_conditions_default().load_case;
    c.temperature_degc = -10;
    c.rolling_resistance_law = EVN_ROLLING_RESISTANCE_LAW_LINEAR;
    double warm = come_to(OIL, SHORT, &c, battery);
    c.oil_at_start = EVN_OIL_AT_START_COLD;
    double oil = come_to(OIL, SHORT, &c, battery);
    c.tyres_at_start = EVN_TYRES_AT_START_COLD;
    double both = come_to(OIL, SHORT, &c, battery);
    ck_assert_double_lt(warm + 1e-3, oil);
    ck_assert_double_lt(oil + 0.01, both);
}
END_TEST

START_TEST(oil_whose_factor_is_one_changes_nothing_but_the_way_it_is_worked_out)
{
    evn_load_case c = evn_conditions_default().load_case;
    const char *level = "drive_units: {rear: {gearbox: {oil: {heat_capacity_kj_per_k: 60, standing_w_per_k: 8, "
                        "at_80_km_h_w_per_k: 30, temperature_degc: [0, 80], drag_factor: [1, 1]}}}}";
    double stated = come_to("", SHORT, &c, battery);
    ck_assert_double_eq_tol(come_to(level, SHORT, &c, battery), stated, 2e-5 * stated);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("weather runs");
    TCase *tests = tcase_create("weather runs");
    tcase_add_checked_fixture(tests, folder_begin, folder_end);
    tcase_add_test(tests, without_wind_neither_table_nor_direction_moves_a_digit);
    tcase_add_test(tests, wind_from_ahead_and_from_behind_is_headwind);
    tcase_add_test(tests, wind_from_the_left_is_wind_from_the_right);
    tcase_add_test(tests, the_mean_over_directions_is_the_mean_of_runs_in_each);
    tcase_add_test(tests, a_direction_without_a_heading_is_the_mean_over_all);
    tcase_add_test(tests, a_route_turned_with_its_wind_costs_the_same);
    tcase_add_test(tests, each_stretch_has_the_heading_of_its_own_place);
    tcase_add_test(tests, bad_values_are_refused_where_they_stand);
    tcase_add_test(tests, what_a_run_asks_of_the_mean_is_the_integral_but_for_three_ten_thousandths);
    tcase_add_test(tests, wind_along_the_road_cools_as_headwind_does);
    tcase_add_test(tests, at_25_degc_warm_tyres_roll_as_stated_but_for_what_they_cool);
    tcase_add_test(tests, cold_tyres_and_cold_oil_cost_more_than_warm_ones);
    tcase_add_test(tests, oil_whose_factor_is_one_changes_nothing_but_the_way_it_is_worked_out);
    suite_add_tcase(suite, tests);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_NORMAL);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
