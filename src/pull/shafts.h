/* Torque and speed of every shaft of a drive unit at one instant: the walk through its stages, kept place by place. */
#ifndef EVENER_PULL_SHAFTS_H
#define EVENER_PULL_SHAFTS_H
#include "pull/instant.h"

/* rad_m: its speed for 1 m/s of the truck; 0: it does not turn with the wheels now. */
typedef struct evn_place {
    double nm, rad_m;
} evn_place;

/* By how many stages of the normal form lie on the wheel side: 0 at the wheels, or at the dividing point of a chain. */
typedef struct evn_unit_places {
    evn_place motor; /* one engaged motor's own shaft, behind its rotor */
    evn_place input; /* of all motors together */
    evn_place path[EVN_CHAIN_MAX + 1];
    evn_place branch[EVN_BRANCHES_MAX][EVN_CHAIN_MAX + 1];
} evn_unit_places;

/* Of a truck that moves. */
void evn_instant_places(const evn_instant *, size_t unit, evn_unit_places *);

#endif
