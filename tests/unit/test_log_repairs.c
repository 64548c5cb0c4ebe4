/* What an import leaves out, keeps and refuses of a log, each by a log of a few hundred rows of which all is known. */
#define _POSIX_C_SOURCE 200809L
#include "log/import.h"
#include <check.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

enum { LOG_BYTES = 400000, NAME_BYTES = 64 };
static char text[LOG_BYTES];
static size_t used;

__attribute__((format(printf, 1, 2))) static void add(const char *format, ...)
{
    va_list values;
    va_start(values, format);
    used += (size_t)vsnprintf(text + used, sizeof text - used, format, values);
    va_end(values);
    ck_assert_uint_lt(used, sizeof text);
}

static void begin(const char *header)
{
    used = 0;
    add("%s\n", header);
}

typedef struct outcome {
    evn_import *import;
    const evn_import_told *told;
    evn_report *report;
} outcome;

static outcome import(const evn_import_how *how)
{
    char path[NAME_BYTES] = "/tmp/evener-repairs-XXXXXX";
    int file = mkstemp(path);
    ck_assert(file >= 0 && write(file, text, used) == (ssize_t)used);
    close(file);
    outcome out = {.report = evn_report_new()};
    evn_status status = evn_import_log(path, how, &out.import, out.report);
    remove(path);
    out.told = status == EVN_DONE ? evn_import_tells(out.import) : NULL;
    return out;
}

static outcome sound(const evn_import_how *how)
{
    outcome out = import(how);
    evn_finding found;
    if (!out.told)
        ck_abort_msg("%s", evn_report_at(out.report, 0, &found) ? found.text : "no reason");
    return out;
}

static void end(outcome *out)
{
    evn_import_free(out->import);
    evn_report_free(out->report);
}

/* Refused at that line, in these words. */
static void refused(const evn_import_how *how, unsigned line, const char *words)
{
    outcome out = import(how);
    evn_finding found;
    ck_assert(!out.told && evn_report_at(out.report, 0, &found));
    ck_assert_msg(strstr(found.text, words) != NULL, "%s", found.text);
    ck_assert_msg(found.line == line, "line %u: %s", found.line, found.text);
    end(&out);
}

/* ------------------------------------------------------------------------------------------------ speed */

/* From rest at 0.6 m/s2 to 15 m/s, and down at so many m/s2 up to the last row. */
static double ramp_at(double t, double brakes_at_s, double braking_m_s2)
{
    return fmax(fmin(0.6 * t, 15) - fmax(t - brakes_at_s, 0) * braking_m_s2, 0);
}

START_TEST(a_log_that_ends_while_the_vehicle_brakes_keeps_its_rows)
{
    begin("time_s,speed_m_s");
    for (int t = 0; t <= 206; t++)
        add("%d,%.3f\n", t, ramp_at(t, 200, 1.5));
    outcome out = sound(NULL);
    ck_assert_uint_eq(out.told->speeds_off, 0);
    ck_assert_double_eq_tol(out.told->duration_s, 206, 1e-9);
    const evn_import_cycle *c = evn_import_cycle_of(out.import);
    ck_assert_double_eq_tol(c->speed_m_s[c->times - 1], 6, 0.5);
    end(&out);
}
END_TEST

START_TEST(a_stop_of_three_rows_stays_in_a_log_of_one_row_in_five_seconds)
{
    begin("time_s,speed_m_s");
    for (int t = 0; t <= 600; t += 5) {
        double from_stop_s = fmax(fabs(t - 300.0) - 7.5, 0);
        add("%d,%.3f\n", t, fmin(fmin(0.6 * t, 15), 1.5 * from_stop_s));
    }
    outcome out = sound(NULL);
    ck_assert_uint_eq(out.told->speeds_off, 0);
    ck_assert_uint_eq(out.told->stops, 1);
    end(&out);
}
END_TEST

START_TEST(a_single_row_without_speed_is_still_left_out)
{
    begin("time_s,speed_m_s");
    for (int t = 0; t <= 300; t++)
        add("%d,%.3f\n", t, t == 150 ? 0 : ramp_at(t, 1e9, 0));
    outcome out = sound(NULL);
    ck_assert_uint_eq(out.told->speeds_off, 1);
    end(&out);
}
END_TEST

