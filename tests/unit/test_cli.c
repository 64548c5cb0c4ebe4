/* How the program reads its command line, and what it does with signals. */
#define _XOPEN_SOURCE 700
#include "cli/interrupt.h"
#include "cli/options.h"
#include <check.h>
#include <math.h>
#include <stddef.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

/* ------------------------------------------------------------------------------------------------ capturing output */

typedef struct capture {
    FILE *to;
    char *text;
    size_t size;
} capture;

static void capture_begin(capture *here)
{
    *here = (capture){0};
    here->to = open_memstream(&here->text, &here->size);
    ck_assert_ptr_nonnull(here->to);
}

static const char *captured(capture *here)
{
    ck_assert_int_eq(fflush(here->to), 0);
    return here->text;
}

static void capture_end(capture *here)
{
    fclose(here->to);
    free(here->text);
}

static void assert_holds(const char *text, const char *part)
{
    ck_assert_msg(strstr(text, part), "'%s' was expected in:\n%s", part, text);
}

static void assert_lacks(const char *text, const char *part)
{
    ck_assert_msg(!strstr(text, part), "'%s' was not expected in:\n%s", part, text);
}

/* ------------------------------------------------------------------------------------------------ options */

typedef struct options_here {
    bool json;
    double payload_kg, wind_m_s;
    int driver;
    const char *trace;
} options_here;

static const char *const drivers[] = {"human", "exact", NULL};
static const evn_option table[] = {
    {.name = "json", .kind = EVN_OPTION_FLAG, .offset = offsetof(options_here, json), .help = "JSON"},
    {.name = "payload-kg",
     .argument = "N",
     .kind = EVN_OPTION_NUMBER,
     .offset = offsetof(options_here, payload_kg),
     .least = 0,
     .most = 1e6,
     .help = "payload"},
    {.name = "headwind-m-s",
     .argument = "X",
     .kind = EVN_OPTION_NUMBER,
     .offset = offsetof(options_here, wind_m_s),
     .least = -60,
     .most = 60,
     .help = "wind"},
    {.name = "driver",
     .argument = "human|exact",
     .kind = EVN_OPTION_CHOICE,
     .offset = offsetof(options_here, driver),
     .choices = drivers,
     .help = "driver"},
    {.name = "trace",
     .argument = "FILE",
     .kind = EVN_OPTION_TEXT,
     .offset = offsetof(options_here, trace),
     .help = "trace"},
};
enum { TABLE_COUNT = sizeof table / sizeof table[0], WORDS_MOST = 12 };

typedef struct parsed_here {
    options_here args;
    evn_parsed parsed;
    evn_mishap mishap;
    const char *operands[WORDS_MOST];
    bool right;
} parsed_here;

static void parse(parsed_here *out, int count, const char *const *words)
{
    memset(out, 0, sizeof *out);
    out->parsed.operands = out->operands;
    char *copies[WORDS_MOST];
    ck_assert_int_le(count, WORDS_MOST);
    for (int i = 0; i < count; i++)
        copies[i] = (char *)(uintptr_t)words[i];
    out->right = evn_options_parse(table, TABLE_COUNT, count, copies, &out->args, &out->parsed, &out->mishap);
    ck_assert_int_eq(out->right, !evn_mishap_happened(&out->mishap));
}

#define PARSE(out, ...)                                                                                                \
    parse(out, (int)(sizeof((const char *[]){__VA_ARGS__}) / sizeof(const char *)), (const char *[]){__VA_ARGS__})

START_TEST(options_take_their_value_after_a_blank_or_an_equals_sign)
{
    parsed_here at;
    PARSE(&at, "truck.yaml", "--payload-kg", "1250.5", "--headwind-m-s=-3e0", "cycle.yaml", "--driver", "exact",
          "--trace", "-");
    ck_assert(at.right);
    ck_assert_double_eq(at.args.payload_kg, 1250.5);
    ck_assert_double_eq(at.args.wind_m_s, -3);
    ck_assert_int_eq(at.args.driver, 1);
    ck_assert_str_eq(at.args.trace, "-");
    ck_assert_uint_eq(at.parsed.operand_count, 2);
    ck_assert_str_eq(at.operands[1], "cycle.yaml");
    PARSE(&at, "--headwind-m-s", "-4.5");
    ck_assert(at.right);
    ck_assert_double_eq(at.args.wind_m_s, -4.5);
}
END_TEST

START_TEST(an_unknown_option_names_the_nearest_one)
{
    parsed_here at;
    PARSE(&at, "--paylaod-kg=3");
    ck_assert(!at.right);
    assert_holds(at.mishap.text, "unknown option --paylaod-kg;");
    assert_holds(at.mishap.text, "did you mean --payload-kg?");
    ck_assert_str_eq(at.mishap.fault, "usage");
    ck_assert_int_eq(at.mishap.status, EVN_BAD_INPUT);
    PARSE(&at, "--payload");
    assert_holds(at.mishap.text, "did you mean --payload-kg?");
    PARSE(&at, "--zzzzzz");
    assert_lacks(at.mishap.text, "did you mean");
    PARSE(&at, "-v");
    assert_holds(at.mishap.text, "unknown option -v;");
}
END_TEST

