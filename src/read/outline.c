/* Reads the top of a file: its keys, its name, the comment that it begins with. */
#include "read/outline.h"
#include "read/bytes.h"
#include "read/merge.h"
#include <stdlib.h>
#include <string.h>

static const char *keep(evn_reading *reading, const char *text, size_t length)
{
    const char *copy = evn_arena_text(reading->keep, text, length);
    if (!copy)
        evn_reading_out_of_memory(reading);
    return copy;
}

static void take_comment(evn_reading *reading, const char *bytes, size_t length, evn_outline *out)
{
    static const char mark[] = "\xEF\xBB\xBF"; /* of byte order */
    size_t from = length >= 3 && memcmp(bytes, mark, 3) == 0 ? 3 : 0;
    if (from == length || bytes[from] != '#')
        return;
    while (from < length && (bytes[from] == '#' || bytes[from] == ' '))
        from++;
    size_t to = from;
    while (to < length && bytes[to] != '\n' && bytes[to] != '\r')
        to++;
    if (to > from)
        out->comment = keep(reading, bytes + from, to - from);
}

static bool take_keys(evn_reading *reading, const evn_node *root, evn_outline *out)
{
    const char **keys = evn_arena_take(reading->keep, (root->count + 1) * sizeof *keys);
    if (!keys)
        return evn_reading_out_of_memory(reading);
    for (const evn_node *child = root->first; child; child = child->next) {
        keys[out->key_count] = keep(reading, child->key, strlen(child->key));
        if (!keys[out->key_count++])
            return false;
    }
    out->key = keys;
    const evn_node *name = evn_node_get(root, "name", 4);
    if (name && name->kind == EVN_NODE_SCALAR)
        out->name = keep(reading, name->text, strlen(name->text));
    return !reading->stopped;
}

static bool outline_of(evn_reading *reading, const char *path, const evn_bytes *bytes, evn_outline *out)
{
    evn_source *source = evn_source_new(reading, path, path, NULL, evn_nowhere);
    if (!source)
        return false;
    source->on_disk = true;
    source->device = bytes->device;
    source->number = bytes->number;
    size_t before = evn_report_errors(reading->report);
    evn_node *root = evn_tree_of_file(reading, source, bytes->at, bytes->length);
    if (!root)
        return false;
    evn_map_resolve(reading, root);
    take_comment(reading, bytes->at, bytes->length, out);
    return take_keys(reading, root, out) && evn_report_errors(reading->report) == before;
}

bool evn_read_outline(const char *path, const char *const *search, evn_arena *arena, evn_report *report,
                      evn_outline *out)
{
    evn_bytes bytes;
    evn_trouble trouble;
    *out = (evn_outline){0};
    if (!evn_bytes_load(path, &bytes, &trouble)) {
        evn_spot whole_file = {evn_report_file(report, path), 0, 0};
        evn_say(report, trouble.fault, whole_file, evn_nowhere, "%s", trouble.why);
        return false;
    }
    evn_reading reading = {.report = report, .keep = arena, .scratch = evn_arena_new(), .search = search, .files = 1};
    bool read = reading.scratch ? outline_of(&reading, path, &bytes, out) : evn_reading_out_of_memory(&reading);
    if (reading.scratch)
        evn_arena_free(reading.scratch);
    free(bytes.at);
    return read;
}
