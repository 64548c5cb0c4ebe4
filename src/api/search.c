/* The folders that EVENER_PATH names, and the installed data behind them. */
#define _POSIX_C_SOURCE 200809L
#include "api/search.h"
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>

#ifndef EVN_DATA_DIR
#error "EVN_DATA_DIR comes from the build"
#endif

enum { PATH_BYTES = 4096, FOLDERS_OF_ROOT = 2 };

static const char *const folders_of_root[FOLDERS_OF_ROOT] = {"vehicles", "cycles"};

static bool below(char out[PATH_BYTES], const char *folder, const char *name)
{
    int length = snprintf(out, PATH_BYTES, "%s/%s", folder, name);
    return length > 0 && length < PATH_BYTES;
}

bool evn_search_is_root(const char *folder)
{
    char path[PATH_BYTES];
    struct stat what;
    for (size_t i = 0; i < FOLDERS_OF_ROOT; i++)
        if (!below(path, folder, folders_of_root[i]) || stat(path, &what) != 0 || !S_ISDIR(what.st_mode))
            return false;
    return true;
}

/* False when memory is out. */
static bool add(evn_arena *arena, const char *search[EVN_SEARCH_FOLDERS], size_t *count, const char *path,
                size_t length)
{
    char path_below[PATH_BYTES];
    const char *folder = evn_arena_text(arena, path, length);
    if (!folder)
        return false;
    for (size_t i = 0; evn_search_is_root(folder) && i < FOLDERS_OF_ROOT; i++) {
        below(path_below, folder, folders_of_root[i]); /* it is a root: the path has room */
        search[*count] = evn_arena_text(arena, path_below, strlen(path_below));
        if (!search[(*count)++])
            return false;
    }
    search[(*count)++] = folder;
    return true;
}

bool evn_search_folders(evn_arena *arena, const char *search[EVN_SEARCH_FOLDERS])
{
    size_t count = 0;
    const char *path = getenv("EVENER_PATH");
    while (path && *path && count + 1 + FOLDERS_OF_ROOT < EVN_SEARCH_FOLDERS - 3) {
        size_t length = strcspn(path, ":");
        if (length && !add(arena, search, &count, path, length))
            return false;
        path += length + (path[length] == ':');
    }
    search[count++] = EVN_DATA_DIR "/vehicles";
    search[count++] = EVN_DATA_DIR "/cycles";
    search[count] = NULL;
    return true;
}
