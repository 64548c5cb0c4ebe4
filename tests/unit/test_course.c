/* The course: a cycle made ready to drive. */
#include "core/units.h"
#include "course_probe.h"
#include <stdlib.h>

/* ------------------------------------------------------------------------------------------------ traces */

START_TEST(points_on_one_line_become_one_stretch)
{
    evn_speed_file speed = {.time_s = LIST(0, 1, 2, 5, 6, 10, 12, 20), .speed_km_h = LIST(0, 3, 6, 15, 15, 15, 15, 7)};
    evn_cycle_file cycle = cycle_of(&speed);
    evn_course *course = prepare(&cycle, &no_top);
    check_promises(course);
    ck_assert_uint_eq(course->plan_count, 3);
    ck_assert_double_eq_tol(course->plan[0].end_m, 0.5 * 5.0 * 15.0 / 3.6, 1e-12);
    ck_assert_double_eq_tol(course->plan[0].accel_m_s2, 3.0 / 3.6, 1e-14);
    ck_assert(course->plan[1].accel_m_s2 == 0.0);
    ck_assert_double_eq_tol(course->plan[2].accel_m_s2, -1.0 / 3.6, 1e-12);
    ck_assert(course->final_wait_s == 0.0);
    evn_course_free(course);
}
END_TEST

START_TEST(a_line_that_bends_a_little_stays_two_stretches)
{
    evn_speed_file speed = {.time_s = LIST(0, 10, 20), .speed_km_h = LIST(0, 30, 60.00000001)};
    evn_cycle_file cycle = cycle_of(&speed);
    evn_course *course = prepare(&cycle, &no_top);
    ck_assert_uint_eq(course->plan_count, 2);
    evn_course_free(course);
}
END_TEST

START_TEST(standstills_become_waits_and_merge)
{
    evn_speed_file speed = {.time_s = LIST(0, 5, 11, 21, 31, 40, 41, 45, 55, 60, 62, 63),
                            .speed_km_h = LIST(0, 0, 0, 36, 0, 0, 0, 0, 36, 0, 0, 0)};
    evn_cycle_file cycle = cycle_of(&speed);
    evn_course *course = prepare(&cycle, &no_top);
    check_promises(course);
    ck_assert_uint_eq(course->plan_count, 4);
    ck_assert(course->plan[0].wait_s == 11.0 && course->plan[0].clock_s == 11.0);
    ck_assert(course->plan[1].wait_s == 0.0 && course->plan[1].clock_s == 21.0 && course->plan[1].v2_end == 0.0);
    ck_assert(course->plan[2].wait_s == 14.0 && course->plan[2].clock_s == 45.0 && course->plan[2].begin_m == 100.0);
    ck_assert(course->final_wait_s == 3.0 && course->clock_end_s == 63.0);
    ck_assert_double_eq_tol(course->length_m, 175.0, 1e-12);
    evn_course_free(course);
}
END_TEST

START_TEST(rest_for_an_instant_parts_two_stretches_without_a_wait)
{
    evn_speed_file speed = {.time_s = LIST(0, 10, 20), .speed_km_h = LIST(36, 0, 36)};
    evn_cycle_file cycle = cycle_of(&speed);
    evn_course *course = prepare(&cycle, &no_top);
    check_promises(course);
    ck_assert_uint_eq(course->plan_count, 2);
    ck_assert(course->plan[1].v2_begin == 0.0 && course->plan[1].wait_s == 0.0);
    evn_course_free(course);
}
END_TEST

START_TEST(a_trace_may_begin_and_end_moving_and_its_clock_starts_at_its_first_point)
{
    evn_speed_file speed = {.time_s = LIST(20, 30), .speed_km_h = LIST(36, 72)};
    evn_cycle_file cycle = cycle_of(&speed);
    evn_course *course = prepare(&cycle, &no_top);
    check_promises(course);
    ck_assert_double_eq_tol(course->plan[0].v2_begin, 100.0, 1e-12);
    ck_assert_double_eq_tol(course->plan[0].v2_end, 400.0, 1e-12);
    ck_assert(course->clock_end_s == 10.0 && course->trace_time_s[0] == 0.0 && course->trace_time_s[1] == 10.0);
    evn_course_free(course);
}
END_TEST

