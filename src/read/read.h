/* Strict YAML into any object that has a field table. Knows the tables of core, no truck and no cycle. */
#ifndef EVENER_READ_READ_H
#define EVENER_READ_READ_H
#include "core/arena.h"
#include "core/field.h"
#include "evener/values.h"

/*
 * Reads the file into a new struct of the object, taken from the arena. All problems of the file are said in one go.
 * `use: PATH` inside a map, and `extends: PATH` at the top of a file, are looked up beside the file that names them,
 * then in each folder of `search` (ends with NULL; may be NULL). Maps merge, lists and scalars replace; what stands in
 * the naming file wins. NULL when the report holds an error.
 */
const void *evn_read_file(const char *path, const evn_object *, const char *const *search, evn_arena *, evn_report *);

/* The same from bytes in memory: `name` stands for the file in messages, relative paths start from its folder. */
const void *evn_read_bytes(const char *bytes, size_t length, const char *name, const evn_object *,
                           const char *const *search, evn_arena *, evn_report *);

/* One value that is put on what the file holds: KEY=VALUE behind so many bytes of the text, shown as "--set N". */
typedef struct evn_read_set {
    const char *text;
    size_t skip;
    unsigned number;
} evn_read_set;

/* What a file holds after all merging, value by value, with places. Lives in the arena of what was read. */
typedef struct evn_value_list {
    const evn_value *at;
    size_t count;
} evn_value_list;

typedef struct evn_read_more {
    const char *const *search; /* ends with NULL; may be NULL */
    const evn_read_set *sets;
    size_t set_count;
    const char *set_beside; /* the file from whose folder paths in them start; NULL: the working folder */
    bool strict;            /* warnings are errors */
    evn_value_list *values; /* filled when not NULL */
} evn_read_more;

const void *evn_read_file_with(const char *path, const evn_object *, const evn_read_more *, evn_arena *, evn_report *);

/* The same from bytes in memory: `name` stands for the file in messages. */
const void *evn_read_bytes_with(const char *bytes, size_t length, const char *name, const evn_object *,
                                const evn_read_more *, evn_arena *, evn_report *);

/* Says why a file could not be loaded, and which one nearby has nearly its name. */
struct evn_trouble;
void evn_read_trouble(const char *path, const struct evn_trouble *, evn_report *);

#endif
