/* What numbers are called: the labels of every list that a medium takes its words from. */
#define _POSIX_C_SOURCE 200809L
#include "evener/catalogue.h"
#include "evener/charts.h"
#include "evener/duty.h"
#include "evener/keys.h"
#include "trip_probe.h"
#include <stdint.h>

#define SHORT_CYCLE "cycles/reference/sort-1.yaml"

/* ------------------------------------------------------------------------------------------------ one list */

enum { TEXT_BYTES = 200, ROWS_MOST = 400 };

typedef struct named_row {
    char key[TEXT_BYTES], label[TEXT_BYTES], short_label[TEXT_BYTES];
} named_row;

typedef struct named_list {
    named_row row[ROWS_MOST];
    size_t count;
} named_list;

static void copy_text(char out[TEXT_BYTES], const char *text)
{
    ck_assert_uint_lt(strlen(text), TEXT_BYTES);
    strcpy(out, text);
}

/* "drive_units.rear." of "drive_units.rear.bus_kwh"; rows of other groups may bear the same label. */
static size_t group_length(const char *key)
{
    const char *dot = strrchr(key, '.');
    return dot ? (size_t)(dot - key) + 1 : 0;
}

static bool same_group(const char *a, const char *b)
{
    size_t length = group_length(a);
    return length == group_length(b) && strncmp(a, b, length) == 0;
}

/* Takes a row; `list` says whose it is when something is amiss. */
static void add(named_list *to, const char *list, const char *key, const evn_quantity *what)
{
    ck_assert_msg(what->label && what->label[0] != '\0', "%s: %s has no label", list, key);
    ck_assert_msg(what->short_label && what->short_label[0] != '\0', "%s: %s has no short label", list, key);
    ck_assert_msg(strlen(what->short_label) <= strlen(what->label), "%s: %s is '%s', longer than '%s'", list, key,
                  what->short_label, what->label);
    ck_assert_msg(!strchr(what->label, '_') && !strchr(what->short_label, '_'), "%s: %s is '%s', '%s'", list, key,
                  what->label, what->short_label);
    ck_assert_uint_lt(to->count, ROWS_MOST);
    for (size_t i = 0; i < to->count; i++) {
        const named_row *other = &to->row[i];
        if (!same_group(other->key, key))
            continue;
        ck_assert_msg(strcmp(other->key, key) != 0, "%s: %s stands there twice", list, key);
        ck_assert_msg(strcmp(other->label, what->label) != 0, "%s: %s and %s are both '%s'", list, other->key, key,
                      what->label);
        ck_assert_msg(strcmp(other->short_label, what->short_label) != 0, "%s: %s and %s are both '%s'", list,
                      other->key, key, what->short_label);
    }
    named_row *row = &to->row[to->count++];
    copy_text(row->key, key);
    copy_text(row->label, what->label);
    copy_text(row->short_label, what->short_label);
}

static void add_chart(const char *list, evn_status status, evn_chart *chart)
{
    named_list columns = {.count = 0};
    evn_quantity what;
    ck_assert_msg(status == EVN_DONE, "%s", list);
    for (size_t i = 0; evn_chart_column_at(chart, i, &what); i++) {
        char key[TEXT_BYTES]; /* all of one group: they stand in one table */
        copy_text(key, what.key);
        for (char *dot = key; (dot = strchr(dot, '.'));)
            *dot = ' ';
        add(&columns, list, key, &what);
    }
    ck_assert_uint_gt(columns.count, 1);
    evn_chart_free(chart);
}

/* ------------------------------------------------------------------------------------------------ results */

START_TEST(every_row_of_results_has_labels_of_its_own)
{
    named_list rows = {.count = 0};
    evn_quantity what;
    for (size_t i = 0; evn_result_row_at(i, &what); i++)
        add(&rows, "results", what.key, &what);
    ck_assert_uint_gt(rows.count, 50);
}
END_TEST

