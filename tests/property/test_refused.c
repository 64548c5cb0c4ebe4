/* What a full pack refuses, held against two runs: from the top of the usable window, and from half full. */
#define _POSIX_C_SOURCE 200809L
#include "../unit/scene.h"
#include "core/units.h"
#include "trip/refusal.h"

static const double FULL = 0.94, HALF = 0.5; /* of the shipped packs' usable window: its top, and its middle */

static const char *const trucks[] = {
    "rigid-6x2-central",      "rigid-6x2-eaxle",       "rigid-6x2-two-eaxles", "tipper-8x4-central",
    "tipper-8x4-eaxle",       "tipper-8x4-two-eaxles", "tractor-4x2-central",  "tractor-4x2-eaxle",
    "tractor-4x2-two-eaxles", "tractor-6x4-central",   "tractor-6x4-eaxle",    "tractor-6x4-two-eaxles",
};
enum { TRUCKS = sizeof trucks / sizeof *trucks };

/* 6 km down at 6 %. */
#define DESCENT                                                                                                        \
    "length_m: 6800\nspeed: {place_m: [0], limit_km_h: [50]}\n"                                                        \
    "road: {place_m: [300, 400, 6400, 6500], grade_percent: [0, -6, -6, 0]}\n"

/* The rows of a table from a place on, that place being the new begin; the value there is the last before it. */
static void write_rest(const char *from, const char *name, double begin_m)
{
    static char text[20000];
    char line[200], head[200] = "", before[100] = "";
    size_t used = 0;
    FILE *file = fopen(from, "r");
    ck_assert_ptr_nonnull(file);
    while (fgets(line, sizeof line, file)) {
        double place;
        char value[100];
        if (line[0] == '#')
            continue;
        if (sscanf(line, "%lf,%99s", &place, value) != 2) {
            snprintf(head, sizeof head, "%.190s", line);
            continue;
        }
        if (place <= begin_m) {
            memcpy(before, value, sizeof before);
            continue;
        }
        if (used == 0)
            used = (size_t)snprintf(text, sizeof text, "%s0,%s\n", head, before);
        used += (size_t)snprintf(text + used, sizeof text - used, "%.3f,%s\n", place - begin_m, value);
        ck_assert_uint_lt(used, sizeof text);
    }
    ck_assert_int_eq(fclose(file), 0);
    write_file(name, text);
}

/* The pass road from its summit down. */
static const char *pass_road_down(void)
{
    write_rest("cycles/scenarios/pass-road-grade.csv", "grade.csv", 33200);
    write_rest("cycles/scenarios/pass-road-speed.csv", "speed.csv", 33200);
    return "length_m: 31000\nspeed: {table: speed.csv}\nroad: {table: grade.csv}\n";
}

static drive run_from(const char *truck, const char *changes, const char *cycle, double soc)
{
    scene it = scene_of(truck, changes, cycle);
    it.ask.driving.driver = EVN_DRIVER_EXACT;
    it.ask.load_case.start_soc = soc;
    drive run = play(&it);
    must_finish(&run);
    trace_end(&it.rows);
    return run;
}

/*
 * Equal speed: what friction brakes do more from the top of the window is the figure at the wheels. The
 * charge that the terminals lack is told within 5 %: another setting than all motors in the present gear may lose less.
 */
static void must_be_the_difference(drive *full, drive *half, double tolerance)
{
    double wheels = result(full, "refused_at_wheels_kwh"), terminals = result(full, "refused_at_terminals_kwh");
    double friction =
        result(full, "energy_balance.friction_brakes_kwh") - result(half, "energy_balance.friction_brakes_kwh");
    double charge = result(full, "terminal_kwh") - result(half, "terminal_kwh"), none;
    ck_assert_double_eq_tol(result(full, "duration_s"), result(half, "duration_s"), 1);
    ck_assert_double_gt(wheels, 10);
    ck_assert_double_eq_tol(wheels, friction, tolerance * friction);
    ck_assert_double_eq_tol(terminals, charge, 0.05 * charge);
    ck_assert_double_lt(terminals, 0.92 * wheels);
    ck_assert(!evn_results_get(half->results, "refused_at_wheels_kwh", &none));
    ck_assert(was_said(full, "battery_full") && !was_said(half, "battery_full"));
}

static void hold(const char *truck, const char *changes, const char *cycle, double tolerance)
{
    drive full = run_from(truck, changes, cycle, FULL), half = run_from(truck, changes, cycle, HALF);
    must_be_the_difference(&full, &half, tolerance);
    drive_end(&full);
    drive_end(&half);
}

START_TEST(on_a_steady_descent_friction_does_what_a_full_pack_refused)
{
    char truck[80];
    snprintf(truck, sizeof truck, "tests/vehicles/trucks/%s.yaml", trucks[_i]);
    hold(truck, NULL, DESCENT, 0.01);
}
END_TEST

START_TEST(on_the_pass_road_friction_does_what_a_full_pack_refused)
{
    char truck[80];
    snprintf(truck, sizeof truck, "tests/vehicles/trucks/%s.yaml", trucks[_i]);
    hold(truck, NULL, pass_road_down(), 0.01);
}
END_TEST

/*
 * What the pack could not take half full either is not refused by its fullness. Less exact: at its limit the force
 * depends on what the setting loses, and the run from half full is in another gear.
 */
START_TEST(a_limit_that_binds_half_full_too_is_not_counted)
{
    hold(TRACTOR, "battery: {charge_limit_kw: 150}", DESCENT, 0.03);
    drive half = run_from(TRACTOR, "battery: {charge_limit_kw: 150}", DESCENT, HALF);
    ck_assert_double_gt(result(&half, "energy_balance.friction_brakes_kwh"), 5);
    drive_end(&half);
}
END_TEST

