/* What the program shows, in words and in JSON, without any engine behind it. */
#define _XOPEN_SOURCE 700
#include "show/document.h"
#include "show/drive_story.h"
#include "show/json_number.h"
#include "show/report/compare_report.h"
#include "show/report/table.h"
#include "show/text.h"
#include "show/truck_story.h"
#include "show/yaml/yaml.h"
#include <check.h>
#include <locale.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

static const evn_look plain = {.colour = false, .utf8 = true};

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

/* ------------------------------------------------------------------------------------------------ text */

START_TEST(control_characters_and_stray_bytes_are_shown_not_sent)
{
    char *safe = evn_safe_text("a\033[31mb\x7f\xff \xc2\x85\u202ex \u00e9\u4e2d\n");
    ck_assert_str_eq(safe, "a\\x1b[31mb\\x7f\\xff \\u{85}\\u{202e}x \u00e9\u4e2d\\x0a");
    free(safe);
}
END_TEST

START_TEST(utf8_is_read_strictly)
{
    uint32_t code;
    ck_assert_uint_eq(evn_utf8_next("", &code), 0);
    ck_assert_uint_eq(evn_utf8_next("\u20ac", &code), 3);
    ck_assert_uint_eq(code, 0x20AC);
    static const char *const stray[] = {"\x80", "\xc0\x80", "\xed\xa0\x80", "\xf4\x90\x80\x80", "\xe2\x82", "\xf8"};
    for (size_t i = 0; i < sizeof stray / sizeof stray[0]; i++) {
        ck_assert_uint_eq(evn_utf8_next(stray[i], &code), 1);
        ck_assert_uint_eq(code, EVN_NO_CODE);
    }
}
END_TEST

START_TEST(paragraphs_stay_within_their_width)
{
    capture shown;
    capture_begin(&shown);
    evn_put_paragraph_within(
        shown.to, 79, 0, "  ",
        "one two three four five six seven eight nine ten eleven twelve thirteen fourteen fifteen sixteen "
        "seventeen eighteen nineteen twenty");
    char *copy = strdup(captured(&shown));
    size_t lines = 0;
    for (char *line = strtok(copy, "\n"); line; line = strtok(NULL, "\n")) {
        ck_assert_uint_le(strlen(line), 79);
        ck_assert_int_eq(strncmp(line, "  ", 2), 0);
        lines++;
    }
    ck_assert_uint_eq(lines, 2);
    free(copy);
    capture_end(&shown);
}
END_TEST

static void assert_duration(double duration_s, const char *expected)
{
    char text[64];
    evn_format_duration(text, sizeof text, duration_s);
    ck_assert_str_eq(text, expected);
}

/* Lines "seconds TAB text"; what begins with # is a remark. */
START_TEST(durations_are_told_as_the_shared_list_has_them)
{
    FILE *list = fopen("tests/durations.tsv", "r");
    ck_assert_ptr_nonnull(list);
    char line[160], text[80];
    double duration_s;
    size_t count = 0;
    while (fgets(line, sizeof line, list)) {
        if (line[0] == '#')
            continue;
        ck_assert_int_eq(sscanf(line, "%lf\t%79[^\n]", &duration_s, text), 2);
        assert_duration(duration_s, text);
        count++;
    }
    fclose(list);
    ck_assert_uint_ge(count, 20);
}
END_TEST

START_TEST(values_are_written_as_their_quantity_says)
{
    char text[64];
    evn_format_value(text, sizeof text, NULL, &(evn_quantity){.kind = EVN_REAL, .digits = 2}, -0.004);
    ck_assert_str_eq(text, "0.00");
    evn_format_value(text, sizeof text, NULL, &(evn_quantity){.kind = EVN_REAL, .digits = 1}, -12.34);
    ck_assert_str_eq(text, "-12.3");
    evn_format_value(text, sizeof text, NULL, &(evn_quantity){.kind = EVN_WHOLE, .digits = 3}, 66);
    ck_assert_str_eq(text, "66");
    evn_format_value(text, sizeof text, NULL, &(evn_quantity){.kind = EVN_YES_NO}, (double)NAN);
    ck_assert_str_eq(text, "not judged");
    evn_format_value(text, sizeof text, NULL, &(evn_quantity){.kind = EVN_YES_NO}, 0);
    ck_assert_str_eq(text, "no");
    evn_format_value(text, sizeof text, NULL, &(evn_quantity){.kind = EVN_SHARE, .digits = 1}, 0.85484);
    ck_assert_str_eq(text, "85.5");
    evn_format_label(text, sizeof text, "mean_speed_km_h", "km/h");
    ck_assert_str_eq(text, "mean speed");
    evn_format_label(text, sizeof text, "max_grade_percent", "%");
    ck_assert_str_eq(text, "max grade");
    evn_format_label(text, sizeof text, "kwh", "kWh");
    ck_assert_str_eq(text, "kwh");
}
END_TEST

