/* Fourier sums of complex and of real values, in place or anew. Plain numbers. */
#ifndef EVENER_SITE_RIDE_TRANSFORM_H
#define EVENER_SITE_RIDE_TRANSFORM_H
#include "site/ride_complex.h"
#include <stdbool.h>
#include <stddef.h>

/* z_j becomes the sum over k of z_k exp(2 pi i j k/n), n = 2 to the power of log2_n: Cooley and Tukey. */
void evn_transform(evn_complex *z, unsigned log2_n);

/*
 * Of n real values x, any number from 1 to 2^30: out_k becomes the sum over j of x_j exp(-2 pi i j k/n), all n of them.
 * Bluestein's way (IEEE Trans. Audio Electroacoust. 18, 1970, from memory). False: memory is out.
 */
bool evn_transform_real(const double *x, size_t n, evn_complex *out);

#endif
