/* What trucks can do as a JSON document: the answer first, then every figure with what binds it. */
#include "evener/values.h"
#include "show/ask.h"
#include "show/document.h"
#include "show/json_number.h"
#include "show/limits_story.h"
#include <string.h>

typedef json_t *making(const evn_limits_story *, size_t index);

/* A list of what `make` makes of each truck. NULL when memory is out. */
static json_t *of_trucks(const evn_limits_story *story, making *make)
{
    json_t *list = json_array();
    bool made = list;
    for (size_t i = 0; made && i < story->count; i++)
        made = json_array_append_new(list, make(story, i)) == 0;
    if (made)
        return list;
    json_decref(list);
    return NULL;
}

/* ------------------------------------------------------------------------------------------------ figures */

static json_t *figure_json(const evn_limits_figure *f)
{
    json_t *json = json_object();
    bool made = json && evn_json_put(json, "value", evn_json_real(f->value)) &&
                evn_json_put(json, "unit", evn_json_text(f->what.unit)) &&
                evn_json_put(json, "beyond", json_boolean(f->beyond)) &&
                evn_json_put(json, "limited_by", evn_json_text(f->limit)) &&
                evn_json_put(json, "next.limited_by", evn_json_text(f->next)) &&
                evn_json_put(json, "next.value", evn_json_real(f->next_value)) &&
                evn_json_put(json, "low", evn_json_real(f->low)) && evn_json_put(json, "high", evn_json_real(f->high));
    return evn_json_if_made(made, json);
}

static json_t *figures_json(const evn_limits_story *story, size_t index)
{
    json_t *json = json_object();
    bool made = json;
    evn_limits_figure figure;
    for (size_t k = 0; made && evn_limits_at(story->truck[index].limits, k, &figure); k++)
        if (evn_limits_tells(story, figure.group))
            made = evn_json_put(json, figure.what.key, figure_json(&figure));
    return evn_json_if_made(made, json);
}

static json_t *truck_json(const evn_limits_story *story, size_t index)
{
    const evn_limits_truck *of = &story->truck[index];
    char hash[EVN_HASH_BYTES] = "";
    json_t *json = json_object();
    if (of->truck)
        evn_truck_hash(of->truck, hash);
    bool made =
        json && evn_json_put(json, "name", evn_json_text(of->name)) &&
        evn_json_put(json, "short_name", evn_json_text(evn_limits_title(of))) &&
        evn_json_put(json, "truck", evn_json_text(of->truck ? evn_truck_name(of->truck) : NULL)) &&
        evn_json_put(json, "truck_invented", of->truck ? json_boolean(evn_truck_invented(of->truck)) : json_null()) &&
        evn_json_put(json, "hash", evn_json_text(of->truck ? hash : NULL)) &&
        evn_json_put(json, "figures", of->limits ? figures_json(story, index) : json_null());
    return evn_json_if_made(made, json);
}

/* ------------------------------------------------------------------------------------------------ the answer */

static json_t *bound_json(double value, const char *limit, const char *next, double next_value)
{
    json_t *json = json_object();
    bool made = json && evn_json_put(json, "value", evn_json_real(value)) &&
                evn_json_put(json, "limited_by", evn_json_text(limit)) &&
                evn_json_put(json, "next.limited_by", evn_json_text(next)) &&
                evn_json_put(json, "next.value", evn_json_real(next_value));
    return evn_json_if_made(made, json);
}

static json_t *verdict_json(const evn_limits_verdict *v)
{
    json_t *json = bound_json(v->value, v->limit, v->next, v->next_value);
    bool made = json && evn_json_put(json, "demand", evn_json_text(v->what.key)) &&
                evn_json_put(json, "label", evn_json_text(v->what.label)) &&
                evn_json_put(json, "unit", evn_json_text(v->what.unit)) &&
                evn_json_put(json, "demanded", evn_json_real(v->demanded)) &&
                evn_json_put(json, "beyond", json_boolean(v->beyond)) &&
                evn_json_put(json, "limited_by_label", evn_json_text(v->limit_label)) &&
                evn_json_put(json, "met", json_boolean(v->met));
    return evn_json_if_made(made, json);
}

/* Null where nothing is demanded, or it was not found. */
static json_t *does_json(const evn_limits *limits)
{
    evn_limits_verdict first;
    return evn_limits_demand_at(limits, 0, &first) ? json_boolean(evn_limits_does_all(limits)) : json_null();
}

