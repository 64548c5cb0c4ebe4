/* A run as a JSON document. */
#include "show/ask.h"
#include "show/document.h"
#include "show/drive_story.h"
#include "show/json_number.h"
#include "show/names.h"

static bool put_limitations(json_t *document, const evn_drive_story *story)
{
    json_t *list = json_array();
    bool made = list;
    for (size_t i = 0; made && i < story->limitation_count; i++)
        made = json_array_append_new(list, evn_limitation_json(&story->limitation[i])) == 0;
    if (!made) {
        json_decref(list);
        return false;
    }
    return evn_json_put(document, "limited_by", list);
}

static json_t *stop_json(const evn_chart *stops, size_t row)
{
    json_t *json = json_object();
    bool made = json;
    evn_quantity what;
    for (size_t k = 0; made && evn_chart_column_at(stops, k, &what); k++)
        made = evn_json_put(json, what.key, evn_json_real(evn_chart_row(stops, row)[k]));
    if (made)
        return json;
    json_decref(json);
    return NULL;
}

static bool put_stops(json_t *document, const evn_chart *stops)
{
    json_t *list = json_array();
    bool made = list;
    for (size_t row = 0; made && row < evn_chart_row_count(stops); row++)
        made = json_array_append_new(list, stop_json(stops, row)) == 0;
    if (!made) {
        json_decref(list);
        return false;
    }
    return evn_json_put(document, "stops", list);
}

static bool put_names(json_t *document, const evn_drive_story *story)
{
    json_t *invented = story->truck ? json_boolean(story->truck_invented) : json_null();
    return evn_json_put(document, "truck", evn_json_text(story->truck)) &&
           evn_json_put(document, "truck_invented", invented) &&
           evn_json_put(document, "cycle", evn_json_text(story->cycle)) &&
           evn_json_put(document, "cycle_source", evn_json_text(story->cycle_source)) &&
           evn_json_put(document, "driver", evn_json_text(evn_driver_name(story->ask.driving.driver))) &&
           evn_ask_put(document, &story->ask);
}

json_t *evn_drive_document(const evn_drive_story *story)
{
    json_t *document = evn_document_begin(EVN_DRIVE_SCHEMA, story->status);
    bool made = document && put_names(document, story);
    if (made && evn_figures_count(&story->figures) > 0)
        made = put_limitations(document, story) && evn_document_brakes(document, story->results) &&
               evn_document_figures(document, &story->figures) &&
               (!story->stops || put_stops(document, story->stops)) &&
               (!story->collective || evn_collective_put(document, story->collective, &story->damage)) &&
               evn_document_headline(document) && evn_document_thresholds(document);
    if (made)
        return document;
    json_decref(document);
    return NULL;
}

bool evn_drive_json(const evn_drive_story *story, const evn_findings *findings, FILE *to)
{
    json_t *document = evn_drive_document(story);
    return document && evn_document_end(document, findings, to);
}
