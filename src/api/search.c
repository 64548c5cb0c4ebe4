/* The folders that EVENER_PATH names, and the installed data behind them. */
#include "api/search.h"
#include <stdlib.h>
#include <string.h>

#ifndef EVN_DATA_DIR
#error "EVN_DATA_DIR comes from the build"
#endif

bool evn_search_folders(evn_arena *arena, const char *search[EVN_SEARCH_FOLDERS])
{
    size_t count = 0;
    const char *path = getenv("EVENER_PATH");
    while (path && *path && count < EVN_SEARCH_FOLDERS - 3) {
        size_t length = strcspn(path, ":");
        if (length && !(search[count++] = evn_arena_text(arena, path, length)))
            return false;
        path += length + (path[length] == ':');
    }
    search[count++] = EVN_DATA_DIR "/vehicles";
    search[count++] = EVN_DATA_DIR "/cycles";
    search[count] = NULL;
    return true;
}
