/* The field tables behind evener/keys.h: kinds, their keys, paths to them, faults. */
#include "evener/keys.h"
#include "api/kinds.h"
#include "core/report.h"
#include "core/uncertain.h"
#include <math.h>
#include <stdio.h>
#include <string.h>

/* ------------------------------------------------------------------------------------------------ kinds */

size_t evn_kind_count(void)
{
    evn_objects all = evn_all_kinds();
    return all.count;
}

static void describe_kind(const evn_object *object, evn_kind *out)
{
    *out = (evn_kind){.name = object->name, .help = object->help, .key_count = object->field_count};
}

bool evn_kind_at(size_t index, evn_kind *out)
{
    evn_objects all = evn_all_kinds();
    if (!out || index >= all.count)
        return false;
    describe_kind(all.at[index], out);
    return true;
}

bool evn_kind_get(const char *name, evn_kind *out)
{
    const evn_object *object = name && out ? evn_kind_object(name) : NULL;
    if (object)
        describe_kind(object, out);
    return object;
}

/* ------------------------------------------------------------------------------------------------ keys */

static evn_key_shape shape_of(const evn_field *field)
{
    static const evn_key_shape shapes[] = {
        [EVN_NUMBER] = EVN_KEY_NUMBER, [EVN_COUNT] = EVN_KEY_COUNT,     [EVN_FLAG] = EVN_KEY_FLAG,
        [EVN_TEXT] = EVN_KEY_TEXT,     [EVN_CHOICE] = EVN_KEY_CHOICE,   [EVN_LIST] = EVN_KEY_NUMBERS,
        [EVN_ONE] = EVN_KEY_GROUP,     [EVN_MANY] = EVN_KEY_NAMED,      [EVN_STEPS] = EVN_KEY_STEPS,
        [EVN_SHEET] = EVN_KEY_FILE,    [EVN_FIGURES] = EVN_KEY_FIGURES, [EVN_TEXTS] = EVN_KEY_TEXTS,
    };
    return shapes[field->shape];
}

static bool has_fallback(const evn_field *field)
{
    bool simple = field->shape == EVN_NUMBER || field->shape == EVN_COUNT || field->shape == EVN_FLAG ||
                  field->shape == EVN_CHOICE;
    return simple && field->presence != EVN_REQUIRED && !isnan(field->fallback);
}

static evn_key_presence presence_of(const evn_field *field)
{
    if (field->presence == EVN_REQUIRED)
        return EVN_KEY_REQUIRED;
    return field->presence == EVN_DEFAULTED || has_fallback(field) ? EVN_KEY_HAS_DEFAULT : EVN_KEY_OPTIONAL;
}

static const char *fallback_word(const evn_field *field)
{
    if (!has_fallback(field))
        return NULL;
    if (field->shape == EVN_FLAG)
        return field->fallback > 0 ? "true" : "false";
    return field->shape == EVN_CHOICE ? field->choices[(size_t)field->fallback] : NULL;
}

static void describe_key(const evn_field *field, evn_key *out)
{
    bool number = field->shape == EVN_NUMBER || field->shape == EVN_COUNT;
    bool usual = field->usual_low != 0 || field->usual_high != 0;
    *out = (evn_key){
        .key = field->key,
        .unit = number || field->shape == EVN_LIST ? evn_unit_of(field->key) : "",
        .help = field->help ? field->help : "",
        .source = field->source ? field->source : "",
        .shape = shape_of(field),
        .presence = presence_of(field),
        .kind = field->of ? field->of->name : NULL,
        .least = field->least,
        .most = field->most,
        .usual_low = usual ? field->usual_low : (double)NAN,
        .usual_high = usual ? field->usual_high : (double)NAN,
        .fallback = number && has_fallback(field) ? field->fallback : (double)NAN,
        .fallback_word = fallback_word(field),
        .choices = field->shape == EVN_CHOICE ? field->choices : NULL,
        .count_least = field->count_least,
        .count_most = field->count_most,
        .apart_least = field->apart_least,
    };
}

static void describe_uncertainty(const evn_usual_uncertainty *u, evn_key *out)
{
    const evn_field *shape = evn_field_named(&evn_uncertain_object, "shape", strlen("shape"));
    out->half_width = u ? u->half_width : (double)NAN;
    out->relative = u ? u->relative : (double)NAN;
    out->error_shape = u ? shape->choices[u->shape] : NULL;
    out->errs_with = u ? u->errs_with : NULL;
    out->half_width_source = u ? u->source : "";
}

bool evn_key_at(const char *kind, size_t index, evn_key *out)
{
    const evn_object *object = kind && out ? evn_kind_object(kind) : NULL;
    if (!object || index >= object->field_count)
        return false;
    describe_key(&object->fields[index], out);
    describe_uncertainty(object->fields[index].uncertain, out);
    return true;
}

const char *evn_key_step(const char *kind, const char *key, size_t index)
{
    const evn_object *object = kind && key ? evn_kind_object(kind) : NULL;
    const evn_field *field = object ? evn_field_named(object, key, strlen(key)) : NULL;
    const evn_kind_row *row = field ? field->kinds : NULL;
    for (; row && row->key; row++)
        if (index-- == 0)
            return row->object->name;
    return NULL;
}

/* ------------------------------------------------------------------------------------------------ paths */

typedef struct way { /* a path, as far as it was followed */
    const char *rest;
    const evn_object *object;
    const evn_field *last; /* the key that led to the object; NULL: the path named a kind */
    const evn_object *holder;
    evn_report *report;
} way;

/* Length of the next part of the path; what stands in brackets is passed over. */
static size_t part_length(const way *w) { return strcspn(w->rest, ".["); }

