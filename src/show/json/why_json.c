/* Why the trucks of a comparison differ, within its document: the difference by causes. */
#include "show/compare_causes.h"
#include "show/document.h"
#include "show/json_number.h"
#include <math.h>
#include <string.h>

static const char *const states[] = {"found", "not_driven", "stopped"};

/* Whether it holds what a layout is, what any layout could have, or was merged of both. */
static const char *const kinds[] = {"layout", "rest", "both"};

static json_t *cause_json(const evn_cause_row *row)
{
    json_t *json = json_object();
    if (json && evn_json_put(json, "key", evn_json_text(row->key)) &&
        evn_json_put(json, "label", evn_json_text(row->label)) &&
        evn_json_put(json, "meaning", evn_json_text(row->meaning)) &&
        evn_json_put(json, "of_layout", json_boolean(row->of_layout)))
        return json;
    json_decref(json);
    return NULL;
}

static json_t *causes_json(void)
{
    json_t *list = json_array();
    evn_cause_row row;
    for (size_t c = 0; list && evn_cause_row_at(c, &row); c++)
        if (json_array_append_new(list, cause_json(&row)) != 0) {
            json_decref(list);
            return NULL;
        }
    return list;
}

/* ------------------------------------------------------------------------------------------------ parts */

static json_t *amount_json(const char *key, const char *label, double part, double percent)
{
    json_t *json = json_object();
    if (json && evn_json_put(json, "key", evn_json_text(key)) && evn_json_put(json, "label", evn_json_text(label)) &&
        evn_json_put(json, "part", evn_json_real(part)) && evn_json_put(json, "percent", evn_json_real(percent)))
        return json;
    json_decref(json);
    return NULL;
}

static json_t *lines_json(const evn_causes *causes, size_t truck, size_t part)
{
    json_t *list = json_array();
    evn_cause_line is;
    for (size_t k = 0; list && evn_causes_line_at(causes, truck, part, k, &is); k++)
        if (json_array_append_new(list, amount_json(is.what.key, is.what.label, is.part, is.percent)) != 0) {
            json_decref(list);
            return NULL;
        }
    return list;
}

static json_t *keys_json(unsigned causes)
{
    json_t *list = json_array();
    evn_cause_row row;
    for (size_t c = 0; list && evn_cause_row_at(c, &row); c++)
        if (causes >> c & 1u && json_array_append_new(list, evn_json_text(row.key)) != 0) {
            json_decref(list);
            return NULL;
        }
    return list;
}

/* Paths of keys that differ, of all causes of a part. */
static json_t *differing_json(const evn_causes *causes, size_t truck, unsigned set)
{
    json_t *list = json_array();
    const char *path;
    for (unsigned c = 0; c < EVN_CAUSE_COUNT; c++)
        for (size_t k = 0; list && set >> c & 1u && evn_causes_differing_at(causes, truck, c, k, &path); k++)
            if (json_array_append_new(list, evn_json_text(path)) != 0) {
                json_decref(list);
                return NULL;
            }
    return list;
}

static json_t *part_json(const evn_causes *causes, size_t truck, size_t index, const evn_cause_part *is)
{
    char name[EVN_CAUSE_NAME_BYTES];
    json_t *json = json_object();
    if (json && evn_json_put(json, "causes", keys_json(is->causes)) &&
        evn_json_put(json, "label", evn_json_text(evn_cause_name(is->causes, name))) &&
        evn_json_put(json, "of", evn_json_text(kinds[evn_cause_kind_of(is->causes)])) &&
        evn_json_put(json, "alike", json_boolean(is->alike)) && evn_json_put(json, "part", evn_json_real(is->part)) &&
        evn_json_put(json, "percent", evn_json_real(is->percent)) &&
        evn_json_put(json, "least_percent", evn_json_real(is->least)) &&
        evn_json_put(json, "most_percent", evn_json_real(is->most)) &&
        evn_json_put(json, "hangs_on_order", json_boolean(evn_cause_part_hangs(is))) &&
        evn_json_put(json, "low_percent", evn_json_real(is->sure ? is->low_percent : (double)NAN)) &&
        evn_json_put(json, "high_percent", evn_json_real(is->sure ? is->high_percent : (double)NAN)) &&
        evn_json_put(json, "differing", differing_json(causes, truck, is->causes)) &&
        evn_json_put(json, "lines", lines_json(causes, truck, index)))
        return json;
    json_decref(json);
    return NULL;
}

static json_t *parts_json(const evn_causes *causes, size_t truck)
{
    json_t *list = json_array();
    evn_cause_part is;
    for (size_t k = 0; list && evn_causes_part_at(causes, truck, k, &is); k++)
        if (json_array_append_new(list, part_json(causes, truck, k, &is)) != 0) {
            json_decref(list);
            return NULL;
        }
    return list;
}

/* ------------------------------------------------------------------------------------------------ laws, merges */

static json_t *laws_json(const evn_causes *causes, size_t truck)
{
    json_t *list = json_array();
    evn_cause_law is;
    for (size_t k = 0; list && evn_causes_law_at(causes, truck, k, &is); k++) {
        json_t *one = amount_json(is.key, is.label, is.part, is.percent);
        bool made = one && evn_json_put(one, "why_not", evn_json_text(is.why_not));
        if (!made || json_array_append_new(list, one) != 0) {
            json_decref(list);
            return NULL;
        }
    }
    return list;
}

