/*
 * Rows of the record of ratios: many trucks on one cycle, each with every integrator that the library has, held against
 * the first truck in this one run. The columns are those of tools/benchmark/record.py.
 */
#ifndef EVENER_BENCHMARK_RECORD_H
#define EVENER_BENCHMARK_RECORD_H
#include <stdbool.h>

/*
 * Trucks end with NULL; those behind "--" are measured against a fixed step too, and stand before it as well. Each run
 * is timed until its two least times are alike, at most so often. One JSON line a row. False after saying what went
 * wrong.
 */
bool evn_record(int most_repeats, const char *cycle, char **trucks);

/* One run by the exact driver, for who counts its instructions. */
bool evn_record_once(const char *kind, const char *cycle, const char *truck);

#endif
