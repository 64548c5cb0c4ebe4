/* How a battery warms, tires and is charged, against closed forms: functions, and whole drives of a plain truck. */
#define _POSIX_C_SOURCE 200809L
#include "checked.h"
#include "plain_truck.h"
#include "truck/rig.h"

/* 650 V at any charge, 0.05 ohm, limits far beyond what is driven; a brace is left open for more. */
#define PACK                                                                                                           \
    "capacity_ah: 1e6, resistance_ohm: 0.05, open_circuit: {soc: [0.5], voltage_v: [650]}, charge_limit_kw: 1e5, "     \
    "start_soc: 0.5, "
#define WIDE PACK "discharge_limit_kw: 1e5, "

/* A truck whose air drag alone takes this power at 72 km/h, in air of 10 kg/m3. */
static drive drive_at_kw(double power_kw, double seconds, const char *pack)
{
    plain_truck truck = plain_truck_of(20000);
    evn_conditions ask = plain_ask(10);
    truck.drag_area_m2 = 2 * power_kw * 1e3 / (10 * 20 * 20 * 20);
    truck.motor = "peak_torque_nm: 1e6, peak_power_kw: 1e5, top_speed_rpm: 1e5, reference_voltage_v: 650";
    truck.pack = pack;
    return drive_steady(&truck, 72, seconds, 0, &ask);
}

/* ------------------------------------------------------------------------------------------------ one node */

/* 250 kW lose 7869.425 W in 0.05 ohm at 650 V (E2: P = E I - R I^2). */
static const published one_node = {"T_air + P/G (1 - exp(-G t/C)): one node, 7869.425 W of R I^2 at 250 kW, 650 V and "
                                   "0.05 ohm, G 100 W/K, C 500 kJ/K, 15 degC",
                                   CLOSED_FORM};

START_TEST(a_battery_under_constant_power_warms_by_the_exponential)
{
    static const double at_s[] = {600, 3000};
    drive d = drive_at_kw(250, 3001, WIDE "heat: {heat_capacity_kj_per_k: 500, to_air_w_per_k: 100}");
    for (size_t i = 0; i < 2; i++)
        check_value(&one_node, cell_where(&d, "time_s", at_s[i], "battery_temperature_degc"), RELATIVE,
                    15 + 7869.425 / 100 * (1 - exp(-at_s[i] / 5000)), 1e-6, "degC", "battery after %g s", at_s[i]);
    drive_end(&d);
}
END_TEST

static const published all_stays = {"C dT = R I^2 t where nothing is given off", CLOSED_FORM};

START_TEST(without_air_and_cooling_all_that_the_balance_says_is_lost_is_in_the_battery)
{
    drive d = drive_at_kw(250, 1000, WIDE "heat: {heat_capacity_kj_per_k: 2000, start_degc: 20}");
    double rise_k = result_of(&d, "final_battery_temperature_degc") - 20;
    check_value(&all_stays, rise_k, RELATIVE, 7869.425 * 1000 / 2e6, 1e-6, "K", "rise in 1000 s");
    check_value(&all_stays, 2000 * rise_k / 3600, RELATIVE, result_of(&d, "energy_balance.battery_losses_kwh"), 1e-9,
                "kWh", "heat in the battery");
    drive_end(&d);
}
END_TEST

/* The lesser root of P = E I - R I^2. */
static double loss_w(double power_w)
{
    double current_a = (650 - sqrt(650 * 650 - 4 * 0.05 * power_w)) / (2 * 0.05);
    return 0.05 * current_a * current_a;
}

/* Half of the cooling is at work in the middle of its range, 35 degC; its power is drawn from the battery too. */
START_TEST(cooling_holds_a_battery_where_it_takes_what_the_air_leaves)
{
    static const published from = {"R I^2 = G (T - T_air) + cooling; half of it at the middle of a smooth rise",
                                   CLOSED_FORM};
    char pack[600];
    double half_w = 5000;
    for (int k = 0; k < 50; k++)
        half_w = loss_w(250e3 + half_w / 4) - 100 * 20;
    snprintf(pack, sizeof pack,
             WIDE
             "heat: {heat_capacity_kj_per_k: 500, to_air_w_per_k: 100, start_degc: 34.9, cooling: {heat_kw: %.17g, "
             "coefficient_of_performance: 4, from_degc: 30, full_degc: 40}}",
             2 * half_w / 1e3);
    drive d = drive_at_kw(250, 3500, pack);
    check_value(&from, result_of(&d, "final_battery_temperature_degc"), RELATIVE, 35, 1e-7, "degC", "battery, steady");
    check_value(&from, cell(&d, d.rows - 2, "terminal_kw"), RELATIVE, 250 + half_w / 4e3, 1e-8, "kW",
                "power at the terminals with that of the cooling");
    drive_end(&d);
}
END_TEST