static json_t *merge_json(const evn_cause_merge *is)
{
    evn_cause_row one, other;
    json_t *json = json_object();
    if (json && evn_cause_row_at(is->one, &one) && evn_cause_row_at(is->other, &other) &&
        evn_json_put(json, "one", evn_json_text(one.key)) && evn_json_put(json, "other", evn_json_text(other.key)) &&
        evn_json_put(json, "reason", evn_json_text(is->reason)))
        return json;
    json_decref(json);
    return NULL;
}

static json_t *merges_json(const evn_causes *causes, size_t truck)
{
    json_t *list = json_array();
    evn_cause_merge is;
    for (size_t k = 0; list && evn_causes_merge_at(causes, truck, k, &is); k++)
        if (json_array_append_new(list, merge_json(&is)) != 0) {
            json_decref(list);
            return NULL;
        }
    return list;
}

/* ------------------------------------------------------------------------------------------------ a truck */

static bool put_facts(json_t *json, const evn_causes_pair *is)
{
    return evn_json_put(json, "first", evn_json_real(is->first)) &&
           evn_json_put(json, "other", evn_json_real(is->other)) &&
           evn_json_put(json, "first_parted", evn_json_real(is->first_parted)) &&
           evn_json_put(json, "other_parted", evn_json_real(is->other_parted)) &&
           evn_json_put(json, "layout", evn_json_real(is->layout)) &&
           evn_json_put(json, "rest", evn_json_real(is->rest)) &&
           evn_json_put(json, "mixed", evn_json_real(is->mixed)) &&
           evn_json_put(json, "laid_out_alike", json_boolean(is->laid_out_alike)) &&
           evn_json_put(json, "lowered_speed", evn_json_real(evn_compare_lowered(is))) &&
           evn_json_put(json, "slower_km_h", evn_json_real(is->slower_km_h)) &&
           evn_json_put(json, "below_pair_km_h", evn_json_real(is->below_pair_km_h)) &&
           evn_json_put(json, "own_speeds", evn_json_real(is->own_speed)) &&
           evn_json_put(json, "hybrids", json_integer((json_int_t)is->hybrids)) &&
           evn_json_put(json, "rounds", json_integer((json_int_t)is->rounds)) &&
           evn_json_put(json, "kept_speed", json_boolean(is->kept)) &&
           evn_json_put(json, "draws.asked", json_integer((json_int_t)is->draws_asked)) &&
           evn_json_put(json, "draws.done", json_integer((json_int_t)is->draws_done)) &&
           evn_json_put(json, "draws.failed", json_integer((json_int_t)is->draws_failed)) &&
           evn_json_put(json, "draws.late", json_integer((json_int_t)is->draws_late));
}

static json_t *truck_json(const evn_compare_story *story, size_t truck, const evn_causes_pair *is)
{
    json_t *json = json_object();
    bool found = is->state == EVN_CAUSES_FOUND;
    if (json && evn_json_put(json, "name", evn_json_text(evn_lineup_truck_name(story->lineup, truck))) &&
        evn_json_put(json, "state", evn_json_text(states[is->state])) && (!found || put_facts(json, is)) &&
        evn_json_put(json, "parts", parts_json(story->causes, truck)) &&
        evn_json_put(json, "laws", laws_json(story->causes, truck)) &&
        evn_json_put(json, "merged", merges_json(story->causes, truck)))
        return json;
    json_decref(json);
    return NULL;
}

static json_t *trucks_json(const evn_compare_story *story)
{
    json_t *list = json_array();
    evn_causes_pair is;
    for (size_t i = 0; list && i < evn_lineup_truck_count(story->lineup); i++)
        if (evn_causes_pair_at(story->causes, i, &is) && json_array_append_new(list, truck_json(story, i, &is)) != 0) {
            json_decref(list);
            return NULL;
        }
    return list;
}

/* Asked, and not begun: it was interrupted before, or neither the first truck nor two others finished. */
static json_t *nothing_found_json(const evn_compare_story *story)
{
    bool stopped = strcmp(story->status, "interrupted") == 0;
    json_t *json = json_object();
    if (json && evn_json_put(json, "status", evn_json_text(stopped ? "interrupted" : "not_found")) &&
        evn_json_put(json, "key", evn_json_text(evn_compare_decides_by(story)->key)) &&
        evn_json_put(json, "unit", evn_json_text(evn_compare_decides_by(story)->unit)) &&
        evn_json_put(json, "partial", json_boolean(stopped)) && evn_json_put(json, "causes", causes_json()) &&
        evn_json_put(json, "trucks", json_array()))
        return json;
    json_decref(json);
    return NULL;
}

json_t *evn_document_why(const evn_compare_story *story)
{
    if (!story->causes)
        return story->why_asked ? nothing_found_json(story) : json_null();
    bool partial = evn_causes_partial(story->causes);
    json_t *json = json_object();
    if (json && evn_json_put(json, "status", evn_json_text(partial ? "interrupted" : "found")) &&
        evn_json_put(json, "key", evn_json_text(evn_causes_key(story->causes))) &&
        evn_json_put(json, "unit", evn_json_text(evn_compare_decides_by(story)->unit)) &&
        evn_json_put(json, "average", evn_json_text("all_orders")) &&
        evn_json_put(json, "source", evn_json_text(evn_causes_source())) &&
        evn_json_put(json, "against",
                     evn_json_text(evn_lineup_truck_name(story->lineup, evn_causes_against(story->causes)))) &&
        evn_json_put(json, "partial", json_boolean(partial)) && evn_json_put(json, "causes", causes_json()) &&
        evn_json_put(json, "trucks", trucks_json(story)))
        return json;
    json_decref(json);
    return NULL;
}
