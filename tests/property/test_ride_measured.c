/* Tracks as measured: their lines against closed forms, what is said of them, and rides over time against those lines.
 */
#include "cycle/surface.h"
#include "site/ride_golden.h"
#include "site/ride_measured.h"
#include "site/ride_time.h"
#include "site/ride_transform.h"
#include <check.h>
#include <math.h>
#include <stdlib.h>

static const double PI = 3.14159265358979323846;

/* Places from 7 m on, which lines do not ask for. */
typedef struct track {
    double *place_m, *height_m;
    evn_profile_file file;
    evn_arena *arena;
    evn_measured found;
} track;

static track track_of(size_t steps, double apart_m)
{
    track t = {malloc((steps + 1) * sizeof(double)),
               calloc(steps + 1, sizeof(double)),
               {.table = NULL},
               evn_arena_new(),
               {.length_m = 0}};
    ck_assert(t.place_m && t.height_m && t.arena);
    for (size_t i = 0; i <= steps; i++)
        t.place_m[i] = 7 + (double)i * apart_m;
    t.file.place_m = (evn_list){t.place_m, steps + 1};
    t.file.height_m = (evn_list){t.height_m, steps + 1};
    return t;
}

static void measure(track *t) { ck_assert(evn_measured_of(&t->file, t->arena, &t->found)); }

static void end(track *t)
{
    free(t->place_m);
    free(t->height_m);
    evn_arena_free(t->arena);
}

static double variance_m2(const track *t, size_t k) { return evn_complex_size2(t->found.line.at[k]) / 2; }

/* As many steps as the profile has points, once round. */
static track track_along(const evn_profile *p)
{
    track t = track_of(p->points, p->apart_m);
    double slope;
    for (size_t i = 0; i <= p->points; i++)
        evn_profile_at(p, (double)i * p->apart_m, &t.height_m[i], &slope);
    measure(&t);
    return t;
}

static track track_by(const evn_profile_ask *ask)
{
    evn_profile p;
    ck_assert(evn_profile_make(ask, &p));
    track t = track_along(&p);
    evn_profile_free(&p);
    return t;
}

/* ------------------------------------------------------------------------------------------------ lines */

START_TEST(sums_of_any_number_are_those_written_out)
{
    static const size_t numbers[] = {1, 2, 3, 7, 16, 30, 101};
    for (size_t i = 0; i < sizeof numbers / sizeof *numbers; i++) {
        size_t n = numbers[i];
        double x[101];
        evn_complex found[101];
        for (size_t j = 0; j < n; j++)
            x[j] = sin(1.7 * (double)j) + 0.3 * (double)(j % 5);
        ck_assert(evn_transform_real(x, n, found));
        for (size_t k = 0; k < n; k++) {
            double re = 0, im = 0;
            for (size_t j = 0; j < n; j++) {
                re += x[j] * cos(2 * PI * (double)(j * k) / (double)n);
                im -= x[j] * sin(2 * PI * (double)(j * k) / (double)n);
            }
            ck_assert_double_eq_tol(found[k].re, re, 1e-10);
            ck_assert_double_eq_tol(found[k].im, im, 1e-10);
        }
    }
}
END_TEST

START_TEST(a_sine_is_one_line_of_its_variance)
{
    track t = track_of(1500, 0.1);
    for (size_t i = 0; i <= 1500; i++)
        t.height_m[i] = 0.01 * sin(2 * PI * 30 * (double)i / 1500);
    measure(&t);
    ck_assert_double_eq_tol(variance_m2(&t, 30), 0.01 * 0.01 / 2, 1e-15);
    for (size_t k = 1; k < t.found.line.count; k++)
        ck_assert(k == 30 || variance_m2(&t, k) < 1e-25);
    double sum_m2 = 0;
    for (size_t k = 0; k < t.found.spectrum.count; k++)
        sum_m2 += t.found.spectrum.line_m2[k];
    ck_assert_double_eq_tol(sum_m2, 0.01 * 0.01 / 2, 1e-15);
    end(&t);
}
END_TEST

