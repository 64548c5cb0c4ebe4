/* Values set beside the files: paths, merging, places of faults; the list of values with their places. */
#define _XOPEN_SOURCE 700
#include "folder.h"
#include "wagon.h"
#include <stdlib.h>

#define HEAD "name: w\nmass_kg: 1000\n"

typedef struct seen {
    outcome out;
    evn_value_list values;
} seen;

/* Reads w.yaml with up to four values set; NULL ends them. */
static seen read_strictly(bool strict, const char *const set[4])
{
    char path[PATH_BYTES];
    evn_read_set sets[4];
    seen it = {.out = outcome_begin()};
    evn_read_more more = {.sets = sets, .strict = strict, .values = &it.values};
    for (; more.set_count < 4 && set[more.set_count]; more.set_count++)
        sets[more.set_count] = (evn_read_set){set[more.set_count], 0, (unsigned)more.set_count + 1};
    it.out.wagon = evn_read_file_with(in_folder(path, "w.yaml"), &wagon_object, &more, it.out.arena, it.out.report);
    ck_assert_int_eq(!it.out.wagon, evn_report_failed(it.out.report));
    return it;
}

static seen read_set(const char *a, const char *b) { return read_strictly(false, (const char *const[4]){a, b}); }

static seen expect_sound(const char *a, const char *b)
{
    seen it = read_set(a, b);
    if (evn_report_count(it.out.report) > 0) {
        evn_finding found = finding_at(&it.out, 0);
        ck_abort_msg("%s:%u:%u: %s", found.file, found.line, found.column, found.text);
    }
    return it;
}

/* One finding, at a column of the text that is set. */
static void expect_one(const char *set, const char *fault, unsigned column, const char *piece)
{
    seen it = read_set(set, NULL);
    ck_assert_uint_eq(evn_report_count(it.out.report), 1);
    evn_finding found = finding_at(&it.out, 0);
    expect_finding(&found, fault, 0, column, piece);
    ck_assert_str_eq(found.file, "--set 1");
    outcome_end(&it.out);
}

static const evn_value *value_at(const seen *it, const char *path)
{
    for (size_t i = 0; i < it->values.count; i++)
        if (strcmp(it->values.at[i].path, path) == 0)
            return &it->values.at[i];
    ck_abort_msg("no value %s", path);
    return NULL;
}

static void write_wagon(void)
{
    write_file("brake.yaml", "force_n: 7\nspeed_km_h: [0, 50]\nshare: [1, 0.5]\n");
    write_file("w.yaml", HEAD "coupling: {height_m: 1, brake: {use: brake.yaml}}\n"
                              "loads: {sand: {mass_kg: 3}}\npermitted_kg: 9000\n"
                              "path: [{spring: {stiffness_n_m: 6}}, {damper: {share: 0.5}}]\n");
}

/* ---------------------------------------------------------------------------------------------------- paths */

START_TEST(a_value_is_set_at_the_top_and_below)
{
    write_wagon();
    seen it = expect_sound("mass_kg=1200", "coupling.height_m=1.5");
    ck_assert_double_eq(it.out.wagon->mass_kg, 1200);
    ck_assert_double_eq(it.out.wagon->coupling->height_m, 1.5);
    outcome_end(&it.out);
}
END_TEST

START_TEST(a_value_of_a_used_part_is_set_through_the_use)
{
    write_wagon();
    seen it = expect_sound("coupling.brake.force_n=8", "coupling.brake.share[1]=0.25");
    ck_assert_double_eq(it.out.wagon->coupling->brake->force_n, 8);
    ck_assert_double_eq(it.out.wagon->coupling->brake->speed_km_h.at[1], 50);
    ck_assert_double_eq(it.out.wagon->coupling->brake->share.at[0], 1);
    ck_assert_double_eq(it.out.wagon->coupling->brake->share.at[1], 0.25);
    outcome_end(&it.out);
}
END_TEST

