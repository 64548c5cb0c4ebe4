/* Two masses over an uneven road, by frequency. */
#include "site/ride_quarter.h"
#include "site/ride_complex.h"
#include "site/ride_road.h"
#include <math.h>

static const double PI = 3.14159265358979323846;

/* ------------------------------------------------------------------------------------------------ one frequency */

/*
 * (ms s2 + c s + k) zs = (c s + k) zu,  (mu s2 + (c + ct) s + k + kt) zu - (c s + k) zs = (ct s + kt) w,  s = i omega:
 * with the determinant D of the two, zs = (c s + k)(ct s + kt) w/D and zu = (ms s2 + c s + k)(ct s + kt) w/D.
 */
typedef struct answers { /* c s + k, ms s2 + c s + k, and |ct s + kt|^2/|D|^2 */
    double w2, road2;
    evn_complex link, body;
} answers;

static answers answers_at(const evn_quarter *q, double hz)
{
    double w = 2 * PI * hz, w2 = w * w, ms = q->sprung_kg, mu = q->unsprung_kg;
    evn_complex link = {q->spring_n_m, q->damper_n_s_m * w}, tyre = {q->tyre_n_m, q->tyre_n_s_m * w};
    evn_complex body = {link.re - ms * w2, link.im}, wheel = {link.re + tyre.re - mu * w2, link.im + tyre.im};
    evn_complex det = evn_complex_less(evn_complex_times(body, wheel), evn_complex_times(link, link));
    return (answers){w2, evn_complex_size2(tyre) / evn_complex_size2(det), link, body};
}

void evn_quarter_gain2(const evn_quarter *q, double hz, double gain2[EVN_RIDES])
{
    answers a = answers_at(q, hz);
    double w2 = a.w2, ms = q->sprung_kg, mu = q->unsprung_kg;
    evn_complex both = {ms * a.link.re + mu * a.body.re, ms * a.link.im + mu * a.body.im};
    gain2[EVN_RIDE_BODY] = w2 * w2 * evn_complex_size2(a.link) * a.road2;
    gain2[EVN_RIDE_TRAVEL] = ms * w2 * (ms * w2) * a.road2; /* zs - zu: link less body is ms omega2 */
    gain2[EVN_RIDE_WHEEL] = w2 * w2 * evn_complex_size2(a.body) * a.road2;
    gain2[EVN_RIDE_TYRE] = w2 * w2 * evn_complex_size2(both) * a.road2; /* its force accelerates both masses */
}

/* share zu + (1 - share) zs: both follow the road with their phases, and so does the sum. */
double evn_quarter_between_gain2(const evn_quarter *q, double share, double hz)
{
    answers a = answers_at(q, hz);
    evn_complex sum = {a.link.re - share * q->sprung_kg * a.w2, a.link.im};
    return a.w2 * a.w2 * evn_complex_size2(sum) * a.road2;
}

/* ------------------------------------------------------------------------------------------------ modes */

void evn_quarter_modes_hz(const evn_quarter *q, double *body_hz, double *wheel_hz)
{
    double a = q->sprung_kg * q->unsprung_kg, c = q->spring_n_m * q->tyre_n_m;
    double b = q->sprung_kg * (q->spring_n_m + q->tyre_n_m) + q->unsprung_kg * q->spring_n_m;
    double high = (b + sqrt(b * b - 4 * a * c)) / (2 * a); /* omega squared */
    *wheel_hz = sqrt(high) / (2 * PI);
    *body_hz = sqrt(c / (a * high)) / (2 * PI);
}

