/* The whole way from a file, or a text, to an object: read, merge, set, fill, check. */
#define _POSIX_C_SOURCE 200809L
#include "read/read.h"
#include "core/plain_locale.h"
#include "read/bytes.h"
#include "read/describe.h"
#include "read/fill.h"
#include "read/merge.h"
#include "read/set.h"
#include <stdlib.h>
#include <string.h>

static const void *fill_root(evn_reading *reading, evn_source *source, const char *bytes, size_t length,
                             const evn_object *object, const evn_read_more *more)
{
    evn_node *root = evn_tree_of_file(reading, source, bytes, length);
    if (!root)
        return NULL;
    evn_sets_apply(reading, object, root, more);
    evn_tree_resolve(reading, root);
    void *made = evn_arena_take(reading->keep, object->size);
    if (!made) {
        evn_reading_out_of_memory(reading);
        return NULL;
    }
    bool sound = evn_fill_object(reading, object, root, made);
    sound = sound && !evn_report_failed(reading->report);
    if (sound && more->values)
        sound = evn_describe(reading, object, root, more->values);
    return sound ? made : NULL;
}

typedef struct whole { /* a file in memory */
    const char *bytes, *name;
    size_t length;
    bool on_disk;
    uint64_t device, number;
} whole;

static const void *read_whole(evn_reading *reading, const whole *file, const evn_object *object,
                              const evn_read_more *more)
{
    evn_source *source = evn_source_new(reading, file->name, file->name, NULL, evn_nowhere);
    if (!source)
        return NULL;
    if (file->length > EVN_FILE_BYTES_MOST) {
        evn_say(reading->report, EVN_FAULT_TOO_LARGE, (evn_spot){source->file, 0, 0}, evn_nowhere,
                "more than 64 MiB; expected a smaller file");
        return NULL;
    }
    source->on_disk = file->on_disk;
    source->device = file->device;
    source->number = file->number;
    reading->files = 1;
    reading->bytes = file->length;
    return fill_root(reading, source, file->bytes, file->length, object, more);
}

/* Numbers have a point, in and out, whatever locale the calling thread is in. */
static const void *read_in_plain_locale(evn_reading *reading, const whole *file, const evn_object *object,
                                        const evn_read_more *more)
{
    evn_plain_locale locale;
    if (!evn_plain_locale_enter(&locale)) {
        evn_reading_out_of_memory(reading);
        return NULL;
    }
    const void *made = read_whole(reading, file, object, more);
    evn_plain_locale_leave(&locale);
    return made;
}

static const void *read_from(const whole *file, const evn_object *object, const evn_read_more *more, evn_arena *keep,
                             evn_report *report)
{
    evn_reading reading = {.report = report, .keep = keep, .scratch = evn_arena_new(), .search = more->search};
    if (!reading.scratch) {
        evn_reading_out_of_memory(&reading);
        return NULL;
    }
    bool strict = evn_report_is_strict(report);
    evn_report_be_strict(report, strict || more->strict);
    const void *made = read_in_plain_locale(&reading, file, object, more);
    evn_report_be_strict(report, strict);
    evn_arena_free(reading.scratch);
    return made;
}

const void *evn_read_bytes(const char *bytes, size_t length, const char *name, const evn_object *object,
                           const char *const *search, evn_arena *arena, evn_report *report)
{
    evn_read_more more = {.search = search};
    return evn_read_bytes_with(bytes, length, name, object, &more, arena, report);
}

const void *evn_read_bytes_with(const char *bytes, size_t length, const char *name, const evn_object *object,
                                const evn_read_more *more, evn_arena *arena, evn_report *report)
{
    whole file = {.bytes = bytes ? bytes : "", .name = name, .length = length};
    return read_from(&file, object, more, arena, report);
}

const void *evn_read_file(const char *path, const evn_object *object, const char *const *search, evn_arena *arena,
                          evn_report *report)
{
    evn_read_more more = {.search = search};
    return evn_read_file_with(path, object, &more, arena, report);
}

void evn_read_trouble(const char *path, const evn_trouble *trouble, evn_report *report)
{
    evn_spot whole_file = {evn_report_file(report, path), 0, 0};
    evn_reading reading = {.report = report, .scratch = trouble->absent ? evn_arena_new() : NULL};
    const char *near = reading.scratch ? evn_near_file(&reading, path) : NULL;
    char quoted[EVN_QUOTE_BYTES];
    evn_say(report, trouble->fault, whole_file, evn_nowhere, "%s%s%s", trouble->why, near ? "; nearest is " : "",
            near ? evn_quote(quoted, near, strlen(near)) : "");
    if (reading.scratch)
        evn_arena_free(reading.scratch);
}

const void *evn_read_file_with(const char *path, const evn_object *object, const evn_read_more *more, evn_arena *arena,
                               evn_report *report)
{
    evn_bytes bytes;
    evn_trouble trouble;
    if (!evn_bytes_load(path, &bytes, &trouble)) {
        evn_read_trouble(path, &trouble, report);
        return NULL;
    }
    whole file = {.bytes = bytes.at,
                  .name = path,
                  .length = bytes.length,
                  .on_disk = true,
                  .device = bytes.device,
                  .number = bytes.number};
    const void *made = read_from(&file, object, more, arena, report);
    free(bytes.at);
    return made;
}
