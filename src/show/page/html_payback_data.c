/* What charts of pages of what the dearer truck earns draw, of the document. */
#include "show/json_number.h"
#include "show/page/html_payback.h"
#include <string.h>

static bool is_charted(const char *key)
{
    static const char *const begin[] = {"per_km.", "cost.per_km", "extra.sum.", "extra.discounted."};
    for (size_t k = 0; key && k < sizeof begin / sizeof *begin; k++)
        if (strncmp(key, begin[k], strlen(begin[k])) == 0)
            return true;
    return false;
}

/* Key, label, unit and value of what charts draw. */
static json_t *figures_json(const json_t *figures)
{
    static const char *const kept[] = {"key", "label", "unit", "value"};
    json_t *list = json_array(), *figure;
    bool made = list;
    for (size_t i = 0; made && (figure = json_array_get(figures, i)); i++) {
        if (!is_charted(json_string_value(json_object_get(figure, "key"))))
            continue;
        json_t *json = json_object();
        made = json;
        for (size_t k = 0; made && k < sizeof kept / sizeof *kept; k++)
            made = json_object_set(json, kept[k], json_object_get(figure, kept[k])) == 0;
        made = made && json_array_append(list, json) == 0;
        json_decref(json);
    }
    return evn_json_if_made(made, list);
}

static json_t *trucks_json(const json_t *trucks)
{
    json_t *list = json_array(), *truck;
    bool made = list;
    for (size_t i = 0; made && (truck = json_array_get(trucks, i)); i++) {
        json_t *json = json_copy(truck);
        made = json && json_object_set_new(json, "figures", figures_json(json_object_get(truck, "figures"))) == 0 &&
               json_array_append(list, json) == 0;
        json_decref(json);
    }
    return evn_json_if_made(made, list);
}

static json_t *bases_json(const json_t *bases)
{
    json_t *list = json_array(), *basis;
    bool made = list;
    for (size_t i = 0; made && (basis = json_array_get(bases, i)); i++) {
        json_t *json = json_copy(basis);
        made = json && json_object_del(json, "advice") == 0 &&
               json_object_set_new(json, "trucks", trucks_json(json_object_get(basis, "trucks"))) == 0 &&
               json_array_append(list, json) == 0;
        json_decref(json);
    }
    return evn_json_if_made(made, list);
}

json_t *evn_html_payback_result(json_t *document)
{
    json_t *json = json_copy(document);
    bool made = json && json_object_set_new(json, "bases", bases_json(json_object_get(document, "bases"))) == 0;
    return evn_json_if_made(made, json);
}
