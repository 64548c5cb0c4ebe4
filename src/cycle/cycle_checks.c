/* Rules between the keys of a cycle, the same for lists in the file and for columns of a table. */
#include "cycle/cycle_checks.h"
#include "core/words.h"
#include "cycle/resolve.h"
#include "cycle/surface.h"
#include <math.h>
#include <stdarg.h>
#include <stdio.h>
#include <string.h>

/* ------------------------------------------------------------------------------------------------ saying where */

typedef struct desk { /* where a check writes, and which file its numbers stand in */
    const evn_seat *seat;
    evn_report *report;
    const evn_sheet *table; /* NULL: lists beside the keys */
} desk;

static evn_spot row_spot(const desk *at, const char *key, size_t row, evn_spot *used_from)
{
    if (at->table) {
        evn_spot ignored;
        *used_from = evn_seat_of(at->seat, "table", &ignored);
        return evn_sheet_row(at->table, row, at->report);
    }
    char path[80];
    snprintf(path, sizeof path, "%s[%zu]", key, row);
    return evn_seat_of(at->seat, path, used_from);
}

static evn_spot key_spot(const desk *at, const char *key, evn_spot *used_from)
{
    if (at->table) {
        evn_spot ignored;
        *used_from = evn_seat_of(at->seat, "table", &ignored);
        return evn_sheet_header(at->table, at->report);
    }
    return evn_seat_of(at->seat, key, used_from);
}

/* Says a fault at one element of a list, or at one row of a table. */
static void say_row(const desk *, evn_fault, const char *key, size_t row, const char *format, ...)
    __attribute__((format(printf, 5, 6)));
static void say_row(const desk *at, evn_fault fault, const char *key, size_t row, const char *format, ...)
{
    evn_spot used_from, spot = row_spot(at, key, row, &used_from);
    va_list values;
    va_start(values, format);
    evn_vsay(at->report, fault, spot, used_from, format, values);
    va_end(values);
}

/* Says a fault at a key, or at the header of the table where the key would be a column. */
static void say_key(const desk *, evn_fault, const char *key, const char *format, ...)
    __attribute__((format(printf, 4, 5)));
static void say_key(const desk *at, evn_fault fault, const char *key, const char *format, ...)
{
    evn_spot used_from, spot = key_spot(at, key, &used_from);
    va_list values;
    va_start(values, format);
    evn_vsay(at->report, fault, spot, used_from, format, values);
    va_end(values);
}

/* ------------------------------------------------------------------------------------------------ columns */

/* What is written under one key; not yet in SI. */
static evn_column column_of(const desk *at, const evn_list *list, const char *key)
{
    if (at->table)
        return evn_table_column(at->table, key);
    return !list ? (evn_column){key, NULL, 0, 1.0} : (evn_column){key, list->at, list->count, 1.0};
}

/* Several keys for one thing, of which one is to be written. */
typedef struct choice {
    evn_column column[3];
    size_t count;
} choice;

/* The first that is written, from a number on; an empty one when none is. */
static evn_column written(const choice *among, size_t from)
{
    for (size_t i = from; i < among->count; i++)
        if (among->column[i].count > 0)
            return among->column[i];
    evn_column none = among->column[0];
    none.count = 0;
    return none;
}

static bool check_only_one(const desk *at, const choice *among)
{
    size_t i = 0;
    while (i < among->count && among->column[i].count == 0)
        i++;
    evn_column second = written(among, i + 1);
    if (second.count == 0)
        return true;
    say_key(at, EVN_FAULT_DISAGREES, second.key, "%s and %s together; expected one of them", among->column[i].key,
            second.key);
    return false;
}

