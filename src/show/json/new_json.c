/* What evener new wrote, as a JSON document. */
#include "show/document.h"
#include "show/json_number.h"
#include "show/new_story.h"

bool evn_new_json(const char *kind, const char *file, const evn_findings *findings, FILE *to)
{
    json_t *document = evn_document_begin(EVN_NEW_SCHEMA, file ? "done" : "failed");
    bool made = document && evn_json_put(document, "kind", evn_json_text(kind)) &&
                evn_json_put(document, "file", evn_json_text(file));
    if (!made) {
        json_decref(document);
        return false;
    }
    return evn_document_end(document, findings, to);
}
