/* Objects copied whole, so that a variant needs no text and no reading. */
#ifndef EVENER_CORE_FIELD_COPY_H
#define EVENER_CORE_FIELD_COPY_H
#include "core/arena.h"
#include "core/field.h"

/*
 * A copy of a filled struct and of all that it leads to, sheets and texts included: nothing in it points into the
 * original, and no two of its objects are one. NULL when memory is out.
 */
void *evn_object_copy(const evn_object *, const void *self, evn_arena *);

#endif
