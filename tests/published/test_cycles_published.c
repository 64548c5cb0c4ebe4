/* Cycles against figures that are published. */
#include "checked.h"
#include "core/units.h"
#include "cycle_reading.h"
#include <stdlib.h>

static void check_near(double found, double expected, double relative)
{
    ck_assert_double_eq_tol(found, expected, relative * fabs(expected));
}

/* ------------------------------------------------------------------------------------------------ urban schedule */

static const published listed_speeds = {"40 CFR 86 App. I(a), the listed speeds integrated in straight lines",
                                        RECOMPUTED};

START_TEST(the_urban_schedule_has_its_published_length_time_and_speeds)
{
    reading it = read_cycle("cycles/reference/urban-schedule.yaml");
    const published *from = &listed_speeds;
    const published printed = {"dieselnet.com/standards/cycles/ftp72.php", READ_IN_SOURCE};
    const published quoted = {"EPA, urban dynamometer driving schedule: its totals as a public test file quotes them "
                              "(secondary)",
                              READ_IN_SOURCE};
    double distance_km = figure(it.cycle, "distance_km"), mean_km_h = figure(it.cycle, "mean_speed_km_h");
    double phase_m = plan_place_m(it.course, 505.0);
    check_value(from, it.course->length_m, RELATIVE, 11990.239, 1e-6, "m", "length");
    check_value(from, it.course->length_m / M_PER_MILE, RELATIVE, 7.450389, 1e-6, "mile", "length");
    check_value(from, distance_km, RELATIVE, 11.990239, 1e-6, "km", "distance");
    check_value(from, mean_km_h, RELATIVE, 31.53021, 1e-6, "km/h", "mean speed");
    check_value(from, figure(it.cycle, "duration_s"), ABSOLUTE, 1369, 0, "s", "duration");
    check_value(from, it.course->clock_end_s, ABSOLUTE, 1369, 0, "s", "clock at the end");
    check_value(from, phase_m, RELATIVE, 5779.199, 1e-6, "m", "first phase, length");
    check_value(from, figure(it.cycle, "standing_s"), ABSOLUTE, 241, 0, "s", "idle time");
    check_value(from, figure(it.cycle, "standing_share"), ABSOLUTE, 0.1760, 5e-5, "1", "idle time, share");
    check_value(&printed, distance_km, RELATIVE, 12.07, 0.007, "km", "distance");
    check_value(&printed, mean_km_h, RELATIVE, 31.5, 0.007, "km/h", "mean speed");
    check_value(&printed, figure(it.cycle, "max_speed_km_h"), ABSOLUTE, 91.25, 0.005, "km/h", "highest speed");
    check_value(&printed, phase_m / 1000.0, ABSOLUTE, 5.78, 0.005, "km", "first phase, length");
    check_value(&printed, phase_m / 505.0 * 3.6, ABSOLUTE, 41.2, 0.05, "km/h", "first phase, mean speed");
    check_value(&quoted, distance_km * 1e3 / M_PER_MILE, ABSOLUTE, 7.45, 0.005, "mile", "distance");
    check_value(&quoted, figure(it.cycle, "max_speed_km_h") / 1.609344, ABSOLUTE, 56.7, 0.05, "mph", "highest speed");
    done(it);
}
END_TEST

START_TEST(the_urban_schedule_stands_at_259_of_its_1370_points)
{
    reading it = read_cycle("cycles/reference/urban-schedule.yaml");
    size_t at_rest = 0;
    for (size_t i = 0; i < it.course->trace_count; i++)
        at_rest += it.course->trace_speed_m_s[i] == 0.0;
    check_value(&listed_speeds, (double)it.course->trace_count, ABSOLUTE, 1370, 0, "1", "points");
    check_value(&listed_speeds, (double)at_rest, ABSOLUTE, 259, 0, "1", "points at rest");
    double wait_s = it.course->final_wait_s;
    for (size_t i = 0; i < it.course->plan_count; i++)
        wait_s += it.course->plan[i].wait_s;
    check_value(&listed_speeds, wait_s, ABSOLUTE, 241, 1e-9, "s", "waits of the course");
    done(it);
}
END_TEST

/* 40 CFR 86 App. I(a), 20 s to 125 s, in miles per hour. */
static const double first_trip_mph[] = {
    0,    3,    5.9,  8.6,  11.5, 14.3, 16.9, 17.3, 18.1, 20.7, 21.7, 22.4, 22.5, 22.1, 21.5, 20.9, 20.4, 19.8,
    17,   14.9, 14.9, 15.2, 15.5, 16,   17.1, 19.1, 21.1, 22.7, 22.9, 22.7, 22.6, 21.3, 19,   17.1, 15.8, 15.8,
    17.7, 19.8, 21.6, 23.2, 24.2, 24.6, 24.9, 25,   24.6, 24.5, 24.7, 24.8, 24.7, 24.6, 24.6, 25.1, 25.6, 25.7,
    25.4, 24.9, 25,   25.4, 26,   26,   25.7, 26.1, 26.7, 27.5, 28.6, 29.3, 29.8, 30.1, 30.4, 30.7, 30.7, 30.5,
    30.4, 30.3, 30.4, 30.8, 30.4, 29.9, 29.5, 29.8, 30.3, 30.7, 30.9, 31,   30.9, 30.4, 29.8, 29.9, 30.2, 30.7,
    31.2, 31.8, 32.2, 32.4, 32.2, 31.7, 28.6, 25.3, 22,   18.7, 15.4, 12.1, 8.8,  5.5,  2.2,  0};
enum { FIRST_TRIP = sizeof first_trip_mph / sizeof first_trip_mph[0] };

