/*
 * Smoothing in time that goes with the number of points: five diagonals, factored once. What noise leaves: of a value
 * the share of the variance is dx * 3 / (8 sqrt 2) / lambda^(1/4), of the slope dx / (8 sqrt 2) / lambda^(3/4), of the
 * second derivative dx / (8 sqrt 2) / lambda^(5/4), by integrating the square of the gain above over all waves.
 */
#include "log/spline.h"
#include "core/units.h"
#include <math.h>
#include <stdlib.h>
#include <string.h>

#define ROOT_8_2 11.313708498984761 /* 8 sqrt 2 */

typedef struct bands {     /* of a symmetric matrix: diagonal, next, next but one */
    double *d, *e, *f, *g; /* g: right side, then the solution */
    size_t count;
} bands;

static double step_at(const evn_points *p, size_t i) { return p->x[i + 1] - p->x[i]; }

static double share_of(const evn_points *p, size_t i)
{
    size_t last = p->count - 1;
    return i == 0 ? step_at(p, 0) / 2 : i == last ? step_at(p, last - 1) / 2 : (p->x[i + 1] - p->x[i - 1]) / 2;
}

/* Column j of Q touches the points j, j + 1, j + 2: second divided differences. */
static void put_column(const evn_points *p, size_t j, double q[3])
{
    double a = 1 / step_at(p, j), b = 1 / step_at(p, j + 1);
    q[0] = a;
    q[1] = -a - b;
    q[2] = b;
}

static void put_bands(const evn_points *p, double lambda, bands *m)
{
    for (size_t j = 0; j < m->count; j++) {
        double q[3], r[3] = {0}, s[3] = {0};
        put_column(p, j, q);
        double w[3] = {lambda / share_of(p, j), lambda / share_of(p, j + 1), lambda / share_of(p, j + 2)};
        if (j + 1 < m->count)
            put_column(p, j + 1, r);
        if (j + 2 < m->count)
            put_column(p, j + 2, s);
        m->d[j] = (p->x[j + 2] - p->x[j]) / 3 + w[0] * q[0] * q[0] + w[1] * q[1] * q[1] + w[2] * q[2] * q[2];
        m->e[j] = j + 1 < m->count ? step_at(p, j + 1) / 6 + w[1] * q[1] * r[0] + w[2] * q[2] * r[1] : 0;
        m->f[j] = w[2] * q[2] * s[0];
        m->g[j] = q[0] * p->y[j] + q[1] * p->y[j + 1] + q[2] * p->y[j + 2];
    }
}

/* L D L^T of a symmetric positive matrix, then both ways. */
static void solve(bands *m)
{
    size_t n = m->count;
    for (size_t j = 0; j < n; j++) {
        double e = m->e[j], f = m->f[j], d = m->d[j];
        if (j + 1 < n) {
            m->d[j + 1] -= e * e / d;
            m->e[j + 1] -= j + 2 < n ? e * f / d : 0;
        }
        if (j + 2 < n)
            m->d[j + 2] -= f * f / d;
        m->e[j] = e / d;
        m->f[j] = f / d;
    }
    for (size_t j = 0; j < n; j++)
        m->g[j] -= (j >= 1 ? m->e[j - 1] * m->g[j - 1] : 0) + (j >= 2 ? m->f[j - 2] * m->g[j - 2] : 0);
    for (size_t j = 0; j < n; j++)
        m->g[j] /= m->d[j];
    for (size_t j = n; j-- > 0;)
        m->g[j] -= (j + 1 < n ? m->e[j] * m->g[j + 1] : 0) + (j + 2 < n ? m->f[j] * m->g[j + 2] : 0);
}

/* Second derivative at a point; none at the ends. */
static double bend(const bands *m, size_t i) { return i == 0 || i > m->count ? 0 : m->g[i - 1]; }

