/* Parses KEY=VALUE, finds its place in a tree and puts the value there. */
#include "read/set.h"
#include "core/field_path.h"
#include "read/bytes.h"
#include "read/merge.h"
#include "read/value.h"
#include <stdio.h>
#include <string.h>

enum { NAMES_MOST = 128 };
_Static_assert((int)EVN_PATH_STEPS_MOST == (int)EVN_DEPTH_MOST, "a path reaches whatever a file may hold");
_Static_assert((int)EVN_PATH_INDEX_MOST == (int)EVN_ITEMS_MOST, "and every item of a list");

typedef struct setting {
    evn_reading *reading;
    const evn_source *source;
    const char *text; /* KEY=VALUE */
    size_t equals;    /* where the value begins, less one */
    evn_path path;
    const char *key[EVN_PATH_STEPS_MOST]; /* of the steps of the path, each ended by a zero byte; NULL: by index */
} setting;

/* A node with what the tables know of it: the object that it holds, or else the field that it belongs to. */
typedef struct place {
    evn_node *node;
    const evn_object *object;
    const evn_field *field; /* both NULL: an unknown key, which is said when the object is filled */
} place;

static bool say(const setting *s, uint32_t column, evn_fault fault, const char *format, ...)
    __attribute__((format(printf, 4, 5)));
static bool say(const setting *s, uint32_t column, evn_fault fault, const char *format, ...)
{
    va_list values;
    va_start(values, format);
    evn_vsay(s->reading->report, fault, evn_source_spot(s->source, 1, column), evn_nowhere, format, values);
    va_end(values);
    return false;
}

/* ---------------------------------------------------------------------------------------------------- KEY=VALUE */

static uint32_t column_at(const setting *s, size_t step) { return evn_column_of(s->text, s->path.step[step].byte); }

static bool read_path(setting *s, size_t at)
{
    evn_path_trouble trouble;
    if (!evn_path_read(s->text, at, s->equals, &s->path, &trouble))
        return say(s, evn_column_of(s->text, trouble.byte), trouble.fault, "%s", trouble.words);
    for (size_t i = 0; i < s->path.count; i++) {
        const evn_path_step *step = &s->path.step[i];
        s->key[i] = step->key ? evn_arena_text(s->reading->scratch, step->key, step->length) : NULL;
        if (step->key && !s->key[i])
            return evn_reading_out_of_memory(s->reading);
    }
    return true;
}

/* The value, parsed behind as many blanks as the key has characters, so that its columns are those of the text. */
static evn_node *parse_value(setting *s)
{
    const char *value = s->text + s->equals + 1, *first = value + strspn(value, " ");
    uint32_t column = evn_column_of(s->text, s->equals + 1);
    if (*first == '\0' || *first == '#') {
        say(s, column, EVN_FAULT_SYNTAX, "nothing behind '='; expected a value, as it is written in a file");
        return NULL;
    }
    size_t blanks = column - 1, length = strlen(value);
    char *bytes = evn_arena_take(s->reading->scratch, blanks + length + 1);
    if (!bytes) {
        evn_reading_out_of_memory(s->reading);
        return NULL;
    }
    memset(bytes, ' ', blanks);
    memcpy(bytes + blanks, value, length);
    evn_node *node = evn_tree_parse(s->reading, s->source, bytes, blanks + length);
    bool block = node && (node->kind == EVN_NODE_MAP || node->kind == EVN_NODE_LIST) && *first != '{' && *first != '[';
    if (block)
        say(s, column, EVN_FAULT_SYNTAX, "a map or list without brackets; expected {key: value} or [1, 2]");
    return !node || block || node->kind == EVN_NODE_BROKEN ? NULL : node;
}

/* ---------------------------------------------------------------------------------------------------- the way */

static const evn_field *find_field(const evn_object *object, const char *key)
{
    for (size_t i = 0; object && i < object->field_count; i++)
        if (strcmp(object->fields[i].key, key) == 0)
            return &object->fields[i];
    return NULL;
}

static place place_of(const place *above, evn_node *node, const char *key)
{
    const evn_field *field = above->field;
    if (above->object) {
        const evn_field *found = find_field(above->object, key);
        return (place){node, found && found->shape == EVN_ONE ? found->of : NULL, found};
    }
    if (field && field->shape == EVN_MANY)
        return (place){node, field->of, NULL};
    for (size_t i = 0; field && field->shape == EVN_STEPS && field->kinds[i].key; i++)
        if (strcmp(field->kinds[i].key, key) == 0)
            return (place){node, field->kinds[i].object, NULL};
    return (place){node, NULL, NULL};
}

static bool is_step_map(const place *at) { return !at->object && at->field && at->field->shape == EVN_STEPS; }

/* Below a key that no table knows: that key is said when the object is filled, and nothing more need be. */
static bool is_unknown(const place *at) { return !at->object && !at->field; }

