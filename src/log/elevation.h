/* Elevation and grade over place, from altitudes or grades of a log. */
#ifndef EVENER_LOG_ELEVATION_H
#define EVENER_LOG_ELEVATION_H
#include "log/motion.h"

typedef struct evn_elevation {
    evn_log_quantity by;                     /* EVN_LOG_ALTITUDE, EVN_LOG_GRADE */
    double *place_m, *elevation_m, *tangent; /* [count] */
    size_t count;
    double noise, width_m; /* of altitudes in m, of grades as ratio; as chosen */
    size_t off, gaps;
    size_t measured, jumped; /* altitudes; of them beyond jumps, and left out */
    double jump_s;           /* time of the first of these */
    double climb_m, descent_m;
} evn_elevation;

/* `value` over time, as measured; width_m 0: chosen by noise; times `scale`. False: memory is out. */
bool evn_elevation_make(evn_log_quantity by, const evn_points *value, const evn_motion *, double width_m, double scale,
                        evn_elevation *, evn_arena *);

/*
 * Leaves out altitudes over place beyond jumps from row to row, piece by piece, as seen from the longest piece without
 * one; `told` counts them. False: memory is out.
 */
bool evn_altitudes_without_jumps(evn_points *, const double *time_s, evn_elevation *told, evn_arena *);

#endif