START_TEST(the_first_trip_of_the_urban_schedule_has_its_own_figures)
{
    double time_s[FIRST_TRIP];
    for (size_t i = 0; i < FIRST_TRIP; i++)
        time_s[i] = 20.0 + (double)i;
    evn_speed_file speed = {.time_s = {time_s, FIRST_TRIP}, .speed_mph = {first_trip_mph, FIRST_TRIP}};
    evn_cycle_file cycle = {.name = "t", .source = "40 CFR 86", .length_m = (double)NAN, .speed = &speed};
    evn_course *course = prepare(&cycle, &no_top);
    check_promises(course);
    const published *from = &listed_speeds;
    const published listed = {"40 CFR 86 App. I(a)", READ_IN_SOURCE};
    ck_assert_uint_eq(FIRST_TRIP, 106);
    check_value(&listed, figure(&cycle, "max_speed_km_h"), RELATIVE, 32.4 * 1.609344, 1e-12, "km/h", "highest speed");
    check_value(&listed, plan_speed_m_s(course, 113.0 - 20.0), ABSOLUTE, 32.4 * EVN_M_S_PER_MPH, 1e-9, "m/s",
                "speed at 113 s");
    check_value(from, course->length_m, RELATIVE, 1083.3567, 1e-7, "m", "length");
    check_value(from, figure(&cycle, "mean_speed_km_h") / 1.609344, ABSOLUTE, 23.08, 0.005, "mph", "mean speed");
    check_value(from, figure(&cycle, "max_acceleration_m_s2"), ABSOLUTE, 1.341120, 5e-7, "m/s2", "acceleration");
    check_value(from, figure(&cycle, "max_braking_m_s2"), ABSOLUTE, 1.475232, 5e-7, "m/s2", "braking");
    check_value(from, figure(&cycle, "positive_kinetic_j_kg"), RELATIVE, 187.36845, 1e-7, "J/kg",
                "sum of rises of the kinetic energy");
    /* the same from the course, whose stretches are straight in v^2 */
    double positive = 0.0, hardest = 0.0, firmest = 0.0;
    for (size_t i = 0; i < course->plan_count; i++) {
        positive += fmax(0.0, 0.5 * (course->plan[i].v2_end - course->plan[i].v2_begin));
        hardest = fmax(hardest, course->plan[i].accel_m_s2);
        firmest = fmin(firmest, course->plan[i].accel_m_s2);
    }
    check_value(from, positive, RELATIVE, 187.36845, 1e-7, "J/kg", "sum of rises of the kinetic energy, course");
    check_value(from, hardest, ABSOLUTE, 1.341120, 5e-7, "m/s2", "acceleration, course");
    check_value(from, firmest, ABSOLUTE, -1.475232, 5e-7, "m/s2", "braking, course");
    evn_course_free(course);
}
END_TEST

START_TEST(the_first_trip_is_part_of_the_whole_schedule)
{
    reading it = read_cycle("cycles/reference/urban-schedule.yaml");
    for (size_t i = 0; i < FIRST_TRIP; i++) /* 40 CFR 86 App. I(a), read twice */
        ck_assert(it.course->trace_speed_m_s[20 + i] == first_trip_mph[i] * EVN_M_S_PER_MPH);
    check_value(&listed_speeds, plan_place_m(it.course, 125.0), ABSOLUTE, 1083.3567, 1e-4, "m", "place at 125 s");
    done(it);
}
END_TEST

/* ------------------------------------------------------------------------------------------------ energy demand */

typedef struct road_load { /* f0 in N, f1 in N/(km/h), f2 in N/(km/h)^2 */
    double f0, f1, f2, test_mass_kg;
} road_load;

static const published demand_rule = {"UN GTR 15 Annex 7 section 5, cycle energy demand, on the trace", FROM_MEMORY};

/* Work of one interval where the force pulls. */
static double interval_energy_j(const road_load *of, double begin_km_h, double end_km_h, double way_m, double time_s)
{
    double mean_km_h = 0.5 * (begin_km_h + end_km_h), change_m_s2 = (end_km_h - begin_km_h) / (3.6 * time_s);
    double force_n =
        of->f0 + of->f1 * mean_km_h + of->f2 * mean_km_h * mean_km_h + 1.03 * of->test_mass_kg * change_m_s2;
    return fmax(0.0, force_n * way_m);
}

START_TEST(energy_demand_from_the_course_is_that_of_the_trace)
{
    reading it = read_cycle("cycles/reference/urban-schedule.yaml");
    const road_load load = {120.0, 0.4, 0.036, 1500.0};
    const evn_list *mph = &(evn_list){it.cycle->speed->table->column[1], it.cycle->speed->table->rows};
    double from_trace_j = 0.0, from_course_j = 0.0;
    for (size_t i = 0; i + 1 < mph->count; i++) {
        double begin = mph->at[i] * 1.609344, end = mph->at[i + 1] * 1.609344, clock_s = (double)i;
        from_trace_j += interval_energy_j(&load, begin, end, 0.5 * (begin + end) / 3.6, 1.0);
        double way_m = plan_place_m(it.course, clock_s + 1.0) - plan_place_m(it.course, clock_s);
        from_course_j += interval_energy_j(&load, plan_speed_m_s(it.course, clock_s) * 3.6,
                                           plan_speed_m_s(it.course, clock_s + 1.0) * 3.6, way_m, 1.0);
    }
    ck_assert_double_gt(from_trace_j, 1e6);
    check_value(&demand_rule, from_course_j, RELATIVE, from_trace_j, 1e-8, "J", "energy demand, course");
    done(it);
}
END_TEST

START_TEST(energy_demand_without_air_drag_is_a_sum_over_merged_stretches)
{
    reading it = read_cycle("cycles/reference/urban-schedule.yaml");
    const road_load load = {120.0, 0.0, 0.0, 1500.0};
    const evn_list *mph = &(evn_list){it.cycle->speed->table->column[1], it.cycle->speed->table->rows};
    double from_trace_j = 0.0, from_stretches_j = 0.0;
    for (size_t i = 0; i + 1 < mph->count; i++) {
        double begin = mph->at[i] * 1.609344, end = mph->at[i + 1] * 1.609344;
        from_trace_j += interval_energy_j(&load, begin, end, 0.5 * (begin + end) / 3.6, 1.0);
    }
    for (size_t i = 0; i < it.course->plan_count; i++) {
        const evn_plan_stretch *stretch = &it.course->plan[i];
        double force_n = load.f0 + 1.03 * load.test_mass_kg * stretch->accel_m_s2;
        from_stretches_j += fmax(0.0, force_n) * (stretch->end_m - stretch->begin_m);
    }
    check_value(&demand_rule, from_stretches_j, RELATIVE, from_trace_j, 1e-9, "J",
                "energy demand without air drag, merged stretches");
    ck_assert_uint_lt(it.course->plan_count, 1000); /* 1128 intervals in motion before merging */
    done(it);
}
END_TEST

