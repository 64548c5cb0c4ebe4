/* Walks tree and tables side by side, twice: to count the values, then to write them down. */
#include "read/describe.h"
#include "read/merge.h"
#include "read/number.h"
#include "read/path.h"
#include <math.h>
#include <stdio.h>
#include <string.h>

/* The maps around a value that say where their figures come from, the innermost first. */
typedef struct said {
    const evn_node *source;
    const struct said *above;
} said;

typedef struct walk {
    evn_reading *reading;
    evn_value *at; /* NULL while counting */
    size_t count;
    const said *said;
    bool failed, remark; /* the latter: in one */
} walk;

/* What a row needs besides its value. */
typedef struct seat {
    const char *path; /* of the map that it stands in; "" at the top */
    unsigned depth;
} seat;

static const char *keep(walk *w, const char *text)
{
    const char *copy = evn_arena_text(w->reading->keep, text, strlen(text));
    if (!copy) {
        w->failed = true;
        evn_reading_out_of_memory(w->reading);
    }
    return copy;
}

/* "path.key" or "path[2].key". */
static const char *join(walk *w, const char *path, const char *between, const char *key)
{
    size_t length = strlen(path), middle = path[0] == '\0' ? 0 : strlen(between);
    char *joined = evn_arena_take(w->reading->keep, length + middle + strlen(key) + 1);
    if (!joined) {
        w->failed = true;
        evn_reading_out_of_memory(w->reading);
        return NULL;
    }
    memcpy(joined, path, length);
    memcpy(joined + length, between, middle);
    strcpy(joined + length + middle, key);
    return joined;
}

/* A new row; NULL while counting, or when memory is out. */
static evn_value *add(walk *w, evn_value_kind kind, seat in, const char *between, const char *key)
{
    size_t index = w->count++;
    if (!w->at || w->failed)
        return NULL;
    evn_value *row = &w->at[index];
    *row = (evn_value){.kind = kind, .depth = in.depth, .unit = "", .help = "", .remark = w->remark};
    row->path = join(w, in.path, between, key);
    row->key = w->failed ? NULL : row->path + strlen(row->path) - strlen(key);
    return w->failed ? NULL : row;
}

static void describe_field(evn_value *row, const evn_field *field)
{
    row->unit = evn_unit_of(field->key);
    row->help = field->help ? field->help : "";
}

static void set_used_from(walk *w, evn_value *row, const evn_source *user, evn_spot at)
{
    row->used_from_file = keep(w, user->shown);
    row->used_from_line = at.line;
    row->used_from_column = at.column;
}

/* Of the innermost map around it that stands in the same file and says so, else of that file as a whole. */
static const char *source_of(const walk *w, const evn_source *file)
{
    for (const said *s = w->said; s; s = s->above)
        if (s->source->source == file)
            return s->source->text;
    return file->says;
}

static void set_place(walk *w, evn_value *row, const evn_node *node)
{
    const char *source = source_of(w, node->source);
    row->source = source ? keep(w, source) : NULL;
    evn_spot at = evn_node_spot(node);
    row->origin = node->source->typed ? EVN_FROM_SET : EVN_FROM_FILE;
    row->file = keep(w, node->source->shown);
    row->line = at.line;
    row->column = at.column;
    if (node->source->user)
        set_used_from(w, row, node->source->user, node->source->used_from);
}

/* A group stands at its key; what it says about use is the part that it was given here. */
static void place_group(walk *w, evn_value *row, const evn_node *node)
{
    set_place(w, row, node);
    row->used_from_file = NULL;
    row->used_from_line = row->used_from_column = 0;
    if (node->use)
        set_used_from(w, row, node->use->source, evn_node_spot(node->use));
}

/* ---------------------------------------------------------------------------------------------------- values */

static double *numbers(walk *w, evn_value *row, size_t count)
{
    double *at = evn_arena_take(w->reading->keep, count * sizeof *at);
    row->numbers = at;
    row->count = at ? count : 0;
    if (!at) {
        w->failed = true;
        evn_reading_out_of_memory(w->reading);
    }
    return at;
}

static void read_one(walk *w, evn_value *row, const evn_node *node)
{
    double *at = numbers(w, row, 1);
    if (at)
        evn_number_read(node->text, strlen(node->text), at);
}

