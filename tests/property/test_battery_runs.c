/* Batteries that warm, tire and age, over whole runs: what is neutral, what balances, what never jumps, what orders. */
#define _XOPEN_SOURCE 700
#include "../unit/scene.h"
#include "evener/keys.h"
#include "trip/results.h"
#include "truck/rig.h"

/* Starts, a hill with its descent, and stops, in 6 km. */
#define ROUND                                                                                                          \
    "length_m: 6000\nspeed: {place_m: [0], limit_km_h: [70]}\nroad: {place_m: [0, 1000, 2500, 4500, 6000], "           \
    "grade_percent: [0, 5, 5, -6, 0]}\nstops: {place_m: [500, 1200, 3500], wait_s: [20, 20, 20]}"

#define FACTORS "resistance_factors: {temperature_degc: [-20, 0, 25, 45], factor: [4.5, 2.2, 1, 0.6]}"
#define SHARES                                                                                                         \
    "discharge_shares: {temperature_degc: [-20, 0, 20], share: [0.4, 0.7, 1], continuous_share: [0.2, 0.35, 0.5]}, "   \
    "charge_shares: {temperature_degc: [-20, 0, 20], share: [0.05, 0.3, 1], continuous_share: [0.02, 0.15, 0.5]}"
#define HEAT                                                                                                           \
    "heat: {heat_capacity_kj_per_k: 300, to_air_w_per_k: 60, cooling: {heat_kw: 8}, heating: {heat_kw: 6, to_degc: "   \
    "8, "                                                                                                              \
    "full_degc: 2}}"

static double cell(const drive *run, const scene *it, size_t row, const char *key)
{
    evn_trace_column c;
    for (size_t i = 0; evn_trace_column_at(run->rig, i, &c); i++)
        if (strcmp(c.what.key, key) == 0)
            return it->rows.value[row * it->rows.columns + i];
    ck_abort_msg("no column %s", key);
    return 0;
}

static scene of_battery(const char *battery, char text[2000])
{
    snprintf(text, 2000, "battery: {%s}", battery);
    scene it = scene_of(TRACTOR, text, ROUND);
    it.ask.driving.accuracy = 1e-8;
    return it;
}

static drive finished(scene *it)
{
    drive run = play(it);
    must_finish(&run);
    return run;
}

/* ------------------------------------------------------------------------------------------------ neutral */

/* Tables of ones and an age of nothing leave every digit. */
START_TEST(a_battery_that_states_that_nothing_changes_drives_to_the_same_digits)
{
    char plain_text[2000], ones_text[2000];
    scene plain = of_battery("mass_kg: 3000", plain_text);
    scene ones = of_battery("mass_kg: 3000, resistance_factors: {temperature_degc: [-20, 25], factor: [1, 1]}, "
                            "discharge_shares: {temperature_degc: [0], share: [1]}, "
                            "charge_shares: {temperature_degc: [0, 9], soc: [0, 1], share: [1, 1, 1, 1]}, "
                            "ageing: {years: [0, 9], capacity_factor: [1, 0.5], resistance_factor: [1, 3]}",
                            ones_text);
    drive a = finished(&plain), b = finished(&ones);
    evn_quantity what;
    double value;
    for (size_t k = 0; evn_results_at(a.results, k, &what, &value); k++) {
        double other = result(&b, what.key);
        ck_assert_msg(value == other || (isnan(value) && isnan(other)), "%s: %.17g, %.17g", what.key, value, other);
    }
    scene_end(&plain, &a);
    scene_end(&ones, &b);
}
END_TEST

/* ------------------------------------------------------------------------------------------------ heat */

/* Heat in the node is what the balance says is lost, less what air and cooling took, and what heating brought: from the
 * rows, by trapeziums. Warm and cold, so that cooling works in one and heating in the other. */
START_TEST(the_heat_of_a_battery_is_what_is_lost_less_what_is_given_off)
{
    static const double air_degc[] = {33, -12};
    char text[2000];
    scene it = of_battery(HEAT ", " FACTORS, text);
    it.ask.load_case.temperature_degc = air_degc[_i];
    it.ask.load_case.battery_start_degc = air_degc[_i] + 3;
    it.ask.driving.trace_interval_s = 0.25;
    drive run = finished(&it);
    const evn_pack_heat *h = &run.rig->pack.heat;
    double off_j = 0, electric_j = 0;
    for (size_t k = 0; k + 1 < it.rows.rows; k++) {
        double from = cell(&run, &it, k, "battery_temperature_degc");
        double to = cell(&run, &it, k + 1, "battery_temperature_degc"), middle = 0.5 * (from + to);
        double s = cell(&run, &it, k + 1, "time_s") - cell(&run, &it, k, "time_s");
        double heated_w = evn_pack_heated_w(h, middle), cooled_w = evn_pack_cooled_w(h, middle);
        off_j += s * (60 * (middle - air_degc[_i]) + cooled_w - heated_w);
        electric_j += s * (cooled_w / 3 + heated_w / 0.95);
    }
    double rise_k = result(&run, "final_battery_temperature_degc") - (air_degc[_i] + 3);
    double lost_j = result(&run, "energy_balance.battery_losses_kwh") * 3.6e6;
    ck_assert_double_gt(fabs(off_j), 0.1 * lost_j);
    ck_assert_double_eq_tol(300e3 * rise_k, lost_j - off_j, 1e-5 * lost_j);
    ck_assert_double_eq_tol(result(&run, "energy_balance.battery_conditioning_kwh") * 3.6e6, electric_j,
                            1e-4 * electric_j);
    scene_end(&it, &run);
}
END_TEST

