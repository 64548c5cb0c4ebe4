/* Fourier sums: of a power of two values, and of any number of real ones. */
#include "site/ride_transform.h"
#include <math.h>
#include <stdint.h>
#include <stdlib.h>

static const double PI = 3.14159265358979323846;

void evn_transform(evn_complex *z, unsigned log2_n)
{
    size_t n = (size_t)1 << log2_n;
    for (size_t i = 1, j = 0; i < n; i++) { /* the order of reversed bits */
        size_t bit = n >> 1;
        for (; j & bit; bit >>= 1)
            j ^= bit;
        j ^= bit;
        if (i < j) {
            evn_complex keep = z[i];
            z[i] = z[j];
            z[j] = keep;
        }
    }
    for (size_t half = 1; half < n; half *= 2) {
        evn_complex turn = {cos(PI / (double)half), sin(PI / (double)half)}, by = {1, 0};
        for (size_t k = 0; k < half; k++) {
            if (k % 64 == 0) /* afresh, so that no error grows */
                by = (evn_complex){cos(PI * (double)k / (double)half), sin(PI * (double)k / (double)half)};
            for (size_t i = k; i < n; i += 2 * half) {
                evn_complex a = z[i], b = evn_complex_times(z[i + half], by);
                z[i] = evn_complex_plus(a, b);
                z[i + half] = evn_complex_less(a, b);
            }
            by = evn_complex_times(by, turn);
        }
    }
}

/* ------------------------------------------------------------------------------------------------ any number */

/* exp(-pi i j^2/n): the square turns round with 2 n, and is exact as a whole number. */
static evn_complex chirp(uint64_t j, uint64_t n)
{
    double angle = PI * (double)(j * j % (2 * n)) / (double)n;
    return (evn_complex){cos(angle), -sin(angle)};
}

static evn_complex conjugate(evn_complex z) { return (evn_complex){z.re, -z.im}; }

/* j k = (j^2 + k^2 - (k - j)^2)/2, so the sum is a convolution with the chirp's conjugate, of a power of two values. */
static void convolve(const double *x, size_t n, unsigned log2_size, evn_complex *a, evn_complex *b)
{
    size_t size = (size_t)1 << log2_size;
    for (size_t j = 0; j < n; j++) {
        evn_complex c = chirp(j, n);
        a[j] = (evn_complex){x[j] * c.re, x[j] * c.im};
        b[j] = b[j > 0 ? size - j : 0] = conjugate(c);
    }
    evn_transform(a, log2_size);
    evn_transform(b, log2_size);
    for (size_t i = 0; i < size; i++)
        a[i] = conjugate(evn_complex_times(a[i], b[i]));
    evn_transform(a, log2_size);
}

bool evn_transform_real(const double *x, size_t n, evn_complex *out)
{
    unsigned log2_size = 1;
    while (((size_t)1 << log2_size) < 2 * n - 1)
        log2_size++;
    size_t size = (size_t)1 << log2_size;
    evn_complex *a = calloc(2 * size, sizeof *a);
    if (!a)
        return false;
    convolve(x, n, log2_size, a, a + size);
    for (size_t k = 0; k < n; k++) {
        evn_complex sum = {a[k].re / (double)size, -a[k].im / (double)size};
        out[k] = evn_complex_times(sum, chirp(k, n));
    }
    free(a);
    return true;
}
