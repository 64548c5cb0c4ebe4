/*
 * JSON Schema, draft-07, which editors know best. Every kind has two definitions: `KIND.whole` with its required keys,
 * and `KIND.changes` without, for maps that a `use` or the `extends` of their file brings the rest to; `KIND` chooses.
 */
#define _POSIX_C_SOURCE 200809L
#include "show/json_number.h"
#include "show/keys_story.h"
#include <math.h>
#include <stdlib.h>
#include <string.h>

enum { NAME_BYTES = 200 };

static json_t *number(double value)
{
    bool whole = value == floor(value) && fabs(value) < 1e15;
    return whole ? json_integer((json_int_t)value) : json_real(value);
}

/* Takes the value over; false when memory is out. */
static bool put(json_t *object, const char *key, json_t *value) { return json_object_set_new(object, key, value) == 0; }

static json_t *reference(const char *kind, const char *ending)
{
    char name[NAME_BYTES];
    snprintf(name, sizeof name, "#/definitions/%s%s", kind, ending);
    return json_pack("{s:s}", "$ref", name);
}

/* ------------------------------------------------------------------------------------------------ one key */

static bool put_bounds(json_t *schema, const evn_key *key)
{
    return put(schema, "minimum", number(key->least)) && put(schema, "maximum", number(key->most));
}

static bool put_counts(json_t *schema, const evn_key *key, const char *least, const char *most)
{
    return (key->count_least == 0 || put(schema, least, json_integer((json_int_t)key->count_least))) &&
           (key->count_most == 0 || put(schema, most, json_integer((json_int_t)key->count_most)));
}

static bool put_numbers(json_t *schema, const evn_key *key)
{
    json_t *items = json_pack("{s:s}", "type", "number");
    bool made = items && put_bounds(items, key) && json_object_set(schema, "items", items) == 0 &&
                put_counts(schema, key, "minItems", "maxItems");
    json_decref(items);
    return made;
}

static bool put_choices(json_t *schema, const evn_key *key)
{
    json_t *words = json_array();
    bool made = words;
    for (size_t i = 0; made && key->choices[i]; i++)
        made = json_array_append_new(words, json_string(key->choices[i])) == 0;
    made = made && json_object_set(schema, "enum", words) == 0;
    json_decref(words);
    return made;
}

/* Lists replace: what stands in one is whole even where the map around it only changes another. */
static json_t *step_schema(const char *step)
{
    return json_pack("{s:s, s:{s:o}, s:[s], s:b}", "type", "object", "properties", step, reference(step, ""),
                     "required", step, "additionalProperties", 0);
}

static bool put_steps(json_t *schema, const char *kind, const evn_key *key)
{
    json_t *any = json_array();
    bool made = any;
    const char *step;
    for (size_t i = 0; made && (step = evn_key_step(kind, key->key, i)); i++)
        made = json_array_append_new(any, step_schema(step)) == 0;
    made = made && put(schema, "items", json_pack("{s:O}", "anyOf", any)) &&
           put_counts(schema, key, "minItems", "maxItems");
    json_decref(any);
    return made;
}

static bool put_named(json_t *schema, const evn_key *key, bool changes)
{
    evn_key counts = *key;
    counts.count_least = changes ? 0 : key->count_least;
    return put(schema, "additionalProperties", reference(key->kind, changes ? ".changes" : "")) &&
           put_counts(schema, &counts, "minProperties", "maxProperties");
}

static bool put_shape(json_t *schema, const char *kind, const evn_key *key, bool changes)
{
    static const char *const types[] = {
        [EVN_KEY_NUMBER] = "number", [EVN_KEY_COUNT] = "integer",  [EVN_KEY_FLAG] = "boolean",
        [EVN_KEY_TEXT] = NULL,       [EVN_KEY_CHOICE] = "string",  [EVN_KEY_NUMBERS] = "array",
        [EVN_KEY_GROUP] = NULL,      [EVN_KEY_NAMED] = "object",   [EVN_KEY_STEPS] = "array",
        [EVN_KEY_FILE] = "string",   [EVN_KEY_FIGURES] = "object", [EVN_KEY_TEXTS] = "array"};
    if (types[key->shape] && !put(schema, "type", json_string(types[key->shape])))
        return false;
    switch (key->shape) {
    case EVN_KEY_NUMBER:
    case EVN_KEY_COUNT:
        return put_bounds(schema, key) && (isnan(key->fallback) || put(schema, "default", number(key->fallback)));
    case EVN_KEY_FLAG:
        return !key->fallback_word || put(schema, "default", json_boolean(strcmp(key->fallback_word, "true") == 0));
    case EVN_KEY_CHOICE:
        return put_choices(schema, key);
    case EVN_KEY_NUMBERS:
        return put_numbers(schema, key);
    case EVN_KEY_NAMED:
        return put_named(schema, key, changes);
    case EVN_KEY_STEPS:
        return put_steps(schema, kind, key);
    case EVN_KEY_TEXT: /* a name may look like a number: 380 */
        return put(schema, "type", json_pack("[s, s, s]", "string", "number", "boolean"));
    case EVN_KEY_FILE:
        return put(schema, "minLength", json_integer(1));
    case EVN_KEY_FIGURES:
        return put(schema, "additionalProperties",
                   json_pack("{s: [{s: s}, {s: s}]}", "anyOf", "type", "number", "const", "none"));
    case EVN_KEY_TEXTS:
        return put(schema, "items", json_pack("{s: s}", "type", "string")) &&
               put_counts(schema, key, "minItems", "maxItems");
    case EVN_KEY_GROUP: /* beside a $ref nothing counts: hence a list of one */
        return put(schema, "allOf", json_pack("[o]", reference(key->kind, changes ? ".changes" : "")));
    }
    return true;
}

