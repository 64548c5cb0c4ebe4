/* Reads, prepares and drives one truck on one cycle. */
#include "lane.h"
#include "core/report.h"
#include "read/read.h"
#include <stdio.h>
#include <string.h>
#include <time.h>

static double read_s(clockid_t clock)
{
    struct timespec now;
    clock_gettime(clock, &now);
    return (double)now.tv_sec + 1e-9 * (double)now.tv_nsec;
}

double evn_wall_s(void) { return read_s(CLOCK_MONOTONIC); }

static bool say_why(const evn_lane *lane, const char *what)
{
    evn_finding f;
    fprintf(stderr, "benchmark: %s %s\n", what, lane->name);
    for (size_t k = 0; lane->report && evn_report_at(lane->report, k, &f); k++)
        fprintf(stderr, "  %s: %s\n", f.file ? f.file : "-", f.text);
    return false;
}

static void set_name(evn_lane *lane, const char *cycle, evn_driver driver)
{
    const char *base = strrchr(cycle, '/') ? strrchr(cycle, '/') + 1 : cycle;
    lane->driver_name = driver == EVN_DRIVER_EXACT ? "exact" : "human";
    snprintf(lane->name, sizeof lane->name, "%.*s", (int)strcspn(base, "."), base);
    lane->cycle_name = lane->name;
}

bool evn_lane_open(evn_lane *lane, const char *truck, const char *cycle, evn_driver driver)
{
    *lane = (evn_lane){.report = evn_report_new(), .arena = evn_arena_new(), .ask = evn_conditions_default()};
    set_name(lane, cycle, driver);
    lane->ask.driving.driver = driver;
    if (!lane->report || !lane->arena)
        return say_why(lane, "no memory for");
    if (evn_truck_load(truck, &lane->truck, lane->report) || !lane->truck ||
        evn_rig_prepare(lane->truck, &lane->ask.load_case, &lane->rig, lane->report) || !lane->rig)
        return say_why(lane, "no truck for");
    const evn_cycle_file *file = evn_read_file(cycle, &evn_cycle_object, NULL, lane->arena, lane->report);
    lane->course = file ? evn_drive_course_of(lane->rig, file, &lane->ask.driving, NULL, lane->report) : NULL;
    return lane->course || say_why(lane, "no course for");
}

void evn_lane_close(evn_lane *lane)
{
    evn_course_free(lane->course);
    evn_rig_free(lane->rig);
    evn_truck_free(lane->truck);
    evn_arena_free(lane->arena);
    evn_report_free(lane->report);
}

const char *evn_early_end(const evn_outcome *of) { return strcmp(of->status, "finished") == 0 ? NULL : of->status; }

bool evn_lane_drive(evn_lane *lane, const evn_solver_kind *kind, double accuracy, const evn_watch *watch,
                    evn_outcome *out)
{
    evn_results *results;
    evn_conditions ask = lane->ask;
    ask.driving.accuracy = accuracy;
    double begin_s = evn_wall_s(), begin_cpu_s = read_s(CLOCK_PROCESS_CPUTIME_ID);
    evn_status status = evn_drive_course(lane->rig, lane->course, &ask.driving, watch, kind, &results, lane->report);
    *out =
        (evn_outcome){.seconds = evn_wall_s() - begin_s, .cpu_seconds = read_s(CLOCK_PROCESS_CPUTIME_ID) - begin_cpu_s};
    bool driven = status == EVN_DONE || status == EVN_ANSWER_NO; /* an empty pack has its figures up to there */
    bool ok = driven && results && evn_results_get(results, "battery_kwh", &out->battery_kwh) &&
              evn_results_get(results, "duration_s", &out->duration_s) &&
              evn_results_get(results, "distance_km", &out->distance_km) &&
              evn_results_get(results, "balance_error", &out->balance_error);
    if (ok) {
        out->steps = results->steps;
        out->events = results->events;
        out->status = evn_results_status(results); /* of the program, not of the results */
    }
    evn_results_free(results);
    return ok || say_why(lane, "no result on");
}