START_TEST(lists_are_replaced_and_maps_merge)
{
    write_wagon();
    seen it = expect_sound("slopes_percent=[1, 2, 4]", "coupling={brake: {fade_km_h: 9}}");
    ck_assert_uint_eq(it.out.wagon->slopes_percent.count, 3);
    ck_assert_double_eq(it.out.wagon->coupling->brake->fade_km_h, 9);
    ck_assert_double_eq(it.out.wagon->coupling->brake->force_n, 7);
    outcome_end(&it.out);
}
END_TEST

START_TEST(steps_of_a_path_are_set_by_their_place)
{
    write_wagon();
    seen it = expect_sound("path[1].damper.share=0.75", "path[0]={damper: {share: 0.25}}");
    ck_assert_double_eq(((const damper *)it.out.wagon->path.at[1].item)->share, 0.75);
    ck_assert_double_eq(((const damper *)it.out.wagon->path.at[0].item)->share, 0.25);
    outcome_end(&it.out);
}
END_TEST

START_TEST(the_last_of_two_values_counts)
{
    write_wagon();
    seen it = expect_sound("coupling.brake.share[1]=0.25", "coupling.brake.share=[0.9, 0.8]");
    ck_assert_double_eq(it.out.wagon->coupling->brake->share.at[1], 0.8);
    outcome_end(&it.out);
    it = expect_sound("coupling.brake.share=[0.9, 0.8]", "coupling.brake.share[1]=0.25");
    ck_assert_double_eq(it.out.wagon->coupling->brake->share.at[1], 0.25);
    outcome_end(&it.out);
}
END_TEST

START_TEST(a_part_is_exchanged_and_what_stands_beside_its_use_stays)
{
    char set[PATH_BYTES + 40], path[PATH_BYTES];
    write_wagon();
    write_file("w.yaml", HEAD "brake: {use: brake.yaml, fade_km_h: 30}\n");
    write_file("soft.yaml", "force_n: 1\nfade_km_h: 5\n");
    snprintf(set, sizeof set, "brake.use=%s", in_folder(path, "soft.yaml"));
    seen it = expect_sound(set, "brake.share=[]");
    ck_assert_double_eq(it.out.wagon->brake->force_n, 1);
    ck_assert_double_eq(it.out.wagon->brake->fade_km_h, 30);
    ck_assert_uint_eq(it.out.wagon->brake->speed_km_h.count, 0); /* nothing is left of the part that was used before */
    outcome_end(&it.out);
}
END_TEST

START_TEST(a_part_exchanged_after_its_values_is_refused)
{
    write_wagon();
    seen it = read_set("coupling.brake.share[1]=0.25", "coupling.brake={use: brake.yaml}");
    ck_assert_uint_eq(evn_report_count(it.out.report), 1);
    evn_finding found = finding_at(&it.out, 0);
    expect_finding(&found, "disagrees", 0, 10, "change the order");
    ck_assert_str_eq(found.file, "--set 2");
    outcome_end(&it.out);
}
END_TEST

START_TEST(an_object_that_no_file_has_is_made)
{
    write_file("w.yaml", HEAD);
    seen it = expect_sound("coupling.height_m=1", "loads.sand={mass_kg: 0}");
    ck_assert_double_eq(it.out.wagon->coupling->height_m, 1);
    ck_assert_str_eq(it.out.wagon->loads.name[0], "sand");
    outcome_end(&it.out);
}
END_TEST

/* ---------------------------------------------------------------------------------------------------- faults */

START_TEST(an_unknown_key_names_the_nearest)
{
    write_wagon();
    expect_one("couplign.height_m=1", "unknown_key", 1, "nearest is 'coupling'");
    expect_one("coupling.heigth_m=1", "unknown_key", 10, "nearest is 'height_m'");
    expect_one("loads.snad.mass_kg=1", "unknown_key", 7, "nearest is 'sand'");
    expect_one("path[0].damper.share=1", "unknown_key", 9, "no 'damper' in 'path[0]'; expected one of spring");
    expect_one("brake.nothing[2].at.all=1", "unknown_key", 7, "no key 'nothing' in brake");
}
END_TEST

