/* What holds for any trace, any limits and any road: shown on many, drawn at random from fixed seeds. */
#include "../unit/course_probe.h"
#include <stdlib.h>

enum { POINTS_MOST = 60 };

/* A cycle over limits whose parts stand beside it; nothing in it is shared between tests. */
typedef struct sample {
    double time_s[POINTS_MOST], speed_km_h[POINTS_MOST], place_m[POINTS_MOST], limit_km_h[POINTS_MOST];
    double stop_m[POINTS_MOST], wait_s[POINTS_MOST], road_m[POINTS_MOST], road[POINTS_MOST];
    evn_speed_file speed;
    evn_stops_file stops;
    evn_road_file profile;
    evn_cycle_file cycle;
} sample;

/* ------------------------------------------------------------------------------------------------ traces */

/* Points a whole or a broken second apart; half of them at rest, moving on level or in line with the ones before. */
static void roll_trace(sample *into, dice *with)
{
    size_t count = roll_count(with, 3, POINTS_MOST);
    double time_s = roll(with, 0.0, 50.0), speed = roll(with, 0.0, 1.0) < 0.5 ? 0.0 : roll(with, 0.0, 90.0);
    for (size_t i = 0; i < count; i++) {
        into->time_s[i] = time_s;
        into->speed_km_h[i] = speed;
        double kind = roll(with, 0.0, 1.0), step_s = kind < 0.5 ? 1.0 : roll(with, 0.05, 20.0);
        double fall_most = 7.9 * 3.6 * step_s;
        time_s += step_s;
        if (kind < 0.25 || (speed == 0.0 && kind < 0.6))
            speed = speed <= fall_most ? 0.0 : speed - 0.5 * fall_most;
        else if (kind > 0.4)
            speed = fmax(roll(with, 0.0, 110.0), speed - fall_most);
    }
    into->speed_km_h[roll_count(with, 0, count - 1)] += 5.0;
    for (size_t i = 0; i + 1 < count; i++) { /* the push above may have made the braking after it too hard */
        double fall_most = 7.9 * 3.6 * (into->time_s[i + 1] - into->time_s[i]);
        into->speed_km_h[i + 1] = fmax(into->speed_km_h[i + 1], into->speed_km_h[i] - fall_most);
    }
    into->speed = (evn_speed_file){.time_s = {into->time_s, count}, .speed_km_h = {into->speed_km_h, count}};
    into->cycle = cycle_of(&into->speed);
}

static double trace_at(const sample *of, double clock_s)
{
    size_t last = of->speed.time_s.count - 1;
    double time_s = clock_s + of->time_s[0];
    for (size_t i = 0; i < last; i++) {
        if (time_s <= of->time_s[i + 1]) {
            double share = fmax(0.0, (time_s - of->time_s[i]) / (of->time_s[i + 1] - of->time_s[i]));
            return (of->speed_km_h[i] + (of->speed_km_h[i + 1] - of->speed_km_h[i]) * share) / 3.6;
        }
    }
    return of->speed_km_h[last] / 3.6;
}

START_TEST(any_trace_keeps_its_time_distance_and_speed_as_a_course)
{
    dice with = {20240501};
    for (int round = 0; round < 3000; round++) {
        sample it;
        roll_trace(&it, &with);
        evn_course *course = prepare(&it.cycle, &no_top);
        check_promises(course);
        size_t count = it.speed.time_s.count;
        double distance_m = 0.0;
        for (size_t i = 0; i + 1 < count; i++) {
            double step_s = it.time_s[i + 1] - it.time_s[i];
            ck_assert_double_eq_tol(plan_place_m(course, it.time_s[i] - it.time_s[0]), distance_m, 1e-7);
            distance_m += 0.5 * (it.speed_km_h[i] + it.speed_km_h[i + 1]) / 3.6 * step_s;
        }
        ck_assert_double_eq_tol(course->length_m, distance_m, 1e-9 * distance_m);
        ck_assert_double_eq_tol(course->clock_end_s, it.time_s[count - 1] - it.time_s[0], 1e-9);
        for (int probe = 0; probe < 50; probe++) {
            double clock_s = roll(&with, 0.0, course->clock_end_s);
            ck_assert_double_eq_tol(plan_speed_m_s(course, clock_s), trace_at(&it, clock_s), 1e-7);
        }
        evn_course_free(course);
    }
}
END_TEST

