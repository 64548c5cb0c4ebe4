/* The instant of a trip: what its state asks of the room pull. */
#ifndef EVENER_TRIP_MOMENT_H
#define EVENER_TRIP_MOMENT_H
#include "pull/instant.h"
#include "trip/trip.h"

double evn_trip_soc(const evn_trip *, const double *y);
evn_pack_now evn_trip_pack(const evn_trip *, const double *y);
double evn_trip_place_m(const evn_trip *, double t, const double *y);

/* The truck as it stands, asked for what its law asks. */
evn_given evn_trip_given(const evn_trip *, double t, const double *y);
void evn_instant_at(const evn_trip *, double t, const double *y, evn_instant *);

/* The same for between the acts: shared with whoever asked for the same instant before. There until the next call. */
const evn_instant *evn_instant_seen(const evn_trip *, double t, const double *y);
const evn_prices *evn_prices_seen(const evn_trip *, double t, const double *y);
/* An act has changed what an instant is. */
void evn_instant_drop(const evn_trip *);

/* The same at rest here with other settings, all of them done with changing: a launch. */
evn_given evn_trip_launch_given(const evn_trip *, const evn_setting setting[]);

#endif
