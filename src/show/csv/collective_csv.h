/* The load collectives of a run as CSV: a line for each shaft, gear, class of torque and class of speed with something
 * in it. */
#ifndef EVENER_SHOW_COLLECTIVE_CSV_H
#define EVENER_SHOW_COLLECTIVE_CSV_H
#include "evener/collectives.h"
#include "show/csv/trace_csv.h"

void evn_collective_csv(const evn_collective *, evn_trace_csv *);

#endif
