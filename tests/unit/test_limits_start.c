/*
 * Starting: by hand on a lorry without losses, and the same asked of runs: each truck moves off on a grade a little
 * less steep than the figure, and does not on one a little steeper.
 */
#define _POSIX_C_SOURCE 200809L
#include "../unit/folder.h"
#include "../unit/lorry.h"
#include "cycle/surface.h"
#include "evener/limits.h"
#include <check.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

typedef struct ready {
    evn_report *report;
    evn_truck *truck;
    evn_rig *rig;
    evn_limits *limits;
} ready;

static void must(const ready *r, bool there)
{
    evn_finding finding = {.text = ""};
    evn_report_at(r->report, 0, &finding);
    ck_assert_msg(there, "%s", finding.text);
}

static ready ready_of(const char *path, const evn_load_case *load_case)
{
    evn_driving driving = evn_conditions_default().driving;
    evn_limits_how how = {.only_forces = true};
    ready r = {.report = evn_report_new()};
    evn_truck_load(path, &r.truck, r.report);
    must(&r, r.truck);
    evn_rig_prepare(r.truck, load_case, &r.rig, r.report);
    must(&r, r.rig);
    evn_limits_find(r.rig, &driving, &how, &r.limits, r.report);
    must(&r, r.limits);
    return r;
}

static ready ready_written(const char *text)
{
    char path[PATH_BYTES];
    evn_load_case load_case = evn_conditions_default().load_case;
    write_file("truck.yaml", text);
    return ready_of(in_folder(path, "truck.yaml"), &load_case);
}

static void ready_end(ready *r)
{
    evn_limits_free(r->limits);
    evn_rig_free(r->rig);
    evn_truck_free(r->truck);
    evn_report_free(r->report);
}

static evn_limits_figure figure(const ready *r, const char *surface, const char *column)
{
    char key[96];
    evn_limits_figure f;
    snprintf(key, sizeof key, "start.%s.%s", surface, column);
    ck_assert_msg(evn_limits_get(r->limits, key, &f), "%s", key);
    return f;
}

/* ------------------------------------------------------------------------------------------------ by hand */

/* Points that the inertia of the wheels takes at 1 mm/s2, which the formulas leave out. */
#define WHEELS_TURN 5e-4

/*
 * The lorry of lorry.h: 26 t, its centre 3.5 m behind the front axle and `height_m` high, on supports 4.6075 m apart,
 * the driven axle with 0.55 of what the rear one carries. Moments about the front axle, the force at the tyres being
 * adhesion x load (textbooks of vehicle dynamics), at the least acceleration that counts as moving, 1 mm/s2:
 *   u (x cos + h (sin + a/g)) / L = sin + f cos + a/g,   u = adhesion x 0.55.
 */
static double by_adhesion_percent(double adhesion, double height_m, double rolling)
{
    double u = 0.55 * adhesion, lever = 3.5 / 4.6075, rise = height_m / 4.6075, a_g = 1e-3 / 9.80665;
    double tangent = 0;
    for (int k = 0; k < 60; k++) /* a/g over the cosine: hardly more than a/g */
        tangent = (u * lever - rolling - (1 - u * rise) * a_g * sqrt(1 + tangent * tangent)) / (1 - u * rise);
    return 100 * tangent;
}

/*
 * The force at the hubs known: m g (sin + f cos) + m a = F, where slip takes of it what the stiffness 20 N of its tyres
 * leaves, F = H/(1 + H/20 N). The last axle's tyres may roll harder, by `tag_more` of the load on them.
 */
static double by_force_percent(double hub_n, double rolling, double tag_more, int way)
{
    double tangent = 0, weight_n = 26000 * 9.80665;
    for (int k = 0; k < 200; k++) {
        double cosine = 1 / sqrt(1 + tangent * tangent);
        double rear_n = weight_n * cosine * (3.5 + way * 1.2 * (tangent + 1e-3 / 9.80665 / cosine)) / 4.6075;
        double tyre_n = hub_n / (1 + hub_n / (20 * 0.55 * rear_n));
        tangent = (tyre_n - 26 - tag_more * 0.45 * rear_n) / weight_n / cosine - rolling;
    }
    return 100 * tangent;
}

#define BARE(height, share, drive) LORRY_6X2(height, "0.006", "") "adhesion: {driving_share: " share "}\n" drive

