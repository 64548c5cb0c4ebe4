/* Walks two trucks side by side by the table of keys and blocks. */
#include "causes/differing.h"
#include "causes/blocks.h"
#include "core/field_hash.h"
#include "core/field_walk.h"
#include <math.h>
#include <stdio.h>
#include <string.h>

enum { PATH_BYTES = 256 };

typedef struct walk {
    evn_cause cause;
    evn_arena *arena;
    evn_differing *out;
    bool all; /* false: memory is out */
} walk;

static void add(walk *w, const char *before, const char *key)
{
    char path[PATH_BYTES];
    snprintf(path, sizeof path, "%s%s%s", before, before[0] != '\0' ? "." : "", key);
    if (w->out->count == EVN_DIFFERING_MOST)
        return;
    char *kept = evn_arena_take(w->arena, strlen(path) + 1);
    w->all = kept && w->all;
    if (kept)
        w->out->path[w->out->count++] = strcpy(kept, path);
}

static bool differs(const evn_field *field, const void *a, const void *b)
{
    return !field->remark && evn_member_hash(field, a) != evn_member_hash(field, b);
}

static const void *inner_of(const evn_field *field, const void *self)
{
    return *(const void *const *)((const char *)self + field->offset);
}

/* A member that is the cause's: what it holds where both have it, else itself. */
static void add_member(walk *w, const char *before, const evn_field *field, const void *a, const void *b)
{
    bool both = field->shape == EVN_ONE && inner_of(field, a) && inner_of(field, b);
    if (!differs(field, a, b))
        return;
    if (!both || before[0] != '\0') {
        add(w, before, field->key);
        return;
    }
    for (size_t k = 0; k < field->of->field_count; k++)
        if (differs(&field->of->fields[k], inner_of(field, a), inner_of(field, b)))
            add(w, field->key, field->of->fields[k].key);
}

/* An object whose keys have rows in the table. */
static void walk_parted(walk *w, const char *before, const evn_object *object, const void *a, const void *b)
{
    for (size_t k = 0; k < object->field_count; k++)
        if (evn_block_of(object, &object->fields[k]) == (int)w->cause)
            add_member(w, before, &object->fields[k], a, b);
}

/* Axle by axle from the front, as they are exchanged. */
static void walk_axles(walk *w, const evn_truck_file *a, const evn_truck_file *b)
{
    const evn_axle_file *of_a = a->axles.item, *of_b = b->axles.item;
    char before[PATH_BYTES];
    if (a->axles.count != b->axles.count && w->cause == EVN_CAUSE_BODY)
        add(w, "", "axles");
    for (size_t k = 0; k < a->axles.count && k < b->axles.count; k++) {
        snprintf(before, sizeof before, "axles.%.200s", b->axles.name[k]);
        walk_parted(w, before, &evn_axle_object, &of_a[k], &of_b[k]);
    }
}

static void walk_trailer(walk *w, const evn_truck_file *a, const evn_truck_file *b)
{
    const evn_object *trailer = evn_field_named(&evn_truck_object, "trailer", strlen("trailer"))->of;
    if (a->trailer && b->trailer)
        walk_parted(w, "trailer", trailer, a->trailer, b->trailer);
    else if (a->trailer != b->trailer && w->cause == EVN_CAUSE_BODY)
        add(w, "", "trailer");
}

/* False when memory is out. */
static bool find(const evn_two *two, evn_cause cause, evn_arena *arena, evn_differing *out)
{
    const evn_truck_file *a = two->truck[0], *b = two->truck[1];
    double given = two->load_case[0].payload_kg, other = two->load_case[1].payload_kg;
    walk w = {cause, arena, out, true};
    out->count = 0;
    walk_parted(&w, "", &evn_truck_object, a, b);
    walk_axles(&w, a, b);
    walk_trailer(&w, a, b);
    if (cause == EVN_CAUSE_BODY && given != other && !(isnan(given) && isnan(other)))
        add(&w, "load_case", "payload_kg");
    return w.all;
}

evn_differing *evn_differing_of(const evn_two *two, evn_arena *arena)
{
    evn_differing *list = evn_arena_take(arena, EVN_CAUSE_COUNT * sizeof *list);
    bool all = list;
    for (unsigned c = 0; all && c < EVN_CAUSE_COUNT; c++)
        all = find(two, (evn_cause)c, arena, &list[c]);
    return all ? list : NULL;
}
