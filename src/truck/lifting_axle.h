/* A lifting axle: its keys with the rules between them, whether it is up, and how its group shares its load then. */
#ifndef EVENER_TRUCK_LIFTING_AXLE_H
#define EVENER_TRUCK_LIFTING_AXLE_H
#include "truck/rig.h"

/* For the check function of the truck. */
void evn_check_lifting(const evn_truck_file *, const evn_seat *, evn_report *);

/* Index of the axle that lifts; as many as there are axles: none does. */
size_t evn_axle_that_lifts(const evn_truck_file *);

/* Gives the lifting axle that share of its group's load, and the others what is left in their proportions. */
void evn_lift_share(const evn_truck_file *, size_t axle, double lifting, double share[]);

/* Whether it is up while the truck drives: by request, or by the loads that all axles would have if it were. */
bool evn_lift_is_up(const evn_truck_file *, size_t axle, evn_lifting_axle asked, const evn_axle_load lifted[]);

/* Load at rest, kg, of the driven axle beside it that carries most. */
double evn_lift_driven_kg(const evn_truck_file *, size_t axle, const evn_axle_load load[]);

#endif
