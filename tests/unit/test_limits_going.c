/*
 * Going on: changing up by hand on a truck without losses, creeping by the heat of a winding, and the same asked of
 * runs.
 */
#define _POSIX_C_SOURCE 200809L
#include "limits_probe.h"

#define GRAVITY 9.80665
enum { MASS_KG = 40000 };
static const double ROLLING = 0.006, MOVES_N = 1e-3 * MASS_KG;

static double grade_percent(double force_n)
{
    double ratio = force_n / (MASS_KG * GRAVITY), f = ROLLING;
    double sine = (ratio - f * sqrt(1 + f * f - ratio * ratio)) / (1 + f * f);
    return 100 * sine / sqrt(1 - sine * sine);
}

/* 120 kN in the first gear and 60 kN in the second, up to high speeds. */
static plain_truck two_gears(const char *motor, const char *gearbox)
{
    plain_truck t = plain_truck_of(MASS_KG);
    t.motor = motor;
    t.gearbox = gearbox;
    t.path = "mesh: {ratio: 7.5, efficiency: 1}";
    t.rolling = ROLLING;
    return t;
}

#define FAST "peak_torque_nm: 4000, peak_power_kw: 4000, reference_voltage_v: 700, top_speed_rpm: 10000"
#define TWO(time_s) "ratios: [2, 1], efficiencies: [1, 1], shift: {time_s: " time_s "}"

/* ------------------------------------------------------------------------------------------------ by hand */

START_TEST(the_second_gear_holds_where_the_gap_is_short_and_costs_as_much_speed_as_the_road_takes_in_it)
{
    plain_truck t = two_gears(FAST, TWO("1"));
    ready r = ready_plain(&t, true);
    evn_limits_figure f = figure(&r, "going.as_stated.change_up_percent");
    double percent = grade_percent(60e3 - MOVES_N);
    ck_assert_double_eq_tol(f.value, percent, 1e-5);
    ck_assert_str_eq(f.limit, "motor_torque");
    /* v = (F_2 - m a)/m t: what the second gear only just pulls, the road takes in the gap */
    ck_assert_double_eq_tol(figure(&r, "going.as_stated.speed_lost_km_h").value, (60e3 - MOVES_N) / MASS_KG * 3.6,
                            1e-5);
    ready_end(&r);
}
END_TEST

/* Half the torque at rest: 60 kN start it in the first gear, and as many pull it in the second, which it takes rolling.
 */
START_TEST(torque_that_is_missing_at_rest_is_not_missing_in_the_second_gear)
{
    plain_truck t = two_gears(FAST ", torque_at_rest_share: 0.5, full_torque_from_rpm: 50", TWO("1"));
    ready r = ready_plain(&t, true);
    evn_limits_figure f = figure(&r, "going.as_stated.change_up_percent");
    ck_assert_double_eq_tol(f.value, grade_percent(60e3 - MOVES_N), 1e-5);
    ck_assert_double_eq_tol(f.value, figure(&r, "start.as_stated.once_percent").value, 1e-5);
    ready_end(&r);
}
END_TEST

/* 1000 rpm over 15 and 0.5 m: 12.57 km/h at most in the first gear. */
#define SLOW "peak_torque_nm: 4000, peak_power_kw: 4000, reference_voltage_v: 700, top_speed_rpm: 1000"
static const double TOP_M_S = 1000 * 3.14159265358979323846 / 30 / 15 * 0.5;

/* m g (sin + f cos) t = m v_top: what the first gear reaches is lost in the gap. Nothing turns but what is asked. */
START_TEST(a_long_gap_binds_where_it_takes_the_first_gears_top_speed)
{
    plain_truck t = two_gears(SLOW, TWO("8"));
    ready r = ready_plain(&t, true);
    evn_limits_figure f = figure(&r, "going.as_stated.change_up_percent");
    ck_assert_double_eq_tol(f.value, grade_percent(MASS_KG * TOP_M_S / 8), 1e-5);
    ck_assert_str_eq(f.limit, "gear_change");
    ck_assert_double_eq_tol(f.next_value, grade_percent(60e3 - MOVES_N), 1e-5);
    ck_assert_str_eq(f.next, "motor_torque");
    ck_assert_double_eq_tol(figure(&r, "going.as_stated.speed_lost_km_h").value, TOP_M_S * 3.6, 1e-5);
    ready_end(&r);
}
END_TEST

