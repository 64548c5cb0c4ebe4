/* The second integrator, at the accuracy that it is recommended for, against the first at a tight one. */
#define _POSIX_C_SOURCE 200809L
#include "../unit/scene.h"
#include "trip/drive.h"

static const char *const trucks[] = {
    "rigid-6x2-central",      "rigid-6x2-eaxle",       "rigid-6x2-two-eaxles", "tipper-8x4-central",
    "tipper-8x4-eaxle",       "tipper-8x4-two-eaxles", "tractor-4x2-central",  "tractor-4x2-eaxle",
    "tractor-4x2-two-eaxles", "tractor-6x4-central",   "tractor-6x4-eaxle",    "tractor-6x4-two-eaxles",
};
static const char *const cycles[] = {"cycles/reference/sort-1.yaml", "cycles/reference/sort-3.yaml", HILL};
enum { TRUCKS = sizeof trucks / sizeof *trucks, CYCLES = sizeof cycles / sizeof *cycles };
static const double RECOMMENDED = 1e-5;

static drive truck_over(const char *truck, const char *cycle, evn_driver driver, evn_integrator integrator,
                        double accuracy)
{
    char path[PATH_BYTES];
    snprintf(path, sizeof path, "tests/vehicles/trucks/%s.yaml", truck);
    evn_conditions ask = evn_conditions_default();
    ask.driving.driver = driver;
    ask.driving.integrator = integrator;
    ask.driving.accuracy = accuracy;
    return drive_any(path, cycle, &ask, NULL);
}

static double apart(const drive *a, const drive *b, const char *key)
{
    return fabs(result(a, key) / result(b, key) - 1);
}

static int rising(const void *a, const void *b)
{
    double x = *(const double *)a, y = *(const double *)b;
    return (x > y) - (x < y);
}

START_TEST(energies_of_shipped_trucks_are_those_of_the_reference_and_the_balance_closes)
{
    double off[TRUCKS * CYCLES];
    size_t count = 0;
    for (size_t k = 0; k < TRUCKS * CYCLES; k++) {
        const char *truck = trucks[k / CYCLES], *cycle = cycles[k % CYCLES];
        drive run = truck_over(truck, cycle, EVN_DRIVER_EXACT, EVN_INTEGRATOR_ARKODE, RECOMMENDED);
        drive reference = truck_over(truck, cycle, EVN_DRIVER_EXACT, EVN_INTEGRATOR_CVODE, 1e-9);
        ck_assert_int_eq(run.status, reference.status);
        off[count] = apart(&run, &reference, "battery_kwh");
        ck_assert_msg(off[count] < 1e-4, "%s, %s: %g", truck, cycle, off[count]);
        count++;
        ck_assert_double_lt(apart(&run, &reference, "discharged_kwh"), 1e-4);
        ck_assert_double_lt(apart(&run, &reference, "regenerative_braking_kwh"), 2e-4);
        ck_assert_double_lt(result(&run, "balance_error"), 2e-5);
        ck_assert_uint_lt(2 * run.results->steps, reference.results->steps); /* another method was at work */
        drive_end(&run);
        drive_end(&reference);
    }
    qsort(off, count, sizeof *off, rising);
    ck_assert_double_lt(off[count / 2], 1e-5);
}
END_TEST

/* A truck without losses: while friction brakes it the power at the terminals stays the same, and only the work of the
 * brakes itself tells how long a step may be. */
START_TEST(the_work_of_friction_brakes_alone_is_as_close_as_the_accuracy)
{
    scene it = scene_of("tests/trucks/ideal.yaml", "brakes: {regeneration: false}",
                        "speed: {time_s: [0, 40, 60, 120], speed_km_h: [0, 80, 80, 0]}");
    it.ask.driving.driver = EVN_DRIVER_EXACT;
    it.ask.driving.accuracy = 1e-12;
    drive reference = play(&it);
    must_finish(&reference);
    it.ask.driving.integrator = EVN_INTEGRATOR_ARKODE;
    for (int digits = 5; digits <= 9; digits++) {
        it.ask.driving.accuracy = pow(10, -digits);
        drive run = play(&it);
        must_finish(&run);
        ck_assert_double_gt(result(&run, "energy_balance.friction_brakes_kwh"), 0.5);
        double off = apart(&run, &reference, "energy_balance.friction_brakes_kwh");
        ck_assert_msg(off < 2 * it.ask.driving.accuracy, "%g at 1e-%d", off, digits);
        ck_assert_msg(result(&run, "balance_error") < 2 * it.ask.driving.accuracy, "%g at 1e-%d",
                      result(&run, "balance_error"), digits);
        drive_end(&run);
    }
    scene_end(&it, &reference);
}
END_TEST

static bool stop_at_once(void *self, double done_share)
{
    double *share = self;
    *share = done_share;
    return false;
}

START_TEST(a_run_can_be_ended_from_outside)
{
    double share = -1;
    evn_watcher watcher = {.self = &share, .go_on = stop_at_once};
    evn_conditions ask = evn_conditions_default();
    ask.driving.driver = _i ? EVN_DRIVER_EXACT : EVN_DRIVER_HUMAN;
    ask.driving.integrator = EVN_INTEGRATOR_ARKODE;
    ask.driving.accuracy = RECOMMENDED;
    drive run = drive_any(TRACTOR, URBAN, &ask, &watcher);
    ck_assert(share > 0 && share < 1);
    ck_assert(was_said(&run, "interrupted"));
    ck_assert_str_eq(evn_results_status(run.results), "interrupted");
    drive_end(&run);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("arkode");
    TCase *any = tcase_create("any");
    tcase_add_checked_fixture(any, folder_begin, folder_end);
    tcase_add_test(any, energies_of_shipped_trucks_are_those_of_the_reference_and_the_balance_closes);
    tcase_add_test(any, the_work_of_friction_brakes_alone_is_as_close_as_the_accuracy);
    tcase_add_loop_test(any, a_run_can_be_ended_from_outside, 0, 2);
    suite_add_tcase(suite, any);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_NORMAL);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
