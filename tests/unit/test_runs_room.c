/* Lists of runs: order, progress, stop, several samplers of one run. */
#define _XOPEN_SOURCE 700
#include "api/objects.h"
#include "core/report.h"
#include "runs/runs.h"
#include "trip_probe.h"
#include <pthread.h>

enum { RUNS = 7 };
#define TWO_UNITS "tests/trucks/two-units.yaml"

typedef struct fleet { /* a list of unlike runs */
    evn_truck *truck[2];
    evn_cycle *cycle[2];
    evn_run run[RUNS];
} fleet;

static fleet fleet_of(void)
{
    evn_conditions ask = evn_conditions_default();
    fleet f = {{load_truck(TRACTOR), load_truck(TWO_UNITS)},
               {load_cycle(HILL), load_cycle("cycles/reference/sort-2.yaml")},
               {{0}}};
    for (size_t k = 0; k < RUNS; k++) {
        f.run[k] = (evn_run){.truck = f.truck[k % 2]->file,
                             .load_case = ask.load_case,
                             .cycle = f.cycle[k / 2 % 2]->file,
                             .driving = ask.driving,
                             .report = evn_report_new()};
        f.run[k].load_case.payload_kg = 1000.0 * (double)k; /* no two are alike */
        ck_assert_ptr_nonnull(f.run[k].report);
    }
    return f;
}

static void fleet_end(fleet *f)
{
    for (size_t k = 0; k < RUNS; k++) {
        evn_run_forget(&f->run[k]);
        evn_report_free(f->run[k].report);
    }
    for (size_t k = 0; k < 2; k++) {
        evn_truck_free(f->truck[k]);
        evn_cycle_free(f->cycle[k]);
    }
}

static bool drive_fleet(fleet *f, size_t count, const evn_runs_how *how)
{
    evn_runs runs;
    evn_runs_begin(&runs, how);
    evn_runs_drive(&runs, f->run, count);
    bool stopped = evn_runs_stopped(&runs);
    evn_runs_end(&runs);
    return stopped;
}

static void must_have_same_results(const evn_results *a, const evn_results *b)
{
    evn_quantity what;
    double x, y;
    ck_assert(a && b);
    ck_assert_uint_eq(evn_results_count(a), evn_results_count(b));
    for (size_t k = 0; evn_results_at(a, k, &what, &x) && evn_results_at(b, k, &what, &y); k++)
        ck_assert_msg(memcmp(&x, &y, sizeof x) == 0, "%s is %.17g and %.17g", what.key, x, y);
}

/* ------------------------------------------------------------------------------------------------ order */

START_TEST(what_came_of_a_run_stands_at_its_place_at_any_number_of_threads)
{
    static const size_t threads[] = {1, 2, 8};
    fleet f = fleet_of();
    ck_assert(!drive_fleet(&f, RUNS, &(evn_runs_how){.threads = threads[_i]}));
    for (size_t k = 0; k < RUNS; k++) {
        evn_conditions ask = evn_conditions_default();
        ask.load_case.payload_kg = 1000.0 * (double)k;
        drive alone = drive_whole(k % 2 == 0 ? TRACTOR : TWO_UNITS,
                                  k / 2 % 2 == 0 ? HILL : "cycles/reference/sort-2.yaml", &ask, NULL);
        ck_assert_str_eq(f.run[k].status, "finished");
        must_have_same_results(f.run[k].results, alone.results);
        drive_end(&alone);
    }
    fleet_end(&f);
}
END_TEST

START_TEST(a_truck_that_cannot_be_prepared_fails_alone)
{
    fleet f = fleet_of();
    f.run[1].load_case.payload_kg = -1;
    f.run[2].driving.accuracy = 1;
    ck_assert(!drive_fleet(&f, 4, &(evn_runs_how){.threads = 2}));
    for (size_t k = 0; k < 4; k++) {
        bool fails = k == 1 || k == 2;
        ck_assert_str_eq(f.run[k].status, fails ? "failed" : "finished");
        ck_assert_int_eq(!f.run[k].results, fails);
        ck_assert_int_eq(evn_report_failed(f.run[k].report), fails);
    }
    ck_assert_ptr_null(f.run[1].made);
    fleet_end(&f);
}
END_TEST

/* ------------------------------------------------------------------------------------------------ progress, stop */

typedef struct listener {
    pthread_mutex_t lock; /* held while it is asked: nobody else may ask */
    unsigned asked, until;
    double share;
    bool fell, together;
} listener;

static bool listen(void *self, double done_share)
{
    listener *of = self;
    if (pthread_mutex_trylock(&of->lock) != 0) {
        of->together = true;
        return true;
    }
    of->fell = of->fell || done_share < of->share;
    of->share = done_share;
    bool on = ++of->asked < of->until;
    pthread_mutex_unlock(&of->lock);
    return on;
}

START_TEST(progress_never_falls_and_ends_at_one_and_one_thread_asks_at_a_time)
{
    static const size_t threads[] = {1, 2, 8};
    listener of = {.lock = PTHREAD_MUTEX_INITIALIZER, .until = 1000000};
    fleet f = fleet_of();
    ck_assert(!drive_fleet(&f, RUNS, &(evn_runs_how){threads[_i], &of, listen}));
    ck_assert_uint_gt(of.asked, RUNS);
    ck_assert(!of.fell && !of.together);
    ck_assert_double_eq(of.share, 1);
    fleet_end(&f);
}
END_TEST

