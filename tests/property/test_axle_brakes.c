/*
 * Friction brakes of the axles over whole runs: heat in closed form, energies that sum up to the balance, what must
 * grow or fall with grade, air and shares, refinement, and both integrators.
 */
#define _POSIX_C_SOURCE 200809L
#include "../unit/scene.h"
#include "trip/states.h"

#define BRAKED "tests/trucks/friction-brakes.yaml"
#define FOUR "tests/trucks/four-speed.yaml"
#define TANDEM "tests/trucks/tandem.yaml"

static const evn_integrator integrators[] = {EVN_INTEGRATOR_CVODE, EVN_INTEGRATOR_ARKODE};
static const char *const axles[] = {"front", "drive", "trailer"};

/* Two stops and a descent. */
#define WAY                                                                                                            \
    "length_m: 6000\nspeed: {place_m: [0, 2000, 2200], limit_km_h: [80, 50, 80]}\n"                                    \
    "road: {place_m: [1000, 1100, 3000, 3100], grade_percent: [0, -5, -5, 0]}\n"                                       \
    "stops: {place_m: [600, 4500], wait_s: [20, 60]}"
#define DESCENT(percent)                                                                                               \
    "speed: {time_s: [0, 600], speed_km_h: [54, 54]}\nroad: {place_m: [0, 9001], grade_percent: [" percent             \
    ", " percent "]}"
#define NO_REGENERATION "brakes: {regeneration: false}\n"

static double of_axle(const drive *run, const char *axle, const char *key)
{
    char text[100];
    snprintf(text, sizeof text, "axles.%s.%s", axle, key);
    return result(run, text);
}

static double shown(const scene *of, const drive *run, size_t row, const char *axle, const char *key)
{
    char text[100];
    snprintf(text, sizeof text, "%s%s%s", axle ? axle : "", axle ? "." : "", key);
    return at_row(&of->rows, row, column(run, text));
}

/* ------------------------------------------------------------------------------------------------ sums */

static const struct {
    const char *truck, *changes;
} sums[] = {
    {BRAKED, NULL},
    {BRAKED, "brakes: {distribution: ideal}"},
    {BRAKED, "brakes: {distribution: stated}\naxles: {front: {friction_share: 0.5}, drive: {friction_share: 0.9}}\n"
             "trailer: {friction_share: 0.6}"},
    {TANDEM, "brakes: {distribution: ideal}"},
};

START_TEST(energies_of_the_axles_sum_up_to_that_of_the_balance)
{
    for (int k = 0; k < 4; k++) {
        scene it = scene_of(sums[_i].truck, sums[_i].changes, WAY);
        it.ask.driving.integrator = integrators[k % 2];
        it.ask.driving.driver = k < 2 ? EVN_DRIVER_EXACT : EVN_DRIVER_HUMAN;
        drive run = play(&it);
        must_finish(&run);
        double all = result(&run, "energy_balance.friction_brakes_kwh"), sum = 0;
        for (size_t a = 0; a < run.rig->axle_count; a++)
            sum += of_axle(&run, run.rig->axle[a].name, "friction_brakes_kwh");
        ck_assert_double_gt(all, 0.3);
        ck_assert_double_eq_tol(sum, all, 1e-6 * all);
        for (size_t row = 0; row < it.rows.rows; row++) {
            double power = 0, whole = shown(&it, &run, row, NULL, "friction_brake_force_kn") *
                                      shown(&it, &run, row, NULL, "speed_km_h") / 3.6;
            for (size_t a = 0; a < run.rig->axle_count; a++)
                power += shown(&it, &run, row, run.rig->axle[a].name, "axle_friction_braking_kw");
            ck_assert_double_eq_tol(power, whole, 1e-6 * fmax(whole, 1));
            ck_assert_double_le(whole, result(&run, "friction_brakes_peak_kw") * (1 + 1e-6) + 1e-6);
        }
        scene_end(&it, &run);
    }
}
END_TEST

/* ------------------------------------------------------------------------------------------------ closed forms */

