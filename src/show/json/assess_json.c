/* Verdicts as a JSON document: each with what it is made of. */
#include "show/ask.h"
#include "show/assess_story.h"
#include "show/document.h"
#include "show/json_number.h"
#include <stdint.h>

static json_t *if_made(bool made, json_t *json)
{
    if (made)
        return json;
    json_decref(json);
    return NULL;
}

static json_t *input_json(const evn_assess_input *in)
{
    json_t *json = json_object();
    return if_made(json && evn_json_put(json, "key", evn_json_text(in->key)) &&
                       evn_json_put(json, "unit", evn_json_text(in->unit)) &&
                       evn_json_put(json, "value", evn_json_real(in->value)) &&
                       evn_json_put(json, "from", evn_json_text(in->from)),
                   json);
}

static json_t *inputs_json(const evn_assessment *a, size_t truck, size_t demand)
{
    json_t *list = json_array();
    evn_assess_input in;
    bool made = list;
    for (size_t k = 0; made && evn_assess_input_at(a, truck, demand, k, &in); k++)
        made = json_array_append_new(list, input_json(&in)) == 0;
    return if_made(made, list);
}

static json_t *verdict_json(const evn_assessment *a, size_t truck, size_t demand)
{
    evn_assessed is;
    json_t *json = json_object();
    bool made =
        json && evn_assessed_at(a, truck, demand, &is) && evn_json_put(json, "demand", evn_json_text(is.what.key)) &&
        evn_json_put(json, "label", evn_json_text(is.what.label)) &&
        evn_json_put(json, "unit", evn_json_text(is.what.unit)) &&
        evn_json_put(json, "verdict", evn_json_text(evn_verdict_name(is.verdict))) &&
        evn_json_put(json, "at_most", json_boolean(is.at_most)) &&
        evn_json_put(json, "demanded", evn_json_real(is.demanded)) &&
        evn_json_put(json, "value", evn_json_real(is.value)) &&
        evn_json_put(json, "margin", evn_json_real(is.margin)) &&
        evn_json_put(json, "uncertainty", evn_json_real(is.uncertainty)) &&
        evn_json_put(json, "probability", evn_json_real(is.probability)) &&
        evn_json_put(json, "spare", evn_json_real(is.spare)) &&
        evn_json_put(json, "left_out", evn_json_text(is.left_out)) &&
        evn_json_put(json, "why", evn_json_text(is.why)) && evn_json_put(json, "where", evn_json_text(is.where)) &&
        evn_json_put(json, "missing", evn_json_text(is.missing)) &&
        evn_json_put(json, "formula", evn_json_text(is.formula)) &&
        evn_json_put(json, "value_formula", evn_json_text(is.value_formula)) &&
        evn_json_put(json, "source", evn_json_text(is.source)) &&
        evn_json_put(json, "found", evn_json_text(is.found)) &&
        evn_json_put(json, "inputs", inputs_json(a, truck, demand));
    return if_made(made, json);
}

static json_t *truck_json(const evn_assess_story *story, size_t truck)
{
    char text[EVN_ASSESS_SENTENCE_BYTES];
    json_t *json = json_object(), *list = json_array();
    evn_assess_truck_words(story, truck, text);
    bool made =
        json && list && evn_json_put(json, "name", evn_json_text(evn_lineup_truck_name(story->lineup, truck))) &&
        evn_json_put(json, "title", evn_json_text(evn_lineup_truck_title(story->lineup, truck))) &&
        evn_json_put(json, "verdict", evn_json_text(evn_verdict_name(evn_assessment_of(story->assessment, truck)))) &&
        evn_json_put(json, "sentence", evn_json_text(text));
    for (size_t k = 0; made && k < evn_assessment_demand_count(story->assessment); k++)
        made = json_array_append_new(list, verdict_json(story->assessment, truck, k)) == 0;
    made = made && json_object_set(json, "verdicts", list) == 0;
    json_decref(list);
    return if_made(made, json);
}

static json_t *name_json(const evn_assess_story *story, size_t truck)
{
    return truck == SIZE_MAX ? json_null() : evn_json_text(evn_lineup_truck_name(story->lineup, truck));
}

