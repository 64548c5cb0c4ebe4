/*
 * The drive units of one truck on the axles that another one drives. Where both drive as many, they only change places.
 * Where the other drives more, a unit of one drives them through an inter-axle differential by axle drives like its
 * own, behind the through-drive of the other where that has one. Where it drives fewer, branches or units fall away,
 * and motors of units that do work on those that stay.
 */
#include "causes/paths.h"
#include "core/field_walk.h"
#include <math.h>
#include <string.h>

typedef struct moving {
    evn_arena *arena;
    const evn_truck_file *axles_of;
    evn_driven_axles own, wanted;
    evn_unit_file *unit; /* that are made */
    size_t count;
    const char *reason;
} moving;

static const char twice[] = "units of their own, and more driven axles in the other truck";

/* ------------------------------------------------------------------------------------------------ what is written */

/* The unit's list of axles, by its branches. */
static bool write_axles(evn_unit_file *unit, evn_arena *arena)
{
    const evn_branch_file *branch = unit->branches.item;
    double *axle = evn_arena_take(arena, unit->branches.count * sizeof *axle);
    for (size_t b = 0; axle && b < unit->branches.count; b++)
        axle[b] = branch[b].axle;
    unit->axles = (evn_list){axle, unit->branches.count};
    return axle;
}

static bool write_axle(evn_unit_file *unit, double number, evn_arena *arena)
{
    double *axle = evn_copied(&number, sizeof number, arena);
    unit->axles = (evn_list){axle, 1};
    return axle;
}

/* Those of the unit that drives the same axle in the other truck; between axles only where there are several. */
static void write_locks(const moving *m, evn_unit_file *unit)
{
    const evn_unit_file *from = m->axles_of->drive_units.item;
    size_t k = 0;
    while (k + 1 < m->wanted.count && m->wanted.at[k].axle != unit->axles.at[0])
        k++;
    from += m->wanted.at[k].unit;
    unit->axle_differential_lock = from->axle_differential_lock;
    unit->locks_below_km_h = from->locks_below_km_h;
    unit->inter_axle_lock = from->inter_axle_lock && unit->branches.count > 0;
}

/* The branch of the other truck that stands at a place among its driven axles. NULL: no branch. */
static const evn_branch_file *branch_there(const moving *m, size_t place)
{
    const evn_driven *is = &m->wanted.at[place];
    const evn_unit_file *from = (const evn_unit_file *)m->axles_of->drive_units.item + is->unit;
    return is->branch == EVN_WITHOUT_BRANCH ? NULL : (const evn_branch_file *)from->branches.item + is->branch;
}

/* ------------------------------------------------------------------------------------------------ as many */

static bool change_places(moving *m)
{
    bool all = true;
    for (size_t k = 0; all && k < m->own.count; k++) {
        const evn_driven *is = &m->own.at[k];
        evn_unit_file *unit = &m->unit[is->unit];
        if (is->branch == EVN_WITHOUT_BRANCH) {
            all = write_axle(unit, m->wanted.at[k].axle, m->arena);
            continue;
        }
        evn_branch_file *branch = evn_copied(unit->branches.item, unit->branches.count * sizeof *branch, m->arena);
        const evn_branch_file *there = branch_there(m, k);
        all = branch;
        if (branch) {
            branch[is->branch].axle = m->wanted.at[k].axle;
            branch[is->branch].torque_share = there ? there->torque_share : branch[is->branch].torque_share;
            unit->branches.item = branch;
            all = write_axles(unit, m->arena);
        }
    }
    return all;
}

/* ------------------------------------------------------------------------------------------------ more */

static double fallback_share(void)
{
    const evn_object *branch = evn_field_named(&evn_unit_object, "branches", strlen("branches"))->of;
    return evn_field_named(branch, "torque_share", strlen("torque_share"))->fallback;
}

