/* The columns of a trace: whose each is, and how those that print it name it. */
#define _XOPEN_SOURCE 700
#include "show/csv/trace_csv.h"
#include "show/page/html_trace.h"
#include "trip_probe.h"

#define TWO_UNITS "tests/trucks/two-units.yaml"

START_TEST(a_column_tells_its_drive_unit_only_where_there_are_several)
{
    evn_conditions ask = evn_conditions_default();
    for (size_t k = 0; k < 2; k++) {
        evn_truck *truck = load_truck(k == 0 ? TRACTOR : TWO_UNITS);
        evn_rig *rig = NULL;
        evn_report *report = evn_report_new();
        evn_trace_column column;
        ck_assert_int_eq(evn_rig_prepare(truck, &ask.load_case, &rig, report), EVN_DONE);
        size_t of_units = 0, count = evn_trace_column_count(rig), unit = 0;
        for (size_t i = 0; evn_trace_column_at(rig, i, &column); i++) {
            ck_assert_ptr_null(strchr(column.what.key, '.'));
            of_units += column.drive_unit != NULL;
            if (!column.drive_unit) /* the truck's own come first */
                ck_assert_uint_eq(of_units, 0);
            else if (strcmp(column.drive_unit, evn_rig_unit_name(rig, unit)) != 0)
                ck_assert_str_eq(column.drive_unit, evn_rig_unit_name(rig, ++unit));
        }
        ck_assert_int_eq(of_units > 0, k == 1);
        ck_assert_uint_eq(unit, k);
        ck_assert(!evn_trace_column_at(rig, count, &column) && evn_trace_column_at(rig, count - 1, &column));
        evn_report_free(report);
        evn_rig_free(rig);
        evn_truck_free(truck);
    }
}
END_TEST

static evn_rig *rig_of(const char *path)
{
    evn_conditions ask = evn_conditions_default();
    evn_truck *truck = load_truck(path);
    evn_rig *rig = NULL;
    evn_report *report = evn_report_new();
    ck_assert_int_eq(evn_rig_prepare(truck, &ask.load_case, &rig, report), EVN_DONE);
    evn_report_free(report);
    evn_truck_free(truck);
    return rig;
}

/* Whether a line of CSV has this field. */
static bool has_field(const char *line, const char *field)
{
    char between[110];
    snprintf(between, sizeof between, ",%s,", field);
    return strstr(line, between);
}

START_TEST(the_header_of_a_trace_names_each_of_several_drive_units_before_the_key)
{
    for (size_t k = 0; k < 2; k++) {
        char *line = NULL, field[100];
        size_t bytes = 0;
        evn_rig *rig = rig_of(k == 0 ? TRACTOR : TWO_UNITS);
        evn_trace_csv csv = {.stream = open_memstream(&line, &bytes)};
        evn_trace_csv_head(&csv, rig);
        fclose(csv.stream);
        ck_assert_int_eq(strncmp(line, "time_s,place_m,", 15), 0);
        ck_assert_int_eq(has_field(line, "gear"), k == 0);
        for (size_t unit = 0; unit < evn_rig_unit_count(rig); unit++) {
            snprintf(field, sizeof field, "%s_gear", evn_rig_unit_name(rig, unit));
            ck_assert_int_eq(has_field(line, field), k == 1);
        }
        free(line);
        evn_rig_free(rig);
    }
}
END_TEST

START_TEST(the_page_names_each_of_several_drive_units_before_the_key)
{
    evn_rig *rig = rig_of(TWO_UNITS);
    evn_html_trace *run = evn_html_trace_new(rig, EVN_HTML_WHOLE);
    double row[200] = {0};
    evn_html_trace_row(run, row);
    json_t *json = evn_html_trace_json(run), *columns = json_object_get(json, "columns");
    size_t count = json_array_size(columns), units = evn_rig_unit_count(rig);
    ck_assert_uint_gt(count, units);
    for (size_t unit = 0; unit < units; unit++) {
        char key[100];
        snprintf(key, sizeof key, "%s.winding_temperature_degc", evn_rig_unit_name(rig, unit));
        ck_assert_str_eq(json_string_value(json_object_get(json_array_get(columns, count - units + unit), "key")), key);
    }
    ck_assert_str_eq(json_string_value(json_object_get(json_array_get(columns, 0), "key")), "time_s");
    json_decref(json);
    evn_html_trace_free(run);
    evn_rig_free(rig);
}
END_TEST

START_TEST(over_a_day_the_page_carries_times_and_temperatures_alone)
{
    evn_rig *rig = rig_of(TRACTOR);
    evn_html_trace *run = evn_html_trace_new(rig, EVN_HTML_OF_DAY);
    double row[200] = {0};
    evn_html_trace_row(run, row);
    json_t *json = evn_html_trace_json(run), *columns = json_object_get(json, "columns");
    size_t count = json_array_size(columns);
    ck_assert_uint_gt(count, 3);
    ck_assert_str_eq(json_string_value(json_object_get(json_array_get(columns, 0), "key")), "time_s");
    for (size_t k = 1; k < count; k++)
        ck_assert_ptr_nonnull(
            strstr(json_string_value(json_object_get(json_array_get(columns, k), "key")), "temperature_degc"));
    json_decref(json);
    evn_html_trace_free(run);
    evn_rig_free(rig);
}
END_TEST

START_TEST(the_page_heads_each_column_of_a_trace_by_a_label_that_no_other_has)
{
    for (size_t k = 0; k < 2; k++) {
        evn_rig *rig = rig_of(k == 0 ? TRACTOR : TWO_UNITS);
        evn_html_trace *run = evn_html_trace_new(rig, EVN_HTML_WHOLE);
        double row[200] = {0};
        evn_html_trace_row(run, row);
        json_t *json = evn_html_trace_json(run), *columns = json_object_get(json, "columns");
        size_t count = json_array_size(columns);
        ck_assert_uint_gt(count, 5);
        for (size_t i = 0; i < count; i++) {
            json_t *column = json_array_get(columns, i);
            const char *key = json_string_value(json_object_get(column, "key"));
            const char *label = json_string_value(json_object_get(column, "label"));
            ck_assert_msg(label && label[0] != '\0', "%s has no label", key);
            for (size_t j = 0; j < i; j++)
                ck_assert_str_ne(json_string_value(json_object_get(json_array_get(columns, j), "label")), label);
        }
        json_decref(json);
        evn_html_trace_free(run);
        evn_rig_free(rig);
    }
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("trace columns");
    TCase *tests = tcase_create("trace columns");
    tcase_add_test(tests, a_column_tells_its_drive_unit_only_where_there_are_several);
    tcase_add_test(tests, the_header_of_a_trace_names_each_of_several_drive_units_before_the_key);
    tcase_add_test(tests, the_page_names_each_of_several_drive_units_before_the_key);
    tcase_add_test(tests, over_a_day_the_page_carries_times_and_temperatures_alone);
    tcase_add_test(tests, the_page_heads_each_column_of_a_trace_by_a_label_that_no_other_has);
    suite_add_tcase(suite, tests);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_NORMAL);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