static json_t *turn_json(const evn_assess_story *story, const evn_assess_turn *t)
{
    evn_assessed is = {.what = {.key = NULL}};
    json_t *json = json_object();
    if (t->demand != SIZE_MAX)
        evn_assessed_at(story->assessment, t->truck == SIZE_MAX ? t->about : t->truck, t->demand, &is);
    return if_made(
        json && evn_json_put(json, "truck", name_json(story, t->truck)) &&
            evn_json_put(json, "demand", evn_json_text(is.what.key)) &&
            evn_json_put(json, "about", name_json(story, t->about)) &&
            evn_json_put(json, "datum", evn_json_text(t->datum)) &&
            evn_json_put(json, "unit", evn_json_text(t->unit)) && evn_json_put(json, "from", evn_json_real(t->from)) &&
            evn_json_put(json, "to", evn_json_real(t->to)) && evn_json_put(json, "reach", evn_json_real(t->reach)) &&
            evn_json_put(json, "to_pass", evn_json_real(t->to_pass)),
        json);
}

static json_t *choice_json(const evn_assess_story *story)
{
    evn_assess_choice c;
    char text[EVN_ASSESS_SENTENCE_BYTES];
    json_t *json = json_object();
    evn_assess_advice_words(story, text);
    return if_made(json && evn_assessment_choice(story->assessment, &c) &&
                       evn_json_put(json, "advised", c.marginal ? json_null() : name_json(story, c.advised)) &&
                       evn_json_put(json, "nearest", c.marginal ? name_json(story, c.advised) : json_null()) &&
                       evn_json_put(json, "next", name_json(story, c.next)) &&
                       evn_json_put(json, "apart", json_boolean(c.apart)) &&
                       evn_json_put(json, "open", json_boolean(c.open)) &&
                       evn_json_put(json, "by", evn_json_text(c.by_cost ? "cost_per_km" : "kwh_per_km")) &&
                       evn_json_put(json, "value", evn_json_real(c.value)) &&
                       evn_json_put(json, "next_value", evn_json_real(c.next_value)) &&
                       evn_json_put(json, "uncertainty", evn_json_real(c.uncertainty)) &&
                       evn_json_put(json, "sentence", evn_json_text(text)),
                   json);
}

static bool put_found(json_t *document, const evn_assess_story *story)
{
    evn_assess_turn t;
    json_t *trucks = json_array(), *turns = json_array();
    bool made = trucks && turns && evn_json_put(document, "advice", choice_json(story));
    for (size_t k = 0; made && k < evn_assessment_truck_count(story->assessment); k++)
        made = json_array_append_new(trucks, truck_json(story, k)) == 0;
    for (size_t k = 0; made && evn_assess_turn_at(story->assessment, k, &t); k++)
        made = json_array_append_new(turns, turn_json(story, &t)) == 0;
    made = made && json_object_set(document, "trucks", trucks) == 0 && json_object_set(document, "turns", turns) == 0;
    json_decref(trucks);
    json_decref(turns);
    return made;
}

json_t *evn_assess_document(const evn_assess_story *story)
{
    json_t *document = evn_document_begin(EVN_ASSESS_SCHEMA, story->status);
    bool made = document && evn_json_put(document, "lineup", evn_json_text(evn_lineup_name(story->lineup))) &&
                evn_json_put(document, "over", evn_json_text(evn_lineup_over(story->lineup))) &&
                evn_json_put(document, "over_source", evn_json_text(evn_lineup_over_source(story->lineup))) &&
                evn_json_put(document, "prices", evn_json_text(evn_prices_name(story->prices))) &&
                evn_ask_put(document, &story->ask) && (!story->assessment || put_found(document, story)) &&
                evn_json_put(document, "caution", evn_json_text(EVN_ASSESS_CAUTION));
    return if_made(made, document);
}

bool evn_assess_json(const evn_assess_story *story, const evn_findings *findings, FILE *to)
{
    json_t *document = evn_assess_document(story);
    return document && evn_document_end(document, findings, to);
}