START_TEST(a_path_that_leads_nowhere_is_located_at_its_step)
{
    write_wagon();
    expect_one("path[2].spring.stiffness_n_m=1", "out_of_range", 5, "item 2 of 'path', which has 2");
    expect_one("path.spring=1", "wrong_shape", 6, "which is a list");
    expect_one("mass_kg.more=1", "wrong_shape", 9, "which is a single value");
    expect_one("mass_kg[0]=1", "wrong_shape", 8, "which is not a list");
    expect_one("slopes_percent[0]=1", "wrong_shape", 15, "which is not there");
}
END_TEST

START_TEST(text_that_is_no_path_with_a_value_is_refused)
{
    write_wagon();
    expect_one("mass_kg", "syntax", 8, "no '='");
    expect_one("=3", "syntax", 1, "an empty step");
    expect_one("coupling..height_m=3", "syntax", 10, "an empty step");
    expect_one("path[x]=3", "syntax", 5, "without a number");
    expect_one("path[1]spring=3", "syntax", 8, "expected a dot");
    expect_one("mass_kg=", "syntax", 9, "nothing behind '='");
    expect_one("mass_kg= # none", "syntax", 9, "nothing behind '='");
    expect_one("slopes_percent=[1, 2", "syntax", 16, "a list in brackets");
    expect_one("coupling=height_m: 1", "syntax", 10, "without brackets");
    expect_one("name=a\nb", "syntax", 1, "a line break");
    expect_one("extends=w.yaml", "unknown_key", 1, "at the top of a file");
    expect_one("name=&a b", "anchor", 6, "an anchor");
}
END_TEST

START_TEST(columns_count_characters_not_bytes)
{
    write_wagon();
    expect_one("loads.s\xc3\xa4nd.mass_kg=1", "unknown_key", 7, "expected one of sand");
    expect_one("loads.s\xc3\xa4nd={mass_kg: x}", "not_a_number", 22, "mass_kg is 'x'");
}
END_TEST

START_TEST(what_is_set_goes_through_all_checks)
{
    write_wagon();
    expect_one("mass_kg=heavy", "not_a_number", 9, "mass_kg is 'heavy'");
    expect_one("mass_kg=0x10", "not_a_number", 9, "no hexadecimal");
    expect_one("coupling.height_m=3", "out_of_range", 19, "expected 0.1 to 2 m");
    expect_one("coupling={height_m: 1, heigth_m: 1}", "unknown_key", 24, "nearest is 'height_m'");
    expect_one("coupling.brake.speed_km_h[1]=0", "disagrees", 30, "goes from 0 to 0");
    expect_one("coupling.brake={use: none.yaml}", "not_found", 22, "expected a file in the working folder");
}
END_TEST

START_TEST(faults_of_a_part_that_was_set_show_both_places)
{
    char set[PATH_BYTES + 40], path[PATH_BYTES];
    write_wagon();
    write_file("hard.yaml", "force_n: much\n");
    snprintf(set, sizeof set, "brake.use=%s", in_folder(path, "hard.yaml"));
    seen it = read_set(set, NULL);
    ck_assert_uint_eq(evn_report_count(it.out.report), 1);
    evn_finding found = finding_at(&it.out, 0);
    expect_finding(&found, "not_a_number", 1, 10, "force_n is 'much'");
    ck_assert_str_eq(found.used_from_file, "--set 1");
    ck_assert_uint_eq(found.used_from_line, 0);
    ck_assert_uint_eq(found.used_from_column, 11);
    outcome_end(&it.out);
}
END_TEST

START_TEST(a_faulty_part_is_said_once_for_each_place_of_use)
{
    write_file("brake.yaml", "force_n: much\n");
    write_file("w.yaml", HEAD "brake: {use: brake.yaml}\ncoupling: {height_m: 1, brake: {use: brake.yaml}}\n");
    seen it = read_set(NULL, NULL);
    ck_assert_uint_eq(evn_report_count(it.out.report), 2);
    for (size_t i = 0; i < 2; i++) {
        evn_finding found = finding_at(&it.out, i);
        expect_finding(&found, "not_a_number", 1, 10, "force_n is 'much'");
        ck_assert_uint_eq(found.used_from_line, 3 + (unsigned)i);
    }
    outcome_end(&it.out);
}
END_TEST

