/* Runs that do not do, seen against the others: uneven ones, outliers, those without a partner. */
#ifndef EVENER_COASTDOWN_JUDGE_H
#define EVENER_COASTDOWN_JUDGE_H
#include "coastdown/find.h"

/* Says which way each goes. False (said): that is not known. */
bool evn_coast_directions(evn_coastdown *, evn_report *);

/* Leaves the one out that is worst by its bands of speed, or by its own coefficients; false: all do. */
bool evn_coast_refuse_uneven(evn_coastdown *);
bool evn_coast_refuse_outlier(evn_coastdown *);

/* False (said): a run that is there twice, as when a log is named twice. */
bool evn_coast_all_differ(const evn_coastdown *, evn_report *);

/* False, and said: what was found is beyond what a vehicle has and weather does. */
bool evn_coast_is_possible(const evn_coastdown *, evn_report *);

/* Runs that are left, in pairs of one out and one back; those that have no partner are left out. */
void evn_coast_pair(evn_coastdown *);

#endif
