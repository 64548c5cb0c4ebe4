/* Names in kept results that are others now. */
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

#endif
