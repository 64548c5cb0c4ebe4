/* Trucks held against every demand of their duty, on days that were driven before, beside driving these. */
#include "assess.h"
#include "evener/assess.h"
#include "figure.h"
#include <math.h>
#include <stdio.h>
#include <time.h>

static const double WANTED_MS = 2000;

typedef struct judged { /* what is judged */
    evn_report *report;
    evn_lineup *lineup;
    evn_prices *prices;
    evn_conditions ask;
    evn_assessment *driven;
} judged;

static double clock_s(clockid_t which)
{
    struct timespec now;
    clock_gettime(which, &now);
    return (double)now.tv_sec + 1e-9 * (double)now.tv_nsec;
}

typedef struct took { /* the least */
    double wall_s, processor_s;
} took;

static bool judge(judged *j, const evn_assessment *prepared, evn_assessment **out, took *least)
{
    const evn_assess_how how = {.prices = j->prices, .prepared = prepared};
    double wall_s = clock_s(CLOCK_MONOTONIC), processor_s = clock_s(CLOCK_PROCESS_CPUTIME_ID);
    evn_assess(j->lineup, &j->ask, &how, out, j->report);
    least->wall_s = fmin(least->wall_s, clock_s(CLOCK_MONOTONIC) - wall_s);
    least->processor_s = fmin(least->processor_s, clock_s(CLOCK_PROCESS_CPUTIME_ID) - processor_s);
    return *out;
}

static bool open_judged(judged *j, const char *lineup, const char *prices, took *days)
{
    *j = (judged){.report = evn_report_new()};
    if (evn_lineup_load(lineup, &j->lineup, j->report) || evn_prices_load(prices, &j->prices, j->report))
        return false;
    j->ask = evn_lineup_ask(j->lineup);
    return judge(j, NULL, &j->driven, days);
}

static void close_judged(judged *j, bool tell)
{
    evn_finding said;
    for (size_t k = 0; tell && evn_report_at(j->report, k, &said); k++)
        fprintf(stderr, "%s\n", said.text);
    evn_assessment_free(j->driven);
    evn_prices_free(j->prices);
    evn_lineup_free(j->lineup);
    evn_report_free(j->report);
}

static void put(const char *lineup, const char *figure, double value, const char *unit, double at_most)
{
    evn_print_figure(
        &(evn_figure){.figure = figure, .value = value, .unit = unit, .cycle = lineup, .at_most = at_most});
}

bool evn_measure_assess(const char *lineup, const char *prices, int repeats)
{
    judged j;
    took days = {HUGE_VAL, HUGE_VAL}, again = days;
    bool all = open_judged(&j, lineup, prices, &days);
    for (int k = 0; all && k < repeats; k++) {
        evn_assessment *a = NULL;
        all = judge(&j, j.driven, &a, &again);
        evn_assessment_free(a);
    }
    if (all) {
        put(lineup, "assess_of_driven_days_processor_time_over_driving_them_too", again.processor_s / days.processor_s,
            "1", 0);
        put(lineup, "assess_of_driven_days_time", 1e3 * again.wall_s, "ms", WANTED_MS);
        put(lineup, "assess_of_driven_days_processor_time", 1e3 * again.processor_s, "ms", 0);
    }
    close_judged(&j, !all);
    return all;
}