/* At a constant speed on a constant grade: T = Te + (T0 - Te) exp(-t/tau), Te = Ta + P/hA. */
START_TEST(constant_power_heats_along_an_exponential_to_the_temperature_that_cooling_carries_off)
{
    for (int k = 0; k < 2; k++) {
        scene it = scene_of(BRAKED, NO_REGENERATION "trailer: {friction_brake: {start_degc: 120}}", DESCENT("-5"));
        it.ask.driving.integrator = integrators[k];
        it.ask.driving.driver = EVN_DRIVER_EXACT;
        it.ask.load_case.temperature_degc = 5;
        drive run = play(&it);
        must_finish(&run);
        for (size_t a = 0; a < 3; a++) {
            double brakes = a < 2 ? 2 : 6, cooling_w_k = brakes * (13.4 + (27.4 - 13.4) * 54 / 80);
            double tau_s = brakes * 39.3e3 / cooling_w_k, start = a < 2 ? 5 : 120;
            double w = shown(&it, &run, 1, axles[a], "axle_friction_braking_kw") * 1e3;
            double end = 5 + w / cooling_w_k;
            ck_assert_double_gt(w, 3e4);
            for (size_t row = 0; row + 1 < it.rows.rows; row++) {
                double t = shown(&it, &run, row, NULL, "time_s");
                ck_assert_double_eq_tol(shown(&it, &run, row, axles[a], "axle_brake_temperature_degc"),
                                        end + (start - end) * exp(-t / tau_s), 2e-3);
            }
            double last = end + (start - end) * exp(-600 / tau_s);
            ck_assert_double_eq_tol(of_axle(&run, axles[a], "peak_brake_temperature_degc"), last, 2e-3);
        }
        scene_end(&it, &run);
    }
}
END_TEST

START_TEST(brakes_that_carry_off_just_their_heat_stay_where_they_are)
{
    scene first = scene_of(BRAKED, NO_REGENERATION, DESCENT("-1.5"));
    first.ask.driving.driver = EVN_DRIVER_EXACT;
    drive run = play(&first);
    char changes[500];
    double stays[3];
    for (size_t a = 0; a < 3; a++) {
        double brakes = a < 2 ? 2 : 6;
        double w = shown(&first, &run, 1, axles[a], "axle_friction_braking_kw") * 1e3;
        stays[a] = 15 + w / (brakes * (13.4 + (27.4 - 13.4) * 54 / 80));
    }
    scene_end(&first, &run);
    snprintf(changes, sizeof changes,
             NO_REGENERATION "axles: {front: {friction_brake: {start_degc: %.9g}}, drive: {friction_brake: "
                             "{start_degc: %.9g}}}\ntrailer: {friction_brake: {start_degc: %.9g}}",
             stays[0], stays[1], stays[2]);
    scene it = scene_of(BRAKED, changes, DESCENT("-1.5"));
    it.ask.driving.driver = EVN_DRIVER_EXACT;
    run = play(&it);
    for (size_t row = 0; row + 1 < it.rows.rows; row++)
        for (size_t a = 0; a < 3; a++)
            ck_assert_double_eq_tol(shown(&it, &run, row, axles[a], "axle_brake_temperature_degc"), stays[a], 1e-4);
    scene_end(&it, &run);
}
END_TEST

/* Hot brakes on a level road with nothing to brake: no power, at rest and at speed two rates of cooling. */
START_TEST(brakes_cool_at_rest_and_faster_at_speed)
{
    scene it = scene_of(BRAKED, "axles: {front: {friction_brake: {start_degc: 300}}}",
                        "speed: {time_s: [0, 300, 1000], speed_km_h: [72, 72, 72]}");
    it.ask.driving.driver = EVN_DRIVER_EXACT;
    drive run = play(&it);
    double moving_s = 39.3e3 / (13.4 + (27.4 - 13.4) * 72 / 80);
    size_t last = it.rows.rows - 1;
    double t = shown(&it, &run, last, NULL, "time_s");
    ck_assert_double_eq_tol(shown(&it, &run, last, "front", "axle_brake_temperature_degc"),
                            15 + 285 * exp(-t / moving_s), 2e-3);
    scene_end(&it, &run);
    it = scene_of(BRAKED, "axles: {front: {friction_brake: {start_degc: 300}}}",
                  "length_m: 10\nspeed: {place_m: [0], limit_km_h: [10]}\nstops: {place_m: [0], wait_s: [900]}");
    it.ask.driving.driver = EVN_DRIVER_EXACT;
    run = play(&it);
    size_t rested = 0;
    for (size_t row = 0; row < it.rows.rows; row++) {
        t = shown(&it, &run, row, NULL, "time_s");
        if (t > 900)
            break;
        ck_assert_double_eq_tol(shown(&it, &run, row, "front", "axle_brake_temperature_degc"),
                                15 + 285 * exp(-t * 13.4 / 39.3e3), 2e-3);
        rested += t > 899;
    }
    ck_assert_uint_gt(rested, 0);
    scene_end(&it, &run);
}
END_TEST

