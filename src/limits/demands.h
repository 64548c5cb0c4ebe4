/* The demands as a table: what a truck must be able to do. Its rows are the one place of bounds, defaults and help. */
#ifndef EVENER_LIMITS_DEMANDS_H
#define EVENER_LIMITS_DEMANDS_H
#include "core/field.h"
#include "evener/limits.h"

extern const evn_object evn_demands_object; /* fills an evn_demands */

/* False (said) when something of it is out of its range, or a demand lacks its other half. */
bool evn_demands_fit(const evn_demands *, evn_report *);

#endif
