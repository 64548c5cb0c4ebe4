/*
 * Kept results: runs with what came of them, as a file holds them, and the tolerances by which a new run is held
 * against them. The tables stand in kept_fields.c.
 */
#ifndef EVENER_JUDGE_KEPT_H
#define EVENER_JUDGE_KEPT_H
#include "core/field.h"
#include "evener/kept.h"

typedef struct evn_tolerance_file {
    double absolute, relative; /* NAN: the default of the kind of quantity, below */
} evn_tolerance_file;

/*
 * A quantity has moved when it differs by more than absolute + relative x |kept|.
 * X(kind of quantity and its unit, absolute, relative, meaning). Which kind a quantity is says the end of its key; what
 * fits none is of the last.
 */
#define EVN_TOLERANCES(X)                                                                                              \
    X(energy_kwh, 1e-4, 5e-5, "energies")                                                                              \
    X(consumption_kwh_per_km, 1e-5, 5e-5, "energy over distance, and over distance and payload")                       \
    X(time_s, 0.05, 2e-5, "times")                                                                                     \
    X(distance_km, 1e-5, 1e-6, "distances")                                                                            \
    X(speed_km_h, 0.01, 2e-5, "speeds")                                                                                \
    X(temperature_degc, 0.05, 0, "temperatures")                                                                       \
    X(mass_kg, 0.5, 0, "masses and loads")                                                                             \
    X(share, 1e-4, 0, "state of charge and other pure numbers")                                                        \
    X(count, 0, 0, "gear changes and other counts, yes and no")

typedef struct evn_tolerances_file {
#define X(name, absolute, relative, meaning) const evn_tolerance_file *name;
    EVN_TOLERANCES(X)
#undef X
} evn_tolerances_file;

typedef struct evn_kept_run_file {
    const char *lineup;             /* path, from the folder of the file; NULL: a truck and a cycle of their own */
    const char *truck, *cycle;      /* paths likewise; with a lineup the name of a truck in it, and NULL */
    const evn_load_case *load_case; /* NULL: the default one; with a lineup its own, and so is the driving */
    const evn_driving *driving;
    evn_text_list set;                              /* values that replace those of the files */
    const char *truck_hash, *cycle_hash, *ask_hash; /* NULL: not recorded yet */
    const char *status;                             /* of the results; NULL: not recorded yet */
    evn_numbers results;
} evn_kept_run_file;

typedef struct evn_kept_file {
    const char *about;   /* what these runs are kept for */
    const char *program; /* version that recorded them */
    const evn_tolerances_file *tolerances;
    evn_many runs;
} evn_kept_file;

extern const evn_object evn_kept_object;

/* One quantity held against another; NAN is "none". */
evn_moved_quantity evn_hold_quantity(const evn_tolerances_file *, const char *key, double kept, double now);

/* A kind of quantity as it counts: what the file does not state is the default. NULL tolerances: all defaults. */
typedef enum evn_tolerance_kind {
#define X(name, absolute, relative, meaning) EVN_TOLERANCE_##name,
    EVN_TOLERANCES(X)
#undef X
        EVN_TOLERANCE_COUNT
} evn_tolerance_kind;
evn_tolerance_file evn_tolerance_at(const evn_tolerances_file *, evn_tolerance_kind);

#endif
