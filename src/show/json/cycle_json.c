/* A cycle as a JSON document. */
#include "show/cycle_story.h"
#include "show/document.h"
#include "show/json_number.h"

bool evn_cycle_json(const evn_cycle *cycle, const evn_findings *findings, FILE *to)
{
    if (!cycle)
        return evn_document_failure(EVN_CYCLE_SCHEMA, findings, to);
    evn_figures figures = evn_figures_of_cycle(cycle);
    json_t *document = evn_document_begin(EVN_CYCLE_SCHEMA, "done");
    bool made = document && evn_json_put(document, "cycle", evn_json_text(evn_cycle_name(cycle))) &&
                evn_json_put(document, "source", evn_json_text(evn_cycle_source(cycle))) &&
                evn_document_figures(document, &figures);
    if (!made) {
        json_decref(document);
        return false;
    }
    return evn_document_end(document, findings, to);
}
