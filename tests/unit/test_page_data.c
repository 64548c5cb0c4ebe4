/* Numbers that the page carries: a trace packed and taken apart again, the time of a run by setting and by cell. */
#define _POSIX_C_SOURCE 200809L
#include "evener/charts.h"
#include "show/page/html_trace.h"
#include "trip_probe.h"

enum { ROWS = 400 };

static evn_rig *rig_of(const char *path)
{
    evn_report *report = evn_report_new();
    evn_conditions ask = evn_conditions_default();
    evn_truck *truck = load_truck(path);
    evn_rig *rig = NULL;
    ck_assert_int_eq(evn_rig_prepare(truck, &ask.load_case, &rig, report), EVN_DONE);
    evn_truck_free(truck);
    evn_report_free(report);
    return rig;
}

/* ------------------------------------------------------------------------------------------------ unpacking */

typedef struct packed { /* base64 (RFC 4648), read byte by byte */
    const char *text;
    unsigned long bits;
    int held;
} packed;

static unsigned next_byte(packed *from)
{
    static const char letters[] = "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/";
    while (from->held < 8) {
        const char *letter = *from->text ? strchr(letters, *from->text++) : NULL;
        ck_assert_ptr_nonnull(letter);
        from->bits = from->bits << 6 | (unsigned long)(letter - letters);
        from->held += 6;
    }
    from->held -= 8;
    return from->bits >> from->held & 0xff;
}

static unsigned long long next_number(packed *from)
{
    unsigned long long number = 0;
    unsigned byte = 0x80;
    for (int shift = 0; byte & 0x80; shift += 7) {
        byte = next_byte(from);
        number |= (unsigned long long)(byte & 0x7f) << shift;
    }
    return number;
}

/* One column as the comment in html_trace.h has it. */
static void unpack(packed *from, int order, double step, size_t rows, double *out)
{
    unsigned long long zeros = 0;
    long long value = 0, change = 0;
    for (size_t i = 0; i < rows; i++) {
        unsigned long long number = 0;
        if (zeros > 0)
            zeros--;
        else if ((number = next_number(from)) == 0)
            zeros = next_number(from);
        long long told = number & 1 ? -(long long)((number + 1) / 2) : (long long)(number / 2);
        change = order == 2 ? change + told : told;
        value += change;
        out[i] = (double)value * step;
    }
    ck_assert_uint_eq(zeros, 0);
}

/* A number of every kind: at rest, growing evenly, jumping, below zero, and none. */
static double made_up(size_t row, size_t column)
{
    switch (column % 5) {
    case 0:
        return 0.5 * (double)row;
    case 1:
        return row < 300 ? 7 : -7.25;
    case 2:
        return 1e4 * sin(0.37 * (double)row);
    case 3:
        return row % 50 == 49 ? (double)NAN : -0.001 * (double)(row * row);
    default:
        return 0;
    }
}

static double field(const json_t *column, const char *key) { return json_number_value(json_object_get(column, key)); }

static double step_of(const json_t *column)
{
    ck_assert(json_is_integer(json_object_get(column, "decimals")));
    return pow(10, -field(column, "decimals"));
}

/* "leading.gear", of a drive unit or an axle; "speed_km_h", of the truck. */
static bool column_is(const evn_rig *rig, size_t column, const char *key)
{
    evn_trace_column at;
    char name[200];
    ck_assert(evn_trace_column_at(rig, column, &at));
    const char *owner = at.drive_unit ? at.drive_unit : at.axle ? at.axle : "";
    snprintf(name, sizeof name, "%s%s%s", owner, *owner ? "." : "", at.what.key);
    return strcmp(name, key) == 0;
}

