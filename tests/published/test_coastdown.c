/* Coast-downs: times and distances, the coefficients that come back out of them, and the intervals. */
#include "checked.h"
#include "coastdown/coastdown.h"
#include "core/units.h"
#include <string.h>

/* 36 t on 18 tyres, rolling coefficient 0.006, drag area 5.4 m2 in air of 1.17 kg/m3. */
#define MASS_KG 36000.0
#define ROTATING_KG (18 * 56.7)
#define GRAVITY 9.81
#define DENSITY 1.17
#define ROLLING 0.006
#define DRAG_AREA_M2 5.4
#define A_N (MASS_KG * GRAVITY * ROLLING)
#define C_N_S2_M2 (0.5 * DENSITY * DRAG_AREA_M2)
#define INERTIA_KG (MASS_KG + ROTATING_KG)
#define STEP_S 0.1

enum { SAMPLES_MOST = 60000, RUNS_MOST = 16 };

static const evn_coast_vehicle vehicle = {MASS_KG, ROTATING_KG, GRAVITY};
static const evn_coast_road_load truth = {.of = {[EVN_COAST_ROLLING] = ROLLING, [EVN_COAST_DRAG] = DRAG_AREA_M2}};

/* Speed by closed form, t behind speed v1, in a headwind w: with u = v + w the arctangent solution of u' = -(A + C
 * u2)/m. */
static double closed_m_s(double v1, double wind_m_s, double t)
{
    double slope = sqrt(C_N_S2_M2 / A_N);
    return tan(atan((v1 + wind_m_s) * slope) - t * sqrt(A_N * C_N_S2_M2) / INERTIA_KG) / slope - wind_m_s;
}

static double closed_time_s(double v1, double v2)
{
    double slope = sqrt(C_N_S2_M2 / A_N);
    return INERTIA_KG / sqrt(A_N * C_N_S2_M2) * (atan(v1 * slope) - atan(v2 * slope));
}

typedef struct coasts {
    evn_coast_sample sample[RUNS_MOST][8000];
    evn_coast_run run[RUNS_MOST];
    evn_coast_own own[RUNS_MOST];
    evn_coast_band band[RUNS_MOST * 40];
    size_t runs;
    uint64_t lot;
} coasts;
static coasts all;

/* Evenly between 0 and 1, by a linear congruential generator (Knuth's MMIX constants, from memory). */
static double even(void)
{
    all.lot = all.lot * 6364136223846793005u + 1442695040888963407u;
    return ((double)(all.lot >> 11) + 0.5) / 9007199254740992.0;
}

static double normal(void) { return sqrt(-2 * log(even())) * cos(2 * EVN_PI * even()); }

/* Pairs of runs out and back from and to these speeds, `wind_m_s` against those out; noise of each sample, and a wind
 * of each pair on top that nobody measured. */
static void make(size_t pairs, double from_m_s, double to_m_s, double wind_m_s, double noise_m_s)
{
    all.runs = 2 * pairs;
    for (size_t r = 0; r < all.runs; r++) {
        evn_coast_run *run = &all.run[r];
        size_t count = 0;
        double wind = r % 2 == 0 ? wind_m_s : -wind_m_s;
        while (closed_m_s(from_m_s, wind, (double)count * STEP_S) > to_m_s) {
            double t = (double)count * STEP_S;
            all.sample[r][count++] =
                (evn_coast_sample){.time_s = t, .speed_m_s = closed_m_s(from_m_s, wind, t) + noise_m_s * normal()};
        }
        *run = (evn_coast_run){all.sample[r], count, DENSITY, r % 2 == 1, r / 2};
    }
}

/* ------------------------------------------------------------------------------------------------ motion */

static const published closed = {"arctangent solution of m v' = -(A + C v2), 36 t and 18 tyres of 56.7 kg, A = m g "
                                 "0.006, C = 1/2 1.17 5.4",
                                 CLOSED_FORM};

