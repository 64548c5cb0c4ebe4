/* A comparison while it is worked on, and its runs: what compare.c, and over a duty compare_day.c, work with. */
#ifndef EVENER_LINEUP_COMPARE_WORK_H
#define EVENER_LINEUP_COMPARE_WORK_H
#include "duty/demanded.h"
#include "duty/duty.h"
#include "lineup/common.h"
#include "lineup/likeness.h"
#include "lineup/outcome.h"

enum { EVN_COMPARISON_FIGURES = 5 };

typedef struct evn_compare_season { /* one truck over the day in another season, at its own speeds */
    evn_day_plan plan;
    evn_load_case load_case;
    evn_outcome outcome;
} evn_compare_season;

typedef struct evn_compare_side { /* one truck */
    const evn_contender *who;
    evn_equalised given; /* what it was given to be equal to the first */
    evn_rig *rig;
    evn_limits *limits; /* what decides, and what is demanded */
    evn_likeness_of_truck likeness;
    evn_outcome outcome[2];  /* by evn_basis */
    evn_outcome exact;       /* of the run that tells what speeds it reaches */
    evn_reach reach;         /* by the last of these runs */
    evn_samplers sampler[2]; /* by evn_basis: what takes `reach`, then who was asked for */
    bool in;                 /* part of the common basis */
    evn_day_plan day[2];     /* by evn_basis, over a duty: its phases with what came of them */
    evn_carried
        *carried[2]; /* over a duty at the common speed: at the end of the last phase, and of the one under way */
    evn_compare_season *season;  /* of each of the duty's, but that of the comparison is empty; NULL: none */
    evn_duty_verdicts *verdicts; /* of each season of the duty, none of those not driven; NULL: nothing judged */
} evn_compare_side;

struct evn_comparison {
    evn_arena *arena;
    const evn_cycle_file *cycle; /* NULL: over a duty */
    const evn_duty_file *duty;   /* NULL: over a cycle */
    size_t season;               /* of the duty, in which it compares */
    evn_conditions any_season;   /* what is asked without it */
    evn_conditions ask;
    evn_equal equal;
    size_t count;
    evn_contender *who;   /* as they are compared, by their names in the report */
    evn_contender *plain; /* the same by their names in the lineup */
    evn_compare_side *side;
    evn_ceiling ceiling;
    evn_rig_figure figure[EVN_COMPARISON_FIGURES];
};

/* One comparing. */
typedef struct evn_compare_work {
    evn_comparison *of;
    const evn_compare_how *how;
    evn_runs runs;
    /* Runs that are driven together, and where what comes of each belongs; room for two of each truck. */
    evn_run *run;
    evn_outcome **outcome;
    size_t count;
} evn_compare_work;

/* As its truck is loaded: over a duty as it is at most on that day, which is what it is judged by. */
evn_load_case evn_compare_load_case_of(const evn_comparison *, const evn_compare_side *);

/* Adds a run of a truck to those that are driven next; what is asked of it is filled in by the caller. */
evn_run *evn_compare_add_run(evn_compare_work *, const evn_compare_side *, evn_outcome *);
void evn_compare_sample(evn_run *, evn_samplers);

/* Drives those that were added. False when memory is out. */
bool evn_compare_drive(evn_compare_work *);

/* Gives up what came of a run that is driven anew. False when memory is out. */
bool evn_compare_renew(evn_outcome *);

/* Takes a truck out of the common basis. What tells why is copied before the report that holds it is given up. False
 * when memory is out. */
bool evn_compare_leave_out(evn_compare_side *, const evn_report *reason);

#endif
