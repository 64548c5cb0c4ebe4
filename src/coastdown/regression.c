/*
 * The road load by regression: from the speeds of each band of a run its mean deceleration, from that the force, and a
 * straight line through the forces over the squares of the speeds.
 *
 * The deceleration of a band is the slope of the straight line of least squares through its speeds. That is the mean of
 * dv/dt weighted by a parabola, zero at both ends of the band: with v = v' summed up, sum (t - tm) v over
 * sum (t - tm)^2 is the integral of v' weighted so. Square of the speed, grade and wind are taken with the same
 * weights: what the equations of motion say at each instant then holds of the means too, and a run without noise gives
 * its own coefficients back whatever the width of the bands.
 */
#include "coastdown/coastdown.h"
#include <math.h>

enum { SAMPLES_LEAST = 4 }; /* of a band */

typedef struct means {
    double deceleration_m_s2, speed_m_s, speed2_m2_s2, climbing, cosine, duration_s;
} means;

static double middle_of(const evn_coast_sample *at, size_t count, double *spread)
{
    double sum = 0;
    for (size_t i = 0; i < count; i++)
        sum += at[i].time_s;
    double middle = sum / (double)count;
    *spread = 0;
    for (size_t i = 0; i < count; i++)
        *spread += (at[i].time_s - middle) * (at[i].time_s - middle);
    return middle;
}

/* Sums over intervals between samples, each with the weight that the straight line gives its change of speed. */
static means means_of(const evn_coast_sample *at, size_t count, double wind_m_s)
{
    double spread, middle = middle_of(at, count, &spread), weight = 0, total = 0;
    means m = {.duration_s = at[count - 1].time_s - at[0].time_s};
    for (size_t i = 0; i + 1 < count; i++) {
        const evn_coast_sample *a = &at[i], *b = a + 1;
        weight += (middle - a->time_s) / spread; /* of all changes of speed from here on */
        double time_s = b->time_s - a->time_s, share = weight * time_s, speed = (a->speed_m_s + b->speed_m_s) / 2;
        double a_air = a->speed_m_s + a->headwind_m_s + wind_m_s, b_air = b->speed_m_s + b->headwind_m_s + wind_m_s;
        double grade = (a->grade + b->grade) / 2, cosine = 1 / sqrt(1 + grade * grade);
        m.deceleration_m_s2 -= weight * (b->speed_m_s - a->speed_m_s);
        m.speed_m_s += share * speed;
        m.speed2_m2_s2 += share * (a_air * fabs(a_air) + b_air * fabs(b_air)) / 2;
        m.climbing += share * grade * cosine;
        m.cosine += share * cosine;
        total += share;
    }
    m.speed_m_s /= total;
    m.speed2_m2_s2 /= total;
    m.climbing /= total;
    m.cosine /= total;
    m.deceleration_m_s2 /= total;
    return m;
}

static evn_coast_band band_of(const evn_coast_vehicle *of, const evn_coast_run *run, size_t begin, size_t count,
                              double wind_m_s)
{
    means m = means_of(&run->at[begin], count, (run->back ? -1 : 1) * wind_m_s);
    return (evn_coast_band){
        .speed_m_s = m.speed_m_s,
        .speed2_m2_s2 = m.speed2_m2_s2,
        .slope_cos = m.cosine,
        .density_kg_m3 = run->density_kg_m3,
        .force_n = (of->mass_kg + of->rotating_kg) * m.deceleration_m_s2 - of->mass_kg * of->gravity_m_s2 * m.climbing,
        .duration_s = m.duration_s,
    };
}

size_t evn_coast_bands(const evn_coast_vehicle *of, const evn_coast_run *run, size_t runs, double width_m_s,
                       double wind_m_s, evn_coast_band *out, size_t room)
{
    size_t bands = 0;
    for (size_t r = 0; r < runs; r++) {
        size_t begin = 0;
        for (size_t i = 1; i < run[r].count; i++) {
            bool through = run[r].at[begin].speed_m_s - run[r].at[i].speed_m_s >= width_m_s;
            if (!through || i - begin + 1 < SAMPLES_LEAST)
                continue;
            if (bands < room) {
                out[bands] = band_of(of, &run[r], begin, i - begin + 1, wind_m_s);
                out[bands].run = r;
            }
            bands++;
            begin = i;
        }
    }
    return bands;
}

/* ------------------------------------------------------------------------------------------------ the line */

enum { LINE = 2, GROUPS_MOST = 64 };

static void row_of(const evn_coast_vehicle *of, const evn_coast_band *b, double row[LINE])
{
    row[0] = of->mass_kg * of->gravity_m_s2 * b->slope_cos;
    row[1] = 0.5 * b->density_kg_m3 * b->speed2_m2_s2;
}

static double residual_of(const evn_coast_vehicle *of, const evn_coast_band *b, const double x[LINE])
{
    double row[LINE];
    row_of(of, b, row);
    return b->force_n - x[0] * row[0] - x[1] * row[1];
}

/* Half of the 95 % interval: by the scatter between groups where there are enough of them, and at least by the noise.
 */
static void put_intervals(evn_coast_found *out, const evn_normal *group, double variance,
                          double inverse[][EVN_NORMAL_MOST])
{
    double scatter[EVN_NORMAL_MOST][EVN_NORMAL_MOST];
    double by_noise = evn_student_95(out->rows - LINE);
    out->by_scatter = evn_normal_jackknife(group, out->groups, LINE, scatter);
    for (size_t i = 0; i < LINE; i++) {
        out->half[i] = by_noise * sqrt(variance * inverse[i][i]);
        if (out->by_scatter)
            out->half[i] = fmax(out->half[i], evn_student_95(out->groups - 1) * sqrt(scatter[i][i]));
        for (size_t j = 0; j < LINE; j++)
            out->correlation[i][j] = inverse[i][j] / sqrt(inverse[i][i] * inverse[j][j]);
    }
}

void evn_coast_regress(const evn_coast_vehicle *of, const evn_coast_run *run, size_t runs, const evn_coast_band *band,
                       size_t bands, evn_coast_found *out)
{
    evn_normal group[GROUPS_MOST] = {{{{0}}}}, all = {{{0}}};
    double inverse[EVN_NORMAL_MOST][EVN_NORMAL_MOST], x[EVN_NORMAL_MOST], row[LINE], sum = 0;
    *out = (evn_coast_found){.why_not = "fewer than three bands of speed", .rows = bands};
    for (size_t i = 0; i < EVN_COAST_LAWS; i++)
        out->half[i] = (double)NAN;
    for (size_t r = 0; r < runs; r++)
        out->groups = run[r].group + 1 > out->groups ? run[r].group + 1 : out->groups;
    if (bands <= LINE)
        return;
    for (size_t b = 0; b < bands; b++) {
        row_of(of, &band[b], row);
        evn_normal_add(&group[run[band[b].run].group], LINE, row, band[b].force_n);
        evn_normal_add(&all, LINE, row, band[b].force_n);
    }
    out->why_not = "the speeds of the runs lie too close together to tell rolling resistance from air drag";
    out->there = evn_normal_solve(&all, LINE, x, inverse);
    if (!out->there)
        return;
    out->why_not = NULL;
    out->load = (evn_coast_road_load){.of = {[EVN_COAST_ROLLING] = x[0], [EVN_COAST_DRAG] = x[1]}};
    for (size_t b = 0; b < bands; b++)
        sum += pow(residual_of(of, &band[b], x), 2);
    out->rms = sqrt(sum / (double)bands);
    put_intervals(out, group, sum / (double)(bands - LINE), inverse);
}