START_TEST(the_band_is_what_sampling_finds_within_a_second)
{
    dice with = {99};
    for (int round = 0; round < 300; round++) {
        sample it;
        roll_trace(&it, &with);
        evn_course *course = prepare(&it.cycle, &no_top);
        for (int probe = 0; probe < 20; probe++) {
            double clock_s = roll(&with, -3.0, course->clock_end_s + 3.0), low = 1e9, high = -1e9, steepest = 0.0;
            for (size_t i = 0; i + 1 < course->trace_count; i++) {
                double rise = course->trace_speed_m_s[i + 1] - course->trace_speed_m_s[i];
                steepest = fmax(steepest, fabs(rise) / (course->trace_time_s[i + 1] - course->trace_time_s[i]));
            }
            for (int i = 0; i <= 2000; i++) {
                double speed = trace_at(&it, clock_s - 1.0 + 0.001 * i);
                low = fmin(low, speed);
                high = fmax(high, speed);
            }
            double lowest, highest;
            evn_course_band(course, clock_s, &lowest, &highest);
            ck_assert_double_eq_tol(lowest, low, 0.001 * steepest + 1e-9);
            ck_assert_double_eq_tol(highest, high, 0.001 * steepest + 1e-9);
            ck_assert(lowest <= low + 1e-12 && highest >= high - 1e-12);
        }
        evn_course_free(course);
    }
}
END_TEST

/* ------------------------------------------------------------------------------------------------ limits */

static void roll_limits(sample *into, dice *with)
{
    size_t limits = roll_count(with, 1, 30), stops = roll_count(with, 0, 8);
    double place_m = 0.0;
    for (size_t i = 0; i < limits; i++) {
        into->place_m[i] = place_m;
        into->limit_km_h[i] = roll(with, 0.0, 1.0) < 0.3 ? 50.0 : roll(with, 1.0, 100.0);
        place_m += roll(with, 0.0, 1.0) < 0.3 ? roll(with, 0.002, 3.0) : roll(with, 1.0, 900.0);
    }
    double length_m = place_m + roll(with, 10.0, 500.0),
           stop_m = roll(with, 0.0, 1.0) < 0.3 ? 0.0 : roll(with, 1.0, 9.0);
    size_t kept = 0;
    for (size_t i = 0; i < stops && stop_m <= length_m - 1.0; i++) {
        into->stop_m[kept] = stop_m;
        into->wait_s[kept++] = roll(with, 0.0, 1.0) < 0.3 ? 0.0 : roll(with, 0.0, 100.0);
        stop_m += roll(with, 1.0, length_m / 4.0);
    }
    into->speed = (evn_speed_file){.place_m = {into->place_m, limits}, .limit_km_h = {into->limit_km_h, limits}};
    into->stops = (evn_stops_file){.place_m = {into->stop_m, kept}, .wait_s = {into->wait_s, kept}};
    into->cycle = cycle_of(&into->speed);
    into->cycle.length_m = length_m;
    into->cycle.stops = kept > 0 ? &into->stops : NULL;
}

/* v^2 at a place reached from a stretch of road on which v^2 is held to a cap. */
static double reachable(double cap_v2, double from_m, double to_m, double place_m, const evn_course_ask *ask)
{
    if (place_m > to_m)
        return cap_v2 + 2.0 * ask->comfort_acceleration_m_s2 * (place_m - to_m);
    return place_m < from_m ? cap_v2 + 2.0 * ask->comfort_braking_m_s2 * (from_m - place_m) : cap_v2;
}

