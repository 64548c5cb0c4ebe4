/* What draws and slopes tell: numbers worked out by hand, the rule of the verdict, and honesty of the sampling errors.
 */
#include "../random/dice.h"
#include "uncertainty/shape.h"
#include "uncertainty/sobol.h"
#include "uncertainty/spread.h"
#include <check.h>
#include <math.h>
#include <stdlib.h>

enum { MOST = 1024 };

static evn_sureness told_of(const double *numbers, size_t count)
{
    double sorted[MOST];
    evn_sureness out = {0};
    ck_assert(count <= MOST && evn_spread_of_draws(numbers, count, sorted, &out));
    return out;
}

/* ------------------------------------------------------------------------------------------------ shapes */

START_TEST(shapes_stand_at_their_ends_middles_and_quarters)
{
    for (int shape = EVN_RECTANGULAR; shape <= EVN_NORMAL; shape++) {
        ck_assert(evn_deviation((evn_error_shape)shape, 0.5) == 0);
        for (double u = 0x1p-53; u < 0.5; u = 1.9 * u)
            ck_assert(evn_deviation((evn_error_shape)shape, u) == -evn_deviation((evn_error_shape)shape, 1 - u) ||
                      1 - (1 - u) != u);
    }
    ck_assert(evn_deviation(EVN_RECTANGULAR, 0.25) == -0.5 && evn_deviation(EVN_RECTANGULAR, 0.9) > 0.7999);
    ck_assert(evn_deviation(EVN_TRIANGULAR, 0.125) == -0.5 && evn_deviation(EVN_TRIANGULAR, 0.875) == 0.5);
}
END_TEST

/* erfc of the quantile gives the probability back, to the last digits. */
START_TEST(the_normal_quantile_is_the_inverse_of_the_distribution_function)
{
    for (double p = 1e-300; p < 0.5; p *= 1.3) {
        double x = 2 * evn_deviation(EVN_NORMAL, p), back = 0.5 * erfc(-x / sqrt(2));
        /* An error of the last digit in x is one of x^2 digits in p. */
        ck_assert_msg(fabs(back / p - 1) < 4e-16 * (2 + x * x), "%g: %g", p, back / p - 1);
    }
}
END_TEST

/* Mean square of the deviation over its distribution is the standard uncertainty's. */
START_TEST(standard_shares_are_those_of_the_shapes)
{
    enum { STEPS = 200000 };
    for (int shape = EVN_RECTANGULAR; shape <= EVN_NORMAL; shape++) {
        double squares = 0, standard = evn_standard_share((evn_error_shape)shape);
        for (int i = 0; i < STEPS; i++) {
            double deviation = evn_deviation((evn_error_shape)shape, (i + 0.5) / STEPS);
            squares += deviation * deviation / STEPS;
        }
        ck_assert_msg(fabs(sqrt(squares) / standard - 1) < 2e-5, "shape %d: %g", shape, sqrt(squares) / standard);
    }
}
END_TEST

/* ------------------------------------------------------------------------------------------------ by hand */

START_TEST(quantiles_stand_in_the_middle_of_their_numbers)
{
    const double sorted[] = {1, 2, 4, 8};
    ck_assert(evn_spread_quantile(sorted, 4, 0.125) == 1 && evn_spread_quantile(sorted, 4, 0.375) == 2);
    ck_assert(evn_spread_quantile(sorted, 4, 0.25) == 1.5 && evn_spread_quantile(sorted, 4, 0.5) == 3);
    ck_assert(evn_spread_quantile(sorted, 4, 0.875) == 8);
    ck_assert(evn_spread_quantile(sorted, 4, 0) == 1 && evn_spread_quantile(sorted, 4, 1) == 8);
    ck_assert(evn_spread_quantile(sorted, 1, 0.3) == 1);
}
END_TEST

