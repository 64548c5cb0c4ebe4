/* Curves through points: their slopes, values, derivatives and integrals. */
#include "core/curve.h"
#include <math.h>
#include <string.h>

static double secant_of(const double *x, const double *y, size_t k) { return (y[k + 1] - y[k]) / (x[k + 1] - x[k]); }

/* Harmonic mean of the neighbouring secants, weighted by their lengths; 0 at a turning point. */
static double inner_slope(const double *x, const double *y, size_t k)
{
    double left = secant_of(x, y, k - 1), right = secant_of(x, y, k);
    if (left * right <= 0)
        return 0;
    double a = x[k] - x[k - 1], b = x[k + 1] - x[k];
    return 3 * (a + b) / ((2 * b + a) / left + (b + 2 * a) / right);
}

/* Three-point formula, cut so that the end piece stays monotone. */
static double end_slope(double near_length, double far_length, double near_secant, double far_secant)
{
    double s = ((2 * near_length + far_length) * near_secant - near_length * far_secant) / (near_length + far_length);
    if (s * near_secant <= 0)
        return 0;
    if (near_secant * far_secant <= 0 && fabs(s) > 3 * fabs(near_secant))
        return 3 * near_secant;
    return s;
}

double evn_curve_slope(const double *x, const double *y, size_t n, size_t k)
{
    if (n == 1)
        return 0;
    if (n == 2)
        return secant_of(x, y, 0);
    if (k == 0)
        return end_slope(x[1] - x[0], x[2] - x[1], secant_of(x, y, 0), secant_of(x, y, 1));
    if (k + 1 < n)
        return inner_slope(x, y, k);
    return end_slope(x[n - 1] - x[n - 2], x[n - 2] - x[n - 3], secant_of(x, y, n - 2), secant_of(x, y, n - 3));
}

typedef struct cubic { /* y + u (slope + u (bend + u twist)), u from the left point */
    double bend, twist;
} cubic;

static cubic cubic_of(const double *x, const double *y, const double *slope)
{
    double h = x[1] - x[0], s = secant_of(x, y, 0), m0 = slope[0], m1 = slope[1];
    return (cubic){(3 * s - 2 * m0 - m1) / h, (m0 + m1 - 2 * s) / (h * h)};
}

/* Integral of the cubic piece k from its left point over a length u. */
static double piece_integral(const evn_curve *c, size_t k, double u)
{
    return u * (c->y[k] + u * (c->slope[k] / 2 + u * (c->bend[k] / 3 + u * c->twist[k] / 4)));
}

void evn_curve_make(evn_curve *c, const double *x, const double *y, size_t count, bool hold_ends)
{
    memset(c, 0, sizeof *c);
    c->count = count;
    c->hold_ends = hold_ends;
    memcpy(c->x, x, count * sizeof *x);
    memcpy(c->y, y, count * sizeof *y);
    for (size_t k = 0; k < count; k++)
        c->slope[k] = evn_curve_slope(c->x, c->y, count, k);
    for (size_t k = 0; k + 1 < count; k++) {
        cubic piece = cubic_of(c->x + k, c->y + k, c->slope + k);
        c->bend[k] = piece.bend;
        c->twist[k] = piece.twist;
        c->integral[k + 1] = c->integral[k] + piece_integral(c, k, c->x[k + 1] - c->x[k]);
    }
}

double evn_curve_piece(const double *x, const double *y, const double *slope, double at)
{
    double u = at - x[0];
    cubic piece = cubic_of(x, y, slope);
    return y[0] + u * (slope[0] + u * (piece.bend + u * piece.twist));
}

static size_t piece_of(const evn_curve *c, double x)
{
    size_t k = 0;
    while (k + 2 < c->count && x >= c->x[k + 1])
        k++;
    return k;
}

double evn_curve_at(const evn_curve *c, double x)
{
    size_t last = c->count - 1;
    if (x <= c->x[0])
        return c->y[0] + (c->hold_ends ? 0 : c->slope[0] * (x - c->x[0]));
    if (x >= c->x[last])
        return c->y[last] + (c->hold_ends ? 0 : c->slope[last] * (x - c->x[last]));
    size_t k = piece_of(c, x);
    double u = x - c->x[k];
    return c->y[k] + u * (c->slope[k] + u * (c->bend[k] + u * c->twist[k]));
}

/* Integral from the first point to x. */
static double primitive(const evn_curve *c, double x)
{
    size_t last = c->count - 1;
    if (x <= c->x[0] || c->count == 1) {
        double u = x - c->x[0];
        return u * (c->y[0] + (c->hold_ends ? 0 : c->slope[0] * u / 2));
    }
    if (x >= c->x[last]) {
        double u = x - c->x[last];
        return c->integral[last] + u * (c->y[last] + (c->hold_ends ? 0 : c->slope[last] * u / 2));
    }
    size_t k = piece_of(c, x);
    return c->integral[k] + piece_integral(c, k, x - c->x[k]);
}

double evn_curve_integral(const evn_curve *c, double from, double to) { return primitive(c, to) - primitive(c, from); }
