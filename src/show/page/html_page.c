/* The data of the page: the document, its charts and how it was made, put into the frame. */
#define _POSIX_C_SOURCE 200809L
#include "show/page/html_page.h"
#include "evener/charts.h"
#include "evener/collectives.h"
#include "evener/traces.h"
#include "show/document.h"
#include "show/drive_story.h"
#include "show/figures.h"
#include "show/json_number.h"
#include "show/names.h"
#include "show/page/assets.h"
#include "show/page/html_chart.h"
#include "show/page/html_day.h"
#include "show/page/html_parts.h"
#include "show/page/html_payback.h"
#include "show/page/html_trace.h"
#include <math.h>
#include <stdlib.h>
#include <string.h>

#define EVN_PAGE_SCHEMA "evener.page/4"

const char *evn_html_missing(void) { return evn_assets_missing(); }

/* ------------------------------------------------------------------------------------------------ one run over time */

struct evn_html_run {
    evn_html_trace *trace;
    evn_census *census;
    evn_adhesion_use *use;
    size_t columns, time, place; /* of a row */
    double *row;                 /* room for one, of a day */
    double last_s, last_m;       /* of the day so far */
    double before_s, before_m;   /* what comes before the times and places of rows */
    bool anew;                   /* a leg or stop has begun: its first row is to come */
    bool strange;                /* a row was not of the rig: no page is made of it */
};

evn_html_run *evn_html_run_new(const evn_rig *rig, evn_html_detail detail)
{
    evn_html_run *run = calloc(1, sizeof *run);
    if (!run)
        return NULL;
    run->trace = evn_html_trace_new(rig, detail);
    run->census = evn_census_new(rig);
    run->use = evn_adhesion_use_new(rig);
    run->columns = evn_trace_column_count(rig);
    run->time = evn_figures_column(rig, "time_s");
    run->place = evn_figures_column(rig, "place_m");
    run->row = calloc(run->columns, sizeof *run->row);
    if (run->trace && run->census && run->use && run->row)
        return run;
    evn_html_run_free(run);
    return NULL;
}

void evn_html_run_free(evn_html_run *run)
{
    if (!run)
        return;
    evn_html_trace_free(run->trace);
    evn_census_free(run->census);
    evn_adhesion_use_free(run->use);
    free(run->row);
    free(run);
}

void evn_html_run_sample(void *self, const double *row, size_t columns)
{
    evn_html_run *run = self;
    if (columns != run->columns) {
        run->strange = true;
        return;
    }
    evn_html_trace_row(run->trace, row);
    evn_census_sample(run->census, row, columns);
    evn_adhesion_use_sample(run->use, row, columns);
}

bool evn_html_run_fits(const evn_html_run *run) { return !run || !run->strange; }

static void begin_phase(void *self) { ((evn_html_run *)self)->anew = true; }

static void sample_day(void *self, const double *row, size_t columns)
{
    evn_html_run *run = self;
    if (columns != run->columns) {
        run->strange = true;
        return;
    }
    if (run->anew) {
        run->before_s = run->last_s - row[run->time];
        run->before_m = run->last_m - row[run->place];
        run->anew = false;
    }
    memcpy(run->row, row, columns * sizeof *row);
    run->last_s = run->row[run->time] += run->before_s;
    run->last_m = run->row[run->place] += run->before_m;
    evn_html_run_sample(run, run->row, columns);
}

evn_sampler evn_html_run_of_day(evn_html_run *run, double interval_s)
{
    return (evn_sampler){run, interval_s, begin_phase, sample_day};
}

/* ------------------------------------------------------------------------------------------------ charts */

typedef struct page_maker {
    const evn_html_page *page;
    evn_report *report; /* of charts that could not be made */
    json_t *maps;       /* of motors, each once: units with the same motor share it */
} page_maker;

/* Sets a member; takes the value over. False when either is missing. */
static bool put(json_t *object, const char *key, json_t *value) { return json_object_set_new(object, key, value) == 0; }

static json_t *rounded(double value)
{
    if (!isfinite(value))
        return json_null();
    if (value == 0)
        return json_integer(0);
    char text[32];
    snprintf(text, sizeof text, "%.*g", EVN_HTML_DIGITS, value);
    double short_value = strtod(text, NULL);
    bool whole = fabs(short_value) < 1e9 && short_value == rint(short_value);
    return whole ? json_integer((json_int_t)short_value) : json_real(short_value);
}

/* A chart as columns of values; takes it over. NULL when memory is out. */
static json_t *chart_json(evn_chart *chart)
{
    json_t *json = chart ? evn_html_chart_json(chart) : NULL;
    evn_chart_free(chart);
    return json;
}

/* The chart that a call made, which is looked at only behind the call. */
static json_t *if_done(evn_status status, evn_chart **chart) { return status == EVN_DONE ? chart_json(*chart) : NULL; }

