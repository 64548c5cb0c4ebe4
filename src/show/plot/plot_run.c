/* Gathers the rows of a trace in columns along the route. */
#include "evener/charts.h"
#include "evener/traces.h"
#include "show/figures.h"
#include "show/plot/plot.h"
#include <math.h>
#include <stdlib.h>
#include <string.h>

typedef struct range {
    bool any;
    double lowest, highest;
} range;

struct evn_plot_run {
    size_t place, speed, charge; /* columns of a row */
    double length_m;
    size_t halves, last_half;
    range *speed_km_h;
    bool any;
    double first_soc, last_soc, least_soc;
};

/* The end of the road; NAN when memory is out. */
static double length_of(const evn_cycle *cycle)
{
    evn_chart *road = NULL;
    evn_report *report = evn_report_new();
    double length_m = (double)NAN;
    if (report && evn_chart_of_road(cycle, &road, report) == EVN_DONE) {
        length_m = evn_chart_row(road, evn_chart_row_count(road) - 1)[0];
        evn_chart_free(road);
    }
    evn_report_free(report);
    return length_m;
}

evn_plot_run *evn_plot_run_new(const evn_rig *rig, const evn_cycle *cycle, size_t columns)
{
    evn_plot_run *run = calloc(1, sizeof *run);
    if (!run)
        return NULL;
    run->place = evn_figures_column(rig, "place_m");
    run->speed = evn_figures_column(rig, "speed_km_h");
    run->charge = evn_figures_column(rig, "soc");
    run->length_m = length_of(cycle);
    run->halves = 2 * columns;
    run->speed_km_h = calloc(run->halves, sizeof *run->speed_km_h);
    if (run->speed_km_h && isfinite(run->length_m))
        return run;
    evn_plot_run_free(run);
    return NULL;
}

void evn_plot_run_free(evn_plot_run *run)
{
    if (run)
        free(run->speed_km_h);
    free(run);
}

static void widen(range *r, double value)
{
    r->lowest = r->any ? fmin(r->lowest, value) : value;
    r->highest = r->any ? fmax(r->highest, value) : value;
    r->any = true;
}

void evn_plot_run_sample(void *self, const double *row, size_t columns)
{
    evn_plot_run *run = self;
    (void)columns;
    double share = fmin(fmax(row[run->place] / run->length_m, 0), 1);
    size_t half = (size_t)fmin(share * (double)run->halves, (double)run->halves - 1);
    /* where rows lie further apart than half a column, those between are crossed at this speed */
    for (size_t k = run->any && run->last_half < half ? run->last_half + 1 : half; k <= half; k++)
        widen(&run->speed_km_h[k], row[run->speed]);
    run->last_half = half;
    run->last_soc = row[run->charge];
    run->first_soc = run->any ? run->first_soc : run->last_soc;
    run->least_soc = run->any ? fmin(run->least_soc, run->last_soc) : run->last_soc;
    run->any = true;
}

bool evn_plot_run_speed(const evn_plot_run *run, size_t half, double *lowest, double *highest)
{
    if (half >= run->halves || !run->speed_km_h[half].any)
        return false;
    *lowest = run->speed_km_h[half].lowest;
    *highest = run->speed_km_h[half].highest;
    return true;
}

bool evn_plot_run_charge(const evn_plot_run *run, double *first, double *last, double *least)
{
    *first = run->first_soc;
    *last = run->last_soc;
    *least = run->least_soc;
    return run->any;
}
