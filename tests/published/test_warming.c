/* How motors and inverters warm up, against closed forms of one and two nodes: whole drives of a plain truck. */
#define _POSIX_C_SOURCE 200809L
#include "checked.h"
#include "plain_truck.h"
#include "truck/rig.h"
#include "truck/steady.h"

/* The grade on which a plain truck needs a torque at its wheels, all losses left out. */
static double grade_percent(const plain_truck *t, double wheel_nm)
{
    double sine = wheel_nm / t->radius_m / (t->mass_kg * 9.81);
    return 100 * sine / sqrt(1 - sine * sine);
}

/* ------------------------------------------------------------------------------------------------ two nodes */

static const published two_nodes = {"two nodes, closed form of two modes: 20 and 80 kJ/K, 100 W/K between them, 50 W/K "
                                    "from the second to 25 degC, 3 kW into the first",
                                    CLOSED_FORM};

/* A constant efficiency loses the same at any temperature, in the winding: 3 kW of 27 kW at the shaft. */
#define TWO_NODES                                                                                                      \
    "peak_torque_nm: 1e6, peak_power_kw: 1e5, top_speed_rpm: 1e5, reference_voltage_v: 700, efficiency: 0.9, "         \
    "winding: {coolant_degc: 25, resistance_k_per_kw: 10, time_constant_s: 200, derate_from_degc: 180, "               \
    "derate_to_degc: 200}, housing: {resistance_k_per_kw: 20, time_constant_s: 1600}"

static drive warm_up(double seconds)
{
    plain_truck truck = plain_truck_of(20000);
    truck.motor = TWO_NODES;
    evn_conditions ask = plain_ask(0);
    double km_h = 50, shaft_w = 27000;
    return drive_steady(&truck, km_h, seconds, grade_percent(&truck, shaft_w / (km_h / 3.6) * truck.radius_m), &ask);
}

START_TEST(winding_and_housing_step_up_as_two_nodes_do)
{
    static const double at_s[] = {600, 3600}, winding[] = {60.908242, 102.629548}, housing[] = {36.661957, 73.840321};
    drive d = warm_up(3601);
    check_near(cell(&d, 1, "motor_losses_kw"), 3, 1e-12);
    for (size_t i = 0; i < 2; i++) {
        check_value(&two_nodes, cell_where(&d, "time_s", at_s[i], "winding_temperature_degc"), RELATIVE, winding[i],
                    1e-6, "degC", "winding after %g s", at_s[i]);
        check_value(&two_nodes, cell_where(&d, "time_s", at_s[i], "housing_temperature_degc"), RELATIVE, housing[i],
                    1e-6, "degC", "housing after %g s", at_s[i]);
    }
    drive_end(&d);
}
END_TEST

START_TEST(winding_and_housing_come_to_rest_where_the_resistances_say)
{
    drive d = warm_up(40001);
    check_value(&two_nodes, result_of(&d, "drive_units.unit.peak_winding_temperature_degc"), RELATIVE, 115, 1e-6,
                "degC", "winding, steady");
    check_value(&two_nodes, result_of(&d, "drive_units.unit.peak_housing_temperature_degc"), RELATIVE, 85, 1e-6, "degC",
                "housing, steady");
    drive_end(&d);
}
END_TEST

/* The rates are linear: their two roots from sum and product. */
START_TEST(winding_and_housing_have_the_time_constants_of_their_two_modes)
{
    evn_winding_file winding = {25, 10, 200, 180, 200, 25, (double)NAN, (double)NAN, NULL};
    evn_housing_file housing = {20, 1600, 25, (double)NAN, (double)NAN, NULL};
    evn_heat h = evn_heat_of(&winding, &housing, NULL, 100);
    evn_heat_gains none = {.coolant_degc = 25};
    double slope[2][2];
    ck_assert_uint_eq(h.nodes, 2);
    for (size_t by = 0; by < 2; by++) {
        double degc[EVN_NODES_MAX] = {25, 25}, rate[EVN_NODES_MAX];
        degc[by] += 1;
        evn_heat_rates(&h, degc, &none, rate);
        for (size_t of = 0; of < 2; of++)
            slope[of][by] = rate[of];
    }
    double sum = slope[0][0] + slope[1][1], product = slope[0][0] * slope[1][1] - slope[0][1] * slope[1][0];
    double root = sqrt(sum * sum / 4 - product);
    check_value(&two_nodes, 1 / (root - sum / 2), RELATIVE, 156.601887, 1e-6, "s", "time constant of the fast mode");
    check_value(&two_nodes, 1 / (-root - sum / 2), RELATIVE, 2043.398113, 1e-6, "s", "time constant of the slow mode");
}
END_TEST