static const char *shown(const setting *s, size_t steps, char out[EVN_QUOTE_BYTES])
{
    return evn_path_shown(&s->path, steps, "the file", out);
}

/* The path up to so many steps, as it was written. */
static const char *whole(const setting *s, size_t steps, char out[EVN_PHRASE_BYTES])
{
    size_t end = steps < s->path.count ? s->path.step[steps].byte : s->equals;
    while (end > 0 && (s->text[end - 1] == '.' || s->text[end - 1] == '[' || s->text[end - 1] == ' '))
        end--;
    snprintf(out, EVN_PHRASE_BYTES, "%.*s", (int)end, s->text);
    return out;
}

static bool say_unknown_name(const setting *s, size_t index, const place *at)
{
    const char *names[NAMES_MOST];
    size_t count = 0;
    for (const evn_node *child = at->node->first; child && count < NAMES_MOST; child = child->next)
        names[count++] = child->key;
    char quoted[EVN_QUOTE_BYTES], where[EVN_QUOTE_BYTES], all[EVN_PHRASE_BYTES], hint[EVN_PHRASE_BYTES];
    const char *key = s->key[index];
    if (count == 0)
        return say(s, column_at(s, index), EVN_FAULT_UNKNOWN_KEY,
                   "no %s in %s, which holds none; expected all of it: %s={...}", evn_quote(quoted, key, strlen(key)),
                   shown(s, index, where), whole(s, index + 1, all));
    return say(s, column_at(s, index), EVN_FAULT_UNKNOWN_KEY, "no %s in %s; expected one of %s%s",
               evn_quote(quoted, key, strlen(key)), shown(s, index, where), evn_name_all(all, names, count),
               evn_nearest_hint(s->reading, hint, key, names, count));
}

/* A map for a key that the files do not have, where the tables know one or where nothing is known at all. */
static evn_node *new_map(setting *s, size_t index, const place *at)
{
    const evn_field *field = find_field(at->object, s->key[index]);
    if (field && field->shape != EVN_ONE && field->shape != EVN_MANY) {
        char where[EVN_QUOTE_BYTES];
        say(s, column_at(s, index + 1), EVN_FAULT_WRONG_SHAPE,
            "a step below %s, which is not there; expected a path to a value that is, or the whole value",
            shown(s, index + 1, where));
        return NULL;
    }
    evn_node *map = evn_arena_take(s->reading->scratch, sizeof *map);
    if (!map) {
        evn_reading_out_of_memory(s->reading);
        return NULL;
    }
    const char *key = s->key[index];
    uint32_t column = column_at(s, index);
    *map = (evn_node){.kind = EVN_NODE_MAP,
                      .source = s->source,
                      .line = 1,
                      .column = column,
                      .key = key,
                      .key_source = s->source,
                      .key_line = 1,
                      .key_column = column,
                      .key_hash = evn_key_hash(key, strlen(key))};
    evn_node_append(at->node, map);
    return map;
}

static evn_node *nth(const evn_node *list, size_t index)
{
    evn_node *child = list->first;
    while (child && index-- > 0)
        child = child->next;
    return child;
}

static evn_node *item_of(setting *s, size_t index, const place *at)
{
    size_t nth_place = s->path.step[index].index;
    char where[EVN_QUOTE_BYTES];
    if (at->node->kind != EVN_NODE_LIST) {
        say(s, column_at(s, index), EVN_FAULT_WRONG_SHAPE, "a place in %s, which is not a list; expected a key",
            shown(s, index, where));
        return NULL;
    }
    evn_node *item = nth(at->node, nth_place);
    if (!item) {
        say(s, column_at(s, index), EVN_FAULT_OUT_OF_RANGE,
            "item %zu of %s, which has %zu; expected a place from 0 to %zu", nth_place, shown(s, index, where),
            at->node->count, at->node->count > 0 ? at->node->count - 1 : 0);
    }
    return item;
}

/* False (said) where a key cannot stand below this place. */
static bool takes_keys(const setting *s, size_t index, const place *at)
{
    if (at->node->kind == EVN_NODE_MAP || at->node->kind == EVN_NODE_BROKEN)
        return at->node->kind == EVN_NODE_MAP;
    char where[EVN_QUOTE_BYTES];
    return say(s, column_at(s, index), EVN_FAULT_WRONG_SHAPE, "a key below %s, which is a %s; expected %s",
               shown(s, index, where), at->node->kind == EVN_NODE_LIST ? "list" : "single value",
               at->node->kind == EVN_NODE_LIST ? "the place in the list, from 0: [0]" : "the path to end there");
}

