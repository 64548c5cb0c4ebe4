/* Loss maps are made once for all that was read together, and anew for numbers that were changed. */
#define _POSIX_C_SOURCE 200809L
#include "api/objects.h"
#include "core/units.h"
#include "folder.h"
#include "trip_probe.h"
#include "truck/map.h"
#include "truck/rig.h"
#include <string.h>

static const evn_map_machine machine = {100, 1e4, 300, 600};
static const double axis_rpm[] = {0, 1000, 2000, 2900}, axis_nm[] = {0, 30, 60, 100};
static const double loss_w[] = {100, 150, 300, 600, 180, 240, 390, 700, 280, 340, 480, 790, 400, 470, 610, 930};

static evn_map_file file_on(evn_map_shelf *shelf, const double *w)
{
    return (evn_map_file){
        .speed_rpm = {axis_rpm, 4}, .torque_nm = {axis_nm, 4}, .loss_w = {w, 16}, .winding_degc = 100, .shelf = shelf};
}

/* All that is ever asked of a map, to the bit. */
static void expect_same(const evn_map *a, const evn_map *b)
{
    ck_assert(a && b && a != b);
    ck_assert(memcmp(&a->quality, &b->quality, sizeof a->quality) == 0);
    ck_assert_double_eq(a->rest_w, b->rest_w);
    for (double w = 0; w <= 330; w += 11)
        for (double nm = -110; nm <= 110; nm += 7) {
            ck_assert_double_eq(evn_map_loss_w(a, nm, w, 600, 1.2), evn_map_loss_w(b, nm, w, 600, 1.2));
            ck_assert(evn_map_is_filled(a, nm, w, 600) == evn_map_is_filled(b, nm, w, 600));
        }
}

START_TEST(the_same_points_for_the_same_machine_lead_to_one_map)
{
    evn_arena *keep = evn_arena_new(), *scratch = evn_arena_new();
    evn_map_shelf *shelf = evn_map_shelf_in(keep, NULL);
    double again[16];
    memcpy(again, loss_w, sizeof again);
    evn_map_file one = file_on(shelf, loss_w), other = file_on(shelf, again);
    const evn_map *first = evn_map_keep(&one, &machine, scratch);
    ck_assert_ptr_nonnull(first);
    ck_assert_ptr_eq(evn_map_keep(&other, &machine, scratch), first);
    expect_same(first, evn_map_make(&one, &machine, scratch));
    ck_assert_ptr_eq(evn_map_shelf_in(keep, NULL), shelf);
    evn_arena_free(scratch);
    evn_arena_free(keep);
}
END_TEST

static const evn_map *changed(evn_map_file f, evn_map_machine m, evn_arena *scratch)
{
    const evn_map *kept = evn_map_keep(&f, &m, scratch);
    expect_same(kept, evn_map_make(&f, &m, scratch));
    expect_same(kept, evn_map_take(&f, &m, scratch));
    return kept;
}

/* Loss, what of it follows the winding, drag and rest are all so many times as large, within the grid and beyond; the
 * map itself stays. */
START_TEST(a_factor_scales_all_losses_of_a_map)
{
    static const double factors[] = {0.5, 1.14, 2};
    evn_arena *arena = evn_arena_new();
    evn_map_file f = file_on(NULL, loss_w);
    const evn_map *map = evn_map_make(&f, &machine, arena), *again = evn_map_make(&f, &machine, arena);
    ck_assert_ptr_eq(evn_map_times(map, 1, arena), map);
    for (size_t k = 0; k < 3; k++) {
        double by = factors[k];
        const evn_map *scaled = evn_map_times(map, by, arena);
        ck_assert_double_eq_tol(scaled->rest_w, by * map->rest_w, 1e-12 * map->rest_w);
        for (double w = 1; w <= 330; w += 11)
            for (double nm = -110; nm <= 110; nm += 7) {
                double loss = evn_map_loss_w(map, nm, w, 600, 1.2), more = evn_map_loss_w(scaled, nm, w, 600, 1.2);
                double copper = evn_map_copper_w(map, nm, w, 600, 1.2, loss);
                ck_assert_double_eq_tol(more, by * loss, 1e-12 * loss);
                ck_assert_double_eq_tol(evn_map_copper_w(scaled, nm, w, 600, 1.2, more), by * copper, 1e-12 * loss);
                ck_assert_double_eq_tol(evn_map_drag_nm(scaled, w), by * evn_map_drag_nm(map, w), 1e-9);
                ck_assert(evn_map_is_filled(scaled, nm, w, 600) == evn_map_is_filled(map, nm, w, 600));
            }
    }
    expect_same(map, again);
    evn_arena_free(arena);
}
END_TEST