/* ------------------------------------------------------------------------------------------------ the inverter */

START_TEST(an_inverter_warms_up_by_the_exponential)
{
    const published from = {"1 - exp(-t/tau); 8 kW of constant loss, 10 K/kW, tau 30 min", CLOSED_FORM};
    plain_truck truck = plain_truck_of(20000);
    truck.motor = "peak_torque_nm: 1e5, peak_power_kw: 1e5, top_speed_rpm: 1e5, reference_voltage_v: 700, inverter: "
                  "{constant_w: 8000, heat: {coolant_degc: 65, resistance_k_per_kw: 10, time_constant_s: 1800, "
                  "derate_from_degc: 180, derate_to_degc: 200}}";
    evn_conditions ask = plain_ask(1.2);
    drive d = drive_steady(&truck, 50, 3 * 1800 + 1, 0, &ask);
    double once_k = cell_where(&d, "time_s", 1800, "inverter_temperature_degc") - 65;
    double thrice_k = cell_where(&d, "time_s", 5400, "inverter_temperature_degc") - 65;
    double minutes = cell_where(&d, "inverter_temperature_degc", 65 + 80 * 0.8, "time_s") / 60;
    check_value(&from, once_k, RELATIVE, 80 * 0.63212, 1e-5, "K", "rise of the inverter after tau");
    check_value(&from, thrice_k, RELATIVE, 80 * 0.95021, 1e-5, "K", "rise of the inverter after 3 tau");
    check_value(&from, minutes, RELATIVE, 48.283137, 1e-5, "min", "time to four fifths of the rise of the inverter");
    drive_end(&d);
}
END_TEST

/* An inverter that loses by the square of the current alone, at any temperature the same. */
#define BY_CURRENT                                                                                                     \
    "peak_torque_nm: 1e4, peak_power_kw: 1e5, top_speed_rpm: 1e5, reference_voltage_v: 700, inverter: "                \
    "{current_squared_w: 3e5, heat: {coolant_degc: 65, resistance_k_per_kw: 10, time_constant_s: 2700, "               \
    "derate_from_degc: 145, derate_to_degc: 165}}"

START_TEST(a_short_time_overload_reaches_the_limit_of_the_continuous_torque_at_its_end)
{
    const published from = {"duty S2: losses 1/(1 - exp(-t/tau)), torque its root; 60 min, tau 45 min; IEC 60034-1",
                            FROM_MEMORY};
    plain_truck truck = plain_truck_of(20000);
    truck.motor = BY_CURRENT;
    evn_conditions ask = plain_ask(0);
    drive level = drive_steady(&truck, 36, 1, 0, &ask);
    double continuous_nm = evn_unit_continuous_nm(&level.rig->unit[0], 20);
    check_near(continuous_nm, 1e4 * sqrt(8e3 / 3e5), 1e-9);
    drive_end(&level);
    drive d = drive_steady(&truck, 36, 3600, grade_percent(&truck, 1.1653 * continuous_nm), &ask);
    check_value(&from, cell(&d, 1, "motor_torque_nm") / continuous_nm, RELATIVE, 1.1653, 1e-4, "1",
                "torque of an hour over the continuous one");
    check_value(&from, cell(&d, 1, "inverter_losses_kw") / 8, RELATIVE, 1.3580, 1e-4, "1",
                "losses of an hour over the continuous ones");
    check_value(&from, result_of(&d, "drive_units.unit.peak_inverter_temperature_degc") - 65, RELATIVE, 80, 1e-4, "K",
                "rise at the end of that hour, limit 80 K");
    drive_end(&d);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("warming up, published");
    TCase *tests = tcase_create("warming up");
    tcase_add_checked_fixture(tests, folder_begin, folder_end);
    tcase_add_test(tests, winding_and_housing_step_up_as_two_nodes_do);
    tcase_add_test(tests, winding_and_housing_come_to_rest_where_the_resistances_say);
    tcase_add_test(tests, winding_and_housing_have_the_time_constants_of_their_two_modes);
    tcase_add_test(tests, an_inverter_warms_up_by_the_exponential);
    tcase_add_test(tests, a_short_time_overload_reaches_the_limit_of_the_continuous_torque_at_its_end);
    suite_add_tcase(suite, tests);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_NORMAL);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
