/* What is asked of a run: its rows, their bounds wherever they are asked for, and the options made of them. */
#define _XOPEN_SOURCE 700
#include "cli/command.h"
#include "evener/values.h"
#include "scene.h"
#include "trip/driving.h"
#include "truck/load_case.h"

#define FOUR "tests/trucks/four-speed.yaml"
#define SHORT "length_m: 300\nspeed: {place_m: [0], limit_km_h: [30]}"

/* Calls `see` for every row of both kinds. */
static void for_each_row(void (*see)(const char *kind, const evn_key *))
{
    evn_key key;
    for (const char *const *kind = evn_ask_kinds; *kind; kind++)
        for (size_t i = 0; evn_key_at(*kind, i, &key); i++)
            see(*kind, &key);
}

static bool is_load_case(const char *kind) { return strcmp(kind, "load_case") == 0; }

static bool put(evn_conditions *ask, const char *kind, const char *key, double value, evn_report *report)
{
    return is_load_case(kind) ? evn_load_case_set(&ask->load_case, key, value, report)
                              : evn_driving_set(&ask->driving, key, value, report);
}

static double get(const evn_conditions *ask, const char *kind, const char *key)
{
    double value = 77;
    ck_assert(is_load_case(kind) ? evn_load_case_get(&ask->load_case, key, &value)
                                 : evn_driving_get(&ask->driving, key, &value));
    return value;
}

/* Past all checks, as a C program may do it. */
static void write_member(evn_conditions *ask, const char *kind, const char *key, double value)
{
    const evn_object *object = is_load_case(kind) ? &evn_load_case_object : &evn_driving_object;
    char *self = is_load_case(kind) ? (char *)&ask->load_case : (char *)&ask->driving;
    for (size_t i = 0; i < object->field_count; i++)
        if (strcmp(object->fields[i].key, key) == 0)
            memcpy(self + object->fields[i].offset, &value, sizeof value);
}

/* ------------------------------------------------------------------------------------------------ rows */

static void default_is_of_the_row(const char *kind, const evn_key *key)
{
    const evn_conditions plain = evn_conditions_default();
    double value = get(&plain, kind, key->key);
    if (key->choices)
        ck_assert_str_eq(key->choices[(size_t)value], key->fallback_word);
    else
        ck_assert_msg(value == key->fallback || (isnan(value) && isnan(key->fallback)), "%s", key->key);
}

START_TEST(the_default_conditions_are_those_of_the_rows) { for_each_row(default_is_of_the_row); }
END_TEST

/* Where the members that rows stand for end, each aligned to its own size, without one left between them. */
static size_t bytes_of(const evn_object *object)
{
    size_t end = 0;
    for (size_t found = 1; found > 0;) {
        found = 0;
        for (size_t i = 0; i < object->field_count && found == 0; i++) {
            ck_assert(object->fields[i].shape == EVN_NUMBER || object->fields[i].shape == EVN_CHOICE);
            size_t size = object->fields[i].shape == EVN_NUMBER ? sizeof(double) : sizeof(int);
            found = object->fields[i].offset == (end + size - 1) / size * size ? size : 0;
        }
        end = found > 0 ? (end + found - 1) / found * found + found : end;
    }
    return (end + sizeof(double) - 1) / sizeof(double) * sizeof(double);
}

static void no_two_rows_share_a_member(const evn_object *object)
{
    for (size_t i = 0; i < object->field_count; i++)
        for (size_t k = 0; k < i; k++)
            ck_assert_uint_ne(object->fields[i].offset, object->fields[k].offset);
}

START_TEST(every_member_of_load_case_and_driving_has_a_row)
{
    ck_assert_uint_eq(bytes_of(&evn_load_case_object), sizeof(evn_load_case));
    ck_assert_uint_eq(bytes_of(&evn_driving_object), sizeof(evn_driving));
    no_two_rows_share_a_member(&evn_load_case_object);
    no_two_rows_share_a_member(&evn_driving_object);
}
END_TEST

