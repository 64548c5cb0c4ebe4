/* Searches for zeros and minima against functions whose answers are known. */
#include "core/root.h"
#include <check.h>
#include <math.h>
#include <stdlib.h>

typedef struct asked {
    double (*f)(double);
    int times;
    double least, most; /* places it was asked at */
} asked;

static double ask(void *self, double x)
{
    asked *a = self;
    a->least = a->times == 0 ? x : fmin(a->least, x);
    a->most = a->times == 0 ? x : fmax(a->most, x);
    a->times++;
    return a->f(x);
}

static double straight(double x) { return 3 * x - 6; }
static double cosine(double x) { return cos(x) - x; } /* its zero: 0.739085133215160642 (Dottie's number) */
static double cube(double x) { return x * x * x - 2; }
static double bent(double x) { return x < 1 ? 0.01 * (x - 1) : 50 * (x - 1); }
static double level(double x)
{
    (void)x;
    return 1;
}
static double step(double x) { return x < 0.3 ? -1 : 2; }
static double bowl(double x) { return (x - 0.7) * (x - 0.7) * (1 + x * x); }
static double falling(double x) { return -x; }

static const evn_secant ANYWHERE = {1e-12, 0, -(double)INFINITY, (double)INFINITY, 50};

static evn_known known(asked *a, double x) { return (evn_known){x, ask(a, x)}; }

START_TEST(a_secant_finds_a_straight_lines_zero_in_two_steps)
{
    asked a = {straight, 0, 0, 0};
    evn_known from = known(&a, 0);
    evn_root at = evn_root_secant(ask, &a, from, 1, &ANYWHERE);
    ck_assert(at.found && fabs(at.x - 2) < 1e-15);
    ck_assert_int_eq(a.times, 3);
}
END_TEST

START_TEST(a_secant_finds_known_zeros_of_curves)
{
    asked a = {cosine, 0, 0, 0};
    evn_root at = evn_root_secant(ask, &a, known(&a, 0), 1, &ANYWHERE);
    ck_assert(at.found && fabs(at.x - 0.739085133215160642) < 1e-12);
    a = (asked){cube, 0, 0, 0};
    at = evn_root_secant(ask, &a, known(&a, 1), 2, &ANYWHERE);
    ck_assert(at.found && fabs(at.x - cbrt(2)) < 1e-12);
}
END_TEST

START_TEST(a_secant_does_not_ask_outside_of_its_bounds_and_says_that_nothing_was_found)
{
    evn_secant within = {1e-12, 0, 0, 1.5, 50};
    asked a = {straight, 0, 0, 0};
    evn_root at = evn_root_secant(ask, &a, known(&a, 0), 1, &within);
    ck_assert(!at.found && a.least >= 0 && a.most <= 1.5);
    ck_assert(at.x == 1 && at.error == -3);
}
END_TEST

START_TEST(a_secant_ends_where_the_function_is_level_and_after_its_steps)
{
    asked a = {level, 0, 0, 0};
    evn_root at = evn_root_secant(ask, &a, known(&a, 0), 1, &ANYWHERE);
    ck_assert(!at.found && a.times == 2);
    evn_secant few = {0, 0, -(double)INFINITY, (double)INFINITY, 3};
    a = (asked){cosine, 0, 0, 0};
    ck_assert(!evn_root_secant(ask, &a, known(&a, 0), 1, &few).found && a.times == 4);
}
END_TEST

START_TEST(a_guess_that_is_no_number_is_never_asked)
{
    asked a = {straight, 0, 0, 0};
    evn_known from = known(&a, 0);
    evn_root at = evn_root_secant(ask, &a, from, (double)NAN, &ANYWHERE);
    ck_assert(!at.found && a.times == 1 && at.x == 0);
}
END_TEST

START_TEST(the_last_place_asked_is_the_one_returned)
{
    asked a = {cube, 0, 0, 0};
    evn_root at = evn_root_secant(ask, &a, known(&a, 1), 2, &ANYWHERE);
    ck_assert(at.error == cube(at.x));
    evn_between how = {.tolerance = 1e-13, .steps = 100};
    at = evn_root_between(ask, &a, known(&a, 0), known(&a, 5), &how);
    ck_assert(at.error == cube(at.x));
}
END_TEST

