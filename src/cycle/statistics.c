/* Figures of a cycle as it is written. Exact for straight lines; what depends on how a truck drives is not a number. */
#include "core/units.h"
#include "cycle/resolve.h"
#include "cycle/road.h"
#include <math.h>

#define NOT_SAID ((double)NAN) /* limits do not say how fast they are driven */

/* ------------------------------------------------------------------------------------------------ speed */

typedef struct pace { /* sums over a trace */
    double distance_m, duration_s, standing_s, most_m_s, acceleration, braking, positive_kinetic_j_kg, rests;
} pace;

static void add_interval(pace *to, const evn_speed_view *view, size_t i)
{
    double begin = evn_trace_speed_m_s(view, i), end = evn_trace_speed_m_s(view, i + 1);
    double time_s = evn_trace_time_s(view, i + 1) - evn_trace_time_s(view, i);
    double change = (end - begin) / time_s;
    to->distance_m += evn_trace_step_m(view, i);
    to->standing_s += begin == 0.0 && end == 0.0 ? time_s : 0.0;
    to->most_m_s = fmax(to->most_m_s, fmax(begin, end));
    to->acceleration = fmax(to->acceleration, change);
    to->braking = fmax(to->braking, -change);
    to->positive_kinetic_j_kg += fmax(0.0, 0.5 * (end - begin) * (end + begin));
    to->rests += begin > 0.0 && end == 0.0 ? 1.0 : 0.0;
}

/* False, and nothing to be said, unless the cycle is a trace. */
static bool pace_of(const evn_cycle_file *cycle, pace *out)
{
    evn_speed_view view = evn_speed_view_of(cycle->speed);
    *out = (pace){0};
    if (view.form != EVN_FORM_TRACE)
        return false;
    for (size_t i = 0; i + 1 < view.axis.count; i++)
        add_interval(out, &view, i);
    out->duration_s = evn_trace_time_s(&view, view.axis.count - 1);
    return true;
}

static double distance_km(const evn_cycle_file *cycle) { return evn_cycle_length_m(cycle) / 1000.0; }

static double duration_s(const evn_cycle_file *cycle)
{
    pace of;
    return pace_of(cycle, &of) ? of.duration_s : NOT_SAID;
}

static double mean_speed_km_h(const evn_cycle_file *cycle)
{
    pace of;
    return pace_of(cycle, &of) ? of.distance_m / of.duration_s / EVN_M_S_PER_KM_H : NOT_SAID;
}

static double running_mean_speed_km_h(const evn_cycle_file *cycle)
{
    pace of;
    return pace_of(cycle, &of) ? of.distance_m / (of.duration_s - of.standing_s) / EVN_M_S_PER_KM_H : NOT_SAID;
}

static double standing_s(const evn_cycle_file *cycle)
{
    pace of;
    if (pace_of(cycle, &of))
        return of.standing_s;
    double wait_s = 0.0;
    for (size_t i = 0; cycle->stops && i < cycle->stops->wait_s.count; i++)
        wait_s += cycle->stops->wait_s.at[i];
    return wait_s;
}

static double standing_share(const evn_cycle_file *cycle)
{
    pace of;
    return pace_of(cycle, &of) ? of.standing_s / of.duration_s : NOT_SAID;
}

/* Limits end at rest, and rest at every stop between the ends. */
static double stops_of_limits(const evn_cycle_file *cycle)
{
    double length_m = evn_cycle_length_m(cycle), count = 1.0;
    for (size_t i = 0; cycle->stops && i < cycle->stops->place_m.count; i++) {
        double place_m = cycle->stops->place_m.at[i];
        count += place_m > 0.0 && place_m < length_m ? 1.0 : 0.0;
    }
    return count;
}

static double stops(const evn_cycle_file *cycle)
{
    pace of;
    return pace_of(cycle, &of) ? of.rests : stops_of_limits(cycle);
}