/* Goes one step; false when the way ends (said). */
static bool enter(setting *s, size_t index, place *at)
{
    const char *key = s->key[index];
    if (!key && is_unknown(at))
        return false;
    if (!key) {
        at->node = item_of(s, index, at);
        at->object = NULL;
        return at->node;
    }
    if (!takes_keys(s, index, at))
        return false;
    evn_map_resolve(s->reading, at->node);
    evn_node *child = evn_node_get(at->node, key, strlen(key));
    if (!child && at->node->incomplete)
        return false;
    bool names = !at->object && at->field;
    if (!child && names)
        return say_unknown_name(s, index, at);
    child = child ? child : new_map(s, index, at);
    *at = place_of(at, child, key);
    return child;
}

/* ---------------------------------------------------------------------------------------------------- the value */

/* True when the value names a file for a map that was resolved already, on the way of an earlier path. */
static bool comes_late(const evn_node *old, const evn_node *value)
{
    if (old->kind != EVN_NODE_MAP || value->kind != EVN_NODE_MAP)
        return false;
    if (old->use && evn_node_get(value, "use", strlen("use")))
        return true;
    for (const evn_node *child = value->first; child; child = child->next) {
        const evn_node *below = evn_node_get(old, child->key, strlen(child->key));
        if (below && comes_late(below, child))
            return true;
    }
    return false;
}

static bool say_late(const setting *s, size_t index)
{
    return say(s, column_at(s, index), EVN_FAULT_DISAGREES,
               "a file to use instead of one whose values were set before; expected the file first; change the order");
}

/* An item of a list. A list of which a number was set is located where it was set. */
static void put_item(setting *s, size_t index, const place *at, const evn_node *value)
{
    evn_node *item = is_unknown(at) ? NULL : item_of(s, index, at);
    if (!item)
        return;
    evn_node_replace(item, value);
    if (!at->field || at->field->shape != EVN_STEPS) {
        at->node->source = s->source;
        at->node->line = value->line;
        at->node->column = value->column;
    }
}

static void put_key(setting *s, size_t index, const place *at, evn_node *value)
{
    const char *key = s->key[index];
    if (!takes_keys(s, index, at))
        return;
    if (strcmp(key, "extends") == 0) {
        say(s, column_at(s, index), EVN_FAULT_UNKNOWN_KEY,
            "extends among what is set; expected it at the top of a file");
        return;
    }
    if (strcmp(key, "use") == 0 && at->node->use) {
        say_late(s, index);
        return;
    }
    if (is_step_map(at) && !evn_node_get(at->node, key, strlen(key))) {
        evn_map_resolve(s->reading, at->node);
        if (!evn_node_get(at->node, key, strlen(key))) {
            say_unknown_name(s, index, at);
            return;
        }
    }
    value->key = key;
    value->key_hash = evn_key_hash(key, strlen(key));
    value->key_source = s->source;
    value->key_line = 1;
    value->key_column = column_at(s, index);
    evn_node *old = evn_node_get(at->node, key, strlen(key));
    if (!old)
        evn_node_append(at->node, value);
    else if (comes_late(old, value))
        say_late(s, index);
    else if (old->kind == EVN_NODE_MAP && value->kind == EVN_NODE_MAP)
        evn_node_merge(old, value);
    else
        evn_node_replace(old, value);
}

static void apply(setting *s, const evn_object *object, evn_node *root, size_t begin)
{
    evn_node *value = read_path(s, begin) ? parse_value(s) : NULL;
    if (!value)
        return;
    place at = {root, object, NULL};
    size_t last = s->path.count - 1;
    for (size_t i = 0; i < last; i++)
        if (!enter(s, i, &at))
            return;
    if (!s->key[last])
        put_item(s, last, &at, value);
    else
        put_key(s, last, &at, value);
}

/* False (said) when the text is no single line of KEY=VALUE. */
static bool sound_text(setting *s, size_t begin)
{
    const char *text = s->text;
    size_t length = strlen(text);
    if (!evn_bytes_check(s->reading, s->source, &text, &length))
        return false;
    if (strpbrk(s->text, "\r\n\t"))
        return say(s, 1, EVN_FAULT_SYNTAX, "a line break or tab; expected KEY=VALUE on one line");
    const char *equals = strchr(s->text + begin, '=');
    if (!equals) {
        return say(s, evn_column_of(s->text, strlen(s->text)), EVN_FAULT_SYNTAX,
                   "no '='; expected KEY=VALUE, such as body.mass_kg=4000");
    }
    s->equals = (size_t)(equals - s->text);
    return true;
}

void evn_sets_apply(evn_reading *reading, const evn_object *object, evn_node *root, const evn_read_more *more)
{
    const evn_read_set *sets = more->sets;
    for (size_t i = 0; i < more->set_count && !reading->stopped; i++) {
        char name[32];
        snprintf(name, sizeof name, "--set %u", sets[i].number);
        evn_source *source = evn_source_new(reading, more->set_beside ? more->set_beside : "", name, NULL, evn_nowhere);
        if (!source)
            return;
        source->typed = true;
        setting s = {.reading = reading, .source = source, .text = sets[i].text};
        if (sound_text(&s, sets[i].skip))
            apply(&s, object, root, sets[i].skip);
    }
}
