/*
 * keys.h: every key that a file may hold, from the tables by which files are read, every fault that can be found, and
 * names that are others now.
 *
 * Keys stand in kinds: "truck", "cycle" and "lineup" are those of whole files, "motor", "tyre", "final_drive" and the
 * like those of parts, which a file may hold inline or bring in with `use: PATH`; "load_case" and "driving" are those
 * of what is asked of a run. All text lives as long as the program, and every call may come from any thread.
 */
#ifndef EVENER_KEYS_H
#define EVENER_KEYS_H

#include "evener/evener.h"

#ifdef __cplusplus
extern "C" {
#endif

typedef struct evn_kind {
    const char *name, *help;
    size_t key_count;
} evn_kind;

typedef enum evn_key_shape {
    EVN_KEY_NUMBER,
    EVN_KEY_COUNT, /* a whole number */
    EVN_KEY_FLAG,
    EVN_KEY_TEXT,
    EVN_KEY_CHOICE,
    EVN_KEY_NUMBERS, /* a list */
    EVN_KEY_GROUP,   /* a map of the keys of `kind` */
    EVN_KEY_NAMED,   /* a map of names, each with the keys of `kind` */
    EVN_KEY_STEPS,   /* a list of maps of one key, which is the name of a kind: evn_key_step */
    EVN_KEY_FILE,    /* the path of a CSV file */
    EVN_KEY_FIGURES, /* a map of names to numbers, or to the word none */
    EVN_KEY_TEXTS    /* a list of texts */
} evn_key_shape;

typedef enum evn_key_presence {
    EVN_KEY_REQUIRED,
    EVN_KEY_OPTIONAL,
    EVN_KEY_HAS_DEFAULT /* of a group: when it is left out, one that is made of its own defaults stands in */
} evn_key_presence;

typedef struct evn_key {
    const char *key, *unit, *help, *source; /* "" where there is none */
    evn_key_shape shape;
    evn_key_presence presence;
    const char *kind;               /* of GROUP and NAMED, else NULL */
    double least, most;             /* numbers: hard bounds, inclusive */
    double usual_low, usual_high;   /* outside gives a warning; NAN: none stated */
    double fallback;                /* default of numbers; NAN: none */
    const char *fallback_word;      /* default of FLAG and CHOICE; NULL: none */
    const char *const *choices;     /* of CHOICE, ends with NULL; else NULL */
    size_t count_least, count_most; /* of lists and names; count_most 0: no limit of its own */
    double apart_least;             /* of NUMBERS: by how much neighbours differ at least; 0: any values */
    /* How far a value may be off where no `uncertain` says; a half width, or a share of the value; NAN both: not at
     * all. */
    double half_width, relative;
    const char *error_shape;       /* how that is distributed, as the key `shape` names it; NULL: not off */
    const char *errs_with;         /* the label with which all values of this key err alike; NULL: none */
    const char *half_width_source; /* "" where it is not off */
} evn_key;

EVN_API size_t evn_kind_count(void);
EVN_API bool evn_kind_at(size_t index, evn_kind *out);
EVN_API bool evn_kind_get(const char *name, evn_kind *out);
/* A key of a kind, in the order of its table. False: no such kind, or no more keys. */
EVN_API bool evn_key_at(const char *kind, size_t index, evn_key *out);
/* Kinds that the items of a STEPS key may be; NULL past the last. */
EVN_API const char *evn_key_step(const char *kind, const char *key, size_t index);

/* Where a dotted path leads. */
typedef struct evn_key_place {
    const char *holder; /* the kind that holds the key; NULL when the path is that of a whole kind */
    size_t index;       /* of the key in its holder */
    const char *inner;  /* the kind that it leads into; NULL: none, or one of several */
} evn_key_place;

/*
 * Finds "truck.battery.capacity_ah", "drive_units.rear.path[4].final_drive" (from a truck, else from a cycle), "motor",
 * "motor.loss". Names of things may be any. False, with the nearest name in the report, when there is none.
 */
EVN_API bool evn_key_find(const char *path, evn_key_place *out, evn_report *);

/* Every fault that a finding can name. */
typedef struct evn_fault_meaning {
    const char *name, *meaning;
    evn_severity severity;
    evn_status status; /* that it leads to */
} evn_fault_meaning;

EVN_API size_t evn_fault_count(void);
EVN_API bool evn_fault_at(size_t index, evn_fault_meaning *out);

/*
 * Names that documents, files and tables bore whose schema has the number 1, and what stands in their place. A key that
 * is made of parts ("ledger.rolling_kwh", "units.rear.shifts") is told part by part.
 */
typedef struct evn_renaming {
    const char *before, *now;
    const char *of; /* "result", "energy balance", "limit", "status", "trace column", ... */
} evn_renaming;

EVN_API bool evn_renamed_at(size_t index, evn_renaming *out); /* false: no more */
/*
 * What a key, limit or status that stands in such a document is called now, in so many bytes:
 * "energy_balance.rolling_resistance_kwh". False, and an empty text: it is called so still, or never was.
 */
EVN_API bool evn_renamed_key(const char *key, char *out, size_t size);

#ifdef __cplusplus
}
#endif
#endif
