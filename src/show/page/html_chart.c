/* Packs the columns of a chart. */
#include "show/page/html_chart.h"
#include "show/json_number.h"
#include "show/page/html_pack.h"
#include <math.h>
#include <stdlib.h>

/* A column as whole multiples of 10^-decimals. */
typedef struct whole {
    int64_t *value;
    size_t rows, gaps;
    int decimals;
} whole;

static double largest(const evn_chart *chart, size_t column)
{
    double most = 0;
    for (size_t row = 0; row < evn_chart_row_count(chart); row++) {
        double size = fabs(evn_chart_row(chart, row)[column]);
        most = isfinite(size) ? fmax(most, size) : most;
    }
    return most;
}

static bool all_divide(const whole *w, int64_t by)
{
    for (size_t row = 0; row < w->rows; row++)
        if (w->value[row] % by != 0)
            return false;
    return true;
}

/* A gap repeats what was before it, which costs least. */
static void make_whole(const evn_chart *chart, size_t column, whole *w)
{
    double most = largest(chart, column);
    w->decimals = most > 0 ? EVN_HTML_DIGITS - 1 - (int)floor(log10(most)) : 0;
    double per = pow(10, w->decimals);
    for (size_t row = 0; row < w->rows; row++) {
        double value = evn_chart_row(chart, row)[column];
        w->gaps += isfinite(value) ? 0 : 1;
        w->value[row] = isfinite(value) ? llround(value * per) : row > 0 ? w->value[row - 1] : 0;
    }
    for (; most > 0 && all_divide(w, 10); w->decimals--)
        for (size_t row = 0; row < w->rows; row++)
            w->value[row] /= 10;
}

static evn_packed packed_whole(const whole *w, int order)
{
    evn_packed packed = {.order = order};
    for (size_t row = 0; row < w->rows; row++)
        evn_packed_add(&packed, w->value[row]);
    evn_packed_end(&packed);
    return packed;
}

/* By first or by second differences, whichever needs less. */
static evn_packed packed_shortest(const whole *w)
{
    evn_packed first = packed_whole(w, 1), second = packed_whole(w, 2);
    bool by_first = first.count <= second.count && !second.short_of_memory;
    evn_packed_free(by_first ? &second : &first);
    return by_first ? first : second;
}

static evn_packed packed_gaps(const evn_chart *chart, size_t column, const whole *w)
{
    evn_packed packed = {.order = 1};
    for (size_t row = 0; w->gaps > 0 && row < w->rows; row++)
        evn_packed_add(&packed, isfinite(evn_chart_row(chart, row)[column]));
    evn_packed_end(&packed);
    return packed;
}

/* A column's two lists: which rows have a value, where not all have, and the values. */
typedef struct column {
    evn_packed gaps, values;
    int decimals;
    bool has_gaps;
} column;

static bool pack_column(const evn_chart *chart, size_t index, column *out)
{
    whole w = {.rows = evn_chart_row_count(chart)};
    w.value = calloc(w.rows > 0 ? w.rows : 1, sizeof *w.value);
    if (!w.value)
        return false;
    make_whole(chart, index, &w);
    *out = (column){.gaps = packed_gaps(chart, index, &w),
                    .values = packed_shortest(&w),
                    .decimals = w.decimals,
                    .has_gaps = w.gaps > 0};
    free(w.value);
    return !out->gaps.short_of_memory && !out->values.short_of_memory;
}

static json_t *column_json(const evn_chart *chart, size_t index, const column *c)
{
    evn_quantity what;
    json_t *json = json_object();
    bool made = json && evn_chart_column_at(chart, index, &what) &&
                json_object_set_new(json, "key", evn_json_text(what.key)) == 0 &&
                json_object_set_new(json, "label", evn_json_text(what.label)) == 0 &&
                json_object_set_new(json, "unit", evn_json_text(what.unit)) == 0 &&
                json_object_set_new(json, "digits", json_integer(what.digits)) == 0 &&
                json_object_set_new(json, "decimals", json_integer(c->decimals)) == 0 &&
                json_object_set_new(json, "order", json_integer(c->values.order)) == 0 &&
                (!c->has_gaps || json_object_set_new(json, "gaps", json_true()) == 0);
    if (made)
        return json;
    json_decref(json);
    return NULL;
}

static char *packed_text(const column *c, size_t count)
{
    evn_base64 text;
    size_t bytes = 0;
    for (size_t k = 0; k < count; k++)
        bytes += c[k].gaps.count + c[k].values.count;
    if (!evn_base64_begin(&text, bytes))
        return NULL;
    for (size_t k = 0; k < count; k++) {
        evn_base64_put(&text, c[k].gaps.bytes, c[k].gaps.count);
        evn_base64_put(&text, c[k].values.bytes, c[k].values.count);
    }
    return evn_base64_end(&text);
}

static json_t *packed_json(const evn_chart *chart, column *c, size_t count)
{
    json_t *json = json_object(), *columns = json_array();
    bool made = json && columns;
    for (size_t k = 0; made && k < count; k++)
        made = pack_column(chart, k, &c[k]) && json_array_append_new(columns, column_json(chart, k, &c[k])) == 0;
    char *text = made ? packed_text(c, count) : NULL;
    made = text && json_object_set(json, "columns", columns) == 0 &&
           json_object_set_new(json, "rows", json_integer((json_int_t)evn_chart_row_count(chart))) == 0 &&
           json_object_set_new(json, "packed", json_string(text)) == 0;
    free(text);
    json_decref(columns);
    if (made)
        return json;
    json_decref(json);
    return NULL;
}

json_t *evn_html_chart_json(const evn_chart *chart)
{
    size_t count = evn_chart_column_count(chart);
    column *c = calloc(count > 0 ? count : 1, sizeof *c);
    json_t *json = c ? packed_json(chart, c, count) : NULL;
    for (size_t k = 0; c && k < count; k++) {
        evn_packed_free(&c[k].gaps);
        evn_packed_free(&c[k].values);
    }
    free(c);
    return json;
}
