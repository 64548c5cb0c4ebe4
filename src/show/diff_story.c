/* Reads two documents of results and holds all numbers of the first against the second's. */
#define _POSIX_C_SOURCE 200809L
#include "show/diff_story.h"
#include "evener/keys.h"
#include "show/check_story.h"
#include "show/compare_story.h"
#include "show/cycle_story.h"
#include "show/day_story.h"
#include "show/drive_story.h"
#include "show/truck_story.h"
#include <errno.h>
#include <fcntl.h>
#include <jansson.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

enum { KEY_BYTES = 512, DEPTH_MOST = 12, RENAMED_TOLD = 3 };

/* ------------------------------------------------------------------------------------------------ collecting */

static bool room_for(void **at, size_t *room, size_t count, size_t size)
{
    if (count < *room)
        return true;
    size_t more = *room > 0 ? 2 * *room : 32;
    void *larger = realloc(*at, more * size);
    if (!larger)
        return false;
    *at = larger;
    *room = more;
    return true;
}

static void add_moved(evn_documents *d, const char *key, evn_moved_quantity q)
{
    q.key = strdup(key);
    if (!q.key || !room_for((void **)&d->moved, &d->moved_room, d->moved_count, sizeof *d->moved)) {
        free((char *)q.key);
        d->out_of_memory = true;
        return;
    }
    d->moved[d->moved_count++] = q;
}

static const char *word_of(const json_t *json)
{
    if (!json)
        return "nothing";
    if (json_is_string(json))
        return json_string_value(json);
    return json_is_true(json)     ? "true"
           : json_is_false(json)  ? "false"
           : json_is_null(json)   ? "none"
           : json_is_number(json) ? "a number"
           : json_is_array(json)  ? "a list"
                                  : "a group";
}

static void add_word(evn_documents *d, const char *key, const json_t *first, const json_t *second)
{
    evn_differing_word w = {strdup(key), strdup(word_of(first)), strdup(word_of(second))};
    bool made =
        w.key && w.first && w.second && room_for((void **)&d->word, &d->word_room, d->word_count, sizeof *d->word);
    if (made) {
        d->word[d->word_count++] = w;
        return;
    }
    free(w.key);
    free(w.first);
    free(w.second);
    d->out_of_memory = true;
}

static double number_of(const json_t *json) { return json_is_number(json) ? json_number_value(json) : (double)NAN; }

static bool is_number_like(const json_t *json) { return json_is_number(json) || json_is_null(json); }

/* A flag is one or none of two answers: yes and no differ like numbers do not. */
static void hold(evn_documents *d, const char *key, const json_t *first, const json_t *second)
{
    d->compared++;
    bool number = is_number_like(first ? first : second);
    if ((!second || !first) && number) {
        evn_moved moved = first ? EVN_MOVED_GONE : EVN_MOVED_NEW;
        add_moved(d, key, (evn_moved_quantity){key, moved, number_of(first), number_of(second), (double)NAN});
    } else if (first && second && number && is_number_like(second)) {
        evn_moved_quantity q = evn_hold_against(NULL, key, number_of(first), number_of(second));
        if (q.moved != EVN_MOVED_NOT)
            add_moved(d, key, q);
    } else if (!first || !second || !json_equal(first, second)) {
        add_word(d, key, first, second);
    }
}

/* What a document says of itself is no result. */
static bool is_frame(const char *key, unsigned depth)
{
    static const char *const names[] = {"schema",   "version", "findings",   "findings_left_out",
                                        "headline", "rows",    "thresholds", "balance_error"};
    for (size_t i = 0; depth == 0 && i < sizeof names / sizeof *names; i++)
        if (strcmp(key, names[i]) == 0)
            return true;
    return depth == 1 && strcmp(key, "sentences") == 0; /* they tell what stands elsewhere as figures */
}

static void walk(evn_documents *d, const char *above, const json_t *first, const json_t *second, unsigned depth);

