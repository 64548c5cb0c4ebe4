/* CSV files that a key names: what is read, and the exact place of each refusal. */
#define _POSIX_C_SOURCE 200809L
#include "core/field_copy.h"
#include "folder.h"
#include "wagon.h"
#include <stdlib.h>

static outcome read_sheet(const char *csv)
{
    char path[PATH_BYTES];
    write_file("t.csv", csv);
    write_file("w.yaml", "name: w\nmass_kg: 1000\ntable: t.csv\n");
    outcome out = outcome_begin();
    out.wagon = evn_read_file(in_folder(path, "w.yaml"), &wagon_object, NULL, out.arena, out.report);
    ck_assert_int_eq(!out.wagon, evn_report_failed(out.report));
    return out;
}

static outcome sound_sheet(const char *csv)
{
    outcome out = read_sheet(csv);
    if (evn_report_count(out.report) > 0) {
        evn_finding found = finding_at(&out, 0);
        ck_abort_msg("%s:%u:%u: %s", found.file, found.line, found.column, found.text);
    }
    ck_assert_ptr_nonnull(out.wagon->table);
    return out;
}

START_TEST(columns_rows_and_lines_are_read)
{
    outcome out = sound_sheet("# a comment\n\ntime_s,speed_km_h\n0,1.5\n# in between\n1, 2e1 \n2,-3\n");
    const evn_sheet *t = out.wagon->table;
    ck_assert_uint_eq(t->columns, 2);
    ck_assert_uint_eq(t->rows, 3);
    ck_assert_str_eq(t->name[0], "time_s");
    ck_assert_str_eq(t->name[1], "speed_km_h");
    ck_assert_double_eq(t->column[0][2], 2);
    ck_assert_double_eq(t->column[1][0], 1.5);
    ck_assert_double_eq(t->column[1][1], 20);
    ck_assert_double_eq(t->column[1][2], -3);
    ck_assert_uint_eq(t->header_line, 3);
    ck_assert_uint_eq(t->line[0], 4);
    ck_assert_uint_eq(t->line[1], 6);
    ck_assert_uint_eq(t->line[2], 7);
    outcome_end(&out);
}
END_TEST

/* What is found in a sheet long after it was read stands in a report of its own, and in a copy as in the original. */
START_TEST(a_sheet_and_its_copy_know_their_file_in_every_report)
{
    outcome out = sound_sheet("time_s,speed_km_h\n0,1.5\n# in between\n1,2\n");
    evn_arena *arena = evn_arena_new();
    const wagon *copy = evn_object_copy(&wagon_object, out.wagon, arena);
    evn_report *later = evn_report_new();
    evn_finding found;
    ck_assert(copy && later);
    outcome_end(&out);
    const evn_sheet *t = copy->table;
    ck_assert_str_eq(t->name[1], "speed_km_h");
    ck_assert_double_eq(t->column[1][1], 2);
    ck_assert_uint_eq(evn_report_file(later, "another.yaml"), 1);
    evn_say(later, EVN_FAULT_DISAGREES, evn_sheet_row(t, 1, later), evn_nowhere, "in a row");
    evn_say(later, EVN_FAULT_DISAGREES, evn_sheet_header(t, later), evn_nowhere, "in the header");
    for (size_t i = 0; i < 2; i++) {
        ck_assert(evn_report_at(later, i, &found));
        ck_assert_uint_eq(found.line, i == 0 ? 1 : 4);
        ck_assert_str_eq(strrchr(found.file, '.'), ".csv");
    }
    evn_report_free(later);
    evn_arena_free(arena);
}
END_TEST

START_TEST(columns_of_text_are_dropped)
{
    outcome out =
        sound_sheet("place_m,provenance,grade_percent,note\n0,read,1,\n402,\"said, twice\",2,\"a \"\", b\"\n");
    const evn_sheet *t = out.wagon->table;
    ck_assert_uint_eq(t->columns, 2);
    ck_assert_str_eq(t->name[1], "grade_percent");
    ck_assert_double_eq(t->column[1][1], 2);
    outcome_end(&out);
}
END_TEST

START_TEST(crlf_a_byte_order_mark_quotes_and_no_last_line_end_are_accepted)
{
    outcome out = sound_sheet("\xef\xbb\xbf\"a\" ,\"b\"\r\n\"1\", \"2\"\r\n3,4");
    const evn_sheet *t = out.wagon->table;
    ck_assert_uint_eq(t->rows, 2);
    ck_assert_str_eq(t->name[0], "a");
    ck_assert_double_eq(t->column[0][0], 1);
    ck_assert_double_eq(t->column[1][0], 2);
    ck_assert_double_eq(t->column[1][1], 4);
    outcome_end(&out);
}
END_TEST

typedef struct refusal {
    const char *proves, *csv, *fault;
    unsigned line, column;
    const char *piece;
} refusal;

