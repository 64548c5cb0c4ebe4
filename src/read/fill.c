/* Fills the struct of an object from a map, key by key, and says which keys are unknown or missing. */
#include "read/fill.h"
#include "core/field_walk.h"
#include "core/uncertain.h"
#include "read/merge.h"
#include "read/seat.h"
#include "read/sheet.h"
#include "read/value.h"
#include <stdlib.h>
#include <string.h>

enum { NAMES_MOST = 128 }; /* names that a search for the nearest one looks at */

/* --------------------------------------------------------------------------------------------------- objects inside */

static bool fill_one(evn_reading *reading, const evn_field *field, const evn_node *node, void *member)
{
    if (node->kind != EVN_NODE_MAP)
        return evn_say_wrong_shape(reading, field, node);
    void *made = evn_arena_take(reading->keep, field->of->size);
    if (!made)
        return evn_reading_out_of_memory(reading);
    memcpy(member, &made, sizeof made);
    return evn_fill_object(reading, field->of, node, made);
}

static bool sound_name(evn_reading *reading, const evn_node *named)
{
    size_t sound = evn_sound_name(named->key);
    if (named->key[sound] == '\0')
        return true;
    char quoted[EVN_QUOTE_BYTES];
    evn_say_key(reading, named, EVN_FAULT_UNKNOWN_KEY,
                "the name %s holds '%c'; expected letters, digits, '_' and '-', as in paths to it",
                evn_quote(quoted, named->key, strlen(named->key)), named->key[sound]);
    return false;
}

static bool fill_named(evn_reading *reading, const evn_field *field, const evn_node *named, void *self)
{
    bool sound = sound_name(reading, named);
    if (named->kind == EVN_NODE_MAP)
        return evn_fill_object(reading, field->of, named, self) && sound;
    if (named->kind != EVN_NODE_BROKEN) {
        evn_say_value(reading, named, EVN_FAULT_WRONG_SHAPE,
                      "'%s' of %s is a %s; expected a map of keys (%s); to bring in a file write {use: PATH}",
                      named->key, field->key, named->kind == EVN_NODE_LIST ? "list" : "single value", field->of->name);
    }
    return false;
}

static bool fill_many(evn_reading *reading, const evn_field *field, const evn_node *node, void *member)
{
    if (node->kind != EVN_NODE_MAP)
        return evn_say_wrong_shape(reading, field, node);
    char *items = evn_arena_take(reading->keep, node->count * field->of->size);
    const char **names = evn_arena_take(reading->keep, node->count * sizeof *names);
    if (!items || !names)
        return evn_reading_out_of_memory(reading);
    bool sound = node->incomplete || node->repeats || evn_count_fits(reading, field, node);
    size_t index = 0;
    for (const evn_node *named = node->first; named; named = named->next, index++) {
        names[index] = evn_arena_text(reading->keep, named->key, strlen(named->key));
        if (!names[index])
            return evn_reading_out_of_memory(reading);
        sound = fill_named(reading, field, named, items + index * field->of->size) && sound;
    }
    evn_many many = {names, items, node->count};
    memcpy(member, &many, sizeof many);
    return sound && !node->incomplete;
}

/* ---------------------------------------------------------------------------------------------------- steps */

static void say_unknown_kind(evn_reading *reading, const evn_field *field, const evn_node *inner)
{
    const char *names[NAMES_MOST];
    size_t count = 0;
    while (count < NAMES_MOST && field->kinds[count].key) {
        names[count] = field->kinds[count].key;
        count++;
    }
    char quoted[EVN_QUOTE_BYTES], all[EVN_PHRASE_BYTES], hint[EVN_PHRASE_BYTES];
    evn_say_key(reading, inner, EVN_FAULT_UNKNOWN_KEY, "no step %s in %s; expected one of %s%s",
                evn_quote(quoted, inner->key, strlen(inner->key)), field->key, evn_name_all(all, names, count),
                evn_nearest_hint(reading, hint, inner->key, names, count));
}

