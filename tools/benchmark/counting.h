/* Kinds of integrator that count what the integrator behind them asks of the trip. */
#ifndef EVENER_BENCHMARK_COUNTING_H
#define EVENER_BENCHMARK_COUNTING_H
#include "trip/solver.h"

typedef struct evn_counts {
    unsigned long rates, watches /* of all or of some */, restarts, event_returns;
    unsigned long allocations_before; /* while the integrator is set up: shows that they are counted */
    unsigned long allocations_within; /* from the first restart to the end of the last step */
} evn_counts;

/* The trip's watch must have an evn_counts as its `self`; it is filled when the integrator is dropped. */
extern const evn_solver_kind evn_counting_cvode, evn_counting_arkode, evn_counting_rk4;

/* Calls of malloc, calloc, realloc and the like in this thread so far. */
unsigned long evn_allocations(void);

#endif
