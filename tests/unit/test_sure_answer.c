/*
 * The answer put together from cases that are made up: the same both ways round, what a truck that does not finish
 * leaves of the others, trucks that regenerate more than they use, which words hang on the draws.
 */
#include "uncertainty/answer.h"
#include "uncertainty/shape.h"
#include "uncertainty/sobol.h"
#include "uncertainty/spread.h"
#include <check.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { TRUCKS = 3, DRAWS = 256, DATA = 4 };

/* What a truck comes to where data deviate by so many standard uncertainties. */
typedef double (*model)(size_t truck, const double deviation[DATA]);

static evn_uncertainty *begin(size_t draws, model of)
{
    evn_arena *arena = evn_arena_new();
    evn_uncertainty *u = evn_arena_take(arena, sizeof *u);
    const double none[DATA] = {0};
    ck_assert_ptr_nonnull(u);
    u->arena = arena;
    u->trucks = TRUCKS;
    u->data.count = DATA;
    u->draws = u->facts.draws_asked = draws;
    u->draw = evn_arena_take(arena, (draws + 1) * sizeof *u->draw);
    for (int basis = 0; basis < EVN_BASES; basis++) {
        u->in[basis] = 7;
        u->single[basis] = evn_arena_take(arena, 2 * (size_t)DATA * sizeof *u->single[basis]);
        for (size_t i = 0; i < TRUCKS; i++)
            u->compared[basis][i] = u->nominal[basis][i] = u->middle[basis][i] = u->drawn[i] = of(i, none);
    }
    return u;
}

static void fill(evn_case *c, model of, const double deviation[DATA])
{
    c->done = true;
    for (size_t i = 0; i < TRUCKS; i++)
        c->value[i] = of(i, deviation);
}

/* Normal data; one standard uncertainty up and down, and draws of the scrambled sequence. */
static evn_uncertainty *answer_begin(size_t draws, uint64_t seed, model of)
{
    evn_uncertainty *u = begin(draws, of);
    for (size_t k = 0; k < 2 * DATA; k++) {
        double deviation[DATA] = {0};
        deviation[k / 2] = k % 2 == 0 ? 1 : -1;
        for (int basis = 0; basis < EVN_BASES; basis++)
            fill(&u->single[basis][k], of, deviation);
    }
    for (uint32_t k = 0; k < draws; k++) {
        double deviation[DATA];
        for (uint32_t d = 0; d < DATA; d++)
            deviation[d] = 2 * evn_deviation(EVN_NORMAL, evn_sobol(seed, k % 4, k / 4, d));
        fill(&u->draw[k], of, deviation);
    }
    return u;
}

static evn_uncertainty *answer(size_t draws, uint64_t seed, model of)
{
    evn_uncertainty *u = answer_begin(draws, seed, of);
    ck_assert(evn_answer_make(u));
    return u;
}

static evn_sureness sure(const evn_uncertainty *u, size_t truck, size_t other, evn_uncertainty_method by)
{
    evn_sureness is;
    ck_assert(evn_uncertainty_between(u, truck, other, EVN_BASIS_COMMON, by, &is));
    return is;
}

/* ------------------------------------------------------------------------------------------------ both ways round */

static double wide_middle;

/* Far apart data, so that per cent of the one and of the other are far from each other. */
static double wide(size_t truck, const double d[DATA])
{
    static const double middle[] = {0, 1, 2};
    return exp(wide_middle * middle[truck] + 0.2 * d[truck] + 0.1 * d[DATA - 1]);
}

