/* What holds of any run, by either integrator: balance_error, convergence, repeatability, and energies that are known
 * in closed form. */
#define _POSIX_C_SOURCE 200809L
#include "../unit/folder.h"
#include "../unit/trip_probe.h"
#include "trip/drive.h"

#define IDEAL "tests/trucks/ideal.yaml"

typedef struct setting {
    const char *cycle;
    evn_driver driver;
    evn_integrator integrator;
} setting;

#define BY(integrator)                                                                                                 \
    {URBAN, EVN_DRIVER_HUMAN, integrator}, {HILL, EVN_DRIVER_HUMAN, integrator},                                       \
        {CRUISE, EVN_DRIVER_HUMAN, integrator}, {URBAN, EVN_DRIVER_EXACT, integrator},                                 \
        {HILL, EVN_DRIVER_EXACT, integrator},                                                                          \
    {                                                                                                                  \
        CRUISE, EVN_DRIVER_EXACT, integrator                                                                           \
    }
static const setting settings[] = {BY(EVN_INTEGRATOR_CVODE), BY(EVN_INTEGRATOR_ARKODE)};
enum { SETTINGS = sizeof settings / sizeof *settings };

static evn_conditions ask_of(const setting *of)
{
    evn_conditions ask = evn_conditions_default();
    ask.driving.driver = of->driver;
    ask.driving.integrator = of->integrator;
    return ask;
}

static drive tractor_over(const setting *of, double accuracy, trace *keep)
{
    evn_conditions ask = ask_of(of);
    ask.driving.accuracy = accuracy;
    return drive_whole(TRACTOR, of->cycle, &ask, keep);
}

static double relative(double value, double reference) { return fabs(value - reference) / fabs(reference); }

/* ------------------------------------------------------------------------------------------------ balance_error */

/* Closure by this test's own sum over the ledger's lines. */
static double closure_of(const drive *of)
{
    double open_kwh = result(of, "battery_kwh"), value;
    evn_quantity what;
    for (size_t k = 0; evn_results_at(of->results, k, &what, &value); k++)
        open_kwh -= strncmp(what.key, "energy_balance.", 15) == 0 ? value : 0.0;
    return fabs(open_kwh) / (result(of, "discharged_kwh") + result(of, "regenerated_kwh"));
}

START_TEST(the_ledger_closes_and_closes_tighter_with_the_accuracy)
{
    double last = (double)INFINITY;
    const double accuracy[] = {1e-4, 1e-6, 1e-8, 1e-10}, most[] = {2e-3, 2e-5, 2e-7, 2e-9};
    for (size_t k = 0; k < sizeof accuracy / sizeof *accuracy; k++) {
        drive run = tractor_over(&settings[_i], accuracy[k], NULL);
        double balance_error = closure_of(&run);
        ck_assert_double_eq_tol(balance_error, result(&run, "balance_error"), 1e-15);
        ck_assert_msg(balance_error <= most[k], "balance_error %g at accuracy %g", balance_error, accuracy[k]);
        ck_assert_msg(balance_error < 1e-9 || balance_error < 0.25 * last, "balance_error %g at accuracy %g, %g before",
                      balance_error, accuracy[k], last);
        last = balance_error;
        drive_end(&run);
    }
}
END_TEST

/* ------------------------------------------------------------------------------------------------ convergence */

/* Gears in the order in which they were engaged. */
static size_t gears_of(const drive *of, const trace *rows, double *gear, size_t room)
{
    size_t count = 0, at = column(of, "gear");
    for (size_t k = 0; k < rows->rows; k++) {
        double now = at_row(rows, k, at);
        if (now > 0 && (count == 0 || now != gear[count - 1])) {
            ck_assert_uint_lt(count, room);
            gear[count++] = now;
        }
    }
    return count;
}

START_TEST(the_energy_at_the_default_accuracy_is_that_of_a_hundred_times_tighter_by_the_same_events)
{
    enum { GEARS = 500 };
    double gear[2][GEARS], energy_kwh[2], time_s[2];
    size_t gears[2];
    unsigned long events[2];
    const double accuracy[] = {1e-6, 1e-8};
    for (size_t k = 0; k < 2; k++) {
        trace rows = {NULL, 0, 0, 0};
        drive run = tractor_over(&settings[_i], accuracy[k], &rows);
        energy_kwh[k] = result(&run, "battery_kwh");
        time_s[k] = result(&run, "duration_s");
        gears[k] = gears_of(&run, &rows, gear[k], GEARS);
        events[k] = run.results->events;
        trace_end(&rows);
        drive_end(&run);
    }
    ck_assert_msg(relative(energy_kwh[0], energy_kwh[1]) < 5e-5, "%.10g and %.10g kWh", energy_kwh[0], energy_kwh[1]);
    ck_assert_double_eq_tol(time_s[0], time_s[1], 0.01);
    ck_assert_uint_eq(gears[0], gears[1]);
    ck_assert_mem_eq(gear[0], gear[1], gears[0] * sizeof(double));
    /* One tie: on the schedule, held exactly, the truck just touches the plan at full power. It comes back on it and
     * falls behind again at once, or does neither: four events, and no energy. Driven by a human it touches the edge of
     * the band around the trace there, or does not: two. */
    bool touches = strcmp(settings[_i].cycle, URBAN) == 0;
    ck_assert_int_le(labs((long)events[0] - (long)events[1]), touches ? 4 : 0);
}
END_TEST

