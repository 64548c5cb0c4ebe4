/* Numbers of an object in memory by path: what a path leads to, what is refused and in which words, copies. */
#include "core/change.h"
#include "core/field_copy.h"
#include "core/field_hash.h"
#include "wagon.h"
#include <stdlib.h>

static const char *const whole =
    "name: w\nmass_kg: 1000\nwheels: 6\ncovered: false\ncolour: green\n"
    "slopes_percent: [-2, 0, 3]\nbrake: {speed_km_h: [0, 50], share: [1, 0.5]}\n"
    "loads: {sand: {mass_kg: 3, note: wet}, gravel: {mass_kg: 5, lashing: {height_m: 1}}}\n"
    "permitted_kg: 9000\npath: [{spring: {stiffness_n_m: 6}}, {damper: {share: 0.5}}]\n";

typedef struct variant {
    outcome out; /* with a report of its own for what is found in memory */
    wagon *wagon;
    evn_report *report;
} variant;

static variant variant_of(const char *text)
{
    variant v = {.out = read_text(text), .report = evn_report_new()};
    ck_assert_ptr_nonnull(v.out.wagon);
    ck_assert_ptr_nonnull(v.report);
    v.wagon = evn_object_copy(&wagon_object, v.out.wagon, v.out.arena);
    ck_assert_ptr_nonnull(v.wagon);
    return v;
}

static void variant_end(variant *v)
{
    evn_report_free(v->report);
    outcome_end(&v->out);
}

static bool set(variant *v, const char *path, double value)
{
    return evn_numbers_set(&wagon_object, v->wagon, &(evn_change){path, value}, 1, v->report);
}

static double get(variant *v, const char *path)
{
    double value = -1e99;
    ck_assert_msg(evn_number_get(&wagon_object, v->wagon, path, &value, v->report), "no number at %s", path);
    return value;
}

/* The number is refused with one finding, and nothing has changed. */
static void expect_refused(const char *path, double value, const char *fault, unsigned column, const char *text)
{
    variant v = variant_of(whole);
    uint64_t before = evn_object_hash(&wagon_object, v.wagon);
    evn_finding found;
    ck_assert(!set(&v, path, value));
    ck_assert_uint_eq(evn_report_count(v.report), 1);
    ck_assert(evn_report_at(v.report, 0, &found));
    ck_assert_str_eq(found.fault, fault);
    ck_assert_str_eq(found.text, text);
    ck_assert_uint_eq(found.line, 0);
    ck_assert_uint_eq(found.column, column);
    ck_assert(evn_object_hash(&wagon_object, v.wagon) == before);
    variant_end(&v);
}

/* ---------------------------------------------------------------------------------------------------- paths */

START_TEST(a_path_leads_to_numbers_of_every_shape)
{
    static const struct {
        const char *path;
        double value, other;
    } rows[] = {{"mass_kg", 1000, 1200},
                {"wheels", 6, 8},
                {"covered", 0, 1},
                {"colour", 1, 2},
                {"slopes_percent[2]", 3, 4},
                {"brake.share[1]", 0.5, 0.25},
                {"brake.force_n", 900, 7},
                {"loads.sand.mass_kg", 3, 4},
                {"loads.gravel.lashing.height_m", 1, 1.5},
                {"path[0].spring.stiffness_n_m", 6, 7},
                {"path[1].damper.share", 0.5, 0.75}};
    variant v = variant_of(whole);
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        ck_assert_double_eq(get(&v, rows[i].path), rows[i].value);
        ck_assert_msg(set(&v, rows[i].path, rows[i].other), "%s", rows[i].path);
        ck_assert_double_eq(get(&v, rows[i].path), rows[i].other);
    }
    ck_assert_uint_eq(evn_report_count(v.report), 0);
    ck_assert(v.wagon->covered);
    ck_assert_int_eq(v.wagon->colour, 2);
    ck_assert_double_eq(((const damper *)v.wagon->path.at[1].item)->share, 0.75);
    ck_assert_double_eq(v.out.wagon->mass_kg, 1000); /* what was copied is as it was */
    ck_assert_double_eq(v.out.wagon->brake->share.at[1], 0.5);
    variant_end(&v);
}
END_TEST

