/* The hottest that the parts of a drive unit became, and whether a limit of its winding hangs on a time constant. */
#ifndef EVENER_TRIP_HOTTEST_H
#define EVENER_TRIP_HOTTEST_H
#include "trip/trip.h"

void evn_hottest_begin(evn_trip *);
void evn_hottest_note(evn_trip *, double time_s, const double *y); /* after evn_passed_note of the same step */
void evn_hottest_say(const evn_trip *);
/* The lowest and the highest peak of a winding over the range of its time constants: as stated, at their low ends, at
 * their high ends. Which of them it is turns round where it cools. */
double evn_hottest_winding_low_degc(const evn_hottest *);
double evn_hottest_winding_high_degc(const evn_hottest *);

#endif
