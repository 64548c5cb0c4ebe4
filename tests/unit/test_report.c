/* The report, arenas, and what all walkers of field tables share. */
#define _POSIX_C_SOURCE 200809L
#include "core/arena.h"
#include "core/field.h"
#include "core/ledger.h"
#include <check.h>
#include <locale.h>
#include <math.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static evn_report *new_report(void)
{
    evn_report *report = evn_report_new();
    ck_assert_ptr_nonnull(report);
    return report;
}

static evn_finding at(const evn_report *report, size_t index)
{
    evn_finding finding;
    ck_assert(evn_report_at(report, index, &finding));
    return finding;
}

/* ---------------------------------------------------------------------------------------------------- report */

START_TEST(a_new_report_is_empty_and_done)
{
    evn_report *report = new_report();
    evn_finding finding;
    ck_assert_uint_eq(evn_report_count(report), 0);
    ck_assert_uint_eq(evn_report_left_out(report), 0);
    ck_assert_int_eq(evn_report_status(report), EVN_DONE);
    ck_assert(!evn_report_failed(report));
    ck_assert(!evn_report_at(report, 0, &finding));
    evn_report_free(report);
    evn_report_free(NULL);
}
END_TEST

START_TEST(a_finding_carries_both_places)
{
    evn_report *report = new_report();
    uint32_t a = evn_report_file(report, "a.yaml"), b = evn_report_file(report, "b.yaml");
    ck_assert_uint_eq(evn_report_file(report, "a.yaml"), a);
    evn_say(report, EVN_FAULT_UNKNOWN_KEY, (evn_spot){b, 3, 4}, (evn_spot){a, 1, 2}, "found %d; expected %s", 7, "x");
    evn_finding found = at(report, 0);
    ck_assert_int_eq(found.severity, EVN_ERROR);
    ck_assert_str_eq(found.fault, "unknown_key");
    ck_assert_str_eq(found.file, "b.yaml");
    ck_assert_uint_eq(found.line, 3);
    ck_assert_uint_eq(found.column, 4);
    ck_assert_str_eq(found.used_from_file, "a.yaml");
    ck_assert_uint_eq(found.used_from_line, 1);
    ck_assert_uint_eq(found.used_from_column, 2);
    ck_assert_str_eq(found.text, "found 7; expected x");
    evn_report_free(report);
}
END_TEST

START_TEST(a_finding_without_a_file_has_none)
{
    evn_report *report = new_report();
    evn_say(report, EVN_FAULT_USAGE, evn_nowhere, evn_nowhere, "a");
    ck_assert_ptr_null(at(report, 0).file);
    ck_assert_ptr_null(at(report, 0).used_from_file);
    evn_report_free(report);
}
END_TEST

START_TEST(findings_are_sorted_by_place_and_equal_places_keep_their_order)
{
    evn_report *report = new_report();
    uint32_t a = evn_report_file(report, "a"), b = evn_report_file(report, "b");
    evn_say(report, EVN_FAULT_SYNTAX, (evn_spot){b, 1, 1}, evn_nowhere, "5");
    evn_say(report, EVN_FAULT_SYNTAX, (evn_spot){a, 2, 1}, evn_nowhere, "3");
    evn_say(report, EVN_FAULT_UNUSUAL_VALUE, (evn_spot){a, 2, 1}, evn_nowhere, "4");
    evn_say(report, EVN_FAULT_SYNTAX, (evn_spot){a, 1, 9}, evn_nowhere, "2");
    evn_say(report, EVN_FAULT_SYNTAX, (evn_spot){a, 1, 2}, evn_nowhere, "1");
    evn_say(report, EVN_FAULT_USAGE, evn_nowhere, evn_nowhere, "0");
    for (size_t i = 0; i < 6; i++)
        ck_assert_int_eq(at(report, i).text[0], (char)('0' + i));
    evn_report_free(report);
}
END_TEST

START_TEST(the_first_twenty_by_place_are_kept_whatever_the_order_of_saying)
{
    evn_report *report = new_report();
    uint32_t file = evn_report_file(report, "a");
    for (uint32_t i = 0; i < 100; i++)
        evn_say(report, EVN_FAULT_SYNTAX, (evn_spot){file, 1 + i * 37 % 100, 1}, evn_nowhere, "x");
    ck_assert_uint_eq(evn_report_count(report), 20);
    ck_assert_uint_eq(evn_report_left_out(report), 80);
    ck_assert_uint_eq(evn_report_errors(report), 100);
    for (size_t i = 0; i < 20; i++)
        ck_assert_uint_eq(at(report, i).line, i + 1);
    evn_report_free(report);
}
END_TEST