START_TEST(speeds_that_a_logger_shows_at_rest_count_as_rest)
{
    evn_speed_file speed = {.time_s = LIST(0, 5, 6, 16, 26, 30),
                            .speed_km_h = LIST(0.001, 0.003, 0.0, 36, 0.002, 0.001)};
    evn_cycle_file cycle = cycle_of(&speed);
    evn_course *course = prepare(&cycle, &no_top);
    check_promises(course);
    ck_assert_uint_eq(course->plan_count, 2);
    ck_assert(course->plan[0].wait_s == 6.0 && course->final_wait_s == 4.0);
    evn_course_free(course);
}
END_TEST

START_TEST(speeds_in_miles_per_hour_and_from_tables_give_the_same_course)
{
    const double time_s[] = {0, 10, 20}, mph[] = {0, 30, 10}, km_h[] = {0, 30 * 1.609344, 10 * 1.609344};
    const double m_s[] = {0, 30 * 0.44704, 10 * 0.44704};
    const char *const names[] = {"speed_m_s", "time_s"};
    const double *const columns[] = {m_s, time_s};
    const uint32_t lines[] = {2, 3, 4};
    const evn_sheet sheet = {2, 3, names, columns, "speed.csv", 1, lines};
    const evn_speed_file ways[] = {{.time_s = {time_s, 3}, .speed_km_h = {km_h, 3}},
                                   {.time_s = {time_s, 3}, .speed_mph = {mph, 3}},
                                   {.table = &sheet}};
    for (size_t i = 0; i < 3; i++) {
        evn_cycle_file cycle = cycle_of(&ways[i]);
        evn_course *course = prepare(&cycle, &no_top);
        check_promises(course);
        ck_assert_double_eq_tol(course->length_m, (150.0 + 200.0) * 0.44704, 1e-11);
        ck_assert_double_eq_tol(course->plan[0].v2_end, pow(30 * 0.44704, 2), 1e-11);
        evn_course_free(course);
    }
}
END_TEST

START_TEST(what_cannot_be_driven_is_refused)
{
    evn_speed_file hard = {.time_s = LIST(0, 10, 12), .speed_km_h = LIST(0, 60, 2)};   /* 8.06 m/s2 */
    evn_speed_file firm = {.time_s = LIST(0, 10, 12), .speed_km_h = LIST(0, 60, 2.4)}; /* exactly 8 m/s2 */
    evn_speed_file standing = {.time_s = LIST(0, 10, 12), .speed_km_h = LIST(0, 0, 0)};
    evn_speed_file unclear = {.time_s = LIST(0, 10, 12), .speed_km_h = LIST(0, 10)};
    evn_speed_file limits = {.place_m = LIST(0), .limit_km_h = LIST(50)};
    evn_cycle_file cycle = cycle_of(&hard);
    refuse(&cycle, &no_top, "braking_too_hard");
    cycle.speed = &firm;
    evn_course_free(prepare(&cycle, &no_top));
    cycle.speed = &standing;
    refuse(&cycle, &no_top, "disagrees");
    cycle.speed = &unclear;
    refuse(&cycle, &no_top, "disagrees");
    cycle.speed = NULL;
    refuse(&cycle, &no_top, "disagrees");
    cycle.speed = &limits;
    refuse(&cycle, &no_top, "missing_key"); /* its length */
    cycle.length_m = 1000.0;
    const evn_course_ask still = {0.0, 1.0, (double)INFINITY}, backwards = {1.0, -1.0, (double)INFINITY};
    const evn_course_ask skid = {1.0, 8.1, (double)INFINITY}, stuck = {1.0, 1.0, 0.0},
                         unknown = {1.0, 1.0, (double)NAN};
    refuse(&cycle, &still, "out_of_range");
    refuse(&cycle, &backwards, "out_of_range");
    refuse(&cycle, &skid, "braking_too_hard");
    refuse(&cycle, &stuck, "out_of_range");
    refuse(&cycle, &unknown, "out_of_range");
}
END_TEST

