/* Finds the columns of a cycle and brings them to SI. */
#include "cycle/resolve.h"
#include "core/units.h"
#include <math.h>
#include <string.h>

const char *const evn_column_names[] = {"time_s",     "speed_km_h", "speed_mph",     "speed_m_s",  "place_m",
                                        "distance_m", "limit_km_h", "grade_percent", "elevation_m"};
const size_t evn_column_names_count = sizeof evn_column_names / sizeof evn_column_names[0];

static const double column_factors[] = {
    1.0, EVN_M_S_PER_KM_H, EVN_M_S_PER_MPH, 1.0, 1.0, 1.0, EVN_M_S_PER_KM_H, 0.01, 1.0,
};
_Static_assert(sizeof column_factors / sizeof column_factors[0] == sizeof evn_column_names / sizeof evn_column_names[0],
               "one factor for each column");

double evn_column_factor(const char *name)
{
    for (size_t i = 0; i < evn_column_names_count; i++)
        if (strcmp(name, evn_column_names[i]) == 0)
            return column_factors[i];
    return 0.0;
}

evn_column evn_table_column(const evn_sheet *table, const char *name)
{
    for (size_t i = 0; i < table->columns; i++)
        if (strcmp(table->name[i], name) == 0)
            return (evn_column){name, table->column[i], table->rows, evn_column_factor(name)};
    return (evn_column){name, NULL, 0, evn_column_factor(name)};
}

static evn_column list_column(const evn_list *list, const char *key)
{
    return (evn_column){key, list->at, list->count, evn_column_factor(key)};
}

/* The one that is written; of two, neither: the file says two things. */
static evn_column only_one(evn_column a, evn_column b)
{
    if (a.count > 0 && b.count > 0) {
        a.count = 0;
        return a;
    }
    return b.count > 0 ? b : a;
}

static bool is_pair(const evn_column *axis, const evn_column *value, size_t least)
{
    return axis->count >= least && axis->count == value->count;
}

static evn_speed_view choose(evn_column time, evn_column place, evn_column speed, evn_column limit)
{
    bool trace = is_pair(&time, &speed, 2), limits = is_pair(&place, &limit, 1);
    if (trace && limit.count == 0)
        return (evn_speed_view){EVN_FORM_TRACE, time, speed};
    if (limits && speed.count == 0)
        return (evn_speed_view){EVN_FORM_LIMITS, place, limit};
    return (evn_speed_view){EVN_FORM_UNCLEAR, time, speed};
}

evn_speed_view evn_speed_view_of(const evn_speed_file *file)
{
    if (!file)
        return (evn_speed_view){.form = EVN_FORM_UNCLEAR};
    if (!file->table) {
        return choose(
            list_column(&file->time_s, "time_s"), list_column(&file->place_m, "place_m"),
            only_one(list_column(&file->speed_km_h, "speed_km_h"), list_column(&file->speed_mph, "speed_mph")),
            list_column(&file->limit_km_h, "limit_km_h"));
    }
    const evn_sheet *table = file->table;
    evn_column written = only_one(evn_table_column(table, "speed_km_h"), evn_table_column(table, "speed_mph"));
    return choose(evn_table_column(table, "time_s"),
                  only_one(evn_table_column(table, "place_m"), evn_table_column(table, "distance_m")),
                  only_one(written, evn_table_column(table, "speed_m_s")), evn_table_column(table, "limit_km_h"));
}

evn_road_view evn_road_view_of(const evn_road_file *file)
{
    evn_road_view view = {.form = EVN_ROAD_UNCLEAR};
    if (!file)
        return view;
    evn_column grade, elevation;
    if (file->table) {
        view.axis = only_one(evn_table_column(file->table, "place_m"), evn_table_column(file->table, "distance_m"));
        grade = evn_table_column(file->table, "grade_percent");
        elevation = evn_table_column(file->table, "elevation_m");
    } else {
        view.axis = list_column(&file->place_m, "place_m");
        grade = list_column(&file->grade_percent, "grade_percent");
        elevation = list_column(&file->elevation_m, "elevation_m");
    }
    view.value = only_one(grade, elevation);
    view.repeat = file->repeat;
    view.grade_factor = file->grade_factor > 0 ? file->grade_factor : 1; /* roads made in memory state none */
    if (is_pair(&view.axis, &view.value, 2))
        view.form = elevation.count > 0 ? EVN_ROAD_ELEVATION : EVN_ROAD_GRADE;
    return view;
}

double evn_trace_time_s(const evn_speed_view *view, size_t i) { return view->axis.at[i] - view->axis.at[0]; }

double evn_trace_speed_m_s(const evn_speed_view *view, size_t i)
{
    double speed_m_s = view->speed.at[i] * view->speed.factor;
    return speed_m_s < EVN_REST_BELOW_M_S ? 0.0 : speed_m_s;
}

double evn_trace_step_m(const evn_speed_view *view, size_t i)
{
    double mean_m_s = 0.5 * (evn_trace_speed_m_s(view, i) + evn_trace_speed_m_s(view, i + 1));
    return mean_m_s * (evn_trace_time_s(view, i + 1) - evn_trace_time_s(view, i));
}

double evn_limit_m_s(const evn_speed_view *view, size_t i) { return view->speed.at[i] * view->speed.factor; }

/* Places count along the road, so that rise over way is the sine of the slope angle. */
static double elevation_tangent(const evn_road_view *view, size_t i)
{
    double way_m = view->axis.at[i + 1] - view->axis.at[i];
    double rise_m = view->value.at[i + 1] - view->value.at[i];
    return rise_m / sqrt((way_m - rise_m) * (way_m + rise_m));
}

double evn_road_tangent_begin(const evn_road_view *view, size_t i)
{
    double tangent =
        view->form == EVN_ROAD_ELEVATION ? elevation_tangent(view, i) : view->value.at[i] * view->value.factor;
    return view->grade_factor * tangent;
}

double evn_road_tangent_end(const evn_road_view *view, size_t i)
{
    double tangent =
        view->form == EVN_ROAD_ELEVATION ? elevation_tangent(view, i) : view->value.at[i + 1] * view->value.factor;
    return view->grade_factor * tangent;
}

static double trace_length_m(const evn_speed_view *view)
{
    double length_m = 0.0;
    for (size_t i = 0; i + 1 < view->axis.count; i++)
        length_m += evn_trace_step_m(view, i);
    return length_m;
}

double evn_cycle_length_m(const evn_cycle_file *cycle)
{
    evn_speed_view speed = evn_speed_view_of(cycle->speed);
    if (speed.form == EVN_FORM_TRACE)
        return trace_length_m(&speed);
    if (speed.form == EVN_FORM_UNCLEAR)
        return 0.0;
    if (!isnan(cycle->length_m))
        return cycle->length_m;
    evn_road_view road = evn_road_view_of(cycle->road);
    double speed_end_m = speed.axis.at[speed.axis.count - 1];
    return road.form == EVN_ROAD_UNCLEAR ? speed_end_m : fmax(speed_end_m, road.axis.at[road.axis.count - 1]);
}