START_TEST(a_battery_that_passes_its_limit_is_told_and_one_that_reaches_it_is_not)
{
    static const struct {
        const char *battery;
        bool told;
    } rows[] = {{"heat: {heat_capacity_kj_per_k: 100, start_degc: 39.5, limit_degc: 40}", true},
                {"heat: {heat_capacity_kj_per_k: 100000, start_degc: 40, limit_degc: 40}", false}};
    char text[2000];
    evn_finding finding;
    scene it = of_battery(rows[_i].battery, text);
    drive run = play(&it);
    bool told = false;
    for (size_t k = 0; evn_report_at(run.report, k, &finding); k++)
        told = told || (strcmp(finding.fault, "limit_passed") == 0 && strstr(finding.text, "battery at"));
    ck_assert(told == rows[_i].told);
    scene_end(&it, &run);
}
END_TEST

/* ------------------------------------------------------------------------------------------------ limits */

/* No row gives or takes more than is permitted, none is permitted more than the table's most, and none before and after
 * an event differ in what they permit: there are hundreds of instants at the limit, in the cold and in the warm. */
START_TEST(a_run_keeps_to_limits_that_fall_and_rise_under_it)
{
    static const double start_degc[] = {-10, 15, 30};
    char text[2000];
    scene it = of_battery(SHARES ", " HEAT ", " FACTORS, text);
    it.ask.load_case.battery_start_degc = start_degc[_i];
    it.ask.load_case.temperature_degc = 0;
    it.ask.driving.trace_interval_s = 0.5;
    drive run = finished(&it);
    size_t bound = 0;
    for (size_t k = 0; k < it.rows.rows; k++) {
        double kw = cell(&run, &it, k, "terminal_kw"), out_kw = cell(&run, &it, k, "permitted_discharge_kw");
        double in_kw = cell(&run, &it, k, "permitted_charge_kw");
        ck_assert_msg(kw <= out_kw + 1e-3 && -kw <= in_kw + 1e-3, "%g of %g, %g at row %zu", kw, out_kw, in_kw, k);
        bound += kw > out_kw - 1e-3 || -kw > in_kw - 1e-3;
        if (k > 0 && cell(&run, &it, k, "time_s") == cell(&run, &it, k - 1, "time_s"))
            ck_assert_double_eq_tol(out_kw, cell(&run, &it, k - 1, "permitted_discharge_kw"), 1e-9);
    }
    ck_assert_uint_gt(bound, 20);
    ck_assert_double_gt(result(&run, "discharge_limited_s") + result(&run, "charge_limited_s"), 5);
    scene_end(&it, &run);
}
END_TEST

static unsigned long events_of(const char *battery)
{
    char text[2000];
    scene it = of_battery(battery, text);
    it.ask.load_case.temperature_degc = 5;
    drive run = finished(&it);
    unsigned long events = run.results->events;
    scene_end(&it, &run);
    return events;
}

/* A limit that hunted would be met and left again and again. */
START_TEST(limits_that_move_cost_few_events_more_than_limits_that_stand)
{
    unsigned long stand = events_of("discharge_limit_kw: 350, charge_limit_kw: 150");
    unsigned long move = events_of(SHARES ", " HEAT);
    ck_assert_msg(move < 2 * stand + 40, "%lu, standing %lu", move, stand);
}
END_TEST

/* ------------------------------------------------------------------------------------------------ order */

typedef struct came_to {
    double losses_kwh, final_soc, limited_s, friction_kwh;
} came_to;

static came_to come_to(double start_degc, double years)
{
    char text[2000];
    scene it = of_battery(SHARES ", " FACTORS ", heat: {heat_capacity_kj_per_k: 3000, to_air_w_per_k: 40}, "
                                 "ageing: {years: [0, 10], capacity_factor: [1, 0.8], resistance_factor: [1, 1.5]}",
                          text);
    it.ask.load_case.battery_start_degc = start_degc;
    it.ask.load_case.battery_age_years = years;
    drive run = finished(&it);
    came_to c = {result(&run, "energy_balance.battery_losses_kwh"), result(&run, "final_soc"),
                 result(&run, "discharge_limited_s"), result(&run, "energy_balance.friction_brakes_kwh")};
    scene_end(&it, &run);
    return c;
}

START_TEST(a_colder_battery_gives_back_less_and_an_older_one_is_emptier)
{
    came_to warm = come_to(25, 0), cool = come_to(5, 0), cold = come_to(-10, 0), old = come_to(25, 8);
    ck_assert(cool.limited_s > warm.limited_s && cold.limited_s > cool.limited_s);
    ck_assert(cool.friction_kwh > warm.friction_kwh && cold.friction_kwh > cool.friction_kwh);
    ck_assert(cold.final_soc < cool.final_soc && cool.final_soc < warm.final_soc);
    ck_assert(old.losses_kwh > 1.2 * warm.losses_kwh && old.final_soc < warm.final_soc);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("battery runs");
    TCase *all = tcase_create("battery runs");
    tcase_add_checked_fixture(all, folder_begin, folder_end);
    tcase_add_test(all, a_battery_that_states_that_nothing_changes_drives_to_the_same_digits);
    tcase_add_loop_test(all, the_heat_of_a_battery_is_what_is_lost_less_what_is_given_off, 0, 2);
    tcase_add_loop_test(all, a_battery_that_passes_its_limit_is_told_and_one_that_reaches_it_is_not, 0, 2);
    tcase_add_loop_test(all, a_run_keeps_to_limits_that_fall_and_rise_under_it, 0, 3);
    tcase_add_test(all, limits_that_move_cost_few_events_more_than_limits_that_stand);
    tcase_add_test(all, a_colder_battery_gives_back_less_and_an_older_one_is_emptier);
    suite_add_tcase(suite, all);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_NORMAL);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