/* ------------------------------------------------------------------------------------------------ limits */

START_TEST(limits_are_driven_from_rest_to_rest_with_closed_form_corners)
{
    evn_speed_file speed = {.place_m = LIST(0, 1000), .limit_km_h = LIST(72, 36)};
    evn_cycle_file cycle = cycle_of(&speed);
    cycle.length_m = 1500.0;
    const evn_course_ask ask = {1.0, 0.5, (double)INFINITY};
    evn_course *course = prepare(&cycle, &ask);
    check_promises(course);
    const double corners_m[] = {200, 700, 1000, 1400, 1500}, v2[] = {400, 400, 100, 100, 0};
    ck_assert_uint_eq(course->plan_count, 5);
    for (size_t i = 0; i < 5; i++) {
        ck_assert_double_eq_tol(course->plan[i].end_m, corners_m[i], 1e-9);
        ck_assert_double_eq_tol(course->plan[i].v2_end, v2[i], 1e-9);
    }
    ck_assert_double_eq_tol(course->clock_end_s, 20.0 + 25.0 + 20.0 + 40.0 + 20.0, 1e-9);
    ck_assert(!course->trace_time_s);
    evn_course_free(course);
}
END_TEST

START_TEST(a_short_course_peaks_where_rise_and_fall_meet)
{
    evn_speed_file speed = {.place_m = LIST(0), .limit_km_h = LIST(80)};
    evn_cycle_file cycle = cycle_of(&speed);
    cycle.length_m = 30.0;
    const evn_course_ask ask = {1.0, 2.0, (double)INFINITY};
    evn_course *course = prepare(&cycle, &ask);
    check_promises(course);
    ck_assert_uint_eq(course->plan_count, 2);
    ck_assert_double_eq_tol(course->plan[0].end_m, 20.0, 1e-12);
    ck_assert_double_eq_tol(course->plan[0].v2_end, 40.0, 1e-12);
    evn_course_free(course);
}
END_TEST

START_TEST(equal_limits_and_rises_through_a_limit_cost_no_stretch)
{
    evn_speed_file speed = {.place_m = LIST(0, 50, 500, 700, 800), .limit_km_h = LIST(50, 80, 80, 80, 80)};
    evn_cycle_file cycle = cycle_of(&speed);
    cycle.length_m = 2000.0;
    const evn_course_ask ask = {1.0, 1.0, (double)INFINITY};
    evn_course *course = prepare(&cycle, &ask);
    check_promises(course);
    ck_assert_uint_eq(course->plan_count, 3); /* up, level, down: at 50 m it is still slower than 50 km/h */
    evn_course_free(course);
}
END_TEST

START_TEST(stops_stand_where_the_file_says_and_wait_as_long)
{
    evn_speed_file speed = {.place_m = LIST(0, 400, 777.25), .limit_km_h = LIST(60, 50, 80)};
    evn_stops_file stops = {.place_m = LIST(0, 333.3, 777.25, 900, 1200), .wait_s = LIST(7, 12, 0, 30, 5)};
    evn_cycle_file cycle = cycle_of(&speed);
    cycle.length_m = 1200.0;
    cycle.stops = &stops;
    evn_course *course = prepare(&cycle, &no_top);
    check_promises(course);
    size_t found = 0;
    for (size_t i = 0; i < course->plan_count; i++) {
        if (course->plan[i].v2_begin == 0.0) {
            ck_assert(course->plan[i].begin_m == stops.place_m.at[found]);
            ck_assert(course->plan[i].wait_s == stops.wait_s.at[found]);
            found++;
        }
    }
    ck_assert_uint_eq(found, 4);
    ck_assert(course->final_wait_s == 5.0);
    evn_course_free(course);
}
END_TEST