START_TEST(numbers_read_back_as_they_were_in_as_few_digits_as_do)
{
    static const double values[] = {
        0, 0.1, 1.0 / 3, 4150.000000000001, 2.0 / 3 * 1e-7, 5e-324, 1e300, 123456, 0.965, -12.5, 700000, 1e15};
    char text[32];
    for (size_t i = 0; i < sizeof values / sizeof values[0]; i++) {
        evn_format_exact(text, values[i]);
        ck_assert_msg(memcmp(&(double){strtod(text, NULL)}, &values[i], sizeof values[i]) == 0, "%s", text);
    }
    evn_format_exact(text, 0.1);
    ck_assert_str_eq(text, "0.1");
    evn_format_exact(text, 700000);
    ck_assert_str_eq(text, "700000");
    evn_format_exact(text, 4150.000000000001);
    ck_assert_str_eq(text, "4150.000000000001");
}
END_TEST

START_TEST(bars_grow_with_the_share_in_blocks_or_in_ascii)
{
    char bar[41];
    evn_format_bar(bar, sizeof bar, &plain, 0.5, 10);
    ck_assert_str_eq(bar, "\u2588\u2588\u2588\u2588\u2588");
    evn_format_bar(bar, sizeof bar, &plain, 0.0125, 10);
    ck_assert_str_eq(bar, "\u258f");
    evn_format_bar(bar, sizeof bar, &(evn_look){.utf8 = false}, 0.5, 10);
    ck_assert_str_eq(bar, "#####");
    evn_format_bar(bar, sizeof bar, &plain, -0.5, 10);
    ck_assert_str_eq(bar, "");
    evn_format_bar(bar, sizeof bar, &plain, (double)NAN, 10);
    ck_assert_str_eq(bar, "");
    evn_format_bar(bar, sizeof bar, &plain, 7, 10);
    ck_assert_uint_eq(evn_text_columns(bar), 10);
}
END_TEST

START_TEST(tables_align_their_columns_and_end_without_blanks)
{
    static const evn_table_column columns[] = {{"what", false, false}, {"kWh", true, false}, {"", false, false}};
    evn_table *rows = evn_table_new(columns, 3, true);
    ck_assert(evn_table_row(rows, (const char *const[]){"air", "1.5", "\u2588"}));
    ck_assert(evn_table_row(rows, (const char *const[]){"rolling", "12.25", NULL}));
    capture shown;
    capture_begin(&shown);
    ck_assert(evn_table_print(rows, shown.to, "  ", 79));
    ck_assert_str_eq(captured(&shown), "  what       kWh\n  air        1.5  \u2588\n  rolling  12.25\n");
    capture_end(&shown);
    evn_table_free(rows);
}
END_TEST

/* A table of one row prints like this. */
static void assert_table(const evn_table_column *columns, size_t count, bool headings, const char *const *cells,
                         size_t width, const char *expected)
{
    evn_table *table = evn_table_new(columns, count, headings);
    ck_assert_ptr_nonnull(table);
    ck_assert(evn_table_row(table, cells));
    capture shown;
    capture_begin(&shown);
    ck_assert(evn_table_print(table, shown.to, "  ", width));
    ck_assert_str_eq(captured(&shown), expected);
    capture_end(&shown);
    evn_table_free(table);
}

START_TEST(tables_fold_words_and_headings_before_numbers)
{
    static const evn_table_column words[] = {{"", false, false}, {"", true, false}, {"", false, true}};
    const char *const climb[] = {"climb", "226.49", "sum of all rises on the way"};
    assert_table(words, 3, false, climb, 60, "  climb  226.49  sum of all rises on the way\n");
    assert_table(words, 3, false, climb, 35,
                 "  climb  226.49  sum of all rises\n"
                 "                 on the way\n");
    static const evn_table_column numbers[] = {{"", false, true}, {"top speed km/h", true, false}, {"kN", true, false}};
    assert_table(numbers, 3, true, (const char *const[]){"1", "41.2", "103.7"}, 21,
                 "     top speed\n"
                 "          km/h     kN\n"
                 "  1       41.2  103.7\n");
}
END_TEST

