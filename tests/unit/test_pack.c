/* The pack at an instant: tables of two axes, resistance, limits of power, age, heat, a charger; and what is refused.
 */
#define _XOPEN_SOURCE 700
#include "core/grid.h"
#include "scene.h"
#include "truck/rig.h"

#define TRUCK "tests/trucks/four-speed.yaml"

static evn_rig *rig_with(const char *battery, const evn_load_case *c, evn_report *report)
{
    char path[PATH_BYTES], text[2000], here[300];
    evn_truck *truck;
    evn_rig *rig = NULL;
    ck_assert_ptr_nonnull(getcwd(here, sizeof here));
    snprintf(text, sizeof text, "extends: %s/%s\nbattery: {%s}\n", here, TRUCK, battery);
    write_file("pack.yaml", text);
    if (evn_truck_load(in_folder(path, "pack.yaml"), &truck, report) == EVN_DONE) {
        evn_rig_prepare(truck, c, &rig, report);
        evn_truck_free(truck);
    }
    return rig;
}

static evn_rig *sound_rig(const char *battery, const evn_load_case *c)
{
    evn_report *report = evn_report_new();
    evn_rig *rig = rig_with(battery, c, report);
    ck_assert_msg(rig, "%s", first_finding(report));
    evn_report_free(report);
    return rig;
}

/* ------------------------------------------------------------------------------------------------ tables */

static const double rows_at[] = {-20, 0, 10, 25}, columns_at[] = {0.1, 0.5, 0.9};
static const double values[] = {5, 4, 3.5, 3, 2, 1.8, 2, 1.4, 1.3, 1.2, 1, 0.8};

static evn_grid grid(void)
{
    evn_grid g;
    evn_grid_make(&g, rows_at, 4, columns_at, 3, values);
    return g;
}

START_TEST(a_table_goes_through_its_values_and_holds_them_beyond_its_ends)
{
    evn_grid g = grid();
    for (size_t i = 0; i < 4; i++)
        for (size_t k = 0; k < 3; k++)
            ck_assert_double_eq_tol(evn_grid_at(&g, columns_at[k], rows_at[i]), values[3 * i + k], 1e-14);
    ck_assert_double_eq(evn_grid_at(&g, 0, -50), 5);
    ck_assert_double_eq(evn_grid_at(&g, 1, 80), 0.8);
    ck_assert_double_eq(evn_grid_at(&g, 0.3, -50), evn_grid_at(&g, 0.3, -20));
}
END_TEST

START_TEST(between_four_values_a_table_stays_within_them)
{
    evn_grid g = grid();
    for (size_t i = 0; i + 1 < 4; i++)
        for (size_t k = 0; k + 1 < 3; k++) {
            const double *v = values + 3 * i + k;
            double low = fmin(fmin(v[0], v[1]), fmin(v[3], v[4])), high = fmax(fmax(v[0], v[1]), fmax(v[3], v[4]));
            for (int a = 0; a <= 20; a++)
                for (int b = 0; b <= 20; b++) {
                    double x = columns_at[k] + (columns_at[k + 1] - columns_at[k]) * a / 20;
                    double y = rows_at[i] + (rows_at[i + 1] - rows_at[i]) * b / 20, z = evn_grid_at(&g, x, y);
                    ck_assert_msg(z >= low - 1e-12 && z <= high + 1e-12, "%g at %g, %g", z, x, y);
                }
        }
}
END_TEST

/* Slopes from both sides of a line agree, along both axes; a bilinear surface fails this. */
START_TEST(a_table_has_no_bend_at_its_lines)
{
    evn_grid g = grid();
    double h = 1e-5;
    for (double x = 0.15; x < 0.9; x += 0.1)
        for (size_t i = 1; i < 3; i++) {
            double y = rows_at[i], at = evn_grid_at(&g, x, y);
            double below = (at - evn_grid_at(&g, x, y - h)) / h, above = (evn_grid_at(&g, x, y + h) - at) / h;
            ck_assert_double_eq_tol(below, above, 1e-5);
        }
    for (double y = -15; y < 25; y += 3) {
        double at = evn_grid_at(&g, 0.5, y);
        double below = (at - evn_grid_at(&g, 0.5 - h, y)) / h, above = (evn_grid_at(&g, 0.5 + h, y) - at) / h;
        ck_assert_double_eq_tol(below, above, 1e-3);
    }
}
END_TEST

