/*
 * Where a branch of a through-drive opens. Its disconnects open together: what lies between the inter-axle differential
 * and the nearest of them goes on turning with the differential, what lies between the last one and the wheels turns
 * with the wheels, and the stretch between two of them stands still. With one disconnect alone nothing stands still:
 * only the load losses of the branch are saved.
 */
#ifndef EVENER_TRUCK_OPENING_H
#define EVENER_TRUCK_OPENING_H
#include "truck/chain.h"

/* Of disconnects that open together: prices that files state, and the wear of those whose price none states. */
typedef struct evn_disconnect_price {
    double stated_j, wear_j;
    bool is_stated; /* of all of them: what a change loses does not count beside it */
} evn_disconnect_price;

typedef struct evn_opening {
    bool can;
    size_t below, above_from; /* stages that turn with the wheels; the first of those that turn with the differential */
    evn_chain_map below_map, above_map;
    double above_ratio;              /* speed at the dividing point over that at the wheel side of those above */
    double below_kg_m2, still_kg_m2; /* seen at the wheels; `still`: of the stretch that stands still */
    double above_kg_m2;              /* seen at the dividing point */
    double time_s;                   /* of the slowest */
    evn_disconnect_price price;
} evn_opening;

/* Notes a disconnect of a path that is lowered from the wheels on, with so many stages below it. */
void evn_opening_note(evn_opening *, const evn_lowering *, size_t below);
/* The rest, once the branch is lowered. */
void evn_opening_make(evn_opening *, const evn_stage *, const double speed_ratio[], size_t count, double ratio);

/* Torque at the wheels that drags what turns with them, below zero; books its losses, where there is a flow. */
double evn_opening_below_nm(const evn_opening *, const evn_stage *, const double speed_ratio[], double wheel_rad_s,
                            double wheel_accel_rad_s2, const double degc[], evn_flow *);
/* Torque at the dividing point that turns what turns with it; likewise. */
double evn_opening_above_nm(const evn_opening *, const evn_stage *, size_t count, double split_rad_s,
                            double split_accel_rad_s2, const double degc[], evn_flow *);

#endif