/* ------------------------------------------------------------------------------------------------ European cycle */

/* The files hold the table of operations of UN R83, from memory; these tests confirm them by what is published. */
static const published operations = {"UN R83, table of operations in straight lines", FROM_MEMORY};
static const published policy = {"transportpolicy.net, NEDC", READ_IN_SOURCE};
/* It differs of the urban part: 994.1 m, 57 s at rest and 18.35 km/h; hence of the whole: 10931.4 m, 267 s, 33.35 km/h.
 */
static const published another = {"dieselnet.com/standards/cycles/ece_eudc.php", READ_IN_SOURCE};

/* The cycle's speed from `from_s` on is that of another cycle, waits included. Where that one ends. */
static double check_part(const evn_course *whole, double from_s, const char *part_path)
{
    reading part = read_cycle(part_path);
    double end_s = part.course->clock_end_s;
    for (double t = 0.0; t <= end_s; t += 0.25)
        ck_assert_double_eq_tol(plan_speed_m_s(whole, from_s + t), plan_speed_m_s(part.course, t), 1e-7);
    check_near(plan_place_m(whole, from_s + end_s) - plan_place_m(whole, from_s), part.course->length_m, 1e-7);
    done(part);
    return from_s + end_s;
}

/* The accelerations of the stretches that are not driven at constant speed, in their order. */
static void check_accelerations(const evn_course *course, const double *expected_m_s2, size_t count)
{
    size_t found = 0;
    for (size_t i = 0; i < course->plan_count; i++) {
        if (fabs(course->plan[i].accel_m_s2) > 1e-9) {
            ck_assert_uint_lt(found, count);
            check_value(&operations, course->plan[i].accel_m_s2, ABSOLUTE, expected_m_s2[found], 5e-4, "m/s2",
                        "acceleration of slope %zu", found + 1);
            found++;
        }
    }
    ck_assert_uint_eq(found, count);
}

START_TEST(the_european_urban_part_has_its_published_figures)
{
    reading it = read_cycle("cycles/reference/ece-15.yaml");
    const published from = {"transportpolicy.net, NEDC; lawinsider.com, Test Cycle (text of UN R83); 0.9941 km at "
                            "dieselnet.com/standards/cycles/ece_eudc.php differs",
                            READ_IN_SOURCE};
    double mean_km_h = figure(it.cycle, "mean_speed_km_h"), running_km_h = figure(it.cycle, "running_mean_speed_km_h");
    check_value(&from, figure(it.cycle, "duration_s"), ABSOLUTE, 195, 0, "s", "duration");
    check_value(&from, figure(it.cycle, "distance_km"), RELATIVE, 1.013, 0.01, "km", "distance");
    check_value(&from, mean_km_h, RELATIVE, 18.7, 0.01, "km/h", "mean speed");
    check_value(&from, figure(it.cycle, "standing_s"), ABSOLUTE, 60, 0, "s", "idle time");
    check_value(&from, figure(it.cycle, "standing_share"), ABSOLUTE, 0.308, 0.0005, "1", "idle time, share");
    check_value(&from, figure(it.cycle, "max_speed_km_h"), ABSOLUTE, 50, 1e-12, "km/h", "highest speed");
    check_value(&operations, it.course->length_m, RELATIVE, 1018.33, 1e-4, "m", "length");
    check_value(&operations, mean_km_h, RELATIVE, 18.80, 1e-4, "km/h", "mean speed");
    check_value(&operations, running_km_h, RELATIVE, 27.15556, 1e-6, "km/h", "mean speed while it moves");
    /* UN R83 prints two digits of these, among them 1.04, -0.69, -0.92, 0.62, 0.52 (from memory) */
    const double accel_m_s2[] = {1.042, -0.694, -0.926, 0.833,  0.944,  -0.764, -0.926,
                                 0.833, 0.617,  0.521,  -0.521, -0.992, -0.926};
    check_accelerations(it.course, accel_m_s2, sizeof accel_m_s2 / sizeof *accel_m_s2);
    done(it);
}
END_TEST

/* How long a course moves with the sign of this acceleration; 0: at constant speed. */
static double moving_s(const evn_course *course, int sign)
{
    double sum = 0.0;
    for (size_t i = 0; i < course->plan_count; i++) {
        const evn_plan_stretch *it = &course->plan[i];
        double accel = it->accel_m_s2, mean_m_s = 0.5 * (sqrt(it->v2_begin) + sqrt(it->v2_end));
        if ((accel > 1e-9) - (accel < -1e-9) == sign)
            sum += (it->end_m - it->begin_m) / mean_m_s;
    }
    return sum;
}

START_TEST(the_operations_of_the_european_urban_part_take_their_printed_times)
{
    /* the table of operations is from memory, but its durations add up to those that the text prints by group */
    const published printed = {"UN Regulation No. 83, Annex 4a, 6.1.1, as lawinsider.com prints it (Test Cycle)",
                               READ_IN_SOURCE};
    reading it = read_cycle("cycles/reference/ece-15.yaml");
    double waits_s = it.course->final_wait_s;
    for (size_t i = 0; i < it.course->plan_count; i++)
        waits_s += it.course->plan[i].wait_s;
    double up_s = moving_s(it.course, 1), steady_s = moving_s(it.course, 0), down_s = moving_s(it.course, -1);
    check_value(&printed, waits_s, ABSOLUTE, 60, 1e-6, "s", "idling");
    check_value(&printed, up_s, ABSOLUTE, 36, 1e-6, "s", "accelerations");
    check_value(&printed, steady_s, ABSOLUTE, 57 + 8, 1e-6, "s", "steady speed 57 s with gear changes 8 s");
    check_value(&printed, down_s, ABSOLUTE, 25 + 9, 1e-6, "s", "decelerations 25 s, with the clutch out 9 s");
    check_value(&printed, waits_s + up_s + steady_s + down_s, ABSOLUTE, 195, 1e-6, "s", "all operations");
    done(it);
}
END_TEST

