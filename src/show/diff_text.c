#define _POSIX_C_SOURCE 200809L
#include "show/diff_text.h"
#include "show/check_story.h"
#include "show/document.h"
#include "show/json_number.h"
#include "show/text.h"
#include <errno.h>
#include <fcntl.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

enum { KEY_BYTES = 512, DEPTH_MOST = 12 };

typedef struct word { /* texts that differ */
    char *key, *first, *second;
} word;

struct evn_documents {
    evn_moved_quantity *moved;
    size_t moved_count, moved_room;
    word *word;
    size_t word_count, word_room;
    size_t compared;
    bool out_of_memory;
};

/* ------------------------------------------------------------------------------------------------ collecting */

static bool room_for(void **at, size_t *room, size_t count, size_t size)
{
    if (count < *room)
        return true;
    size_t more = *room > 0 ? 2 * *room : 32;
    void *larger = realloc(*at, more * size);
    if (larger == NULL)
        return false;
    *at = larger;
    *room = more;
    return true;
}

static void add_moved(evn_documents *d, const char *key, evn_moved_quantity q)
{
    q.key = strdup(key);
    if (q.key == NULL || !room_for((void **)&d->moved, &d->moved_room, d->moved_count, sizeof *d->moved)) {
        free((char *)q.key);
        d->out_of_memory = true;
        return;
    }
    d->moved[d->moved_count++] = q;
}

static const char *word_of(const json_t *json)
{
    if (json == NULL)
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
    word w = {strdup(key), strdup(word_of(first)), strdup(word_of(second))};
    bool made = w.key != NULL && w.first != NULL && w.second != NULL &&
                room_for((void **)&d->word, &d->word_room, d->word_count, sizeof *d->word);
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
    if (second == NULL || first == NULL) {
        add_moved(d, key, (evn_moved_quantity){key, EVN_MOVED_GONE, number_of(first), number_of(second), (double)NAN});
    } else if (is_number_like(first) && is_number_like(second)) {
        evn_moved_quantity q = evn_hold_against(NULL, key, number_of(first), number_of(second));
        if (q.moved != EVN_MOVED_NOT)
            add_moved(d, key, q);
    } else if (!json_equal(first, second)) {
        add_word(d, key, first, second);
    }
}

/* What a document says of itself is no result. */
static bool is_frame(const char *key, unsigned depth)
{
    static const char *const names[] = {"schema", "version", "findings", "findings_left_out", "closure"};
    for (size_t i = 0; depth == 0 && i < sizeof names / sizeof *names; i++)
        if (strcmp(key, names[i]) == 0)
            return true;
    return false;
}

static void walk(evn_documents *d, const char *above, const json_t *first, const json_t *second, unsigned depth);

static void walk_member(evn_documents *d, const char *above, const char *key, const json_t *first, const json_t *second,
                        unsigned depth)
{
    char path[KEY_BYTES];
    snprintf(path, sizeof path, "%s%s%s", above, above[0] != '\0' ? "." : "", key);
    bool groups = json_is_object(first) && json_is_object(second),
         lists = json_is_array(first) && json_is_array(second);
    if (depth < DEPTH_MOST && (groups || lists))
        walk(d, path, first, second, depth + 1);
    else
        hold(d, path, first, second);
}

static void walk(evn_documents *d, const char *above, const json_t *first, const json_t *second, unsigned depth)
{
    const char *key;
    const json_t *value;
    if (json_is_array(first)) {
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
    json_object_foreach((json_t *)second, key, value) if (!is_frame(key, depth) && json_object_get(first, key) == NULL)
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
    if (file != NULL)
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
    if (file == NULL)
        return NULL;
    json_t *json = json_loadf(file, JSON_REJECT_DUPLICATES, &error);
    fclose(file);
    if (json_is_object(json) && json_is_string(json_object_get(json, "schema")))
        return json;
    if (json == NULL)
        evn_mishap_say(mishap, "syntax", EVN_BAD_INPUT, "'%s', line %d, column %d: %s; expected a JSON document", path,
                       error.line, error.column, error.text);
    else
        evn_mishap_say(mishap, "wrong_shape", EVN_BAD_INPUT,
                       "'%s' is no document of evener; expected one that evener drive --json or the like wrote", path);
    json_decref(json);
    return NULL;
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
    if (a != NULL && b != NULL && alike(a, b, second, mishap)) {
        d = calloc(1, sizeof *d);
        if (d != NULL)
            walk(d, "", a, b, 0);
        if (d == NULL || d->out_of_memory) {
            evn_mishap_say(mishap, "out_of_memory", EVN_NO_RESULT, "memory ran out");
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
    if (d == NULL)
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

/* ------------------------------------------------------------------------------------------------ telling */

bool evn_documents_text(const evn_documents *d, FILE *to, const evn_look *look)
{
    for (size_t i = 0; i < d->word_count; i++) {
        fputs("  ", to);
        evn_put_safe(to, d->word[i].key);
        fputs(": ", to);
        evn_put_safe(to, d->word[i].first);
        fputs(" in the first, ", to);
        evn_put_safe(to, d->word[i].second);
        fputs(" in the second\n", to);
    }
    bool made = d->moved_count == 0 || evn_moved_table(d->moved, d->moved_count, to, look);
    size_t moved = evn_documents_moved(d);
    fprintf(to, "%zu quantit%s compared: %zu moved.\n", d->compared, d->compared == 1 ? "y" : "ies", moved);
    return made;
}

static bool add_json(json_t *list, const char *key, json_t *first, json_t *second, double tolerance)
{
    json_t *json = json_object();
    bool made = json != NULL && evn_json_put(json, "key", evn_json_text(key)) && evn_json_put(json, "first", first) &&
                evn_json_put(json, "second", second) && evn_json_put(json, "tolerance", evn_json_real(tolerance));
    return json_array_append_new(list, json) == 0 && made;
}

bool evn_documents_json(const evn_documents *d, const char *schema, evn_status status, const evn_findings *findings,
                        FILE *to)
{
    const char *told = status == EVN_DONE ? "same" : status == EVN_ANSWER_NO ? "moved" : "failed";
    json_t *document = evn_document_begin(schema, told), *list = json_array();
    bool made = document != NULL && list != NULL;
    for (size_t i = 0; made && d != NULL && i < d->word_count; i++)
        made = add_json(list, d->word[i].key, evn_json_text(d->word[i].first), evn_json_text(d->word[i].second),
                        (double)NAN);
    for (size_t i = 0; made && d != NULL && i < d->moved_count; i++)
        made = add_json(list, d->moved[i].key, evn_json_real(d->moved[i].kept), evn_json_real(d->moved[i].now),
                        d->moved[i].tolerance);
    made = made && evn_json_put(document, "moved", json_incref(list));
    json_decref(list);
    if (!made) {
        json_decref(document);
        return false;
    }
    return evn_document_end(document, findings, to);
}
