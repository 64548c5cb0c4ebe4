/*
 * Distances over ground: the geodesic on the ellipsoid of WGS 84 by PROJ's geodesic.h (Karney, Algorithms for
 * geodesics, Journal of Geodesy 87, 2013), which is right to some nanometres, also between points that are nearly
 * opposite, where Vincenty's iteration does not end. Debian 12 and 13 and Ubuntu 24.04 have it in C.
 */
#ifndef EVENER_LOG_GROUND_H
#define EVENER_LOG_GROUND_H
#include "core/report.h"

typedef struct evn_position {
    double latitude_deg, longitude_deg;
} evn_position;

/* The calls of the library, once it is open. */
struct geod_geodesic;
typedef struct evn_geodesics {
    void (*init)(struct geod_geodesic *, double radius_m, double flattening);
    void (*inverse)(const struct geod_geodesic *, double, double, double, double, double *distance_m,
                    double *azimuth_deg, double *azimuth_there_deg);
} evn_geodesics;

/* Opens the library, which then stays with the process. False, and said, where it is not there. */
bool evn_geodesics_open(evn_geodesics *, evn_report *);

/* Length of the geodesic, and its azimuth at the first point, clockwise from north; `azimuth_deg` may be NULL. */
double evn_ground_distance_m(const evn_geodesics *, evn_position from, evn_position to, double *azimuth_deg);

/* distance_m[i]: along so many points up to point i. */
void evn_ground_along(const evn_geodesics *, const double *latitude_deg, const double *longitude_deg, size_t count,
                      double *distance_m);

#endif
