/* What numbers of draws tell, and what slopes tell. */
#include "uncertainty/spread.h"
#include "uncertainty/shape.h"
#include <math.h>
#include <stdlib.h>

static const double ROOT_HALF = 0.70710678118654752440; /* sqrt(1/2) */
/* Standard errors of sampling within which a value lies 95 times in 100: Student's t for four groups, which have three
 * degrees of freedom (JCGM 100:2008, table G.2, from memory). */
static const double TURNS_WITHIN = 3.182;

evn_apart evn_apart_by(double low_percent, double high_percent)
{
    return high_percent < 0 ? EVN_IS_LOWER : low_percent > 0 ? EVN_IS_HIGHER : EVN_CANNOT_BE_TOLD_APART;
}

double evn_spread_quantile(const double *sorted, size_t count, double p)
{
    double place = p * (double)count - 0.5;
    if (!(place > 0))
        return sorted[0];
    size_t below = (size_t)place;
    if (below + 1 >= count)
        return sorted[count - 1];
    return sorted[below] + (place - (double)below) * (sorted[below + 1] - sorted[below]);
}

double evn_spread_below(const double *sorted, size_t count, double x)
{
    size_t less = 0;
    while (less < count && sorted[less] < x)
        less++;
    size_t upto = less;
    while (upto < count && sorted[upto] == x)
        upto++;
    if (upto > less)
        return 0.5 * (double)(less + upto) / (double)count; /* in the middle of its equals */
    double beyond = less > 0 && less < count ? (x - sorted[less - 1]) / (sorted[less] - sorted[less - 1]) : 0;
    return fmin(fmax((double)less - 0.5 + beyond, 0.5), (double)count - 0.5) / (double)count;
}

static int by_size(const void *a, const void *b)
{
    double x = *(const double *)a, y = *(const double *)b;
    return (x > y) - (x < y);
}

/* The numbers of one group, sorted, from `sorted` on; of all where `step` is 1. */
static size_t gather(const double *numbers, size_t count, size_t first, size_t step, double *sorted)
{
    size_t kept = 0;
    for (size_t k = first; k < count; k += step)
        if (!isnan(numbers[k]))
            sorted[kept++] = numbers[k];
    qsort(sorted, kept, sizeof *sorted, by_size);
    return kept;
}

typedef struct estimates {
    double low, high, below;
} estimates;

static estimates estimate(const double *sorted, size_t count)
{
    return (estimates){evn_spread_quantile(sorted, count, EVN_INTERVAL_BELOW),
                       evn_spread_quantile(sorted, count, 1 - EVN_INTERVAL_BELOW), evn_spread_below(sorted, count, 0)};
}

static double square(double x) { return x * x; }

/* Standard error of the mean of the groups' values: by their scatter, no less than `least`. */
static double error_of(const double value[EVN_DRAW_GROUPS], double least)
{
    double mean = 0, squares = 0;
    for (int i = 0; i < EVN_DRAW_GROUPS; i++)
        mean += value[i] / EVN_DRAW_GROUPS;
    for (int i = 0; i < EVN_DRAW_GROUPS; i++)
        squares += square(value[i] - mean);
    return fmax(sqrt(squares / (EVN_DRAW_GROUPS - 1) / EVN_DRAW_GROUPS), least);
}

/* What a shift of the probability does to a quantile, both sides taken together. */
static double quantile_shift(const double *sorted, size_t count, double p, double shift)
{
    return 0.5 * (evn_spread_quantile(sorted, count, p + shift) - evn_spread_quantile(sorted, count, p - shift));
}

static void mean_and_deviation(const double *sorted, size_t count, evn_sureness *out)
{
    double mean = 0, squares = 0;
    for (size_t i = 0; i < count; i++)
        mean += (sorted[i] - mean) / (double)(i + 1);
    for (size_t i = 0; i < count; i++)
        squares += square(sorted[i] - mean);
    out->mean_percent = mean;
    out->standard_percent = sqrt(squares / (double)(count - 1));
}

