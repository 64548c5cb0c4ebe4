/* The common speed of two trucks alone, found as that of a comparison is (COMMON-SPEED.md). */
#include "causes/pair_speed.h"
#include "lineup/outcome.h"
#include <math.h>
#include <string.h>

enum { TWO = 2 };

typedef struct pairing {
    const evn_comparison *of;
    const evn_mixing *how;
    size_t truck[TWO];
    evn_reach reach[TWO];
    evn_sampler sampler[TWO];
    evn_ceiling speed; /* no points: each at its own */
    double mean_km_h;
    bool kept;
} pairing;

static evn_run run_of(pairing *p, size_t k)
{
    const evn_rig *rig = evn_comparison_rig(p->of, p->truck[k]);
    evn_run run = {.rig = rig,
                   .load_case = evn_comparison_load_case(p->of, p->truck[k]),
                   .cycle = p->how->cycle,
                   .driving = p->how->driving,
                   .sampler = &p->sampler[k],
                   .samplers = 1,
                   .report = evn_report_new()};
    p->sampler[k] = evn_reach_sampler(&p->reach[k], rig);
    run.driving.driver = EVN_DRIVER_EXACT;
    if (p->speed.count > 0)
        evn_common_ask(&run, &p->speed);
    return run;
}

/* Whether it kept the speed; the mean is that of the first truck. */
static void take(pairing *p, const evn_run *run)
{
    p->kept = p->speed.count > 0;
    for (size_t k = 0; k < TWO; k++) {
        bool finished = run[k].results && strcmp(run[k].status, "finished") == 0;
        p->kept = p->kept && finished && evn_reach_keeps(&p->reach[k], run[k].results);
    }
    if (p->kept)
        evn_results_get(run[0].results, "mean_speed_km_h", &p->mean_km_h);
}

/* Both once, then down to what they reached. False when memory is out. */
static bool drive(pairing *p)
{
    evn_run run[TWO];
    bool all = true;
    for (size_t k = 0; k < TWO; k++) {
        run[k] = run_of(p, k);
        all = run[k].report && all;
    }
    if (all)
        evn_runs_drive(p->how->runs, run, TWO);
    *p->how->to_come -= *p->how->to_come < TWO ? *p->how->to_come : TWO;
    if (all && !evn_runs_stopped(p->how->runs))
        take(p, run);
    for (size_t k = 0; k < TWO; k++) {
        all = all && !p->reach[k].out_of_memory && (p->kept || evn_ceiling_lower(&p->speed, &p->reach[k].speeds));
        evn_run_forget(&run[k]);
        evn_report_free(run[k].report);
    }
    evn_common_thin(&p->speed);
    return all;
}

bool evn_pair_mean_km_h(const evn_comparison *c, const size_t truck[2], const evn_mixing *how, double *mean_km_h)
{
    pairing p = {.of = c, .how = how, .truck = {truck[0], truck[1]}, .mean_km_h = (double)NAN};
    bool all = true;
    for (int round = 0; all && !p.kept && round <= EVN_ROUNDS_MOST && !evn_runs_stopped(how->runs); round++)
        all = drive(&p);
    for (size_t k = 0; k < TWO; k++)
        evn_reach_end(&p.reach[k]);
    evn_ceiling_clear(&p.speed);
    *mean_km_h = p.mean_km_h;
    return all;
}