START_TEST(tables_put_a_wide_first_column_above_the_others)
{
    static const evn_table_column columns[] = {{"", false, true}, {"kept", true, false}, {"now", true, false}};
    assert_table(columns, 3, true, (const char *const[]){"axles.trailing.load_kg", "7115.1473", "6839.74602"}, 30,
                 "         kept         now\n"
                 "  axles.trailing.load_kg\n"
                 "    7115.1473  6839.74602\n");
}
END_TEST

START_TEST(tables_that_fit_in_no_other_way_stand_in_blocks)
{
    static const evn_table_column columns[] = {{"", false, true}, {"a", true, false}, {"b", true, false}};
    assert_table(columns, 3, true, (const char *const[]){"front", "1234567", "7654321"}, 20,
                 "               a\n"
                 "  front  1234567\n"
                 "\n"
                 "               b\n"
                 "  front  7654321\n");
}
END_TEST

START_TEST(tables_keep_the_blanks_that_a_cell_begins_with)
{
    static const evn_table_column columns[] = {{"", false, false}, {"", false, false}};
    assert_table(columns, 2, false, (const char *const[]){"air", "   |##"}, 60, "  air     |##\n");
}
END_TEST

/* No line ends between a number and its unit, behind a sign of more or less, or within a duration. */
START_TEST(lines_end_between_values)
{
    static const struct {
        const char *text, *shown;
    } of[] = {
        {"it took 2 min 10 s more", "it took\n2 min 10 s\nmore\n"},
        {"it took 1 h 05 min in all", "it took\n1 h 05 min\nin all\n"},
        {"it needs 99.9 kWh", "it needs\n99.9 kWh\n"},
        {"it is by > 99.9 %", "it is by\n> 99.9 %\n"},
        {"all of 2 of 5 km", "all of 2 of\n5 km\n"},
        {"one of 3 motors", "one of 3\nmotors\n"},
        {"gone 10 min 52 trucks", "gone 10 min\n52 trucks\n"},
    };
    for (size_t i = 0; i < sizeof of / sizeof *of; i++) {
        capture shown;
        capture_begin(&shown);
        evn_put_paragraph_within(shown.to, 11, 0, "", of[i].text);
        ck_assert_str_eq(captured(&shown), of[i].shown);
        capture_end(&shown);
    }
}
END_TEST

START_TEST(words_longer_than_the_line_are_broken_at_signs)
{
    capture shown;
    capture_begin(&shown);
    evn_put_paragraph_within(shown.to, 20, 0, "  ", "of vehicles/trucks/tractor.yaml");
    ck_assert_str_eq(captured(&shown), "  of\n  vehicles/trucks/\n  tractor.yaml\n");
    capture_end(&shown);
    capture_begin(&shown);
    evn_put_behind(shown.to, 20, 16, 2, "    ", "line 4");
    evn_put_behind(shown.to, 20, 12, 2, "    ", "line 4");
    ck_assert_str_eq(captured(&shown), "\n    line 4\n  line 4\n");
    capture_end(&shown);
}
END_TEST

START_TEST(lines_are_as_wide_as_the_reader_says)
{
    static const struct {
        const char *said;
        size_t width, prose;
    } of[] = {{"80", 79, 79}, {"60", 59, 59}, {"40", 59, 59}, {"132", 131, 79}, {"5000", 199, 79}, {"wide", 79, 79}};
    FILE *null = fopen("/dev/null", "w"); /* no terminal, which would say something itself */
    ck_assert_ptr_nonnull(null);
    for (size_t i = 0; i < sizeof of / sizeof of[0]; i++) {
        ck_assert_int_eq(setenv("COLUMNS", of[i].said, 1), 0);
        evn_look look = evn_look_of(null, true);
        ck_assert(!look.terminal);
        ck_assert_uint_eq(evn_look_width(&look), of[i].width);
        ck_assert_uint_eq(evn_look_prose(&look), of[i].prose);
    }
    ck_assert_int_eq(unsetenv("COLUMNS"), 0);
    fclose(null);
}
END_TEST

/* ------------------------------------------------------------------------------------------------ JSON */

static void assert_json(json_t *value, const char *expected)
{
    ck_assert_ptr_nonnull(value);
    capture shown;
    capture_begin(&shown);
    ck_assert(evn_json_print(value, shown.to));
    ck_assert_str_eq(captured(&shown), expected);
    capture_end(&shown);
    json_decref(value);
}

