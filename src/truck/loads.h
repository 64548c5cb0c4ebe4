/*
 * What is drawn from the d.c. bus beside the drive units, whole: its keys, and their sum at any instant. A further
 * consumer is its key, its member and one line of the sum in loads.c.
 */
#ifndef EVENER_TRUCK_LOADS_H
#define EVENER_TRUCK_LOADS_H
#include "core/field.h"
#include "core/ledger.h"
#include "truck/cooling.h"
#include "truck/pack.h"

typedef struct evn_auxiliaries_file {
    double power_kw;
    const char *source;
    evn_many uncertain; /* evn_uncertain_file */
} evn_auxiliaries_file;
extern const evn_object evn_auxiliaries_object;

typedef struct evn_loads {
    double auxiliaries_w;
    evn_fan fan;           /* of the radiator */
    evn_pack_heat battery; /* its cooling and heating */
} evn_loads;
evn_loads evn_loads_of(const evn_auxiliaries_file *, const evn_cooling *, const evn_pack_heat *);

/* Their power now, W, at rest or on the way, with the coolant (NAN: no loop) and the battery at a temperature; puts
 * each into its line of the flow. */
double evn_loads_w(const evn_loads *, bool at_rest, double coolant_degc, double battery_degc, evn_flow *);

#endif
