/*
 * Wind on a truck that drives, whole: how its drag area goes with the yaw angle, the force of the air along the road,
 * and the mean of that over all directions of the wind.
 *
 * Convention: the force is that along the truck's own axis, referred to the square of the whole relative wind,
 *   F = 1/2 rho CdA f(yaw) u^2,   u^2 = along^2 + across^2,   yaw the angle between the relative wind and the axis
 * (axial force of the body axes, as coefficients over yaw are tabulated: textbooks of vehicle aerodynamics and SAE
 * J1252, from memory). f(0) = 1. A truck that states no f is dragged along the relative wind by the same area at every
 * angle: f = cos(yaw).
 *
 * Beyond the last angle of a table f falls as the cosine does, to 0 in a wind from abeam; and a truck is taken to be
 * the same from behind as from ahead: f(180 deg - yaw) = -f(yaw). So the force turns with the wind, and goes through
 * zero without a jump.
 */
#ifndef EVENER_TRUCK_WIND_H
#define EVENER_TRUCK_WIND_H
#include "core/arena.h"
#include "core/curve.h"
#include "core/field.h"
#include "evener/evener.h"

typedef struct evn_drag_area_yaw_file {
    evn_list yaw_deg, factor; /* the first 0 and 1 */
    const char *source;
    evn_many uncertain; /* evn_uncertain_file */
} evn_drag_area_yaw_file;
extern const evn_object evn_drag_area_yaw_object;
#define EVN_YAW_APART_LEAST_DEG 0.1

/* ---- made ready */
/* Mean over all directions, as a cubic between speeds that lie STEP apart: value and slope at each. */
enum { EVN_WIND_KNOTS = 141 };
#define EVN_WIND_STEP_M_S 0.5
typedef struct evn_wind_mean {
    double m2_s2[EVN_WIND_KNOTS], slope_m_s[EVN_WIND_KNOTS];
} evn_wind_mean;

typedef struct evn_wind {
    double speed_m_s;          /* 0: none */
    double from_rad;           /* clockwise from north; NAN: not stated */
    const evn_curve *factor;   /* over yaw, rad; NULL: the cosine */
    const evn_wind_mean *mean; /* there where it blows */
} evn_wind;

/* From what truck (NULL: states nothing) and load case say. False: memory ran out. */
bool evn_wind_make(evn_wind *, const evn_drag_area_yaw_file *, const evn_load_case *, evn_arena *);

/* f: of the drag area at no yaw; yaw_rad 0 to pi, the side does not matter. */
double evn_wind_yaw_factor(const evn_wind *, double yaw_rad);

/* What stands for the square of the wind in F = 1/2 rho CdA (...), with the sign of the force, m2/s2: of a relative
 * wind along and across the axis. */
double evn_wind_squared(const evn_wind *, double along_m_s, double across_m_s);

/*
 * Its mean over all directions of the wind, beside an air speed along the axis that is there without it. The first is
 * the integral itself (panels of five-point Gauss-Legendre over half a turn, which the other half mirrors), the second
 * what a run asks: PHYSICS.md tells how near they are.
 */
double evn_wind_mean_integral(const evn_wind *, double along_m_s, size_t panels);
double evn_wind_mean_squared(const evn_wind *, double along_m_s);

#endif
