/* Why friction brakes braked, and how hot parts became: lists of a run held against its results and its files. */
#define _POSIX_C_SOURCE 200809L
#include "scene.h"

#define DESCENT                                                                                                        \
    "length_m: 3800\nspeed: {place_m: [0], limit_km_h: [50]}\n"                                                        \
    "road: {place_m: [300, 400, 3400, 3500], grade_percent: [0, -6, -6, 0]}\n"

static double cause_kwh(const drive *run, const char *cause)
{
    evn_friction_cause is;
    for (size_t k = 0; evn_results_friction_cause_at(run->results, k, &is); k++)
        if (strcmp(is.cause, cause) == 0)
            return is.kwh;
    return 0;
}

static double all_causes_kwh(const drive *run)
{
    evn_friction_cause is;
    double sum = 0, before = (double)INFINITY;
    for (size_t k = 0; evn_results_friction_cause_at(run->results, k, &is); k++) {
        ck_assert_double_gt(is.kwh, 0);
        ck_assert_double_le(is.kwh, before); /* most first */
        ck_assert_ptr_nonnull(is.label);
        before = is.kwh;
        sum += is.kwh;
    }
    return sum;
}

/* ------------------------------------------------------------------------------------------------ causes */

static const char *const cycles[] = {HILL, URBAN, "cycles/scenarios/pass-road.yaml",
                                     "cycles/scenarios/quarry-descent.yaml"};
static const char *const trucks[] = {TRACTOR, "tests/vehicles/trucks/tractor-4x2-two-eaxles.yaml",
                                     "tests/trucks/retarder.yaml"};
enum { CYCLES = sizeof cycles / sizeof *cycles, TRUCKS = sizeof trucks / sizeof *trucks };

START_TEST(causes_sum_up_to_the_energy_of_the_friction_brakes)
{
    evn_conditions ask = evn_conditions_default();
    ask.driving.driver = _i % 2 ? EVN_DRIVER_EXACT : EVN_DRIVER_HUMAN;
    drive run = drive_any(trucks[_i / 2 % TRUCKS], cycles[_i / (2 * TRUCKS)], &ask, NULL);
    double friction = result(&run, "energy_balance.friction_brakes_kwh");
    ck_assert_double_eq_tol(all_causes_kwh(&run), friction, 1e-5 + 1e-9 * friction);
    drive_end(&run);
}
END_TEST

static drive run_of(scene *it, const char *changes, const char *cycle, double start_soc)
{
    *it = scene_of(TRACTOR, changes, cycle);
    it->ask.load_case.start_soc = start_soc;
    drive run = play(it);
    ck_assert_str_eq(evn_results_status(run.results), "finished");
    return run;
}

/* The truck, the road and the one thing that keeps its motors from braking. */
static const struct {
    const char *changes, *cycle, *cause;
    double start_soc, least_share;
} single[] = {
    {"", DESCENT, "battery_power", 0.94, 0.97},
    {"adhesion: {regenerating: 0.05}", DESCENT, "adhesion", 0.5, 0.97},
    {"brakes: {regeneration: false}", DESCENT, "regeneration_off", 0.5, 0.99},
    {"brakes: {motor_share: 0.3}", DESCENT, "motor_share", 0.5, 0.9},
    {"brakes: {fade_from_km_h: 55, fade_to_km_h: 54}", DESCENT, "low_speed", 0.5, 0.97},
    {"drive_units: {rear: {motors: {a: {winding: {start_degc: 174, resistance_k_per_kw: 200, time_constant_s: 9e5, "
     "time_constant_low_s: 9e5, time_constant_high_s: 9e5}}}}}",
     DESCENT, "temperature", 0.5, 0.9},
    {"drive_units: {rear: {motors: {a: {peak_torque_nm: 300, peak_power_kw: 60}}}}\npayload: {mass_kg: 0}", DESCENT,
     "motor_power", 0.5, 0.5},
};

