/* Objects and fields by name, and the list of all objects below one. */
#include "core/field_walk.h"
#include <stdio.h>
#include <string.h>

static bool is_name(const char *name, const char *found, size_t length)
{
    return strncmp(name, found, length) == 0 && name[length] == '\0';
}

const evn_object *evn_object_named(const evn_objects *objects, const char *name, size_t length)
{
    for (size_t i = 0; i < objects->count; i++)
        if (is_name(objects->at[i]->name, name, length))
            return objects->at[i];
    return NULL;
}

const evn_field *evn_field_named(const evn_object *object, const char *key, size_t length)
{
    for (size_t i = 0; i < object->field_count; i++)
        if (is_name(object->fields[i].key, key, length))
            return &object->fields[i];
    return NULL;
}

const char *evn_field_within(char out[EVN_WITHIN_BYTES], const evn_object *object, const char *key)
{
    size_t used = 0;
    out[0] = '\0';
    for (size_t i = 0; i < object->field_count; i++) {
        const evn_field *field = &object->fields[i];
        bool leads = field->shape == EVN_ONE && evn_field_named(field->of, key, strlen(key));
        if (leads && used + strlen(field->key) + sizeof ", " <= EVN_WITHIN_BYTES)
            used += (size_t)snprintf(out + used, EVN_WITHIN_BYTES - used, "%s%s", used > 0 ? ", " : "", field->key);
    }
    return out;
}

static bool is_there(const evn_objects *objects, const evn_object *object)
{
    for (size_t i = 0; i < objects->count; i++)
        if (objects->at[i] == object)
            return true;
    return false;
}

/* Recursion ends: an object that is there is not entered again. */
void evn_objects_add(evn_objects *objects, const evn_object *object)
{
    if (objects->count == EVN_OBJECTS_MOST || is_there(objects, object))
        return;
    objects->at[objects->count++] = object;
    for (size_t i = 0; i < object->field_count; i++) {
        const evn_field *field = &object->fields[i];
        if (field->of)
            evn_objects_add(objects, field->of);
        for (const evn_kind_row *row = field->kinds; row && row->key; row++)
            evn_objects_add(objects, row->object);
    }
}
