/*
 * Cubic smoothing splines: of all curves that which is least in sum of w_i (y_i - f(x_i))^2 plus lambda times the
 * integral of f''^2, with w_i the share of x that belongs to a point (Reinsch, Smoothing by spline functions,
 * Numerische Mathematik 10, 1967, from memory). Far from its ends it passes a wave of length L by 1 / (1 + (W / L)^4)
 * with lambda = (W / (2 pi))^4: waves of the width W are halved, longer ones stay, and a straight line is never
 * changed.
 */
#ifndef EVENER_LOG_SPLINE_H
#define EVENER_LOG_SPLINE_H
#include "core/arena.h"
#include <stdbool.h>

typedef struct evn_points {
    double *x, *y;
    size_t count;
} evn_points;

/* Smooths; x rises. `value` and `slope` have room for all points. False: memory is out. */
bool evn_spline_smooth(const evn_points *, double width, double *value, double *slope);

/*
 * The same without points that stand off: further from the curve than five times the scatter of all (1.4826 times the
 * median distance), and at least `off_least`. They are left out of the points, which become fewer, and counted; up to
 * four rounds. The scatter is left in *scatter.
 */
bool evn_spline_robust(evn_points *, double width, double off_least, double *value, double *slope, size_t *off,
                       double *scatter);

/*
 * Leaves out single points that stand off the median of those around them by more than five times the scatter of all,
 * and `off_least`; *off counts them. Around: `reach` on both sides, 1 to 4, as many on one as on the other, and so
 * fewer at the ends; the first and last point stay. Before points are made one, which would hide such a point among
 * others.
 */
bool evn_points_despike(evn_points *, size_t reach, double off_least, size_t *off);

/* Points nearer to each other than `apart` are made one, in the middle of theirs; `apart` 0: only the same x. */
bool evn_points_thin(const evn_points *, double apart, evn_points *out, evn_arena *);

/*
 * Points on the straight line between two that lie further apart than `gap`, every `apart`, at most a thousand.
 * *bridged counts such gaps.
 */
bool evn_points_bridge(const evn_points *, double gap, double apart, evn_points *out, size_t *bridged, evn_arena *);

/*
 * The width within those bounds for which the sum of what noise leaves and of what smoothing takes away is estimated
 * least, by generalized cross validation: mean square of residuals over the square of the mean of 1 less each point's
 * weight in its own value (Craven and Wahba, Smoothing noisy data with spline functions, Numerische Mathematik 31,
 * 1979; the sum of weights from the bands of the inverse: Hutchinson and de Hoog, Numerische Mathematik 47, 1985; both
 * from memory). Noise of neighbouring points must not be alike. False: memory is out.
 */
bool evn_spline_width_by_validation(const evn_points *, double least, double most, double *width);

/* The width by which white noise of that scatter, one value every `apart`, leaves so much scatter in the slope. */
double evn_spline_width_for_slope(double scatter, double apart, double slope_scatter);
/* The same for the second derivative. */
double evn_spline_width_for_bend(double scatter, double apart, double bend_scatter);

/* Scatter of white noise upon a smooth curve, by second differences of evenly placed points (their median). */
bool evn_points_noise(const evn_points *, double *scatter);

/* Of a normal distribution the median distance from the middle is 0.6745 of the scatter. */
#define EVN_SCATTER_PER_MEDIAN 1.4826

/* The middle of so many numbers, the upper of two; changes their order. 0 of none. */
double evn_median_of(double *x, size_t count);

#endif