/* The bounds that the reader checks in lists, for columns of a table. */
static bool check_bounds(const desk *at, const evn_column *column, double least, double most)
{
    bool inside = true;
    for (size_t i = 0; i < column->count; i++) {
        if (!(column->at[i] >= least && column->at[i] <= most)) {
            say_row(at, EVN_FAULT_OUT_OF_RANGE, column->key, i, "%s is %.10g; expected %.10g to %.10g", column->key,
                    column->at[i], least, most);
            inside = false;
        }
    }
    return inside;
}

/* Two values at one place are a step, a third one there is none. */
static bool steps(const evn_column *axis, size_t i)
{
    return axis->at[i] == axis->at[i - 1] && (i < 2 || axis->at[i - 2] < axis->at[i]);
}

/* Every axis rises, by more than what drowns in rounding. */
static bool check_rising(const desk *at, const evn_column *axis, double apart_least, bool may_step)
{
    bool rises = true;
    for (size_t i = 1; i < axis->count; i++) {
        double before = axis->at[i - 1], here = axis->at[i];
        if (may_step && steps(axis, i))
            continue;
        if (!(here - before >= apart_least * (1.0 - EVN_APART_HAIR))) {
            say_row(at, EVN_FAULT_DISAGREES, axis->key, i,
                    "%s goes from %.10g to %.10g; expected a rise of at least %g", axis->key, before, here,
                    apart_least);
            rises = false;
        }
    }
    return rises;
}

/* Axis and values present, equally long, and at least so many. */
static bool check_pair(const desk *at, const evn_column *axis, const evn_column *value, size_t least)
{
    if (axis->count == 0 || value->count == 0) {
        const evn_column *found = axis->count == 0 ? value : axis, *missing = axis->count == 0 ? axis : value;
        say_key(at, EVN_FAULT_MISSING_KEY, found->key, "%s without %s; expected both", found->key, missing->key);
        return false;
    }
    if (axis->count != value->count) {
        say_key(at, EVN_FAULT_DISAGREES, value->key,
                "%s has %zu values and %s has %zu; expected one value of %s for each of %s", value->key, value->count,
                axis->key, axis->count, value->key, axis->key);
        return false;
    }
    if (axis->count < least) {
        say_key(at, EVN_FAULT_DISAGREES, axis->key, "%s has %zu value; expected at least %zu", axis->key, axis->count,
                least);
        return false;
    }
    return true;
}

/* Every column of a table has a name that says what it is and in which unit. */
static bool check_table(const desk *at)
{
    bool known = true;
    for (size_t i = 0; i < at->table->columns; i++) {
        const char *name = at->table->name[i];
        if (evn_column_factor(name) == 0.0) {
            const char *near = evn_nearest(name, evn_column_names, evn_column_names_count);
            say_key(at, EVN_FAULT_UNKNOWN_KEY, "table",
                    "column \"%.60s\"; expected a name with its unit, such as time_s, speed_km_h, place_m, "
                    "grade_percent%s%s",
                    name, near ? "; perhaps " : "", near ? near : "");
            known = false;
        }
    }
    if (known && at->table->rows == 0) {
        say_key(at, EVN_FAULT_MISSING_KEY, "table", "a table without rows; expected at least one");
        return false;
    }
    return known;
}

/* ------------------------------------------------------------------------------------------------ speed */

static void check_braking(const desk *at, const evn_speed_view *view)
{
    for (size_t i = 0; i + 1 < view->axis.count; i++) {
        double fall_m_s = evn_trace_speed_m_s(view, i) - evn_trace_speed_m_s(view, i + 1);
        double braking = fall_m_s / (evn_trace_time_s(view, i + 1) - evn_trace_time_s(view, i));
        if (braking > EVN_BRAKING_MOST_M_S2 * (1.0 + 1e-12)) {
            say_row(at, EVN_FAULT_BRAKING_TOO_HARD, view->speed.key, i + 1,
                    "braking with %.4g m/s2; expected at most %g m/s2", braking, EVN_BRAKING_MOST_M_S2);
        }
    }
}

