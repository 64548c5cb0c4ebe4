/* Filling bays with modules, and what the axles carry of them. */
#include "site/room.h"
#include <math.h>
#include <stdlib.h>
#include <string.h>

evn_room evn_room_of(const evn_box_file *b)
{
    return (evn_room){
        {b->behind_m - b->length_m / 2, b->across_m - b->width_m / 2, b->bottom_over_axles_m},
        {b->behind_m + b->length_m / 2, b->across_m + b->width_m / 2, b->bottom_over_axles_m + b->height_m}};
}

bool evn_rooms_meet(const evn_room *a, const evn_room *b)
{
    /* Faces that were written as touching share no room. */
    static const double HAIR_M = 1e-9;
    bool meet = true;
    for (int axis = 0; axis < 3; axis++)
        meet = meet && a->low[axis] < b->high[axis] - HAIR_M && b->low[axis] < a->high[axis] - HAIR_M;
    return meet;
}

/* ------------------------------------------------------------------------------------------------ one piece */

/* Along, across and upright, by length, width and height of a module; the first two are upright. */
static const int ways[6][3] = {{0, 1, 2}, {1, 0, 2}, {0, 2, 1}, {2, 0, 1}, {1, 2, 0}, {2, 1, 0}};

static size_t whole(double room_m, double size_m)
{
    static const double HAIR = 1e-9; /* a room that was written as so many sizes holds as many */
    return room_m > 0 ? (size_t)floor(room_m / size_m + HAIR) : 0;
}

static evn_stack best_stack(const evn_room *r, const evn_module_file *m)
{
    const double size[3] = {m->length_m, m->width_m, m->height_m};
    evn_stack best = {.from_m = r->low[0], .to_m = r->high[0], .length_m = m->length_m};
    for (int k = 0; k < (m->stands == EVN_MODULE_ANY_WAY ? 6 : 2); k++) {
        size_t along = whole(r->high[0] - r->low[0], size[ways[k][0]]);
        size_t in_row =
            whole(r->high[1] - r->low[1], size[ways[k][1]]) * whole(r->high[2] - r->low[2], size[ways[k][2]]);
        if (along * in_row > best.along * best.in_row) {
            best.along = along;
            best.in_row = in_row;
            best.length_m = size[ways[k][0]];
        }
    }
    return best;
}

/* ------------------------------------------------------------------------------------------------ pieces of a bay */

typedef struct obstacles {
    const evn_room *at;
    size_t count;
    const evn_module_file *module;
    size_t cuts_left; /* that are tried in all orders */
} obstacles;

/* Four obstacles that reach into each other need some thousand. */
enum { CUTS_MOST = 20000 };

static void join(evn_filling *to, const evn_filling *from)
{
    for (size_t k = 0; k < from->count && to->count < EVN_STACKS_MOST; k++) {
        to->stack[to->count++] = from->stack[k];
        to->modules += from->stack[k].along * from->stack[k].in_row;
    }
}

static void fill(const evn_room *room, obstacles *o, size_t next, evn_filling *to);

/* What is left of a room beside an obstacle, cut along the axes in this order: each cut takes the whole of what is
 * left. */
static void fill_beside(const evn_room *room, obstacles *o, size_t at, const int order[3], evn_filling *to)
{
    evn_room left = *room;
    to->count = to->modules = 0;
    for (int k = 0; k < 3; k++) {
        int axis = order[k];
        evn_room before = left, behind = left;
        evn_filling part;
        before.high[axis] = fmin(left.high[axis], o->at[at].low[axis]);
        behind.low[axis] = fmax(left.low[axis], o->at[at].high[axis]);
        fill(&before, o, at + 1, &part);
        join(to, &part);
        fill(&behind, o, at + 1, &part);
        join(to, &part);
        left.low[axis] = fmax(left.low[axis], o->at[at].low[axis]);
        left.high[axis] = fmin(left.high[axis], o->at[at].high[axis]);
    }
}

