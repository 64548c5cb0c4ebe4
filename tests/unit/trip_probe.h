/* What the tests of trips share: driving a truck file over a cycle file by the public calls, and keeping the trace. */
#ifndef EVENER_TESTS_TRIP_PROBE_H
#define EVENER_TESTS_TRIP_PROBE_H
#include "evener/traces.h"
#include <check.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define TRACTOR "tests/vehicles/trucks/tractor-4x2-central.yaml"
#define URBAN "cycles/reference/urban-schedule.yaml"
#define HILL "cycles/scenarios/hill.yaml"
#define CRUISE "cycles/reference/cruise-55.yaml"

/* ------------------------------------------------------------------------------------------------ trace */

typedef struct trace {
    double *value; /* [rows][columns] */
    size_t columns, rows, room;
} trace;

static inline void keep_row(void *self, const double *row, size_t columns)
{
    trace *to = self;
    if (to->rows == to->room) {
        to->room = to->room > 0 ? 2 * to->room : 1024;
        to->value = realloc(to->value, to->room * columns * sizeof *row);
        ck_assert_ptr_nonnull(to->value);
    }
    to->columns = columns;
    memcpy(to->value + to->rows++ * columns, row, columns * sizeof *row);
}

static inline void trace_end(trace *of)
{
    free(of->value);
    *of = (trace){NULL, 0, 0, 0};
}

/* ------------------------------------------------------------------------------------------------ driving */

typedef struct drive {
    evn_rig *rig;
    evn_results *results; /* NULL when there are none */
    evn_report *report;
    evn_status status;
} drive;

static inline const char *first_finding(const evn_report *report)
{
    evn_finding finding = {.text = "no finding"};
    evn_report_at(report, 0, &finding);
    return finding.text;
}

static inline evn_truck *load_truck(const char *path)
{
    evn_report *report = evn_report_new();
    evn_truck *truck = NULL;
    ck_assert_ptr_nonnull(report);
    evn_truck_load(path, &truck, report);
    ck_assert_msg(truck, "%s", first_finding(report));
    evn_report_free(report);
    return truck;
}

static inline evn_cycle *load_cycle(const char *path)
{
    evn_report *report = evn_report_new();
    evn_cycle *cycle = NULL;
    ck_assert_ptr_nonnull(report);
    evn_cycle_load(path, &cycle, report);
    ck_assert_msg(cycle, "%s", first_finding(report));
    evn_report_free(report);
    return cycle;
}

/* Whatever comes of it; the files must be sound. */
static inline drive drive_any(const char *truck_path, const char *cycle_path, const evn_conditions *ask,
                              const evn_watcher *watcher)
{
    drive out = {.report = evn_report_new()};
    evn_truck *truck = load_truck(truck_path);
    evn_cycle *cycle = load_cycle(cycle_path);
    ck_assert_ptr_nonnull(out.report);
    evn_rig_prepare(truck, &ask->load_case, &out.rig, out.report);
    ck_assert_msg(out.rig, "%s", first_finding(out.report));
    out.status = evn_drive(out.rig, cycle, &ask->driving, watcher, &out.results, out.report);
    evn_truck_free(truck);
    evn_cycle_free(cycle);
    return out;
}

/* A run that must reach the end; `keep` may be NULL. */
static inline drive drive_whole(const char *truck_path, const char *cycle_path, const evn_conditions *ask, trace *keep)
{
    evn_watcher watcher = {.self = keep, .sample = keep_row};
    drive out = drive_any(truck_path, cycle_path, ask, keep ? &watcher : NULL);
    ck_assert_msg(out.status == EVN_DONE && out.results, "%s", first_finding(out.report));
    ck_assert_str_eq(evn_results_status(out.results), "finished");
    return out;
}

static inline void drive_end(drive *of)
{
    evn_results_free(of->results);
    evn_rig_free(of->rig);
    evn_report_free(of->report);
    *of = (drive){NULL, NULL, NULL, EVN_DONE};
}

static inline double result(const drive *of, const char *key)
{
    double value = (double)NAN;
    ck_assert_ptr_nonnull(of->results);
    ck_assert_msg(evn_results_get(of->results, key, &value), "there is no result %s", key);
    return value;
}

/* By its key, with the drive unit before it where there are several, or with the axle or the consumer: "rear.gear". */
static inline bool is_named(const evn_trace_column *column, const char *key)
{
    const char *whose = column->axle ? column->axle : column->consumer ? column->consumer : column->drive_unit;
    size_t length = whose ? strlen(whose) : 0;
    if (length > 0 && (strncmp(key, whose, length) != 0 || key[length] != '.'))
        return false;
    return strcmp(column->what.key, length > 0 ? key + length + 1 : key) == 0;
}

static inline size_t column(const drive *of, const char *key)
{
    evn_trace_column each;
    size_t k = 0;
    while (evn_trace_column_at(of->rig, k, &each) && !is_named(&each, key))
        k++;
    ck_assert_msg(k < evn_trace_column_count(of->rig), "there is no column %s", key);
    return k;
}

static inline double at_row(const trace *of, size_t row, size_t column_index)
{
    return of->value[row * of->columns + column_index];
}

/* True when the report holds this fault. */
static inline bool was_said(const drive *of, const char *fault)
{
    evn_finding finding;
    for (size_t k = 0; evn_report_at(of->report, k, &finding); k++)
        if (strcmp(finding.fault, fault) == 0)
            return true;
    return false;
}

#endif
