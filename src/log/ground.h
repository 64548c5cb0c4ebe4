/*
 * Distances over ground: the geodesic on the ellipsoid of WGS 84 by PROJ's geodesic.h (Karney, Algorithms for
 * geodesics, Journal of Geodesy 87, 2013), which is right to some nanometres, also between points that are nearly
 * opposite, where Vincenty's iteration does not end. Debian 12 and 13 and Ubuntu 24.04 have it in C.
 */
#ifndef EVENER_LOG_GROUND_H
#define EVENER_LOG_GROUND_H
#include <stddef.h>

typedef struct evn_ground {
    double latitude_deg, longitude_deg;
} evn_ground;

/* Length of the geodesic, and its azimuth at the first point, clockwise from north; `azimuth_deg` may be NULL. */
double evn_ground_distance_m(evn_ground from, evn_ground to, double *azimuth_deg);

/* distance_m[i]: along so many points up to point i. */
void evn_ground_along(const double *latitude_deg, const double *longitude_deg, size_t count, double *distance_m);

#endif