/* By Parseval: a wave of the track, another too short to count and one too long, each that fits whole. */
START_TEST(what_of_a_track_lies_in_waves_that_do_not_count_is_its_share_of_the_variance)
{
    track t = track_of(1500, 0.1), flat = track_of(1500, 0.1);
    for (size_t i = 0; i <= 1500; i++) {
        double round = 2 * PI * (double)i / 1500;
        t.height_m[i] = 0.01 * sin(30 * round) + 0.02 * sin(600 * round) + 0.04 * sin(round);
    }
    measure(&t);
    ck_assert_double_eq_tol(t.found.short_share, 4.0 / (1 + 4), 1e-9);
    ck_assert_double_eq_tol(t.found.long_share, 16.0 / (1 + 4 + 16), 1e-9);
    measure(&flat);
    ck_assert(flat.found.short_share == 0 && flat.found.long_share == 0);
    end(&t);
    end(&flat);
}
END_TEST

START_TEST(a_straight_line_below_a_track_changes_nothing_of_it)
{
    const evn_profile_ask ask = {256e-6, EVN_WAVES_FROM_M1, EVN_WAVES_TO_M1, 0.1, 11, EVN_LINES_DRAWN, 3, NULL, NULL};
    track level = track_by(&ask), tilted = track_by(&ask);
    for (size_t i = 0; i < tilted.file.height_m.count; i++)
        tilted.height_m[i] += 412 + 0.06 * tilted.place_m[i];
    measure(&tilted);
    for (size_t k = 1; k < level.found.line.count; k++)
        ck_assert_double_eq_tol(variance_m2(&tilted, k), variance_m2(&level, k), 1e-12);
    ck_assert_double_eq_tol(tilted.found.iri_m_km, level.found.iri_m_km, 1e-6);
    end(&level);
    end(&tilted);
}
END_TEST

START_TEST(lines_that_a_profile_was_made_of_come_back_with_its_class_and_its_index)
{
    const evn_profile_ask ask = {256e-6, EVN_WAVES_FROM_M1, EVN_WAVES_TO_M1, 0.05, 13, EVN_LINES_OF_SPECTRUM, 5, NULL,
                                 NULL};
    evn_profile p;
    ck_assert(evn_profile_make(&ask, &p));
    track t = track_along(&p);
    for (size_t k = 5; k < t.found.line.count; k++) /* from 0.011 cycles/m on */
        ck_assert_double_eq_tol(variance_m2(&t, k) * p.length_m / evn_road_density_m3(256e-6, (double)k / p.length_m),
                                1, 1e-8);
    ck_assert_double_eq_tol(t.found.unevenness_m3, 256e-6, 1e-12);
    ck_assert_int_eq(evn_class_of_unevenness(t.found.unevenness_m3), 'C');
    ck_assert_double_eq_tol(t.found.iri_m_km, evn_profile_iri_m_km(&p), 1e-6);
    evn_profile_free(&p);
    end(&t);
}
END_TEST

/* 95 of 100 are expected, with a standard deviation of 2.2. */
START_TEST(of_a_hundred_random_roads_about_95_have_their_unevenness_within_the_stated_interval)
{
    int within = 0;
    for (uint64_t seed = 1; seed <= 100; seed++) {
        const evn_profile_ask ask = {1024e-6, EVN_WAVES_FROM_M1, 1, 0.1, 11, EVN_LINES_DRAWN, seed, NULL, NULL};
        track t = track_by(&ask);
        within += t.found.low_m3 <= 1024e-6 && 1024e-6 <= t.found.high_m3;
        end(&t);
    }
    ck_assert_int_ge(within, 90);
    ck_assert_int_le(within, 99);
}
END_TEST

/*
 * A walk of steps by lot does not close upon itself. Its slope is white, of a density of 2 apart times the variance of
 * a slope; between its points it is straight, which takes 0.3 % at 0.1 cycles/m.
 */
START_TEST(roads_that_do_not_close_have_the_unevenness_of_their_slope_on_the_mean)
{
    enum { ROADS = 200, STEPS = 2000 };
    static const double APART_M = 0.1;
    double slope_density = evn_road_slope_density_m(256e-6), slope = sqrt(slope_density / (2 * APART_M)), mean_m3 = 0;
    uint32_t lot = 12345;
    track t = track_of(STEPS, APART_M);
    for (int road = 0; road < ROADS; road++) {
        for (size_t i = 1; i <= STEPS; i++) {
            lot = lot * 1664525U + 1013904223U;
            t.height_m[i] = t.height_m[i - 1] + (lot >> 31 ? slope : -slope) * APART_M;
        }
        measure(&t);
        mean_m3 += t.found.unevenness_m3 / ROADS;
    }
    ck_assert_msg(fabs(mean_m3 / 256e-6 - 1) < 0.05, "%g m3 on the mean, 256e-6 by the slope", mean_m3);
    end(&t);
}
END_TEST

