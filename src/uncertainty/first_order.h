/* First order: by how much each datum moves a difference, from cases one standard uncertainty up and down. */
#ifndef EVENER_UNCERTAINTY_FIRST_ORDER_H
#define EVENER_UNCERTAINTY_FIRST_ORDER_H
#include "uncertainty/cases.h"
#include "uncertainty/measure.h"

/* What first order is found from, of one basis. */
typedef struct evn_singles {
    const evn_case *single; /* each datum up, then down */
    size_t data;
    const double *middle; /* of each truck with all data in the middle of their ranges, at the speed of the cases */
} evn_singles;

/*
 * Fills slopes and second differences, on the scale, of all data that are known (in `out`, room for all; in the order
 * of the data); how many. Where one side could not be driven the slope is that of the other, and it counts as one that
 * bends.
 */
size_t evn_slopes(const evn_singles *, const evn_measure *, size_t truck, size_t other, evn_share *out);

/* Shares of the variance, and their order, the largest first. */
void evn_shares(evn_share *, size_t count);

/*
 * What half of each datum's half width would do to the interval that is told, by draws or by first order: its ends come
 * nearer to the mean by what is then left of the standard uncertainty. NULL: none is told.
 */
void evn_halves(evn_share *, size_t count, const evn_sureness *told);

#endif
