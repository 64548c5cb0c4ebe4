/* Walks paths as they are written. */
#include "causes/paths.h"
#include "truck/stage.h"
#include <string.h>

void *evn_copied(const void *from, size_t bytes, evn_arena *arena)
{
    void *copy = evn_arena_take(arena, bytes > 0 ? bytes : 1);
    return copy && bytes > 0 ? memcpy(copy, from, bytes) : copy;
}

/* ------------------------------------------------------------------------------------------------ driven axles */

static void add(evn_driven_axles *to, evn_driven driven)
{
    size_t k = to->count++;
    for (; k > 0 && to->at[k - 1].axle > driven.axle; k--)
        to->at[k] = to->at[k - 1];
    to->at[k] = driven;
}

evn_driven_axles evn_driven_axles_of(const evn_unit_file *unit, size_t count)
{
    evn_driven_axles all = {.count = 0};
    for (size_t u = 0; u < count; u++) {
        const evn_branch_file *branch = unit[u].branches.item;
        if (unit[u].branches.count == 0)
            add(&all, (evn_driven){unit[u].axles.at[0], u, EVN_WITHOUT_BRANCH});
        for (size_t b = 0; b < unit[u].branches.count; b++)
            add(&all, (evn_driven){branch[b].axle, u, b});
    }
    return all;
}

const evn_steps *evn_driven_path(const evn_unit_file *unit, const evn_driven *driven)
{
    const evn_unit_file *own = &unit[driven->unit];
    const evn_branch_file *branch = own->branches.item;
    return driven->branch == EVN_WITHOUT_BRANCH ? &own->path : &branch[driven->branch].path;
}

/* ------------------------------------------------------------------------------------------------ one layout */

static bool same_kinds(const evn_steps *a, const evn_steps *b)
{
    bool same = a->count == b->count;
    for (size_t k = 0; same && k < a->count; k++)
        same = a->at[k].kind == b->at[k].kind;
    return same;
}

static size_t gears_of(const evn_unit_file *unit) { return unit->gearbox ? unit->gearbox->ratios.count : 0; }

static bool same_layout(const evn_unit_file *a, const evn_unit_file *b)
{
    const evn_branch_file *of_a = a->branches.item, *of_b = b->branches.item;
    bool same = a->motors.count == b->motors.count && gears_of(a) == gears_of(b) && same_kinds(&a->path, &b->path) &&
                a->branches.count == b->branches.count;
    for (size_t k = 0; same && k < a->branches.count; k++)
        same = same_kinds(&of_a[k].path, &of_b[k].path);
    return same;
}

bool evn_laid_out_alike(const evn_truck_file *a, const evn_truck_file *b)
{
    const evn_unit_file *of_a = a->drive_units.item, *of_b = b->drive_units.item;
    bool same = a->drive_units.count == b->drive_units.count;
    for (size_t u = 0; same && u < a->drive_units.count; u++)
        same = same_layout(&of_a[u], &of_b[u]);
    return same;
}

/* ------------------------------------------------------------------------------------------------ steps */

bool evn_is_disconnect(const evn_step *step) { return strcmp(evn_stage_kinds[step->kind].key, "disconnect") == 0; }

const evn_step *evn_first_disconnect(const evn_steps *path)
{
    for (size_t k = 0; k < path->count; k++)
        if (evn_is_disconnect(&path->at[k]))
            return &path->at[k];
    return NULL;
}

size_t evn_axle_drive_at(const evn_steps *path)
{
    size_t at = 0;
    for (size_t k = 0; k < path->count; k++)
        if (evn_stage_kinds[path->at[k].kind].role == EVN_ROLE_CARRIES && !evn_is_disconnect(&path->at[k]))
            at = k + 1;
    return at;
}

bool evn_steps_join(const evn_stretch *stretch, size_t count, evn_arena *arena, evn_steps *out)
{
    size_t room = 0, used = 0;
    for (size_t i = 0; i < count; i++)
        room += stretch[i].to - stretch[i].from;
    evn_step *made = evn_arena_take(arena, (room + 1) * sizeof *made);
    for (size_t i = 0; made && i < count; i++)
        for (size_t k = stretch[i].from; k < stretch[i].to; k++)
            if (!stretch[i].without_disconnects || !evn_is_disconnect(&stretch[i].of->at[k]))
                made[used++] = stretch[i].of->at[k];
    *out = (evn_steps){made, used};
    return made;
}
