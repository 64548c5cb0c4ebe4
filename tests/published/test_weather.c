/* Wind from a side, and the cold, against published figures and closed forms: whole drives of a plain truck. */
#define _POSIX_C_SOURCE 200809L
#include "checked.h"
#include "core/units.h"
#include "plain_truck.h"
#include "truck/rig.h"

#define DENSITY 1.2
#define AREA 5.0

/* A truck of 5 m2 with something written over it, at a steady speed towards the north. */
static drive drive_north(const char *changes, double km_h, double seconds, const evn_conditions *ask)
{
    char text[1200], truck_path[PATH_BYTES], cycle_path[PATH_BYTES];
    plain_truck truck = plain_truck_of(20000);
    truck.drag_area_m2 = AREA;
    truck.rolling = 0.006;
    write_plain_truck(&truck, "plain.yaml");
    snprintf(text, sizeof text, "extends: plain.yaml\n%s\n", changes);
    write_file("truck.yaml", text);
    snprintf(text, sizeof text,
             "name: north\ninvented: true\nspeed: {time_s: [0, %.17g], speed_km_h: [%.17g, %.17g]}\n"
             "heading: {place_m: [0], heading_deg: [0]}\n",
             seconds, km_h, km_h);
    write_file("cycle.yaml", text);
    return drive_files(in_folder(truck_path, "truck.yaml"), in_folder(cycle_path, "cycle.yaml"), ask);
}

/* Air drag over pressure of still air and drag area, m2/s2. */
static double squared(const char *changes, double speed_m_s, double wind_m_s, double from_deg)
{
    evn_conditions ask = plain_ask(DENSITY);
    ask.load_case.wind_m_s = wind_m_s;
    ask.load_case.wind_from_deg = from_deg;
    drive d = drive_north(changes, speed_m_s * 3.6, 2, &ask);
    double n = 1e3 * cell(&d, 0, "air_drag_kn");
    drive_end(&d);
    return n / (0.5 * DENSITY * AREA);
}

#define LEVEL "body: {drag_area_yaw: {yaw_deg: [0, 60], factor: [1, 1]}}"

/* ------------------------------------------------------------------------------------------------ at one direction */

START_TEST(relative_wind_and_yaw_are_those_of_the_worked_example)
{
    const published from = {"40 CFR 1037.528, example: wind of 7.1 mi/hr at 47.0 degrees, vehicle at 64.9 mi/hr",
                            RECOMPUTED};
    double v = 64.9 * EVN_M_S_PER_MPH, w = 7.1 * EVN_M_S_PER_MPH;
    double level = squared(LEVEL, v, w, 47), by_cosine = squared("", v, w, 47);
    check_value(&from, sqrt(level) / EVN_M_S_PER_MPH, RELATIVE, 69.9352, 1e-5, "mi/hr", "relative wind");
    check_value(&from, acos(by_cosine / level) * 180 / EVN_PI, RELATIVE, 4.2581, 1e-4, "deg", "yaw angle");
}
END_TEST

START_TEST(a_drag_area_over_yaw_is_met_at_its_angles)
{
    const published from = {"1/2 rho CdA f u^2, the wind abeam with the tangent of the angle times the speed",
                            CLOSED_FORM};
    const double deg[] = {5, 10, 15}, factor[] = {1.08, 1.22, 1.35};
    for (size_t i = 0; i < 3; i++) {
        double w = 20 * tan(deg[i] * EVN_PI / 180);
        double is =
            squared("body: {drag_area_yaw: {yaw_deg: [0, 5, 10, 15], factor: [1, 1.08, 1.22, 1.35]}}", 20, w, 90);
        check_value(&from, is / (400 + w * w), RELATIVE, factor[i], 1e-9, "1", "drag area at %g degrees of yaw",
                    deg[i]);
    }
    double w = 20 * tan(40 * EVN_PI / 180);
    check_value(
        &from, squared("body: {drag_area_yaw: {yaw_deg: [0, 15], factor: [1, 1.35]}}", 20, w, 270) / (400 + w * w),
        RELATIVE, 1.35 * cos(40 * EVN_PI / 180) / cos(15 * EVN_PI / 180), 1e-9, "1", "drag area beyond the last angle");
}
END_TEST

