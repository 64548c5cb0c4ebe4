/* Traces of a comparison: written while its runs go on, one file each, all of them or none. */
#define _XOPEN_SOURCE 700
#include "cli/compare_run.h"
#include "folder.h"
#include "trip_probe.h"

#define PLAIN "tests/trucks/plain/tractor-4x2-central.yaml"
#define EAXLE "tests/trucks/plain/tractor-4x2-eaxle.yaml"
#define FOUR "tests/trucks/four-speed.yaml"
enum { TRUCKS = 3 };
static const char *const names[TRUCKS] = {"central", "axle", "four"};

typedef struct patience {
    evn_compare_run *run;
    unsigned asked, until;
} patience;

static bool go_on(void *self, double done_share)
{
    patience *of = self;
    (void)done_share;
    of->run->call.stopped = ++of->asked >= of->until;
    return !of->run->call.stopped;
}

static evn_samplers samplers(void *self, size_t truck, const evn_rig *rig, evn_basis basis)
{
    return evn_compare_samplers(((patience *)self)->run, truck, rig, basis);
}

/* Three trucks that need two rounds at the common speed, their traces in a folder; `until` this many questions. How
 * many there were. */
static unsigned compare(evn_compare_run *run, const char *folder, unsigned until)
{
    const char *const paths[TRUCKS] = {PLAIN, EAXLE, FOUR};
    evn_truck *truck[TRUCKS];
    evn_cycle *cycle = load_cycle(HILL);
    evn_compare_args args = {.trace_dir = folder};
    patience of = {run, 0, until};
    *run = (evn_compare_run){.args = &args, .ask = evn_conditions_default(), .call = {.report = evn_report_new()}};
    run->ask.load_case.payload_kg = 30000;
    for (size_t i = 0; i < TRUCKS; i++)
        truck[i] = load_truck(paths[i]);
    ck_assert_int_eq(
        evn_lineup_of((const evn_truck *const *)truck, names, TRUCKS, cycle, &run->lineup, run->call.report), EVN_DONE);
    ck_assert_msg(evn_compare_open(run), "%s", run->call.mishap.text);
    evn_compare_how how = {.threads = 1, .self = &of, .go_on = go_on, .samplers = samplers};
    evn_compare(run->lineup, &run->ask, &how, &run->comparison, run->call.report);
    ck_assert_ptr_nonnull(run->comparison);
    evn_compare_write(run, &(evn_compare_story){.lineup = run->lineup, .comparison = run->comparison});
    ck_assert_msg(!evn_mishap_happened(&run->call.mishap), "%s", run->call.mishap.text);
    evn_compare_forget_runs(run);
    for (size_t i = 0; i < TRUCKS; i++)
        evn_truck_free(truck[i]);
    evn_cycle_free(cycle);
    return of.asked;
}

static void forget(evn_compare_run *run)
{
    evn_comparison_free(run->comparison);
    evn_lineup_free(run->lineup);
    evn_report_free(run->call.report);
}

static const evn_outcome *outcome(const evn_compare_run *run, size_t index)
{
    return evn_comparison_outcome(run->comparison, index / 2, index % 2 == 0 ? EVN_BASIS_OWN : EVN_BASIS_COMMON);
}

static FILE *open_trace(const char *folder, size_t index)
{
    char path[2 * PATH_BYTES];
    snprintf(path, sizeof path, "%s/%s-%s.csv", folder, names[index / 2], index % 2 == 0 ? "own" : "common");
    return fopen(path, "r");
}

START_TEST(a_trace_holds_the_rows_of_the_last_round_only)
{
    char folder[PATH_BYTES], line[4000];
    evn_compare_run run;
    evn_quantity what;
    double rounds;
    compare(&run, in_folder(folder, "traces"), 1000000);
    ck_assert(evn_comparison_figure_at(run.comparison, 1, &what, &rounds));
    ck_assert_str_eq(what.key, "common.rounds");
    ck_assert_double_eq(rounds, 2);
    for (size_t k = 0; k < 2 * TRUCKS; k++) {
        FILE *file = open_trace(folder, k);
        double last_s = -1, duration_s = 0;
        size_t rows = 0;
        ck_assert_ptr_nonnull(file);
        ck_assert(fgets(line, sizeof line, file) && strncmp(line, "time_s,place_m,", 15) == 0);
        for (; fgets(line, sizeof line, file); rows++) {
            double time_s = strtod(line, NULL);
            ck_assert_double_ge(time_s, last_s);
            ck_assert(rows > 0 || time_s == 0);
            last_s = time_s;
        }
        ck_assert(evn_results_get(evn_outcome_results(outcome(&run, k)), "duration_s", &duration_s));
        ck_assert_double_eq_tol(last_s, duration_s, 1e-6);
        ck_assert_uint_gt(rows, 100);
        fclose(file);
    }
    forget(&run);
}
END_TEST

/* Whether one of the runs was ended on its way when another had finished. */
static bool was_stopped_within(const evn_compare_run *run)
{
    bool within = false, finished = false;
    for (size_t k = 0; k < 2 * TRUCKS; k++) {
        const evn_outcome *o = outcome(run, k);
        bool done = strcmp(evn_outcome_status(o), "finished") == 0;
        finished = finished || done;
        within = within || (!done && evn_outcome_results(o));
    }
    return within && finished;
}

static void must_hold_the_old_trace_only(const char *folder)
{
    FILE *file = open_trace(folder, 0);
    char line[8] = "";
    size_t seen = 0;
    ck_assert(file && fgets(line, sizeof line, file));
    ck_assert_str_eq(line, "old");
    fclose(file);
    DIR *there = opendir(folder);
    ck_assert_ptr_nonnull(there);
    for (const struct dirent *entry; (entry = readdir(there));)
        seen += strcmp(entry->d_name, ".") != 0 && strcmp(entry->d_name, "..") != 0;
    closedir(there);
    ck_assert_uint_eq(seen, 1);
}

static void begin_with_an_old_trace(const char *folder)
{
    char path[2 * PATH_BYTES];
    ck_assert_int_eq(mkdir(folder, 0777), 0);
    snprintf(path, sizeof path, "%s/%s-own.csv", folder, names[0]);
    FILE *file = fopen(path, "w");
    ck_assert_ptr_nonnull(file);
    fputs("old", file);
    ck_assert_int_eq(fclose(file), 0);
}

/* Stopped a question later each time, until that is within a run. */
START_TEST(an_interrupt_leaves_the_old_traces_and_no_new_one)
{
    char folder[PATH_BYTES], name[40];
    evn_compare_run run;
    unsigned asked = compare(&run, in_folder(folder, "whole"), 1000000);
    bool within = false;
    forget(&run);
    for (unsigned until = asked / 5; !within; until++) {
        ck_assert_uint_lt(until, asked / 2);
        snprintf(name, sizeof name, "stopped-%u", until);
        begin_with_an_old_trace(in_folder(folder, name));
        compare(&run, folder, until);
        must_hold_the_old_trace_only(folder);
        within = was_stopped_within(&run);
        forget(&run);
    }
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("compare outputs");
    TCase *tests = tcase_create("compare outputs");
    tcase_add_checked_fixture(tests, folder_begin, folder_end);
    tcase_add_test(tests, a_trace_holds_the_rows_of_the_last_round_only);
    tcase_add_test(tests, an_interrupt_leaves_the_old_traces_and_no_new_one);
    suite_add_tcase(suite, tests);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_NORMAL);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