START_TEST(a_table_without_a_first_axis_is_a_curve_over_the_second)
{
    evn_grid g;
    evn_curve c;
    evn_grid_make(&g, rows_at, 4, NULL, 0, values);
    evn_curve_make(&c, rows_at, values, 4, true);
    for (double y = -30; y < 40; y += 0.7)
        ck_assert_double_eq_tol(evn_grid_at(&g, 0.123, y), evn_curve_at(&c, y), 1e-12);
}
END_TEST

/* ------------------------------------------------------------------------------------------------ limits */

#define SHARES                                                                                                         \
    "discharge_shares: {temperature_degc: [-20, 20], share: [0.4, 1], continuous_share: [0.2, 0.6]}, "                 \
    "charge_shares: {temperature_degc: [0, 20], soc: [0.5, 0.9], share: [0.2, 0.1, 1, 0.5], "                          \
    "continuous_share: [0.1, 0.1, 0.6, 0.4], recovery_s: 30}"

/* 700 kW out and 430 in. */
START_TEST(limits_go_with_temperature_charge_and_what_is_used_up)
{
    evn_conditions ask = evn_conditions_default();
    evn_rig *rig = sound_rig(SHARES, &ask.load_case);
    evn_pack_able a = evn_pack_at(&rig->pack, &(evn_pack_now){.soc = 0.5, .degc = 20});
    ck_assert_double_eq_tol(a.out.short_w, 700e3, 1e-6);
    ck_assert_double_eq_tol(a.out.continuous_w, 420e3, 1e-6);
    ck_assert_double_eq_tol(a.most_w, 700e3, 1e-6);
    ck_assert_double_eq_tol(a.charge_w, 430e3, 1e-6);
    a = evn_pack_at(&rig->pack, &(evn_pack_now){.soc = 0.5, .degc = -30, .out_used = 1, .in_used = 1});
    ck_assert_double_eq_tol(a.most_w, 140e3, 1e-6);
    ck_assert_double_eq_tol(a.charge_w, 43e3, 1e-6);
    a = evn_pack_at(&rig->pack, &(evn_pack_now){.soc = 0.5, .degc = 20, .out_used = 0.9, .in_used = 0.9});
    ck_assert_double_eq_tol(a.most_w, 420e3 + 280e3 * 0.5, 1e-6);
    ck_assert_double_eq_tol(a.charge_w, 430e3 * (0.6 + 0.4 * 0.5), 1e-6);
    evn_rig_free(rig);
}
END_TEST

START_TEST(no_temperature_charge_or_use_makes_a_limit_jump_or_leaves_less_for_seconds_than_for_ever)
{
    evn_conditions ask = evn_conditions_default();
    evn_rig *rig = sound_rig(SHARES, &ask.load_case);
    double out_w = 0, in_w = 0;
    for (int k = 0; k <= 20000; k++) {
        double x = k / 20000.0;
        evn_pack_now now = {.soc = 0.93 - 0.8 * x, .degc = 70 * x - 40, .out_used = 1.2 * x, .in_used = 1.1 - x};
        evn_pack_able a = evn_pack_at(&rig->pack, &now);
        ck_assert(a.out.continuous_w <= a.out.now_w && a.out.now_w <= a.out.short_w);
        ck_assert(a.in.continuous_w <= a.in.now_w && a.in.now_w <= a.in.short_w);
        ck_assert(k == 0 || (fabs(a.most_w - out_w) < 200 && fabs(a.charge_w - in_w) < 200));
        out_w = a.most_w;
        in_w = a.charge_w;
    }
    evn_rig_free(rig);
}
END_TEST

