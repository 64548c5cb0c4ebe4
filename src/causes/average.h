/* Parts of a difference between nothing and all exchanged, by the values of all that can be exchanged at once. */
#ifndef EVENER_CAUSES_AVERAGE_H
#define EVENER_CAUSES_AVERAGE_H
#include <stddef.h>

/*
 * The average, over all orders in which `count` blocks can be exchanged one after another, of what the exchange of each
 * changes: the sum over all sets S without it of |S|! (count - |S| - 1)! / count! (value of S with it less that of S)
 * (L. S. Shapley, "A value for n-person games", Contributions to the Theory of Games II, Princeton 1953). Bit i of the
 * place of a value: block i is exchanged.
 */
void evn_average_over_orders(const double *value, size_t count, double *part);

/* |S|! (count - |S| - 1)! / count! of |S| = before: the share of all orders in which just a given set of `before`
 * blocks comes before another one. */
double evn_share_of_orders(size_t before, size_t count);

/* The least and the most that the exchange of one block changes, whatever is exchanged beside it. */
void evn_range_over_orders(const double *value, size_t count, size_t block, double *least, double *most);

#endif
