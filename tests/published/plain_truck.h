/*
 * A plain truck for checks against closed forms: written as YAML into the test's folder, read and driven through the
 * public calls. Unless a test says otherwise nothing in it is lost: no rolling resistance, no air drag, a motor without
 * losses straight at the wheels, a pack without resistance; all centres of gravity at the road, so that no load moves,
 * and more adhesion than can be used.
 */
#ifndef EVENER_TESTS_PLAIN_TRUCK_H
#define EVENER_TESTS_PLAIN_TRUCK_H
#include "../unit/folder.h"
#include "evener/traces.h"
#include <math.h>

typedef struct plain_truck {
    double mass_kg, drag_area_m2, rolling, rolling_s_m; /* rolling resistance: at rest, and added per m/s */
    double tyres, tyre_inertia_kg_m2, radius_m;         /* of all three axles together; the same on each */
    double driven_load_kg;                              /* at rest, on the last axle */
    double wheelbase_m, centre_height_m;                /* from between the two axles in front to the driven one */
    double driving, regenerating;                       /* adhesion */
    double regenerating_margin, motor_share;            /* 100: no margin */
    double regeneration;                                /* 0: friction brakes only */
    const char *motor, *gearbox, *path, *pack;          /* YAML, without the braces; gearbox and path may be "" */
    const char *driven_tyre;                            /* more keys of the driven tyres, after a comma */
    double auxiliaries_kw;
} plain_truck;

static const char *const strong_motor =
    "peak_torque_nm: 1e6, peak_power_kw: 1e5, top_speed_rpm: 1e5, reference_voltage_v: 700";
static const char *const ideal_pack = "capacity_ah: 1e5, resistance_ohm: 0, open_circuit: {soc: [0.5], voltage_v: "
                                      "[700]}, discharge_limit_kw: 1e5, charge_limit_kw: 1e5, start_soc: 0.5";

static inline plain_truck plain_truck_of(double mass_kg)
{
    return (plain_truck){.mass_kg = mass_kg,
                         .tyres = 18,
                         .radius_m = 0.5,
                         .driven_load_kg = 0.25 * mass_kg,
                         .wheelbase_m = 3.5,
                         .driving = 100,
                         .regenerating = 100,
                         .regenerating_margin = 100,
                         .motor_share = 1,
                         .regeneration = 1,
                         .motor = strong_motor,
                         .gearbox = "",
                         .path = "",
                         .pack = ideal_pack,
                         .driven_tyre = ""};
}

/* Two axles in front share the load that the driven one leaves; the centre of gravity stands where that comes out. */
static inline void write_plain_truck(const plain_truck *t, const char *name)
{
    enum { TEXT_BYTES = 12000 };
    char text[TEXT_BYTES], tyre[300];
    double tyres_each = t->tyres / 3, front_at_m = 0.5, driven_at_m = front_at_m + t->wheelbase_m;
    double centre_m = front_at_m + t->wheelbase_m * t->driven_load_kg / t->mass_kg;
    snprintf(tyre, sizeof tyre,
             "rolling_resistance_coefficient: %.17g, rolling_resistance_speed_coefficient_s_m: %.17g, "
             "rolling_radius_m: %.17g, inertia_kg_m2: %.17g",
             t->rolling, t->rolling_s_m, t->radius_m, t->tyre_inertia_kg_m2);
    int length = snprintf(
        text, sizeof text,
        "name: plain truck\n"
        "invented: true\n"
        "body: {mass_kg: %.17g, centre_behind_front_axle_m: %.17g, centre_height_m: %.17g, drag_area_m2: %.17g}\n"
        "axles:\n"
        "  first: {behind_front_axle_m: 0, support: front, tyres: %g, tyre: {%s}}\n"
        "  second: {behind_front_axle_m: 1, support: front, tyres: %g, tyre: {%s}}\n"
        "  driven: {behind_front_axle_m: %.17g, support: rear, tyres: %g, tyre: {%s%s}}\n"
        "payload: {centre_behind_m: 1}\n"
        "drive_units:\n"
        "  unit:\n"
        "    axles: [3]\n"
        "    motors: {motor: {%s}}\n"
        "    machine_height_m: 0\n"
        "%s%s%s"
        "    path: [%s]\n"
        "battery: {%s}\n"
        "auxiliaries: {power_kw: %.17g}\n"
        "brakes: {regeneration: %s, fade_from_km_h: 0, fade_to_km_h: 0, motor_share: %.17g}\n"
        "adhesion: {driving: %.17g, regenerating: %.17g, regenerating_margin: %.17g}\n",
        t->mass_kg, centre_m, t->centre_height_m, t->drag_area_m2, tyres_each, tyre, tyres_each, tyre, driven_at_m,
        tyres_each, tyre, t->driven_tyre, t->motor, *t->gearbox ? "    gearbox: {" : "", t->gearbox,
        *t->gearbox ? "}\n" : "", t->path, t->pack, t->auxiliaries_kw, t->regeneration > 0 ? "true" : "false",
        t->motor_share, t->driving, t->regenerating, t->regenerating_margin);
    ck_assert(length > 0 && length < TEXT_BYTES);
    write_file(name, text);
}

/* A speed from the first second to the last, moving at both ends, on a constant grade. */
static inline void write_steady(const char *name, double km_h, double seconds, double grade_percent)
{
    char text[600];
    snprintf(text, sizeof text,
             "name: steady\n"
             "invented: true\n"
             "speed: {time_s: [0, %.17g], speed_km_h: [%.17g, %.17g]}\n"
             "road: {place_m: [0, %.17g], grade_percent: [%.17g, %.17g]}\n",
             seconds, km_h, km_h, km_h / 3.6 * seconds + 1, grade_percent, grade_percent);
    write_file(name, text);
}

