/* The measuring program behind tools/bench. Everything it prints was measured in this one run. */
#include "assess.h"
#include "counting.h"
#include "draws.h"
#include "figure.h"
#include "lane.h"
#include "limits/limits.h"
#include "payback.h"
#include "read/read.h"
#include "record.h"
#include "rk4.h"
#include "runs/runs.h"
#include "vary.h"
#include <math.h>
#include <pthread.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/resource.h>
#include <sys/wait.h>
#include <time.h>
#include <unistd.h>

static const double DEFAULT_ACCURACY = 1e-6, REFERENCE_ACCURACY = 1e-10;
static const evn_driver drivers[] = {EVN_DRIVER_EXACT, EVN_DRIVER_HUMAN};

static evn_figure figure_of(const evn_lane *lane, const char *solver, const char *figure, double value,
                            const char *unit)
{
    return (evn_figure){.figure = figure,
                        .value = value,
                        .unit = unit,
                        .cycle = lane->cycle_name,
                        .driver = lane->driver_name,
                        .solver = solver};
}

static void put(const evn_lane *lane, const char *solver, const char *figure, double value, const char *unit,
                double at_most)
{
    evn_figure f = figure_of(lane, solver, figure, value, unit);
    f.at_most = at_most;
    evn_print_figure(&f);
}

static void put_at(const evn_lane *lane, double accuracy, const char *figure, double value, const char *unit)
{
    evn_print_figure(&(evn_figure){.figure = figure,
                                   .value = value,
                                   .unit = unit,
                                   .cycle = lane->cycle_name,
                                   .driver = lane->driver_name,
                                   .solver = "cvode",
                                   .accuracy = accuracy});
}

/* ------------------------------------------------------------------------------------- CVODE against a fixed step */

typedef struct contender {
    const char *name;
    const evn_solver_kind *kind;
    double least_s, least_cpu_s;
    evn_outcome last;
} contender;

/* In turn, so that a change of the machine's mood meets both; the first round warms up and is not counted. */
static bool race(evn_lane *lane, contender *who, size_t count, double accuracy, int repeats)
{
    for (size_t k = 0; k < count; k++)
        who[k].least_s = who[k].least_cpu_s = HUGE_VAL;
    for (int i = 0; i <= repeats; i++)
        for (size_t k = 0; k < count; k++) {
            if (!evn_lane_drive(lane, who[k].kind, accuracy, NULL, &who[k].last))
                return false;
            if (i == 0)
                continue;
            who[k].least_s = fmin(who[k].least_s, who[k].last.seconds);
            who[k].least_cpu_s = fmin(who[k].least_cpu_s, who[k].last.cpu_seconds);
        }
    return true;
}

static double error_of(const evn_outcome *of, const evn_outcome *against)
{
    return fabs(of->battery_kwh / against->battery_kwh - 1);
}

/* Whether the error falls with the tolerance, and what that costs: a fixed step whose grid holds every kink is exact.
 */
static bool converge(evn_lane *lane, const evn_outcome *reference, int repeats)
{
    static const double accuracy[] = {1e-5, 1e-7, 1e-8, 1e-9};
    for (size_t k = 0; k < sizeof accuracy / sizeof *accuracy; k++) {
        contender one = {.name = "cvode", .kind = &evn_cvode};
        if (!race(lane, &one, 1, accuracy[k], repeats / 5 + 1))
            return false;
        put_at(lane, accuracy[k], "energy_error", error_of(&one.last, reference), "1");
        put_at(lane, accuracy[k], "run_time", 1e3 * one.least_s, "ms");
    }
    return true;
}

