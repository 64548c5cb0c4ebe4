/* The road and the speeds of a cycle over place, as written: no truck has driven it yet. */
#include "chart/chart.h"
#include "core/units.h"
#include "cycle/course.h"
#include "cycle/resolve.h"
#include <math.h>

/* Pieces of road whose grade changes are shown in parts of about this length, for the height is curved there. */
#define PART_M 25.0
/* The same for speeds over time, m/s. */
#define TRACE_PART_M_S 0.5
enum { PARTS_MOST = 40 };

/* A course that no truck's top speed cuts. */
static evn_course *plain_course(const evn_cycle_file *cycle, evn_report *report)
{
    evn_conditions ask = evn_conditions_default();
    evn_course_ask how = {ask.driving.comfort_acceleration_m_s2, ask.driving.comfort_braking_m_s2, (double)INFINITY};
    return evn_course_prepare(cycle, &how, report);
}

static void add_road_row(evn_chart *chart, const evn_road_stretch *road, double place_m)
{
    double *row = evn_chart_add_row(chart);
    if (!row)
        return;
    row[0] = place_m;
    row[1] = evn_road_height_m(road, place_m);
    row[2] = 100 * (road->tangent_begin + road->tangent_slope * (place_m - road->begin_m));
    row[3] = road->rolling_factor;
}

static void add_stretch(evn_chart *chart, const evn_road_stretch *road)
{
    double length = road->end_m - road->begin_m;
    int parts = road->tangent_slope != 0 ? (int)fmin(ceil(length / PART_M), PARTS_MOST) : 1;
    for (int k = 0; k < parts; k++)
        add_road_row(chart, road, road->begin_m + length * k / parts);
    add_road_row(chart, road, road->end_m);
}

evn_status evn_chart_road(const evn_cycle_file *cycle, evn_chart **out, evn_report *report)
{
    evn_course *course = plain_course(cycle, report);
    evn_chart *chart = course ? evn_chart_begin(4, report) : NULL;
    if (!chart) {
        evn_course_free(course);
        return EVN_NO_RESULT;
    }
    evn_chart_add_column(chart, "place_m", "m", "distance along the route", "from the start", 1);
    evn_chart_add_column(chart, "elevation_m", "m", "elevation", "elevation above the start", 2);
    evn_chart_add_column(chart, "grade_percent", "%", "grade", "tangent of the slope angle, above zero uphill", 2);
    evn_chart_add_column(chart, "rolling_factor", "", "rolling resistance factor",
                         "of the surface, on the rolling resistance", 2);
    for (size_t k = 0; k < course->road_count; k++)
        add_stretch(chart, &course->road[k]);
    evn_course_free(course);
    return evn_chart_done(chart, out, report);
}

static void add_speed(evn_chart *chart, double place_m, double speed_m_s)
{
    double *row = evn_chart_add_row(chart);
    if (!row)
        return;
    row[0] = place_m;
    row[1] = speed_m_s / EVN_M_S_PER_KM_H;
}

static void add_limits(evn_chart *chart, const evn_speed_view *view, double length_m)
{
    for (size_t k = 0; k < view->axis.count && view->axis.at[k] < length_m; k++) {
        bool last = k + 1 == view->axis.count;
        add_speed(chart, view->axis.at[k], evn_limit_m_s(view, k));
        add_speed(chart, last ? length_m : fmin(view->axis.at[k + 1], length_m), evn_limit_m_s(view, k));
    }
}

/* Straight over time, so curved over place: shown in parts of equal time. */
static void add_trace(evn_chart *chart, const evn_speed_view *view)
{
    double place_m = 0;
    for (size_t k = 0; k + 1 < view->axis.count; k++) {
        double begin = evn_trace_speed_m_s(view, k), change = evn_trace_speed_m_s(view, k + 1) - begin;
        double seconds = evn_trace_time_s(view, k + 1) - evn_trace_time_s(view, k);
        int parts = fabs(change) > TRACE_PART_M_S ? (int)fmin(ceil(fabs(change) / TRACE_PART_M_S), PARTS_MOST) : 1;
        for (int i = 0; i < parts; i++) {
            double share = (double)i / parts;
            add_speed(chart, place_m + seconds * share * (begin + 0.5 * share * change), begin + share * change);
        }
        place_m += evn_trace_step_m(view, k);
    }
    add_speed(chart, place_m, evn_trace_speed_m_s(view, view->axis.count - 1));
}

evn_status evn_chart_limits(const evn_cycle_file *cycle, evn_chart **out, evn_report *report)
{
    evn_speed_view view = evn_speed_view_of(cycle->speed);
    evn_chart *chart = evn_chart_begin(2, report);
    if (!chart)
        return EVN_NO_RESULT;
    evn_chart_add_column(chart, "place_m", "m", "distance along the route", "from the start", 1);
    evn_chart_add_column(chart, "limit_km_h", "km/h", "speed limit", "speed as the cycle has it", 2);
    if (view.form == EVN_FORM_LIMITS)
        add_limits(chart, &view, evn_cycle_length_m(cycle));
    else if (view.form == EVN_FORM_TRACE)
        add_trace(chart, &view);
    return evn_chart_done(chart, out, report);
}

evn_status evn_chart_stops(const evn_cycle_file *cycle, evn_chart **out, evn_report *report)
{
    evn_course *course = plain_course(cycle, report);
    evn_chart *chart = course ? evn_chart_begin(2, report) : NULL;
    if (!chart) {
        evn_course_free(course);
        return EVN_NO_RESULT;
    }
    evn_chart_add_column(chart, "place_m", "m", "distance along the route", "from the start", 1);
    evn_chart_add_column(chart, "wait_s", "s", "stop", "time at rest there", 1);
    for (size_t k = 1; k < course->plan_count; k++) {
        double *row = course->plan[k].v2_begin <= 0 ? evn_chart_add_row(chart) : NULL;
        if (!row)
            continue;
        row[0] = course->plan[k].begin_m;
        row[1] = course->plan[k].wait_s;
    }
    evn_course_free(course);
    return evn_chart_done(chart, out, report);
}