START_TEST(the_european_extra_urban_part_has_its_published_figures)
{
    reading it = read_cycle("cycles/reference/eudc.yaml");
    double mean_km_h = figure(it.cycle, "mean_speed_km_h");
    check_value(&policy, figure(it.cycle, "duration_s"), ABSOLUTE, 400, 0, "s", "duration");
    check_value(&policy, figure(it.cycle, "distance_km"), RELATIVE, 6.955, 1e-4, "km", "distance");
    check_value(&policy, mean_km_h, RELATIVE, 62.6, 2e-4, "km/h", "mean speed");
    check_value(&policy, figure(it.cycle, "max_speed_km_h"), ABSOLUTE, 120, 1e-12, "km/h", "highest speed");
    check_value(&another, it.course->length_m / 1e3, ABSOLUTE, 6.9549, 5e-5, "km", "length");
    check_value(&another, mean_km_h, ABSOLUTE, 62.59, 0.005, "km/h", "mean speed");
    check_value(&operations, it.course->length_m, RELATIVE, 6954.86, 1e-6, "m", "length");
    check_value(&operations, mean_km_h, RELATIVE, 62.594, 1e-5, "km/h", "mean speed");
    check_value(&operations, figure(it.cycle, "standing_s"), ABSOLUTE, 40, 0, "s", "idle time");
    /* UN R83 prints two digits of these, among them 0.43, 0.24, 0.28, -1.04, -1.39 (from memory) */
    const double accel_m_s2[] = {0.833, 0.617, 0.521, 0.427, -0.694, 0.427, 0.238, 0.278, -0.694, -1.042, -1.389};
    check_accelerations(it.course, accel_m_s2, sizeof accel_m_s2 / sizeof *accel_m_s2);
    done(it);
}
END_TEST

START_TEST(the_whole_european_cycle_has_its_published_figures)
{
    reading it = read_cycle("cycles/reference/nedc.yaml");
    double mean_km_h = figure(it.cycle, "mean_speed_km_h");
    const published whole = {"transportpolicy.net, NEDC; 10.9314 km and 33.35 km/h at "
                             "dieselnet.com/standards/cycles/ece_eudc.php differ",
                             READ_IN_SOURCE};
    check_value(&whole, figure(it.cycle, "duration_s"), ABSOLUTE, 1180, 0, "s", "duration");
    check_value(&whole, figure(it.cycle, "distance_km"), RELATIVE, 11.007, 0.003, "km", "distance");
    check_value(&whole, mean_km_h, RELATIVE, 33.6, 0.003, "km/h", "mean speed");
    check_value(&operations, it.course->length_m, RELATIVE, 11028.19, 1e-6, "m", "length");
    check_value(&operations, mean_km_h, RELATIVE, 33.645, 2e-5, "km/h", "mean speed");
    check_value(&operations, figure(it.cycle, "standing_s"), ABSOLUTE, 280, 0, "s", "idle time");
    check_value(&operations, figure(it.cycle, "standing_share"), ABSOLUTE, 0.2373, 5e-5, "1", "idle time, share");
    double at_s = 0.0;
    for (int i = 0; i < 4; i++)
        at_s = check_part(it.course, at_s, "cycles/reference/ece-15.yaml");
    ck_assert(check_part(it.course, at_s, "cycles/reference/eudc.yaml") == 1180.0);
    done(it);
}
END_TEST

typedef struct means { /* per metre of the cycle: v^3 dt, v dt and v a dt */
    double v3, v, va;
} means;

static means means_of(const evn_course *course, bool not_falling_only)
{
    means of = {0.0, 0.0, 0.0};
    for (size_t i = 0; i < course->plan_count; i++) {
        const evn_plan_stretch *it = &course->plan[i];
        if (not_falling_only && it->accel_m_s2 < 0.0)
            continue;
        double way_m = it->end_m - it->begin_m; /* v dt = ds; v^2 is straight over s */
        of.v3 += 0.5 * (it->v2_begin + it->v2_end) * way_m / course->length_m;
        of.v += way_m / course->length_m;
        of.va += it->accel_m_s2 * way_m / course->length_m;
    }
    return of;
}

START_TEST(the_european_cycle_has_the_means_of_a_textbook)
{
    const published book = {"Guzzella & Sciarretta, Vehicle Propulsion Systems, ch. 2", FROM_MEMORY};
    const struct row {
        const char *path, *name;
        double whole_v3, v3, v, va;                  /* the table of operations */
        double book_whole, book_v3, book_v, book_va; /* the book */
    } rows[] = {
        {"cycles/reference/nedc.yaml", "whole cycle", 362.017, 314.603, 0.854111, 0.111233, 363, 319, 0.856, 0.101},
        {"cycles/reference/ece-15.yaml", "urban", 100.517, 82.8722, 0.799373, 0.142033, 100, 82.9, 0.81, 0.126},
        {"cycles/reference/eudc.yaml", "extra-urban", 515.173, 450.324, 0.886171, 0.0931935, 515, 455, 0.88, 0.086},
    };
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        reading it = read_cycle(rows[i].path);
        means whole = means_of(it.course, false), pulling = means_of(it.course, true);
        const struct row *r = &rows[i];
        check_value(&operations, whole.v3, RELATIVE, r->whole_v3, 1e-5, "m2/s2", "v^3 dt per way, %s", r->name);
        check_value(&operations, pulling.v3, RELATIVE, r->v3, 1e-5, "m2/s2", "v^3 dt while pulling, %s", r->name);
        check_value(&operations, pulling.v, RELATIVE, r->v, 1e-5, "1", "v dt while pulling, %s", r->name);
        check_value(&operations, pulling.va, RELATIVE, r->va, 1e-5, "m/s2", "v a dt while pulling, %s", r->name);
        check_value(&book, whole.v3, RELATIVE, r->book_whole, 0.01, "m2/s2", "v^3 dt per way, %s", r->name);
        check_value(&book, pulling.v3, RELATIVE, r->book_v3, 0.02, "m2/s2", "v^3 dt while pulling, %s", r->name);
        check_value(&book, pulling.v, RELATIVE, r->book_v, 0.02, "1", "v dt while pulling, %s", r->name);
        check_value(&book, pulling.va, RELATIVE, r->book_va, 0.15, "m/s2", "v a dt while pulling, %s", r->name);
        done(it);
    }
}
END_TEST