/* What of the other's branch only that axle's torque passes: its through-drive. Empty where it has none. */
static evn_stretch through_drive(const moving *m, size_t place)
{
    const evn_branch_file *there = branch_there(m, place);
    if (!there)
        return (evn_stretch){0};
    size_t end = evn_axle_drive_at(&there->path);
    return (evn_stretch){&there->path, 0, end, true};
}

static bool add_branch(moving *m, const evn_steps *axle_drive, size_t place, evn_branch_file *out)
{
    const evn_branch_file *there = branch_there(m, place);
    evn_stretch stretch[] = {through_drive(m, place), {axle_drive, 0, axle_drive->count, place > 0}};
    *out = (evn_branch_file){.axle = m->wanted.at[place].axle,
                             .torque_share = there ? there->torque_share : fallback_share()};
    return evn_steps_join(stretch, 2, m->arena, &out->path);
}

/* Branches take the names of the other's axles. */
static bool write_branches(moving *m, const evn_steps *axle_drive)
{
    size_t count = m->wanted.count;
    evn_unit_file *unit = &m->unit[0];
    evn_branch_file *branch = evn_arena_take(m->arena, count * sizeof *branch);
    const char **name = evn_arena_take(m->arena, count * sizeof *name);
    bool all = branch && name;
    for (size_t k = 0; all && k < count; k++) {
        size_t axle = (size_t)m->wanted.at[k].axle - 1;
        name[k] = m->axles_of->axles.name[axle < m->axles_of->axles.count ? axle : 0];
        all = add_branch(m, axle_drive, k, &branch[k]);
    }
    unit->branches = (evn_many){name, branch, count};
    return all && write_axles(unit, m->arena);
}

/* Of a unit that drives one axle, or several: the drive of its first axle is what all get, for a through-drive and its
 * disconnects stand in the paths of those behind it. */
static bool drive_more(moving *m)
{
    const evn_unit_file *unit = &m->unit[0];
    if (m->count > 1 || m->wanted.count > EVN_BRANCHES_MAX) {
        m->reason = m->count > 1 ? twice : "more driven axles than a unit can have branches";
        return false;
    }
    const evn_steps *own = evn_driven_path(m->unit, &m->own.at[0]);
    size_t at = evn_axle_drive_at(own);
    evn_steps before = {0}, axle_drive;
    bool branched = unit->branches.count > 0;
    if (!evn_steps_join(&(evn_stretch){own, at, own->count, false}, 1, m->arena, &axle_drive) ||
        (!branched && !evn_steps_join(&(evn_stretch){own, 0, at, false}, 1, m->arena, &before)))
        return false;
    if (!branched)
        m->unit[0].path = before;
    return write_branches(m, &axle_drive);
}

/* ------------------------------------------------------------------------------------------------ fewer */

/* The first of those of its own that the other drives too, else the first of all. */
static void choose_kept(const moving *m, bool kept[EVN_DRIVEN_MOST])
{
    size_t count = 0;
    for (int any = 0; any <= 1; any++)
        for (size_t k = 0; k < m->own.count && count < m->wanted.count; k++) {
            bool there = any;
            for (size_t i = 0; i < m->wanted.count; i++)
                there = there || m->wanted.at[i].axle == m->own.at[k].axle;
            if (there && !kept[k]) {
                kept[k] = true;
                count++;
            }
        }
}

/* A unit with one branch left: that is its path. */
static bool drop_branches(moving *m, size_t u, const bool kept[EVN_DRIVEN_MOST])
{
    evn_unit_file *unit = &m->unit[u];
    const evn_branch_file *from = unit->branches.item;
    evn_branch_file *branch = evn_arena_take(m->arena, unit->branches.count * sizeof *branch);
    const char **name = evn_arena_take(m->arena, unit->branches.count * sizeof *name);
    size_t count = 0;
    for (size_t k = 0; branch && name && k < m->own.count; k++)
        if (kept[k] && m->own.at[k].unit == u) {
            name[count] = unit->branches.name[m->own.at[k].branch];
            branch[count++] = from[m->own.at[k].branch];
        }
    if (!branch || !name)
        return false;
    if (count == 1) {
        evn_stretch stretch[] = {{&unit->path, 0, unit->path.count, false},
                                 {&branch[0].path, 0, branch[0].path.count, true}};
        unit->branches = (evn_many){0};
        return evn_steps_join(stretch, 2, m->arena, &unit->path) && write_axle(unit, branch[0].axle, m->arena);
    }
    unit->branches = (evn_many){name, branch, count};
    return write_axles(unit, m->arena);
}

