/* The driving as a table: how a truck is driven. Its rows are the one place of bounds, defaults and help. */
#ifndef EVENER_TRIP_DRIVING_H
#define EVENER_TRIP_DRIVING_H
#include "core/field.h"
#include "evener/evener.h"
#include "trip/solver.h"

extern const evn_object evn_driving_object; /* fills an evn_driving */

/* False (said) when something of it is out of its range. */
bool evn_driving_fits(const evn_driving *, evn_report *);

/* What integrates it. */
const evn_solver_kind *evn_driving_solver(const evn_driving *);

#endif