#define UNCOOLED "standing_w_per_k: 0, at_80_km_h_w_per_k: 0"

/* Without cooling the heat of each axle is all that it braked. */
START_TEST(brakes_that_do_not_cool_hold_all_that_their_axle_braked)
{
    for (int k = 0; k < 4; k++) {
        char changes[600];
        snprintf(changes, sizeof changes,
                 "brakes: {distribution: %s}\n"
                 "axles: {front: {friction_brake: {" UNCOOLED "}}, drive: {friction_brake: {" UNCOOLED "}}}\n"
                 "trailer: {friction_brake: {" UNCOOLED "}}",
                 k < 2 ? "ideal" : "loads_at_rest");
        scene it = scene_of(BRAKED, changes, WAY);
        it.ask.driving.integrator = integrators[k % 2];
        drive run = play(&it);
        must_finish(&run);
        for (size_t a = 0; a < 3; a++) {
            double risen_k = of_axle(&run, axles[a], "peak_brake_temperature_degc") - 15;
            double kwh = of_axle(&run, axles[a], "friction_brakes_kwh");
            double held_kwh = risen_k * (a < 2 ? 78.6e3 : 235.8e3) / 3.6e6;
            ck_assert_double_gt(kwh, 0.01);
            ck_assert_double_eq_tol(held_kwh, kwh, 2e-5 * fmax(kwh, 1));
        }
        scene_end(&it, &run);
    }
}
END_TEST

/* ------------------------------------------------------------------------------------------------ orders */

START_TEST(a_steeper_descent_never_takes_less_of_the_friction_brakes)
{
    static const char *const descents[] = {DESCENT("-1"), DESCENT("-2"), DESCENT("-3"), DESCENT("-4.5"), DESCENT("-7")};
    static const char *const ways[] = {"brakes: {distribution: loads_at_rest}", "brakes: {distribution: ideal}"};
    double before_kwh = 0, before_degc = 0;
    for (size_t k = 0; k < sizeof descents / sizeof *descents; k++) {
        scene it = scene_of(BRAKED, ways[_i], descents[k]);
        drive run = play(&it);
        double kwh = result(&run, "energy_balance.friction_brakes_kwh");
        double degc = result(&run, "peak_brake_temperature_degc");
        ck_assert_double_ge(kwh, before_kwh - 1e-9);
        ck_assert_double_ge(degc, before_degc - 1e-3);
        ck_assert(k + 1 < sizeof descents / sizeof *descents || kwh > 10);
        before_kwh = kwh;
        before_degc = degc;
        scene_end(&it, &run);
    }
}
END_TEST

START_TEST(colder_air_of_the_same_density_never_leaves_brakes_hotter)
{
    double colder_degc[3] = {-1e3, -1e3, -1e3};
    for (double air_degc = -30; air_degc <= 40; air_degc += 35) {
        scene it = scene_of(BRAKED, "axles: {front: {friction_brake: {start_degc: 80}}}", WAY);
        it.ask.load_case.temperature_degc = air_degc;
        it.ask.load_case.air_density_kg_m3 = 1.2;
        drive run = play(&it);
        must_finish(&run);
        for (size_t a = 0; a < 3; a++) {
            double degc = of_axle(&run, axles[a], "peak_brake_temperature_degc");
            ck_assert_double_gt(degc, colder_degc[a]);
            colder_degc[a] = degc;
        }
        scene_end(&it, &run);
    }
}
END_TEST

