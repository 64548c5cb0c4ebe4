/*
 * A track as measured, height by height, as the lines of its spectrum. The straight line from its first point to its
 * last is taken off, so that it closes upon itself and its lines are those of one whole period: waves that fit whole
 * into its length. No window and no mean over segments: of a sine that fits in, the line is its variance, and of a road
 * whose slope is white the lines are without bias (the bridge of a random walk has independent ones, each with its
 * share). What one line says scatters, as do all of one road; what is asked of them is a sum of many.
 *
 * Only waves of the classes count (0.011 to 2.83 cycles/m), and only those that two points show.
 */
#ifndef EVENER_SITE_RIDE_MEASURED_H
#define EVENER_SITE_RIDE_MEASURED_H
#include "core/arena.h"
#include "cycle/cycle.h"
#include "site/ride_profile.h"
#include "site/ride_road.h"

typedef struct evn_measured {
    double length_m, apart_m;
    double to_m1;          /* shortest wave that counts, cycles/m */
    evn_road_lines line;   /* all of them, with their phases */
    evn_spectrum spectrum; /* their variances; neighbours nearer than half a per cent as one */
    double unevenness_m3;  /* at 0.1 cycles/m: mean of lines in the octave around it, each times (n/n0)^2 */
    double low_m3,
        high_m3;        /* between which it is that of all such roads, in 95 of 100: chi-squared, two for each line */
    double short_share; /* of the heights' variance but for long waves: in waves shorter than those that count */
    double long_share;  /* of all of it: in longer ones, which are hills */
    double iri_m_km;    /* its own index (ride_golden.h), not smoothed beforehand */
} evn_measured;

/* Of a profile that passed its check; what it holds is the arena's. False: memory is out. */
bool evn_measured_of(const evn_profile_file *, evn_arena *, evn_measured *out);

#endif
