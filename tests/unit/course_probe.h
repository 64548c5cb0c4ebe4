/* What the tests of cycles share: cycles from arrays, a seeded row of random numbers, and the promises of a course. */
#ifndef EVENER_TESTS_COURSE_PROBE_H
#define EVENER_TESTS_COURSE_PROBE_H
#include "cycle/course.h"
#include <check.h>
#include <math.h>
#include <stdint.h>

#define LIST(...) {(const double[]){__VA_ARGS__}, sizeof((const double[]){__VA_ARGS__}) / sizeof(double)}

static const evn_course_ask no_top = {0.8, 1.0, (double)INFINITY};

static inline evn_cycle_file cycle_of(const evn_speed_file *speed)
{
    return (evn_cycle_file){.name = "test", .invented = true, .length_m = (double)NAN, .speed = speed};
}

/* ------------------------------------------------------------------------------------------------ random numbers */

typedef struct dice {
    uint64_t state; /* not 0 */
} dice;

static inline double roll(dice *with, double low, double high)
{
    with->state ^= with->state << 13;
    with->state ^= with->state >> 7;
    with->state ^= with->state << 17;
    return low + (high - low) * ((double)(with->state >> 11) / 9007199254740992.0);
}

static inline size_t roll_count(dice *with, size_t least, size_t most)
{
    return least + (size_t)roll(with, 0.0, (double)(most - least) + 0.999999);
}

/* ------------------------------------------------------------------------------------------------ preparing */

static inline evn_course *prepare(const evn_cycle_file *cycle, const evn_course_ask *ask)
{
    evn_report *report = evn_report_new();
    ck_assert_ptr_nonnull(report);
    evn_course *course = evn_course_prepare(cycle, ask, report);
    evn_finding finding = {.text = ""};
    evn_report_at(report, 0, &finding);
    ck_assert_msg(course && evn_report_count(report) == 0, "%s", finding.text);
    evn_report_free(report);
    return course;
}

/* The course must be refused, for this reason only. */
static inline void refuse(const evn_cycle_file *cycle, const evn_course_ask *ask, const char *fault)
{
    evn_report *report = evn_report_new();
    ck_assert_ptr_nonnull(report);
    ck_assert_ptr_null(evn_course_prepare(cycle, ask, report));
    evn_finding finding;
    ck_assert_uint_eq(evn_report_count(report), 1);
    ck_assert(evn_report_at(report, 0, &finding));
    ck_assert_str_eq(finding.fault, fault);
    evn_report_free(report);
}

/* ------------------------------------------------------------------------------------------------ promises */

static inline double stretch_time_s(const evn_plan_stretch *of, bool asked)
{
    double begin = asked ? of->asked_v2_begin : of->v2_begin, end = asked ? of->asked_v2_end : of->v2_end;
    return 2.0 * (of->end_m - of->begin_m) / (sqrt(begin) + sqrt(end));
}

static inline void check_plan_stretch(const evn_course *course, size_t i)
{
    const evn_plan_stretch *it = &course->plan[i];
    double begin_m = i == 0 ? 0.0 : course->plan[i - 1].end_m;
    double v2_begin = i == 0 ? it->v2_begin : course->plan[i - 1].v2_end;
    double asked_begin = i == 0 ? it->asked_v2_begin : course->plan[i - 1].asked_v2_end;
    ck_assert(it->begin_m == begin_m && it->end_m > it->begin_m);
    ck_assert(it->v2_begin == v2_begin && it->asked_v2_begin == asked_begin);
    ck_assert(it->v2_begin >= 0.0 && it->v2_end >= 0.0 && it->v2_begin + it->v2_end > 0.0);
    ck_assert(!signbit(it->v2_begin) && !signbit(it->v2_end));
    ck_assert(it->asked_v2_begin >= it->v2_begin && it->asked_v2_end >= it->v2_end);
    ck_assert(it->accel_m_s2 == (it->v2_end - it->v2_begin) / (2.0 * (it->end_m - it->begin_m)));
    ck_assert(it->wait_s >= 0.0 && (it->wait_s == 0.0 || it->v2_begin == 0.0));
}