static bool compare(evn_lane *lane, int repeats)
{
    contender who[3] = {{.name = "cvode", .kind = &evn_cvode},
                        {.name = "rk4", .kind = &evn_rk4},
                        {.name = "arkode", .kind = &evn_arkode}};
    evn_outcome reference, second;
    if (!evn_lane_drive(lane, &evn_cvode, REFERENCE_ACCURACY, NULL, &reference) ||
        !evn_lane_drive(lane, &evn_rk4_fine, DEFAULT_ACCURACY, NULL, &second) ||
        !race(lane, who, 3, DEFAULT_ACCURACY, repeats))
        return false;
    bool exact = lane->ask.driving.driver == EVN_DRIVER_EXACT;
    put(lane, NULL, "cvode_time_over_rk4_time", who[0].least_s / who[1].least_s, "1", exact ? 2.5 : 3.5);
    put(lane, NULL, "cvode_cpu_time_over_rk4_cpu_time", who[0].least_cpu_s / who[1].least_cpu_s, "1", 0);
    put(lane, "cvode", "energy_error", error_of(&who[0].last, &reference), "1", 5e-5);
    put(lane, "rk4", "energy_error", error_of(&who[1].last, &reference), "1", 0);
    put(lane, "arkode", "energy_error", error_of(&who[2].last, &reference), "1", 5e-5);
    put(lane, "rk4_fine", "reference_doubt", error_of(&second, &reference), "1", 1e-7);
    for (size_t k = 0; k < 3; k++)
        put(lane, who[k].name, "run_time", 1e3 * who[k].least_s, "ms", 0);
    put(lane, "reference", "battery_energy", reference.battery_kwh, "kWh", 0);
    return converge(lane, &reference, repeats);
}

/* ------------------------------------------------------------------------------------- each cycle */

static bool count_calls(evn_lane *lane, const char *name, const evn_solver_kind *kind)
{
    evn_counts n = {0};
    evn_watch watch = {.self = &n};
    evn_outcome run;
    if (!evn_lane_drive(lane, kind, DEFAULT_ACCURACY, &watch, &run))
        return false;
    double s = run.duration_s;
    put(lane, name, "steps_per_simulated_second", (double)run.steps / s, "1/s", 0);
    put(lane, name, "rates_per_simulated_second", (double)n.rates / s, "1/s", 0);
    put(lane, name, "watches_per_simulated_second", (double)n.watches / s, "1/s", 0);
    put(lane, name, "steps", (double)run.steps, "1", 0);
    put(lane, name, "rates", (double)n.rates, "1", 0);
    put(lane, name, "watch_calls", (double)n.watches, "1", 0);
    put(lane, name, "events", (double)run.events, "1", 0);
    put(lane, name, "restarts", (double)n.restarts, "1", 0);
    put(lane, name, "roots_found", (double)n.event_returns, "1", 0);
    put(lane, name, "balance_error", run.balance_error, "1", 0);
    if (!n.allocations_before) {
        fputs("benchmark: the count of allocations does not count\n", stderr);
        return false;
    }
    evn_print_figure(&(evn_figure){.figure = "allocations_between_first_and_last_step",
                                   .unit = "1",
                                   .zero = 1,
                                   .value = (double)n.allocations_within,
                                   .cycle = lane->cycle_name,
                                   .driver = lane->driver_name,
                                   .solver = name});
    return true;
}

static bool pace(evn_lane *lane, int repeats)
{
    contender one = {.name = "cvode", .kind = &evn_cvode};
    if (!race(lane, &one, 1, DEFAULT_ACCURACY, repeats))
        return false;
    evn_figure f = figure_of(lane, "cvode", "times_real_time", one.last.duration_s / one.least_s, "1");
    f.end = evn_early_end(&one.last);
    f.km = one.last.distance_km;
    evn_print_figure(&f);
    return true;
}

/* ------------------------------------------------------------------------------------- the whole program */

/* The peak is never less than this program's own at the fork, some 4 MiB: Linux carries that over to what it starts. */
static bool run_program(char **argv, double *seconds, double *peak_mib)
{
    int status;
    struct rusage used;
    double begin_s = evn_wall_s();
    pid_t child = fork();
    if (child == 0) {
        if (freopen("/dev/null", "w", stdout) && freopen("/dev/null", "w", stderr))
            execv(argv[0], argv);
        _exit(127);
    }
    if (child < 0 || wait4(child, &status, 0, &used) != child)
        return false;
    *seconds = evn_wall_s() - begin_s;
    *peak_mib = (double)used.ru_maxrss / 1024; /* Linux: kilobytes */
    return WIFEXITED(status) && WEXITSTATUS(status) == 0;
}

