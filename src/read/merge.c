/* Opens what `extends` and `use` name and lays one map over another, with circles and depth watched. */
#include "read/merge.h"
#include "core/field.h"
#include "read/outline.h"
#include "read/path.h"
#include <stdlib.h>
#include <string.h>

/* ---------------------------------------------------------------------------------------------------- finding files */

/* "folder/name"; in the scratch arena. */
static char *join(evn_reading *reading, const char *folder, size_t folder_length, const char *name)
{
    size_t name_length = strlen(name);
    bool slash = folder_length > 0 && folder[folder_length - 1] != '/';
    char *path = evn_arena_take(reading->scratch, folder_length + name_length + 2);
    if (!path) {
        evn_reading_out_of_memory(reading);
        return NULL;
    }
    memcpy(path, folder, folder_length);
    if (slash)
        path[folder_length] = '/';
    memcpy(path + folder_length + (slash ? 1 : 0), name, name_length + 1);
    return path;
}

static size_t folder_length(const char *path)
{
    const char *slash = strrchr(path, '/');
    return !slash ? 0 : (size_t)(slash - path) + 1;
}

/* The path to try as the n-th; NULL after the last, or when memory is out. */
static const char *candidate(evn_reading *reading, const evn_node *named, size_t n)
{
    const char *beside = named->source->path;
    if (named->text[0] == '/')
        return n == 0 ? named->text : NULL;
    if (n == 0)
        return join(reading, beside, folder_length(beside), named->text);
    if (!reading->search)
        return NULL;
    for (size_t i = 0; i < n; i++)
        if (!reading->search[i])
            return NULL;
    return join(reading, reading->search[n - 1], strlen(reading->search[n - 1]), named->text);
}

enum { HINTS_MOST = 20 }; /* folders are looked through for each */

/* "motor-axle-270" of "parts/motor-axle-270.yaml". */
static size_t bare_name(const char *path, const char **name)
{
    const char *slash = strrchr(path, '/');
    *name = !slash ? path : slash + 1;
    size_t length = strlen(*name);
    return length > 5 && strcmp(*name + length - 5, ".yaml") == 0 ? length - 5 : length;
}

/* The files below a folder; none where it cannot be listed: what cannot be listed cannot be hinted at. */
static evn_folder files_below(evn_reading *reading, const char *folder)
{
    evn_folder files = {0};
    evn_report *unheard = evn_report_new();
    if (!unheard || !evn_folder_read(folder, reading->scratch, unheard, &files))
        files = (evn_folder){0};
    evn_report_free(unheard);
    return files;
}

/* A file of that name below a folder; NULL when there is none. */
static const char *same_name_below(evn_reading *reading, const char *folder, const char *wanted)
{
    const char *name, *other;
    size_t length = bare_name(wanted, &name);
    evn_folder files = files_below(reading, folder);
    for (size_t i = 0; i < files.count; i++)
        if (bare_name(files.path[i], &other) == length && strncmp(other, name, length) == 0)
            return files.path[i];
    return NULL;
}

/* Of these files the one whose name is nearest to a mistyped one; NULL when none is near. */
static const char *nearest_of(evn_reading *reading, evn_folder files, const char *wanted)
{
    const char *name;
    const char **names = evn_arena_take(reading->scratch, (files.count + 1) * sizeof *names);
    size_t bytes = bare_name(wanted, &name);
    const char *mistyped = evn_arena_text(reading->scratch, name, bytes);
    for (size_t i = 0; names && i < files.count; i++) {
        const char *other;
        size_t length = bare_name(files.path[i], &other);
        names[i] = evn_arena_text(reading->scratch, other, length);
        if (!names[i])
            return NULL;
    }
    const char *nearest = names && mistyped ? evn_nearest(mistyped, names, files.count) : NULL;
    for (size_t i = 0; nearest && i < files.count; i++)
        if (names[i] == nearest)
            return files.path[i];
    return NULL;
}

static const char *near_name_below(evn_reading *reading, const char *folder, const char *wanted)
{
    return nearest_of(reading, files_below(reading, folder), wanted);
}

