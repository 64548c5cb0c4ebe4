/* Ceilings over a plan: the lower of two, thinning, cutting; closed forms. */
#include "course_probe.h"
#include "cycle/ceiling.h"
#include <stdlib.h>

static evn_ceiling ceiling_of(const double *pairs, size_t count)
{
    evn_ceiling made = {0};
    for (size_t i = 0; i < count; i++)
        ck_assert(evn_ceiling_add(&made, pairs[2 * i], pairs[2 * i + 1]));
    return made;
}

#define CEILING(...)                                                                                                   \
    ceiling_of((const double[]){__VA_ARGS__}, sizeof((const double[]){__VA_ARGS__}) / sizeof(double) / 2)

/* One level limit of 20 m/s, from rest to rest over 1000 m, 0.8 up and 1.0 down. */
static evn_course *level_course(void)
{
    const evn_speed_file speed = {.place_m = LIST(0), .limit_km_h = LIST(72)};
    evn_cycle_file cycle = cycle_of(&speed);
    cycle.length_m = 1000;
    return prepare(&cycle, &no_top);
}

static void lower_course(evn_course *course, const evn_ceiling *by)
{
    evn_report *report = evn_report_new();
    ck_assert(evn_course_lower(course, by, report));
    ck_assert_uint_eq(evn_report_count(report), 0);
    evn_report_free(report);
}

static double plan_v2_at(const evn_course *course, double place_m)
{
    size_t k = 0;
    while (k + 1 < course->plan_count && place_m >= course->plan[k].end_m)
        k++;
    const evn_plan_stretch *p = &course->plan[k];
    return p->v2_begin + (p->v2_end - p->v2_begin) * (place_m - p->begin_m) / (p->end_m - p->begin_m);
}

static void check_joined(const evn_course *course)
{
    for (size_t i = 0; i < course->plan_count; i++) {
        const evn_plan_stretch *p = &course->plan[i];
        ck_assert_double_gt(p->end_m, p->begin_m);
        ck_assert(p->asked_v2_begin == p->v2_begin && p->asked_v2_end == p->v2_end);
        if (i > 0)
            ck_assert(p->begin_m == p[-1].end_m && p->v2_begin == p[-1].v2_end);
    }
    ck_assert(course->plan[0].begin_m == 0 && course->plan[course->plan_count - 1].end_m == course->length_m);
}

START_TEST(a_value_between_points_lies_on_a_straight_line_and_outside_they_hold)
{
    evn_ceiling c = CEILING(100, 400, 200, 100);
    ck_assert_double_eq(evn_ceiling_v2(&c, 150), 250);
    ck_assert_double_eq(evn_ceiling_v2(&c, 0), 400);
    ck_assert_double_eq(evn_ceiling_v2(&c, 900), 100);
    evn_ceiling_clear(&c);
    ck_assert(isinf(evn_ceiling_v2(&c, 1)));
}
END_TEST

START_TEST(points_too_near_to_each_other_are_one_at_the_lower_value)
{
    evn_ceiling c = CEILING(0, 9, 10, 16, 10.0005, 4, 10.0009, 25);
    ck_assert_uint_eq(c.count, 2);
    ck_assert_double_eq(c.at[1].v2, 4);
    evn_ceiling_clear(&c);
}
END_TEST

/* 0.7 m/s2 to a stop at 20 m, a row each 0.9 mm: a stop is where it is, whatever stands just before or behind it. */
START_TEST(a_point_at_rest_stays_at_its_place_beside_points_too_near_to_it)
{
    evn_ceiling before = CEILING(0, 28, 19.9991, 1.26e-3, 20, 0), behind = CEILING(0, 30, 20, 0, 20.0009, 1e-3, 40, 28);
    ck_assert_uint_eq(before.count, 2);
    ck_assert_double_eq(before.at[1].place_m, 20);
    ck_assert_double_eq(before.at[1].v2, 0);
    ck_assert_double_eq(evn_ceiling_v2(&behind, 20), 0);
    ck_assert(evn_ceiling_lower(&before, &behind));
    ck_assert_double_eq(evn_ceiling_v2(&before, 20), 0);
    ck_assert_double_eq_tol(evn_ceiling_v2(&before, 19.9991), 0, 2e-3);
    ck_assert(evn_ceiling_v2(&before, 19.9991) > 1e-3);
    evn_ceiling_clear(&before);
    evn_ceiling_clear(&behind);
}
END_TEST

