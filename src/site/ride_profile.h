/*
 * A road's height over place, made of the lines of its spectrum: waves that fit whole into its length, so that it may
 * be driven round and round. Between its points it is a cubic B-spline: height, slope and curvature go on evenly.
 */
#ifndef EVENER_SITE_RIDE_PROFILE_H
#define EVENER_SITE_RIDE_PROFILE_H
#include "site/ride_complex.h"
#include "site/ride_road.h"
#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

/* Phases of the lines are drawn by lot; their amplitudes are those of the spectrum, or drawn too (a Gaussian road). */
typedef enum evn_lines { EVN_LINES_OF_SPECTRUM, EVN_LINES_DRAWN } evn_lines;

/* Waves that fit k times into a length: its height is the real part of the sum of at_k exp(2 pi i k place/length). */
typedef struct evn_road_lines {
    const evn_complex *at; /* m; the first, of k = 0, does not count */
    size_t count;
} evn_road_lines;

typedef struct evn_profile_ask {
    double unevenness_m3;
    double from_m1, to_m1; /* band of wave numbers, both included */
    double apart_m;        /* of points; well below half the shortest wave */
    unsigned points_log2;  /* 2 to the power of this many points; at most EVN_PROFILE_MOST_LOG2 */
    evn_lines lines;
    uint64_t seed;
    const evn_spectrum *spectrum;   /* as measured, times the unevenness; NULL: of the classes */
    const evn_road_lines *measured; /* a track itself, of which apart_m makes the length: instead of unevenness, band,
                                       lot and spectrum; NULL: by lot */
} evn_profile_ask;
enum { EVN_PROFILE_MOST_LOG2 = 22 };

typedef struct evn_profile {
    double *knot; /* coefficients of the spline, m */
    size_t points;
    double apart_m, length_m;
} evn_profile;

/* False: memory is out. */
bool evn_profile_make(const evn_profile_ask *, evn_profile *out);
void evn_profile_free(evn_profile *);

/* At any place, the profile repeated to both sides. */
void evn_profile_at(const evn_profile *, double place_m, double *height_m, double *slope);
/* Its index (ride_golden.h), over its whole length after as much of it again; NAN: memory is out. */
double evn_profile_iri_m_km(const evn_profile *);

#endif