START_TEST(a_course_of_limits_ends_where_length_speed_or_road_say)
{
    evn_speed_file speed = {.place_m = LIST(0, 3000), .limit_km_h = LIST(60, 50)};
    evn_road_file road = {.place_m = LIST(0, 5000), .grade_percent = LIST(0, 1)};
    evn_cycle_file cycle = cycle_of(&speed);
    const double expected_m[] = {3000.0, 5000.0, 2000.0, 8000.0};
    for (size_t i = 0; i < 4; i++) {
        cycle.road = i >= 1 ? &road : NULL;
        cycle.length_m = i >= 2 ? expected_m[i] : (double)NAN;
        evn_course *course = prepare(&cycle, &no_top);
        check_promises(course);
        ck_assert(course->length_m == expected_m[i]);
        evn_course_free(course);
    }
}
END_TEST

START_TEST(a_limit_that_begins_at_a_stop_or_within_rounding_of_it_begins_there)
{
    evn_speed_file speed = {.place_m = LIST(0, 499.9999, 800), .limit_km_h = LIST(60, 30, 60)};
    evn_stops_file stops = {.place_m = LIST(500), .wait_s = LIST(3)};
    evn_cycle_file cycle = cycle_of(&speed);
    cycle.length_m = 1200.0;
    cycle.stops = &stops;
    evn_course *course = prepare(&cycle, &no_top);
    check_promises(course);
    ck_assert(plan_at(course, 499.9)->end_m == 500.0 && plan_at(course, 499.9)->v2_end == 0.0);
    evn_course_free(course);
}
END_TEST

/* ------------------------------------------------------------------------------------------------ top speed */

START_TEST(top_speed_cuts_the_plan_at_the_exact_place_and_keeps_what_is_asked)
{
    evn_speed_file speed = {.time_s = LIST(0, 5, 35, 65), .speed_km_h = LIST(0, 0, 108, 0)};
    evn_cycle_file cycle = cycle_of(&speed);
    const evn_course_ask ask = {1.0, 1.0, 20.0};
    evn_course *course = prepare(&cycle, &ask);
    check_promises(course);
    const double end_m[] = {200, 450, 700, 900}, v2[] = {400, 400, 400, 0}, asked[] = {400, 900, 400, 0};
    const double clock_s[] = {5, 25, 35, 45}, accel[] = {1, 0, 0, -1};
    ck_assert_uint_eq(course->plan_count, 4);
    for (size_t i = 0; i < 4; i++) {
        ck_assert_double_eq_tol(course->plan[i].end_m, end_m[i], 1e-9);
        ck_assert_double_eq_tol(course->plan[i].v2_end, v2[i], 1e-9);
        ck_assert_double_eq_tol(course->plan[i].asked_v2_end, asked[i], 1e-9);
        ck_assert_double_eq_tol(course->plan[i].clock_s, clock_s[i], 1e-9);
        ck_assert_double_eq_tol(course->plan[i].accel_m_s2, accel[i], 1e-12);
    }
    ck_assert(course->plan[0].wait_s == 5.0 && course->plan[1].accel_m_s2 == 0.0);
    ck_assert(course->clock_end_s == 65.0 && course->trace_speed_m_s[2] == 108 * EVN_M_S_PER_KM_H);
    evn_course_free(course);
}
END_TEST

/* ------------------------------------------------------------------------------------------------ band */

START_TEST(the_band_is_exact_at_corners_and_beyond_the_ends)
{
    evn_speed_file speed = {.time_s = LIST(0, 10, 10.5, 20), .speed_km_h = LIST(0, 36, 22.5, 54)};
    evn_cycle_file cycle = cycle_of(&speed);
    evn_course *course = prepare(&cycle, &no_top);
    double low, high;
    evn_course_band(course, 10.25, &low, &high);
    ck_assert_double_eq_tol(low, 6.25, 1e-12);
    ck_assert_double_eq_tol(high, 10.0, 1e-12);
    evn_course_band(course, 5.0, &low, &high);
    ck_assert_double_eq_tol(low, 4.0, 1e-12);
    ck_assert_double_eq_tol(high, 6.0, 1e-12);
    evn_course_band(course, 100.0, &low, &high);
    ck_assert_double_eq_tol(low, 15.0, 1e-12);
    ck_assert_double_eq_tol(high, 15.0, 1e-12);
    evn_course_band(course, -0.5, &low, &high);
    ck_assert(low == 0.0);
    ck_assert_double_eq_tol(high, 0.5, 1e-12);
    evn_course_free(course);
}
END_TEST

