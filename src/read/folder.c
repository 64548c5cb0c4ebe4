/* The files below a folder of data, in the order of their names, to a bounded depth and number. */
#define _POSIX_C_SOURCE 200809L
#include "read/outline.h"
#include <dirent.h>
#include <errno.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>

enum { DEPTH_MOST = 8, FILES_MOST = 5000 };

typedef struct walk {
    evn_arena *arena;
    evn_report *report;
    evn_folder *out;
    unsigned depth;
    bool flat;
} walk;

static bool out_of_memory(const walk *w)
{
    evn_say(w->report, EVN_FAULT_OUT_OF_MEMORY, evn_nowhere, evn_nowhere, "memory ran out listing files");
    return false;
}

static bool too_large(const walk *w, const char *folder)
{
    evn_spot at = {evn_report_file(w->report, folder), 0, 0};
    evn_say(w->report, EVN_FAULT_TOO_LARGE, at, evn_nowhere,
            "more than %d files, or folders more than %d deep; expected fewer below a folder of data", FILES_MOST,
            DEPTH_MOST);
    return false;
}

/* Doubles the room; what was there stays in the arena unused. */
static bool add(walk *w, const char *path)
{
    evn_folder *out = w->out;
    if (out->count == out->room) {
        size_t room = out->room > 0 ? out->room * 2 : 32;
        const char **larger = evn_arena_take(w->arena, room * sizeof *larger);
        if (!larger)
            return out_of_memory(w);
        if (out->count > 0)
            memcpy(larger, out->path, out->count * sizeof *larger);
        out->path = larger;
        out->room = room;
    }
    out->path[out->count++] = path;
    return true;
}

static bool ends_in_yaml(const char *name)
{
    size_t length = strlen(name);
    return length > 5 && strcmp(name + length - 5, ".yaml") == 0;
}

static bool list(walk *w, const char *folder);

static bool look_at(walk *w, const char *folder, const char *name)
{
    size_t length = strlen(folder), size = length + strlen(name) + 2;
    char *path = evn_arena_take(w->arena, size);
    struct stat what;
    if (!path)
        return out_of_memory(w);
    memcpy(path, folder, length);
    path[length] = '/';
    strcpy(path + length + 1, name);
    if (stat(path, &what) != 0)
        return true; /* gone meanwhile, or a link that leads nowhere: no file to list */
    if (S_ISDIR(what.st_mode) && w->flat)
        return true;
    if (S_ISDIR(what.st_mode)) {
        if (w->depth == DEPTH_MOST)
            return too_large(w, path);
        w->depth++;
        bool listed = list(w, path);
        w->depth--;
        return listed;
    }
    if (!S_ISREG(what.st_mode) || !ends_in_yaml(name))
        return true;
    return w->out->count < FILES_MOST ? add(w, path) : too_large(w, folder);
}

static int visible(const struct dirent *entry) { return entry->d_name[0] != '.'; }

/* By bytes, the same in every locale. */
static int by_bytes(const struct dirent **a, const struct dirent **b) { return strcmp((*a)->d_name, (*b)->d_name); }

static bool list(walk *w, const char *folder)
{
    struct dirent **entries = NULL;
    int count = scandir(folder, &entries, visible, by_bytes);
    if (count < 0 && (errno == ENOENT || errno == ENOTDIR) && w->depth == 0)
        return true;
    if (count < 0) {
        evn_spot at = {evn_report_file(w->report, folder), 0, 0};
        evn_say(w->report, errno == ENOMEM ? EVN_FAULT_OUT_OF_MEMORY : EVN_FAULT_CANNOT_READ, at, evn_nowhere,
                "the folder could not be listed: %s", strerror(errno));
        return false;
    }
    bool listed = true;
    for (int i = 0; i < count; i++) {
        listed = listed && look_at(w, folder, entries[i]->d_name);
        free(entries[i]);
    }
    free(entries);
    return listed;
}

bool evn_folder_read(const char *folder, evn_arena *arena, evn_report *report, evn_folder *out)
{
    *out = (evn_folder){0};
    walk w = {.arena = arena, .report = report, .out = out};
    return list(&w, folder);
}

bool evn_folder_read_flat(const char *folder, evn_arena *arena, evn_report *report, evn_folder *out)
{
    *out = (evn_folder){0};
    walk w = {.arena = arena, .report = report, .out = out, .flat = true};
    return list(&w, folder);
}
