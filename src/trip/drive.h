/* Driving: from a rig and a cycle to results. */
#ifndef EVENER_TRIP_DRIVE_H
#define EVENER_TRIP_DRIVE_H
#include "core/takeoff_ask.h"
#include "cycle/ceiling.h"
#include "trip/driving.h"
#include "trip/solver.h"
#include "trip/watch.h"
#include "truck/rig.h"

/* One result: what it is, and its value. */
typedef struct evn_result {
    evn_quantity what;
    double value;
} evn_result;

struct evn_results {
    evn_arena *arena; /* holds keys that are made at run time */
    const char *status;
    evn_result *result;
    size_t count;
    evn_limitation limitation[16];
    size_t limitation_count;
    evn_friction_cause cause[16]; /* at most EVN_RUBS_COUNT */
    size_t cause_count;
    evn_peak_temperature *peak; /* in the arena */
    size_t peak_count;
    unsigned long steps,
        events; /* of the integrator; of the rules: for tests and benchmarks, not part of the results */
};

/* Drives a prepared course, watched or not (NULL). EVN_DONE or EVN_ANSWER_NO with results; otherwise the report says
 * why there are none. */
evn_status evn_drive_course(const evn_rig *, const evn_course *, const evn_driving *, const evn_watch *,
                            const evn_solver_kind *, evn_results **out, evn_report *);

/* What a run leaves to the next one of the same truck, whose payload may be another: charge, temperatures, settings. */
typedef struct evn_carried evn_carried;
evn_carried *evn_carried_new(void); /* with nothing: a run begins as its rig says; NULL when memory is out */
void evn_carried_free(evn_carried *);
void evn_carried_copy(evn_carried *to, const evn_carried *from);
double evn_carried_place_m(const evn_carried *);              /* of its course; 0: nothing was driven */
double evn_carried_soc(const evn_carried *, const evn_rig *); /* with which this rig of its truck begins */

/* A stop that is a run of its own (standing.h). */
typedef struct evn_standing {
    double duration_s; /* 0 and more; INFINITY: until the battery is charged as far as asked, which is finite then */
    bool charges;      /* a connector is plugged in, which gives at most: */
    evn_curve connector_w;  /* over state of charge, at the battery's terminals */
    double until_soc;       /* it charges so far; INFINITY: as far as the battery allows */
    double grid_efficiency; /* from the grid to the terminals; NAN: not told */
    evn_takeoff_ask takeoff;
    bool takeoff_by_truck; /* instead, what the truck asks by itself at the stops of cycles */
} evn_standing;

/* Of a run that is one of several: what it begins with, and leaves to the next; and that it is a stop, on a course
 * without a way (cycle/part.h). NULL: neither. */
typedef struct evn_phase_ask {
    evn_carried *carried;
    const evn_standing *standing;
} evn_phase_ask;
evn_status evn_drive_phase(const evn_rig *, const evn_course *, const evn_driving *, const evn_watch *,
                           const evn_solver_kind *, const evn_phase_ask *, evn_results **out, evn_report *);

/* The course of a cycle for this rig and ask, below a ceiling (NULL: none). */
evn_course *evn_drive_course_of(const evn_rig *, const evn_cycle_file *, const evn_driving *, const evn_ceiling *,
                                evn_report *);
/* The same of the way back, or out again: `reversed`. */
evn_course *evn_drive_course_along(const evn_rig *, const evn_cycle_file *, bool reversed, const evn_driving *,
                                   const evn_ceiling *, evn_report *);

#endif