START_TEST(paths_of_files_are_shown_without_detours)
{
    char path[PATH_BYTES];
    make_folder("trucks");
    make_folder("parts");
    write_file("parts/brake.yaml", "force_n: much\n");
    write_file("w.yaml", HEAD "brake: {use: trucks/.././parts//brake.yaml}\n");
    seen it = read_set(NULL, NULL);
    evn_finding found = finding_at(&it.out, 0);
    ck_assert_str_eq(found.file, in_folder(path, "parts/brake.yaml"));
    outcome_end(&it.out);
}
END_TEST

START_TEST(a_detour_through_a_symbolic_link_is_kept)
{
    char path[PATH_BYTES], inner[PATH_BYTES];
    make_folder("a");
    make_folder("b");
    ck_assert_int_eq(mkdir(in_folder(path, "a/deep"), 0700), 0);
    ck_assert_int_eq(symlink(in_folder(inner, "a/deep"), in_folder(path, "b/link")), 0);
    write_file("a/brake.yaml", "force_n: much\n"); /* b/link/.. is a, not b */
    write_file("w.yaml", HEAD "brake: {use: b/link/../brake.yaml}\n");
    seen it = read_set(NULL, NULL);
    ck_assert_uint_eq(evn_report_count(it.out.report), 1);
    evn_finding found = finding_at(&it.out, 0);
    ck_assert_str_eq(found.file, in_folder(path, "b/link/../brake.yaml"));
    outcome_end(&it.out);
    ck_assert_int_eq(rmdir(in_folder(path, "a/deep")), 0);
}
END_TEST

/* ---------------------------------------------------------------------------------------------------- strict */

START_TEST(warnings_are_errors_when_reading_is_strict)
{
    static const char *const set[4] = {"mass_kg=150"};
    write_file("w.yaml", HEAD);
    seen it = read_set(set[0], NULL);
    ck_assert_ptr_nonnull(it.out.wagon);
    evn_finding found = finding_at(&it.out, 0);
    ck_assert_int_eq(found.severity, EVN_WARNING);
    outcome_end(&it.out);
    it = read_strictly(true, set);
    ck_assert_ptr_null(it.out.wagon);
    found = finding_at(&it.out, 0);
    ck_assert_int_eq(found.severity, EVN_ERROR);
    ck_assert_str_eq(found.fault, "unusual_value");
    ck_assert_int_eq(evn_report_status(it.out.report), EVN_BAD_INPUT);
    evn_say(it.out.report, EVN_FAULT_UNUSUAL_VALUE, evn_nowhere, evn_nowhere, "said later");
    found = finding_at(&it.out, 0);
    ck_assert_int_eq(found.severity, EVN_WARNING); /* what is said after the reading is a warning again */
    outcome_end(&it.out);
}
END_TEST

/* ---------------------------------------------------------------------------------------------------- values */

START_TEST(every_value_tells_its_origin)
{
    char path[PATH_BYTES];
    write_wagon();
    seen it = expect_sound("coupling.brake.force_n=8", "coupling.brake.share[1]=0.25");
    const evn_value *v = value_at(&it, "mass_kg");
    ck_assert_int_eq(v->origin, EVN_FROM_FILE);
    ck_assert_uint_eq(v->line, 2);
    ck_assert_double_eq(v->numbers[0], 1000);
    ck_assert_ptr_null(v->used_from_file);
    v = value_at(&it, "coupling.brake.force_n");
    ck_assert_int_eq(v->origin, EVN_FROM_SET);
    ck_assert_str_eq(v->file, "--set 1");
    ck_assert_uint_eq(v->column, 24);
    v = value_at(&it, "coupling.brake.share");
    ck_assert_int_eq(v->origin, EVN_FROM_FILE);
    ck_assert_str_eq(v->file, in_folder(path, "brake.yaml"));
    ck_assert_uint_eq(v->line, 3);
    ck_assert_str_eq(v->used_from_file, in_folder(path, "w.yaml"));
    ck_assert_uint_eq(v->used_from_line, 3);
    ck_assert_str_eq(v->changed_by, "--set 2");
    ck_assert_double_eq(v->numbers[1], 0.25);
    v = value_at(&it, "coupling.brake.fade_km_h");
    ck_assert_int_eq(v->origin, EVN_NOT_GIVEN);
    ck_assert_uint_eq(v->count, 0);
    outcome_end(&it.out);
}
END_TEST