START_TEST(lists_that_are_expected_share_one_progress)
{
    listener of = {.lock = PTHREAD_MUTEX_INITIALIZER, .until = 1000000};
    fleet f = fleet_of();
    evn_runs runs;
    evn_runs_begin(&runs, &(evn_runs_how){2, &of, listen});
    evn_runs_expect(&runs, 5);
    evn_runs_drive(&runs, f.run, 2);
    ck_assert_double_eq(of.share, 0.4);
    evn_runs_expect(&runs, 8); /* more than was thought: it does not fall */
    ck_assert_double_eq(of.share, 0.4);
    evn_runs_expect(&runs, 2); /* and fewer */
    ck_assert_double_eq(of.share, 0.5);
    evn_runs_drive(&runs, f.run + 2, 2);
    ck_assert(of.share == 1 && !of.fell);
    evn_runs_end(&runs);
    fleet_end(&f);
}
END_TEST

/* How many finished; `all`: the same list without a stop. */
static size_t must_be_stopped(const fleet *all, unsigned until, bool *within)
{
    listener of = {.lock = PTHREAD_MUTEX_INITIALIZER, .until = until};
    fleet some = fleet_of();
    ck_assert(drive_fleet(&some, RUNS, &(evn_runs_how){1, &of, listen}));
    ck_assert_uint_eq(of.asked, until); /* once it has said no it is asked no more */
    size_t finished = 0, begun = 0;
    for (size_t k = 0; k < RUNS; k++) {
        const evn_run *run = &some.run[k];
        bool whole = strcmp(run->status, "finished") == 0;
        if (whole)
            must_have_same_results(all->run[k].results, run->results);
        else
            ck_assert_str_eq(run->status, "interrupted");
        ck_assert(!whole || finished == k);
        ck_assert((run->made != NULL) == (run->results != NULL)); /* both or, where it never began, none */
        finished += whole;
        begun += run->made != NULL;
    }
    ck_assert(begun == finished || begun == finished + 1);
    *within = *within || begun > finished;
    fleet_end(&some);
    return finished;
}

START_TEST(a_stop_leaves_what_has_finished_and_marks_the_others)
{
    listener whole = {.lock = PTHREAD_MUTEX_INITIALIZER, .until = 1000000};
    fleet all = fleet_of();
    drive_fleet(&all, RUNS, &(evn_runs_how){1, &whole, listen});
    size_t finished = 0;
    bool within = false; /* a run, not between two */
    for (unsigned until = 1; until < whole.asked; until++) {
        size_t now = must_be_stopped(&all, until, &within);
        ck_assert(now >= finished && now < RUNS);
        finished = now;
    }
    ck_assert(within && finished == RUNS - 1);
    fleet_end(&all);
}
END_TEST

/* ------------------------------------------------------------------------------------------------ samplers */

START_TEST(each_of_several_samplers_has_the_rows_that_it_would_have_alone)
{
    static const double interval_s[] = {0.5, 1, 0.07, 900};
    enum { SAMPLERS = sizeof interval_s / sizeof interval_s[0] };
    trace rows[SAMPLERS] = {{0}};
    evn_sampler sampler[SAMPLERS];
    fleet f = fleet_of();
    for (size_t k = 0; k < SAMPLERS; k++)
        sampler[k] = (evn_sampler){&rows[k], interval_s[k], NULL, keep_row};
    f.run[0].sampler = sampler;
    f.run[0].samplers = SAMPLERS;
    drive_fleet(&f, 1, &(evn_runs_how){.threads = 1});
    for (size_t k = 0; k < SAMPLERS; k++) {
        trace own = {0};
        evn_conditions ask = evn_conditions_default();
        ask.load_case.payload_kg = 0;
        ask.driving.trace_interval_s = interval_s[k];
        drive alone = drive_whole(TRACTOR, HILL, &ask, &own);
        must_have_same_results(f.run[0].results, alone.results);
        ck_assert_uint_gt(own.rows, 10);
        ck_assert_uint_eq(own.rows, rows[k].rows);
        ck_assert_mem_eq(own.value, rows[k].value, own.rows * own.columns * sizeof(double));
        trace_end(&own);
        trace_end(&rows[k]);
        drive_end(&alone);
    }
    fleet_end(&f);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("runs room");
    TCase *tests = tcase_create("runs room");
    tcase_add_loop_test(tests, what_came_of_a_run_stands_at_its_place_at_any_number_of_threads, 0, 3);
    tcase_add_test(tests, a_truck_that_cannot_be_prepared_fails_alone);
    tcase_add_loop_test(tests, progress_never_falls_and_ends_at_one_and_one_thread_asks_at_a_time, 0, 3);
    tcase_add_test(tests, lists_that_are_expected_share_one_progress);
    tcase_add_test(tests, a_stop_leaves_what_has_finished_and_marks_the_others);
    tcase_add_test(tests, each_of_several_samplers_has_the_rows_that_it_would_have_alone);
    suite_add_tcase(suite, tests);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_NORMAL);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