START_TEST(warnings_never_crowd_out_an_error)
{
    evn_report *report = new_report();
    uint32_t file = evn_report_file(report, "a");
    for (uint32_t i = 1; i <= 30; i++)
        evn_say(report, EVN_FAULT_UNUSUAL_VALUE, (evn_spot){file, i, 1}, evn_nowhere, "w");
    const char *kept_text = at(report, 19).text;
    ck_assert(!evn_report_failed(report));
    ck_assert_int_eq(evn_report_status(report), EVN_DONE);
    evn_say(report, EVN_FAULT_OUT_OF_RANGE, (evn_spot){file, 99, 1}, evn_nowhere, "e");
    ck_assert(evn_report_failed(report));
    ck_assert_uint_eq(evn_report_errors(report), 1);
    ck_assert_str_eq(at(report, 19).fault, "out_of_range");
    ck_assert_uint_eq(at(report, 18).line, 19);
    ck_assert_uint_eq(evn_report_left_out(report), 11);
    ck_assert_str_eq(kept_text, "w"); /* handed out before it was crowded out, and still alive */
    evn_report_free(report);
}
END_TEST

START_TEST(a_warning_never_takes_the_place_of_an_error)
{
    evn_report *report = new_report();
    uint32_t file = evn_report_file(report, "a");
    for (uint32_t i = 1; i <= 20; i++)
        evn_say(report, EVN_FAULT_SYNTAX, (evn_spot){file, 10 + i, 1}, evn_nowhere, "e");
    evn_say(report, EVN_FAULT_UNUSUAL_VALUE, (evn_spot){file, 1, 1}, evn_nowhere, "w");
    ck_assert_uint_eq(at(report, 0).line, 11);
    ck_assert_uint_eq(at(report, 19).line, 30);
    ck_assert_uint_eq(evn_report_left_out(report), 1);
    evn_report_free(report);
}
END_TEST

START_TEST(a_warning_of_one_place_is_kept_once_an_error_for_each_place_of_use)
{
    evn_report *report = new_report();
    uint32_t part = evn_report_file(report, "part"), truck = evn_report_file(report, "truck");
    for (uint32_t use = 1; use <= 3; use++) {
        evn_say(report, EVN_FAULT_UNUSUAL_VALUE, (evn_spot){part, 2, 1}, (evn_spot){truck, use, 1}, "w");
        evn_say(report, EVN_FAULT_UNUSUAL_VALUE, (evn_spot){part, 2, 1}, (evn_spot){truck, use, 1}, "other");
        evn_say(report, EVN_FAULT_UNUSUAL_VALUE, (evn_spot){part, 3, 1}, (evn_spot){truck, use, 1}, "w");
        evn_say(report, EVN_FAULT_OUT_OF_RANGE, (evn_spot){part, 4, 1}, (evn_spot){truck, use, 1}, "e");
    }
    ck_assert_uint_eq(evn_report_count(report), 3 + 3);
    ck_assert_uint_eq(evn_report_left_out(report), 0);
    for (size_t i = 0; i < 3; i++) {
        ck_assert_uint_eq(at(report, i).used_from_line, 1);
        ck_assert_uint_eq(at(report, 3 + i).used_from_line, i + 1);
    }
    evn_report_free(report);
}
END_TEST

START_TEST(the_status_is_the_worst_of_all_findings)
{
    evn_report *report = new_report();
    evn_say(report, EVN_FAULT_BATTERY_EMPTY, evn_nowhere, evn_nowhere, "x");
    ck_assert_int_eq(evn_report_status(report), EVN_ANSWER_NO);
    evn_say(report, EVN_FAULT_NOT_FINITE, evn_nowhere, evn_nowhere, "x");
    ck_assert_int_eq(evn_report_status(report), EVN_NO_RESULT);
    evn_say(report, EVN_FAULT_SYNTAX, evn_nowhere, evn_nowhere, "x");
    ck_assert_int_eq(evn_report_status(report), EVN_NO_RESULT);
    evn_report_free(report);
}
END_TEST

START_TEST(control_characters_do_not_reach_a_terminal)
{
    evn_report *report = new_report();
    evn_say(report, EVN_FAULT_SYNTAX, evn_nowhere, evn_nowhere,
            "a\x1b[2Jb\nc\td\x7f\xc2\x9b"
            "e\xc3\xa4");
    ck_assert_str_eq(at(report, 0).text, "a?[2Jb c d???e\xc3\xa4");
    evn_report_free(report);
}
END_TEST

