/* A truck with its limits found, for tests of their groups: written by a test, or of the source tree. */
#ifndef EVENER_TESTS_LIMITS_PROBE_H
#define EVENER_TESTS_LIMITS_PROBE_H
#include "../published/plain_truck.h"
#include "evener/limits.h"

typedef struct ready {
    evn_report *report;
    evn_truck *truck;
    evn_rig *rig;
    evn_limits *limits;
} ready;

static inline void must(const ready *r, bool there)
{
    evn_finding finding = {.text = ""};
    evn_report_at(r->report, 0, &finding);
    ck_assert_msg(there, "%s", finding.text);
}

/* With values set beside the file; `set` ends with NULL, and may be it. */
static inline ready ready_driven(const char *path, const char *const *set, const evn_load_case *load_case,
                                 evn_driving driving, bool only_forces)
{
    evn_limits_how how = {.only_forces = only_forces};
    ready r = {.report = evn_report_new()};
    evn_truck_load_with(path, &(evn_load){.set = set}, &r.truck, r.report);
    must(&r, r.truck);
    evn_rig_prepare(r.truck, load_case, &r.rig, r.report);
    must(&r, r.rig);
    evn_limits_find(r.rig, &driving, &how, &r.limits, r.report);
    must(&r, r.limits);
    return r;
}

static inline ready ready_with(const char *path, const char *const *set, const evn_load_case *load_case,
                               bool only_forces)
{
    return ready_driven(path, set, load_case, evn_conditions_default().driving, only_forces);
}

static inline ready ready_of(const char *path, const evn_load_case *load_case, bool only_forces)
{
    return ready_with(path, NULL, load_case, only_forces);
}

static inline ready ready_plain_on(evn_surface surface, const plain_truck *truck, bool only_forces)
{
    char path[PATH_BYTES];
    evn_conditions ask = evn_conditions_default();
    ask.load_case.air_density_kg_m3 = 1.2;
    ask.driving.surface = surface;
    write_plain_truck(truck, "truck.yaml");
    return ready_driven(in_folder(path, "truck.yaml"), NULL, &ask.load_case, ask.driving, only_forces);
}

static inline ready ready_plain(const plain_truck *truck, bool only_forces)
{
    return ready_plain_on(EVN_SURFACE_AS_CYCLE, truck, only_forces);
}

/* "tests/vehicles/trucks/NAME.yaml" */
static inline ready ready_shipped(const char *file, bool only_forces)
{
    char path[512];
    evn_load_case load_case = evn_conditions_default().load_case;
    snprintf(path, sizeof path, "%s/%s", getenv("EVENER_SOURCE"), file);
    return ready_of(path, &load_case, only_forces);
}

static inline void ready_end(ready *r)
{
    evn_limits_free(r->limits);
    evn_rig_free(r->rig);
    evn_truck_free(r->truck);
    evn_report_free(r->report);
}

static inline evn_limits_figure figure(const ready *r, const char *key)
{
    evn_limits_figure f;
    ck_assert_msg(evn_limits_get(r->limits, key, &f), "no figure %s", key);
    return f;
}

static inline evn_limits_figure on_grade(const ready *r, int percent, const char *column)
{
    char key[100];
    snprintf(key, sizeof key, "climb.on_%d_percent.%s", percent, column);
    return figure(r, key);
}

static inline evn_limits_figure at_speed(const ready *r, int km_h, const char *column)
{
    char key[100];
    snprintf(key, sizeof key, "climb.at_%d_km_h.%s", km_h, column);
    return figure(r, key);
}

/* ------------------------------------------------------------------------------------------------ driving */

/* A run, and what a test looks for in its rows. */
typedef struct ramp {
    double percent, speed_km_h, length_m;
    bool from_rest;
    evn_driver driver;
} ramp;

typedef struct climbed {
    evn_results *results;
    double last_km_h, fastest_km_h;
    bool speeds_up_higher; /* with every unit above its first gear it still sped up */
    size_t speed_column, accel_column, gear_column[8], gears;
} climbed;

static inline void look_at_row(void *self, const double *row, size_t columns)
{
    climbed *c = self;
    bool higher = c->gears > 0;
    (void)columns;
    c->last_km_h = row[c->speed_column];
    c->fastest_km_h = fmax(c->fastest_km_h, c->last_km_h);
    for (size_t k = 0; k < c->gears; k++)
        higher = higher && row[c->gear_column[k]] > 1;
    c->speeds_up_higher = c->speeds_up_higher || (higher && row[c->accel_column] > 0.002);
}

static inline void find_columns(climbed *c, const evn_rig *rig)
{
    evn_trace_column column;
    for (size_t k = 0; evn_trace_column_at(rig, k, &column); k++) {
        if (strcmp(column.what.key, "speed_km_h") == 0)
            c->speed_column = k;
        if (strcmp(column.what.key, "acceleration_m_s2") == 0)
            c->accel_column = k;
        if (strcmp(column.what.key, "gear") == 0)
            c->gear_column[c->gears++] = k;
    }
}

static inline void write_ramp(const ramp *r)
{
    char text[700], speed[200];
    if (r->from_rest)
        snprintf(speed, sizeof speed, "length_m: %.17g\nspeed: {place_m: [0], limit_km_h: [%.17g]}\n", r->length_m,
                 r->speed_km_h);
    else
        snprintf(speed, sizeof speed, "speed: {time_s: [0, %.17g], speed_km_h: [%.17g, %.17g]}\n",
                 r->length_m / r->speed_km_h * 3.6, r->speed_km_h, r->speed_km_h);
    snprintf(text, sizeof text,
             "name: ramp\ninvented: true\n%sroad: {place_m: [0, %.17g], grade_percent: [%.17g, %.17g], level_beyond: "
             "true}\n",
             speed, r->length_m + 1, r->percent, r->percent);
    write_file("ramp.yaml", text);
}

static inline climbed climb_up(const ready *truck, const ramp *r)
{
    char path[PATH_BYTES];
    evn_cycle *cycle = NULL;
    evn_report *report = evn_report_new();
    evn_driving driving = evn_conditions_default().driving;
    climbed c = {0};
    evn_watcher watcher = {.self = &c, .sample = look_at_row};
    find_columns(&c, truck->rig);
    driving.driver = r->driver;
    write_ramp(r);
    evn_cycle_load(in_folder(path, "ramp.yaml"), &cycle, report);
    ck_assert_ptr_nonnull(cycle);
    evn_drive(truck->rig, cycle, &driving, &watcher, &c.results, report);
    ck_assert_ptr_nonnull(c.results);
    evn_cycle_free(cycle);
    evn_report_free(report);
    return c;
}

/* Whether the speed was kept all the way. */
static inline bool keeps_speed(const ready *truck, const ramp *r)
{
    evn_limitation by;
    climbed c = climb_up(truck, r);
    bool held_back = strcmp(evn_results_status(c.results), "finished") != 0;
    for (size_t k = 0; evn_results_limitation_at(c.results, k, &by); k++)
        held_back = held_back || (strcmp(by.limit, "top_speed") != 0 && by.duration_s > 0);
    evn_results_free(c.results);
    return !held_back;
}

#endif
