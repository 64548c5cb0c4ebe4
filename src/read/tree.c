/* From libyaml's events to a tree. Depth, size and count are bounded here, for everything that comes after. */
#include "read/tree.h"
#include "read/bytes.h"
#include "read/syntax.h"
#include <string.h>
#include <yaml.h>

typedef struct parse {
    yaml_parser_t yaml;
    evn_reading *reading;
    const evn_source *source;
    const char *bytes;
    size_t length;
} parse;

/* ---------------------------------------------------------------------------------------------------- faults */

static evn_spot spot_of(const parse *p, yaml_mark_t mark)
{
    return evn_source_spot(p->source, mark.line + 1, mark.column + 1);
}

static void say(const parse *p, yaml_mark_t mark, evn_fault fault, const char *text)
{
    evn_say(p->reading->report, fault, spot_of(p, mark), p->source->used_from, "%s", text);
}

static bool next_event(parse *p, yaml_event_t *event)
{
    if (yaml_parser_parse(&p->yaml, event) != 0)
        return true;
    if (p->yaml.error == YAML_MEMORY_ERROR)
        return evn_reading_out_of_memory(p->reading);
    evn_say_syntax(p->reading, p->source, &p->yaml, p->bytes, p->length);
    return false;
}

/* Ends the reading of this file and of all others. */
static bool stop(parse *p, yaml_mark_t mark, const char *text)
{
    say(p, mark, EVN_FAULT_TOO_LARGE, text);
    p->reading->stopped = true;
    return false;
}

/* ---------------------------------------------------------------------------------------------------- scalars */

static evn_node *new_node(parse *p, const yaml_event_t *event, evn_node_kind kind)
{
    if (++p->reading->nodes > EVN_NODES_MOST) {
        stop(p, event->start_mark, "more than 3 million values in all files together; expected fewer");
        return NULL;
    }
    evn_node *node = evn_arena_take(p->reading->scratch, sizeof *node);
    if (!node) {
        evn_reading_out_of_memory(p->reading);
        return NULL;
    }
    node->kind = (unsigned char)kind;
    node->source = p->source;
    node->line = (uint32_t)event->start_mark.line + 1;
    node->column = (uint32_t)event->start_mark.column + 1;
    return node;
}

/* Escapes in quotes can bring in what the check of the bytes has kept out. */
static bool holds_control(const char *text, size_t length)
{
    for (size_t i = 0; i < length;) {
        uint32_t character = 0;
        size_t step = evn_utf8_length(text + i, length - i, &character);
        if (step == 0 || evn_is_control(character))
            return true;
        i += step;
    }
    return false;
}

/* Says what no scalar may be, key or value. */
static bool sound_scalar(parse *p, const yaml_event_t *event)
{
    size_t length = event->data.scalar.length;
    if (length > EVN_TEXT_MOST) {
        say(p, event->start_mark, EVN_FAULT_TOO_LARGE, "a text of more than 4000 bytes; expected a shorter one");
        return false;
    }
    if (holds_control((const char *)event->data.scalar.value, length)) {
        say(p, event->start_mark, EVN_FAULT_SYNTAX, "a control character in the text; expected plain text; remove it");
        return false;
    }
    return true;
}

static bool say_anchor(parse *p, const yaml_event_t *event, const void *anchor, const void *tag)
{
    if (anchor) {
        say(p, event->start_mark, EVN_FAULT_ANCHOR,
            "an anchor; expected the value alone; 'use' brings in a file, 'extends' builds on one");
    }
    if (tag)
        say(p, event->start_mark, EVN_FAULT_ANCHOR, "a tag; expected the value alone; each key knows what it holds");
    return anchor || tag;
}

static evn_node *scalar_node(parse *p, const yaml_event_t *event)
{
    evn_node *node = new_node(p, event, EVN_NODE_SCALAR);
    if (!node)
        return NULL;
    bool anchored = say_anchor(p, event, event->data.scalar.anchor, event->data.scalar.tag);
    if (!sound_scalar(p, event) || anchored) {
        node->kind = EVN_NODE_BROKEN;
        return node;
    }
    node->plain = event->data.scalar.style == YAML_PLAIN_SCALAR_STYLE;
    const char *text = (const char *)event->data.scalar.value;
    node->text = evn_arena_text(p->reading->scratch, text, event->data.scalar.length);
    if (!node->text) {
        evn_reading_out_of_memory(p->reading);
        return NULL;
    }
    return node;
}

/* ---------------------------------------------------------------------------------------------------- maps, lists */