/* ------------------------------------------------------------------------------------------------ the mean */

START_TEST(the_mean_over_all_directions_of_a_level_drag_area_is_the_sum_of_both_squares)
{
    const published from = {"mean of v^2 + w^2 + 2 v w cos over a turn = v^2 + w^2", CLOSED_FORM};
    const double v[] = {8, 20, 25}, w[] = {6, 3, 12};
    for (size_t i = 0; i < 3; i++)
        check_value(&from, squared(LEVEL, v[i], w[i], (double)NAN), RELATIVE, v[i] * v[i] + w[i] * w[i], 1e-7, "m2/s2",
                    "mean at %g m/s in a wind of %g m/s", v[i], w[i]);
}
END_TEST

/* Complete elliptic integrals by the arithmetic-geometric mean. */
static void elliptic(double k, double *first, double *second)
{
    double a = 1, b = sqrt(1 - k * k), c = k, sum = c * c / 2, power = 1;
    for (int i = 0; i < 40 && c > 1e-17; i++) {
        double next = (a + b) / 2;
        c = (a - b) / 2;
        b = sqrt(a * b);
        a = next;
        sum += power * c * c;
        power *= 2;
    }
    *first = EVN_PI / (2 * a);
    *second = *first * (1 - sum);
}

/* Mean of u and of u^3 over a turn, u^2 = v^2 + w^2 + 2 v w cos; of u cos from both; of u (v + w cos). */
static double mean_by_cosine(double v, double w)
{
    double a = v * v + w * w, b = 2 * v * w, first, second;
    elliptic(2 * sqrt(v * w) / (v + w), &first, &second);
    double u = 2 * (v + w) / EVN_PI * second;
    double cube = 2 * (v + w) / (3 * EVN_PI) * (4 * a * second - (v - w) * (v - w) * first);
    return v * u + w * (cube - a * u) / b;
}

START_TEST(the_mean_of_a_drag_along_the_relative_wind_is_that_of_elliptic_integrals)
{
    const published from = {"mean of u (v + w cos) by complete elliptic integrals, Abramowitz and Stegun, ch. 17, from "
                            "memory",
                            CLOSED_FORM};
    const double v[] = {0.7, 3.2, 8.25, 22.2, 40}, w[] = {3, 3, 8, 5, 60};
    for (size_t i = 0; i < 5; i++)
        check_value(&from, squared("", v[i], w[i], (double)NAN), RELATIVE, mean_by_cosine(v[i], w[i]), 2e-4, "m2/s2",
                    "mean at %g m/s in a wind of %g m/s", v[i], w[i]);
    check_value(&from, squared("", 25, 2.5, (double)NAN), RELATIVE, 625 * (1 + 0.75 * 0.01), 1e-5, "m2/s2",
                "mean in a weak wind, v^2 + 3/4 w^2");
}
END_TEST

START_TEST(a_tractor_with_semitrailer_in_mean_wind_has_a_fifth_more_drag_area)
{
    /* dCdA = 0.030042 b + 0.040817 b^2 - 0.002130 b^3, b in degrees; 3 m/s from all directions, 80 km/h, 5.0 m2 */
    const published from = {
        "draft of the air drag annex of (EU) 2017/2400 with mean wind over all directions: about 6.05 m2", FROM_MEMORY};
    char changes[900] = "body: {drag_area_yaw: {yaw_deg: [0, 1, 2, 3, 4, 5, 6, 7, 8, 9, 10], factor: [1";
    for (int deg = 1; deg <= 10; deg++) {
        double more = 0.030042 * deg + 0.040817 * deg * deg - 0.002130 * deg * deg * deg;
        snprintf(changes + strlen(changes), sizeof changes - strlen(changes), ", %.10g", 1 + more / AREA);
    }
    strcat(changes, "]}}");
    double v = 80 / 3.6;
    check_value(&from, AREA * squared(changes, v, 3, (double)NAN) / (v * v), RELATIVE, 6.05, 0.01, "m2",
                "drag area in mean wind");
}
END_TEST

/* ------------------------------------------------------------------------------------------------ tyres */

