/* Rides over profiles, over time, held against the same by frequency; stops, and tyres off the ground. */
#include "site/ride_golden.h"
#include "site/ride_profile.h"
#include "site/ride_road.h"
#include "site/ride_time.h"
#include <check.h>
#include <math.h>
#include <stdlib.h>

static const evn_quarter truck = {4500, 450, 600e3, 25e3, 2e6, 600};
static const evn_ride_stops no_stops = {(double)INFINITY, (double)INFINITY, 2e6};

enum { SPEED_M_S = 20 };
static const char *const names[EVN_RIDES] = {"body", "travel", "tyre", "wheel"};

static evn_profile road_of(const evn_profile_ask *ask)
{
    evn_profile p;
    ck_assert(evn_profile_make(ask, &p));
    return p;
}

static evn_ride_driven driven(const evn_quarter *q, const evn_ride_stops *stops, double static_n, double lead_s,
                              double speed_m_s, const evn_profile *p, double unevenness_m3)
{
    evn_moments linear[EVN_RIDES];
    evn_ride_driven out;
    evn_quarter_on_road(q, unevenness_m3, speed_m_s, evn_band_of_road(speed_m_s), linear);
    evn_ride_drive drive = {q, stops, static_n, speed_m_s, lead_s, p->length_m, linear[EVN_RIDE_TRAVEL].rms, 1e-4};
    ck_assert_int_eq(evn_ride_over(p, &drive, &out), EVN_RIDE_DONE);
    return out;
}

static void agree(const evn_ride_driven *d, const evn_quarter *q, const evn_profile_ask *ask, double speed_m_s,
                  double within)
{
    evn_moments linear[EVN_RIDES];
    evn_quarter_on_road(q, ask->unevenness_m3, speed_m_s, (evn_band){ask->from_m1 * speed_m_s, ask->to_m1 * speed_m_s},
                        linear);
    for (int k = 0; k < EVN_RIDES; k++)
        ck_assert_msg(fabs(d->rms[k] / linear[k].rms - 1) < within, "%s: %.6g over time, %.6g by frequency: %+.3f %%",
                      names[k], d->rms[k], linear[k].rms, 100 * (d->rms[k] / linear[k].rms - 1));
}

START_TEST(a_whole_period_of_the_lines_agrees_with_their_spectrum_within_a_half_per_cent)
{
    const evn_profile_ask ask = {64e-6, EVN_WAVES_FROM_M1, EVN_WAVES_TO_M1, 0.02, 16, EVN_LINES_OF_SPECTRUM, 1};
    evn_profile p = road_of(&ask);
    evn_ride_driven d = driven(&truck, &no_stops, (double)INFINITY, 20, SPEED_M_S, &p, ask.unevenness_m3);
    agree(&d, &truck, &ask, SPEED_M_S, 0.005);
    evn_profile_free(&p);
}
END_TEST

START_TEST(twenty_km_of_random_road_agree_within_three_per_cent)
{
    const evn_profile_ask ask = {64e-6, EVN_WAVES_FROM_M1, 1.0, 0.08, 18, EVN_LINES_DRAWN, 2026};
    evn_profile p = road_of(&ask);
    ck_assert_double_gt(p.length_m, 20000);
    evn_ride_driven d = driven(&truck, &no_stops, (double)INFINITY, 0, SPEED_M_S, &p, ask.unevenness_m3);
    agree(&d, &truck, &ask, SPEED_M_S, 0.03);
    evn_profile_free(&p);
}
END_TEST

START_TEST(a_profile_has_the_variance_and_the_index_of_its_spectrum)
{
    const evn_profile_ask ask = {256e-6, EVN_WAVES_FROM_M1, EVN_WAVES_TO_M1, 0.02, 19, EVN_LINES_OF_SPECTRUM, 7};
    evn_profile p = road_of(&ask);
    double sum = 0, height_m, slope;
    for (size_t i = 0; i < p.points; i++) {
        evn_profile_at(&p, (double)i * p.apart_m, &height_m, &slope);
        sum += height_m * height_m;
    }
    double rms_m = sqrt(sum / (double)p.points),
           right_m = evn_road_band_rms_m(ask.unevenness_m3, ask.from_m1, ask.to_m1);
    ck_assert_msg(fabs(rms_m / right_m - 1) < 0.005, "%g m, %g by the spectrum", rms_m, right_m);
    double iri = evn_profile_iri_m_km(&p), right = evn_road_iri_m_km(ask.unevenness_m3);
    ck_assert_msg(fabs(iri / right - 1) < 0.02, "index %g, %g in closed form", iri, right);
    evn_profile_free(&p);
}
END_TEST

