/* Kept results: tolerances by kind, what a check says of what moved, and the file that is written. */
#define _XOPEN_SOURCE 700
#include "folder.h"
#include "show/check_story.h"
#include "trip_probe.h"

#define SHORT "cycles/reference/ece-15.yaml"
#define OTHER "cycles/reference/sort-1.yaml"

/* ------------------------------------------------------------------------------------------------ tolerances */

START_TEST(each_kind_of_quantity_is_judged_by_its_own_tolerance)
{
    static const struct {
        const char *key;
        double absolute, relative;
    } rows[] = {{"battery_kwh", 1e-4, 5e-5},
                {"energy_balance.air_drag_kwh", 1e-4, 5e-5},
                {"kwh_per_km", 1e-5, 5e-5},
                {"kwh_per_t_km", 1e-5, 5e-5},
                {"duration_s", 0.05, 2e-5},
                {"distance_km", 1e-5, 1e-6},
                {"mean_speed_km_h", 0.01, 2e-5},
                {"peak_winding_temperature_degc", 0.05, 0},
                {"axles.front.load_kg", 0.5, 0},
                {"final_soc", 1e-4, 0},
                {"drive_units.rear.gear_changes", 0, 0},
                {"speed_tolerance_met", 0, 0}};
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        double tolerance = rows[i].absolute + rows[i].relative * 2;
        evn_moved_quantity q = evn_hold_against(NULL, rows[i].key, -2, -2);
        ck_assert_msg(fabs(q.tolerance - tolerance) <= 1e-15, "%s: %g", rows[i].key, q.tolerance);
        ck_assert_int_eq(evn_hold_against(NULL, rows[i].key, -2, -2 - 0.9 * tolerance).moved, EVN_MOVED_NOT);
        ck_assert_int_eq(evn_hold_against(NULL, rows[i].key, -2, -2 + 1.1 * tolerance + 1e-12).moved, EVN_MOVED);
    }
    ck_assert_int_eq(evn_hold_against(NULL, "duration_s", (double)NAN, 1).moved, EVN_MOVED_TO_NONE);
    ck_assert_int_eq(evn_hold_against(NULL, "duration_s", (double)NAN, (double)NAN).moved, EVN_MOVED_NOT);
}
END_TEST

/* ------------------------------------------------------------------------------------------------ a file of runs */

typedef struct bench { /* a kept file and what came of checking it */
    evn_report *report;
    evn_kept *kept;
    evn_check *check;
    evn_status status;
} bench;

static bench bench_of(evn_kept *kept)
{
    bench b = {.report = evn_report_new(), .kept = kept};
    ck_assert_ptr_nonnull(b.report);
    return b;
}

static bench load(void)
{
    char path[PATH_BYTES];
    bench b = bench_of(NULL);
    evn_kept_load(in_folder(path, "kept.yaml"), &b.kept, b.report);
    ck_assert_msg(b.kept, "%s", first_finding(b.report));
    return b;
}

static void check(bench *b, const char *only)
{
    evn_check_how how = {.only = only};
    b->status = evn_kept_check(b->kept, &how, &b->check, b->report);
    ck_assert_msg(b->check, "%s", first_finding(b->report));
}

static void write_kept(const bench *b, bool all)
{
    char path[PATH_BYTES];
    evn_check_story story = {.kept = b->kept, .check = b->check, .file = "kept.yaml"};
    FILE *to = fopen(in_folder(path, "kept.yaml"), "wb");
    ck_assert_ptr_nonnull(to);
    evn_kept_file_put(&story, all, to);
    ck_assert_int_eq(fclose(to), 0);
}

static void bench_end(bench *b)
{
    evn_check_free(b->check);
    evn_kept_free(b->kept);
    evn_report_free(b->report);
}

