/* Runs of trucks with a coolant loop, against closed forms and against the loop worked out a second time from traces.
 */
#define _POSIX_C_SOURCE 200809L
#include "../unit/scene.h"

#define SINGLE "tests/trucks/single-speed.yaml"
#define COOLED "tests/trucks/cooled.yaml"
#define TWO_UNITS "tests/trucks/two-units.yaml"
#define NO_FAN "fan_from_degc: 140, fan_full_degc: 150"
#define LOOP(heat_capacity, fan, more)                                                                                 \
    "cooling: {heat_capacity_kj_per_k: " heat_capacity                                                                 \
    ", still_kw_per_k: 0.15, at_80_km_h_kw_per_k: 0.6, fan_kw_per_k: 0.5, fan_power_kw: 3, " fan more "}"
#define LONG_CRUISE "length_m: 60000\nspeed: {place_m: [0], limit_km_h: [80]}"
#define STOP_AND_GO                                                                                                    \
    "speed: {time_s: [0, 20, 60, 75, 90, 110, 200, 215, 260, 280, 400, 430], "                                         \
    "speed_km_h: [0, 50, 50, 0, 0, 70, 70, 0, 0, 80, 80, 0]}"

static const double STILL = 150, AT_80 = 600, FAN = 500, FAN_W = 3000; /* of LOOP, W/K and W */
static const evn_integrator both[] = {EVN_INTEGRATOR_CVODE, EVN_INTEGRATOR_ARKODE};

/* ------------------------------------------------------------------------------------------------ a second time */

/* Numbers of LOOP typed in, and none of the program's code. */
static double carried_w_k(double air_m_s, double share)
{
    double stated = 80 / 3.6, way = pow(AT_80 / STILL, 1 / 0.3) - 1, fan = pow(FAN / STILL, 1 / 0.3) - 1;
    return STILL * pow(1 + way * air_m_s * air_m_s / (stated * stated) + fan * share * share, 0.3);
}

static double at(const drive *run, const scene *it, size_t row, const char *key)
{
    return at_row(&it->rows, row, column(run, key));
}

static double coolant(const drive *run, const scene *it, size_t row)
{
    return at(run, it, row, "coolant_temperature_degc");
}

static double last_coolant(const drive *run, const scene *it) { return coolant(run, it, it->rows.rows - 1); }

/* First row from a time on. */
static size_t row_from(const drive *run, const scene *it, double time_s)
{
    size_t row = 0;
    while (row + 1 < it->rows.rows && at(run, it, row, "time_s") < time_s)
        row++;
    return row;
}

static scene strict_scene(const char *truck, const char *changes, const char *cycle)
{
    scene it = scene_of(truck, changes, cycle);
    it.ask.driving.driver = EVN_DRIVER_EXACT;
    it.ask.driving.accuracy = 1e-8;
    it.ask.load_case.temperature_degc = 20;
    it.ask.load_case.air_density_kg_m3 = 1.2;
    return it;
}

/* ------------------------------------------------------------------------------------------------ closed forms */

/* Without nodes of their own all losses go to the coolant; at a constant speed they are constant. */
static void hold_approach(const drive *run, const scene *it, double w_k, double ambient_degc)
{
    size_t from = row_from(run, it, 200), to = row_from(run, it, 500), late = row_from(run, it, 2500);
    double heat_w = 1e3 * (at(run, it, from, "motor_losses_kw") + at(run, it, from, "inverter_losses_kw"));
    double steady = ambient_degc + heat_w / w_k, begin = coolant(run, it, from);
    double passed_s = at(run, it, to, "time_s") - at(run, it, from, "time_s");
    ck_assert_double_gt(fabs(steady - begin), 0.5);
    double expected = steady + (begin - steady) * exp(-passed_s * w_k / 60e3);
    ck_assert_double_eq_tol(coolant(run, it, to), expected, 1e-5);
    ck_assert_double_eq_tol(coolant(run, it, late), steady, 1e-4);
}

START_TEST(at_a_constant_speed_the_coolant_nears_its_steady_temperature_exponentially)
{
    scene it = strict_scene(SINGLE, LOOP("60", NO_FAN, ""), LONG_CRUISE);
    it.ask.driving.integrator = both[_i];
    drive run = play(&it);
    must_finish(&run);
    hold_approach(&run, &it, AT_80, 20);
    scene_end(&it, &run);
}
END_TEST