/* The meaning, the facts, the source: what an editor shows at the key. */
static bool put_description(json_t *schema, const char *kind, const evn_key *key)
{
    char *facts = evn_key_facts(kind, key), *text = NULL;
    size_t size = 0;
    FILE *to = facts ? open_memstream(&text, &size) : NULL;
    bool made = to;
    if (made) {
        fprintf(to, "%s. %s.%s%s", key->help, facts, key->source[0] != '\0' ? " Source: " : "", key->source);
        if (key->error_shape)
            fprintf(to, " Half width: %s", key->half_width_source);
        made = ferror(to) == 0;
        made = fclose(to) == 0 && made;
    }
    made = made && put(schema, "description", json_string(text));
    free(text);
    free(facts);
    return made;
}

static json_t *key_schema(const char *kind, const evn_key *key, bool changes)
{
    json_t *schema = json_object();
    if (schema && put_description(schema, kind, key) && put_shape(schema, kind, key, changes))
        return schema;
    json_decref(schema);
    return NULL;
}

/* ------------------------------------------------------------------------------------------------ one kind */

/* The reader's own keys, which stand in no table. */
static bool put_inclusions(json_t *properties, bool top)
{
    static const char use[] = "path of a file that holds the rest of this map; what stands here goes before it";
    static const char extends[] = "path of a file that this one builds on; maps merge, lists and values replace";
    return put(properties, "use", json_pack("{s:s, s:s, s:i}", "description", use, "type", "string", "minLength", 1)) &&
           (!top || put(properties, "extends",
                        json_pack("{s:s, s:s, s:i}", "description", extends, "type", "string", "minLength", 1)));
}

static bool put_keys(json_t *schema, const char *kind, bool changes, bool top)
{
    json_t *properties = json_object(), *required = json_array();
    bool made = properties && required && put_inclusions(properties, top);
    evn_key key;
    for (size_t i = 0; made && evn_key_at(kind, i, &key); i++) {
        made = put(properties, key.key, key_schema(kind, &key, changes));
        if (made && key.presence == EVN_KEY_REQUIRED && !changes)
            made = json_array_append_new(required, json_string(key.key)) == 0;
    }
    made = made && json_object_set(schema, "properties", properties) == 0 &&
           (json_array_size(required) == 0 || json_object_set(schema, "required", required) == 0);
    json_decref(properties);
    json_decref(required);
    return made;
}

static json_t *map_schema(const char *kind, bool changes, bool top)
{
    json_t *schema = json_pack("{s:s, s:b}", "type", "object", "additionalProperties", 0);
    if (schema && put_keys(schema, kind, changes, top))
        return schema;
    json_decref(schema);
    return NULL;
}

/* `KIND.whole` or `KIND.changes`; at the top of a file `KIND.file.whole` or `KIND.file.changes`, where it may extend.
 */
static bool put_kind(json_t *definitions, const evn_kind *kind, bool top)
{
    char name[NAME_BYTES];
    const char *file = top ? ".file" : "";
    char whole[32], changes[32];
    snprintf(whole, sizeof whole, "%s.whole", file);
    snprintf(changes, sizeof changes, "%s.changes", file);
    json_t *brought = top ? json_pack("{s:[{s:[s]}, {s:[s]}]}", "anyOf", "required", "use", "required", "extends")
                          : json_pack("{s:[s]}", "required", "use");
    json_t *choice = json_pack("{s:s, s:s, s:o, s:o, s:o}", "title", kind->name, "description", kind->help, "if",
                               brought, "then", reference(kind->name, changes), "else", reference(kind->name, whole));
    snprintf(name, sizeof name, "%s%s", kind->name, file);
    bool made = choice && put(definitions, name, choice);
    snprintf(name, sizeof name, "%s%s", kind->name, whole);
    made = made && put(definitions, name, map_schema(kind->name, false, top));
    snprintf(name, sizeof name, "%s%s", kind->name, changes);
    return made && put(definitions, name, map_schema(kind->name, true, top));
}

static bool is_among(const char *name, const char *const *kinds, size_t count)
{
    for (size_t i = 0; i < count; i++)
        if (strcmp(kinds[i], name) == 0)
            return true;
    return false;
}

static json_t *definitions_for(const char *const *kinds, size_t count)
{
    json_t *definitions = json_object();
    evn_kind kind;
    bool made = definitions;
    for (size_t i = 0; made && evn_kind_at(i, &kind); i++)
        made = put_kind(definitions, &kind, false) &&
               (!is_among(kind.name, kinds, count) || put_kind(definitions, &kind, true));
    if (made)
        return definitions;
    json_decref(definitions);
    return NULL;
}

static json_t *roots(const char *const *kinds, size_t count)
{
    json_t *any = json_array();
    bool made = any;
    for (size_t i = 0; made && i < count; i++)
        made = json_array_append_new(any, reference(kinds[i], ".file")) == 0;
    if (made)
        return any;
    json_decref(any);
    return NULL;
}

bool evn_keys_schema(const char *const *kinds, size_t count, FILE *to)
{
    json_t *schema = json_pack("{s:s, s:s, s:o, s:o}", "$schema", "http://json-schema.org/draft-07/schema#", "title",
                               count == 1 ? kinds[0] : "evener", "anyOf", roots(kinds, count), "definitions",
                               definitions_for(kinds, count));
    bool made = schema && evn_json_print(schema, to);
    json_decref(schema);
    return made;
}
