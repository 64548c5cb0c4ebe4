/* Draws of a comparison of two equal trucks, beside plain runs of the same truck at the same speed. */
#include "draws.h"
#include "lineup/common.h"
#include "uncertainty/find.h"
#include <math.h>
#include <stdio.h>
#include <string.h>
#include <time.h>

enum { DRAWS = 64, TRUCKS = 2, PLAIN_RUNS = 16 };

typedef struct pair { /* what is compared */
    evn_report *report;
    evn_truck *truck;
    evn_cycle *cycle;
    evn_lineup *lineup;
    evn_comparison *comparison;
} pair;

static double cpu_s(void)
{
    struct timespec now;
    clock_gettime(CLOCK_PROCESS_CPUTIME_ID, &now);
    return (double)now.tv_sec + 1e-9 * (double)now.tv_nsec;
}

static bool open_pair(pair *p, const char *truck, const char *cycle)
{
    *p = (pair){.report = evn_report_new()};
    evn_conditions ask = evn_conditions_default();
    ask.driving.integrator = EVN_INTEGRATOR_ARKODE;
    ask.driving.accuracy = 1e-5;
    if (evn_truck_load(truck, &p->truck, p->report) || evn_cycle_load(cycle, &p->cycle, p->report))
        return false;
    const evn_truck *const both[TRUCKS] = {p->truck, p->truck};
    const evn_compare_how how = {.threads = 1, .equal = EVN_EQUAL_PAYLOAD};
    return evn_lineup_of(both, (const char *const[]){"one", "other"}, TRUCKS, p->cycle, &p->lineup, p->report) ==
               EVN_DONE &&
           evn_compare(p->lineup, &ask, &how, &p->comparison, p->report) == EVN_DONE;
}

static void close_pair(pair *p)
{
    evn_finding said;
    for (size_t k = 0; evn_report_at(p->report, k, &said); k++)
        fprintf(stderr, "%s\n", said.text);
    evn_comparison_free(p->comparison);
    evn_lineup_free(p->lineup);
    evn_truck_free(p->truck);
    evn_cycle_free(p->cycle);
    evn_report_free(p->report);
}

/* The drag area of both, as one datum. */
static bool draw(const pair *p, double *least_s)
{
    static const char path[] = "body.drag_area_m2";
    evn_datum datum = {.label = path, .shape = EVN_NORMAL, .values = TRUCKS, .trucks = 3};
    evn_moved moved[TRUCKS];
    double area_m2 = evn_truck_drag_area_m2(p->truck), begin_s = cpu_s();
    for (size_t i = 0; i < TRUCKS; i++)
        moved[i] = (evn_moved){.truck = i,
                               .path = path,
                               .nominal = area_m2,
                               .half_width = 0.06 * area_m2,
                               .shape = EVN_NORMAL,
                               .most = 100};
    const evn_data data = {&datum, 1, moved, TRUCKS};
    const evn_uncertainty_how how = {.method = EVN_UNCERTAINTY_DRAWS, .draws = DRAWS, .threads = 1};
    evn_arena *arena = evn_arena_new();
    evn_uncertainty *found = arena ? evn_uncertainty_make(p->comparison, arena, &data, &how, p->report) : NULL;
    *least_s = fmin(*least_s, cpu_s() - begin_s);
    bool all = found && evn_uncertainty_how_found(found).draws_done == DRAWS;
    evn_uncertainty_free(found);
    return all;
}

static bool drive(const pair *p, double *least_s)
{
    evn_run run[PLAIN_RUNS];
    evn_runs all;
    bool finished = true;
    double begin_s = cpu_s();
    for (size_t k = 0; k < PLAIN_RUNS; k++) {
        run[k] = (evn_run){.rig = evn_comparison_rig(p->comparison, 0),
                           .cycle = evn_comparison_cycle(p->comparison),
                           .driving = evn_comparison_asks(p->comparison)->driving,
                           .report = evn_report_new()};
        evn_common_ask(&run[k], evn_comparison_ceiling(p->comparison));
    }
    evn_runs_begin(&all, &(evn_runs_how){.threads = 1});
    evn_runs_drive(&all, run, PLAIN_RUNS);
    evn_runs_end(&all);
    *least_s = fmin(*least_s, (cpu_s() - begin_s) / PLAIN_RUNS);
    for (size_t k = 0; k < PLAIN_RUNS; k++) {
        finished = finished && strcmp(run[k].status, "finished") == 0;
        evn_run_forget(&run[k]);
        evn_report_free(run[k].report);
    }
    return finished;
}

bool evn_measure_draws(const char *truck, const char *cycle, int repeats, evn_draws_effort *out)
{
    pair p;
    double draws_s = HUGE_VAL, run_s = HUGE_VAL;
    bool all = open_pair(&p, truck, cycle);
    for (int k = 0; all && k < repeats; k++)
        all = draw(&p, &draws_s) && drive(&p, &run_s);
    close_pair(&p);
    *out = (evn_draws_effort){draws_s / (DRAWS * TRUCKS * run_s), run_s};
    return all;
}
