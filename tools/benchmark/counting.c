/* Integrators that count what is asked of the trip, and pass it on. */
#include "counting.h"
#include "rk4.h"
#include "trip/trip.h"
#include <stdlib.h>

struct evn_solver {
    const evn_solver_kind *kind;
    evn_solver *inner;
    evn_system system; /* the trip's own */
    evn_counts counts;
    unsigned long begin; /* allocations so far when the first step began */
};

static bool rate(double t, const double *y, double *dy, void *self)
{
    evn_solver *s = self;
    s->counts.rates++;
    return s->system.rate(t, y, dy, s->system.self);
}

static void watch(double t, const double *y, double *g, void *self)
{
    evn_solver *s = self;
    s->counts.watches++;
    s->system.watch(t, y, g, s->system.self);
}

static void watch_some(double t, const double *y, uint64_t wanted, double *g, void *self)
{
    evn_solver *s = self;
    s->counts.watches++;
    s->system.watch_some(t, y, wanted, g, s->system.self);
}

static bool step(double from, double to, const double *y, void *self)
{
    evn_solver *s = self;
    return s->system.step(from, to, y, s->system.self);
}

static evn_solver *create(const evn_system *system, const evn_solver_kind *kind)
{
    unsigned long before = evn_allocations();
    evn_solver *s = calloc(1, sizeof *s);
    if (!s)
        return NULL;
    evn_system counted = *system;
    counted.rate = rate;
    counted.watch = watch;
    counted.watch_some = watch_some;
    counted.step = step;
    counted.self = s;
    s->kind = kind;
    s->system = *system;
    s->inner = kind->create(&counted);
    s->counts.allocations_before = evn_allocations() - before;
    if (s->inner)
        return s;
    free(s);
    return NULL;
}

static evn_solver *create_cvode(const evn_system *system) { return create(system, &evn_cvode); }

static evn_solver *create_arkode(const evn_system *system) { return create(system, &evn_arkode); }

static evn_solver *create_rk4(const evn_system *system) { return create(system, &evn_rk4); }

static void restart(evn_solver *s, double t, const double *y, const evn_pace *pace)
{
    if (!s->counts.restarts++)
        s->begin = evn_allocations();
    s->kind->restart(s->inner, t, y, pace);
}

static evn_reached go(evn_solver *s, double until, double *t, double *y, uint64_t *hit)
{
    evn_reached reached = s->kind->go(s->inner, until, t, y, hit);
    s->counts.event_returns += reached == EVN_REACHED_EVENT;
    s->counts.allocations_within = evn_allocations() - s->begin;
    return reached;
}

static void look_back(evn_solver *s, double t, double *y) { s->kind->look_back(s->inner, t, y); }

static const char *why(const evn_solver *s) { return s->kind->why(s->inner); }

static void drop(evn_solver *s)
{
    const evn_trip *trip = s->system.self;
    if (trip->watch)
        *(evn_counts *)trip->watch->self = s->counts;
    s->kind->drop(s->inner);
    free(s);
}

const evn_solver_kind evn_counting_cvode = {"counting cvode", create_cvode, restart, go, look_back, why, drop};
const evn_solver_kind evn_counting_arkode = {"counting arkode", create_arkode, restart, go, look_back, why, drop};
const evn_solver_kind evn_counting_rk4 = {"counting rk4", create_rk4, restart, go, look_back, why, drop};
