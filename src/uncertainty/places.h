/* Where values stand: rows of what was read (values.h), found by path. */
#ifndef EVENER_UNCERTAINTY_PLACES_H
#define EVENER_UNCERTAINTY_PLACES_H
#include "core/arena.h"
#include "core/report.h"
#include "evener/values.h"

typedef struct evn_places { /* sorted by path */
    const evn_value **row;
    size_t count;
} evn_places;

/* False: memory is out. */
bool evn_places_make(evn_places *, const evn_value *, size_t count, evn_arena *);

/* The row of a path of so many bytes; NULL: none, or it stands in no file. */
const evn_value *evn_place_of(const evn_places *, const char *path, size_t length);

/* That of the path, or of the innermost map or list around it that stands in a file. */
const evn_value *evn_place_around(const evn_places *, const char *path);

evn_spot evn_place_spot(const evn_value *, evn_report *);

#endif