START_TEST(a_wrong_value_is_refused_with_what_was_expected)
{
    parsed_here at;
    PARSE(&at, "--payload-kg");
    assert_holds(at.mishap.text, "stands without a value");
    PARSE(&at, "--payload-kg", "--json");
    assert_holds(at.mishap.text, "stands without a value");
    ck_assert(at.parsed.json);
    PARSE(&at, "--payload-kg=12t");
    assert_holds(at.mishap.text, "--payload-kg is '12t'; a plain decimal number was expected");
    PARSE(&at, "--payload-kg=-1");
    assert_holds(at.mishap.text, "a number from 0 to 1000000 was expected");
    PARSE(&at, "--driver=racing");
    assert_holds(at.mishap.text, "one of these was expected: human, exact");
    PARSE(&at, "--json=yes");
    assert_holds(at.mishap.text, "takes no value");
    PARSE(&at, "--trace=");
    assert_holds(at.mishap.text, "is empty");
    PARSE(&at, "--payload-kg=1", "--payload-kg=1");
    assert_holds(at.mishap.text, "is given twice");
}
END_TEST

START_TEST(help_and_json_count_wherever_they_stand)
{
    parsed_here at;
    PARSE(&at, "--wrong", "--json", "-h");
    ck_assert(!at.right);
    ck_assert(at.parsed.json);
    ck_assert(at.parsed.help);
    PARSE(&at, "--", "--json", "-h");
    ck_assert(at.right);
    ck_assert(!at.parsed.json);
    ck_assert(!at.parsed.help);
    ck_assert_uint_eq(at.parsed.operand_count, 2);
}
END_TEST

START_TEST(numbers_are_plain_decimal_and_finite)
{
    static const char *const wrong[] = {"",    " 1",    "1 ",    "1,5", "0x10", "nan",
                                        "inf", "1e999", "1_000", "--1", "1e",   "."};
    double value = 7;
    for (size_t i = 0; i < sizeof wrong / sizeof wrong[0]; i++)
        ck_assert_msg(!evn_number_parse(wrong[i], &value), "'%s' was taken for a number", wrong[i]);
    ck_assert_double_eq(value, 7);
    ck_assert(evn_number_parse("-1.25e2", &value));
    ck_assert_double_eq(value, -125);
    ck_assert(evn_number_parse("+.5", &value));
    ck_assert_double_eq(value, 0.5);
}
END_TEST

START_TEST(help_shows_the_values_that_hold_without_options)
{
    options_here defaults = {.payload_kg = (double)NAN, .wind_m_s = -2.5, .driver = 1};
    capture shown;
    capture_begin(&shown);
    for (size_t i = 0; i < TABLE_COUNT; i++)
        evn_option_print(&table[i], &defaults, shown.to, 79);
    assert_holds(captured(&shown), "  --payload-kg N              payload\n");
    assert_holds(captured(&shown), "  --headwind-m-s X            wind (-2.5)\n");
    assert_holds(captured(&shown), "driver (exact)\n");
    capture_end(&shown);
}
END_TEST

/* ------------------------------------------------------------------------------------------------ signals */

START_TEST(signals_wait_until_the_run_looks_at_them)
{
    evn_interrupt interrupt;
    evn_interrupt_begin(&interrupt);
    ck_assert(!evn_interrupt_seen(&interrupt));
    ck_assert_int_eq(raise(SIGTERM), 0);
    ck_assert_int_eq(raise(SIGINT), 0);
    ck_assert(evn_interrupt_seen(&interrupt));
    evn_interrupt_end(&interrupt); /* a signal let through would end this test */
    ck_assert(!evn_interrupt_seen(&interrupt));
}
END_TEST

START_TEST(signals_that_the_caller_had_ignored_stay_ignored)
{
    ck_assert(signal(SIGHUP, SIG_IGN) != SIG_ERR);
    evn_interrupt interrupt;
    evn_interrupt_begin(&interrupt);
    ck_assert_int_eq(raise(SIGHUP), 0);
    ck_assert(!evn_interrupt_seen(&interrupt));
    evn_interrupt_end(&interrupt);
}
END_TEST

static void add_options(Suite *suite)
{
    TCase *tests = tcase_create("options");
    tcase_add_test(tests, options_take_their_value_after_a_blank_or_an_equals_sign);
    tcase_add_test(tests, an_unknown_option_names_the_nearest_one);
    tcase_add_test(tests, a_wrong_value_is_refused_with_what_was_expected);
    tcase_add_test(tests, help_and_json_count_wherever_they_stand);
    tcase_add_test(tests, numbers_are_plain_decimal_and_finite);
    tcase_add_test(tests, help_shows_the_values_that_hold_without_options);
    tcase_add_test(tests, signals_wait_until_the_run_looks_at_them);
    tcase_add_test(tests, signals_that_the_caller_had_ignored_stay_ignored);
    suite_add_tcase(suite, tests);
}

/* ------------------------------------------------------------------------------------------------ suite */

int main(void)
{
    Suite *suite = suite_create("cli");
    add_options(suite);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_NORMAL);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
