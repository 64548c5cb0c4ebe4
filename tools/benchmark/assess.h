/* What verdicts take on trucks whose days were driven before. */
#ifndef EVENER_BENCHMARK_ASSESS_H
#define EVENER_BENCHMARK_ASSESS_H
#include <stdbool.h>

/* Prints its figures: the trucks of a lineup against all that its duty demands, with a file of prices; the least of so
 * many. False: said. */
bool evn_measure_assess(const char *lineup, const char *prices, int repeats);

#endif
