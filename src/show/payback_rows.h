/* Which figures of what the dearer truck earns are told in tables, and how: rows that the media share. */
#ifndef EVENER_SHOW_PAYBACK_ROWS_H
#define EVENER_SHOW_PAYBACK_ROWS_H
#include "show/payback_story.h"

typedef struct evn_payback_row {
    const char *key, *label, *unit; /* unit: behind the currency where it is an amount */
    int digits;
    double times;
    bool money;
    const char *each; /* of several: the key before their numbers, `key` having how many there are; NULL: of one */
} evn_payback_row;

typedef enum evn_payback_group {
    EVN_PAYBACK_DEMANDS,        /* what the duty demands, and what each does */
    EVN_PAYBACK_COSTS,          /* what each is and costs */
    EVN_PAYBACK_PARTS,          /* cost per km by what it is for, together at the end */
    EVN_PAYBACK_PARTS_PER_T_KM, /* the same per tonne-kilometre; of no truck where nothing is carried */
    EVN_PAYBACK_AGAINST         /* of all but the first */
} evn_payback_group;

/* The index-th row of a group; NULL: no more. */
const evn_payback_row *evn_payback_row_at(evn_payback_group, size_t index);
/* Whether any truck has a figure of the group. */
bool evn_payback_group_there(const evn_payback_story *, evn_payback_basis, evn_payback_group);
/* The heading of a group. */
const char *evn_payback_group_title(evn_payback_group);

enum { EVN_PAYBACK_LABEL_BYTES = 120, EVN_PAYBACK_CELL_BYTES = 400 };
/* "net present value, EUR". */
void evn_payback_row_label(const evn_payback_story *, const evn_payback_row *, char out[EVN_PAYBACK_LABEL_BYTES]);
/* The figure with so many digits (look.h), "none" or "never"; of several the first, and how many more. False: the truck
 * has none of the kind. */
bool evn_payback_row_cell(const evn_payback_story *, size_t truck, evn_payback_basis, const evn_payback_row *,
                          int digits, char out[EVN_PAYBACK_CELL_BYTES]);

#endif