START_TEST(headwind_carries_off_heat_as_speed_does)
{
    scene it = strict_scene(SINGLE, LOOP("60", NO_FAN, ""), LONG_CRUISE);
    it.ask.load_case.headwind_m_s = _i ? 8 : -8;
    drive run = play(&it);
    must_finish(&run);
    hold_approach(&run, &it, carried_w_k(80 / 3.6 + it.ask.load_case.headwind_m_s, 0), 20);
    scene_end(&it, &run);
}
END_TEST

/* At rest the motors stand ready where they are told not to rest: 150 W and 400 W. From above full speed of the fan
 * down, then below where it begins.
 */
START_TEST(standing_the_coolant_cools_down_by_the_fan_and_then_without_it)
{
    scene it = strict_scene(SINGLE,
                            LOOP("60", "fan_from_degc: 50, fan_full_degc: 60",
                                 ", start_degc: 95") "\ndrive_units: {rear: {engagement: {rest_after_s: 1000000}}}",
                            "length_m: 1000\nspeed: {place_m: [0], limit_km_h: [50]}\n"
                            "stops: {place_m: [0], wait_s: [3000]}");
    it.ask.driving.integrator = both[_i];
    drive run = play(&it);
    must_finish(&run);
    double ready_w = 550, steady_full = 20 + ready_w / FAN, steady_off = 20 + ready_w / STILL;
    double full_s = 60e3 / FAN * log((95 - steady_full) / (60 - steady_full)), off_begin = 0, off_degc = 0;
    for (size_t k = 0; k < it.rows.rows && at(&run, &it, k, "time_s") < 3000; k++) {
        double t = at(&run, &it, k, "time_s"), degc = coolant(&run, &it, k),
               share = at(&run, &it, k, "fan_speed_share");
        ck_assert_double_eq_tol(share, fmin(fmax((degc - 50) / 10, 0), 1), 1e-12);
        if (t <= full_s)
            ck_assert_double_eq_tol(degc, steady_full + (95 - steady_full) * exp(-t * FAN / 60e3), 1e-5);
        if (degc < 50 && off_begin == 0) {
            off_begin = t;
            off_degc = degc;
        }
        if (degc < 50)
            ck_assert_double_eq_tol(degc, steady_off + (off_degc - steady_off) * exp(-(t - off_begin) * STILL / 60e3),
                                    1e-5);
    }
    ck_assert(full_s > 60 && off_begin > full_s && off_begin < 1000);
    scene_end(&it, &run);
}
END_TEST

/* Where a winding is modelled it stands above the loop's coolant by what its loss makes, not above its own file's. */
START_TEST(a_winding_stands_above_the_coolant_of_the_loop)
{
    scene it = strict_scene("tests/trucks/four-speed.yaml", LOOP("60", NO_FAN, ""), LONG_CRUISE);
    drive run = play(&it);
    must_finish(&run);
    size_t late = row_from(&run, &it, 2500);
    double motor_kw = at(&run, &it, late, "motor_losses_kw"), inverter_kw = at(&run, &it, late, "inverter_losses_kw");
    double degc = 20 + 1e3 * (motor_kw + inverter_kw) / AT_80;
    ck_assert_double_eq_tol(coolant(&run, &it, late), degc, 1e-2);
    ck_assert_double_eq_tol(at(&run, &it, late, "winding_temperature_degc"), degc + 7.5 * motor_kw, 1e-2);
    ck_assert_double_eq_tol(at(&run, &it, 0, "winding_temperature_degc"), 20, 1e-9);
    scene_end(&it, &run);
}
END_TEST

/* ------------------------------------------------------------------------------------------------ balances */

/* Heat that the radiator carries off, J, and the fan's energy: by the trapezoid over the trace. */
static double carried_j(const drive *run, const scene *it, double *fan_j)
{
    double sum = 0, last_w = 0, last_fan_w = 0, last_s = 0;
    *fan_j = 0;
    for (size_t k = 0; k < it->rows.rows; k++) {
        double t = at(run, it, k, "time_s"), share = at(run, it, k, "fan_speed_share");
        double air = at(run, it, k, "speed_km_h") / 3.6 + it->ask.load_case.headwind_m_s;
        double w = carried_w_k(air, share) * (coolant(run, it, k) - it->ask.load_case.temperature_degc);
        double fan_w = FAN_W * share * share * share;
        sum += 0.5 * (w + last_w) * (t - last_s);
        *fan_j += 0.5 * (fan_w + last_fan_w) * (t - last_s);
        last_w = w;
        last_fan_w = fan_w;
        last_s = t;
    }
    return sum;
}