static json_t *array_of(json_t *value)
{
    json_t *array = json_array();
    ck_assert_int_eq(json_array_append_new(array, value), 0);
    return array;
}

START_TEST(json_values_follow_their_kind)
{
    assert_json(array_of(evn_json_value(EVN_REAL, 1.0 / 3)), "[\n  0.333333333333\n]\n");
    assert_json(array_of(evn_json_value(EVN_REAL, 5)), "[\n  5.0\n]\n");
    assert_json(array_of(evn_json_value(EVN_REAL, (double)NAN)), "[\n  null\n]\n");
    assert_json(array_of(evn_json_value(EVN_REAL, -(double)INFINITY)), "[\n  null\n]\n");
    assert_json(array_of(evn_json_value(EVN_WHOLE, 66)), "[\n  66\n]\n");
    assert_json(array_of(evn_json_value(EVN_WHOLE, 1e300)), "[\n  1e300\n]\n");
    assert_json(array_of(evn_json_value(EVN_YES_NO, 1)), "[\n  true\n]\n");
    assert_json(array_of(evn_json_value(EVN_YES_NO, 0)), "[\n  false\n]\n");
    assert_json(array_of(evn_json_value(EVN_YES_NO, (double)NAN)), "[\n  null\n]\n");
}
END_TEST

START_TEST(dotted_keys_nest_in_order_of_arrival)
{
    json_t *object = json_object();
    ck_assert(evn_json_put(object, "z", json_integer(1)));
    ck_assert(evn_json_put(object, "energy_balance.rolling_resistance_kwh", json_integer(2)));
    ck_assert(evn_json_put(object, "a", json_integer(3)));
    ck_assert(evn_json_put(object, "energy_balance.air_drag_kwh", json_integer(4)));
    ck_assert(evn_json_put(object, "a.b", json_integer(5)));
    assert_json(object, "{\n  \"z\": 1,\n  \"energy_balance\": {\n    \"rolling_resistance_kwh\": 2,\n"
                        "    \"air_drag_kwh\": 4\n  },\n  \"a\": 3,\n  \"a.b\": 5\n}\n");
}
END_TEST

START_TEST(json_text_is_valid_whatever_the_file_held)
{
    assert_json(array_of(evn_json_text("a\xff\u00e9\033")), "[\n  \"a\uFFFD\u00e9\\u001B\"\n]\n");
    assert_json(array_of(evn_json_text("\xc2\x9b\x7f")), "[\n  \"\\u009B\\u007F\"\n]\n");
    assert_json(array_of(evn_json_text(NULL)), "[\n  null\n]\n");
}
END_TEST

/* ------------------------------------------------------------------------------------------------ stories */

typedef struct figure_row {
    evn_quantity what;
    double value;
} figure_row;

static const figure_row trip_rows[] = {
    {{"distance_km", "km", "", EVN_REAL, 2, "distance", "distance", 0}, 12.0},
    {{"duration_s", "s", "", EVN_REAL, 0, "travel time", "time", 1}, 1369},
    {{"discharged_kwh", "kWh", "", EVN_REAL, 2, "discharged", "discharged", 3}, 20.0},
    {{"regenerated_kwh", "kWh", "", EVN_REAL, 2, "regenerated", "regenerated", 8}, 5.0},
    {{"battery_kwh", "kWh", "", EVN_REAL, 2, "net battery energy", "net", 2}, 15.0},
    {{"kwh_per_km", "kWh/km", "", EVN_REAL, 2, "energy consumption", "consumption", 4}, 1.25},
    {{"energy_balance.rolling_resistance_kwh", "kWh", "", EVN_REAL, 2, "rolling resistance", "rolling", 0}, 10.0},
    {{"energy_balance.air_drag_kwh", "kWh", "", EVN_REAL, 2, "air drag", "air", 0}, 5.0},
    {{"energy_balance.potential_kwh", "kWh", "", EVN_REAL, 2, "potential energy", "potential", 0}, -2e-15},
    {{"energy_balance.power_take_off_kwh", "kWh", "", EVN_REAL, 2, "power take-off", "pto", 0}, 0.0},
    {{"balance_error", "", "", EVN_REAL, 12, "balance error", "error", 0}, 2e-12},
    {{"speed_tolerance_met", "", "", EVN_YES_NO, 0, "within speed tolerance", "tolerance", 5}, (double)NAN},
    {{"gear_changes", "", "", EVN_WHOLE, 0, "gear changes", "changes", 6}, 66},
    {{"final_soc", "", "", EVN_SHARE, 1, "final state of charge", "soc", 7}, 0.85484},
    {{"drive_units.rear.gear_changes", "", "", EVN_WHOLE, 0, "gear changes", "changes", 0}, 66},
};

