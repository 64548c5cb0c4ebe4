/*
 * Hybrids: trucks with some blocks of one truck and the others of another, as they are written. What they lead to is
 * shared with the two; only what is neither's own is made anew. CAUSES.md says what a hybrid is where the two are built
 * unlike.
 */
#ifndef EVENER_CAUSES_HYBRID_H
#define EVENER_CAUSES_HYBRID_H
#include "causes/blocks.h"
#include "core/arena.h"
#include "truck/truck.h"

enum { EVN_HYBRIDS_MOST = 1 << EVN_CAUSE_COUNT };

typedef struct evn_donors {
    const evn_truck_file *first, *other;
    evn_arena *arena; /* of what is made anew */
} evn_donors;

typedef struct evn_hybrid {
    evn_truck_file truck;
    bool sound;                     /* it is a truck by all rules of the tables */
    char reason[EVN_FINDING_BYTES]; /* else: why not */
} evn_hybrid;

/* Bit i of `set`: cause i is the other's. What is said of it calls it a hybrid, never one of the two. With no bit it is
 * the first truck, with all the other, to the value. False when memory is out. */
bool evn_hybrid_make(const evn_donors *, unsigned set, evn_hybrid *out);

/*
 * Whether two trucks have one layout: as many units with as many motors, gears and branches, and on all ways to the
 * wheels stages of the same kinds in the same order. What their drivetrains differ in then is other data.
 */
bool evn_laid_out_alike(const evn_truck_file *, const evn_truck_file *);

/* ------------------------------------------------------------------------------------------------ its parts */

/* The drive units of one truck on the axles that another drives. NULL with a reason where there is no such, or without
 * one when memory is out. */
evn_unit_file *evn_units_on_axles(const evn_truck_file *units_of, const evn_truck_file *axles_of, evn_arena *,
                                  size_t *count, const char **reason);

/* Gives units that may be written how another truck switches: disconnects, engagement, gear changes. False when memory
 * is out. */
bool evn_units_switch_as(evn_unit_file *, size_t count, const evn_truck_file *switching_of, evn_arena *);

#endif
