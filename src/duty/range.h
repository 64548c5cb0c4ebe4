/* Distances to the reserve by season, payload and age, and the battery that the day takes (RANGE.md). */
#ifndef EVENER_DUTY_RANGE_H
#define EVENER_DUTY_RANGE_H
#include "duty/duty.h"
#include "evener/range.h"

/* Finds them. The ask and `how` fit. NULL (said) where the duty does not do, the work was stopped, or memory is out. */
evn_range *evn_range_make(const evn_truck_file *, const evn_duty_file *, const evn_conditions *, const evn_range_how *,
                          evn_report *);

#endif