/* ------------------------------------------------------------------------------------------------ resistance */

static const double GAS_J_MOL_K = 8.314462618;

static double arrhenius(double energy_j_mol, double degc)
{
    return exp(energy_j_mol / GAS_J_MOL_K * (1 / (degc + 273.15) - 1 / 298.15));
}

START_TEST(two_points_by_arrhenius_give_all_of_his_law_between)
{
    static const published law = {"Arrhenius, R = R25 exp(E/R_gas (1/T - 1/298.15 K)); E 25 kJ/mol", CLOSED_FORM};
    char pack[400];
    snprintf(pack, sizeof pack, WIDE "resistance_factors: {temperature_degc: [-30, 45], factor: [%.17g, %.17g]}",
             arrhenius(25e3, -30), arrhenius(25e3, 45));
    drive d = drive_at_kw(10, 10, pack);
    for (int degc = -30; degc <= 45; degc += 15)
        check_value(&law, evn_pack_ohm(&d.rig->pack, 0.5, degc) / 0.05, RELATIVE, arrhenius(25e3, degc), 1e-12, "1",
                    "resistance at %d degC", degc);
    drive_end(&d);
}
END_TEST

/* What is said of batteries in the cold, and the part that is shipped for it. */
START_TEST(the_shipped_factors_lie_where_cold_batteries_are_said_to)
{
    static const published cold = {"lithium-ion batteries at -20 degC: 3 to 5 times the resistance at 25 degC",
                                   FROM_MEMORY};
    static const published zero = {
        "activation energies of whole cells of 20 to 30 kJ/mol: 2.09 to 3.03 times at 0 degC", FROM_MEMORY};
    plain_truck truck = plain_truck_of(20000);
    char pack[700], here[300];
    ck_assert_ptr_nonnull(getcwd(here, sizeof here));
    snprintf(pack, sizeof pack, WIDE "resistance_factors: {use: %s/vehicles/parts/battery-resistance-cold.yaml}", here);
    truck.pack = pack;
    evn_conditions ask = plain_ask(0);
    drive d = drive_steady(&truck, 50, 10, 0, &ask);
    const evn_pack *p = &d.rig->pack;
    double at_25 = evn_pack_ohm(p, 0.5, 25);
    check_value(&cold, evn_pack_ohm(p, 0.5, -20) / at_25, ABSOLUTE, 4, 1, "1", "resistance at -20 degC");
    check_value(&zero, evn_pack_ohm(p, 0.5, 0) / at_25, ABSOLUTE, 2.56, 0.47, "1", "resistance at 0 degC");
    drive_end(&d);
}
END_TEST

/* ------------------------------------------------------------------------------------------------ limits */

/* 200 kW for 10 s, 100 kW for any time, and more is wanted all the while. */
START_TEST(a_fresh_battery_gives_its_pulse_and_then_falls_to_what_it_gives_for_any_time)
{
    static const published pulse = {"P_c + (P_s - P_c) exp(-(t - 8 s)/2 s) from 8 s on, P_s before: the closed form of "
                                    "du/dt = (P - P_c)/((P_s - P_c) 10 s) at P = P_c + (P_s - P_c)(1 - u)/0.2",
                                    CLOSED_FORM};
    drive d = drive_at_kw(250, 60,
                          PACK "discharge_limit_kw: 200, discharge_shares: {temperature_degc: [20], share: [1], "
                               "continuous_share: [0.5]}");
    static const double at_s[] = {5, 9, 10, 14, 30};
    for (size_t i = 0; i < 5; i++) {
        double left = at_s[i] < 8 ? 1 : exp(-(at_s[i] - 8) / 2);
        check_value(&pulse, cell_where(&d, "time_s", at_s[i], "terminal_kw"), RELATIVE, 100 + 100 * left, 1e-6, "kW",
                    "power after %g s", at_s[i]);
    }
    check_near(result_of(&d, "discharge_limited_s"), result_of(&d, "duration_s"), 1e-9);
    drive_end(&d);
}
END_TEST

