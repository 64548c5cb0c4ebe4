/* Distances on WGS 84, and what smoothing passes, against published lines and closed forms. */
#include "checked.h"
#include "log/ground.h"
#include "log/spline.h"

#define TAU 6.283185307179586

static evn_geodesics library;
static void open_library(void)
{
    evn_report *report = evn_report_new();
    ck_assert(evn_geodesics_open(&library, report));
    evn_report_free(report);
}

static double dms(double degrees, double minutes, double seconds)
{
    return copysign(fabs(degrees) + minutes / 60 + seconds / 3600, degrees);
}

/* Its ellipsoid is GRS 80, whose flattening is that of WGS 84 to 2e-9: 0.1 mm on this line. */
START_TEST(a_line_of_the_australian_manual)
{
    static const published from = {
        "Vincenty's inverse, Flinders Peak to Buninyong: ICSM, Geocentric Datum of Australia "
        "Technical Manual, version 2.3, chapter 4 (GRS 80)",
        FROM_MEMORY};
    evn_position peak = {dms(-37, 57, 3.72030), dms(144, 25, 29.52440)};
    evn_position other = {dms(-37, 39, 10.15610), dms(143, 55, 35.38390)};
    double azimuth;
    check_value(&from, evn_ground_distance_m(&library, peak, other, &azimuth), ABSOLUTE, 54972.271, 0.001, "m",
                "distance from Flinders Peak to Buninyong");
    check_value(&from, azimuth + 360, ABSOLUTE, dms(306, 52, 5.37), 0.01 / 3600, "deg", "azimuth at Flinders Peak");
}
END_TEST

START_TEST(a_line_between_nearly_opposite_points)
{
    static const published from = {"Karney, Algorithms for geodesics, Journal of Geodesy 87 (2013), inverse problem of "
                                   "nearly antipodal points (latitudes -30 and 29.9, longitudes 179.8 apart)",
                                   FROM_MEMORY};
    double azimuth;
    check_value(&from, evn_ground_distance_m(&library, (evn_position){-30, 0}, (evn_position){29.9, 179.8}, &azimuth),
                ABSOLUTE, 19989832.82761, 1e-4, "m", "distance between nearly opposite points");
    check_value(&from, azimuth, ABSOLUTE, 161.89052473633, 1e-9, "deg", "azimuth between nearly opposite points");
}
END_TEST

START_TEST(along_equator_and_meridian)
{
    static const published equator = {"the equator is a circle of the equatorial radius", CLOSED_FORM};
    static const published meridian = {"the quarter meridian of WGS 84, 10001965.7293 m (Karney 2013; series of the "
                                       "third flattening)",
                                       CLOSED_FORM};
    check_value(&equator, evn_ground_distance_m(&library, (evn_position){0, 179.5}, (evn_position){0, -179.5}, NULL),
                RELATIVE, 6378137.0 * TAU / 360, 1e-12, "m", "one degree along the equator, over the date line");
    /* (a + b) / 2 (1 + n^2 / 4 + n^4 / 64) pi / 2 */
    double f = 1 / 298.257223563, n = f / (2 - f), a = 6378137.0;
    double quarter = a / (1 + n) * (1 + n * n / 4 + n * n * n * n / 64) * TAU / 4;
    check_value(&meridian, evn_ground_distance_m(&library, (evn_position){0, 7}, (evn_position){90, 7}, NULL), RELATIVE,
                quarter, 1e-12, "m", "from the equator to the pole");
    const double latitude[] = {0, 0.25, 0.5, 1}, longitude[] = {7, 7, 7, 7};
    double along[4];
    evn_ground_along(&library, latitude, longitude, 4, along);
    check_value(&meridian, along[3], RELATIVE,
                evn_ground_distance_m(&library, (evn_position){0, 7}, (evn_position){1, 7}, NULL), 1e-12, "m",
                "a degree of the meridian in three pieces");
}
END_TEST

/* ------------------------------------------------------------------------------------------------ smoothing */

enum { POINTS = 20001 };
static double x[POINTS], y[POINTS], value[POINTS], slope[POINTS];

static double passed(double wave, double width)
{
    double sum = 0, square = 0;
    for (size_t i = 0; i < POINTS; i++) {
        x[i] = (double)i * 0.1;
        y[i] = sin(TAU * x[i] / wave);
    }
    ck_assert(evn_spline_smooth(&(evn_points){x, y, POINTS}, width, value, slope));
    for (size_t i = POINTS / 4; i < 3 * POINTS / 4; i++) {
        sum += value[i] * y[i];
        square += y[i] * y[i];
    }
    return sum / square;
}

START_TEST(waves_pass_a_smoothing_spline)
{
    static const published gain = {"gain of the cubic smoothing spline far from its ends, 1 / (1 + lambda w^4)",
                                   CLOSED_FORM};
    for (int k = -2; k <= 2; k++) {
        double wave = 20 * pow(2, k);
        check_value(&gain, passed(wave, 20), ABSOLUTE, 1 / (1 + pow(20 / wave, 4)), 2e-3, "1",
                    "share of a wave of %g m that is left by a width of 20 m", wave);
    }
}
END_TEST

static unsigned long long state = 5;
static double uniform(void)
{
    state = state * 6364136223846793005ULL + 1442695040888963407ULL;
    return ((double)(state >> 11) + 0.5) / 9007199254740992.0;
}

