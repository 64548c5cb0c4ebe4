/* What is not known of the data, within the document of a comparison: how sure each difference is, which datum makes it
 * so. */
#include "show/compare_sureness.h"
#include "show/document.h"
#include "show/json_number.h"
#include "show/names.h"
#include <math.h>

static json_t *name_of(const evn_compare_story *story, size_t truck)
{
    return evn_json_text(evn_lineup_truck_name(story->lineup, truck));
}

/* ------------------------------------------------------------------------------------------------ one difference */

static json_t *sureness_json(const evn_sureness *is)
{
    json_t *json = json_object();
    if (json && evn_json_put(json, "by", evn_json_text(evn_method_name(is->by))) &&
        evn_json_put(json, "draws", json_integer((json_int_t)is->draws)) &&
        evn_json_put(json, "percent", evn_json_real(is->nominal_percent)) &&
        evn_json_put(json, "mean_percent", evn_json_real(is->mean_percent)) &&
        evn_json_put(json, "standard_percent", evn_json_real(is->standard_percent)) &&
        evn_json_put(json, "low_percent", evn_json_real(is->low_percent)) &&
        evn_json_put(json, "high_percent", evn_json_real(is->high_percent)) &&
        evn_json_put(json, "probability_lower", evn_json_real(is->probability_lower)) &&
        evn_json_put(json, "low_error_percent", evn_json_real(is->low_error_percent)) &&
        evn_json_put(json, "high_error_percent", evn_json_real(is->high_error_percent)) &&
        evn_json_put(json, "probability_error", evn_json_real(is->probability_error)) &&
        evn_json_put(json, "apart", evn_json_text(evn_apart_name(is->apart))) &&
        evn_json_put(json, "hangs_on_draws", json_boolean(is->hangs_on_draws)) &&
        evn_json_put(json, "failed", json_integer((json_int_t)is->failed)) &&
        evn_json_put(json, "fails_often", json_boolean(is->fails_often)) &&
        evn_json_put(json, "nominal_aside", json_boolean(is->nominal_aside)))
        return json;
    json_decref(json);
    return NULL;
}

/* By one way on one basis; null: nothing. */
static json_t *between_json(const evn_compare_story *story, const evn_compare_pair *pair, evn_basis basis,
                            evn_uncertainty_method by)
{
    evn_sureness is;
    return evn_compare_sure_between(story->uncertainty, pair->truck, pair->other, basis, by, &is) ? sureness_json(&is)
                                                                                                  : json_null();
}

static json_t *share_json(const evn_share *is)
{
    json_t *json = json_object();
    if (json && evn_json_put(json, "datum", json_integer((json_int_t)is->datum)) &&
        evn_json_put(json, "share", evn_json_real(is->share)) &&
        evn_json_put(json, "slope_percent", evn_json_real(is->slope_percent)) &&
        evn_json_put(json, "second_percent", evn_json_real(is->second_percent)) &&
        evn_json_put(json, "bends", json_boolean(is->bends)) &&
        evn_json_put(json, "half_low_percent", evn_json_real(is->half_low_percent)) &&
        evn_json_put(json, "half_high_percent", evn_json_real(is->half_high_percent)))
        return json;
    json_decref(json);
    return NULL;
}

static json_t *shares_json(const evn_compare_story *story, const evn_compare_pair *pair, evn_basis basis)
{
    json_t *list = json_array();
    evn_share is;
    for (size_t k = 0; list && evn_uncertainty_share_at(story->uncertainty, pair->truck, pair->other, basis, k, &is);
         k++)
        if (json_array_append_new(list, share_json(&is)) != 0) {
            json_decref(list);
            return NULL;
        }
    return list;
}

/* What is told of it (by draws where there are any), both ways, and what makes it so unsure. */
static json_t *on_basis_json(const evn_compare_story *story, const evn_compare_pair *pair, evn_basis basis)
{
    evn_sureness told;
    json_t *json = json_object();
    bool any =
        evn_compare_sure_between(story->uncertainty, pair->truck, pair->other, basis, EVN_UNCERTAINTY_OFF, &told);
    if (json && evn_json_put(json, "told", any ? sureness_json(&told) : json_null()) &&
        evn_json_put(json, "first_order", between_json(story, pair, basis, EVN_UNCERTAINTY_FIRST_ORDER)) &&
        evn_json_put(json, "draws", between_json(story, pair, basis, EVN_UNCERTAINTY_DRAWS)) &&
        evn_json_put(json, "shares", shares_json(story, pair, basis)))
        return json;
    json_decref(json);
    return NULL;
}

