/* Measures rows of the record: costs as ratios within this run, errors and counts. */
#include "record.h"
#include "counting.h"
#include "lane.h"
#include "rk4.h"
#include <math.h>
#include <stdio.h>
#include <string.h>

static const double REFERENCE_ACCURACY = 1e-10;
static const double ALIKE = 0.01; /* of the two least times: nothing disturbed them */
enum { TRUCKS_MOST = 32, LEAST_REPEATS = 5 };

typedef struct integrator {
    const char *name;
    const evn_solver_kind *kind, *counting;
    double accuracy; /* that each is recommended at */
} integrator;

static const integrator integrators[] = {{"cvode", &evn_cvode, &evn_counting_cvode, 1e-6},
                                         {"arkode", &evn_arkode, &evn_counting_arkode, 1e-5},
                                         {"rk4", &evn_rk4, NULL, 1e-6}};
enum { KINDS = sizeof integrators / sizeof *integrators, FIXED = KINDS - 1 };

typedef struct timed {
    double least_s, second_s; /* of the processor */
    int count;
    evn_outcome last;
} timed;

typedef struct rider { /* one truck */
    const char *path;
    bool with_fixed;
    evn_lane lane;
    timed by[KINDS];
} rider;

static bool is_settled(const timed *t) { return t->count >= LEAST_REPEATS && t->second_s < (1 + ALIKE) * t->least_s; }

static bool time_once(rider *r, size_t kind)
{
    timed *t = &r->by[kind];
    if (!evn_lane_drive(&r->lane, integrators[kind].kind, integrators[kind].accuracy, NULL, &t->last))
        return false;
    double s = t->last.cpu_seconds;
    t->second_s = fmin(t->second_s, fmax(s, t->least_s));
    t->least_s = fmin(t->least_s, s);
    t->count++;
    return true;
}

/* In turn, so that a change of the machine's mood meets all; the first truck, which all are held against, always. */
static bool race(rider *riders, size_t count, int most_repeats)
{
    for (size_t k = 0; k < count; k++)
        for (size_t i = 0; i < KINDS; i++)
            riders[k].by[i] = (timed){.least_s = HUGE_VAL, .second_s = HUGE_VAL};
    for (int round = 0; round < most_repeats; round++)
        for (size_t k = 0; k < count; k++)
            for (size_t i = 0; i < KINDS; i++) {
                bool wanted = (i != FIXED || riders[k].with_fixed) && (k == 0 || !is_settled(&riders[k].by[i]));
                if (wanted && !time_once(&riders[k], i))
                    return false;
            }
    return true;
}

static double cost_per_km(const timed *t) { return t->least_s / t->last.distance_km; }

/* Of runs that end with an empty battery the energy alone says nothing. */
static double kwh_per_km(const evn_outcome *of) { return of->battery_kwh / of->distance_km; }

static void base_name(const char *path, char out[64])
{
    const char *slash = strrchr(path, '/'), *name = slash ? slash + 1 : path;
    snprintf(out, 64, "%.*s", (int)strcspn(name, "."), name);
}

static bool put_row(rider *r, size_t kind, const rider *base, const evn_outcome *reference)
{
    evn_counts n = {0};
    evn_watch watch = {.self = &n};
    evn_outcome counted;
    const timed *t = &r->by[kind];
    char name[64];
    if (!evn_lane_drive(&r->lane, integrators[kind].counting, integrators[kind].accuracy, &watch, &counted))
        return false;
    base_name(r->path, name);
    printf("{\"truck\": \"%s\", \"cycle\": \"%s\", \"driver\": \"%s\", \"integrator\": \"%s\", \"end\": \"%s\", "
           "\"km\": %.3f, ",
           name, r->lane.cycle_name, r->lane.driver_name, integrators[kind].name, t->last.status, t->last.distance_km);
    printf("\"cost_over_base\": %.3f, ", cost_per_km(t) / cost_per_km(&base->by[0]));
    if (r->with_fixed)
        printf("\"cost_over_rk4\": %.3f, ", cost_per_km(t) / cost_per_km(&r->by[FIXED]));
    printf("\"energy_error\": %.1e, \"rates\": %lu, \"watches\": %lu, \"steps\": %lu, \"events\": %lu}\n",
           kwh_per_km(&t->last) / kwh_per_km(reference) - 1, n.rates, n.watches, counted.steps, counted.events);
    return true;
}

static bool put_rows(rider *riders, size_t count)
{
    for (size_t k = 0; k < count; k++) {
        evn_outcome reference;
        if (!evn_lane_drive(&riders[k].lane, &evn_cvode, REFERENCE_ACCURACY, NULL, &reference))
            return false;
        for (size_t i = 0; i < FIXED; i++)
            if (!put_row(&riders[k], i, &riders[0], &reference))
                return false;
    }
    fflush(stdout);
    return true;
}

static size_t list_riders(rider *riders, char **trucks)
{
    size_t count = 0;
    for (; trucks[count] && strcmp(trucks[count], "--") != 0 && count < TRUCKS_MOST; count++)
        riders[count] = (rider){.path = trucks[count]};
    for (char **fixed = trucks[count] ? trucks + count + 1 : trucks + count; *fixed; fixed++)
        for (size_t k = 0; k < count; k++)
            riders[k].with_fixed = riders[k].with_fixed || strcmp(riders[k].path, *fixed) == 0;
    return count;
}

bool evn_record(int most_repeats, const char *cycle, char **trucks)
{
    static const evn_driver drivers[] = {EVN_DRIVER_EXACT, EVN_DRIVER_HUMAN};
    static rider riders[TRUCKS_MOST];
    bool ok = true;
    for (size_t d = 0; ok && d < sizeof drivers / sizeof *drivers; d++) {
        size_t count = list_riders(riders, trucks), open = 0;
        while (ok && open < count) {
            ok = evn_lane_open(&riders[open].lane, riders[open].path, cycle, drivers[d]);
            open++;
        }
        ok = ok && race(riders, count, most_repeats) && put_rows(riders, count);
        for (size_t k = 0; k < open; k++)
            evn_lane_close(&riders[k].lane);
    }
    return ok;
}

bool evn_record_once(const char *kind, const char *cycle, const char *truck)
{
    for (size_t i = 0; i < KINDS; i++)
        if (strcmp(integrators[i].name, kind) == 0) {
            evn_lane lane;
            evn_outcome unused;
            bool ok = evn_lane_open(&lane, truck, cycle, EVN_DRIVER_EXACT) &&
                      evn_lane_drive(&lane, integrators[i].kind, integrators[i].accuracy, NULL, &unused);
            evn_lane_close(&lane);
            return ok;
        }
    fprintf(stderr, "benchmark: no integrator %s\n", kind);
    return false;
}