START_TEST(shares_below_are_the_inverse_of_quantiles)
{
    const double sorted[] = {1, 2, 4, 4, 8};
    ck_assert(evn_spread_below(sorted, 5, 1) == 0.1 && evn_spread_below(sorted, 5, 1.5) == 0.2);
    ck_assert(evn_spread_below(sorted, 5, 4) ==
              0.6); /* three and two of five lie below, and in the middle of its equals */
    ck_assert(evn_spread_below(sorted, 5, 0) == 0.1 && evn_spread_below(sorted, 5, 9) == 0.9);
    dice d = dice_of(1, 1);
    double numbers[50];
    numbers[0] = dice_share(&d);
    for (int i = 1; i < 50; i++)
        numbers[i] = numbers[i - 1] + 0.01 + dice_share(&d);
    for (double p = 0.011; p < 0.99; p += 0.007)
        ck_assert(fabs(evn_spread_below(numbers, 50, evn_spread_quantile(numbers, 50, p)) - p) < 1e-14);
}
END_TEST

/* 1 to 20, less 18.5, in the order of the groups 1 2 3 4 1 2 3 4 ... */
START_TEST(twenty_numbers_tell_what_is_worked_out_by_hand)
{
    double numbers[20];
    for (int i = 0; i < 20; i++)
        numbers[i] = i + 1 - 18.5;
    evn_sureness of = told_of(numbers, 20);
    ck_assert(of.by == EVN_UNCERTAINTY_DRAWS && of.draws == 20);
    ck_assert_double_eq_tol(of.mean_percent, -8, 1e-13);
    ck_assert_double_eq_tol(of.standard_percent, sqrt(35), 1e-13); /* (n^2 + n)/12 of 1 to n */
    ck_assert_double_eq_tol(of.low_percent, 1.5 - 18.5, 1e-13);    /* place 0.05 * 20 + 1/2 = 1.5 */
    ck_assert_double_eq_tol(of.high_percent, 19.5 - 18.5, 1e-13);
    ck_assert_double_eq_tol(of.probability_lower, 0.9, 1e-13);
    /* The groups' own ends are their least and greatest numbers, one apart: sqrt(5/3) over the root of four is less
     * than what half a draw in each group is worth, 0.05 of probability: from 1 at 0 to 2.5 at 0.1, and as much above.
     */
    ck_assert_double_eq_tol(of.low_error_percent, 0.75, 1e-13);
    ck_assert_double_eq_tol(of.high_error_percent, 0.75, 1e-13);
    ck_assert_double_eq_tol(of.probability_error, 0.05, 1e-13); /* of 0.9, 0.9, 0.875 and 0.825: 0.018 */
    ck_assert(of.apart == EVN_CANNOT_BE_TOLD_APART && of.hangs_on_draws);
}
END_TEST

/* Nineteen, all on one side, and the twentieth with them: 100 - 100/19 is below 95. */
START_TEST(fewer_than_twenty_numbers_tell_no_word)
{
    double numbers[20];
    for (int i = 0; i < 20; i++)
        numbers[i] = i - 100;
    evn_sureness of = told_of(numbers, 20);
    ck_assert(of.apart == EVN_IS_LOWER && !of.hangs_on_draws);
    numbers[7] = (double)NAN;
    of = told_of(numbers, 20);
    ck_assert(of.draws == 19 && of.high_percent < 0 && of.apart == EVN_CANNOT_BE_TOLD_APART && of.hangs_on_draws);
}
END_TEST

/* Groups that lie 1 apart: their scatter is the error. */
START_TEST(the_scatter_of_the_groups_is_the_error)
{
    double numbers[80];
    for (int i = 0; i < 80; i++)
        numbers[i] = i % 4 + 0.01 * (i / 4);
    evn_sureness of = told_of(numbers, 80);
    ck_assert_double_eq_tol(of.low_error_percent, sqrt(5. / 3) / 2, 1e-13);
    ck_assert_double_eq_tol(of.high_error_percent, sqrt(5. / 3) / 2, 1e-13);
}
END_TEST

START_TEST(draws_that_are_no_numbers_count_nowhere)
{
    double numbers[20], more[28];
    for (int i = 0; i < 20; i++)
        numbers[i] = (i * 7) % 20 - 3;
    for (int i = 0; i < 28; i++)
        more[i] = i < 4 || i >= 24 ? (double)NAN : numbers[i - 4];
    evn_sureness all = told_of(numbers, 20), with = told_of(more, 28);
    ck_assert(all.draws == 20 && with.draws == 20 && all.low_percent == with.low_percent);
    ck_assert(all.probability_error == with.probability_error && all.mean_percent == with.mean_percent);
}
END_TEST

