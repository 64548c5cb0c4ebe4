/* Averages over orders, by sets: each set stands for all orders in which its members come first. */
#include "causes/average.h"
#include <math.h>

static size_t members_of(size_t set)
{
    size_t count = 0;
    for (; set != 0; set &= set - 1)
        count++;
    return count;
}

double evn_share_of_orders(size_t before, size_t count)
{
    double share = 1.0 / (double)count;
    for (size_t k = 1; k <= before; k++) /* divided by (count - 1) over before */
        share *= (double)k / (double)(count - k);
    return share;
}

void evn_average_over_orders(const double *value, size_t count, double *part)
{
    for (size_t block = 0; block < count; block++) {
        size_t bit = (size_t)1 << block;
        part[block] = 0;
        for (size_t set = 0; set < (size_t)1 << count; set++)
            if (!(set & bit))
                part[block] += evn_share_of_orders(members_of(set), count) * (value[set | bit] - value[set]);
    }
}

void evn_range_over_orders(const double *value, size_t count, size_t block, double *least, double *most)
{
    size_t bit = (size_t)1 << block;
    *least = (double)INFINITY;
    *most = -(double)INFINITY;
    for (size_t set = 0; set < (size_t)1 << count; set++)
        if (!(set & bit)) {
            *least = fmin(*least, value[set | bit] - value[set]);
            *most = fmax(*most, value[set | bit] - value[set]);
        }
}