/* 400 - 2 s and 100 + s cross at 100 m, at 200 m2/s2. */
START_TEST(the_lower_of_two_has_a_corner_where_they_cross)
{
    evn_ceiling a = CEILING(0, 400, 200, 0), b = CEILING(0, 100, 200, 300);
    ck_assert(evn_ceiling_lower(&a, &b));
    ck_assert_uint_eq(a.count, 3);
    ck_assert_double_eq_tol(a.at[1].place_m, 100, 1e-12);
    ck_assert_double_eq_tol(a.at[1].v2, 200, 1e-12);
    ck_assert_double_eq(evn_ceiling_v2(&a, 50), 150);
    ck_assert_double_eq(evn_ceiling_v2(&a, 150), 100);
    evn_ceiling_clear(&a);
    evn_ceiling_clear(&b);
}
END_TEST

START_TEST(lowering_nothing_takes_the_other_and_twice_is_once)
{
    evn_ceiling a = {0}, b = CEILING(0, 100, 50, 30, 200, 300);
    ck_assert(evn_ceiling_lower(&a, &b) && evn_ceiling_lower(&a, &b));
    ck_assert_uint_eq(a.count, b.count);
    ck_assert_mem_eq(a.at, b.at, b.count * sizeof *b.at);
    evn_ceiling_clear(&a);
    evn_ceiling_clear(&b);
}
END_TEST

START_TEST(random_ceilings_are_lowered_to_the_lower_at_every_place)
{
    dice with = {20260611};
    for (int round = 0; round < 200; round++) {
        evn_ceiling a = {0}, b = {0}, low = {0};
        for (double at = 0; at < 500; at += roll(&with, 0.5, 60))
            ck_assert(evn_ceiling_add(&a, at, roll(&with, 1, 900)));
        for (double at = 0; at < 500; at += roll(&with, 0.5, 60))
            ck_assert(evn_ceiling_add(&b, at, roll(&with, 1, 900)));
        ck_assert(evn_ceiling_lower(&low, &a) && evn_ceiling_lower(&low, &b));
        for (int k = 0; k < 50; k++) {
            double at = roll(&with, 0, 500), lower = fmin(evn_ceiling_v2(&a, at), evn_ceiling_v2(&b, at));
            ck_assert_double_eq_tol(evn_ceiling_v2(&low, at), lower, 3); /* crossings within 1 mm of a point are left */
        }
        evn_ceiling_clear(&a);
        evn_ceiling_clear(&b);
        evn_ceiling_clear(&low);
    }
}
END_TEST

START_TEST(thinning_leaves_corners_and_rests_and_takes_straight_lines)
{
    evn_ceiling c = {0};
    for (int i = 0; i <= 100; i++) /* up to 100 m, down to rest at 200 m, up again */
        ck_assert(evn_ceiling_add(&c, 2 * i, i <= 50 ? 4 * i : 400 - 4 * i));
    for (int i = 1; i <= 50; i++)
        ck_assert(evn_ceiling_add(&c, 200 + 2 * i, 3 * i));
    evn_ceiling_thin(&c, 1e-5);
    ck_assert_uint_eq(c.count, 4);
    ck_assert_double_eq(c.at[1].place_m, 100);
    ck_assert_double_eq(c.at[2].place_m, 200);
    ck_assert(c.at[2].v2 == 0);
    evn_ceiling_clear(&c);
}
END_TEST

