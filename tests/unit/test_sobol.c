/* Scrambled Sobol points: what they are made of, how evenly they lie, and what that is worth. */
#include "uncertainty/directions.h"
#include "uncertainty/sobol.h"
#include <check.h>
#include <math.h>
#include <stdbool.h>
#include <stdlib.h>
#include <string.h>

enum { SEED = 20, CELLS_MOST = 4096 };

/* ------------------------------------------------------------------------------------------------ polynomials */

/* The least n with x^n = 1 modulo the polynomial: 2^degree - 1 where it is primitive. */
static unsigned order_of(unsigned polynomial, unsigned degree)
{
    unsigned power = 1, n = 0;
    do {
        power <<= 1;
        power ^= power >> degree ? polynomial : 0;
        n++;
    } while (power != 1 && n <= 1U << degree);
    return n;
}

START_TEST(every_polynomial_is_primitive_and_no_two_are_the_same)
{
    for (unsigned d = 1; d < EVN_SOBOL_DIMENSIONS_MOST; d++) {
        const evn_directions *of = &evn_sobol_directions[d];
        ck_assert_msg(of->polynomial >> of->degree == 1, "dimension %u", d);
        ck_assert_msg(order_of(of->polynomial, of->degree) == (1U << of->degree) - 1, "dimension %u", d);
        ck_assert_msg(of->polynomial > evn_sobol_directions[d - 1].polynomial, "dimension %u", d);
    }
}
END_TEST

START_TEST(first_direction_numbers_are_odd_and_small_enough)
{
    for (unsigned d = 1; d < EVN_SOBOL_DIMENSIONS_MOST; d++)
        for (unsigned k = 0; k < evn_sobol_directions[d].degree; k++) {
            unsigned m = evn_sobol_directions[d].first[k];
            ck_assert_msg(m % 2 == 1 && m < 2U << k, "dimension %u, number %u", d, k + 1);
        }
}
END_TEST

/* ------------------------------------------------------------------------------------------------ nets */

/* One point in each of 2^bits_a times 2^bits_b boxes, of as many points. */
static bool one_in_each(unsigned group, unsigned a, unsigned bits_a, unsigned b, unsigned bits_b)
{
    static unsigned char seen[CELLS_MOST];
    unsigned points = 1U << (bits_a + bits_b);
    memset(seen, 0, sizeof seen);
    for (unsigned i = 0; i < points; i++) {
        unsigned at_a = (unsigned)(evn_sobol(SEED, group, i, a) * (1U << bits_a));
        unsigned at_b = (unsigned)(evn_sobol(SEED, group, i, b) * (1U << bits_b));
        unsigned cell = at_a << bits_b | at_b;
        if (cell >= points || seen[cell]++)
            return false;
    }
    return true;
}

START_TEST(each_dimension_has_one_point_in_each_cell)
{
    for (unsigned d = 0; d < EVN_SOBOL_DIMENSIONS_MOST; d++)
        ck_assert_msg(one_in_each(1, d, 6, 0, 0), "dimension %u", d);
    for (unsigned bits = 0; bits <= 12; bits++)
        ck_assert_msg(one_in_each(0, 17, bits, 0, 0), "2^%u points", bits);
}
END_TEST

START_TEST(the_first_two_dimensions_have_one_point_in_each_box_of_any_proportions)
{
    for (unsigned group = 0; group < 4; group++)
        for (unsigned bits = 0; bits <= 8; bits++)
            ck_assert_msg(one_in_each(group, 0, bits, 1, 8 - bits), "group %u, 2^%u cells across", group, bits);
}
END_TEST

START_TEST(no_coordinate_is_an_end_and_none_stands_on_a_grid)
{
    for (unsigned i = 0; i < 4096; i++)
        for (unsigned d = 0; d < 8; d++) {
            double u = evn_sobol(SEED, 0, i, d);
            ck_assert(u > 0 && u < 1);
            ck_assert(fmod(ldexp(u, 32), 1) != 0);
        }
}
END_TEST

/* ------------------------------------------------------------------------------------------------ scrambling */

static double covariance(unsigned points, uint64_t seed_a, unsigned group_a, unsigned a, uint64_t seed_b,
                         unsigned group_b, unsigned b)
{
    double sum = 0;
    for (unsigned i = 0; i < points; i++)
        sum += (evn_sobol(seed_a, group_a, i, a) - 0.5) * (evn_sobol(seed_b, group_b, i, b) - 0.5);
    return 12 * sum / points; /* of two even distributions: 1 where they are the same */
}

/* Between scrambles of one dimension the sign is by chance: about 0.75/sqrt(1000) is left of 1000. */
START_TEST(other_groups_and_other_seeds_are_independent)
{
    double groups = 0, seeds = 0, same = 0;
    for (unsigned d = 0; d < 1000; d++) {
        groups += covariance(64, SEED, 0, d, SEED, 1, d) / 1000;
        seeds += covariance(64, SEED, 0, d, SEED + 1, 0, d) / 1000;
        same += covariance(64, SEED, 0, d, SEED, 0, d) / 1000;
    }
    ck_assert_msg(fabs(groups) < 0.1 && fabs(seeds) < 0.1 && fabs(same - 1) < 0.01, "%g %g %g", groups, seeds, same);
}
END_TEST

