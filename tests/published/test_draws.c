/* Propagation of distributions and Sobol points against what is published. */
#include "../random/dice.h"
#include "checked.h"
#include "uncertainty/shape.h"
#include "uncertainty/sobol.h"
#include "uncertainty/spread.h"

enum { DRAWS = 1 << 18 };

/* ------------------------------------------------------------------------------------------------ additive examples */

/* Standard uncertainties of the four quantities that add up (JCGM 101:2008, 9.2), and their shapes. */
typedef struct additive {
    evn_error_shape shape[4];
    double standard[4];
} additive;

static int by_size(const void *a, const void *b)
{
    double x = *(const double *)a, y = *(const double *)b;
    return (x > y) - (x < y);
}

/* Sums of four drawn deviations, sorted. */
static void draw(const additive *of, double *sums)
{
    for (unsigned k = 0; k < DRAWS; k++) {
        sums[k] = 0;
        for (unsigned d = 0; d < 4; d++) {
            double deviation = evn_deviation(of->shape[d], evn_sobol(1, k % EVN_DRAW_GROUPS, k / EVN_DRAW_GROUPS, d));
            sums[k] += of->standard[d] * deviation / evn_standard_share(of->shape[d]);
        }
    }
}

static void check_ends(const published *from, const additive *of, double covered, double end, const char *what)
{
    static double sums[DRAWS];
    draw(of, sums);
    qsort(sums, DRAWS, sizeof *sums, by_size);
    double tolerance = 0.006 * end; /* two and more standard errors of so many independent draws */
    check_value(from, evn_spread_quantile(sums, DRAWS, (1 - covered) / 2), ABSOLUTE, -end, tolerance, "1",
                "%s: lower end of %g %%", what, 100 * covered);
    check_value(from, evn_spread_quantile(sums, DRAWS, (1 + covered) / 2), ABSOLUTE, end, tolerance, "1",
                "%s: upper end of %g %%", what, 100 * covered);
}

static const additive normals = {{EVN_NORMAL, EVN_NORMAL, EVN_NORMAL, EVN_NORMAL}, {1, 1, 1, 1}};
static const additive rectangulars = {{EVN_RECTANGULAR, EVN_RECTANGULAR, EVN_RECTANGULAR, EVN_RECTANGULAR},
                                      {1, 1, 1, 1}};
static const additive one_large = {{EVN_RECTANGULAR, EVN_RECTANGULAR, EVN_RECTANGULAR, EVN_RECTANGULAR}, {1, 1, 1, 10}};

START_TEST(four_quantities_that_add_have_their_published_intervals)
{
    const published stated = {"JCGM 101:2008, tables 2 to 4 (9.2.2 to 9.2.4)", FROM_MEMORY};
    check_ends(&stated, &normals, 0.95, 3.92, "four normal quantities");
    check_ends(&stated, &rectangulars, 0.95, 3.88, "four rectangular quantities");
    check_ends(&stated, &one_large, 0.95, 17.0, "four rectangular quantities, one ten times as large");
}
END_TEST

/* Sum of four rectangular ones on (0, 1): x^4/24 of all lie below x up to 1, (x^4 - 4 (x - 1)^4)/24 up to 2. */
START_TEST(four_quantities_that_add_have_their_exact_intervals)
{
    const published gauss = {"two standard deviations times the normal quantile: 1.959964, 1.644854", CLOSED_FORM};
    const published irwin_hall = {"2 sqrt(3) (2 - x), x being where the sum of four on (0, 1) has the probability: "
                                  "x^4 = 0.6; x^4 - 4 (x - 1)^4 = 1.2",
                                  CLOSED_FORM};
    check_ends(&gauss, &normals, 0.95, 3.919928, "four normal quantities");
    check_ends(&gauss, &normals, 0.90, 3.289707, "four normal quantities");
    check_ends(&irwin_hall, &rectangulars, 0.95, 2 * sqrt(3) * (2 - pow(0.6, 0.25)), "four rectangular quantities");
    double x = pow(1.2, 0.25);
    for (int i = 0; i < 20; i++)
        x = pow(1.2 + 4 * pow(x - 1, 4), 0.25);
    check_ends(&irwin_hall, &rectangulars, 0.90, 2 * sqrt(3) * (2 - x), "four rectangular quantities");
}
END_TEST

START_TEST(the_answer_has_the_published_interval_with_the_usual_number_of_draws)
{
    const published exact = {"1.644854 standard deviations of 2", CLOSED_FORM};
    double numbers[EVN_DRAWS_USUAL], sorted[EVN_DRAWS_USUAL];
    for (unsigned k = 0; k < EVN_DRAWS_USUAL; k++) {
        numbers[k] = 0;
        for (unsigned d = 0; d < 4; d++)
            numbers[k] += 2 * evn_deviation(EVN_NORMAL, evn_sobol(1, k % EVN_DRAW_GROUPS, k / EVN_DRAW_GROUPS, d));
    }
    evn_sureness of;
    ck_assert(evn_spread_of_draws(numbers, EVN_DRAWS_USUAL, sorted, &of));
    check_value(&exact, of.low_percent, ABSOLUTE, -3.289707, 3 * of.low_error_percent, "%", "lower end by 256 draws");
    check_value(&exact, of.high_percent, ABSOLUTE, 3.289707, 3 * of.high_error_percent, "%", "upper end by 256 draws");
    check_value(&exact, of.low_error_percent, BELOW, 0.3, 0, "%", "standard error of the lower end by 256 draws");
    check_value(&exact, of.standard_percent, RELATIVE, 2, 0.03, "%", "standard uncertainty by 256 draws");
    check_value(&exact, of.mean_percent, ABSOLUTE, 0, 0.02, "%", "mean by 256 draws");
}
END_TEST

