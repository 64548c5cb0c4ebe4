/* What lies below a field table: every object it leads to, and the fields by name. */
#ifndef EVENER_CORE_FIELD_WALK_H
#define EVENER_CORE_FIELD_WALK_H
#include "core/field.h"

enum { EVN_OBJECTS_MOST = 128 }; /* a test watches that there is room */

/* Objects, each once, in the order in which a reader of the tables meets them. Their names differ. */
typedef struct evn_objects {
    size_t count;
    const evn_object *at[EVN_OBJECTS_MOST];
} evn_objects;

/* Adds the object and all that its fields lead to. */
void evn_objects_add(evn_objects *, const evn_object *);

/* NULL: no object, or field, of that name; `length` bytes of the name count. */
const evn_object *evn_object_named(const evn_objects *, const char *name, size_t length);
const evn_field *evn_field_named(const evn_object *, const char *key, size_t length);

enum { EVN_WITHIN_BYTES = 120 };
/* "load_case", "speed, road": the keys of an object that lead to one with this key; "" when none does. Returns `out`.
 */
const char *evn_field_within(char out[EVN_WITHIN_BYTES], const evn_object *, const char *key);

#endif
