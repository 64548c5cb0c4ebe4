#include "show/document.h"
#include "show/json_number.h"
#include "show/list_story.h"
#include "show/table.h"
#include "show/text.h"
#include <stdlib.h>

const char *evn_group_name(evn_item_group group)
{
    static const char *const names[] = {"truck", "cycle", "lineup", "part", "other"};
    return names[group];
}

static bool add_row(evn_table *table, const evn_item *item)
{
    char *title = evn_safe_text(item->title), *path = evn_safe_text(item->path), *name = evn_safe_text(item->name);
    bool added =
        title != NULL && path != NULL && name != NULL &&
        evn_table_row(table, item->group == EVN_ITEM_PART ? (const char *const[]){name, item->kind, title, path}
                                                          : (const char *const[]){name, title, path, NULL});
    free(title);
    free(path);
    free(name);
    return added;
}

static bool put_group(const evn_list_story *story, evn_item_group group, bool *first, FILE *to, const evn_look *look)
{
    static const char *const headings[] = {"Trucks", "Cycles", "Lineups", "Parts", "Files that fit no kind"};
    static const evn_table_column columns[] = {{"", false}, {"", false}, {"", false}, {"", false}};
    evn_table *table = evn_table_new(columns, group == EVN_ITEM_PART ? 4 : 3, false);
    bool made = table != NULL, any = false;
    evn_item item;
    for (size_t i = 0; made && evn_catalogue_at(story->catalogue, i, &item); i++)
        if (item.group == group) {
            made = add_row(table, &item);
            any = true;
        }
    if (made && any) {
        if (!*first)
            fputc('\n', to);
        *first = false;
        evn_put_styled(to, look, EVN_STYLE_STRONG, headings[group]);
        fputc('\n', to);
        made = evn_table_print(table, to, "  ");
    }
    evn_table_free(table);
    return made;
}

bool evn_list_text(const evn_list_story *story, FILE *to, const evn_look *look)
{
    static const evn_item_group groups[] = {EVN_ITEM_TRUCK, EVN_ITEM_CYCLE, EVN_ITEM_LINEUP, EVN_ITEM_PART,
                                            EVN_ITEM_OTHER};
    bool first = true;
    for (size_t i = 0; i < sizeof groups / sizeof groups[0]; i++)
        if (story->wanted[groups[i]] && !put_group(story, groups[i], &first, to, look))
            return false;
    if (first)
        fputs("Nothing is there: no vehicles/ or cycles/ here, nothing in EVENER_PATH, nothing installed.\n", to);
    return true;
}

static json_t *item_json(const evn_item *item)
{
    json_t *json = json_object();
    if (json != NULL && evn_json_put(json, "group", evn_json_text(evn_group_name(item->group))) &&
        evn_json_put(json, "kind", evn_json_text(item->kind)) &&
        evn_json_put(json, "name", evn_json_text(item->name)) &&
        evn_json_put(json, "title", evn_json_text(item->title)) &&
        evn_json_put(json, "path", evn_json_text(item->path)))
        return json;
    json_decref(json);
    return NULL;
}

bool evn_list_json(const evn_list_story *story, evn_status status, const evn_findings *findings, FILE *to)
{
    json_t *document = evn_document_begin(EVN_LIST_SCHEMA, status == EVN_DONE ? "done" : "failed");
    json_t *items = json_array();
    bool made = document != NULL && items != NULL;
    evn_item item;
    for (size_t i = 0; made && evn_catalogue_at(story->catalogue, i, &item); i++)
        if (story->wanted[item.group])
            made = json_array_append_new(items, item_json(&item)) == 0;
    made = made && json_object_set(document, "items", items) == 0;
    json_decref(items);
    if (!made) {
        json_decref(document);
        return false;
    }
    return evn_document_end(document, findings, to);
}
