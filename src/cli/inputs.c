/* Leads names to the files that bear them, and says which names there are. */
#define _POSIX_C_SOURCE 200809L
#include "cli/inputs.h"
#include "cli/data_folders.h"
#include "cli/options.h"
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>

enum { NAMES_MOST = 512 };

enum { KIND = 40 };

/* The next of several kinds, which have blanks between; false: no more. */
static bool next_kind(const char **kinds, char out[KIND])
{
    size_t length = strcspn(*kinds, " ");
    snprintf(out, KIND, "%.*s", (int)length, *kinds);
    *kinds += length + ((*kinds)[length] == ' ');
    return length > 0;
}

bool evn_is_among_kinds(const char *kinds, const char *kind)
{
    char one[KIND];
    bool among = false;
    while (kind && next_kind(&kinds, one))
        among = among || strcmp(one, kind) == 0;
    return among;
}

const char *evn_kind_phrase(char out[EVN_KIND_PHRASE], const char *kinds)
{
    char one[KIND];
    int used = 0;
    if (strcmp(kinds, "kept") == 0)
        return "a file of kept results";
    if (strcmp(kinds, "uncertainties") == 0)
        return "a file of uncertainties";
    if (strcmp(kinds, "rules") == 0)
        return "a set of rules";
    if (strcmp(kinds, "prices") == 0)
        return "a file of prices";
    if (strcmp(kinds, "vary") == 0)
        return "a study";
    while (next_kind(&kinds, one) && used < EVN_KIND_PHRASE)
        used += snprintf(out + used, EVN_KIND_PHRASE - (size_t)used, "%sa%s %s", used > 0 ? " or " : "",
                         strchr("aeiou", one[0]) ? "n" : "", one);
    return out;
}

static bool is_file(const char *path)
{
    struct stat what;
    return stat(path, &what) == 0 && !S_ISDIR(what.st_mode);
}

static bool looks_like_path(const char *given)
{
    size_t length = strlen(given);
    return strchr(given, '/') || (length > 5 && strcmp(given + length - 5, ".yaml") == 0);
}

static bool is_of(const evn_item *item, const char *kinds) { return evn_is_among_kinds(kinds, item->kind); }

/* The files of a name; of all names where that is NULL. What is wrong with files that nobody asked for does not matter.
 */
static evn_catalogue *look(const char *name, evn_mishap *mishap)
{
    evn_report *unused = evn_report_new();
    evn_catalogue *found = NULL;
    if (unused && name)
        evn_catalogue_open_named(evn_data_folders_here, name, &found, unused);
    else if (unused)
        evn_catalogue_open(evn_data_folders_here, &found, unused);
    evn_report_free(unused);
    if (!found)
        evn_mishap_no_memory(mishap);
    return found;
}

static void say_no_such_among(const evn_catalogue *all, const char *given, const char *kind, evn_mishap *mishap)
{
    const char *names[NAMES_MOST], *nearest = NULL;
    char one[KIND], words[EVN_KIND_PHRASE] = "";
    const char *rest = kind;
    size_t count = 0;
    evn_item item;
    for (size_t i = 0; count < NAMES_MOST && evn_catalogue_at(all, i, &item); i++)
        if (is_of(&item, kind))
            names[count++] = item.name;
    while (next_kind(&rest, one))
        snprintf(words + strlen(words), sizeof words - strlen(words), "%s%s", words[0] != '\0' ? " or " : "", one);
    if (count == 0) {
        evn_mishap_say(mishap, "not_found", EVN_BAD_INPUT,
                       "no %s named '%s', and 'evener list' shows none at all; the path of a file was expected, or "
                       "EVENER_PATH to name the folder that holds vehicles/ and cycles/",
                       words, given);
        return;
    }
    nearest = evn_name_nearest(given, names, sizeof names[0], count);
    evn_mishap_say(mishap, "not_found", EVN_BAD_INPUT,
                   "no %s named '%s'; a name that 'evener list' shows, or the path of a file, was expected%s%s%s",
                   words, given, nearest ? "; nearest is '" : "", nearest ? nearest : "", nearest ? "'" : "");
}

static void say_no_such(const char *given, const char *kind, evn_mishap *mishap)
{
    evn_catalogue *all = look(NULL, mishap);
    if (all)
        say_no_such_among(all, given, kind, mishap);
    evn_catalogue_free(all);
}

/* The first of that kind, or of any where `kind` is NULL; false: none. */
static bool find(const evn_catalogue *named, const char *kind, size_t *from, evn_item *out)
{
    for (; evn_catalogue_at(named, *from, out); ++*from)
        if (out->kind && (!kind || is_of(out, kind))) {
            ++*from;
            return true;
        }
    return false;
}

static bool find_named(const evn_catalogue *named, const char *given, const char *kind, evn_input *out,
                       evn_mishap *mishap)
{
    evn_item item, other;
    size_t from = 0;
    if (find(named, kind, &from, &item)) {
        if (find(named, kind, &from, &other))
            evn_mishap_say(mishap, "not_found", EVN_BAD_INPUT,
                           "%s and %s both have the name '%s'; the path of one of them was expected", item.path,
                           other.path, given);
    } else {
        from = 0;
        /* a file of no kind bears the name: it cannot be read, and who loads it says why and where */
        if (!find(named, NULL, &from, &item) && !evn_catalogue_at(named, 0, &item))
            say_no_such(given, kind, mishap);
    }
    if (evn_mishap_happened(mishap))
        return false;
    *out = (evn_input){item.path, item.kind};
    return true;
}

static const evn_catalogue *look_for(evn_inputs *inputs, const char *name, evn_mishap *mishap)
{
    evn_catalogue **larger = realloc(inputs->named, (inputs->count + 1) * sizeof(evn_catalogue *));
    if (!larger) {
        evn_mishap_no_memory(mishap);
        return NULL;
    }
    inputs->named = larger;
    larger[inputs->count] = look(name, mishap);
    return larger[inputs->count] ? larger[inputs->count++] : NULL;
}

bool evn_input_find(evn_inputs *inputs, const char *given, const char *kind, evn_input *out, evn_mishap *mishap)
{
    *out = (evn_input){given, NULL};
    if (is_file(given)) {
        char first[KIND];
        const char *kinds = kind ? kind : "";
        out->kind = evn_file_kind(given, next_kind(&kinds, first) ? first : NULL);
        return true;
    }
    if (looks_like_path(given))
        return true;
    const evn_catalogue *named = look_for(inputs, given, mishap);
    return named && find_named(named, given, kind, out, mishap);
}

void evn_inputs_free(evn_inputs *inputs)
{
    for (size_t i = 0; i < inputs->count; i++)
        evn_catalogue_free(inputs->named[i]);
    free(inputs->named);
}
