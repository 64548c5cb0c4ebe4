/* What a finding can name, as a JSON document. */
#include "show/document.h"
#include "show/keys_story.h"

static json_t *row_of(const evn_fault_meaning *fault)
{
    return json_pack("{s:s, s:i, s:s, s:s}", "fault", fault->name, "exit_code", (int)fault->status, "severity",
                     evn_severity_name(fault->severity), "meaning", fault->meaning);
}

bool evn_faults_json(FILE *to)
{
    json_t *document = evn_document_begin(EVN_KEYS_SCHEMA, "done"), *rows = json_array();
    bool made = document && rows;
    evn_fault_meaning fault;
    for (size_t i = 0; made && evn_fault_at(i, &fault); i++)
        made = json_array_append_new(rows, row_of(&fault)) == 0;
    made = made && json_object_set(document, "faults", rows) == 0;
    json_decref(rows);
    if (!made) {
        json_decref(document);
        return false;
    }
    evn_findings none = {0};
    return evn_document_end(document, &none, to);
}