/* The files of the folder that a path leads to; of a bare name those of the working folder. */
static evn_folder files_beside(evn_reading *reading, const char *path)
{
    size_t length = folder_length(path);
    const char *folder = length > 0 ? evn_arena_text(reading->scratch, path, length) : ".";
    evn_report *unheard = evn_report_new();
    evn_folder files = {0};
    if (!folder || !unheard || !evn_folder_read_flat(folder, reading->scratch, unheard, &files))
        files = (evn_folder){0};
    evn_report_free(unheard);
    return files;
}

const char *evn_near_file(evn_reading *reading, const char *path)
{
    const char *near = nearest_of(reading, files_beside(reading, path), path);
    return near ? join(reading, path, folder_length(path), strrchr(near, '/') + 1) : NULL;
}

/* In the very folder that was named, as it is named from here; never the file itself that names it. */
static const char *near_name_there(evn_reading *reading, const evn_node *named)
{
    const char *beside = named->source->path;
    size_t named_folder = folder_length(named->text), here = folder_length(beside);
    const char *path = named->text[0] == '/' ? named->text : join(reading, beside, here, named->text);
    evn_folder files = path ? files_beside(reading, path) : (evn_folder){0};
    size_t kept = 0;
    for (size_t i = 0; i < files.count; i++)
        if (named_folder > 0 || strcmp(strrchr(files.path[i], '/') + 1, beside + here) != 0)
            files.path[kept++] = files.path[i];
    files.count = kept;
    const char *near = nearest_of(reading, files, named->text);
    return near ? join(reading, named->text, named_folder, strrchr(near, '/') + 1) : NULL;
}

typedef const char *look_below(evn_reading *, const char *folder, const char *wanted);

/* How the file that may be meant is named from here: in the folders where data lie, and in the search path. */
static const char *meant(evn_reading *reading, const evn_node *named, look_below *look)
{
    static const char *const folders[] = {"vehicles", "cycles", "../parts", "../trucks", "../bases", "parts"};
    size_t here = folder_length(named->source->path);
    for (size_t i = 0; i < sizeof folders / sizeof *folders; i++) {
        const char *folder = join(reading, named->source->path, here, folders[i]);
        const char *found = folder ? look(reading, folder, named->text) : NULL;
        if (found)
            return found + here;
    }
    for (size_t i = 0; reading->search && reading->search[i]; i++) {
        const char *found = look(reading, reading->search[i], named->text);
        if (found)
            return found + strlen(reading->search[i]) + 1;
    }
    return NULL;
}

static void say_not_found(evn_reading *reading, const evn_node *named)
{
    char quoted[EVN_QUOTE_BYTES];
    evn_quote(quoted, named->text, strlen(named->text));
    bool absolute = named->text[0] == '/', hints = reading->hints++ < HINTS_MOST;
    const char *same = hints && !absolute ? meant(reading, named, same_name_below) : NULL;
    const char *hit = hints && !same ? near_name_there(reading, named) : same;
    hit = hit || absolute || !hints ? hit : meant(reading, named, near_name_below);
    char other[EVN_QUOTE_BYTES];
    if (hit) {
        evn_say_value(reading, named, EVN_FAULT_NOT_FOUND, "%s is not there; expected the path of a file; %s %s",
                      quoted, same ? "there is" : "nearest is", evn_quote(other, hit, strlen(hit)));
        return;
    }
    if (absolute) {
        evn_say_value(reading, named, EVN_FAULT_NOT_FOUND, "%s is not there; expected the path of a file", quoted);
        return;
    }
    bool nowhere = named->source->path[0] == '\0';
    bool searched = reading->search && reading->search[0];
    evn_say_value(reading, named, EVN_FAULT_NOT_FOUND, "%s is not there; expected a file %s%s%s%s%s", quoted,
                  nowhere ? "in the working folder" : "beside ",
                  nowhere                ? ""
                  : named->source->typed ? named->source->path
                                         : named->source->shown,
                  searched ? " or in the search path, which begins with " : "", searched ? reading->search[0] : "",
                  !strchr(named->text, '.') ? "; the ending is part of the name" : "");
}

static bool sound_path(evn_reading *reading, const evn_node *named)
{
    if (named->kind == EVN_NODE_BROKEN)
        return false;
    if (named->kind != EVN_NODE_SCALAR || named->text[0] == '\0' || strpbrk(named->text, "\n\t")) {
        evn_say_value(reading, named, EVN_FAULT_WRONG_SHAPE,
                      "%s without a path; expected the path of a file on one line", named->key);
        return false;
    }
    return true;
}