START_TEST(very_long_texts_are_cut_between_characters)
{
    evn_report *report = new_report();
    for (int shift = 0; shift < 3; shift++) {
        char text[6001];
        memset(text, 'x', 3);
        for (int i = shift; i + 3 < 6000; i += 3)
            memcpy(text + i, "\xe2\x82\xac", 4);
        evn_say(report, EVN_FAULT_SYNTAX, evn_nowhere, evn_nowhere, "%s", text);
        const char *kept = at(report, (size_t)shift).text;
        size_t length = strlen(kept);
        ck_assert_uint_lt(length, 2000);
        ck_assert_uint_gt(length, 1000);
        ck_assert_str_eq(kept + length - 6, "\xe2\x82\xac...");
    }
    evn_report_free(report);
}
END_TEST

START_TEST(numbers_in_texts_have_a_point_in_every_locale)
{
    setlocale(LC_ALL, "de_DE.UTF-8"); /* where it is installed; the text must be the same everywhere */
    evn_report *report = new_report();
    evn_say(report, EVN_FAULT_SYNTAX, evn_nowhere, evn_nowhere, "%g", 1.5);
    ck_assert_str_eq(at(report, 0).text, "1.5");
    evn_report_free(report);
}
END_TEST

START_TEST(many_files_keep_their_numbers_and_names)
{
    evn_report *report = new_report();
    char name[20];
    for (uint32_t i = 0; i < 500; i++) {
        snprintf(name, sizeof name, "f%u", (unsigned)i);
        ck_assert_uint_eq(evn_report_file(report, name), i + 1);
    }
    evn_say(report, EVN_FAULT_SYNTAX, (evn_spot){400, 1, 1}, evn_nowhere, "x");
    ck_assert_str_eq(at(report, 0).file, "f399");
    evn_report_free(report);
}
END_TEST

START_TEST(names_of_faults_and_of_ledger_lines_are_distinct)
{
    for (size_t i = 0; i < EVN_FAULT_COUNT; i++) {
        ck_assert(strspn(evn_fault_rows[i].name, "abcdefghijklmnopqrstuvwxyz_") == strlen(evn_fault_rows[i].name));
        ck_assert_int_eq(evn_fault_rows[i].severity == EVN_WARNING, evn_fault_rows[i].status == EVN_DONE);
        for (size_t j = 0; j < i; j++)
            ck_assert_str_ne(evn_fault_rows[i].name, evn_fault_rows[j].name);
    }
    for (size_t i = 0; i < EVN_LINE_COUNT; i++)
        for (size_t j = 0; j < i; j++)
            ck_assert_str_ne(evn_line_rows[i].key, evn_line_rows[j].key);
    ck_assert_str_eq(evn_line_rows[EVN_ROLLING].key, "rolling_resistance");
    ck_assert_str_eq(evn_line_rows[EVN_INVERTER].key, "inverter_losses");
}
END_TEST

/* ---------------------------------------------------------------------------------------------------- arena */

static bool holds_only(const unsigned char *bytes, size_t count, unsigned char value)
{
    for (size_t i = 0; i < count; i++)
        if (bytes[i] != value)
            return false;
    return true;
}

START_TEST(arena_memory_is_zeroed_aligned_and_apart)
{
    evn_arena *arena = evn_arena_new();
    unsigned char *last = NULL;
    size_t last_size = 0;
    for (size_t i = 0; i < 3000; i++) {
        size_t size = i % 97 == 0 ? 100000 + i : i % 301;
        unsigned char *taken = evn_arena_take(arena, size);
        ck_assert_ptr_nonnull(taken);
        ck_assert_uint_eq((uintptr_t)taken % _Alignof(max_align_t), 0);
        ck_assert(holds_only(taken, size, 0));
        memset(taken, 0xa5, size);
        ck_assert(holds_only(last, last_size, 0xa5));
        last = taken;
        last_size = size;
    }
    evn_arena_free(arena);
    evn_arena_free(NULL);
}
END_TEST

START_TEST(arena_refuses_what_no_memory_holds)
{
    evn_arena *arena = evn_arena_new();
    ck_assert_ptr_null(evn_arena_take(arena, SIZE_MAX));
    ck_assert_ptr_null(evn_arena_take(arena, SIZE_MAX - 40));
    ck_assert_ptr_null(evn_arena_text(arena, "x", SIZE_MAX));
    ck_assert_ptr_nonnull(evn_arena_take(arena, 0));
    ck_assert_str_eq(evn_arena_text(arena, "abc", 2), "ab");
    evn_arena_free(arena);
}
END_TEST