/* Half full is where the taper has not begun: what is refused at three quarters counts. */
START_TEST(half_full_is_the_middle_of_the_usable_window)
{
    hold(TRACTOR, "battery: {charge_taper: {soc: [0, 0.6, 0.7, 1], share: [1, 1, 0.1, 0]}}", DESCENT, 0.01);
}
END_TEST

START_TEST(accuracy_does_not_move_the_figures)
{
    double wheels[2];
    for (int k = 0; k < 2; k++) {
        scene it = scene_of(TRACTOR, NULL, DESCENT);
        it.ask.driving.driver = EVN_DRIVER_EXACT;
        it.ask.driving.accuracy = k == 0 ? 1e-5 : 1e-8;
        it.ask.load_case.start_soc = FULL;
        drive run = play(&it);
        wheels[k] = result(&run, "refused_at_wheels_kwh");
        scene_end(&it, &run);
    }
    ck_assert_double_eq_tol(wheels[0], wheels[1], 2e-4 * wheels[1]);
}
END_TEST

/* ------------------------------------------------------------------------------------------------ what is said */

static const char *said(const evn_report *report)
{
    evn_finding found;
    for (size_t k = 0; evn_report_at(report, k, &found); k++)
        if (strcmp(found.fault, "battery_full") == 0)
            return found.text;
    ck_abort_msg("a full battery is not told");
}

/* Who starts where the finding says is refused next to nothing: what is left is refused by the taper near full. */
START_TEST(the_start_that_is_advised_leaves_room)
{
    double kwh, km, soc, start, below;
    drive full = run_from(TRACTOR, NULL, DESCENT, FULL);
    const char *text = said(full.report);
    ck_assert_int_eq(
        sscanf(strstr(text, "refused "),
               "refused %lf kWh of braking work at the wheels, from %lf km on, at a state of charge of %lf %%", &kwh,
               &km, &soc),
        3);
    ck_assert_double_eq_tol(kwh, result(&full, "refused_at_wheels_kwh"), 0.05);
    ck_assert(km > 0.2 && km < 0.6 && soc > 93 && soc <= 94);
    ck_assert_int_eq(sscanf(strstr(text, "start below "), "start below %lf %%, %lf points", &start, &below), 2);
    ck_assert_double_eq_tol(start + below, 100 * FULL, 0.06);
    ck_assert_ptr_nonnull(strstr(text, "local regulation, approved testing and licensed practice"));
    ck_assert_ptr_nonnull(strstr(text, "friction brakes took it instead, the hottest of which reached "));
    drive advised = run_from(TRACTOR, NULL, DESCENT, start / 100);
    double left = 0;
    evn_results_get(advised.results, "refused_at_wheels_kwh", &left);
    ck_assert_double_lt(left, 0.002 * kwh);
    drive_end(&full);
    drive_end(&advised);
}
END_TEST

typedef struct told_case {
    double held_kwh, brakes_kwh, refused_kwh, degc;
    bool told;
    const char *piece;
} told_case;

static const told_case told_cases[] = {
    {20, 2, 0.6, (double)NAN, true, "instead; expected at most 1 % of the braking work and 0.5 kWh"},
    {20, 2, 0.6, 412, true, "instead, the hottest of which reached 412 degC"},
    {20, 2, 0.45, 412, false, NULL}, /* a large share of nothing much */
    {70, 2, 0.6, 412, false, NULL},  /* much, and a small share */
    {2e4, 2e4, 1e3, (double)NAN, true, "no start within the usable charge"},
};

START_TEST(more_than_a_small_share_is_told_with_the_temperature_that_is_known)
{
    const told_case *it = &told_cases[_i];
    evn_conditions ask = evn_conditions_default();
    evn_truck *truck = load_truck(TRACTOR);
    evn_report *report = evn_report_new();
    evn_rig *rig = NULL;
    evn_trip *trip = calloc(1, sizeof *trip);
    ck_assert(report && trip && evn_rig_prepare(truck, &ask.load_case, &rig, report) == EVN_DONE);
    trip->rig = rig;
    trip->report = report;
    trip->y[EVN_Y_HELD] = it->held_kwh * EVN_J_PER_KWH;
    trip->y[EVN_Y_BRAKES] = it->brakes_kwh * EVN_J_PER_KWH;
    trip->refusal =
        (evn_refusal){it->refused_kwh * EVN_J_PER_KWH, 0.9 * it->refused_kwh * EVN_J_PER_KWH, 1000, 0.9, 0.9, 0};
    evn_refusal_say(trip, it->degc);
    evn_finding none;
    if (it->told)
        ck_assert_ptr_nonnull(strstr(said(report), it->piece));
    else
        ck_assert(!evn_report_at(report, 0, &none));
    free(trip);
    evn_rig_free(rig);
    evn_truck_free(truck);
    evn_report_free(report);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("refused");
    TCase *refused = tcase_create("refused");
    tcase_add_checked_fixture(refused, folder_begin, folder_end);
    tcase_add_loop_test(refused, on_a_steady_descent_friction_does_what_a_full_pack_refused, 0, TRUCKS);
    tcase_add_loop_test(refused, on_the_pass_road_friction_does_what_a_full_pack_refused, 0, TRUCKS);
    tcase_add_test(refused, a_limit_that_binds_half_full_too_is_not_counted);
    tcase_add_test(refused, half_full_is_the_middle_of_the_usable_window);
    tcase_add_test(refused, accuracy_does_not_move_the_figures);
    tcase_add_test(refused, the_start_that_is_advised_leaves_room);
    tcase_add_loop_test(refused, more_than_a_small_share_is_told_with_the_temperature_that_is_known, 0,
                        sizeof told_cases / sizeof *told_cases);
    suite_add_tcase(suite, refused);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_NORMAL);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