START_TEST(a_packed_trace_is_taken_apart_to_the_numbers_that_went_in)
{
    evn_rig *rig = rig_of("tests/vehicles/trucks/rigid-6x2-two-eaxles.yaml");
    evn_html_trace *packing = evn_html_trace_new(rig, EVN_HTML_WHOLE);
    size_t columns = evn_trace_column_count(rig), count;
    double row[200], out[ROWS];
    ck_assert_uint_le(columns, 200);
    for (size_t i = 0; i < ROWS; i++) {
        for (size_t k = 0; k < columns; k++)
            row[k] = made_up(i, k);
        evn_html_trace_row(packing, row);
    }
    json_t *json = evn_html_trace_json(packing), *list = json_object_get(json, "columns");
    packed from = {json_string_value(json_object_get(json, "packed")), 0, 0};
    ck_assert_double_eq(field(json, "rows"), ROWS);
    count = json_array_size(list);
    ck_assert_uint_gt(count, 6);
    for (size_t c = 0; c < count; c++) {
        const json_t *column = json_array_get(list, c);
        const char *key = json_string_value(json_object_get(column, "key"));
        size_t k = 0;
        while (k < columns && !column_is(rig, k, key))
            k++;
        unpack(&from, (int)field(column, "order"), step_of(column), ROWS, out);
        for (size_t i = 0; i < ROWS; i++) {
            double expected = isnan(made_up(i, k)) ? made_up(i - 1, k) : made_up(i, k); /* stays where it was */
            ck_assert_msg(fabs(out[i] - expected) <= 0.5000001 * step_of(column), "%s, row %zu: %g, not %g", key, i,
                          out[i], expected);
        }
    }
    json_decref(json);
    evn_html_trace_free(packing);
    evn_rig_free(rig);
}
END_TEST

/* ------------------------------------------------------------------------------------------------ thinned */

/* How far the page's line may lie from a row, as PAGE.md tells it. */
static double slack_of(const evn_rig *rig, size_t column)
{
    static const struct {
        const char *end;
        double slack;
    } told[] = {{"place_m", 1},    {"speed_km_h", 0.15}, {"soc", 3e-4},
                {"battery_kw", 2}, {"limited_by", 0},    {"brake_temperature_degc", 1}};
    evn_trace_column at;
    ck_assert(evn_trace_column_at(rig, column, &at));
    for (size_t k = 0; k < sizeof told / sizeof *told; k++) {
        size_t length = strlen(at.what.key), bytes = strlen(told[k].end);
        if (length >= bytes && strcmp(at.what.key + length - bytes, told[k].end) == 0)
            return told[k].slack;
    }
    return 0.3; /* the other temperatures */
}

/* Straight stretches, bends and jumps, with less than the slack on top of them; only jumps where there is none. */
static double smooth(double time_s, size_t column, double slack)
{
    double ripple = 0.5 * slack * sin(7 * time_s + (double)column);
    if (slack == 0 || column % 3 == 2)
        return time_s < 90 ? 2 : 5;
    if (column % 3 == 0)
        return (time_s < 60 ? time_s : 120 - time_s) + ripple;
    return 40 * sin(time_s / 40) + ripple;
}

/* The value of kept rows between two of them, and whether the time is one of theirs. */
static double between(const double *times, const double *values, size_t rows, double time_s)
{
    size_t next = 1;
    while (next + 1 < rows && times[next] < time_s - 1e-9)
        next++;
    double span_s = times[next] - times[next - 1];
    return values[next - 1] + (values[next] - values[next - 1]) * (time_s - times[next - 1]) / span_s;
}