START_TEST(adhesion_holds_a_strong_lorry_at_the_grade_that_moments_about_its_front_axle_give)
{
    static const double heights_m[] = {0, 1.2};
    static const char *const text[] = {BARE("0", "1", LORRY_DRIVES_ONE("")), BARE("1.2", "1", LORRY_DRIVES_ONE(""))};
    ready r = ready_written(text[_i]);
    for (size_t k = 0; k < EVN_SURFACE_KINDS; k++) {
        const evn_surface_kind *kind = &evn_surface_kinds[k];
        evn_limits_figure once = figure(&r, kind->name, "once_percent");
        evn_limits_figure back = figure(&r, kind->name, "reversing_percent");
        double rolling = 0.006 * kind->rolling_factor, h = heights_m[_i];
        double expected = by_adhesion_percent(kind->adhesion, h, rolling);
        if (expected < 0) {
            ck_assert(isnan(once.value));
            continue;
        }
        ck_assert_double_eq_tol(once.value, expected, WHEELS_TURN);
        ck_assert_double_eq_tol(once.low, by_adhesion_percent(kind->adhesion_least, h, rolling), WHEELS_TURN);
        ck_assert_double_eq_tol(once.high, by_adhesion_percent(kind->adhesion_most, h, rolling), WHEELS_TURN);
        ck_assert_double_eq_tol(back.value, by_adhesion_percent(kind->adhesion, -h, rolling), WHEELS_TURN);
        ck_assert_str_eq(once.limit, "adhesion");
        ck_assert_double_eq(once.next_value, 100); /* where the search ends: nothing else is seen to bind */
        ck_assert_ptr_null(once.next);
    }
    ready_end(&r);
}
END_TEST

/* 4000 Nm over 15 and 0.5 m: 120 kN. */
#define WEAK                                                                                                           \
    "drive_units: {rear: {axles: [2], motors: {motor: {peak_torque_nm: 4000, peak_power_kw: 400, top_speed_rpm: 1e5, " \
    "reference_voltage_v: 700}}, machine_height_m: 0, path: [mesh: {ratio: 15, efficiency: 1}]}}\n"

START_TEST(motor_torque_holds_a_weak_lorry_at_the_grade_that_its_force_gives_and_adhesion_is_next)
{
    ready r = ready_written(LORRY_6X2("1.2", "0.006", "") "adhesion: {driving: 1.2}\n" WEAK);
    evn_limits_figure f = figure(&r, "as_stated", "once_percent");
    ck_assert_double_eq_tol(f.value, by_force_percent(120e3, 0.006, 0, 1), WHEELS_TURN);
    ck_assert_str_eq(f.limit, "motor_torque");
    ck_assert_str_eq(f.next, "adhesion");
    ck_assert_double_eq_tol(f.next_value, by_adhesion_percent(1.2, 1.2, 0.006), 1e-3);
    ck_assert_str_eq(figure(&r, "as_stated", "motor_out_percent").limit, "no_drive");
    ck_assert(isnan(figure(&r, "as_stated", "unit_out_percent").value));
    ready_end(&r);
}
END_TEST

START_TEST(in_reverse_the_slope_takes_load_off_the_axle_whose_tyres_roll_harder)
{
    ready r = ready_written(LORRY_6X2("1.2", "0.06", "") "adhesion: {driving: 2}\n" WEAK);
    double forwards = by_force_percent(120e3, 0.006, 0.054, 1), back = by_force_percent(120e3, 0.006, 0.054, -1);
    ck_assert_double_gt(fabs(forwards - back), 0.4);
    ck_assert_double_eq_tol(figure(&r, "as_stated", "once_percent").value, forwards, WHEELS_TURN);
    ck_assert_double_eq_tol(figure(&r, "as_stated", "reversing_percent").value, back, WHEELS_TURN);
    ready_end(&r);
}
END_TEST

#define AID ", lifts: {request: down, start_aid: {below_km_h: 30, axle_load_kg: 14000}}"
START_TEST(start_aid_starts_on_what_the_stated_axle_load_carries)
{
    ready r = ready_written(LORRY_6X2("0", "0.006", AID) "adhesion: {driving_share: 1}\n" LORRY_DRIVES_ONE(""));
    /* 14 t of 26 with start aid, 0.55 of the rear support's load without, height 0: tan = mu N_d/W - f, less a/g */
    ck_assert_double_eq_tol(figure(&r, "wet", "once_percent").value, 100 * (0.5 * 14 / 26 - 0.006), 0.02);
    ck_assert_double_eq_tol(figure(&r, "wet", "no_start_aid_percent").value, 100 * (0.5 * 0.55 * 3.5 / 4.6075 - 0.006),
                            0.02);
    ready_end(&r);
}
END_TEST