/* ------------------------------------------------------------------------------------------------ bounds */

/* A truck whose battery knows of any age and temperature that can be asked for. */
static void write_old_truck(void)
{
    char here[300], text[600];
    snprintf(
        text, sizeof text,
        "extends: %s/%s\nbattery: {ageing: {years: [0, 40], capacity_factor: [1, 0.5], resistance_factor: [1, 3]}, "
        "heat: {heat_capacity_kj_per_k: 3000, to_air_w_per_k: 40}}\n",
        getcwd(here, sizeof here), FOUR);
    write_file("old.yaml", text);
}

/* A rig that is made and a run that ends, or what was said first; "" when all went well. */
static const char *outcome_of(const evn_conditions *ask, char said[400])
{
    char path[PATH_BYTES];
    evn_report *report = evn_report_new();
    evn_truck *truck = load_truck(in_folder(path, "old.yaml"));
    evn_cycle *cycle = load_cycle(in_folder(path, "short.yaml"));
    evn_rig *rig = NULL;
    evn_results *results = NULL;
    evn_status status = evn_rig_prepare(truck, &ask->load_case, &rig, report);
    if (rig)
        status = evn_drive(rig, cycle, &ask->driving, NULL, &results, report);
    evn_finding finding = {.text = ""};
    for (size_t i = 0; evn_report_at(report, i, &finding) && finding.severity != EVN_ERROR; i++)
        continue;
    bool ended = results; /* a truck that stalls is an answer too */
    ck_assert(ended == (status == EVN_DONE || status == EVN_ANSWER_NO));
    snprintf(said, 400, "%s", ended ? "" : finding.text);
    evn_results_free(results);
    evn_rig_free(rig);
    evn_cycle_free(cycle);
    evn_truck_free(truck);
    evn_report_free(report);
    return said;
}

/* Whether a file of the kind alone, with this value, is read. */
static bool file_takes(const char *kind, const char *key, double value)
{
    char path[PATH_BYTES], text[200];
    evn_report *report = evn_report_new();
    evn_part *part = NULL;
    snprintf(text, sizeof text, "%s: %.17g\n", key, value);
    write_file("asked.yaml", text);
    bool taken = evn_part_load(kind, in_folder(path, "asked.yaml"), &part, report) == EVN_DONE;
    evn_finding finding = {0};
    ck_assert(taken || (evn_report_at(report, 0, &finding) && finding.line == 1 &&
                        strcmp(finding.fault, "out_of_range") == 0 && strstr(finding.text, key)));
    evn_part_free(part);
    evn_report_free(report);
    return taken;
}

static bool call_takes(const char *kind, const char *key, double value)
{
    evn_conditions ask = evn_conditions_default();
    evn_report *report = evn_report_new();
    double before = get(&ask, kind, key);
    bool taken = put(&ask, kind, key, value, report);
    double after = get(&ask, kind, key);
    ck_assert(taken ? after == value : after == before || (isnan(after) && isnan(before)));
    ck_assert(taken == (evn_report_status(report) == EVN_DONE));
    evn_report_free(report);
    return taken;
}

/* Whether the option of drive takes it, and the value arrives. */
static bool option_takes(const char *kind, const char *key, double value)
{
    char word[200], *words[] = {word};
    const char *operands[2];
    evn_option_list list;
    evn_asked asked;
    evn_parsed parsed = {.operands = operands};
    evn_mishap mishap = {0};
    evn_conditions ask = evn_conditions_default();
    evn_report *report = evn_report_new();
    snprintf(word, sizeof word, "--%s=%.17g", key, value);
    for (char *at = word; *at != '='; at++)
        *at = *at == '_' ? '-' : *at;
    evn_asked_clear(&asked);
    list.count = evn_ask_options(evn_ask_kinds, 0, &list.texts, list.at, EVN_OPTIONS_MOST);
    bool taken = evn_options_parse(list.at, list.count, 1, words, &asked, &parsed, &mishap) &&
                 evn_asked_apply(&asked, &ask, report);
    ck_assert(taken ? get(&ask, kind, key) == value : strstr(mishap.text, "was expected") != NULL);
    evn_report_free(report);
    return taken;
}