static void must_be_turned(const evn_uncertainty *u, size_t truck, size_t other, evn_uncertainty_method by)
{
    evn_sureness is = sure(u, truck, other, by), turned = sure(u, other, truck, by);
    ck_assert((is.apart == EVN_IS_LOWER) == (turned.apart == EVN_IS_HIGHER));
    ck_assert((is.apart == EVN_IS_HIGHER) == (turned.apart == EVN_IS_LOWER));
    ck_assert(is.hangs_on_draws == turned.hangs_on_draws);
    ck_assert_double_eq_tol(is.probability_lower + turned.probability_lower, 1, 1e-15);
    ck_assert_double_eq_tol((1 + is.low_percent / 100) * (1 + turned.high_percent / 100), 1, 1e-14);
    ck_assert_double_eq_tol((1 + is.high_percent / 100) * (1 + turned.low_percent / 100), 1, 1e-14);
    ck_assert_double_eq_tol((1 + is.mean_percent / 100) * (1 + turned.mean_percent / 100), 1, 1e-14);
}

/* About the bound, 1.645 * 0.2 * sqrt(2) = 0.465, in steps so small that ways that differ would differ in a word. */
START_TEST(a_against_b_is_b_against_a_turned)
{
    int apart = 0, together = 0;
    for (int step = -40; step <= 40; step++) {
        wide_middle = (step % 2 == 0 ? 1 : -1) * (0.465 + 1e-4 * step * abs(step));
        evn_uncertainty *u = answer(64, 3, wide);
        for (size_t i = 0; i < TRUCKS; i++)
            for (size_t k = 0; k < i; k++)
                for (int by = EVN_UNCERTAINTY_FIRST_ORDER; by <= EVN_UNCERTAINTY_DRAWS; by++)
                    must_be_turned(u, i, k, (evn_uncertainty_method)by);
        bool is = sure(u, 1, 0, EVN_UNCERTAINTY_FIRST_ORDER).apart != EVN_CANNOT_BE_TOLD_APART;
        apart += is;
        together += !is;
        evn_uncertainty_free(u);
    }
    ck_assert(apart > 20 && together > 20);
}
END_TEST

/* The logarithm of a ratio of lognormal values is normal: first order is exact, and draws find it. What errs in both
 * alike is in neither. */
START_TEST(a_ratio_of_lognormal_values_is_as_its_closed_form)
{
    wide_middle = 0.3;
    evn_uncertainty *u = answer(4096, 1, wide);
    double low = 100 * expm1(0.3 - 1.6448536269514722 * 0.2 * sqrt(2)), probability = 0.5 * erfc(0.3 / 0.4);
    evn_sureness is = sure(u, 1, 0, EVN_UNCERTAINTY_FIRST_ORDER), drawn = sure(u, 1, 0, EVN_UNCERTAINTY_DRAWS);
    ck_assert_double_eq_tol(is.low_percent, low, 1e-9);
    ck_assert_double_eq_tol(is.probability_lower, probability, 1e-12);
    ck_assert_double_eq_tol(is.nominal_percent, 100 * expm1(0.3), 1e-12);
    ck_assert_double_eq_tol(drawn.low_percent, low, 1);
    ck_assert_double_eq_tol(drawn.probability_lower, probability, 0.01);
    evn_share share;
    ck_assert(evn_uncertainty_share_at(u, 1, 0, EVN_BASIS_OWN, 0, &share));
    ck_assert_double_eq_tol(share.share, 0.5, 1e-12);
    ck_assert_double_eq_tol(share.slope_percent, (share.datum == 0 ? -20 : 20) * exp(0.3), 1e-9);
    ck_assert_double_eq_tol(share.second_percent, 0, 1e-9);
    evn_uncertainty_free(u);
}
END_TEST

/* On each basis the halved interval is nearer to the mean of the one that is told there: of draws on the common one. */
START_TEST(half_a_half_width_narrows_the_interval_that_is_told)
{
    wide_middle = 0.3;
    evn_uncertainty *u = answer(DRAWS, 1, wide);
    double left = sqrt(1 - 0.75 * 0.5);
    for (int basis = EVN_BASIS_OWN; basis <= EVN_BASIS_COMMON; basis++) {
        evn_sureness is;
        evn_share share;
        ck_assert(evn_uncertainty_of(u, 0, 1, (evn_basis)basis, &is));
        ck_assert_int_eq(is.by, basis == EVN_BASIS_COMMON ? EVN_UNCERTAINTY_DRAWS : EVN_UNCERTAINTY_FIRST_ORDER);
        ck_assert(evn_uncertainty_share_at(u, 0, 1, (evn_basis)basis, 0, &share));
        double mean = log1p(is.mean_percent / 100), low = mean + left * (log1p(is.low_percent / 100) - mean);
        ck_assert_double_eq_tol(log1p(share.half_low_percent / 100), low, 1e-12);
    }
    evn_uncertainty_free(u);
}
END_TEST