/* The envelope by its definition: the lowest of what every limit and every rest leaves over. */
static double lower_envelope(const sample *of, double place_m, const evn_course_ask *ask)
{
    size_t limits = of->speed.place_m.count;
    double length_m = of->cycle.length_m;
    double lowest = fmin(reachable(0.0, 0.0, 0.0, place_m, ask), reachable(0.0, length_m, length_m, place_m, ask));
    for (size_t i = 0; i < limits; i++) {
        double end_m = i + 1 < limits ? of->place_m[i + 1] : length_m, limit_m_s = of->limit_km_h[i] / 3.6;
        lowest = fmin(lowest, reachable(limit_m_s * limit_m_s, of->place_m[i], end_m, place_m, ask));
    }
    for (size_t i = 0; i < of->stops.place_m.count; i++)
        lowest = fmin(lowest, reachable(0.0, of->stop_m[i], of->stop_m[i], place_m, ask));
    return lowest;
}

START_TEST(any_plan_over_limits_is_the_lower_envelope_and_keeps_to_comfort)
{
    dice with = {77001};
    for (int round = 0; round < 3000; round++) {
        sample it;
        roll_limits(&it, &with);
        const evn_course_ask ask = {roll(&with, 0.2, 2.0), roll(&with, 0.2, 3.0), (double)INFINITY};
        evn_course *course = prepare(&it.cycle, &ask);
        check_promises(course);
        for (size_t i = 0; i < course->plan_count; i++) {
            const evn_plan_stretch *stretch = &course->plan[i];
            double rounding = 1e-12 * (stretch->end_m + 1.0) / (stretch->end_m - stretch->begin_m);
            ck_assert_double_le(stretch->accel_m_s2, ask.comfort_acceleration_m_s2 + rounding);
            ck_assert_double_ge(stretch->accel_m_s2, -ask.comfort_braking_m_s2 - rounding);
        }
        for (int probe = 0; probe < 60; probe++) {
            double place_m = roll(&with, 0.0, course->length_m);
            ck_assert_double_eq_tol(plan_v2(course, place_m), lower_envelope(&it, place_m, &ask), 1e-6);
        }
        evn_course_free(course);
    }
}
END_TEST

/* Limits that differ by next to nothing, and limits that end within rounding of where the rise meets them. */
static void roll_near_limits(sample *into, dice *with, const evn_course_ask *ask)
{
    size_t limits = roll_count(with, 2, 20);
    double place_m = 0.0, limit_m_s = roll(with, 5.0, 25.0), reached_v2 = 0.0;
    for (size_t i = 0; i < limits; i++) {
        double near_to = 1.0 + roll(with, -1.0, 1.0) * pow(10.0, -floor(roll(with, 6.0, 17.0)));
        bool higher = roll(with, 0.0, 1.0) < 0.3;
        limit_m_s = higher ? limit_m_s * roll(with, 1.01, 1.2) : limit_m_s * near_to;
        into->place_m[i] = place_m;
        into->limit_km_h[i] = limit_m_s * 3.6;
        double rise_m = (limit_m_s * limit_m_s - reached_v2) / (2.0 * ask->comfort_acceleration_m_s2);
        place_m += rise_m > 1.0 ? rise_m * near_to : roll(with, 5.0, 50.0);
        reached_v2 = limit_m_s * limit_m_s;
    }
    into->speed = (evn_speed_file){.place_m = {into->place_m, limits}, .limit_km_h = {into->limit_km_h, limits}};
    into->stops.place_m.count = 0;
    into->cycle = cycle_of(&into->speed);
    into->cycle.length_m = place_m + 500.0;
}

static double shortest_m(const evn_course *course)
{
    double shortest = course->length_m;
    for (size_t i = 0; i < course->plan_count; i++)
        shortest = fmin(shortest, course->plan[i].end_m - course->plan[i].begin_m);
    return shortest;
}

