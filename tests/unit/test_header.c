/* What the comments of evener.h and limits.h list, held against the tables that they tell of. */
#include "evener/keys.h"
#include "lineup/outcome.h"
#include "runs/runs.h"
#include "trip/trip.h"
#include <check.h>
#include <ctype.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static char header[100000];

static void read_header(void)
{
    static const char *const files[] = {"include/evener/evener.h", "include/evener/limits.h"};
    size_t length = 0;
    for (size_t k = 0; k < 2; k++) {
        FILE *file = fopen(files[k], "r");
        ck_assert(file);
        size_t more = fread(header + length, 1, sizeof header - 1 - length, file);
        fclose(file);
        length += more;
        ck_assert(more > 0 && length < sizeof header - 1);
    }
    header[length] = '\0';
}

/* ------------------------------------------------------------------------------------------------ words in quotes */

/* A declaration with its comments: from the blank line or brace before it to the end of its line. */
static void declaration(const char *what, char *out, size_t room)
{
    const char *at = strstr(header, what);
    ck_assert_msg(at, "%s", what);
    ck_assert_msg(!strstr(at + 1, what), "%s stands there twice", what);
    const char *begin = at;
    while (begin > header && *begin != '{' && !(begin[0] == '\n' && begin[1] == '\n'))
        begin--;
    size_t length = (size_t)(at - begin) + strcspn(at, "\n");
    ck_assert(length < room);
    memcpy(out, begin, length);
    out[length] = '\0';
}

/* Whether the words in quotes of a declaration's comments are these, all of them and no others. */
static void comment_lists(const char *what, const char *const *words, size_t count)
{
    char text[2000], quoted[64];
    size_t found = 0;
    declaration(what, text, sizeof text);
    for (size_t k = 0; k < count; k++) {
        snprintf(quoted, sizeof quoted, "\"%s\"", words[k]);
        ck_assert_msg(strstr(text, quoted), "%s is not told of %s", quoted, what);
    }
    for (const char *c = text; *c; c++)
        found += *c == '"';
    ck_assert_msg(found == 2 * count, "%s: %zu quotes for %zu words", what, found, count);
}

START_TEST(the_header_names_every_limit_that_can_hold_a_truck_back_and_no_other)
{
    const char *names[EVN_HOLD_COUNT], *label;
    size_t count = 0;
    while (count < EVN_HOLD_COUNT && evn_limit_at(count, &names[count], &label))
        count++;
    ck_assert_uint_eq(count, EVN_HOLD_COUNT - 1);
    comment_lists("const char *limit;", names, count);
}
END_TEST

START_TEST(the_header_names_every_status_of_results_and_no_other)
{
    comment_lists("evn_results_status(const", evn_trip_status_names, EVN_STATUS_COUNT);
}
END_TEST

START_TEST(the_header_names_every_status_of_an_outcome_that_results_have_not)
{
    static const char *const words[] = {EVN_RUN_FAILED, EVN_OUTCOME_LEFT_OUT};
    comment_lists("evn_outcome_status(const", words, 2);
}
END_TEST

/* ------------------------------------------------------------------------------------------------ bounds, defaults */

/* The comment behind a member, from its first letter. */
static const char *comment_behind(const char *member)
{
    const char *at = strstr(header, member);
    ck_assert_msg(at, "%s", member);
    at += strlen(member);
    at += strspn(at, " ");
    ck_assert_msg(strncmp(at, "/* ", 3) == 0, "%s has no comment behind it", member);
    return at + 3;
}

static bool begins_with(const char *text, const char *beginning)
{
    return strncmp(text, beginning, strlen(beginning)) == 0;
}

static void number_is_told(const evn_key *key)
{
    char member[64], told[96];
    snprintf(member, sizeof member, "double %s;", key->key);
    int length = snprintf(told, sizeof told, "%g to %g", key->least, key->most);
    if (!isnan(key->fallback))
        snprintf(told + length, sizeof told - (size_t)length, "; default %g", key->fallback);
    const char *comment = comment_behind(member);
    ck_assert_msg(begins_with(comment, told), "%s: expected '%s'", member, told);
    size_t told_length = strlen(told);
    ck_assert_msg(strchr("; ,", comment[told_length]), "%s: the number goes on", member);
    if (isnan(key->fallback)) {
        const char *none = strstr(comment, "NAN, the default: ");
        ck_assert_msg(none && none < strstr(comment, "*/"), "%s: expected 'NAN, the default: '", member);
    }
}

static void choice_is_told(const evn_key *key)
{
    char member[64], told[96];
    snprintf(member, sizeof member, "evn_%s %s;", key->key, key->key); /* the enumeration bears the name of its key */
    snprintf(told, sizeof told, "default EVN_%s_%s ", key->key, key->fallback_word);
    for (char *c = strstr(told, "EVN_"); *c; c++)
        *c = (char)toupper((unsigned char)*c);
    ck_assert_msg(begins_with(comment_behind(member), told), "%s: expected '%s'", member, told);
}

static void flag_is_told(const evn_key *key)
{
    char member[64], told[96];
    snprintf(member, sizeof member, "bool %s;", key->key);
    snprintf(told, sizeof told, "default %s; ", key->fallback_word);
    ck_assert_msg(begins_with(comment_behind(member), told), "%s: expected '%s'", member, told);
}

/* A surface too, whose first is no kind: another word, where no cycle states anything. */
static void ground_is_told(const evn_key *key)
{
    ck_assert_str_eq(key->fallback_word, "as_stated");
    ck_assert(begins_with(comment_behind("evn_surface start_surface;"), "default EVN_SURFACE_AS_CYCLE: "));
}

START_TEST(the_header_tells_bounds_and_default_of_every_condition_as_its_table_has_them)
{
    static const char *const kinds[] = {"load_case", "driving", "demands"};
    size_t told = 0;
    evn_key key;
    for (size_t k = 0; k < 3; k++)
        for (size_t i = 0; evn_key_at(kinds[k], i, &key); i++, told++)
            if (strcmp(key.key, "start_surface") == 0)
                ground_is_told(&key);
            else if (key.shape == EVN_KEY_FLAG)
                flag_is_told(&key);
            else if (key.shape == EVN_KEY_CHOICE)
                choice_is_told(&key);
            else
                number_is_told(&key);
    ck_assert_uint_eq(told, 37);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("header");
    TCase *tc = tcase_create("comments");
    tcase_add_checked_fixture(tc, read_header, NULL);
    tcase_add_test(tc, the_header_names_every_limit_that_can_hold_a_truck_back_and_no_other);
    tcase_add_test(tc, the_header_names_every_status_of_results_and_no_other);
    tcase_add_test(tc, the_header_names_every_status_of_an_outcome_that_results_have_not);
    tcase_add_test(tc, the_header_tells_bounds_and_default_of_every_condition_as_its_table_has_them);
    suite_add_tcase(suite, tc);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_NORMAL);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed > 0;
}