/* ------------------------------------------------------------------------------------------------ below zero */

/* Downhill: the one regenerates more than it uses, the other just less; differences are normal. */
static double downhill(size_t truck, const double d[DATA])
{
    static const double middle[] = {-0.5, 0.1, 0.4};
    return middle[truck] + 0.1 * d[truck];
}

START_TEST(below_zero_differences_are_in_per_cent_of_the_others)
{
    evn_uncertainty *u = answer(DRAWS, 1, downhill);
    double reach = 1.6448536269514722 * 0.1 * sqrt(2);
    evn_sureness is = sure(u, 1, 0, EVN_UNCERTAINTY_FIRST_ORDER), turned = sure(u, 0, 1, EVN_UNCERTAINTY_FIRST_ORDER);
    ck_assert_double_eq_tol(is.nominal_percent, 120, 1e-12);
    ck_assert_double_eq_tol(is.low_percent, 100 * (0.6 - reach) / 0.5, 1e-9);
    ck_assert_double_eq_tol(turned.high_percent, -100 * (0.6 - reach) / 0.1, 1e-9);
    ck_assert(is.apart == EVN_IS_HIGHER && turned.apart == EVN_IS_LOWER);
    /* 0.3 apart, 2.1 standard uncertainties; the one comes below zero in some draws. */
    ck_assert_int_eq(sure(u, 2, 1, EVN_UNCERTAINTY_DRAWS).apart, EVN_IS_HIGHER);
    ck_assert_double_eq_tol(sure(u, 2, 1, EVN_UNCERTAINTY_DRAWS).low_percent, 100 * (0.3 - reach) / 0.1, 25);
    evn_uncertainty_free(u);
}
END_TEST

/* ------------------------------------------------------------------------------------------------ the speed */

/* At the speed of the draws every truck takes a share of its own less, in draws and as it is. */
static double slower(size_t truck, const double d[DATA])
{
    static const double share[] = {1, 0.9, 0.8};
    return share[truck] * wide(truck, d);
}

START_TEST(the_lower_speed_of_the_draws_is_told_and_does_not_move_the_interval)
{
    wide_middle = 0.3;
    evn_uncertainty *as_compared = answer(DRAWS, 1, wide), *u = answer_begin(DRAWS, 1, slower);
    memcpy(u->compared, as_compared->compared, sizeof u->compared);
    memcpy(u->nominal, as_compared->nominal, sizeof u->nominal);
    memcpy(u->middle, as_compared->middle, sizeof u->middle);
    ck_assert(evn_answer_make(u));
    for (size_t i = 0; i < TRUCKS; i++)
        for (size_t k = 0; k < i; k++) {
            evn_sureness is = sure(u, i, k, EVN_UNCERTAINTY_DRAWS),
                         at_once = sure(as_compared, i, k, EVN_UNCERTAINTY_DRAWS);
            ck_assert_double_eq_tol(is.low_percent, at_once.low_percent, 1e-9);
            ck_assert_double_eq_tol(is.mean_percent, at_once.mean_percent, 1e-9);
            ck_assert_double_eq_tol(is.probability_lower, at_once.probability_lower, 1e-9);
        }
    ck_assert_double_eq_tol(evn_uncertainty_how_found(u).speed_moved_percent, 100 * exp(0.6) * 0.2, 1e-9);
    ck_assert_double_eq(evn_uncertainty_how_found(as_compared).speed_moved_percent, 0);
    evn_uncertainty_free(u);
    evn_uncertainty_free(as_compared);
}
END_TEST

/* ------------------------------------------------------------------------------------------------ not finished */