START_TEST(a_thinned_trace_has_every_row_within_its_slack)
{
    evn_rig *rig = rig_of("tests/vehicles/trucks/rigid-6x2-two-eaxles.yaml");
    evn_html_trace *packing = evn_html_trace_new(rig, EVN_HTML_THINNED);
    size_t columns = evn_trace_column_count(rig);
    double row[200], times[ROWS], out[ROWS];
    for (size_t i = 0; i < ROWS; i++) {
        for (size_t k = 0; k < columns; k++)
            row[k] = column_is(rig, k, "time_s") ? 0.5 * (double)i : smooth(0.5 * (double)i, k, slack_of(rig, k));
        evn_html_trace_row(packing, row);
    }
    json_t *json = evn_html_trace_json(packing), *list = json_object_get(json, "columns");
    packed from = {json_string_value(json_object_get(json, "packed")), 0, 0};
    size_t rows = (size_t)field(json, "rows");
    ck_assert_uint_lt(rows, ROWS / 2);
    ck_assert_uint_gt(rows, 6);
    for (size_t c = 0; c < json_array_size(list); c++) {
        const json_t *column = json_array_get(list, c);
        const char *key = json_string_value(json_object_get(column, "key"));
        double step = step_of(column);
        size_t k = 0;
        while (!column_is(rig, k, key))
            k++;
        unpack(&from, (int)field(column, "order"), step, rows, c == 0 ? times : out);
        for (size_t i = 0; c > 0 && i < ROWS; i++) {
            double here = between(times, out, rows, 0.5 * (double)i),
                   there = smooth(0.5 * (double)i, k, slack_of(rig, k));
            ck_assert_msg(fabs(here - there) <= slack_of(rig, k) + 0.51 * step, "%s, row %zu: %g for %g", key, i, here,
                          there);
        }
    }
    json_decref(json);
    evn_html_trace_free(packing);
    evn_rig_free(rig);
}
END_TEST

/* ------------------------------------------------------------------------------------------------ census */

static size_t column_named(const evn_rig *rig, const char *key)
{
    evn_trace_column at;
    size_t k = 0;
    while (evn_trace_column_at(rig, k, &at) && strcmp(at.what.key, key) != 0)
        k++;
    ck_assert_uint_lt(k, evn_trace_column_count(rig));
    return k;
}

/* 10 s in the first gear with all motors, 4 s between gears, 6 s in the second: a row holds until the next. */
START_TEST(the_time_between_two_rows_belongs_to_the_setting_of_the_first)
{
    static const double times[] = {0, 10, 14, 20}, gears[] = {1, 0, 2, 1}, motors[] = {2, 0, 2, 2};
    static const double expected[][3] = {{0, 0, 4}, {1, 2, 10}, {2, 2, 6}};
    evn_rig *rig = rig_of("tests/vehicles/trucks/tractor-4x2-eaxle.yaml");
    evn_census *census = evn_census_new(rig);
    evn_report *report = evn_report_new();
    evn_chart *chart = NULL;
    size_t columns = evn_trace_column_count(rig), found = 0;
    double row[200] = {0};
    ck_assert_uint_le(columns, 200);
    for (size_t i = 0; i < 4; i++) {
        row[column_named(rig, "time_s")] = times[i];
        row[column_named(rig, "gear")] = gears[i];
        row[column_named(rig, "motors_engaged")] = motors[i];
        evn_census_sample(census, row, columns);
    }
    ck_assert_int_eq(evn_chart_of_settings(census, 0, &chart, report), EVN_DONE);
    for (size_t i = 0; i < evn_chart_row_count(chart); i++)
        for (size_t k = 0; k < 3; k++) {
            const double *at = evn_chart_row(chart, i);
            if (at[0] != expected[k][0] || at[1] != expected[k][1])
                continue;
            ck_assert_double_eq(at[2], expected[k][2]);
            ck_assert_double_eq_tol(at[3], expected[k][2] / 20, 1e-12);
            found++;
        }
    ck_assert_uint_eq(found, 3);
    evn_chart_free(chart);
    evn_census_free(census);
    evn_report_free(report);
    evn_rig_free(rig);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("page_data");
    TCase *all = tcase_create("all");
    tcase_add_test(all, a_packed_trace_is_taken_apart_to_the_numbers_that_went_in);
    tcase_add_test(all, a_thinned_trace_has_every_row_within_its_slack);
    tcase_add_test(all, the_time_between_two_rows_belongs_to_the_setting_of_the_first);
    suite_add_tcase(suite, all);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_ENV);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
