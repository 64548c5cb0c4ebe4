/* Trucks where they work as a JSON document: the answer first, then every figure with what decides it. */
#include "evener/values.h"
#include "show/ask.h"
#include "show/document.h"
#include "show/json_number.h"
#include "show/names.h"
#include "show/site_answer.h"
#include "show/site_story.h"
#include <stdlib.h>

typedef json_t *making(const evn_site_story *, size_t index);

static json_t *of_trucks(const evn_site_story *story, making *make)
{
    json_t *list = json_array();
    bool made = list;
    for (size_t i = 0; made && i < story->count; i++)
        made = json_array_append_new(list, make(story, i)) == 0;
    if (made)
        return list;
    json_decref(list);
    return NULL;
}

static json_t *figure_json(const evn_site_figure *f)
{
    json_t *json = json_object();
    bool made = json && evn_json_put(json, "value", evn_json_real(f->value)) &&
                evn_json_put(json, "unit", evn_json_text(f->what.unit)) &&
                evn_json_put(json, "limit", evn_json_real(f->limit)) &&
                evn_json_put(json, "margin", evn_json_real(f->margin)) &&
                evn_json_put(json, "demanded", json_boolean(f->demanded)) &&
                evn_json_put(json, "why", evn_json_text(f->why)) &&
                (!f->leg || evn_json_put(json, "leg", evn_json_text(f->leg))) &&
                evn_json_put(json, "source", evn_json_text(f->source));
    return evn_json_if_made(made, json);
}

static json_t *figures_json(const evn_site_story *story, size_t index)
{
    json_t *json = json_object();
    bool made = json;
    evn_site_figure figure;
    for (size_t k = 0; made && evn_site_at(story->truck[index].site, k, &figure); k++)
        if (evn_site_tells(story, figure.group))
            made = evn_json_put(json, figure.what.key, figure_json(&figure));
    return evn_json_if_made(made, json);
}

static json_t *truck_json(const evn_site_story *story, size_t index)
{
    const evn_site_truck *of = &story->truck[index];
    char hash[EVN_HASH_BYTES] = "";
    json_t *json = json_object();
    if (of->truck)
        evn_truck_hash(of->truck, hash);
    bool made =
        json && evn_json_put(json, "name", evn_json_text(of->name)) &&
        evn_json_put(json, "short_name", evn_json_text(evn_site_title(of))) &&
        evn_json_put(json, "truck", evn_json_text(of->truck ? evn_truck_name(of->truck) : NULL)) &&
        evn_json_put(json, "truck_invented", of->truck ? json_boolean(evn_truck_invented(of->truck)) : json_null()) &&
        evn_json_put(json, "hash", evn_json_text(of->truck ? hash : NULL)) &&
        evn_json_put(json, "kwh_per_km", evn_json_real(of->kwh_per_km)) &&
        evn_json_put(json, "figures", of->site ? figures_json(story, index) : json_null());
    return evn_json_if_made(made, json);
}

/* A figure of its truck's, by its key, with where it is so. */
static json_t *deciding_json(const evn_site_figure *f, const char *where)
{
    json_t *json = json_object();
    bool made = json && evn_json_put(json, "figure", evn_json_text(f->what.key)) &&
                evn_json_put(json, "value", evn_json_real(f->value)) &&
                evn_json_put(json, "unit", evn_json_text(f->what.unit)) &&
                evn_json_put(json, "limit", evn_json_real(f->limit)) &&
                evn_json_put(json, "margin", evn_json_real(f->margin)) &&
                evn_json_put(json, "where", evn_json_text(where[0] != '\0' ? where : NULL)) &&
                (!f->leg || evn_json_put(json, "leg", evn_json_text(f->leg)));
    return evn_json_if_made(made, json);
}

static json_t *decides_json(const evn_site_story *story, const evn_site *site)
{
    json_t *json = json_object();
    bool made = json;
    evn_site_deciding row;
    evn_site_figure f;
    char where[EVN_SITE_WHERE];
    for (size_t k = 0; made && evn_site_deciding_at(k, &row); k++)
        if (evn_site_decides(story, k, site, &f, where))
            made = evn_json_put(json, row.key, deciding_json(&f, where));
    return evn_json_if_made(made, json);
}

/* A text that is freed. */
static json_t *freed_text(char *text)
{
    json_t *json = text ? evn_json_text(text) : NULL;
    free(text);
    return json;
}

static bool all_are_found(const evn_site_story *story)
{
    bool all = true;
    for (size_t i = 0; i < story->count; i++)
        all = all && story->truck[i].site;
    return all;
}

