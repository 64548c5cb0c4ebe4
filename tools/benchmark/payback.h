/* What it takes to reckon with trucks whose days were driven before. */
#ifndef EVENER_BENCHMARK_PAYBACK_H
#define EVENER_BENCHMARK_PAYBACK_H
#include <stdbool.h>

/* Prints its figures: the trucks of a lineup over its day, with a file of prices; the least of so many. False: said. */
bool evn_measure_payback(const char *lineup, const char *prices, int repeats);

#endif
