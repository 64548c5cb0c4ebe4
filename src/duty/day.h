/* One truck over the day of a duty, in each season. */
#ifndef EVENER_DUTY_DAY_H
#define EVENER_DUTY_DAY_H
#include "duty/duty.h"

/* Drives it. The ask fits. NULL (said) where the duty does not do, or memory is out. */
evn_day *evn_day_drive(const evn_truck_file *, const evn_duty_file *, const evn_conditions *, const evn_day_how *,
                       evn_report *);

/* Truck and season together, before anything is driven, in what is asked for beside the season; warnings are told with
 * the legs. NULL: said, where the truck stands without the season at its load case. */
evn_rig *evn_day_stand(const evn_truck_file *, const evn_duty_file *, size_t season, const evn_conditions *asked,
                       evn_report *);

/* Whether it leaves less than another: one that did not finish before all others, of two of them that which got less
 * far. */
bool evn_day_season_is_worse(const evn_day_season *, const evn_day_season *than);

/* A phase as it is told, without where in the day it began. */
evn_day_phase evn_day_phase_of(const evn_day_plan *, size_t phase);

#endif