static size_t rows_count(const void *of)
{
    (void)of;
    return sizeof trip_rows / sizeof trip_rows[0];
}

static bool rows_at(const void *of, size_t index, evn_quantity *what, double *value)
{
    if (index >= rows_count(of))
        return false;
    const figure_row *rows = of;
    *what = rows[index].what;
    *value = rows[index].value;
    return true;
}

static const evn_limitation limit_rows[] = {{"motor_power", "motor power", 71.4, 3210, 14.26}};

static evn_drive_story story_of(const char *status)
{
    return (evn_drive_story){.status = status,
                             .truck = "Truck\033one",
                             .cycle = "Urban",
                             .cycle_source = "40 CFR",
                             .truck_invented = true,
                             .ask = evn_conditions_default(),
                             .figures = {.of = trip_rows, .count = rows_count, .at = rows_at},
                             .limitation = limit_rows,
                             .limitation_count = 1};
}

START_TEST(the_report_begins_with_the_answer_and_ends_with_its_limits)
{
    evn_drive_story story = story_of("finished");
    evn_findings none = {0};
    capture shown;
    capture_begin(&shown);
    ck_assert(evn_drive_text(&story, &none, shown.to, &plain));
    const char *text = captured(&shown);
    static const char answer[] = "Truck\\x1bone finished Urban: 12.00 km in 22 min 49 s, 1.25 kWh/km.\n";
    ck_assert_msg(strncmp(text, answer, strlen(answer)) == 0, "%s", text);
    assert_holds(text, "rolling resistance  10.00    0.83             50.0  \u2588");
    assert_holds(text, "regenerated          5.00    0.42             25.0\n");
    assert_holds(text, "discharged          20.00    1.67            100.0\n");
    assert_holds(text, "No energy to speak of in: potential energy, power take-off.");
    assert_holds(text, "motor power  1 min 11 s                         3.21      14.3\n");
    assert_holds(text, "drive unit rear: gear changes  66");
    assert_holds(text, "The data of the truck are invented");
    assert_holds(text, "Balance error: 2.0e-12");
    assert_holds(text, "integration: 1e-06");
    assert_holds(text, "a few per cent");
    assert_holds(text, "not a type approval");
    assert_lacks(text, "\033");
    capture_end(&shown);
}
END_TEST

/* Places of texts, each behind the one before. */
static void assert_in_order(const char *text, const char *const *words, size_t count)
{
    for (size_t i = 0; i < count; i++) {
        const char *found = strstr(text, words[i]);
        ck_assert_msg(found, "no '%s' in its place: %s", words[i], text);
        text = found + strlen(words[i]);
    }
}

START_TEST(the_report_shows_results_that_have_a_rank_in_its_order_and_by_their_labels)
{
    static const char *const order[] = {"\n  net battery energy", "\n  discharged",
                                        "\n  energy consumption", "\n  within speed tolerance",
                                        "\n  gear changes",       "\n  final state of charge",
                                        "Further figures",        "drive unit rear: gear changes",
                                        "Accuracy and validity"};
    evn_drive_story story = story_of("finished");
    evn_findings none = {0};
    capture shown;
    capture_begin(&shown);
    ck_assert(evn_drive_text(&story, &none, shown.to, &plain));
    assert_in_order(captured(&shown), order, sizeof order / sizeof order[0]);
    assert_lacks(captured(&shown), "\n  travel time"); /* the first sentence tells it */
    capture_end(&shown);
}
END_TEST