static double max_acceleration_m_s2(const evn_cycle_file *cycle)
{
    pace of;
    return pace_of(cycle, &of) ? of.acceleration : NOT_SAID;
}

static double max_braking_m_s2(const evn_cycle_file *cycle)
{
    pace of;
    return pace_of(cycle, &of) ? of.braking : NOT_SAID;
}

static double positive_kinetic_j_kg(const evn_cycle_file *cycle)
{
    pace of;
    return pace_of(cycle, &of) ? of.positive_kinetic_j_kg : NOT_SAID;
}

static double relative_positive_acceleration_m_s2(const evn_cycle_file *cycle)
{
    pace of;
    return pace_of(cycle, &of) ? of.positive_kinetic_j_kg / of.distance_m : NOT_SAID;
}

/* ------------------------------------------------------------------------------------------------ limits */

typedef struct reach { /* sums over the limits inside the course */
    double time_s, way_m, most_m_s;
} reach;

static bool reach_of(const evn_cycle_file *cycle, reach *out)
{
    evn_speed_view view = evn_speed_view_of(cycle->speed);
    double length_m = evn_cycle_length_m(cycle);
    *out = (reach){0};
    if (view.form != EVN_FORM_LIMITS)
        return false;
    for (size_t i = 0; i < view.axis.count && view.axis.at[i] < length_m; i++) {
        double end_m = i + 1 < view.axis.count ? fmin(view.axis.at[i + 1], length_m) : length_m;
        double limit_m_s = evn_limit_m_s(&view, i), way_m = end_m - view.axis.at[i];
        out->way_m += way_m;
        out->time_s += way_m / limit_m_s;
        out->most_m_s = fmax(out->most_m_s, limit_m_s);
    }
    return out->way_m > 0.0;
}

static double max_speed_km_h(const evn_cycle_file *cycle)
{
    pace of;
    reach limits;
    if (pace_of(cycle, &of))
        return of.most_m_s / EVN_M_S_PER_KM_H;
    return reach_of(cycle, &limits) ? limits.most_m_s / EVN_M_S_PER_KM_H : NOT_SAID;
}

static double mean_limit_km_h(const evn_cycle_file *cycle)
{
    reach limits;
    return reach_of(cycle, &limits) ? limits.way_m / limits.time_s / EVN_M_S_PER_KM_H : NOT_SAID;
}

/* ------------------------------------------------------------------------------------------------ road */

typedef struct relief { /* sums over the road inside the course */
    double climb_m, descent_m, most, least;
} relief;

static void add_rise(relief *to, const evn_road_piece *piece)
{
    double rise_m = evn_road_piece_rise_m(piece);
    to->climb_m += fmax(0.0, rise_m);
    to->descent_m += fmax(0.0, -rise_m);
    to->most = fmax(to->most, fmax(piece->tangent_begin, piece->tangent_end));
    to->least = fmin(to->least, fmin(piece->tangent_begin, piece->tangent_end));
}

static void add_piece(relief *to, const evn_road_piece *piece)
{
    double begin = piece->tangent_begin, end = piece->tangent_end;
    if (fmin(begin, end) >= 0.0 || fmax(begin, end) <= 0.0) {
        add_rise(to, piece);
        return;
    }
    double level_m = piece->begin_m + (piece->end_m - piece->begin_m) * (begin / (begin - end));
    evn_road_piece first = {piece->begin_m, level_m, begin, 0.0}, second = {level_m, piece->end_m, 0.0, end};
    add_rise(to, &first);
    add_rise(to, &second);
}

static relief relief_of(const evn_cycle_file *cycle)
{
    evn_road_walk walk = evn_road_walk_start(cycle->road, evn_cycle_length_m(cycle));
    evn_road_piece piece;
    relief of = {0.0, 0.0, -(double)INFINITY, (double)INFINITY};
    while (evn_road_walk_next(&walk, &piece))
        add_piece(&of, &piece);
    return of;
}

