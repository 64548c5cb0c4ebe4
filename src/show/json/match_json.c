/* A truck held against a log, as a JSON document. */
#include "show/ask.h"
#include "show/document.h"
#include "show/json_number.h"
#include "show/match_story.h"
#include "show/names.h"
#include <math.h>

static bool put_list(json_t *document, const char *key, json_t *list, bool made)
{
    if (made)
        return evn_json_put(document, key, list);
    json_decref(list);
    return false;
}

/* ------------------------------------------------------------------------------------------------ parts */

static bool put_log(json_t *d, const evn_import_told *log)
{
    return evn_json_put(d, "log.distance_km", evn_json_real(log->distance_m / 1000)) &&
           evn_json_put(d, "log.duration_s", evn_json_real(log->duration_s)) &&
           evn_json_put(d, "log.rows", json_integer((json_int_t)log->rows)) &&
           evn_json_put(d, "log.speed_from", evn_json_text(log->speed_from)) &&
           evn_json_put(d, "log.speed_width_s", evn_json_real(log->speed_width_s)) &&
           evn_json_put(d, "log.grade_from", evn_json_text(log->grade_from)) &&
           evn_json_put(d, "log.grade_width_m", evn_json_real(log->grade_width_m)) &&
           evn_json_put(d, "log.climb_m", evn_json_real(log->climb_m));
}

static bool put_energy(json_t *d, const evn_match *m)
{
    evn_match_energy e;
    evn_match_energy_of(m, &e);
    if (!e.there)
        return evn_json_put(d, "energy", json_null());
    return evn_json_put(d, "energy.from", evn_json_text(e.from)) &&
           evn_json_put(d, "energy.log_kwh", evn_json_real(e.log_kwh)) &&
           evn_json_put(d, "energy.run_kwh", evn_json_real(e.run_kwh)) &&
           evn_json_put(d, "energy.difference_percent", evn_json_real(e.percent)) &&
           evn_json_put(d, "energy.low_95_percent", evn_json_real(e.low_percent)) &&
           evn_json_put(d, "energy.high_95_percent", evn_json_real(e.high_percent)) &&
           evn_json_put(d, "energy.explained_kwh", evn_json_real(e.fitted_kwh)) &&
           evn_json_put(d, "energy.blocks", json_integer((json_int_t)e.blocks)) &&
           evn_json_put(d, "energy.blocks_left_out", json_integer((json_int_t)e.blocks_lost)) &&
           evn_json_put(d, "energy.block_s", evn_json_real(e.block_s)) &&
           evn_json_put(d, "energy.parts", json_integer((json_int_t)e.parts)) &&
           evn_json_put(d, "energy.rms_kwh", evn_json_real(e.rms_kwh)) &&
           evn_json_put(d, "energy.explained_rms_kwh", evn_json_real(e.fitted_rms_kwh));
}

static json_t *error_json(const evn_match_error *e)
{
    json_t *at = json_object();
    if (at && evn_json_put(at, "key", evn_json_text(e->what.key)) &&
        evn_json_put(at, "unit", evn_json_text(e->what.unit)) &&
        evn_json_put(at, "rows", json_integer((json_int_t)e->rows)) &&
        evn_json_put(at, "mean_log", evn_json_real(e->mean_log)) &&
        evn_json_put(at, "mean_run", evn_json_real(e->mean_run)) && evn_json_put(at, "bias", evn_json_real(e->bias)) &&
        evn_json_put(at, "rms", evn_json_real(e->rms)) && evn_json_put(at, "furthest", evn_json_real(e->most)) &&
        evn_json_put(at, "furthest_at_s", evn_json_real(e->most_at_s)) &&
        evn_json_put(at, "explained_bias", evn_json_real(e->fitted_bias)) &&
        evn_json_put(at, "explained_rms", evn_json_real(e->fitted_rms)) &&
        evn_json_put(at, "middle_ratio", evn_json_real(e->middle_ratio)))
        return at;
    json_decref(at);
    return NULL;
}

