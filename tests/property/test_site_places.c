/* What must hold of any truck: a larger tyre never lowers it, a longer bay never takes a smaller battery. */
#include "api/objects.h"
#include "site/room.h"
#include "site/site.h"
#include <check.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static const char *const trucks[] = {
    "tipper-8x4-central",  "tipper-8x2-eaxle",  "tipper-8x4-two-eaxles", "tractor-4x2-central", "tractor-4x2-eaxle",
    "tractor-6x2-central", "tractor-6x2-eaxle", "tractor-6x4-central",   "rigid-6x2-central",   "rigid-6x4-two-eaxles"};
enum { TRUCKS = sizeof trucks / sizeof *trucks };

static evn_truck *truck_of(const char *name, evn_report *report)
{
    char path[120];
    evn_truck *truck = NULL;
    snprintf(path, sizeof path, "vehicles/trucks/%s.yaml", name);
    evn_truck_load(path, &truck, report);
    ck_assert_ptr_nonnull(truck);
    return truck;
}

static evn_site *site_of(const evn_truck *truck, const evn_site_ask *ask, evn_report *report)
{
    evn_load_case load_case = evn_conditions_default().load_case;
    evn_site *site = NULL;
    ck_assert_int_eq(evn_site_find(truck, &load_case, ask, &site, report), EVN_DONE);
    return site;
}

static void set(evn_truck *truck, const char *axle, const char *key, double value, evn_report *report)
{
    char path[120];
    snprintf(path, sizeof path, "axles.%s.tyre.%s", axle, key);
    ck_assert_int_eq(evn_truck_set_number(truck, path, value, report), EVN_DONE);
}

/* Between an axle and the frame over it, not over the ground. */
static bool is_gap_to_frame(const evn_site_figure *f) { return strstr(f->what.key, ".bump_gap_mm") != NULL; }

/* No figure of clearance over the ground is lower; at least one is higher. */
static void is_no_lower(const evn_site *before, const evn_site *after, const char *name)
{
    evn_site_figure was, is;
    bool any_higher = false;
    for (size_t k = 0; evn_site_at(before, k, &was); k++) {
        if (strcmp(was.group, "clearance") != 0 || is_gap_to_frame(&was))
            continue;
        ck_assert(evn_site_get(after, was.what.key, &is));
        ck_assert_msg(is.value >= was.value - 1e-9, "%s, %s: %.6f behind %.6f", name, was.what.key, is.value,
                      was.value);
        any_higher = any_higher || is.value > was.value + 1e-6;
    }
    ck_assert_msg(any_higher, "%s", name);
}

START_TEST(a_larger_tyre_on_every_axle_lowers_no_height_and_no_angle)
{
    evn_report *report = evn_report_new();
    evn_site_ask ask = evn_site_ask_default();
    ask.rut_mm = 80;
    for (size_t t = 0; t < TRUCKS; t++) {
        evn_truck *truck = truck_of(trucks[t], report);
        evn_site *before = site_of(truck, &ask, report);
        for (double more_m = 0.001; more_m < 0.2; more_m *= 12) {
            for (size_t k = 0; k < truck->file->axles.count; k++) {
                const evn_axle_file *axle = (const evn_axle_file *)truck->file->axles.item + k;
                set(truck, truck->file->axles.name[k], "free_radius_m", axle->tyre->free_radius_m + more_m, report);
            }
            evn_site *after = site_of(truck, &ask, report);
            is_no_lower(before, after, trucks[t]);
            evn_site_free(before);
            before = after;
        }
        evn_site_free(before);
        evn_truck_free(truck);
    }
    evn_report_free(report);
}
END_TEST

START_TEST(a_stiffer_tyre_lowers_no_height)
{
    evn_report *report = evn_report_new();
    evn_site_ask ask = evn_site_ask_default();
    for (size_t t = 0; t < TRUCKS; t += 2) {
        evn_truck *truck = truck_of(trucks[t], report);
        evn_site *before = site_of(truck, &ask, report);
        for (size_t k = 0; k < truck->file->axles.count; k++) {
            const evn_axle_file *axle = (const evn_axle_file *)truck->file->axles.item + k;
            set(truck, truck->file->axles.name[k], "vertical_stiffness_kn_m", 2 * axle->tyre->vertical_stiffness_kn_m,
                report);
        }
        evn_site *after = site_of(truck, &ask, report);
        is_no_lower(before, after, trucks[t]);
        evn_site_free(before);
        evn_site_free(after);
        evn_truck_free(truck);
    }
    evn_report_free(report);
}
END_TEST

START_TEST(no_figure_of_places_of_a_shipped_truck_is_unknown)
{
    evn_report *report = evn_report_new();
    evn_site_ask ask = evn_site_ask_default();
    ask.kwh_per_km = 1.2;
    for (size_t t = 0; t < TRUCKS; t++) {
        evn_truck *truck = truck_of(trucks[t], report);
        evn_site *site = site_of(truck, &ask, report);
        evn_site_figure f;
        for (size_t k = 0; evn_site_at(site, k, &f); k++)
            if (strcmp(f.group, "clearance") == 0 || strcmp(f.group, "packaging") == 0)
                ck_assert_msg(isfinite(f.value) ||
                                  (is_gap_to_frame(&f) && strcmp(f.why, "nothing of the frame stands over it") == 0),
                              "%s, %s: %s", trucks[t], f.what.key, f.why);
        evn_site_free(site);
        evn_truck_free(truck);
    }
    evn_report_free(report);
}
END_TEST

