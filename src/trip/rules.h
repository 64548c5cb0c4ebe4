/* Events: when a jump of the discrete state is due. */
#ifndef EVENER_TRIP_RULES_H
#define EVENER_TRIP_RULES_H
#include "trip/trip.h"

extern const size_t evn_rules_count;
/* Runs every rule that is due, in the order of the table, until none is. False: the run has failed (report says why).
 */
bool evn_rules_run(evn_trip *, uint64_t hit, bool *restart);
/* Says that no headway is made (headway.h), and what happened last. False. */
bool evn_rules_no_headway(const evn_trip *);
/* Watches that may fall before the next act, one bit each. */
uint64_t evn_rules_watched(const evn_trip *);
double evn_rules_next_time(const evn_trip *); /* earliest of the known times */
void evn_trip_watch(double t, const double *y, double *g, void *trip);
/* All but those that are dear and of which the mask holds no bit: they stay in g. What falls and rises again within a
 * step is seen where a search comes upon it, as long as it is cheap. */
void evn_trip_watch_some(double t, const double *y, uint64_t wanted, double *g, void *trip);

#endif
