/* A truck on a rough road: how the road is driven, and its axles as quarter cars with what came of them. */
#ifndef EVENER_SITE_RIDE_SCENE_H
#define EVENER_SITE_RIDE_SCENE_H
#include "site/ride_axle.h"
#include "site/ride_measured.h"
#include "site/ride_route.h"
#include "site/site.h"

typedef struct evn_ride_axle {
    const char *name;
    bool there;                          /* on the ground */
    const char *unknown, *unknown_empty; /* why nothing is known of its ride, laden and empty; NULL: it is */
    evn_axle_masses laden, empty;
    evn_quarter car, car_empty;
    double static_n, static_empty_n; /* of one side */
    evn_ride_result ride;
    double fastest_m_s, fastest_empty_m_s;
    bool linear;                /* the tyre stays on the road */
    evn_ride_stops stops;       /* from where it stands with the load that it rides with */
    bool off_bump, off_rebound; /* the largest travel to expect stays short of that stop */
} evn_ride_axle;

typedef struct evn_ride_scene {
    evn_site_work *w;
    const evn_rig *laden;            /* as it rides: of a duty with what it carries on the leg */
    bool along;                      /* a route; else one track */
    struct evn_ride_worst *worst;    /* of a leg of a duty: what gathers its figures (ride_worst.h); NULL: no duty */
    bool not_laden, not_empty;       /* how fast is not asked of it: other legs are driven like that */
    const char *no_laden, *no_empty; /* why there is no fastest; NULL: for the axle's own reasons */
    evn_ride_route route;
    bool measured;      /* height by height: */
    evn_measured track; /* and so */
    evn_ride_axle axle[EVN_AXLES_MAX];
    size_t axles;
    evn_unit_bearing bearing[EVN_UNITS_MAX];
} evn_ride_scene;

/* Over a leg; NULL: over the track as asked. False: said. */
bool evn_ride_scene_make(evn_site_work *, const evn_ride_leg *, const evn_rig *, evn_ride_scene *out);
typedef void evn_ride_tell(const evn_ride_scene *);
/*
 * Over each leg of the duty with what the truck carries on it, which rows of their own tell. What `tell` puts of each
 * is told once, of the leg on which it is worst. How fast each axle may go is the least of loaded legs, empty of those
 * without payload. False: said.
 */
bool evn_ride_over_legs(evn_site_work *, evn_ride_tell *);

const evn_axle_file *evn_ride_file_of(const evn_ride_scene *, size_t axle);
/* One track instead of the route. */
bool evn_ride_asks_track(const evn_site_ask *);

#endif
