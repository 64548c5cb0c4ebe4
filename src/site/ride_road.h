/*
 * How uneven a road is: the one-sided power spectral density of its height over wave number (cycles per metre), as ISO
 * 8608 classifies it, Gd(n) = Gd(n0) (n/n0)^-2 with n0 = 0.1 cycles/m (ISO 8608:2016, from memory). One-sided: the
 * integral over positive wave numbers is the variance. In radians per metre, or two-sided, the numbers are others.
 */
#ifndef EVENER_SITE_RIDE_ROAD_H
#define EVENER_SITE_RIDE_ROAD_H
#include <stddef.h>

#define EVN_WAVE_REFERENCE_M1 0.1
/* Wave numbers for which the classes stand (ISO 8608, from memory): waves of 91 m to 0.35 m. */
#define EVN_WAVES_FROM_M1 0.011
#define EVN_WAVES_TO_M1 2.83

/* A spectrum as measured, in points of which both axes are logarithmic; nothing beyond them. Or lines by themselves. */
typedef struct evn_spectrum {
    const double *wave_m1, *density_m3; /* rising waves */
    size_t count;
    const double *line_m2; /* instead of densities: variance of the line at each wave; NULL: none */
} evn_spectrum;
/* Of points, not of lines. */
double evn_spectrum_density_m3(const evn_spectrum *, double wave_m1);

/* At a wave number in cycles/m, of an unevenness (the density at 0.1 cycles/m, m3). */
double evn_road_density_m3(double unevenness_m3, double wave_m1);
/* RMS height within a band of wave numbers: closed form. */
double evn_road_band_rms_m(double unevenness_m3, double from_m1, double to_m1);
/* Density of the slope over wave number, which is the same at all of them: m. */
double evn_road_slope_density_m(double unevenness_m3);

#endif