/* Beyond the continuous limit 1/10 s times how much of the pulse; at rest back with the time constant, none at it. */
START_TEST(a_pulse_is_used_up_in_ten_seconds_and_comes_back_at_rest)
{
    evn_pack_limit l = {.limit_w = 300e3, .recovery_s = 40, .tires = true};
    evn_pack_power p = {300e3, 100e3, 300e3}, none = {50e3, 0, 50e3};
    ck_assert_double_eq_tol(evn_pack_used_rate_1_s(&l, &p, 0.3, 300e3), 0.1, 1e-15);
    ck_assert_double_eq_tol(evn_pack_used_rate_1_s(&l, &p, 0.3, 150e3), 0.025, 1e-15);
    ck_assert_double_eq(evn_pack_used_rate_1_s(&l, &p, 0.3, 100e3), 0);
    ck_assert_double_eq_tol(evn_pack_used_rate_1_s(&l, &p, 0.4, 50e3), -0.4 / 40 / 2, 1e-15);
    ck_assert_double_eq_tol(evn_pack_used_rate_1_s(&l, &p, 0.4, 0), -0.4 / 40, 1e-15);
    ck_assert_double_eq_tol(evn_pack_used_rate_1_s(&l, &p, 0.4, -70e3), -0.4 / 40, 1e-15);
    ck_assert_double_eq_tol(evn_pack_used_rate_1_s(&l, &none, 0.4, 25e3), 0.05, 1e-15);
    ck_assert_double_eq_tol(evn_pack_used_rate_1_s(&l, &none, 0.4, 0), -0.4 / 40, 1e-15);
}
END_TEST

/* ------------------------------------------------------------------------------------------------ age */

#define AGEING "ageing: {years: [0, 5, 10], capacity_factor: [1, 0.9, 0.75], resistance_factor: [1, 1.3, 2]}"

START_TEST(age_takes_capacity_and_adds_resistance_and_a_new_battery_is_as_stated)
{
    evn_conditions ask = evn_conditions_default();
    evn_rig *plain = sound_rig("mass_kg: 3000", &ask.load_case), *rig = sound_rig(AGEING, &ask.load_case);
    ck_assert(rig->pack.capacity_as == plain->pack.capacity_as);
    ck_assert(rig->pack.resistance_ohm == plain->pack.resistance_ohm);
    evn_rig_free(rig);
    ask.load_case.battery_age_years = 5;
    rig = sound_rig(AGEING, &ask.load_case);
    ck_assert_double_eq_tol(rig->pack.capacity_as, 0.9 * plain->pack.capacity_as, 1e-6);
    ck_assert_double_eq_tol(rig->pack.resistance_ohm, 1.3 * plain->pack.resistance_ohm, 1e-15);
    evn_rig_free(rig);
    evn_rig_free(plain);
}
END_TEST

/* What the battery does not know must not be asked of it: the answer would be that of a new one, or of a warm one. */
START_TEST(age_and_temperature_are_refused_of_a_battery_that_states_nothing_of_them)
{
    static const struct {
        const char *battery, *said;
        double years, degc;
    } rows[] = {{"mass_kg: 3000", "battery_age_years is 5, and its battery states no ageing", 5, (double)NAN},
                {AGEING, "battery_age_years is 10.5; expected 0 to 10", 10.5, (double)NAN},
                {AGEING, "battery_start_degc is -10, and nothing of its battery is stated over temperature", 0, -10}};
    for (size_t k = 0; k < sizeof rows / sizeof *rows; k++) {
        evn_conditions ask = evn_conditions_default();
        evn_report *report = evn_report_new();
        ask.load_case.battery_age_years = rows[k].years;
        ask.load_case.battery_start_degc = rows[k].degc;
        ck_assert_ptr_null(rig_with(rows[k].battery, &ask.load_case, report));
        ck_assert_msg(strstr(first_finding(report), rows[k].said), "%s", first_finding(report));
        evn_report_free(report);
    }
}
END_TEST

