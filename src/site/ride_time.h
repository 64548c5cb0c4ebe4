/*
 * The two masses over a profile, over time: as ride_quarter.h, and with what is not linear. A tyre pushes only: where
 * its force would fall below zero it is off the ground. Bump and rebound stops of rubber, whose stiffness grows in
 * proportion to what they are squeezed by: F = stiffness squeeze^2/(2 x 10 mm). Integrated by CVODE (trip/solver.h).
 */
#ifndef EVENER_SITE_RIDE_TIME_H
#define EVENER_SITE_RIDE_TIME_H
#include "site/ride_profile.h"
#include "site/ride_quarter.h"
#include <stddef.h>

typedef struct evn_ride_stops {
    double bump_m, rebound_m; /* of travel, from where it stands at rest; INFINITY: none */
    double stiffness_n_m;     /* at 10 mm */
} evn_ride_stops;

typedef struct evn_ride_drive {
    const evn_quarter *car;
    const evn_ride_stops *stops;
    double static_n;          /* what the tyre carries at rest; INFINITY: it never lifts off */
    double speed_m_s, lead_s; /* the lead is driven before and counts nothing */
    double way_m;
    double usual_m;  /* usual travel: RMS by frequency */
    double accuracy; /* of the states over their sizes; with 1e-4 RMS is within half a per cent from 10 km/h on */
} evn_ride_drive;

typedef struct evn_ride_driven {
    double rms[EVN_RIDES], most[EVN_RIDES]; /* about the values at rest; the largest to either side */
    double least_tyre_n;                    /* the lowest tyre force less that at rest */
    double off_ground_share;                /* of the time */
    size_t lift_offs;
    double most_bump_m, most_rebound_m; /* travel to either side */
} evn_ride_driven;

typedef enum evn_ride_end { EVN_RIDE_DONE, EVN_RIDE_NO_MEMORY, EVN_RIDE_GAVE_UP } evn_ride_end;
evn_ride_end evn_ride_over(const evn_profile *, const evn_ride_drive *, evn_ride_driven *out);

#endif