static const refusal refusals[] = {
    {"an empty sheet", "", "syntax", 1, 1, "a sheet without lines"},
    {"a sheet of comments", "# a\n", "syntax", 1, 1, "a sheet without lines"},
    {"a header alone", "a,b\n", "syntax", 1, 1, "a sheet without numbers"},
    {"a sheet of text", "a,b\nx,y\n", "syntax", 1, 1, "a sheet without numbers"},
    {"no header", "0,1\n2,3\n", "syntax", 1, 1, "expected a header line"},
    {"semicolons", "a;b\n1,5;2\n", "syntax", 1, 1, "expected commas between columns"},
    {"tabs", "a\tb\n1\t2\n", "syntax", 1, 1, "expected commas between columns"},
    {"a column twice", "a,b,a\n1,2,3\n", "duplicate_key", 1, 5, "a second column"},
    {"a column without a name", "a,,c\n1,2,3\n", "syntax", 1, 3, "a column without a name"},
    {"a row too short", "a,b\n1,2\n3\n", "wrong_shape", 3, 1, "a row of 1 cells; expected 2"},
    {"a row too long", "a,b\n1,2,\n", "wrong_shape", 2, 1, "a row of 3 cells; expected 2"},
    {"a word among numbers", "a,b\n1,2\n3, x\n5,6\n", "not_a_number", 3, 4, "'x' in the column 'b'"},
    {"an empty cell among numbers", "a,b\n1,2\n3,\n", "not_a_number", 3, 3, "it is empty"},
    {"a leading zero among numbers", "a,b\n1,2\n3,007\n", "not_a_number", 3, 3, "no leading zeros"},
    {"nan among numbers", "a,b\n1,2\n3,nan\n", "not_a_number", 3, 3, "only finite"},
    {"columns count characters", "a,b\n1,2\n\xc3\xa4,x2\n", "not_a_number", 3, 1, "in the column 'a'"},
    {"an open quote", "a,b\n1,\"2\n", "syntax", 2, 3, "a quote that is not closed"},
    {"an open quote in the header", "a,\"b\n1,2\n", "syntax", 1, 3, "a quote that is not closed"},
    {"bytes that are no text", "a,b\n1,\xff\n", "syntax", 2, 3, "0xff"},
};

START_TEST(each_refusal_has_its_fault_both_places_and_words)
{
    const refusal *r = &refusals[_i];
    char path[PATH_BYTES];
    outcome out = read_sheet(r->csv);
    evn_finding found = finding_at(&out, 0);
    ck_assert_str_eq(found.file, in_folder(path, "t.csv"));
    ck_assert_str_eq(found.used_from_file, in_folder(path, "w.yaml"));
    ck_assert_uint_eq(found.used_from_line, 3);
    ck_assert_uint_eq(found.used_from_column, 8);
    ck_assert_msg(strcmp(found.fault, r->fault) == 0 && found.line == r->line && found.column == r->column &&
                      strstr(found.text, r->piece),
                  "%s: expected %s at %u:%u with \"%s\"; found %s at %u:%u: %s", r->proves, r->fault, r->line,
                  r->column, r->piece, found.fault, found.line, found.column, found.text);
    outcome_end(&out);
}
END_TEST

START_TEST(all_bad_cells_are_said_in_one_go)
{
    outcome out = read_sheet("a,b\n1,2\nx,3\n4,y\nz,5\n");
    ck_assert_uint_eq(evn_report_count(out.report), 3);
    evn_finding found = finding_at(&out, 1);
    expect_finding(&found, "not_a_number", 4, 3, "'y' in the column 'b'");
    outcome_end(&out);
}
END_TEST

START_TEST(a_sheet_that_is_not_there_is_located_where_it_is_named)
{
    outcome out = outcome_begin();
    static const char text[] = "name: w\nmass_kg: 1000\ntable: none.csv\n";
    out.wagon = evn_read_bytes(text, strlen(text), "w.yaml", &wagon_object, NULL, out.arena, out.report);
    evn_finding found = finding_at(&out, 0);
    expect_finding(&found, "not_found", 3, 8, "'none.csv' is not there");
    outcome_end(&out);
}
END_TEST

START_TEST(a_sheet_beside_a_used_file_is_found_there)
{
    char path[PATH_BYTES];
    make_folder("sub");
    write_file("sub/t.csv", "a\n7\n");
    write_file("sub/base.yaml", "table: t.csv\n");
    write_file("w.yaml", "extends: sub/base.yaml\nname: w\nmass_kg: 1000\n");
    outcome out = outcome_begin();
    out.wagon = evn_read_file(in_folder(path, "w.yaml"), &wagon_object, NULL, out.arena, out.report);
    ck_assert_ptr_nonnull(out.wagon);
    ck_assert_double_eq(out.wagon->table->column[0][0], 7);
    outcome_end(&out);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("sheet");
    TCase *tests = tcase_create("sheet");
    tcase_add_checked_fixture(tests, folder_begin, folder_end);
    tcase_add_test(tests, columns_rows_and_lines_are_read);
    tcase_add_test(tests, a_sheet_and_its_copy_know_their_file_in_every_report);
    tcase_add_test(tests, columns_of_text_are_dropped);
    tcase_add_test(tests, crlf_a_byte_order_mark_quotes_and_no_last_line_end_are_accepted);
    tcase_add_loop_test(tests, each_refusal_has_its_fault_both_places_and_words, 0,
                        (int)(sizeof refusals / sizeof refusals[0]));
    tcase_add_test(tests, all_bad_cells_are_said_in_one_go);
    tcase_add_test(tests, a_sheet_that_is_not_there_is_located_where_it_is_named);
    tcase_add_test(tests, a_sheet_beside_a_used_file_is_found_there);
    suite_add_tcase(suite, tests);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_NORMAL);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
