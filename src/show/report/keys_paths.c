/* Paths of keys, a line each, as --set takes them: for completion in a shell, and for looking through with grep. */
#include "show/keys_story.h"
#include "show/text.h"
#include <string.h>

typedef struct way { /* a path as a chain from its end to its beginning */
    const struct way *before;
    const char *joint, *word;
    const char *kind; /* what its keys below are of; NULL: none yet */
} way;

static void put_way(const way *at, FILE *to)
{
    if (!at)
        return;
    put_way(at->before, to);
    fputs(at->joint, to);
    evn_put_safe(to, at->word);
}

static bool is_within(const way *at, const char *kind)
{
    for (; at; at = at->before)
        if (at->kind && strcmp(at->kind, kind) == 0)
            return true;
    return false;
}

static void list_below(const way *at, const char *dot, const char *item, const char *holder, const evn_key *, FILE *);

/* All keys of the kind; not once more within itself. */
static void list_kind(const way *at, const char *dot, const char *kind, FILE *to)
{
    if (is_within(at, kind))
        return;
    way here = {.before = at, .joint = "", .word = "", .kind = kind};
    evn_key key;
    for (size_t i = 0; evn_key_at(kind, i, &key); i++) {
        way with_key = {.before = &here, .joint = dot, .word = key.key};
        list_below(&with_key, ".", "[N].", kind, &key, to);
    }
}

/* What the key at the end of the way leads to; `dot` joins a key or a name to it, `item` a step of its list. */
static void list_below(const way *at, const char *dot, const char *item, const char *holder, const evn_key *key,
                       FILE *to)
{
    way inner = {.before = at, .joint = dot, .word = "NAME"};
    const char *step;
    if (key->shape == EVN_KEY_GROUP) {
        list_kind(at, dot, key->kind, to);
    } else if (key->shape == EVN_KEY_NAMED) {
        list_kind(&inner, ".", key->kind, to);
    } else if (key->shape == EVN_KEY_STEPS) {
        inner.joint = item;
        for (size_t i = 0; (step = evn_key_step(holder, key->key, i)); i++) {
            inner.word = step;
            list_kind(&inner, ".", step, to);
        }
    } else {
        put_way(key->shape == EVN_KEY_FIGURES ? &inner : at, to);
        fputc('\n', to);
    }
}

void evn_keys_paths(const char *path, const evn_key_place *place, FILE *to)
{
    char last = path[0] != '\0' ? path[strlen(path) - 1] : '\0';
    const way at = {.joint = "", .word = path};
    const char *dot = last == '.' ? "" : ".", *item = last == '.' ? "" : last == ']' ? "." : "[N].";
    evn_key key;
    if (!place->holder)
        list_kind(&at, dot, place->inner, to);
    else if (evn_key_at(place->holder, place->index, &key))
        list_below(&at, dot, item, place->holder, &key, to);
}

void evn_keys_all_paths(FILE *to)
{
    list_kind(NULL, "", "truck", to);
    list_kind(&(way){.joint = "", .word = "cycle"}, ".", "cycle", to);
}
