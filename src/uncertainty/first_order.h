/* First order: by how much each datum moves a difference, from cases one standard uncertainty up and down. */
#ifndef EVENER_UNCERTAINTY_FIRST_ORDER_H
#define EVENER_UNCERTAINTY_FIRST_ORDER_H
#include "uncertainty/cases.h"

/* What first order is found from, of one basis. */
typedef struct evn_singles {
    const evn_case *single; /* each datum up, then down */
    size_t data;
    const double *middle; /* of each truck with all data in the middle of their ranges, at the speed of the cases */
} evn_singles;

/* The difference of one truck against another, in per cent of the other's. */
double evn_percent_between(const double *value, size_t truck, size_t other);

/*
 * Fills slopes and second differences of all data that are known (in `out`, room for all; in the order of the data);
 * how many. Where one side could not be driven the slope is that of the other, and it counts as one that bends.
 */
size_t evn_slopes(const evn_singles *, size_t truck, size_t other, evn_share *out);

/*
 * Shares of the variance, what half of each datum's half width would do about `mean_percent` (NAN where `all` are
 * not there), and their order, the largest first. `slope` is room for as many.
 */
void evn_shares(evn_share *, size_t count, double mean_percent, bool all, double *slope);

#endif
