/* Packs the rows of a trace, column by column; of several trucks only the rows that the lines need. */
#include "show/page/html_trace.h"
#include "evener/traces.h"
#include "show/page/html_pack.h"
#include <math.h>
#include <stdlib.h>
#include <string.h>

/* What the page shows along the route, of the truck, each drive unit and each axle, and how finely; and how far a row
 * may lie from the line between the rows that are kept: less than anybody sees, and none of which limit acts. */
typedef struct wanted {
    const char *key;
    int digits, order;
    double slack;
} wanted;

static const wanted columns_wanted[] = {{"time_s", 2, 2, 0},
                                        {"place_m", 1, 2, 1},
                                        {"speed_km_h", 2, 1, 0.15},
                                        {"target_speed_km_h", 2, 1, 0.15},
                                        {"soc", 5, 1, 3e-4},
                                        {"battery_kw", 1, 1, 2},
                                        {"limited_by", 0, 1, 0},
                                        {"winding_temperature_degc", 1, 1, 0.3},
                                        {"housing_temperature_degc", 1, 1, 0.3},
                                        {"inverter_temperature_degc", 1, 1, 0.3},
                                        {"coolant_temperature_degc", 1, 1, 0.3},
                                        {"battery_temperature_degc", 1, 1, 0.3},
                                        {"tyre_temperature_degc", 1, 1, 0.3},
                                        {"gearbox_oil_temperature_degc", 1, 1, 0.3},
                                        {"axle_oil_temperature_degc", 1, 1, 0.3},
                                        {"axle_brake_temperature_degc", 0, 1, 1}};
enum { WANTED = sizeof columns_wanted / sizeof *columns_wanted };

typedef struct column {
    evn_trace_column is;
    size_t from;              /* its place in a row */
    double per;               /* steps for one unit */
    double slack, kept, held; /* the last row that was written, and the one behind it that is not yet */
    double least, most;       /* slopes of lines from the one that no row since then is too far from */
    evn_packed packed;
} column;

struct evn_html_trace {
    column *column;
    size_t count, rows;
    bool thinned, any_kept, any_held;
    double kept_s, held_s;
};

static bool is_over_the_clock(const char *key) { return strcmp(key, "time_s") == 0 || strstr(key, "temperature"); }

static const wanted *wanted_of(const char *key, evn_html_detail detail)
{
    for (size_t k = 0; k < WANTED; k++)
        if (strcmp(key, columns_wanted[k].key) == 0)
            return detail != EVN_HTML_OF_DAY || is_over_the_clock(key) ? &columns_wanted[k] : NULL;
    return NULL;
}

evn_html_trace *evn_html_trace_new(const evn_rig *rig, evn_html_detail detail)
{
    size_t count = evn_trace_column_count(rig);
    evn_html_trace *trace = calloc(1, sizeof *trace);
    if (trace)
        trace->column = calloc(count, sizeof *trace->column);
    if (!trace || !trace->column) {
        free(trace);
        return NULL;
    }
    for (size_t k = 0; k < count; k++) {
        column *next = &trace->column[trace->count];
        const wanted *row = evn_trace_column_at(rig, k, &next->is) ? wanted_of(next->is.what.key, detail) : NULL;
        if (!row)
            continue;
        next->from = k;
        next->is.what.digits = row->digits;
        next->per = pow(10, row->digits);
        next->packed.order = row->order;
        next->slack = row->slack;
        trace->count++;
    }
    trace->thinned = detail != EVN_HTML_WHOLE;
    return trace;
}

void evn_html_trace_free(evn_html_trace *trace)
{
    for (size_t k = 0; trace && k < trace->count; k++)
        evn_packed_free(&trace->column[k].packed);
    if (trace)
        free(trace->column);
    free(trace);
}

/* What is not finite stays where it was: a picture has no use for it. */
static void put_value(column *c, double value)
{
    evn_packed_add(&c->packed, isfinite(value) && fabs(value) < 1e12 ? llround(value * c->per) : c->packed.last);
}

static void write_row(evn_html_trace *trace)
{
    for (size_t k = 0; k < trace->count; k++)
        put_value(&trace->column[k], trace->column[k].held);
    trace->rows++;
}

/* ------------------------------------------------------------------------------------------------ rows that are kept
 */