START_TEST(ranks_of_the_short_list_are_without_gaps_and_it_stands_first_among_the_rows)
{
    evn_quantity what, row;
    size_t count = 0;
    for (; evn_headline_at(count, &what); count++) {
        ck_assert_int_eq(what.rank, (int)count + 1);
        ck_assert(evn_result_row_at(count, &row));
        ck_assert_str_eq(row.key, what.key);
        ck_assert_str_eq(row.label, what.label);
    }
    ck_assert_uint_gt(count, 10);
    for (size_t i = count; evn_result_row_at(i, &row); i++)
        ck_assert_msg(row.rank == 0, "%s has rank %d", row.key, row.rank);
}
END_TEST

START_TEST(every_limit_has_a_label_of_its_own)
{
    const char *limit, *label, *labels[20];
    size_t count = 0;
    for (; evn_limit_at(count, &limit, &label); count++) {
        ck_assert_uint_lt(count, sizeof labels / sizeof *labels);
        ck_assert_msg(label && label[0] != '\0' && !strchr(label, '_'), "%s", limit);
        for (size_t i = 0; i < count; i++)
            ck_assert_str_ne(labels[i], label);
        labels[count] = label;
    }
    ck_assert_uint_gt(count, 5);
}
END_TEST

/* The key with NAME for that of axle, drive unit or consumer: "axles.NAME.load_kg". */
static void with_name(char out[TEXT_BYTES], const char *key)
{
    static const char *const groups[] = {"drive_units.", "axles.", "auxiliaries."};
    const char *last = strrchr(key, '.');
    copy_text(out, key);
    for (size_t k = 0; k < sizeof groups / sizeof *groups; k++)
        if (strncmp(key, groups[k], strlen(groups[k])) == 0)
            snprintf(out, TEXT_BYTES, "%sNAME%s", groups[k], last);
}

static size_t row_of(const char *key, evn_quantity *out)
{
    size_t i = 0;
    while (evn_result_row_at(i, out) && strcmp(out->key, key) != 0)
        i++;
    ck_assert_msg(evn_result_row_at(i, out), "%s is among no rows", key);
    return i;
}

/* Marks the rows that a run has. */
static void mark_run(const drive *run, bool *there)
{
    evn_quantity what, row;
    double value;
    size_t count = evn_results_count(run->results);
    ck_assert_uint_gt(count, 40);
    for (size_t i = 0; i < count; i++) {
        char key[TEXT_BYTES];
        ck_assert(evn_results_at(run->results, i, &what, &value));
        with_name(key, what.key);
        size_t at = row_of(key, &row);
        ck_assert_uint_lt(at, ROWS_MOST);
        there[at] = true;
        ck_assert_str_eq(what.label, row.label);
        ck_assert_str_eq(what.short_label, row.short_label);
        ck_assert_str_eq(what.unit, row.unit);
        ck_assert_str_eq(what.help, row.help);
        ck_assert(what.kind == row.kind && what.digits == row.digits && what.rank == row.rank);
    }
}

static void drive_and_mark(const char *path, bool *there)
{
    evn_conditions ask = evn_conditions_default();
    drive run = drive_any(path, SHORT_CYCLE, &ask, NULL);
    mark_run(&run, there);
    drive_end(&run);
}

/* Some rows are those of runs whose battery is too full to brake with. */
static void drive_full_and_mark(bool *there)
{
    evn_conditions ask = evn_conditions_default();
    ask.load_case.start_soc = 0.94;
    drive run = drive_any(TRACTOR, "cycles/reference/urban-schedule-heavy.yaml", &ask, NULL);
    mark_run(&run, there);
    drive_end(&run);
}

/* Some those on which the temperature of the air acts, if it is asked for. */
static void drive_cold_and_mark(bool *there)
{
    evn_conditions ask = evn_conditions_default();
    ask.load_case.temperature_degc = -5;
    ask.load_case.rolling_resistance_law = EVN_ROLLING_RESISTANCE_LAW_LINEAR;
    drive run = drive_any("tests/trucks/weathered.yaml", SHORT_CYCLE, &ask, NULL);
    mark_run(&run, there);
    drive_end(&run);
}