/* The place of a map among all of them, at which it is put where it is not there yet; takes it over. NULL when memory
 * is out. */
static json_t *shared(const page_maker *m, json_t *map)
{
    size_t place = 0, count = json_array_size(m->maps);
    while (place < count && !json_equal(json_array_get(m->maps, place), map))
        place++;
    bool made = map && (place < count || json_array_append(m->maps, map) == 0);
    json_decref(map);
    return made ? json_integer((json_int_t)place) : NULL;
}

static bool put_unit_rig(json_t *json, const page_maker *m, const evn_rig *rig, size_t unit)
{
    evn_chart *motor = NULL, *envelope = NULL;
    return put(json, "name", evn_json_text(evn_rig_unit_name(rig, unit))) &&
           put(json, "motor", shared(m, if_done(evn_chart_of_motor(rig, unit, &motor, m->report), &motor))) &&
           put(json, "envelope", if_done(evn_chart_of_envelope(rig, unit, &envelope, m->report), &envelope));
}

static bool put_unit_run(json_t *json, const page_maker *m, const evn_html_run *run, size_t unit)
{
    evn_chart *points = NULL, *settings = NULL;
    return !run ||
           (put(json, "points", if_done(evn_chart_of_points(run->census, unit, &points, m->report), &points)) &&
            put(json, "settings", if_done(evn_chart_of_settings(run->census, unit, &settings, m->report), &settings)));
}

static json_t *units_json(const page_maker *m, const evn_html_truck *truck)
{
    json_t *list = json_array();
    bool made = list;
    for (size_t unit = 0; made && truck->rig && unit < evn_rig_unit_count(truck->rig); unit++) {
        json_t *json = json_object();
        made = json && put_unit_rig(json, m, truck->rig, unit) && put_unit_run(json, m, truck->run, unit) &&
               json_array_append(list, json) == 0;
        json_decref(json);
    }
    if (made)
        return list;
    json_decref(list);
    return NULL;
}

static json_t *forces_json(const page_maker *m, const evn_rig *rig)
{
    evn_chart *chart = NULL;
    return rig ? if_done(evn_chart_of_forces(rig, &chart, m->report), &chart) : json_null();
}

static json_t *heat_limits_json(const page_maker *m, const evn_rig *rig)
{
    evn_chart *chart = NULL;
    return rig ? if_done(evn_chart_of_heat_limits(rig, &chart, m->report), &chart) : json_null();
}

/* How the truck brakes: in stated stops, and in its run. */
static json_t *braking_json(const page_maker *m, const evn_html_truck *truck)
{
    evn_chart *stops = NULL, *shares = NULL, *use = NULL;
    json_t *json = truck->rig ? json_object() : json_null();
    bool made = json;
    if (made && truck->rig)
        made = put(json, "distribution", evn_json_text(evn_truck_brake_distribution(truck->truck)));
    if (made && truck->rig)
        made = put(json, "stops", if_done(evn_chart_of_braking_to_rest(truck->rig, &stops, m->report), &stops)) &&
               put(json, "shares", if_done(evn_chart_of_braking_shares(truck->rig, &shares, m->report), &shares));
    if (made && truck->rig && truck->run)
        made = put(json, "use", if_done(evn_chart_of_adhesion_use(truck->run->use, &use, m->report), &use));
    if (made)
        return json;
    json_decref(json);
    return NULL;
}

/* Of a shaft each class of torque in which it turned, all gears and speeds together. */
static json_t *classes_json(const evn_collective *c, size_t shaft)
{
    json_t *from = json_array(), *to = json_array(), *turns = json_array(), *seconds = json_array();
    bool made = from && to && turns && seconds;
    evn_collective_cell is;
    for (size_t k = 0; made && evn_collective_cell_at(c, shaft, EVN_ALL_GEARS, k, EVN_ALL_SPEEDS, &is); k++)
        if (is.duration_s > 0)
            made = json_array_append_new(from, rounded(is.torque_from_nm)) == 0 &&
                   json_array_append_new(to, rounded(is.torque_to_nm)) == 0 &&
                   json_array_append_new(turns, rounded(is.revolutions)) == 0 &&
                   json_array_append_new(seconds, rounded(is.duration_s)) == 0;
    json_t *json = made ? json_pack("{s:O,s:O,s:O,s:O}", "torque_from_nm", from, "torque_to_nm", to, "revolutions",
                                    turns, "duration_s", seconds)
                        : NULL;
    json_decref(from);
    json_decref(to);
    json_decref(turns);
    json_decref(seconds);
    return json;
}