static int by_size(const void *a, const void *b)
{
    double x = *(const double *)a, y = *(const double *)b;
    return (x > y) - (x < y);
}

static bool whole(const char *program, const char *truck, const char *cycle, const evn_lane *lane, int repeats)
{
    enum { MOST = 1000 };
    double seconds[MOST], peak = 0, most = 0;
    char *argv[] = {strdup(program),    strdup("drive"),           strdup(truck), strdup(cycle),
                    strdup("--driver"), strdup(lane->driver_name), NULL};
    int n = repeats < MOST ? repeats : MOST;
    bool ok = true;
    for (int i = 0; ok && i < n; i++) {
        ok = run_program(argv, &seconds[i], &peak);
        most = fmax(most, peak);
    }
    for (size_t k = 0; argv[k]; k++)
        free(argv[k]);
    if (!ok) {
        fprintf(stderr, "benchmark: %s drive %s %s did not end well\n", program, truck, cycle);
        return false;
    }
    qsort(seconds, (size_t)n, sizeof *seconds, by_size);
    put(lane, "program", "start_to_finish_median", 1e3 * seconds[n / 2], "ms", 0);
    put(lane, "program", "start_to_finish_least", 1e3 * seconds[0], "ms", 0);
    put(lane, "program", "peak_memory", most, "MiB", 16);
    return true;
}

/* ------------------------------------------------------------------------------------- threads */

static double of_clock(clockid_t clock)
{
    struct timespec now;
    clock_gettime(clock, &now);
    return (double)now.tv_sec + 1e-9 * (double)now.tv_nsec;
}

enum { THREADS_MOST = 8, EQUAL_RUNS = 6 };

typedef struct crew { /* processor time of each thread when it was last heard of */
    pthread_t thread[THREADS_MOST];
    double begin_s, cpu_s[THREADS_MOST];
    size_t count;
} crew;

/* Asked from the thread that drives, one at a time. The first to be known is the caller's, which had its time before.
 */
static bool hear(void *self, double done_share)
{
    crew *c = self;
    size_t k = 0;
    (void)done_share;
    while (k < c->count && !pthread_equal(c->thread[k], pthread_self()))
        k++;
    if (k == THREADS_MOST)
        return true;
    c->thread[k] = pthread_self();
    c->count = k == c->count ? k + 1 : c->count;
    c->cpu_s[k] = of_clock(CLOCK_THREAD_CPUTIME_ID) - (k == 0 ? c->begin_s : 0);
    return true;
}

typedef struct effort {
    double wall_s, cpu_s, busiest_s; /* of all processors together; of the thread that had most to do */
} effort;

static void keep_least(effort *of, const effort *now)
{
    of->wall_s = fmin(of->wall_s, now->wall_s);
    of->cpu_s = fmin(of->cpu_s, now->cpu_s);
    of->busiest_s = fmin(of->busiest_s, now->busiest_s);
}

/* Some equal runs by so many threads. */
static bool drive_equal(const evn_lane *lane, const evn_cycle_file *cycle, size_t threads, effort *out)
{
    evn_run run[EQUAL_RUNS];
    evn_runs all;
    bool ok = true;
    for (size_t k = 0; k < EQUAL_RUNS; k++)
        run[k] = (evn_run){.rig = lane->rig, .cycle = cycle, .driving = lane->ask.driving, .report = evn_report_new()};
    crew of = {.thread = {pthread_self()}, .count = 1, .begin_s = of_clock(CLOCK_THREAD_CPUTIME_ID)};
    evn_runs_begin(&all, &(evn_runs_how){threads, &of, hear});
    double begin_s = evn_wall_s(), begin_cpu_s = of_clock(CLOCK_PROCESS_CPUTIME_ID);
    evn_runs_drive(&all, run, EQUAL_RUNS);
    *out = (effort){evn_wall_s() - begin_s, of_clock(CLOCK_PROCESS_CPUTIME_ID) - begin_cpu_s, 0};
    evn_runs_end(&all);
    for (size_t k = 0; k < of.count; k++)
        out->busiest_s = fmax(out->busiest_s, of.cpu_s[k]);
    for (size_t k = 0; k < EQUAL_RUNS; k++) {
        ok = ok && run[k].results;
        evn_run_forget(&run[k]);
        evn_report_free(run[k].report);
    }
    return ok;
}