/* ---------------------------------------------------------------------------------------------------- fields */

START_TEST(the_nearest_name_is_found)
{
    static const char *const names[] = {"mass_kg", "drag_area_m2", "ratios", "gearbox", "motors", "name", "use"};
    static const struct {
        const char *found, *nearest;
    } rows[] = {{"mas_kg", "mass_kg"},
                {"mass", "mass_kg"},
                {"mass_t", "mass_kg"},
                {"Ratios", "ratios"},
                {"ratio", "ratios"},
                {"drag_area", "drag_area_m2"},
                {"gearbxo", "gearbox"},
                {"naem", "name"},
                {"usee", "use"},
                {"zzz", NULL},
                {"wheels", NULL},
                {"colour", NULL},
                {"", NULL},
                {"drga_area_m2", "drag_area_m2"}};
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        const char *nearest = evn_nearest(rows[i].found, names, sizeof names / sizeof names[0]);
        ck_assert_msg((nearest == NULL) == (rows[i].nearest == NULL), "%s: %s", rows[i].found, nearest);
        if (nearest)
            ck_assert_str_eq(nearest, rows[i].nearest);
    }
}
END_TEST

START_TEST(very_long_names_are_near_nothing)
{
    char name[1000];
    memset(name, 'a', sizeof name - 1);
    name[sizeof name - 1] = '\0';
    const char *const names[] = {name, "abc"};
    ck_assert_ptr_null(evn_nearest(name, names, 2));
    ck_assert_str_eq(evn_nearest("abx", names, 2), "abc");
}
END_TEST

START_TEST(units_are_read_from_the_ends_of_keys)
{
    static const struct {
        const char *key, *unit;
    } rows[] = {{"mass_kg", "kg"},
                {"speed_km_h", "km/h"},
                {"time_h", "h"},
                {"length_m", "m"},
                {"area_m2", "m2"},
                {"inertia_kg_m2", "kg m2"},
                {"grade_percent", "%"},
                {"gravity_m_s2", "m/s2"},
                {"ratio", ""},
                {"m", ""},
                {"kwh", ""},
                {"start_degc", "degC"},
                {"rolling_factor", ""},
                {"torque_nm", "Nm"},
                {"speed_rpm", "rpm"},
                {"charge_limit_kw", "kW"},
                {"resistance_ohm", "ohm"},
                {"capacity_ah", "Ah"}};
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++)
        ck_assert_str_eq(evn_unit_of(rows[i].key), rows[i].unit);
}
END_TEST

typedef struct inner {
    double share;
} inner;

typedef struct outer {
    double given, open;
    bool flag;
    int choice, none;
    const char *text;
    const inner *made, *absent;
    evn_list list;
} outer;

static const evn_field inner_fields[] = {
    {.key = "share", .shape = EVN_NUMBER, .fallback = 0.5, .offset = offsetof(inner, share)}};
static const evn_object inner_object = {"inner", "", sizeof(inner), inner_fields, 1, NULL};
static const evn_field outer_fields[] = {
    {.key = "given", .shape = EVN_NUMBER, .fallback = 3, .offset = offsetof(outer, given)},
    {.key = "open", .shape = EVN_COUNT, .fallback = (double)NAN, .offset = offsetof(outer, open)},
    {.key = "flag", .shape = EVN_FLAG, .fallback = 1, .offset = offsetof(outer, flag)},
    {.key = "choice", .shape = EVN_CHOICE, .fallback = 2, .offset = offsetof(outer, choice)},
    {.key = "none", .shape = EVN_CHOICE, .fallback = (double)NAN, .offset = offsetof(outer, none)},
    {.key = "text", .shape = EVN_TEXT, .offset = offsetof(outer, text)},
    {.key = "made", .shape = EVN_ONE, .presence = EVN_DEFAULTED, .of = &inner_object, .offset = offsetof(outer, made)},
    {.key = "absent", .shape = EVN_ONE, .of = &inner_object, .offset = offsetof(outer, absent)},
    {.key = "list", .shape = EVN_LIST, .offset = offsetof(outer, list)},
};
static const evn_object outer_object = {"outer", "", sizeof(outer), outer_fields, 9, NULL};

