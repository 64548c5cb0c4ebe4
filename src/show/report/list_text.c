/* The files there are in words: group by group, those of a folder, and parts of a kind, below a line of their own. */
#define _POSIX_C_SOURCE 200809L
#include "show/list_story.h"
#include "show/report/table.h"
#include "show/text.h"
#include <stdlib.h>
#include <string.h>

static const evn_table_column columns[] = {{"", false, false}, {"", false, true}};

/* The folder of a file is all of its path before its last step. */
static size_t folder_length(const char *path)
{
    const char *slash = strrchr(path, '/');
    return slash ? (size_t)(slash - path) : 0;
}

/* Files that stand below one line. */
static bool together(const evn_item *a, const evn_item *b)
{
    size_t length = folder_length(a->path);
    bool one_kind = a->group != EVN_ITEM_PART || strcmp(a->kind, b->kind) == 0;
    return one_kind && length == folder_length(b->path) && strncmp(a->path, b->path, length) == 0;
}

static bool add_row(evn_table *table, const evn_item *item)
{
    char *title = evn_safe_text(item->title), *name = evn_safe_text(item->name);
    bool added = title && name && evn_table_row(table, (const char *const[]){name, title});
    free(title);
    free(name);
    return added;
}

/* "battery, in vehicles/parts/" */
static bool put_folder(const evn_item *item, FILE *to)
{
    char *folder = strndup(item->path, folder_length(item->path));
    if (!folder)
        return false;
    fprintf(to, "  %s%s", item->group == EVN_ITEM_PART ? item->kind : "", item->group == EVN_ITEM_PART ? ", in " : "");
    evn_put_safe(to, folder); /* whole, so that it can be copied */
    fputs("/\n", to);
    free(folder);
    return true;
}

/* The next item from `index` on that is wanted; false: none. */
static bool next_of(const evn_list_story *story, evn_item_group group, size_t *index, evn_item *out)
{
    for (; evn_catalogue_at(story->catalogue, *index, out); ++*index)
        if (out->group == group && evn_list_wants(story, out))
            return true;
    return false;
}

/* Whether a file that stands below the same line came before: that is told already. */
static bool is_told(const evn_list_story *story, size_t index, const evn_item *item)
{
    evn_item before;
    for (size_t i = 0; i < index && evn_catalogue_at(story->catalogue, i, &before); i++)
        if (before.group == item->group && evn_list_wants(story, &before) && together(&before, item))
            return true;
    return false;
}

static bool put_files_of_folder(const evn_list_story *story, size_t index, const evn_item *first, FILE *to,
                                const evn_look *look)
{
    evn_table *table = evn_table_new(columns, 2, false);
    evn_item item;
    bool made = table && put_folder(first, to);
    for (size_t i = index; made && next_of(story, first->group, &i, &item); i++)
        if (together(first, &item))
            made = add_row(table, &item);
    made = made && evn_table_print(table, to, "    ", evn_look_width(look));
    evn_table_free(table);
    return made;
}

static bool put_group(const evn_list_story *story, evn_item_group group, bool *first, FILE *to, const evn_look *look)
{
    static const char *const headings[] = {"Trucks",  "Cycles",        "Duties",
                                           "Lineups", "Sets of rules", "Prices",
                                           "Studies", "Parts",         "Files that fit no kind"};
    bool made = true, any = false;
    evn_item item;
    for (size_t i = 0; made && next_of(story, group, &i, &item); i++) {
        if (is_told(story, i, &item))
            continue;
        if (!any) {
            fputs(*first ? "" : "\n", to);
            evn_put_styled(to, look, EVN_STYLE_STRONG, headings[group]);
            fputc('\n', to);
            *first = false;
            any = true;
        }
        made = put_files_of_folder(story, i, &item, to, look);
    }
    return made;
}

bool evn_list_text(const evn_list_story *story, FILE *to, const evn_look *look)
{
    static const evn_item_group groups[] = {EVN_ITEM_TRUCK,  EVN_ITEM_CYCLE, EVN_ITEM_DUTY,
                                            EVN_ITEM_LINEUP, EVN_ITEM_RULES, EVN_ITEM_PRICES,
                                            EVN_ITEM_STUDY,  EVN_ITEM_PART,  EVN_ITEM_OTHER};
    bool first = true;
    for (size_t i = 0; i < sizeof groups / sizeof groups[0]; i++)
        if (story->wanted[groups[i]] && !put_group(story, groups[i], &first, to, look))
            return false;
    if (first && story->kind)
        fprintf(to, "No file of the kind %s is there.\n", story->kind);
    else if (first)
        evn_put_paragraph_within(
            to, evn_look_prose(look), 0, "",
            "Nothing is there: no vehicles/ or cycles/ here, nothing in EVENER_PATH, nothing installed.");
    return true;
}