/* ------------------------------------------------------------------------------------------------ heat */

static const evn_pack_heat warm = {.modelled = true,
                                   .capacity_j_k = 1e6,
                                   .air_w_k = 50,
                                   .cooling = {8e3, 30, 40, 1 / 2.5},
                                   .heating = {6e3, 8, 2, 1 / 0.95}};

START_TEST(cooling_and_heating_rise_between_their_temperatures_and_take_power_for_it)
{
    ck_assert_double_eq(evn_pack_conditioning_w(&warm, 20), 0);
    ck_assert_double_eq(evn_pack_conditioning_w(&warm, 30), 0);
    ck_assert_double_eq_tol(evn_pack_cooled_w(&warm, 35), 4e3, 1e-9);
    ck_assert_double_eq_tol(evn_pack_conditioning_w(&warm, 50), 8e3 / 2.5, 1e-9);
    ck_assert_double_eq_tol(evn_pack_heated_w(&warm, 5), 3e3, 1e-9);
    ck_assert_double_eq_tol(evn_pack_conditioning_w(&warm, -20), 6e3 / 0.95, 1e-9);
    ck_assert_double_eq_tol(evn_pack_heat_rate_k_s(&warm, 50, 10, 5e3), (5e3 - 50 * 40 - 8e3) / 1e6, 1e-15);
    ck_assert_double_eq_tol(evn_pack_heat_rate_k_s(&warm, -20, -10, 1e3), (1e3 + 50 * 10 + 6e3) / 1e6, 1e-15);
}
END_TEST

START_TEST(the_start_is_what_is_asked_for_else_what_the_file_says_else_the_air)
{
    evn_conditions ask = evn_conditions_default();
    ask.load_case.temperature_degc = -7;
    evn_rig *rig = sound_rig("heat: {heat_capacity_kj_per_k: 3000}", &ask.load_case);
    ck_assert_double_eq(rig->pack.start_degc, -7);
    evn_rig_free(rig);
    rig = sound_rig("heat: {heat_capacity_kj_per_k: 3000, start_degc: 12}", &ask.load_case);
    ck_assert_double_eq(rig->pack.start_degc, 12);
    evn_rig_free(rig);
    ask.load_case.battery_start_degc = 21;
    rig = sound_rig("heat: {heat_capacity_kj_per_k: 3000, start_degc: 12}", &ask.load_case);
    ck_assert_double_eq(rig->pack.start_degc, 21);
    evn_rig_free(rig);
}
END_TEST

/* ------------------------------------------------------------------------------------------------ a charger */

START_TEST(a_charger_brings_the_least_of_offer_current_battery_and_voltage_and_says_which)
{
    evn_conditions ask = evn_conditions_default();
    evn_rig *rig = sound_rig(SHARES ", maximum_voltage_v: 745", &ask.load_case);
    const evn_pack *p = &rig->pack;
    double free_a = (double)INFINITY;
    evn_pack_now now = {.soc = 0.5, .degc = 20};
    evn_charging c = evn_pack_charging(p, &now, 150e3, free_a);
    ck_assert_double_eq(c.terminal_w, 150e3);
    ck_assert_int_eq(c.by, EVN_CHARGED_BY_OFFER);
    ck_assert_double_eq_tol(c.current_a * c.terminal_v, 150e3, 1e-6);
    c = evn_pack_charging(p, &now, 1e6, 300);
    ck_assert_double_eq_tol(c.current_a, 300, 1e-9);
    ck_assert_int_eq(c.by, EVN_CHARGED_BY_CURRENT);
    c = evn_pack_charging(p, &now, 1e6, free_a); /* for any time, not for 10 s */
    ck_assert_double_eq_tol(c.terminal_w, 0.6 * 430e3, 1e-6);
    ck_assert_int_eq(c.by, EVN_CHARGED_BY_PACK);
    now.degc = -10;
    c = evn_pack_charging(p, &now, 1e6, free_a);
    ck_assert_double_eq_tol(c.terminal_w, 0.1 * 430e3, 1e-6);
    now = (evn_pack_now){.soc = 0.92, .degc = 20};
    c = evn_pack_charging(p, &now, 1e6, 1e5);
    ck_assert(c.terminal_v <= 745 + 1e-9 && c.terminal_w > 0);
    now.soc = p->usable_to;
    c = evn_pack_charging(p, &now, 1e6, free_a);
    ck_assert(c.terminal_w == 0 && c.current_a == 0 && c.by == EVN_CHARGED_BY_PACK);
    c = evn_pack_charging(p, &now, -5e3, free_a);
    ck_assert(c.terminal_w == 0);
    evn_rig_free(rig);
}
END_TEST

