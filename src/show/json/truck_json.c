/* A truck as a JSON document: its values with their origins, and the figures that follow. */
#include "evener/values.h"
#include "show/document.h"
#include "show/json_number.h"
#include "show/truck_story.h"
#include <string.h>

static const char *origin_name(evn_origin origin)
{
    static const char *const names[] = {"file", "set", "default", "not_given"};
    return names[origin];
}

static json_t *numbers_json(const evn_value *value)
{
    json_t *list = json_array();
    bool made = list;
    for (size_t i = 0; made && i < value->count; i++)
        made = json_array_append_new(list, evn_json_real(value->numbers[i])) == 0;
    if (!made) {
        json_decref(list);
        return NULL;
    }
    return list;
}

static json_t *value_json(const evn_value *value)
{
    if (value->kind == EVN_VALUE_NUMBERS)
        return numbers_json(value);
    if (value->kind == EVN_VALUE_NUMBER)
        return value->count > 0 ? evn_json_real(value->numbers[0]) : json_null();
    bool flag = value->kind == EVN_VALUE_WORD && value->text &&
                (strcmp(value->text, "true") == 0 || strcmp(value->text, "false") == 0);
    return flag ? json_boolean(value->text[0] == 't') : evn_json_text(value->text);
}

static json_t *place_number(unsigned number) { return number > 0 ? json_integer((json_int_t)number) : json_null(); }

static json_t *row_json(const evn_value *value)
{
    json_t *row = json_object();
    bool made =
        row && evn_json_put(row, "path", evn_json_text(value->path)) && evn_json_put(row, "value", value_json(value)) &&
        evn_json_put(row, "unit", evn_json_text(value->unit)) &&
        evn_json_put(row, "origin", evn_json_text(origin_name(value->origin))) &&
        evn_json_put(row, "file", evn_json_text(value->file)) && evn_json_put(row, "line", place_number(value->line)) &&
        evn_json_put(row, "column", place_number(value->column));
    if (made && value->used_from_file)
        made = evn_json_put(row, "used_from.file", evn_json_text(value->used_from_file)) &&
               evn_json_put(row, "used_from.line", place_number(value->used_from_line)) &&
               evn_json_put(row, "used_from.column", place_number(value->used_from_column));
    if (made && value->source)
        made = evn_json_put(row, "source", evn_json_text(value->source));
    if (made && value->changed_by)
        made = evn_json_put(row, "changed_by", evn_json_text(value->changed_by));
    if (!made) {
        json_decref(row);
        return NULL;
    }
    return row;
}

static bool is_group(const evn_value *value)
{
    return value->kind == EVN_VALUE_GROUP || value->kind == EVN_VALUE_STEPS || value->kind == EVN_VALUE_STEP;
}

static json_t *values_json(const evn_truck *truck)
{
    json_t *list = json_array();
    bool made = list;
    evn_value value;
    for (size_t i = 0; made && evn_truck_value_at(truck, i, &value); i++)
        made = is_group(&value) || json_array_append_new(list, row_json(&value)) == 0;
    if (!made) {
        json_decref(list);
        return NULL;
    }
    return list;
}

static json_t *datum_json(const evn_datum *datum)
{
    json_t *row = json_object();
    bool made = row && evn_json_put(row, "label", evn_json_text(datum->label)) &&
                evn_json_put(row, "path", evn_json_text(datum->path)) &&
                evn_json_put(row, "unit", evn_json_text(datum->unit)) &&
                evn_json_put(row, "value", evn_json_real(datum->value)) &&
                evn_json_put(row, "half_width", evn_json_real(datum->half_width)) &&
                evn_json_put(row, "relative", evn_json_real(datum->relative)) &&
                evn_json_put(row, "offset", evn_json_real(datum->offset)) &&
                evn_json_put(row, "shape", evn_json_text(evn_error_shape_word(datum->shape))) &&
                evn_json_put(row, "errs_with", evn_json_text(datum->errs_with)) &&
                evn_json_put(row, "source", evn_json_text(datum->source)) &&
                evn_json_put(row, "by_default", json_boolean(datum->by_default)) &&
                evn_json_put(row, "file", evn_json_text(datum->file)) &&
                evn_json_put(row, "line", place_number(datum->line)) &&
                evn_json_put(row, "values", json_integer((json_int_t)datum->values));
    if (made)
        return row;
    json_decref(row);
    return NULL;
}

static json_t *data_json(const evn_truck_data *data)
{
    json_t *list = json_array();
    bool made = list;
    evn_datum datum;
    for (size_t i = 0; made && evn_truck_datum_at(data, i, &datum); i++)
        made = json_array_append_new(list, datum_json(&datum)) == 0;
    if (made)
        return list;
    json_decref(list);
    return NULL;
}

/* The figures in an object of their own: names in their keys could not meet those of the document. */
static bool put_figures(json_t *document, const evn_figures *figures)
{
    json_t *inner = json_object();
    if (!inner || !evn_document_figures(inner, figures)) {
        json_decref(inner);
        return false;
    }
    return json_object_set_new(document, "figures", inner) == 0;
}

bool evn_truck_json(const evn_truck_story *story, const evn_findings *findings, FILE *to)
{
    if (!story->truck)
        return evn_document_failure(EVN_TRUCK_SCHEMA, findings, to);
    bool prepared = evn_figures_count(&story->figures) > 0;
    json_t *document = evn_document_begin(EVN_TRUCK_SCHEMA, prepared ? "done" : "failed");
    bool made = document && evn_json_put(document, "truck", evn_json_text(evn_truck_name(story->truck))) &&
                evn_json_put(document, "truck_invented", json_boolean(evn_truck_invented(story->truck))) &&
                evn_json_put(document, "values", values_json(story->truck)) &&
                evn_json_put(document, "uncertain", data_json(story->data)) && put_figures(document, &story->figures);
    if (!made) {
        json_decref(document);
        return false;
    }
    return evn_document_end(document, findings, to);
}