/* In the order of the document's load_collectives.shafts. */
static json_t *collectives_json(const evn_collective *c)
{
    json_t *list = c ? json_array() : json_null();
    bool made = list;
    evn_collective_shaft is;
    for (size_t shaft = 0; made && c && evn_collective_shaft_at(c, shaft, &is); shaft++)
        made = json_array_append_new(list, classes_json(c, shaft)) == 0;
    if (made)
        return list;
    json_decref(list);
    return NULL;
}

/* What a page of limits tells of a truck besides. */
static bool put_able(json_t *json, const page_maker *m, const evn_html_truck *truck)
{
    evn_chart *chart = NULL;
    return put(json, "motor_braking",
               truck->rig ? if_done(evn_chart_of_motor_braking(truck->rig, &chart, m->report), &chart) : json_null());
}

/* What a page of a route tells of a truck besides. */
static bool put_driven(json_t *json, const page_maker *m, const evn_html_truck *truck)
{
    return put(json, "units", units_json(m, truck)) && put(json, "braking", braking_json(m, truck)) &&
           put(json, "heat_limits", heat_limits_json(m, truck->rig)) &&
           put(json, "collectives", collectives_json(truck->collective)) &&
           put(json, "trace", truck->run ? evn_html_trace_json(truck->run->trace) : json_null());
}

static json_t *truck_json(const page_maker *m, const evn_html_truck *truck)
{
    json_t *json = json_object();
    bool made = json && put(json, "name", evn_json_text(truck->name)) &&
                put(json, "short_name", evn_json_text(truck->title)) &&
                put(json, "forces", forces_json(m, truck->rig)) &&
                (m->page->cycle || m->page->day ? put_driven(json, m, truck) : put_able(json, m, truck));
    if (made)
        return json;
    json_decref(json);
    return NULL;
}

static json_t *trucks_json(const page_maker *m)
{
    json_t *list = json_array();
    bool made = list;
    for (size_t i = 0; made && i < m->page->truck_count; i++)
        made = json_array_append_new(list, truck_json(m, &m->page->truck[i])) == 0;
    if (made)
        return list;
    json_decref(list);
    return NULL;
}

static json_t *bands_json(const page_maker *m)
{
    evn_chart *bands = NULL;
    return if_done(evn_chart_of_adhesion_bands(&bands, m->report), &bands);
}

static json_t *route_json(const page_maker *m)
{
    const evn_cycle *cycle = m->page->cycle;
    evn_chart *road = NULL, *limits = NULL, *stops = NULL;
    if (!cycle)
        return json_null();
    json_t *json = json_object();
    bool made = json && put(json, "name", evn_json_text(evn_cycle_name(cycle))) &&
                put(json, "source", evn_json_text(evn_cycle_source(cycle))) &&
                put(json, "road", if_done(evn_chart_of_road(cycle, &road, m->report), &road)) &&
                put(json, "limits", if_done(evn_chart_of_limits(cycle, &limits, m->report), &limits)) &&
                put(json, "stops", if_done(evn_chart_of_stops(cycle, &stops, m->report), &stops));
    if (made)
        return json;
    json_decref(json);
    return NULL;
}

/* ------------------------------------------------------------------------------------------------ all data */

/* How each result is told: label, unit, decimals; of all trucks, by key. */
static json_t *quantities_json(const evn_html_page *page)
{
    json_t *json = json_object();
    bool made = json;
    for (size_t i = 0; made && i < page->truck_count; i++) {
        const evn_results *results = page->truck[i].results;
        evn_quantity what;
        double value;
        for (size_t k = 0; made && results && evn_results_at(results, k, &what, &value); k++)
            made = put(json, what.key,
                       json_pack("{s:o, s:o, s:i}", "label", evn_json_text(what.label), "unit",
                                 evn_json_text(what.unit), "digits", what.digits));
    }
    if (made)
        return json;
    json_decref(json);
    return NULL;
}

/* The limits that numbers in a column limited_by stand for, from 1 on. */
static json_t *limits_json(void)
{
    json_t *list = json_array();
    const char *limit, *label;
    bool made = list;
    for (size_t index = 0; made && evn_limit_at(index, &limit, &label); index++)
        made = json_array_append_new(list, evn_json_text(label)) == 0;
    if (made)
        return list;
    json_decref(list);
    return NULL;
}

/* A copy of an object without some of its members, which end in NULL. */
static json_t *without(json_t *object, const char *const *keys)
{
    json_t *copy = json_is_object(object) ? json_copy(object) : json_null();
    for (; copy && json_is_object(copy) && *keys; keys++)
        json_object_del(copy, *keys);
    return copy;
}

/* Of the differences charts ask for the lines of the energy balance alone. */
static json_t *outcome_json(json_t *outcome)
{
    static const char *const left_out[] = {
        "findings", "friction_braking_causes", "peak_temperatures", "difference", "percent", NULL};
    json_t *balance = json_object_get(json_object_get(outcome, "difference"), "energy_balance");
    json_t *json = without(outcome, left_out);
    if (!json || !balance || put(json, "difference", json_pack("{s:O}", "energy_balance", balance)))
        return json;
    json_decref(json);
    return NULL;
}