/* ------------------------------------------------------------------------------------------------ sampling errors */

/* What is claimed of 200 independent draws of a normal difference that lies 95 % below zero. */
START_TEST(independent_draws_have_their_textbook_errors)
{
    enum { TRIALS = 1000, COUNT = 200 };
    const published share = {"sqrt(p (1 - p)/n) with p = 0.95, n = 200", CLOSED_FORM};
    const published end = {"sqrt(p (1 - p)/n)/density of a normal distribution at 1.644854 (0.103136)", CLOSED_FORM};
    double numbers[COUNT], sorted[COUNT], share_squares = 0, end_squares = 0;
    for (unsigned trial = 0; trial < TRIALS; trial++) {
        dice d = dice_of(4, trial);
        for (unsigned k = 0; k < COUNT; k++)
            numbers[k] = 2 * evn_deviation(EVN_NORMAL, dice_between(&d, 1e-12, 1 - 1e-12)) - 1.6448536269514722;
        evn_sureness of;
        ck_assert(evn_spread_of_draws(numbers, COUNT, sorted, &of));
        share_squares += of.probability_error * of.probability_error / TRIALS;
        end_squares += of.low_error_percent * of.low_error_percent / TRIALS;
    }
    check_value(&share, 100 * sqrt(share_squares), RELATIVE, 1.5411, 0.1, "%",
                "standard error of a probability of 95 %%");
    check_value(&end, sqrt(end_squares), RELATIVE, 0.14943, 0.1, "standard deviations", "standard error of an end");
}
END_TEST

/* ------------------------------------------------------------------------------------------------ quantiles */

START_TEST(normal_quantiles_are_the_tabled_ones)
{
    const published table = {"percentage points of the normal distribution, any table of statistics", FROM_MEMORY};
    static const double row[][2] = {{0.9, 1.2815515655446004},  {0.95, 1.6448536269514722},
                                    {0.975, 1.959963984540054}, {0.995, 2.5758293035489004},
                                    {0.999, 3.090232306167813}, {0.75, 0.6744897501960817}};
    for (size_t i = 0; i < sizeof row / sizeof *row; i++)
        check_value(&table, 2 * evn_deviation(EVN_NORMAL, row[i][0]), RELATIVE, row[i][1], 1e-15, "1",
                    "normal quantile of %g", row[i][0]);
}
END_TEST

/* ------------------------------------------------------------------------------------------------ Sobol points */

START_TEST(sobol_points_are_the_published_ones)
{
    const published known = {"Joe and Kuo (2008), first points of three dimensions", FROM_MEMORY};
    const published run = {
        "scipy.stats.qmc.Sobol(d=1024, scramble=False, bits=32) of Debian's python3-scipy 1.10.1, run", READ_IN_SOURCE};
    static const double first[][3] = {{0, 0, 0},
                                      {0.5, 0.5, 0.5},
                                      {0.75, 0.25, 0.25},
                                      {0.25, 0.75, 0.75},
                                      {0.375, 0.375, 0.625},
                                      {0.875, 0.875, 0.125},
                                      {0.625, 0.125, 0.875},
                                      {0.125, 0.625, 0.375}};
    for (unsigned i = 0; i < 8; i++)
        for (unsigned d = 0; d < 3; d++)
            check_value(&known, evn_sobol_plain(i, d) * 0x1p-32, ABSOLUTE, first[i][d], 0, "1",
                        "Sobol point %u, dimension %u", i, d + 1);
    static const unsigned place[] = {5, 77, 1000}, dimension[] = {1, 2, 3, 100, 500, 1024};
    static const double far[6][3] = {{3758096384., 3590324224., 943718400.}, {3758096384., 3590324224., 415236096.},
                                     {536870912., 33554432., 2227175424.},   {1610612736., 3724541952., 801112064.},
                                     {536870912., 2449473536., 1094713344.}, {1610612736., 3187671040., 3066036224.}};
    for (unsigned d = 0; d < 6; d++)
        for (unsigned i = 0; i < 3; i++)
            check_value(&run, evn_sobol_plain(place[i], dimension[d] - 1), ABSOLUTE, far[d][i], 0, "2^-32",
                        "Sobol point %u, dimension %u", place[i], dimension[d]);
}
END_TEST

/* The whole of 1024 points in 1024 dimensions, read row by row as digits of a number to the base 1099511628211, modulo
 * 2^64. */
START_TEST(a_million_sobol_coordinates_are_those_of_another_program)
{
    uint64_t hash = 0;
    for (unsigned i = 0; i < 1024; i++)
        for (unsigned d = 0; d < EVN_SOBOL_DIMENSIONS_MOST; d++)
            hash = hash * 1099511628211U + evn_sobol_plain(i, d);
    ck_assert_uint_eq(hash, 0x2ec15c0000000000U); /* scipy as above */
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("uncertainty, published");
    TCase *tests = tcase_create("uncertainty");
    tcase_add_test(tests, four_quantities_that_add_have_their_published_intervals);
    tcase_add_test(tests, four_quantities_that_add_have_their_exact_intervals);
    tcase_add_test(tests, the_answer_has_the_published_interval_with_the_usual_number_of_draws);
    tcase_add_test(tests, independent_draws_have_their_textbook_errors);
    tcase_add_test(tests, normal_quantiles_are_the_tabled_ones);
    tcase_add_test(tests, sobol_points_are_the_published_ones);
    tcase_add_test(tests, a_million_sobol_coordinates_are_those_of_another_program);
    suite_add_tcase(suite, tests);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_NORMAL);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