START_TEST(too_few_numbers_tell_nothing)
{
    double numbers[16], sorted[16];
    evn_sureness out;
    for (int i = 0; i < 16; i++)
        numbers[i] = i;
    ck_assert(!evn_spread_of_draws(numbers, 0, sorted, &out) && !evn_spread_of_draws(numbers, 7, sorted, &out));
    ck_assert(!evn_spread_of_draws(numbers, 9, sorted, &out) && evn_spread_of_draws(numbers, 10, sorted, &out));
    for (int i = 1; i < 16; i += 4)
        numbers[i] = i > 1 ? (double)NAN : 1; /* one left in its group */
    ck_assert(!evn_spread_of_draws(numbers, 16, sorted, &out));
}
END_TEST

START_TEST(numbers_that_are_all_alike_have_no_spread)
{
    double numbers[64];
    for (int sign = -1; sign <= 1; sign++) {
        for (int i = 0; i < 64; i++)
            numbers[i] = 0.3 * sign;
        evn_sureness of = told_of(numbers, 64);
        ck_assert(of.low_percent == of.high_percent && of.standard_percent == 0 && of.low_error_percent == 0);
        ck_assert(!of.hangs_on_draws);
        ck_assert(of.apart == (sign < 0 ? EVN_IS_LOWER : sign > 0 ? EVN_IS_HIGHER : EVN_CANNOT_BE_TOLD_APART));
        ck_assert_double_eq_tol(of.probability_lower, sign < 0 ? 127. / 128 : sign > 0 ? 1. / 128 : 0.5, 1e-15);
    }
}
END_TEST

/* No scatter between the groups is no certainty: 64 of 64 could be 62 of 64 as well. */
START_TEST(agreement_of_the_groups_claims_no_certainty)
{
    double numbers[64];
    for (int i = 0; i < 64; i++)
        numbers[i] = -1 - 0.01 * (i / 4);
    evn_sureness of = told_of(numbers, 64);
    ck_assert_double_eq_tol(of.probability_lower, 127. / 128, 1e-15);
    ck_assert_double_eq_tol(of.probability_error, 1. / 64, 1e-15);
    ck_assert(of.low_error_percent > 0.002 && of.high_error_percent > 0.002);
    ck_assert(of.apart == EVN_IS_LOWER && !of.hangs_on_draws); /* far from zero, for all the few draws */
}
END_TEST

/* ------------------------------------------------------------------------------------------------ the rule */

START_TEST(zero_within_the_interval_cannot_be_told_apart)
{
    ck_assert(evn_apart_by(-2, -0.1) == EVN_IS_LOWER && evn_apart_by(0.1, 2) == EVN_IS_HIGHER);
    ck_assert(evn_apart_by(-2, 0) == EVN_CANNOT_BE_TOLD_APART && evn_apart_by(0, 2) == EVN_CANNOT_BE_TOLD_APART);
    ck_assert(evn_apart_by(-1, 1) == EVN_CANNOT_BE_TOLD_APART);
    ck_assert(evn_apart_by((double)NAN, (double)NAN) == EVN_CANNOT_BE_TOLD_APART);
}
END_TEST

START_TEST(interval_and_probability_are_one_rule)
{
    double numbers[MOST];
    int apart = 0;
    for (unsigned trial = 0; trial < 2000; trial++) {
        dice d = dice_of(2, trial);
        size_t count = dice_whole(&d, EVN_DRAWS_WORD_LEAST, 200);
        double mean = dice_between(&d, -4, 4);
        for (size_t i = 0; i < count; i++)
            numbers[i] = mean + 2 * evn_deviation(EVN_NORMAL, dice_between(&d, 1e-9, 1 - 1e-9));
        evn_sureness of = told_of(numbers, count);
        ck_assert((of.apart == EVN_IS_LOWER) == (of.probability_lower > EVN_TOLD_FROM));
        ck_assert((of.apart == EVN_IS_HIGHER) == (of.probability_lower < 1 - EVN_TOLD_FROM));
        apart += of.apart != EVN_CANNOT_BE_TOLD_APART;
    }
    ck_assert(apart > 500 && apart < 1900);
}
END_TEST

