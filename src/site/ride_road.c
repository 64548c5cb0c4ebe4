/* Unevenness of roads as a spectrum: closed forms. */
#include "site/ride_road.h"
#include "site/ride_golden.h"
#include <math.h>

static const double PI = 3.14159265358979323846;

double evn_road_density_m3(double unevenness_m3, double wave_m1)
{
    double ratio = EVN_WAVE_REFERENCE_M1 / wave_m1;
    return unevenness_m3 * ratio * ratio;
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

/* The variance of the golden car's travel rate on white velocity of the road is pi^2 n0^2 Gd V kt/c per unit mass. */
double evn_road_iri_m_km(double unevenness_m3)
{
    const evn_quarter car = evn_golden_car;
    double slope =
        PI * EVN_WAVE_REFERENCE_M1 * sqrt(unevenness_m3 * car.tyre_n_m / (car.damper_n_s_m * EVN_GOLDEN_SPEED_M_S));
    return 1000 * sqrt(2 / PI) * slope;
}
