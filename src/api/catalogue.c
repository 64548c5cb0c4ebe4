/* The files there are: trucks, cycles and parts in folders of data, each with the kind that its keys fit. */
#include "evener/catalogue.h"
#include "api/file_kind.h"
#include "api/search.h"
#include "read/outline.h"
#include <stdlib.h>
#include <string.h>

struct evn_catalogue {
    evn_arena *arena;
    const char *search[EVN_SEARCH_FOLDERS];
    const char *only; /* files of this name; NULL: all */
    evn_item *item;
    size_t count, room;
};

/* ------------------------------------------------------------------------------------------------ kinds */

static evn_item_group group_of(const char *kind)
{
    if (!kind)
        return EVN_ITEM_OTHER;
    if (strcmp(kind, "truck") == 0)
        return EVN_ITEM_TRUCK;
    if (strcmp(kind, "lineup") == 0)
        return EVN_ITEM_LINEUP;
    if (strcmp(kind, "duty") == 0)
        return EVN_ITEM_DUTY;
    if (strcmp(kind, "rules") == 0)
        return EVN_ITEM_RULES;
    if (strcmp(kind, "prices") == 0)
        return EVN_ITEM_PRICES;
    if (strcmp(kind, "vary") == 0)
        return EVN_ITEM_STUDY;
    return strcmp(kind, "cycle") == 0 ? EVN_ITEM_CYCLE : EVN_ITEM_PART;
}

/* ------------------------------------------------------------------------------------------------ collecting */

static bool no_memory(evn_report *report)
{
    evn_say(report, EVN_FAULT_OUT_OF_MEMORY, evn_nowhere, evn_nowhere, "memory ran out listing files");
    return false;
}

static bool add(evn_catalogue *c, evn_item item, evn_report *report)
{
    if (c->count == c->room) {
        size_t room = c->room > 0 ? c->room * 2 : 64;
        evn_item *larger = realloc(c->item, room * sizeof *larger);
        if (!larger)
            return no_memory(report);
        c->item = larger;
        c->room = room;
    }
    c->item[c->count++] = item;
    return true;
}

static const char *kind_or_none(const evn_item *item) { return item->kind ? item->kind : ""; }

/* A file of the same name and kind below an earlier folder goes before: so does it where files name each other. */
static bool is_hidden(const evn_catalogue *c, const evn_item *item)
{
    for (size_t i = 0; i < c->count; i++)
        if (strcmp(c->item[i].below, item->below) == 0 && strcmp(kind_or_none(&c->item[i]), kind_or_none(item)) == 0)
            return true;
    return false;
}

static const char *name_of(evn_catalogue *c, const char *path)
{
    size_t length;
    const char *name = evn_file_name(path, &length);
    return evn_arena_text(c->arena, name, length);
}

static bool look_at(evn_catalogue *c, const char *path, size_t folder_length, evn_report *report)
{
    evn_outline outline;
    evn_item item = {.path = path, .below = path + folder_length + 1, .name = name_of(c, path), .title = ""};
    if (!item.name)
        return no_memory(report);
    if (c->only && strcmp(item.name, c->only) != 0)
        return true;
    if (evn_read_outline(path, c->search, c->arena, report, &outline)) {
        item.kind = evn_kind_fitting(item.name, &outline);
        item.title = outline.name ? outline.name : outline.comment ? outline.comment : "";
    }
    item.group = group_of(item.kind);
    return is_hidden(c, &item) || add(c, item, report);
}

static bool look_into(evn_catalogue *c, const char *folder, evn_report *report)
{
    evn_folder files;
    bool listed = evn_folder_read(folder, c->arena, report, &files);
    size_t length = strlen(folder);
    for (size_t i = 0; i < files.count; i++)
        if (!look_at(c, files.path[i], length, report))
            return false;
    return listed;
}

static int compare(const void *left, const void *right)
{
    const evn_item *a = left, *b = right;
    if (a->group != b->group)
        return a->group < b->group ? -1 : 1;
    int kinds = strcmp(kind_or_none(a), kind_or_none(b));
    int names = kinds != 0 ? kinds : strcmp(a->name, b->name);
    return names != 0 ? names : strcmp(a->path, b->path);
}

/* ------------------------------------------------------------------------------------------------ calls */

static evn_status open_files(const char *const *folders, const char *only, evn_catalogue **out, evn_report *report)
{
    evn_catalogue *c = calloc(1, sizeof *c);
    if (c)
        c->arena = evn_arena_new();
    if (!c || !c->arena || !evn_search_folders(c->arena, c->search)) {
        no_memory(report);
        evn_catalogue_free(c);
        return evn_report_status(report);
    }
    c->only = only;
    for (size_t i = 0; folders && folders[i]; i++)
        look_into(c, folders[i], report);
    for (size_t i = 0; c->search[i]; i++)
        if (!evn_search_is_root(c->search[i])) /* its two folders stand before it */
            look_into(c, c->search[i], report);
    if (c->count > 0)
        qsort(c->item, c->count, sizeof *c->item, compare);
    c->only = NULL; /* the caller's */
    *out = c;
    return evn_report_status(report);
}

evn_status evn_catalogue_open(const char *const *folders, evn_catalogue **out, evn_report *report)
{
    if (out)
        *out = NULL;
    if (!evn_not_null(report, __func__, (const evn_argument[]){{"out", out}, {0}}))
        return evn_report_status(report);
    return open_files(folders, NULL, out, report);
}

evn_status evn_catalogue_open_named(const char *const *folders, const char *name, evn_catalogue **out,
                                    evn_report *report)
{
    if (out)
        *out = NULL;
    if (!evn_not_null(report, __func__, (const evn_argument[]){{"name", name}, {"out", out}, {0}}))
        return evn_report_status(report);
    return open_files(folders, name, out, report);
}

void evn_catalogue_free(evn_catalogue *c)
{
    if (!c)
        return;
    if (c->arena)
        evn_arena_free(c->arena);
    free(c->item);
    free(c);
}

bool evn_catalogue_at(const evn_catalogue *c, size_t index, evn_item *out)
{
    if (!c || !out || index >= c->count)
        return false;
    *out = c->item[index];
    return true;
}
