/* What draws cost over so many runs of the same trip. */
#ifndef EVENER_BENCHMARK_DRAWS_H
#define EVENER_BENCHMARK_DRAWS_H
#include <stdbool.h>

typedef struct evn_draws_effort {
    double over_runs;  /* processor time of draws over that of so many runs at the common speed of their comparison */
    double each_run_s; /* processor time of one of these */
} evn_draws_effort;

/* A truck against itself with one datum that moves both, by ARKODE at 1e-5; the least of so many. False: said. */
bool evn_measure_draws(const char *truck, const char *cycle, int repeats, evn_draws_effort *out);

#endif