/* What is not there may be either: what the other holds is told one by one. */
static bool may_be_group(const json_t *json) { return !json || json_is_object(json); }
static bool may_be_list(const json_t *json) { return !json || json_is_array(json); }

static bool is_empty(const json_t *json)
{
    return (json_is_object(json) && json_object_size(json) == 0) || (json_is_array(json) && json_array_size(json) == 0);
}

static void walk_member(evn_documents *d, const char *above, const char *key, const json_t *first, const json_t *second,
                        unsigned depth)
{
    char path[KEY_BYTES];
    snprintf(path, sizeof path, "%s%s%s", above, above[0] != '\0' ? "." : "", key);
    bool groups = may_be_group(first) && may_be_group(second), lists = may_be_list(first) && may_be_list(second),
         empty_alone = (!first || !second) && is_empty(first ? first : second);
    if (depth < DEPTH_MOST && (groups || lists) && !empty_alone)
        walk(d, path, first, second, depth + 1);
    else
        hold(d, path, first, second);
}

static void walk(evn_documents *d, const char *above, const json_t *first, const json_t *second, unsigned depth)
{
    const char *key;
    const json_t *value;
    if (json_is_array(first) || json_is_array(second)) {
        size_t count =
            json_array_size(first) > json_array_size(second) ? json_array_size(first) : json_array_size(second);
        for (size_t i = 0; i < count; i++) {
            char index[32];
            snprintf(index, sizeof index, "%zu", i);
            walk_member(d, above, index, json_array_get(first, i), json_array_get(second, i), depth);
        }
        return;
    }
    json_object_foreach((json_t *)first, key, value) if (!is_frame(key, depth))
        walk_member(d, above, key, value, json_object_get(second, key), depth);
    json_object_foreach((json_t *)second, key, value) if (!is_frame(key, depth) && !json_object_get(first, key))
        walk_member(d, above, key, NULL, value, depth);
}

/* ------------------------------------------------------------------------------------------------ reading */

/* An ordinary file only, as everywhere else: a pipe that nobody writes to would be waited for without end. */
static FILE *open_one(const char *path, evn_mishap *mishap)
{
    struct stat state;
    int handle = open(path, O_RDONLY | O_NONBLOCK | O_NOCTTY);
    bool ordinary = handle >= 0 && fstat(handle, &state) == 0 && S_ISREG(state.st_mode);
    FILE *file = ordinary ? fdopen(handle, "r") : NULL;
    if (file)
        return file;
    evn_mishap_say(mishap, "cannot_read", EVN_BAD_IO, "cannot read '%s': %s", path,
                   handle >= 0 && !ordinary ? "no regular file" : strerror(errno));
    if (handle >= 0)
        close(handle);
    return NULL;
}

static json_t *read_one(const char *path, evn_mishap *mishap)
{
    json_error_t error;
    FILE *file = open_one(path, mishap);
    if (!file)
        return NULL;
    json_t *json = json_loadf(file, JSON_REJECT_DUPLICATES, &error);
    fclose(file);
    if (json_is_object(json) && json_is_string(json_object_get(json, "schema")))
        return json;
    if (!json)
        evn_mishap_say(mishap, "syntax", EVN_BAD_INPUT, "'%s', line %d, column %d: %s; expected a JSON document", path,
                       error.line, error.column, error.text);
    else
        evn_mishap_say(mishap, "wrong_shape", EVN_BAD_INPUT,
                       "'%s' is no document of evener; expected one that evener drive --json or the like wrote", path);
    json_decref(json);
    return NULL;
}

/* What a key is called now; groups ("ledger") are known with a dot behind. */
static bool key_now(const char *key, char *out, size_t size)
{
    char group[KEY_BYTES];
    if (evn_renamed_key(key, out, size))
        return true;
    snprintf(group, sizeof group, "%s.", key);
    bool other = evn_renamed_key(group, out, size);
    if (other)
        out[strlen(out) - 1] = '\0';
    return other;
}