/* All motors of a unit, behind those of another. */
static bool add_motors(evn_unit_file *to, const evn_unit_file *from, evn_arena *arena)
{
    size_t own = to->motors.count, count = own + from->motors.count;
    evn_motor_file *motor = evn_arena_take(arena, count * sizeof *motor);
    const char **name = evn_arena_take(arena, count * sizeof *name);
    if (!motor || !name)
        return false;
    memcpy(motor, to->motors.item, own * sizeof *motor);
    memcpy(motor + own, from->motors.item, from->motors.count * sizeof *motor);
    for (size_t k = 0; k < count; k++)
        name[k] = k < own ? to->motors.name[k] : from->motors.name[k - own];
    to->motors = (evn_many){name, motor, count};
    return true;
}

static bool unit_is_kept(const moving *m, size_t u, const bool kept[EVN_DRIVEN_MOST])
{
    for (size_t k = 0; k < m->own.count; k++)
        if (kept[k] && m->own.at[k].unit == u)
            return true;
    return false;
}

/* Units without an axle give their motors, one after another, to those that have one. */
static bool drop_units(moving *m, const bool kept[EVN_DRIVEN_MOST])
{
    size_t count = 0, next = 0;
    evn_unit_file lost[EVN_UNITS_MAX];
    size_t lost_count = 0;
    bool all = true;
    for (size_t u = 0; u < m->count; u++)
        if (unit_is_kept(m, u, kept))
            m->unit[count++] = m->unit[u];
        else
            lost[lost_count++] = m->unit[u];
    for (size_t k = 0; all && k < lost_count; k++) {
        evn_unit_file *to = &m->unit[next++ % count];
        if (to->motors.count + lost[k].motors.count > EVN_MOTORS_MAX) {
            m->reason = "more motors than a drive unit can have";
            return false;
        }
        all = add_motors(to, &lost[k], m->arena);
    }
    m->count = count;
    return all;
}

static bool drive_fewer(moving *m)
{
    bool kept[EVN_DRIVEN_MOST] = {false}, all = true;
    choose_kept(m, kept);
    for (size_t u = 0; all && u < m->count; u++)
        if (m->unit[u].branches.count > 0 && unit_is_kept(m, u, kept))
            all = drop_branches(m, u, kept);
    if (!all || !drop_units(m, kept))
        return false;
    m->own = evn_driven_axles_of(m->unit, m->count);
    return change_places(m);
}

/* ------------------------------------------------------------------------------------------------ the call */

evn_unit_file *evn_units_on_axles(const evn_truck_file *units_of, const evn_truck_file *axles_of, evn_arena *arena,
                                  size_t *count, const char **reason)
{
    const evn_many *of = &units_of->drive_units;
    moving m = {.arena = arena, .axles_of = axles_of, .count = of->count};
    *reason = NULL;
    *count = of->count;
    m.unit = evn_copied(of->item, of->count * sizeof *m.unit, arena);
    if (!m.unit || units_of == axles_of)
        return m.unit;
    m.own = evn_driven_axles_of(m.unit, m.count);
    m.wanted = evn_driven_axles_of(axles_of->drive_units.item, axles_of->drive_units.count);
    bool made = m.wanted.count == m.own.count  ? change_places(&m)
                : m.wanted.count > m.own.count ? drive_more(&m)
                                               : drive_fewer(&m);
    for (size_t u = 0; made && u < m.count; u++)
        write_locks(&m, &m.unit[u]);
    *count = m.count;
    *reason = m.reason;
    return made ? m.unit : NULL;
}
