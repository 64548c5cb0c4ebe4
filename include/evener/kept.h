/*
 * kept.h: results that are kept in a file, and new ones held against them.
 */
#ifndef EVENER_KEPT_H
#define EVENER_KEPT_H

#include "evener/evener.h"

#ifdef __cplusplus
extern "C" {
#endif

/*
 * A file of runs (truck and cycle by path, load case, driving) with what came of them, to hold new runs against: a kind
 * of its own ("kept"). Loading it loads its trucks and cycles too; a run whose files cannot be read is said at its
 * place.
 */
typedef struct evn_kept evn_kept;

typedef struct evn_kept_run {
    const char *name;
    const char *lineup, *truck, *cycle; /* paths as written, from the folder of the file; with a lineup (else NULL) the
                                           name of a truck in it, and no cycle */
    evn_conditions ask;                 /* with a lineup as the lineup has it */
    const char *const *set;             /* values that replace those of the files; ends with NULL */
    const char *status;                 /* as recorded, a word of evn_results_status; NULL: nothing is yet */
    const char *truck_hash, *cycle_hash, *ask_hash; /* of what the files hold now, 16 digits; "": not read */
    const char *kept_truck_hash, *kept_cycle_hash, *kept_ask_hash; /* as recorded; NULL: nothing is yet */
    bool truck_changed, cycle_changed, ask_changed;                /* since it was recorded */
    size_t result_count;                                           /* recorded */
} evn_kept_run;

typedef struct evn_kept_tolerance { /* of one kind of quantity; the unit stands at the end of its name */
    const char *name, *help;
    double absolute, relative;
} evn_kept_tolerance;

/* Errors as of evn_truck_load. A run whose files cannot be read is an error too, but the rest is there. */
EVN_API evn_status evn_kept_load(const char *path, evn_kept **out, evn_report *);
/*
 * The same of a file that is to be recorded anew: results and states that are called otherwise now (evn_renamed_at,
 * keys.h) are taken by their new names. evn_kept_load refuses them ("unknown_key").
 */
EVN_API evn_status evn_kept_load_renamed(const char *path, evn_kept **out, evn_report *);
/* A file that is to be: without runs. NULL when memory is out. */
EVN_API evn_kept *evn_kept_new(const char *path);
EVN_API void evn_kept_free(evn_kept *);
/*
 * Adds the run of a truck on a cycle, paths from the working folder, with values set beside their files (as in
 * evn_load; ends with NULL, may be NULL; paths in them start from the folder of the kept file). Nothing when it is
 * there already. Conditions out of their bounds are refused as evn_rig_prepare and evn_drive refuse them.
 */
EVN_API evn_status evn_kept_add(evn_kept *, const char *truck, const char *cycle, const evn_conditions *,
                                const char *const *set, evn_report *);
/* The same for every truck of a lineup, as the lineup asks. */
EVN_API evn_status evn_kept_add_lineup(evn_kept *, const char *lineup, const char *const *set, evn_report *);
EVN_API size_t evn_kept_count(const evn_kept *);
EVN_API bool evn_kept_at(const evn_kept *, size_t index, evn_kept_run *out);
EVN_API bool evn_kept_result_at(const evn_kept *, size_t index, size_t result, const char **key, double *value);
EVN_API bool evn_kept_tolerance_at(const evn_kept *, size_t index, evn_kept_tolerance *out);
EVN_API const char *evn_kept_about(const evn_kept *);   /* NULL: not said */
EVN_API const char *evn_kept_program(const evn_kept *); /* version that recorded; NULL: none did */

/* What became of a kept run. */
typedef enum evn_checked_state {
    EVN_CHECKED_SAME,
    EVN_CHECKED_MOVED,  /* a quantity is beyond its tolerance, or it ended otherwise */
    EVN_CHECKED_NEW,    /* nothing was recorded */
    EVN_CHECKED_NOT_RUN /* it could not be driven, or was not because of an interrupt */
} evn_checked_state;

typedef enum evn_moved {
    EVN_MOVED_NOT,
    EVN_MOVED,         /* beyond its tolerance */
    EVN_MOVED_GONE,    /* kept, but there no more */
    EVN_MOVED_TO_NONE, /* a number before, none now (NAN), or the other way round */
    EVN_MOVED_NEW      /* there, and always kept, but not in the file: it was dropped, or is new in this version */
} evn_moved;

typedef struct evn_moved_quantity {
    const char *key;
    evn_moved moved;
    double kept, now, tolerance;
} evn_moved_quantity;

typedef struct evn_checked {
    const char *name;
    evn_checked_state state;
    const evn_results *results; /* NULL when there are none */
    const evn_report *report;   /* of this run */
    size_t moved_count;
} evn_checked;

typedef struct evn_check_how {
    size_t threads;   /* 0: as many as there are processors; at most 64. The results are the same at any number */
    const char *only; /* runs whose name holds this, or fits it where it holds * or ?; NULL: all */
    void *self;
    /* May be NULL. From any thread, one at a time; the share never falls; false ends the check. */
    bool (*go_on)(void *self, double done_share);
} evn_check_how;

typedef struct evn_check evn_check;
/*
 * Drives all runs, or those asked for, anew; the kept file must outlive the check. EVN_DONE where all is the same,
 * EVN_ANSWER_NO where something moved or is new, EVN_NO_RESULT where something could not run or was not
 * ("interrupted"); "usage", EVN_BAD_INPUT, and no check where no run is meant. Limits that runs pass are warnings
 * here too ("limit_passed"). Never better than the report's worst.
 */
EVN_API evn_status evn_kept_check(const evn_kept *, const evn_check_how *, evn_check **out, evn_report *);
EVN_API void evn_check_free(evn_check *);
EVN_API size_t evn_check_count(const evn_check *); /* runs, in the order of the file */
EVN_API bool evn_check_at(const evn_check *, size_t index, evn_checked *out);
EVN_API bool evn_check_moved_at(const evn_check *, size_t index, size_t quantity, evn_moved_quantity *out);

/* Whether a result is always kept: what tells whether anything moved, and not what follows from it. */
EVN_API bool evn_result_is_kept(const char *key);

/* One quantity held against another by the tolerances of a kept file (NULL: the defaults), by the end of its key;
 * without a key there is no tolerance, and it has moved. */
EVN_API evn_moved_quantity evn_hold_against(const evn_kept *, const char *key, double kept, double now);

#ifdef __cplusplus
}
#endif
#endif