/* ------------------------------------------------------------------------------------------------ bus cycles */

typedef struct trapeze {
    double limit_km_h, length_m, acceleration_m_s2, wait_s;
} trapeze;

static const published brochure = {"UITP SORT brochure (2004, 2014)", FROM_MEMORY};
static const published trapezes = {"T = sum(d/v + v/2a + v/2b) + stops, trapezes of the UITP SORT brochure",
                                   FROM_MEMORY};

/* Three trapezes, each from rest to rest, braking with 0.8 m/s2. */
static const struct bus_cycle {
    const char *path;
    trapeze part[3];
    double length_m, duration_s, mean_km_h, idle; /* from the trapezes */
    double published_km_h, published_idle;
} bus_cycles[] = {
    {"cycles/reference/sort-1.yaml",
     {{20, 100, 1.03, 20}, {30, 200, 0.77, 20}, {40, 220, 0.62, 20}},
     520,
     154.49,
     12.12,
     0.388,
     12.1,
     0.397},
    {"cycles/reference/sort-2.yaml",
     {{20, 100, 1.03, 20}, {40, 220, 0.62, 20}, {50, 600, 0.57, 20}},
     920,
     183.94,
     18.01,
     0.326,
     18.0,
     0.334},
    {"cycles/reference/sort-3.yaml",
     {{30, 200, 0.77, 20}, {50, 600, 0.57, 10}, {60, 650, 0.46, 10}},
     1450,
     206.22,
     25.31,
     0.194,
     25.3,
     0.201},
};

/* One trapeze as a course of its own: up, level, down, wait. */
static double trapeze_time_s(const trapeze *of)
{
    const double place_m[] = {0.0};
    evn_speed_file speed = {.place_m = {place_m, 1}, .limit_km_h = {&of->limit_km_h, 1}};
    evn_stops_file stops = {.place_m = {&of->length_m, 1}, .wait_s = {&of->wait_s, 1}};
    evn_cycle_file cycle = {.name = "t", .source = "UITP", .length_m = of->length_m, .speed = &speed, .stops = &stops};
    const evn_course_ask ask = {of->acceleration_m_s2, 0.8, (double)INFINITY};
    evn_course *course = prepare(&cycle, &ask);
    check_promises(course);
    ck_assert_uint_eq(course->plan_count, 3);
    double time_s = course->clock_end_s;
    evn_course_free(course);
    return time_s;
}

START_TEST(trapezes_over_limits_take_the_time_of_the_bus_cycles)
{
    for (size_t i = 0; i < 3; i++) {
        const struct bus_cycle *bus = &bus_cycles[i];
        double time_s = 0.0, wait_s = 0.0;
        for (size_t part = 0; part < 3; part++) {
            time_s += trapeze_time_s(&bus->part[part]);
            wait_s += bus->part[part].wait_s;
        }
        double mean_km_h = bus->length_m / time_s * 3.6;
        check_value(&trapezes, time_s, ABSOLUTE, bus->duration_s, 0.005, "s", "SORT %zu, duration", i + 1);
        check_value(&trapezes, mean_km_h, ABSOLUTE, bus->mean_km_h, 0.005, "km/h", "SORT %zu, mean speed", i + 1);
        check_value(&brochure, mean_km_h, RELATIVE, bus->published_km_h, 0.005, "km/h", "SORT %zu, mean speed", i + 1);
        check_value(&brochure, wait_s / time_s, ABSOLUTE, bus->published_idle, 0.01, "1", "SORT %zu, idle time, share",
                    i + 1);
    }
}
END_TEST

/* Up, level, down, and the wait after it: the stretches of one trapeze, which begins at a place. */
static void check_trapeze(const evn_course *course, size_t first, double begin_m, const trapeze *of)
{
    const evn_plan_stretch *it = &course->plan[first];
    bool last = first + 3 == course->plan_count;
    check_near(it[0].accel_m_s2, of->acceleration_m_s2, 1e-7);
    ck_assert_double_eq_tol(it[1].accel_m_s2, 0.0, 1e-9);
    check_near(it[2].accel_m_s2, -0.8, 1e-7);
    check_near(sqrt(it[1].v2_begin) / EVN_M_S_PER_KM_H, of->limit_km_h, 1e-9);
    ck_assert(it[0].v2_begin == 0.0 && it[2].v2_end == 0.0);
    ck_assert_double_eq_tol(it[2].end_m - begin_m, of->length_m, 1e-5);
    ck_assert_double_eq_tol(last ? course->final_wait_s : it[3].wait_s, of->wait_s, 1e-8);
}

START_TEST(the_bus_cycles_hold_their_trapezes_and_published_means)
{
    for (size_t i = 0; i < 3; i++) {
        const struct bus_cycle *bus = &bus_cycles[i];
        reading it = read_cycle(bus->path);
        ck_assert_uint_eq(it.course->plan_count, 9);
        double begin_m = 0.0;
        for (size_t part = 0; part < 3; part++) {
            check_trapeze(it.course, 3 * part, begin_m, &bus->part[part]);
            begin_m += bus->part[part].length_m;
        }
        double mean_km_h = figure(it.cycle, "mean_speed_km_h"), idle = figure(it.cycle, "standing_share");
        check_value(&trapezes, it.course->length_m, ABSOLUTE, bus->length_m, 1e-5, "m", "SORT %zu, length", i + 1);
        check_value(&trapezes, figure(it.cycle, "duration_s"), ABSOLUTE, bus->duration_s, 0.005, "s",
                    "SORT %zu, duration", i + 1);
        check_value(&trapezes, mean_km_h, ABSOLUTE, bus->mean_km_h, 0.005, "km/h", "SORT %zu, mean speed", i + 1);
        check_value(&trapezes, idle, ABSOLUTE, bus->idle, 0.0005, "1", "SORT %zu, idle time, share", i + 1);
        check_value(&brochure, mean_km_h, RELATIVE, bus->published_km_h, 0.005, "km/h", "SORT %zu, mean speed", i + 1);
        check_value(&brochure, idle, ABSOLUTE, bus->published_idle, 0.01, "1", "SORT %zu, idle time, share", i + 1);
        done(it);
    }
}
END_TEST

