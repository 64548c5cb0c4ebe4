/* Laws of money against printed tables and worked examples of engineering economics. */
#include "checked.h"
#include "money/account.h"
#include "money/ageing.h"
#include "money/flow.h"
#include "money/turning.h"

/* ------------------------------------------------------------------------------------------------ factors */

START_TEST(factors_at_10_percent_over_5_years_are_those_of_the_tables)
{
    const published table = {"compound-interest tables of textbooks (Newnan; Blank and Tarquin; Park), 10 %",
                             FROM_MEMORY};
    check_value(&table, evn_factor_ap(0.10, 5), ABSOLUTE, 0.26380, 5e-5, "1", "A/P, 10 %%, 5 years");
    check_value(&table, evn_factor_pa(0.10, 5), ABSOLUTE, 3.7908, 5e-5, "1", "P/A, 10 %%, 5 years");
    check_value(&table, evn_factor_pf(0.10, 5), ABSOLUTE, 0.6209, 5e-5, "1", "P/F, 10 %%, 5 years");
    check_value(&table, evn_factor_fp(0.10, 5), ABSOLUTE, 1.6105, 5e-5, "1", "F/P, 10 %%, 5 years");
    check_value(&table, evn_factor_fa(0.10, 5), ABSOLUTE, 6.1051, 5e-5, "1", "F/A, 10 %%, 5 years");
    check_value(&table, evn_factor_af(0.10, 5), ABSOLUTE, 0.16380, 5e-5, "1", "A/F, 10 %%, 5 years");
}
END_TEST

START_TEST(factors_at_35_percent_over_5_years_are_those_of_newnan)
{
    const published table = {"Newnan, Engineering Economic Analysis, compound-interest tables, 35 %", READ_IN_SOURCE};
    check_value(&table, evn_factor_ap(0.35, 5), ABSOLUTE, 0.4505, 5e-4, "1", "A/P, 35 %%, 5 years");
    check_value(&table, evn_factor_pa(0.35, 5), ABSOLUTE, 2.220, 5e-4, "1", "P/A, 35 %%, 5 years");
    check_value(&table, evn_factor_fp(0.35, 5), ABSOLUTE, 4.484, 5e-4, "1", "F/P, 35 %%, 5 years");
    check_value(&table, evn_factor_pf(0.35, 5), ABSOLUTE, 0.2230, 5e-4, "1", "P/F, 35 %%, 5 years");
    check_value(&table, evn_factor_af(0.35, 5), ABSOLUTE, 0.1005, 5e-4, "1", "A/F, 35 %%, 5 years");
}
END_TEST

START_TEST(factors_of_a_quarter_percent_a_month_are_those_of_the_tables)
{
    const published table = {"discrete cash flow tables in the layout of Blank and Tarquin, table 1, 0.25 %",
                             READ_IN_SOURCE};
    const published gradient = {"interest and annuity tables, table C-1, 0.25 %", READ_IN_SOURCE};
    check_value(&table, evn_factor_ap(0.0025, 12), ABSOLUTE, 0.08469, 5e-5, "1", "A/P, 0.25 %%, 12 periods");
    check_value(&table, evn_factor_pa(0.0025, 12), ABSOLUTE, 11.8073, 5e-5, "1", "P/A, 0.25 %%, 12 periods");
    check_value(&table, evn_factor_fp(0.0025, 12), ABSOLUTE, 1.0304, 5e-5, "1", "F/P, 0.25 %%, 12 periods");
    check_value(&table, evn_factor_fa(0.0025, 12), ABSOLUTE, 12.16638, 5e-5, "1", "F/A, 0.25 %%, 12 periods");
    check_value(&table, evn_factor_af(0.0025, 12), ABSOLUTE, 0.08219, 5e-5, "1", "A/F, 0.25 %%, 12 periods");
    check_value(&gradient, evn_factor_ap(0.0025, 10), ABSOLUTE, 0.1014, 5e-4, "1", "A/P, 0.25 %%, 10 periods");
    check_value(&gradient, evn_factor_pa(0.0025, 10), ABSOLUTE, 9.8639, 5e-4, "1", "P/A, 0.25 %%, 10 periods");
    check_value(&gradient, evn_factor_pg(0.0025, 10), ABSOLUTE, 44.184, 5e-4, "1", "P/G, 0.25 %%, 10 periods");
}
END_TEST

