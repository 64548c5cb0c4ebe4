/* What variants of studies take: two threads against one, memory, rows written, parts joined. */
#ifndef EVENER_BENCHMARK_VARY_H
#define EVENER_BENCHMARK_VARY_H
#include <stdbool.h>

/* Prints its figures: of a study as it is meant, and of a cheap one with many variants. False: said. */
bool evn_measure_vary(const char *study, const char *many, int repeats);

#endif