/* Two runs, driven and written. */
static void write_two_runs(bool all)
{
    char path[PATH_BYTES];
    bench b = bench_of(evn_kept_new(in_folder(path, "kept.yaml")));
    evn_conditions human = evn_conditions_default(), exact = human;
    exact.driving.driver = EVN_DRIVER_EXACT;
    ck_assert_int_eq(evn_kept_add(b.kept, TRACTOR, SHORT, &human, NULL, b.report), EVN_DONE);
    ck_assert_int_eq(evn_kept_add(b.kept, TRACTOR, OTHER, &exact, NULL, b.report), EVN_DONE);
    check(&b, NULL);
    evn_checked run;
    ck_assert(evn_check_at(b.check, 0, &run));
    ck_assert_int_eq(run.state, EVN_CHECKED_NEW);
    write_kept(&b, all);
    bench_end(&b);
}

static char *kept_text(void)
{
    enum { TEXT_BYTES = 20000 };
    char path[PATH_BYTES], *text = calloc(1, TEXT_BYTES);
    FILE *file = fopen(in_folder(path, "kept.yaml"), "rb");
    ck_assert(file && text);
    ck_assert_uint_lt(fread(text, 1, TEXT_BYTES - 1, file), TEXT_BYTES - 1);
    fclose(file);
    return text;
}

/* Puts one text in the place of the first of another in the file; what it stands for ends where `until` begins. */
static void rewrite(const char *from, const char *until, const char *by)
{
    char *text = kept_text(), *at = strstr(text, from), *end = at ? strstr(at, until) : NULL;
    ck_assert_ptr_nonnull(end);
    char *whole = calloc(1, strlen(text) + strlen(by) + 1);
    ck_assert_ptr_nonnull(whole);
    memcpy(whole, text, (size_t)(at - text));
    strcat(strcat(whole, by), end);
    write_file("kept.yaml", whole);
    free(whole);
    free(text);
}

static evn_checked first_run(const bench *b)
{
    evn_checked run;
    ck_assert(evn_check_at(b->check, 0, &run));
    return run;
}

static evn_moved_quantity only_moved(const bench *b)
{
    evn_moved_quantity q;
    ck_assert_int_eq(first_run(b).state, EVN_CHECKED_MOVED);
    ck_assert_uint_eq(first_run(b).moved_count, 1);
    ck_assert(evn_check_moved_at(b->check, 0, 0, &q));
    return q;
}

START_TEST(what_was_written_is_found_the_same)
{
    write_two_runs(true);
    bench b = load();
    check(&b, NULL);
    ck_assert_msg(b.status == EVN_DONE, "%s", first_finding(b.report));
    ck_assert_int_eq(first_run(&b).state, EVN_CHECKED_SAME);
    bench_end(&b);
}
END_TEST

START_TEST(kept_numbers_are_finer_than_any_tolerance)
{
    write_two_runs(true);
    bench b = load();
    check(&b, NULL);
    const char *key;
    double kept, now;
    size_t count = 0;
    for (; evn_kept_result_at(b.kept, 0, count, &key, &kept); count++) {
        ck_assert(evn_results_get(first_run(&b).results, key, &now));
        ck_assert_msg((isnan(kept) && isnan(now)) || fabs(kept - now) <= 1e-7 * fabs(now) + 1e-9, "%s", key);
    }
    ck_assert_uint_eq(count, evn_results_count(first_run(&b).results));
    bench_end(&b);
}
END_TEST

START_TEST(a_run_that_ended_otherwise_has_moved_whatever_its_numbers)
{
    write_two_runs(false);
    rewrite("status: ", "\n", "status: stalled");
    bench b = load();
    check(&b, NULL);
    ck_assert_int_eq(b.status, EVN_ANSWER_NO);
    ck_assert_int_eq(first_run(&b).state, EVN_CHECKED_MOVED);
    ck_assert_uint_eq(first_run(&b).moved_count, 0);
    bench_end(&b);
}
END_TEST

START_TEST(a_number_that_is_always_kept_and_is_missing_is_new)
{
    write_two_runs(false);
    rewrite("battery_kwh: ", "discharged_kwh", "");
    bench b = load();
    check(&b, NULL);
    evn_moved_quantity q = only_moved(&b);
    ck_assert_str_eq(q.key, "battery_kwh");
    ck_assert_int_eq(q.moved, EVN_MOVED_NEW);
    bench_end(&b);
}
END_TEST

