/* Lines of a track as measured. */
#include "site/ride_measured.h"
#include "cycle/resolve.h"
#include "site/ride_golden.h"
#include "site/ride_transform.h"
#include <math.h>
#include <stdlib.h>
#include <string.h>

/* ------------------------------------------------------------------------------------------------ the track */

/* Its heights less the straight line from the first to the last, which is the first again and is left out; to be freed,
 * twice over. NULL: memory is out. */
static double *closed_heights(const evn_column *height, size_t steps)
{
    double *out = malloc(2 * steps * sizeof *out);
    double begin = height->at[0], rise = height->at[steps] - begin;
    for (size_t i = 0; out && i < steps; i++)
        out[i] = out[i + steps] = height->at[i] - begin - rise * (double)i / (double)steps;
    return out;
}

/* As many as count: up to the shortest wave of the classes, and before the wave of two points. */
static size_t lines_of(size_t steps, double length_m)
{
    double whole = floor(EVN_WAVES_TO_M1 * length_m * (1 + 1e-9));
    size_t shown = (steps - 1) / 2;
    return whole < (double)shown ? (size_t)whole : shown;
}

/* What of the heights' variance lies in waves that do not count; of an even number of steps the wave of two points has
 * half a line's. */
static void set_left_out(const evn_complex *sum, size_t steps, size_t first, size_t last, evn_measured *m)
{
    double band = 0, shorter = 0, longer = 0;
    for (size_t k = 1; k <= steps / 2; k++) {
        double here = evn_complex_size2(sum[k]) * (2 * k == steps ? 0.5 : 1);
        *(k < first ? &longer : k > last ? &shorter : &band) += here;
    }
    m->short_share = shorter > 0 ? shorter / (shorter + band) : 0;
    m->long_share = longer > 0 ? longer / (longer + band + shorter) : 0;
}

static bool set_lines(const double *height_m, size_t steps, evn_arena *arena, evn_measured *m)
{
    size_t last = lines_of(steps, m->length_m);
    size_t first = (size_t)ceil(EVN_WAVES_FROM_M1 * m->length_m * (1 - 1e-9));
    evn_complex *at = evn_arena_take(arena, (last + 1) * sizeof *at), *sum = malloc(steps * sizeof *sum);
    bool done = at && sum && evn_transform_real(height_m, steps, sum);
    for (size_t k = 0; done && k <= last; k++)
        at[k] = k < first || k == 0 ? (evn_complex){0, 0}
                                    : (evn_complex){2 * sum[k].re / (double)steps, 2 * sum[k].im / (double)steps};
    if (done)
        set_left_out(sum, steps, first, last, m);
    free(sum);
    m->line = (evn_road_lines){at, last + 1};
    m->to_m1 = (double)last / m->length_m;
    return done;
}

/* ------------------------------------------------------------------------------------------------ what they say */

static double variance_m2(const evn_measured *m, size_t k) { return evn_complex_size2(m->line.at[k]) / 2; }

/* Neighbours as one at their mean wave, weighed by their variances: so near that no resonance tells them apart. */
static bool set_spectrum(evn_arena *arena, evn_measured *m)
{
    static const double AS_ONE = 1.005;
    double *wave = evn_arena_take(arena, m->line.count * sizeof *wave),
           *line = evn_arena_take(arena, m->line.count * sizeof *line);
    size_t count = 0, from = 0;
    if (!wave || !line)
        return false;
    wave[0] = 1 / m->length_m; /* of a track without any wave: one of no height */
    line[0] = 0;
    for (size_t k = 1; k < m->line.count; k++) {
        double here = variance_m2(m, k);
        if (!(here > 0))
            continue;
        if (count == 0 || (double)k > AS_ONE * (double)from) {
            from = k;
            wave[count] = line[count] = 0;
            count++;
        }
        line[count - 1] += here;
        wave[count - 1] += (double)k / m->length_m * here;
    }
    for (size_t i = 0; i < count; i++)
        wave[i] /= line[i];
    m->spectrum = (evn_spectrum){.wave_m1 = wave, .line_m2 = line, .count = count > 0 ? count : 1};
    return true;
}

/* Quantile of chi-squared at a deviate z of the normal distribution (Wilson and Hilferty, 1931, from memory). */
static double chi_squared(double freedoms, double z)
{
    double part = 2 / (9 * freedoms), root = 1 - part + z * sqrt(part);
    return freedoms * root * root * root;
}

static void set_unevenness(evn_measured *m)
{
    static const double HALF_OCTAVE = 1.4142135623730951, Z_95 = 1.959963984540054;
    double sum_m3 = 0, freedoms = 0;
    for (size_t k = 1; k < m->line.count; k++) {
        double ratio = (double)k / m->length_m / EVN_WAVE_REFERENCE_M1;
        if (ratio < 1 / HALF_OCTAVE || ratio > HALF_OCTAVE)
            continue;
        sum_m3 += variance_m2(m, k) * m->length_m * ratio * ratio;
        freedoms += 2;
    }
    m->unevenness_m3 = 2 * sum_m3 / freedoms;
    m->low_m3 = 2 * sum_m3 / chi_squared(freedoms, Z_95);
    m->high_m3 = 2 * sum_m3 / chi_squared(freedoms, -Z_95);
}

bool evn_measured_of(const evn_profile_file *file, evn_arena *arena, evn_measured *m)
{
    evn_column place = {.at = file->place_m.at, .count = file->place_m.count},
               height = {.at = file->height_m.at, .count = file->height_m.count};
    if (file->table) {
        place = evn_table_column(file->table, "place_m");
        height = evn_table_column(file->table, "height_m");
    }
    size_t steps = place.count - 1;
    *m = (evn_measured){.length_m = place.at[steps] - place.at[0]};
    m->apart_m = m->length_m / (double)steps;
    double *height_m = closed_heights(&height, steps);
    bool done = height_m && set_lines(height_m, steps, arena, m) && set_spectrum(arena, m);
    if (done) {
        set_unevenness(m);
        m->iri_m_km = evn_iri_m_km(height_m, 2 * steps, m->apart_m, steps);
    }
    free(height_m);
    return done;
}