/* Time and distance by the equations of motion between two speeds, the last step cut where the lower one is passed. */
static void coast(double v1, double v2, double *time_s, double *way_m)
{
    static evn_coast_sample at[SAMPLES_MOST];
    static double speed[SAMPLES_MOST];
    for (size_t i = 0; i < SAMPLES_MOST; i++)
        at[i] = (evn_coast_sample){.time_s = (double)i * STEP_S};
    evn_coast_run run = {.at = at, .count = 5000, .density_kg_m3 = DENSITY};
    evn_coast_motion(&vehicle, &run, &truth, v1, speed, NULL);
    *time_s = *way_m = 0;
    for (size_t i = 0; i + 1 < run.count && speed[i] > v2; i++) {
        double share = fmin((speed[i] - v2) / (speed[i] - speed[i + 1]), 1), end = fmax(speed[i + 1], v2);
        *time_s += share * STEP_S;
        *way_m += share * STEP_S * (speed[i] + end) / 2;
    }
}

START_TEST(coasting_takes_time_and_way_of_the_closed_form)
{
    const double from[] = {70 * EVN_M_S_PER_MPH, 80 / 3.6, 30 / 3.6}, to[] = {15 * EVN_M_S_PER_MPH, 0, 20 / 3.6};
    const double expected_s[] = {283.293, 320.876, 45.246}, expected_m[] = {4894.05, 3232.74, 313.65};
    for (size_t i = 0; i < 3; i++) {
        double time_s, way_m;
        coast(from[i], to[i], &time_s, &way_m);
        check_value(&closed, time_s, RELATIVE, expected_s[i], 1e-4, "s", "coasting from %.2f to %.2f m/s, time",
                    from[i], to[i]);
        check_value(&closed, way_m, RELATIVE, expected_m[i], 1e-4, "m", "coasting from %.2f to %.2f m/s, way", from[i],
                    to[i]);
        check_value(&closed, time_s, RELATIVE, closed_time_s(from[i], to[i]), 1e-6, "s",
                    "coasting from %.2f to %.2f m/s, time to more digits", from[i], to[i]);
    }
}
END_TEST

START_TEST(coasting_down_a_grade_comes_to_the_speed_of_equilibrium)
{
    const published from = {"v = sqrt((m g sin - A cos)/C), 36 t down 1 %", CLOSED_FORM};
    static evn_coast_sample at[SAMPLES_MOST];
    static double speed[SAMPLES_MOST];
    for (size_t i = 0; i < SAMPLES_MOST; i++)
        at[i] = (evn_coast_sample){.time_s = (double)i * STEP_S, .grade = -0.01};
    evn_coast_run run = {.at = at, .count = SAMPLES_MOST, .density_kg_m3 = DENSITY};
    evn_coast_motion(&vehicle, &run, &truth, 10, speed, NULL);
    check_value(&from, 3.6 * speed[SAMPLES_MOST - 1], ABSOLUTE, 76.126, 1e-3, "km/h", "coasting down 1 %%, end speed");
}
END_TEST

/* ------------------------------------------------------------------------------------------------ recovery */

static void regress(double band_km_h, double wind_m_s, evn_coast_found *out)
{
    size_t bands = evn_coast_bands(&vehicle, all.run, all.runs, band_km_h / 3.6, wind_m_s, all.band, RUNS_MOST * 40);
    ck_assert_uint_le(bands, RUNS_MOST * 40);
    evn_coast_regress(&vehicle, all.run, all.runs, all.band, bands, out);
    ck_assert_msg(out->there, "%s", out->why_not);
}

static void fit(evn_coast_sought sought, evn_coast_found *out)
{
    const evn_coast_road_load begin = {.of = {[EVN_COAST_ROLLING] = 0.009, [EVN_COAST_DRAG] = 8}};
    ck_assert(evn_coast_fit(&vehicle, all.run, all.runs, sought, &begin, all.own, out));
    ck_assert_msg(out->there, "%s", out->why_not);
}

#define TWO (1u << EVN_COAST_ROLLING | 1u << EVN_COAST_DRAG)
#define WITH_WIND (TWO | 1u << EVN_COAST_WIND)

