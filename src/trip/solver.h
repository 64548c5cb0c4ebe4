/*
 * The integrator behind four calls: create, restart, go, drop (and a look back into the last step). One row per kind.
 *
 * The right-hand side must be smooth between two restarts; whatever bends or jumps is either a known time (the `until`
 * of go) or a watch: a function that is above zero before its event and falls through zero at it.
 */
#ifndef EVENER_TRIP_SOLVER_H
#define EVENER_TRIP_SOLVER_H
#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

enum { EVN_WATCHES_MAX = 64 };

typedef struct evn_system {
    size_t states, watches;
    double accuracy;
    const double *tolerance; /* absolute, per state: accuracy times the state's scale */
    bool (*rate)(double t, const double *y, double *dy, void *self); /* false: not finite */
    void (*watch)(double t, const double *y, double *g, void *self);
    /* The same for some watches, one bit each; of the others those that are dear stay in g as they are. */
    void (*watch_some)(double t, const double *y, uint64_t wanted, double *g, void *self);
    bool (*step)(double from, double to, const double *y, void *self); /* after each step; false: stop here */
    void *self;
    const bool
        *aside; /* per state: neither rates nor watches read it, and its error follows those of others; NULL: none */
} evn_system;

typedef enum evn_reached {
    EVN_REACHED_TIME,  /* `until` */
    EVN_REACHED_EVENT, /* at least one watch fell to zero */
    EVN_STOPPED,       /* step() said so */
    EVN_GAVE_UP        /* the integrator could not go on; why() says more */
} evn_reached;

/* How closely to go on from a restart, and which watches may fall until the next one, one bit each. */
typedef struct evn_pace {
    uint64_t watched;
    const double *tolerance;             /* absolute, per state; copied */
    double first_step_s, longest_step_s; /* INFINITY: any */
} evn_pace;

typedef struct evn_solver evn_solver;
typedef struct evn_solver_kind {
    const char *name;
    evn_solver *(*create)(const evn_system *); /* NULL: memory ran out */
    void (*restart)(evn_solver *, double t, const double *y, const evn_pace *);
    /* Goes to `until` (above t) or to the first event; t and y are where it stopped, `hit` has a bit per watch. */
    evn_reached (*go)(evn_solver *, double until, double *t, double *y, uint64_t *hit);
    void (*look_back)(evn_solver *, double t, double *y); /* within the last step */
    const char *(*why)(const evn_solver *);
    void (*drop)(evn_solver *);
} evn_solver_kind;

/* SUNDIALS CVODE: Adams methods of variable order with fixed-point iteration. */
extern const evn_solver_kind evn_cvode;

/* SUNDIALS ARKODE: an explicit Runge-Kutta pair of order 3, its error estimated by order 2. */
extern const evn_solver_kind evn_arkode;

/*
 * What a watch is raised by before the integrator sees it. Many begin at zero, where the last event left them, and move
 * away slowly: without this, round-off alone would bring the next event, again and again.
 */
#define EVN_TOUCH 1e-12

/* A watch below this (watches are of order one) was crossed although no change of sign was seen. */
#define EVN_CROSSED (-1e-7)

#endif