/* What a charger brings must fall or stay as the battery fills, or a stop until a charge would hunt. */
START_TEST(what_a_charger_brings_has_no_jump_over_charge_and_temperature)
{
    evn_conditions ask = evn_conditions_default();
    evn_rig *rig = sound_rig(SHARES ", maximum_voltage_v: 745", &ask.load_case);
    double last_w = 0;
    for (int k = 0; k <= 40000; k++) {
        evn_pack_now now = {.soc = 0.06 + 0.88 * k / 40000, .degc = 30.0 * k / 40000 - 5};
        evn_charging c = evn_pack_charging(&rig->pack, &now, 250e3, 400);
        ck_assert(k == 0 || fabs(c.terminal_w - last_w) < 400);
        last_w = c.terminal_w;
    }
    evn_rig_free(rig);
}
END_TEST

/* ------------------------------------------------------------------------------------------------ bad input */

static const struct {
    const char *battery, *said;
} refused[] = {
    {"resistance_factors: {temperature_degc: [0, 20], factor: [1]}", "1 values; expected 2"},
    {"resistance_factors: {temperature_degc: [0, 20], soc: [0.1, 0.9], factor: [2, 1]}", "2 values; expected 4"},
    {"resistance_factors: {temperature_degc: [20, 0], factor: [1, 2]}", "temperature_degc goes from 20 to 0"},
    {"resistance_factors: {temperature_degc: [0, 0.5], factor: [2, 1]}", "temperature_degc"},
    {"resistance_factors: {temperature_degc: [0, 20], soc: [0.9, 0.1], factor: [1, 2, 3, 4]}",
     "soc goes from 0.9 to 0.1"},
    {"resistance_factors: {temperature_degc: [0], factor: [0]}", "0.1"},
    {"resistance_factors: {temperature_degc: [0]}", "factor"},
    {"resistance_factors: {temperature_degc: [0], factors: [1]}", "factor"},
    {"charge_shares: {temperature_degc: [0], share: [1.5]}", "share"},
    {"charge_shares: {temperature_degc: [0, 20], share: [0.5, 1], continuous_share: [0.2]}", "1 values; expected 2"},
    {"charge_shares: {temperature_degc: [0, 20], share: [0.5, 1], continuous_share: [0.6, 0.9]}",
     "value 1 is 0.6; expected at most that of share, 0.5"},
    {"charge_shares: {temperature_degc: [0], share: [1], recovery_s: 1}", "recovery_s"},
    {"ageing: {years: [1, 5], capacity_factor: [1, 0.9], resistance_factor: [1, 1.2]}", "begins at 1; expected 0"},
    {"ageing: {years: [0, 5], capacity_factor: [0.95, 0.9], resistance_factor: [1, 1.2]}",
     "begins at 0.95; expected 1"},
    {"ageing: {years: [0, 5], capacity_factor: [1, 0.9], resistance_factor: [1.1, 1.2]}", "begins at 1.1; expected 1"},
    {"ageing: {years: [0, 5], capacity_factor: [1], resistance_factor: [1, 1.2]}", "capacity_factor"},
    {"ageing: {years: [0, 50], capacity_factor: [1, 0.9], resistance_factor: [1, 1.2]}", "years"},
    {"heat: {to_air_w_per_k: 40}", "heat_capacity_kj_per_k"},
    {"heat: {heat_capacity_kj_per_k: 50, to_air_w_per_k: 1000}", "within 50 s; expected at least 60 s"},
    {"heat: {heat_capacity_kj_per_k: 3000, cooling: {heat_kw: 8, from_degc: 30, full_degc: 30.5}}",
     "cools most at 30.5 degC; expected at least 1 K above from_degc"},
    {"heat: {heat_capacity_kj_per_k: 3000, heating: {heat_kw: 8, to_degc: 5, full_degc: 5}}",
     "heats most at 5 degC; expected at least 1 K below to_degc"},
    {"heat: {heat_capacity_kj_per_k: 3000, cooling: {heat_kw: 8, from_degc: 20, full_degc: 30}, heating: {heat_kw: 8, "
     "to_degc: 25, full_degc: 15}}",
     "heats up to 25 degC; expected at most cooling.from_degc, 20"},
    {"heat: {heat_capacity_kj_per_k: 3000, cooling: {heat_kw: 8, coefficient_of_performance: 0}}",
     "coefficient_of_performance"},
    {"heat: {heat_capacity_kj_per_k: .nan}", "heat_capacity_kj_per_k"},
};

