/* Both integrators behind their calls, on equations whose answers are known; and the search for the first fall. */
#include "trip/falls.h"
#include "trip/solver.h"
#include <check.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

static const evn_solver_kind *const kinds[] = {&evn_cvode, &evn_arkode};
enum { KINDS = sizeof kinds / sizeof *kinds, STATES = 2 };

/* ------------------------------------------------------------------------------------------------ a system */

typedef struct model {
    bool (*rate)(double t, const double *y, double *dy);
    void (*watch)(const struct model *, const double *y, double *g);
    size_t watches, steps, most_steps;
    bool passed; /* the second mark */
    double last_to, worst_back, tolerance[STATES];
    void (*right)(double t, double *y); /* what is looked back at must be; NULL: nobody looks */
    evn_solver *solver;
    const evn_solver_kind *kind;
} model;

static bool rate(double t, const double *y, double *dy, void *self) { return ((model *)self)->rate(t, y, dy); }
static void watch(double t, const double *y, double *g, void *self)
{
    (void)t;
    ((model *)self)->watch(self, y, g);
}
static void watch_some(double t, const double *y, uint64_t wanted, double *g, void *self)
{
    double all[EVN_WATCHES_MAX];
    const model *m = self;
    watch(t, y, all, self);
    for (size_t k = 0; k < m->watches; k++)
        if (wanted >> k & 1u)
            g[k] = all[k];
}
static void nothing_falls(const model *m, const double *y, double *g)
{
    (void)m, (void)y;
    g[0] = 1;
}

static bool step(double from, double to, const double *y, void *self)
{
    model *m = self;
    (void)y;
    ck_assert(from == m->last_to && to >= from);
    m->last_to = to;
    for (int k = 0; m->right && k <= 4; k++) {
        double t = from + 0.25 * k * (to - from), back[STATES], right[STATES];
        m->kind->look_back(m->solver, t, back);
        m->right(t, right);
        for (size_t i = 0; i < STATES; i++)
            m->worst_back = fmax(m->worst_back, fabs(back[i] - right[i]));
    }
    return ++m->steps != m->most_steps;
}

static void restart(model *m, double t, const double *y)
{
    evn_pace pace = {UINT64_MAX, m->tolerance, 1e-3, (double)INFINITY};
    m->last_to = t;
    m->kind->restart(m->solver, t, y, &pace);
}

static void begin(model *m, const evn_solver_kind *kind, double tolerance, const bool *aside, double t, const double *y)
{
    m->tolerance[0] = m->tolerance[1] = tolerance;
    m->watch = m->watch ? m->watch : nothing_falls;
    m->watches = m->watches > 0 ? m->watches : 1;
    m->kind = kind;
    evn_system system = {STATES, m->watches, tolerance, m->tolerance, rate, watch, watch_some, step, m, aside};
    m->solver = kind->create(&system);
    ck_assert_ptr_nonnull(m->solver);
    restart(m, t, y);
}

/* ------------------------------------------------------------------------------------------------ accuracy */

/* A circle, from (1, 0). */
static bool circle(double t, const double *y, double *dy)
{
    (void)t;
    dy[0] = -y[1];
    dy[1] = y[0];
    return true;
}
static void on_circle(double t, double *y)
{
    y[0] = cos(t);
    y[1] = sin(t);
}

START_TEST(states_and_what_is_looked_back_at_follow_a_circle_closer_the_tighter_the_tolerance)
{
    double last = (double)INFINITY;
    for (int digits = 4; digits <= 8; digits += 2) {
        model m = {.rate = circle, .right = on_circle};
        double t = 0, y[STATES] = {1, 0}, right[STATES];
        uint64_t hit;
        begin(&m, kinds[_i], pow(10, -digits), NULL, t, y);
        ck_assert_int_eq(m.kind->go(m.solver, 10, &t, y, &hit), EVN_REACHED_TIME);
        ck_assert(t == 10 && m.last_to == 10 && hit == 0);
        on_circle(t, right);
        double error = hypot(y[0] - right[0], y[1] - right[1]);
        ck_assert_msg(error < 200 * pow(10, -digits) && error < 0.2 * last, "%g at 1e-%d, %g before", error, digits,
                      last);
        ck_assert_msg(m.worst_back < 200 * pow(10, -digits), "%g at 1e-%d", m.worst_back, digits);
        last = error;
        m.kind->drop(m.solver);
    }
}
END_TEST