START_TEST(a_part_counts_from_the_first_time_of_the_log)
{
    begin("time_s,speed_m_s");
    for (int t = 0; t <= 300; t++)
        add("%d,%.3f\n", 1000 + t, ramp_at(t, 1e9, 0));
    evn_import_how how = evn_import_default();
    how.from_s = 50;
    how.to_s = 150;
    outcome out = sound(&how);
    ck_assert_double_eq_tol(out.told->duration_s, 100, 1e-9);
    ck_assert_double_eq_tol(out.told->distance_m, 1500, 1);
    end(&out);
}
END_TEST

START_TEST(positions_go_on_over_the_meridian_of_180_degrees)
{
    begin("time_s,latitude_deg,longitude_deg");
    for (int t = 0; t <= 300; t++) {
        double east = 179.98 + t * 15 / 111319.49; /* metres of a degree along the equator of WGS 84, closed form */
        add("%d,0,%.8f\n", t, east > 180 ? east - 360 : east);
    }
    outcome out = sound(NULL);
    ck_assert_double_eq_tol(out.told->distance_m, 4500, 10);
    ck_assert_double_lt(out.told->speed_most_m_s, 16);
    end(&out);
}
END_TEST

START_TEST(a_stop_of_several_pieces_waits_for_all_of_them)
{
    double time[] = {0, 10, 20, 35, 45}, speed[] = {10, 0, 0, 0, 10}, place[] = {0, 50, 50, 50, 100};
    evn_motion m = {time, speed, place, 5};
    evn_arena *arena = evn_arena_new();
    evn_import_cycle c = {.length_m = 100};
    ck_assert(evn_limits_of_motion(&m, 5 / 3.6, &c, arena));
    ck_assert_uint_eq(c.stops, 1);
    ck_assert_double_eq(c.wait_s[0], 25);
    evn_arena_free(arena);
}
END_TEST

static unsigned long long state;
static double uniform(void)
{
    state = state * 6364136223846793005ULL + 1442695040888963407ULL;
    return ((double)(state >> 11) + 0.5) / 9007199254740992.0;
}

static double hills_at(double s)
{
    const double TAU = 6.283185307179586;
    return 420 + 28 * sin(TAU * s / 5200 + 0.3) + 11 * sin(TAU * s / 2100 + 1.1) + 4.5 * sin(TAU * s / 950 + 2);
}

/* ------------------------------------------------------------------------------------------------ what is refused */

START_TEST(more_than_a_tenth_of_rows_that_go_back_is_refused)
{
    begin("time_s,speed_m_s");
    for (int t = 0; t <= 300; t++)
        add("%d,15\n", t >= 100 && t < 140 ? t - 60 : t);
    refused(NULL, 102, "40 of 301 rows lie behind");
}
END_TEST

START_TEST(distances_apart_by_a_mile_for_a_kilometre_are_refused)
{
    begin("time_s,speed_m_s,place_m");
    for (int t = 0; t <= 300; t++)
        add("%d,15,%.1f\n", t, t * 15 / 1.609344);
    refused(NULL, 0, "miles");
}
END_TEST

START_TEST(rows_that_are_all_gaps_are_said_once)
{
    begin("time_s,speed_m_s");
    for (int t = 0; t <= 300; t++)
        add("%d,15\n", 1000 * t);
    outcome out = import(NULL);
    evn_finding found;
    ck_assert(!out.told && evn_report_at(out.report, 0, &found));
    ck_assert_msg(strstr(found.text, "is the unit of time ms?") != NULL, "%s", found.text);
    ck_assert(!evn_report_at(out.report, 1, &found));
    end(&out);
}
END_TEST

START_TEST(a_time_of_day_without_a_date_is_said_once)
{
    begin("time,speed_m_s");
    for (int t = 10; t < 60; t++)
        add("08:15:%d,15\n", t);
    refused(NULL, 2, "a time of day alone");
}
END_TEST

START_TEST(two_columns_of_one_name_are_refused_without_advice_that_does_not_help)
{
    begin("time_s,speed_m_s,speed_m_s");
    add("0,1,2\n1,2,3\n");
    refused(NULL, 1, "another name in this line");
}
END_TEST

/* Noise of 10 m/s on every other row accelerates; no grade of a nearly level road could do such work. */
START_TEST(what_is_not_in_the_grades_is_not_put_on_them)
{
    begin("time_s,speed_m_s,altitude_m");
    state = 5;
    for (int t = 0; t <= 600; t++)
        add("%d,%.2f,%.3f\n", t, 15 + 3 * sin(t / 1.5), 400 + 0.02 * sin(t / 60.0));
    evn_import_how how = evn_import_default();
    how.speed_width_s = 8;
    outcome out = sound(&how);
    ck_assert_double_gt(out.told->traction_most_kwh, 1.2 * out.told->traction_least_kwh);
    ck_assert(isnan(out.told->grade_factor_half_width) && isnan(out.told->grade_factor_offset));
    end(&out);
}
END_TEST