/* The trailer's share stays, and with it the load transfer: the same run. */
START_TEST(two_axles_that_swap_their_shares_swap_their_heat)
{
    double kwh[2][3], degc[2][3];
    for (int k = 0; k < 2; k++) {
        scene it = scene_of(BRAKED,
                            k == 0 ? "brakes: {distribution: stated}\naxles: {front: {friction_share: 0.15}, drive: "
                                     "{friction_share: 0.3}}\ntrailer: {friction_share: 0.55}"
                                   : "brakes: {distribution: stated}\naxles: {front: {friction_share: 0.3}, drive: "
                                     "{friction_share: 0.15}}\ntrailer: {friction_share: 0.55}",
                            WAY);
        drive run = play(&it);
        must_finish(&run);
        for (size_t a = 0; a < 3; a++) {
            kwh[k][a] = of_axle(&run, axles[a], "friction_brakes_kwh");
            degc[k][a] = of_axle(&run, axles[a], "peak_brake_temperature_degc");
        }
        scene_end(&it, &run);
    }
    static const size_t other[] = {1, 0, 2};
    for (size_t a = 0; a < 3; a++) {
        ck_assert_double_eq_tol(kwh[1][a], kwh[0][other[a]], 1e-5);
        ck_assert_double_eq_tol(degc[1][a], degc[0][other[a]], 1e-2);
    }
    ck_assert_double_gt(kwh[0][1], 1.9 * kwh[0][0]);
}
END_TEST

/* ------------------------------------------------------------------------------------------------ numerics */

START_TEST(refinement_converges_and_both_integrators_agree)
{
    static const char *const ways[] = {NULL, "brakes: {distribution: ideal}"};
    double sharp[3], off[2][2] = {{0, 0}, {0, 0}};
    for (int k = 0; k < 5; k++) { /* the reference, then coarse and fine by each */
        scene it = scene_of(BRAKED, ways[_i], WAY);
        it.ask.driving.driver = EVN_DRIVER_EXACT;
        it.ask.driving.integrator = integrators[k / 3];
        it.ask.driving.accuracy = k == 0 ? 1e-10 : k % 2 ? 1e-4 : 1e-7;
        drive run = play(&it);
        for (size_t a = 0; a < 3; a++) {
            double degc = shown(&it, &run, it.rows.rows - 1, axles[a], "axle_brake_temperature_degc");
            if (k == 0)
                sharp[a] = degc;
            else
                off[k / 3][1 - k % 2] = fmax(off[k / 3][1 - k % 2], fabs(degc - sharp[a]));
        }
        scene_end(&it, &run);
    }
    for (int i = 0; i < 2; i++) {
        ck_assert_double_lt(off[i][1], 5e-4);
        ck_assert_double_lt(off[i][0], 0.05);
        ck_assert_double_lt(off[i][1], off[i][0]);
    }
}
END_TEST

/* ------------------------------------------------------------------------------------------------ limits */

static const char *finding_with(const drive *run, const char *piece)
{
    evn_finding found;
    for (size_t k = 0; evn_report_at(run->report, k, &found); k++)
        if (strcmp(found.fault, "limit_passed") == 0 && strstr(found.text, piece))
            return found.text;
    return NULL;
}

START_TEST(brakes_beyond_their_stated_limits_are_findings_with_place_time_and_energy)
{
    scene it =
        scene_of(BRAKED,
                 "brakes: {regeneration: false, friction_power_limit_kw: 150}\n"
                 "axles: {front: {friction_brake: {limit_degc: 250}}, drive: {friction_brake: {limit_degc: 1500}}}",
                 DESCENT("-5"));
    it.ask.driving.driver = EVN_DRIVER_EXACT;
    drive run = play(&it);
    const char *text = finding_with(&run, "of axle front");
    double degc, km, s, first_km, first_s, kwh;
    ck_assert_ptr_nonnull(text);
    ck_assert_int_eq(sscanf(text,
                            "friction brakes of axle front at %lf degC at %lf km, %lf s; expected at most 250 degC, "
                            "the limit of the friction brakes, which was first passed at %lf km, %lf s, when the "
                            "friction brakes had taken "
                            "%lf kWh",
                            &degc, &km, &s, &first_km, &first_s, &kwh),
                     6);
    ck_assert_double_eq_tol(degc, of_axle(&run, "front", "peak_brake_temperature_degc"), 0.1);
    ck_assert_double_eq_tol(s, 600, 0.1);
    ck_assert_double_eq_tol(km, 9, 1e-3);
    ck_assert(first_s > 100 && first_s < 590);
    ck_assert_double_eq_tol(first_km, 54 * first_s / 3600, 2e-3);
    /* constant power: the energy by then is the time's share of all */
    double all_kwh = result(&run, "energy_balance.friction_brakes_kwh");
    ck_assert_double_eq_tol(kwh, all_kwh * first_s / 600, 0.01 * all_kwh);
    ck_assert_ptr_nonnull(strstr(text, "licensed practice"));
    ck_assert_ptr_null(finding_with(&run, "of axle drive"));
    text = finding_with(&run, "the limit of friction braking power");
    double kw;
    ck_assert_ptr_nonnull(text);
    ck_assert_int_eq(sscanf(text, "friction braking power at %lf kW", &kw), 1);
    ck_assert_double_eq_tol(kw, result(&run, "friction_brakes_peak_kw"), 0.1);
    scene_end(&it, &run);
}
END_TEST

