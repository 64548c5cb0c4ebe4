/* Profiles of roads from lines of their spectra. */
#include "site/ride_profile.h"
#include "site/ride_golden.h"
#include "site/ride_road.h"
#include "site/ride_transform.h"
#include <math.h>
#include <stdlib.h>

static const double PI = 3.14159265358979323846;

/* ------------------------------------------------------------------------------------------------ drawn by lot */

/* SplitMix64 (Steele, Lea and Flood, 2014; constants from memory). */
static uint64_t next_bits(uint64_t *state)
{
    uint64_t z = *state += 0x9e3779b97f4a7c15U;
    z = (z ^ (z >> 30)) * 0xbf58476d1ce4e5b9U;
    z = (z ^ (z >> 27)) * 0x94d049bb133111ebU;
    return z ^ (z >> 31);
}

/* Between 0 and 1, never either. */
static double next_share(uint64_t *state) { return ((double)(next_bits(state) >> 11) + 0.5) * 0x1p-53; }

/* ------------------------------------------------------------------------------------------------ profiles */

/* What the spline makes of a wave of so many periods at its points, which is taken back beforehand. */
static double by_spline(size_t periods, size_t points)
{
    return (2 + cos(2 * PI * (double)periods / (double)points)) / 3;
}

/* A line of wave number k over the length has the amplitude sqrt(2 Gd(n) dn): the variance of its share of the band. */
static void put_lines(const evn_profile_ask *ask, evn_complex *line, size_t points, double length_m)
{
    uint64_t lot = ask->seed;
    size_t first = (size_t)ceil(ask->from_m1 * length_m), last = (size_t)floor(ask->to_m1 * length_m);
    for (size_t k = first > 1 ? first : 1; k <= last && 2 * k < points; k++) {
        double wave_m1 = (double)k / length_m;
        double density_m3 = ask->spectrum ? ask->unevenness_m3 * evn_spectrum_density_m3(ask->spectrum, wave_m1)
                                          : evn_road_density_m3(ask->unevenness_m3, wave_m1);
        double amplitude_m = sqrt(2 * density_m3 / length_m);
        double phase = 2 * PI * next_share(&lot);
        if (ask->lines == EVN_LINES_DRAWN)
            amplitude_m *= sqrt(-log(next_share(&lot))); /* mean square 1 */
        amplitude_m /= by_spline(k, points);
        line[k] = (evn_complex){amplitude_m * cos(phase), amplitude_m * sin(phase)};
    }
}

static void put_measured(const evn_road_lines *measured, evn_complex *line, size_t points)
{
    for (size_t k = 1; k < measured->count && 2 * k < points; k++) {
        double spline = by_spline(k, points);
        line[k] = (evn_complex){measured->at[k].re / spline, measured->at[k].im / spline};
    }
}

bool evn_profile_make(const evn_profile_ask *ask, evn_profile *out)
{
    size_t points = (size_t)1 << ask->points_log2;
    evn_complex *line = calloc(points, sizeof *line);
    *out = (evn_profile){malloc(points * sizeof *out->knot), points, ask->apart_m, ask->apart_m * (double)points};
    if (!line || !out->knot) {
        free(line);
        evn_profile_free(out);
        return false;
    }
    if (ask->measured)
        put_measured(ask->measured, line, points);
    else
        put_lines(ask, line, points, out->length_m);
    evn_transform(line, ask->points_log2);
    for (size_t i = 0; i < points; i++)
        out->knot[i] = line[i].re;
    free(line);
    return true;
}

void evn_profile_free(evn_profile *p)
{
    free(p->knot);
    p->knot = NULL;
}

void evn_profile_at(const evn_profile *p, double place_m, double *height_m, double *slope)
{
    double at = place_m / p->apart_m, whole = floor(at), t = at - whole, u = 1 - t;
    double round = fmod(whole, (double)p->points);
    size_t mask = p->points - 1, i = (size_t)(round < 0 ? round + (double)p->points : round);
    const double *c = p->knot;
    double a = c[(i + mask) & mask], b = c[i & mask], d = c[(i + 1) & mask], e = c[(i + 2) & mask];
    *height_m =
        (a * u * u * u + b * (4 - 6 * t * t + 3 * t * t * t) + d * (4 - 6 * u * u + 3 * u * u * u) + e * t * t * t) / 6;
    *slope = (-a * u * u + b * (3 * t * t - 4 * t) + d * (4 * u - 3 * u * u) + e * t * t) / (2 * p->apart_m);
}

double evn_profile_iri_m_km(const evn_profile *p)
{
    double *height_m = malloc(2 * p->points * sizeof *height_m), slope;
    if (!height_m)
        return (double)NAN;
    for (size_t i = 0; i < 2 * p->points; i++)
        evn_profile_at(p, (double)i * p->apart_m, &height_m[i], &slope);
    double iri = evn_iri_m_km(height_m, 2 * p->points, p->apart_m, p->points);
    free(height_m);
    return iri;
}
