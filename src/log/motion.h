/* Motion of a logged vehicle: speed over time in straight lines, and the place that follows from it. */
#ifndef EVENER_LOG_MOTION_H
#define EVENER_LOG_MOTION_H
#include "log/log.h"
#include "log/spline.h"

typedef struct evn_motion {
    double *time_s, *speed_m_s, *place_m; /* [count]; straight lines of speed between */
    size_t count;
} evn_motion;

/* Place at a time that does not fall from call to call; *at is where the last call ended, 0 at first. */
double evn_motion_place_m(const evn_motion *, double time_s, size_t *at);

/*
 * Speed as it was measured, before any smoothing, in one of three forms: speeds, places, or positions. Gaps are bridged
 * already, rows in order.
 */
typedef struct evn_measured {
    evn_log_quantity by;           /* EVN_LOG_SPEED, EVN_LOG_PLACE, or EVN_LOG_LATITUDE with longitude */
    evn_points value, other;       /* other: longitudes */
    double noise, width_s, step_s; /* width: as chosen */
    size_t off;
} evn_measured;

/* The speed of what is measured, smoothed with `scale` times the chosen width. Counts what stands off. False: no
 * memory. */
bool evn_motion_smooth(evn_measured *, double scale, evn_points *speed, evn_arena *);

/* Where the vehicle stands its speed becomes 0; what is left is simplified to straight lines. */
typedef struct evn_rest_rule {
    double below_m_s, least_s;
} evn_rest_rule;
bool evn_motion_make(const evn_points *speed, evn_rest_rule, evn_motion *, evn_arena *);

/*
 * Points of a curve that straight lines need to stay within `most` of all others: begun anew where no line from the
 * last one kept does any longer (textbooks of data logging: swinging door). keep[i] is set; the first and last are
 * kept.
 */
void evn_simplify(const double *x, const double *y, size_t first, size_t last, double most, bool *keep);

#endif