#define AXLES_APART(more)                                                                                              \
    "drive_units: {first: {axles: [2], " LORRY_MOTORS ", path: []}, second: {axles: [3], " LORRY_MOTORS                \
    ", path: []" more "}}\n"

/* With one axle out the other's tyres carry alone: 11 of 40 t are left, the second being the worse loss by its load. */
START_TEST(a_unit_out_leaves_what_the_tyres_of_the_other_carry)
{
    ready r = ready_written(LORRY_TANDEM("0") "adhesion: {driving_share: 1}\n" AXLES_APART(""));
    evn_limits_figure all = figure(&r, "wet", "once_percent"), out = figure(&r, "wet", "unit_out_percent");
    /* loads of 11 and 8 t of 40, height 0: tan = mu N_d/W - f, less a/g = 1.02e-4 for the least acceleration */
    ck_assert_double_eq_tol(all.value, 100 * (0.5 * 19 / 40 - 0.006), 0.02);
    ck_assert_double_eq_tol(out.value, 100 * (0.5 * 8 / 40 - 0.006), 0.02);
    ready_end(&r);
}
END_TEST

/* A lock counts where the sides differ; on one ground alike on both sides it gains nothing but between axles. */
START_TEST(a_locked_inter_axle_differential_starts_on_what_both_axles_carry_and_an_open_one_on_twice_the_lesser)
{
    ready r = ready_written(LORRY_TANDEM("0") "adhesion: {driving_share: 1}\n" LORRY_DRIVES_BOTH(
        ", axle_differential_lock: true, inter_axle_lock: true"));
    evn_limits_figure locked = figure(&r, "snow", "locked_percent"), open = figure(&r, "snow", "open_percent");
    ck_assert_double_eq_tol(locked.value, 100 * (0.2 * 19 / 40 - 0.009), 0.02);
    ck_assert_double_eq_tol(open.value, 100 * (0.2 * 16 / 40 - 0.009), 0.02);
    ck_assert_double_eq(figure(&r, "snow", "once_percent").value, locked.value);
    ready_end(&r);
}
END_TEST

/* ------------------------------------------------------------------------------------------------ driven */

typedef struct driven {
    double distance_km;
    bool stalled;
} driven;

static driven drive_up(const ready *r, double grade_percent, const evn_surface_kind *kind)
{
    char text[512], path[PATH_BYTES], surface[160] = "";
    evn_cycle *cycle = NULL;
    evn_results *results = NULL;
    evn_report *report = evn_report_new();
    evn_driving driving = evn_conditions_default().driving;
    driven d = {0};
    if (kind)
        snprintf(surface, sizeof surface, "surface: {place_m: [0], kind: [%s]}\n", kind->name);
    snprintf(text, sizeof text,
             "name: ramp\ninvented: true\nlength_m: 5\nspeed: {place_m: [0], limit_km_h: [4]}\n"
             "road: {place_m: [0, 50], grade_percent: [%.6f, %.6f], level_beyond: true}\n%s",
             grade_percent, grade_percent, surface);
    write_file("ramp.yaml", text);
    evn_cycle_load(in_folder(path, "ramp.yaml"), &cycle, report);
    ck_assert_ptr_nonnull(cycle);
    evn_drive(r->rig, cycle, &driving, NULL, &results, report);
    ck_assert_ptr_nonnull(results);
    d.stalled = strcmp(evn_results_status(results), "stalled") == 0;
    evn_results_get(results, "distance_km", &d.distance_km);
    evn_results_free(results);
    evn_cycle_free(cycle);
    evn_report_free(report);
    return d;
}

static const char *const shipped[] = {"tractor-4x2-central", "tractor-4x2-two-eaxles", "tractor-6x4-central",
                                      "rigid-6x2-eaxle",     "tipper-8x4-central",     "tipper-8x4-two-eaxles"};
enum { SHIPPED = sizeof shipped / sizeof *shipped };