START_TEST(limits_nearly_equal_or_met_within_rounding_leave_no_sliver)
{
    dice with = {8080};
    for (int round = 0; round < 3000; round++) {
        sample it;
        const evn_course_ask ask = {roll(&with, 0.2, 2.0), roll(&with, 0.2, 2.0), (double)INFINITY};
        roll_near_limits(&it, &with, &ask);
        evn_course *course = prepare(&it.cycle, &ask);
        check_promises(course);
        ck_assert_double_gt(shortest_m(course), 0.99e-8);
        for (int probe = 0; probe < 20; probe++) {
            double place_m = roll(&with, 0.0, course->length_m);
            ck_assert_double_eq_tol(plan_v2(course, place_m), lower_envelope(&it, place_m, &ask), 1e-6);
        }
        evn_course_free(course);
    }
}
END_TEST

START_TEST(a_top_speed_within_rounding_of_a_corner_leaves_no_sliver)
{
    dice with = {60606};
    for (int round = 0; round < 2000; round++) {
        sample it;
        roll_limits(&it, &with);
        evn_course *whole = prepare(&it.cycle, &no_top);
        double corner = sqrt(whole->plan[roll_count(&with, 0, whole->plan_count - 1)].v2_end);
        double near_to = 1.0 + roll(&with, -1.0, 1.0) * pow(10.0, -floor(roll(&with, 9.0, 17.0)));
        const evn_course_ask ask = {no_top.comfort_acceleration_m_s2, no_top.comfort_braking_m_s2,
                                    fmax(corner * near_to, 1.0)};
        evn_course *cut = prepare(&it.cycle, &ask);
        check_promises(cut);
        ck_assert_double_gt(shortest_m(cut), 0.99e-8);
        evn_course_free(whole);
        evn_course_free(cut);
    }
}
END_TEST

START_TEST(any_plan_cut_at_top_speed_is_the_lower_of_plan_and_top_speed)
{
    dice with = {4711};
    for (int round = 0; round < 2000; round++) {
        sample it;
        if (round % 2 == 0)
            roll_trace(&it, &with);
        else
            roll_limits(&it, &with);
        const evn_course_ask ask = {0.8, 1.0, roll(&with, 2.0, 30.0)};
        evn_course *whole = prepare(&it.cycle, &no_top), *cut = prepare(&it.cycle, &ask);
        check_promises(cut);
        ck_assert(cut->length_m == whole->length_m && cut->clock_end_s == whole->clock_end_s);
        double top_v2 = ask.top_speed_m_s * ask.top_speed_m_s;
        for (int probe = 0; probe < 50; probe++) {
            double place_m = roll(&with, 0.0, cut->length_m), asked = plan_v2(whole, place_m);
            const evn_plan_stretch *part = plan_at(cut, place_m);
            double share = (place_m - part->begin_m) / (part->end_m - part->begin_m);
            ck_assert_double_eq_tol(plan_v2(cut, place_m), fmin(asked, top_v2), 1e-6);
            double kept = part->asked_v2_begin + (part->asked_v2_end - part->asked_v2_begin) * share;
            ck_assert_double_eq_tol(kept, asked, 1e-6);
        }
        evn_course_free(whole);
        evn_course_free(cut);
    }
}
END_TEST

/* ------------------------------------------------------------------------------------------------ road */

/* Simpson's rule on the integral that the height is defined by. */
static double rise_by_quadrature_m(const evn_road_stretch *stretch, double to_m)
{
    enum { STEPS = 200 };
    double step_m = (to_m - stretch->begin_m) / (double)STEPS, sum = 0.0;
    for (int i = 0; i <= STEPS; i++) {
        double weight = i == 0 || i == STEPS ? 1.0 : i % 2 == 1 ? 4.0 : 2.0;
        sum += weight * sin(atan(tangent_of(stretch, stretch->begin_m + i * step_m)));
    }
    return sum * step_m / 3.0;
}