static bool stands_throughout(const evn_speed_view *view)
{
    for (size_t i = 0; i < view->axis.count; i++)
        if (evn_trace_speed_m_s(view, i) > 0.0)
            return false;
    return true;
}

static void check_trace(const desk *at, const evn_speed_file *file)
{
    evn_speed_view view = evn_speed_view_of(file);
    if (!check_rising(at, &view.axis, EVN_APART_LEAST, false))
        return;
    check_braking(at, &view);
    if (stands_throughout(&view)) {
        say_key(at, EVN_FAULT_DISAGREES, view.speed.key,
                "a trace that stands from beginning to end; expected a distance");
    }
}

static void check_limits(const desk *at, const evn_column *place)
{
    check_rising(at, place, EVN_APART_LEAST, false);
    if (place->at[0] != 0.0) {
        say_row(at, EVN_FAULT_DISAGREES, place->key, 0,
                "the first limit begins at %.10g m; expected 0, where the course begins", place->at[0]);
    }
}

static double speed_most(const evn_column *speed)
{
    if (strcmp(speed->key, "speed_m_s") == 0)
        return EVN_SPEED_MOST_M_S;
    return strcmp(speed->key, "speed_mph") == 0 ? EVN_SPEED_MOST_MPH : EVN_SPEED_MOST_KM_H;
}

/* The columns of the speed, whether from lists or from a table. */
typedef struct speed_columns {
    evn_column time, limit;
    choice speed, place;
} speed_columns;

static speed_columns speed_columns_of(const desk *at, const evn_speed_file *file)
{
    return (speed_columns){
        .time = column_of(at, &file->time_s, "time_s"),
        .limit = column_of(at, &file->limit_km_h, "limit_km_h"),
        .speed = {{column_of(at, &file->speed_km_h, "speed_km_h"), column_of(at, &file->speed_mph, "speed_mph"),
                   column_of(at, NULL, "speed_m_s")},
                  3},
        .place = {{column_of(at, &file->place_m, "place_m"), column_of(at, NULL, "distance_m")}, 2},
    };
}

static void check_over_time(const desk *at, const evn_speed_file *file, const speed_columns *columns)
{
    evn_column speed = written(&columns->speed, 0);
    if (!check_only_one(at, &columns->speed) || !check_pair(at, &columns->time, &speed, 2))
        return;
    bool times_fit = !at->table || check_bounds(at, &columns->time, 0.0, EVN_TIME_MOST_S);
    bool speeds_fit = !at->table || check_bounds(at, &speed, 0.0, speed_most(&speed));
    if (times_fit && speeds_fit)
        check_trace(at, file);
}

static void check_over_place(const desk *at, const speed_columns *columns)
{
    evn_column place = written(&columns->place, 0);
    if (!check_only_one(at, &columns->place) || !check_pair(at, &place, &columns->limit, 1))
        return;
    if (at->table)
        check_bounds(at, &columns->limit, EVN_LIMIT_LEAST_KM_H, EVN_SPEED_MOST_KM_H);
    if (!at->table || check_bounds(at, &place, 0.0, EVN_PLACE_MOST_M))
        check_limits(at, &place);
}

#define SPEED_FORMS "time_s with a speed, or place_m with limit_km_h, or a table of these"

static void check_speed_form(const desk *at, const evn_speed_file *file)
{
    speed_columns columns = speed_columns_of(at, file);
    evn_column speed = written(&columns.speed, 0), place = written(&columns.place, 0);
    /* A table may carry places for the road beside a trace, or times beside limits; lists say only what they mean. */
    bool over_time = speed.count > 0 || (!at->table && columns.time.count > 0);
    bool over_place = columns.limit.count > 0 || (!at->table && place.count > 0);
    if (over_time && over_place) {
        const char *key = columns.limit.count > 0 ? columns.limit.key : place.key;
        say_key(at, EVN_FAULT_DISAGREES, key, "a speed over time and %s together; expected %s", key, SPEED_FORMS);
    } else if (over_time) {
        check_over_time(at, file, &columns);
    } else if (over_place) {
        check_over_place(at, &columns);
    } else {
        say_key(at, EVN_FAULT_MISSING_KEY, "", "nothing says a speed; expected %s", SPEED_FORMS);
    }
}

