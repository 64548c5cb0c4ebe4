/* A truck with another size of its battery: more or fewer cells of the same kind in parallel (RANGE.md). */
#ifndef EVENER_DUTY_PACK_SIZE_H
#define EVENER_DUTY_PACK_SIZE_H
#include "evener/range.h"
#include "truck/rig.h"

typedef struct evn_sized_truck {
    evn_truck_file truck;
    evn_battery_file battery;
    evn_battery_heat_file heat;
    evn_battery_cooling_file cooling;
    evn_battery_heating_file heating;
} evn_sized_truck;

/* The truck with `size` times its battery, whose mass goes by so much per kWh. It points into itself. */
void evn_sized_truck_make(evn_sized_truck *, const evn_truck_file *, double size, double kg_per_kwh);

/* Energy of a new battery between 0 and 1 of state of charge. */
double evn_battery_kwh(const evn_battery_file *);
/* Of the file, where it states a mass; else EVN_PACK_KG_PER_KWH. */
double evn_battery_kg_per_kwh(const evn_battery_file *);
/* 150 Wh/kg with frame, of 130 to 180; common practice, no source. */
#define EVN_PACK_KG_PER_KWH 6.7

/* What a truck may carry: its permitted masses, or what it carries already where that is more. */
typedef struct evn_permitted {
    double gross_kg;                                   /* INFINITY: not stated */
    double axle_kg[EVN_AXLES_MAX];                     /* likewise */
    double gross_over_kg, axle_over_kg[EVN_AXLES_MAX]; /* what it carries beyond the file's; 0: nothing */
} evn_permitted;
/* As the truck stands with this load case. False (said): it does not fit. */
bool evn_permitted_make(evn_permitted *, const evn_truck_file *, const evn_load_case *, double payload_kg,
                        evn_report *);

/* What weighs on the road with so much payload, beside what the file permits: gross mass, then axle by axle. Their
 * count, 0: it does not stand so. */
size_t evn_loads_of(const evn_truck_file *, const evn_load_case *, double payload_kg,
                    evn_range_load out[EVN_AXLES_MAX + 1]);

/* How far the truck passes already what `bound_by` names (as evn_payload_left_kg has it); 0: it does not. */
double evn_permitted_over_kg(const evn_permitted *, const evn_truck_file *, const char *bound_by);

/* The most payload up to `payload_kg` with which nothing is passed, and what holds it ("permitted_gross", the name of
 * an axle, NULL: nothing); below zero: even the empty truck passes something. `permitted` stands. */
double evn_payload_left_kg(const evn_truck_file *, const evn_load_case *, double payload_kg, const evn_permitted *,
                           const char **bound_by);

#endif