/*
 * What two threads gain on one over the same runs. On the wall it is less than the program could where others load the
 * machine; by processor time it is what is left of the work for the thread that had most of it.
 */
static bool gain_by_threads(evn_lane *lane, const char *path, int repeats)
{
    effort least[2] = {{HUGE_VAL, HUGE_VAL, HUGE_VAL}, {HUGE_VAL, HUGE_VAL, HUGE_VAL}}, now;
    const evn_cycle_file *cycle = evn_read_file(path, &evn_cycle_object, NULL, lane->arena, lane->report);
    for (int i = 0; i <= repeats; i++)
        for (size_t k = 0; k < 2; k++) {
            if (!cycle || !drive_equal(lane, cycle, k + 1, &now))
                return false;
            if (i > 0)
                keep_least(&least[k], &now);
        }
    put(lane, "cvode", "busier_of_two_threads_cpu_time_over_one_thread", least[1].busiest_s / least[0].cpu_s, "1",
        1 / 1.7);
    put(lane, "cvode", "two_threads_cpu_time_over_one_thread", least[1].cpu_s / least[0].cpu_s, "1", 0);
    put(lane, "cvode", "two_threads_wall_time_over_one_thread", least[1].wall_s / least[0].wall_s, "1", 0);
    return true;
}

/* ------------------------------------------------------------------------------------- limits */

static bool find_limits(const evn_lane *lane, bool only_forces, double *least_s)
{
    evn_limits_how how = {.only_forces = only_forces};
    evn_limits *limits = NULL;
    double begin_s = of_clock(CLOCK_PROCESS_CPUTIME_ID);
    if (evn_limits_make(lane->rig, &lane->ask.driving, &how, &limits, lane->report) != EVN_DONE)
        return false;
    *least_s = fmin(*least_s, of_clock(CLOCK_PROCESS_CPUTIME_ID) - begin_s);
    evn_limits_free(limits);
    return true;
}

/* All figures of the truck's limits, over a run on the cycle: by forces alone, and by driving too. */
static bool limits(evn_lane *lane, int repeats)
{
    double forces_s = HUGE_VAL, all_s = HUGE_VAL;
    contender one = {.name = "cvode", .kind = &evn_cvode};
    for (int k = 0; k < repeats; k++)
        if (!find_limits(lane, true, &forces_s) || !find_limits(lane, false, &all_s))
            return false;
    if (!race(lane, &one, 1, DEFAULT_ACCURACY, repeats))
        return false;
    put(lane, "limits", "limits_by_forces_cpu_time_over_run_cpu_time", forces_s / one.least_cpu_s, "1", 0);
    put(lane, "limits", "limits_cpu_time_over_run_cpu_time", all_s / one.least_cpu_s, "1", 0);
    put(lane, "limits", "limits_by_forces_time", 1e3 * forces_s, "ms", 100);
    put(lane, "limits", "limits_time", 1e3 * all_s, "ms", 500);
    return true;
}

/* ------------------------------------------------------------------------------------- jobs */

typedef struct job {
    const char *name, *program, *truck;
    int repeats;
} job;

/* Of uncertain data: by the exact driver, whoever is asked for, and so once. */
static bool draws(const job *j, const char *cycle, evn_lane *lane)
{
    evn_draws_effort found;
    if (lane->ask.driving.driver != EVN_DRIVER_EXACT)
        return true;
    if (!evn_measure_draws(j->truck, cycle, j->repeats, &found))
        return false;
    put(lane, "arkode", "draws_cpu_time_over_so_many_runs", found.over_runs, "1", 1.5);
    put(lane, "arkode", "run_of_a_draw_cpu_time", 1e3 * found.each_run_s, "ms", 0);
    return true;
}