START_TEST(an_object_is_made_of_its_fallbacks)
{
    evn_arena *arena = evn_arena_new();
    outer made;
    memset(&made, 0xff, sizeof made);
    ck_assert(evn_object_default(&outer_object, &made, arena));
    ck_assert_double_eq(made.given, 3);
    ck_assert_double_nan(made.open);
    ck_assert(made.flag);
    ck_assert_int_eq(made.choice, 2);
    ck_assert_int_eq(made.none, -1);
    ck_assert_ptr_null(made.text);
    ck_assert_double_eq(made.made->share, 0.5);
    ck_assert_ptr_null(made.absent);
    ck_assert_uint_eq(made.list.count, 0);
    evn_arena_free(arena);
}
END_TEST

static evn_spot fixed_spot(const evn_seat *seat, const char *path, evn_spot *used_from)
{
    (void)seat;
    *used_from = (evn_spot){1, 9, 9};
    return (evn_spot){2, (uint32_t)strlen(path), 1};
}

START_TEST(curves_are_checked_at_their_places)
{
    static const double rising[] = {0, 1, 2}, flat[] = {0, 1, 1}, undefined[] = {0, (double)NAN, 2};
    evn_seat seat = {fixed_spot};
    evn_report *report = new_report();
    evn_report_file(report, "a");
    evn_report_file(report, "b");
    evn_list x = {rising, 3}, y = {flat, 3}, bad = {flat, 3}, shorter = {rising, 2}, empty = {NULL, 0};
    evn_list nan_axis = {undefined, 3};
    ck_assert(evn_check_curve(&x, "x", 0.5, &y, "y", &seat, report));
    ck_assert(evn_check_curve(&empty, "x", 0.5, &empty, "y", &seat, report));
    ck_assert_uint_eq(evn_report_count(report), 0);
    ck_assert(!evn_check_curve(&x, "x_m", 0.5, &shorter, "yy_s", &seat, report));
    ck_assert(!evn_check_curve(&bad, "x_m", 0.5, &y, "y_s", &seat, report));
    ck_assert(!evn_check_curve(&nan_axis, "x_mm", 0.5, &y, "y_s", &seat, report));
    ck_assert_uint_eq(evn_report_count(report), 3);
    ck_assert_uint_eq(at(report, 0).line, strlen("yy_s"));
    ck_assert_uint_eq(at(report, 1).line, strlen("x_m[2]"));
    ck_assert_uint_eq(at(report, 2).line, strlen("x_mm[1]"));
    ck_assert_str_eq(at(report, 0).file, "b");
    ck_assert_str_eq(at(report, 0).used_from_file, "a");
    evn_report_free(report);
}
END_TEST

static void add_report(Suite *suite)
{
    TCase *tests = tcase_create("report");
    tcase_add_test(tests, a_new_report_is_empty_and_done);
    tcase_add_test(tests, a_finding_carries_both_places);
    tcase_add_test(tests, a_finding_without_a_file_has_none);
    tcase_add_test(tests, findings_are_sorted_by_place_and_equal_places_keep_their_order);
    tcase_add_test(tests, the_first_twenty_by_place_are_kept_whatever_the_order_of_saying);
    tcase_add_test(tests, warnings_never_crowd_out_an_error);
    tcase_add_test(tests, a_warning_never_takes_the_place_of_an_error);
    tcase_add_test(tests, a_warning_of_one_place_is_kept_once_an_error_for_each_place_of_use);
    tcase_add_test(tests, the_status_is_the_worst_of_all_findings);
    tcase_add_test(tests, control_characters_do_not_reach_a_terminal);
    tcase_add_test(tests, very_long_texts_are_cut_between_characters);
    tcase_add_test(tests, numbers_in_texts_have_a_point_in_every_locale);
    tcase_add_test(tests, many_files_keep_their_numbers_and_names);
    tcase_add_test(tests, names_of_faults_and_of_ledger_lines_are_distinct);
    suite_add_tcase(suite, tests);
}

static void add_core(Suite *suite)
{
    TCase *tests = tcase_create("arena and fields");
    tcase_add_test(tests, arena_memory_is_zeroed_aligned_and_apart);
    tcase_add_test(tests, arena_refuses_what_no_memory_holds);
    tcase_add_test(tests, the_nearest_name_is_found);
    tcase_add_test(tests, very_long_names_are_near_nothing);
    tcase_add_test(tests, units_are_read_from_the_ends_of_keys);
    tcase_add_test(tests, an_object_is_made_of_its_fallbacks);
    tcase_add_test(tests, curves_are_checked_at_their_places);
    suite_add_tcase(suite, tests);
}

int main(void)
{
    Suite *suite = suite_create("report");
    add_report(suite);
    add_core(suite);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_NORMAL);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
