/*
 * values.h: trucks and parts value by value, each with the place that it comes from; hashes; numbers changed in memory.
 */
#ifndef EVENER_VALUES_H
#define EVENER_VALUES_H

#include "evener/evener.h"

#ifdef __cplusplus
extern "C" {
#endif

/* ------------------------------------------------------------------------------------------------ values */

/* Where a value comes from. */
typedef enum evn_origin {
    EVN_FROM_FILE,
    EVN_FROM_SET,     /* a value set beside the files */
    EVN_FROM_DEFAULT, /* written nowhere: the default of the key */
    EVN_NOT_GIVEN     /* written nowhere, and "not given" has a meaning of its own */
} evn_origin;

typedef enum evn_value_kind {
    EVN_VALUE_GROUP, /* the rows below it, one deeper, are its keys or names */
    EVN_VALUE_STEPS, /* a list: the EVN_VALUE_STEP rows below it, one deeper */
    EVN_VALUE_STEP,  /* an item of such a list, a map of this one key; the rows below it are two deeper */
    EVN_VALUE_NUMBER,
    EVN_VALUE_NUMBERS, /* a list */
    EVN_VALUE_WORD,    /* true, false, or one of the choices of the key */
    EVN_VALUE_TEXT,
    EVN_VALUE_FILE, /* a CSV file: its path from the root */
    EVN_VALUE_TEXTS /* a list */
} evn_value_kind;

/*
 * One value of a truck, or of a part, as it stands after extends, use and what was set, in the order of the files. What
 * it points to belongs to the truck, or to the part.
 */
typedef struct evn_value {
    evn_value_kind kind;
    unsigned depth;          /* levels of indentation of the key when written as YAML */
    const char *key, *path;  /* "ratios", "drive_units.rear.gearbox.ratios" */
    const char *unit, *help; /* "" where there is none */
    const double *numbers;   /* of NUMBER (one) and NUMBERS */
    size_t count;
    const char *text;         /* of WORD, TEXT, FILE */
    const char *const *texts; /* of TEXTS; ends with NULL */
    evn_origin origin;
    const char *file; /* of the origin; "--set 2" for EVN_FROM_SET; NULL where it is written nowhere */
    unsigned line, column;
    /* NULL, or the file that extends or uses the one above; of a GROUP: that uses a part here. */
    const char *used_from_file;
    unsigned used_from_line, used_from_column;
    const char *changed_by; /* NULL, or what set some numbers of the list: "--set 2" */
    const char *source; /* where the figure comes from: as its part or file says, or the key of a default; or NULL */
    bool remark;        /* of `uncertain`, or below it: tells how far other values may be off, and changes no run */
} evn_value;

/* None of a truck that was copied or changed in memory. Of one that came with a lineup paths are from the truck. */
EVN_API size_t evn_truck_value_count(const evn_truck *);
EVN_API bool evn_truck_value_at(const evn_truck *, size_t index, evn_value *out);

/* A hash of all values that count, defaults included, names and comments not: equal values, equal text of 16 digits. */
enum { EVN_HASH_BYTES = 17 };
EVN_API void evn_truck_hash(const evn_truck *, char out[EVN_HASH_BYTES]);
EVN_API void evn_cycle_hash(const evn_cycle *, char out[EVN_HASH_BYTES]);
/* Of what the trucks of a lineup drive: a cycle, or a duty in a season. */
EVN_API void evn_lineup_over_hash(const evn_lineup *, char out[EVN_HASH_BYTES]);

/* ------------------------------------------------------------------------------------------------ parts */

/*
 * An object of any kind by itself (evn_kind_at in keys.h), as a file holds it or as an example that is invented and
 * sensible. Its values are listed like those of a truck. Errors as of evn_truck_load; "usage" where there is no such
 * kind.
 */
typedef struct evn_part evn_part;
EVN_API evn_status evn_part_load(const char *kind, const char *path, evn_part **out, evn_report *);
EVN_API evn_status evn_part_example(const char *kind, evn_part **out, evn_report *);
EVN_API void evn_part_free(evn_part *);
EVN_API bool evn_part_value_at(const evn_part *, size_t index, evn_value *out);

/* ------------------------------------------------------------------------------------------------ changes in memory */

/*
 * Variants in memory: a copy, and numbers of it changed, without text and without reading again. A path is the KEY of
 * evn_load's KEY=VALUE (evener.h), without "cycle." or "trucks.NAME."; its number is in the unit that its key ends in.
 * A flag is 0 or 1, a choice its place among the choices, from 0; NAN is "not given". Texts, maps, whole lists and CSV
 * files are no numbers, and nothing comes in that is not there: what is absent is read from a file.
 *
 * A changed number is judged as one that is read: by the hard bounds of its key, with a warning outside the usual ones,
 * then by the rules of all that holds it; so a truck changed in memory is to the bit what the file with that value set
 * beside it would be. Where a number is refused nothing changes. Findings name the path where else a file is named,
 * with line 0: "unknown_key" with the nearest name, "wrong_shape", "out_of_range", "not_a_number", "unknown_choice",
 * "disagrees", "syntax", "too_large"; EVN_BAD_INPUT. The status is the report's worst.
 *
 * Different objects may be copied, asked and changed in parallel threads, and many may copy or ask the same one; one
 * that is being changed must not be used by another thread. A rig, and a run, keep nothing of the truck and the cycle
 * that they were made from. A lineup does: its trucks and cycle stay as they are while it is in use.
 */
typedef struct evn_change {
    const char *path; /* UTF-8 */
    double value;
} evn_change;

/*
 * A copy that shares nothing with its original, CSV files included: either may be freed or changed first. Values of a
 * copy are not listed (evn_truck_value_count is 0), for they stand in no file. NULL in `out` when memory is out.
 */
EVN_API evn_status evn_truck_copy(const evn_truck *, evn_truck **out, evn_report *);
EVN_API evn_status evn_cycle_copy(const evn_cycle *, evn_cycle **out, evn_report *);

/* The number at a path; where there is none, "unknown_key" or "wrong_shape", and `out` is left alone. */
EVN_API evn_status evn_truck_number(const evn_truck *, const char *path, double *out, evn_report *);
EVN_API evn_status evn_cycle_number(const evn_cycle *, const char *path, double *out, evn_report *);

/*
 * Changes so many numbers at once, all or none: the rules between keys are checked when all are in place. Of one path
 * given twice the last counts. Values of a changed truck are not listed any more.
 */
EVN_API evn_status evn_truck_set_numbers(evn_truck *, const evn_change *, size_t count, evn_report *);
EVN_API evn_status evn_cycle_set_numbers(evn_cycle *, const evn_change *, size_t count, evn_report *);
/* The same for one. */
EVN_API evn_status evn_truck_set_number(evn_truck *, const char *path, double value, evn_report *);
EVN_API evn_status evn_cycle_set_number(evn_cycle *, const char *path, double value, evn_report *);

#ifdef __cplusplus
}
#endif
#endif
