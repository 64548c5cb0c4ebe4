/* What held a truck back, out of coast-downs, as a JSON document. */
#include "show/coastdown_story.h"
#include "show/document.h"
#include "show/json_number.h"
#include <math.h>
#include <stdio.h>

/* ------------------------------------------------------------------------------------------------ figures */

static bool put_figures(json_t *document, const evn_coastdown *c, evn_coastdown_method method, const char *name)
{
    enum { KEY = 100 };
    evn_coastdown_figure f;
    bool made = true;
    for (size_t k = 0; made && evn_coastdown_figure_at(c, method, k, &f); k++) {
        const double value[] = {f.value, f.low, f.high};
        const char *const member[] = {"value", "low_95", "high_95"};
        char key[KEY];
        for (size_t i = 0; made && i < 3; i++) {
            snprintf(key, sizeof key, "%s.%s.%s", name, f.what.key, member[i]);
            made = evn_json_put(document, key, evn_json_real(value[i]));
        }
    }
    return made;
}

/* ------------------------------------------------------------------------------------------------ runs, bands */

static json_t *run_json(const evn_coastdown_run *run)
{
    json_t *at = json_object();
    if (at && evn_json_put(at, "file", evn_json_text(run->file)) && evn_json_put(at, "line", json_integer(run->line)) &&
        evn_json_put(at, "last_line", json_integer(run->last_line)) &&
        evn_json_put(at, "direction", json_string(run->back ? "back" : "out")) &&
        evn_json_put(at, "pair", run->pair > 0 ? json_integer((json_int_t)run->pair) : json_null()) &&
        evn_json_put(at, "from_km_h", evn_json_real(run->from_km_h)) &&
        evn_json_put(at, "to_km_h", evn_json_real(run->to_km_h)) &&
        evn_json_put(at, "duration_s", evn_json_real(run->duration_s)) &&
        evn_json_put(at, "wind_m_s", evn_json_real(run->wind_m_s)) &&
        evn_json_put(at, "air_density_kg_m3", evn_json_real(run->air_density_kg_m3)) &&
        evn_json_put(at, "grade_from", evn_json_text(run->grade_from)) &&
        evn_json_put(at, "rolling_coefficient", evn_json_real(run->rolling)) &&
        evn_json_put(at, "drag_area_m2", evn_json_real(run->drag_area_m2)) &&
        evn_json_put(at, "rms_km_h", evn_json_real(run->rms_km_h)) &&
        evn_json_put(at, "refused", evn_json_text(run->refused)) && evn_json_put(at, "why", evn_json_text(run->why)))
        return at;
    json_decref(at);
    return NULL;
}

static json_t *band_json(const evn_coastdown_band *b)
{
    json_t *at = json_object();
    if (at && evn_json_put(at, "run", json_integer((json_int_t)b->run + 1)) &&
        evn_json_put(at, "speed_km_h", evn_json_real(b->speed_km_h)) &&
        evn_json_put(at, "force_n", evn_json_real(b->force_n)) &&
        evn_json_put(at, "fitted_n", evn_json_real(b->fitted_n)))
        return at;
    json_decref(at);
    return NULL;
}

static bool put_list(json_t *document, const char *key, json_t *list, bool made)
{
    if (made)
        return evn_json_put(document, key, list);
    json_decref(list);
    return false;
}

static bool put_runs(json_t *document, const evn_coastdown *c)
{
    json_t *list = json_array();
    evn_coastdown_run run;
    bool made = list;
    for (size_t k = 0; made && evn_coastdown_run_at(c, k, &run); k++)
        made = json_array_append_new(list, run_json(&run)) == 0;
    return put_list(document, "runs", list, made);
}

static bool put_bands(json_t *document, const evn_coastdown *c)
{
    json_t *list = json_array();
    evn_coastdown_band band;
    bool made = list;
    for (size_t k = 0; made && evn_coastdown_band_at(c, k, &band); k++)
        made = json_array_append_new(list, band_json(&band)) == 0;
    return put_list(document, "bands", list, made);
}

/* ------------------------------------------------------------------------------------------------ the whole */

static bool put_told(json_t *document, const evn_coastdown *c)
{
    evn_coastdown_told t;
    return !evn_coastdown_told_of(c, &t) ||
           (evn_json_put(document, "agree", json_boolean(evn_coastdown_agree(c))) &&
            evn_json_put(document, "intervals", json_string(t.by_scatter ? "scatter_between_pairs" : "noise_alone")) &&
            evn_json_put(document, "correlation", evn_json_real(t.correlation)) &&
            evn_json_put(document, "runs_used", json_integer((json_int_t)t.used)) &&
            evn_json_put(document, "pairs", json_integer((json_int_t)t.pairs)) &&
            evn_json_put(document, "from_km_h", evn_json_real(t.from_km_h)) &&
            evn_json_put(document, "to_km_h", evn_json_real(t.to_km_h)) &&
            evn_json_put(document, "range_of_regulation", json_boolean(t.range_of_regulation)) &&
            evn_json_put(document, "wind", json_string(t.wind_found ? "found" : "measured_or_given")) &&
            evn_json_put(document, "mass_kg", evn_json_real(t.mass_kg)) &&
            evn_json_put(document, "rotating_kg", evn_json_real(t.rotating_kg)) &&
            evn_json_put(document, "air_density_kg_m3", evn_json_real(t.air_density_kg_m3)) &&
            evn_json_put(document, "fit.rms_km_h", evn_json_real(t.rms_km_h)) &&
            evn_json_put(document, "regression.rms_n", evn_json_real(t.rms_n)) &&
            evn_json_put(document, "dynamometer.a_n", evn_json_real(t.target_a_n)) &&
            evn_json_put(document, "dynamometer.b_n_s_m", evn_json_real(t.target_b_n_s_m)) &&
            evn_json_put(document, "dynamometer.c_n_s2_m2", evn_json_real(t.target_c_n_s2_m2)));
}

json_t *evn_coastdown_document(const evn_coastdown_story *s)
{
    json_t *document = evn_document_begin(EVN_COASTDOWN_SCHEMA, s->status);
    const evn_coastdown *c = s->coastdown;
    bool made = document && (!s->found || (put_figures(document, c, EVN_COASTDOWN_FIT, "fit") &&
                                           put_figures(document, c, EVN_COASTDOWN_REGRESSION, "regression") &&
                                           put_told(document, c)));
    if (made && c)
        made = put_runs(document, c) && put_bands(document, c);
    if (made)
        return document;
    json_decref(document);
    return NULL;
}

bool evn_coastdown_json(const evn_coastdown_story *s, const evn_findings *findings, FILE *to)
{
    json_t *document = evn_coastdown_document(s);
    return document && evn_document_end(document, findings, to);
}