static bool is(const job *j, const char *name) { return strcmp(j->name, name) == 0; }

/* Nothing but the step loop, for a profiler. */
static bool loop(evn_lane *lane, int repeats)
{
    evn_outcome run;
    for (int i = 0; i < repeats; i++)
        if (!evn_lane_drive(lane, &evn_cvode, DEFAULT_ACCURACY, NULL, &run))
            return false;
    return true;
}

static bool do_lane(const job *j, const char *cycle, evn_lane *lane)
{
    if (is(j, "compare"))
        return compare(lane, j->repeats);
    if (is(j, "pace"))
        return pace(lane, j->repeats) && count_calls(lane, "cvode", &evn_counting_cvode);
    if (is(j, "count"))
        return count_calls(lane, "rk4", &evn_counting_rk4);
    if (is(j, "program"))
        return whole(j->program, j->truck, cycle, lane, j->repeats);
    if (is(j, "limits"))
        return limits(lane, j->repeats);
    if (is(j, "draws"))
        return draws(j, cycle, lane);
    if (is(j, "threads"))
        return gain_by_threads(lane, cycle, j->repeats);
    return loop(lane, j->repeats);
}

static bool is_job(const char *name)
{
    static const char *const jobs[] = {"compare", "pace",    "count",      "program",   "limits",
                                       "draws",   "threads", "loop_exact", "loop_human"};
    for (size_t k = 0; k < sizeof jobs / sizeof *jobs; k++)
        if (strcmp(name, jobs[k]) == 0)
            return true;
    return false;
}

int main(int argc, char **argv)
{
    if (argc > 4 && strcmp(argv[1], "record") == 0 && atoi(argv[2]) > 0)
        return evn_record(atoi(argv[2]), argv[3], argv + 4) ? 0 : 1;
    if (argc == 5 && strcmp(argv[1], "assess") == 0 && atoi(argv[2]) > 0)
        return evn_measure_assess(argv[3], argv[4], atoi(argv[2])) ? 0 : 1;
    if (argc == 5 && strcmp(argv[1], "payback") == 0 && atoi(argv[2]) > 0)
        return evn_measure_payback(argv[3], argv[4], atoi(argv[2])) ? 0 : 1;
    if (argc == 5 && strcmp(argv[1], "vary") == 0 && atoi(argv[2]) > 0)
        return evn_measure_vary(argv[3], argv[4], atoi(argv[2])) ? 0 : 1;
    if (argc > 4 && strcmp(argv[1], "once") == 0)
        return evn_record_once(argv[2], argv[3], argv[4]) ? 0 : 1;
    if (argc < 6 || !is_job(argv[1]) || atoi(argv[2]) < 1) {
        fputs("usage: evener-benchmark compare|pace|count|program|limits|draws|threads|loop_exact|loop_human REPEATS "
              "EVENER "
              "TRUCK "
              "CYCLE...\n"
              "       evener-benchmark payback REPEATS LINEUP PRICES\n"
              "       evener-benchmark assess REPEATS LINEUP PRICES\n"
              "       evener-benchmark vary REPEATS STUDY MANY\n"
              "       evener-benchmark record REPEATS CYCLE TRUCK... [-- TRUCK...]\n"
              "       evener-benchmark once INTEGRATOR CYCLE TRUCK\n",
              stderr);
        return 2;
    }
    job j = {argv[1], argv[3], argv[4], atoi(argv[2])};
    bool ok = true;
    for (int k = 5; ok && k < argc; k++)
        for (size_t d = 0; ok && d < sizeof drivers / sizeof *drivers; d++) {
            evn_lane lane;
            bool other = is(&j, drivers[d] == EVN_DRIVER_EXACT ? "loop_human" : "loop_exact");
            if (other)
                continue;
            ok = evn_lane_open(&lane, j.truck, argv[k], drivers[d]) && do_lane(&j, argv[k], &lane);
            evn_lane_close(&lane);
        }
    return ok ? 0 : 1;
}