/* mu (0.25 cos + h/L (sin + a/g)) = sin + f cos + a/g, as starting: both gears have more than the tyres carry. */
START_TEST(adhesion_holds_both_gears_with_and_without_load_transfer)
{
    static const double heights_m[] = {0, 1.4};
    plain_truck t = two_gears(FAST, TWO("0.5"));
    t.driving = 0.4;
    t.centre_height_m = heights_m[_i];
    ready r = ready_plain(&t, true);
    evn_limits_figure f = figure(&r, "going.as_stated.change_up_percent");
    double rise = 0.4 * heights_m[_i] / t.wheelbase_m;
    double expected = 100 * ((0.4 * 0.25 - ROLLING) / (1 - rise) - 1e-3 / GRAVITY);
    ck_assert_double_eq_tol(f.value, expected, 1e-4);
    ck_assert_str_eq(f.limit, "adhesion");
    ready_end(&r);
}
END_TEST

/* On the level f m g = F - m a, the driven tyres of soil carrying more. */
START_TEST(the_softest_ground_takes_what_the_second_gear_pulls)
{
    plain_truck t = two_gears(
        "peak_torque_nm: 1000, peak_power_kw: 1000, reference_voltage_v: 700, top_speed_rpm: 10000", TWO("1"));
    ready r = ready_plain(&t, true);
    evn_limits_figure f = figure(&r, "going.level.softest_rolling_resistance_coefficient");
    ck_assert_double_eq_tol(f.value, (15e3 - MOVES_N) / (MASS_KG * GRAVITY), 1e-7);
    ck_assert_str_eq(f.limit, "motor_torque");
    ready_end(&r);
}
END_TEST

START_TEST(a_truck_without_gears_goes_on_as_it_starts)
{
    plain_truck t = two_gears(FAST, "");
    ready r = ready_plain(&t, true);
    evn_limits_figure f = figure(&r, "going.as_stated.change_up_percent");
    ck_assert_double_eq(f.value, figure(&r, "start.as_stated.once_percent").value);
    ck_assert_ptr_null(f.next);
    ck_assert_ptr_nonnull(strstr(f.what.help, "no drive unit has gears"));
    ck_assert(!evn_limits_get(r.limits, "going.as_stated.speed_lost_km_h", &f));
    ready_end(&r);
}
END_TEST

/* ------------------------------------------------------------------------------------------------ creeping */

#define WARM                                                                                                           \
    "peak_torque_nm: 4000, peak_power_kw: 400, reference_voltage_v: 700, top_speed_rpm: 7000, loss: "                  \
    "{torque_squared_w_per_nm2: 2e-3, winding_degc: 80}, winding: {coolant_degc: 60, resistance_k_per_kw: 6, "         \
    "time_constant_s: 400, derate_from_degc: 140, derate_to_degc: 140.001}"

/*
 * tau dT/dt = K P_0 (235 + T)/(235 + T_0) - (T - T_c), to 140 degC in ten minutes (linear, one time constant): solved
 * for the torque by bisection. Derating is as good as a switch, so that the force ends where it begins.
 */
static double ten_minutes_nm(void)
{
    double low = 0, high = 4000;
    for (int k = 0; k < 100; k++) {
        double nm = (low + high) / 2, rise = 6e-3 * 2e-3 * nm * nm / (235 + 80.0);
        double end_degc = (60 + 235 * rise) / (1 - rise);
        double degc = end_degc + (60 - end_degc) * exp(-600 * (1 - rise) / 400);
        if (degc < 140)
            low = nm;
        else
            high = nm;
    }
    return low;
}

