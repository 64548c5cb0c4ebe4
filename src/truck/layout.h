/* How a truck stands on its axles, as written: what a comparison of layouts is fair or unfair by. */
#ifndef EVENER_TRUCK_LAYOUT_H
#define EVENER_TRUCK_LAYOUT_H
#include "truck/truck.h"

/* Axles of the truck without its trailer; those that a drive unit drives, each counted once. */
size_t evn_truck_axles_of(const evn_truck_file *);
size_t evn_truck_driven_axles_of(const evn_truck_file *);

enum { EVN_WHEEL_FORMULA_BYTES = 48 };
/* Wheel ends by driven wheel ends: "4x2", "6x4"; twin tyres count once (common practice, no source). Returns `out`. */
const char *evn_axle_configuration(char out[EVN_WHEEL_FORMULA_BYTES], const evn_truck_file *);

#endif