START_TEST(the_bus_cycles_accelerate_and_brake_as_their_brochure_is_quoted)
{
    const published quoted = {"UITP SORT brochure (2014) as the header of a public file quotes it (secondary)",
                              READ_IN_SOURCE};
    /* one trapeze for each speed; the first of its three stretches accelerates, the last brakes */
    const struct {
        size_t cycle, part;
        double km_h, acceleration_m_s2;
    } row[] = {{0, 0, 20, 1.03}, {0, 1, 30, 0.77}, {1, 1, 40, 0.62}, {1, 2, 50, 0.57}, {2, 2, 60, 0.46}};
    for (size_t i = 0; i < sizeof row / sizeof *row; i++) {
        reading it = read_cycle(bus_cycles[row[i].cycle].path);
        const evn_plan_stretch *up = &it.course->plan[3 * row[i].part];
        check_near(sqrt(up[0].v2_end) / EVN_M_S_PER_KM_H, row[i].km_h, 1e-9);
        check_value(&quoted, up[0].accel_m_s2, RELATIVE, row[i].acceleration_m_s2, 1e-7, "m/s2",
                    "acceleration to %g km/h", row[i].km_h);
        if (row[i].km_h == 60)
            check_value(&quoted, up[2].accel_m_s2, RELATIVE, -0.8, 1e-7, "m/s2", "braking from 60 km/h");
        done(it);
    }
}
END_TEST

/* ------------------------------------------------------------------------------------------------ transit coach */

static const published phases_of_j1376 = {"SAE J1376, transit coach duty cycle, phases", FROM_MEMORY};

/* Per stop: acceleration, cruise, braking and dwell in s, the way in ft, the top speed in mph. */
static const struct coach_phase {
    const char *path;
    int stops;
    double accelerate_s, cruise_s, brake_s, dwell_s, way_ft, top_mph;
    double phase_miles, phase_s; /* all stops */
} business = {"cycles/reference/j1376-cbd.yaml", 14, 10, 18.5, 4.5, 7, 755, 20, 2.00189, 560},
  arterial = {"cycles/reference/j1376-art.yaml", 4, 29, 22.5, 9, 7, 2640, 40, 2, 270},
  commuter = {"cycles/reference/j1376-com.yaml", 1, 90, 188, 12, 20, 21120, 55, 4, 310};

static void check_coach_stop(const evn_course *course, const struct coach_phase *of, int stop)
{
    double stop_s = of->accelerate_s + of->cruise_s + of->brake_s + of->dwell_s,
           top_m_s = of->top_mph * EVN_M_S_PER_MPH;
    double begin_s = stop * stop_s, at_top_s = begin_s + of->accelerate_s, until_s = at_top_s + of->cruise_s;
    double rest_s = until_s + of->brake_s;
    ck_assert_double_eq_tol(plan_speed_m_s(course, at_top_s), top_m_s, 1e-7);
    ck_assert_double_lt(plan_speed_m_s(course, at_top_s - 0.1), top_m_s - 1e-3);
    ck_assert_double_eq_tol(plan_speed_m_s(course, until_s), top_m_s, 1e-7);
    ck_assert_double_lt(plan_speed_m_s(course, until_s + 0.1), top_m_s - 1e-3);
    ck_assert_double_gt(plan_speed_m_s(course, rest_s - 0.1), 1e-3);
    ck_assert_double_eq_tol(plan_speed_m_s(course, rest_s + 1e-6), 0.0, 1e-12);
    ck_assert_double_eq_tol(plan_speed_m_s(course, begin_s + stop_s - 1e-6), 0.0, 1e-12);
    check_near(plan_place_m(course, rest_s + 1e-6), (stop + 1) * of->way_ft * 0.3048, 1e-5);
}

START_TEST(the_phases_of_the_transit_coach_cycle_have_their_stops)
{
    const published *from = &phases_of_j1376;
    const struct coach_phase *const phases[] = {&business, &arterial, &commuter};
    const char *const names[] = {"business", "arterial", "commuter"};
    for (size_t i = 0; i < 3; i++) {
        reading it = read_cycle(phases[i]->path);
        for (int stop = 0; stop < phases[i]->stops; stop++)
            check_coach_stop(it.course, phases[i], stop);
        const struct coach_phase *of = phases[i];
        const char *name = names[i];
        check_value(from, figure(it.cycle, "stops"), ABSOLUTE, of->stops, 0, "1", "%s, stops", name);
        check_value(from, figure(it.cycle, "duration_s"), RELATIVE, of->phase_s, 1e-9, "s", "%s, duration", name);
        check_value(from, it.course->length_m / M_PER_MILE, RELATIVE, of->phase_miles, 1e-5, "mile", "%s, length",
                    name);
        check_value(from, figure(it.cycle, "standing_s"), RELATIVE, of->stops * of->dwell_s, 1e-9, "s", "%s, idle time",
                    name);
        check_value(from, figure(it.cycle, "max_speed_km_h"), RELATIVE, of->top_mph * 1.609344, 1e-9, "km/h",
                    "%s, highest speed", name);
        done(it);
    }
}
END_TEST

