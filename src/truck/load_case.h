/* The load case as a table: what a truck is made ready for. Its rows are the one place of bounds, defaults and help. */
#ifndef EVENER_TRUCK_LOAD_CASE_H
#define EVENER_TRUCK_LOAD_CASE_H
#include "core/field.h"
#include "evener/evener.h"

extern const evn_object evn_load_case_object; /* fills an evn_load_case */

/* A load case laid over another: where it differs from the default it holds. */
evn_load_case evn_load_case_over(const evn_load_case *base, const evn_load_case *over);

#endif