/* ------------------------------------------------------------------------------------------------ bays */

/* From 0 to 1, the same on every machine (Knuth's multiplier for 64 bits). */
static double drawn(uint64_t *state)
{
    *state = *state * 6364136223846793005u + 1442695040888963407u;
    return (double)(*state >> 11) / 9007199254740992.0;
}

static double between(uint64_t *state, double low, double high) { return low + drawn(state) * (high - low); }

static evn_room obstacle_in(uint64_t *state, const evn_room *bay)
{
    evn_room o;
    for (int axis = 0; axis < 3; axis++) {
        double size = bay->high[axis] - bay->low[axis];
        o.low[axis] = bay->low[axis] + between(state, -0.3, 0.9) * size;
        o.high[axis] = o.low[axis] + between(state, 0.05, 0.7) * size;
    }
    return o;
}

enum { OBSTACLES = 3 };

START_TEST(a_bay_that_holds_another_takes_no_fewer_modules)
{
    uint64_t state = 20261128;
    size_t more = 0;
    for (int round = 0; round < 400; round++) {
        evn_module_file module = {
            between(&state, 0.2, 0.8), between(&state, 0.15, 0.5), between(&state, 0.1, 0.4), 100, 15, round % 2, NULL};
        evn_room bay = {{0, 0, 0}, {between(&state, 0.5, 3), between(&state, 0.4, 1), between(&state, 0.3, 0.9)}};
        evn_room obstacle[OBSTACLES];
        evn_filling small, large;
        for (int k = 0; k < OBSTACLES; k++)
            obstacle[k] = obstacle_in(&state, &bay);
        evn_room_fill(&bay, obstacle, OBSTACLES, &module, &small);
        evn_room longer = bay;
        int axis = round % 3 ? 0 : round / 3 % 3;
        *(round % 2 ? &longer.high[axis] : &longer.low[axis]) += (round % 2 ? 1 : -1) * between(&state, 0.01, 1.5);
        evn_room_fill(&longer, obstacle, OBSTACLES, &module, &large);
        ck_assert_msg(large.modules >= small.modules, "round %d: %zu behind %zu", round, large.modules, small.modules);
        more += large.modules > small.modules;
    }
    ck_assert_uint_gt(more, 50);
}
END_TEST

/* What is free of obstacles holds all modules by volume too. */
START_TEST(modules_never_fill_more_than_is_free)
{
    uint64_t state = 7;
    for (int round = 0; round < 200; round++) {
        evn_module_file module = {between(&state, 0.2, 0.5),
                                  between(&state, 0.15, 0.3),
                                  between(&state, 0.1, 0.2),
                                  100,
                                  15,
                                  EVN_MODULE_ANY_WAY,
                                  NULL};
        evn_room bay = {{0, 0, 0}, {2.5, 0.8, 0.7}};
        evn_room obstacle = obstacle_in(&state, &bay);
        double taken_m3 = 1;
        evn_filling filling;
        evn_room_fill(&bay, &obstacle, 1, &module, &filling);
        for (int axis = 0; axis < 3; axis++)
            taken_m3 *= fmax(fmin(obstacle.high[axis], bay.high[axis]) - fmax(obstacle.low[axis], 0), 0);
        ck_assert_double_le((double)filling.modules * module.length_m * module.width_m * module.height_m,
                            2.5 * 0.8 * 0.7 - taken_m3 + 1e-9);
    }
}
END_TEST

START_TEST(a_longer_bay_of_a_shipped_truck_never_carries_a_smaller_battery)
{
    static const char *const keys[] = {"packaging.full.modules", "packaging.largest.modules"};
    evn_report *report = evn_report_new();
    evn_site_ask ask = evn_site_ask_default();
    for (size_t t = 0; t < TRUCKS; t++) {
        evn_truck *truck = truck_of(trucks[t], report);
        double before[2] = {0, 0};
        for (double more_m = 0; more_m < 1.2; more_m += 0.17) {
            /* to the rear: the front face stays where it is; the drive axle's tyres are no part of this */
            evn_site_figure f;
            ck_assert_int_eq(evn_truck_set_number(truck, "frame.bays.between_rails.length_m", 1.1 + more_m, report),
                             EVN_DONE);
            ck_assert_int_eq(
                evn_truck_set_number(truck, "frame.bays.between_rails.behind_m", 0.8 + (1.1 + more_m) / 2, report),
                EVN_DONE);
            evn_site *site = site_of(truck, &ask, report);
            for (int k = 0; k < 2; k++) {
                ck_assert(evn_site_get(site, keys[k], &f));
                ck_assert_msg(f.value >= before[k], "%s, %s: %g behind %g", trucks[t], keys[k], f.value, before[k]);
                before[k] = f.value;
            }
            evn_site_free(site);
        }
        evn_truck_free(truck);
    }
    evn_report_free(report);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("places at a site");
    TCase *tests = tcase_create("tests");
    tcase_add_test(tests, a_larger_tyre_on_every_axle_lowers_no_height_and_no_angle);
    tcase_add_test(tests, a_stiffer_tyre_lowers_no_height);
    tcase_add_test(tests, no_figure_of_places_of_a_shipped_truck_is_unknown);
    tcase_add_test(tests, a_bay_that_holds_another_takes_no_fewer_modules);
    tcase_add_test(tests, modules_never_fill_more_than_is_free);
    tcase_add_test(tests, a_longer_bay_of_a_shipped_truck_never_carries_a_smaller_battery);
    suite_add_tcase(suite, tests);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_ENV);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed == 0 ? 0 : 1;
}
