/*
 * A table of two axes: at each value of the one a curve over the other (curve.h), and between those the same kind of
 * curve again, through what they are at the place that is asked for. So it goes through every value, has no jump, no
 * bend along the second axis, and lies everywhere within the four values around: a factor stays above zero, and a share
 * that is 0 on two sides is 0 between. A bilinear surface would lie so too, and would bend at each line; a bicubic
 * patch with slopes at its corners may overshoot within. Beyond its ends the end values hold.
 */
#ifndef EVENER_CORE_GRID_H
#define EVENER_CORE_GRID_H
#include "core/curve.h"

enum { EVN_GRID_ROWS_MAX = 16 };

typedef struct evn_grid {
    size_t rows;                      /* 1 to EVN_GRID_ROWS_MAX */
    double at[EVN_GRID_ROWS_MAX];     /* of each row, on the second axis; rising strictly */
    evn_curve row[EVN_GRID_ROWS_MAX]; /* over the first axis */
} evn_grid;

/* `value` row by row. Without a first axis, x NULL and columns 0, each row is one value. */
void evn_grid_make(evn_grid *, const double *at, size_t rows, const double *x, size_t columns, const double *value);
double evn_grid_at(const evn_grid *, double x, double at);

#endif
