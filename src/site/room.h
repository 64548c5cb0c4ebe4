/*
 * Room on the frame: how many battery modules a bay takes beside what reaches into it, and how many of them the axles
 * carry.
 */
#ifndef EVENER_SITE_ROOM_H
#define EVENER_SITE_ROOM_H
#include "truck/places.h"

/* Along, across and upright, from low to high. */
typedef struct evn_room {
    double low[3], high[3];
} evn_room;
evn_room evn_room_of(const evn_box_file *);
bool evn_rooms_meet(const evn_room *, const evn_room *);

/* Rows of modules in a piece of a bay that nothing reaches into: `along` rows of so many, each `length_m` long. */
typedef struct evn_stack {
    double from_m, to_m, length_m; /* of the piece, along the truck; of a row */
    size_t along, in_row;
} evn_stack;

enum { EVN_STACKS_MOST = 48 };
typedef struct evn_filling {
    evn_stack stack[EVN_STACKS_MOST];
    size_t count, modules;
} evn_filling;

/*
 * Whole modules in a bay beside what reaches into it. An obstacle cuts a bay into pieces before and behind it, left and
 * right, below and above, in the order that leaves most room; in a piece all modules stand alike, in the best of the
 * ways allowed. A bay that holds another takes at least as many, as long as all orders can be tried: of more obstacles
 * than any truck has only one order is.
 */
void evn_room_fill(const evn_room *bay, const evn_room *obstacle, size_t obstacles, const evn_module_file *,
                   evn_filling *to);

/* Stacks of all bays together. */
typedef struct evn_stacks {
    const evn_stack *at;
    size_t count, modules;
} evn_stacks;

/*
 * Least and greatest sum of the places of so many modules, from none to all: rows may stand anywhere along their piece.
 * Each has room for one more than there are modules.
 */
void evn_stacks_sums_m(const evn_stacks *, double *least, double *greatest);

/* What an axle carries without battery, with each kg of battery at the front axle, and with each kg m behind it. */
typedef struct evn_carrying {
    double without_kg, per_kg, per_kg_m, permitted_kg; /* permitted NAN: not stated */
} evn_carrying;

/*
 * The most modules that all axles carry and the gross mass allows, by their number and the sum of their places.
 * `binds`: the axle that would carry too much with one more; `axles`: the gross mass; beyond: room. `sum_m`: of the
 * places that they may have, the middle.
 */
size_t evn_room_most_carried(const evn_stacks *, const double *least_m, const double *greatest_m, double module_kg,
                             const evn_carrying *, size_t axles, double spare_kg, size_t *binds, double *sum_m);

#endif
