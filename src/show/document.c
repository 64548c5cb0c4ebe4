/* The frame of a JSON document, and parts that several documents have. */
#include "show/document.h"
#include "show/json_number.h"

json_t *evn_document_begin(const char *schema, const char *status)
{
    json_t *document = json_object();
    bool made = document && evn_json_put(document, "schema", evn_json_text(schema)) &&
                evn_json_put(document, "version", evn_json_text(evn_version())) &&
                evn_json_put(document, "status", evn_json_text(status));
    if (!made) {
        json_decref(document);
        return NULL;
    }
    return document;
}

bool evn_document_figures(json_t *document, const evn_figures *figures)
{
    size_t count = evn_figures_count(figures);
    for (size_t i = 0; i < count; i++) {
        evn_quantity what;
        double value;
        if (evn_figures_at(figures, i, &what, &value) &&
            !evn_json_put(document, what.key, evn_json_value(what.kind, value)))
            return false;
    }
    return true;
}

json_t *evn_document_row(const char *key, const evn_quantity *what)
{
    static const char *const kinds[] = {
        [EVN_REAL] = "real", [EVN_WHOLE] = "whole", [EVN_YES_NO] = "yes_no", [EVN_SHARE] = "share"};
    json_t *row = json_object();
    bool made =
        row && evn_json_put(row, "key", evn_json_text(key)) && evn_json_put(row, "label", evn_json_text(what->label)) &&
        evn_json_put(row, "short_label", evn_json_text(what->short_label)) &&
        evn_json_put(row, "unit", evn_json_text(what->unit)) &&
        evn_json_put(row, "kind", evn_json_text(kinds[what->kind])) &&
        evn_json_put(row, "digits", json_integer(what->digits)) && evn_json_put(row, "help", evn_json_text(what->help));
    if (made)
        return row;
    json_decref(row);
    return NULL;
}

json_t *evn_document_compare_row(const evn_compare_row *row)
{
    json_t *json = evn_document_row(row->path, &row->what);
    bool made = json &&
                (!evn_compare_row_is_text(row) || json_object_set_new(json, "kind", json_string("text")) == 0) &&
                evn_json_put(json, "change", evn_json_text(evn_row_change_name(row->change))) &&
                evn_json_put(json, "percent_from", evn_json_real(evn_compare_percent_from(row))) &&
                evn_json_put(json, "main", json_boolean(row->main > 0));
    if (made)
        return json;
    json_decref(json);
    return NULL;
}

static json_t *headline_json(void)
{
    json_t *list = json_array();
    evn_quantity what;
    bool made = list;
    for (size_t i = 0; made && evn_headline_at(i, &what); i++)
        made = json_array_append_new(list, evn_document_row(what.key, &what)) == 0;
    if (made)
        return list;
    json_decref(list);
    return NULL;
}

bool evn_document_headline(json_t *document) { return evn_json_put(document, "headline", headline_json()); }

bool evn_document_thresholds(json_t *document)
{
    return evn_json_put(document, "thresholds.below_target_km_h", evn_json_real(3.6 * EVN_BELOW_TARGET_M_S)) &&
           evn_json_put(document, "thresholds.alike_percent", evn_json_real(EVN_ALIKE_PERCENT));
}

static json_t *place_number(unsigned number) { return number > 0 ? json_integer((json_int_t)number) : json_null(); }

static json_t *finding_json(const evn_finding *finding)
{
    json_t *json = json_object();
    bool made = json && evn_json_put(json, "severity", evn_json_text(evn_severity_name(finding->severity))) &&
                evn_json_put(json, "fault", evn_json_text(finding->fault)) &&
                evn_json_put(json, "file", evn_json_text(finding->file)) &&
                evn_json_put(json, "line", place_number(finding->line)) &&
                evn_json_put(json, "column", place_number(finding->column));
    if (made && finding->used_from_file)
        made = evn_json_put(json, "used_from.file", evn_json_text(finding->used_from_file)) &&
               evn_json_put(json, "used_from.line", place_number(finding->used_from_line)) &&
               evn_json_put(json, "used_from.column", place_number(finding->used_from_column));
    made = made && evn_json_put(json, "text", evn_json_text(finding->text));
    if (!made) {
        json_decref(json);
        return NULL;
    }
    return json;
}

json_t *evn_limitation_json(const evn_limitation *is)
{
    json_t *json = json_object();
    bool made = json && evn_json_put(json, "limit", evn_json_text(is->limit)) &&
                evn_json_put(json, "label", evn_json_text(is->label)) &&
                evn_json_put(json, "duration_s", evn_json_real(is->duration_s)) &&
                evn_json_put(json, "at_km", evn_json_real(is->at_m / 1000)) &&
                evn_json_put(json, "below_target_km_h", evn_json_real(is->below_target_km_h));
    if (!made) {
        json_decref(json);
        return NULL;
    }
    return json;
}

static json_t *cause_json(const evn_friction_cause *is)
{
    json_t *json = json_object();
    if (json && evn_json_put(json, "cause", evn_json_text(is->cause)) &&
        evn_json_put(json, "label", evn_json_text(is->label)) && evn_json_put(json, "kwh", evn_json_real(is->kwh)))
        return json;
    json_decref(json);
    return NULL;
}

static json_t *peak_json(const evn_peak_temperature *is)
{
    json_t *json = json_object();
    if (json && evn_json_put(json, "part", evn_json_text(is->part)) &&
        evn_json_put(json, "of", evn_json_text(is->of)) &&
        evn_json_put(json, "peak_degc", evn_json_real(is->peak_degc)) &&
        evn_json_put(json, "low_degc", evn_json_real(is->low_degc)) &&
        evn_json_put(json, "high_degc", evn_json_real(is->high_degc)) &&
        evn_json_put(json, "derates_from_degc", evn_json_real(is->from_degc)) &&
        evn_json_put(json, "limit_degc", evn_json_real(is->limit_degc)))
        return json;
    json_decref(json);
    return NULL;
}

bool evn_document_brakes(json_t *document, const evn_results *results)
{
    json_t *causes = json_array(), *peaks = json_array();
    evn_friction_cause cause;
    evn_peak_temperature peak;
    bool made = causes && peaks;
    for (size_t i = 0; made && evn_results_friction_cause_at(results, i, &cause); i++)
        made = json_array_append_new(causes, cause_json(&cause)) == 0;
    for (size_t i = 0; made && evn_results_peak_temperature_at(results, i, &peak); i++)
        made = json_array_append_new(peaks, peak_json(&peak)) == 0;
    if (!made) {
        json_decref(causes);
        json_decref(peaks);
        return false;
    }
    bool put = evn_json_put(document, "friction_braking_causes", causes);
    return evn_json_put(document, "peak_temperatures", peaks) && put;
}

bool evn_document_findings(json_t *document, const evn_findings *findings)
{
    json_t *list = json_array();
    bool made = list;
    for (size_t i = 0; made && i < findings->count; i++)
        made = json_array_append_new(list, finding_json(&findings->at[i])) == 0;
    if (!made) {
        json_decref(list);
        return false;
    }
    return evn_json_put(document, "findings", list) &&
           evn_json_put(document, "findings_left_out", json_integer((json_int_t)findings->left_out));
}

bool evn_document_end(json_t *document, const evn_findings *findings, FILE *to)
{
    bool made = document && evn_document_findings(document, findings) && evn_json_print(document, to);
    json_decref(document);
    return made;
}

bool evn_document_failure(const char *schema, const evn_findings *findings, FILE *to)
{
    return evn_document_end(evn_document_begin(schema, "failed"), findings, to);
}