START_TEST(what_is_not_given_can_be_given_and_taken_back)
{
    variant v = variant_of(whole);
    ck_assert_double_nan(get(&v, "brake.fade_km_h"));
    ck_assert(set(&v, "brake.fade_km_h", 30));
    ck_assert_double_eq(get(&v, "brake.fade_km_h"), 30);
    ck_assert(set(&v, "brake.fade_km_h", (double)NAN));
    ck_assert_double_nan(v.wagon->brake->fade_km_h);
    variant_end(&v);
    expect_refused("mass_kg", (double)NAN, "not_a_number", 1,
                   "mass_kg is 'nan'; expected a plain decimal number; only finite numbers");
    expect_refused("slopes_percent[0]", -(double)INFINITY, "not_a_number", 1,
                   "slopes_percent[0] is '-inf'; expected a plain decimal number; only finite numbers");
}
END_TEST

START_TEST(a_name_that_is_not_there_is_answered_with_the_nearest)
{
    expect_refused("masss_kg", 1, "unknown_key", 1,
                   "no key 'masss_kg' in wagon; expected one of its keys; nearest is 'mass_kg'");
    expect_refused("brake.x", 1, "unknown_key", 7,
                   "no key 'x' in brake; expected one of its keys: force_n, fade_km_h, speed_km_h, share");
    expect_refused("loads.sant.mass_kg", 1, "unknown_key", 7,
                   "no 'sant' in 'loads'; expected one of sand, gravel; nearest is 'sand'");
    expect_refused("path[0].damper.share", 1, "unknown_key", 9, "no 'damper' in 'path[0]'; expected one of spring");
}
END_TEST

START_TEST(a_place_beyond_a_list_is_answered_with_how_many_there_are)
{
    expect_refused("slopes_percent[3]", 1, "out_of_range", 15,
                   "item 3 of 'slopes_percent', which has 3; expected a place from 0 to 2");
    expect_refused("path[99999999999999999999].spring", 1, "out_of_range", 5,
                   "a place in the path beyond the end of any list; expected a whole number from 0 to 2000000");
    expect_refused("path[7].spring.stiffness_n_m", 1, "out_of_range", 5,
                   "item 7 of 'path', which has 2; expected a place from 0 to 1");
}
END_TEST

START_TEST(what_is_no_single_number_is_refused_and_said)
{
    expect_refused("name", 1, "wrong_shape", 1, "'name' is text; expected the path of one number");
    expect_refused("slopes_percent", 1, "wrong_shape", 1,
                   "'slopes_percent' is a list of numbers in %; expected the path of one number, such as that of the "
                   "first of the list: [0]");
    expect_refused("brake", 1, "wrong_shape", 1, "'brake' is a map of keys (brake); expected the path of one number");
    expect_refused("loads.sand", 1, "wrong_shape", 1, "'loads.sand' is a map of keys; expected the path of one number");
    expect_refused("path[0]", 1, "wrong_shape", 1, "'path[0]' is a map of keys; expected the path of one number");
    expect_refused("mass_kg.x", 1, "wrong_shape", 9,
                   "a key below 'mass_kg', which is a single value; expected the path to end there");
    expect_refused("brake.share.x", 1, "wrong_shape", 13,
                   "a key below 'brake.share', which is a list; expected the place in the list, from 0: [0]");
    expect_refused("brake[0]", 1, "wrong_shape", 6, "a place in 'brake', which is not a list; expected a key");
}
END_TEST

START_TEST(nothing_is_changed_below_what_is_absent)
{
    expect_refused("coupling.height_m", 1, "wrong_shape", 10,
                   "a step below 'coupling', which is not there; expected a path to a value that is; what is absent "
                   "comes in when a file is read");
}
END_TEST

START_TEST(a_text_that_is_no_path_is_said_where_it_breaks)
{
    expect_refused("", 1, "syntax", 1, "an empty step in the path; expected keys with dots between them");
    expect_refused("brake..share", 1, "syntax", 7, "an empty step in the path; expected keys with dots between them");
    expect_refused("brake.share[x]", 1, "syntax", 12,
                   "a bracket in the path without a number; expected the place in a list, from 0: path[2]");
    expect_refused("mass_kg=4", 1, "syntax", 8, "'=' in the path; expected a dot before each further key");
    expect_refused("brake\033[2J", 1, "syntax", 0, /* is not shown as a place, for it would steer a terminal */
                   "a bracket in the path without a number; expected the place in a list, from 0: path[2]");
}
END_TEST

/* ---------------------------------------------------------------------------------------------------- words */