/* ------------------------------------------------------------------------------------------------ rides */

static const evn_quarter truck = {4500, 450, 600e3, 25e3, 2e6, 600};

/* The track itself over time, against its lines by frequency. */
START_TEST(a_track_over_time_agrees_with_its_lines_within_a_half_per_cent)
{
    static const evn_ride_stops no_stops = {(double)INFINITY, (double)INFINITY, 2e6};
    const evn_profile_ask ask = {256e-6, EVN_WAVES_FROM_M1, EVN_WAVES_TO_M1, 0.1, 12, EVN_LINES_DRAWN, 11, NULL, NULL};
    track t = track_by(&ask);
    const evn_profile_ask itself = {.apart_m = t.found.length_m / 32768, .points_log2 = 15, .measured = &t.found.line};
    evn_profile p;
    evn_moments lines[EVN_RIDES];
    evn_ride_driven driven;
    ck_assert(evn_profile_make(&itself, &p));
    ck_assert_double_eq_tol(p.length_m, t.found.length_m, 1e-9);
    evn_quarter_on_spectrum(&truck, &t.found.spectrum, 1, 15, evn_band_of_road(15), lines);
    const evn_ride_drive drive = {&truck, &no_stops,  (double)INFINITY,           15,
                                  20,     p.length_m, lines[EVN_RIDE_TRAVEL].rms, 1e-4};
    ck_assert_int_eq(evn_ride_over(&p, &drive, &driven), EVN_RIDE_DONE);
    for (int k = 0; k < EVN_RIDES; k++)
        ck_assert_msg(fabs(driven.rms[k] / lines[k].rms - 1) < 0.005, "%d: %.6g over time, %.6g by its lines", k,
                      driven.rms[k], lines[k].rms);
    evn_profile_free(&p);
    end(&t);
}
END_TEST

START_TEST(the_track_that_is_driven_goes_through_the_points_that_were_measured)
{
    const evn_profile_ask ask = {256e-6, EVN_WAVES_FROM_M1, EVN_WAVES_TO_M1, 0.1, 11, EVN_LINES_DRAWN, 4, NULL, NULL};
    track t = track_by(&ask);
    const evn_profile_ask itself = {.apart_m = t.found.length_m / 16384, .points_log2 = 14, .measured = &t.found.line};
    evn_profile p;
    double mean_m = 0, at_0_m, slope;
    ck_assert(evn_profile_make(&itself, &p));
    evn_profile_at(&p, 0, &at_0_m, &slope);
    mean_m = t.height_m[0] - at_0_m;
    for (size_t i = 0; i < t.file.height_m.count; i += 7) {
        double height_m;
        evn_profile_at(&p, (double)i * ask.apart_m, &height_m, &slope);
        ck_assert_double_eq_tol(height_m + mean_m, t.height_m[i], 1e-6);
    }
    evn_profile_free(&p);
    end(&t);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("tracks as measured");
    TCase *lines = tcase_create("lines"), *rides = tcase_create("rides");
    tcase_add_test(lines, sums_of_any_number_are_those_written_out);
    tcase_add_test(lines, a_sine_is_one_line_of_its_variance);
    tcase_add_test(lines, a_straight_line_below_a_track_changes_nothing_of_it);
    tcase_add_test(lines, what_of_a_track_lies_in_waves_that_do_not_count_is_its_share_of_the_variance);
    tcase_add_test(lines, lines_that_a_profile_was_made_of_come_back_with_its_class_and_its_index);
    tcase_add_test(lines, of_a_hundred_random_roads_about_95_have_their_unevenness_within_the_stated_interval);
    tcase_add_test(lines, roads_that_do_not_close_have_the_unevenness_of_their_slope_on_the_mean);
    tcase_add_test(rides, a_track_over_time_agrees_with_its_lines_within_a_half_per_cent);
    tcase_add_test(rides, the_track_that_is_driven_goes_through_the_points_that_were_measured);
    suite_add_tcase(suite, lines);
    suite_add_tcase(suite, rides);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_ENV);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed ? EXIT_FAILURE : EXIT_SUCCESS;
}
