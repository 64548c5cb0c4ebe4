/*
 * The file of evener new. Walks the values of a part and the keys of its kinds side by side. What is not written in the
 * source stands behind a
 * '#', with its default; what a kind is, is explained where it stands first.
 */
#define _POSIX_C_SOURCE 200809L
#include "show/keys_story.h"
#include "show/new_story.h"
#include "show/text.h"
#include "show/yaml/yaml.h"
#include <stdlib.h>
#include <string.h>

enum { KEYS_MOST = 128, KINDS_MOST = 128, WIDTH = 100, FACTS_COLUMN = 44, INDENT_MOST = 80 };

typedef struct writer {
    const evn_new_story *story;
    FILE *to;
    size_t next;                  /* row to be written */
    const char *told[KINDS_MOST]; /* kinds that are explained */
    size_t told_count;
    bool failed;
} writer;

/* One map as it is written. */
typedef struct block {
    const char *kind;
    unsigned depth;
    bool explained; /* the kind's keys are told about, those that are not written too */
    bool off;       /* behind a '#', with all that is in it */
} block;

static bool peek(const writer *w, evn_value *value) { return evn_part_value_at(w->story->part, w->next, value); }

static bool is_written(const evn_value *value)
{
    return value->origin == EVN_FROM_FILE || value->origin == EVN_FROM_SET;
}

/* True when something written stands below the next row. */
static bool holds_written(const writer *w)
{
    evn_value above, value;
    size_t index = w->next;
    if (!peek(w, &above))
        return false;
    while (evn_part_value_at(w->story->part, ++index, &value) && value.depth > above.depth)
        if (is_written(&value))
            return true;
    return false;
}

static void skip_below(writer *w, unsigned depth)
{
    evn_value value;
    while (peek(w, &value) && value.depth > depth)
        w->next++;
}

/* True the first time. */
static bool tell(writer *w, const char *kind)
{
    for (size_t i = 0; i < w->told_count; i++)
        if (strcmp(w->told[i], kind) == 0)
            return false;
    if (w->told_count < KINDS_MOST)
        w->told[w->told_count++] = kind;
    return true;
}

static bool find_key(const char *kind, const char *name, size_t *index, evn_key *key)
{
    for (size_t i = 0; evn_key_at(kind, i, key); i++)
        if (strcmp(key->key, name) == 0) {
            *index = i;
            return true;
        }
    return false;
}

/* ------------------------------------------------------------------------------------------------ lines */

static void put_meaning(const writer *w, unsigned depth, const char *text)
{
    char indent[INDENT_MOST];
    if (text[0] == '\0')
        return;
    snprintf(indent, sizeof indent, "%*s# ", (int)(depth * 2), "");
    evn_put_paragraph_within(w->to, WIDTH, 0, indent, text);
}

/* What stands of a line is `written` columns wide. */
static void put_facts(writer *w, const block *in, const evn_key *key, size_t written)
{
    char *facts = evn_key_facts(in->kind, key);
    if (!facts) {
        w->failed = true;
        return;
    }
    fprintf(w->to, "%*s# %s", written < FACTS_COLUMN ? (int)(FACTS_COLUMN - written) : 2, "", facts);
    free(facts);
}

/* "../../cycles/x.csv": the path of a file seen from a folder, both from the root. */
static void put_path_from(FILE *to, const char *folder, const char *path)
{
    size_t same = 0, at = 0;
    while (folder[at] != '\0' && folder[at] == path[at]) {
        at++;
        if (path[at] == '/' && (folder[at] == '/' || folder[at] == '\0'))
            same = at;
    }
    if (strcmp(folder, "/") == 0)
        same = 0;
    for (const char *rest = folder + same; *rest != '\0'; rest++)
        if (*rest == '/' && rest[1] != '\0')
            fputs("../", to);
    fputs(path + same + 1, to);
}

static bool quoted_path(writer *w, const char *path)
{
    char *text = NULL;
    size_t size = 0;
    FILE *memory = open_memstream(&text, &size);
    if (!memory)
        return false;
    if (w->story->folder)
        put_path_from(memory, w->story->folder, path);
    else
        fputs(path, memory);
    bool made = ferror(memory) == 0;
    made = fclose(memory) == 0 && made;
    if (made)
        evn_put_yaml_text(w->to, text);
    free(text);
    return made;
}

static void put_value(writer *w, const evn_value *value)
{
    if (value->count > 0 || value->text || value->texts || value->kind == EVN_VALUE_NUMBERS)
        fputc(' ', w->to);
    if (value->texts)
        evn_put_yaml_texts(w->to, value->texts);
    if (value->kind == EVN_VALUE_NUMBERS || (value->kind == EVN_VALUE_NUMBER && value->count > 0))
        evn_put_yaml_numbers(w->to, value);
    else if (value->text && value->kind == EVN_VALUE_WORD)
        fputs(value->text, w->to);
    else if (value->text && value->kind == EVN_VALUE_TEXT)
        evn_put_yaml_text(w->to, value->text);
    else if (value->text && !quoted_path(w, value->text))
        w->failed = true;
}

/* Columns of a line up to here, near enough for setting facts one below the other. */
static size_t columns_of(const evn_value *value)
{
    size_t columns = value->depth * 2 + strlen(value->key) + 1;
    char number[32];
    for (size_t i = 0; i < value->count; i++) {
        evn_format_exact(number, value->numbers[i]);
        columns += strlen(number) + (value->kind == EVN_VALUE_NUMBERS ? 2 : 1);
    }
    return columns + (value->text ? strlen(value->text) + (value->kind == EVN_VALUE_WORD ? 1 : 3) : 0) +
           (value->kind == EVN_VALUE_NUMBERS ? 1 : 0);
}