void evn_speed_check(const void *self, const evn_seat *seat, evn_report *report)
{
    const evn_speed_file *file = self;
    const desk at = {seat, report, file->table};
    bool lists = file->time_s.count + file->speed_km_h.count + file->speed_mph.count + file->place_m.count +
                     file->limit_km_h.count >
                 0;
    if (file->table && lists)
        evn_say_at(report, seat, EVN_FAULT_DISAGREES, "table", "a table beside lists; expected %s", SPEED_FORMS);
    else if (!file->table || check_table(&at))
        check_speed_form(&at, file);
}

/* ------------------------------------------------------------------------------------------------ road */

#define ROAD_FORMS "place_m with grade_percent or elevation_m, or a table of these"

static void check_steepness(const desk *at, const evn_road_view *view)
{
    const double sine_most = sin(atan(EVN_GRADE_MOST_PERCENT / 100.0)); /* places count along the road */
    for (size_t i = 0; i + 1 < view->axis.count; i++) {
        double way_m = view->axis.at[i + 1] - view->axis.at[i], rise_m = view->value.at[i + 1] - view->value.at[i];
        if (!(fabs(rise_m) <= way_m * sine_most)) {
            say_row(at, EVN_FAULT_OUT_OF_RANGE, view->value.key, i + 1,
                    "a rise of %.6g m over %.6g m of road; expected a grade of -%g to %g %%", rise_m, way_m,
                    EVN_GRADE_MOST_PERCENT, EVN_GRADE_MOST_PERCENT);
        }
    }
}

static void check_profile(const desk *at, const evn_road_file *file, const evn_column *place, const evn_column *value)
{
    evn_road_view view = evn_road_view_of(file);
    bool grade = view.form == EVN_ROAD_GRADE;
    double least = grade ? -EVN_GRADE_MOST_PERCENT : EVN_ELEVATION_LEAST_M;
    double most = grade ? EVN_GRADE_MOST_PERCENT : EVN_ELEVATION_MOST_M;
    bool places_fit = !at->table || check_bounds(at, place, 0.0, EVN_PLACE_MOST_M);
    bool values_fit = !at->table || check_bounds(at, value, least, most);
    if (!places_fit || !values_fit)
        return;
    if (check_rising(at, place, EVN_APART_LEAST, grade) && !grade)
        check_steepness(at, &view);
    double end_m = place->at[place->count - 1];
    if (view.repeat && !(end_m >= EVN_REPEAT_LEAST_M)) {
        say_row(at, EVN_FAULT_DISAGREES, place->key, place->count - 1,
                "a profile of %.6g m that repeats; expected at least %g m", end_m, EVN_REPEAT_LEAST_M);
    }
}

static void check_road_form(const desk *at, const evn_road_file *file)
{
    const choice places = {{column_of(at, &file->place_m, "place_m"), column_of(at, NULL, "distance_m")}, 2};
    const choice values = {
        {column_of(at, &file->grade_percent, "grade_percent"), column_of(at, &file->elevation_m, "elevation_m")}, 2};
    const evn_column place = written(&places, 0), value = written(&values, 0);
    if (place.count == 0 && value.count == 0) {
        say_key(at, EVN_FAULT_MISSING_KEY, "", "nothing says a grade; expected %s", ROAD_FORMS);
        return;
    }
    bool one_place = check_only_one(at, &places), one_value = check_only_one(at, &values);
    if (one_place && one_value && check_pair(at, &place, &value, 2))
        check_profile(at, file, &place, &value);
}