/* The most of a stop is at its begin, which no end of a step shows. */
START_TEST(peak_power_is_that_where_braking_begins_with_both_integrators)
{
    for (int k = 0; k < 2; k++) {
        scene it = scene_of(BRAKED, NO_REGENERATION, "speed: {time_s: [0, 10, 20, 30], speed_km_h: [72, 72, 18, 18]}");
        it.ask.driving.driver = EVN_DRIVER_EXACT;
        it.ask.driving.integrator = integrators[k];
        drive run = play(&it);
        must_finish(&run);
        double most = 0;
        for (size_t row = 0; row < it.rows.rows; row++)
            most = fmax(most, shown(&it, &run, row, NULL, "friction_brake_force_kn") *
                                  shown(&it, &run, row, NULL, "speed_km_h") / 3.6);
        ck_assert_double_gt(most, 800);
        ck_assert_double_eq_tol(result(&run, "friction_brakes_peak_kw"), most, 1e-6 * most);
        double mean = result(&run, "energy_balance.friction_brakes_kwh") * 3600 / 10;
        ck_assert_double_eq_tol(result(&run, "friction_brakes_mean_kw"), mean, 1e-6 * mean);
        scene_end(&it, &run);
    }
}
END_TEST

/* Nothing of this in a truck that states none of it. */
START_TEST(a_truck_that_states_nothing_of_its_friction_brakes_has_no_state_row_or_column_more)
{
    evn_quantity what;
    double value;
    scene it = scene_of(FOUR, NULL, WAY);
    drive run = play(&it);
    evn_states states = evn_states_of(run.rig);
    ck_assert_uint_eq(states.axle_brakes_at, states.count);
    for (size_t k = 0; evn_results_at(run.results, k, &what, &value); k++)
        ck_assert_msg(!strstr(what.key, "brake_temperature") && !strstr(what.key, "friction_brakes_peak") &&
                          !(strstr(what.key, "axles.") && strstr(what.key, "friction")),
                      "%s", what.key);
    evn_trace_column each;
    for (size_t k = 0; evn_trace_column_at(run.rig, k, &each); k++)
        ck_assert(!each.axle);
    scene_end(&it, &run);
    it = scene_of(BRAKED, "brakes: {distribution: ideal}", WAY);
    run = play(&it);
    ck_assert_uint_eq(evn_states_of(run.rig).count, states.count + 6);
    scene_end(&it, &run);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("friction brakes over runs");
    TCase *tests = tcase_create("axle brakes");
    tcase_add_checked_fixture(tests, folder_begin, folder_end);
    tcase_add_loop_test(tests, energies_of_the_axles_sum_up_to_that_of_the_balance, 0,
                        (int)(sizeof sums / sizeof *sums));
    tcase_add_test(tests, constant_power_heats_along_an_exponential_to_the_temperature_that_cooling_carries_off);
    tcase_add_test(tests, brakes_that_carry_off_just_their_heat_stay_where_they_are);
    tcase_add_test(tests, brakes_cool_at_rest_and_faster_at_speed);
    tcase_add_test(tests, brakes_that_do_not_cool_hold_all_that_their_axle_braked);
    tcase_add_loop_test(tests, a_steeper_descent_never_takes_less_of_the_friction_brakes, 0, 2);
    tcase_add_test(tests, colder_air_of_the_same_density_never_leaves_brakes_hotter);
    tcase_add_test(tests, two_axles_that_swap_their_shares_swap_their_heat);
    tcase_add_loop_test(tests, refinement_converges_and_both_integrators_agree, 0, 2);
    tcase_add_test(tests, brakes_beyond_their_stated_limits_are_findings_with_place_time_and_energy);
    tcase_add_test(tests, peak_power_is_that_where_braking_begins_with_both_integrators);
    tcase_add_test(tests, a_truck_that_states_nothing_of_its_friction_brakes_has_no_state_row_or_column_more);
    suite_add_tcase(suite, tests);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_NORMAL);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
