/* What a file is about, without reading its values: the keys at its top and what it says of itself. */
#ifndef EVENER_READ_OUTLINE_H
#define EVENER_READ_OUTLINE_H
#include "core/arena.h"
#include "core/report.h"

typedef struct evn_outline {
    const char *const *key; /* after extends and use */
    size_t key_count;
    const char *name;    /* the text at the key `name`; NULL: none */
    const char *comment; /* the first line of the file, where it is a comment, without its '#', and on to the end of its
                            last sentence; NULL: none */
} evn_outline;

/* False when the file cannot be read as a map of keys, or has a fault (said); the keys that could be read are there all
 * the same. */
bool evn_read_outline(const char *path, const char *const *search, evn_arena *, evn_report *, evn_outline *out);

/* Paths of all files below a folder that end in ".yaml", sorted; hidden names are left out. */
typedef struct evn_folder {
    const char **path;
    size_t count, room;
} evn_folder;

/* A folder that is not there is empty. False when it cannot be read (said). */
bool evn_folder_read(const char *folder, evn_arena *, evn_report *, evn_folder *out);
/* The same, without folders in it. */
bool evn_folder_read_flat(const char *folder, evn_arena *, evn_report *, evn_folder *out);

#endif
