/* Inverses of distribution functions: rectangular, triangular, normal. */
#include "uncertainty/shape.h"
#include <math.h>

static const double ROOT_HALF = 0.70710678118654752440;   /* sqrt(1/2) */
static const double ROOT_TWO_PI = 2.50662827463100050242; /* sqrt(2 pi) */
static const double STANDARDS_IN_HALF_WIDTH = 2;          /* of a normal distribution: coverage factor 2 */

/*
 * Below the middle: a rational start with an error of 4.5e-4 (Abramowitz and Stegun 26.2.23, from memory), then two
 * steps of Halley's method on the distribution function, which cube the error each.
 */
static double lower_quantile(double p)
{
    double t = sqrt(-2 * log(p));
    double x = (2.515517 + t * (0.802853 + t * 0.010328)) / (1 + t * (1.432788 + t * (0.189269 + t * 0.001308))) - t;
    for (int step = 0; step < 2; step++) {
        double newton = (0.5 * erfc(-x * ROOT_HALF) - p) * ROOT_TWO_PI * exp(0.5 * x * x);
        x -= newton / (1 + 0.5 * x * newton);
    }
    return x;
}

static double normal_quantile(double p) { return p < 0.5 ? lower_quantile(p) : p > 0.5 ? -lower_quantile(1 - p) : 0; }

double evn_deviation(evn_error_shape shape, double u)
{
    switch (shape) {
    case EVN_TRIANGULAR:
        return u < 0.5 ? sqrt(2 * u) - 1 : 1 - sqrt(2 * (1 - u));
    case EVN_NORMAL:
        return normal_quantile(u) / STANDARDS_IN_HALF_WIDTH;
    default:
        return 2 * u - 1;
    }
}

double evn_standard_share(evn_error_shape shape)
{
    switch (shape) {
    case EVN_TRIANGULAR:
        return 1 / sqrt(6);
    case EVN_NORMAL:
        return 1 / STANDARDS_IN_HALF_WIDTH;
    default:
        return 1 / sqrt(3);
    }
}