static void put_curve(const evn_points *p, double lambda, const bands *m, double *value, double *slope)
{
    size_t last = p->count - 1;
    for (size_t i = 0; i <= last; i++) {
        double pull = 0;
        if (i < last)
            pull += (bend(m, i + 1) - bend(m, i)) / step_at(p, i);
        if (i > 0)
            pull -= (bend(m, i) - bend(m, i - 1)) / step_at(p, i - 1);
        value[i] = p->y[i] - lambda / share_of(p, i) * pull;
    }
    for (size_t i = 0; i < last; i++) {
        double h = step_at(p, i);
        slope[i] = (value[i + 1] - value[i]) / h - h * (2 * bend(m, i) + bend(m, i + 1)) / 6;
    }
    double h = step_at(p, last - 1);
    slope[last] = (value[last] - value[last - 1]) / h + h * (bend(m, last - 1) + 2 * bend(m, last)) / 6;
}

static bool few(const evn_points *p, double *value, double *slope)
{
    if (p->count > 2)
        return false;
    for (size_t i = 0; i < p->count; i++) {
        value[i] = p->y[i];
        slope[i] = p->count == 2 ? (p->y[1] - p->y[0]) / step_at(p, 0) : 0;
    }
    return true;
}

static bool make_bands(bands *m, size_t points, evn_arena *arena)
{
    size_t n = points - 2;
    double *room = arena ? evn_arena_take(arena, 4 * n * sizeof *room) : NULL;
    *m = (bands){room, room + (room ? n : 0), room + (room ? 2 * n : 0), room + (room ? 3 * n : 0), n};
    return room;
}

static double lambda_of(double width) { return pow(width / (2 * EVN_PI), 4); }

bool evn_spline_smooth(const evn_points *p, double width, double *value, double *slope)
{
    if (few(p, value, slope))
        return true;
    evn_arena *own = evn_arena_new();
    bands m;
    bool there = make_bands(&m, p->count, own);
    if (there) {
        double lambda = lambda_of(width);
        put_bands(p, lambda, &m);
        solve(&m);
        put_curve(p, lambda, &m, value, slope);
    }
    if (own)
        evn_arena_free(own);
    return there;
}

/* ------------------------------------------------------------------------------------------------ cross validation */

/*
 * Sum over all points of 1 less the weight of each in its own value. Of the inverse of the matrix that was factored
 * only the diagonal and two bands are needed, from the last row up.
 */
static double free_points(const evn_points *p, const bands *m)
{
    double sum = 0, here[3] = {0}, next[3] = {0}; /* of rows of the inverse: diagonal, next, next but one */
    for (size_t j = m->count; j-- > 0;) {
        double e = j + 1 < m->count ? m->e[j] : 0, f = j + 2 < m->count ? m->f[j] : 0;
        double after = next[0];
        memcpy(next, here, sizeof next);
        here[1] = -e * next[0] - f * next[1];
        here[2] = -e * next[1] - f * after;
        here[0] = 1 / m->d[j] - e * here[1] - f * here[2];
        double along = (p->x[j + 2] - p->x[j]) / 3, beside = j + 1 < m->count ? step_at(p, j + 1) / 6 : 0;
        sum += 1 - along * here[0] - 2 * beside * here[1];
    }
    return sum;
}

typedef struct trial {
    bands m;
    double *value, *slope;
} trial;

static double validation_at(const evn_points *p, double width, trial *t)
{
    double lambda = lambda_of(width), squares = 0;
    put_bands(p, lambda, &t->m);
    solve(&t->m);
    put_curve(p, lambda, &t->m, t->value, t->slope);
    for (size_t i = 0; i < p->count; i++)
        squares += share_of(p, i) * (p->y[i] - t->value[i]) * (p->y[i] - t->value[i]);
    double share = free_points(p, &t->m) / (double)p->count;
    return squares / (p->x[p->count - 1] - p->x[0]) / (share * share);
}

/* The least of a parabola through three evenly placed values, as a part of their distance from the middle one. */
static double vertex(const double v[3])
{
    double bent = v[0] - 2 * v[1] + v[2];
    return bent > 0 ? fmin(fmax((v[0] - v[2]) / 2 / bent, -0.5), 0.5) : 0;
}