void evn_road_check(const void *self, const evn_seat *seat, evn_report *report)
{
    const evn_road_file *file = self;
    const desk at = {seat, report, file->table};
    bool lists = file->place_m.count + file->grade_percent.count + file->elevation_m.count > 0;
    if (file->table && lists)
        evn_say_at(report, seat, EVN_FAULT_DISAGREES, "table", "a table beside lists; expected %s", ROAD_FORMS);
    else if (!file->table || check_table(&at))
        check_road_form(&at, file);
}

/* ------------------------------------------------------------------------------------------------ stops, surface */

/* Power and time at each stop, both or neither, and no longer than the truck stands. */
static void check_takeoff(const desk *at, const evn_stops_file *file)
{
    const evn_column place = column_of(at, &file->place_m, "place_m");
    const evn_column kw = column_of(at, &file->takeoff_kw, "takeoff_kw"),
                     s = column_of(at, &file->takeoff_s, "takeoff_s");
    if (kw.count + s.count == 0 || !check_pair(at, &kw, &s, 1) || !check_pair(at, &place, &kw, 1))
        return;
    for (size_t i = 0; i < kw.count && i < file->wait_s.count; i++)
        if ((kw.at[i] > 0) != (s.at[i] > 0))
            say_row(at, EVN_FAULT_DISAGREES, kw.at[i] > 0 ? "takeoff_s" : "takeoff_kw", i,
                    "%.10g kW for %.10g s; expected both above 0 or both 0", kw.at[i], s.at[i]);
        else if (s.at[i] > file->wait_s.at[i])
            say_row(at, EVN_FAULT_DISAGREES, "takeoff_s", i,
                    "work of %.10g s at a stop of %.10g s; expected at most its wait_s", s.at[i], file->wait_s.at[i]);
}

void evn_stops_check(const void *self, const evn_seat *seat, evn_report *report)
{
    const evn_stops_file *file = self;
    const desk at = {seat, report, NULL};
    const evn_column place = column_of(&at, &file->place_m, "place_m"), wait = column_of(&at, &file->wait_s, "wait_s");
    if (check_pair(&at, &place, &wait, 1))
        check_rising(&at, &place, EVN_STOPS_APART_LEAST_M, false);
    check_takeoff(&at, file);
}

/* Each list that is written has a value for each place, and one that says something by itself is. */
static bool check_surface_lists(const desk *at, const evn_surface_file *file, const evn_column *place)
{
    const struct {
        const char *key;
        size_t count;
    } lists[] = {{"rolling_factor", file->rolling_factor.count},
                 {"kind", file->kind.count},
                 {"adhesion", file->adhesion.count},
                 {"adhesion_other_side", file->adhesion_other_side.count},
                 {"unevenness", file->unevenness.count},
                 {"unevenness_m3", file->unevenness_m3.count}};
    bool fits = true;
    for (size_t i = 0; i < sizeof lists / sizeof *lists; i++) {
        if (lists[i].count == 0 || lists[i].count == place->count)
            continue;
        say_key(at, EVN_FAULT_DISAGREES, lists[i].key, "%s has %zu values and place_m has %zu; expected as many",
                lists[i].key, lists[i].count, place->count);
        fits = false;
    }
    if (file->rolling_factor.count + file->kind.count + file->adhesion.count + file->unevenness.count +
                file->unevenness_m3.count ==
            0 &&
        !file->spectrum && !file->profile) {
        say_key(at, EVN_FAULT_MISSING_KEY, "",
                "nothing says what changes there; expected rolling_factor, kind, adhesion, unevenness, unevenness_m3, "
                "spectrum or profile");
        fits = false;
    }
    if (file->adhesion_other_side.count > 0 && file->kind.count + file->adhesion.count == 0) {
        say_key(at, EVN_FAULT_DISAGREES, "adhesion_other_side",
                "adhesion_other_side without the adhesion of the one side; expected adhesion or kind beside it");
        fits = false;
    }
    return fits;
}

