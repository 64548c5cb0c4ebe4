/* How numbers come about as a JSON document: each with its inputs inside it. */
#include "show/document.h"
#include "show/explain_story.h"
#include "show/json_number.h"

static json_t *check_json(const evn_explained_check *c)
{
    json_t *json = json_object();
    return evn_json_if_made(json && evn_json_put(json, "formula", evn_json_text(c->formula)) &&
                                evn_json_put(json, "expression", evn_json_text(c->expression)) &&
                                evn_json_put(json, "gives", evn_json_real(c->gives)) &&
                                evn_json_put(json, "difference", evn_json_real(c->difference)) &&
                                evn_json_put(json, "tolerance", evn_json_real(c->tolerance)) &&
                                evn_json_put(json, "agrees", json_boolean(c->agrees)),
                            json);
}

static json_t *checks_json(const evn_explained *row)
{
    json_t *list = json_array();
    bool made = list;
    for (size_t i = 0; made && i < row->checks; i++)
        made = json_array_append_new(list, check_json(&row->check[i])) == 0;
    return evn_json_if_made(made, list);
}

static json_t *numbers_json(const evn_value *v)
{
    json_t *list = json_array();
    bool made = list;
    for (size_t i = 0; made && i < v->count; i++)
        made = json_array_append_new(list, evn_json_real(v->numbers[i])) == 0;
    return evn_json_if_made(made, list);
}

static json_t *value_json(const evn_explained *row)
{
    if (row->what.key)
        return evn_json_value(row->what.kind, row->value);
    if (row->word)
        return evn_json_text(row->word);
    if (row->written && row->written->text)
        return evn_json_text(row->written->text);
    if (row->written && row->written->kind == EVN_VALUE_NUMBERS)
        return numbers_json(row->written);
    return evn_json_real(row->value);
}

static json_t *place_number(unsigned number) { return number > 0 ? json_integer((json_int_t)number) : json_null(); }

static bool put_written(json_t *json, const evn_value *v)
{
    bool made = evn_json_put(json, "file", evn_json_text(v->file)) &&
                evn_json_put(json, "line", place_number(v->line)) &&
                evn_json_put(json, "column", place_number(v->column));
    if (made && v->used_from_file)
        made = evn_json_put(json, "used_from.file", evn_json_text(v->used_from_file)) &&
               evn_json_put(json, "used_from.line", place_number(v->used_from_line)) &&
               evn_json_put(json, "used_from.column", place_number(v->used_from_column));
    if (made && v->changed_by)
        made = evn_json_put(json, "changed_by", evn_json_text(v->changed_by));
    return made;
}

static json_t *row_json(const evn_explain_story *story, const evn_explained *row)
{
    json_t *json = json_object();
    bool made = json && evn_json_put(json, "key", evn_json_text(row->key)) &&
                evn_json_put(json, "label", evn_json_text(row->label)) &&
                evn_json_put(json, "unit", evn_json_text(row->unit)) &&
                evn_json_put(json, "help", evn_json_text(row->help)) && evn_json_put(json, "value", value_json(row)) &&
                evn_json_put(json, "by", evn_json_text(evn_known_by_word(row->by)));
    if (made && row->formula)
        made = evn_json_put(json, "formula", evn_json_text(row->formula)) &&
               evn_json_put(json, "checks", checks_json(row));
    if (made && !row->what.key)
        made = evn_json_put(json, "origin", evn_json_text(evn_explained_origin(story, row)));
    if (made && row->written)
        made = put_written(json, row->written);
    made = made && evn_json_put(json, "source", evn_json_text(row->source)) &&
           evn_json_put(json, "again", json_boolean(row->again));
    return evn_json_if_made(made, json);
}

/* The row at `*at` with all below it; `*at` is then past them. */
static json_t *branch_json(const evn_explain_story *story, const evn_explanation *e, size_t *at)
{
    evn_explained row, next;
    if (!evn_explanation_at(e, (*at)++, &row))
        return NULL;
    json_t *json = row_json(story, &row), *inputs = json_array();
    bool made = json && inputs;
    while (made && evn_explanation_at(e, *at, &next) && next.depth > row.depth)
        made = json_array_append_new(inputs, branch_json(story, e, at)) == 0;
    if (json)
        made = json_object_set_new(json, "inputs", inputs) == 0 && made;
    else
        json_decref(inputs);
    return evn_json_if_made(made, json);
}

static json_t *explained_json(const evn_explain_story *story)
{
    json_t *list = json_array();
    bool made = list;
    for (size_t i = 0; made && i < story->count; i++) {
        size_t at = 0;
        made = json_array_append_new(list, branch_json(story, story->explanation[i], &at)) == 0;
    }
    return evn_json_if_made(made, list);
}

bool evn_explain_json(const evn_explain_story *story, const evn_findings *findings, FILE *to)
{
    json_t *document = evn_document_begin(EVN_EXPLAIN_SCHEMA, story->status);
    bool made = document && evn_json_put(document, "truck", evn_json_text(story->truck)) &&
                evn_json_put(document, "cycle", evn_json_text(story->cycle)) &&
                evn_json_put(document, "basis", evn_json_text(story->basis)) &&
                evn_json_put(document, "torque_scale", evn_json_real(story->torque_scale)) &&
                evn_json_put(document, "explained", explained_json(story));
    if (!made) {
        json_decref(document);
        return false;
    }
    return evn_document_end(document, findings, to);
}