START_TEST(whatever_a_map_is_made_of_makes_another)
{
    evn_arena *keep = evn_arena_new(), *scratch = evn_arena_new();
    evn_map_shelf *shelf = evn_map_shelf_in(keep, NULL);
    double numbers[16];
    memcpy(numbers, loss_w, sizeof numbers);
    evn_map_file f = file_on(shelf, numbers), hotter = f, whole = f;
    hotter.winding_degc = 80;
    whole.includes_inverter = true;
    const evn_map *kept[7] = {changed(f, machine, scratch)};
    kept[1] = changed(hotter, machine, scratch);
    kept[2] = changed(whole, machine, scratch);
    kept[3] = changed(f, (evn_map_machine){101, 1e4, 300, 600}, scratch);
    kept[4] = changed(f, (evn_map_machine){100, 1.1e4, 300, 600}, scratch);
    kept[5] = changed(f, (evn_map_machine){100, 1e4, 301, 600}, scratch);
    numbers[5] += 1; /* in place, as numbers of a truck are changed */
    kept[6] = changed(f, machine, scratch);
    for (size_t a = 0; a < 7; a++)
        for (size_t b = 0; b < a; b++)
            ck_assert_ptr_ne(kept[a], kept[b]);
    evn_arena_free(scratch);
    evn_arena_free(keep);
}
END_TEST

START_TEST(a_full_shelf_lets_the_oldest_go_and_stays_right)
{
    evn_arena *keep = evn_arena_new(), *scratch = evn_arena_new();
    double numbers[16];
    memcpy(numbers, loss_w, sizeof numbers);
    evn_map_file f = file_on(evn_map_shelf_in(keep, NULL), numbers);
    for (int k = 0; k < 50; k++) {
        numbers[k % 16] += 3;
        changed(f, machine, scratch);
    }
    evn_arena_free(scratch);
    evn_arena_free(keep);
}
END_TEST

START_TEST(what_is_taken_is_a_copy_of_what_is_kept_and_outlives_it)
{
    evn_arena *keep = evn_arena_new(), *scratch = evn_arena_new();
    evn_map_shelf *shelf = evn_map_shelf_in(keep, NULL);
    evn_map_file f = file_on(shelf, loss_w);
    evn_map *kept;
    const evn_map *const_kept = evn_map_keep(&f, &machine, scratch);
    memcpy(&kept, &const_kept, sizeof kept);
    kept->rest_w = -77; /* a mark: a map that is made has no such loss */
    const evn_map *taken = evn_map_take(&f, &machine, scratch);
    ck_assert_double_eq(taken->rest_w, -77);
    evn_arena *of_copy = evn_arena_new();
    f.shelf = evn_map_shelf_in(of_copy, shelf);
    evn_arena_free(keep);
    ck_assert_double_gt(evn_map_loss_w(taken, 50, 100, 600, 1), 0);
    ck_assert_double_eq(evn_map_take(&f, &machine, scratch)->rest_w, -77);
    evn_arena_free(of_copy);
    evn_arena_free(scratch);
}
END_TEST

/* ------------------------------------------------------------------------------------------------ trucks */

#define TEST_EAXLE "tests/vehicles/trucks/tractor-4x2-eaxle.yaml"
static const char two_eaxles[] = "tests/vehicles/trucks/tractor-6x4-two-eaxles.yaml";

static const evn_motor_file *motor_of(const evn_truck *t, size_t unit, size_t motor)
{
    const evn_unit_file *u = (const evn_unit_file *)t->file->drive_units.item + unit;
    return (const evn_motor_file *)u->motors.item + motor;
}

static const evn_map *kept_of(const evn_motor_file *m, evn_arena *scratch)
{
    evn_map_machine of = {m->peak_torque_nm, m->peak_power_kw * 1e3, m->top_speed_rpm * EVN_RAD_S_PER_RPM,
                          m->reference_voltage_v};
    return evn_map_keep(m->map, &of, scratch);
}

static void expect_same_losses(const evn_truck *a, const evn_truck *b)
{
    evn_report *report = evn_report_new();
    evn_conditions ask = evn_conditions_default();
    evn_rig *one = NULL, *two = NULL;
    evn_rig_prepare(a, &ask.load_case, &one, report);
    evn_rig_prepare(b, &ask.load_case, &two, report);
    ck_assert(one && two);
    for (size_t u = 0; u < one->unit_count; u++)
        expect_same(one->unit[u].motor[0].map, two->unit[u].motor[0].map);
    evn_rig_free(one);
    evn_rig_free(two);
    evn_report_free(report);
}