static bool within_limits(evn_reading *reading, const evn_node *named)
{
    if (named->source->depth >= EVN_INCLUSION_DEPTH_MOST) {
        evn_say_value(reading, named, EVN_FAULT_TOO_LARGE,
                      "more than 16 files that name each other in a row; expected fewer");
        return false;
    }
    if (reading->files >= EVN_FILES_MOST) {
        evn_say_value(reading, named, EVN_FAULT_TOO_LARGE, "more than 1000 files for one object; expected fewer");
        reading->stopped = true;
        return false;
    }
    return true;
}

static bool count_bytes(evn_reading *reading, const evn_node *named, size_t length)
{
    reading->files++;
    reading->bytes += length;
    if (reading->bytes <= EVN_TOTAL_BYTES_MOST)
        return true;
    evn_say_value(reading, named, EVN_FAULT_TOO_LARGE, "more than 128 MiB in all files together; expected less");
    reading->stopped = true;
    return false;
}

/* Tries one path after the other; the path that was there, or NULL (said). */
static const char *load_first(evn_reading *reading, const evn_node *named, evn_bytes *out)
{
    for (size_t n = 0;; n++) {
        const char *path = candidate(reading, named, n);
        evn_trouble trouble = {0};
        if (!path) {
            if (!reading->stopped)
                say_not_found(reading, named);
            return NULL;
        }
        if (evn_bytes_load(path, out, &trouble))
            return path;
        if (!trouble.absent) {
            char quoted[EVN_QUOTE_BYTES];
            path = evn_path_neat(reading, path, NULL);
            evn_say_value(reading, named, trouble.fault, "%s: %s", !path ? "" : evn_quote(quoted, path, strlen(path)),
                          trouble.why);
            return NULL;
        }
    }
}

struct evn_opened {
    const evn_opened *before;
    const evn_node *named;
    const evn_source *source;
};

static bool remember(evn_reading *reading, const evn_node *named, const evn_source *source)
{
    evn_opened *opened = evn_arena_take(reading->scratch, sizeof *opened);
    if (!opened)
        return evn_reading_out_of_memory(reading);
    *opened = (evn_opened){reading->opened, named, source};
    reading->opened = opened;
    return true;
}

const evn_source *evn_opened_by(const evn_reading *reading, const evn_node *named)
{
    const evn_opened *at = reading->opened;
    while (at && at->named != named)
        at = at->before;
    return !at ? NULL : at->source;
}

evn_source *evn_load_named(evn_reading *reading, const evn_node *named, evn_bytes *out)
{
    *out = (evn_bytes){0};
    if (reading->stopped || !sound_path(reading, named) || !within_limits(reading, named))
        return NULL;
    const char *path = load_first(reading, named, out);
    if (!path)
        return NULL;
    evn_source *source = NULL;
    const char *shown = count_bytes(reading, named, out->length) ? evn_path_neat(reading, path, out) : NULL;
    if (shown)
        source = evn_source_new(reading, path, shown, named->source, evn_node_spot(named));
    if (!source || !remember(reading, named, source)) {
        free(out->at);
        *out = (evn_bytes){0};
        return NULL;
    }
    source->on_disk = true;
    source->device = out->device;
    source->number = out->number;
    return source;
}

/* ---------------------------------------------------------------------------------------------------- merging */

void evn_node_replace(evn_node *old, const evn_node *by)
{
    evn_node *next = old->next;
    *old = *by;
    old->next = next;
}

void evn_node_merge(evn_node *base, evn_node *over)
{
    for (evn_node *child = over->first, *next; child; child = next) {
        next = child->next;
        evn_node *old = evn_node_get(base, child->key, strlen(child->key));
        if (!old)
            evn_node_append(base, child);
        else if (old->kind == EVN_NODE_MAP && child->kind == EVN_NODE_MAP)
            evn_node_merge(old, child);
        else
            evn_node_replace(old, child);
    }
    base->incomplete = base->incomplete || over->incomplete;
    base->key = over->key;
    base->key_hash = over->key_hash;
    base->key_source = over->key_source;
    base->key_line = over->key_line;
    base->key_column = over->key_column;
    if (over->count > 0) { /* a map that adds nothing of its own stands where its content does */
        base->source = over->source;
        base->line = over->line;
        base->column = over->column;
    }
}