START_TEST(regression_gives_drag_area_and_intercept_back)
{
    const published from = {"40 CFR 1066.310(b)(7)(ii): from 70 mph or more to 15 mph or less, F_i over v_i2; run by "
                            "the closed form with drag area 5.4 m2 and 2118.96 N",
                            RECOMPUTED};
    const double band_km_h[] = {2, 5, 20};
    make(1, 70 * EVN_M_S_PER_MPH, 15 * EVN_M_S_PER_MPH, 0, 0);
    for (size_t i = 0; i < 3; i++) {
        evn_coast_found found;
        regress(band_km_h[i], 0, &found);
        check_value(&from, found.load.of[EVN_COAST_DRAG], RELATIVE, 5.4, 0.005, "m2", "drag area, bands of %g km/h",
                    band_km_h[i]);
        check_value(&from, found.load.of[EVN_COAST_ROLLING] * MASS_KG * GRAVITY, RELATIVE, 2118.96, 0.005, "N",
                    "intercept, bands of %g km/h", band_km_h[i]);
        check_value(&closed, found.load.of[EVN_COAST_DRAG], RELATIVE, 5.4, 1e-4, "m2",
                    "drag area without noise, bands of %g km/h", band_km_h[i]);
    }
}
END_TEST

START_TEST(the_fit_gives_the_closed_form_back)
{
    evn_coast_found found;
    make(1, 70 * EVN_M_S_PER_MPH, 15 * EVN_M_S_PER_MPH, 0, 0);
    fit(TWO, &found);
    check_value(&closed, found.load.of[EVN_COAST_DRAG], RELATIVE, 5.4, 1e-7, "m2", "drag area by fit, no noise");
    check_value(&closed, found.load.of[EVN_COAST_ROLLING], RELATIVE, 0.006, 1e-7, "1",
                "rolling coefficient by fit, no noise");
}
END_TEST

START_TEST(wind_along_the_road_is_told_from_rolling_resistance)
{
    const published from = {"mean of (v + w)2 and (v - w)2 is v2 + w2: an intercept of 1/2 rho A w2 more", CLOSED_FORM};
    const double wind_m_s = 2, more_n = C_N_S2_M2 * wind_m_s * wind_m_s;
    evn_coast_found found;
    make(4, 85 / 3.6, 15 / 3.6, wind_m_s, 0);
    regress(5, 0, &found);
    check_value(&from, found.load.of[EVN_COAST_ROLLING] * MASS_KG * GRAVITY - A_N, RELATIVE, more_n, 0.05, "N",
                "intercept more in wind of 2 m/s, regression");
    regress(5, wind_m_s, &found);
    check_value(&from, found.load.of[EVN_COAST_ROLLING] * MASS_KG * GRAVITY, RELATIVE, A_N, 1e-4, "N",
                "intercept in wind of 2 m/s, regression that knows it");
    fit(WITH_WIND, &found);
    check_value(&closed, found.load.of[EVN_COAST_WIND], ABSOLUTE, wind_m_s, 1e-4, "m/s", "wind found by the fit");
    check_value(&closed, found.load.of[EVN_COAST_DRAG], RELATIVE, 5.4, 1e-6, "m2", "drag area by fit, in wind");
}
END_TEST

