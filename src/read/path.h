/* Paths of files as people read them. */
#ifndef EVENER_READ_PATH_H
#define EVENER_READ_PATH_H
#include "read/bytes.h"

/*
 * "trucks/../parts/x.yaml" as "parts/x.yaml", in the scratch arena; NULL when memory is out (said). Where symbolic
 * links make the shorter path lead elsewhere than to the file that was loaded (NULL: none was), the path stays as it
 * is.
 */
const char *evn_path_neat(evn_reading *, const char *path, const evn_bytes *loaded);

/* The path from the root, links followed, in the arena; NULL when memory is out or the file is gone (said). */
const char *evn_path_from_root(evn_reading *, evn_arena *, const char *path);

#endif