/* The map behind the one key of a step, or NULL (said). */
static const evn_node *inner_of_step(evn_reading *reading, const evn_field *field, const evn_node *step)
{
    if (step->kind == EVN_NODE_BROKEN || (step->kind == EVN_NODE_MAP && step->incomplete))
        return NULL;
    const char *first = field->kinds[0].key;
    if (step->kind != EVN_NODE_MAP) {
        evn_say_value(reading, step, EVN_FAULT_WRONG_SHAPE,
                      "a step of %s is a %s; expected a map of one key that names what it is, such as %s: {}",
                      field->key, step->kind == EVN_NODE_LIST ? "list" : "single value", first);
        return NULL;
    }
    if (step->count != 1) {
        evn_say_value(
            reading, step, EVN_FAULT_WRONG_SHAPE,
            "a step of %s has %zu keys; expected one that names what it is; its own keys stand inside that one",
            field->key, step->count);
        return NULL;
    }
    return step->first;
}

static bool fill_step(evn_reading *reading, const evn_field *field, const evn_node *step, evn_step *out)
{
    const evn_node *inner = inner_of_step(reading, field, step);
    if (!inner)
        return false;
    size_t kind = 0;
    while (field->kinds[kind].key && strcmp(field->kinds[kind].key, inner->key) != 0)
        kind++;
    if (!field->kinds[kind].key) {
        say_unknown_kind(reading, field, inner);
        return false;
    }
    const evn_object *object = field->kinds[kind].object;
    if (inner->kind != EVN_NODE_MAP) {
        if (inner->kind != EVN_NODE_BROKEN) {
            evn_say_value(reading, inner, EVN_FAULT_WRONG_SHAPE,
                          "the step %s is not a map; expected a map of keys (%s), or {} for none", inner->key,
                          object->name);
        }
        return false;
    }
    void *made = evn_arena_take(reading->keep, object->size);
    if (!made)
        return evn_reading_out_of_memory(reading);
    *out = (evn_step){kind, made};
    return evn_fill_object(reading, object, inner, made);
}

static bool fill_steps(evn_reading *reading, const evn_field *field, const evn_node *node, void *member)
{
    if (node->kind != EVN_NODE_LIST)
        return evn_say_wrong_shape(reading, field, node);
    evn_step *at = evn_arena_take(reading->keep, node->count * sizeof *at);
    if (!at)
        return evn_reading_out_of_memory(reading);
    bool sound = evn_count_fits(reading, field, node);
    size_t index = 0;
    for (const evn_node *step = node->first; step; step = step->next, index++)
        sound = fill_step(reading, field, step, &at[index]) && sound;
    evn_steps steps = {at, node->count};
    memcpy(member, &steps, sizeof steps);
    return sound;
}

/* ---------------------------------------------------------------------------------------------------- sheets */

static bool fill_sheet(evn_reading *reading, const evn_field *field, const evn_node *node, void *member)
{
    if (node->kind != EVN_NODE_SCALAR || node->text[0] == '\0')
        return evn_say_wrong_shape(reading, field, node);
    evn_bytes bytes;
    const evn_source *source = evn_load_named(reading, node, &bytes);
    if (!source)
        return false;
    const evn_sheet *sheet = evn_sheet_read(reading, source, bytes.at, bytes.length, field->gaps);
    free(bytes.at);
    memcpy(member, &sheet, sizeof sheet);
    return sheet;
}

/* ---------------------------------------------------------------------------------------------------- the table */

static bool fill_field(evn_reading *reading, const evn_field *field, const evn_node *node, void *member)
{
    switch (field->shape) {
    case EVN_NUMBER:
    case EVN_COUNT:
        return evn_fill_number(reading, field, node, member);
    case EVN_FLAG:
        return evn_fill_flag(reading, field, node, member);
    case EVN_TEXT:
        return evn_fill_text(reading, field, node, member);
    case EVN_CHOICE:
        return evn_fill_choice(reading, field, node, member);
    case EVN_LIST:
        return evn_fill_list(reading, field, node, member);
    case EVN_ONE:
        return fill_one(reading, field, node, member);
    case EVN_MANY:
        return fill_many(reading, field, node, member);
    case EVN_STEPS:
        return fill_steps(reading, field, node, member);
    case EVN_FIGURES:
        return evn_fill_figures(reading, field, node, member);
    case EVN_TEXTS:
        return evn_fill_texts(reading, field, node, member);
    case EVN_SHEET:
        return fill_sheet(reading, field, node, member);
    }
    return false;
}