static void check_surface_kinds(const desk *at, const evn_text_list *kinds)
{
    for (size_t i = 0; i < kinds->count; i++) {
        char quoted[EVN_QUOTE_BYTES], all[EVN_PHRASE_BYTES], nearest[EVN_PHRASE_BYTES];
        const char *found = kinds->at[i];
        if (evn_surface_kind_named(found))
            continue;
        say_row(at, EVN_FAULT_UNKNOWN_CHOICE, "kind", i, "kind is %s; expected one of %s%s",
                evn_quote(quoted, found, strlen(found)), evn_name_all(all, evn_surface_choices + 1, EVN_SURFACE_KINDS),
                evn_nearest_phrase(nearest, found, evn_surface_choices + 1, EVN_SURFACE_KINDS));
    }
}

/* A letter each, and not beside the numbers that stand instead of them. */
static void check_unevenness(const desk *at, const evn_surface_file *file)
{
    for (size_t i = 0; i < file->unevenness.count; i++) {
        char quoted[EVN_QUOTE_BYTES];
        const char *found = file->unevenness.at[i];
        if (isnan(evn_unevenness_of_class_m3(found[0])) || found[1] != '\0')
            say_row(at, EVN_FAULT_UNKNOWN_CHOICE, "unevenness", i,
                    "unevenness is %s; expected a class of ISO 8608, one of A, B, C, D, E, F, G, H",
                    evn_quote(quoted, found, strlen(found)));
    }
    if (file->unevenness.count > 0 && file->unevenness_m3.count > 0)
        say_key(at, EVN_FAULT_DISAGREES, "unevenness_m3", "unevenness_m3 beside unevenness; expected one of them");
    if (file->spectrum && file->unevenness.count + file->unevenness_m3.count > 0)
        say_key(at, EVN_FAULT_DISAGREES, "spectrum",
                "a spectrum beside unevenness or unevenness_m3; expected one of them");
    if (file->profile && (file->spectrum || file->unevenness.count + file->unevenness_m3.count > 0))
        say_key(at, EVN_FAULT_DISAGREES, "profile",
                "a profile beside unevenness, unevenness_m3 or spectrum; expected one of them");
}

/* ------------------------------------------------------------------------------------------------ heights of a track
 */

#define PROFILE_FORMS "place_m with height_m, or a table of these"

static bool check_profile_table(const desk *at)
{
    bool known = true;
    for (size_t i = 0; i < at->table->columns; i++) {
        const char *name = at->table->name[i];
        if (strcmp(name, "place_m") == 0 || strcmp(name, "height_m") == 0)
            continue;
        say_key(at, EVN_FAULT_UNKNOWN_KEY, "table", "column \"%.60s\"; expected place_m and height_m", name);
        known = false;
    }
    return known;
}

/* By the steps, of which the first has to be as the others: where one is not, all behind it means another place. */
static bool check_even_steps(const desk *at, const evn_column *place)
{
    double first_m = place->at[1] - place->at[0];
    if (!(first_m >= EVN_PROFILE_APART_LEAST_M * (1 - EVN_APART_HAIR) &&
          first_m <= EVN_PROFILE_APART_MOST_M * (1 + EVN_APART_HAIR))) {
        say_row(at, first_m > 0 ? EVN_FAULT_OUT_OF_RANGE : EVN_FAULT_DISAGREES, place->key, 1,
                "place_m goes from %.10g to %.10g; expected a rise of %g to %g", place->at[0], place->at[1],
                EVN_PROFILE_APART_LEAST_M, EVN_PROFILE_APART_MOST_M);
        return false;
    }
    for (size_t i = 2; i < place->count; i++) {
        double step_m = place->at[i] - place->at[i - 1];
        if (fabs(step_m - first_m) <= EVN_PROFILE_UNEVEN_MOST * first_m)
            continue;
        say_row(at, EVN_FAULT_DISAGREES, place->key, i,
                "place_m goes from %.10g to %.10g, a step of %.6g m after steps of %.6g m; expected even steps",
                place->at[i - 1], place->at[i], step_m, first_m);
        return false;
    }
    return true;
}