START_TEST(annuities_are_those_of_the_closed_form)
{
    const published closed = {"i (1 + i)^n / ((1 + i)^n - 1), worked out in decimals", CLOSED_FORM};
    static const struct {
        double percent;
        unsigned years;
        double annuity;
    } rows[] = {{8, 8, 0.17401}, {7, 8, 0.16747}, {5, 10, 0.12950}, {12, 7, 0.21912}, {10, 10, 0.16275}};
    for (size_t k = 0; k < sizeof rows / sizeof *rows; k++)
        check_value(&closed, evn_factor_ap(rows[k].percent / 100, rows[k].years), ABSOLUTE, rows[k].annuity, 5e-6, "1",
                    "A/P, %g %%, %u years", rows[k].percent, rows[k].years);
}
END_TEST

START_TEST(factors_keep_their_identities_from_minus_half_to_fivefold)
{
    const published identity = {"A/P = A/F + i; P/A times A/P = 1; F/P times P/F = 1", CLOSED_FORM};
    static const double rates[] = {-0.5, -1e-9, 1e-12, 0.0025, 0.1, 0.35, 5};
    for (size_t k = 0; k < sizeof rates / sizeof *rates; k++)
        for (unsigned n = 1; n <= EVN_MONEY_YEARS_MOST; n += 13) {
            double i = rates[k];
            check_value(&identity, evn_factor_ap(i, n) - evn_factor_af(i, n), ABSOLUTE, i, 1e-12, "1",
                        "A/P less A/F, %g, %u years", i, n);
            check_value(&identity, evn_factor_pa(i, n) * evn_factor_ap(i, n), RELATIVE, 1, 1e-12, "1",
                        "P/A times A/P, %g, %u years", i, n);
            check_value(&identity, evn_factor_fp(i, n) * evn_factor_pf(i, n), RELATIVE, 1, 1e-12, "1",
                        "F/P times P/F, %g, %u years", i, n);
        }
    check_value(&identity, evn_factor_ap(0, 8), RELATIVE, 1.0 / 8, 1e-15, "1", "A/P at no interest, 8 years");
}
END_TEST

START_TEST(discount_factors_at_3_percent_are_those_of_life_cycle_costing)
{
    const published handbook = {"NIST Handbook 135, factors SPV and UPV at 3 % for life-cycle costing", FROM_MEMORY};
    check_value(&handbook, evn_factor_pf(0.03, 10), ABSOLUTE, 0.744, 5e-4, "1", "SPV, 3 %%, 10 years");
    check_value(&handbook, evn_factor_pa(0.03, 10), ABSOLUTE, 8.53, 5e-3, "1", "UPV, 3 %%, 10 years");
    check_value(&handbook, evn_factor_pf(0.03, 20), ABSOLUTE, 0.554, 5e-4, "1", "SPV, 3 %%, 20 years");
    check_value(&handbook, evn_factor_pa(0.03, 20), ABSOLUTE, 14.88, 5e-3, "1", "UPV, 3 %%, 20 years");
}
END_TEST

/* ------------------------------------------------------------------------------------------------ flows */

START_TEST(a_rate_of_return_between_two_columns_of_a_table_is_found)
{
    const published example = {
        "Newnan, Engineering Economic Analysis, chapter on rates of return: -700, 100, 175, 250, "
        "325 returns 6.91 % (by interpolation in tables)",
        FROM_MEMORY};
    static const double flow[] = {-700, 100, 175, 250, 325};
    evn_rates_of_return rates = evn_rates_of_return_of(flow, 5);
    ck_assert_uint_eq(rates.count, 1);
    check_value(&example, 100 * rates.rate[0], ABSOLUTE, 6.91, 0.01, "%", "rate of return");
}
END_TEST

START_TEST(the_oil_pump_has_both_its_rates_of_return)
{
    const published pump = {"Lorie and Savage 1955, Three problems in rationing capital: the faster oil pump, -1600, "
                            "10 000, -10 000: 25 % and 400 %",
                            FROM_MEMORY};
    static const double flow[] = {-1600, 10000, -10000};
    evn_rates_of_return rates = evn_rates_of_return_of(flow, 3);
    ck_assert_uint_eq(rates.count, 2);
    check_value(&pump, 100 * rates.rate[0], RELATIVE, 25, 1e-12, "%", "first rate of return");
    check_value(&pump, 100 * rates.rate[1], RELATIVE, 400, 1e-12, "%", "second rate of return");
    ck_assert(!rates.touches[0] && !rates.touches[1]);
}
END_TEST

