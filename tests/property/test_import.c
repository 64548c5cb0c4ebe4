/* A known road with noise, gaps, spikes and jumps in its log: what comes back, and what is told of the repairs. */
#define _POSIX_C_SOURCE 200809L
#include "log/import.h"
#include <check.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

/* ------------------------------------------------------------------------------------------------ the known road */

#define TAU 6.283185307179586
static const double STEP_S = 0.1, WAVE_S = 400;

/* Hills of three lengths: grades to 5 %. */
static double altitude_at(double s)
{
    return 300 + 40 * sin(TAU * s / 8000) + 12 * sin(TAU * s / 2500 + 1) + 3 * sin(TAU * s / 1100 + 2);
}

static double sine_at(double s)
{
    return TAU * (40 / 8000.0 * cos(TAU * s / 8000) + 12 / 2500.0 * cos(TAU * s / 2500 + 1) +
                  3 / 1100.0 * cos(TAU * s / 1100 + 2));
}

static double tangent_at(double s)
{
    double sine = sine_at(s);
    return sine / sqrt(1 - sine * sine);
}

/* Every 400 s a stop of 30 s, ramps of 0.5 m/s2 with soft corners, and a wave on the speed between. */
static double speed_at(double t)
{
    double u = fmod(t, WAVE_S) - 30;
    double ramp = fmin(fmin(u, WAVE_S - 30 - u) * 0.5, 22);
    if (u <= 0)
        return 0;
    return ramp < 22 ? 22 * pow(sin(ramp / 22 * TAU / 4), 2) : 22 + 1.5 * (1 - cos(TAU * (u - 44) / 94.0));
}

static unsigned long long state;
static double uniform(void)
{
    state = state * 6364136223846793005ULL + 1442695040888963407ULL;
    return ((double)(state >> 11) + 0.5) / 9007199254740992.0;
}
static double normal(void) { return sqrt(-2 * log(uniform())) * cos(TAU * uniform()); }

typedef struct ruin { /* what is done to the log */
    double speed_noise_m_s, altitude_noise_m;
    bool repairs; /* gaps, spikes, repeated and backward rows */
    bool positions, odometer;
} ruin;

enum { SECONDS = 2400, PATH_BYTES = 64 };
static double truth_s[SECONDS * 10 + 1], truth_v[SECONDS * 10 + 1];

static void know(void)
{
    double s = 0;
    for (size_t k = 0; k <= SECONDS * 10; k++) {
        truth_v[k] = speed_at((double)k * STEP_S);
        s += k > 0 ? (truth_v[k] + truth_v[k - 1]) / 2 * STEP_S : 0;
        truth_s[k] = s;
    }
}

static void write_log(const char *path, ruin r)
{
    FILE *f = fopen(path, "w");
    ck_assert(f);
    fprintf(f, "time_s;%s;altitude [m]\n", r.positions ? "lat;lon" : r.odometer ? "place [m]" : "speed [km/h]");
    for (size_t k = 0; k <= SECONDS * 10; k++) {
        double t = (double)k * STEP_S, s = truth_s[k];
        double z = altitude_at(s) + r.altitude_noise_m * normal();
        double v = truth_v[k] + r.speed_noise_m_s * normal(), dx = normal(), dy = normal();
        bool gap = r.repairs && ((t > 700 && t < 712) || (t > 1203 && t < 1225));
        if (r.repairs && k % 3001 == 1000)
            z += 60;
        if (r.repairs && k % 4001 == 2000)
            v = 0;
        if (gap)
            continue;
        /* Due north along a meridian: 111 km a degree is near enough for a road of its own. */
        double lat = 48 + s / 111195.0 + dx / 111195.0, lon = 9 + dy / 74400.0;
        for (int copy = 0; copy < 1 + (r.repairs && k % 500 == 7); copy++)
            if (r.positions)
                fprintf(f, "%.2f;%.8f;%.8f;%.2f\n", t, lat, lon, z);
            else
                fprintf(f, "%.2f;%.3f;%.2f\n", t, r.odometer ? s + 0.5 * dx : v * 3.6, z);
        if (r.repairs && k % 5000 == 77)
            fprintf(f, "%.2f;%.3f;%.2f\n", t - 2, 0.0, z);
    }
    fclose(f);
}