START_TEST(slopes_are_those_of_the_heights_and_the_profile_goes_round)
{
    const evn_profile_ask ask = {256e-6, EVN_WAVES_FROM_M1, EVN_WAVES_TO_M1, 0.05, 12, EVN_LINES_OF_SPECTRUM, 7};
    evn_profile p = road_of(&ask);
    for (int i = 0; i < 300; i++) {
        double at_m = 0.683 * i, before, here, behind, slope, round, other;
        evn_profile_at(&p, at_m - 1e-5, &before, &slope);
        evn_profile_at(&p, at_m + 1e-5, &behind, &slope);
        evn_profile_at(&p, at_m, &here, &slope);
        evn_profile_at(&p, at_m - p.length_m, &round, &other);
        ck_assert_double_eq_tol(slope, (behind - before) / 2e-5, 1e-6);
        ck_assert_double_eq_tol(here, round, 1e-9);
    }
    evn_profile_free(&p);
}
END_TEST

/* ------------------------------------------------------------------------------------------------ what is not linear
 */

static const evn_profile_ask rough = {4096e-6, EVN_WAVES_FROM_M1, EVN_WAVES_TO_M1, 0.02, 16, EVN_LINES_OF_SPECTRUM, 3};
static const evn_ride_stops stops = {0.06, 0.08, 2e6};
#define STATIC_N (4950 * 9.81)

/* The same written anew: Runge and Kutta's method in steps of 0.1 ms, the tyre's force cut at zero. */
static void rates(const evn_profile *p, double speed_m_s, double t, const double y[4], double dy[4], double *tyre_n)
{
    double w, slope, x = y[0] - y[2], bump = -x - stops.bump_m, rebound = x - stops.rebound_m;
    evn_profile_at(p, speed_m_s * t, &w, &slope);
    double f = -truck.spring_n_m * x - truck.damper_n_s_m * (y[1] - y[3]);
    f += bump > 0 ? stops.stiffness_n_m * bump * bump / 0.02 : 0;
    f -= rebound > 0 ? stops.stiffness_n_m * rebound * rebound / 0.02 : 0;
    *tyre_n = fmax(truck.tyre_n_m * (w - y[2]) + truck.tyre_n_s_m * (slope * speed_m_s - y[3]), -STATIC_N);
    dy[0] = y[1];
    dy[1] = f / truck.sprung_kg;
    dy[2] = y[3];
    dy[3] = (*tyre_n - f) / truck.unsprung_kg;
}

static void one_step(const evn_profile *p, double speed_m_s, double t, double h, double y[4])
{
    double k[4][4], at[4], tyre_n;
    rates(p, speed_m_s, t, y, k[0], &tyre_n);
    for (int i = 1; i < 4; i++) {
        double part = i == 3 ? h : h / 2;
        for (int j = 0; j < 4; j++)
            at[j] = y[j] + part * k[i - 1][j];
        rates(p, speed_m_s, t + part, at, k[i], &tyre_n);
    }
    for (int j = 0; j < 4; j++)
        y[j] += h / 6 * (k[0][j] + 2 * k[1][j] + 2 * k[2][j] + k[3][j]);
}

START_TEST(stops_and_tyres_off_the_ground_are_those_of_another_method)
{
    static const double h = 1e-4, lead_s = 20;
    evn_profile p = road_of(&rough);
    double y[4] = {0}, dy[4], tyre_n, square[EVN_RIDES] = {0}, off = 0, speed_m_s = 15;
    long lead = lround(lead_s / h), steps = lround(p.length_m / speed_m_s / h);
    evn_ride_driven d = driven(&truck, &stops, STATIC_N, lead_s, speed_m_s, &p, rough.unevenness_m3);
    for (long i = -lead; i < steps; i++) {
        one_step(&p, speed_m_s, (double)i * h, h, y);
        if (i < 0)
            continue;
        rates(&p, speed_m_s, (double)(i + 1) * h, y, dy, &tyre_n);
        const double value[EVN_RIDES] = {dy[1], y[0] - y[2], tyre_n, dy[3]};
        for (int k = 0; k < EVN_RIDES; k++)
            square[k] += value[k] * value[k] / (double)steps;
        off += (tyre_n <= -STATIC_N) / (double)steps;
    }
    for (int k = 0; k < EVN_RIDES; k++)
        ck_assert_msg(fabs(d.rms[k] / sqrt(square[k]) - 1) < 0.005, "%s: %g, %g by the other", names[k], d.rms[k],
                      sqrt(square[k]));
    ck_assert_uint_gt(d.lift_offs, 20);
    ck_assert_double_eq_tol(d.off_ground_share, off, 0.002);
    ck_assert_double_gt(d.most_bump_m, stops.bump_m);
    evn_profile_free(&p);
}
END_TEST

