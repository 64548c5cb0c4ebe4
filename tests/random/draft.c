/* Files under construction: the tree, and how it is written. */
#include "draft.h"
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* ------------------------------------------------------------------------------------------------ the tree */

static void *take(evn_arena *arena, size_t bytes)
{
    void *made = evn_arena_take(arena, bytes);
    if (!made)
        abort(); /* a test without memory proves nothing */
    return made;
}

draft *draft_new(evn_arena *arena, draft_kind kind, const char *key)
{
    draft *d = take(arena, sizeof *d);
    d->kind = kind;
    d->key = evn_arena_text(arena, key, strlen(key));
    return d;
}

static draft *named(const draft *map, const char *key)
{
    draft *d = map->first;
    while (d && strcmp(d->key, key) != 0)
        d = d->next;
    return d;
}

draft *draft_get(const draft *map, const char *key)
{
    draft *d = named(map, key);
    return d && !d->dropped ? d : NULL;
}

double draft_number(const draft *map, const char *key, double where_absent)
{
    const draft *d = draft_get(map, key);
    return d ? d->number : where_absent;
}

size_t draft_count(const draft *map)
{
    size_t count = 0;
    for (const draft *d = map->first; d; d = d->next)
        count += !d->dropped;
    return count;
}

draft *draft_child(const draft *map, size_t index)
{
    draft *d = map->first;
    for (; d; d = d->next)
        if (!d->dropped && index-- == 0)
            break;
    return d;
}

void draft_add(draft *map, draft *child)
{
    draft **at = &map->first;
    while (*at)
        at = &(*at)->next;
    *at = child;
}

draft *draft_put(evn_arena *arena, draft *map, const char *key, draft_kind kind)
{
    draft *d = named(map, key);
    if (!d) {
        d = draft_new(arena, kind, key);
        draft_add(map, d);
    }
    d->kind = kind;
    d->first = NULL;
    d->dropped = false;
    return d;
}

/* As it will be read again, so that rules between keys hold for what is written. */
static double as_written(double x)
{
    char text[40];
    snprintf(text, sizeof text, "%.6g", x);
    return strtod(text, NULL);
}

void draft_put_number(evn_arena *arena, draft *map, const char *key, double x)
{
    draft_put(arena, map, key, DRAFT_NUMBER)->number = as_written(x);
}

void draft_put_word(evn_arena *arena, draft *map, const char *key, const char *word)
{
    draft_put(arena, map, key, DRAFT_WORD)->word = evn_arena_text(arena, word, strlen(word));
}

void draft_put_list(evn_arena *arena, draft *map, const char *key, const double *at, size_t count)
{
    draft *d = draft_put(arena, map, key, DRAFT_LIST);
    d->at = take(arena, (count + 1) * sizeof *d->at);
    d->count = count;
    for (size_t k = 0; k < count; k++)
        d->at[k] = as_written(at[k]);
}

void draft_drop(draft *map, const char *key)
{
    draft *d = named(map, key);
    if (d)
        d->dropped = true;
}

void draft_cut(draft *map, size_t count)
{
    for (draft *d = map->first; d; d = d->next)
        if (!d->dropped && count > 0)
            count--;
        else
            d->dropped = true;
}

/* ------------------------------------------------------------------------------------------------ writing */

typedef struct pen {
    FILE *to;
    const char *folder, *stem;
    int tables;
    bool failed;
} pen;

static FILE *begin(const char *folder, const char *name)
{
    char path[1000];
    snprintf(path, sizeof path, "%s/%s", folder, name);
    return fopen(path, "w");
}

static bool end(FILE *f)
{
    bool sound = !ferror(f);
    return fclose(f) == 0 && sound;
}

/* One row for each place of the longest column; a number that is not one (a hole of a map) is an empty cell. */
static bool write_columns(FILE *f, const draft *table)
{
    size_t rows = 0;
    fputs("# invented\n", f);
    for (const draft *c = table->first; c; c = c->next) {
        fprintf(f, "%s%s", c == table->first ? "" : ",", c->key);
        rows = c->count > rows ? c->count : rows;
    }
    fputc('\n', f);
    for (size_t k = 0; k < rows; k++)
        for (const draft *c = table->first; c; c = c->next) {
            if (k < c->count && c->at[k] == c->at[k])
                fprintf(f, "%.6g", c->at[k]);
            fputc(c->next ? ',' : '\n', f);
        }
    return end(f);
}

static void write_table(pen *p, const draft *table)
{
    char name[200];
    snprintf(name, sizeof name, "%s-%d.csv", p->stem, ++p->tables);
    FILE *f = begin(p->folder, name);
    if (!f || !write_columns(f, table))
        p->failed = true;
    fprintf(p->to, " %s\n", name);
}

static void write_map(pen *p, const draft *map, int indent);

static void write_value(pen *p, const draft *d, int indent)
{
    switch (d->kind) {
    case DRAFT_NUMBER:
        fprintf(p->to, " %.6g\n", d->number);
        break;
    case DRAFT_WORD:
        fprintf(p->to, " %s\n", d->word);
        break;
    case DRAFT_LIST:
        fputs(" [", p->to);
        for (size_t k = 0; k < d->count; k++)
            fprintf(p->to, "%s%.6g", k ? ", " : "", d->at[k]);
        fputs("]\n", p->to);
        break;
    case DRAFT_TABLE:
        write_table(p, d);
        break;
    case DRAFT_MAP:
    case DRAFT_STEPS:
        fputs(draft_count(d) ? "\n" : d->kind == DRAFT_MAP ? " {}\n" : " []\n", p->to);
        write_map(p, d, indent + 2);
        break;
    }
}

static void write_map(pen *p, const draft *map, int indent)
{
    bool steps = map->kind == DRAFT_STEPS;
    for (const draft *d = map->first; d; d = d->next)
        if (!d->dropped) {
            fprintf(p->to, "%*s%s%s:", indent, "", steps ? "- " : "", d->key);
            write_value(p, d, steps ? indent + 2 : indent);
        }
}

bool draft_write(const draft *file, const char *folder, const char *name)
{
    char stem[100];
    snprintf(stem, sizeof stem, "%.*s", (int)strcspn(name, "."), name);
    pen p = {begin(folder, name), folder, stem, 0, false};
    if (!p.to)
        return false;
    write_map(&p, file, 0);
    return end(p.to) && !p.failed;
}