/* Newton's steps on the characteristic polynomial, from the mode without damping. */
bool evn_quarter_body_free(const evn_quarter *q, double *hz, double *damping_ratio)
{
    double body_hz, wheel_hz;
    evn_quarter_modes_hz(q, &body_hz, &wheel_hz);
    double ms = q->sprung_kg, mu = q->unsprung_kg, k = q->spring_n_m, c = q->damper_n_s_m, kt = q->tyre_n_m,
           ct = q->tyre_n_s_m;
    double p[5] = {k * kt, c * kt + k * ct, ms * (k + kt) + mu * k + c * ct, ms * (c + ct) + mu * c, ms * mu};
    evn_complex s = {-0.2 * PI * body_hz, 2 * PI * body_hz};
    for (int step = 0; step < 60; step++) {
        evn_complex value = {p[4], 0}, slope = {0, 0};
        for (int i = 3; i >= 0; i--) {
            slope = evn_complex_plus(evn_complex_times(slope, s), value);
            value = evn_complex_plus(evn_complex_times(value, s), (evn_complex){p[i], 0});
        }
        evn_complex move = evn_complex_over(value, slope);
        s = evn_complex_less(s, move);
        if (evn_complex_size2(move) < 1e-24 * evn_complex_size2(s))
            break;
    }
    *hz = fabs(s.im) / (2 * PI);
    *damping_ratio = -s.re / fabs(s.im);
    /* in the wheel's mode, or no oscillation at all: damped so far that there is none of the body */
    return *hz > 1e-3 * body_hz && *hz < 0.5 * (body_hz + wheel_hz);
}

evn_like_air evn_springs_like_air(double hz, double damping_ratio, double without)
{
    if (!(hz <= EVN_LIKE_AIR_MOST_HZ && damping_ratio > EVN_LIKE_AIR_LEAST_DAMPING) ||
        without > EVN_LIKE_AIR_MOST_WITHOUT)
        return EVN_LIKE_AIR_NO;
    return isnan(without) ? EVN_LIKE_AIR_UNKNOWN : EVN_LIKE_AIR_YES;
}

double evn_quarter_damping_without(const evn_quarter *q, double damper_share)
{
    evn_quarter less = *q;
    double hz, with, without;
    less.damper_n_s_m *= 1 - damper_share;
    if (isnan(damper_share) || !evn_quarter_body_free(q, &hz, &with) || !evn_quarter_body_free(&less, &hz, &without))
        return (double)NAN;
    return without / with;
}

/* ------------------------------------------------------------------------------------------------ over a road */

evn_band evn_band_of_road(double speed_m_s)
{
    return (evn_band){EVN_WAVES_FROM_M1 * speed_m_s, EVN_WAVES_TO_M1 * speed_m_s};
}

void evn_quarter_on_road(const evn_quarter *q, double unevenness_m3, double speed_m_s, evn_band band,
                         evn_moments out[EVN_RIDES])
{
    evn_quarter_on_spectrum(q, NULL, unevenness_m3, speed_m_s, band, out);
}

/* NULL: that of the classes, of which the factor is the unevenness. */
static double density_m3(const evn_spectrum *s, double factor, double wave_m1)
{
    return s ? factor * evn_spectrum_density_m3(s, wave_m1) : evn_road_density_m3(factor, wave_m1);
}

/* What is summed up over a road: all rides, or what hangs between body and wheel. */
typedef struct summed {
    const evn_quarter *car;
    double share; /* NAN: all rides */
    size_t count;
} summed;

static void gain2_of(const summed *of, double hz, double gain2[EVN_RIDES])
{
    if (isnan(of->share))
        evn_quarter_gain2(of->car, hz, gain2);
    else
        gain2[0] = evn_quarter_between_gain2(of->car, of->share, hz);
}

static void end_sums(const double m0[EVN_RIDES], const double m2[EVN_RIDES], size_t count, evn_moments out[])
{
    for (size_t r = 0; r < count; r++)
        out[r] = (evn_moments){sqrt(m0[r]), m0[r] > 0 ? sqrt(m2[r] / m0[r]) : 0};
}

/* Lines within the band: what a wave brings is its variance times the gain there. */
static void sum_lines(const summed *of, const evn_spectrum *lines, double factor, double speed_m_s, evn_band band,
                      evn_moments out[])
{
    double m0[EVN_RIDES] = {0}, m2[EVN_RIDES] = {0};
    for (size_t k = 0; k < lines->count; k++) {
        double gain2[EVN_RIDES], hz = lines->wave_m1[k] * speed_m_s;
        if (hz < band.from_hz || hz > band.to_hz)
            continue;
        gain2_of(of, hz, gain2);
        for (size_t r = 0; r < of->count; r++) {
            double part = factor * lines->line_m2[k] * gain2[r];
            m0[r] += part;
            m2[r] += part * hz * hz;
        }
    }
    end_sums(m0, m2, of->count, out);
}

