/* Distributions of what errs, in half widths (JCGM 101:2008, 6.4). */
#ifndef EVENER_UNCERTAINTY_SHAPE_H
#define EVENER_UNCERTAINTY_SHAPE_H
#include "evener/uncertainty.h"

/* The deviation that a share u (within 0 to 1, ends excluded) of all lies below, in half widths: the inverse of the
 * distribution function. */
double evn_deviation(evn_error_shape, double u);

/* Standard uncertainty in half widths: 1/sqrt(3), 1/sqrt(6), 1/2. */
double evn_standard_share(evn_error_shape);

#endif