START_TEST(limits_over_place_have_no_band)
{
    evn_speed_file speed = {.place_m = LIST(0), .limit_km_h = LIST(50)};
    evn_cycle_file cycle = cycle_of(&speed);
    cycle.length_m = 500.0;
    evn_course *course = prepare(&cycle, &no_top);
    double low, high;
    evn_course_band(course, 10.0, &low, &high);
    ck_assert(isnan(low) && isnan(high));
    evn_course_free(course);
}
END_TEST

/* ------------------------------------------------------------------------------------------------ road */

START_TEST(a_constant_grade_rises_by_its_sine_not_its_tangent)
{
    evn_road_stretch eight_percent = {0.0, 1000.0, 0.08, 0.0, 1.0, 0.0};
    ck_assert_double_eq_tol(evn_road_height_m(&eight_percent, 1000.0), 1000.0 * sin(atan(0.08)), 1e-10);
    evn_road_stretch hardly = {0.0, 1000.0, 0.08, 1e-25, 1.0, 0.0};
    ck_assert_double_eq_tol(evn_road_height_m(&hardly, 1000.0), 1000.0 * sin(atan(0.08)), 1e-10);
}
END_TEST

static evn_cycle_file cruise(const evn_speed_file *speed, const evn_road_file *road, double length_m)
{
    evn_cycle_file cycle = cycle_of(speed);
    cycle.road = road;
    cycle.length_m = length_m;
    return cycle;
}

static const evn_speed_file fifty = {.place_m = LIST(0), .limit_km_h = LIST(50)};

START_TEST(collinear_neighbours_of_the_road_are_merged)
{
    evn_road_file road = {.place_m = LIST(0, 100, 300, 700, 800, 900, 1500),
                          .grade_percent = LIST(0.5, 0.6, 0.8, 1.2, 1.2, 1.2, 0)};
    evn_cycle_file cycle = cruise(&fifty, &road, 2000.0);
    evn_course *course = prepare(&cycle, &no_top);
    check_promises(course);
    ck_assert_uint_eq(course->road_count, 4);
    ck_assert(course->road[0].end_m == 700.0 && course->road[1].end_m == 900.0 && course->road[2].end_m == 1500.0);
    ck_assert_double_eq_tol(course->road[0].tangent_slope, 1e-5, 1e-15);
    ck_assert(course->road[1].tangent_slope == 0.0 && course->road[3].tangent_begin == 0.0);
    evn_course_free(course);
}
END_TEST

START_TEST(the_road_is_level_outside_its_places)
{
    evn_road_file road = {.place_m = LIST(200, 400), .grade_percent = LIST(3, 3)};
    evn_cycle_file cycle = cruise(&fifty, &road, 1000.0);
    evn_course *course = prepare(&cycle, &no_top);
    check_promises(course);
    ck_assert_uint_eq(course->road_count, 3);
    ck_assert(course->road[0].tangent_begin == 0.0 && course->road[0].end_m == 200.0);
    ck_assert(course->road[2].tangent_begin == 0.0 && course->road[2].begin_m == 400.0);
    ck_assert_double_eq_tol(height_at(course, 1000.0), 200.0 * sin(atan(0.03)), 1e-12);
    evn_course_free(course);
}
END_TEST

START_TEST(a_road_longer_than_the_speed_is_cut_and_an_absent_one_is_level)
{
    evn_road_file road = {.place_m = LIST(0, 1000, 3000), .grade_percent = LIST(0, 4, 0)};
    evn_cycle_file cycle = cruise(&fifty, &road, 2000.0);
    evn_course *course = prepare(&cycle, &no_top);
    check_promises(course);
    ck_assert_uint_eq(course->road_count, 2);
    ck_assert_double_eq_tol(tangent_of(&course->road[1], 2000.0), 0.02, 1e-15);
    evn_course_free(course);
    cycle.road = NULL;
    course = prepare(&cycle, &no_top);
    check_promises(course);
    ck_assert_uint_eq(course->road_count, 1);
    ck_assert(course->road[0].tangent_begin == 0.0 && course->road[0].rolling_factor == 1.0);
    evn_course_free(course);
}
END_TEST

