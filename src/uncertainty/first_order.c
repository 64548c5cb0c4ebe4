/* Slopes, second differences and shares of the variance (JCGM 100:2008, 5.1.2 and 5.1.3, from memory). */
#include "uncertainty/first_order.h"
#include "uncertainty/spread.h"
#include <math.h>
#include <stdlib.h>

/* A second difference of this share of the slope bends, ... */
#define BENDS_FROM 0.2
/* ... where it is more than this share of the standard uncertainty of the difference: less is noise of the runs. */
#define MATTERS_FROM 0.01

double evn_percent_between(const double *value, size_t truck, size_t other)
{
    return truck == other ? 0 : 100 * (value[truck] - value[other]) / fabs(value[other]);
}

/* ------------------------------------------------------------------------------------------------ slopes */

static bool is_done(const evn_case *c) { return c->end == EVN_CASE_DONE; }

/* False: neither side is there. */
static bool slope_of(const evn_singles *of, size_t datum, size_t truck, size_t other, evn_share *out)
{
    const evn_case *up = &of->single[2 * datum], *down = up + 1;
    double middle = evn_percent_between(of->middle, truck, other);
    double above = evn_percent_between(up->value, truck, other) - middle,
           below = evn_percent_between(down->value, truck, other) - middle;
    *out = (evn_share){.datum = datum, .slope_percent = (above - below) / 2, .second_percent = (above + below) / 2};
    if (is_done(up) && is_done(down))
        return true;
    out->slope_percent = is_done(up) ? above : -below;
    out->second_percent = (double)NAN;
    return is_done(up) || is_done(down);
}

size_t evn_slopes(const evn_singles *of, size_t truck, size_t other, evn_share *out)
{
    size_t count = 0;
    for (size_t d = 0; d < of->data; d++)
        count += slope_of(of, d, truck, other, &out[count]);
    return count;
}

/* ------------------------------------------------------------------------------------------------ shares */

static int by_share(const void *a, const void *b)
{
    const evn_share *x = a, *y = b;
    if (x->share != y->share)
        return x->share > y->share ? -1 : 1;
    return (x->datum > y->datum) - (x->datum < y->datum);
}

static bool bends(const evn_share *s, double standard_percent)
{
    double second = fabs(s->second_percent);
    return isnan(second) || (second >= BENDS_FROM * fabs(s->slope_percent) && second > MATTERS_FROM * standard_percent);
}

/* The interval with half of one datum's half width. */
static void halve(evn_share *s, size_t count, size_t k, double mean_percent, double *slope)
{
    evn_sureness half;
    for (size_t i = 0; i < count; i++)
        slope[i] = s[i].slope_percent / (i == k ? 2 : 1);
    evn_spread_of_slopes(mean_percent, slope, count, &half);
    s[k].half_low_percent = half.low_percent;
    s[k].half_high_percent = half.high_percent;
}

void evn_shares(evn_share *s, size_t count, double mean_percent, bool all, double *slope)
{
    double variance = 0;
    for (size_t k = 0; k < count; k++)
        variance += s[k].slope_percent * s[k].slope_percent;
    for (size_t k = 0; k < count; k++) {
        s[k].share = variance > 0 ? s[k].slope_percent * s[k].slope_percent / variance : 0;
        s[k].bends = bends(&s[k], sqrt(variance));
        s[k].half_low_percent = s[k].half_high_percent = (double)NAN;
        if (all)
            halve(s, count, k, mean_percent, slope);
    }
    qsort(s, count, sizeof *s, by_share);
}
