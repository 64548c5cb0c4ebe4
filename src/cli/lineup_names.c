/* Short names for trucks that stand on the command line, each one once, and the paths of their traces. */
#include "cli/lineup_names.h"
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { SUFFIX = 16 };

static bool is_taken(const evn_lineup_names *names, const char *name)
{
    for (size_t i = 0; i < names->count; i++)
        if (strcmp(names->at[i], name) == 0)
            return true;
    return false;
}

/* Written to room for the whole path and a number behind it. */
static void name_of(char *out, const char *path)
{
    static const char ending[] = ".yaml";
    const char *slash = strrchr(path, '/'), *begin = slash ? slash + 1 : path;
    size_t length = strlen(begin), tail = sizeof ending - 1;
    if (length > tail && strcmp(begin + length - tail, ending) == 0)
        length -= tail;
    for (size_t i = 0; i < length; i++) {
        bool breaks_paths = strchr(" .[]{}=,:'\"", begin[i]) || (unsigned char)begin[i] < 0x20 || begin[i] == 0x7f;
        out[i] = breaks_paths ? '_' : begin[i];
    }
    snprintf(out + length, SUFFIX, "%s", length == 0 ? "truck" : "");
}

bool evn_lineup_names_make(evn_lineup_names *names, const char *const *paths, size_t count)
{
    names->at = calloc(count, sizeof *names->at);
    for (size_t i = 0; names->at && i < count; i++) {
        char *name = malloc(strlen(paths[i]) + 2 * SUFFIX);
        if (!name)
            return false;
        name_of(name, paths[i]);
        size_t length = strlen(name);
        for (unsigned number = 2; is_taken(names, name); number++)
            snprintf(name + length, SUFFIX, "-%u", number);
        names->at[names->count++] = name;
    }
    return names->at;
}

void evn_lineup_names_free(evn_lineup_names *names)
{
    for (size_t i = 0; i < names->count; i++)
        free(names->at[i]);
    free(names->at);
}

bool evn_lineup_names_fit(const evn_lineup_names *names, const char *const *sets, evn_mishap *mishap)
{
    static const char trucks[] = "trucks.";
    size_t skip = sizeof trucks - 1;
    for (size_t i = 0; sets[i]; i++) {
        if (strncmp(sets[i], trucks, skip) != 0)
            continue;
        const char *name = sets[i] + skip;
        size_t length = strcspn(name, ".=");
        bool found = false;
        for (size_t k = 0; k < names->count; k++)
            found = found || (strlen(names->at[k]) == length && strncmp(names->at[k], name, length) == 0);
        if (found && name[length] == '.')
            continue;
        evn_mishap_say(mishap, "usage", EVN_BAD_INPUT,
                       "--set '%s' is for no truck here; trucks.NAME.KEY=VALUE with the name of a truck file was "
                       "expected, such as trucks.%s.body.mass_kg=4000",
                       sets[i], names->at[0]);
        return false;
    }
    return true;
}

char *evn_lineup_trace_path(const char *folder, const char *name, const char *basis)
{
    size_t bytes = strlen(folder) + strlen(name) + strlen(basis) + sizeof "/-.csv";
    char *path = malloc(bytes);
    if (path)
        snprintf(path, bytes, "%s/%s-%s.csv", folder, name, basis);
    return path;
}

static bool is_shared(const char *const short_name[], size_t count, size_t index)
{
    for (size_t i = 0; short_name[index] && i < count; i++)
        if (i != index && short_name[i] && strcmp(short_name[i], short_name[index]) == 0)
            return true;
    return false;
}

bool evn_titles_tell_apart(char *title[], const char *const short_name[], const char *const name[], size_t count)
{
    for (size_t i = 0; i < count; i++) {
        if (!is_shared(short_name, count, i))
            continue;
        size_t bytes = strlen(short_name[i]) + strlen(name[i]) + sizeof " ()";
        title[i] = malloc(bytes);
        if (!title[i])
            return false;
        snprintf(title[i], bytes, "%s (%s)", short_name[i], name[i]);
    }
    return true;
}
