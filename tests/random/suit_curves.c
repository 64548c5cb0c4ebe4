/* Lists that belong together. */
#include "suit_curves.h"
#include <stdlib.h>

void lot_axis(dice *d, double *at, size_t count, double low, double high)
{
    double step = count > 1 ? (high - low) / (double)(count - 1) : 0;
    for (size_t k = 0; k < count; k++)
        at[k] = low + step * (double)k;
    for (size_t k = 1; k + 1 < count; k++)
        at[k] += step * dice_between(d, -0.35, 0.35);
}

static int rising(const void *a, const void *b)
{
    double x = *(const double *)a, y = *(const double *)b;
    return (x > y) - (x < y);
}

static int falling(const void *a, const void *b) { return rising(b, a); }

void lot_curve(inventor *i, draft *map, const char *axis, double from, double to, const char *value, double low,
               double high, slope how, size_t count)
{
    double x[AXIS_MOST], y[AXIS_MOST];
    lot_axis(&i->dice, x, count, from, to);
    for (size_t k = 0; k < count; k++)
        y[k] = dice_spread(&i->dice, low, high);
    if (how != SLOPE_ANY)
        qsort(y, count, sizeof *y, how == SLOPE_RISES ? rising : falling);
    draft_put_list(i->arena, map, axis, x, count);
    draft_put_list(i->arena, map, value, y, count);
}
