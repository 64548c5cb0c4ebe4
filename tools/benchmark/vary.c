/* Studies driven by one thread and by two in turn; what memory grows by from few variants to many; stores joined. */
#include "vary.h"
#include "evener/vary.h"
#include "figure.h"
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/resource.h>
#include <time.h>
#include <unistd.h>

enum { FEW = 2000, MANY = 100000, JOINED = 2 };

static double wall_s(void)
{
    struct timespec now;
    clock_gettime(CLOCK_MONOTONIC, &now);
    return (double)now.tv_sec + 1e-9 * (double)now.tv_nsec;
}

/* The most memory that this process had; it never falls. */
static double most_mb(void)
{
    struct rusage use;
    getrusage(RUSAGE_SELF, &use);
    return (double)use.ru_maxrss / 1024;
}

typedef struct driving {
    const char *study;
    size_t samples, threads;
    const char *store; /* NULL: in memory */
    unsigned part, parts;
} driving;

static void tell(const evn_report *report)
{
    evn_finding said;
    for (size_t k = 0; evn_report_at(report, k, &said); k++)
        fprintf(stderr, "%s\n", said.text);
}

/* False: said. */
static bool drive(const driving *d, double *took_s, uint64_t *rows)
{
    char samples[40], plan[] = "plan=sobol";
    const char *const set[] = {samples, plan, NULL};
    evn_report *report = evn_report_new();
    evn_study *study = NULL;
    evn_variants *variants = NULL;
    snprintf(samples, sizeof samples, "samples=%zu", d->samples);
    evn_study_load_with(d->study, &(evn_load){.set = set}, &study, report);
    if (study) {
        evn_conditions ask = evn_study_ask(study);
        evn_vary_how how = {.store = d->store, .threads = d->threads, .part = d->part, .parts = d->parts};
        double begin_s = wall_s();
        evn_vary(study, &ask, &how, &variants, report);
        *took_s = wall_s() - begin_s;
    }
    *rows = variants ? evn_variants_count(variants) : 0;
    if (!variants)
        tell(report);
    bool done = variants;
    evn_variants_free(variants);
    evn_study_free(study);
    evn_report_free(report);
    return done;
}

static void put(const char *study, const char *figure, double value, const char *unit, double at_most)
{
    evn_print_figure(&(evn_figure){.figure = figure, .value = value, .unit = unit, .cycle = study, .at_most = at_most});
}

/* One thread and two in turn, so that other work on the machine meets both. */
static bool measure_threads(const char *study, int repeats)
{
    static const double SHARE_AT_MOST = 1 / 1.8;
    enum { VARIANTS = 48 };
    double one_s = HUGE_VAL, two_s = HUGE_VAL, took_s;
    uint64_t rows = 0;
    bool all = true;
    for (int k = 0; all && k < repeats; k++) {
        all = drive(&(driving){study, VARIANTS, 1, NULL, 0, 0}, &took_s, &rows);
        one_s = fmin(one_s, took_s);
        all = all && drive(&(driving){study, VARIANTS, 2, NULL, 0, 0}, &took_s, &rows);
        two_s = fmin(two_s, took_s);
    }
    if (all) {
        put(study, "vary_two_threads_time_over_one", two_s / one_s, "1", SHARE_AT_MOST);
        put(study, "vary_variant_time", 1e3 * one_s / (double)rows, "ms", 0);
    }
    return all;
}

static bool measure_memory(const char *many, const char *folder)
{
    static const double GROWS_AT_MOST_MB = 8;
    char store[400];
    double took_s, few_mb;
    uint64_t rows = 0;
    snprintf(store, sizeof store, "%s/few.sqlite", folder);
    bool all = drive(&(driving){many, FEW, 2, store, 0, 0}, &took_s, &rows);
    few_mb = most_mb();
    snprintf(store, sizeof store, "%s/many.sqlite", folder);
    all = all && drive(&(driving){many, MANY, 2, store, 0, 0}, &took_s, &rows);
    if (all) {
        put(many, "vary_memory_grown_from_2000_to_100000_variants", most_mb() - few_mb, "MiB", GROWS_AT_MOST_MB);
        put(many, "vary_row_time_of_a_cheap_variant", 1e6 * took_s / (double)rows, "us", 0);
    }
    return all;
}

static bool measure_merge(const char *many, const char *folder)
{
    char part[JOINED][400], joined[400];
    const char *paths[JOINED];
    double took_s;
    uint64_t rows = 0, each;
    bool all = true;
    for (unsigned k = 0; all && k < JOINED; k++) {
        snprintf(part[k], sizeof part[k], "%s/part-%u.sqlite", folder, k);
        paths[k] = part[k];
        all = drive(&(driving){many, 10 * FEW, 2, part[k], k + 1, JOINED}, &took_s, &each);
        rows += each;
    }
    snprintf(joined, sizeof joined, "%s/joined.sqlite", folder);
    evn_report *report = evn_report_new();
    double begin_s = wall_s();
    all = all && evn_vary_merge(paths, JOINED, joined, report) == EVN_DONE;
    took_s = wall_s() - begin_s;
    if (all)
        put(many, "vary_merge_time_of_a_row", 1e6 * took_s / (double)rows, "us", 0);
    else
        tell(report);
    evn_report_free(report);
    return all;
}

bool evn_measure_vary(const char *study, const char *many, int repeats)
{
    char folder[] = "/tmp/evener-vary.XXXXXX", clear[80];
    if (!mkdtemp(folder)) {
        fputs("no folder for stores\n", stderr);
        return false;
    }
    bool all = measure_memory(many, folder) && measure_merge(many, folder) && measure_threads(study, repeats);
    snprintf(clear, sizeof clear, "rm -rf %s", folder);
    return system(clear) == 0 && all;
}
