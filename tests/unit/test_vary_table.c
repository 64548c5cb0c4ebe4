/* What is told of variants at hand: shares of variance against closed forms, the front, flat ranges and edges. */
#include "show/vary_story.h"
#include <check.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

enum { SIDE = 21, ROWS = SIDE * SIDE };

static evn_variants_column columns[4];
static uint64_t ids[ROWS];
static unsigned char trucks[ROWS], states[ROWS];
static double values[ROWS * 4];

/* A grid of x and y from 0 to 1 with two aims, all of which may be. */
static evn_vary_table grid(double (*first)(double x, double y), double (*second)(double x, double y), size_t aims)
{
    const double none = (double)NAN;
    static const char *const keys[] = {"x", "y", "first", "second"};
    for (size_t k = 0; k < 4; k++) {
        columns[k] =
            (evn_variants_column){.what = {.key = keys[k]}, .varies = k < 2, .from = k < 2 ? 0 : none, .to = 1};
        columns[k].aimed = k < 2 ? EVN_AIMED_NOT : EVN_AIMED_LEAST;
    }
    for (size_t row = 0; row < ROWS; row++) {
        double x = (double)(row / SIDE) / (SIDE - 1), y = (double)(row % SIDE) / (SIDE - 1);
        double *at = values + row * (2 + aims);
        at[0] = x;
        at[1] = y;
        at[2] = first(x, y);
        if (aims > 1)
            at[3] = second(x, y);
        ids[row] = row + 2;
        trucks[row] = 0;
        states[row] = EVN_VARY_MAY_BE;
    }
    return (evn_vary_table){.trucks = 1,
                            .inputs = 2,
                            .aims = aims,
                            .rows = ROWS,
                            .column = columns,
                            .id = ids,
                            .truck = trucks,
                            .state = states,
                            .value = values};
}

static double linear(double x, double y) { return 3 + x + 2 * y; }
static double product(double x, double y) { return (x - 0.5) * (y - 0.5); }
static double bowl(double x, double y) { return 1 + (x - 0.4) * (x - 0.4) + 0.01 * y; }
static double rising(double x, double y) { return 2 - x + 0 * y; }

/* Of x + 2 y over a square the variances are as 1 to 4 (closed form); of a product about the middle neither matters by
 * itself. */
START_TEST(shares_of_variance_are_those_of_closed_forms)
{
    evn_vary_table t = grid(linear, NULL, 1);
    ck_assert_double_eq_tol(evn_vary_share(&t, 0, 0, 0), 0.2, 1e-12);
    ck_assert_double_eq_tol(evn_vary_share(&t, 0, 1, 0), 0.8, 1e-12);
    t = grid(product, NULL, 1);
    ck_assert_double_eq_tol(evn_vary_share(&t, 0, 0, 0), 0, 1e-12);
    ck_assert_double_eq_tol(evn_vary_share(&t, 0, 1, 0), 0, 1e-12);
}
END_TEST

START_TEST(variants_that_came_to_no_end_count_nowhere)
{
    evn_vary_table t = grid(linear, NULL, 1);
    states[0] = EVN_VARY_FAILED;
    values[2] = (double)NAN;
    evn_vary_best b = evn_vary_best_of(&t, 0);
    ck_assert_int_eq(b.row, SIDE); /* x a step up is less than y a step up */
    ck_assert(!isnan(evn_vary_share(&t, 0, 0, 0)));
}
END_TEST

START_TEST(the_best_tells_how_flat_it_is_and_where_it_is_at_an_edge)
{
    evn_vary_table t = grid(bowl, NULL, 1);
    evn_vary_best b = evn_vary_best_of(&t, 0);
    ck_assert_double_eq(evn_vary_at(&t, (size_t)b.row, 0), 0.4);
    ck_assert(!b.low_edge[0] && !b.high_edge[0] && b.low_edge[1] && !b.high_edge[1]);
    /* within 0.001 of 1: x 0.4 alone, its neighbours being 0.0025 more; y up to 0.1 */
    ck_assert_double_eq(b.flat_low[0], 0.4);
    ck_assert_double_eq(b.flat_high[0], 0.4);
    ck_assert_double_eq_tol(b.flat_high[1], 0.1, 1e-9);
    ck_assert_uint_eq(b.flat_rows, 3);
}
END_TEST

/* With 1 + (x - 0.4)^2 and 2 - x the front is all x from 0.4 on, y being 0. */
START_TEST(the_front_is_what_nothing_betters_in_both)
{
    evn_vary_table t = grid(bowl, rising, 2);
    size_t count, *front = evn_vary_front(&t, 0, &count);
    ck_assert_uint_eq(count, 13);
    for (size_t k = 0; k < count; k++) {
        ck_assert_double_eq_tol(evn_vary_at(&t, front[k], 0), 0.4 + 0.05 * (double)k, 1e-9);
        ck_assert_double_eq(evn_vary_at(&t, front[k], 1), 0);
    }
    free(front);
    t = grid(bowl, NULL, 1);
    ck_assert_ptr_null(evn_vary_front(&t, 0, &count));
}
END_TEST