/* start_soc meets the window of the truck's battery before its own bounds. */
static bool depends_on_the_truck(const char *key) { return strcmp(key, "start_soc") == 0; }

static void check_edge(const char *kind, const evn_key *key, double edge, double beyond)
{
    char said[400];
    evn_conditions ask = evn_conditions_default();
    write_member(&ask, kind, key->key, edge);
    if (depends_on_the_truck(key->key))
        ck_assert_ptr_nonnull(strstr(outcome_of(&ask, said), "the usable window of its battery"));
    else
        ck_assert_msg(outcome_of(&ask, said)[0] == '\0', "%s = %g: %s", key->key, edge, said);
    ck_assert_msg(file_takes(kind, key->key, edge) && call_takes(kind, key->key, edge) &&
                      option_takes(kind, key->key, edge),
                  "%s = %g", key->key, edge);
    write_member(&ask, kind, key->key, beyond);
    ck_assert_msg(strstr(outcome_of(&ask, said), key->key) && strstr(said, "expected"), "%s = %.17g: '%s'", key->key,
                  beyond, said);
    ck_assert_msg(!file_takes(kind, key->key, beyond) && !call_takes(kind, key->key, beyond) &&
                      !option_takes(kind, key->key, beyond),
                  "%s = %.17g", key->key, beyond);
}

static void bounds_hold(const char *kind, const evn_key *key)
{
    if (key->choices)
        return;
    check_edge(kind, key, key->least, nextafter(key->least, -(double)INFINITY));
    check_edge(kind, key, key->most, nextafter(key->most, (double)INFINITY));
}

START_TEST(a_value_at_its_bounds_drives_and_beyond_is_refused_in_file_option_and_call_alike)
{
    write_file("short.yaml", "name: short\ninvented: true\n" SHORT "\n");
    write_old_truck();
    for_each_row(bounds_hold);
}
END_TEST

static void no_infinity_fits(const char *kind, const evn_key *key)
{
    const double wrong[] = {(double)INFINITY, -(double)INFINITY, (double)NAN};
    char said[400];
    for (size_t i = 0; !key->choices && i < 3; i++) {
        evn_conditions ask = evn_conditions_default();
        bool is_not_given = isnan(wrong[i]) && isnan(key->fallback);
        write_member(&ask, kind, key->key, wrong[i]);
        ck_assert_msg((outcome_of(&ask, said)[0] == '\0') == is_not_given, "%s = %g: %s", key->key, wrong[i], said);
        ck_assert(is_not_given || strstr(said, key->key));
    }
}

START_TEST(infinities_are_refused_everywhere_and_nan_where_it_does_not_mean_not_given)
{
    write_file("short.yaml", "name: short\ninvented: true\n" SHORT "\n");
    write_old_truck();
    for_each_row(no_infinity_fits);
}
END_TEST

START_TEST(the_heaviest_truck_at_the_greatest_gravity_gets_an_answer)
{
    scene it = scene_of(FOUR, "body: {mass_kg: 200000, permitted_gross_kg: 1e6}\naxles: {front: {permitted_kg: 50000}}",
                        SHORT "\nroad: {place_m: [0, 100], grade_percent: [0, 20]}");
    for (int driver = EVN_DRIVER_HUMAN; driver <= EVN_DRIVER_EXACT; driver++) {
        it.ask.load_case.payload_kg = 500000;
        it.ask.load_case.gravity_m_s2 = 30;
        it.ask.driving.driver = (evn_driver)driver;
        drive run = play(&it);
        ck_assert_msg(run.status == EVN_ANSWER_NO || run.status == EVN_DONE, "%s", first_finding(run.report));
        drive_end(&run);
        trace_end(&it.rows);
    }
}
END_TEST