/* ------------------------------------------------------------------------------------------------ what comes back */

typedef struct recovery {
    double speed_rms_m_s, grade_rms, climb_share, work_share, distance_share;
    evn_import_told told;
} recovery;

static double along(const double *x, const double *y, size_t n, double at, size_t *i)
{
    while (*i + 2 < n && x[*i + 1] <= at)
        ++*i;
    double share = fmin(fmax((at - x[*i]) / (x[*i + 1] - x[*i]), 0), 1);
    return y[*i] + share * (y[*i + 1] - y[*i]);
}

static double true_climb_m(void)
{
    double sum = 0;
    for (double s = 0; s + 1 <= truth_s[SECONDS * 10]; s += 1)
        sum += fmax(altitude_at(s + 1) - altitude_at(s), 0);
    return sum;
}

/* Work at the wheels by the same forces, with the true speed and grade. */
static double true_traction_kwh(const evn_import_how *how)
{
    double sum = 0;
    for (size_t k = 0; k < SECONDS * 10; k++) {
        double v = (truth_v[k] + truth_v[k + 1]) / 2, a = (truth_v[k + 1] - truth_v[k]) / STEP_S;
        double tangent = tangent_at((truth_s[k] + truth_s[k + 1]) / 2), cosine = 1 / hypot(1, tangent);
        double force = how->mass_kg * a + how->mass_kg * 9.80665 * cosine * (how->rolling_resistance + tangent) +
                       0.6 * how->drag_area_m2 * v * v;
        sum += fmax(force * v, 0) * STEP_S;
    }
    return sum / 3.6e6;
}

static recovery recover(ruin r, unsigned long long seed)
{
    char path[PATH_BYTES] = "/tmp/evener-import-XXXXXX";
    int file = mkstemp(path);
    ck_assert(file >= 0);
    close(file);
    state = seed;
    know();
    write_log(path, r);
    evn_report *report = evn_report_new();
    evn_import *im = NULL;
    evn_import_how how = evn_import_default();
    evn_status status = evn_import_log(path, &how, &im, report);
    remove(path);
    evn_finding found;
    if (status != EVN_DONE)
        ck_abort_msg("%s", evn_report_at(report, 0, &found) ? found.text : "no reason");
    const evn_import_cycle *c = evn_import_cycle_of(im);
    recovery out = {.told = *evn_import_tells(im)};
    size_t at = 0;
    for (size_t k = 0; k <= SECONDS * 10; k++) {
        double off = along(c->time_s, c->speed_m_s, c->times, (double)k * STEP_S, &at) - truth_v[k];
        out.speed_rms_m_s += off * off / (SECONDS * 10 + 1);
    }
    at = 0;
    size_t places = 0;
    for (double s = 0; s < truth_s[SECONDS * 10]; s += 5, places++) {
        double off = along(c->grade_place_m, c->grade_ratio, c->grades, s, &at) - tangent_at(s);
        out.grade_rms += off * off;
    }
    out.speed_rms_m_s = sqrt(out.speed_rms_m_s);
    out.grade_rms = sqrt(out.grade_rms / (double)places);
    out.climb_share = out.told.climb_m / true_climb_m() - 1;
    out.work_share = out.told.work[0].traction_kwh / true_traction_kwh(&how) - 1;
    out.distance_share = out.told.distance_m / truth_s[SECONDS * 10] - 1;
    if (getenv("EVENER_TELL"))
        printf("speed %.4f m/s grade %.4f %% climb %+.2f %% work %+.3f %% distance %+.4f %%; widths %.1f s %.0f m; "
               "noise %.3f m/s %.2f m; off %zu %zu gaps %zu+%zu rep %zu back %zu; stops %zu; climb before %.0f after "
               "%.0f; "
               "work %.2f %.2f %.2f; %zu times %zu grades\n",
               out.speed_rms_m_s, out.grade_rms * 100, out.climb_share * 100, out.work_share * 100,
               out.distance_share * 100, out.told.speed_width_s, out.told.grade_width_m, out.told.speed_noise_m_s,
               out.told.altitude_noise_m, out.told.speeds_off, out.told.altitudes_off, out.told.gaps,
               out.told.gaps_at_rest, out.told.repeated, out.told.backward, out.told.stops, out.told.climb_before_m,
               out.told.climb_m, out.told.work[0].traction_kwh, out.told.work[1].traction_kwh,
               out.told.work[2].traction_kwh, c->times, c->grades);
    evn_import_free(im);
    evn_report_free(report);
    return out;
}