START_TEST(what_alone_keeps_motors_from_braking_is_the_cause)
{
    scene it;
    drive run = run_of(&it, single[_i].changes, single[_i].cycle, single[_i].start_soc);
    double all = all_causes_kwh(&run), named = cause_kwh(&run, single[_i].cause);
    ck_assert_double_gt(all, 0.1);
    ck_assert_msg(named >= single[_i].least_share * all, "%s %g of %g kWh", single[_i].cause, named, all);
    scene_end(&it, &run);
}
END_TEST

/* ------------------------------------------------------------------------------------------------ temperatures */

static bool peak_of(const drive *run, const char *part, const char *of, evn_peak_temperature *out)
{
    for (size_t k = 0; evn_results_peak_temperature_at(run->results, k, out); k++)
        if (strcmp(out->part, part) == 0 && (of ? out->of && strcmp(out->of, of) == 0 : !out->of))
            return true;
    return false;
}

START_TEST(peaks_are_those_of_the_results_and_limits_those_of_the_files)
{
    evn_conditions ask = evn_conditions_default();
    drive run = drive_any(TRACTOR, "cycles/scenarios/pass-road.yaml", &ask, NULL);
    evn_peak_temperature p;
    ck_assert(peak_of(&run, "winding", "rear", &p));
    ck_assert_double_eq(p.peak_degc, result(&run, "drive_units.rear.peak_winding_temperature_degc"));
    ck_assert_double_eq(p.low_degc, result(&run, "drive_units.rear.peak_winding_temperature_low_degc"));
    ck_assert_double_eq(p.high_degc, result(&run, "drive_units.rear.peak_winding_temperature_high_degc"));
    ck_assert(p.from_degc == 150 && p.limit_degc == 175);
    ck_assert(peak_of(&run, "housing", "rear", &p) && isnan(p.limit_degc));
    ck_assert_double_eq(p.peak_degc, result(&run, "drive_units.rear.peak_housing_temperature_degc"));
    ck_assert(peak_of(&run, "inverter", "rear", &p) && p.from_degc == 140 && p.limit_degc == 155);
    ck_assert_double_eq(p.peak_degc, result(&run, "drive_units.rear.peak_inverter_temperature_degc"));
    ck_assert(peak_of(&run, "coolant", NULL, &p) && isnan(p.from_degc) && p.limit_degc == 75);
    ck_assert_double_eq(p.peak_degc, result(&run, "peak_coolant_temperature_degc"));
    ck_assert(peak_of(&run, "friction brakes", "trailer", &p) && p.limit_degc == 450);
    ck_assert_double_eq(p.peak_degc, result(&run, "axles.trailer.peak_brake_temperature_degc"));
    drive_end(&run);
}
END_TEST

START_TEST(of_what_no_file_states_nothing_is_told)
{
    evn_conditions ask = evn_conditions_default();
    drive run = drive_any("tests/trucks/single-speed.yaml", URBAN, &ask, NULL);
    evn_peak_temperature p;
    for (size_t k = 0; evn_results_peak_temperature_at(run.results, k, &p); k++)
        ck_assert_str_ne(p.part, "coolant");
    ck_assert(!peak_of(&run, "friction brakes", "front", &p));
    drive_end(&run);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("causes");
    TCase *tests = tcase_create("causes");
    tcase_set_timeout(tests, 60);
    tcase_add_checked_fixture(tests, folder_begin, folder_end);
    tcase_add_loop_test(tests, causes_sum_up_to_the_energy_of_the_friction_brakes, 0, 2 * CYCLES * TRUCKS);
    tcase_add_loop_test(tests, what_alone_keeps_motors_from_braking_is_the_cause, 0, sizeof single / sizeof *single);
    tcase_add_test(tests, peaks_are_those_of_the_results_and_limits_those_of_the_files);
    tcase_add_test(tests, of_what_no_file_states_nothing_is_told);
    suite_add_tcase(suite, tests);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_ENV);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed != 0;
}
