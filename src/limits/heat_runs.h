/* What runs of this room tell of heat. */
#ifndef EVENER_LIMITS_HEAT_RUNS_H
#define EVENER_LIMITS_HEAT_RUNS_H
#include "limits/made_road.h"

/* Of windings and inverters the one that went furthest beyond the begin of its derating; NONE: none went so far. */
evn_bound evn_made_hottest(const evn_made_run *);

/* Whether any limit of the force kept it below the speed that it was to hold. */
bool evn_made_held_back(const evn_made_run *);

/* By the exact driver, all else as asked. */
evn_driving evn_exactly(const evn_limits_work *);

#endif
