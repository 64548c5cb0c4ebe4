/*
 * Hybrids of trucks drawn by lot: with no block exchanged it is the one, with all the other; exchanged back it is what
 * it was; and what no rule refuses can be made ready, or says why not.
 */
#include "../random/case.h"
#include "api/objects.h"
#include "causes/hybrid.h"
#include "core/field_hash.h"
#include "truck/rig.h"
#include <check.h>
#include <stdio.h>
#include <stdlib.h>

enum { SEED = 11, DRAWN = 60, ALL = EVN_HYBRIDS_MOST - 1 };

/* The truck of a case, where the loader takes it. */
static evn_truck *drawn(uint64_t index)
{
    char folder[CASE_FOLDER_BYTES], path[CASE_FOLDER_BYTES + 20];
    random_case made = case_invent(SEED, index, 0);
    evn_report *report = evn_report_new();
    evn_truck *truck = NULL;
    ck_assert(case_folder(folder));
    ck_assert(case_write(&made, folder));
    snprintf(path, sizeof path, "%s/truck.yaml", folder);
    evn_truck_load(path, &truck, report);
    case_remove(folder);
    case_free(&made);
    evn_report_free(report);
    return truck;
}

static uint64_t hash_of(const evn_truck_file *truck) { return evn_object_hash(&evn_truck_object, truck); }

static evn_hybrid made(const evn_donors *from, unsigned set)
{
    evn_hybrid hybrid;
    ck_assert(evn_hybrid_make(from, set, &hybrid));
    ck_assert_msg(hybrid.sound || hybrid.reason[0] != '\0', "set %u is no truck and does not say why", set);
    return hybrid;
}

static void expect_ready(const evn_hybrid *hybrid)
{
    const evn_load_case load = evn_conditions_default().load_case;
    evn_report *report = evn_report_new();
    evn_rig *rig = NULL;
    evn_rig_make(&hybrid->truck, &load, &rig, report);
    ck_assert(rig || evn_report_errors(report) > 0);
    evn_rig_free(rig);
    evn_report_free(report);
}

static size_t expect_hybrids(const evn_truck_file *one, const evn_truck_file *other)
{
    evn_arena *arena = evn_arena_new();
    const evn_donors there = {one, other, arena}, back = {other, one, arena};
    size_t sound = 0;
    evn_hybrid none = made(&there, 0), all = made(&there, ALL);
    ck_assert_uint_eq(hash_of(&none.truck), hash_of(one));
    ck_assert_uint_eq(hash_of(&all.truck), hash_of(other));
    for (unsigned set = 0; set <= ALL; set++) {
        evn_hybrid is = made(&there, set), mirrored = made(&back, ALL & ~set);
        ck_assert_int_eq(is.sound, mirrored.sound);
        if (!is.sound)
            continue;
        ck_assert_uint_eq(hash_of(&is.truck), hash_of(&mirrored.truck));
        expect_ready(&is);
        sound++;
    }
    evn_arena_free(arena);
    return sound;
}

START_TEST(hybrids_of_any_two_trucks_are_trucks_or_say_why_not)
{
    evn_truck *before = NULL;
    size_t pairs = 0, sound = 0;
    for (uint64_t k = 0; k < DRAWN; k++) {
        evn_truck *truck = drawn(k);
        if (!truck)
            continue;
        if (before) {
            sound += expect_hybrids(before->file, truck->file);
            pairs++;
        }
        evn_truck_free(before);
        before = truck;
    }
    evn_truck_free(before);
    ck_assert_uint_ge(pairs, DRAWN / 2); /* a lot that the loader refuses proves nothing */
    ck_assert_uint_ge(sound, 4 * pairs); /* nor do trucks that have nothing to exchange */
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("random_hybrids");
    TCase *tests = tcase_create("random_hybrids");
    tcase_add_test(tests, hybrids_of_any_two_trucks_are_trucks_or_say_why_not);
    suite_add_tcase(suite, tests);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_NORMAL);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