/* What is held is the last row of a line from now on, and the first of the next. */
static void keep(evn_html_trace *trace)
{
    write_row(trace);
    for (size_t k = 0; k < trace->count; k++) {
        column *c = &trace->column[k];
        c->kept = c->held;
        c->least = -(double)INFINITY;
        c->most = (double)INFINITY;
    }
    trace->kept_s = trace->held_s;
    trace->any_kept = true;
    trace->any_held = false;
}

/* Whether the line from the row kept last to this one passes each row between closely enough. */
static bool passes(const evn_html_trace *trace, const double *row, double time_s)
{
    double span_s = time_s - trace->kept_s;
    for (size_t k = 0; span_s > 0 && k < trace->count; k++) {
        const column *c = &trace->column[k];
        double slope = (row[c->from] - c->kept) / span_s;
        if (slope < c->least || slope > c->most)
            return false;
    }
    return span_s > 0;
}

/* Times lie on every line. */
static void hold(evn_html_trace *trace, const double *row, double time_s)
{
    double span_s = time_s - trace->kept_s;
    for (size_t k = 0; k < trace->count; k++) {
        column *c = &trace->column[k];
        c->held = isfinite(row[c->from]) ? row[c->from] : c->kept;
        if (!trace->any_kept || span_s <= 0 || k == 0)
            continue;
        c->least = fmax(c->least, (c->held - c->slack - c->kept) / span_s);
        c->most = fmin(c->most, (c->held + c->slack - c->kept) / span_s);
    }
    trace->held_s = time_s;
    trace->any_held = true;
}

/* The time is the first column of every trace. */
void evn_html_trace_row(evn_html_trace *trace, const double *row)
{
    double time_s = row[trace->column[0].from];
    if (trace->any_held && !(trace->any_kept && passes(trace, row, time_s)))
        keep(trace);
    hold(trace, row, time_s);
    if (!trace->thinned)
        keep(trace);
}

/* ------------------------------------------------------------------------------------------------ as text */

/* All columns behind one another; to be freed. NULL when memory ran out, now or at some row. */
static char *packed_text(evn_html_trace *trace)
{
    evn_base64 text;
    size_t bytes = 0;
    for (size_t k = 0; k < trace->count; k++) {
        evn_packed *packed = &trace->column[k].packed;
        evn_packed_end(packed);
        if (packed->short_of_memory)
            return NULL;
        bytes += packed->count;
    }
    if (!evn_base64_begin(&text, bytes))
        return NULL;
    for (size_t k = 0; k < trace->count; k++)
        evn_base64_put(&text, trace->column[k].packed.bytes, trace->column[k].packed.count);
    return evn_base64_end(&text);
}

/* Whose it is, an axle's or that of one drive unit among several; NULL: the truck's. */
static const char *owner_of(const evn_trace_column *of) { return of->axle ? of->axle : of->drive_unit; }

/* "rear.winding_temperature_degc". */
static json_t *label_json(const evn_trace_column *of)
{
    return owner_of(of) ? json_sprintf("%s, %s", owner_of(of), of->what.label) : json_string(of->what.label);
}

static json_t *key_json(const evn_trace_column *of)
{
    return owner_of(of) ? json_sprintf("%s.%s", owner_of(of), of->what.key) : json_string(of->what.key);
}

static json_t *column_json(const column *c)
{
    const evn_quantity *what = &c->is.what;
    json_t *json = json_object();
    if (json && json_object_set_new(json, "key", key_json(&c->is)) == 0 &&
        json_object_set_new(json, "label", label_json(&c->is)) == 0 &&
        json_object_set_new(json, "unit", json_string(what->unit)) == 0 &&
        json_object_set_new(json, "digits", json_integer(what->digits)) == 0 &&
        json_object_set_new(json, "decimals", json_integer(what->digits)) == 0 &&
        json_object_set_new(json, "order", json_integer(c->packed.order)) == 0)
        return json;
    json_decref(json);
    return NULL;
}

json_t *evn_html_trace_json(evn_html_trace *trace)
{
    if (trace->any_held)
        keep(trace);
    char *text = packed_text(trace);
    json_t *json = json_object(), *columns = json_array();
    bool made = text && json && columns;
    for (size_t k = 0; made && k < trace->count; k++)
        made = json_array_append_new(columns, column_json(&trace->column[k])) == 0;
    made = made && json_object_set(json, "columns", columns) == 0 &&
           json_object_set_new(json, "rows", json_integer((json_int_t)trace->rows)) == 0 &&
           json_object_set_new(json, "packed", json_string(text)) == 0;
    json_decref(columns);
    free(text);
    if (made)
        return json;
    json_decref(json);
    return NULL;
}