START_TEST(a_tyre_never_pulls)
{
    evn_profile p = road_of(&rough);
    evn_ride_driven real = driven(&truck, &no_stops, STATIC_N, 20, 15, &p, rough.unevenness_m3),
                    linear = driven(&truck, &no_stops, (double)INFINITY, 20, 15, &p, rough.unevenness_m3);
    ck_assert_double_lt(linear.least_tyre_n, -1.2 * STATIC_N);
    ck_assert_double_ge(real.least_tyre_n, -STATIC_N * (1 + 1e-6));
    ck_assert_double_gt(real.off_ground_share, 0.005);
    ck_assert(linear.off_ground_share == 0 && linear.lift_offs == 0);
    evn_profile_free(&p);
}
END_TEST

START_TEST(stops_shorten_the_travel_and_shake_the_body)
{
    evn_profile p = road_of(&rough);
    evn_ride_driven with = driven(&truck, &stops, STATIC_N, 20, 15, &p, rough.unevenness_m3),
                    without = driven(&truck, &no_stops, STATIC_N, 20, 15, &p, rough.unevenness_m3);
    ck_assert_double_gt(without.most_bump_m, stops.bump_m + 0.01);
    ck_assert_double_lt(with.most_bump_m, without.most_bump_m);
    ck_assert_double_gt(with.most[EVN_RIDE_BODY], without.most[EVN_RIDE_BODY]);
    evn_profile_free(&p);
}
END_TEST

/* ------------------------------------------------------------------------------------------------ more unsprung mass
 */

/* Over many cars, by frequency on the road's band: what is reported of a machine that is hung on the axle. */
START_TEST(more_unsprung_mass_raises_the_dynamic_tyre_load_and_lowers_its_own_acceleration)
{
    for (int i = 0; i < 81; i++) {
        const double springs[] = {300e3, 600e3, 900e3}, dampers[] = {12e3, 18e3, 25e3}, speeds[] = {8, 15, 22},
                     masses[] = {300, 450, 650};
        evn_quarter less = {4500, masses[i / 27], springs[i / 9 % 3], dampers[i / 3 % 3], 2e6, 500}, more = less;
        evn_moments of_less[EVN_RIDES], of_more[EVN_RIDES];
        double speed_m_s = speeds[i % 3];
        more.unsprung_kg += 100;
        evn_quarter_on_road(&less, 64e-6, speed_m_s, evn_band_of_road(speed_m_s), of_less);
        evn_quarter_on_road(&more, 64e-6, speed_m_s, evn_band_of_road(speed_m_s), of_more);
        ck_assert_msg(of_more[EVN_RIDE_TYRE].rms > of_less[EVN_RIDE_TYRE].rms, "car %d: tyre load %g, %g with more", i,
                      of_less[EVN_RIDE_TYRE].rms, of_more[EVN_RIDE_TYRE].rms);
        ck_assert_msg(of_more[EVN_RIDE_WHEEL].rms < of_less[EVN_RIDE_WHEEL].rms, "car %d: wheel %g, %g with more", i,
                      of_less[EVN_RIDE_WHEEL].rms, of_more[EVN_RIDE_WHEEL].rms);
    }
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("ride over time");
    TCase *tests = tcase_create("over time");
    tcase_add_test(tests, a_whole_period_of_the_lines_agrees_with_their_spectrum_within_a_half_per_cent);
    tcase_add_test(tests, twenty_km_of_random_road_agree_within_three_per_cent);
    tcase_add_test(tests, a_profile_has_the_variance_and_the_index_of_its_spectrum);
    tcase_add_test(tests, slopes_are_those_of_the_heights_and_the_profile_goes_round);
    tcase_add_test(tests, stops_and_tyres_off_the_ground_are_those_of_another_method);
    tcase_add_test(tests, a_tyre_never_pulls);
    tcase_add_test(tests, stops_shorten_the_travel_and_shake_the_body);
    tcase_add_test(tests, more_unsprung_mass_raises_the_dynamic_tyre_load_and_lowers_its_own_acceleration);
    suite_add_tcase(suite, tests);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_ENV);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed ? EXIT_FAILURE : EXIT_SUCCESS;
}