static double rolling_kn(double degc, evn_rolling_resistance_law law)
{
    evn_conditions ask = plain_ask(DENSITY);
    ask.load_case.temperature_degc = degc;
    ask.load_case.rolling_resistance_law = law;
    drive d = drive_north("", 80, 2, &ask);
    double kn = cell(&d, 0, "rolling_resistance_kn");
    drive_end(&d);
    return kn;
}

START_TEST(warm_tyres_follow_the_published_laws_over_the_temperature_of_the_air)
{
    const published tested = {"UN Regulation 117, aligned to ISO 28580: F25 = F (1 + 0.006 (t - 25))", FROM_MEMORY};
    const published straight = {"1 % per 2 K, within 1.5 to 3 K", COMMON_PRACTICE};
    double stated = rolling_kn(-15, EVN_ROLLING_RESISTANCE_LAW_CONSTANT);
    check_value(&straight, stated, RELATIVE, 0.006 * 20000 * 9.81e-3, 1e-12, "kN", "rolling resistance, law constant");
    const double degc[] = {20, 25, 30, 0, -15};
    for (size_t i = 0; i < 5; i++) {
        check_value(&tested, rolling_kn(degc[i], EVN_ROLLING_RESISTANCE_LAW_AS_TESTED) / stated, RELATIVE,
                    1 / (1 + 0.006 * (degc[i] - 25)), 1e-12, "1", "resistance at %g degC, as tested", degc[i]);
        check_value(&straight, rolling_kn(degc[i], EVN_ROLLING_RESISTANCE_LAW_LINEAR) / stated, RELATIVE,
                    1 + 0.005 * (25 - degc[i]), 1e-12, "1", "resistance at %g degC, linear", degc[i]);
    }
}
END_TEST

START_TEST(tyres_warm_up_by_the_exponential_and_lose_a_fifth_by_it)
{
    const published from = {"T = T_air + rise (1 - exp(-t/33 min)), rise of 40 K at 80 km/h", CLOSED_FORM};
    const published cold = {"a cold start costs 20 to 30 % more rolling resistance", FROM_MEMORY};
    evn_conditions ask = plain_ask(DENSITY);
    ask.load_case.temperature_degc = 25;
    ask.load_case.rolling_resistance_law = EVN_ROLLING_RESISTANCE_LAW_LINEAR;
    ask.load_case.tyres_at_start = EVN_TYRES_AT_START_COLD;
    drive d = drive_north("", 80, 4 * 1980, &ask);
    double begin = cell(&d, 0, "rolling_resistance_kn"), stated = 0.006 * 20000 * 9.81e-3;
    check_value(&from, cell_where(&d, "time_s", 1980, "tyre_temperature_degc") - 25, RELATIVE, 40 * (1 - exp(-1)), 1e-6,
                "K", "rise of tyres after 33 min");
    check_value(&from, result_of(&d, "final_tyre_temperature_degc") - 25, RELATIVE, 40 * (1 - exp(-4)), 1e-6, "K",
                "rise of tyres after four time constants");
    check_value(&cold, begin / stated - 1, ABOVE, 0.199, 0, "1", "more resistance of cold tyres");
    check_value(&cold, begin / stated - 1, BELOW, 0.3, 0, "1", "more resistance of cold tyres");
    drive_end(&d);
    d = drive_north("", 40, 4 * 1980, &ask);
    double rise_k = 40 * 40.0 / 70 * 110 / 80;
    check_value(&from, result_of(&d, "final_tyre_temperature_degc") - 25, RELATIVE, rise_k * (1 - exp(-4)), 1e-6, "K",
                "rise of tyres at 40 km/h, half of it at 30 km/h");
    drive_end(&d);
}
END_TEST

/* ------------------------------------------------------------------------------------------------ oil */

/* A final drive that takes 200 Nm at the wheels at any speed, and oil that changes nothing of it. */
#define AXLE_OIL(temperatures, factors)                                                                                \
    "drive_units: {unit: {path: [final_drive: {ratio: 4, efficiency: 1, drag: {at: wheel_side, speed_rpm: [0], "       \
    "torque_nm: [200]}, oil: {heat_capacity_kj_per_k: 180, standing_w_per_k: 20, at_80_km_h_w_per_k: 50, "             \
    "temperature_degc: [" temperatures "], drag_factor: [" factors "]}}]}}"

