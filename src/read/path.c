/* Paths without detours where they lead to the same file, and paths from the root. */
#define _XOPEN_SOURCE 700
#include "read/path.h"
#include <errno.h>
#include <limits.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>

/* Where the last step of what is written begins; NULL when there is none that ".." takes back. */
static char *last_step(char *begin, char *end)
{
    char *step = end;
    while (step > begin && step[-1] != '/')
        step--;
    bool climbs = end - step == 2 && memcmp(step, "..", 2) == 0;
    return step == end || climbs ? NULL : step;
}

/* Writes the steps of the path but for "." and for pairs of a folder and "..". */
static void write_neat(char *out, const char *path)
{
    char *end = out, *begin = out;
    if (*path == '/') {
        *end++ = '/';
        begin = end;
    }
    while (*path != '\0') {
        size_t length = strcspn(path, "/");
        bool up = length == 2 && memcmp(path, "..", 2) == 0;
        char *back = up ? last_step(begin, end) : NULL;
        if (back) {
            end = back > begin ? back - 1 : begin;
        } else if (length > 0 && !(length == 1 && *path == '.')) {
            if (end > begin)
                *end++ = '/';
            memcpy(end, path, length);
            end += length;
        }
        path += length + (path[length] == '/');
    }
    *end = '\0';
}

static bool leads_to(const char *path, const evn_bytes *loaded)
{
    struct stat state;
    return stat(path, &state) == 0 && (uint64_t)state.st_dev == loaded->device &&
           (uint64_t)state.st_ino == loaded->number;
}

const char *evn_path_neat(evn_reading *reading, const char *path, const evn_bytes *loaded)
{
    char *neat = evn_arena_take(reading->scratch, strlen(path) + 1);
    if (!neat) {
        evn_reading_out_of_memory(reading);
        return NULL;
    }
    write_neat(neat, path);
    return neat[0] != '\0' && (!loaded || leads_to(neat, loaded)) ? neat : path;
}

const char *evn_path_from_root(evn_reading *reading, evn_arena *arena, const char *path)
{
    char *found = realpath(path, NULL);
    if (!found && errno != ENOMEM) {
        evn_say(reading->report, EVN_FAULT_CANNOT_READ, (evn_spot){evn_report_file(reading->report, path), 0, 0},
                evn_nowhere, "gone while it was read; expected a file that stays");
        return NULL;
    }
    const char *copy = !found ? NULL : evn_arena_text(arena, found, strlen(found));
    free(found);
    if (!copy)
        evn_reading_out_of_memory(reading);
    return copy;
}