START_TEST(a_driver_that_there_is_not_is_refused)
{
    char said[400];
    write_file("short.yaml", "name: short\ninvented: true\n" SHORT "\n");
    write_old_truck();
    evn_conditions ask = evn_conditions_default();
    ask.driving.driver = 2;
    ck_assert_str_eq(outcome_of(&ask, said), "driver is choice 2; expected 0 to 1, human to exact");
    ck_assert(!call_takes("driving", "driver", -1) && !call_takes("driving", "driver", 0.5));
    ck_assert(call_takes("driving", "driver", EVN_DRIVER_EXACT));
}
END_TEST

START_TEST(setting_warns_of_what_is_unusual_and_refuses_keys_there_are_not)
{
    evn_conditions ask = evn_conditions_default();
    evn_report *report = evn_report_new();
    evn_finding finding;
    ck_assert(evn_load_case_set(&ask.load_case, "headwind_m_s", 20, report));
    ck_assert(evn_report_at(report, 0, &finding));
    ck_assert_str_eq(finding.fault, "unusual_value");
    ck_assert_str_eq(finding.text, "headwind_m_s is 20 m/s; expected -15 to 15 m/s in a sound design");
    ck_assert_int_eq(evn_report_status(report), EVN_DONE);
    ck_assert(!evn_load_case_set(&ask.load_case, "accuracy", 1e-6, report));
    ck_assert_int_eq(evn_report_status(report), EVN_BAD_INPUT);
    double value;
    ck_assert(!evn_driving_get(&ask.driving, "payload_kg", &value));
    evn_report_free(report);
}
END_TEST

START_TEST(a_comparison_tells_a_wrong_load_case_once)
{
    evn_report *report = evn_report_new();
    evn_lineup *lineup = NULL;
    evn_comparison *comparison = NULL;
    evn_finding finding;
    ck_assert_int_eq(evn_lineup_load("tests/vehicles/lineups/demo.yaml", &lineup, report), EVN_DONE);
    evn_conditions ask = evn_lineup_ask(lineup);
    ask.load_case.altitude_m = 10000;
    ck_assert_int_eq(evn_compare(lineup, &ask, NULL, &comparison, report), EVN_BAD_INPUT);
    ck_assert_ptr_null(comparison);
    ck_assert_uint_eq(evn_report_count(report), 1);
    ck_assert(evn_report_at(report, 0, &finding));
    ck_assert_str_eq(finding.text, "altitude_m is 10000 m; expected -500 to 9000 m");
    evn_lineup_free(lineup);
    evn_report_free(report);
}
END_TEST

/* ------------------------------------------------------------------------------------------------ options */

static const evn_option *option_of(const evn_option_list *list, const char *key)
{
    for (size_t i = 0; i < list->count; i++) {
        bool same = strlen(list->at[i].name) == strlen(key);
        for (size_t k = 0; same && key[k]; k++)
            same = list->at[i].name[k] == (key[k] == '_' ? '-' : key[k]);
        if (same)
            return &list->at[i];
    }
    return NULL;
}

static void offered(const char *command_name, const char *kind)
{
    char name[20], *words[] = {name};
    int count;
    evn_option_list list;
    evn_key key;
    snprintf(name, sizeof name, "%s", command_name);
    const evn_command *command = evn_command_find(1, words, &count);
    ck_assert_ptr_nonnull(command);
    evn_command_options(command, &list);
    ck_assert_uint_lt(list.count, EVN_OPTIONS_MOST);
    for (size_t i = 0; evn_key_at(kind, i, &key); i++) {
        const evn_option *option = option_of(&list, key.key);
        ck_assert_msg(option, "%s does not offer %s", command_name, key.key);
        ck_assert_str_eq(option->help, key.help);
        ck_assert_uint_lt(strlen(option->name), EVN_ASK_NAME_BYTES - 1);
        ck_assert(option->choices == key.choices);
        ck_assert(key.choices || (option->least == key.least && option->most == key.most));
    }
}

