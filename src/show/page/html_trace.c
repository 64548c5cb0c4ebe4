/* Packs the rows of a trace, column by column, into base64; of several trucks only the rows that the lines need. */
#include "show/page/html_trace.h"
#include "evener/traces.h"
#include "show/json_number.h"
#include <math.h>
#include <stdint.h>
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
    size_t from; /* its place in a row */
    double per;  /* steps for one unit */
    int order;
    double slack, kept, held; /* the last row that was written, and the one behind it that is not yet */
    double least, most;       /* slopes of lines from the one that no row since then is too far from */
    int64_t last, last_change;
    uint64_t zeros; /* not written yet */
    unsigned char *bytes;
    size_t count, room;
} column;

struct evn_html_trace {
    column *column;
    size_t count, rows;
    bool thinned, any_kept, any_held;
    double kept_s, held_s;
    bool short_of_memory;
};

static const wanted *wanted_of(const char *key)
{
    for (size_t k = 0; k < WANTED; k++)
        if (strcmp(key, columns_wanted[k].key) == 0)
            return &columns_wanted[k];
    return NULL;
}

evn_html_trace *evn_html_trace_new(const evn_rig *rig, bool thinned)
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
        const wanted *row = evn_trace_column_at(rig, k, &next->is) ? wanted_of(next->is.what.key) : NULL;
        if (!row)
            continue;
        next->from = k;
        next->is.what.digits = row->digits;
        next->per = pow(10, row->digits);
        next->order = row->order;
        next->slack = row->slack;
        trace->count++;
    }
    trace->thinned = thinned;
    return trace;
}

void evn_html_trace_free(evn_html_trace *trace)
{
    for (size_t k = 0; trace && k < trace->count; k++)
        free(trace->column[k].bytes);
    if (trace)
        free(trace->column);
    free(trace);
}

static bool put_byte(column *c, unsigned char byte)
{
    if (c->count == c->room) {
        size_t room = c->room > 0 ? 2 * c->room : 4096;
        unsigned char *bytes = realloc(c->bytes, room);
        if (!bytes)
            return false;
        c->bytes = bytes;
        c->room = room;
    }
    c->bytes[c->count++] = byte;
    return true;
}

static bool put_number(column *c, uint64_t number)
{
    for (; number >= 0x80; number >>= 7)
        if (!put_byte(c, (unsigned char)(0x80 | (number & 0x7f))))
            return false;
    return put_byte(c, (unsigned char)number);
}

static bool put_zeros(column *c)
{
    uint64_t zeros = c->zeros;
    c->zeros = 0;
    return zeros == 0 || (put_number(c, 0) && put_number(c, zeros - 1));
}

/* What is not finite stays where it was: a picture has no use for it. */
static bool put_value(column *c, double value)
{
    int64_t now = isfinite(value) && fabs(value) < 1e12 ? llround(value * c->per) : c->last;
    int64_t change = now - c->last, told = c->order == 2 ? change - c->last_change : change;
    c->last = now;
    c->last_change = change;
    if (told == 0) {
        c->zeros++;
        return true;
    }
    return put_zeros(c) && put_number(c, told < 0 ? 2 * (uint64_t)(-told) - 1 : 2 * (uint64_t)told);
}

static void write_row(evn_html_trace *trace)
{
    for (size_t k = 0; k < trace->count && !trace->short_of_memory; k++)
        trace->short_of_memory = !put_value(&trace->column[k], trace->column[k].held);
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

/* ------------------------------------------------------------------------------------------------ base64, RFC 4648 */

static void put_group(char out[4], const unsigned char in[3], size_t bytes)
{
    static const char letters[] = "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/";
    unsigned long bits = (unsigned long)in[0] << 16 | (unsigned long)in[1] << 8 | in[2];
    for (int k = 0; k < 4; k++)
        out[k] = (size_t)k <= bytes ? letters[bits >> (18 - 6 * k) & 63] : '=';
}

/* All columns behind one another; to be freed. */
static char *packed_text(evn_html_trace *trace)
{
    size_t bytes = 0, held = 0, used = 0;
    for (size_t k = 0; k < trace->count; k++) {
        if (!put_zeros(&trace->column[k]))
            return NULL;
        bytes += trace->column[k].count;
    }
    char *text = malloc((bytes + 2) / 3 * 4 + 1);
    unsigned char group[3] = {0};
    for (size_t k = 0; text && k < trace->count; k++)
        for (size_t i = 0; i < trace->column[k].count; i++) {
            group[held++] = trace->column[k].bytes[i];
            if (held < 3)
                continue;
            put_group(text + used, group, 3);
            used += 4;
            held = 0;
            memset(group, 0, sizeof group);
        }
    if (text && held > 0) {
        put_group(text + used, group, held);
        used += 4;
    }
    if (text)
        text[used] = '\0';
    return text;
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
        json_object_set_new(json, "help", json_string(what->help)) == 0 &&
        json_object_set_new(json, "digits", json_integer(what->digits)) == 0 &&
        json_object_set_new(json, "step", json_real(1 / c->per)) == 0 &&
        json_object_set_new(json, "order", json_integer(c->order)) == 0)
        return json;
    json_decref(json);
    return NULL;
}

json_t *evn_html_trace_json(evn_html_trace *trace)
{
    if (trace->any_held)
        keep(trace);
    char *text = trace->short_of_memory ? NULL : packed_text(trace);
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
