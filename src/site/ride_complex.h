/*
 * Complex numbers as far as rides need them. Those of C look for infinities in each product, and not every compiler has
 * a way to write one down.
 */
#ifndef EVENER_SITE_RIDE_COMPLEX_H
#define EVENER_SITE_RIDE_COMPLEX_H

typedef struct evn_complex {
    double re, im;
} evn_complex;

static inline evn_complex evn_complex_plus(evn_complex a, evn_complex b)
{
    return (evn_complex){a.re + b.re, a.im + b.im};
}
static inline evn_complex evn_complex_less(evn_complex a, evn_complex b)
{
    return (evn_complex){a.re - b.re, a.im - b.im};
}
static inline evn_complex evn_complex_times(evn_complex a, evn_complex b)
{
    return (evn_complex){a.re * b.re - a.im * b.im, a.re * b.im + a.im * b.re};
}
static inline double evn_complex_size2(evn_complex z) { return z.re * z.re + z.im * z.im; }
static inline evn_complex evn_complex_over(evn_complex a, evn_complex b)
{
    evn_complex product = evn_complex_times(a, (evn_complex){b.re, -b.im});
    double size2 = evn_complex_size2(b);
    return (evn_complex){product.re / size2, product.im / size2};
}

#endif
