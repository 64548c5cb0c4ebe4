/* The files there are as a JSON document. */
#include "show/document.h"
#include "show/json_number.h"
#include "show/list_story.h"
#include "show/names.h"

static json_t *item_json(const evn_item *item)
{
    json_t *json = json_object();
    if (json && evn_json_put(json, "group", evn_json_text(evn_group_name(item->group))) &&
        evn_json_put(json, "kind", evn_json_text(item->kind)) &&
        evn_json_put(json, "name", evn_json_text(item->name)) &&
        evn_json_put(json, "title", evn_json_text(item->title)) &&
        evn_json_put(json, "path", evn_json_text(item->path)))
        return json;
    json_decref(json);
    return NULL;
}

bool evn_list_json(const evn_list_story *story, evn_status status, const evn_findings *findings, FILE *to)
{
    json_t *document = evn_document_begin(EVN_LIST_SCHEMA, status == EVN_DONE ? "done" : "failed");
    json_t *items = json_array();
    bool made = document && items;
    evn_item item;
    for (size_t i = 0; made && evn_catalogue_at(story->catalogue, i, &item); i++)
        if (evn_list_wants(story, &item))
            made = json_array_append_new(items, item_json(&item)) == 0;
    made = made && json_object_set(document, "items", items) == 0;
    json_decref(items);
    if (!made) {
        json_decref(document);
        return false;
    }
    return evn_document_end(document, findings, to);
}