START_TEST(a_point_of_the_road_at_the_very_end_leaves_no_sliver)
{
    evn_road_file road = {.place_m = LIST(0, 1999.9999999, 3000), .grade_percent = LIST(0, 4, 0)};
    evn_cycle_file cycle = cruise(&fifty, &road, 2000.0);
    evn_course *course = prepare(&cycle, &no_top);
    check_promises(course);
    ck_assert_uint_eq(course->road_count, 1);
    evn_course_free(course);
}
END_TEST

START_TEST(a_factor_turns_all_grades_and_none_is_one)
{
    evn_road_file road = {.place_m = LIST(0, 1000, 2000), .grade_percent = LIST(0, 4, 0), .grade_factor = 1.25};
    evn_road_file heights = {.place_m = LIST(0, 1000, 2000), .elevation_m = LIST(0, 60, 0), .grade_factor = 0.5};
    evn_cycle_file cycle = cruise(&fifty, &road, 2000.0);
    evn_course *course = prepare(&cycle, &no_top);
    check_promises(course);
    ck_assert_double_eq_tol(tangent_of(&course->road[0], 1000.0), 0.05, 1e-15);
    evn_course_free(course);
    cycle.road = &heights;
    course = prepare(&cycle, &no_top);
    ck_assert_double_eq_tol(tangent_of(&course->road[0], 500.0), 0.5 * 60 / sqrt(1e6 - 3600), 1e-15);
    evn_course_free(course);
    road.grade_factor = 0;
    cycle.road = &road;
    course = prepare(&cycle, &no_top);
    ck_assert_double_eq_tol(tangent_of(&course->road[0], 1000.0), 0.04, 1e-15);
    evn_course_free(course);
}
END_TEST

START_TEST(elevations_are_met_exactly_at_their_places)
{
    evn_road_file road = {.place_m = LIST(0, 400, 900, 1000, 2000), .elevation_m = LIST(312, 344, 300, 300, 310)};
    evn_cycle_file cycle = cruise(&fifty, &road, (double)NAN);
    evn_course *course = prepare(&cycle, &no_top);
    check_promises(course);
    for (size_t i = 0; i < 5; i++)
        ck_assert_double_eq_tol(height_at(course, road.place_m.at[i]), road.elevation_m.at[i] - 312.0, 1e-10);
    ck_assert_double_eq_tol(course->road[0].tangent_begin, tan(asin(32.0 / 400.0)), 1e-15);
    evn_course_free(course);
}
END_TEST

START_TEST(a_profile_repeats_as_often_as_the_course_is_long)
{
    evn_road_file road = {.place_m = LIST(50, 300, 700), .grade_percent = LIST(2, -1, 2), .repeat = true};
    evn_cycle_file cycle = cruise(&fifty, &road, 2500.0);
    evn_course *course = prepare(&cycle, &no_top);
    check_promises(course);
    double once_m = height_at(course, 700.0);
    for (double place_m = 10.0; place_m < 1800.0; place_m += 17.0)
        ck_assert_double_eq_tol(height_at(course, place_m + 700.0) - height_at(course, place_m), once_m, 1e-9);
    ck_assert_double_eq_tol(tangent_of(road_at(course, 2400.0), 2400.0), 0.02 - 0.03 * 250.0 / 250.0, 1e-12);
    evn_course_free(course);
}
END_TEST

START_TEST(surfaces_cut_the_road_and_hold_from_their_place_on)
{
    evn_road_file road = {.place_m = LIST(0, 1000), .grade_percent = LIST(0, 5)};
    evn_surface_file surface = {.place_m = LIST(300, 500, 600, 1000, 5000),
                                .rolling_factor = LIST(2.5, 2.5, 1, 1.1, 9)};
    evn_cycle_file cycle = cruise(&fifty, &road, 2000.0);
    cycle.surface = &surface;
    evn_course *course = prepare(&cycle, &no_top);
    check_promises(course);
    const double end_m[] = {300, 600, 1000, 2000}, factor[] = {1, 2.5, 1, 1.1}, tangent[] = {0, 0.015, 0.03, 0};
    ck_assert_uint_eq(course->road_count, 4);
    for (size_t i = 0; i < 4; i++) {
        ck_assert(course->road[i].end_m == end_m[i] && course->road[i].rolling_factor == factor[i]);
        ck_assert_double_eq_tol(course->road[i].tangent_begin, tangent[i], 1e-15);
    }
    evn_course_free(course);
}
END_TEST

