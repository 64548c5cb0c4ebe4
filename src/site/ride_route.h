/*
 * How fast a truck goes over how uneven a road: one track at one speed, or a route at its target speeds, in classes of
 * speed. What follows a road goes with the root of its unevenness, so that a class needs no more than the mean of it
 * over time, and the roughest.
 */
#ifndef EVENER_SITE_RIDE_ROUTE_H
#define EVENER_SITE_RIDE_ROUTE_H
#include "core/report.h"
#include "cycle/cycle.h"
#include "site/ride_quarter.h"

enum { EVN_RIDE_CLASSES = 80 }; /* of 2.5 km/h; what is faster counts to the last */
#define EVN_RIDE_CLASS_M_S (2.5 / 3.6)

typedef struct evn_ride_class {
    double time_s, speed_m_s;         /* in it, and the mean speed over that time */
    double mean_m3;                   /* unevenness, over time */
    double roughest_m3, rough_time_s; /* and for how long it is that rough */
} evn_ride_class;

typedef struct evn_ride_route {
    evn_ride_class at[EVN_RIDE_CLASSES]; /* those without time count nothing */
    double time_s, way_m;                /* in motion */
    double roughest_m3;
    evn_spectrum
        spectrum; /* as measured, of all of it; the unevenness is then a factor of 1; count 0: of the classes */
} evn_ride_route;
static inline const evn_spectrum *evn_ride_spectrum(const evn_ride_route *r)
{
    return r->spectrum.count > 0 ? &r->spectrum : NULL;
}

evn_ride_route evn_ride_track(double unevenness_m3, double speed_m_s, double time_s);
/*
 * At the target speeds of the cycle, which no truck's limits cut; its road as measured in lines, which live as long;
 * NULL: as the cycle says in classes, numbers or a spectrum. False: said.
 */
bool evn_ride_route_of(const evn_cycle_file *, const evn_spectrum *lines, evn_ride_route *out, evn_report *);

/*
 * Over all of it: RMS over time in motion, the largest expected value to either side, and where the tyre load is
 * largest (a class at its roughest). The band is that of the road's waves, up to a frequency.
 */
typedef struct evn_ride_result {
    double rms[EVN_RIDES], peak[EVN_RIDES];
    double worst_tyre_n, worst_speed_m_s, worst_m3;
} evn_ride_result;
evn_ride_result evn_ride_along(const evn_ride_route *, const evn_quarter *, double to_hz);

/* Likewise the acceleration of a mass that hangs with a share on the wheel and with the rest on the body. */
typedef struct evn_ride_shaken {
    double rms, peak;
} evn_ride_shaken;
evn_ride_shaken evn_ride_between(const evn_ride_route *, const evn_quarter *, double share, double to_hz);

#endif
