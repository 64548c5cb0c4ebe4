/* The rows that results and traces have, limits and names that are others now, as a JSON document. */
#include "evener/traces.h"
#include "show/document.h"
#include "show/json_number.h"
#include "show/keys_story.h"

static json_t *quantities(bool (*at)(size_t, evn_quantity *))
{
    json_t *list = json_array();
    bool made = list;
    evn_quantity what;
    for (size_t i = 0; made && at(i, &what); i++)
        made = json_array_append_new(list, evn_document_row(what.key, &what)) == 0;
    if (made)
        return list;
    json_decref(list);
    return NULL;
}

static json_t *limits(void)
{
    json_t *list = json_array();
    bool made = list;
    const char *limit, *label;
    for (size_t i = 0; made && evn_limit_at(i, &limit, &label); i++)
        made = json_array_append_new(list, json_pack("{s:s, s:s}", "limit", limit, "label", label)) == 0;
    if (made)
        return list;
    json_decref(list);
    return NULL;
}

static json_t *renamed(void)
{
    json_t *list = json_array();
    bool made = list;
    evn_renaming is;
    for (size_t i = 0; made && evn_renamed_at(i, &is); i++)
        made = json_array_append_new(
                   list, json_pack("{s:s, s:s, s:s}", "before", is.before, "now", is.now, "of", is.of)) == 0;
    if (made)
        return list;
    json_decref(list);
    return NULL;
}

/* Rows of comparisons that stand beside the short list, each with the column of the CSV file. */
static json_t *comparison_rows(void)
{
    json_t *list = json_array();
    bool made = list;
    evn_compare_row row;
    for (size_t i = 0; made && evn_compare_row_beside(&i, &row);) {
        char column[EVN_COMPARE_COLUMN];
        json_t *json = evn_document_compare_row(&row);
        evn_compare_row_column(&row, column, sizeof column);
        made = json && evn_json_put(json, "csv_column", evn_json_text(column)) &&
               evn_json_put(json, "behind", evn_json_text(row.behind)) && json_array_append(list, json) == 0;
        json_decref(json);
    }
    if (made)
        return list;
    json_decref(list);
    return NULL;
}

bool evn_results_json(FILE *to)
{
    json_t *document = evn_document_begin(EVN_KEYS_SCHEMA, "done");
    bool made = document && evn_json_put(document, "results", quantities(evn_result_row_at)) &&
                evn_json_put(document, "comparison_rows", comparison_rows()) &&
                evn_json_put(document, "limits", limits()) &&
                evn_json_put(document, "trace_columns", quantities(evn_trace_quantity_at)) &&
                evn_json_put(document, "renamed", renamed());
    if (!made) {
        json_decref(document);
        return false;
    }
    evn_findings none = {0};
    return evn_document_end(document, &none, to);
}
