/* Cash flows made of chosen rates of return give those back, all of them and no other; paybacks and turns likewise. */
#include "money/flow.h"
#include "money/turning.h"
#include <check.h>
#include <math.h>
#include <stdlib.h>

/* A flow whose net present value is the product of (x - 1 / (1 + rate)) over the rates. */
static size_t flow_of(const double *rate, size_t rates, double flow[EVN_FLOW_MOST])
{
    size_t count = 1;
    flow[0] = -1000;
    for (size_t r = 0; r < rates; r++) {
        flow[count] = 0;
        for (size_t k = count + 1; k-- > 0;)
            flow[k] = (k > 0 ? flow[k - 1] : 0) - (k < count ? flow[k] : 0) / (1 + rate[r]);
        count++;
    }
    return count;
}

static unsigned lot(unsigned *state)
{
    *state = *state * 1664525u + 1013904223u;
    return *state >> 8;
}

START_TEST(flows_made_of_rates_of_return_give_all_of_them_back)
{
    unsigned state = 1;
    for (int trial = 0; trial < 2000; trial++) {
        double rate[6], flow[EVN_FLOW_MOST], at = -0.6;
        size_t rates = 1 + lot(&state) % 6;
        for (size_t r = 0; r < rates; r++) {
            at += 0.05 + 0.001 * (double)(lot(&state) % 700);
            rate[r] = at;
        }
        size_t count = flow_of(rate, rates, flow);
        evn_rates_of_return found = evn_rates_of_return_of(flow, count);
        ck_assert_uint_eq(found.count, rates);
        for (size_t r = 0; r < rates; r++) {
            ck_assert_double_eq_tol(found.rate[r], rate[r], 1e-7);
            ck_assert(!found.touches[r]);
        }
    }
}
END_TEST

START_TEST(as_many_rates_of_return_as_the_flow_changes_its_sign_or_fewer_by_an_even_number)
{
    unsigned state = 7;
    for (int trial = 0; trial < 3000; trial++) {
        double flow[EVN_FLOW_MOST];
        size_t count = 2 + lot(&state) % 40, touching = 0;
        for (size_t k = 0; k < count; k++)
            flow[k] = (double)(lot(&state) % 2001) - 1000;
        size_t most = evn_flow_sign_changes(flow, count);
        evn_rates_of_return found = evn_rates_of_return_of(flow, count);
        for (size_t r = 0; r < found.count; r++) {
            double size = 0;
            for (size_t k = 0; k < count; k++)
                size += fabs(flow[k]) * pow(1 + found.rate[r], -(double)k);
            touching += found.touches[r];
            ck_assert(fabs(evn_net_present_value(flow, count, found.rate[r])) <= 1e-9 * size);
            ck_assert(r == 0 || found.rate[r] > found.rate[r - 1]);
        }
        ck_assert(found.count <= most);
        ck_assert((most - found.count - touching) % 2 == 0);
    }
}
END_TEST

START_TEST(a_value_that_only_touches_zero_has_one_rate_that_says_so)
{
    static const double touching[] = {-1, 2.4, -1.44}, at_zero[] = {-1, 2, -1}, idle[] = {0, 0, -100, 110, 0, 0};
    static const double spent[] = {-5, -3, 0}, nothing[] = {0, 0};
    evn_rates_of_return one = evn_rates_of_return_of(touching, 3);
    ck_assert(one.count == 1 && one.touches[0] && fabs(one.rate[0] - 0.2) < 1e-7);
    one = evn_rates_of_return_of(at_zero, 3);
    ck_assert(one.count == 1 && one.touches[0] && one.rate[0] == 0);
    one = evn_rates_of_return_of(idle, 6);
    ck_assert(one.count == 1 && !one.touches[0] && fabs(one.rate[0] - 0.1) < 1e-14);
    ck_assert_uint_eq(evn_rates_of_return_of(spent, 3).count, 0);
    ck_assert_uint_eq(evn_rates_of_return_of(nothing, 2).count, 0);
}
END_TEST

START_TEST(rates_of_return_far_out_are_found_too)
{
    double swift[EVN_FLOW_MOST] = {-1e-3, 5000}, lost[EVN_FLOW_MOST] = {-1e6};
    lost[40] = 1;
    evn_rates_of_return fast = evn_rates_of_return_of(swift, EVN_FLOW_MOST);
    ck_assert(fast.count == 1 && fabs(fast.rate[0] / (5e6 - 1) - 1) < 1e-12);
    evn_rates_of_return slow = evn_rates_of_return_of(lost, EVN_FLOW_MOST);
    ck_assert(slow.count == 1 && fabs(slow.rate[0] - (pow(1e-6, 1 / 40.0) - 1)) < 1e-12);
}
END_TEST