/* And some those of stops that charge. */
static void charge_and_mark(bool *there)
{
    evn_conditions ask = evn_conditions_default();
    evn_report *report = evn_report_new();
    evn_truck *truck = load_truck(TRACTOR);
    evn_duty *duty = NULL;
    evn_day *day = NULL;
    evn_day_phase stop;
    ck_assert_int_eq(evn_duty_load("cycles/duties/hill-rounds.yaml", &duty, report), EVN_DONE);
    ck_assert_msg(evn_drive_duty(truck, duty, &ask, NULL, &day, report) == EVN_DONE, "%s", first_finding(report));
    for (size_t k = 0; evn_day_phase_at(day, 0, k, &stop); k++)
        if (stop.stop) {
            drive run = {.results = (evn_results *)(uintptr_t)stop.results};
            mark_run(&run, there);
        }
    evn_day_free(day);
    evn_duty_free(duty);
    evn_truck_free(truck);
    evn_report_free(report);
}

/* Calls for every shipped file of a group. */
static void for_shipped(evn_item_group group, size_t least, void (*call)(const char *path, bool *there), bool *there)
{
    static const char *const folders[] = {"vehicles", "cycles", NULL};
    evn_report *report = evn_report_new();
    evn_catalogue *catalogue = NULL;
    evn_item item;
    size_t found = 0;
    ck_assert_int_eq(evn_catalogue_open(folders, &catalogue, report), EVN_DONE);
    for (size_t i = 0; evn_catalogue_at(catalogue, i, &item); i++)
        if (item.group == group && ++found)
            call(item.path, there);
    ck_assert_uint_ge(found, least);
    evn_catalogue_free(catalogue);
    evn_report_free(report);
}

START_TEST(results_of_runs_are_rows_of_the_list_and_every_row_is_one_of_some_truck)
{
    static const char *const others[] = {
        "tests/trucks/four-speed.yaml",        "tests/trucks/single-speed.yaml", "tests/trucks/tandem.yaml",
        "tests/trucks/two-units.yaml",         "tests/trucks/cooled.yaml",       "tests/trucks/friction-brakes.yaml",
        "tests/trucks/tandem-disconnect.yaml", "tests/trucks/retarder.yaml",     "tests/trucks/warm.yaml",
        "tests/trucks/take-off.yaml"};
    bool there[ROWS_MOST] = {false};
    evn_quantity row;
    for_shipped(EVN_ITEM_TRUCK, 10, drive_and_mark, there);
    for (size_t i = 0; i < sizeof others / sizeof *others; i++)
        drive_and_mark(others[i], there);
    drive_full_and_mark(there);
    drive_cold_and_mark(there);
    charge_and_mark(there);
    for (size_t i = 0; evn_result_row_at(i, &row); i++)
        ck_assert_msg(there[i], "no truck has %s", row.key);
}
END_TEST

/* ------------------------------------------------------------------------------------------------ before it drives */

static evn_rig *rig_of(const char *path)
{
    evn_conditions ask = evn_conditions_default();
    evn_truck *truck = load_truck(path);
    evn_rig *rig = NULL;
    evn_report *report = evn_report_new();
    ck_assert_msg(evn_rig_prepare(truck, &ask.load_case, &rig, report) == EVN_DONE, "%s", first_finding(report));
    evn_report_free(report);
    evn_truck_free(truck);
    return rig;
}

static void labels_of_trace(const char *path, bool *there)
{
    named_list columns = {.count = 0};
    evn_trace_column column;
    evn_rig *rig = rig_of(path);
    (void)there;
    for (size_t i = 0; evn_trace_column_at(rig, i, &column); i++) {
        char key[TEXT_BYTES];
        const char *owner = column.axle ? column.axle : column.drive_unit ? column.drive_unit : column.consumer;
        snprintf(key, sizeof key, "%s%s%s", owner ? owner : "", owner ? "." : "", column.what.key);
        add(&columns, path, key, &column.what);
    }
    ck_assert_uint_gt(columns.count, 20);
    evn_rig_free(rig);
}