static void put_leaf(writer *w, const block *in, const evn_value *value, const evn_key *key)
{
    bool off = in->off || !is_written(value);
    if (off && !in->explained)
        return;
    if (in->explained)
        put_meaning(w, value->depth, key->help);
    fprintf(w->to, "%*s%s", (int)value->depth * 2, "", off ? "#" : "");
    evn_put_yaml_key(w->to, value->key);
    put_value(w, value);
    if (in->explained)
        put_facts(w, in, key, columns_of(value) + (off ? 1 : 0));
    fputc('\n', w->to);
}

/* ------------------------------------------------------------------------------------------------ maps */

static void put_block(writer *w, block in);

/* The line of a map or list; `empty`: what stands for nothing in it. */
static void put_head(writer *w, const block *in, const evn_value *value, const evn_key *key, const char *empty)
{
    if (value->depth == 0)
        fputc('\n', w->to);
    if (key && in->explained)
        put_meaning(w, value->depth, key->help);
    fprintf(w->to, "%*s%s%s", (int)value->depth * 2, "", in->off ? "#" : "", value->kind == EVN_VALUE_STEP ? "- " : "");
    evn_put_yaml_key(w->to, value->key);
    fputs(empty, w->to);
    if (key && in->explained)
        put_facts(w, in, key, columns_of(value) + strlen(empty) + (in->off ? 1 : 0));
    fputc('\n', w->to);
}

static void put_group(writer *w, block in, const evn_value *value, const evn_key *key)
{
    in.off = in.off || !is_written(value);
    if (in.off && !in.explained) {
        w->next++;
        skip_below(w, value->depth);
        return;
    }
    put_head(w, &in, value, key, in.off || holds_written(w) ? "" : " {}");
    w->next++;
    put_block(w, (block){key->kind, value->depth + 1, tell(w, key->kind), in.off});
}

static void put_named(writer *w, const block *in, const evn_value *value, const evn_key *key)
{
    evn_value name;
    put_head(w, in, value, key, holds_written(w) ? "" : " {}");
    w->next++;
    while (peek(w, &name) && name.depth == value->depth + 1) {
        put_head(w, in, &name, NULL, holds_written(w) ? "" : " {}");
        w->next++;
        put_block(w, (block){key->kind, name.depth + 1, tell(w, key->kind), false});
    }
}

static void put_steps(writer *w, const block *in, const evn_value *value, const evn_key *key)
{
    evn_value step;
    evn_kind kind;
    put_head(w, in, value, key, holds_written(w) ? "" : " []");
    w->next++;
    while (peek(w, &step) && step.depth == value->depth + 1) {
        bool first = tell(w, step.key);
        if (first && evn_kind_get(step.key, &kind))
            put_meaning(w, step.depth, kind.help);
        put_head(w, in, &step, NULL, holds_written(w) ? "" : " {}");
        w->next++;
        put_block(w, (block){step.key, step.depth + 2, first, false});
    }
}

/* A key of which the values say nothing, since it is not given and nothing stands in for it. */
static void put_absent(writer *w, const block *in, const evn_key *key)
{
    int written = 0;
    if (in->depth == 0)
        fputc('\n', w->to);
    put_meaning(w, in->depth, key->help);
    written = fprintf(w->to, "%*s#%s:", (int)in->depth * 2, "", key->key);
    put_facts(w, in, key, written > 0 ? (size_t)written : 0);
    if (key->kind)
        fprintf(w->to, "; 'evener keys %s' tells more", key->kind);
    fputc('\n', w->to);
}

static void put_row(writer *w, const block *in, const evn_value *value, const evn_key *key)
{
    if (key->shape == EVN_KEY_GROUP) {
        put_group(w, *in, value, key);
    } else if (key->shape == EVN_KEY_NAMED) {
        put_named(w, in, value, key);
    } else if (key->shape == EVN_KEY_STEPS) {
        put_steps(w, in, value, key);
    } else {
        put_leaf(w, in, value, key);
        w->next++;
    }
}

static void put_block(writer *w, block in)
{
    bool met[KEYS_MOST] = {false};
    evn_value value;
    evn_key key;
    size_t index;
    while (!w->failed && peek(w, &value) && value.depth == in.depth) {
        if (!find_key(in.kind, value.key, &index, &key)) {
            w->failed = true; /* values and keys come from the same tables */
            return;
        }
        if (index < KEYS_MOST)
            met[index] = true;
        put_row(w, &in, &value, &key);
    }
    for (size_t i = 0; in.explained && i < KEYS_MOST && evn_key_at(in.kind, i, &key); i++)
        if (!met[i])
            put_absent(w, &in, &key);
}

/* ------------------------------------------------------------------------------------------------ the file */

static void put_top(const evn_new_story *story, FILE *to)
{
    char *like = story->like ? evn_safe_text(story->like) : NULL;
    fprintf(to, "# Kind: %s. Written by evener %s with ", story->kind, evn_version());
    fprintf(to, story->like ? "the values of %s.\n" : "the values of an example, which are invented.\n",
            like ? like : "");
    fputs("# A key behind a '#' is not given or has its default; take the '#' away, and those of the maps it stands\n"
          "# in, to give it. What a key may be stands behind it: unit, default, bounds outside which it is refused,\n"
          "# what is usual. Keys of a kind are explained where it stands first.\n",
          to);
    free(like);
}

bool evn_new_file(const evn_new_story *story, FILE *to)
{
    writer w = {.story = story, .to = to};
    put_top(story, to);
    tell(&w, story->kind);
    put_block(&w, (block){story->kind, 0, true, false});
    return !w.failed;
}
