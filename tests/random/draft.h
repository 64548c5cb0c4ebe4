/* A YAML file under construction: made, changed, dropped in parts, written. Memory is that of the arena. */
#ifndef EVENER_TESTS_DRAFT_H
#define EVENER_TESTS_DRAFT_H
#include "core/arena.h"
#include <stdbool.h>
#include <stddef.h>

typedef enum draft_kind {
    DRAFT_NUMBER,
    DRAFT_WORD,
    DRAFT_LIST, /* of numbers */
    DRAFT_MAP,
    DRAFT_STEPS, /* a list of maps of one key: its children are what these keys lead to */
    DRAFT_TABLE  /* a CSV file beside: its children are lists, the columns */
} draft_kind;

typedef struct draft draft;
struct draft {
    const char *key;
    draft_kind kind;
    double number;
    const char *word; /* of a table: the file's name, once it is written */
    double *at;
    size_t count;        /* of a list */
    draft *first, *next; /* children, and who follows in the same map */
    bool dropped;        /* it is there, but not written */
};

draft *draft_new(evn_arena *, draft_kind, const char *key);

/* NULL: none, or dropped. */
draft *draft_get(const draft *map, const char *key);
double draft_number(const draft *map, const char *key, double where_absent);
size_t draft_count(const draft *map); /* children that are not dropped */
draft *draft_child(const draft *map, size_t index);

/* Made, or made anew at the place that the key has. */
draft *draft_put(evn_arena *, draft *map, const char *key, draft_kind);
void draft_add(draft *map, draft *child);
void draft_put_number(evn_arena *, draft *map, const char *key, double);
void draft_put_word(evn_arena *, draft *map, const char *key, const char *word);
void draft_put_list(evn_arena *, draft *map, const char *key, const double *at, size_t count);

void draft_drop(draft *map, const char *key);
/* Only the first so many children stay. */
void draft_cut(draft *map, size_t count);

/* Writes FOLDER/NAME, and the tables as FOLDER/STEM-1.csv and so on, STEM being the name up to its point. False: it
 * could not be written. */
bool draft_write(const draft *file, const char *folder, const char *name);

#endif