static double rise_k(const drive *run, const scene *it, const char *key)
{
    return at(run, it, it->rows.rows - 1, key) - at(run, it, 0, key);
}

static double losses_j(const drive *run)
{
    return 3.6e6 * (result(run, "energy_balance.motor_losses_kwh") + result(run, "energy_balance.inverter_losses_kwh"));
}

#define WARM_FAN "fan_from_degc: 24, fan_full_degc: 32"

/* Two units of two and of one motor; windings of 150 s and 11 K/kW store what the coolant has not. */
START_TEST(losses_of_all_units_are_stored_or_carried_off_by_the_radiator)
{
    scene it = strict_scene(TWO_UNITS, LOOP("60", WARM_FAN, ""), STOP_AND_GO);
    it.ask.driving.driver = EVN_DRIVER_HUMAN;
    it.ask.driving.integrator = both[_i];
    it.ask.driving.trace_interval_s = 0.05;
    it.ask.load_case.headwind_m_s = 3;
    drive run = play(&it);
    must_finish(&run);
    double fan_j, carried = carried_j(&run, &it, &fan_j), winding_j_k = 150 / 11e-3;
    double stored = 60e3 * rise_k(&run, &it, "coolant_temperature_degc") +
                    2 * winding_j_k * rise_k(&run, &it, "leading.winding_temperature_degc") +
                    winding_j_k * rise_k(&run, &it, "trailing.winding_temperature_degc");
    double in = losses_j(&run);
    ck_assert(carried > 0.2 * in && fabs(stored) > 0.05 * in);
    ck_assert_msg(fabs(in - stored - carried) < 2e-5 * in, "in %g, stored %g, carried off %g", in, stored, carried);
    scene_end(&it, &run);
}
END_TEST

START_TEST(the_fans_energy_is_a_line_that_the_battery_pays)
{
    scene it = strict_scene(SINGLE, LOOP("60", WARM_FAN, ""), STOP_AND_GO);
    it.ask.driving.integrator = both[_i];
    it.ask.driving.trace_interval_s = 0.05;
    drive with = play(&it);
    must_finish(&with);
    double fan_j;
    carried_j(&with, &it, &fan_j);
    double fan_kwh = result(&with, "energy_balance.cooling_fan_kwh");
    ck_assert_double_gt(fan_kwh, 0.02);
    ck_assert_double_eq_tol(fan_kwh, fan_j / 3.6e6, 1e-5 * fan_kwh);
    ck_assert_double_lt(result(&with, "balance_error"), 2e-7);
    scene without = strict_scene(SINGLE, NULL, STOP_AND_GO);
    drive none = play(&without);
    must_finish(&none);
    double more = result(&with, "terminal_kwh") - result(&none, "terminal_kwh");
    ck_assert_double_eq_tol(more, fan_kwh, 1e-6);
    double value;
    ck_assert(!evn_results_get(none.results, "energy_balance.cooling_fan_kwh", &value));
    ck_assert(!evn_results_get(none.results, "peak_coolant_temperature_degc", &value));
    scene_end(&without, &none);
    scene_end(&it, &with);
}
END_TEST

/* The fan at full speed leaves the pack less for driving: at its limit the terminals give no more for it. */
START_TEST(a_pack_at_its_limit_feeds_the_fan_too)
{
    scene it = strict_scene(SINGLE, LOOP("100", "fan_from_degc: 24, fan_full_degc: 32", ", start_degc: 90"),
                            "length_m: 3000\nspeed: {place_m: [0], limit_km_h: [80]}");
    char changes[500];
    snprintf(changes, sizeof changes, "battery: {discharge_limit_kw: 120}\n%s", it.changes);
    it.changes = changes;
    drive run = play(&it);
    must_finish(&run);
    size_t row = row_from(&run, &it, 30);
    ck_assert_double_eq(at(&run, &it, row, "fan_speed_share"), 1);
    ck_assert_double_eq_tol(at(&run, &it, row, "terminal_kw"), 120, 1e-6);
    ck_assert_double_eq_tol(at(&run, &it, row, "bus_kw"), 120 - 4 - 3, 1e-6);
    scene_end(&it, &run);
}
END_TEST