static inline void check_road_stretch(const evn_course *course, size_t i)
{
    const evn_road_stretch *it = &course->road[i];
    double begin_m = i == 0 ? 0.0 : course->road[i - 1].end_m;
    ck_assert(it->begin_m == begin_m && it->end_m > it->begin_m);
    ck_assert(isfinite(it->tangent_begin) && isfinite(it->tangent_slope) && it->rolling_factor > 0.0);
    double height_m = i == 0 ? 0.0 : evn_road_height_m(&course->road[i - 1], begin_m);
    ck_assert_double_eq_tol(it->height_begin_m, height_m, 1e-9);
    ck_assert_double_eq_tol(evn_road_height_m(it, it->begin_m), it->height_begin_m, 1e-12);
}

/* Everything the header promises of any course. */
static inline void check_promises(const evn_course *course)
{
    ck_assert_uint_ge(course->plan_count, 1);
    ck_assert_uint_ge(course->road_count, 1);
    ck_assert(course->clock_begin_s == 0.0);
    double clock_s = 0.0;
    for (size_t i = 0; i < course->plan_count; i++) {
        check_plan_stretch(course, i);
        clock_s += course->plan[i].wait_s;
        ck_assert_double_eq_tol(course->plan[i].clock_s, clock_s, 1e-9 * (1.0 + clock_s));
        clock_s += stretch_time_s(&course->plan[i], true);
    }
    ck_assert_double_eq_tol(course->clock_end_s, clock_s + course->final_wait_s, 1e-9 * (1.0 + clock_s));
    for (size_t i = 0; i < course->road_count; i++)
        check_road_stretch(course, i);
    ck_assert(course->plan[course->plan_count - 1].end_m == course->length_m);
    ck_assert(course->road[course->road_count - 1].end_m == course->length_m);
    ck_assert((course->trace_count == 0) == (course->trace_time_s == NULL));
}

/* ------------------------------------------------------------------------------------------------ reading a course */

/* Speed that the plan asks for when the cycle's clock shows this. */
static inline double plan_speed_m_s(const evn_course *course, double clock_s)
{
    for (size_t i = course->plan_count; i-- > 0;) {
        const evn_plan_stretch *it = &course->plan[i];
        if (clock_s >= it->clock_s) {
            double begin = sqrt(it->asked_v2_begin), end = sqrt(it->asked_v2_end);
            double share = (clock_s - it->clock_s) / stretch_time_s(it, true);
            return share <= 1.0 ? begin + (end - begin) * share : end;
        }
    }
    return sqrt(course->plan[0].asked_v2_begin);
}

/* Place that the plan has reached when the cycle's clock shows this. */
static inline double plan_place_m(const evn_course *course, double clock_s)
{
    for (size_t i = course->plan_count; i-- > 0;) {
        const evn_plan_stretch *it = &course->plan[i];
        if (clock_s >= it->clock_s) {
            double time_s = clock_s - it->clock_s, begin = sqrt(it->asked_v2_begin);
            double accel = (it->asked_v2_end - it->asked_v2_begin) / (2.0 * (it->end_m - it->begin_m));
            bool inside = time_s <= stretch_time_s(it, true);
            return inside ? it->begin_m + time_s * (begin + 0.5 * accel * time_s) : it->end_m;
        }
    }
    return 0.0;
}

static inline const evn_plan_stretch *plan_at(const evn_course *course, double place_m)
{
    size_t i = 0;
    while (i + 1 < course->plan_count && place_m > course->plan[i].end_m)
        i++;
    return &course->plan[i];
}

static inline double plan_v2(const evn_course *course, double place_m)
{
    const evn_plan_stretch *it = plan_at(course, place_m);
    return it->v2_begin + 2.0 * it->accel_m_s2 * (place_m - it->begin_m);
}

static inline const evn_road_stretch *road_at(const evn_course *course, double place_m)
{
    size_t i = 0;
    while (i + 1 < course->road_count && place_m > course->road[i].end_m)
        i++;
    return &course->road[i];
}

static inline double tangent_of(const evn_road_stretch *it, double place_m)
{
    return it->tangent_begin + it->tangent_slope * (place_m - it->begin_m);
}

static inline double height_at(const evn_course *course, double place_m)
{
    return evn_road_height_m(road_at(course, place_m), place_m);
}

#endif