static bool put_errors(json_t *d, const evn_match *m)
{
    json_t *list = json_array();
    evn_match_error e;
    bool made = list;
    for (size_t k = 0; made && evn_match_error_at(m, k, &e); k++)
        made = json_array_append_new(list, error_json(&e)) == 0;
    return put_list(d, "quantities", list, made);
}

static json_t *found_json(const evn_match *m, size_t index, const evn_match_found *f)
{
    json_t *at = json_object(), *together = json_object();
    evn_match_found other;
    bool made =
        at && together && evn_json_put(at, "key", evn_json_text(f->what.key)) &&
        evn_json_put(at, "unit", evn_json_text(f->what.unit)) && evn_json_put(at, "stated", evn_json_real(f->stated)) &&
        evn_json_put(at, "value", evn_json_real(f->value)) && evn_json_put(at, "low_95", evn_json_real(f->low)) &&
        evn_json_put(at, "high_95", evn_json_real(f->high)) &&
        evn_json_put(at, "alone_share", evn_json_real(f->alone_share)) &&
        evn_json_put(at, "differs", json_boolean(f->differs)) &&
        evn_json_put(at, "told_apart", json_boolean(!f->not_told_apart)) &&
        evn_json_put(at, "at_bound", json_boolean(f->at_bound));
    for (size_t j = 0; made && evn_match_found_at(m, j, &other); j++)
        made = j == index || evn_json_put(together, other.what.key, evn_json_real(evn_match_correlation(m, index, j)));
    made = made && json_object_set(at, "correlation", together) == 0;
    json_decref(together);
    if (made)
        return at;
    json_decref(at);
    return NULL;
}

static bool put_explained(json_t *d, const evn_match *m)
{
    evn_match_explained x;
    evn_match_found f;
    evn_match_explained_of(m, &x);
    if (!x.asked)
        return evn_json_put(d, "explained", json_null());
    json_t *list = json_array();
    bool made = list;
    for (size_t k = 0; made && evn_match_found_at(m, k, &f); k++)
        made = json_array_append_new(list, found_json(m, k, &f)) == 0;
    return put_list(d, "explained.parameters", list, made) &&
           evn_json_put(d, "explained.found", json_boolean(x.found)) &&
           evn_json_put(d, "explained.why_not", evn_json_text(x.why_not)) &&
           evn_json_put(d, "explained.share", evn_json_real(x.share)) &&
           evn_json_put(d, "explained.condition", evn_json_real(x.condition)) &&
           evn_json_put(d, "explained.intervals",
                        json_string(x.by_scatter ? "scatter_between_parts" : "noise_alone")) &&
           evn_json_put(d, "explained.runs", json_integer((json_int_t)x.runs));
}

/* ------------------------------------------------------------------------------------------------ the whole */

json_t *evn_match_document(const evn_match_story *s)
{
    json_t *d = evn_document_begin(EVN_MATCH_SCHEMA, s->status);
    bool made = d && evn_json_put(d, "truck", evn_json_text(s->truck)) &&
                evn_json_put(d, "truck_invented", s->truck ? json_boolean(s->truck_invented) : json_null()) &&
                evn_json_put(d, "log.file", evn_json_text(s->log));
    if (made && s->match) {
        evn_conditions ask = evn_match_conditions(s->match);
        made = put_energy(d, s->match) && put_explained(d, s->match) && put_errors(d, s->match) &&
               put_log(d, evn_match_import(s->match)) &&
               evn_json_put(d, "driver", evn_json_text(evn_driver_name(ask.driving.driver))) && evn_ask_put(d, &ask);
    }
    if (made)
        return d;
    json_decref(d);
    return NULL;
}

bool evn_match_json(const evn_match_story *s, const evn_findings *findings, FILE *to)
{
    json_t *document = evn_match_document(s);
    return document && evn_document_end(document, findings, to);
}
