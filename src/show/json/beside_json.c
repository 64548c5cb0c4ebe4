/* A comparison beside another lineup's, within the document of the comparison. */
#include "show/compare_sureness.h"
#include "show/document.h"
#include "show/json_number.h"
#include <math.h>

static const char *const sides[] = {"here", "there"};
static const char *const answers[] = {NULL, "same", "open", "other"};

/* A value of each side. */
static json_t *both_json(const double value[2])
{
    json_t *json = json_object();
    if (json && evn_json_put(json, sides[EVN_BESIDE_HERE], evn_json_real(value[EVN_BESIDE_HERE])) &&
        evn_json_put(json, sides[EVN_BESIDE_THERE], evn_json_real(value[EVN_BESIDE_THERE])))
        return json;
    json_decref(json);
    return NULL;
}

/* Whether it is like for like with the first of its own lineup. */
static json_t *alike_json(const evn_beside_truck *is)
{
    json_t *json = json_object();
    if (json && evn_json_put(json, sides[EVN_BESIDE_HERE], json_boolean(is->alike[EVN_BESIDE_HERE])) &&
        evn_json_put(json, sides[EVN_BESIDE_THERE], json_boolean(is->alike[EVN_BESIDE_THERE])))
        return json;
    json_decref(json);
    return NULL;
}

/* As the member of trucks of the comparison itself. */
static json_t *given_json(const evn_equalised *given)
{
    json_t *json = json_object();
    if (json && evn_json_put(json, "payload_kg", evn_json_real(given->payload_kg)) &&
        evn_json_put(json, "torque_scale", evn_json_real(given->torque_scale)))
        return json;
    json_decref(json);
    return NULL;
}

static json_t *data_json(const evn_compare_story *story, const evn_beside_data *data)
{
    json_t *json = json_object();
    if (json && evn_json_put(json, "key", evn_json_text(data->row.what.key)) &&
        evn_json_put(json, "truck", evn_json_text(evn_lineup_truck_name(story->lineup, data->truck))) &&
        evn_json_put(json, "value", both_json(data->value)) && evn_json_put(json, "alike", json_boolean(data->alike)))
        return json;
    json_decref(json);
    return NULL;
}

static json_t *all_data_json(const evn_compare_story *story)
{
    json_t *list = json_array();
    evn_beside_data data;
    for (size_t k = 0; list && evn_beside_data_at(story->beside, k, &data); k++)
        if (json_array_append_new(list, data_json(story, &data)) != 0) {
            json_decref(list);
            return NULL;
        }
    return list;
}

static json_t *line_json(const evn_beside_line *line)
{
    json_t *json = json_object();
    if (json && evn_json_put(json, "key", evn_json_text(line->what.key)) &&
        evn_json_put(json, "label", evn_json_text(line->what.label)) &&
        evn_json_put(json, "difference_kwh_km", both_json(line->difference_kwh_km)) &&
        evn_json_put(json, "moved_kwh_km", evn_json_real(line->moved_kwh_km)))
        return json;
    json_decref(json);
    return NULL;
}

static json_t *lines_json(const evn_beside *beside, size_t truck)
{
    json_t *list = json_array();
    evn_beside_line line;
    for (size_t k = 0; list && evn_beside_line_at(beside, truck, k, &line); k++)
        if (json_array_append_new(list, line_json(&line)) != 0) {
            json_decref(list);
            return NULL;
        }
    return list;
}

/* How sure a truck's difference against the first of its own lineup is. Null: not known. */
static json_t *interval_json(const evn_compare_story *story, evn_beside_side side, size_t truck,
                             const evn_beside_truck *of)
{
    evn_sureness is;
    if (!evn_compare_beside_sure(story, side, truck, of, &is))
        return json_null();
    json_t *json = json_object();
    if (json && evn_json_put(json, "by", evn_json_text(evn_method_name(is.by))) &&
        evn_json_put(json, "low_percent", evn_json_real(is.low_percent)) &&
        evn_json_put(json, "high_percent", evn_json_real(is.high_percent)) &&
        evn_json_put(json, "probability_lower", evn_json_real(is.probability_lower)) &&
        evn_json_put(json, "apart", evn_json_text(evn_apart_name(is.apart))))
        return json;
    json_decref(json);
    return NULL;
}