/* Growth, and the integral of it, which nothing reads. */
static bool growth(double t, const double *y, double *dy)
{
    (void)t;
    dy[0] = y[0];
    dy[1] = 3 * y[0];
    return true;
}
static void grown(double t, double *y)
{
    y[0] = exp(t);
    y[1] = 3 * (exp(t) - 1);
}

START_TEST(what_is_summed_up_aside_is_as_close_as_among_the_others)
{
    const bool aside[STATES] = {false, true};
    model m = {.rate = growth, .right = grown};
    double t = 0, y[STATES] = {1, 0}, right[STATES];
    uint64_t hit;
    begin(&m, kinds[_i], 1e-7, aside, t, y);
    ck_assert_int_eq(m.kind->go(m.solver, 2, &t, y, &hit), EVN_REACHED_TIME);
    grown(2, right);
    ck_assert_double_eq_tol(y[0], right[0], 1e-5);
    ck_assert_double_eq_tol(y[1], right[1], 3e-5);
    ck_assert_double_eq_tol(y[1], 3 * (y[0] - 1), 1e-12); /* the same weights of the same stages, or the same formula */
    ck_assert_double_lt(m.worst_back, 3e-5);
    m.kind->drop(m.solver);
}
END_TEST

/* ------------------------------------------------------------------------------------------------ events */

/* Above zero: more than 0.5, and more than 0.8, of the circle's first coordinate; the third never falls. */
static void marks(const model *m, const double *y, double *g)
{
    g[0] = y[0] - 0.5;
    g[1] = m->passed ? 0.8 - y[0] : y[0] - 0.8;
    g[2] = y[1] + 3;
}

START_TEST(the_first_of_several_events_ends_a_run_where_it_falls_and_a_run_goes_on_from_there)
{
    model m = {.rate = circle, .watch = marks, .watches = 3, .right = on_circle};
    double t = 0, y[STATES] = {1, 0};
    uint64_t hit;
    begin(&m, kinds[_i], 1e-9, NULL, t, y);
    ck_assert_int_eq(m.kind->go(m.solver, 6, &t, y, &hit), EVN_REACHED_EVENT);
    ck_assert_uint_eq(hit, 2);
    ck_assert_double_eq_tol(t, acos(0.8), 1e-7);
    ck_assert_double_eq_tol(y[0], 0.8, 1e-12);
    ck_assert(m.last_to == t);
    /* where no rule acted the same event comes again, without a restart */
    double first_s = t;
    ck_assert_int_eq(m.kind->go(m.solver, 6, &t, y, &hit), EVN_REACHED_EVENT);
    ck_assert_uint_eq(hit, 2);
    ck_assert_double_eq_tol(y[0], cos(t), 1e-6);
    ck_assert_double_gt(t, first_s);
    m.passed = true;
    restart(&m, t, y);
    ck_assert_int_eq(m.kind->go(m.solver, 6, &t, y, &hit), EVN_REACHED_EVENT);
    ck_assert_uint_eq(hit, 1);
    ck_assert_double_eq_tol(t, acos(0.5), 1e-7);
    ck_assert_double_lt(m.worst_back, 1e-6);
    m.kind->drop(m.solver);
}
END_TEST

/* Both at zero at the start, raised as the trip's are: one moves away, one falls. */
static void at_zero(const model *m, const double *y, double *g)
{
    (void)m;
    g[0] = 1 - y[0] + EVN_TOUCH;
    g[1] = -y[1] + EVN_TOUCH;
}

START_TEST(a_watch_at_zero_that_moves_away_is_no_event_and_one_that_falls_is)
{
    model m = {.rate = circle, .watch = at_zero, .watches = 1};
    double t = 0, y[STATES] = {1, 0};
    uint64_t hit;
    begin(&m, kinds[_i], 1e-9, NULL, t, y);
    ck_assert_int_eq(m.kind->go(m.solver, 3, &t, y, &hit), EVN_REACHED_TIME);
    m.kind->drop(m.solver);
    model falls = {.rate = circle, .watch = at_zero, .watches = 2};
    double t2 = 0, y2[STATES] = {1, 0};
    begin(&falls, kinds[_i], 1e-9, NULL, t2, y2);
    ck_assert_int_eq(falls.kind->go(falls.solver, 3, &t2, y2, &hit), EVN_REACHED_EVENT);
    ck_assert_uint_eq(hit, 2);
    ck_assert_double_lt(t2, 1e-2);
    falls.kind->drop(falls.solver);
}
END_TEST

