/* Trucks held against each other by their costs, on days that were driven before, beside driving these. */
#include "payback.h"
#include "evener/payback.h"
#include "figure.h"
#include <math.h>
#include <stdio.h>
#include <time.h>

enum { DRAWS = 10000 };
static const double WANTED_MS = 100, WANTED_DRAWS_MS = 1000;

typedef struct paying { /* what is reckoned with */
    evn_report *report;
    evn_lineup *lineup;
    evn_prices *prices;
    evn_conditions ask;
    evn_payback *driven; /* on both bases */
} paying;

static double wall_s(void)
{
    struct timespec now;
    clock_gettime(CLOCK_MONOTONIC, &now);
    return (double)now.tv_sec + 1e-9 * (double)now.tv_nsec;
}

/* A truck that does not do what is demanded of it has costs as well. */
static bool is_there(evn_payback *b) { return b && !evn_payback_partial(b); }

static bool open_paying(paying *p, const char *lineup, const char *prices)
{
    static const evn_payback_how both = {0};
    *p = (paying){.report = evn_report_new()};
    if (evn_lineup_load(lineup, &p->lineup, p->report) || evn_prices_load(prices, &p->prices, p->report))
        return false;
    p->ask = evn_lineup_ask(p->lineup);
    evn_payback_find(p->lineup, p->prices, &p->ask, &both, &p->driven, p->report);
    return is_there(p->driven);
}

static void close_paying(paying *p, bool tell)
{
    evn_finding said;
    for (size_t k = 0; tell && evn_report_at(p->report, k, &said); k++)
        fprintf(stderr, "%s\n", said.text);
    evn_payback_free(p->driven);
    evn_prices_free(p->prices);
    evn_lineup_free(p->lineup);
    evn_report_free(p->report);
}

/* The days alone, each truck with its own battery. */
static bool drive(const paying *p, double *least_s)
{
    static const evn_payback_how own = {.only_as_lineup = true, .threads = 1};
    double begin_s = wall_s();
    evn_payback *b = NULL;
    evn_payback_find(p->lineup, p->prices, &p->ask, &own, &b, p->report);
    *least_s = fmin(*least_s, wall_s() - begin_s);
    bool there = is_there(b);
    evn_payback_free(b);
    return there;
}

static bool reckon(const paying *p, size_t draws, double *least_s)
{
    const evn_payback_how how = {.annual_km = 150000, .draws = draws};
    double begin_s = wall_s();
    evn_payback *b = NULL;
    evn_payback_again(p->driven, p->prices, &how, &b, p->report);
    *least_s = fmin(*least_s, wall_s() - begin_s);
    bool there = is_there(b);
    evn_payback_free(b);
    return there;
}

static void put(const char *lineup, const char *figure, double value, const char *unit, double at_most)
{
    evn_print_figure(
        &(evn_figure){.figure = figure, .value = value, .unit = unit, .cycle = lineup, .at_most = at_most});
}

bool evn_measure_payback(const char *lineup, const char *prices, int repeats)
{
    paying p;
    double days_s = HUGE_VAL, again_s = HUGE_VAL, draws_s = HUGE_VAL;
    bool all = open_paying(&p, lineup, prices);
    for (int k = 0; all && k < repeats; k++)
        all = drive(&p, &days_s) && reckon(&p, 0, &again_s) && reckon(&p, DRAWS, &draws_s);
    if (all) {
        put(lineup, "payback_of_driven_days_time_over_driving_them", again_s / days_s, "1", 0);
        put(lineup, "payback_of_driven_days_time", 1e3 * again_s, "ms", WANTED_MS);
        put(lineup, "payback_10000_draws_of_prices_time", 1e3 * (draws_s - again_s), "ms", WANTED_DRAWS_MS);
    }
    close_paying(&p, !all);
    return all;
}