/* Where some numbers were set and others not, the place is that of the others. */
static void read_many(walk *w, evn_value *row, const evn_node *node)
{
    double *at = numbers(w, row, node->count);
    const evn_node *written = NULL, *set = NULL;
    size_t index = 0;
    for (const evn_node *item = node->first; item && at; item = item->next, index++) {
        evn_number_read(item->text, strlen(item->text), &at[index]);
        const evn_node **first = item->source->typed ? &set : &written;
        *first = *first ? *first : item;
    }
    if (written && set) {
        set_place(w, row, written);
        row->changed_by = keep(w, set->source->shown);
    }
}

static void read_texts(walk *w, evn_value *row, const evn_node *node)
{
    const char **texts = evn_arena_take(w->reading->keep, (node->count + 1) * sizeof *texts);
    size_t count = 0;
    if (!texts) {
        w->failed = true;
        evn_reading_out_of_memory(w->reading);
        return;
    }
    for (const evn_node *item = node->first; item; item = item->next)
        texts[count++] = keep(w, item->text);
    texts[count] = NULL;
    row->texts = texts;
}

static void read_sheet(walk *w, evn_value *row, const evn_node *node)
{
    const evn_source *opened = evn_opened_by(w->reading, node);
    row->text = evn_path_from_root(w->reading, w->reading->keep, opened ? opened->path : node->text);
    w->failed = w->failed || !row->text;
}

static evn_value_kind kind_of(const evn_field *field)
{
    switch (field->shape) {
    case EVN_NUMBER:
    case EVN_COUNT:
        return EVN_VALUE_NUMBER;
    case EVN_FLAG:
    case EVN_CHOICE:
        return EVN_VALUE_WORD;
    case EVN_TEXT:
        return EVN_VALUE_TEXT;
    case EVN_LIST:
        return EVN_VALUE_NUMBERS;
    case EVN_SHEET:
        return EVN_VALUE_FILE;
    case EVN_STEPS:
        return EVN_VALUE_STEPS;
    case EVN_TEXTS:
        return EVN_VALUE_TEXTS;
    case EVN_ONE:
    case EVN_MANY:
    case EVN_FIGURES:
        break;
    }
    return EVN_VALUE_GROUP;
}

static void write_value(walk *w, const evn_field *field, const evn_node *node, seat in)
{
    evn_value *row = add(w, kind_of(field), in, ".", field->key);
    if (!row)
        return;
    describe_field(row, field);
    set_place(w, row, node);
    if (row->kind == EVN_VALUE_NUMBER)
        read_one(w, row, node);
    else if (row->kind == EVN_VALUE_NUMBERS)
        read_many(w, row, node);
    else if (row->kind == EVN_VALUE_TEXTS)
        read_texts(w, row, node);
    else if (row->kind == EVN_VALUE_FILE)
        read_sheet(w, row, node);
    else
        row->text = keep(w, node->text);
}

static const char *default_word(const evn_field *field)
{
    if (field->shape == EVN_FLAG)
        return field->fallback > 0 ? "true" : "false";
    return field->choices[(size_t)field->fallback];
}

/* A key that is written nowhere, of the kinds that have a default or a meaning when not given. */
static void write_fallback(walk *w, const evn_field *field, seat in)
{
    evn_value *row = add(w, kind_of(field), in, ".", field->key);
    if (!row)
        return;
    describe_field(row, field);
    row->origin = isnan(field->fallback) ? EVN_NOT_GIVEN : EVN_FROM_DEFAULT;
    row->source = field->source;
    if (row->origin == EVN_NOT_GIVEN)
        return;
    if (row->kind == EVN_VALUE_WORD) {
        row->text = default_word(field);
        return;
    }
    double *at = numbers(w, row, 1);
    if (at)
        *at = field->fallback;
}

/* ---------------------------------------------------------------------------------------------------- objects */

static void write_object(walk *w, const evn_object *object, const evn_node *map, seat in);

/* The row of a group, with its path for what stands below; NULL node: written nowhere. */
static seat begin_group(walk *w, evn_value_kind kind, const evn_node *node, seat in, const char *between,
                        const char *key, const evn_field *field)
{
    evn_value *row = add(w, kind, in, between, key);
    if (row) {
        row->origin = EVN_FROM_DEFAULT;
        if (field)
            row->help = field->help ? field->help : "";
        if (node)
            place_group(w, row, node);
    }
    return (seat){row ? row->path : "", in.depth + (kind == EVN_VALUE_STEP ? 2 : 1)};
}

