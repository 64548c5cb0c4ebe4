/*
 * On what scale a difference between two trucks is reckoned: the same both ways round, so that what is said of A
 * against B is what is said of B against A. Per cent of the other are not: of B in A's they are others than of A in
 * B's, and what is straight in the one is bent in the other.
 */
#ifndef EVENER_UNCERTAINTY_MEASURE_H
#define EVENER_UNCERTAINTY_MEASURE_H
#include "evener/uncertainty.h"

/*
 * 100 times the logarithm of the ratio, which is per cent as long as these are few. Where the one or the other comes to
 * zero or below, as downhill where more is regenerated than is used, there is none: then their difference in per cent
 * of the mean of both as compared.
 */
typedef struct evn_measure {
    bool of_ratio;
    double value, other; /* the two as compared */
} evn_measure;

/* Of what two trucks came to. */
double evn_measured(const evn_measure *, double value, double other);

/* In per cent of the other's, as things are told. */
double evn_measured_percent(const evn_measure *, double measured);

/* Of a sureness on the scale all that is told: ends and mean as they are, standard uncertainty and errors of sampling
 * by the slope there. */
void evn_measured_sureness(const evn_measure *, evn_sureness *);

/* Of a share on the scale likewise, its slope being that at the difference as compared. */
void evn_measured_share(const evn_measure *, evn_share *);

/* The other way round. */
evn_measure evn_measure_turned(const evn_measure *);
void evn_sureness_turn(evn_sureness *); /* on the scale */
void evn_share_turn(evn_share *);

#endif
