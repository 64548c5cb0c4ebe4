/* The load case as a table: what a truck is made ready for. Its rows are the one place of bounds, defaults and help. */
#ifndef EVENER_TRUCK_LOAD_CASE_H
#define EVENER_TRUCK_LOAD_CASE_H
#include "core/field.h"
#include "evener/evener.h"

extern const evn_object evn_load_case_object; /* fills an evn_load_case */

/* A load case laid over another in some of its keys: bit k of `which` is row k of its table. */
evn_load_case evn_load_case_over(const evn_load_case *base, const evn_load_case *over, uint64_t which);
/* Its place among the rows; false: no such key. */
bool evn_load_case_row(const char *key, unsigned *row);

#endif
