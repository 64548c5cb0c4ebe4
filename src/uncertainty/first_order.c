/* Slopes, second differences and shares of the variance (JCGM 100:2008, 5.1.2 and 5.1.3, from memory). */
#include "uncertainty/first_order.h"
#include <math.h>
#include <stdlib.h>

/* A second difference of this share of the slope bends, ... */
#define BENDS_FROM 0.2
/* ... where it is more than this share of the standard uncertainty of the difference: less is noise of the runs. */
#define MATTERS_FROM 0.01

/* ------------------------------------------------------------------------------------------------ slopes */

/* Of a case against the trucks in the middle of their ranges; NAN: stopped, or one of the two did not finish. */
static double shift_of(const evn_singles *of, const evn_measure *m, const evn_case *c, size_t truck, size_t other)
{
    double moved = evn_measured(m, c->value[truck], c->value[other]);
    return c->done ? moved - evn_measured(m, of->middle[truck], of->middle[other]) : (double)NAN;
}

/* False: neither side is there. */
static bool slope_of(size_t datum, double above, double below, evn_share *out)
{
    *out = (evn_share){.datum = datum, .slope_percent = (above - below) / 2, .second_percent = (above + below) / 2};
    if (isnan(above) || isnan(below))
        out->slope_percent = isnan(below) ? above : -below;
    return !isnan(out->slope_percent);
}

size_t evn_slopes(const evn_singles *of, const evn_measure *m, size_t truck, size_t other, evn_share *out)
{
    size_t count = 0;
    for (size_t d = 0; d < of->data; d++) {
        const evn_case *up = &of->single[2 * d], *down = up + 1;
        count += slope_of(d, shift_of(of, m, up, truck, other), shift_of(of, m, down, truck, other), &out[count]);
    }
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

void evn_shares(evn_share *s, size_t count)
{
    double variance = 0;
    for (size_t k = 0; k < count; k++)
        variance += s[k].slope_percent * s[k].slope_percent;
    for (size_t k = 0; k < count; k++) {
        s[k].share = variance > 0 ? s[k].slope_percent * s[k].slope_percent / variance : 0;
        s[k].bends = bends(&s[k], sqrt(variance));
    }
    qsort(s, count, sizeof *s, by_share);
}

void evn_halves(evn_share *s, size_t count, const evn_sureness *told)
{
    for (size_t k = 0; k < count; k++) {
        double left = sqrt(1 - 0.75 * s[k].share); /* of the standard uncertainty: a quarter of the variance stays */
        s[k].half_low_percent =
            told ? told->mean_percent + left * (told->low_percent - told->mean_percent) : (double)NAN;
        s[k].half_high_percent =
            told ? told->mean_percent + left * (told->high_percent - told->mean_percent) : (double)NAN;
    }
}