START_TEST(creeping_is_held_for_ten_minutes_by_the_winding_that_is_hot_when_they_end)
{
    plain_truck t = two_gears(WARM, "");
    t.path = "mesh: {ratio: 15, efficiency: 1}";
    ready r = ready_plain(&t, false);
    evn_limits_figure f = figure(&r, "going.creep.ten_minutes_percent");
    ck_assert_double_eq_tol(f.value, grade_percent(ten_minutes_nm() * 30), 0.01);
    ck_assert_str_eq(f.limit, "winding_temperature");
    ck_assert_str_eq(f.next, "motor_torque");
    ck_assert_double_eq_tol(f.next_value, grade_percent(120e3), 1e-5);
    ready_end(&r);
}
END_TEST

/* ------------------------------------------------------------------------------------------------ driven */

/* What the first gear reaches at most, a run leaves a little sooner: the grade is small enough for a fifth of a point
 * to be more than that. */
START_TEST(a_run_goes_on_in_the_second_gear_below_the_figure_of_a_long_gap_and_not_above)
{
    plain_truck t = two_gears(SLOW, TWO("8"));
    ready r = ready_plain(&t, true);
    double percent = figure(&r, "going.as_stated.change_up_percent").value;
    ramp up = {.percent = percent - 0.2, .speed_km_h = 20, .length_m = 1000, .from_rest = true};
    climbed below = climb_up(&r, &up);
    up.percent = percent + 0.2;
    climbed above = climb_up(&r, &up);
    ck_assert(below.speeds_up_higher);
    ck_assert_double_gt(below.fastest_km_h, 1.4 * TOP_M_S * 3.6);
    ck_assert_msg(!above.speeds_up_higher, "%.3f %%, %.3f km/h", percent, above.fastest_km_h);
    ck_assert_double_le(above.fastest_km_h, 1.001 * TOP_M_S * 3.6);
    evn_results_free(below.results);
    evn_results_free(above.results);
    ready_end(&r);
}
END_TEST

/*
 * Motors that turn little faster than where their power ends: a run has to leave the first gear where the second still
 * has its torque. With faster ones it stays in the first, which pulls as much at full power and loses less.
 */
typedef struct driven_truck {
    const char *file, *set[5];
} driven_truck;
static const driven_truck driven[] = {
    {"tests/trucks/plain/tractor-4x2-central.yaml", {"drive_units.rear.motors.a.top_speed_rpm=1800"}},
    {"tests/trucks/plain/tipper-8x4-two-eaxles.yaml",
     {"drive_units.leading.motors.a.top_speed_rpm=5000", "drive_units.leading.motors.b.top_speed_rpm=5000",
      "drive_units.trailing.motors.a.top_speed_rpm=5000", "drive_units.trailing.motors.b.top_speed_rpm=5000"}},
    {"tests/trucks/plain/tractor-4x2-two-eaxles.yaml",
     {"drive_units.leading.motors.a.top_speed_rpm=5000", "drive_units.leading.motors.b.top_speed_rpm=5000",
      "drive_units.trailing.motors.a.top_speed_rpm=5000"}},
};
enum { DRIVEN = sizeof driven / sizeof *driven };

START_TEST(a_run_goes_on_in_a_higher_gear_a_fifth_of_a_point_below_the_figure_and_not_as_much_above)
{
    char path[512];
    evn_load_case load_case = evn_conditions_default().load_case;
    snprintf(path, sizeof path, "%s/%s", getenv("EVENER_SOURCE"), driven[_i].file);
    ready r = ready_with(path, driven[_i].set, &load_case, true);
    double percent = figure(&r, "going.as_stated.change_up_percent").value;
    ramp up = {.percent = percent - 0.2, .speed_km_h = 70, .length_m = 800, .from_rest = true};
    climbed below = climb_up(&r, &up);
    up.percent = percent + 0.2;
    climbed above = climb_up(&r, &up);
    ck_assert_msg(below.speeds_up_higher, "%s: %.2f %%, %.2f km/h", driven[_i].file, percent, below.fastest_km_h);
    ck_assert_msg(!above.speeds_up_higher, "%s: %.2f %%, %.2f km/h", driven[_i].file, percent, above.fastest_km_h);
    evn_results_free(below.results);
    evn_results_free(above.results);
    ready_end(&r);
}
END_TEST