/* A normal difference of standard uncertainty 1: how often the word hangs on 256 scrambled draws, by where zero lies.
 */
static int hanging(double mean)
{
    double numbers[256];
    int hang = 0;
    for (unsigned seed = 0; seed < 100; seed++) {
        for (unsigned k = 0; k < 256; k++) {
            numbers[k] = mean;
            for (unsigned d = 0; d < 4; d++)
                numbers[k] += evn_deviation(EVN_NORMAL, evn_sobol(seed, k % 4, k / 4, d));
        }
        hang += told_of(numbers, 256).hangs_on_draws;
    }
    return hang;
}

START_TEST(the_word_hangs_on_draws_where_an_end_lies_near_zero)
{
    ck_assert_int_ge(hanging(-1.645), 80);
    ck_assert_int_ge(hanging(1.645), 80);
    ck_assert_int_eq(hanging(0), 0);
    ck_assert_int_le(hanging(-2.6), 5);
    ck_assert_int_le(hanging(1), 5);
}
END_TEST

/* ------------------------------------------------------------------------------------------------ sampling errors */

/* Student's t with three degrees of freedom: its distribution function in closed form. */
static double student_3(double t)
{
    double x = t / sqrt(3);
    return 0.5 + (x / (1 + x * x) + atan(x)) / 3.14159265358979323846;
}

/* How often a word is wrong that 256 draws tell without a warning, of a normal difference of standard uncertainty 1: of
 * one that cannot be told apart in truth, or can. */
static int wrong_words(double mean, bool apart_in_truth)
{
    double numbers[256];
    int wrong = 0;
    for (unsigned seed = 0; seed < 400; seed++) {
        for (unsigned k = 0; k < 256; k++) {
            numbers[k] = mean;
            for (unsigned d = 0; d < 4; d++)
                numbers[k] += evn_deviation(EVN_NORMAL, evn_sobol(seed, k % 4, k / 4, d));
        }
        evn_sureness of = told_of(numbers, 256);
        bool apart = of.apart != EVN_CANNOT_BE_TOLD_APART;
        wrong += apart != apart_in_truth && !of.hangs_on_draws;
    }
    return wrong;
}

START_TEST(a_word_is_wrong_without_a_warning_once_in_a_hundred_at_most)
{
    ck_assert_double_eq_tol(student_3(3.182), 0.975, 2e-5);
    for (double beside = 0.02; beside < 0.25; beside += 0.1) {
        ck_assert_int_le(wrong_words(-1.6448536269514722 - beside, true), 4);
        ck_assert_int_le(wrong_words(-1.6448536269514722 + beside, false), 4);
    }
}
END_TEST

typedef struct honesty {
    double low, low_claimed, probability, probability_claimed; /* mean squares: of true errors and of what is claimed */
} honesty;

/* Of normal differences about -1.645, drawn by scrambled points of some dimensions, or independently. */
static honesty honesty_of(unsigned draws, bool scrambled)
{
    enum { TRIALS = 400 };
    const double mean = 2 * evn_deviation(EVN_NORMAL, 0.05);
    honesty h = {0};
    double numbers[MOST];
    for (unsigned trial = 0; trial < TRIALS; trial++) {
        dice d = dice_of(3, trial);
        for (unsigned k = 0; k < draws; k++) {
            numbers[k] = mean;
            for (unsigned j = 0; j < 4; j++) {
                double u = scrambled ? evn_sobol(trial, k % 4, k / 4, j) : dice_between(&d, 1e-12, 1 - 1e-12);
                numbers[k] += evn_deviation(EVN_NORMAL, u);
            }
        }
        evn_sureness of = told_of(numbers, draws);
        h.low += pow(of.low_percent - 2 * mean, 2) / TRIALS;
        h.low_claimed += pow(of.low_error_percent, 2) / TRIALS;
        h.probability += pow(of.probability_lower - 0.95, 2) / TRIALS;
        h.probability_claimed += pow(of.probability_error, 2) / TRIALS;
    }
    return h;
}