static evn_node *parse_value(parse *p, const yaml_event_t *event, unsigned depth);

static evn_node *parse_list(parse *p, const yaml_event_t *begin, unsigned depth)
{
    evn_node *list = new_node(p, begin, EVN_NODE_LIST);
    if (!list)
        return NULL;
    bool anchored = say_anchor(p, begin, begin->data.sequence_start.anchor, begin->data.sequence_start.tag);
    for (;;) {
        yaml_event_t event;
        if (!next_event(p, &event))
            return NULL;
        if (event.type == YAML_SEQUENCE_END_EVENT) {
            yaml_event_delete(&event);
            list->kind = anchored ? EVN_NODE_BROKEN : EVN_NODE_LIST;
            return list;
        }
        evn_node *item = NULL;
        if (list->count == EVN_ITEMS_MOST)
            stop(p, event.start_mark, "a list of more than 2 million items; expected fewer");
        else
            item = parse_value(p, &event, depth + 1);
        yaml_event_delete(&event);
        if (!item)
            return NULL;
        evn_node_append(list, item);
    }
}

/* What a key is: its text in the scratch arena, or NULL when it cannot be one (said). */
static bool read_key(parse *p, const yaml_event_t *event, const char **key)
{
    *key = NULL;
    bool anchored = say_anchor(p, event, event->data.scalar.anchor, event->data.scalar.tag);
    if (!sound_scalar(p, event) || anchored)
        return true;
    const char *text = (const char *)event->data.scalar.value;
    if (event->data.scalar.length == 0) {
        say(p, event->start_mark, EVN_FAULT_SYNTAX, "an empty key; expected a name before the ':'");
        return true;
    }
    if (strcmp(text, "<<") == 0) {
        say(p, event->start_mark, EVN_FAULT_ANCHOR, "a merge key; expected a name; 'use' brings in a file");
        return true;
    }
    *key = evn_arena_text(p->reading->scratch, text, event->data.scalar.length);
    return *key || evn_reading_out_of_memory(p->reading);
}

/* Reads a key and leaves it in *key (NULL when it was faulty); false ends the file, as a key that is no text does. */
static bool parse_key(parse *p, const yaml_event_t *event, const char **key)
{
    if (event->type == YAML_SCALAR_EVENT)
        return read_key(p, event, key);
    *key = NULL;
    if (event->type == YAML_ALIAS_EVENT) {
        say(p, event->start_mark, EVN_FAULT_ANCHOR, "an alias as a key; expected a name");
        return true;
    }
    say(p, event->start_mark, EVN_FAULT_WRONG_SHAPE, "a map or list as a key; expected a name before the ':'");
    return false;
}

/* Begins a block at its key, where a reader looks for it. */
static void place_at_key(evn_node *value, const yaml_event_t *event)
{
    bool block_map =
        event->type == YAML_MAPPING_START_EVENT && event->data.mapping_start.style != YAML_FLOW_MAPPING_STYLE;
    bool block_list =
        event->type == YAML_SEQUENCE_START_EVENT && event->data.sequence_start.style != YAML_FLOW_SEQUENCE_STYLE;
    bool nothing = value->kind == EVN_NODE_SCALAR && value->plain && value->text[0] == '\0';
    if (block_map || block_list || nothing) {
        value->line = value->key_line;
        value->column = value->key_column;
    }
}

static void add_entry(parse *p, evn_node *map, evn_node *value, const yaml_event_t *event)
{
    place_at_key(value, event);
    const evn_node *same = evn_node_get(map, value->key, strlen(value->key));
    if (same) {
        char quoted[EVN_QUOTE_BYTES];
        map->repeats = true;
        evn_say_key(p->reading, value, EVN_FAULT_DUPLICATE_KEY,
                    "the key %s a second time; expected it once; it stands in %s %u already",
                    evn_quote(quoted, value->key, strlen(value->key)), p->source->typed ? "column" : "line",
                    (unsigned)(p->source->typed ? same->key_column : same->key_line));
        return;
    }
    value->key_hash = evn_key_hash(value->key, strlen(value->key));
    evn_node_append(map, value);
}

/* The value that belongs to a key already read; false ends the file. */
static bool parse_entry(parse *p, evn_node *map, const char *key, yaml_mark_t key_mark, unsigned depth)
{
    yaml_event_t event;
    if (!next_event(p, &event))
        return false;
    evn_node *value = parse_value(p, &event, depth + 1);
    if (value && key) {
        value->key = key;
        value->key_source = p->source;
        value->key_line = (uint32_t)key_mark.line + 1;
        value->key_column = (uint32_t)key_mark.column + 1;
        add_entry(p, map, value, &event);
    } else {
        map->incomplete = true;
    }
    yaml_event_delete(&event);
    return value;
}