START_TEST(a_sum_that_sinks_again_is_paid_back_first_and_for_good)
{
    static const double replaced[] = {-100, 60, 60, -50, 60}, never[] = {-100, 30, 30}, once[] = {-100, 150, -80},
                        at_once[] = {20, 5}, level[] = {-100, 100};
    evn_paid_back p = evn_paid_back_of(replaced, 5, 0);
    ck_assert_double_eq_tol(p.first_years, 1 + 40 / 60.0, 1e-12);
    ck_assert_double_eq_tol(p.years, 3.5, 1e-12);
    p = evn_paid_back_of(never, 3, 0);
    ck_assert(isnan(p.years) && isnan(p.first_years));
    p = evn_paid_back_of(once, 3, 0);
    ck_assert(isnan(p.years));
    ck_assert_double_eq_tol(p.first_years, 100 / 150.0, 1e-12);
    p = evn_paid_back_of(at_once, 2, 0.1);
    ck_assert(p.years == 0 && p.first_years == 0);
    p = evn_paid_back_of(level, 2, 0);
    ck_assert(p.years == 1 && p.first_years == 1);
}
END_TEST

/* Of x: falls from 3, jumps up by 2 at 0.7, falls through zero at 1.25. */
static double steps(void *self, double x)
{
    (void)self;
    return x < 0.7 ? 0.5 - x : 1.25 - x;
}

START_TEST(turns_and_jumps_over_zero_are_all_told)
{
    evn_turns turns = evn_turns_between(steps, NULL, 0, 2, 40);
    ck_assert_uint_eq(turns.count, 3);
    ck_assert(fabs(turns.at[0] - 0.5) < 1e-12 && !turns.jumps[0]);
    ck_assert(fabs(turns.at[1] - 0.7) < 1e-12 && turns.jumps[1]);
    ck_assert(fabs(turns.at[2] - 1.25) < 1e-12 && !turns.jumps[2]);
    ck_assert(!turns.more);
}
END_TEST

/* 0 from 0.5 on, above it before. */
static double level_end(void *self, double x)
{
    (void)self;
    return x < 0.5 ? 0.5 - x : 0;
}

static double nothing(void *self, double x)
{
    (void)self;
    (void)x;
    return 0;
}

/* Above zero, level from 0.5 to 1, below it behind. */
static double level_between(void *self, double x)
{
    (void)self;
    return x < 0.5 ? 1 : x > 1 ? -1 : 0;
}

START_TEST(what_is_level_at_zero_turns_once_at_the_most_and_nowhere_where_there_is_no_difference_at_all)
{
    static const double none[4] = {0};
    evn_turns turns = evn_turns_between(nothing, NULL, 0, 2, 40);
    ck_assert(turns.count == 0 && !turns.more);
    turns = evn_turns_between(level_between, NULL, 0, 2, 40);
    ck_assert(turns.count == 1 && fabs(turns.at[0] - 1) < 1e-12);
    ck_assert_uint_eq(evn_turns_between(level_end, NULL, 0, 2, 40).count, 1);
    ck_assert(isnan(evn_turns_straight(0, 0, 1, 0)));
    evn_paid_back p = evn_paid_back_of(none, 4, 0.05); /* nothing was laid out */
    ck_assert(isnan(p.years) && isnan(p.first_years));
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("money");
    TCase *flows = tcase_create("flows");
    tcase_add_test(flows, flows_made_of_rates_of_return_give_all_of_them_back);
    tcase_add_test(flows, as_many_rates_of_return_as_the_flow_changes_its_sign_or_fewer_by_an_even_number);
    tcase_add_test(flows, a_value_that_only_touches_zero_has_one_rate_that_says_so);
    tcase_add_test(flows, rates_of_return_far_out_are_found_too);
    tcase_add_test(flows, a_sum_that_sinks_again_is_paid_back_first_and_for_good);
    tcase_add_test(flows, turns_and_jumps_over_zero_are_all_told);
    tcase_add_test(flows, what_is_level_at_zero_turns_once_at_the_most_and_nowhere_where_there_is_no_difference_at_all);
    suite_add_tcase(suite, flows);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_NORMAL);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
