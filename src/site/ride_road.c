/* Unevenness of roads as a spectrum: closed forms. */
#include "site/ride_road.h"
#include <math.h>

static const double PI = 3.14159265358979323846;

double evn_road_density_m3(double unevenness_m3, double wave_m1)
{
    double ratio = EVN_WAVE_REFERENCE_M1 / wave_m1;
    return unevenness_m3 * ratio * ratio;
}

double evn_spectrum_density_m3(const evn_spectrum *s, double wave_m1)
{
    size_t k = 1;
    if (wave_m1 < s->wave_m1[0] || wave_m1 > s->wave_m1[s->count - 1])
        return 0;
    while (k + 1 < s->count && s->wave_m1[k] < wave_m1)
        k++;
    double share = log(wave_m1 / s->wave_m1[k - 1]) / log(s->wave_m1[k] / s->wave_m1[k - 1]);
    return s->density_m3[k - 1] * pow(s->density_m3[k] / s->density_m3[k - 1], share);
}

double evn_road_band_rms_m(double unevenness_m3, double from_m1, double to_m1)
{
    return sqrt(unevenness_m3 * EVN_WAVE_REFERENCE_M1 * EVN_WAVE_REFERENCE_M1 * (1 / from_m1 - 1 / to_m1));
}

double evn_road_slope_density_m(double unevenness_m3)
{
    double radians_m = 2 * PI * EVN_WAVE_REFERENCE_M1;
    return radians_m * radians_m * unevenness_m3;
}