/* ------------------------------------------------------------------------------------------------ properties */

static const char *const shipped[] = {
    "tests/vehicles/trucks/tractor-4x2-central.yaml",   "tests/vehicles/trucks/tractor-6x4-central.yaml",
    "tests/vehicles/trucks/rigid-6x2-central.yaml",     "tests/vehicles/trucks/tipper-8x4-central.yaml",
    "tests/vehicles/trucks/tipper-8x4-two-eaxles.yaml", "tests/vehicles/trucks/tractor-4x2-two-eaxles.yaml"};
enum { SHIPPED = sizeof shipped / sizeof *shipped };

START_TEST(going_on_never_takes_less_than_starting_and_more_adhesion_never_helps_less)
{
    static const char *const surfaces[] = {"as_stated", "dry", "wet", "gravel", "soil", "snow"};
    ready r = ready_shipped(shipped[_i], true);
    for (size_t k = 0; k < sizeof surfaces / sizeof *surfaces; k++) {
        char key[80];
        snprintf(key, sizeof key, "start.%s.once_percent", surfaces[k]);
        double start = figure(&r, key).value;
        snprintf(key, sizeof key, "going.%s.change_up_percent", surfaces[k]);
        evn_limits_figure f = figure(&r, key);
        ck_assert(isnan(f.value) || f.value <= start + 1e-6);
        ck_assert(k == 0 || isnan(f.low) || (f.low <= f.value + 1e-6 && f.value <= f.high + 1e-6));
        ck_assert(isnan(f.next_value) || f.next_value >= f.value);
    }
    ready_end(&r);
}
END_TEST

START_TEST(more_payload_never_helps_where_the_motors_hold)
{
    double last = (double)INFINITY;
    for (double payload_kg = 8000; payload_kg <= 16800; payload_kg += 2200) {
        char path[512];
        evn_load_case load_case = evn_conditions_default().load_case;
        load_case.payload_kg = payload_kg;
        snprintf(path, sizeof path, "%s/tests/vehicles/trucks/tipper-8x4-two-eaxles.yaml", getenv("EVENER_SOURCE"));
        ready r = ready_of(path, &load_case, true);
        double percent = figure(&r, "going.dry.change_up_percent").value;
        ck_assert_double_lt(percent, last);
        last = percent;
        ready_end(&r);
    }
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("limits_going");
    TCase *all = tcase_create("going");
    tcase_set_timeout(all, 60);
    tcase_add_checked_fixture(all, folder_begin, folder_end);
    tcase_add_test(all, the_second_gear_holds_where_the_gap_is_short_and_costs_as_much_speed_as_the_road_takes_in_it);
    tcase_add_test(all, torque_that_is_missing_at_rest_is_not_missing_in_the_second_gear);
    tcase_add_test(all, a_long_gap_binds_where_it_takes_the_first_gears_top_speed);
    tcase_add_loop_test(all, adhesion_holds_both_gears_with_and_without_load_transfer, 0, 2);
    tcase_add_test(all, the_softest_ground_takes_what_the_second_gear_pulls);
    tcase_add_test(all, a_truck_without_gears_goes_on_as_it_starts);
    tcase_add_test(all, creeping_is_held_for_ten_minutes_by_the_winding_that_is_hot_when_they_end);
    tcase_add_test(all, a_run_goes_on_in_the_second_gear_below_the_figure_of_a_long_gap_and_not_above);
    tcase_add_loop_test(all, a_run_goes_on_in_a_higher_gear_a_fifth_of_a_point_below_the_figure_and_not_as_much_above,
                        0, DRIVEN);
    tcase_add_loop_test(all, going_on_never_takes_less_than_starting_and_more_adhesion_never_helps_less, 0, SHIPPED);
    tcase_add_test(all, more_payload_never_helps_where_the_motors_hold);
    suite_add_tcase(suite, all);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_NORMAL);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