START_TEST(the_short_list_has_labels_and_ranks_without_gaps_and_stands_in_the_document)
{
    evn_drive_story story = story_of("finished");
    json_t *document = evn_drive_document(&story), *list = json_object_get(document, "headline");
    evn_quantity what;
    size_t count = 0;
    for (; evn_headline_at(count, &what); count++) {
        json_t *row = json_array_get(list, count);
        ck_assert_int_eq(what.rank, (int)count + 1);
        ck_assert_str_eq(json_string_value(json_object_get(row, "key")), what.key);
        ck_assert_str_eq(json_string_value(json_object_get(row, "label")), what.label);
        ck_assert_str_eq(json_string_value(json_object_get(row, "short_label")), what.short_label);
        ck_assert_str_eq(json_string_value(json_object_get(row, "unit")), what.unit);
        ck_assert_int_eq(json_integer_value(json_object_get(row, "digits")), what.digits);
        ck_assert_str_eq(json_string_value(json_object_get(row, "help")), what.help);
    }
    ck_assert_uint_gt(count, 10);
    ck_assert_uint_eq(json_array_size(list), count);
    json_t *thresholds = json_object_get(document, "thresholds");
    ck_assert_double_eq_tol(json_real_value(json_object_get(thresholds, "below_target_km_h")), 2 * 1.609344, 1e-12);
    json_decref(document);
}
END_TEST

START_TEST(a_truck_that_did_not_finish_is_told_with_the_reason)
{
    evn_drive_story story = story_of("stalled");
    evn_findings findings = {0};
    evn_findings_add(&findings, &(evn_finding){.severity = EVN_WARNING, .fault = "w", .text = "a warning"});
    evn_findings_add(&findings, &(evn_finding){.severity = EVN_ERROR, .fault = "cannot_start", .text = "too steep"});
    capture shown;
    capture_begin(&shown);
    ck_assert(evn_drive_text(&story, &findings, shown.to, &plain));
    assert_holds(captured(&shown),
                 "stalled on Urban after 12.00 km and 22 min 49 s, 1.25 kWh/km.\nWhy:\n  too steep\n");
    capture_end(&shown);
}
END_TEST

START_TEST(json_tells_all_figures_in_their_own_order)
{
    evn_drive_story story = story_of("finished");
    evn_findings none = {0};
    capture shown;
    capture_begin(&shown);
    ck_assert(evn_drive_json(&story, &none, shown.to));
    json_t *document = json_loads(captured(&shown), JSON_REJECT_DUPLICATES, NULL);
    ck_assert_ptr_nonnull(document);
    static const char *const order[] = {"schema",
                                        "version",
                                        "status",
                                        "truck",
                                        "truck_invented",
                                        "cycle",
                                        "cycle_source",
                                        "driver",
                                        "load_case",
                                        "driving",
                                        "limited_by",
                                        "friction_braking_causes",
                                        "peak_temperatures",
                                        "distance_km",
                                        "duration_s",
                                        "discharged_kwh",
                                        "regenerated_kwh",
                                        "battery_kwh",
                                        "kwh_per_km",
                                        "energy_balance",
                                        "balance_error",
                                        "speed_tolerance_met",
                                        "gear_changes",
                                        "final_soc",
                                        "drive_units",
                                        "headline",
                                        "thresholds",
                                        "findings",
                                        "findings_left_out"};
    size_t at = 0;
    const char *key;
    json_t *value;
    json_object_foreach(document, key, value)
    {
        ck_assert_uint_lt(at, sizeof order / sizeof order[0]);
        ck_assert_str_eq(key, order[at++]);
    }
    ck_assert_uint_eq(at, sizeof order / sizeof order[0]);
    json_t *held = json_array_get(json_object_get(document, "limited_by"), 0);
    ck_assert_double_eq(json_real_value(json_object_get(held, "at_km")), 3.21);
    ck_assert(json_is_null(json_object_get(document, "speed_tolerance_met")));
    json_decref(document);
    capture_end(&shown);
}
END_TEST

