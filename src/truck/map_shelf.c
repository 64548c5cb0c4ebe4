/*
 * Maps that were made, each found again by all that it was made of: a number that was changed, by whomever, never finds
 * a map of before.
 */
#include "truck/map.h"
#include <string.h>

enum { PLACES = 8 }; /* trucks seldom have more different motors with maps; the oldest makes room */

typedef struct place {
    evn_arena *arena;        /* of this place alone; NULL: never used */
    evn_map_points points;   /* what the map was made of, ... */
    evn_map_machine machine; /* ... with the two of the map itself */
    const evn_map *map;      /* NULL: empty */
} place;

struct evn_map_shelf {
    evn_arena *arena;
    place place[PLACES];
    size_t next;
};

/* To the bit, so that what was not measured is the same as itself. */
static bool same_numbers(const double *a, const double *b, size_t count)
{
    return memcmp(a, b, count * sizeof *a) == 0;
}

static bool same_points(const evn_map_points *a, const evn_map_points *b)
{
    return a->voltages == b->voltages && a->speeds == b->speeds && a->torques == b->torques &&
           a->two_sided == b->two_sided && same_numbers(a->voltage_v, b->voltage_v, a->voltages) &&
           same_numbers(a->speed_rad_s, b->speed_rad_s, a->speeds) &&
           same_numbers(a->torque_nm, b->torque_nm, a->torques) &&
           same_numbers(a->loss_w, b->loss_w, a->voltages * a->speeds * a->torques);
}

static bool same_machine(const evn_map_machine *a, const evn_map_machine *b)
{
    return a->peak_nm == b->peak_nm && a->peak_w == b->peak_w && a->top_rad_s == b->top_rad_s &&
           a->reference_v == b->reference_v;
}

static const evn_map *find(const evn_map_file *f, const evn_map_points *read, const evn_map_machine *machine)
{
    for (size_t k = 0; f->shelf && k < PLACES; k++) {
        const place *p = &f->shelf->place[k];
        if (p->map && p->map->includes_inverter == f->includes_inverter && p->map->winding_degc == f->winding_degc &&
            same_machine(&p->machine, machine) && same_points(&p->points, read))
            return p->map;
    }
    return NULL;
}

/* The next place, emptied; NULL when memory ran out. */
static place *next_place(evn_map_shelf *shelf)
{
    place *p = &shelf->place[shelf->next];
    p->map = NULL;
    if (p->arena)
        evn_arena_clear(p->arena);
    else
        p->arena = evn_arena_within(shelf->arena);
    shelf->next = (shelf->next + 1) % PLACES;
    return p->arena ? p : NULL;
}

static const evn_map *put(const evn_map_file *f, const evn_map_machine *machine)
{
    place *p = next_place(f->shelf);
    if (!p || !evn_map_points_read(f, NULL, p->arena, &p->points, NULL))
        return NULL;
    p->machine = *machine;
    p->map = evn_map_make_of(&p->points, f, machine, p->arena);
    return p->map;
}

const evn_map *evn_map_keep(const evn_map_file *f, const evn_map_machine *machine, evn_arena *arena)
{
    evn_map_points read;
    if (!evn_map_points_read(f, NULL, arena, &read, NULL))
        return NULL;
    const evn_map *kept = find(f, &read, machine);
    if (kept)
        return kept;
    return f->shelf ? put(f, machine) : evn_map_make_of(&read, f, machine, arena);
}

const evn_map *evn_map_take(const evn_map_file *f, const evn_map_machine *machine, evn_arena *arena)
{
    evn_arena *scratch = evn_arena_new();
    evn_map_points read;
    const evn_map *taken = NULL;
    if (scratch && evn_map_points_read(f, NULL, scratch, &read, NULL)) {
        const evn_map *kept = find(f, &read, machine);
        taken = kept ? evn_map_copy(kept, arena) : evn_map_make_of(&read, f, machine, arena);
    }
    evn_arena_free(scratch);
    return taken;
}

/* ------------------------------------------------------------------------------------------------ a shelf's own */

static double *copy_numbers(const double *from, size_t count, evn_arena *arena)
{
    double *copy = evn_arena_take(arena, count * sizeof *copy);
    return copy ? memcpy(copy, from, count * sizeof *copy) : NULL;
}

/* False: memory ran out. */
static bool take_over(evn_map_shelf *shelf, const place *from)
{
    place *p = next_place(shelf);
    if (!p)
        return false;
    const evn_map_points *o = &from->points;
    p->machine = from->machine;
    p->points = *o;
    p->points.voltage_v = copy_numbers(o->voltage_v, o->voltages, p->arena);
    p->points.speed_rad_s = copy_numbers(o->speed_rad_s, o->speeds, p->arena);
    p->points.torque_nm = copy_numbers(o->torque_nm, o->torques, p->arena);
    p->points.loss_w = copy_numbers(o->loss_w, o->voltages * o->speeds * o->torques, p->arena);
    bool all = p->points.voltage_v && p->points.speed_rad_s && p->points.torque_nm && p->points.loss_w;
    p->map = all ? evn_map_copy(from->map, p->arena) : NULL;
    return p->map;
}

evn_map_shelf *evn_map_shelf_in(evn_arena *arena, const evn_map_shelf *from)
{
    static const char kind = 0;
    evn_map_shelf *shelf = evn_arena_only(arena, &kind, sizeof *shelf);
    bool is_new = shelf && !shelf->arena;
    if (!is_new)
        return shelf;
    shelf->arena = arena;
    for (size_t k = 0; from && k < PLACES; k++)
        if (from->place[k].map && !take_over(shelf, &from->place[k]))
            return NULL;
    return shelf;
}