bool evn_spline_width_by_validation(const evn_points *p, double least, double most, double *width)
{
    enum { WIDTHS = 12 };
    *width = least;
    if (p->count <= 3)
        return true;
    evn_arena *own = evn_arena_new();
    trial t;
    bool there = make_bands(&t.m, p->count, own);
    t.value = there ? evn_arena_take(own, p->count * sizeof *t.value) : NULL;
    t.slope = there ? evn_arena_take(own, p->count * sizeof *t.slope) : NULL;
    there = t.value && t.slope;
    double found[WIDTHS], factor = pow(most / least, 1.0 / (WIDTHS - 1));
    int best = 0;
    for (int k = 0; there && k < WIDTHS; k++) {
        found[k] = validation_at(p, least * pow(factor, k), &t);
        best = found[k] < found[best] ? k : best;
    }
    if (there) {
        bool inside = best > 0 && best + 1 < WIDTHS;
        *width = least * pow(factor, best + (inside ? vertex(&found[best - 1]) : 0));
    }
    if (own)
        evn_arena_free(own);
    return there;
}

/* ------------------------------------------------------------------------------------------------ points that stand
 * off */

static int rising(const void *a, const void *b)
{
    double x = *(const double *)a, y = *(const double *)b;
    return (x > y) - (x < y);
}

/* What would stand at k if the numbers were sorted (Hoare, Algorithm 65, 1961, from memory); sorts where that is slow.
 */
static double selected(double *x, size_t count, size_t k)
{
    enum { ROUNDS_MOST = 60, FEW = 16 };
    size_t low = 0, high = count;
    for (int round = 0; high - low > FEW && round < ROUNDS_MOST; round++) {
        double a = x[low], b = x[low + (high - low) / 2], c = x[high - 1];
        double pivot = fmax(fmin(a, b), fmin(fmax(a, b), c));
        size_t i = low, j = high - 1;
        for (;; i++, j--) {
            while (x[i] < pivot)
                i++;
            while (x[j] > pivot)
                j--;
            if (i >= j)
                break;
            double swapped = x[i];
            x[i] = x[j];
            x[j] = swapped;
        }
        if (k <= j)
            high = j + 1;
        else
            low = j + 1;
    }
    qsort(x + low, high - low, sizeof *x, rising);
    return x[k];
}

double evn_median_of(double *x, size_t count) { return count == 0 ? 0 : selected(x, count, count / 2); }

static double scatter_of(const evn_points *p, const double *value, double *room)
{
    for (size_t i = 0; i < p->count; i++)
        room[i] = fabs(p->y[i] - value[i]);
    return EVN_SCATTER_PER_MEDIAN * evn_median_of(room, p->count);
}

static size_t leave_out(evn_points *p, const double *value, double most)
{
    size_t kept = 0;
    for (size_t i = 0; i < p->count; i++)
        if (fabs(p->y[i] - value[i]) <= most) {
            p->x[kept] = p->x[i];
            p->y[kept++] = p->y[i];
        }
    size_t off = p->count - kept;
    p->count = kept;
    return off;
}

bool evn_spline_robust(evn_points *p, double width, double off_least, double *value, double *slope, size_t *off,
                       double *scatter)
{
    enum { ROUNDS = 4 };
    evn_arena *own = evn_arena_new();
    double *room = own ? evn_arena_take(own, (p->count + 1) * sizeof *room) : NULL;
    bool there = room;
    *off = 0;
    for (int round = 0; there; round++) {
        there = evn_spline_smooth(p, width, value, slope);
        *scatter = there ? scatter_of(p, value, room) : 0;
        size_t more = there && round < ROUNDS ? leave_out(p, value, fmax(5 * *scatter, off_least)) : 0;
        *off += more;
        if (more == 0)
            break;
    }
    if (own)
        evn_arena_free(own);
    return there;
}

/* ------------------------------------------------------------------------------------------------ points */

enum { REACH_MOST = 4 };

/*
 * Of the points around one, as many on both sides: fewer at the ends, where points of one side alone would set a ramp's
 * last point against its middle.
 */
static double median_around(const evn_points *p, size_t i, size_t reach)
{
    double near[2 * REACH_MOST + 1];
    size_t behind = i < reach ? i : reach, ahead = p->count - 1 - i, side = behind < ahead ? behind : ahead;
    size_t count = 0;
    for (size_t k = i - side; k <= i + side; k++) {
        size_t at = count++;
        for (; at > 0 && near[at - 1] > p->y[k]; at--)
            near[at] = near[at - 1];
        near[at] = p->y[k];
    }
    return near[count / 2];
}