static double climb_m(const evn_cycle_file *cycle) { return relief_of(cycle).climb_m; }

static double descent_m(const evn_cycle_file *cycle) { return relief_of(cycle).descent_m; }

static double net_elevation_m(const evn_cycle_file *cycle)
{
    relief of = relief_of(cycle);
    return of.climb_m - of.descent_m;
}

static double max_grade_percent(const evn_cycle_file *cycle) { return 100.0 * relief_of(cycle).most; }

static double min_grade_percent(const evn_cycle_file *cycle) { return 100.0 * relief_of(cycle).least; }

/* ------------------------------------------------------------------------------------------------ table */

const evn_cycle_figure_row evn_cycle_figures[] = {
    {{"distance_km", "km", "length of the course", EVN_REAL, 3, "distance", "distance"}, distance_km},
    {{"duration_s", "s", "from the first point of the trace to the last; limits do not say one", EVN_REAL, 1,
      "duration", "duration"},
     duration_s},
    {{"mean_speed_km_h", "km/h", "distance over duration", EVN_REAL, 2, "mean speed", "mean speed"}, mean_speed_km_h},
    {{"running_mean_speed_km_h", "km/h", "distance over the time in motion", EVN_REAL, 2, "mean speed without stops",
      "running speed"},
     running_mean_speed_km_h},
    {{"max_speed_km_h", "km/h", "highest speed of the trace, or highest limit", EVN_REAL, 2, "maximum speed",
      "max. speed"},
     max_speed_km_h},
    {{"mean_limit_km_h", "km/h", "distance over the time it takes at the limits; only for limits", EVN_REAL, 2,
      "mean speed at the limits", "mean limit"},
     mean_limit_km_h},
    {{"standing_s", "s", "time at rest", EVN_REAL, 1, "time at standstill", "at standstill"}, standing_s},
    {{"standing_share", "", "time at rest over duration", EVN_SHARE, 1, "share of time at standstill",
      "share at standstill"},
     standing_share},
    {{"stops", "", "how often it comes to rest, the end included where it ends at rest", EVN_WHOLE, 0, "stops",
      "stops"},
     stops},
    {{"max_acceleration_m_s2", "m/s2", "hardest acceleration of the trace", EVN_REAL, 3, "maximum acceleration",
      "max. acceleration"},
     max_acceleration_m_s2},
    {{"max_braking_m_s2", "m/s2", "hardest braking of the trace, a positive number", EVN_REAL, 3,
      "maximum deceleration", "max. deceleration"},
     max_braking_m_s2},
    {{"positive_kinetic_j_kg", "J/kg", "kinetic energy per kilogram put in by all accelerations", EVN_REAL, 1,
      "positive kinetic energy", "kinetic energy"},
     positive_kinetic_j_kg},
    {{"relative_positive_acceleration_m_s2", "m/s2", "the same over the distance", EVN_REAL, 4,
      "relative positive acceleration", "rel. pos. accel."},
     relative_positive_acceleration_m_s2},
    {{"climb_m", "m", "sum of all rises", EVN_REAL, 2, "total climb", "climb"}, climb_m},
    {{"descent_m", "m", "sum of all falls", EVN_REAL, 2, "total descent", "descent"}, descent_m},
    {{"net_elevation_m", "m", "elevation of the end above the start", EVN_REAL, 2, "net elevation gain",
      "elevation gain"},
     net_elevation_m},
    {{"max_grade_percent", "%", "steepest climb, tangent of the slope angle times 100", EVN_REAL, 2, "maximum grade",
      "max. grade"},
     max_grade_percent},
    {{"min_grade_percent", "%", "steepest descent, negative", EVN_REAL, 2, "minimum grade", "min. grade"},
     min_grade_percent},
};
const size_t evn_cycle_figures_count = sizeof evn_cycle_figures / sizeof evn_cycle_figures[0];