START_TEST(every_column_of_a_trace_has_labels_of_its_own) { for_shipped(EVN_ITEM_TRUCK, 10, labels_of_trace, NULL); }
END_TEST

static void labels_of_figures(const char *path, bool *there)
{
    named_list figures = {.count = 0};
    evn_quantity what;
    double value;
    evn_rig *rig = rig_of(path);
    (void)there;
    for (size_t i = 0; evn_rig_figure_at(rig, i, &what, &value); i++)
        add(&figures, path, what.key, &what);
    ck_assert_uint_gt(figures.count, 20);
    evn_rig_free(rig);
}

START_TEST(every_figure_of_a_truck_has_labels_of_its_own) { for_shipped(EVN_ITEM_TRUCK, 10, labels_of_figures, NULL); }
END_TEST

static void labels_of_cycle(const char *path, bool *there)
{
    named_list figures = {.count = 0};
    evn_quantity what;
    double value;
    evn_cycle *cycle = load_cycle(path);
    (void)there;
    for (size_t i = 0; evn_cycle_figure_at(cycle, i, &what, &value); i++)
        add(&figures, path, what.key, &what);
    ck_assert_uint_gt(figures.count, 5);
    evn_cycle_free(cycle);
}

START_TEST(every_figure_of_a_cycle_has_labels_of_its_own) { for_shipped(EVN_ITEM_CYCLE, 10, labels_of_cycle, NULL); }
END_TEST

/* ------------------------------------------------------------------------------------------------ charts */

START_TEST(every_column_of_a_chart_of_a_cycle_has_labels_of_its_own)
{
    evn_cycle *cycle = load_cycle(HILL);
    evn_report *report = evn_report_new();
    evn_chart *chart = NULL;
    evn_status road = evn_chart_of_road(cycle, &chart, report);
    add_chart("road", road, chart);
    evn_status limits = evn_chart_of_limits(cycle, &chart, report);
    add_chart("limits", limits, chart);
    evn_status stops = evn_chart_of_stops(cycle, &chart, report);
    add_chart("stops", stops, chart);
    evn_report_free(report);
    evn_cycle_free(cycle);
}
END_TEST

static void labels_of_charts(const char *path, bool *there)
{
    evn_rig *rig = rig_of(path);
    evn_report *report = evn_report_new();
    evn_census *census = evn_census_new(rig);
    evn_chart *chart = NULL;
    (void)there;
    ck_assert_ptr_nonnull(census);
    evn_status status = evn_chart_of_forces(rig, &chart, report);
    add_chart("forces", status, chart);
    for (size_t unit = 0; unit < evn_rig_unit_count(rig); unit++) {
        status = evn_chart_of_motor(rig, unit, &chart, report);
        add_chart("motor", status, chart);
        status = evn_chart_of_envelope(rig, unit, &chart, report);
        add_chart("envelope", status, chart);
        status = evn_chart_of_points(census, unit, &chart, report);
        add_chart("points", status, chart);
        status = evn_chart_of_settings(census, unit, &chart, report);
        add_chart("settings", status, chart);
    }
    evn_census_free(census);
    evn_report_free(report);
    evn_rig_free(rig);
}

START_TEST(every_column_of_a_chart_of_a_truck_has_labels_of_its_own)
{
    for_shipped(EVN_ITEM_TRUCK, 10, labels_of_charts, NULL);
}
END_TEST

/* ------------------------------------------------------------------------------------------------ comparisons */