/* What the reader says about the value at a path that has no list or step in it, but for its place. */
static void expect_words_of_the_reader(const char *path, double value)
{
    char set_text[200];
    variant v = variant_of("name: w\nmass_kg: 1000\n");
    snprintf(set_text, sizeof set_text, "name: w\n%s%s: %.17g\n", strcmp(path, "mass_kg") == 0 ? "" : "mass_kg: 1000\n",
             path, value);
    outcome read = read_text(set_text);
    evn_finding ours, theirs = finding_at(&read, 0);
    ck_assert(set(&v, path, value) == (read.wagon != NULL));
    ck_assert_uint_eq(evn_report_count(v.report), evn_report_count(read.report));
    ck_assert(evn_report_at(v.report, 0, &ours));
    ck_assert_str_eq(ours.fault, theirs.fault);
    ck_assert_str_eq(ours.text, theirs.text);
    ck_assert_str_eq(ours.file, path);
    ck_assert_int_eq(evn_report_status(v.report), evn_report_status(read.report));
    outcome_end(&read);
    variant_end(&v);
}

START_TEST(bounds_and_unusual_values_are_said_in_the_words_of_the_reader)
{
    expect_words_of_the_reader("mass_kg", 99);
    expect_words_of_the_reader("mass_kg", 60000.5);
    expect_words_of_the_reader("mass_kg", 450);
    expect_words_of_the_reader("wheels", 6.5);
    expect_words_of_the_reader("wheels", 33);
    expect_refused("brake.share[1]", 1.5, "out_of_range", 1, "share[1] is 1.5; expected at most 1");
    expect_refused("covered", 2, "unknown_choice", 1, "covered is '2'; expected 1 for true or 0 for false");
    expect_refused("colour", -1, "unknown_choice", 1,
                   "colour is '-1'; expected 0 to 2, the place of one of red, green, grey");
}
END_TEST

/* ---------------------------------------------------------------------------------------------------- rules */

START_TEST(rules_between_keys_hold_in_memory_too_and_name_the_path)
{
    static const struct {
        const char *path;
        double value;
        const char *place, *text;
    } rows[] = {{"brake.speed_km_h[1]", 0, "brake.speed_km_h[1]", "speed_km_h goes from 0 to 0"},
                {"permitted_kg", 1001, "loads.gravel.mass_kg", "1008 kg in all; expected 1001 kg"},
                {"slopes_percent[1]", 3, "slopes_percent[2]", "the same slope twice"},
                {"path[1].damper.share", 0, "path[1].damper.share", "a damper without a share"}};
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        variant v = variant_of(whole);
        uint64_t before = evn_object_hash(&wagon_object, v.wagon);
        evn_finding found;
        ck_assert(!set(&v, rows[i].path, rows[i].value));
        ck_assert_uint_eq(evn_report_count(v.report), 1);
        ck_assert(evn_report_at(v.report, 0, &found));
        ck_assert_str_eq(found.fault, "disagrees");
        ck_assert_str_eq(found.file, rows[i].place);
        ck_assert_msg(strstr(found.text, rows[i].text), "%s", found.text);
        ck_assert(evn_object_hash(&wagon_object, v.wagon) == before);
        variant_end(&v);
    }
}
END_TEST

START_TEST(numbers_that_only_fit_together_are_changed_together)
{
    const evn_change both[] = {{"brake.speed_km_h[0]", 60}, {"brake.speed_km_h[1]", 90}, {"mass_kg", 1100}};
    variant v = variant_of(whole);
    ck_assert(!evn_numbers_set(&wagon_object, v.wagon, both, 1, v.report));
    ck_assert_double_eq(v.wagon->brake->speed_km_h.at[0], 0);
    ck_assert(evn_numbers_set(&wagon_object, v.wagon, both, 3, v.report));
    ck_assert_double_eq(v.wagon->brake->speed_km_h.at[0], 60);
    ck_assert_double_eq(v.wagon->mass_kg, 1100);
    variant_end(&v);
}
END_TEST

START_TEST(where_one_of_several_is_refused_none_is_changed)
{
    const evn_change three[] = {{"mass_kg", 1100}, {"mass_kg", 1200}, {"wheels", 99}},
                     rule[] = {{"mass_kg", 1100}, {"mass_kg", 1200}, {"brake.speed_km_h[0]", 60}};
    variant v = variant_of(whole);
    ck_assert(!evn_numbers_set(&wagon_object, v.wagon, three, 3, v.report));
    ck_assert_double_eq(v.wagon->mass_kg, 1000);
    ck_assert(!evn_numbers_set(&wagon_object, v.wagon, rule, 3, v.report));
    ck_assert_double_eq(v.wagon->mass_kg, 1000);
    ck_assert(evn_numbers_set(&wagon_object, v.wagon, three, 2, v.report));
    ck_assert_double_eq(v.wagon->mass_kg, 1200);
    variant_end(&v);
}
END_TEST