START_TEST(between_two_places_a_zero_is_found_whichever_way_the_function_goes)
{
    evn_between how = {.tolerance = 1e-12, .steps = 100};
    asked a = {cube, 0, 0, 0};
    evn_root at = evn_root_between(ask, &a, known(&a, 0), known(&a, 5), &how);
    ck_assert(at.found && fabs(at.x - cbrt(2)) < 1e-12 && a.times < 20);
    a = (asked){falling, 0, 0, 0};
    at = evn_root_between(ask, &a, known(&a, -1), known(&a, 3), &how);
    ck_assert(at.found && fabs(at.x) < 1e-12);
    a = (asked){cosine, 0, 0, 0};
    at = evn_root_between(ask, &a, known(&a, 0), known(&a, 3), &how);
    ck_assert(at.found && fabs(at.x - 0.739085133215160642) < 1e-12);
}
END_TEST

START_TEST(between_two_places_bends_and_jumps_are_closed_in_on)
{
    evn_between how = {.tolerance = 1e-12, .x_tolerance = 1e-13, .steps = 200};
    asked a = {bent, 0, 0, 0};
    evn_root at = evn_root_between(ask, &a, known(&a, -100), known(&a, 100), &how);
    ck_assert(at.found && fabs(at.x - 1) < 1e-9);
    a = (asked){step, 0, 0, 0};
    at = evn_root_between(ask, &a, known(&a, 0), known(&a, 1), &how);
    ck_assert(!at.found && fabs(at.x - 0.3) < 1e-12 && a.least >= 0 && a.most <= 1);
}
END_TEST

START_TEST(at_a_jump_the_side_that_is_kept_is_the_one_asked_for)
{
    evn_between how = {.tolerance = 1e-12, .x_tolerance = 1e-13, .steps = 200};
    asked a = {step, 0, 0, 0};
    evn_root low = evn_root_short_of(ask, &a, known(&a, 0), known(&a, 1), &how);
    evn_root high = evn_root_short_of(ask, &a, known(&a, 1), known(&a, 0), &how);
    ck_assert(!low.found && fabs(low.x - 0.3) < 1e-12 && low.error == step(0));
    ck_assert(!high.found && fabs(high.x - 0.3) < 1e-12 && high.error == step(1));
    a = (asked){cosine, 0, 0, 0};
    evn_root at = evn_root_short_of(ask, &a, known(&a, 3), known(&a, 0), &how);
    ck_assert(at.found && fabs(at.x - 0.739085133215160642) < 1e-12);
}
END_TEST

START_TEST(an_end_that_is_near_enough_is_taken_at_once)
{
    evn_between how = {.tolerance = 0.1, .steps = 100};
    asked a = {straight, 0, 0, 0};
    evn_root at = evn_root_between(ask, &a, known(&a, 0), known(&a, 2.01), &how);
    ck_assert(at.found && at.x == 2.01 && a.times == 2);
}
END_TEST

START_TEST(the_least_of_a_bowl_and_of_an_end_is_found)
{
    asked a = {bowl, 0, 0, 0};
    ck_assert_double_eq_tol(evn_root_least(ask, &a, -1, 2, 1e-10), 0.7, 1e-7); /* flat to the root of the round-off */
    ck_assert(a.least >= -1 && a.most <= 2 && a.times < 60);
    a = (asked){falling, 0, 0, 0};
    ck_assert_double_eq_tol(evn_root_least(ask, &a, -1, 2, 1e-10), 2, 1e-9);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("root");
    TCase *tests = tcase_create("searches");
    tcase_add_test(tests, a_secant_finds_a_straight_lines_zero_in_two_steps);
    tcase_add_test(tests, a_secant_finds_known_zeros_of_curves);
    tcase_add_test(tests, a_secant_does_not_ask_outside_of_its_bounds_and_says_that_nothing_was_found);
    tcase_add_test(tests, a_secant_ends_where_the_function_is_level_and_after_its_steps);
    tcase_add_test(tests, a_guess_that_is_no_number_is_never_asked);
    tcase_add_test(tests, the_last_place_asked_is_the_one_returned);
    tcase_add_test(tests, between_two_places_a_zero_is_found_whichever_way_the_function_goes);
    tcase_add_test(tests, between_two_places_bends_and_jumps_are_closed_in_on);
    tcase_add_test(tests, at_a_jump_the_side_that_is_kept_is_the_one_asked_for);
    tcase_add_test(tests, an_end_that_is_near_enough_is_taken_at_once);
    tcase_add_test(tests, the_least_of_a_bowl_and_of_an_end_is_found);
    suite_add_tcase(suite, tests);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_NORMAL);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