/* "'closure' is now 'balance_error'", of the first keys of a document, in groups and lists too, that are called
 * otherwise now, each once. */
static void write_renamed(const json_t *json, unsigned depth, unsigned *told, char *out, size_t size)
{
    const char *key;
    const json_t *value;
    size_t index;
    char now[KEY_BYTES], text[2 * KEY_BYTES + 32];
    if (depth > DEPTH_MOST)
        return;
    json_array_foreach((json_t *)json, index, value) write_renamed(value, depth + 1, told, out, size);
    json_object_foreach((json_t *)json, key, value)
    {
        snprintf(text, sizeof text, "'%s' is now '%s'", key, key_now(key, now, sizeof now) ? now : "");
        if (now[0] != '\0' && *told < RENAMED_TOLD && !strstr(out, text)) {
            size_t used = strlen(out);
            snprintf(out + used, size - used, "%s%s", used > 0 ? ", " : "", text);
            ++*told;
        }
        write_renamed(value, depth + 1, told, out, size);
    }
}

/* Refused: a document whose keys have other names now. */
static bool is_of_now(const json_t *json, const char *path, evn_mishap *mishap)
{
    static const char *const schemas[] = {EVN_DRIVE_SCHEMA, EVN_COMPARE_SCHEMA, EVN_CHECK_SCHEMA, EVN_KEEP_SCHEMA,
                                          EVN_DIFF_SCHEMA,  EVN_CYCLE_SCHEMA,   EVN_TRUCK_SCHEMA, EVN_DAY_SCHEMA};
    const char *schema = json_string_value(json_object_get(json, "schema"));
    char renamed[RENAMED_TOLD * (2 * KEY_BYTES + 32)] = "";
    unsigned told = 0;
    for (size_t k = 0; k < sizeof schemas / sizeof *schemas; k++) {
        size_t stem = strcspn(schemas[k], "/");
        if (strncmp(schema, schemas[k], stem + 1) != 0 || strcmp(schema, schemas[k]) == 0)
            continue;
        write_renamed(json, 0, &told, renamed, sizeof renamed);
        evn_mishap_say(mishap, "disagrees", EVN_BAD_INPUT, "'%s' is a document of %s; expected one of %s%s%s", path,
                       schema, schemas[k], renamed[0] != '\0' ? ": " : "", renamed);
        return false;
    }
    return true;
}

static bool alike(const json_t *first, const json_t *second, const char *path, evn_mishap *mishap)
{
    const char *a = json_string_value(json_object_get(first, "schema"));
    const char *b = json_string_value(json_object_get(second, "schema"));
    if (strcmp(a, b) == 0)
        return true;
    evn_mishap_say(mishap, "disagrees", EVN_BAD_INPUT, "'%s' is a document of %s; expected one of %s like the first",
                   path, b, a);
    return false;
}

evn_documents *evn_documents_read(const char *first, const char *second, evn_mishap *mishap)
{
    json_t *a = read_one(first, mishap), *b = read_one(second, mishap);
    evn_documents *d = NULL;
    if (a && b && is_of_now(a, first, mishap) && is_of_now(b, second, mishap) && alike(a, b, second, mishap)) {
        d = calloc(1, sizeof *d);
        if (d)
            walk(d, "", a, b, 0);
        if (!d || d->out_of_memory) {
            evn_mishap_no_memory(mishap);
            evn_documents_free(d);
            d = NULL;
        }
    }
    json_decref(a);
    json_decref(b);
    return d;
}

void evn_documents_free(evn_documents *d)
{
    if (!d)
        return;
    for (size_t i = 0; i < d->moved_count; i++)
        free((char *)d->moved[i].key);
    for (size_t i = 0; i < d->word_count; i++) {
        free(d->word[i].key);
        free(d->word[i].first);
        free(d->word[i].second);
    }
    free(d->moved);
    free(d->word);
    free(d);
}

size_t evn_documents_moved(const evn_documents *d) { return d->moved_count + d->word_count; }