static void holds(const recovery *r)
{
    ck_assert_double_lt(r->speed_rms_m_s, 0.2);
    ck_assert_double_lt(r->grade_rms, 0.003);
    ck_assert_double_lt(fabs(r->climb_share), 0.03);
    ck_assert_double_lt(fabs(r->work_share), 0.01);
}

START_TEST(a_log_with_noise_gives_its_road_back)
{
    recovery r = recover((ruin){.speed_noise_m_s = 0.3, .altitude_noise_m = 2.5}, 1 + (unsigned)_i);
    holds(&r);
    ck_assert_double_eq_tol(r.told.altitude_noise_m, 2.5, 0.25);
    ck_assert_double_eq_tol(r.told.speed_noise_m_s, 0.3, 0.03);
    ck_assert_uint_eq(r.told.stops, 7);
    ck_assert_double_gt(r.told.climb_before_m, 5 * r.told.climb_m);
}
END_TEST

START_TEST(gaps_spikes_and_jumps_are_repaired_and_counted)
{
    recovery r = recover((ruin){.speed_noise_m_s = 0.3, .altitude_noise_m = 2.5, .repairs = true}, 7);
    holds(&r);
    ck_assert_uint_eq(r.told.repeated, 47); /* one of 48 lies in a gap */
    ck_assert_uint_eq(r.told.backward, 5);
    ck_assert_uint_eq(r.told.gaps, 1);
    ck_assert_uint_eq(r.told.gaps_at_rest, 1);
    ck_assert_uint_ge(r.told.altitudes_off, 7); /* of 8 one lies in a gap */
    ck_assert_uint_ge(r.told.speeds_off, 4);
}
END_TEST

START_TEST(positions_alone_give_speed_and_distance)
{
    recovery r = recover((ruin){.positions = true, .altitude_noise_m = 1}, 3);
    holds(&r);
    ck_assert_double_lt(fabs(r.distance_share), 0.003);
    ck_assert_str_eq(r.told.speed_from, "latitude and longitude");
}
END_TEST

START_TEST(an_odometer_alone_gives_speed)
{
    recovery r = recover((ruin){.odometer = true, .altitude_noise_m = 1}, 4);
    holds(&r);
    ck_assert_double_lt(fabs(r.distance_share), 0.001);
}
END_TEST

START_TEST(a_log_without_noise_comes_back_as_it_is)
{
    recovery r = recover((ruin){0}, 1);
    ck_assert_double_lt(r.speed_rms_m_s, 0.05);
    ck_assert_double_lt(r.grade_rms, 0.001);
    ck_assert_double_lt(fabs(r.climb_share), 0.01);
    ck_assert_double_lt(fabs(r.work_share), 0.005);
}
END_TEST

int main(void)
{
    TCase *road = tcase_create("road");
    tcase_add_loop_test(road, a_log_with_noise_gives_its_road_back, 0, 3);
    tcase_add_test(road, gaps_spikes_and_jumps_are_repaired_and_counted);
    tcase_add_test(road, positions_alone_give_speed_and_distance);
    tcase_add_test(road, an_odometer_alone_gives_speed);
    tcase_add_test(road, a_log_without_noise_comes_back_as_it_is);
    Suite *suite = suite_create("import");
    suite_add_tcase(suite, road);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_ENV);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
