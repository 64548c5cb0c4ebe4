/* A seat over a tree: places of values by dotted path. */
#ifndef EVENER_READ_SEAT_H
#define EVENER_READ_SEAT_H
#include "core/field.h"
#include "read/tree.h"

typedef struct evn_tree_seat {
    evn_seat seat; /* first: a pointer to it is a pointer to the whole */
    const evn_node *node;
} evn_tree_seat;

evn_tree_seat evn_seat_on(const evn_node *);

#endif