START_TEST(what_hangs_together_is_refused_at_its_line_where_it_does_not)
{
    evn_conditions ask = evn_conditions_default();
    evn_report *report = evn_report_new();
    evn_finding finding;
    ck_assert_ptr_null(rig_with(refused[_i].battery, &ask.load_case, report));
    ck_assert_int_eq(evn_report_status(report), EVN_BAD_INPUT);
    size_t k = 0; /* behind warnings of what is unusual */
    do
        ck_assert(evn_report_at(report, k++, &finding));
    while (finding.severity != EVN_ERROR);
    ck_assert_msg(finding.line == 2 && finding.column > 1 && strstr(finding.text, refused[_i].said), "%u:%u: %s",
                  finding.line, finding.column, finding.text);
    ck_assert_msg(strstr(finding.text, "expected"), "%s", finding.text);
    evn_report_free(report);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("pack");
    TCase *all = tcase_create("pack");
    tcase_add_checked_fixture(all, folder_begin, folder_end);
    tcase_add_test(all, a_table_goes_through_its_values_and_holds_them_beyond_its_ends);
    tcase_add_test(all, between_four_values_a_table_stays_within_them);
    tcase_add_test(all, a_table_has_no_bend_at_its_lines);
    tcase_add_test(all, a_table_without_a_first_axis_is_a_curve_over_the_second);
    tcase_add_test(all, limits_go_with_temperature_charge_and_what_is_used_up);
    tcase_add_test(all, no_temperature_charge_or_use_makes_a_limit_jump_or_leaves_less_for_seconds_than_for_ever);
    tcase_add_test(all, a_pulse_is_used_up_in_ten_seconds_and_comes_back_at_rest);
    tcase_add_test(all, age_takes_capacity_and_adds_resistance_and_a_new_battery_is_as_stated);
    tcase_add_test(all, age_and_temperature_are_refused_of_a_battery_that_states_nothing_of_them);
    tcase_add_test(all, cooling_and_heating_rise_between_their_temperatures_and_take_power_for_it);
    tcase_add_test(all, the_start_is_what_is_asked_for_else_what_the_file_says_else_the_air);
    tcase_add_test(all, a_charger_brings_the_least_of_offer_current_battery_and_voltage_and_says_which);
    tcase_add_test(all, what_a_charger_brings_has_no_jump_over_charge_and_temperature);
    tcase_add_loop_test(all, what_hangs_together_is_refused_at_its_line_where_it_does_not, 0,
                        sizeof refused / sizeof *refused);
    suite_add_tcase(suite, all);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_NORMAL);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