static const evn_field *find_field(const evn_object *object, const char *key)
{
    for (size_t i = 0; i < object->field_count; i++)
        if (strcmp(object->fields[i].key, key) == 0)
            return &object->fields[i];
    return NULL;
}

/* The key that has taken the place of an older one; NULL: none. */
static const char *key_now(const evn_object *object, const char *key)
{
    for (size_t i = 0; i < object->field_count; i++)
        if (object->fields[i].formerly && strcmp(object->fields[i].formerly, key) == 0)
            return object->fields[i].key;
    return NULL;
}

static void say_unknown(evn_reading *reading, const evn_object *object, const evn_node *map, const evn_node *child)
{
    const char *names[NAMES_MOST + 2];
    size_t count = 0;
    for (size_t i = 0; i < object->field_count && count < NAMES_MOST; i++)
        names[count++] = object->fields[i].key;
    char quoted[EVN_QUOTE_BYTES], all[EVN_PHRASE_BYTES], hint[EVN_PHRASE_BYTES], within[EVN_WITHIN_BYTES];
    evn_quote(quoted, child->key, strlen(child->key));
    const char *now = key_now(object, child->key);
    if (now) {
        evn_say_key(reading, child, EVN_FAULT_UNKNOWN_KEY, "no key %s in %s any more; expected '%s', its name now",
                    quoted, object->name, now);
        return;
    }
    if (evn_field_within(within, object, child->key)[0] != '\0') {
        evn_say_key(reading, child, EVN_FAULT_UNKNOWN_KEY, "no key %s in %s; expected it within %s", quoted,
                    object->name, within);
        return;
    }
    evn_name_all(all, names, count);
    names[count++] = "use"; /* the reader's own keys may be meant too */
    names[count] = "extends";
    evn_nearest_hint(reading, hint, child->key, names, !map->key ? count + 1 : count);
    evn_say_key(reading, child, EVN_FAULT_UNKNOWN_KEY, "no key %s in %s; expected one of its keys%s%s", quoted,
                object->name, hint[0] != '\0' ? hint : ": ", hint[0] != '\0' ? "" : all);
}

static void say_missing(evn_reading *reading, const evn_object *object, const evn_node *map, const evn_field *field)
{
    char expected[EVN_PHRASE_BYTES];
    evn_say_value(reading, map, EVN_FAULT_MISSING_KEY, "no key '%s' in %s, which must have it; expected %s%s%s",
                  field->key, object->name, evn_expected(expected, field), !field->help ? "" : ": ",
                  !field->help ? "" : field->help);
}

static bool fill_known(evn_reading *reading, const evn_object *object, const evn_node *map, void *self)
{
    bool sound = true;
    for (const evn_node *child = map->first; child && !reading->stopped; child = child->next) {
        const evn_field *field = find_field(object, child->key);
        if (!field) {
            say_unknown(reading, object, map, child);
            sound = false;
        } else {
            sound = fill_field(reading, field, child, (char *)self + field->offset) && sound;
        }
    }
    return sound && !reading->stopped;
}

static bool look_for_missing(evn_reading *reading, const evn_object *object, const evn_node *map)
{
    bool sound = true;
    for (size_t i = 0; i < object->field_count; i++) {
        const evn_field *field = &object->fields[i];
        if (field->presence == EVN_REQUIRED && !evn_node_get(map, field->key, strlen(field->key))) {
            say_missing(reading, object, map, field);
            sound = false;
        }
    }
    return sound;
}

static bool run_checks(evn_reading *reading, const evn_object *object, const evn_node *map, const void *self)
{
    evn_tree_seat seat = evn_seat_on(map);
    size_t before = evn_report_errors(reading->report);
    if (object->check)
        object->check(self, &seat.seat, reading->report);
    evn_uncertain_check(object, self, &seat.seat, reading->report);
    return evn_report_errors(reading->report) == before;
}

bool evn_fill_object(evn_reading *reading, const evn_object *object, const evn_node *map, void *self)
{
    if (!evn_object_default(object, self, reading->keep))
        return evn_reading_out_of_memory(reading);
    bool sound = fill_known(reading, object, map, self);
    if (map->incomplete || reading->stopped)
        return false;
    sound = look_for_missing(reading, object, map) && sound;
    return sound && run_checks(reading, object, map, self);
}
