/* Names in kept results: those that are others now, and those that are none. */
#ifndef EVENER_API_KEPT_NAMES_H
#define EVENER_API_KEPT_NAMES_H
#include "core/arena.h"
#include "core/report.h"
#include "judge/kept.h"

/* Where a key of a run stands. */
typedef evn_spot evn_kept_place(const void *of, const char *run, const char *key, evn_report *);

/* Puts the names of today in the place of older ones, of results and of the status. False when memory is out. */
bool evn_kept_names_take(evn_arena *, evn_kept_run_file *);

/* Says every name of a run that is another now ("unknown_key"). False: there is none. */
bool evn_kept_names_refused(const evn_kept_run_file *, evn_kept_place *, const void *of, const char *run_name,
                            evn_report *);

/* Says names of before beside the name now: which of the two numbers counts? ("duplicate_key") True: there is none. */
bool evn_kept_names_once(const evn_kept_run_file *, evn_kept_place *, const void *of, const char *run_name,
                         evn_report *);

/* The names that results may bear, NAME for those of axles and drive units. */
typedef struct evn_result_names {
    const char **at;
    size_t count;
} evn_result_names;

/* False when memory is out. */
bool evn_result_names_gather(evn_arena *, evn_result_names *out);

/* Says names that no result bears, nor bore before, with the nearest; such a number cannot be held against anything. */
void evn_kept_names_doubt(const evn_kept_run_file *, const evn_result_names *, evn_kept_place *, const void *of,
                          const char *run_name, evn_report *);

#endif