static json_t *intervals_json(const evn_compare_story *story, size_t truck, const evn_beside_truck *of)
{
    json_t *json = json_object();
    if (json && evn_json_put(json, sides[EVN_BESIDE_HERE], interval_json(story, EVN_BESIDE_HERE, truck, of)) &&
        evn_json_put(json, sides[EVN_BESIDE_THERE], interval_json(story, EVN_BESIDE_THERE, truck, of)))
        return json;
    json_decref(json);
    return NULL;
}

static json_t *truck_json(const evn_compare_story *story, size_t index, const evn_beside_truck *is)
{
    const evn_truck *there = evn_lineup_truck(story->beside_lineup, is->place_there);
    json_t *json = json_object();
    if (json && evn_json_put(json, "name", evn_json_text(evn_lineup_truck_name(story->lineup, index))) &&
        evn_json_put(json, "truck_there", evn_json_text(evn_truck_name(there))) &&
        evn_json_put(json, "kwh_per_km", both_json(is->kwh_per_km)) && evn_json_put(json, "use", both_json(is->use)) &&
        evn_json_put(json, "percent", both_json(is->percent)) &&
        evn_json_put(json, "interval", intervals_json(story, index, is)) &&
        evn_json_put(json, "against_first", evn_json_text(answers[evn_compare_beside_of_first(story, index, is)])) &&
        evn_json_put(json, "alike", alike_json(is)) &&
        evn_json_put(json, "equal_there", given_json(&is->given[EVN_BESIDE_THERE])) &&
        evn_json_put(json, "lines", lines_json(story->beside, index)))
        return json;
    json_decref(json);
    return NULL;
}

static json_t *trucks_json(const evn_compare_story *story)
{
    json_t *list = json_array();
    evn_beside_truck is;
    for (size_t i = 0; list && evn_beside_truck_at(story->beside, i, &is); i++)
        if (json_array_append_new(list, truck_json(story, i, &is)) != 0) {
            json_decref(list);
            return NULL;
        }
    return list;
}

/* Null: none. */
static json_t *verdict_json(const evn_compare_story *story, evn_beside_side side)
{
    evn_beside_verdict is;
    if (!evn_beside_verdict_of(story->beside, side, &is))
        return json_null();
    json_t *json = json_object();
    if (json && evn_json_put(json, "lowest", evn_json_text(evn_lineup_truck_name(story->lineup, is.lowest))) &&
        evn_json_put(json, "next", evn_json_text(evn_lineup_truck_name(story->lineup, is.next))) &&
        evn_json_put(json, "lead_points", evn_json_real(is.lead_points)) &&
        evn_json_put(json, "close", json_boolean(evn_compare_beside_close(story, side, &is))))
        return json;
    json_decref(json);
    return NULL;
}

json_t *evn_document_beside(const evn_compare_story *story)
{
    if (!story->beside)
        return json_null();
    const evn_compare_story there = evn_compare_story_there(story);
    json_t *json = json_object();
    if (json && evn_json_put(json, "lineup", evn_json_text(evn_lineup_name(story->beside_lineup))) &&
        evn_json_put(json, "lineup_source", evn_json_text(evn_lineup_source(story->beside_lineup))) &&
        evn_json_put(json, "close_points", evn_json_real(EVN_BESIDE_CLOSE_POINTS)) &&
        evn_json_put(json, "answer", evn_json_text(answers[evn_compare_beside_answer(story)])) &&
        evn_json_put(json, sides[EVN_BESIDE_HERE], verdict_json(story, EVN_BESIDE_HERE)) &&
        evn_json_put(json, sides[EVN_BESIDE_THERE], verdict_json(story, EVN_BESIDE_THERE)) &&
        evn_json_put(json, "why", evn_document_why(&there)) && evn_json_put(json, "data", all_data_json(story)) &&
        evn_json_put(json, "trucks", trucks_json(story)))
        return json;
    json_decref(json);
    return NULL;
}