/* ------------------------------------------------------------------------------------------------ order */

/* Two runs of the same motion: the first is nowhere hotter than the second. */
static void never_hotter(const char *cool, double cool_degc, const char *hot, double hot_degc)
{
    scene a = strict_scene(SINGLE, cool, STOP_AND_GO), b = strict_scene(SINGLE, hot, STOP_AND_GO);
    a.ask.load_case.temperature_degc = cool_degc;
    b.ask.load_case.temperature_degc = hot_degc;
    drive cooler = play(&a), hotter = play(&b);
    double widest = 0;
    must_finish(&cooler);
    must_finish(&hotter);
    for (double t = 0; t < 430; t += 5) {
        size_t i = row_from(&cooler, &a, t), k = row_from(&hotter, &b, t);
        if (fabs(at(&cooler, &a, i, "time_s") - at(&hotter, &b, k, "time_s")) > 1e-9)
            continue;
        double apart = coolant(&hotter, &b, k) - coolant(&cooler, &a, i);
        ck_assert_double_ge(apart, -1e-6);
        widest = fmax(widest, apart);
    }
    ck_assert_double_gt(widest, 0.1);
    ck_assert_double_le(result(&cooler, "peak_coolant_temperature_degc"),
                        result(&hotter, "peak_coolant_temperature_degc") + 1e-6);
    scene_end(&a, &cooler);
    scene_end(&b, &hotter);
}

START_TEST(colder_air_more_fan_an_earlier_fan_or_a_colder_start_never_make_the_coolant_hotter)
{
    static const char *const more_fan =
        "cooling: {heat_capacity_kj_per_k: 60, still_kw_per_k: 0.15, fan_kw_per_k: 0.9, "
        "at_80_km_h_kw_per_k: 0.6, fan_power_kw: 3, " WARM_FAN "}";
    static const char *const plain = LOOP("60", WARM_FAN, "");
    never_hotter(plain, -10, plain, 20);
    never_hotter(plain, 20, plain, 40);
    never_hotter(more_fan, 20, plain, 20);
    never_hotter(plain, 20, LOOP("60", "fan_from_degc: 28, fan_full_degc: 40", ""), 20);
    never_hotter(LOOP("60", WARM_FAN, ", start_degc: 10"), 20, LOOP("60", WARM_FAN, ", start_degc: 60"), 20);
}
END_TEST

START_TEST(the_start_temperature_is_an_input_and_is_the_airs_where_none_is_stated)
{
    static const char *const starts[] = {"", ", start_degc: -30", ", start_degc: 80"};
    static const double expected[] = {20, -30, 80};
    char changes[400];
    snprintf(changes, sizeof changes, "%.350s", LOOP("60", WARM_FAN, ""));
    snprintf(strrchr(changes, '}'), 40, "%s}", starts[_i]);
    scene it = strict_scene(SINGLE, changes, STOP_AND_GO);
    drive run = play(&it);
    must_finish(&run);
    ck_assert_double_eq(coolant(&run, &it, 0), expected[_i]);
    ck_assert_double_ge(result(&run, "peak_coolant_temperature_degc"), expected[_i]);
    scene_end(&it, &run);
}
END_TEST

/* ------------------------------------------------------------------------------------------------ numerics */

typedef struct outcome {
    double degc, fan_kwh, battery_kwh;
} outcome;

static outcome outcome_of(evn_integrator integrator, double accuracy)
{
    scene it = strict_scene(COOLED, LOOP("60", "fan_from_degc: 24, fan_full_degc: 28", ""), STOP_AND_GO);
    it.ask.driving.integrator = integrator;
    it.ask.driving.accuracy = accuracy;
    drive run = play(&it);
    must_finish(&run);
    outcome out = {last_coolant(&run, &it), result(&run, "energy_balance.cooling_fan_kwh"),
                   result(&run, "battery_kwh")};
    scene_end(&it, &run);
    return out;
}

/*
 * What is held is the error of each step, in units of the coolant's scale of 50 K times the accuracy; over a run these
 * add up and partly cancel. Measured by refinement, 1e-5 to 1e-10: at most ten such units at the end, the same at every
 * accuracy (CVODE takes more steps at a finer one), and no second of the run has more than two and a half of them. So
 * the bound has no part that does not shrink.
 */
