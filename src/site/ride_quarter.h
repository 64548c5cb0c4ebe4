/*
 * One side of an axle as two masses on springs (the quarter car of any handbook of vehicle dynamics): the body's part
 * that stands on it, and what goes up and down with the wheel, over a road that is a spectrum. Linear: springs, dampers
 * and a tyre that always touches. Left out: pitch, roll, the rotating inertia across the axle, the size of the contact
 * patch.
 */
#ifndef EVENER_SITE_RIDE_QUARTER_H
#define EVENER_SITE_RIDE_QUARTER_H
#include "site/ride_road.h"
#include <stdbool.h>

typedef struct evn_quarter {
    double sprung_kg, unsprung_kg;
    double spring_n_m, damper_n_s_m;
    double tyre_n_m, tyre_n_s_m;
} evn_quarter;

/* What is asked of it. */
typedef enum evn_ride {
    EVN_RIDE_BODY,   /* acceleration of the body, m/s2 */
    EVN_RIDE_TRAVEL, /* of the suspension, m, and of a bump stop: body less wheel */
    EVN_RIDE_TYRE,   /* force at the road less that at rest, N */
    EVN_RIDE_WHEEL,  /* acceleration of the unsprung mass, m/s2 */
    EVN_RIDES
} evn_ride;

/* Size squared of what follows a road of height amplitude 1 m at a frequency. */
void evn_quarter_gain2(const evn_quarter *, double hz, double gain2[EVN_RIDES]);
/*
 * The same of the acceleration of the centre of a mass that hangs with a share from 0 to 1 on the wheel and with the
 * rest on the body: the share of the wheel's acceleration and the rest of the body's, each with its phase.
 */
double evn_quarter_between_gain2(const evn_quarter *, double share, double hz);

/* Natural frequencies without damping: of the body and of the wheel, Hz. */
void evn_quarter_modes_hz(const evn_quarter *, double *body_hz, double *wheel_hz);
/*
 * Free oscillation of the body on springs, dampers and tyres: its frequency, and ln(A1/A2)/2 pi of successive peaks to
 * one side, as Directive 96/53/EC, Annex II, defines the damping ratio. False where it does not oscillate.
 */
bool evn_quarter_body_free(const evn_quarter *, double *hz, double *damping_ratio);

/*
 * What springs that are not of air have to be to count as good as air at a driven axle: so slow at most and damped by
 * more than that, with their dampers; without them at most half of that damping (Directive 96/53/EC, Annex II).
 * Springs of air count as such, and no springs have to be as good.
 */
#define EVN_LIKE_AIR_MOST_HZ 2.0
#define EVN_LIKE_AIR_LEAST_DAMPING 0.2
#define EVN_LIKE_AIR_MOST_WITHOUT 0.5
typedef enum evn_like_air { EVN_LIKE_AIR_NO, EVN_LIKE_AIR_YES, EVN_LIKE_AIR_UNKNOWN } evn_like_air;
/* `without` is the damping without dampers over that with them; NAN: not known. */
evn_like_air evn_springs_like_air(double hz, double damping_ratio, double without);
/* That, of free oscillations as above, where dampers bring a share of all damping; NAN: the share is. Where nothing
 * damps it without them: 0. */
double evn_quarter_damping_without(const evn_quarter *, double damper_share);

/* ------------------------------------------------------------------------------------------------ over a road */

typedef struct evn_band {
    double from_hz, to_hz;
} evn_band;

/* Of a stationary Gaussian process: RMS, and how often per second it passes its mean upwards (Rice). */
typedef struct evn_moments {
    double rms, upcrossings_hz;
} evn_moments;

/* What follows a road of that unevenness at a speed above 0, within a band: integral of the spectra. */
void evn_quarter_on_road(const evn_quarter *, double unevenness_m3, double speed_m_s, evn_band, evn_moments[EVN_RIDES]);
/* The same over a road whose spectrum was measured, `factor` times as dense. */
void evn_quarter_on_spectrum(const evn_quarter *, const evn_spectrum *, double factor, double speed_m_s, evn_band,
                             evn_moments[EVN_RIDES]);
/* Of such a mass between wheel and body. */
evn_moments evn_quarter_between(const evn_quarter *, double share, const evn_spectrum *, double factor,
                                double speed_m_s, evn_band);
/* The band of the road's waves at a speed (ride_road.h). */
evn_band evn_band_of_road(double speed_m_s);

/*
 * On all frequencies and without tyre damping in closed form, RMS: body acceleration, suspension travel, tyre force;
 * the wheel's acceleration is without bound then (NAN). White velocity of the road of density q: random vibration of
 * two masses (Lyapunov's equation).
 */
void evn_quarter_white_rms(const evn_quarter *, double unevenness_m3, double speed_m_s, double rms[EVN_RIDES]);

/*
 * Expected largest value within a time of a Gaussian process, to either side, in its unit: with N = 2 nu T passings,
 * RMS (sqrt(2 ln N) + 0.5772/sqrt(2 ln N)) (Davenport, Proc. Inst. Civ. Eng. 28, 1964, from memory). For N of e or
 * more; below that of e.
 */
double evn_expected_peak(const evn_moments *, double time_s);

/* Dynamic road-stress factor of a load coefficient s: 1 + 6 s^2 + 3 s^4 (Eisenmann; OECD DIVINE, from memory). */
double evn_road_stress_factor(double load_coefficient);
/* Wear of a road by an axle over that of a reference axle: fourth power of the loads (AASHO road test, from memory). */
double evn_axle_damage(double load_kg, double reference_kg);

#endif