/* ------------------------------------------------------------------------------------------------ same bytes */

static void must_be_equal(const drive *a, const drive *b)
{
    evn_quantity what_a, what_b;
    double of_a, of_b;
    ck_assert_uint_eq(evn_results_count(a->results), evn_results_count(b->results));
    for (size_t k = 0; evn_results_at(a->results, k, &what_a, &of_a); k++) {
        ck_assert(evn_results_at(b->results, k, &what_b, &of_b));
        ck_assert_str_eq(what_a.key, what_b.key);
        ck_assert_msg(memcmp(&of_a, &of_b, sizeof of_a) == 0, "%s: %.17g and %.17g", what_a.key, of_a, of_b);
    }
    evn_limitation held_a, held_b;
    ck_assert_uint_eq(evn_results_limitation_count(a->results), evn_results_limitation_count(b->results));
    for (size_t k = 0; evn_results_limitation_at(a->results, k, &held_a); k++) {
        ck_assert(evn_results_limitation_at(b->results, k, &held_b));
        ck_assert_str_eq(held_a.limit, held_b.limit);
        ck_assert(held_a.duration_s == held_b.duration_s && held_a.at_m == held_b.at_m &&
                  held_a.below_target_km_h == held_b.below_target_km_h);
    }
    ck_assert_uint_eq(a->results->steps, b->results->steps);
    ck_assert_uint_eq(a->results->events, b->results->events);
}

START_TEST(results_are_the_same_bytes_with_and_without_a_trace_and_at_any_interval)
{
    const double interval_s[] = {0.05, 1, 17};
    evn_conditions ask = ask_of(&settings[_i]);
    drive bare = drive_whole(TRACTOR, settings[_i].cycle, &ask, NULL);
    for (size_t k = 0; k < sizeof interval_s / sizeof *interval_s; k++) {
        trace rows = {NULL, 0, 0, 0};
        ask.driving.trace_interval_s = interval_s[k];
        drive watched = drive_whole(TRACTOR, settings[_i].cycle, &ask, &rows);
        must_be_equal(&bare, &watched);
        ck_assert_uint_gt(rows.rows, (size_t)(result(&bare, "duration_s") / interval_s[k]));
        trace_end(&rows);
        drive_end(&watched);
    }
    drive_end(&bare);
}
END_TEST

START_TEST(repeated_runs_are_the_same_bytes_also_after_another_run_with_the_same_rig)
{
    evn_conditions ask = ask_of(&settings[_i]);
    drive first = drive_whole(TRACTOR, settings[_i].cycle, &ask, NULL);
    drive again = drive_whole(TRACTOR, settings[_i].cycle, &ask, NULL);
    must_be_equal(&first, &again);
    drive third = {.report = evn_report_new()};
    evn_cycle *other = load_cycle(settings[(_i + 1) % SETTINGS].cycle), *same = load_cycle(settings[_i].cycle);
    ck_assert_int_eq(evn_drive(again.rig, other, &ask.driving, NULL, &third.results, third.report), EVN_DONE);
    evn_results_free(third.results);
    ck_assert_int_eq(evn_drive(again.rig, same, &ask.driving, NULL, &third.results, third.report), EVN_DONE);
    must_be_equal(&first, &third);
    evn_cycle_free(other);
    evn_cycle_free(same);
    drive_end(&first);
    drive_end(&again);
    drive_end(&third);
}
END_TEST

START_TEST(a_coarser_trace_is_made_of_rows_of_the_finer_one)
{
    trace rows[2] = {{NULL, 0, 0, 0}, {NULL, 0, 0, 0}};
    evn_conditions ask = ask_of(&settings[_i]);
    for (size_t k = 0; k < 2; k++) {
        ask.driving.trace_interval_s = k == 0 ? 2 : 0.5; /* exact in binary: the same instants */
        drive run = drive_whole(TRACTOR, settings[_i].cycle, &ask, &rows[k]);
        drive_end(&run);
    }
    size_t fine = 0, bytes = rows[0].columns * sizeof(double);
    for (size_t k = 0; k < rows[0].rows; k++, fine++) {
        const double *wanted = rows[0].value + k * rows[0].columns;
        while (fine < rows[1].rows && memcmp(rows[1].value + fine * rows[1].columns, wanted, bytes) != 0)
            fine++;
        ck_assert_msg(fine < rows[1].rows, "row %zu, at %g s, is not in the finer trace", k, wanted[0]);
    }
    trace_end(&rows[0]);
    trace_end(&rows[1]);
}
END_TEST