START_TEST(thinning_stays_within_its_share)
{
    evn_ceiling c = {0}, thin = {0};
    for (int i = 0; i <= 2000; i++) { /* v^2 over place at constant power */
        ck_assert(evn_ceiling_add(&c, i, 4 * pow(i + 1, 2.0 / 3)));
        ck_assert(evn_ceiling_add(&thin, i, 4 * pow(i + 1, 2.0 / 3)));
    }
    evn_ceiling_thin(&thin, 1e-4);
    ck_assert_uint_lt(thin.count, 200);
    for (size_t i = 0; i < c.count; i++)
        ck_assert_double_eq_tol(evn_ceiling_v2(&thin, c.at[i].place_m), c.at[i].v2, 1.001e-4 * c.at[i].v2);
    evn_ceiling_clear(&c);
    evn_ceiling_clear(&thin);
}
END_TEST

/* Below 10 m/s all the way: up 62.5 m at 0.8, down 50 m at 1.0, between them level: 12.5 + 88.75 + 10 s. */
START_TEST(a_level_ceiling_gives_the_plan_of_a_lower_limit)
{
    evn_course *course = level_course();
    evn_ceiling c = CEILING(0, 100, 1000, 100);
    lower_course(course, &c);
    check_joined(course);
    ck_assert_uint_eq(course->plan_count, 3);
    ck_assert_double_eq_tol(course->plan[0].end_m, 62.5, 1e-9);
    ck_assert_double_eq_tol(course->plan[1].end_m, 950, 1e-9);
    ck_assert_double_eq_tol(course->clock_end_s, 12.5 + 88.75 + 10, 1e-9);
    ck_assert(course->plan[0].v2_begin == 0 && course->plan[2].v2_end == 0);
    evn_ceiling_clear(&c);
    evn_course_free(course);
}
END_TEST

START_TEST(a_ceiling_above_the_plan_leaves_it_to_the_bit)
{
    evn_course *course = level_course(), *same = level_course();
    evn_ceiling c = CEILING(0, 0, 1, 500, 999, 500, 1000, 0);
    lower_course(course, &c);
    ck_assert_uint_eq(course->plan_count, same->plan_count);
    for (size_t i = 0; i < same->plan_count; i++)
        ck_assert(course->plan[i].v2_end == same->plan[i].v2_end && course->plan[i].end_m == same->plan[i].end_m &&
                  course->plan[i].accel_m_s2 == same->plan[i].accel_m_s2);
    ck_assert_double_eq_tol(course->clock_end_s, same->clock_end_s, 1e-9);
    evn_ceiling_clear(&c);
    evn_course_free(course);
    evn_course_free(same);
}
END_TEST

/* What a truck that follows its plan leaves in its trace: the plan, sampled, but for rounding. */
START_TEST(a_ceiling_that_is_the_plan_but_for_rounding_leaves_it_to_the_bit)
{
    evn_course *course = level_course(), *same = level_course();
    evn_ceiling c = {0};
    dice with = {5};
    for (double at = 0; at <= 1000; at += 2.5)
        ck_assert(evn_ceiling_add(&c, at, plan_v2_at(same, at) * (1 + roll(&with, -1e-9, 1e-9))));
    lower_course(course, &c);
    ck_assert_uint_eq(course->plan_count, same->plan_count);
    for (size_t i = 0; i < same->plan_count; i++)
        ck_assert(course->plan[i].v2_end == same->plan[i].v2_end && course->plan[i].end_m == same->plan[i].end_m);
    evn_ceiling_clear(&c);
    evn_course_free(course);
    evn_course_free(same);
}
END_TEST

START_TEST(a_ceiling_at_rest_on_the_way_does_not_bring_the_plan_to_rest)
{
    evn_course *course = level_course();
    evn_ceiling c = CEILING(0, 400, 400, 400, 500, 0, 600, 400, 1000, 400);
    lower_course(course, &c);
    check_joined(course);
    for (size_t i = 1; i < course->plan_count; i++)
        ck_assert_double_gt(course->plan[i].v2_begin, 0);
    ck_assert_double_eq_tol(plan_v2_at(course, 500), EVN_CEILING_APART_M * EVN_CEILING_APART_M, 1e-9);
    evn_ceiling_clear(&c);
    evn_course_free(course);
}
END_TEST

