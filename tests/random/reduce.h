/* A failing case made smaller: what can be left out while the same fault shows is left out. */
#ifndef EVENER_TESTS_REDUCE_H
#define EVENER_TESTS_REDUCE_H
#include "case.h"
#include "trial.h"

/* Works in the folder, which holds the smaller case afterwards. False: a file could not be written. */
bool case_reduce(random_case *, trial_fault, const char *folder);

#endif
