/* Objects of any kind by themselves: from a file, or as an example. */
#include "api/kinds.h"
#include "api/patterns.h"
#include "api/search.h"
#include "read/read.h"
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

struct evn_part {
    evn_arena *arena;
    evn_value_list values;
};

static const evn_object *object_of(const char *kind, evn_report *report)
{
    const evn_object *object = evn_kind_object(kind);
    evn_objects all = evn_all_kinds();
    const char *names[EVN_OBJECTS_MOST];
    if (object)
        return object;
    for (size_t i = 0; i < all.count; i++)
        names[i] = all.at[i]->name;
    const char *nearest = evn_nearest(kind, names, all.count);
    evn_say(report, EVN_FAULT_USAGE, evn_nowhere, evn_nowhere, "no kind '%s'; %s%s%s", kind,
            nearest ? "nearest is '" : "'evener keys' lists the kinds there are", nearest ? nearest : "",
            nearest ? "'" : "");
    return NULL;
}

/* What is read belongs to the part; where it was not read, nothing is left. */
static void read_into(evn_part *part, const evn_object *object, const char *path, evn_report *report)
{
    const char *search[EVN_SEARCH_FOLDERS];
    const void *read = NULL;
    evn_read_more more = {.search = search, .values = &part->values};
    if (!evn_search_folders(part->arena, search)) {
        evn_say(report, EVN_FAULT_OUT_OF_MEMORY, evn_nowhere, evn_nowhere, "memory ran out");
        return;
    }
    if (path) {
        read = evn_read_file_with(path, object, &more, part->arena, report);
    } else {
        const char *text = evn_pattern_of(object->name);
        const char *brace = text && !strchr(text, '\n') ? "{" : "";
        char whole[8192];
        int length = snprintf(whole, sizeof whole, "%s%s%s\n", brace, text ? text : "", brace[0] ? "}" : "");
        read = evn_read_bytes_with(whole, (size_t)length, "example", object, &more, part->arena, report);
    }
    if (!read)
        part->values = (evn_value_list){0};
}

static evn_status load(const char *kind, const char *path, evn_part **out, evn_report *report)
{
    const evn_object *object = object_of(kind, report);
    if (!object)
        return evn_report_status(report);
    evn_part *part = calloc(1, sizeof *part);
    if (part)
        part->arena = evn_arena_new();
    if (!part || !part->arena) {
        evn_say(report, EVN_FAULT_OUT_OF_MEMORY, evn_nowhere, evn_nowhere, "memory ran out");
        free(part);
        return evn_report_status(report);
    }
    read_into(part, object, path, report);
    if (!part->values.at) {
        evn_part_free(part);
        return evn_report_status(report);
    }
    *out = part;
    return evn_report_status(report);
}

evn_status evn_part_load(const char *kind, const char *path, evn_part **out, evn_report *report)
{
    if (out)
        *out = NULL;
    if (!evn_not_null(report, __func__, (const evn_argument[]){{"kind", kind}, {"path", path}, {"out", out}, {0}}))
        return evn_report_status(report);
    return load(kind, path, out, report);
}

evn_status evn_part_example(const char *kind, evn_part **out, evn_report *report)
{
    if (out)
        *out = NULL;
    if (!evn_not_null(report, __func__, (const evn_argument[]){{"kind", kind}, {"out", out}, {0}}))
        return evn_report_status(report);
    return load(kind, NULL, out, report);
}

void evn_part_free(evn_part *part)
{
    if (!part)
        return;
    evn_arena_free(part->arena);
    free(part);
}

bool evn_part_value_at(const evn_part *part, size_t index, evn_value *out)
{
    if (!part || !out || index >= part->values.count)
        return false;
    *out = part->values.at[index];
    return true;
}