static evn_node *parse_map(parse *p, const yaml_event_t *begin, unsigned depth)
{
    evn_node *map = new_node(p, begin, EVN_NODE_MAP);
    if (!map)
        return NULL;
    bool anchored = say_anchor(p, begin, begin->data.mapping_start.anchor, begin->data.mapping_start.tag);
    for (;;) {
        yaml_event_t event;
        if (!next_event(p, &event))
            return NULL;
        if (event.type == YAML_MAPPING_END_EVENT) {
            yaml_event_delete(&event);
            map->kind = anchored ? EVN_NODE_BROKEN : EVN_NODE_MAP;
            return map;
        }
        const char *key = NULL;
        yaml_mark_t mark = event.start_mark;
        bool going = map->count < EVN_KEYS_MOST ? parse_key(p, &event, &key)
                                                : stop(p, mark, "a map of more than 256 keys; expected fewer");
        yaml_event_delete(&event);
        if (!going || !parse_entry(p, map, key, mark, depth))
            return NULL;
    }
}

static evn_node *parse_value(parse *p, const yaml_event_t *event, unsigned depth)
{
    if (depth > EVN_DEPTH_MOST) {
        stop(p, event->start_mark, "maps and lists more than 40 deep in each other; expected fewer");
        return NULL;
    }
    switch (event->type) {
    case YAML_SCALAR_EVENT:
        return scalar_node(p, event);
    case YAML_SEQUENCE_START_EVENT:
        return parse_list(p, event, depth);
    case YAML_MAPPING_START_EVENT:
        return parse_map(p, event, depth);
    default: /* only an alias can stand here */
        say(p, event->start_mark, EVN_FAULT_ANCHOR, "an alias; expected the value itself; 'use' brings in a file");
        return new_node(p, event, EVN_NODE_BROKEN);
    }
}

/* ---------------------------------------------------------------------------------------------------- the file */

static bool check_document(parse *p, const yaml_event_t *event, unsigned documents)
{
    if (documents > 0) {
        say(p, event->start_mark, EVN_FAULT_SYNTAX, "a second document; expected one in a file; remove the '---'");
        return false;
    }
    bool tags = event->data.document_start.tag_directives.start != event->data.document_start.tag_directives.end;
    if (event->data.document_start.version_directive || tags) {
        say(p, event->start_mark, EVN_FAULT_SYNTAX,
            "a directive; expected keys only; remove the line that begins with '%'");
        return false;
    }
    return true;
}

/* One event outside the root value. Leaves the root when it comes; false ends the file, for good or ill. */
static bool parse_outside(parse *p, evn_node **root, unsigned *documents, bool *sound)
{
    yaml_event_t event;
    *sound = next_event(p, &event);
    if (!*sound)
        return false;
    bool going = event.type != YAML_STREAM_END_EVENT;
    if (event.type == YAML_DOCUMENT_START_EVENT) {
        *sound = check_document(p, &event, (*documents)++);
    } else if (event.type != YAML_STREAM_START_EVENT && event.type != YAML_DOCUMENT_END_EVENT && going) {
        *root = parse_value(p, &event, 0);
        *sound = *root;
    }
    yaml_event_delete(&event);
    return going && *sound;
}

evn_node *evn_tree_parse(evn_reading *reading, const evn_source *source, const char *bytes, size_t length)
{
    parse p = {.reading = reading, .source = source, .bytes = bytes, .length = length};
    if (yaml_parser_initialize(&p.yaml) == 0) {
        evn_reading_out_of_memory(reading);
        return NULL;
    }
    yaml_parser_set_encoding(&p.yaml, YAML_UTF8_ENCODING);
    yaml_parser_set_input_string(&p.yaml, (const unsigned char *)bytes, length);
    evn_node *root = NULL;
    unsigned documents = 0;
    bool sound = false;
    while (parse_outside(&p, &root, &documents, &sound)) {
    }
    yaml_parser_delete(&p.yaml);
    if (sound && !root) {
        evn_spot top = {source->file, 1, 1};
        evn_say(reading->report, EVN_FAULT_SYNTAX, top, source->used_from,
                "a file without keys; expected a map of keys");
        return NULL;
    }
    return sound ? root : NULL;
}
