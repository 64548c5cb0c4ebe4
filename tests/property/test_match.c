/*
 * A truck held against a log of its own: what was changed of it comes back within its intervals, in nine of ten logs
 * with noise; what a log cannot tell apart is said.
 */
#define _XOPEN_SOURCE 700
#include "../unit/folder.h"
#include "../unit/trip_probe.h"
#include "evener/match.h"
#include "evener/values.h"
#include <math.h>

#define TRACTOR_FILE "tests/vehicles/trucks/tractor-4x2-central.yaml"
#define ROAD "cycles/scenarios/delivery-day.yaml"
#define ROLLING_FACTOR 1.08
#define DRAG_FACTOR 0.93
#define MORE_KW 3.0

typedef struct noise {
    double speed_m_s, altitude_m, power_kw;
} noise;

static uint64_t lot;

/* As in tests/published/test_coastdown.c. */
static double even(void)
{
    lot = lot * 6364136223846793005u + 1442695040888963407u;
    return ((double)(lot >> 11) + 0.5) / 9007199254740992.0;
}

static double normal(void) { return sqrt(-2 * log(even())) * cos(6.283185307179586 * even()); }

/* ------------------------------------------------------------------------------------------------ a log */

typedef struct writer {
    FILE *to;
    const evn_rig *rig;
    size_t time, speed, height, power, soc, motor;
    noise of;
} writer;

static size_t column_of(const evn_rig *rig, const char *key)
{
    evn_trace_column column;
    size_t k = 0;
    while (evn_trace_column_at(rig, k, &column) && strcmp(column.what.key, key) != 0)
        k++;
    return k;
}

/* Rows of whole seconds: those at events are left out, as a logger would. */
static void write_row(void *self, const double *row, size_t columns)
{
    writer *w = self;
    (void)columns;
    if (fabs(row[w->time] - round(row[w->time])) > 1e-9)
        return;
    double speed = row[w->speed] > 0 ? fmax(row[w->speed] + 3.6 * w->of.speed_m_s * normal(), 0) : 0;
    fprintf(w->to, "%.0f,%.3f,%.3f,%.3f,%.5f,%.1f\n", row[w->time], speed, row[w->height] + w->of.altitude_m * normal(),
            row[w->power] + w->of.power_kw * normal(), row[w->soc], row[w->motor]);
}

static void write_log(const evn_truck *truck, const evn_cycle *cycle, const char *path, noise of)
{
    evn_report *report = evn_report_new();
    evn_conditions ask = evn_conditions_default();
    evn_rig *rig = NULL;
    evn_results *results = NULL;
    ck_assert_int_eq(evn_rig_prepare(truck, &ask.load_case, &rig, report), EVN_DONE);
    writer w = {.to = fopen(path, "w"),
                .rig = rig,
                .time = column_of(rig, "time_s"),
                .speed = column_of(rig, "speed_km_h"),
                .height = column_of(rig, "elevation_m"),
                .power = column_of(rig, "terminal_kw"),
                .soc = column_of(rig, "soc"),
                .motor = column_of(rig, "motor_speed_rpm"),
                .of = of};
    const evn_watcher watcher = {.self = &w, .sample = write_row};
    ck_assert_ptr_nonnull(w.to);
    fputs("time_s,speed_km_h,altitude_m,power_kw,charge [1],motor_speed_rpm\n", w.to);
    ck_assert_int_eq(evn_drive(rig, cycle, &ask.driving, &watcher, &results, report), EVN_DONE);
    ck_assert_int_eq(fclose(w.to), 0);
    evn_results_free(results);
    evn_rig_free(rig);
    evn_report_free(report);
}

/* The truck as it would be in truth. */
static evn_truck *other_truck(void)
{
    static const char *const tyres[] = {"axles.front.tyre.rolling_resistance_coefficient",
                                        "axles.drive.tyre.rolling_resistance_coefficient",
                                        "trailer.tyre.rolling_resistance_coefficient"};
    evn_truck *truck = load_truck(TRACTOR_FILE);
    evn_report *report = evn_report_new();
    for (size_t k = 0; k < 5; k++) {
        const char *const path = k < 3 ? tyres[k] : k == 3 ? "body.drag_area_m2" : "auxiliaries.power_kw";
        double value = 0;
        evn_truck_number(truck, path, &value, report);
        value = k < 3 ? ROLLING_FACTOR * value : k == 3 ? DRAG_FACTOR * value : value + MORE_KW;
        ck_assert_msg(evn_truck_set_number(truck, path, value, report) == EVN_DONE, "%s", path);
    }
    evn_report_free(report);
    return truck;
}

/* ------------------------------------------------------------------------------------------------ matching */

static evn_conditions quick(void)
{
    evn_conditions ask = evn_conditions_default();
    ask.driving.integrator = EVN_INTEGRATOR_ARKODE;
    ask.driving.accuracy = 1e-5;
    return ask;
}

static evn_match *match(const char *path, const evn_conditions *ask, const evn_match_how *how)
{
    evn_match *out = NULL;
    evn_truck *truck = load_truck(TRACTOR_FILE);
    evn_report *report = evn_report_new();
    evn_match_find(truck, path, ask, how, &out, report);
    ck_assert_msg(out, "%s", first_finding(report));
    evn_report_free(report);
    evn_truck_free(truck);
    return out;
}