/* Whether a value could lie on the other side of a border. */
static bool may_cross(double value, double border, double error) { return fabs(value - border) < TURNS_WITHIN * error; }

/* By the ends and by the probability, which tells nothing where all draws lie on one side. */
static bool hangs(const evn_sureness *of, bool both_sides)
{
    return may_cross(of->low_percent, 0, of->low_error_percent) ||
           may_cross(of->high_percent, 0, of->high_error_percent) ||
           (both_sides && (may_cross(of->probability_lower, EVN_TOLD_FROM, of->probability_error) ||
                           may_cross(of->probability_lower, 1 - EVN_TOLD_FROM, of->probability_error)));
}

bool evn_spread_of_draws(const double *difference_percent, size_t count, double *sorted, evn_sureness *out)
{
    double low[EVN_DRAW_GROUPS], high[EVN_DRAW_GROUPS], below[EVN_DRAW_GROUPS];
    for (size_t g = 0; g < EVN_DRAW_GROUPS; g++) {
        size_t kept = gather(difference_percent, count, g, EVN_DRAW_GROUPS, sorted);
        if (kept < 2)
            return false;
        estimates of = estimate(sorted, kept);
        low[g] = of.low;
        high[g] = of.high;
        below[g] = of.below;
    }
    size_t kept = gather(difference_percent, count, 0, 1, sorted);
    if (kept < EVN_SPREAD_LEAST)
        return false;
    estimates all = estimate(sorted, kept);
    /* Half a draw in each of the groups, these being independent. */
    double least = 0.5 * sqrt(EVN_DRAW_GROUPS) / (double)kept;
    out->by = EVN_UNCERTAINTY_DRAWS;
    mean_and_deviation(sorted, kept, out);
    out->low_percent = all.low;
    out->high_percent = all.high;
    out->probability_lower = all.below;
    out->low_error_percent = error_of(low, quantile_shift(sorted, kept, EVN_INTERVAL_BELOW, least));
    out->high_error_percent = error_of(high, quantile_shift(sorted, kept, 1 - EVN_INTERVAL_BELOW, least));
    out->probability_error = error_of(below, least);
    bool tells = kept >= EVN_DRAWS_WORD_LEAST;
    out->apart = tells ? evn_apart_by(all.low, all.high) : EVN_CANNOT_BE_TOLD_APART;
    out->hangs_on_draws = !tells || hangs(out, sorted[0] < 0 && sorted[kept - 1] > 0);
    out->draws = kept;
    return true;
}

static double probability_below_zero(double mean, double standard)
{
    return standard > 0 ? 0.5 * erfc(mean / standard * ROOT_HALF) : mean < 0 ? 1 : mean > 0 ? 0 : 0.5;
}

void evn_spread_of_slopes(double mean_percent, const double *slope_percent, size_t count, evn_sureness *out)
{
    double squares = 0;
    for (size_t i = 0; i < count; i++)
        squares += square(slope_percent[i]);
    double standard = sqrt(squares);
    double reach = standard * evn_deviation(EVN_NORMAL, 1 - EVN_INTERVAL_BELOW) / evn_standard_share(EVN_NORMAL);
    *out = (evn_sureness){.by = EVN_UNCERTAINTY_FIRST_ORDER,
                          .nominal_percent = mean_percent,
                          .mean_percent = mean_percent,
                          .standard_percent = standard,
                          .low_percent = mean_percent - reach,
                          .high_percent = mean_percent + reach,
                          .probability_lower = probability_below_zero(mean_percent, standard),
                          .low_error_percent = (double)NAN,
                          .high_error_percent = (double)NAN,
                          .probability_error = (double)NAN};
    out->apart = evn_apart_by(out->low_percent, out->high_percent);
}

void evn_spread_about(double nominal_percent, evn_sureness *of)
{
    double quarter = (of->high_percent - of->low_percent) / 4;
    of->nominal_percent = nominal_percent;
    of->nominal_aside = nominal_percent < of->low_percent + quarter || nominal_percent > of->high_percent - quarter;
}