START_TEST(motors_of_one_truck_with_one_part_share_one_map)
{
    evn_truck *truck = load_truck(two_eaxles);
    evn_arena *scratch = evn_arena_new();
    const evn_map *first = kept_of(motor_of(truck, 0, 0), scratch);
    ck_assert_ptr_nonnull(motor_of(truck, 0, 0)->map->shelf);
    ck_assert_ptr_eq(kept_of(motor_of(truck, 0, 1), scratch), first);
    ck_assert_ptr_eq(kept_of(motor_of(truck, 1, 0), scratch), first);
    evn_arena_free(scratch);
    evn_truck_free(truck);
}
END_TEST

START_TEST(a_motor_made_ready_loses_by_the_factor_of_its_map)
{
    static const evn_change more = {"drive_units.rear.motors.a.map.loss_factor", 1.25};
    evn_report *report = evn_report_new();
    evn_conditions ask = evn_conditions_default();
    evn_truck *truck = load_truck(TEST_EAXLE);
    evn_rig *plain = NULL, *worse = NULL;
    ck_assert_int_eq(evn_rig_prepare(truck, &ask.load_case, &plain, report), EVN_DONE);
    ck_assert_int_eq(evn_truck_set_numbers(truck, &more, 1, report), EVN_BAD_INPUT); /* its motors are alike */
    const evn_change both[] = {more, {"drive_units.rear.motors.b.map.loss_factor", 1.25}};
    evn_report *aside = evn_report_new();
    ck_assert_int_eq(evn_truck_set_numbers(truck, both, 2, aside), EVN_DONE);
    ck_assert_int_eq(evn_rig_prepare(truck, &ask.load_case, &worse, aside), EVN_DONE);
    const evn_motor *a = &plain->unit[0].motor[0], *b = &worse->unit[0].motor[0];
    ck_assert_double_eq_tol(b->constant_w, 1.25 * a->constant_w, 1e-9 * a->constant_w);
    ck_assert_double_eq_tol(evn_map_loss_w(b->map, 300, 500, 650, 1.1),
                            1.25 * evn_map_loss_w(a->map, 300, 500, 650, 1.1), 1e-6);
    evn_rig_free(plain);
    evn_rig_free(worse);
    evn_truck_free(truck);
    evn_report_free(aside);
    evn_report_free(report);
}
END_TEST

START_TEST(a_number_changed_in_memory_drives_by_the_map_that_a_file_with_it_has)
{
    static const char path[] = "drive_units.trailing.motors.a.peak_torque_nm";
    evn_report *report = evn_report_new();
    evn_truck *truck = load_truck(two_eaxles), *copy, *set;
    double before;
    ck_assert(evn_truck_number(truck, path, &before, report) == EVN_DONE);
    ck_assert(evn_truck_copy(truck, &copy, report) == EVN_DONE);
    ck_assert_msg(evn_truck_set_number(copy, path, 0.9 * before, report) == EVN_DONE, "%s", first_finding(report));
    char text[200];
    snprintf(text, sizeof text, "%s=%.17g", path, 0.9 * before);
    const char *const sets[] = {text, NULL};
    ck_assert(evn_truck_load_with(two_eaxles, &(evn_load){.set = sets}, &set, report) == EVN_DONE);
    expect_same_losses(copy, set);
    ck_assert(evn_truck_set_number(copy, path, before, report) == EVN_DONE);
    expect_same_losses(copy, truck);
    ck_assert(evn_truck_set_number(copy, path, -1, report) == EVN_BAD_INPUT); /* refused: all stays */
    expect_same_losses(copy, truck);
    evn_truck_free(set);
    evn_truck_free(copy);
    evn_truck_free(truck);
    evn_report_free(report);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("map_shelf");
    TCase *tests = tcase_create("maps");
    tcase_add_test(tests, the_same_points_for_the_same_machine_lead_to_one_map);
    tcase_add_test(tests, a_factor_scales_all_losses_of_a_map);
    tcase_add_test(tests, whatever_a_map_is_made_of_makes_another);
    tcase_add_test(tests, a_full_shelf_lets_the_oldest_go_and_stays_right);
    tcase_add_test(tests, what_is_taken_is_a_copy_of_what_is_kept_and_outlives_it);
    tcase_add_test(tests, motors_of_one_truck_with_one_part_share_one_map);
    tcase_add_test(tests, a_motor_made_ready_loses_by_the_factor_of_its_map);
    tcase_add_test(tests, a_number_changed_in_memory_drives_by_the_map_that_a_file_with_it_has);
    suite_add_tcase(suite, tests);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_NORMAL);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