START_TEST(oil_warms_up_by_the_exponential_to_what_its_losses_hold)
{
    const published from = {"P/hA (1 - exp(-t hA/C)): C 180 kJ/K, hA 50 W/K at 80 km/h", CLOSED_FORM};
    evn_conditions ask = plain_ask(DENSITY);
    ask.load_case.temperature_degc = -10;
    ask.load_case.oil_at_start = EVN_OIL_AT_START_COLD;
    drive d = drive_north(AXLE_OIL("0, 80", "1, 1"), 80, 7200, &ask);
    double w = 200 * 80 / 3.6 / 0.5, tau_s = 180e3 / 50;
    check_value(&from, result_of(&d, "drive_units.unit.final_drive_losses_kwh") * EVN_J_PER_KWH / 7200, RELATIVE, w,
                1e-6, "W", "loss of the axle gears");
    check_value(&from, cell_where(&d, "time_s", 3600, "axle_oil_temperature_degc") + 10, RELATIVE,
                w / 50 * (1 - exp(-3600 / tau_s)), 1e-6, "K", "rise of the oil after an hour");
    check_value(&from, result_of(&d, "drive_units.unit.peak_axle_oil_temperature_degc") + 10, RELATIVE,
                w / 50 * (1 - exp(-7200 / tau_s)), 1e-6, "K", "rise of the oil after two hours");
    drive_end(&d);
}
END_TEST

START_TEST(cold_oil_drags_as_its_table_says)
{
    const published from = {"drag of the part x factor at the temperature of its oil", CLOSED_FORM};
    const published range = {"drag at 0 degC two to four times that at 80 degC", FROM_MEMORY};
    evn_conditions ask = plain_ask(DENSITY);
    ask.load_case.temperature_degc = 0;
    ask.load_case.oil_at_start = EVN_OIL_AT_START_COLD;
    drive d = drive_north(AXLE_OIL("0, 40, 80", "2.5, 1.4, 1"), 80, 0.1, &ask);
    double w = 200 * 80 / 3.6 / 0.5,
           share = result_of(&d, "drive_units.unit.final_drive_losses_kwh") * EVN_J_PER_KWH / 0.1 / w;
    check_value(&from, share, RELATIVE, 2.5, 1e-3, "1", "drag with oil at 0 degC");
    check_value(&range, share, ABOVE, 2, 0, "1", "drag with oil at 0 degC");
    check_value(&range, share, BELOW, 4, 0, "1", "drag with oil at 0 degC");
    drive_end(&d);
    ask.load_case.oil_at_start = EVN_OIL_AT_START_WARM;
    d = drive_north(AXLE_OIL("0, 40, 80", "2.5, 1.4, 1") "\n", 80, 2, &ask);
    ck_assert_double_eq_tol(cell(&d, 0, "axle_oil_temperature_degc"), 70, 1e-9);
    drive_end(&d);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("weather, published");
    TCase *cases = tcase_create("weather");
    tcase_add_checked_fixture(cases, folder_begin, folder_end);
    tcase_add_test(cases, relative_wind_and_yaw_are_those_of_the_worked_example);
    tcase_add_test(cases, a_drag_area_over_yaw_is_met_at_its_angles);
    tcase_add_test(cases, the_mean_over_all_directions_of_a_level_drag_area_is_the_sum_of_both_squares);
    tcase_add_test(cases, the_mean_of_a_drag_along_the_relative_wind_is_that_of_elliptic_integrals);
    tcase_add_test(cases, a_tractor_with_semitrailer_in_mean_wind_has_a_fifth_more_drag_area);
    tcase_add_test(cases, warm_tyres_follow_the_published_laws_over_the_temperature_of_the_air);
    tcase_add_test(cases, tyres_warm_up_by_the_exponential_and_lose_a_fifth_by_it);
    tcase_add_test(cases, oil_warms_up_by_the_exponential_to_what_its_losses_hold);
    tcase_add_test(cases, cold_oil_drags_as_its_table_says);
    suite_add_tcase(suite, cases);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_NORMAL);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