static json_t *answer_json(const evn_site_story *story, size_t index)
{
    const evn_site_truck *of = &story->truck[index];
    json_t *json = json_object();
    bool made = json && evn_json_put(json, "truck", evn_json_text(of->name)) &&
                evn_json_put(json, "keeps_all_that_is_demanded",
                             of->site ? json_boolean(!of->unfinished && evn_site_meets_all(of->site)) : json_null()) &&
                evn_json_put(json, "decides", of->site ? decides_json(story, of->site) : json_null()) &&
                evn_json_put(json, "against", of->site ? freed_text(evn_site_against(story, index)) : json_null());
    return evn_json_if_made(made, json);
}

static json_t *row_json(const evn_site_figure *f)
{
    json_t *row = evn_document_row(f->what.key, &f->what);
    bool made = row && evn_json_put(row, "group", evn_json_text(f->group)) &&
                evn_json_put(row, "row", evn_json_text(f->row)) &&
                evn_json_put(row, "row_label", evn_json_text(f->row_label)) &&
                evn_json_put(row, "column", evn_json_text(f->column)) &&
                evn_json_put(row, "column_label", evn_json_text(f->column_label));
    return evn_json_if_made(made, row);
}

static json_t *rows_json(const evn_site_story *story)
{
    json_t *list = json_array();
    evn_site_rows rows = {.count = 0};
    bool made = list && evn_site_rows_of(story, &rows);
    for (size_t i = 0; made && i < rows.count; i++)
        made = json_array_append_new(list, row_json(&rows.at[i])) == 0;
    evn_site_rows_free(&rows);
    return evn_json_if_made(made, list);
}

static json_t *groups_json(const evn_site_story *story)
{
    const char *group, *title, *help;
    json_t *list = json_array();
    bool made = list;
    for (size_t i = 0; made && evn_site_group_at(i, &group, &title, &help); i++) {
        if (!evn_site_tells(story, group))
            continue;
        json_t *json = json_object();
        made = json && evn_json_put(json, "group", evn_json_text(group)) &&
               evn_json_put(json, "title", evn_json_text(title)) && evn_json_put(json, "help", evn_json_text(help)) &&
               json_array_append(list, json) == 0;
        json_decref(json);
    }
    return evn_json_if_made(made, list);
}

static json_t *ask_json(const evn_site_ask *ask)
{
    json_t *json = json_object();
    bool made = json && evn_json_put(json, "rut_mm", evn_json_real(ask->rut_mm)) &&
                evn_json_put(json, "crown_mm", evn_json_real(ask->crown_mm)) &&
                evn_json_put(json, "clearance_mm", evn_json_real(ask->clearance_mm)) &&
                evn_json_put(json, "kwh_per_km", evn_json_real(ask->kwh_per_km)) &&
                evn_json_put(json, "unevenness", evn_json_text(evn_unevenness_names[ask->unevenness])) &&
                evn_json_put(json, "unevenness_m3", evn_json_real(ask->unevenness_m3)) &&
                evn_json_put(json, "speed_km_h", evn_json_real(ask->speed_km_h)) &&
                evn_json_put(json, "ride_s", evn_json_real(ask->ride_s)) &&
                evn_json_put(json, "ride_to_hz", evn_json_real(ask->ride_to_hz)) &&
                evn_json_put(json, "over_time", json_boolean(ask->over_time)) &&
                evn_json_put(json, "seed", evn_json_real(ask->seed)) &&
                evn_json_put(json, "intermodal", json_boolean(ask->intermodal)) &&
                evn_json_put(json, "rules", evn_json_text(evn_rules_name(ask->rules)));
    return evn_json_if_made(made, json);
}

json_t *evn_site_document(const evn_site_story *story)
{
    json_t *document = evn_document_begin(EVN_SITE_SCHEMA, story->status);
    bool made = document && evn_json_put(document, "answer", of_trucks(story, answer_json)) &&
                evn_json_put(document, "differences",
                             all_are_found(story) ? freed_text(evn_site_differences(story)) : json_null()) &&
                evn_ask_put(document, &story->ask) && evn_json_put(document, "site", ask_json(&story->site_ask)) &&
                evn_json_put(document, "trucks", of_trucks(story, truck_json)) &&
                evn_json_put(document, "groups", groups_json(story)) &&
                evn_json_put(document, "rows", rows_json(story)) &&
                evn_json_put(document, "caution", evn_json_text(EVN_SITE_CAUTION));
    return evn_json_if_made(made, document);
}

bool evn_site_json(const evn_site_story *story, const evn_findings *findings, FILE *to)
{
    json_t *document = evn_site_document(story);
    return document && evn_document_end(document, findings, to);
}