START_TEST(a_surface_may_begin_at_the_start)
{
    evn_surface_file surface = {.place_m = LIST(0), .rolling_factor = LIST(3.5)};
    evn_cycle_file cycle = cruise(&fifty, NULL, 800.0);
    cycle.surface = &surface;
    evn_course *course = prepare(&cycle, &no_top);
    check_promises(course);
    ck_assert_uint_eq(course->road_count, 1);
    ck_assert(course->road[0].rolling_factor == 3.5);
    evn_course_free(course);
}
END_TEST

START_TEST(nothing_is_freed_of_no_course) { evn_course_free(NULL); }
END_TEST

static Suite *course_suite(void)
{
    Suite *suite = suite_create("course");
    TCase *trace = tcase_create("trace"), *limits = tcase_create("limits"), *road = tcase_create("road");
    tcase_add_test(trace, points_on_one_line_become_one_stretch);
    tcase_add_test(trace, a_line_that_bends_a_little_stays_two_stretches);
    tcase_add_test(trace, standstills_become_waits_and_merge);
    tcase_add_test(trace, rest_for_an_instant_parts_two_stretches_without_a_wait);
    tcase_add_test(trace, a_trace_may_begin_and_end_moving_and_its_clock_starts_at_its_first_point);
    tcase_add_test(trace, speeds_that_a_logger_shows_at_rest_count_as_rest);
    tcase_add_test(trace, speeds_in_miles_per_hour_and_from_tables_give_the_same_course);
    tcase_add_test(trace, what_cannot_be_driven_is_refused);
    tcase_add_test(trace, the_band_is_exact_at_corners_and_beyond_the_ends);
    tcase_add_test(limits, limits_are_driven_from_rest_to_rest_with_closed_form_corners);
    tcase_add_test(limits, a_short_course_peaks_where_rise_and_fall_meet);
    tcase_add_test(limits, equal_limits_and_rises_through_a_limit_cost_no_stretch);
    tcase_add_test(limits, stops_stand_where_the_file_says_and_wait_as_long);
    tcase_add_test(limits, a_course_of_limits_ends_where_length_speed_or_road_say);
    tcase_add_test(limits, a_limit_that_begins_at_a_stop_or_within_rounding_of_it_begins_there);
    tcase_add_test(limits, top_speed_cuts_the_plan_at_the_exact_place_and_keeps_what_is_asked);
    tcase_add_test(limits, limits_over_place_have_no_band);
    tcase_add_test(road, a_constant_grade_rises_by_its_sine_not_its_tangent);
    tcase_add_test(road, collinear_neighbours_of_the_road_are_merged);
    tcase_add_test(road, the_road_is_level_outside_its_places);
    tcase_add_test(road, a_road_longer_than_the_speed_is_cut_and_an_absent_one_is_level);
    tcase_add_test(road, a_point_of_the_road_at_the_very_end_leaves_no_sliver);
    tcase_add_test(road, a_factor_turns_all_grades_and_none_is_one);
    tcase_add_test(road, elevations_are_met_exactly_at_their_places);
    tcase_add_test(road, a_profile_repeats_as_often_as_the_course_is_long);
    tcase_add_test(road, surfaces_cut_the_road_and_hold_from_their_place_on);
    tcase_add_test(road, a_surface_may_begin_at_the_start);
    tcase_add_test(road, nothing_is_freed_of_no_course);
    suite_add_tcase(suite, trace);
    suite_add_tcase(suite, limits);
    suite_add_tcase(suite, road);
    return suite;
}

int main(void)
{
    SRunner *runner = srunner_create(course_suite());
    srunner_run_all(runner, CK_NORMAL);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
