/*
 * The golden car of the International Roughness Index: a quarter car of given numbers at 80 km/h over a profile whose
 * slope is constant between its points (Sayers, Gillespie, Queiroz, World Bank Technical Paper 45, 1986; ASTM E1926).
 */
#ifndef EVENER_SITE_RIDE_GOLDEN_H
#define EVENER_SITE_RIDE_GOLDEN_H
#include "site/ride_quarter.h"
#include <stddef.h>

#define EVN_GOLDEN_SPEED_M_S (80 / 3.6)
extern const evn_quarter evn_golden_car; /* of 1 kg of sprung mass */

/*
 * From one point of a profile to the next, exactly: state' = transition state + response slope. The state: rates of
 * body and wheel and their changes, over the slope; in the order body, its rate, wheel, its rate.
 */
typedef struct evn_quarter_step {
    double transition[4][4], response[4];
} evn_quarter_step;
evn_quarter_step evn_quarter_step_of(const evn_quarter *, double time_s);

/* Index of a profile of points that far apart, m/km; the first `lead` points bring the car into motion and do not
 * count. */
double evn_iri_m_km(const double *height_m, size_t points, double apart_m, size_t lead);

/*
 * International Roughness Index that such a road has on the mean, m/km: the golden car on white
 * slope, in closed form; the mean of the size of a Gaussian variable is sqrt(2/pi) of its RMS.
 */
double evn_road_iri_m_km(double unevenness_m3);
/* Index of a road whose spectrum was measured (as evn_road_iri_m_km), by the spectrum of the golden car's travel rate.
 */
double evn_spectrum_iri_m_km(const evn_spectrum *);

#endif