START_TEST(json_of_a_failure_carries_the_findings)
{
    evn_drive_story story = {.status = "failed", .figures = {0}};
    evn_mishap mishap = {0};
    evn_mishap_say(&mishap, "cannot_write", EVN_BAD_IO, "cannot write '%s'", "x");
    evn_mishap_say(&mishap, "usage", EVN_BAD_INPUT, "a consequence");
    evn_findings findings = {.left_out = 3};
    evn_findings_add_mishap(&findings, &mishap);
    evn_findings_add(&findings, &(evn_finding){.severity = EVN_WARNING,
                                               .fault = "unusual_value",
                                               .file = "a.yaml",
                                               .line = 3,
                                               .column = 7,
                                               .used_from_file = "b.yaml",
                                               .used_from_line = 9,
                                               .text = "odd"});
    capture shown;
    capture_begin(&shown);
    ck_assert(evn_drive_json(&story, &findings, shown.to));
    json_t *document = json_loads(captured(&shown), JSON_REJECT_DUPLICATES, NULL);
    ck_assert_str_eq(json_string_value(json_object_get(document, "status")), "failed");
    ck_assert(json_is_null(json_object_get(document, "truck")));
    ck_assert_ptr_null(json_object_get(document, "limited_by"));
    json_t *list = json_object_get(document, "findings");
    ck_assert_uint_eq(json_array_size(list), 2);
    ck_assert_str_eq(json_string_value(json_object_get(json_array_get(list, 0), "fault")), "cannot_write");
    ck_assert_str_eq(json_string_value(json_object_get(json_array_get(list, 0), "text")), "cannot write 'x'");
    json_t *second = json_array_get(list, 1);
    ck_assert_str_eq(json_string_value(json_object_get(second, "severity")), "warning");
    ck_assert_int_eq(json_integer_value(json_object_get(second, "column")), 7);
    json_t *from = json_object_get(second, "used_from");
    ck_assert_str_eq(json_string_value(json_object_get(from, "file")), "b.yaml");
    ck_assert_int_eq(json_integer_value(json_object_get(document, "findings_left_out")), 3);
    json_decref(document);
    capture_end(&shown);
}
END_TEST

START_TEST(findings_are_printed_with_their_place_and_a_count_of_the_rest)
{
    evn_findings findings = {.left_out = 2};
    evn_findings_add(&findings, &(evn_finding){.severity = EVN_ERROR,
                                               .fault = "out_of_range",
                                               .file = "p\033.yaml",
                                               .line = 3,
                                               .column = 7,
                                               .used_from_file = "t.yaml",
                                               .used_from_line = 12,
                                               .used_from_column = 5,
                                               .text = "mass_kg is -1; 0 or more was expected"});
    evn_findings_add(&findings, &(evn_finding){.severity = EVN_WARNING, .fault = "x", .text = "no file"});
    capture shown;
    capture_begin(&shown);
    evn_findings_print(&findings, shown.to, &plain);
    ck_assert_str_eq(captured(&shown), "p\\x1b.yaml:3:7: error: mass_kg is -1; 0 or more was expected\n"
                                       "    used from t.yaml:12:5\n"
                                       "evener: warning: no file\n"
                                       "evener: 2 more findings left out; mend the ones above first\n");
    capture_end(&shown);
}
END_TEST

START_TEST(findings_beyond_the_list_are_counted)
{
    evn_findings findings = {0};
    for (int i = 0; i < EVN_FINDINGS_MOST + 3; i++)
        evn_findings_add(&findings, &(evn_finding){.severity = EVN_ERROR, .fault = "x", .text = "y"});
    ck_assert_uint_eq(findings.count, EVN_FINDINGS_MOST);
    ck_assert_uint_eq(findings.left_out, 3);
}
END_TEST

START_TEST(changes_carry_their_sign_and_a_zero_none)
{
    char out[32];
    evn_format_change(out, sizeof out, 2, 1.254);
    ck_assert_str_eq(out, "+1.25");
    evn_format_change(out, sizeof out, 1, -3);
    ck_assert_str_eq(out, "-3.0");
    evn_format_change(out, sizeof out, 2, 0.0049);
    ck_assert_str_eq(out, "0.00");
    evn_format_change(out, sizeof out, 0, -0.4);
    ck_assert_str_eq(out, "0");
    evn_format_change(out, sizeof out, 1, (double)NAN);
    ck_assert_str_eq(out, "-");
}
END_TEST

START_TEST(bars_of_changes_grow_to_both_sides_of_a_line)
{
    static const evn_look ascii = {.utf8 = false};
    char out[64];
    evn_format_change_bar(out, sizeof out, &ascii, -0.5, 4);
    ck_assert_str_eq(out, "  ##|");
    evn_format_change_bar(out, sizeof out, &ascii, 1, 4);
    ck_assert_str_eq(out, "    |####");
    evn_format_change_bar(out, sizeof out, &plain, -0.375, 4);
    ck_assert_str_eq(out, "  \u2590\u2588\u2502");
    evn_format_change_bar(out, sizeof out, &plain, 0, 2);
    ck_assert_str_eq(out, "  \u2502");
}
END_TEST

