/*
 * Objects invented from their field tables: every key that there is, of numbers within the usual bounds where they are
 * stated. A key that is new in a table is invented without a word here; what hangs together beyond one key is the
 * affair of suit.h.
 */
#ifndef EVENER_TESTS_INVENT_H
#define EVENER_TESTS_INVENT_H
#include "core/field.h"
#include "dice.h"
#include "draft.h"

typedef struct inventor {
    dice dice;
    evn_arena *arena;
    double wide; /* the share of numbers that may be anywhere within the hard bounds */
} inventor;

/* The keys of the object: required ones, and of the others as the dice fall. */
draft *invent_object(inventor *, const evn_object *, const char *key);

/* So many objects with names of their own. */
draft *invent_many(inventor *, const evn_object *, const char *key, size_t count);

#endif
