/*
 * Driving variants with several threads into one file: a variant that is there is not driven again, rows are written
 * together, and a stop or a file that cannot be written ends all.
 */
#ifndef EVENER_VARY_CREW_H
#define EVENER_VARY_CREW_H
#include "vary/store.h"
#include <pthread.h>
#include <time.h>

typedef struct evn_crew {
    evn_variants_of of;
    const evn_store_is *is;
    const evn_vary_how *how;
    evn_store *store;
    evn_report *report;
    pthread_mutex_t lock; /* of the store and of all below */
    evn_vary_progress progress;
    evn_row *pending; /* driven, not in the file yet */
    double *values;   /* of them */
    size_t count;
    struct timespec written, told; /* when that was last done */
    bool stopped, failed;          /* failed: said */
} evn_crew;

/* False (said) when memory is out. */
bool evn_crew_begin(evn_crew *, const evn_variants_of *, const evn_store_is *, evn_store *, const evn_vary_how *,
                    evn_report *);
/* Writes what is pending. False: said. */
bool evn_crew_end(evn_crew *);

/* From any thread: drives the row, or takes what the file has of it. False: stopped or failed, the row is nothing. */
bool evn_crew_drive(evn_crew *, evn_row *);
/* The same where only the file's row matters. */
bool evn_crew_drive_new(evn_crew *, evn_row *);
/* False: nothing more should begin. */
bool evn_crew_goes_on(evn_crew *);

#endif
