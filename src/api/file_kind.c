/* Holds the keys at the top of a file against those of every kind. */
#include "api/file_kind.h"
#include "api/kinds.h"
#include "api/search.h"
#include "evener/catalogue.h"
#include <string.h>

/* Kinds that a command takes as a whole file: for these many keys are enough, a part has to fit wholly. */
static const char *const whole_files[] = {"truck",  "cycle", "lineup",        "duty",    "rules",
                                          "prices", "kept",  "uncertainties", "mapping", "vary"};

static bool has_key(const evn_outline *outline, const char *key)
{
    for (size_t i = 0; i < outline->key_count; i++)
        if (strcmp(outline->key[i], key) == 0)
            return true;
    return false;
}

/* So many keys of the file are the object's. */
static size_t keys_known(const evn_outline *outline, const evn_object *object)
{
    size_t known = 0;
    for (size_t i = 0; i < outline->key_count; i++)
        known += evn_field_named(object, outline->key[i], strlen(outline->key[i])) ? 1 : 0;
    return known;
}

/* All keys of the file are the object's, and all that the object must have are there. */
static bool fits(const evn_outline *outline, const evn_object *object)
{
    for (size_t i = 0; i < object->field_count; i++)
        if (object->fields[i].presence == EVN_REQUIRED && !has_key(outline, object->fields[i].key))
            return false;
    return outline->key_count > 0 && keys_known(outline, object) == outline->key_count;
}

/* "final-drive-hypoid" begins with final_drive. */
static bool begins_with(const char *name, const char *kind)
{
    size_t length = strlen(kind);
    for (size_t i = 0; i < length; i++)
        if (name[i] != (kind[i] == '_' ? '-' : kind[i]) && name[i] != kind[i])
            return false;
    return name[length] == '\0' || strchr("-_.", name[length]);
}

const char *evn_kind_fitting(const char *name, const evn_outline *outline)
{
    evn_objects all = evn_all_kinds();
    const char *first = NULL;
    for (size_t i = 0; i < all.count; i++) {
        const char *kind = all.at[i]->name;
        if (!fits(outline, all.at[i]))
            continue;
        if (begins_with(name, kind))
            return kind;
        first = first ? first : kind;
    }
    return first;
}

const char *evn_file_name(const char *path, size_t *length)
{
    static const char ending[] = ".yaml";
    const char *slash = strrchr(path, '/'), *name = slash ? slash + 1 : path;
    size_t tail = sizeof ending - 1;
    *length = strlen(name);
    if (*length > tail && strcmp(name + *length - tail, ending) == 0)
        *length -= tail;
    return name;
}

/* A file with a mistake in it is still of the kind that knows most of its keys; of the expected one, where as many,
 * unless it is wholly of another, which a file that was not read whole cannot show. */
static const char *kind_among(const evn_outline *outline, bool whole, const char *name, const char *expected)
{
    const evn_object *wanted = evn_kind_object(expected);
    size_t most = wanted ? keys_known(outline, wanted) : 0;
    const char *kind = most > 0 ? wanted->name : NULL;
    if (wanted && fits(outline, wanted))
        return wanted->name;
    for (size_t i = 0; i < sizeof whole_files / sizeof whole_files[0]; i++) {
        const evn_object *object = evn_kind_object(whole_files[i]);
        size_t known = keys_known(outline, object);
        kind = known > most ? object->name : kind;
        most = known > most ? known : most;
    }
    const char *part = whole || !wanted ? evn_kind_fitting(name, outline) : NULL;
    return part && outline->key_count >= most ? part : kind;
}

const char *evn_file_kind(const char *path, const char *expected)
{
    const char *search[EVN_SEARCH_FOLDERS], *kind = NULL;
    size_t length;
    evn_outline outline;
    if (!path)
        return NULL;
    evn_arena *arena = evn_arena_new();
    evn_report *unused = evn_report_new(); /* what is wrong with the file is said by who reads it */
    /* a file with a fault in it has the keys that could be read all the same */
    if (arena && unused && evn_search_folders(arena, search)) {
        bool whole = evn_read_outline(path, search, arena, unused, &outline);
        if (whole || outline.key_count > 0)
            kind = kind_among(&outline, whole, evn_file_name(path, &length), expected);
    }
    evn_report_free(unused);
    if (arena)
        evn_arena_free(arena);
    return kind;
}
