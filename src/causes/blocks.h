/*
 * Which block each key of a truck belongs to: every key to exactly one, or to none where it only tells of the truck.
 * The one table of it; blocks are exchanged by walking the field tables with it (CAUSES.md).
 */
#ifndef EVENER_CAUSES_BLOCKS_H
#define EVENER_CAUSES_BLOCKS_H
#include "core/field.h"
#include "evener/causes.h"

enum {
    EVN_BLOCK_TELLS = -1,  /* no block: a name, a source, what is not known of values */
    EVN_BLOCK_PARTED = -2, /* what it leads to belongs to several: the keys of that have rows of their own */
    EVN_BLOCK_UNKNOWN = -3 /* no row: a test fails */
};

/* The cause, or one of the above, of a key of an object that a truck leads to by keys that are parted. */
int evn_block_of(const evn_object *, const evn_field *);

/* Copies the members of one block from one filled struct of an object to another; what they lead to is shared. */
void evn_block_take(const evn_object *, void *to, const void *from, evn_cause);

#endif
