/*
 * Many runs: a list in, what came of each in the order of the list out, whatever the number of threads. The only place
 * that drives: pool, progress, stop and clean-up of runs are here and nowhere else.
 */
#ifndef EVENER_RUNS_RUNS_H
#define EVENER_RUNS_RUNS_H
#include "cycle/part.h"
#include "evener/traces.h"
#include "trip/drive.h"
#include "truck/truck.h"
#include <pthread.h>

/* The status of a run that came to no results. */
#define EVN_RUN_FAILED "failed"

/*
 * One of the phases that a run is made of: a leg or a part of one, or a stop. Each begins as the one before it ended,
 * with the run's truck, load case and driving.
 */
typedef struct evn_phase {
    /* What is asked. */
    double payload_kg;
    const evn_cycle_file *cycle; /* NULL: a stop, where the phase before ended */
    bool reversed;               /* the way back */
    evn_course_part part;        /* of the course, as it is driven */
    evn_standing standing;       /* of a stop */
    const evn_ceiling *ceiling;  /* NULL: none */
    const evn_sampler *sampler;  /* so many */
    size_t samplers;
    evn_report *report; /* its own */

    /* What came of it. */
    const evn_rig *rig;   /* may be given: one that was made for this payload before; else NULL: it was not begun */
    evn_rig *made;        /* the rig, where this phase is the first with its payload */
    evn_results *results; /* NULL: none */
    const char *status;   /* as of a run; NULL: it was not begun */
    double begin_soc;     /* NAN: it was not begun */
} evn_phase;

typedef struct evn_run {
    /* What is asked. What is pointed to must outlive the run; parts of it may be shared with other runs. */
    const evn_rig *rig;          /* NULL: made of the next two */
    const evn_truck_file *truck; /* only where there is no rig; its load case */
    evn_load_case load_case;
    const evn_cycle_file *cycle;
    evn_phase *phase; /* so many, driven one after another until one does not finish, in place of the cycle */
    size_t phases;
    const evn_carried *begins; /* what the first of them begins with; NULL: nothing, as its rig says */
    evn_carried *leaves;       /* where what the last leaves goes, where all finished; NULL: nowhere */
    evn_driving driving;
    const evn_ceiling *ceiling; /* NULL: none */
    const evn_sampler *sampler; /* so many */
    size_t samplers;
    evn_collective *collective; /* NULL: nobody counts */
    evn_report *report;         /* the run's own while it is driven */
    /* Asked now and then; true ends this run alone, as interrupted, with its results up to there. NULL: it is driven to
     * its end. */
    bool (*enough)(void *self);
    void *enough_self;

    /* What came of it. */
    evn_rig *made;        /* the rig, where there was none; NULL: it could not be made (said) */
    evn_results *results; /* NULL: none; each phase has its own */
    const char *status;   /* of the results, of phases of the last one that was begun; EVN_RUN_FAILED: there are none
                             (said); "interrupted", without results: it was   stopped before it began */
} evn_run;

typedef struct evn_runs_how {
    size_t threads; /* 0: as many as processors online */
    void *self;
    /* May be NULL. Asked now and then while runs are driven and behind each, from any thread, one at a time. The share
     * never falls, and is 1 behind the last run. False ends the runs under way, and none begins after it. */
    bool (*go_on)(void *self, double done_share);
} evn_runs_how;

/* Lists of runs, one after another, with one progress and one stop. */
typedef struct evn_runs {
    evn_runs_how how;
    pthread_mutex_t lock;              /* of all below */
    size_t total, finished, under_way; /* runs */
    double under_way_share;            /* done of those under way, all together */
    double told_share;
    bool stopped;
} evn_runs;

void evn_runs_begin(evn_runs *, const evn_runs_how *);
void evn_runs_end(evn_runs *);

/* So many runs, of this list and others, are still to come, and the progress is told; a list that nothing was said of
 * is all there is. */
void evn_runs_expect(evn_runs *, size_t to_come);

/* Makes the rigs of those that have none. */
void evn_runs_prepare(evn_runs *, evn_run *list, size_t count);

/* Makes the rigs that are not made yet, and drives all. */
void evn_runs_drive(evn_runs *, evn_run *list, size_t count);

bool evn_runs_stopped(evn_runs *);

/* Gives up what came of a run; members that were taken over are NULL by then. What came of its phases belongs to
 * whoever has them. */
void evn_run_forget(evn_run *);

#endif