START_TEST(a_finer_accuracy_converges_and_both_integrators_agree)
{
    static const double UNIT_K = 50, UNITS = 12;
    outcome exact = outcome_of(EVN_INTEGRATOR_CVODE, 1e-12);
    ck_assert_double_gt(exact.fan_kwh, 0.05);
    for (size_t k = 0; k < 2; k++)
        for (int digits = 5; digits <= 10; digits++) {
            double accuracy = pow(10, -digits);
            outcome run = outcome_of(both[k], accuracy);
            /* ... and nowhere wider than some steps' worth with a rest of 1e-6 K, which is what binds down to 1e-8 */
            double bound_k = fmin(UNITS * UNIT_K * accuracy, 300 * accuracy + 1e-6);
            ck_assert_msg(fabs(run.degc - exact.degc) < bound_k, "%zu, 1e-%d: %g K", k, digits, run.degc - exact.degc);
            if (digits > 8) /* what is counted over the run is then near the rounding of its sums */
                continue;
            ck_assert_msg(fabs(run.fan_kwh - exact.fan_kwh) < 20 * accuracy, "%zu, 1e-%d: %g kWh", k, digits,
                          run.fan_kwh - exact.fan_kwh);
            ck_assert_msg(fabs(run.battery_kwh - exact.battery_kwh) < 100 * accuracy, "%zu, 1e-%d: %g kWh", k, digits,
                          run.battery_kwh - exact.battery_kwh);
        }
}
END_TEST

/* ------------------------------------------------------------------------------------------------ its limit */

START_TEST(coolant_beyond_its_stated_limit_is_a_finding_with_place_and_time)
{
    scene it = strict_scene(SINGLE, LOOP("60", NO_FAN, ", limit_degc: 35"), LONG_CRUISE);
    drive run = play(&it);
    must_finish(&run);
    evn_finding found;
    double told = 0, km = 0, s = 0;
    for (size_t k = 0; evn_report_at(run.report, k, &found); k++)
        if (strcmp(found.fault, "limit_passed") == 0 && strstr(found.text, "the limit of the coolant"))
            ck_assert_int_eq(sscanf(found.text, "coolant at %lf degC at %lf km, %lf s", &told, &km, &s), 3);
    ck_assert_double_eq_tol(told, result(&run, "peak_coolant_temperature_degc"), 0.01);
    ck_assert(told > 36 && km > 1 && km <= 60 && s > 100);
    scene_end(&it, &run);
    scene kept = strict_scene(SINGLE, LOOP("60", NO_FAN, ", limit_degc: 100"), LONG_CRUISE);
    run = play(&kept);
    ck_assert(!was_said(&run, "limit_passed"));
    scene_end(&kept, &run);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("cooling runs");
    TCase *runs = tcase_create("runs");
    tcase_add_checked_fixture(runs, folder_begin, folder_end);
    tcase_add_loop_test(runs, at_a_constant_speed_the_coolant_nears_its_steady_temperature_exponentially, 0, 2);
    tcase_add_loop_test(runs, headwind_carries_off_heat_as_speed_does, 0, 2);
    tcase_add_loop_test(runs, standing_the_coolant_cools_down_by_the_fan_and_then_without_it, 0, 2);
    tcase_add_test(runs, a_winding_stands_above_the_coolant_of_the_loop);
    tcase_add_loop_test(runs, losses_of_all_units_are_stored_or_carried_off_by_the_radiator, 0, 2);
    tcase_add_loop_test(runs, the_fans_energy_is_a_line_that_the_battery_pays, 0, 2);
    tcase_add_test(runs, a_pack_at_its_limit_feeds_the_fan_too);
    tcase_add_test(runs, colder_air_more_fan_an_earlier_fan_or_a_colder_start_never_make_the_coolant_hotter);
    tcase_add_loop_test(runs, the_start_temperature_is_an_input_and_is_the_airs_where_none_is_stated, 0, 3);
    tcase_add_test(runs, a_finer_accuracy_converges_and_both_integrators_agree);
    tcase_add_test(runs, coolant_beyond_its_stated_limit_is_a_finding_with_place_and_time);
    suite_add_tcase(suite, runs);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_NORMAL);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