static void fill(const evn_room *room, obstacles *o, size_t next, evn_filling *to)
{
    evn_stack whole_room = best_stack(room, o->module);
    to->count = to->modules = 0;
    if (whole_room.along * whole_room.in_row == 0)
        return;
    while (next < o->count && !evn_rooms_meet(room, &o->at[next]))
        next++;
    if (next == o->count) {
        to->stack[to->count++] = whole_room;
        to->modules = whole_room.along * whole_room.in_row;
        return;
    }
    for (int k = 0; k < 6 && (k == 0 || o->cuts_left > 0); k++) {
        evn_filling other;
        o->cuts_left -= o->cuts_left > 0;
        fill_beside(room, o, next, ways[k], &other);
        if (other.modules > to->modules)
            *to = other;
    }
}

void evn_room_fill(const evn_room *bay, const evn_room *obstacle, size_t count, const evn_module_file *module,
                   evn_filling *to)
{
    obstacles o = {obstacle, count, module, CUTS_MOST};
    fill(bay, &o, 0, to);
}

/* ------------------------------------------------------------------------------------------------ places */

static int rising(const void *a, const void *b)
{
    double left = *(const double *)a, right = *(const double *)b;
    return (left > right) - (left < right);
}

/* Sums of places from the front on, or from the rear on, rows pushed there within their piece. */
static void put_sums(const evn_stacks *f, bool from_rear, double *sum)
{
    size_t count = 0;
    for (size_t k = 0; k < f->count; k++) {
        const evn_stack *s = &f->at[k];
        for (size_t i = 0; i < s->along; i++)
            for (size_t n = 0; n < s->in_row; n++)
                sum[++count] = from_rear ? -(s->to_m - ((double)i + 0.5) * s->length_m)
                                         : s->from_m + ((double)i + 0.5) * s->length_m;
    }
    qsort(sum + 1, count, sizeof *sum, rising);
    sum[0] = 0;
    for (size_t k = 1; k <= count; k++)
        sum[k] += sum[k - 1];
    for (size_t k = 1; k <= count && from_rear; k++)
        sum[k] = -sum[k];
}

void evn_stacks_sums_m(const evn_stacks *f, double *least, double *greatest)
{
    put_sums(f, false, least);
    put_sums(f, true, greatest);
}

/* ------------------------------------------------------------------------------------------------ carrying */

/* Of so many modules of a mass, between the least and the greatest sum of their places. */
typedef struct load {
    double kg, module_kg, least_m, most_m;
} load;

/* Whether they can stand so that no axle carries too much, and the middle of where they can; else the first axle that
 * leaves no place. */
static bool carried(load l, const evn_carrying *axle, size_t axles, size_t *binds, double *sum_m)
{
    /* Room for rounding: a load that is written as the permitted one is permitted. */
    static const double HAIR_KG = 1e-6;
    for (size_t k = 0; k < axles; k++) {
        if (isnan(axle[k].permitted_kg))
            continue;
        double spare_kg = axle[k].permitted_kg - axle[k].without_kg - axle[k].per_kg * l.kg;
        double by_m = axle[k].per_kg_m * l.module_kg;
        double at_least_kg = by_m > 0 ? by_m * l.least_m : by_m * l.most_m;
        if (at_least_kg > spare_kg + HAIR_KG) {
            *binds = k;
            return false;
        }
        if (by_m > 0)
            l.most_m = fmin(l.most_m, spare_kg / by_m);
        else if (by_m < 0)
            l.least_m = fmax(l.least_m, spare_kg / by_m);
    }
    *sum_m = (l.least_m + l.most_m) / 2;
    return true;
}

size_t evn_room_most_carried(const evn_stacks *f, const double *least_m, const double *greatest_m, double module_kg,
                             const evn_carrying *axle, size_t axles, double spare_kg, size_t *binds, double *sum_m)
{
    double by_mass = floor(fmax(spare_kg, 0) / module_kg + 1e-9);
    size_t most = by_mass < (double)f->modules ? (size_t)by_mass : f->modules;
    *binds = most < f->modules ? axles : axles + 1;
    *sum_m = 0;
    while (most > 0 && !carried((load){(double)most * module_kg, module_kg, least_m[most], greatest_m[most]}, axle,
                                axles, binds, sum_m))
        most--;
    return most;
}