START_TEST(the_transit_coach_cycle_has_its_published_order_and_totals)
{
    reading it = read_cycle("cycles/reference/j1376-transit.yaml");
    const char *const after_idling[] = {arterial.path, business.path, arterial.path, business.path, commuter.path};
    double at_s = check_part(it.course, 0.0, business.path);
    for (double idle_s = 0.0; idle_s <= 300.0; idle_s += 0.5)
        ck_assert(plan_speed_m_s(it.course, at_s + idle_s) == 0.0);
    at_s += 300.0;
    for (size_t i = 0; i < 5; i++)
        at_s = check_part(it.course, at_s, after_idling[i]);
    /* The mean of 28.9 km/h printed there is not that of this length and time, 28.66. */
    const published printed = {"dieselnet.com/standards/cycles/bac.php, transportpolicy.net", READ_IN_SOURCE};
    const published quotient = {"dieselnet.com/standards/cycles/bac.php: length over time, not the mean printed there",
                                RECOMPUTED};
    double distance_km = figure(it.cycle, "distance_km");
    check_value(&printed, at_s, RELATIVE, 2830, 1e-9, "s", "duration of the parts in their order");
    check_value(&printed, figure(it.cycle, "duration_s"), RELATIVE, 2830, 1e-9, "s", "duration");
    check_value(&printed, distance_km, RELATIVE, 22.53, 1e-3, "km", "distance");
    check_value(&printed, figure(it.cycle, "max_speed_km_h"), ABSOLUTE, 88.5, 0.05, "km/h", "highest speed");
    check_value(&quotient, figure(it.cycle, "mean_speed_km_h"), RELATIVE, 28.66, 1e-3, "km/h", "mean speed");
    check_value(&phases_of_j1376, distance_km / 1.609344, RELATIVE, 14.0, 1e-3, "mile", "distance");
    check_value(&phases_of_j1376, distance_km, RELATIVE, 22.53996, 1e-5, "km", "distance of the phases added up");
    check_value(&phases_of_j1376, figure(it.cycle, "stops"), ABSOLUTE, 51, 0, "1", "stops of the phases added up");
    done(it);
}
END_TEST

/* ------------------------------------------------------------------------------------------------ grade profile */

static const published profile = {"40 CFR 1037 App. D, text of 2021: grade times distance; its end by the mirror",
                                  RECOMPUTED};

/* Rise to a place, taken as tangent times way, from the stretches of the course. */
static double tangent_rise_m(const evn_course *course, double place_m)
{
    double rise_m = 0.0;
    for (size_t i = 0; i < course->road_count && course->road[i].begin_m < place_m; i++) {
        const evn_road_stretch *it = &course->road[i];
        double end_m = fmin(it->end_m, place_m);
        rise_m += 0.5 * (it->tangent_begin + tangent_of(it, end_m)) * (end_m - it->begin_m);
    }
    return rise_m;
}

/* The integral of the sine by Simpson's rule, straight from the rows of the file. */
static double sine_rise_m(const evn_sheet *table, double place_m)
{
    enum { STEPS = 20 };
    double rise_m = 0.0;
    for (size_t i = 0; i + 1 < table->rows && table->column[0][i] < place_m; i++) {
        double way_m = table->column[0][i + 1] - table->column[0][i], sum = 0.0;
        for (int step = 0; step <= STEPS; step++) {
            double weight = step == 0 || step == STEPS ? 1.0 : step % 2 == 1 ? 4.0 : 2.0;
            double grade = table->column[1][i] + (table->column[1][i + 1] - table->column[1][i]) * step / (double)STEPS;
            sum += weight * sin(atan(grade / 100.0));
        }
        rise_m += sum * way_m / (3.0 * (double)STEPS);
    }
    return rise_m;
}

START_TEST(the_heavy_duty_grade_profile_has_its_elevations)
{
    reading it = read_cycle("cycles/reference/cruise-55.yaml");
    const evn_sheet *table = it.cycle->road->table;
    ck_assert_str_eq(table->name[0], "distance_m");
    ck_assert_str_eq(table->name[1], "grade_percent");
    const double place_m[] = {1206, 5724, 8860, 10800, 21612}, elevation_m[] = {2.010, -15.744, 24.597, 21.246, 0.0};
    for (size_t i = 0; i < 5; i++) {
        check_value(&profile, tangent_rise_m(it.course, place_m[i]), ABSOLUTE, elevation_m[i], 5e-4, "m",
                    "elevation at %g m", place_m[i]);
        /* distance is measured on the road, so that the truck climbs the sine: up to 0.012 m less here */
        ck_assert_double_eq_tol(height_at(it.course, place_m[i]), sine_rise_m(table, place_m[i]), 1e-7);
        check_value(&profile, height_at(it.course, place_m[i]), ABSOLUTE, elevation_m[i], 0.012, "m",
                    "height of the road, by the sine, at %g m", place_m[i]);
    }
    done(it);
}
END_TEST

/*
 * The text of 2016 (there Appendix IV) lacks the rise at the start and end of the text of 2021: the first 1206 m are
 * level, all else lies 402 m nearer to the start, and the length is 804 m less.
 */
enum { PROFILE_MOST = 300 };
static size_t profile_of_2016(const evn_sheet *of_2021, double place_m[PROFILE_MOST], double grade[PROFILE_MOST])
{
    const double first_m = 1206.0, last_m = 21612.0 - 1206.0, shift_m = 402.0;
    size_t count = 0;
    place_m[count] = grade[count] = 0.0;
    count++;
    for (size_t i = 0; i < of_2021->rows; i++) {
        double at_m = of_2021->column[0][i];
        if (at_m > first_m && at_m < last_m) {
            ck_assert_uint_lt(count, PROFILE_MOST - 1);
            place_m[count] = at_m - shift_m;
            grade[count++] = of_2021->column[1][i];
        }
    }
    place_m[count] = 20808.0;
    grade[count++] = 0.0;
    return count;
}

START_TEST(the_heavy_duty_grade_profile_of_2016_has_its_elevations)
{
    reading it = read_cycle("cycles/reference/cruise-55.yaml");
    double rows_m[PROFILE_MOST], grade[PROFILE_MOST];
    size_t count = profile_of_2016(it.cycle->road->table, rows_m, grade);
    const evn_road_file road = {.place_m = {rows_m, count}, .grade_percent = {grade, count}};
    const evn_cycle_file cycle = {
        .name = "t", .source = "40 CFR 1037", .length_m = (double)NAN, .speed = it.cycle->speed, .road = &road};
    evn_course *course = prepare(&cycle, &no_top);
    check_promises(course);
    const published from = {"40 CFR 1037 App. IV, text of 2016: grade times distance; its end by the mirror",
                            RECOMPUTED};
    check_value(&from, course->length_m, ABSOLUTE, 20808, 0, "m", "length");
    const double place_m[] = {5322, 8458, 10398, 20808}, elevation_m[] = {-17.75, 22.59, 19.24, 0.0};
    for (size_t i = 0; i < 4; i++) {
        check_value(&from, tangent_rise_m(course, place_m[i]), ABSOLUTE, elevation_m[i], 0.01, "m", "elevation at %g m",
                    place_m[i]);
    }
    double climb_m = 0.0, descent_m = 0.0;
    for (size_t i = 0; i < course->road_count && course->road[i].begin_m < 10404.0; i++) {
        double end_m = fmin(course->road[i].end_m, 10404.0);
        double rise_m = tangent_rise_m(course, end_m) - tangent_rise_m(course, course->road[i].begin_m);
        climb_m += fmax(0.0, rise_m);
        descent_m += fmax(0.0, -rise_m);
    }
    check_value(&from, climb_m, ABSOLUTE, 57.49, 0.01, "m", "climb to the middle");
    check_value(&from, descent_m, ABSOLUTE, 38.26, 0.01, "m", "descent to the middle");
    evn_course_free(course);
    done(it);
}
END_TEST

