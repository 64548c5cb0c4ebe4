/*
 * Curves through points. Monotone piecewise cubic (Fritsch and Carlson 1980, with the three-point end slopes and
 * harmonic means of Fritsch and Butland 1984): through every point, without overshoot, with a continuous first
 * derivative, so that an integrator does not stumble at the points. Two points give the straight line.
 */
#ifndef EVENER_CORE_CURVE_H
#define EVENER_CORE_CURVE_H
#include <stdbool.h>
#include <stddef.h>

enum { EVN_CURVE_POINTS_MAX = 32 };

typedef struct evn_curve {
    size_t count;                   /* 1 (a constant) to EVN_CURVE_POINTS_MAX */
    double x[EVN_CURVE_POINTS_MAX]; /* rising strictly */
    double y[EVN_CURVE_POINTS_MAX];
    double slope[EVN_CURVE_POINTS_MAX];
    double bend[EVN_CURVE_POINTS_MAX];     /* of the piece behind each point: its factor of the square ... */
    double twist[EVN_CURVE_POINTS_MAX];    /* ... and of the cube of the way from there */
    double integral[EVN_CURVE_POINTS_MAX]; /* from x[0] */
    bool hold_ends; /* beyond the ends: the end value; otherwise the straight line of the end slope */
} evn_curve;

/* The axis must rise strictly and count must fit; the reader's checks see to that. */
void evn_curve_make(evn_curve *, const double *x, const double *y, size_t count, bool hold_ends);
double evn_curve_at(const evn_curve *, double x);
double evn_curve_integral(const evn_curve *, double from, double to);

/* The slope that such a curve has at one of its points; inside it hangs on the two neighbours only, at an end on the
 * next two. And the piece between two points, given them and their slopes. */
double evn_curve_slope(const double *x, const double *y, size_t count, size_t point);
double evn_curve_piece(const double *x, const double *y, const double *slope, double at); /* two of each */

#endif