static bool is_loop(const evn_source *opened)
{
    for (const evn_source *at = opened->user; at; at = at->user)
        if (at->on_disk && at->device == opened->device && at->number == opened->number)
            return true;
    return false;
}

/* The tree of the file that a `use` or `extends` names, or NULL (said). */
static evn_node *tree_of_named(evn_reading *reading, const evn_node *named)
{
    evn_bytes bytes;
    evn_source *source = evn_load_named(reading, named, &bytes);
    if (!source)
        return NULL;
    evn_node *root = NULL;
    if (is_loop(source)) {
        char quoted[EVN_QUOTE_BYTES];
        evn_say_value(
            reading, named, EVN_FAULT_INCLUSION_LOOP,
            "%s leads back to a file that is being read; expected files that do not name each other in a circle",
            evn_quote(quoted, named->text, strlen(named->text)));
    } else {
        root = evn_tree_of_file(reading, source, bytes.at, bytes.length);
    }
    free(bytes.at);
    return root;
}

/* What is written over a file that is not there misses keys all the way down. */
static void leave_incomplete(evn_node *map)
{
    if (map->kind == EVN_NODE_MAP)
        map->incomplete = true;
    for (evn_node *child = map->kind == EVN_NODE_MAP ? map->first : NULL; child; child = child->next)
        leave_incomplete(child);
}

/* Takes a `use` or `extends` out of the map and puts the map on what the file holds. */
static void include(evn_reading *reading, evn_node *map, const evn_node *named)
{
    evn_node_remove(map, named);
    evn_node *base = tree_of_named(reading, named);
    if (!base) {
        leave_incomplete(map);
        return;
    }
    evn_node_merge(base, map);
    evn_node_replace(map, base);
}

evn_node *evn_tree_of_file(evn_reading *reading, evn_source *source, const char *bytes, size_t length)
{
    if (!evn_bytes_check(reading, source, &bytes, &length))
        return NULL;
    evn_node *root = evn_tree_parse(reading, source, bytes, length);
    if (!root || root->kind == EVN_NODE_BROKEN)
        return NULL;
    if (root->kind != EVN_NODE_MAP) {
        evn_say_value(reading, root, EVN_FAULT_WRONG_SHAPE, "%s as the whole file; expected a map of keys",
                      root->kind == EVN_NODE_LIST ? "a list" : "a single value");
        return NULL;
    }
    const evn_node *says = evn_node_get(root, "source", strlen("source"));
    if (says && says->kind == EVN_NODE_SCALAR)
        source->says = says->text;
    const evn_node *extends = evn_node_get(root, "extends", strlen("extends"));
    if (extends)
        include(reading, root, extends);
    return root;
}

static void remove_inner_extends(evn_reading *reading, evn_node *map)
{
    const evn_node *extends = evn_node_get(map, "extends", strlen("extends"));
    if (extends) {
        evn_say_key(reading, extends, EVN_FAULT_UNKNOWN_KEY,
                    "'extends' inside a map; expected it at the top of a file; 'use' does that job here");
        evn_node_remove(map, extends);
        map->incomplete = true;
    }
}

/* A used file may use another at its top: as many times as there are files in a row. */
static void resolve_map(evn_reading *reading, evn_node *map)
{
    const evn_node *use = evn_node_get(map, "use", strlen("use")), *first = use;
    while (use && !reading->stopped) {
        include(reading, map, use);
        use = evn_node_get(map, "use", strlen("use"));
    }
    map->use = first ? first : map->use;
}

void evn_map_resolve(evn_reading *reading, evn_node *map)
{
    if (map->kind == EVN_NODE_MAP) {
        remove_inner_extends(reading, map);
        resolve_map(reading, map);
    }
}

static void resolve_children(evn_reading *reading, evn_node *parent)
{
    for (evn_node *child = parent->first; child && !reading->stopped; child = child->next) {
        evn_map_resolve(reading, child);
        resolve_children(reading, child);
    }
}

void evn_tree_resolve(evn_reading *reading, evn_node *root)
{
    resolve_map(reading, root);
    resolve_children(reading, root);
}