START_TEST(what_goes_into_draws_reaches_from_least_to_most)
{
    begin("time_s,speed_m_s,altitude_m");
    for (int t = 0; t <= 1000; t++)
        add("%d,20,%.3f\n", t, hills_at(20.0 * t));
    evn_import_how how = evn_import_default();
    how.grade_width_m = 400;
    outcome out = sound(&how);
    double half = out.told->grade_factor_half_width, off = out.told->grade_factor_offset;
    double made = out.told->work[0].traction_kwh;
    ck_assert_double_lt(off, -0.01); /* smoothing takes hills away: the middle lies below what was made */
    ck_assert_double_eq_tol((off + half) / (off - half),
                            (out.told->traction_most_kwh - made) / (out.told->traction_least_kwh - made), 1e-9);
    end(&out);
}
END_TEST

START_TEST(a_unit_that_changes_within_the_column_is_refused_where_it_does)
{
    begin("time_s,speed_km_h");
    for (int t = 0; t <= 300; t++)
        add("%d,%.3f\n", t, ramp_at(t, 1e9, 0) * (t < 200 ? 3.6 : 1));
    refused(NULL, 202, "3.6 times lower");
}
END_TEST

START_TEST(hard_braking_to_a_lower_speed_is_no_other_unit)
{
    begin("time_s,speed_m_s");
    for (int t = 0; t <= 300; t++)
        add("%d,%.3f\n", t, fmax(ramp_at(t, 200, 5), t > 200 ? 4.16 : 0));
    outcome out = sound(NULL);
    end(&out);
}
END_TEST

START_TEST(acceleration_that_no_truck_has_is_refused)
{
    begin("time_s,speed_m_s");
    for (int t = 0; t <= 300; t++)
        add("%d,%.3f\n", t, fmin(fmax(t - 100, 0) * 4, 24) + 0.01 * (t % 2));
    refused(NULL, 104, "expected acceleration below 3 m/s2");
}
END_TEST

START_TEST(an_odometer_is_held_against_speed_piece_by_piece)
{
    begin("time_s,speed_m_s,place_m");
    double place = 0;
    for (int t = 0; t <= 2000; t++) {
        add("%d,15,%.1f\n", t, place);
        place += t >= 1000 && t < 1300 ? 15 / 1.609344 : 15; /* 15 % of the rows: 6 % of the whole */
    }
    outcome out = import(NULL);
    evn_finding found;
    ck_assert(!out.told && evn_report_at(out.report, 0, &found));
    ck_assert_msg(found.line > 900 && found.line < 1300 && strstr(found.text, "km by place"), "%u: %s", found.line,
                  found.text);
    end(&out);
}
END_TEST

/* ------------------------------------------------------------------------------------------------ road */

/* Grades to 9 %, one row a second, noise of 1.5 m: what a receiver for hikers gives. */
START_TEST(short_hills_are_not_smoothed_away)
{
    double climb = 0;
    state = 17 + (unsigned)_i;
    begin("time_s,speed_m_s,altitude_m");
    for (int t = 0; t <= 1000; t++) {
        double noise = 1.5 * sqrt(-2 * log(uniform())) * cos(6.283185307179586 * uniform());
        add("%d,20,%.3f\n", t, hills_at(20.0 * t) + noise);
        for (int k = 0; k < 20 && t < 1000; k++)
            climb += fmax(hills_at(20.0 * t + k + 1) - hills_at(20.0 * t + k), 0);
    }
    outcome out = sound(NULL);
    ck_assert_double_eq_tol(out.told->climb_m / climb, 1, 0.03);
    ck_assert_double_gt(out.told->grade_width_m, 300);
    ck_assert_double_lt(out.told->grade_width_m, 480);
    end(&out);
}
END_TEST

static void add_hill(int lost_from, int lost_to, double lost_as)
{
    begin("time_s,speed_m_s,altitude_m");
    for (int t = 0; t <= 600; t++)
        add("%d,15,%.2f\n", t, t >= lost_from && t < lost_to ? lost_as : 400 + 0.3 * t);
}