/* Waits, rests and the length stay; what is planned is the lower of both at every place. */
START_TEST(random_ceilings_cut_a_plan_with_stops_to_the_lower_of_both)
{
    dice with = {77};
    const evn_speed_file speed = {.place_m = LIST(0, 300, 700), .limit_km_h = LIST(50, 80, 30)};
    const evn_stops_file stops = {.place_m = LIST(450, 900), .wait_s = LIST(20, 5)};
    evn_cycle_file cycle = cycle_of(&speed);
    cycle.length_m = 1500;
    cycle.stops = &stops;
    evn_course *plain = prepare(&cycle, &no_top);
    for (int round = 0; round < 200; round++) {
        evn_course *course = prepare(&cycle, &no_top);
        evn_ceiling c = {0};
        for (double at = 0; at < 1500; at += roll(&with, 0.5, 90))
            ck_assert(evn_ceiling_add(&c, at, roll(&with, 5, 700)));
        lower_course(course, &c);
        check_joined(course);
        double waits_s = course->final_wait_s, moving_s = 0;
        for (size_t i = 0; i < course->plan_count; i++) {
            const evn_plan_stretch *p = &course->plan[i];
            waits_s += p->wait_s;
            moving_s += 2 * (p->end_m - p->begin_m) / (sqrt(p->v2_begin) + sqrt(p->v2_end));
        }
        ck_assert_double_eq_tol(waits_s, 25, 1e-12);
        ck_assert_double_eq_tol(course->clock_end_s, waits_s + moving_s, 1e-6);
        ck_assert(plan_v2_at(course, 450) == 0 && plan_v2_at(course, 900) == 0);
        for (int k = 0; k < 100; k++) {
            double at = roll(&with, 0, 1500), lower = fmin(plan_v2_at(plain, at), evn_ceiling_v2(&c, at));
            ck_assert_double_le(fabs(plan_v2_at(course, at) - lower), 3e-5 * (lower + 1) + 2 * 0.7);
            ck_assert_double_le(plan_v2_at(course, at), plan_v2_at(plain, at) * (1 + 1e-12) + 1e-9);
        }
        evn_ceiling_clear(&c);
        evn_course_free(course);
    }
    evn_course_free(plain);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("ceiling");
    TCase *tests = tcase_create("ceiling");
    tcase_add_test(tests, a_value_between_points_lies_on_a_straight_line_and_outside_they_hold);
    tcase_add_test(tests, points_too_near_to_each_other_are_one_at_the_lower_value);
    tcase_add_test(tests, a_point_at_rest_stays_at_its_place_beside_points_too_near_to_it);
    tcase_add_test(tests, the_lower_of_two_has_a_corner_where_they_cross);
    tcase_add_test(tests, lowering_nothing_takes_the_other_and_twice_is_once);
    tcase_add_test(tests, random_ceilings_are_lowered_to_the_lower_at_every_place);
    tcase_add_test(tests, thinning_leaves_corners_and_rests_and_takes_straight_lines);
    tcase_add_test(tests, thinning_stays_within_its_share);
    tcase_add_test(tests, a_level_ceiling_gives_the_plan_of_a_lower_limit);
    tcase_add_test(tests, a_ceiling_above_the_plan_leaves_it_to_the_bit);
    tcase_add_test(tests, a_ceiling_that_is_the_plan_but_for_rounding_leaves_it_to_the_bit);
    tcase_add_test(tests, a_ceiling_at_rest_on_the_way_does_not_bring_the_plan_to_rest);
    tcase_add_test(tests, random_ceilings_cut_a_plan_with_stops_to_the_lower_of_both);
    suite_add_tcase(suite, tests);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_NORMAL);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