START_TEST(groups_steps_and_defaults_stand_in_the_order_of_the_file)
{
    write_file("w.yaml", HEAD "path: [{spring: {stiffness_n_m: 6}}, {damper: {}}]\n");
    seen it = expect_sound(NULL, NULL);
    const evn_value *steps = value_at(&it, "path");
    ck_assert_int_eq(steps->kind, EVN_VALUE_STEPS);
    ck_assert_int_eq(steps[1].kind, EVN_VALUE_STEP);
    ck_assert_str_eq(steps[1].key, "spring");
    ck_assert_uint_eq(steps[1].depth, 1);
    ck_assert_str_eq(steps[2].path, "path[0].spring.stiffness_n_m");
    ck_assert_uint_eq(steps[2].depth, 3);
    const evn_value *share = value_at(&it, "path[1].damper.share");
    ck_assert_int_eq(share->origin, EVN_FROM_DEFAULT);
    ck_assert_double_eq(share->numbers[0], 0.25);
    ck_assert_int_eq(value_at(&it, "covered")->kind, EVN_VALUE_WORD);
    ck_assert_str_eq(value_at(&it, "covered")->text, "true");
    outcome_end(&it.out);
}
END_TEST

START_TEST(a_sheet_is_named_by_its_path_from_the_root)
{
    char path[PATH_BYTES];
    write_file("t.csv", "place_m,x\n0,1\n");
    write_file("w.yaml", HEAD "table: t.csv\n");
    seen it = expect_sound(NULL, NULL);
    char *from_root = realpath(in_folder(path, "t.csv"), NULL);
    ck_assert_ptr_nonnull(from_root);
    ck_assert_str_eq(value_at(&it, "table")->text, from_root);
    free(from_root);
    outcome_end(&it.out);
}
END_TEST

static Suite *set_suite(void)
{
    Suite *suite = suite_create("set");
    TCase *tests = tcase_create("set");
    tcase_add_checked_fixture(tests, folder_begin, folder_end);
    tcase_add_test(tests, a_value_is_set_at_the_top_and_below);
    tcase_add_test(tests, a_value_of_a_used_part_is_set_through_the_use);
    tcase_add_test(tests, lists_are_replaced_and_maps_merge);
    tcase_add_test(tests, steps_of_a_path_are_set_by_their_place);
    tcase_add_test(tests, the_last_of_two_values_counts);
    tcase_add_test(tests, a_part_is_exchanged_and_what_stands_beside_its_use_stays);
    tcase_add_test(tests, a_part_exchanged_after_its_values_is_refused);
    tcase_add_test(tests, an_object_that_no_file_has_is_made);
    tcase_add_test(tests, an_unknown_key_names_the_nearest);
    tcase_add_test(tests, a_path_that_leads_nowhere_is_located_at_its_step);
    tcase_add_test(tests, text_that_is_no_path_with_a_value_is_refused);
    tcase_add_test(tests, columns_count_characters_not_bytes);
    tcase_add_test(tests, what_is_set_goes_through_all_checks);
    tcase_add_test(tests, faults_of_a_part_that_was_set_show_both_places);
    tcase_add_test(tests, a_faulty_part_is_said_once_for_each_place_of_use);
    tcase_add_test(tests, paths_of_files_are_shown_without_detours);
    tcase_add_test(tests, a_detour_through_a_symbolic_link_is_kept);
    tcase_add_test(tests, warnings_are_errors_when_reading_is_strict);
    tcase_add_test(tests, every_value_tells_its_origin);
    tcase_add_test(tests, groups_steps_and_defaults_stand_in_the_order_of_the_file);
    tcase_add_test(tests, a_sheet_is_named_by_its_path_from_the_root);
    suite_add_tcase(suite, tests);
    return suite;
}

int main(void)
{
    SRunner *runner = srunner_create(set_suite());
    srunner_run_all(runner, CK_NORMAL);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