START_TEST(intervals_hold_the_truth_in_nine_of_ten)
{
    const published from = {"95 % intervals over ten seeds, noise of 0.05 m/s at 10 Hz, six pairs from 85 to 15 km/h",
                            CLOSED_FORM};
    const double expected[] = {ROLLING, DRAG_AREA_M2, 0, 1.5};
    const size_t law[] = {EVN_COAST_ROLLING, EVN_COAST_DRAG, EVN_COAST_WIND};
    int held[EVN_COAST_LAWS] = {0}, held_by_regression[EVN_COAST_LAWS] = {0};
    for (uint64_t seed = 1; seed <= 10; seed++) {
        evn_coast_found fitted, line;
        all.lot = seed;
        make(6, 85 / 3.6, 15 / 3.6, 1.5, 0.05);
        fit(WITH_WIND, &fitted);
        regress(5, 1.5, &line);
        ck_assert(fitted.by_scatter && line.by_scatter);
        for (size_t k = 0; k < 3; k++) {
            size_t of = law[k];
            held[of] += fabs(fitted.load.of[of] - expected[of]) <= fitted.half[of];
            held_by_regression[of] += fabs(line.load.of[of] - expected[of]) <= line.half[of];
        }
        check_value(&from, fitted.load.of[EVN_COAST_DRAG], RELATIVE, DRAG_AREA_M2, 0.01, "m2", "drag area, seed %d",
                    (int)seed);
        check_value(&from, fitted.load.of[EVN_COAST_ROLLING], RELATIVE, ROLLING, 0.01, "1", "rolling, seed %d",
                    (int)seed);
    }
    check_value(&from, held[EVN_COAST_ROLLING], ABOVE, 8.5, 0, "1", "seeds of ten that hold rolling, fit");
    check_value(&from, held[EVN_COAST_DRAG], ABOVE, 8.5, 0, "1", "seeds of ten that hold the drag area, fit");
    check_value(&from, held[EVN_COAST_WIND], ABOVE, 8.5, 0, "1", "seeds of ten that hold the wind, fit");
    check_value(&from, held_by_regression[EVN_COAST_ROLLING], ABOVE, 8.5, 0, "1",
                "seeds of ten that hold rolling, regression");
    check_value(&from, held_by_regression[EVN_COAST_DRAG], ABOVE, 8.5, 0, "1",
                "seeds of ten that hold the drag area, regression");
}
END_TEST

START_TEST(what_cannot_be_told_apart_is_said)
{
    evn_coast_found found;
    const evn_coast_road_load begin = truth;
    make(2, 85 / 3.6, 15 / 3.6, 0, 0.05);
    for (size_t r = 0; r < all.runs; r++)
        all.run[r].back = false; /* all one way: wind could as well be drag and rolling */
    ck_assert(
        evn_coast_fit(&vehicle, all.run, all.runs, WITH_WIND | 1u << EVN_COAST_ROLLING_S_M, &begin, all.own, &found));
    if (found.there)
        ck_assert_double_gt(fabs(found.correlation[EVN_COAST_WIND][EVN_COAST_ROLLING_S_M]), 0.99);
    else
        ck_assert_ptr_nonnull(found.why_not);
}
END_TEST

/* ------------------------------------------------------------------------------------------------ Student */

START_TEST(student_quantiles_are_those_of_the_tables)
{
    const published from = {"tables of Student's distribution, two-sided 95 % (any textbook of statistics)",
                            FROM_MEMORY};
    const size_t freedom[] = {1, 2, 3, 5, 10, 100};
    const double expected[] = {12.706, 4.303, 3.182, 2.571, 2.228, 1.984};
    for (size_t i = 0; i < 6; i++)
        check_value(&from, evn_student_95(freedom[i]), ABSOLUTE, expected[i], 5e-4, "1",
                    "Student's t of %zu degrees of freedom", freedom[i]);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("coastdown");
    TCase *tests = tcase_create("coastdown");
    tcase_add_test(tests, coasting_takes_time_and_way_of_the_closed_form);
    tcase_add_test(tests, coasting_down_a_grade_comes_to_the_speed_of_equilibrium);
    tcase_add_test(tests, regression_gives_drag_area_and_intercept_back);
    tcase_add_test(tests, the_fit_gives_the_closed_form_back);
    tcase_add_test(tests, wind_along_the_road_is_told_from_rolling_resistance);
    tcase_add_test(tests, intervals_hold_the_truth_in_nine_of_ten);
    tcase_add_test(tests, what_cannot_be_told_apart_is_said);
    tcase_add_test(tests, student_quantiles_are_those_of_the_tables);
    suite_add_tcase(suite, tests);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_NORMAL);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