/* ------------------------------------------------------------------------------------------------ no way on */

/* Emptying: the square root of what is left, which a step too long takes below zero. Empty at t = 2. */
static bool draining(double t, const double *y, double *dy)
{
    (void)t;
    dy[0] = -sqrt(y[0]);
    dy[1] = 0;
    return isfinite(dy[0]);
}
static void nearly_empty(const model *m, const double *y, double *g)
{
    (void)m;
    g[0] = y[0] - 1e-4;
}

START_TEST(a_rate_that_is_not_finite_beyond_an_event_does_not_keep_a_run_from_it)
{
    model m = {.rate = draining, .watch = nearly_empty, .watches = 1};
    double t = 0, y[STATES] = {1, 0};
    uint64_t hit;
    begin(&m, kinds[_i], 1e-8, NULL, t, y);
    ck_assert_int_eq(m.kind->go(m.solver, 100, &t, y, &hit), EVN_REACHED_EVENT);
    ck_assert_double_eq_tol(t, 2 * (1 - 1e-2), 1e-4); /* y = (1 - t / 2)^2 */
    m.kind->drop(m.solver);
}
END_TEST

static bool wall(double t, const double *y, double *dy)
{
    (void)y;
    dy[0] = dy[1] = 1;
    return t <= 1;
}

START_TEST(rates_that_are_never_finite_again_end_a_run_with_the_reason)
{
    model m = {.rate = wall};
    double t = 0, y[STATES] = {0, 0};
    uint64_t hit;
    begin(&m, kinds[_i], 1e-6, NULL, t, y);
    ck_assert_int_eq(m.kind->go(m.solver, 2, &t, y, &hit), EVN_GAVE_UP);
    ck_assert_str_eq(m.kind->why(m.solver), "the rates are not finite");
    ck_assert(t > 0.5 && t <= 1);
    /* and a restart is not held up by what failed before it */
    y[0] = y[1] = t = 0;
    restart(&m, t, y);
    ck_assert_int_eq(m.kind->go(m.solver, 0.5, &t, y, &hit), EVN_REACHED_TIME);
    ck_assert_double_eq_tol(y[0], 0.5, 1e-9);
    m.kind->drop(m.solver);
}
END_TEST

/* Known times may lie as close together as round-off: behind a restart, and behind steps of a second. */
START_TEST(a_way_within_round_off_of_time_is_gone_all_the_same)
{
    for (double ulps = 1; ulps < 1e8; ulps *= 3) {
        model m = {.rate = circle};
        double t = 556.41, y[STATES] = {1, 0}, near = t + ulps * 0x1p-43;
        uint64_t hit;
        begin(&m, kinds[_i], 1e-7, NULL, t, y);
        ck_assert_msg(m.kind->go(m.solver, near, &t, y, &hit) == EVN_REACHED_TIME, "%g, anew: %s", ulps,
                      m.kind->why(m.solver));
        ck_assert(t == near);
        ck_assert_int_eq(m.kind->go(m.solver, 560, &t, y, &hit), EVN_REACHED_TIME);
        ck_assert_msg(m.kind->go(m.solver, 560 + ulps * 0x1p-43, &t, y, &hit) == EVN_REACHED_TIME, "%g, on: %s", ulps,
                      m.kind->why(m.solver));
        ck_assert_double_eq_tol(y[0], cos(t - 556.41), 1e-5);
        m.kind->drop(m.solver);
    }
}
END_TEST

START_TEST(who_is_shown_each_step_may_end_a_run)
{
    model m = {.rate = circle, .most_steps = 3};
    double t = 0, y[STATES] = {1, 0};
    uint64_t hit;
    begin(&m, kinds[_i], 1e-9, NULL, t, y);
    ck_assert_int_eq(m.kind->go(m.solver, 100, &t, y, &hit), EVN_STOPPED);
    ck_assert(m.steps == 3 && t == m.last_to && t < 100);
    m.kind->drop(m.solver);
}
END_TEST

/* ------------------------------------------------------------------------------------------------ falls */

typedef struct curves {
    double (*f[3])(double share);
    int asked;
} curves;

