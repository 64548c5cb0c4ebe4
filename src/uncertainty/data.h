/*
 * Data that err, of all trucks of a lineup: which numbers each moves, and by how much. What errs as one is found by
 * where it is stated (a part used twice errs alike in both) and by the label of `errs_with`.
 */
#ifndef EVENER_UNCERTAINTY_DATA_H
#define EVENER_UNCERTAINTY_DATA_H
#include "core/arena.h"
#include "evener/uncertainty.h"
#include "evener/values.h"
#include "lineup/lineup.h"

/* What data are gathered of. Values (values.h) tell where each number stands; without them each truck errs by itself.
 */
typedef struct evn_erring {
    const evn_contender *who;
    size_t count;
    const evn_cycle_file *cycle;
    const evn_load_case *load_case;
    const evn_many *uncertain;        /* of the lineup; paths from its root; NULL: none */
    const evn_many *uncertain_beside; /* of a file of its own: goes before all others; NULL: none */
    const evn_value *values;          /* of the lineup, paths from its root ("trucks.central.battery..."); NULL: none */
    size_t value_count;
} evn_erring;

/* Where a number is. */
typedef enum evn_erring_in { EVN_IN_TRUCK, EVN_IN_CYCLE, EVN_IN_LOAD_CASE } evn_erring_in;

/* One number that a datum moves, or one of several that move it. */
typedef struct evn_moved {
    size_t datum;
    evn_erring_in in;
    size_t truck; /* EVN_IN_TRUCK */
    const char
        *path; /* from the root of that object, as of evn_number_get: "drive_units.rear.gearbox.efficiencies[1]" */
    double nominal;
    double half_width; /* in the unit of the key */
    evn_error_shape shape;
    double least, most; /* bounds of the key */
} evn_moved;

/* A value is nominal + sum over its rows of half_width * deviation(shape, u of the datum), held within its bounds. */
typedef struct evn_data {
    evn_datum *datum;
    size_t count;
    evn_moved *moved; /* sorted by object, path, datum: rows of one number stand together */
    size_t moved_count;
} evn_data;

/*
 * False (said): a path of an entry names no number ("unknown_key", nearest name), a value that would leave its bounds
 * within its half width ("out_of_range"), one entry with half width and relative or with neither ("disagrees"), or
 * memory is out. All of it lives in the arena.
 */
bool evn_data_gather(const evn_erring *, evn_arena *, evn_data *, evn_report *);

#endif