START_TEST(a_flow_without_rate_of_return_has_none_and_yet_a_present_value)
{
    const published textbook = {"Brealey and Myers, Principles of Corporate Finance: 1000, -3000, 2500 has no rate of "
                                "return; 339 at 10 %",
                                FROM_MEMORY};
    static const double flow[] = {1000, -3000, 2500};
    ck_assert_uint_eq(evn_rates_of_return_of(flow, 3).count, 0);
    check_value(&textbook, evn_net_present_value(flow, 3, 0.10), ABSOLUTE, 339, 0.5, "1", "net present value at 10 %%");
}
END_TEST

START_TEST(an_even_saving_pays_back_as_its_closed_form_says)
{
    const published closed = {"even savings A on P: P/A years; discounted -ln(1 - i P/A) / ln(1 + i) at whole years",
                              CLOSED_FORM};
    double whole = evn_factor_pa(0.08, 6); /* so that it is paid back at the very end of year 6 */
    double flow[11] = {-1000 * whole};
    for (size_t k = 1; k <= 10; k++)
        flow[k] = 1000;
    check_value(&closed, evn_paid_back_of(flow, 11, 0).years, RELATIVE, whole, 1e-13, "a", "simple payback");
    check_value(&closed, evn_paid_back_of(flow, 11, 0.08).years, RELATIVE, 6, 1e-12, "a", "discounted payback");
    check_value(&closed, evn_net_present_value(flow, 11, 0.08), RELATIVE, 1000 * (evn_factor_pa(0.08, 10) - whole),
                1e-12, "1", "net present value");
    check_value(&closed, evn_equivalent_annual(flow, 11, 0.08), RELATIVE,
                1000 * (evn_factor_pa(0.08, 10) - whole) * evn_factor_ap(0.08, 10), 1e-12, "1",
                "equivalent annual worth");
}
END_TEST

/* ------------------------------------------------------------------------------------------------ costs */

START_TEST(levelised_costs_reduce_to_what_is_left_of_them)
{
    const published form = {
        "simple levelised cost of energy (NREL): capital times CRF and yearly costs over the yearly "
        "output, and energy; km for kWh",
        FROM_MEMORY};
    const evn_levelised all = {100000, 0.08, 8, 3000, 120000, 1.5, 0.2, 0.05};
    evn_levelised energy = {0, 0.08, 8, 0, 120000, 1.5, 0.2, 0}, even = all;
    even.rate = 0;
    check_value(&form, evn_levelised_per_km(&all), RELATIVE, (100000 * 0.174014760 + 3000) / 120000 + 0.3 + 0.05, 1e-8,
                "1/km", "levelised cost");
    check_value(&form, evn_levelised_per_km(&energy), RELATIVE, 0.3, 1e-15, "1/km", "of energy alone");
    check_value(&form, evn_levelised_per_km(&even), RELATIVE, (100000.0 / 8 + 3000) / 120000 + 0.35, 1e-14, "1/km",
                "at no interest");
    check_value(&form, evn_levelised_per_t_km(&all, 20), RELATIVE, evn_levelised_per_km(&all) / 20, 1e-15, "1/(t km)",
                "over 20 t");
}
END_TEST

START_TEST(a_straight_difference_turns_where_two_places_say)
{
    const published line = {"straight line through two points", CLOSED_FORM};
    /* an extra price of 9000 with 1.5 % of 1.5 kWh/km at 0.2: level at 9000 / (0.0045 * 3.99271) km a year */
    double per_km = 0.0045 * evn_factor_pa(0.08, 5);
    check_value(&line, evn_turns_straight(1000, 1000 * per_km - 9000, 50000, 50000 * per_km - 9000), RELATIVE,
                9000 / per_km, 1e-13, "km", "break-even distance");
    check_value(&line, isnan(evn_turns_straight(1, 3, 2, 3)), ABSOLUTE, 1, 0, "1", "a level difference turns nowhere");
}
END_TEST