START_TEST(heights_that_were_lost_for_a_minute_are_bridged)
{
    add_hill(300, 360, 0);
    outcome out = sound(NULL);
    ck_assert_uint_eq(out.told->altitudes_off, 60);
    ck_assert_double_eq_tol(out.told->climb_m, 180, 2);
    ck_assert_double_eq_tol(out.told->steepest_ratio, 0.02, 0.002);
    end(&out);
}
END_TEST

START_TEST(heights_that_were_lost_for_a_third_of_the_log_are_refused_at_the_first)
{
    add_hill(300, 500, 0);
    refused(NULL, 302, "altitude jumps at this row, and 200 of 601");
}
END_TEST

START_TEST(a_grade_that_no_road_has_is_refused_and_a_rare_one_warned_of)
{
    begin("time_s,speed_m_s,altitude_m");
    for (int t = 0; t <= 600; t++)
        add("%d,15,%.2f\n", t, 400 + fmin(fmax(t - 300, 0), 60) * 6);
    refused(NULL, 309, "expected at most 30 %");
    begin("time_s,speed_m_s,altitude_m");
    for (int t = 0; t <= 600; t++)
        add("%d,15,%.2f\n", t, 400 + fmin(fmax(t - 300, 0), 60) * 3);
    outcome out = sound(NULL);
    evn_finding found;
    ck_assert(evn_report_at(out.report, 0, &found) && strstr(found.text, "expected at most 15 %"));
    end(&out);
}
END_TEST

START_TEST(a_column_of_grades_gives_these_grades)
{
    begin("time_s,speed_m_s,grade_percent");
    for (int t = 0; t <= 300; t++)
        add("%d,15,%d\n", t, t < 150 ? 3 : -1);
    outcome out = sound(NULL);
    const evn_import_cycle *c = evn_import_cycle_of(out.import);
    ck_assert_double_eq_tol(c->grade_ratio[0], 0.03, 0.001);
    ck_assert_double_eq_tol(c->grade_ratio[c->grades - 1], -0.01, 0.001);
    ck_assert_double_eq_tol(out.told->climb_m, 2250 * 0.03 / hypot(1, 0.03), 1.5);
    end(&out);
}
END_TEST

int main(void)
{
    TCase *speed = tcase_create("speed");
    tcase_add_test(speed, a_log_that_ends_while_the_vehicle_brakes_keeps_its_rows);
    tcase_add_test(speed, a_stop_of_three_rows_stays_in_a_log_of_one_row_in_five_seconds);
    tcase_add_test(speed, a_single_row_without_speed_is_still_left_out);
    tcase_add_test(speed, a_part_counts_from_the_first_time_of_the_log);
    tcase_add_test(speed, positions_go_on_over_the_meridian_of_180_degrees);
    tcase_add_test(speed, a_stop_of_several_pieces_waits_for_all_of_them);
    TCase *refusals = tcase_create("refusals");
    tcase_add_test(refusals, more_than_a_tenth_of_rows_that_go_back_is_refused);
    tcase_add_test(refusals, distances_apart_by_a_mile_for_a_kilometre_are_refused);
    tcase_add_test(refusals, rows_that_are_all_gaps_are_said_once);
    tcase_add_test(refusals, a_time_of_day_without_a_date_is_said_once);
    tcase_add_test(refusals, two_columns_of_one_name_are_refused_without_advice_that_does_not_help);
    tcase_add_test(refusals, what_is_not_in_the_grades_is_not_put_on_them);
    tcase_add_test(refusals, what_goes_into_draws_reaches_from_least_to_most);
    tcase_add_test(refusals, a_unit_that_changes_within_the_column_is_refused_where_it_does);
    tcase_add_test(refusals, hard_braking_to_a_lower_speed_is_no_other_unit);
    tcase_add_test(refusals, acceleration_that_no_truck_has_is_refused);
    tcase_add_test(refusals, an_odometer_is_held_against_speed_piece_by_piece);
    TCase *road = tcase_create("road");
    tcase_add_test(road, a_column_of_grades_gives_these_grades);
    tcase_add_test(road, heights_that_were_lost_for_a_minute_are_bridged);
    tcase_add_test(road, heights_that_were_lost_for_a_third_of_the_log_are_refused_at_the_first);
    tcase_add_test(road, a_grade_that_no_road_has_is_refused_and_a_rare_one_warned_of);
    tcase_add_loop_test(road, short_hills_are_not_smoothed_away, 0, 5);
    Suite *suite = suite_create("log repairs");
    suite_add_tcase(suite, speed);
    suite_add_tcase(suite, refusals);
    suite_add_tcase(suite, road);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_ENV);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