static void ask_curves(void *self, double share, uint64_t wanted, double *g)
{
    curves *c = self;
    c->asked++;
    for (size_t k = 0; k < 3; k++)
        if (wanted >> k & 1u)
            g[k] = c->f[k](share);
}

static double straight(double x) { return 0.7 - x; }
static double bent(double x) { return x < 0.4 ? 1e-3 * (0.4 - x) : 50 * (0.4 - x); }
static double cubic(double x) { return 0.3 - x * x * x; } /* falls at 0.669 */
static double stays(double x) { return 1 + x; }
static double from_zero(double x) { return -3 * x; }

static double first_of(double (*a)(double), double (*b)(double), double (*c)(double), uint64_t *hit, int *asked)
{
    double begin[3], end[3];
    curves all = {{a, b, c}, 0};
    ask_curves(&all, 0, UINT64_MAX, begin);
    ask_curves(&all, 1, UINT64_MAX, end);
    all.asked = 0;
    evn_falls falls = {3, begin, end, ask_curves, &all, 1e-13};
    *hit = evn_falls_seen(&falls);
    double share = *hit ? evn_falls_first(&falls, hit) : (double)NAN;
    *asked = all.asked;
    return share;
}

START_TEST(the_first_fall_is_found_whatever_its_bend_in_few_places)
{
    static const struct {
        double (*f[3])(double), share;
        uint64_t hit;
        int most;
    } of[] = {
        {{straight, stays, stays}, 0.7, 1, 3},    {{cubic, stays, straight}, 0.66943295008216952, 1, 12},
        {{stays, straight, bent}, 0.4, 4, 100},   {{straight, straight, cubic}, 0.66943295008216952, 4, 12},
        {{straight, straight, stays}, 0.7, 3, 3},
    };
    for (size_t k = 0; k < sizeof of / sizeof *of; k++) {
        uint64_t hit;
        int asked;
        double share = first_of(of[k].f[0], of[k].f[1], of[k].f[2], &hit, &asked);
        ck_assert_msg(fabs(share - of[k].share) < 2e-13, "case %zu: %.17g after %d places", k, share, asked);
        ck_assert_uint_eq(hit, of[k].hit);
        ck_assert_msg(asked <= of[k].most, "case %zu: asked %d times", k, asked);
    }
}
END_TEST

START_TEST(nothing_falls_where_nothing_does_and_a_fall_from_zero_is_found_once_it_is_clear)
{
    uint64_t hit;
    int asked;
    first_of(stays, stays, stays, &hit, &asked);
    ck_assert(hit == 0 && asked == 0);
    double share = first_of(stays, from_zero, stays, &hit, &asked);
    ck_assert_uint_eq(hit, 2);
    ck_assert_double_eq_tol(-3 * share, 2 * EVN_CROSSED, 1e-12);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("solvers");
    TCase *both = tcase_create("both");
    tcase_add_loop_test(both, states_and_what_is_looked_back_at_follow_a_circle_closer_the_tighter_the_tolerance, 0,
                        KINDS);
    tcase_add_loop_test(both, what_is_summed_up_aside_is_as_close_as_among_the_others, 0, KINDS);
    tcase_add_loop_test(both, the_first_of_several_events_ends_a_run_where_it_falls_and_a_run_goes_on_from_there, 0,
                        KINDS);
    tcase_add_loop_test(both, a_watch_at_zero_that_moves_away_is_no_event_and_one_that_falls_is, 0, KINDS);
    tcase_add_loop_test(both, a_rate_that_is_not_finite_beyond_an_event_does_not_keep_a_run_from_it, 0, KINDS);
    tcase_add_loop_test(both, rates_that_are_never_finite_again_end_a_run_with_the_reason, 0, KINDS);
    tcase_add_loop_test(both, a_way_within_round_off_of_time_is_gone_all_the_same, 0, KINDS);
    tcase_add_loop_test(both, who_is_shown_each_step_may_end_a_run, 0, KINDS);
    suite_add_tcase(suite, both);
    TCase *falls = tcase_create("falls");
    tcase_add_test(falls, the_first_fall_is_found_whatever_its_bend_in_few_places);
    tcase_add_test(falls, nothing_falls_where_nothing_does_and_a_fall_from_zero_is_found_once_it_is_clear);
    suite_add_tcase(suite, falls);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_NORMAL);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
