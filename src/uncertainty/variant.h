/*
 * A lineup with other numbers: copies of its trucks, its cycle and its load case, whose uncertain numbers are written
 * straight to their places. No rule between keys is asked again: gathering has tried the ends.
 */
#ifndef EVENER_UNCERTAINTY_VARIANT_H
#define EVENER_UNCERTAINTY_VARIANT_H
#include "lineup/lineup.h"
#include "uncertainty/data.h"

enum { EVN_ERROR_SHAPES = 3 };

/* One number that errs, with all that moves it. */
typedef struct evn_erring_number {
    const evn_moved *by;
    size_t count;
} evn_erring_number;

/* Of what there are variants. All of it must outlive them. */
typedef struct evn_nominal {
    const evn_contender *who;
    size_t count;
    const evn_cycle_file *cycle; /* NULL: nothing of it errs */
    const evn_load_case *asked;  /* before trucks are given anything to be equal */
} evn_nominal;

/* What errs of it; the same for all variants. */
typedef struct evn_varied {
    evn_nominal of;
    const evn_data *data;
    size_t trucks;
    evn_erring_number *number;
    size_t count;
    bool in_cycle;
    uint64_t in_truck; /* bit i: numbers of truck i itself */
} evn_varied;

typedef struct evn_variant {
    evn_truck_file *truck[EVN_LINEUP_MOST]; /* NULL: nothing of it errs */
    evn_cycle_file *cycle;                  /* likewise */
    evn_load_case load_case;
    double **at; /* of each number of what is varied */
} evn_variant;

/* False when memory is out. */
bool evn_varied_of(const evn_nominal *, const evn_data *, evn_arena *, evn_varied *);

/* Stays where it was made. False (said) when memory is out, or a path leads nowhere. */
bool evn_variant_make(const evn_varied *, evn_arena *, evn_variant *, evn_report *);

/*
 * Writes all numbers: nominal, and the sum of offset and half width times deviation, which is that of a datum by shape:
 * deviation[EVN_ERROR_SHAPES * datum + shape]; NULL: as they are, without offsets. How many had to be held within the
 * bounds of their key.
 */
size_t evn_variant_write(const evn_varied *, evn_variant *, const double *deviation);

/* What its runs are asked. */
const evn_truck_file *evn_variant_truck(const evn_varied *, const evn_variant *, size_t truck);
const evn_cycle_file *evn_variant_cycle(const evn_varied *, const evn_variant *);
/* `given`: the load case that a truck has as it is. */
evn_load_case evn_variant_load_case(const evn_varied *, const evn_variant *, const evn_load_case *given);

#endif