json_t *evn_limits_verdicts_json(const evn_limits *limits)
{
    json_t *list = json_array();
    evn_limits_verdict v;
    bool made = list;
    for (size_t i = 0; made && evn_limits_demand_at(limits, i, &v); i++)
        made = json_array_append_new(list, verdict_json(&v)) == 0;
    return evn_json_if_made(made, list);
}

static json_t *answer_json(const evn_limits_story *story, size_t index)
{
    const evn_limits_truck *of = &story->truck[index];
    json_t *json = json_object(), *deciding = json_object();
    evn_limits_figure f;
    bool made = json && deciding && evn_json_put(json, "truck", evn_json_text(of->name)) &&
                evn_json_put(json, "does_all_that_is_demanded", does_json(of->limits)) &&
                evn_json_put(json, "demands", evn_limits_verdicts_json(of->limits));
    for (size_t i = 0; made && evn_limits_at(of->limits, i, &f); i++)
        if (strcmp(f.group, EVN_LIMITS_DECIDING) == 0)
            made = json_object_set_new(deciding, f.row, bound_json(f.value, f.limit, f.next, f.next_value)) == 0;
    made = made && json_object_set(json, EVN_LIMITS_DECIDING, deciding) == 0;
    json_decref(deciding);
    return evn_json_if_made(made, json);
}

/* ------------------------------------------------------------------------------------------------ what it speaks of */

static json_t *row_json(const evn_limits_figure *f)
{
    json_t *row = evn_document_row(f->what.key, &f->what);
    bool made = row && evn_json_put(row, "group", evn_json_text(f->group)) &&
                evn_json_put(row, "row", evn_json_text(f->row)) &&
                evn_json_put(row, "row_label", evn_json_text(f->row_label)) &&
                evn_json_put(row, "column", evn_json_text(f->column)) &&
                evn_json_put(row, "column_label", evn_json_text(f->column_label));
    return evn_json_if_made(made, row);
}

static json_t *rows_json(const evn_limits_story *story)
{
    json_t *list = json_array();
    evn_limits_rows rows = {.count = 0};
    bool made = list && evn_limits_rows_of(story, &rows);
    for (size_t i = 0; made && i < rows.count; i++)
        made = json_array_append_new(list, row_json(&rows.at[i])) == 0;
    evn_limits_rows_free(&rows);
    return evn_json_if_made(made, list);
}

static json_t *groups_json(const evn_limits_story *story)
{
    const char *group, *title, *help;
    json_t *list = json_array();
    bool made = list;
    for (size_t i = 0; made && evn_limits_group_at(i, &group, &title, &help); i++) {
        if (!evn_limits_tells(story, group))
            continue;
        json_t *json = json_object();
        made = json && evn_json_put(json, "group", evn_json_text(group)) &&
               evn_json_put(json, "title", evn_json_text(title)) && evn_json_put(json, "help", evn_json_text(help)) &&
               json_array_append(list, json) == 0;
        json_decref(json);
    }
    return evn_json_if_made(made, list);
}

static json_t *labels_json(void)
{
    const char *limit, *label;
    json_t *json = json_object();
    bool made = json;
    for (size_t i = 0; made && evn_limits_bound_at(i, &limit, &label); i++)
        made = evn_json_put(json, limit, evn_json_text(label));
    return evn_json_if_made(made, json);
}

json_t *evn_limits_document(const evn_limits_story *story)
{
    json_t *document = evn_document_begin(EVN_LIMITS_SCHEMA, story->status);
    bool made = document && evn_json_put(document, "answer", of_trucks(story, answer_json)) &&
                evn_ask_put(document, &story->ask) && evn_ask_put_demands(document, &story->demands) &&
                evn_json_put(document, "only_forces", json_boolean(story->only_forces)) &&
                evn_json_put(document, "trucks", of_trucks(story, truck_json)) &&
                evn_json_put(document, "groups", groups_json(story)) &&
                evn_json_put(document, "rows", rows_json(story)) && evn_json_put(document, "limits", labels_json());
    return evn_json_if_made(made, document);
}

bool evn_limits_json(const evn_limits_story *story, const evn_findings *findings, FILE *to)
{
    json_t *document = evn_limits_document(story);
    return document && evn_document_end(document, findings, to);
}
