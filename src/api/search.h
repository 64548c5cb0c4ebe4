/* Where files are looked for that others name. */
#ifndef EVENER_API_SEARCH_H
#define EVENER_API_SEARCH_H
#include "core/arena.h"
#include <stdbool.h>

enum { EVN_SEARCH_FOLDERS = 32 };

/*
 * The folders of EVENER_PATH, then those of the installed data; ends with NULL. Where one of EVENER_PATH is a root, its
 * vehicles/ and cycles/ stand before it. False when memory is out.
 */
bool evn_search_folders(evn_arena *, const char *search[EVN_SEARCH_FOLDERS]);

/* A folder that holds vehicles/ and cycles/, as the sources do: beside them may stand what is no data. */
bool evn_search_is_root(const char *folder);

#endif
