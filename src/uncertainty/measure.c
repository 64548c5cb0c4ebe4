/* A scale for differences that is the same both ways round. */
#include "uncertainty/measure.h"
#include <math.h>

/* Of the scale without a ratio. */
static double middle_of(const evn_measure *m) { return (fabs(m->value) + fabs(m->other)) / 2; }

double evn_measured(const evn_measure *m, double value, double other)
{
    return m->of_ratio ? 100 * log(value / other) : 100 * (value - other) / middle_of(m);
}

double evn_measured_percent(const evn_measure *m, double measured)
{
    return m->of_ratio ? 100 * expm1(measured / 100) : measured * middle_of(m) / fabs(m->other);
}

/* Percentage points of the other's for one of the scale, at a place of it. */
static double slope_at(const evn_measure *m, double measured)
{
    return m->of_ratio ? exp(measured / 100) : middle_of(m) / fabs(m->other);
}

void evn_measured_sureness(const evn_measure *m, evn_sureness *is)
{
    is->standard_percent *= slope_at(m, is->mean_percent);
    is->low_error_percent *= slope_at(m, is->low_percent);
    is->high_error_percent *= slope_at(m, is->high_percent);
    is->nominal_percent = 100 * (m->value - m->other) / fabs(m->other); /* as compared, to the last digit */
    is->mean_percent = evn_measured_percent(m, is->mean_percent);
    is->low_percent = evn_measured_percent(m, is->low_percent);
    is->high_percent = evn_measured_percent(m, is->high_percent);
}

void evn_measured_share(const evn_measure *m, evn_share *is)
{
    double slope = slope_at(m, evn_measured(m, m->value, m->other));
    is->slope_percent *= slope;
    is->second_percent *= slope;
    is->half_low_percent = evn_measured_percent(m, is->half_low_percent);
    is->half_high_percent = evn_measured_percent(m, is->half_high_percent);
}

/* ------------------------------------------------------------------------------------------------ turned */

evn_measure evn_measure_turned(const evn_measure *m) { return (evn_measure){m->of_ratio, m->other, m->value}; }

static void swap_negated(double *low, double *high)
{
    double was = *low;
    *low = -*high;
    *high = -was;
}

void evn_sureness_turn(evn_sureness *is)
{
    double low_error = is->low_error_percent;
    swap_negated(&is->low_percent, &is->high_percent);
    is->low_error_percent = is->high_error_percent;
    is->high_error_percent = low_error;
    is->nominal_percent = -is->nominal_percent;
    is->mean_percent = -is->mean_percent;
    is->probability_lower = 1 - is->probability_lower;
    is->apart = is->apart == EVN_IS_LOWER    ? EVN_IS_HIGHER
                : is->apart == EVN_IS_HIGHER ? EVN_IS_LOWER
                                             : EVN_CANNOT_BE_TOLD_APART;
}

void evn_share_turn(evn_share *is)
{
    is->slope_percent = -is->slope_percent;
    is->second_percent = -is->second_percent;
    swap_negated(&is->half_low_percent, &is->half_high_percent);
}