START_TEST(a_kept_number_that_no_run_has_is_gone_and_one_beyond_its_tolerance_moved)
{
    write_two_runs(false);
    rewrite("      duration_s: ", "duration_s: ", "      no_such_kwh: 1, ");
    bench b = load();
    check(&b, NULL);
    ck_assert_int_eq(only_moved(&b).moved, EVN_MOVED_GONE);
    bench_end(&b);
    rewrite("no_such_kwh: ", "duration_s: ", "");
    rewrite("duration_s: ", ",", "duration_s: 1");
    b = load();
    check(&b, NULL);
    ck_assert_int_eq(only_moved(&b).moved, EVN_MOVED);
    ck_assert_str_eq(only_moved(&b).key, "duration_s");
    ck_assert_double_eq(only_moved(&b).kept, 1);
    bench_end(&b);
}
END_TEST

START_TEST(a_run_in_another_load_case_or_driven_otherwise_is_another_run_and_the_same_once)
{
    char path[PATH_BYTES];
    bench b = bench_of(evn_kept_new(in_folder(path, "kept.yaml")));
    evn_conditions plain = evn_conditions_default(), wind = plain, slow = plain;
    wind.load_case.headwind_m_s = 3;
    slow.driving.look_ahead_s += 1;
    const evn_conditions *const asked[] = {&plain, &wind, &slow};
    for (size_t again = 0; again < 2; again++)
        for (size_t i = 0; i < 3; i++)
            ck_assert_int_eq(evn_kept_add(b.kept, TRACTOR, SHORT, asked[i], NULL, b.report), EVN_DONE);
    ck_assert_uint_eq(evn_kept_count(b.kept), 3);
    bench_end(&b);
}
END_TEST

START_TEST(a_run_that_was_not_driven_is_written_as_it_was)
{
    evn_kept_run run;
    write_two_runs(false);
    rewrite("truck_hash: ", "\n", "truck_hash: \"0123456789abcdef\"");
    rewrite("duration_s: ", ",", "duration_s: 1");
    bench b = load();
    ck_assert(evn_kept_at(b.kept, 0, &run));
    ck_assert(run.truck_changed);
    check(&b, "sort"); /* the second alone */
    write_kept(&b, false);
    bench_end(&b);
    b = load();
    const char *key;
    double value = 0;
    ck_assert(evn_kept_at(b.kept, 0, &run));
    ck_assert_str_eq(run.kept_truck_hash, "0123456789abcdef");
    ck_assert(run.truck_changed);
    for (size_t i = 0; evn_kept_result_at(b.kept, 0, i, &key, &value) && strcmp(key, "duration_s") != 0; i++)
        continue;
    ck_assert_double_eq(value, 1);
    ck_assert(evn_kept_at(b.kept, 1, &run));
    ck_assert(!run.truck_changed);
    ck_assert_int_eq(run.ask.driving.driver, EVN_DRIVER_EXACT);
    bench_end(&b);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("judge");
    TCase *all = tcase_create("all");
    tcase_add_checked_fixture(all, folder_begin, folder_end);
    tcase_add_test(all, each_kind_of_quantity_is_judged_by_its_own_tolerance);
    tcase_add_test(all, what_was_written_is_found_the_same);
    tcase_add_test(all, kept_numbers_are_finer_than_any_tolerance);
    tcase_add_test(all, a_run_that_ended_otherwise_has_moved_whatever_its_numbers);
    tcase_add_test(all, a_number_that_is_always_kept_and_is_missing_is_new);
    tcase_add_test(all, a_kept_number_that_no_run_has_is_gone_and_one_beyond_its_tolerance_moved);
    tcase_add_test(all, a_run_in_another_load_case_or_driven_otherwise_is_another_run_and_the_same_once);
    tcase_add_test(all, a_run_that_was_not_driven_is_written_as_it_was);
    suite_add_tcase(suite, all);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_ENV);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