START_TEST(a_rule_of_what_holds_two_changed_numbers_is_asked_once)
{
    const evn_change two[] = {{"loads.sand.mass_kg", 20000}, {"loads.gravel.mass_kg", 20000}};
    variant v = variant_of(whole);
    ck_assert(!evn_numbers_set(&wagon_object, v.wagon, two, 2, v.report));
    ck_assert_uint_eq(evn_report_count(v.report), 1);
    variant_end(&v);
}
END_TEST

/* ---------------------------------------------------------------------------------------------------- hash */

START_TEST(the_hash_sees_a_number_of_every_shape)
{
    static const evn_change changes[] = {{"mass_kg", 1200},
                                         {"wheels", 8},
                                         {"covered", 1},
                                         {"colour", 2},
                                         {"slopes_percent[2]", 4},
                                         {"brake.fade_km_h", 7},
                                         {"loads.gravel.lashing.height_m", 1.5},
                                         {"path[0].spring.stiffness_n_m", 7},
                                         {"path[1].damper.share", 0.75}};
    for (size_t i = 0; i < sizeof changes / sizeof changes[0]; i++) {
        variant v = variant_of(whole);
        ck_assert(set(&v, changes[i].path, changes[i].value));
        ck_assert_msg(evn_object_hash(&wagon_object, v.wagon) != evn_object_hash(&wagon_object, v.out.wagon), "%s",
                      changes[i].path);
        variant_end(&v);
    }
}
END_TEST

/* ---------------------------------------------------------------------------------------------------- copies */

START_TEST(a_copy_stands_when_the_original_is_gone)
{
    outcome out = read_text(whole);
    evn_arena *arena = evn_arena_new();
    wagon *copy = evn_object_copy(&wagon_object, out.wagon, arena);
    ck_assert_ptr_nonnull(copy);
    ck_assert(evn_object_hash(&wagon_object, copy) == evn_object_hash(&wagon_object, out.wagon));
    uint64_t hash = evn_object_hash(&wagon_object, copy);
    ck_assert_ptr_ne(copy->name, out.wagon->name);
    ck_assert_ptr_ne(copy->slopes_percent.at, out.wagon->slopes_percent.at);
    ck_assert_ptr_ne(copy->loads.name[0], out.wagon->loads.name[0]);
    ck_assert_ptr_null(copy->coupling);
    outcome_end(&out);
    ck_assert(evn_object_hash(&wagon_object, copy) == hash);
    ck_assert_str_eq(copy->name, "w");
    ck_assert_str_eq(((const load *)copy->loads.item)->note, "wet");
    evn_arena_free(arena);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("change");
    TCase *paths = tcase_create("paths"), *rules = tcase_create("rules");
    tcase_add_test(paths, a_path_leads_to_numbers_of_every_shape);
    tcase_add_test(paths, what_is_not_given_can_be_given_and_taken_back);
    tcase_add_test(paths, a_name_that_is_not_there_is_answered_with_the_nearest);
    tcase_add_test(paths, a_place_beyond_a_list_is_answered_with_how_many_there_are);
    tcase_add_test(paths, what_is_no_single_number_is_refused_and_said);
    tcase_add_test(paths, nothing_is_changed_below_what_is_absent);
    tcase_add_test(paths, a_text_that_is_no_path_is_said_where_it_breaks);
    tcase_add_test(rules, bounds_and_unusual_values_are_said_in_the_words_of_the_reader);
    tcase_add_test(rules, rules_between_keys_hold_in_memory_too_and_name_the_path);
    tcase_add_test(rules, numbers_that_only_fit_together_are_changed_together);
    tcase_add_test(rules, where_one_of_several_is_refused_none_is_changed);
    tcase_add_test(rules, a_rule_of_what_holds_two_changed_numbers_is_asked_once);
    tcase_add_test(rules, the_hash_sees_a_number_of_every_shape);
    tcase_add_test(rules, a_copy_stands_when_the_original_is_gone);
    suite_add_tcase(suite, paths);
    suite_add_tcase(suite, rules);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_ENV);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