/* ------------------------------------------------------------------------------------------------ a short bump */

static const char bump_cycle[] = "name: a bump\n"
                                 "invented: true\n"
                                 "length_m: 10000\n"
                                 "speed: {place_m: [0], limit_km_h: [80]}\n"
                                 "road: {place_m: [5000, 5001, 5059, 5060], grade_percent: [0, 8, 8, 0]}\n";

START_TEST(a_short_bump_is_never_jumped_over_at_any_accuracy)
{
    char path[PATH_BYTES];
    double height_m = 0.08 / sqrt(1 + 0.08 * 0.08) * 58 + 2 * (sqrt(1 + 0.08 * 0.08) - 1) / 0.08;
    write_file("bump.yaml", bump_cycle);
    evn_conditions ask = ask_of(&settings[_i]);
    ask.driving.trace_interval_s = 3600; /* only what happens makes rows */
    double reference_kwh = 0;
    for (int digits = 9; digits >= 3; digits--) {
        trace rows = {NULL, 0, 0, 0};
        ask.driving.accuracy = pow(10, -digits);
        drive run = drive_whole(TRACTOR, in_folder(path, "bump.yaml"), &ask, &rows);
        double grade = 0, energy_kwh = result(&run, "battery_kwh");
        for (size_t k = 0; k < rows.rows; k++)
            grade = fmax(grade, at_row(&rows, k, column(&run, "grade_percent")));
        reference_kwh = digits == 9 ? energy_kwh : reference_kwh;
        ck_assert_double_eq_tol(grade, 8, 1e-9);
        ck_assert_double_eq_tol(result(&run, "energy_balance.potential_kwh"),
                                result(&run, "gross_mass_kg") * 9.80665 * height_m / 3.6e6, 1e-9);
        ck_assert_msg(relative(energy_kwh, reference_kwh) < 10 * ask.driving.accuracy, "%.10g kWh at %g, %.10g at 1e-9",
                      energy_kwh, ask.driving.accuracy, reference_kwh);
        trace_end(&rows);
        drive_end(&run);
    }
}
END_TEST

/* ------------------------------------------------------------------------------------------------ nothing lost */

START_TEST(a_driveline_without_losses_takes_from_the_battery_what_the_wheels_need)
{
    const char *const wheels[] = {"rolling_resistance", "air_drag", "potential", "kinetic", "friction_brakes"};
    const char *const others[] = {"battery_losses",         "auxiliaries",    "power_take_off",
                                  "tyre_slip_losses",       "hub_losses",     "final_drive_losses",
                                  "propeller_shaft_losses", "gearbox_losses", "gear_change_losses",
                                  "motor_losses",           "inverter_losses"};
    char key[64];
    evn_conditions ask = ask_of(&settings[_i]);
    drive run = drive_whole(IDEAL, settings[_i].cycle, &ask, NULL);
    double sum_kwh = 0;
    for (size_t k = 0; k < sizeof wheels / sizeof *wheels; k++) {
        snprintf(key, sizeof key, "energy_balance.%s_kwh", wheels[k]);
        sum_kwh += result(&run, key);
    }
    for (size_t k = 0; k < sizeof others / sizeof *others; k++) {
        snprintf(key, sizeof key, "energy_balance.%s_kwh", others[k]);
        ck_assert_msg(result(&run, key) == 0, "%s: %g", key, result(&run, key));
    }
    ck_assert_double_eq_tol(result(&run, "battery_kwh"), sum_kwh, 2e-5 * result(&run, "discharged_kwh"));
    ck_assert_double_eq_tol(result(&run, "terminal_kwh"), sum_kwh, 2e-5 * result(&run, "discharged_kwh"));
    drive_end(&run);
}
END_TEST

/* Up by 6 % and down by 6 %, over straight lines of grade. */
#define HILL_ROAD                                                                                                      \
    "road: {place_m: [1000, 1200, 2800, 3000, 5000, 5200, 6800, 7000], grade_percent: [0, 6, 6, 0, 0, -6, -6, 0]}\n"
#define HILL_SPEED                                                                                                     \
    "name: there and back\n"                                                                                           \
    "invented: true\n"                                                                                                 \
    "length_m: 8000\n"                                                                                                 \
    "speed: {place_m: [0, 4000], limit_km_h: [60, 60]}\n"