/* Simpson's rule over the logarithm of the frequency, which sees resonances and slopes alike. */
static void sum_density(const summed *of, const evn_spectrum *spectrum, double factor, double speed_m_s, evn_band band,
                        evn_moments out[])
{
    static const double STEP = 0.01;
    double width = log(band.to_hz / band.from_hz), m0[EVN_RIDES] = {0}, m2[EVN_RIDES] = {0};
    if (!(width > 0)) {
        for (size_t r = 0; r < of->count; r++)
            out[r] = (evn_moments){0, 0};
        return;
    }
    int steps = 2 * (int)ceil(width / STEP / 2);
    double step = width / steps;
    for (int i = 0; i <= steps; i++) {
        double gain2[EVN_RIDES], hz = band.from_hz * exp(step * i);
        double weight = (i == 0 || i == steps ? 1 : i % 2 ? 4 : 2) * step / 3;
        double road_m2_hz = density_m3(spectrum, factor, hz / speed_m_s) / speed_m_s;
        gain2_of(of, hz, gain2);
        for (size_t r = 0; r < of->count; r++) {
            double part = weight * hz * road_m2_hz * gain2[r];
            m0[r] += part;
            m2[r] += part * hz * hz;
        }
    }
    end_sums(m0, m2, of->count, out);
}

static void sum_up(const summed *of, const evn_spectrum *spectrum, double factor, double speed_m_s, evn_band band,
                   evn_moments out[])
{
    bool lines = spectrum && spectrum->line_m2;
    (lines ? sum_lines : sum_density)(of, spectrum, factor, speed_m_s, band, out);
}

void evn_quarter_on_spectrum(const evn_quarter *q, const evn_spectrum *spectrum, double factor, double speed_m_s,
                             evn_band band, evn_moments out[EVN_RIDES])
{
    const summed all = {q, (double)NAN, EVN_RIDES};
    sum_up(&all, spectrum, factor, speed_m_s, band, out);
}

evn_moments evn_quarter_between(const evn_quarter *q, double share, const evn_spectrum *spectrum, double factor,
                                double speed_m_s, evn_band band)
{
    const summed one = {q, share, 1};
    evn_moments out;
    sum_up(&one, spectrum, factor, speed_m_s, band, &out);
    return out;
}

void evn_quarter_white_rms(const evn_quarter *q, double unevenness_m3, double speed_m_s, double rms[EVN_RIDES])
{
    double ms = q->sprung_kg, mu = q->unsprung_kg, all = ms + mu, k = q->spring_n_m, c = q->damper_n_s_m,
           kt = q->tyre_n_m;
    double half = evn_road_slope_density_m(unevenness_m3) * speed_m_s / 4; /* q/2, q = 2 pi2 n0^2 Gd V */
    rms[EVN_RIDE_BODY] = sqrt(half / (ms * ms) * (k * k * all / c + c * kt));
    rms[EVN_RIDE_TRAVEL] = sqrt(half * all / c);
    rms[EVN_RIDE_TYRE] = sqrt(half * (k * k * all * all * all / (c * ms * ms) - 2 * mu * kt * k * all / (c * ms) +
                                      mu * kt * kt / c + kt * c * all * all / (ms * ms)));
    rms[EVN_RIDE_WHEEL] = (double)NAN;
}

double evn_expected_peak(const evn_moments *of, double time_s)
{
    static const double EULER = 0.57721566490153286;
    double passings = fmax(2 * of->upcrossings_hz * time_s, exp(1));
    double u = sqrt(2 * log(passings));
    return of->rms * (u + EULER / u);
}

/* ------------------------------------------------------------------------------------------------ roads' wear */

double evn_road_stress_factor(double load_coefficient)
{
    double s2 = load_coefficient * load_coefficient;
    return 1 + 6 * s2 + 3 * s2 * s2;
}

double evn_axle_damage(double load_kg, double reference_kg) { return pow(load_kg / reference_kg, 4); }
