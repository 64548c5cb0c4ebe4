/* The files there are in words: a table for each group. */
#include "show/list_story.h"
#include "show/report/table.h"
#include "show/text.h"
#include <stdlib.h>

static bool add_row(evn_table *table, const evn_item *item)
{
    char *title = evn_safe_text(item->title), *path = evn_safe_text(item->path), *name = evn_safe_text(item->name);
    bool added =
        title && path && name &&
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
    bool made = table, any = false;
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
