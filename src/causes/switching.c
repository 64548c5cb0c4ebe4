/*
 * How a truck switches, given to the units of another: engagement and gear changes unit by unit, disconnects axle by
 * axle. A disconnect stands where the units have one of their own; where they have none, at the beginning of a unit's
 * path, and at both ends of a branch, so that what lies between stands still.
 */
#include "causes/paths.h"
#include "core/field_walk.h"
#include <string.h>

static const evn_object *gearbox_object(void)
{
    return evn_field_named(&evn_unit_object, "gearbox", strlen("gearbox"))->of;
}

static bool take_gear_changes(evn_unit_file *unit, const evn_unit_file *from, evn_arena *arena)
{
    if (!unit->gearbox || !from->gearbox)
        return true;
    evn_gearbox_file *gearbox = evn_copied(unit->gearbox, sizeof *gearbox, arena);
    if (gearbox)
        evn_block_take(gearbox_object(), gearbox, from->gearbox, EVN_CAUSE_SWITCHING);
    unit->gearbox = gearbox;
    return gearbox;
}

/* ------------------------------------------------------------------------------------------------ disconnects */

/* The path with this disconnect in the place of each of its own. */
static bool exchange(evn_steps *path, const evn_step *disconnect, evn_arena *arena)
{
    evn_step *step = evn_copied(path->at, path->count * sizeof *step, arena);
    for (size_t k = 0; step && k < path->count; k++)
        if (evn_is_disconnect(&step[k]))
            step[k] = *disconnect;
    path->at = step;
    return step;
}

static bool insert(evn_steps *path, const evn_step *disconnect, bool both_ends, evn_arena *arena)
{
    const evn_steps one = {disconnect, 1}, whole = *path;
    evn_stretch stretch[] = {{&one, 0, 1, false}, {&whole, 0, whole.count, false}, {&one, 0, both_ends ? 1 : 0, false}};
    return evn_steps_join(stretch, 3, arena, path);
}

static bool remove_all(evn_steps *path, evn_arena *arena)
{
    const evn_steps whole = *path;
    return evn_steps_join(&(evn_stretch){&whole, 0, whole.count, true}, 1, arena, path);
}

static bool set_disconnect(evn_steps *path, const evn_step *disconnect, bool of_branch, evn_arena *arena)
{
    bool has = evn_first_disconnect(path);
    if (!disconnect)
        return !has || remove_all(path, arena);
    return has ? exchange(path, disconnect, arena) : insert(path, disconnect, of_branch, arena);
}

/* Of the path to a driven axle: NULL: none. */
static const evn_step *disconnect_of(const evn_truck_file *truck, const evn_driven_axles *driven, size_t place)
{
    if (place >= driven->count)
        return NULL;
    return evn_first_disconnect(evn_driven_path(truck->drive_units.item, &driven->at[place]));
}

static bool set_branch(evn_unit_file *unit, size_t branch, const evn_step *disconnect, evn_arena *arena)
{
    evn_branch_file *copy = evn_copied(unit->branches.item, unit->branches.count * sizeof *copy, arena);
    unit->branches.item = copy;
    return copy && set_disconnect(&copy[branch].path, disconnect, true, arena);
}

static bool set_disconnects(evn_unit_file *unit, size_t count, const evn_truck_file *of, evn_arena *arena)
{
    evn_driven_axles own = evn_driven_axles_of(unit, count),
                     there = evn_driven_axles_of(of->drive_units.item, of->drive_units.count);
    bool all = true;
    for (size_t k = 0; all && k < own.count; k++) {
        const evn_driven *is = &own.at[k];
        const evn_step *disconnect = disconnect_of(of, &there, k);
        if (is->branch == EVN_WITHOUT_BRANCH)
            all = set_disconnect(&unit[is->unit].path, disconnect, false, arena);
        else
            all = set_branch(&unit[is->unit], is->branch, disconnect, arena);
    }
    return all;
}

/* Before an inter-axle differential: all axles of the unit at once. */
static bool set_common(evn_unit_file *unit, const evn_unit_file *from, evn_arena *arena)
{
    if (unit->branches.count == 0)
        return true;
    return set_disconnect(&unit->path, from->branches.count > 0 ? evn_first_disconnect(&from->path) : NULL, false,
                          arena);
}

/* ------------------------------------------------------------------------------------------------ the call */

bool evn_units_switch_as(evn_unit_file *unit, size_t count, const evn_truck_file *of, evn_arena *arena)
{
    const evn_unit_file *from = of->drive_units.item;
    bool all = true;
    for (size_t u = 0; all && u < count; u++) {
        const evn_unit_file *like = &from[u < of->drive_units.count ? u : of->drive_units.count - 1];
        evn_block_take(&evn_unit_object, &unit[u], like, EVN_CAUSE_SWITCHING);
        all = take_gear_changes(&unit[u], like, arena) && set_common(&unit[u], like, arena);
    }
    return all && set_disconnects(unit, count, of, arena);
}
