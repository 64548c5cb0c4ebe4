/* Accounting over a run: what held the truck back, time behind the plan, the band around a trace, hottest windings. */
#ifndef EVENER_TRIP_ACCOUNT_H
#define EVENER_TRIP_ACCOUNT_H
#include "trip/trip.h"

void evn_account_held(evn_trip *);   /* at an event: books the time held so far */
void evn_account_holds(evn_trip *);  /* after it: what holds the truck back from here on */
void evn_account_behind(evn_trip *); /* crosses 2 mph below the plan */
void evn_account_band(evn_trip *);   /* crosses the edge of the band around the trace */
/* How far the truck is from crossing them, m/s. */
double evn_behind_margin(const evn_trip *, double place_m, double speed_m_s);
double evn_band_margin(const evn_trip *, double place_m, double speed_m_s);
void evn_account_close(evn_trip *); /* at the end of the run */

void evn_account_restart(evn_trip *); /* after an event: what is at its most there, and falls within the next step */

/* After each step of the integrator. False: stop here. */
bool evn_trip_step(double from, double to, const double *y, void *trip);

#endif