static json_t *pair_json(const evn_compare_story *story, const evn_compare_pair *pair)
{
    json_t *json = json_object();
    bool made = json && evn_json_put(json, "truck", name_of(story, pair->truck)) &&
                evn_json_put(json, "other", name_of(story, pair->other));
    for (int basis = EVN_BASIS_OWN; made && basis <= EVN_BASIS_COMMON; basis++)
        made = evn_json_put(json, evn_basis_name((evn_basis)basis), on_basis_json(story, pair, (evn_basis)basis));
    if (made)
        return json;
    json_decref(json);
    return NULL;
}

static json_t *pairs_json(const evn_compare_story *story)
{
    json_t *list = json_array();
    evn_compare_pair pair;
    for (size_t k = 0; list && evn_compare_pair_at(story, k, &pair); k++)
        if (json_array_append_new(list, pair_json(story, &pair)) != 0) {
            json_decref(list);
            return NULL;
        }
    return list;
}

static json_t *best_json(const evn_compare_story *story)
{
    evn_compare_pair pair;
    if (!evn_compare_best_pair(story, &pair))
        return json_null();
    json_t *json = json_object();
    if (json && evn_json_put(json, "truck", name_of(story, pair.truck)) &&
        evn_json_put(json, "other", name_of(story, pair.other)))
        return json;
    json_decref(json);
    return NULL;
}

/* ------------------------------------------------------------------------------------------------ data */

static json_t *trucks_of_datum(const evn_compare_story *story, const evn_datum *is)
{
    json_t *list = json_array();
    for (size_t i = 0; list && i < evn_lineup_truck_count(story->lineup); i++)
        if ((is->trucks >> i & 1u) != 0 && json_array_append_new(list, name_of(story, i)) != 0) {
            json_decref(list);
            return NULL;
        }
    return list;
}

static json_t *number_json(const evn_datum_number *is)
{
    json_t *json = json_object();
    if (json && evn_json_put(json, "path", evn_json_text(is->path)) &&
        evn_json_put(json, "value", evn_json_real(is->value)) &&
        evn_json_put(json, "half_width", evn_json_real(is->half_width)) &&
        evn_json_put(json, "offset", evn_json_real(is->offset)) &&
        evn_json_put(json, "shape", evn_json_text(evn_shape_name(is->shape))))
        return json;
    json_decref(json);
    return NULL;
}

static json_t *numbers_of_datum(const evn_compare_story *story, size_t datum)
{
    json_t *list = json_array();
    evn_datum_number is;
    for (size_t k = 0; list && evn_uncertainty_number_at(story->uncertainty, k, &is); k++)
        if (is.datum == datum && json_array_append_new(list, number_json(&is)) != 0) {
            json_decref(list);
            return NULL;
        }
    return list;
}

static json_t *datum_json(const evn_compare_story *story, size_t datum, const evn_datum *is)
{
    json_t *json = json_object();
    if (json && evn_json_put(json, "label", evn_json_text(is->label)) &&
        evn_json_put(json, "path", evn_json_text(is->path)) && evn_json_put(json, "unit", evn_json_text(is->unit)) &&
        evn_json_put(json, "value", evn_json_real(is->value)) &&
        evn_json_put(json, "half_width", evn_json_real(is->half_width)) &&
        evn_json_put(json, "relative", evn_json_real(is->relative)) &&
        evn_json_put(json, "offset", evn_json_real(is->offset)) &&
        evn_json_put(json, "shape", evn_json_text(evn_shape_name(is->shape))) &&
        evn_json_put(json, "errs_with", evn_json_text(is->errs_with)) &&
        evn_json_put(json, "source", evn_json_text(is->source)) &&
        evn_json_put(json, "by_default", json_boolean(is->by_default)) &&
        evn_json_put(json, "file", evn_json_text(is->file)) &&
        evn_json_put(json, "line", is->file ? json_integer(is->line) : json_null()) &&
        evn_json_put(json, "values", json_integer((json_int_t)is->values)) &&
        evn_json_put(json, "numbers", numbers_of_datum(story, datum)) &&
        evn_json_put(json, "trucks", trucks_of_datum(story, is)))
        return json;
    json_decref(json);
    return NULL;
}

static json_t *data_json(const evn_compare_story *story)
{
    json_t *list = json_array();
    evn_datum is;
    for (size_t k = 0; list && evn_uncertainty_datum_at(story->uncertainty, k, &is); k++)
        if (json_array_append_new(list, datum_json(story, k, &is)) != 0) {
            json_decref(list);
            return NULL;
        }
    return list;
}

/* ------------------------------------------------------------------------------------------------ the whole */