static double truth_of(const evn_match_found *f)
{
    return f->parameter == EVN_MATCH_ROLLING ? ROLLING_FACTOR * f->stated
           : f->parameter == EVN_MATCH_DRAG  ? DRAG_FACTOR * f->stated
                                             : f->stated + MORE_KW;
}

START_TEST(a_known_truck_comes_back_within_its_intervals)
{
    char path[PATH_BYTES];
    const evn_conditions ask = quick();
    const evn_match_how how = evn_match_how_default();
    evn_truck *truth = other_truck();
    evn_cycle *cycle = load_cycle(ROAD);
    int held[EVN_MATCH_PARAMETERS] = {0};
    folder_begin();
    in_folder(path, "log.csv");
    for (uint64_t seed = 1; seed <= 10; seed++) {
        evn_match_found f;
        evn_match_energy e;
        lot = seed;
        write_log(truth, cycle, path, (noise){0.05, 0.3, 2});
        evn_match *m = match(path, &ask, &how);
        ck_assert(evn_match_energy_of(m, &e) && e.there);
        ck_assert_double_lt(fabs(e.fitted_kwh / e.log_kwh - 1), 0.01);
        for (size_t k = 0; k < 3; k++) {
            ck_assert(evn_match_found_at(m, k, &f));
            bool holds = truth_of(&f) >= f.low && truth_of(&f) <= f.high;
            held[f.parameter] += holds;
            if (getenv("EVENER_TELL"))
                printf("seed %d %s: %g in %g (%g) %g%s\n", (int)seed, f.what.key, truth_of(&f), f.low, f.value, f.high,
                       holds ? "" : " NOT");
        }
        evn_match_free(m);
    }
    folder_end();
    ck_assert_int_ge(held[EVN_MATCH_ROLLING], 9);
    ck_assert_int_ge(held[EVN_MATCH_DRAG], 9);
    ck_assert_int_ge(held[EVN_MATCH_AUXILIARIES], 9);
    evn_cycle_free(cycle);
    evn_truck_free(truth);
}
END_TEST

/* Without noise what is left is the driver, who brakes and changes gear a moment sooner or later than the log's. */
START_TEST(without_noise_it_comes_back_within_its_intervals)
{
    char path[PATH_BYTES];
    const evn_conditions ask = quick();
    const evn_match_how how = evn_match_how_default();
    evn_truck *truth = other_truck();
    evn_cycle *cycle = load_cycle(ROAD);
    evn_match_error e;
    evn_match_explained x;
    folder_begin();
    in_folder(path, "log.csv");
    write_log(truth, cycle, path, (noise){0});
    evn_match *m = match(path, &ask, &how);
    for (size_t k = 0; k < 3; k++) {
        evn_match_found f;
        ck_assert(evn_match_found_at(m, k, &f));
        ck_assert_msg(truth_of(&f) >= f.low && truth_of(&f) <= f.high, "%s: %g to %g for %g", f.what.key, f.low, f.high,
                      truth_of(&f));
        ck_assert(!f.not_told_apart);
    }
    ck_assert(evn_match_explained_of(m, &x) && x.found && x.by_scatter && x.share > 0.5 && x.condition < 10);
    ck_assert(evn_match_error_at(m, 0, &e));
    ck_assert_str_eq(e.what.key, "speed_km_h");
    ck_assert_double_lt(e.rms, 0.5);
    ck_assert(evn_match_error_at(m, 3, &e));
    ck_assert_double_lt(fabs(e.middle_ratio - 1), 0.002); /* the same gears and tyres */
    evn_match_free(m);
    folder_end();
    evn_cycle_free(cycle);
    evn_truck_free(truth);
}
END_TEST

/* At one speed on a level road a heavier truck and one that rolls harder take the same. */
START_TEST(what_a_log_cannot_tell_apart_is_said)
{
    char path[PATH_BYTES];
    const evn_conditions ask = quick();
    evn_match_how how = evn_match_how_default();
    evn_truck *truth = other_truck();
    FILE *to;
    folder_begin();
    to = fopen(in_folder(path, "log.csv"), "w");
    ck_assert_ptr_nonnull(to);
    fputs("time_s,speed_km_h,power_kw\n", to);
    lot = 1;
    for (int t = 0; t <= 3600; t++)
        fprintf(to, "%d,%.3f,%.3f\n", t, t < 60 ? 70.0 * t / 60 : 70.0, t < 60 ? 4.5 * t : 80 + 2 * normal());
    ck_assert_int_eq(fclose(to), 0);
    how.explain = 1u << EVN_MATCH_ROLLING | 1u << EVN_MATCH_MASS | 1u << EVN_MATCH_DRAG;
    evn_match *m = match(path, &ask, &how);
    evn_match_explained x;
    evn_match_found f;
    ck_assert(evn_match_explained_of(m, &x));
    if (x.found)
        ck_assert(evn_match_found_at(m, 0, &f) && f.not_told_apart && x.condition > 10);
    else
        ck_assert_ptr_nonnull(x.why_not);
    evn_match_free(m);
    folder_end();
    evn_truck_free(truth);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("match");
    TCase *tests = tcase_create("match");
    tcase_set_timeout(tests, 120);
    tcase_add_test(tests, a_known_truck_comes_back_within_its_intervals);
    tcase_add_test(tests, without_noise_it_comes_back_within_its_intervals);
    tcase_add_test(tests, what_a_log_cannot_tell_apart_is_said);
    suite_add_tcase(suite, tests);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_NORMAL);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
