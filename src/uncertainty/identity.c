/* What errs as one: by label, by the place of the entry, by the place of the first value of a kind in an object. */
#include "uncertainty/identity.h"
#include <math.h>
#include <stdio.h>
#include <string.h>

enum { NAME_BYTES = 400 };

typedef struct naming { /* of one datum */
    const void *kind;   /* the default that it is of; NULL: stated, or of a label */
    const char *text;   /* the label, or the place */
} naming;

static const char *kept(evn_claims *c, const char *text)
{
    const char *copy = text ? evn_arena_text(c->arena, text, strlen(text)) : NULL;
    if (text && !copy)
        evn_claims_no_memory(c);
    return copy;
}

/* ------------------------------------------------------------------------------------------------ by what */

static const char *label_of(const evn_claim *claim)
{
    return claim->entry ? claim->entry->errs_with : claim->usual->errs_with;
}

/* Of claims by one default in one object, the one that the others go by: the first that stands in a file. */
static const evn_claim *first_of_kind(const evn_claims *c, evn_claim *const *list, size_t count, const evn_claim *of)
{
    const evn_claim *set = NULL;
    for (size_t i = 0; i < count; i++) {
        if (list[i]->usual != of->usual || list[i]->holder != of->holder)
            continue;
        const evn_value *row = evn_claim_place(c, list[i], false);
        if (row && row->origin == EVN_FROM_FILE)
            return list[i];
        set = set ? set : row ? list[i] : NULL;
    }
    return set ? set : of;
}

static void place_text(char out[NAME_BYTES], const evn_value *row, const char *name)
{
    snprintf(out, NAME_BYTES, "%s:%u:%u %s", row->file, row->line, row->column, name);
}

/* Without places: by the truck, and what holds the values there. */
static void path_text(char out[NAME_BYTES], const evn_claim *claim)
{
    const char *dot = strrchr(claim->as, '.');
    int holder = dot ? (int)(dot - claim->as) : 0;
    if (claim->entry)
        snprintf(out, NAME_BYTES, "%s", claim->entry_at);
    else
        snprintf(out, NAME_BYTES, "truck %zu %.*s", claim->truck, holder, claim->as);
}

static naming name_of(evn_claims *c, evn_claim *const *list, size_t count, const evn_claim *claim)
{
    char text[NAME_BYTES];
    const char *label = label_of(claim);
    const evn_claim *first = claim->entry ? claim : first_of_kind(c, list, count, claim);
    const evn_value *row = claim->entry ? evn_claim_entry_place(c, claim) : evn_claim_place(c, first, true);
    if (label)
        snprintf(text, sizeof text, "%s", label);
    else if (row)
        place_text(text, row, claim->entry ? claim->entry_name : "");
    else
        path_text(text, claim);
    return (naming){claim->entry || label ? NULL : claim->usual, kept(c, text)};
}

/* ------------------------------------------------------------------------------------------------ in words */

static void as_words(char *text)
{
    for (; *text; text++)
        *text = *text == '_' ? ' ' : *text;
}

/* "tyre-steer" of "vehicles/parts/tyre-steer.yaml". */
static void stem_of(const char *file, char out[NAME_BYTES])
{
    const char *slash = strrchr(file, '/'), *name = slash ? slash + 1 : file, *dot = strrchr(name, '.');
    snprintf(out, NAME_BYTES, "%.*s", (int)(dot ? (size_t)(dot - name) : strlen(name)), name);
}

static const char *words_of(evn_claims *c, const evn_claim *claim, const evn_value *row)
{
    char what[NAME_BYTES], stem[NAME_BYTES], text[2 * NAME_BYTES + 4];
    const char *label = label_of(claim);
    snprintf(what, sizeof what, "%s", label ? label : claim->usual ? claim->usual->what : claim->entry_name);
    as_words(what);
    if (row)
        stem_of(row->file, stem);
    snprintf(text, sizeof text, row && !label ? "%s (%s)" : "%s", what, stem);
    return kept(c, text);
}

/* "drag torque (trucks.a.drive_units.rear.path[1].mesh.drag)": what, and what holds the first of its values. */
static const char *at_its_place(evn_claims *c, const evn_datum *datum)
{
    char text[2 * NAME_BYTES];
    const char *behind = strrchr(datum->label, '('), *dot = strrchr(datum->path, '.');
    size_t what = behind && behind > datum->label ? (size_t)(behind - datum->label) - 1 : strlen(datum->label);
    int holder = (int)(dot ? (size_t)(dot - datum->path) : strlen(datum->path));
    snprintf(text, sizeof text, "%.*s (%.*s)", (int)what, datum->label, holder, datum->path);
    return kept(c, text);
}

/* Those that are called alike are told by their places. */
static void tell_apart(evn_claims *c, evn_data *data)
{
    bool *alike = evn_arena_take(c->aside, (data->count + 1) * sizeof *alike);
    if (!alike)
        evn_claims_no_memory(c);
    for (size_t k = 1; alike && k < data->count; k++)
        for (size_t i = 0; i < k; i++)
            if (strcmp(data->datum[i].label, data->datum[k].label) == 0)
                alike[i] = alike[k] = true;
    for (size_t k = 0; alike && k < data->count; k++)
        if (alike[k])
            data->datum[k].label = at_its_place(c, &data->datum[k]);
}

/* ------------------------------------------------------------------------------------------------ the data */

static evn_datum describe(evn_claims *c, const evn_claim *claim)
{
    bool stated = claim->entry;
    const evn_value *entry = evn_claim_entry_place(c, claim);
    const evn_value *row = stated ? entry : evn_claim_place(c, claim, true);
    double relative = stated ? claim->entry->relative : claim->usual->relative;
    evn_datum datum = {.label = words_of(c, claim, row),
                       .path = kept(c, evn_claim_whole_path(c, claim, claim->path)),
                       .unit = evn_unit_of(claim->field->key),
                       .value = claim->nominal,
                       .half_width = fabs(claim->half_width),
                       .relative = fabs(relative),
                       .shape = claim->shape,
                       .errs_with = kept(c, label_of(claim)),
                       .source = kept(c, stated ? claim->entry->source : claim->usual->source),
                       .by_default = !stated,
                       .file = entry ? kept(c, entry->file) : NULL,
                       .line = entry ? entry->line : 0};
    if (!datum.path)
        evn_claims_no_memory(c);
    return datum;
}

static bool same_name(const naming *a, const naming *b) { return a->kind == b->kind && strcmp(a->text, b->text) == 0; }

bool evn_data_identify(evn_claims *c, evn_claim *const *list, size_t count, size_t *datum_of, evn_data *data)
{
    naming *names = evn_arena_take(c->aside, (count + 1) * sizeof *names);
    data->datum = evn_arena_take(c->arena, (count + 1) * sizeof *data->datum);
    if (!names || !data->datum)
        return evn_claims_no_memory(c);
    for (size_t k = 0; k < count; k++) {
        naming name = name_of(c, list, count, list[k]);
        if (c->failed)
            return false;
        size_t i = 0;
        while (i < data->count && !same_name(&names[i], &name))
            i++;
        datum_of[k] = i;
        if (i < data->count)
            continue;
        names[i] = name;
        data->datum[data->count++] = describe(c, list[k]);
        if (c->failed)
            return false;
    }
    tell_apart(c, data);
    return !c->failed;
}
