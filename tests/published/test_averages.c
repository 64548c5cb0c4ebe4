/* Averages over all orders of exchange against games whose values are known. */
#include "causes/average.h"
#include "checked.h"

enum { MOST = 6 };

static size_t members_of(size_t set)
{
    size_t count = 0;
    for (; set != 0; set &= set - 1)
        count++;
    return count;
}

/* Two left gloves and one right: a pair is worth 1. */
START_TEST(gloves_have_their_textbook_values)
{
    const published textbook = {"glove game of textbooks of cooperative games: 1/6, 1/6, 2/3", FROM_MEMORY};
    double value[8], part[3];
    for (size_t set = 0; set < 8; set++)
        value[set] = (set & 4) && (set & 3) ? 1 : 0;
    evn_average_over_orders(value, 3, part);
    check_value(&textbook, part[0], ABSOLUTE, 1.0 / 6, 1e-14, "1", "first left glove");
    check_value(&textbook, part[1], ABSOLUTE, 1.0 / 6, 1e-14, "1", "second left glove");
    check_value(&textbook, part[2], ABSOLUTE, 2.0 / 3, 1e-14, "1", "right glove");
}
END_TEST

/* Votes 4, 2, 1, 1 with 5 of 8 to decide: of the 24 orders the first turns 18, each other 2. */
START_TEST(votes_have_the_power_that_counting_orders_gives)
{
    const published counted = {"Shapley and Shubik 1954: share of orders in which a member turns the vote, counted",
                               CLOSED_FORM};
    static const double votes[4] = {4, 2, 1, 1};
    double value[16], part[4];
    for (size_t set = 0; set < 16; set++) {
        double sum = 0;
        for (size_t i = 0; i < 4; i++)
            sum += set >> i & 1 ? votes[i] : 0;
        value[set] = sum >= 5 ? 1 : 0;
    }
    evn_average_over_orders(value, 4, part);
    check_value(&counted, part[0], ABSOLUTE, 18.0 / 24, 1e-14, "1", "4 votes");
    for (size_t i = 1; i < 4; i++)
        check_value(&counted, part[i], ABSOLUTE, 2.0 / 24, 1e-14, "1", "%g votes, member %zu", votes[i], i);
}
END_TEST

/* What only all together make, each makes an equal part of. */
START_TEST(what_all_make_together_is_parted_evenly)
{
    const published axiom = {"Shapley 1953: unanimity game, 1/n each", CLOSED_FORM};
    for (size_t count = 1; count <= MOST; count++) {
        double value[1 << MOST] = {0}, part[MOST];
        value[(1u << count) - 1] = 3;
        evn_average_over_orders(value, count, part);
        for (size_t i = 0; i < count; i++)
            check_value(&axiom, part[i], ABSOLUTE, 3.0 / (double)count, 1e-14, "1", "%zu of %zu", i + 1, count);
    }
}
END_TEST

/* The square of a sum of weights: the part of i is w_i times the sum of all, by symmetry of the pairs. */
START_TEST(pairs_that_act_together_halve_what_they_make)
{
    const published closed = {"pairs of a quadratic game go half to each: w_i (w_1 + ... + w_n)", CLOSED_FORM};
    static const double w[MOST] = {1, -2, 0.5, 3, 0, 0.25};
    double value[1 << MOST], part[MOST], all = 0;
    for (size_t i = 0; i < MOST; i++)
        all += w[i];
    for (size_t set = 0; set < 1u << MOST; set++) {
        double sum = 0;
        for (size_t i = 0; i < MOST; i++)
            sum += set >> i & 1 ? w[i] : 0;
        value[set] = sum * sum;
    }
    evn_average_over_orders(value, MOST, part);
    for (size_t i = 0; i < MOST; i++)
        check_value(&closed, part[i], ABSOLUTE, w[i] * all, 1e-13, "1", "weight %g", w[i]);
}
END_TEST

START_TEST(what_acts_alone_makes_its_single_effect_whatever_stands_beside_it)
{
    const published axiom = {"Shapley 1953: of an additive game, its own value", CLOSED_FORM};
    static const double w[MOST] = {0.5, -1, 0, 4, 2, -0.125};
    double value[1 << MOST], part[MOST], least, most;
    for (size_t set = 0; set < 1u << MOST; set++) {
        value[set] = 7 + 0.25 * (double)members_of(set);
        for (size_t i = 0; i < MOST; i++)
            value[set] += set >> i & 1 ? w[i] - 0.25 : 0;
    }
    evn_average_over_orders(value, MOST, part);
    for (size_t i = 0; i < MOST; i++) {
        evn_range_over_orders(value, MOST, i, &least, &most);
        check_value(&axiom, part[i], ABSOLUTE, w[i], 1e-14, "1", "effect %g", w[i]);
        check_value(&axiom, least, ABSOLUTE, w[i], 1e-14, "1", "least of effect %g", w[i]);
        check_value(&axiom, most, ABSOLUTE, w[i], 1e-14, "1", "most of effect %g", w[i]);
    }
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("averages");
    TCase *tests = tcase_create("averages");
    tcase_add_test(tests, gloves_have_their_textbook_values);
    tcase_add_test(tests, votes_have_the_power_that_counting_orders_gives);
    tcase_add_test(tests, what_all_make_together_is_parted_evenly);
    tcase_add_test(tests, pairs_that_act_together_halve_what_they_make);
    tcase_add_test(tests, what_acts_alone_makes_its_single_effect_whatever_stands_beside_it);
    suite_add_tcase(suite, tests);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_NORMAL);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