START_TEST(every_row_is_an_option_of_drive_compare_and_keep_and_the_load_case_one_of_show)
{
    static const char *const commands[] = {"drive", "compare", "keep"};
    evn_kind kind;
    for (const char *const *name = evn_ask_kinds; *name; name++) {
        ck_assert(evn_kind_get(*name, &kind) && kind.key_count < EVN_ASK_ROWS);
        for (size_t i = 0; i < 3; i++)
            offered(commands[i], *name);
    }
    offered("show", "load_case");
}
END_TEST

START_TEST(help_of_such_an_option_tells_default_and_bounds)
{
    evn_option_list list;
    char *text = NULL;
    size_t size = 0;
    list.count = evn_ask_options(evn_ask_kinds, 0, &list.texts, list.at, EVN_OPTIONS_MOST);
    FILE *page = open_memstream(&text, &size);
    for (size_t i = 0; i < list.count; i++)
        evn_option_print(&list.at[i], NULL, page, 1000);
    fclose(page);
    ck_assert_ptr_nonnull(strstr(text, "--altitude-m X              altitude above sea level (0; -500 to 9000)\n"));
    ck_assert_ptr_nonnull(strstr(text, "the truck file's own (0 to 500000)\n"));
    ck_assert_ptr_nonnull(strstr(text, "--driver human|exact  "));
    ck_assert_ptr_nonnull(strstr(text, "holds the target speed exactly (human)\n"));
    ck_assert_ptr_nonnull(strstr(text, "(1e-06; 1e-12 to 0.001)\n"));
    free(text);
}
END_TEST

START_TEST(only_options_that_were_given_go_before_what_is_asked_already)
{
    evn_conditions ask = evn_conditions_default();
    evn_report *report = evn_report_new();
    evn_asked asked;
    char name[EVN_ASK_NAME_BYTES];
    ask.load_case.headwind_m_s = 3;
    ask.driving.driver = EVN_DRIVER_EXACT;
    evn_asked_clear(&asked);
    ck_assert(!evn_asked_first(&asked, name));
    ck_assert(evn_asked_apply(&asked, &ask, report));
    ck_assert(ask.load_case.headwind_m_s == 3 && ask.driving.driver == EVN_DRIVER_EXACT);
    asked.row[0][0].number = 1200; /* the first row, payload_kg */
    asked.row[1][0].choice = EVN_DRIVER_HUMAN;
    ck_assert(evn_asked_first(&asked, name));
    ck_assert_str_eq(name, "payload-kg");
    ck_assert(evn_asked_apply(&asked, &ask, report));
    ck_assert(ask.load_case.payload_kg == 1200 && ask.load_case.headwind_m_s == 3);
    ck_assert_int_eq(ask.driving.driver, EVN_DRIVER_HUMAN);
    evn_report_free(report);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("conditions");
    TCase *rows = tcase_create("rows");
    tcase_add_checked_fixture(rows, folder_begin, folder_end);
    tcase_add_test(rows, the_default_conditions_are_those_of_the_rows);
    tcase_add_test(rows, every_member_of_load_case_and_driving_has_a_row);
    tcase_add_test(rows, a_value_at_its_bounds_drives_and_beyond_is_refused_in_file_option_and_call_alike);
    tcase_add_test(rows, infinities_are_refused_everywhere_and_nan_where_it_does_not_mean_not_given);
    tcase_add_test(rows, the_heaviest_truck_at_the_greatest_gravity_gets_an_answer);
    tcase_add_test(rows, a_driver_that_there_is_not_is_refused);
    tcase_add_test(rows, setting_warns_of_what_is_unusual_and_refuses_keys_there_are_not);
    tcase_add_test(rows, a_comparison_tells_a_wrong_load_case_once);
    suite_add_tcase(suite, rows);
    TCase *options = tcase_create("options");
    tcase_add_test(options, every_row_is_an_option_of_drive_compare_and_keep_and_the_load_case_one_of_show);
    tcase_add_test(options, help_of_such_an_option_tells_default_and_bounds);
    tcase_add_test(options, only_options_that_were_given_go_before_what_is_asked_already);
    suite_add_tcase(suite, options);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_NORMAL);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
