/* What numbers of draws tell: mean, standard deviation, interval, probability, and their errors of sampling. */
#ifndef EVENER_UNCERTAINTY_SPREAD_H
#define EVENER_UNCERTAINTY_SPREAD_H
#include "evener/uncertainty.h"

/* Probabilities of the interval's ends, and the probability from which on a sign is told: one rule. */
#define EVN_INTERVAL_BELOW 0.05
#define EVN_TOLD_FROM 0.95

/*
 * Of numbers in groups: `count` of them, that of draw k being of group k % groups; NAN: no number. Sampling errors from
 * the scatter of the groups' own estimates. Fills what it knows of evn_sureness, the verdict too; `by` is DRAWS.
 * `sorted` is room for as many numbers. False: fewer than two numbers in a group.
 */
bool evn_spread_of_draws(const double *difference_percent, size_t count, double *sorted, evn_sureness *out);

/* Of slopes for one standard uncertainty each, in quadrature about `nominal_percent`: a normal distribution. */
void evn_spread_of_slopes(double nominal_percent, const double *slope_percent, size_t count, evn_sureness *out);

/* The rule. */
evn_apart evn_apart_by(double low_percent, double high_percent);

#endif
