/* The golden car: a step over a slope in closed form, and the index of a profile. */
#include "site/ride_golden.h"
#include <math.h>
#include <string.h>

const evn_quarter evn_golden_car = {1, 0.15, 63.3, 6, 653, 0};

static const double PI = 3.14159265358979323846;

enum { SIZE = 5 }; /* the four states and the slope, which stays */

static void multiply(double a[SIZE][SIZE], double b[SIZE][SIZE], double out[SIZE][SIZE])
{
    double sum[SIZE][SIZE];
    for (int i = 0; i < SIZE; i++)
        for (int j = 0; j < SIZE; j++) {
            sum[i][j] = 0;
            for (int k = 0; k < SIZE; k++)
                sum[i][j] += a[i][k] * b[k][j];
        }
    memcpy(out, sum, sizeof sum);
}

/* Matrix exponential: the series of a small part of the time, squared up again. */
static void exponential(double a[SIZE][SIZE], double out[SIZE][SIZE])
{
    enum { HALVINGS = 12, TERMS = 14 };
    double term[SIZE][SIZE], sum[SIZE][SIZE];
    for (int i = 0; i < SIZE; i++)
        for (int j = 0; j < SIZE; j++) {
            a[i][j] = ldexp(a[i][j], -HALVINGS);
            term[i][j] = sum[i][j] = i == j;
        }
    for (int n = 1; n <= TERMS; n++) {
        multiply(term, a, term);
        for (int i = 0; i < SIZE; i++)
            for (int j = 0; j < SIZE; j++) {
                term[i][j] /= n;
                sum[i][j] += term[i][j];
            }
    }
    for (int n = 0; n < HALVINGS; n++)
        multiply(sum, sum, sum);
    memcpy(out, sum, sizeof sum);
}

evn_quarter_step evn_quarter_step_of(const evn_quarter *q, double time_s)
{
    double ms = q->sprung_kg, mu = q->unsprung_kg, k = q->spring_n_m, c = q->damper_n_s_m, kt = q->tyre_n_m;
    double rates[SIZE][SIZE] = {{0, 1, 0, 0, 0},
                                {-k / ms, -c / ms, k / ms, c / ms, 0},
                                {0, 0, 0, 1, 0},
                                {k / mu, c / mu, -(k + kt) / mu, -c / mu, kt / mu},
                                {0}};
    double over[SIZE][SIZE];
    evn_quarter_step step;
    for (int i = 0; i < SIZE; i++)
        for (int j = 0; j < SIZE; j++)
            rates[i][j] *= time_s;
    exponential(rates, over);
    for (int i = 0; i < 4; i++) {
        memcpy(step.transition[i], over[i], sizeof step.transition[i]);
        step.response[i] = over[i][4];
    }
    return step;
}

static void go_on(const evn_quarter_step *by, double slope, double state[4])
{
    double next[4];
    for (int i = 0; i < 4; i++) {
        next[i] = by->response[i] * slope;
        for (int j = 0; j < 4; j++)
            next[i] += by->transition[i][j] * state[j];
    }
    memcpy(state, next, sizeof next);
}

double evn_iri_m_km(const double *height_m, size_t points, double apart_m, size_t lead)
{
    evn_quarter_step by = evn_quarter_step_of(&evn_golden_car, apart_m / EVN_GOLDEN_SPEED_M_S);
    double state[4] = {0}, sum = 0;
    size_t counted = 0;
    for (size_t i = 1; i < points; i++) {
        go_on(&by, (height_m[i] - height_m[i - 1]) / apart_m, state);
        if (i <= lead)
            continue;
        sum += fabs(state[0] - state[2]);
        counted++;
    }
    return counted > 0 ? 1000 * sum / (double)counted : (double)NAN;
}

/* The variance of the golden car's travel rate on white velocity of the road is pi^2 n0^2 Gd V kt/c per unit mass. */
double evn_road_iri_m_km(double unevenness_m3)
{
    const evn_quarter car = evn_golden_car;
    double slope =
        PI * EVN_WAVE_REFERENCE_M1 * sqrt(unevenness_m3 * car.tyre_n_m / (car.damper_n_s_m * EVN_GOLDEN_SPEED_M_S));
    return 1000 * sqrt(2 / PI) * slope;
}

double evn_spectrum_iri_m_km(const evn_spectrum *s)
{
    evn_moments m[EVN_RIDES];
    const evn_band band = {s->wave_m1[0] * EVN_GOLDEN_SPEED_M_S, s->wave_m1[s->count - 1] * EVN_GOLDEN_SPEED_M_S};
    evn_quarter_on_spectrum(&evn_golden_car, s, 1, EVN_GOLDEN_SPEED_M_S, band, m);
    double rate_m_s = 2 * PI * m[EVN_RIDE_TRAVEL].upcrossings_hz * m[EVN_RIDE_TRAVEL].rms;
    return 1000 * sqrt(2 / PI) * rate_m_s / EVN_GOLDEN_SPEED_M_S;
}