static void let_fail(evn_uncertainty *u, size_t draws)
{
    for (size_t k = 0; k < draws; k++) {
        u->draw[3 * k].failed = 4;
        u->draw[3 * k].value[2] = (double)NAN;
    }
    snprintf(u->draw_reasons.of[2], EVN_FINDING_BYTES, "it does not move off");
}

/* By neither method and on neither basis, whichever way round; of the others as ever. */
static void must_tell_no_word_of_the_failing(const evn_uncertainty *u, bool often)
{
    for (size_t i = 0; i < TRUCKS; i++)
        for (size_t k = 0; k < TRUCKS; k++)
            for (int by = EVN_UNCERTAINTY_FIRST_ORDER; by <= EVN_UNCERTAINTY_DRAWS; by++)
                for (int basis = EVN_BASIS_OWN; basis <= EVN_BASIS_COMMON; basis++) {
                    evn_sureness is;
                    if (!evn_uncertainty_between(u, i, k, (evn_basis)basis, (evn_uncertainty_method)by, &is))
                        continue;
                    bool fails = often && (i == 2 || k == 2);
                    ck_assert(is.fails_often == fails && !(fails && is.hangs_on_draws));
                    ck_assert_int_eq(is.apart,
                                     fails ? EVN_CANNOT_BE_TOLD_APART : evn_apart_by(is.low_percent, is.high_percent));
                }
}

/* Far from each other, so that all would be told apart. */
START_TEST(a_truck_that_does_not_finish_leaves_the_others_in)
{
    wide_middle = 3;
    for (size_t draws = 12; draws <= 13; draws++) { /* 5 % of 256 are 12.8 */
        evn_uncertainty *all = answer(DRAWS, 1, wide), *u = answer_begin(DRAWS, 1, wide);
        let_fail(u, draws);
        ck_assert(evn_answer_make(u));
        evn_uncertainty_facts facts = evn_uncertainty_how_found(u);
        evn_sureness whole = sure(all, 1, 0, EVN_UNCERTAINTY_DRAWS), is = sure(u, 1, 0, EVN_UNCERTAINTY_DRAWS);
        ck_assert(is.draws == DRAWS && is.failed == 0 && !is.fails_often && is.low_percent == whole.low_percent);
        is = sure(u, 2, 0, EVN_UNCERTAINTY_DRAWS);
        ck_assert(is.draws == DRAWS - draws && is.failed == draws && is.fails_often == (draws == 13));
        ck_assert(sure(u, 1, 2, EVN_UNCERTAINTY_DRAWS).failed == draws);
        must_tell_no_word_of_the_failing(u, draws == 13);
        ck_assert(facts.failed == draws && facts.draws_done == DRAWS - draws);
        evn_failed_draws failed;
        double value;
        ck_assert(!evn_uncertainty_failed_at(u, 0, &failed) && !evn_uncertainty_failed_at(u, 1, &failed));
        ck_assert(evn_uncertainty_failed_at(u, 2, &failed) && failed.draws == draws);
        ck_assert_str_eq(failed.reason, "it does not move off");
        ck_assert(!evn_uncertainty_draw_at(u, 0, 2, &value) && evn_uncertainty_draw_at(u, 0, 1, &value));
        evn_uncertainty_free(u);
        evn_uncertainty_free(all);
    }
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("sure answer");
    TCase *tests = tcase_create("sure answer");
    tcase_add_test(tests, a_against_b_is_b_against_a_turned);
    tcase_add_test(tests, a_ratio_of_lognormal_values_is_as_its_closed_form);
    tcase_add_test(tests, half_a_half_width_narrows_the_interval_that_is_told);
    tcase_add_test(tests, below_zero_differences_are_in_per_cent_of_the_others);
    tcase_add_test(tests, a_truck_that_does_not_finish_leaves_the_others_in);
    tcase_add_test(tests, the_lower_speed_of_the_draws_is_told_and_does_not_move_the_interval);
    suite_add_tcase(suite, tests);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_NORMAL);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
