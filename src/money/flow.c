/* Net present value, rates of return and payback of cash flows by year. */
#include "money/flow.h"
#include "core/root.h"
#include <float.h>
#include <math.h>

double evn_net_present_value(const double *flow, size_t count, double rate)
{
    double sum = 0;
    for (size_t k = 0; k < count; k++)
        sum += flow[k] * evn_factor_pf(rate, (unsigned)k);
    return sum;
}

double evn_equivalent_annual(const double *flow, size_t count, double rate)
{
    return evn_net_present_value(flow, count, rate) * evn_factor_ap(rate, (unsigned)count - 1);
}

/* ------------------------------------------------------------------------------------------------ rates of return */

/* The net present value is a polynomial in x = 1 / (1 + rate). */
typedef struct polynomial {
    double of[EVN_FLOW_MOST]; /* [k] of x^k */
    size_t count;
} polynomial;

static double value_at(void *self, double x)
{
    const polynomial *p = self;
    double sum = 0;
    for (size_t k = p->count; k-- > 0;)
        sum = sum * x + p->of[k];
    return sum;
}

/* Its sign at a place; 0 where what is left of its terms is no more than their rounding. */
static int sign_at(const polynomial *p, double x)
{
    double sum = 0, size = 0;
    for (size_t k = p->count; k-- > 0;) {
        sum = sum * x + p->of[k];
        size = size * x + fabs(p->of[k]);
    }
    if (fabs(sum) <= 4 * DBL_EPSILON * (double)p->count * size)
        return 0;
    return sum > 0 ? 1 : -1;
}

/* Divided by its largest term, so that no derivative of a high degree overflows. */
static polynomial derivative_of(const polynomial *p)
{
    polynomial d = {.count = p->count - 1};
    double largest = 0;
    for (size_t k = 0; k < d.count; k++) {
        d.of[k] = (double)(k + 1) * p->of[k + 1];
        largest = fmax(largest, fabs(d.of[k]));
    }
    for (size_t k = 0; largest > 0 && k < d.count; k++)
        d.of[k] /= largest;
    return d;
}

typedef struct places {
    double at[EVN_FLOW_MOST + 1]; /* rising */
    bool touches[EVN_FLOW_MOST + 1];
    size_t count;
} places;

static void put(places *found, double x, bool touches)
{
    if (found->count > 0 && found->at[found->count - 1] >= x)
        return;
    found->at[found->count] = x;
    found->touches[found->count++] = touches;
}

/*
 * Zeros in ]0, 1] from those of the derivative: between two neighbours of these the polynomial rises or falls all the
 * way, so that signs at both tell whether there is one.
 */
static places zeros_between(const polynomial *p, const places *bends)
{
    static const evn_between how = {0, 1e-16, 400};
    places found = {.count = 0};
    double low = 0;
    int below = sign_at(p, 0), last = below;
    for (size_t k = 0; k <= bends->count; k++) {
        double high = k < bends->count ? bends->at[k] : 1;
        int above = sign_at(p, high);
        polynomial asked = *p;
        if (below * above < 0)
            put(&found,
                evn_root_between(value_at, &asked, (evn_known){low, value_at(&asked, low)},
                                 (evn_known){high, value_at(&asked, high)}, &how)
                    .x,
                false);
        if (above == 0) {
            double next_place = k + 1 < bends->count ? bends->at[k + 1] : 1;
            put(&found, high, high < 1 && sign_at(p, next_place) * last > 0);
        }
        last = above == 0 ? last : above;
        below = above;
        low = high;
    }
    return found;
}

/* All in ]0, 1]; the first term is not 0. From the straight line of its highest derivatives down to itself. */
static places zeros_of(const polynomial *p)
{
    polynomial chain[EVN_FLOW_MOST];
    size_t length = 1;
    chain[0] = *p;
    while (chain[length - 1].count > 2) {
        chain[length] = derivative_of(&chain[length - 1]);
        length++;
    }
    places found = {.count = 0};
    while (length-- > 0)
        found = zeros_between(&chain[length], &found);
    return found;
}

static polynomial turned(const polynomial *p)
{
    polynomial t = {.count = p->count};
    for (size_t k = 0; k < p->count; k++)
        t.of[k] = p->of[p->count - 1 - k];
    return t;
}

/* Where the two halves meet: a zero at which the signs a hair to both sides are the same. */
static bool touches_at_1(const polynomial *p)
{
    static const double hair = 1e-5;
    return sign_at(p, 1 - hair) * sign_at(p, 1 + hair) > 0;
}

/* Without years of nothing at both ends, which no rate of return hangs on, and with terms of at most 1. */
static polynomial polynomial_of(const double *flow, size_t count)
{
    polynomial p = {.count = 0};
    double largest = 0;
    while (count > 0 && flow[count - 1] == 0)
        count--;
    while (count > 0 && flow[0] == 0) {
        flow++;
        count--;
    }
    for (size_t k = 0; k < count; k++)
        largest = fmax(largest, fabs(flow[k]));
    for (size_t k = 0; k < count; k++)
        p.of[k] = flow[k] / largest;
    p.count = count;
    return p;
}

evn_rates_of_return evn_rates_of_return_of(const double *flow, size_t count)
{
    evn_rates_of_return out = {.count = 0};
    polynomial p = polynomial_of(flow, count);
    if (p.count < 2)
        return out;
    polynomial back = turned(&p); /* in 1 + rate: for rates below 0, where x is above 1 */
    places negative = zeros_of(&back), others = zeros_of(&p);
    for (size_t k = 0; k < negative.count && out.count < EVN_MONEY_YEARS_MOST; k++)
        if (negative.at[k] < 1) {
            out.touches[out.count] = negative.touches[k];
            out.rate[out.count++] = negative.at[k] - 1;
        }
    for (size_t k = others.count; k-- > 0 && out.count < EVN_MONEY_YEARS_MOST;) {
        out.touches[out.count] = others.at[k] < 1 ? others.touches[k] : touches_at_1(&p);
        out.rate[out.count++] = (1 - others.at[k]) / others.at[k];
    }
    return out;
}

size_t evn_flow_sign_changes(const double *flow, size_t count)
{
    size_t changes = 0;
    double last = 0;
    for (size_t k = 0; k < count; k++) {
        changes += last * flow[k] < 0;
        last = flow[k] != 0 ? (flow[k] > 0 ? 1 : -1) : last;
    }
    return changes;
}

/* ------------------------------------------------------------------------------------------------ payback */

/* Nothing was laid out and nothing is saved. */
static bool is_nothing(const double *flow, size_t count)
{
    for (size_t k = 0; k < count; k++)
        if (flow[k] != 0)
            return false;
    return true;
}

evn_paid_back evn_paid_back_of(const double *flow, size_t count, double rate)
{
    evn_paid_back out = {(double)NAN, (double)NAN};
    double sum = 0;
    if (is_nothing(flow, count))
        return out;
    for (size_t k = 0; k < count; k++) {
        double before = sum;
        sum += flow[k] * evn_factor_pf(rate, (unsigned)k);
        if (sum < 0)
            out.years = (double)NAN;
        else if (k == 0)
            out.years = 0;
        else if (before < 0)
            out.years = (double)(k - 1) + before / (before - sum);
        if (isnan(out.first_years))
            out.first_years = out.years;
    }
    return out;
}
