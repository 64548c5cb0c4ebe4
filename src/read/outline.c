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

enum { COMMENT_MOST = 400 };

static bool is_line_end(char byte) { return byte == '\n' || byte == '\r'; }

static size_t end_of_line(const char *bytes, size_t from, size_t length)
{
    while (from < length && !is_line_end(bytes[from]))
        from++;
    return from;
}

/* From a line's '#' to its text; `from` where it is no comment, or an empty one. */
static size_t text_of_line(const char *bytes, size_t from, size_t length)
{
    size_t at = from;
    while (at < length && (bytes[at] == '#' || bytes[at] == ' '))
        at++;
    return from < length && bytes[from] == '#' && at < length && !is_line_end(bytes[at]) ? at : from;
}

/* The first byte of the next line, past one line end. */
static size_t next_line(const char *bytes, size_t at, size_t length)
{
    at += at < length && bytes[at] == '\r' ? 1 : 0;
    return at + (at < length && bytes[at] == '\n' ? 1 : 0);
}

/* Length up to the full stop, at the end or before a capital, that ends the sentence standing at `from`; 0: none. */
static size_t end_of_sentence(const char *text, size_t from, size_t length)
{
    for (size_t at = from; at < length; at++)
        if (text[at] == '.' && (at + 1 == length ||
                                (text[at + 1] == ' ' && at + 2 < length && text[at + 2] >= 'A' && text[at + 2] <= 'Z')))
            return at + 1;
    return 0;
}

/* The first line; where it breaks off within a sentence, as where a comment is wrapped, on to the end of that one. */
static void take_comment(evn_reading *reading, const char *bytes, size_t length, evn_outline *out)
{
    static const char mark[] = "\xEF\xBB\xBF"; /* of byte order */
    char text[COMMENT_MOST];
    size_t from = length >= 3 && memcmp(bytes, mark, 3) == 0 ? 3 : 0, used = 0, first = 0;
    for (size_t at; (at = text_of_line(bytes, from, length)) > from;) {
        size_t end = end_of_line(bytes, at, length), more = end - at;
        if (used + 1 + more > sizeof text)
            break;
        if (used > 0)
            text[used++] = ' ';
        memcpy(text + used, bytes + at, more);
        used += more;
        if (first == 0)
            first = used;
        from = next_line(bytes, end, length);
    }
    size_t at = text_of_line(bytes, from, length);
    if (used == 0 && at > from) /* longer than a sentence that is looked for */
        out->comment = keep(reading, bytes + at, end_of_line(bytes, at, length) - at);
    if (used == 0)
        return;
    size_t whole = end_of_sentence(text, first - 1, used);
    out->comment = keep(reading, text, whole > 0 ? whole : first);
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