static void pass_part(way *w)
{
    w->rest += strcspn(w->rest, ".");
    w->rest += *w->rest == '.';
}

static void say_unknown(const way *w, const char *found, const char *among, const char *const *names, size_t count)
{
    const char *nearest = evn_nearest(found, names, count);
    evn_say(w->report, EVN_FAULT_USAGE, evn_nowhere, evn_nowhere, "no key '%s' in %s; %s%s%s", found, among,
            nearest ? "nearest is '" : "'evener keys' lists the kinds there are", nearest ? nearest : "",
            nearest ? "'" : "");
}

/* The part of the path that led nowhere, as text. */
static void copy_part(const way *w, char out[65])
{
    size_t length = part_length(w);
    snprintf(out, 65, "%.*s", (int)(length < 64 ? length : 64), w->rest);
}

enum { NAMES_MOST = 1024 };

static size_t add_keys(const evn_object *object, const char *names[NAMES_MOST], size_t count)
{
    for (size_t i = 0; i < object->field_count && count < NAMES_MOST; i++)
        names[count++] = object->fields[i].key;
    return count;
}

static bool no_such_key(const way *w)
{
    const char *names[NAMES_MOST];
    char found[65], within[EVN_WITHIN_BYTES];
    copy_part(w, found);
    if (evn_field_within(within, w->object, found)[0] != '\0')
        evn_say(w->report, EVN_FAULT_USAGE, evn_nowhere, evn_nowhere, "no key '%s' in %s; expected it within %s", found,
                w->object->name, within);
    else
        say_unknown(w, found, w->object->name, names, add_keys(w->object, names, 0));
    return false;
}

static bool no_such_step(const way *w, const evn_field *field)
{
    const char *names[NAMES_MOST];
    char found[65];
    size_t count = 0;
    for (const evn_kind_row *row = field->kinds; row->key && count < NAMES_MOST; row++)
        names[count++] = row->key;
    copy_part(w, found);
    say_unknown(w, found, field->key, names, count);
    return false;
}

static bool no_such_beginning(const way *w, const evn_objects *all)
{
    const char *names[NAMES_MOST];
    char found[65];
    size_t count = 0;
    for (size_t i = 0; i < all->count && count < NAMES_MOST; i++)
        names[count++] = all->at[i]->name;
    for (size_t i = 0; i < all->count; i++)
        count = add_keys(all->at[i], names, count);
    copy_part(w, found);
    say_unknown(w, found, "any file", names, count);
    return false;
}

/* Into what a key holds: its object, the object of a name, the object of a step. */
static bool enter(way *w, const evn_field *field)
{
    w->last = field;
    w->holder = w->object;
    w->object = field->shape == EVN_ONE ? field->of : NULL;
    if (*w->rest == '\0')
        return true;
    if (field->shape == EVN_MANY) {
        pass_part(w); /* any name */
        w->object = field->of;
        w->last = *w->rest == '\0' ? NULL : w->last;
    } else if (field->shape == EVN_STEPS) {
        for (const evn_kind_row *row = field->kinds; row->key; row++)
            if (strlen(row->key) == part_length(w) && strncmp(row->key, w->rest, part_length(w)) == 0)
                w->object = row->object;
        if (!w->object)
            return no_such_step(w, field);
        pass_part(w);
        w->last = *w->rest == '\0' ? NULL : w->last;
    }
    if (w->object)
        return true;
    evn_say(w->report, EVN_FAULT_USAGE, evn_nowhere, evn_nowhere, "'%s' holds no keys of its own; the path goes on: %s",
            field->key, w->rest);
    return false;
}

/* A kind by name, a key of a truck, of a cycle, of whatever kind has it. */
static bool begin(way *w, const evn_objects *all)
{
    size_t length = part_length(w);
    w->object = evn_object_named(all, w->rest, length);
    if (w->object) {
        pass_part(w);
        return true;
    }
    const evn_object *roots[] = {all->at[0], evn_object_named(all, "cycle", 5)};
    for (size_t i = 0; i < 2 + all->count; i++) {
        w->object = i < 2 ? roots[i] : all->at[i - 2];
        if (evn_field_named(w->object, w->rest, length))
            return true;
    }
    return no_such_beginning(w, all);
}

bool evn_key_find(const char *path, evn_key_place *out, evn_report *report)
{
    if (!evn_not_null(report, __func__, (const evn_argument[]){{"path", path}, {"out", out}, {0}}))
        return false;
    evn_objects all = evn_all_kinds();
    way w = {.rest = path, .report = report};
    *out = (evn_key_place){0};
    if (!begin(&w, &all))
        return false;
    while (*w.rest != '\0') {
        const evn_field *field = evn_field_named(w.object, w.rest, part_length(&w));
        if (!field)
            return no_such_key(&w);
        pass_part(&w);
        if (!enter(&w, field))
            return false;
    }
    out->holder = w.last ? w.holder->name : NULL;
    out->index = w.last ? (size_t)(w.last - w.holder->fields) : 0;
    const evn_object *inner = w.object ? w.object : w.last->of;
    out->inner = inner ? inner->name : NULL;
    return true;
}

/* ------------------------------------------------------------------------------------------------ faults */

size_t evn_fault_count(void) { return EVN_FAULT_COUNT; }

bool evn_fault_at(size_t index, evn_fault_meaning *out)
{
    if (!out || index >= EVN_FAULT_COUNT)
        return false;
    const evn_fault_row *row = &evn_fault_rows[index];
    *out = (evn_fault_meaning){row->name, row->meaning, row->severity, row->status};
    return true;
}