static void check_track_length(const desk *at, const evn_column *place)
{
    double length_m = place->at[place->count - 1] - place->at[0];
    if (!(length_m >= EVN_PROFILE_LEAST_M && length_m <= EVN_PROFILE_MOST_M))
        say_row(at, EVN_FAULT_OUT_OF_RANGE, place->key, place->count - 1, "a profile of %.6g m; expected %g to %g m",
                length_m, EVN_PROFILE_LEAST_M, EVN_PROFILE_MOST_M);
}

/* Heights that lie on the line from the first to the last are those of no track: a logger that stood. */
static void check_uneven(const desk *at, const evn_column *height)
{
    static const double LEAST_M = 1e-6;
    size_t last = height->count - 1;
    double slope = (height->at[last] - height->at[0]) / (double)last;
    for (size_t i = 1; i < last; i++)
        if (fabs(height->at[i] - height->at[0] - slope * (double)i) > LEAST_M)
            return;
    say_key(at, EVN_FAULT_DISAGREES, height->key, "heights on one straight line; expected an uneven track");
}

void evn_profile_check(const void *self, const evn_seat *seat, evn_report *report)
{
    const evn_profile_file *file = self;
    const desk at = {seat, report, file->table};
    const evn_column place = column_of(&at, &file->place_m, "place_m"),
                     height = column_of(&at, &file->height_m, "height_m");
    if (file->table && file->place_m.count + file->height_m.count > 0) {
        evn_say_at(report, seat, EVN_FAULT_DISAGREES, "table", "a table beside lists; expected %s", PROFILE_FORMS);
        return;
    }
    if (file->table && !check_profile_table(&at))
        return;
    if (place.count + height.count == 0) {
        say_key(&at, EVN_FAULT_MISSING_KEY, "", "nothing says a height; expected %s", PROFILE_FORMS);
        return;
    }
    if (!check_pair(&at, &place, &height, 2))
        return;
    bool places_fit = !at.table || check_bounds(&at, &place, 0.0, EVN_PLACE_MOST_M);
    bool heights_fit = !at.table || check_bounds(&at, &height, EVN_ELEVATION_LEAST_M, EVN_ELEVATION_MOST_M);
    if (places_fit && heights_fit && check_even_steps(&at, &place)) {
        check_track_length(&at, &place);
        check_uneven(&at, &height);
    }
}

/* ------------------------------------------------------------------------------------------------ surface, heading
 */

void evn_surface_check(const void *self, const evn_seat *seat, evn_report *report)
{
    const evn_surface_file *file = self;
    const desk at = {seat, report, NULL};
    const evn_column place = column_of(&at, &file->place_m, "place_m");
    if (check_surface_lists(&at, file, &place))
        check_rising(&at, &place, EVN_APART_LEAST, false);
    check_surface_kinds(&at, &file->kind);
    check_unevenness(&at, file);
}

void evn_heading_check(const void *self, const evn_seat *seat, evn_report *report)
{
    const evn_heading_file *file = self;
    const desk at = {seat, report, NULL};
    const evn_column place = column_of(&at, &file->place_m, "place_m"),
                     heading = column_of(&at, &file->heading_deg, "heading_deg");
    if (!check_pair(&at, &place, &heading, 1))
        return;
    check_rising(&at, &place, EVN_APART_LEAST, false);
    if (place.at[0] != 0.0)
        say_row(&at, EVN_FAULT_DISAGREES, "place_m", 0,
                "the first heading begins at %.10g m; expected 0, where the course begins", place.at[0]);
}

/* ------------------------------------------------------------------------------------------------ cycle */

