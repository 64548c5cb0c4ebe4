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

static json_t *truck_json(const evn_compare_story *story, size_t index, const evn_beside_truck *is)
{
    const evn_truck *there = evn_lineup_truck(story->beside_lineup, is->place_there);
    json_t *json = json_object();
    if (json && evn_json_put(json, "name", evn_json_text(evn_lineup_truck_name(story->lineup, index))) &&
        evn_json_put(json, "truck_there", evn_json_text(evn_truck_name(there))) &&
        evn_json_put(json, "kwh_per_km", both_json(is->kwh_per_km)) && evn_json_put(json, "use", both_json(is->use)) &&
        evn_json_put(json, "percent", both_json(is->percent)) &&
        evn_json_put(json, "against_first", evn_json_text(answers[evn_compare_beside_of_first(story, index, is)])) &&
        evn_json_put(json, "alike", alike_json(is)) && evn_json_put(json, "lines", lines_json(story->beside, index)))
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
    json_t *json = json_object();
    if (json && evn_json_put(json, "lineup", evn_json_text(evn_lineup_name(story->beside_lineup))) &&
        evn_json_put(json, "lineup_source", evn_json_text(evn_lineup_source(story->beside_lineup))) &&
        evn_json_put(json, "close_points", evn_json_real(EVN_BESIDE_CLOSE_POINTS)) &&
        evn_json_put(json, "answer", evn_json_text(answers[evn_compare_beside_answer(story)])) &&
        evn_json_put(json, sides[EVN_BESIDE_HERE], verdict_json(story, EVN_BESIDE_HERE)) &&
        evn_json_put(json, sides[EVN_BESIDE_THERE], verdict_json(story, EVN_BESIDE_THERE)) &&
        evn_json_put(json, "trucks", trucks_json(story)))
        return json;
    json_decref(json);
    return NULL;
}