START_TEST(differences_and_figures_of_a_comparison_have_labels_too)
{
    evn_report *report = evn_report_new();
    evn_lineup *lineup = NULL;
    evn_comparison *comparison = NULL;
    named_list differences = {.count = 0}, figures = {.count = 0};
    evn_quantity what;
    double value;
    ck_assert_int_eq(evn_lineup_load("tests/vehicles/lineups/demo.yaml", &lineup, report), EVN_DONE);
    evn_conditions ask = evn_lineup_ask(lineup);
    ck_assert_int_eq(evn_compare(lineup, &ask, NULL, &comparison, report), EVN_DONE);
    const evn_outcome *outcome = evn_comparison_outcome(comparison, 1, EVN_BASIS_OWN);
    for (size_t i = 0; evn_outcome_difference_at(outcome, i, &what, &value); i++)
        add(&differences, "differences", what.key, &what);
    for (size_t i = 0; evn_comparison_figure_at(comparison, i, &what, &value); i++)
        add(&figures, "comparison", what.key, &what);
    ck_assert_uint_gt(differences.count, 100);
    ck_assert_uint_gt(figures.count, 2);
    evn_comparison_free(comparison);
    evn_lineup_free(lineup);
    evn_report_free(report);
}
END_TEST

/* ------------------------------------------------------------------------------------------------ names that changed
 */

/* No name of today is one of before: a kept file could not say which it means. */
START_TEST(no_result_bears_a_name_of_before_and_each_new_one_is_borne)
{
    evn_renaming renaming;
    evn_quantity what;
    char now[TEXT_BYTES];
    size_t count = 0, borne = 0;
    for (size_t i = 0; evn_result_row_at(i, &what); i++)
        ck_assert_msg(!evn_renamed_key(what.key, now, sizeof now), "%s would be %s", what.key, now);
    for (; evn_renamed_at(count, &renaming); count++) {
        bool of_results = strcmp(renaming.of, "result") == 0 || strcmp(renaming.of, "energy balance") == 0,
             found = false;
        ck_assert_str_ne(renaming.before, renaming.now);
        for (size_t i = 0; of_results && evn_result_row_at(i, &what); i++)
            found = found || strstr(what.key, renaming.now);
        ck_assert_msg(!of_results || found || strcmp(renaming.now, "limited_by") == 0, "no result is called %s",
                      renaming.now);
        borne += found;
    }
    ck_assert_uint_gt(count, 40);
    ck_assert_uint_gt(borne, 20);
}
END_TEST