/* A stop stands at an end of the course, or well inside it. */
static bool is_inside(double place_m, double length_m)
{
    bool at_an_end = place_m == 0.0 || place_m == length_m;
    return at_an_end || (place_m >= EVN_STOPS_APART_LEAST_M && length_m - place_m >= EVN_STOPS_APART_LEAST_M);
}

static void check_stop_places(const desk *at, const evn_list *places, double length_m)
{
    for (size_t i = 0; i < places->count; i++) {
        if (!is_inside(places->at[i], length_m)) {
            say_row(at, EVN_FAULT_DISAGREES, "stops.place_m", i,
                    "a stop at %.10g m of a course of %.10g m; expected an end of the course or a place %g m inside it",
                    places->at[i], length_m, EVN_STOPS_APART_LEAST_M);
        }
    }
}

/* A table is a record, and ends where it ends. Lists that end on a grade were hardly meant to go on level. */
static void check_end_of_road(const desk *at, const evn_cycle_file *cycle, double length_m)
{
    const evn_road_file *road = cycle->road;
    if (!road || road->repeat || road->level_beyond)
        return;
    evn_road_view view = evn_road_view_of(road);
    size_t points = view.form == EVN_ROAD_UNCLEAR ? 0 : view.axis.count;
    double end_m = points > 0 ? view.axis.at[points - 1] : length_m;
    if (length_m - end_m < EVN_APART_LEAST)
        return;
    double grade_percent = points > 1 ? 100 * evn_road_tangent_end(&view, points - 2) : 0;
    const char *key = isnan(cycle->length_m) ? "road" : "length_m";
    if (road->table)
        say_key(at, EVN_FAULT_DISAGREES, key,
                "a course of %.10g m whose road is known for %.10g m; expected none longer than its table, or "
                "level_beyond: true in road, which then goes on level",
                length_m, end_m);
    else if (grade_percent != 0)
        say_key(at, EVN_FAULT_UNUSUAL_VALUE, key,
                "a course of %.10g m whose road ends on a grade of %.4g %% at %.10g m and goes on level; usual is a "
                "last grade of 0; level_beyond: true in road says that it is meant",
                length_m, grade_percent, end_m);
}

static void check_with_trace(const desk *at, const evn_cycle_file *cycle)
{
    if (!isnan(cycle->length_m)) {
        say_key(at, EVN_FAULT_DISAGREES, "length_m",
                "length_m with a speed over time; expected none: the trace has its own length");
    }
    check_end_of_road(at, cycle, evn_cycle_length_m(cycle));
    if (cycle->stops) {
        say_key(at, EVN_FAULT_DISAGREES, "stops",
                "stops with a speed over time; expected none: the trace says where it stands");
    }
}

static void check_with_limits(const desk *at, const evn_cycle_file *cycle)
{
    double length_m = evn_cycle_length_m(cycle);
    check_end_of_road(at, cycle, length_m);
    if (!(length_m >= EVN_STOPS_APART_LEAST_M)) {
        say_key(at, EVN_FAULT_MISSING_KEY, "length_m",
                "nothing says how long the course is; expected length_m, or a last place of speed or road");
    } else if (cycle->stops) {
        check_stop_places(at, &cycle->stops->place_m, length_m);
    }
}

void evn_cycle_check(const void *self, const evn_seat *seat, evn_report *report)
{
    const evn_cycle_file *cycle = self;
    const desk at = {seat, report, NULL};
    if (!cycle->invented && (!cycle->source || cycle->source[0] == '\0')) {
        say_key(&at, EVN_FAULT_MISSING_KEY, "source",
                "nothing says where the cycle comes from; expected source, or invented: true");
    }
    evn_speed_view view = evn_speed_view_of(cycle->speed);
    if (view.form == EVN_FORM_TRACE)
        check_with_trace(&at, cycle);
    else if (view.form == EVN_FORM_LIMITS)
        check_with_limits(&at, cycle);
}
