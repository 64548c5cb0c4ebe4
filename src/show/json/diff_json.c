/* What differs between two documents, as a third. */
#include "show/diff_story.h"
#include "show/document.h"
#include "show/json_number.h"
#include <math.h>

static bool add_json(json_t *list, const char *key, json_t *first, json_t *second, double tolerance)
{
    json_t *json = json_object();
    bool made = json && evn_json_put(json, "key", evn_json_text(key)) && evn_json_put(json, "first", first) &&
                evn_json_put(json, "second", second) && evn_json_put(json, "tolerance", evn_json_real(tolerance));
    return json_array_append_new(list, json) == 0 && made;
}

bool evn_documents_json(const evn_documents *d, const char *schema, evn_status status, const evn_findings *findings,
                        FILE *to)
{
    const char *told = status == EVN_DONE ? "same" : status == EVN_ANSWER_NO ? "moved" : "failed";
    json_t *document = evn_document_begin(schema, told), *list = json_array();
    bool made = document && list;
    for (size_t i = 0; made && d && i < d->word_count; i++)
        made = add_json(list, d->word[i].key, evn_json_text(d->word[i].first), evn_json_text(d->word[i].second),
                        (double)NAN);
    for (size_t i = 0; made && d && i < d->moved_count; i++)
        made = add_json(list, d->moved[i].key, evn_json_real(d->moved[i].kept), evn_json_real(d->moved[i].now),
                        d->moved[i].tolerance);
    made = made && evn_json_put(document, "moved", json_incref(list));
    json_decref(list);
    if (!made) {
        json_decref(document);
        return false;
    }
    return evn_document_end(document, findings, to);
}