START_TEST(a_run_starts_on_a_grade_of_a_fifth_of_a_point_less_and_not_on_one_of_as_much_more)
{
    char path[512];
    evn_load_case load_case = evn_conditions_default().load_case;
    snprintf(path, sizeof path, "%s/tests/vehicles/trucks/%s.yaml", getenv("EVENER_SOURCE"), shipped[_i]);
    ready r = ready_of(path, &load_case);
    for (size_t k = 0; k <= EVN_SURFACE_KINDS; k++) {
        const evn_surface_kind *kind = k > 0 ? &evn_surface_kinds[k - 1] : NULL;
        double percent = figure(&r, kind ? kind->name : "as_stated", "once_percent").value;
        ck_assert_double_gt(percent, 0.5);
        driven below = drive_up(&r, percent - 0.2, kind), above = drive_up(&r, percent + 0.2, kind);
        ck_assert_msg(!below.stalled && below.distance_km > 0.004, "%s on %s at %.2f %%: %.4f km", shipped[_i],
                      kind ? kind->name : "as stated", percent - 0.2, below.distance_km);
        ck_assert_msg(above.stalled && above.distance_km == 0, "%s on %s at %.2f %%: %.4f km", shipped[_i],
                      kind ? kind->name : "as stated", percent + 0.2, above.distance_km);
    }
    ready_end(&r);
}
END_TEST

/* ------------------------------------------------------------------------------------------------ properties */

static double start_with(const char *truck, double payload_kg, const char *surface)
{
    char path[512];
    evn_load_case load_case = evn_conditions_default().load_case;
    load_case.payload_kg = payload_kg;
    snprintf(path, sizeof path, "%s/tests/vehicles/trucks/%s.yaml", getenv("EVENER_SOURCE"), truck);
    ready r = ready_of(path, &load_case);
    double percent = figure(&r, surface, "once_percent").value;
    ready_end(&r);
    return percent;
}

/* Where motors hold; where adhesion does, load on the driven axles may help. */
START_TEST(more_payload_never_helps_where_the_motors_hold)
{
    double last = (double)INFINITY;
    for (double payload_kg = 8000; payload_kg <= 16800; payload_kg += 2200) {
        double percent = start_with("tipper-8x4-two-eaxles", payload_kg, "dry");
        ck_assert_double_lt(percent, last);
        last = percent;
    }
}
END_TEST

START_TEST(more_adhesion_never_helps_less)
{
    char path[512];
    evn_load_case load_case = evn_conditions_default().load_case;
    snprintf(path, sizeof path, "%s/tests/vehicles/trucks/%s.yaml", getenv("EVENER_SOURCE"), shipped[_i]);
    ready r = ready_of(path, &load_case);
    for (size_t k = 0; k < EVN_SURFACE_KINDS; k++) {
        evn_limits_figure f = figure(&r, evn_surface_kinds[k].name, "once_percent");
        ck_assert_double_le(f.low, f.value);
        ck_assert_double_le(f.value, f.high);
        ck_assert_double_le(f.value, f.next_value);
    }
    ck_assert_double_ge(figure(&r, "dry", "once_percent").value, figure(&r, "wet", "once_percent").value);
    ready_end(&r);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("limits_start");
    TCase *all = tcase_create("start");
    tcase_add_checked_fixture(all, folder_begin, folder_end);
    tcase_add_loop_test(all, adhesion_holds_a_strong_lorry_at_the_grade_that_moments_about_its_front_axle_give, 0, 2);
    tcase_add_test(all, motor_torque_holds_a_weak_lorry_at_the_grade_that_its_force_gives_and_adhesion_is_next);
    tcase_add_test(all, in_reverse_the_slope_takes_load_off_the_axle_whose_tyres_roll_harder);
    tcase_add_test(all, start_aid_starts_on_what_the_stated_axle_load_carries);
    tcase_add_test(all, a_unit_out_leaves_what_the_tyres_of_the_other_carry);
    tcase_add_test(
        all, a_locked_inter_axle_differential_starts_on_what_both_axles_carry_and_an_open_one_on_twice_the_lesser);
    tcase_add_loop_test(all, a_run_starts_on_a_grade_of_a_fifth_of_a_point_less_and_not_on_one_of_as_much_more, 0,
                        SHIPPED);
    tcase_add_test(all, more_payload_never_helps_where_the_motors_hold);
    tcase_add_loop_test(all, more_adhesion_never_helps_less, 0, SHIPPED);
    suite_add_tcase(suite, all);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_NORMAL);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