/* Each bit of a scrambled coordinate is turned in half of all scrambles, whatever bits stand above it: of 400 scrambles
 * 200 +- 10 standard deviations of 10. */
START_TEST(every_bit_is_turned_by_a_coin)
{
    static const unsigned points[] = {0, 1, 2, 3, 100};
    for (size_t p = 0; p < sizeof points / sizeof *points; p++)
        for (int bit = 1; bit <= 32; bit++) {
            int ones = 0;
            for (unsigned seed = 0; seed < 400; seed++)
                ones += fmod(ldexp(evn_sobol(seed, 0, points[p], 5), bit), 2) >= 1;
            ck_assert_msg(abs(ones - 200) < 50, "point %u, bit %d: %d of 400", points[p], bit, ones);
        }
}
END_TEST

/* Points that share bits above share the coin; those that do not have coins of their own (Owen 1995): points 0 and 1
 * differ in their first bit in any scramble, and their second bits agree in half of all. */
START_TEST(coins_below_different_bits_are_different_coins)
{
    int alike = 0;
    for (unsigned seed = 0; seed < 400; seed++) {
        unsigned a = (unsigned)(4 * evn_sobol(seed, 0, 0, 0)), b = (unsigned)(4 * evn_sobol(seed, 0, 1, 0));
        ck_assert((a >> 1) != (b >> 1));
        alike += (a & 1) == (b & 1);
    }
    ck_assert_msg(abs(alike - 200) < 50, "%d of 400", alike);
}
END_TEST

/* ------------------------------------------------------------------------------------------------ what it is worth */

/* Root of the mean square of the correlation between two dimensions, of all pairs of so many. */
static double correlation_between(unsigned dimensions, unsigned points, unsigned groups, double *worst)
{
    double squares = 0;
    *worst = 0;
    for (unsigned a = 1; a < dimensions; a++)
        for (unsigned b = 0; b < a; b++) {
            double sum = 0;
            for (unsigned g = 0; g < groups; g++)
                sum += covariance(points, SEED, g, a, SEED, g, b) / groups;
            squares += sum * sum;
            *worst = fmax(*worst, fabs(sum));
        }
    return sqrt(squares / (0.5 * dimensions * (dimensions - 1)));
}

/* Of independent draws 1/16, the worst of 190 pairs about 0.2. Single pairs of higher dimensions go together more. */
START_TEST(dimensions_hardly_go_together)
{
    double worst, all = correlation_between(20, 64, 4, &worst);
    ck_assert_msg(all < 0.8 / 16 && worst < 0.35, "%g, worst %g", all, worst);
    all = correlation_between(100, 64, 4, &worst);
    ck_assert_msg(all < 1.3 / 16, "%g, worst %g", all, worst);
}
END_TEST

/* Mean square error of the mean of an additive smooth function: sum of exp(u). */
static double mean_square_error(unsigned points)
{
    double squares = 0;
    for (unsigned seed = 0; seed < 60; seed++) {
        double error = 0;
        for (unsigned d = 0; d < 6; d++)
            for (unsigned i = 0; i < points; i++)
                error += (exp(evn_sobol(seed, 0, i, d)) - (exp(1) - 1)) / points;
        squares += error * error / 60;
    }
    return squares;
}

/* Of independent draws it goes as 1/N, of scrambled nets as 1/N^3 (Owen 1997). */
START_TEST(the_error_of_a_smooth_sum_falls_as_the_third_power)
{
    double gain = mean_square_error(16) / mean_square_error(256);
    ck_assert_msg(gain > 1500 && gain < 12000, "16 times the points: %g times less, 4096 wanted", gain);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("sobol");
    TCase *tests = tcase_create("points");
    tcase_add_test(tests, every_polynomial_is_primitive_and_no_two_are_the_same);
    tcase_add_test(tests, first_direction_numbers_are_odd_and_small_enough);
    tcase_add_test(tests, each_dimension_has_one_point_in_each_cell);
    tcase_add_test(tests, the_first_two_dimensions_have_one_point_in_each_box_of_any_proportions);
    tcase_add_test(tests, no_coordinate_is_an_end_and_none_stands_on_a_grid);
    tcase_add_test(tests, other_groups_and_other_seeds_are_independent);
    tcase_add_test(tests, every_bit_is_turned_by_a_coin);
    tcase_add_test(tests, coins_below_different_bits_are_different_coins);
    tcase_add_test(tests, dimensions_hardly_go_together);
    tcase_add_test(tests, the_error_of_a_smooth_sum_falls_as_the_third_power);
    suite_add_tcase(suite, tests);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_NORMAL);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