/* ------------------------------------------------------------------------------------------------ one run */

enum { COLUMNS_MOST = 40 };
typedef struct drive {
    evn_truck *truck;
    evn_cycle *cycle;
    evn_rig *rig;
    evn_results *results;
    evn_report *report;
    evn_status status;
    double *cell; /* rows of the trace, one after another */
    size_t columns, rows, room;
} drive;

static inline void keep_row(void *self, const double *row, size_t columns)
{
    drive *d = self;
    ck_assert_uint_eq(columns, d->columns);
    if (d->rows == d->room) {
        d->room = d->room > 0 ? 2 * d->room : 256;
        d->cell = realloc(d->cell, d->room * columns * sizeof *d->cell);
        ck_assert_ptr_nonnull(d->cell);
    }
    memcpy(d->cell + d->rows++ * columns, row, columns * sizeof *row);
}

/* Gravity of the closed forms, and an accuracy well beyond any tolerance here. */
static inline evn_conditions plain_ask(double air_density_kg_m3)
{
    evn_conditions ask = evn_conditions_default();
    ask.driving.accuracy = 1e-10;
    ask.driving.driver = EVN_DRIVER_EXACT;
    ask.load_case.gravity_m_s2 = 9.81;
    ask.load_case.air_density_kg_m3 = air_density_kg_m3;
    return ask;
}

static inline const char *first_error(const drive *d)
{
    evn_finding finding;
    for (size_t i = 0; evn_report_at(d->report, i, &finding); i++)
        if (finding.severity == EVN_ERROR)
            return finding.text;
    return "no error";
}

/* Drives the files; what comes out is there unless the input is at fault. */
static inline drive drive_files(const char *truck, const char *cycle, const evn_conditions *ask)
{
    drive d = {.report = evn_report_new()};
    ck_assert_ptr_nonnull(d.report);
    ck_assert_msg(evn_truck_load(truck, &d.truck, d.report) == EVN_DONE, "%s", first_error(&d));
    ck_assert_msg(evn_cycle_load(cycle, &d.cycle, d.report) == EVN_DONE, "%s", first_error(&d));
    ck_assert_msg(evn_rig_prepare(d.truck, &ask->load_case, &d.rig, d.report) == EVN_DONE, "%s", first_error(&d));
    d.columns = evn_trace_column_count(d.rig);
    evn_watcher watcher = {.self = &d, .sample = keep_row};
    d.status = evn_drive(d.rig, d.cycle, &ask->driving, &watcher, &d.results, d.report);
    ck_assert_msg(d.results, "%s", first_error(&d));
    ck_assert(d.rows > 0 || d.status == EVN_ANSWER_NO); /* a truck that cannot move off has no rows */
    return d;
}

/* The same with a plain truck and a cycle that is already written. */
static inline drive drive_plain(const plain_truck *t, const char *cycle, const evn_conditions *ask)
{
    char truck_path[PATH_BYTES], cycle_path[PATH_BYTES];
    write_plain_truck(t, "truck.yaml");
    return drive_files(in_folder(truck_path, "truck.yaml"), in_folder(cycle_path, cycle), ask);
}

static inline drive drive_steady(const plain_truck *t, double km_h, double seconds, double grade_percent,
                                 const evn_conditions *ask)
{
    write_steady("steady.yaml", km_h, seconds, grade_percent);
    return drive_plain(t, "steady.yaml", ask);
}

static inline void drive_end(drive *d)
{
    free(d->cell);
    evn_results_free(d->results);
    evn_rig_free(d->rig);
    evn_cycle_free(d->cycle);
    evn_truck_free(d->truck);
    evn_report_free(d->report);
}

static inline double result_of(const drive *d, const char *key)
{
    double value = 0;
    ck_assert_msg(evn_results_get(d->results, key, &value), "no result %s", key);
    return value;
}

static inline double held_s(const drive *d, const char *limit)
{
    evn_limitation held;
    double seconds = 0;
    for (size_t i = 0; evn_results_limitation_at(d->results, i, &held); i++)
        seconds += strcmp(held.limit, limit) == 0 ? held.duration_s : 0;
    return seconds;
}

static inline size_t column_of(const drive *d, const char *key)
{
    evn_trace_column column;
    for (size_t i = 0; evn_trace_column_at(d->rig, i, &column); i++)
        if (strcmp(column.what.key, key) == 0)
            return i;
    ck_abort_msg("no column %s", key);
    return 0;
}

static inline double cell(const drive *d, size_t row, const char *key)
{
    ck_assert_uint_lt(row, d->rows);
    return d->cell[row * d->columns + column_of(d, key)];
}

/* A column where another one passes a value, upwards or downwards, on the straight line between two rows. */
static inline double cell_where(const drive *d, const char *passing, double value, const char *key)
{
    size_t x = column_of(d, passing), y = column_of(d, key);
    for (size_t i = 1; i < d->rows; i++) {
        const double *a = d->cell + (i - 1) * d->columns, *b = a + d->columns;
        if ((a[x] - value) * (b[x] - value) <= 0 && a[x] != b[x])
            return a[y] + (b[y] - a[y]) * (value - a[x]) / (b[x] - a[x]);
    }
    ck_abort_msg("%s never passes %g", passing, value);
    return 0;
}

static inline void check_near(double found, double expected, double relative)
{
    ck_assert_double_eq_tol(found, expected, relative * fabs(expected));
}

#endif