/* 20 t go down at 72 km/h and would give 250 kW; friction brakes take the rest. */
START_TEST(downhill_a_battery_takes_its_pulse_and_then_what_it_takes_for_any_time)
{
    static const published pulse = {"P_c + (P_s - P_c) exp(-(t - 8 s)/2 s), as of discharging", CLOSED_FORM};
    plain_truck truck = plain_truck_of(20000);
    evn_conditions ask = plain_ask(10);
    double sine = 250e3 / (20000 * 9.81 * 20);
    truck.pack = "capacity_ah: 1e6, resistance_ohm: 0.05, open_circuit: {soc: [0.5], voltage_v: [650]}, "
                 "discharge_limit_kw: 1e5, charge_limit_kw: 200, start_soc: 0.5, "
                 "charge_shares: {temperature_degc: [20], share: [1], continuous_share: [0.5]}";
    drive d = drive_steady(&truck, 72, 60, -100 * sine / sqrt(1 - sine * sine), &ask);
    check_value(&pulse, cell_where(&d, "time_s", 5, "terminal_kw"), RELATIVE, -200, 1e-6, "kW", "power after 5 s");
    check_value(&pulse, cell_where(&d, "time_s", 10, "terminal_kw"), RELATIVE, -(100 + 100 * exp(-1)), 1e-6, "kW",
                "power after 10 s");
    drive_end(&d);
}
END_TEST

/* ------------------------------------------------------------------------------------------------ a charger */

/* 650 V, 0.05 ohm, 670 V at most. */
START_TEST(a_charger_brings_the_current_of_the_quadratic_and_stops_at_the_voltage)
{
    static const published quadratic = {"P = E I - R I^2 with P = -250 kW, 650 V, 0.05 ohm: NPTEL 108103009, module 9, "
                                        "lecture 32",
                                        RECOMPUTED};
    static const published ceiling = {"P = V (V - E)/R at the highest voltage V", CLOSED_FORM};
    plain_truck truck = plain_truck_of(20000);
    truck.pack = WIDE "maximum_voltage_v: 670";
    evn_conditions ask = plain_ask(0);
    drive d = drive_steady(&truck, 50, 10, 0, &ask);
    evn_pack_now now = {.soc = 0.5, .degc = 20};
    evn_charging c = evn_pack_charging(&d.rig->pack, &now, 250e3, (double)INFINITY);
    check_value(&quadratic, 650 * c.current_a / 250e3, RELATIVE, 0.9720452, 1e-6, "1", "efficiency of charging");
    ck_assert_int_eq(c.by, EVN_CHARGED_BY_OFFER);
    c = evn_pack_charging(&d.rig->pack, &now, 350e3, (double)INFINITY);
    check_value(&ceiling, c.terminal_w, RELATIVE, 670 * 20 / 0.05, 1e-9, "W", "charging power at the highest voltage");
    check_value(&ceiling, c.terminal_v, RELATIVE, 670, 1e-9, "V", "voltage there");
    ck_assert_int_eq(c.by, EVN_CHARGED_BY_VOLTAGE);
    drive_end(&d);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("battery heat, published");
    TCase *all = tcase_create("battery heat");
    tcase_add_checked_fixture(all, folder_begin, folder_end);
    tcase_add_test(all, a_battery_under_constant_power_warms_by_the_exponential);
    tcase_add_test(all, without_air_and_cooling_all_that_the_balance_says_is_lost_is_in_the_battery);
    tcase_add_test(all, cooling_holds_a_battery_where_it_takes_what_the_air_leaves);
    tcase_add_test(all, two_points_by_arrhenius_give_all_of_his_law_between);
    tcase_add_test(all, the_shipped_factors_lie_where_cold_batteries_are_said_to);
    tcase_add_test(all, a_fresh_battery_gives_its_pulse_and_then_falls_to_what_it_gives_for_any_time);
    tcase_add_test(all, downhill_a_battery_takes_its_pulse_and_then_what_it_takes_for_any_time);
    tcase_add_test(all, a_charger_brings_the_current_of_the_quadratic_and_stops_at_the_voltage);
    suite_add_tcase(suite, all);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_NORMAL);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