/* Results of the same run differ in their last digits: these are no points of a front. */
static double noisy(double x, double y) { return 2 + 1e-12 * y + 0 * x; }
static double noisy_bowl(double x, double y) { return 1 + 0.1 * y + (1e-12 * x); }
START_TEST(a_front_is_not_of_rounding)
{
    evn_vary_table t = grid(bowl, noisy, 2);
    size_t count, *front = evn_vary_front(&t, 0, &count);
    ck_assert_uint_eq(count, 1);
    free(front);
    t = grid(noisy_bowl, rising, 2); /* least at y 0, whichever x: the one with the least of the second */
    front = evn_vary_front(&t, 0, &count);
    ck_assert_uint_eq(count, 1);
    ck_assert_double_eq(evn_vary_at(&t, front[0], 0), 1);
    ck_assert_double_eq(evn_vary_at(&t, front[0], 1), 0);
    free(front);
}
END_TEST

static double level(double x, double y) { return 1 + 0 * (x + y); }
START_TEST(an_edge_is_told_where_nothing_was_tried_beyond_and_the_result_gets_worse_away_from_it)
{
    evn_vary_table t = grid(linear, NULL, 1);
    columns[0].from = -0.02;                       /* as samples do, they do not quite reach the end */
    columns[1].from = columns[1].to = (double)NAN; /* a list */
    evn_vary_best b = evn_vary_best_of(&t, 0);
    ck_assert(b.low_edge[0] && b.low_edge[1] && !b.high_edge[0] && !b.high_edge[1]);
    columns[0].from = -0.5;
    columns[0].to = 1.5;
    states[0] = EVN_VARY_FAILED; /* the least x with the least y did not come to its end */
    b = evn_vary_best_of(&t, 0);
    ck_assert(!b.low_edge[0] && b.low_edge[1]); /* of x something less was tried */
    t = grid(level, NULL, 1);
    b = evn_vary_best_of(&t, 0);
    ck_assert(!b.low_edge[0] && !b.low_edge[1] && !b.high_edge[0] && !b.high_edge[1]);
    t = grid(bowl, NULL, 1);
    columns[0].from = columns[0].to = (double)NAN;
    values[2 + 3 * (ROWS - 1)] = 5;
    values[0 + 3 * (ROWS - 1)] = 9000;
    b = evn_vary_best_of(&t, 0);
    ck_assert(!b.low_edge[0] && !b.high_edge[0]);
}
END_TEST

/* The truck as it is stands beside the plan: it takes nothing from a grid's balance. */
START_TEST(shares_are_of_the_plan_alone)
{
    evn_vary_table t = grid(linear, NULL, 1);
    ids[0] = 1; /* one of the rows, as if it were the truck as it is */
    for (size_t row = 1; row < SIDE; row++)
        trucks[row] = 1; /* the others of its x leave the grid, which stays balanced without it */
    double y = evn_vary_share(&t, 0, 1, 0);
    ck_assert_double_eq_tol(y, 4 * 36.6666666667 / (4 * 36.6666666667 + 33.25), 1e-9);
}
END_TEST

START_TEST(numbers_are_told_with_all_digits_before_the_point)
{
    static const struct {
        double value;
        const char *words;
    } told[] = {
        {15000, "15000"}, {15001, "15001"}, {-123456.4, "-123456"}, {4.90012, "4.9"}, {0.00012345, "0.0001234"}};
    char words[EVN_VARY_CELL];
    for (size_t k = 0; k < sizeof told / sizeof *told; k++) {
        evn_vary_value_words(told[k].value, 4, words);
        ck_assert_str_eq(words, told[k].words);
    }
}
END_TEST

START_TEST(the_best_ten_are_points_that_differ_of_one_truck)
{
    evn_vary_table t = grid(linear, NULL, 1);
    size_t best[EVN_VARY_BEST_ROWS];
    for (size_t row = 1; row < 15; row++) { /* copies of the best, a hair away */
        values[row * 3] = 1e-6 * (double)row;
        values[row * 3 + 1] = 0;
        values[row * 3 + 2] = 3;
    }
    ck_assert_uint_eq(evn_vary_best_rows(&t, 0, best), EVN_VARY_BEST_ROWS);
    ck_assert_uint_eq(best[0], 0);
    ck_assert_uint_eq(best[1], SIDE); /* x a step up */
    t.trucks = 2;
    trucks[SIDE] = 1;
    ck_assert_uint_eq(evn_vary_best_rows(&t, 1, best), 1);
    ck_assert_uint_eq(best[0], SIDE);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("vary table");
    TCase *all = tcase_create("all");
    tcase_add_test(all, shares_of_variance_are_those_of_closed_forms);
    tcase_add_test(all, variants_that_came_to_no_end_count_nowhere);
    tcase_add_test(all, the_best_tells_how_flat_it_is_and_where_it_is_at_an_edge);
    tcase_add_test(all, the_front_is_what_nothing_betters_in_both);
    tcase_add_test(all, a_front_is_not_of_rounding);
    tcase_add_test(all, an_edge_is_told_where_nothing_was_tried_beyond_and_the_result_gets_worse_away_from_it);
    tcase_add_test(all, shares_are_of_the_plan_alone);
    tcase_add_test(all, numbers_are_told_with_all_digits_before_the_point);
    tcase_add_test(all, the_best_ten_are_points_that_differ_of_one_truck);
    suite_add_tcase(suite, all);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_NORMAL);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