static double root_mean(const double *of)
{
    double sum = 0;
    for (size_t i = 100; i < POINTS - 100; i++)
        sum += of[i] * of[i];
    return sqrt(sum / (POINTS - 200));
}

START_TEST(noise_leaves_as_much_as_the_width_was_chosen_for)
{
    static const published left = {
        "white noise through 1 / (1 + lambda w^4): integrals of its square by the beta function", CLOSED_FORM};
    for (size_t i = 0; i < POINTS; i++) {
        x[i] = (double)i * 0.1;
        y[i] = sqrt(-2 * log(uniform())) * cos(TAU * uniform());
    }
    const evn_points noise = {x, y, POINTS};
    double halved = TAU * 3 * 0.1 / (8 * sqrt(2.0)) / (0.15 * 0.15); /* that leaves 0.15 of values */
    ck_assert(evn_spline_smooth(&noise, halved, value, slope));
    check_value(&left, root_mean(value), RELATIVE, 0.15, 0.1, "1", "scatter of values that is left of noise of 1");
    ck_assert(evn_spline_smooth(&noise, evn_spline_width_for_slope(1, 0.1, 0.2), value, slope));
    check_value(&left, root_mean(slope), RELATIVE, 0.2, 0.1, "1/m", "scatter of slopes that is left of noise of 1");
    double width = evn_spline_width_for_bend(1, 0.1, 0.3);
    ck_assert(evn_spline_smooth(&noise, width, value, slope));
    for (size_t i = 1; i + 1 < POINTS; i++)
        value[i - 1] = (slope[i + 1] - slope[i - 1]) / 0.2;
    check_value(&left, root_mean(value), RELATIVE, 0.3, 0.1, "1/m2", "scatter of bends that is left of noise of 1");
    double found;
    ck_assert(evn_points_noise(&noise, &found));
    check_value(&left, found, RELATIVE, 1, 0.03, "1", "scatter of noise of 1 by second differences");
}
END_TEST

/* Cross validation by its definition: each point's weight in its own value by smoothing that point alone. */
static double validated(const evn_points *p, double width)
{
    enum { MOST = 64 };
    double unit[MOST], smooth[MOST], none[MOST], squares = 0, freedom = 0;
    ck_assert_uint_le(p->count, MOST);
    for (size_t i = 0; i < p->count; i++) {
        memset(unit, 0, sizeof unit);
        unit[i] = 1;
        ck_assert(evn_spline_smooth(&(evn_points){p->x, unit, p->count}, width, smooth, none));
        freedom += 1 - smooth[i];
    }
    ck_assert(evn_spline_smooth(p, width, smooth, none));
    for (size_t i = 0; i < p->count; i++) {
        double left = i == 0 ? p->x[0] : p->x[i - 1], right = i + 1 == p->count ? p->x[i] : p->x[i + 1];
        squares += (right - left) / 2 * pow(p->y[i] - smooth[i], 2);
    }
    return squares / (freedom * freedom);
}

START_TEST(the_width_by_cross_validation_is_least_by_its_definition)
{
    static const published craven = {
        "Craven and Wahba, Smoothing noisy data with spline functions, 1979: the score by its "
        "definition, weights point by point",
        FROM_MEMORY};
    enum { FEW = 60 };
    for (size_t i = 0; i < FEW; i++) {
        x[i] = (double)i + 0.4 * uniform();
        y[i] = 5 * sin(TAU * x[i] / 30) + sqrt(-2 * log(uniform())) * cos(TAU * uniform());
    }
    const evn_points p = {x, y, FEW};
    double width, best = 4;
    ck_assert(evn_spline_width_by_validation(&p, 4, 60, &width));
    for (double w = 4; w <= 60; w *= 1.02)
        best = validated(&p, w) < validated(&p, best) ? w : best;
    ck_assert_double_gt(best, 4.1);
    ck_assert_double_lt(best, 59);
    check_value(&craven, width, RELATIVE, best, 0.08, "m", "width of the least score");
}
END_TEST

START_TEST(straight_lines_are_not_changed)
{
    static const published line = {"a straight line has no bend, and is its own smoothing spline", CLOSED_FORM};
    double at = 0;
    for (size_t i = 0; i < POINTS; i++) {
        at += 0.05 + 0.1 * uniform();
        x[i] = at;
        y[i] = 3 - 0.07 * at;
    }
    ck_assert(evn_spline_smooth(&(evn_points){x, y, POINTS}, 50, value, slope));
    double worst = 0;
    for (size_t i = 0; i < POINTS; i++)
        worst = fmax(worst, fmax(fabs(value[i] - y[i]), fabs(slope[i] + 0.07)));
    check_value(&line, worst, ABSOLUTE, 0, 1e-7, "1", "what smoothing changes of a straight line, unevenly placed");
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("ground");
    TCase *tests = tcase_create("ground");
    tcase_add_checked_fixture(tests, open_library, NULL);
    tcase_add_test(tests, a_line_of_the_australian_manual);
    tcase_add_test(tests, a_line_between_nearly_opposite_points);
    tcase_add_test(tests, along_equator_and_meridian);
    tcase_add_test(tests, waves_pass_a_smoothing_spline);
    tcase_add_test(tests, noise_leaves_as_much_as_the_width_was_chosen_for);
    tcase_add_test(tests, the_width_by_cross_validation_is_least_by_its_definition);
    tcase_add_test(tests, straight_lines_are_not_changed);
    suite_add_tcase(suite, tests);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_ENV);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