START_TEST(any_height_is_the_integral_of_the_sine_also_where_the_tangent_hardly_changes)
{
    dice with = {123};
    for (int round = 0; round < 3000; round++) {
        double change = roll(&with, -0.5, 0.5) * pow(10.0, -floor(roll(&with, 0.0, 20.0)));
        double way_m = roll(&with, 0.01, 2000.0), begin = round % 3 == 0 ? 0.0 : roll(&with, -0.3, 0.3);
        evn_road_stretch stretch = {.begin_m = 100.0,
                                    .end_m = 100.0 + way_m,
                                    .tangent_begin = begin,
                                    .tangent_slope = change / way_m,
                                    .rolling_factor = 1.0,
                                    .height_begin_m = 250.0};
        double to_m = 100.0 + roll(&with, 0.0, way_m);
        double expected_m = 250.0 + rise_by_quadrature_m(&stretch, to_m);
        ck_assert_double_eq_tol(evn_road_height_m(&stretch, to_m), expected_m, 1e-8 * (1.0 + way_m * 1e-2));
    }
}
END_TEST

static void roll_road(sample *into, dice *with)
{
    size_t count = roll_count(with, 2, 30);
    double place_m = roll(with, 0.0, 1.0) < 0.5 ? 0.0 : roll(with, 0.0, 300.0), grade = 0.0;
    for (size_t i = 0; i < count; i++) {
        into->road_m[i] = place_m;
        into->road[i] = grade;
        place_m += roll(with, 0.01, 400.0);
        grade = roll(with, 0.0, 1.0) < 0.3 ? grade : roll(with, -12.0, 12.0);
    }
    bool repeat = into->road_m[count - 1] > 10.0 && roll(with, 0.0, 1.0) < 0.5;
    into->profile =
        (evn_road_file){.place_m = {into->road_m, count}, .grade_percent = {into->road, count}, .repeat = repeat};
    into->cycle.road = &into->profile;
}

static double grade_at(const sample *of, double place_m)
{
    size_t last = of->profile.place_m.count - 1;
    double at_m = of->profile.repeat ? fmod(place_m, of->road_m[last]) : place_m;
    for (size_t i = 0; i < last; i++) {
        if (at_m >= of->road_m[i] && at_m <= of->road_m[i + 1]) {
            return of->road[i] +
                   (of->road[i + 1] - of->road[i]) * (at_m - of->road_m[i]) / (of->road_m[i + 1] - of->road_m[i]);
        }
    }
    return 0.0;
}

START_TEST(any_road_has_the_grade_that_is_written_at_every_place)
{
    dice with = {31};
    for (int round = 0; round < 1000; round++) {
        sample it;
        roll_limits(&it, &with);
        roll_road(&it, &with);
        evn_course *course = prepare(&it.cycle, &no_top);
        check_promises(course);
        for (int probe = 0; probe < 40; probe++) {
            double place_m = roll(&with, 0.0, course->length_m);
            ck_assert_double_eq_tol(tangent_of(road_at(course, place_m), place_m), grade_at(&it, place_m) / 100.0,
                                    1e-9);
        }
        evn_course_free(course);
    }
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("courses");
    TCase *any = tcase_create("any");
    tcase_add_test(any, any_trace_keeps_its_time_distance_and_speed_as_a_course);
    tcase_add_test(any, any_plan_over_limits_is_the_lower_envelope_and_keeps_to_comfort);
    tcase_add_test(any, limits_nearly_equal_or_met_within_rounding_leave_no_sliver);
    tcase_add_test(any, a_top_speed_within_rounding_of_a_corner_leaves_no_sliver);
    tcase_add_test(any, any_plan_cut_at_top_speed_is_the_lower_of_plan_and_top_speed);
    tcase_add_test(any, the_band_is_what_sampling_finds_within_a_second);
    tcase_add_test(any, any_height_is_the_integral_of_the_sine_also_where_the_tangent_hardly_changes);
    tcase_add_test(any, any_road_has_the_grade_that_is_written_at_every_place);
    suite_add_tcase(suite, any);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_NORMAL);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