/* By itself: what files and documents of schema 1 hold cannot change any more. */
static const evn_renaming names_of_schema_1[] = {
    {"behind_plan_s", "time_below_target_s", "result"},
    {"extra_time_s", "delay_s", "result"},
    {"band_ok", "speed_tolerance_met", "result"},
    {"drawn_kwh", "discharged_kwh", "result"},
    {"returned_kwh", "regenerated_kwh", "result"},
    {"motor_braking_kwh", "regenerative_braking_kwh", "result"},
    {"closure", "balance_error", "result"},
    {"shifts", "gear_changes", "result"},
    {"peak_winding_degc", "peak_winding_temperature_degc", "result"},
    {"units.", "drive_units.", "result"},
    {"ledger.", "energy_balance.", "energy balance"},
    {"grade_kwh", "potential_kwh", "energy balance"},
    {"rolling_kwh", "rolling_resistance_kwh", "energy balance"},
    {"air_kwh", "air_drag_kwh", "energy balance"},
    {"pack_kwh", "battery_losses_kwh", "energy balance"},
    {"pto_kwh", "power_take_off_kwh", "energy balance"},
    {"tyre_slip_kwh", "tyre_slip_losses_kwh", "energy balance"},
    {"wheel_end_kwh", "hub_losses_kwh", "energy balance"},
    {"final_drive_kwh", "final_drive_losses_kwh", "energy balance"},
    {"shafts_kwh", "propeller_shaft_losses_kwh", "energy balance"},
    {"gearbox_kwh", "gearbox_losses_kwh", "energy balance"},
    {"shifting_kwh", "gear_change_losses_kwh", "energy balance"},
    {"motor_kwh", "motor_losses_kwh", "energy balance"},
    {"inverter_kwh", "inverter_losses_kwh", "energy balance"},
    {"held_by", "limited_by", "result"},
    {"seconds", "duration_s", "limited_by"},
    {"worst_km", "at_km", "limited_by"},
    {"worst_km_h", "below_target_km_h", "limited_by"},
    {"pack", "battery_power", "limit"},
    {"gear_shift", "gear_change", "limit"},
    {"pack_empty", "battery_empty", "status, fault"},
    {"pack_too_weak", "battery_too_weak", "status, fault"},
    {"behind_plan_km_h", "below_target_km_h", "threshold"},
    {"wheel_formula", "axle_configuration", "truck of a comparison"},
    {"unladen_kg", "kerb_kg", "figure of a truck"},
    {"peak_force_kn", "peak_wheel_force_kn", "figure of a truck"},
    {"net_height_m", "net_elevation_m", "figure of a cycle"},
    {"plan_km_h", "target_speed_km_h", "trace column"},
    {"accel_m_s2", "acceleration_m_s2", "trace column"},
    {"height_m", "elevation_m", "trace column, chart column"},
    {"tyre_force_kn", "wheel_force_kn", "trace column"},
    {"unit_force_kn", "unit_wheel_force_kn", "trace column"},
    {"brake_force_kn", "friction_brake_force_kn", "trace column"},
    {"rolling_force_kn", "rolling_resistance_kn", "trace column"},
    {"air_force_kn", "air_drag_kn", "trace column"},
    {"grade_force_kn", "grade_resistance_kn", "trace column"},
    {"winding_degc", "winding_temperature_degc", "trace column"},
    {"motor_loss_kw", "motor_losses_kw", "trace column"},
    {"inverter_loss_kw", "inverter_losses_kw", "trace column"},
    {"pack_voltage_v", "battery_voltage_v", "trace column"},
    {"most_driving_kn", "peak_driving_kn", "chart column"},
    {"most_braking_kn", "peak_braking_kn", "chart column"},
    {"most_nm", "peak_driving_nm", "chart column"},
    {"least_nm", "peak_braking_nm", "chart column"},
};

START_TEST(every_name_of_schema_1_is_told_what_stands_in_its_place)
{
    const size_t known = sizeof names_of_schema_1 / sizeof *names_of_schema_1;
    evn_renaming is;
    size_t count = 0;
    for (; evn_renamed_at(count, &is); count++) {
        ck_assert_msg(count < known, "%s is not among the names of schema 1", is.before);
        ck_assert_str_eq(is.before, names_of_schema_1[count].before);
        ck_assert_str_eq(is.now, names_of_schema_1[count].now);
        ck_assert_str_eq(is.of, names_of_schema_1[count].of);
    }
    ck_assert_uint_eq(count, known);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("labels");
    TCase *tests = tcase_create("labels");
    tcase_add_test(tests, every_row_of_results_has_labels_of_its_own);
    tcase_add_test(tests, ranks_of_the_short_list_are_without_gaps_and_it_stands_first_among_the_rows);
    tcase_add_test(tests, every_limit_has_a_label_of_its_own);
    tcase_add_test(tests, results_of_runs_are_rows_of_the_list_and_every_row_is_one_of_some_truck);
    tcase_add_test(tests, every_column_of_a_trace_has_labels_of_its_own);
    tcase_add_test(tests, every_figure_of_a_truck_has_labels_of_its_own);
    tcase_add_test(tests, every_figure_of_a_cycle_has_labels_of_its_own);
    tcase_add_test(tests, every_column_of_a_chart_of_a_cycle_has_labels_of_its_own);
    tcase_add_test(tests, every_column_of_a_chart_of_a_truck_has_labels_of_its_own);
    tcase_add_test(tests, differences_and_figures_of_a_comparison_have_labels_too);
    tcase_add_test(tests, every_name_of_schema_1_is_told_what_stands_in_its_place);
    tcase_add_test(tests, no_result_bears_a_name_of_before_and_each_new_one_is_borne);
    suite_add_tcase(suite, tests);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_NORMAL);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
