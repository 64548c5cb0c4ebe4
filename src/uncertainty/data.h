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

/* Values of what was read, with the files that they stand in; none: {0}. */
typedef struct evn_read_values {
    const evn_value *at;
    size_t count;
} evn_read_values;

/* What data are gathered of. Values (values.h) tell where each number stands; without them each truck errs by itself.
 */
typedef struct evn_erring {
    const evn_contender *who; /* of one without a name paths begin in the truck */
    size_t count;
    const evn_cycle_file *cycle;      /* NULL, of trucks alone: no entry names it ... */
    const evn_load_case *load_case;   /* ... nor this */
    const evn_many *uncertain;        /* of the lineup; paths from its root; NULL: none */
    const evn_many *uncertain_beside; /* of a file of its own: goes before all others; NULL: none */
    evn_read_values values;           /* of the lineup, paths from its root ("trucks.central.battery..."); or none */
    evn_read_values values_beside;    /* of that file */
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
    const char *whole_path; /* as of --set in the lineup: "trucks.central.drive_units..." */
    double nominal;
    double half_width; /* in the unit of the key; below 0: against the others of its datum */
    double offset;     /* of the middle of its range from the nominal value */
    evn_error_shape shape;
    double least, most; /* bounds of the key */
} evn_moved;

/* A value is nominal + sum over its rows of offset + half_width * deviation(shape, u of the datum), held within its
 * bounds. */
typedef struct evn_data {
    evn_datum *datum;
    size_t count;
    evn_moved *moved; /* sorted by object, path, datum: rows of one number stand together */
    size_t moved_count;
} evn_data;

/*
 * Of each number counts what the outermost states: a file of its own, then the lineup, the truck, its parts, and where
 * none does the default of its key. Entries of one object that name the same number add.
 *
 * What errs as one: all with one label; else the values of one entry, told by the place where it is stated; else, of
 * defaults, the values of one kind in one object (or in items that are alike, as the motors of a unit), told by the
 * place of the first of them. Where no places are known (a copy in memory), each truck errs by itself.
 *
 * False (said at the entry): a path names no number that can be off ("unknown_key", "wrong_shape", ...), a number would
 * leave its bounds at an end of its half widths' sum ("out_of_range"), or the rules of what holds the numbers of a
 * datum would not take them at an end ("disagrees"): all of a datum together, no others. A default is narrower where
 * its bounds are near. All of the data lives in the arena.
 */
bool evn_data_gather(const evn_erring *, evn_arena *, evn_data *, evn_report *);

/* How many of them have ranges that are not even about their values. */
size_t evn_data_uneven(const evn_data *);

#endif