static bool put_facts(json_t *json, const evn_uncertainty *of)
{
    evn_uncertainty_facts is = evn_uncertainty_how_found(of);
    return evn_json_put(json, "method", evn_json_text(evn_method_name(is.method))) &&
           evn_json_put(json, "key", evn_json_text(evn_uncertainty_key(of))) &&
           evn_json_put(json, "interval", evn_json_real(0.90)) &&
           evn_json_put(json, "partial", json_boolean(is.partial)) &&
           evn_json_put(json, "draws_asked", json_integer((json_int_t)is.draws_asked)) &&
           evn_json_put(json, "draws_done", json_integer((json_int_t)is.draws_done)) &&
           evn_json_put(json, "seed", json_integer((json_int_t)is.seed)) &&
           evn_json_put(json, "fell_short", json_integer((json_int_t)is.fell_short)) &&
           evn_json_put(json, "failed", json_integer((json_int_t)is.failed)) &&
           evn_json_put(json, "held_at_bounds", json_integer((json_int_t)is.held_at_bounds)) &&
           evn_json_put(json, "speed_margin", evn_json_real(is.speed_margin)) &&
           evn_json_put(json, "uneven", json_integer((json_int_t)is.uneven)) &&
           evn_json_put(json, "speed_moved_percent", evn_json_real(is.speed_moved_percent));
}

static json_t *failed_json(const evn_compare_story *story, size_t truck, const evn_failed_draws *is)
{
    json_t *json = json_object();
    if (json && evn_json_put(json, "truck", name_of(story, truck)) &&
        evn_json_put(json, "draws", json_integer((json_int_t)is->draws)) &&
        evn_json_put(json, "reason", evn_json_text(is->reason)))
        return json;
    json_decref(json);
    return NULL;
}

/* Trucks that did not finish in some draws. */
static json_t *failed_by_truck(const evn_compare_story *story)
{
    json_t *list = json_array();
    evn_failed_draws is;
    for (size_t i = 0; list && i < evn_lineup_truck_count(story->lineup); i++)
        if (evn_uncertainty_failed_at(story->uncertainty, i, &is) &&
            json_array_append_new(list, failed_json(story, i, &is)) != 0) {
            json_decref(list);
            return NULL;
        }
    return list;
}

/* Stopped before it came to any interval. */
static bool tells_nothing(const evn_compare_story *story)
{
    evn_compare_pair pair;
    evn_sureness is;
    for (size_t k = 0; evn_compare_pair_at(story, k, &pair); k++)
        for (int basis = EVN_BASIS_OWN; basis <= EVN_BASIS_COMMON; basis++)
            if (evn_compare_sure_between(story->uncertainty, pair.truck, pair.other, (evn_basis)basis,
                                         EVN_UNCERTAINTY_OFF, &is))
                return false;
    return true;
}

json_t *evn_document_sure(const evn_compare_story *story)
{
    json_t *json = json_object();
    bool stopped = story->uncertainty && evn_uncertainty_how_found(story->uncertainty).partial && tells_nothing(story);
    evn_sure_state state = stopped ? EVN_SURE_NOT_FOUND : story->sure;
    const char *why_not = stopped ? "stopped before any interval was found" : story->sure_why;
    bool made = json && evn_json_put(json, "state", evn_json_text(evn_sure_name(state))) &&
                evn_json_put(json, "why_not", evn_json_text(why_not)) &&
                evn_json_put(json, "work", evn_json_real(story->uncertainty_work)) &&
                evn_json_put(json, "work_unasked", evn_json_real(EVN_UNCERTAINTY_WORK_USUAL));
    if (made && story->uncertainty)
        made = put_facts(json, story->uncertainty) && evn_json_put(json, "failed_by_truck", failed_by_truck(story)) &&
               evn_json_put(json, "best_against_next", best_json(story)) &&
               evn_json_put(json, "pairs", pairs_json(story)) && evn_json_put(json, "data", data_json(story));
    if (made)
        return json;
    json_decref(json);
    return NULL;
}

/* ------------------------------------------------------------------------------------------------ who leads */

/* None where how sure that is was not found. */
json_t *evn_document_leading(const evn_compare_story *story, evn_basis basis, bool meeting)
{
    enum { TRUCKS_MOST = 12 };
    size_t truck[TRUCKS_MOST], count = evn_compare_leading(story, basis, meeting, truck);
    evn_compare_apart apart;
    if (count >= 2 && evn_compare_tell_apart(story, truck[0], truck[1], basis, &apart) && apart.open)
        count = 0;
    json_t *list = json_array();
    for (size_t k = 0; list && k < count; k++)
        if (json_array_append_new(list, name_of(story, truck[k])) != 0) {
            json_decref(list);
            return NULL;
        }
    return list;
}