/* Integral of 1 - cos(slope) over the hill: 4 ramps of 200 m from 0 to 6 %, 2 slopes of 1600 m. */
static double shortfall_m(void)
{
    double p = 0.06, ramp = 200 - asinh(p) * 200 / p, slope = 1600 * (1 - 1 / sqrt(1 + p * p));
    return 4 * ramp + 2 * slope;
}

START_TEST(a_hill_gives_back_what_it_took)
{
    char path[PATH_BYTES];
    write_file("hill.yaml", HILL_SPEED HILL_ROAD);
    write_file("level.yaml", HILL_SPEED);
    evn_conditions ask = evn_conditions_default();
    ask.driving.driver = EVN_DRIVER_EXACT;
    ask.driving.accuracy = 1e-9;
    drive hill = drive_whole(IDEAL, in_folder(path, "hill.yaml"), &ask, NULL);
    drive level = drive_whole(IDEAL, in_folder(path, "level.yaml"), &ask, NULL);
    double weight_n = 18000 * 9.80665;
    ck_assert_double_eq_tol(result(&hill, "gross_mass_kg"), 18000, 1e-9);
    ck_assert_double_eq_tol(result(&hill, "energy_balance.potential_kwh"), 0, 1e-12);
    /* on a slope the tyres carry the cosine of the weight: that is all by which the two may differ */
    ck_assert_double_eq_tol(result(&hill, "battery_kwh"),
                            result(&level, "battery_kwh") - 0.006 * weight_n * shortfall_m() / 3.6e6, 1e-8);
    /* and the way up took weight times height, which the way down returned but for what tyres and air took there */
    double height_m = 1600 * 0.06 / sqrt(1 + 0.06 * 0.06) + 2 * 200 * (sqrt(1 + 0.06 * 0.06) - 1) / 0.06;
    ck_assert_double_gt(result(&hill, "regenerated_kwh") - result(&level, "regenerated_kwh"),
                        0.7 * weight_n * height_m / 3.6e6);
    ck_assert_double_lt(result(&hill, "regenerated_kwh") - result(&level, "regenerated_kwh"),
                        weight_n * height_m / 3.6e6);
    ck_assert_double_eq_tol(result(&hill, "duration_s"), result(&level, "duration_s"), 1e-9);
    drive_end(&hill);
    drive_end(&level);
}
END_TEST

/* ------------------------------------------------------------------------------------------------ the driver */

START_TEST(a_driver_twice_or_half_as_keen_takes_nearly_the_same_energy)
{
    evn_conditions ask = evn_conditions_default();
    double gain_1_s = ask.driving.speed_gain_1_s;
    drive middle = drive_whole(TRACTOR, settings[_i].cycle, &ask, NULL);
    for (int twice = 0; twice < 2; twice++) {
        ask.driving.speed_gain_1_s = twice ? 2 * gain_1_s : 0.5 * gain_1_s;
        drive other = drive_whole(TRACTOR, settings[_i].cycle, &ask, NULL);
        double change = relative(result(&other, "battery_kwh"), result(&middle, "battery_kwh"));
        ck_assert_msg(change > 0 && change < 3e-3, "gain %g changes the energy by %g", ask.driving.speed_gain_1_s,
                      change);
        drive_end(&other);
    }
    drive_end(&middle);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("runs");
    TCase *any = tcase_create("any");
    tcase_add_checked_fixture(any, folder_begin, folder_end);
    tcase_add_loop_test(any, the_ledger_closes_and_closes_tighter_with_the_accuracy, 0, SETTINGS);
    tcase_add_loop_test(any, the_energy_at_the_default_accuracy_is_that_of_a_hundred_times_tighter_by_the_same_events,
                        0, SETTINGS);
    tcase_add_loop_test(any, results_are_the_same_bytes_with_and_without_a_trace_and_at_any_interval, 0, SETTINGS);
    tcase_add_loop_test(any, repeated_runs_are_the_same_bytes_also_after_another_run_with_the_same_rig, 0, SETTINGS);
    tcase_add_loop_test(any, a_coarser_trace_is_made_of_rows_of_the_finer_one, 0, SETTINGS);
    tcase_add_loop_test(any, a_short_bump_is_never_jumped_over_at_any_accuracy, 2, 4); /* one of each driver */
    tcase_add_loop_test(any, a_short_bump_is_never_jumped_over_at_any_accuracy, 8, 10);
    tcase_add_loop_test(any, a_driveline_without_losses_takes_from_the_battery_what_the_wheels_need, 0, SETTINGS);
    tcase_add_test(any, a_hill_gives_back_what_it_took);
    tcase_add_loop_test(any, a_driver_twice_or_half_as_keen_takes_nearly_the_same_energy, 0, 3);
    suite_add_tcase(suite, any);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_NORMAL);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