/* ------------------------------------------------------------------------------------------------ batteries */

START_TEST(cells_age_with_time_and_charge_as_the_law_says)
{
    const published law = {
        "Schmalstieg et al., J. Power Sources 257 (2014) 325-334, as coded in a public aircraft-design "
        "library; the paper from memory",
        RECOMPUTED};
    double by_time = evn_ageing_by_time(3.7, 25);
    check_value(&law, by_time, RELATIVE, 2.8652e-4, 5e-5, "1", "loss per day^0.75 at 3.7 V and 25 degC");
    check_value(&law, evn_ageing_by_charge(3.667, 0.5), RELATIVE, 7.60e-4 + 4.081e-3 / 2, 1e-12, "1",
                "loss per root of Ah at 3.667 V and half depth");
    const evn_ageing idle = {by_time, 0, 0};
    check_value(&law, 100 * (1 - evn_ageing_capacity(&idle, 3650 / EVN_DAYS_A_YEAR)), ABSOLUTE, 13.45, 0.005, "%",
                "loss in 3650 days at 3.7 V and 25 degC");
    const evn_ageing cycled = {0, 1e-3, 100}; /* 100 cycles a year: 2.15 Ah in and out each */
    check_value(&law, 1 - evn_ageing_capacity(&cycled, 4), RELATIVE, 1e-3 * sqrt(400 * 2 * 2.15), 1e-12, "1",
                "loss of 400 full cycles of a cell of 2.15 Ah");
    const evn_ageing used = {by_time, evn_ageing_by_charge(3.7, 0.6), 250};
    double years = evn_ageing_years_to(&used, 0.8);
    check_value(&law, evn_ageing_capacity(&used, years), RELATIVE, 0.8, 1e-10, "1", "capacity when it is replaced");
}
END_TEST

START_TEST(charging_loses_in_the_battery_what_ohm_says)
{
    const published circuit = {"P = E I + R I^2 at the terminals, loss R I^2", CLOSED_FORM};
    double current_a = 150, e_v = 680, ohm = 0.04, terminal_w = e_v * current_a + ohm * current_a * current_a;
    check_value(&circuit, evn_pack_charging_efficiency(e_v, ohm, terminal_w / 1000), RELATIVE,
                e_v * current_a / terminal_w, 1e-14, "1", "efficiency within the battery");
    check_value(&circuit, evn_pack_charging_efficiency(e_v, 0, 100), RELATIVE, 1, 1e-15, "1", "without resistance");
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("money, published");
    TCase *factors = tcase_create("factors of compound interest"), *flows = tcase_create("cash flows"),
          *costs = tcase_create("levelised costs and turning points"),
          *batteries = tcase_create("batteries over years");
    tcase_add_test(batteries, cells_age_with_time_and_charge_as_the_law_says);
    tcase_add_test(batteries, charging_loses_in_the_battery_what_ohm_says);
    tcase_add_test(factors, factors_at_10_percent_over_5_years_are_those_of_the_tables);
    tcase_add_test(factors, factors_at_35_percent_over_5_years_are_those_of_newnan);
    tcase_add_test(factors, factors_of_a_quarter_percent_a_month_are_those_of_the_tables);
    tcase_add_test(factors, annuities_are_those_of_the_closed_form);
    tcase_add_test(factors, factors_keep_their_identities_from_minus_half_to_fivefold);
    tcase_add_test(factors, discount_factors_at_3_percent_are_those_of_life_cycle_costing);
    tcase_add_test(flows, a_rate_of_return_between_two_columns_of_a_table_is_found);
    tcase_add_test(flows, the_oil_pump_has_both_its_rates_of_return);
    tcase_add_test(flows, a_flow_without_rate_of_return_has_none_and_yet_a_present_value);
    tcase_add_test(flows, an_even_saving_pays_back_as_its_closed_form_says);
    tcase_add_test(costs, levelised_costs_reduce_to_what_is_left_of_them);
    tcase_add_test(costs, a_straight_difference_turns_where_two_places_say);
    suite_add_tcase(suite, factors);
    suite_add_tcase(suite, flows);
    suite_add_tcase(suite, costs);
    suite_add_tcase(suite, batteries);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_NORMAL);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