static void write_many(walk *w, const evn_field *field, const evn_node *node, seat in)
{
    seat inner = begin_group(w, EVN_VALUE_GROUP, node, in, ".", field->key, field);
    for (const evn_node *named = node->first; named; named = named->next) {
        seat below = begin_group(w, EVN_VALUE_GROUP, named, inner, ".", named->key, NULL);
        write_object(w, field->of, named, below);
    }
}

static void write_steps(walk *w, const evn_field *field, const evn_node *node, seat in)
{
    seat inner = begin_group(w, EVN_VALUE_STEPS, node, in, ".", field->key, field);
    size_t index = 0;
    for (const evn_node *item = node->first; item; item = item->next) {
        char between[32];
        snprintf(between, sizeof between, "[%zu].", index++);
        const evn_node *step = item->first;
        size_t kind = 0;
        while (strcmp(field->kinds[kind].key, step->key) != 0)
            kind++;
        seat below = begin_group(w, EVN_VALUE_STEP, step, inner, between, step->key, NULL);
        write_object(w, field->kinds[kind].object, step, below);
    }
}

/* Numbers by name; one that is none has no number. */
static void write_figures(walk *w, const evn_field *field, const evn_node *node, seat in)
{
    seat inner = begin_group(w, EVN_VALUE_GROUP, node, in, ".", field->key, field);
    for (const evn_node *named = node->first; named; named = named->next) {
        evn_value *row = add(w, EVN_VALUE_NUMBER, inner, ".", named->key);
        if (!row)
            continue;
        row->unit = row->help = "";
        set_place(w, row, named);
        if (strcmp(named->text, "none") != 0)
            read_one(w, row, named);
    }
}

static void write_field(walk *w, const evn_field *field, const evn_node *node, seat in)
{
    bool remark = w->remark;
    w->remark = remark || field->remark;
    if (field->shape == EVN_MANY)
        write_many(w, field, node, in);
    else if (field->shape == EVN_FIGURES)
        write_figures(w, field, node, in);
    else if (field->shape == EVN_STEPS)
        write_steps(w, field, node, in);
    else if (field->shape == EVN_ONE)
        write_object(w, field->of, node, begin_group(w, EVN_VALUE_GROUP, node, in, ".", field->key, field));
    else
        write_value(w, field, node, in);
    w->remark = remark;
}

static void write_absent(walk *w, const evn_field *field, seat in)
{
    bool defaulted = field->shape == EVN_ONE && field->presence == EVN_DEFAULTED;
    if (defaulted) {
        write_object(w, field->of, NULL, begin_group(w, EVN_VALUE_GROUP, NULL, in, ".", field->key, field));
        return;
    }
    evn_value_kind kind = kind_of(field);
    if (kind == EVN_VALUE_NUMBER || kind == EVN_VALUE_WORD)
        write_fallback(w, field, in);
}

/* What is written, in the order of the file, then what is not. NULL map: written nowhere. */
static void write_object(walk *w, const evn_object *object, const evn_node *map, seat in)
{
    const said here = {map ? evn_node_get(map, "source", strlen("source")) : NULL, w->said};
    w->said = here.source && here.source->kind == EVN_NODE_SCALAR ? &here : here.above;
    for (const evn_node *child = map ? map->first : NULL; child; child = child->next) {
        for (size_t i = 0; i < object->field_count; i++)
            if (strcmp(object->fields[i].key, child->key) == 0)
                write_field(w, &object->fields[i], child, in);
    }
    for (size_t i = 0; i < object->field_count; i++) {
        const evn_field *field = &object->fields[i];
        if (!map || !evn_node_get(map, field->key, strlen(field->key)))
            write_absent(w, field, in);
    }
    w->said = here.above;
}

bool evn_describe(evn_reading *reading, const evn_object *object, const evn_node *root, evn_value_list *out)
{
    walk counting = {.reading = reading};
    write_object(&counting, object, root, (seat){"", 0});
    walk writing = {.reading = reading, .at = evn_arena_take(reading->keep, counting.count * sizeof *writing.at)};
    if (!writing.at)
        return evn_reading_out_of_memory(reading);
    write_object(&writing, object, root, (seat){"", 0});
    *out = (evn_value_list){writing.at, writing.count};
    return !writing.failed;
}