START_TEST(the_heavy_duty_grade_profile_ends_at_the_height_of_its_start)
{
    /* antisymmetric about its middle, so that tangents and sines both cancel */
    reading it = read_cycle("cycles/reference/cruise-55.yaml");
    check_value(&profile, figure(it.cycle, "net_elevation_m"), ABSOLUTE, 0, 1e-9, "m", "net height");
    check_value(&profile, tangent_rise_m(it.course, 21612.0), ABSOLUTE, 0, 1e-9, "m", "elevation at the end");
    for (double way_m = 0.0; way_m <= 10806.0; way_m += 6.0) {
        double before_m = height_at(it.course, 10806.0 - way_m), after_m = height_at(it.course, 10806.0 + way_m);
        ck_assert_double_eq_tol(before_m, after_m, 1e-9);
    }
    done(it);
}
END_TEST

START_TEST(the_heavy_duty_grade_profile_climbs_as_much_as_it_falls)
{
    reading it = read_cycle("cycles/reference/cruise-65.yaml");
    double climb_m = 0.0, descent_m = 0.0;
    for (size_t i = 0; i < it.course->road_count; i++) { /* no stretch of this profile changes its sign within */
        const evn_road_stretch *road = &it.course->road[i];
        double rise_m = tangent_rise_m(it.course, road->end_m) - tangent_rise_m(it.course, road->begin_m);
        climb_m += fmax(0.0, rise_m);
        descent_m += fmax(0.0, -rise_m);
    }
    const published text = {"40 CFR 1037 App. D, text of 2021", READ_IN_SOURCE};
    check_value(&profile, climb_m, ABSOLUTE, 97.7614, 1e-4, "m", "climb");
    check_value(&profile, descent_m, ABSOLUTE, 97.7614, 1e-4, "m", "descent");
    check_value(&profile, figure(it.cycle, "climb_m"), ABSOLUTE, 97.7614, 0.025, "m", "climb, by the sine (97.7384)");
    ck_assert_double_eq_tol(figure(it.cycle, "climb_m"), figure(it.cycle, "descent_m"), 1e-9);
    check_value(&text, figure(it.cycle, "max_grade_percent"), ABSOLUTE, 5.01, 1e-12, "%", "steepest climb");
    check_value(&text, figure(it.cycle, "min_grade_percent"), ABSOLUTE, -5.01, 1e-12, "%", "steepest descent");
    check_value(&profile, it.course->length_m, ABSOLUTE, 21612, 0, "m", "length");
    done(it);
}
END_TEST

START_TEST(the_cruise_cycles_hold_55_and_65_miles_per_hour)
{
    const char *const paths[] = {"cycles/reference/cruise-55.yaml", "cycles/reference/cruise-65.yaml"};
    const double mph[] = {55.0, 65.0};
    const published from = {"40 CFR 1037.510(a), speed of the highway cruise cycles", READ_IN_SOURCE};
    for (size_t i = 0; i < 2; i++) {
        reading it = read_cycle(paths[i]);
        ck_assert_uint_eq(it.course->plan_count, 3);
        check_value(&from, sqrt(it.course->plan[1].v2_begin) / EVN_M_S_PER_MPH, ABSOLUTE, mph[i], 1e-12, "mph",
                    "cruise %g, speed", mph[i]);
        ck_assert(it.course->plan[1].accel_m_s2 == 0.0);
        done(it);
    }
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("cycles, published");
    TCase *tests = tcase_create("cycles");
    tcase_add_test(tests, the_urban_schedule_has_its_published_length_time_and_speeds);
    tcase_add_test(tests, the_urban_schedule_stands_at_259_of_its_1370_points);
    tcase_add_test(tests, the_first_trip_of_the_urban_schedule_has_its_own_figures);
    tcase_add_test(tests, the_first_trip_is_part_of_the_whole_schedule);
    tcase_add_test(tests, energy_demand_from_the_course_is_that_of_the_trace);
    tcase_add_test(tests, energy_demand_without_air_drag_is_a_sum_over_merged_stretches);
    tcase_add_test(tests, the_european_urban_part_has_its_published_figures);
    tcase_add_test(tests, the_operations_of_the_european_urban_part_take_their_printed_times);
    tcase_add_test(tests, the_european_extra_urban_part_has_its_published_figures);
    tcase_add_test(tests, the_whole_european_cycle_has_its_published_figures);
    tcase_add_test(tests, the_european_cycle_has_the_means_of_a_textbook);
    tcase_add_test(tests, trapezes_over_limits_take_the_time_of_the_bus_cycles);
    tcase_add_test(tests, the_bus_cycles_hold_their_trapezes_and_published_means);
    tcase_add_test(tests, the_bus_cycles_accelerate_and_brake_as_their_brochure_is_quoted);
    tcase_add_test(tests, the_phases_of_the_transit_coach_cycle_have_their_stops);
    tcase_add_test(tests, the_transit_coach_cycle_has_its_published_order_and_totals);
    tcase_add_test(tests, the_heavy_duty_grade_profile_has_its_elevations);
    tcase_add_test(tests, the_heavy_duty_grade_profile_of_2016_has_its_elevations);
    tcase_add_test(tests, the_heavy_duty_grade_profile_ends_at_the_height_of_its_start);
    tcase_add_test(tests, the_heavy_duty_grade_profile_climbs_as_much_as_it_falls);
    tcase_add_test(tests, the_cruise_cycles_hold_55_and_65_miles_per_hour);
    suite_add_tcase(suite, tests);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_NORMAL);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
