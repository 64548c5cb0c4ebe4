/* Places, quotes and bounds that all parts of the reader use. */
#include "read/reading.h"
#include <string.h>

bool evn_reading_out_of_memory(evn_reading *reading)
{
    if (!reading->stopped) {
        evn_say(reading->report, EVN_FAULT_OUT_OF_MEMORY, evn_nowhere, evn_nowhere,
                "memory ran out while reading; expected enough for the file");
    }
    reading->stopped = true;
    return false;
}

evn_source *evn_source_new(evn_reading *reading, const char *path, const char *shown, const evn_source *user,
                           evn_spot used_from)
{
    evn_source *source = evn_arena_take(reading->scratch, sizeof *source);
    char *copy = evn_arena_text(reading->scratch, path, strlen(path));
    char *shown_copy = evn_arena_text(reading->scratch, shown, strlen(shown));
    uint32_t file = evn_report_file(reading->report, shown);
    if (!source || !copy || !shown_copy || file == 0) {
        evn_reading_out_of_memory(reading);
        return NULL;
    }
    source->path = copy;
    source->shown = shown_copy;
    source->file = file;
    source->user = user;
    source->used_from = used_from;
    source->depth = !user ? 0 : user->depth + 1;
    return source;
}

evn_spot evn_source_spot(const evn_source *source, size_t line, size_t column)
{
    return (evn_spot){source->file, source->typed ? 0 : (uint32_t)line, (uint32_t)column};
}
