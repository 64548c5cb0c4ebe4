/* The ellipsoid of WGS 84, by the library, which is opened when it is asked for: meson.build says why. */
#define _POSIX_C_SOURCE 200809L
#include "log/ground.h"
#include <dlfcn.h>
#include <geodesic.h>
#include <string.h>

/* Equatorial radius and flattening of WGS 84 (NIMA TR8350.2, 2000, from memory). */
#define WGS_84_RADIUS_M 6378137.0
#define WGS_84_FLATTENING (1 / 298.257223563)

/* A call of the library by its name; false: it has none. */
static bool find(void *library, const char *name, void *call, size_t size)
{
    void *at = dlsym(library, name);
    if (at)
        memcpy(call, &at, size);
    return at;
}

bool evn_geodesics_open(evn_geodesics *g, evn_report *report)
{
    void *library = dlopen(EVN_PROJ_NAME, RTLD_NOW | RTLD_LOCAL | RTLD_NODELETE);
    bool there = library && find(library, "geod_init", &g->init, sizeof g->init) &&
                 find(library, "geod_inverse", &g->inverse, sizeof g->inverse);
    if (!there)
        evn_say(
            report, EVN_FAULT_CANNOT_READ, evn_nowhere, evn_nowhere,
            "the library " EVN_PROJ_NAME " for distances between positions is not there; expected it as the package "
            "libproj25 of Debian and Ubuntu brings it; a log with speed needs none once --column 'latitude=' leaves "
            "its positions out");
    return there;
}

static struct geod_geodesic wgs_84(const evn_geodesics *g)
{
    struct geod_geodesic earth;
    g->init(&earth, WGS_84_RADIUS_M, WGS_84_FLATTENING);
    return earth;
}

double evn_ground_distance_m(const evn_geodesics *g, evn_position from, evn_position to, double *azimuth_deg)
{
    struct geod_geodesic earth = wgs_84(g);
    double distance_m;
    g->inverse(&earth, from.latitude_deg, from.longitude_deg, to.latitude_deg, to.longitude_deg, &distance_m,
               azimuth_deg, NULL);
    return distance_m;
}

void evn_ground_along(const evn_geodesics *g, const double *latitude_deg, const double *longitude_deg, size_t count,
                      double *distance_m)
{
    struct geod_geodesic earth = wgs_84(g);
    double sum = 0;
    for (size_t i = 0; i < count; i++) {
        double step = 0;
        if (i > 0)
            g->inverse(&earth, latitude_deg[i - 1], longitude_deg[i - 1], latitude_deg[i], longitude_deg[i], &step,
                       NULL, NULL);
        sum += step;
        distance_m[i] = sum;
    }
}
