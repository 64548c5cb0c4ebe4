/* A short name for all that an object holds: equal objects have equal hashes, wherever their values were written. */
#ifndef EVENER_CORE_FIELD_HASH_H
#define EVENER_CORE_FIELD_HASH_H
#include "core/field.h"
#include <stdint.h>

/*
 * FNV-1a, 64 bits (public domain, Fowler, Noll and Vo), over the filled struct by its table: numbers, choices, flags,
 * lists, tables, names of maps and kinds of steps, whatever they were extended from or used by, defaults included.
 * Texts and remarks are left out: they tell of a thing and do not change it.
 */
uint64_t evn_object_hash(const evn_object *, const void *self);

/* The same of one member of the object. */
uint64_t evn_member_hash(const evn_field *, const void *self);

#endif
