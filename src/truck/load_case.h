/* The load case as a table: what a truck is made ready for. Its rows are the one place of bounds, defaults and help. */
#ifndef EVENER_TRUCK_LOAD_CASE_H
#define EVENER_TRUCK_LOAD_CASE_H
#include "core/field.h"
#include "evener/evener.h"

extern const evn_object evn_load_case_object; /* fills an evn_load_case */

#endif
