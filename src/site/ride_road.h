/*
 * How uneven a road is: the one-sided power spectral density of its height over wave number (cycles per metre), as ISO
 * 8608 classifies it, Gd(n) = Gd(n0) (n/n0)^-2 with n0 = 0.1 cycles/m (ISO 8608:2016, from memory). One-sided: the
 * integral over positive wave numbers is the variance. In radians per metre, or two-sided, the numbers are others.
 */
#ifndef EVENER_SITE_RIDE_ROAD_H
#define EVENER_SITE_RIDE_ROAD_H

#define EVN_WAVE_REFERENCE_M1 0.1
/* Wave numbers for which the classes stand (ISO 8608, from memory): waves of 91 m to 0.35 m. */
#define EVN_WAVES_FROM_M1 0.011
#define EVN_WAVES_TO_M1 2.83

/* At a wave number in cycles/m, of an unevenness (the density at 0.1 cycles/m, m3). */
double evn_road_density_m3(double unevenness_m3, double wave_m1);
/* RMS height within a band of wave numbers: closed form. */
double evn_road_band_rms_m(double unevenness_m3, double from_m1, double to_m1);
/* Density of the slope over wave number, which is the same at all of them: m. */
double evn_road_slope_density_m(double unevenness_m3);
/*
 * International Roughness Index that such a road has on the mean, m/km: the golden car (ride_golden.h) at 80 km/h on
 * white slope, in closed form; the mean of the size of a Gaussian variable is sqrt(2/pi) of its RMS.
 */
double evn_road_iri_m_km(double unevenness_m3);

#endif