bool evn_points_despike(evn_points *p, size_t reach, double off_least, size_t *off)
{
    evn_arena *own = evn_arena_new();
    double *middle = own ? evn_arena_take(own, (p->count + 1) * sizeof *middle) : NULL;
    double *room = own ? evn_arena_take(own, (p->count + 1) * sizeof *room) : NULL;
    bool there = middle && room;
    *off = 0;
    if (there) {
        for (size_t i = 0; i < p->count; i++)
            middle[i] = median_around(p, i, reach < REACH_MOST ? reach : REACH_MOST);
        *off = leave_out(p, middle, fmax(5 * scatter_of(p, middle, room), off_least));
    }
    if (own)
        evn_arena_free(own);
    return there;
}

static bool make_points(evn_points *out, size_t count, evn_arena *arena)
{
    out->x = evn_arena_take(arena, (count + 1) * sizeof *out->x);
    out->y = evn_arena_take(arena, (count + 1) * sizeof *out->y);
    out->count = 0;
    return out->x && out->y;
}

bool evn_points_thin(const evn_points *p, double apart, evn_points *out, evn_arena *arena)
{
    if (!make_points(out, p->count, arena))
        return false;
    for (size_t i = 0; i < p->count;) {
        double x = 0, y = 0, begin = p->x[i];
        size_t taken = 0;
        for (; i < p->count && (taken == 0 || p->x[i] <= begin || p->x[i] < begin + apart); i++, taken++) {
            x += p->x[i];
            y += p->y[i];
        }
        out->x[out->count] = x / (double)taken;
        out->y[out->count++] = y / (double)taken;
    }
    return true;
}

/* Pieces of a gap; a night's rest needs no more of them than a tunnel. */
static size_t pieces_of(double gap, double apart)
{
    enum { PIECES_MOST = 1000 };
    double pieces = gap / apart;
    return pieces < PIECES_MOST ? (size_t)pieces + 1 : PIECES_MOST;
}

bool evn_points_bridge(const evn_points *p, double gap, double apart, evn_points *out, size_t *bridged,
                       evn_arena *arena)
{
    size_t more = 0;
    *bridged = 0;
    for (size_t i = 0; i + 1 < p->count; i++)
        if (step_at(p, i) > gap) {
            more += pieces_of(step_at(p, i), apart);
            ++*bridged;
        }
    if (!make_points(out, p->count + more, arena))
        return false;
    for (size_t i = 0; i < p->count; i++) {
        out->x[out->count] = p->x[i];
        out->y[out->count++] = p->y[i];
        if (i + 1 == p->count || step_at(p, i) <= gap)
            continue;
        double h = step_at(p, i);
        size_t pieces = pieces_of(h, apart);
        for (size_t k = 1; k < pieces; k++) {
            double share = (double)k / (double)pieces;
            out->x[out->count] = p->x[i] + share * h;
            out->y[out->count++] = p->y[i] + share * (p->y[i + 1] - p->y[i]);
        }
    }
    return true;
}

double evn_spline_width_for_slope(double scatter, double apart, double slope_scatter)
{
    double share = scatter / slope_scatter;
    return 2 * EVN_PI * cbrt(share * share * apart / ROOT_8_2);
}

double evn_spline_width_for_bend(double scatter, double apart, double bend_scatter)
{
    double share = scatter / bend_scatter;
    return 2 * EVN_PI * pow(share * share * apart / ROOT_8_2, 0.2);
}

bool evn_points_noise(const evn_points *p, double *scatter)
{
    *scatter = 0;
    if (p->count < 3)
        return true;
    evn_arena *own = evn_arena_new();
    double *room = own ? evn_arena_take(own, p->count * sizeof *room) : NULL;
    if (!room)
        return false;
    for (size_t i = 1; i + 1 < p->count; i++)
        room[i - 1] = fabs(p->y[i - 1] - 2 * p->y[i] + p->y[i + 1]);
    *scatter = EVN_SCATTER_PER_MEDIAN * evn_median_of(room, p->count - 2) / sqrt(6.0);
    evn_arena_free(own);
    return true;
}