START_TEST(sampling_errors_are_as_large_as_they_say)
{
    for (int scrambled = 0; scrambled <= 1; scrambled++)
        for (unsigned draws = 64; draws <= 1024; draws *= 4) {
            honesty h = honesty_of(draws, scrambled);
            double ends = sqrt(h.low_claimed / h.low), shares = sqrt(h.probability_claimed / h.probability);
            ck_assert_msg(ends > 0.8 && ends < 1.3, "%u draws, scrambled %d: ends %g", draws, scrambled, ends);
            ck_assert_msg(shares > 0.8 && shares < 1.3, "%u draws, scrambled %d: %g", draws, scrambled, shares);
        }
}
END_TEST

/* ------------------------------------------------------------------------------------------------ slopes */

START_TEST(slopes_add_in_quadrature)
{
    const double slopes[] = {0.3, -0.4, 0, 1.2};
    evn_sureness of;
    evn_spread_of_slopes(-2, slopes, 4, &of);
    ck_assert(of.by == EVN_UNCERTAINTY_FIRST_ORDER && of.nominal_percent == -2 && of.mean_percent == -2);
    ck_assert_double_eq_tol(of.standard_percent, 1.3, 1e-15);
    ck_assert_double_eq_tol(of.low_percent, -2 - 1.3 * 1.6448536269514722, 1e-13);
    ck_assert_double_eq_tol(of.high_percent, -2 + 1.3 * 1.6448536269514722, 1e-13);
    ck_assert_double_eq_tol(of.probability_lower, 0.5 * erfc(-2 / 1.3 / sqrt(2)), 1e-15);
    ck_assert(of.apart == EVN_CANNOT_BE_TOLD_APART && !of.hangs_on_draws && of.draws == 0);
    ck_assert(isnan(of.low_error_percent) && isnan(of.high_error_percent) && isnan(of.probability_error));
    evn_spread_of_slopes(-2.2, slopes, 4, &of);
    ck_assert(of.apart == EVN_IS_LOWER && of.probability_lower > 0.95);
}
END_TEST

START_TEST(without_slopes_the_nominal_stands_alone)
{
    for (int sign = -1; sign <= 1; sign++) {
        evn_sureness of;
        evn_spread_of_slopes(sign, NULL, 0, &of);
        ck_assert(of.low_percent == sign && of.high_percent == sign && of.standard_percent == 0);
        ck_assert(of.probability_lower == (sign < 0 ? 1 : sign > 0 ? 0 : 0.5));
        ck_assert(of.apart == (sign < 0 ? EVN_IS_LOWER : sign > 0 ? EVN_IS_HIGHER : EVN_CANNOT_BE_TOLD_APART));
    }
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("spread");
    TCase *tests = tcase_create("spread");
    tcase_set_timeout(tests, 120);
    tcase_add_test(tests, shapes_stand_at_their_ends_middles_and_quarters);
    tcase_add_test(tests, the_normal_quantile_is_the_inverse_of_the_distribution_function);
    tcase_add_test(tests, standard_shares_are_those_of_the_shapes);
    tcase_add_test(tests, quantiles_stand_in_the_middle_of_their_numbers);
    tcase_add_test(tests, shares_below_are_the_inverse_of_quantiles);
    tcase_add_test(tests, twenty_numbers_tell_what_is_worked_out_by_hand);
    tcase_add_test(tests, fewer_than_twenty_numbers_tell_no_word);
    tcase_add_test(tests, the_scatter_of_the_groups_is_the_error);
    tcase_add_test(tests, draws_that_are_no_numbers_count_nowhere);
    tcase_add_test(tests, too_few_numbers_tell_nothing);
    tcase_add_test(tests, numbers_that_are_all_alike_have_no_spread);
    tcase_add_test(tests, agreement_of_the_groups_claims_no_certainty);
    tcase_add_test(tests, zero_within_the_interval_cannot_be_told_apart);
    tcase_add_test(tests, interval_and_probability_are_one_rule);
    tcase_add_test(tests, the_word_hangs_on_draws_where_an_end_lies_near_zero);
    tcase_add_test(tests, a_word_is_wrong_without_a_warning_once_in_a_hundred_at_most);
    tcase_add_test(tests, sampling_errors_are_as_large_as_they_say);
    tcase_add_test(tests, slopes_add_in_quadrature);
    tcase_add_test(tests, without_slopes_the_nominal_stands_alone);
    suite_add_tcase(suite, tests);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_NORMAL);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
