/*
 * What is drawn from the d.c. bus beside the drive units, whole: its keys, and their sum at any instant. A further
 * consumer is its key, its member and one line of the sum in loads.c.
 */
#ifndef EVENER_TRUCK_LOADS_H
#define EVENER_TRUCK_LOADS_H
#include "core/field.h"
#include "core/ledger.h"

typedef struct evn_auxiliaries_file {
    double power_kw;
} evn_auxiliaries_file;
extern const evn_object evn_auxiliaries_object;

typedef struct evn_loads {
    double auxiliaries_w;
} evn_loads;
evn_loads evn_loads_of(const evn_auxiliaries_file *);

/* Their power now, W, at rest or on the way; puts each into its line of the flow. */
double evn_loads_w(const evn_loads *, bool at_rest, evn_flow *);

#endif
