/* What numbers of draws tell: mean, standard deviation, interval, probability, and their errors of sampling. */
#ifndef EVENER_UNCERTAINTY_SPREAD_H
#define EVENER_UNCERTAINTY_SPREAD_H
#include "evener/uncertainty.h"

/* Probabilities of the interval's ends, and the probability from which on a sign is told: one rule. */
#define EVN_INTERVAL_BELOW 0.05
#define EVN_TOLD_FROM 0.95

/* Fewer numbers have no twentieth to tell: an end would lie outside of them. */
enum { EVN_SPREAD_LEAST = 10 };

/*
 * Of numbers in groups: `count` of them, that of draw k being of group k % EVN_DRAW_GROUPS; NAN: no number. Fills all
 * of evn_sureness but `nominal_percent`; `by` is DRAWS. `sorted` is room for as many numbers. False: fewer than two
 * numbers in a group, or than EVN_SPREAD_LEAST in all.
 *
 * The distribution function is straight between the sorted numbers, number r of M standing at (r - 1/2)/M, and ends
 * there (JCGM 101:2008, 7.5.1, from memory): M draws tell no probability below 1/(2M).
 *
 * Standard errors of sampling: scatter of the groups' own estimates over the root of the number of groups. They are
 * never less than half a draw in each group makes of them, so that groups which happen to agree claim no certainty.
 */
bool evn_spread_of_draws(const double *difference_percent, size_t count, double *sorted, evn_sureness *out);

/* Of slopes for one standard uncertainty each, in quadrature about `mean_percent`, which is the nominal one too: a
 * normal distribution. */
void evn_spread_of_slopes(double mean_percent, const double *slope_percent, size_t count, evn_sureness *out);

/* The rule. */
evn_apart evn_apart_by(double low_percent, double high_percent);

/* Where the comparison's own difference lies: fills `nominal_percent` and `nominal_aside`. */
void evn_spread_about(double nominal_percent, evn_sureness *);

/* Of `count` sorted numbers, one at least: the number that a share p of all lie below. */
double evn_spread_quantile(const double *sorted, size_t count, double p);

/* The share of all that lies below `x`, of numbers that are equal to it half: the inverse of the above. */
double evn_spread_below(const double *sorted, size_t count, double x);

#endif
