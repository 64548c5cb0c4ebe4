#include "show/check_story.h"
#include "show/document.h"
#include "show/json_number.h"
#include <math.h>
#include <string.h>

static const char *const states[] = {[EVN_CHECKED_SAME] = "same",
                                     [EVN_CHECKED_MOVED] = "moved",
                                     [EVN_CHECKED_NEW] = "not_recorded",
                                     [EVN_CHECKED_NOT_RUN] = "not_driven"};

static const char *const kinds[] = {[EVN_MOVED_NOT] = "same",
                                    [EVN_MOVED] = "moved",
                                    [EVN_MOVED_GONE] = "gone",
                                    [EVN_MOVED_TO_NONE] = "to_none",
                                    [EVN_MOVED_NEW] = "new"};

static json_t *quantity_json(const evn_moved_quantity *q)
{
    json_t *json = json_object();
    bool made = json != NULL && evn_json_put(json, "key", evn_json_text(q->key)) &&
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
    bool made = list != NULL;
    for (size_t k = 0; made && evn_check_moved_at(check, index, k, &q); k++)
        made = json_array_append_new(list, quantity_json(&q)) == 0;
    if (made)
        return list;
    json_decref(list);
    return NULL;
}

static json_t *run_json(const evn_check_story *story, const evn_kept_run *run, size_t index, const evn_checked *checked)
{
    json_t *json = json_object();
    const char *status = checked->results != NULL ? evn_results_status(checked->results) : NULL;
    bool made = json != NULL && evn_json_put(json, "name", evn_json_text(run->name)) &&
                evn_json_put(json, "state", evn_json_text(states[checked->state])) &&
                evn_json_put(json, "status", evn_json_text(status)) &&
                evn_json_put(json, "kept_status", evn_json_text(run->status)) &&
                evn_json_put(json, "truck_changed", json_boolean(run->truck_changed)) &&
                evn_json_put(json, "cycle_changed", json_boolean(run->cycle_changed)) &&
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
    bool made = document != NULL && list != NULL;
    for (size_t i = 0; made && story->kept != NULL && evn_kept_at(story->kept, i, &run); i++)
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

/* ------------------------------------------------------------------------------------------------ for build servers */

static bool is_well(evn_checked_state state) { return state == EVN_CHECKED_SAME; }

static void put_number(double value, FILE *to)
{
    if (isfinite(value))
        fprintf(to, "%.9g", value);
    else
        fputs("none", to);
}

/* A line of what moved, for reports that have room for one. */
static void put_short(const evn_check *check, size_t index, const evn_checked *checked, FILE *to)
{
    evn_moved_quantity q;
    fputs(states[checked->state], to);
    for (size_t k = 0; evn_check_moved_at(check, index, k, &q); k++) {
        fprintf(to, "; %s ", q.key);
        put_number(q.kept, to);
        fputs(" kept, ", to);
        put_number(q.now, to);
        fputs(" now", to);
    }
}

void evn_check_tap(const evn_check_story *story, FILE *to)
{
    evn_kept_run run;
    evn_checked checked;
    size_t index, number = 0, count = 0;
    for (size_t i = 0; evn_kept_at(story->kept, i, &run); i++)
        count += evn_check_find(story->check, run.name, &index, &checked);
    fprintf(to, "TAP version 13\n1..%zu\n", count);
    for (size_t i = 0; evn_kept_at(story->kept, i, &run); i++) {
        if (!evn_check_find(story->check, run.name, &index, &checked))
            continue;
        fprintf(to, "%sok %zu - %s\n", is_well(checked.state) ? "" : "not ", ++number, run.name);
        if (!is_well(checked.state)) {
            fputs("# ", to);
            put_short(story->check, index, &checked, to);
            fputc('\n', to);
        }
    }
}

static void put_xml(const char *text, FILE *to)
{
    for (; *text != '\0'; text++)
        switch (*text) {
        case '<':
            fputs("&lt;", to);
            break;
        case '>':
            fputs("&gt;", to);
            break;
        case '&':
            fputs("&amp;", to);
            break;
        case '"':
            fputs("&quot;", to);
            break;
        default: /* control characters have no place in XML */
            fputc((unsigned char)*text < ' ' ? ' ' : *text, to);
        }
}

void evn_check_junit(const evn_check_story *story, FILE *to)
{
    evn_kept_run run;
    evn_checked checked;
    size_t index, count = 0, failures = 0;
    for (size_t i = 0; evn_kept_at(story->kept, i, &run); i++)
        if (evn_check_find(story->check, run.name, &index, &checked)) {
            count++;
            failures += !is_well(checked.state);
        }
    fputs("<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n<testsuite name=\"", to);
    put_xml(story->file, to);
    fprintf(to, "\" tests=\"%zu\" failures=\"%zu\">\n", count, failures);
    for (size_t i = 0; evn_kept_at(story->kept, i, &run); i++) {
        if (!evn_check_find(story->check, run.name, &index, &checked))
            continue;
        fputs("  <testcase classname=\"kept\" name=\"", to);
        put_xml(run.name, to);
        fputs(is_well(checked.state) ? "\"/>\n" : "\"><failure>", to);
        if (!is_well(checked.state)) {
            put_short(story->check, index, &checked, to);
            fputs("</failure></testcase>\n", to);
        }
    }
    fputs("</testsuite>\n", to);
}
