/* What the reader refuses because of its size, from bytes in memory. */
#include "wagon.h"
#include <stdio.h>
#include <stdlib.h>

/* The head, `count` times a piece of text, the end. */
static char *repeated(const char *head, const char *piece, size_t count, const char *end)
{
    size_t length = strlen(piece);
    char *text = malloc(strlen(head) + length * count + strlen(end) + 1);
    ck_assert_ptr_nonnull(text);
    char *at = text + strlen(strcpy(text, head));
    for (size_t i = 0; i < count; i++, at += length)
        memcpy(at, piece, length);
    strcpy(at, end);
    return text;
}

static void expect_only(char *text, const char *fault, unsigned line, unsigned column, const char *piece)
{
    outcome out = read_text(text);
    ck_assert_uint_eq(evn_report_count(out.report), 1);
    evn_finding found = finding_at(&out, 0);
    expect_finding(&found, fault, line, column, piece);
    outcome_end(&out);
    free(text);
}

START_TEST(deep_brackets_are_refused)
{
    expect_only(repeated("a: ", "[", 100000, ""), "too_large", 1, 44, "more than 40 deep");
}
END_TEST

START_TEST(deep_braces_are_refused)
{
    expect_only(repeated("a: ", "{a: ", 100000, ""), "too_large", 1, 164, "more than 40 deep");
}
END_TEST

START_TEST(deep_blocks_are_refused)
{
    expect_only(repeated("", "- ", 100000, ""), "too_large", 1, 83, "more than 40 deep");
}
END_TEST

START_TEST(deep_keys_are_refused)
{
    expect_only(repeated("", "? ", 100000, ""), "wrong_shape", 1, 3, "a map or list as a key");
}
END_TEST

START_TEST(long_texts_are_refused)
{
    expect_only(repeated("mass_kg: 1000\nname: ", "x", 4001, "\n"), "too_large", 2, 7, "more than 4000 bytes");
    outcome out = outcome_begin();
    char *text = repeated("mass_kg: 1000\nname: ", "x", 4000, "\n");
    out.wagon = evn_read_bytes(text, strlen(text), "w", &wagon_object, NULL, out.arena, out.report);
    ck_assert_ptr_nonnull(out.wagon);
    ck_assert_uint_eq(strlen(out.wagon->name), 4000);
    outcome_end(&out);
    free(text);
}
END_TEST

START_TEST(long_lists_are_refused)
{
    outcome out = outcome_begin();
    char *text = repeated("slopes_percent: [", "1,", 2000001, "]\n");
    out.wagon = evn_read_bytes(text, strlen(text), "w", &wagon_object, NULL, out.arena, out.report);
    evn_finding found = finding_at(&out, 0);
    expect_finding(&found, "too_large", 1, 4000018, "more than 2 million items");
    outcome_end(&out);
    free(text);
}
END_TEST

START_TEST(maps_of_very_many_keys_are_refused)
{
    char text[6000] = "";
    for (int i = 0; i < 300; i++) {
        char line[20];
        snprintf(line, sizeof line, "zz%d: 1\n", i);
        strcat(text, line);
    }
    outcome out = read_text(text);
    ck_assert_uint_eq(evn_report_count(out.report), 1);
    evn_finding found = finding_at(&out, 0);
    expect_finding(&found, "too_large", 257, 1, "more than 256 keys");
    outcome_end(&out);
}
END_TEST

START_TEST(files_beyond_the_limit_are_refused)
{
    size_t length = (64u << 20) + 1;
    char *text = calloc(1, length);
    ck_assert_ptr_nonnull(text);
    outcome out = read_bytes(text, length);
    evn_finding found = finding_at(&out, 0);
    expect_finding(&found, "too_large", 0, 0, "more than 64 MiB");
    outcome_end(&out);
    free(text);
}
END_TEST

START_TEST(long_keys_and_values_are_cut_in_messages)
{
    char *text =
        repeated("name: w\nmass_kg: 1000\nx", "\xc3\xa4", 500, ": 1\n"); /* cut between characters, not inside one */
    outcome out = read_text(text);
    evn_finding found = finding_at(&out, 0);
    ck_assert_uint_eq(found.line, 3);
    ck_assert_uint_lt(strlen(found.text), 400);
    ck_assert_ptr_nonnull(strstr(found.text, "\xc3\xa4...'"));
    outcome_end(&out);
    free(text);
}
END_TEST

static void add_limits(Suite *suite)
{
    TCase *tests = tcase_create("limits");
    tcase_add_test(tests, deep_brackets_are_refused);
    tcase_add_test(tests, deep_braces_are_refused);
    tcase_add_test(tests, deep_blocks_are_refused);
    tcase_add_test(tests, deep_keys_are_refused);
    tcase_add_test(tests, long_texts_are_refused);
    tcase_add_test(tests, long_lists_are_refused);
    tcase_add_test(tests, maps_of_very_many_keys_are_refused);
    tcase_add_test(tests, files_beyond_the_limit_are_refused);
    tcase_add_test(tests, long_keys_and_values_are_cut_in_messages);
    suite_add_tcase(suite, tests);
}

int main(void)
{
    Suite *suite = suite_create("reader limits");
    add_limits(suite);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_NORMAL);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