static json_t *told_truck_json(json_t *truck)
{
    static const char *const left_out[] = {"facts",   "likeness", "limits",       "masses",
                                           "demands", "changes",  "line_changes", NULL};
    json_t *json = without(truck, left_out);
    if (json && put(json, "own", outcome_json(json_object_get(truck, "own"))) &&
        put(json, "common", outcome_json(json_object_get(truck, "common"))))
        return json;
    json_decref(json);
    return NULL;
}

static json_t *told_trucks_json(const json_t *trucks)
{
    json_t *list = json_array(), *truck;
    bool made = list;
    for (size_t i = 0; made && (truck = json_array_get(trucks, i)); i++)
        made = json_array_append_new(list, told_truck_json(truck)) == 0;
    if (made)
        return list;
    json_decref(list);
    return NULL;
}

/* The seasons of a day, less the phases that its strip and tables tell. */
static json_t *told_seasons_json(const json_t *seasons)
{
    static const char *const left_out[] = {"phases", NULL};
    json_t *list = json_array(), *season;
    bool made = list;
    for (size_t i = 0; made && (season = json_array_get(seasons, i)); i++)
        made = json_array_append_new(list, without(season, left_out)) == 0;
    if (made)
        return list;
    json_decref(list);
    return NULL;
}

/* The document less what stands in the page as words and no chart draws. NULL when memory is out. */
static json_t *result_json(const evn_html_page *page)
{
    static const char *const of_comparison[] = {"uncertainty", "reached", "findings", NULL};
    static const char *const of_others[] = {"uncertainty", "reached", NULL};
    const json_t *trucks = page->comparison ? json_object_get(page->result, "trucks") : NULL;
    const json_t *seasons = json_object_get(page->result, "seasons");
    if (page->payback)
        return evn_html_payback_result(page->result);
    json_t *result = without(page->result, page->comparison ? of_comparison : of_others);
    if (!result || ((!trucks || put(result, "trucks", told_trucks_json(trucks))) &&
                    (!seasons || put(result, "seasons", told_seasons_json(seasons)))))
        return result;
    json_decref(result);
    return NULL;
}

static json_t *data_json(const page_maker *m)
{
    const evn_html_page *page = m->page;
    json_t *json = json_object();
    bool made = json && put(json, "schema", json_string(EVN_PAGE_SCHEMA)) &&
                put(json, "kind", json_string(page->kind)) && put(json, "title", evn_json_text(page->title)) &&
                put(json, "result", result_json(page)) && put(json, "quantities", quantities_json(page)) &&
                put(json, "route", route_json(m)) && put(json, "day", evn_html_day_json(page)) &&
                put(json, "limit_labels", limits_json()) && put(json, "adhesion_bands", bands_json(m)) &&
                put(json, "trucks", trucks_json(m)) && json_object_set(json, "motors", m->maps) == 0;
    if (made)
        return json;
    json_decref(json);
    return NULL;
}

/* ------------------------------------------------------------------------------------------------ writing */

static void put_part(const char *const *part, FILE *to)
{
    for (; *part; part++)
        fputs(*part, to);
}

/* Within a script element: no "<" may begin an end tag or a comment there. */
static void put_data(const char *text, FILE *to)
{
    for (; *text != '\0'; text++)
        if (*text == '<')
            fputs("\\u003c", to);
        else
            fputc(*text, to);
}

static void write_bare(const evn_html_page *page, const evn_assets *asset, FILE *to)
{
    put_part(asset->bare[0], to);
    evn_html_text(to, page->title);
    put_part(asset->bare[1], to);
    evn_html_body(page, to);
    put_part(asset->bare[2], to);
}

evn_status evn_html_write(const evn_html_page *page, FILE *to, evn_report *report)
{
    const evn_assets *asset = evn_assets_get();
    if (evn_html_bare(page)) {
        write_bare(page, asset, to);
        return EVN_DONE;
    }
    page_maker maker = {page, report, json_array()};
    json_t *data = maker.maps ? data_json(&maker) : NULL;
    char *text = data ? json_dumps(data, JSON_COMPACT | JSON_REAL_PRECISION(12)) : NULL;
    json_decref(data);
    json_decref(maker.maps);
    if (!text) {
        evn_status said = evn_report_status(report);
        return said >= EVN_NO_RESULT ? said : EVN_NO_RESULT;
    }
    put_part(asset->part[0], to);
    evn_html_text(to, page->title);
    put_part(asset->part[1], to);
    evn_html_body(page, to);
    put_part(asset->part[2], to);
    put_data(text, to);
    put_part(asset->part[3], to);
    free(text);
    return EVN_DONE;
}
