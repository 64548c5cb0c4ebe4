/* The ellipsoid of WGS 84, by the library. */
#include "log/ground.h"
#include <geodesic.h>

/* Equatorial radius and flattening of WGS 84 (NIMA TR8350.2, 2000, from memory). */
#define WGS_84_RADIUS_M 6378137.0
#define WGS_84_FLATTENING (1 / 298.257223563)

double evn_ground_distance_m(evn_ground from, evn_ground to, double *azimuth_deg)
{
    struct geod_geodesic earth;
    double distance_m;
    geod_init(&earth, WGS_84_RADIUS_M, WGS_84_FLATTENING);
    geod_inverse(&earth, from.latitude_deg, from.longitude_deg, to.latitude_deg, to.longitude_deg, &distance_m,
                 azimuth_deg, NULL);
    return distance_m;
}

void evn_ground_along(const double *latitude_deg, const double *longitude_deg, size_t count, double *distance_m)
{
    struct geod_geodesic earth;
    geod_init(&earth, WGS_84_RADIUS_M, WGS_84_FLATTENING);
    double sum = 0;
    for (size_t i = 0; i < count; i++) {
        double step = 0;
        if (i > 0)
            geod_inverse(&earth, latitude_deg[i - 1], longitude_deg[i - 1], latitude_deg[i], longitude_deg[i], &step,
                         NULL, NULL);
        sum += step;
        distance_m[i] = sum;
    }
}
