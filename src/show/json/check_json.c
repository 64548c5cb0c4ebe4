/* Kept results held against new ones, as a JSON document. */
#include "show/check_story.h"
#include "show/document.h"
#include "show/json_number.h"
#include "show/names.h"

static const char *const kinds[] = {[EVN_MOVED_NOT] = "same",
                                    [EVN_MOVED] = "moved",
                                    [EVN_MOVED_GONE] = "gone",
                                    [EVN_MOVED_TO_NONE] = "to_none",
                                    [EVN_MOVED_NEW] = "new"};

static json_t *quantity_json(const evn_moved_quantity *q)
{
    json_t *json = json_object();
    bool made = json && evn_json_put(json, "key", evn_json_text(q->key)) &&
                evn_json_put(json, "what", evn_json_text(kinds[q->moved])) &&
                evn_json_put(json, "kept", evn_json_real(q->kept)) &&
                evn_json_put(json, "now", evn_json_real(q->now)) &&
                evn_json_put(json, "tolerance", evn_json_real(q->tolerance));
    if (made)
        return json;
    json_decref(json);
    return NULL;
}

static json_t *moved_json(const evn_check *check, size_t index)
{
    json_t *list = json_array();
    evn_moved_quantity q;
    bool made = list;
    for (size_t k = 0; made && evn_check_moved_at(check, index, k, &q); k++)
        made = json_array_append_new(list, quantity_json(&q)) == 0;
    if (made)
        return list;
    json_decref(list);
    return NULL;
}

/* null: nothing is recorded to tell it by. */
static json_t *changed(const char *recorded, bool changed) { return recorded ? json_boolean(changed) : json_null(); }

static json_t *run_json(const evn_check_story *story, const evn_kept_run *run, size_t index, const evn_checked *checked)
{
    json_t *json = json_object();
    const char *status = checked->results ? evn_results_status(checked->results) : NULL;
    bool made = json && evn_json_put(json, "name", evn_json_text(run->name)) &&
                evn_json_put(json, "state", evn_json_text(evn_checked_state_name(checked->state))) &&
                evn_json_put(json, "status", evn_json_text(status)) &&
                evn_json_put(json, "kept_status", evn_json_text(run->status)) &&
                evn_json_put(json, "truck_changed", changed(run->kept_truck_hash, run->truck_changed)) &&
                evn_json_put(json, "cycle_changed", changed(run->kept_cycle_hash, run->cycle_changed)) &&
                evn_json_put(json, "ask_changed", changed(run->kept_ask_hash, run->ask_changed)) &&
                evn_json_put(json, "moved", moved_json(story->check, index));
    if (made)
        return json;
    json_decref(json);
    return NULL;
}

static const char *status_name(evn_status status)
{
    return status == EVN_DONE ? "same" : status == EVN_ANSWER_NO ? "moved" : "failed";
}

bool evn_check_json(const evn_check_story *story, const char *schema, evn_status status, const evn_findings *findings,
                    FILE *to)
{
    json_t *document = evn_document_begin(schema, status_name(status)), *list = json_array();
    evn_kept_run run;
    evn_checked checked;
    size_t index;
    bool made = document && list;
    for (size_t i = 0; made && story->kept && evn_kept_at(story->kept, i, &run); i++)
        if (evn_check_find(story->check, run.name, &index, &checked))
            made = json_array_append_new(list, run_json(story, &run, index, &checked)) == 0;
    made = made &&
           evn_json_put(document, "recorded_by", evn_json_text(story->kept ? evn_kept_program(story->kept) : NULL)) &&
           evn_json_put(document, "runs", json_incref(list));
    json_decref(list);
    if (!made) {
        json_decref(document);
        return false;
    }
    return evn_document_end(document, findings, to);
}