START_TEST(wide_tables_put_as_many_groups_side_by_side_as_fit)
{
    static const evn_table_column columns[] = {{"", false}, {"one", true}, {"", true}, {"two", true},
                                               {"", true},  {"six", true}, {"", true}};
    evn_wide_table *table = evn_wide_new(columns, 1, 3, 2);
    ck_assert_ptr_nonnull(table);
    ck_assert(evn_wide_row(table, (const char *const[]){"mass", "1", "", "20", "+19", "6", "+5"}));
    capture shown;
    capture_begin(&shown);
    ck_assert(evn_wide_print(table, shown.to, "  ", 22));
    ck_assert_str_eq(captured(&shown), "        one  two\n"
                                       "  mass    1   20  +19\n"
                                       "\n"
                                       "        six\n"
                                       "  mass    6  +5\n");
    capture_end(&shown);
    capture_begin(&shown);
    ck_assert(evn_wide_print(table, shown.to, "", 80));
    ck_assert_str_eq(captured(&shown), "      one  two       six\n"
                                       "mass    1   20  +19    6  +5\n");
    capture_end(&shown);
    evn_wide_free(table);
}
END_TEST

START_TEST(colour_needs_a_terminal_that_wants_it)
{
    capture shown;
    capture_begin(&shown);
    ck_assert(!evn_look_of(stdin, true).colour || isatty(0));
    evn_put_styled(shown.to, &(evn_look){.colour = true}, EVN_STYLE_ERROR, "x");
    evn_put_styled(shown.to, &plain, EVN_STYLE_ERROR, "y");
    ck_assert_str_eq(captured(&shown), "\033[31mx\033[0my");
    capture_end(&shown);
}
END_TEST

/* ------------------------------------------------------------------------------------------------ suite */

static void add_text(Suite *suite)
{
    TCase *tests = tcase_create("text");
    tcase_add_test(tests, control_characters_and_stray_bytes_are_shown_not_sent);
    tcase_add_test(tests, utf8_is_read_strictly);
    tcase_add_test(tests, paragraphs_stay_within_their_width);
    tcase_add_test(tests, durations_are_told_as_the_shared_list_has_them);
    tcase_add_test(tests, values_are_written_as_their_quantity_says);
    tcase_add_test(tests, numbers_read_back_as_they_were_in_as_few_digits_as_do);
    tcase_add_test(tests, bars_grow_with_the_share_in_blocks_or_in_ascii);
    tcase_add_test(tests, tables_align_their_columns_and_end_without_blanks);
    tcase_add_test(tests, tables_fold_words_and_headings_before_numbers);
    tcase_add_test(tests, tables_put_a_wide_first_column_above_the_others);
    tcase_add_test(tests, tables_that_fit_in_no_other_way_stand_in_blocks);
    tcase_add_test(tests, tables_keep_the_blanks_that_a_cell_begins_with);
    tcase_add_test(tests, lines_end_between_values);
    tcase_add_test(tests, words_longer_than_the_line_are_broken_at_signs);
    tcase_add_test(tests, lines_are_as_wide_as_the_reader_says);
    tcase_add_test(tests, changes_carry_their_sign_and_a_zero_none);
    tcase_add_test(tests, bars_of_changes_grow_to_both_sides_of_a_line);
    tcase_add_test(tests, wide_tables_put_as_many_groups_side_by_side_as_fit);
    tcase_add_test(tests, colour_needs_a_terminal_that_wants_it);
    suite_add_tcase(suite, tests);
}

static void add_stories(Suite *suite)
{
    TCase *tests = tcase_create("stories");
    tcase_add_test(tests, json_values_follow_their_kind);
    tcase_add_test(tests, dotted_keys_nest_in_order_of_arrival);
    tcase_add_test(tests, json_text_is_valid_whatever_the_file_held);
    tcase_add_test(tests, the_report_begins_with_the_answer_and_ends_with_its_limits);
    tcase_add_test(tests, the_report_shows_results_that_have_a_rank_in_its_order_and_by_their_labels);
    tcase_add_test(tests, the_short_list_has_labels_and_ranks_without_gaps_and_stands_in_the_document);
    tcase_add_test(tests, a_truck_that_did_not_finish_is_told_with_the_reason);
    tcase_add_test(tests, json_tells_all_figures_in_their_own_order);
    tcase_add_test(tests, json_of_a_failure_carries_the_findings);
    tcase_add_test(tests, findings_are_printed_with_their_place_and_a_count_of_the_rest);
    tcase_add_test(tests, findings_beyond_the_list_are_counted);
    suite_add_tcase(suite, tests);
}

int main(void)
{
    setlocale(LC_CTYPE, "C.UTF-8");
    Suite *suite = suite_create("show");
    add_text(suite);
    add_stories(suite);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_NORMAL);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
