/*
 * The friction brakes of the axles over a run: their states, what braking at events adds to them, and what is noted of
 * them. Of an axle: its energy, where that does not follow from the line of the ledger by a fixed share; and the
 * temperature of its brakes, where a file states how they heat. Other trucks have neither.
 */
#ifndef EVENER_TRIP_AXLE_BRAKES_H
#define EVENER_TRIP_AXLE_BRAKES_H
#include "trip/trip.h"

/* ---- states: the last of the vector */
void evn_axle_brakes_place(evn_states *);
void evn_axle_brakes_tolerance(const evn_states *, double accuracy, double energy_j, double tolerance[]);
void evn_axle_brakes_start(const evn_states *, double y[]);
void evn_axle_brakes_carry(const evn_states *from, const double *y, const evn_states *to, double *then);
void evn_axle_brakes_rates(const evn_states *, const evn_instant *, const double *y, double *dy);
/* NULL: none of these stands there. Returns `out`. */
const char *evn_axle_brakes_name(const evn_states *, size_t at, char out[EVN_STATE_NAME_BYTES]);

/* ---- what they say */
double evn_axle_brake_degc(const evn_states *, const double *y, size_t axle); /* NAN: not modelled */
double evn_axle_brakes_peak_degc(const evn_trip *);     /* of the hottest so far; NAN: none is modelled */
double evn_axle_brake_j(const evn_trip *, size_t axle); /* friction braking energy of an axle, lumps included */

/* Friction braking that an event books at once, J: by the shares of the axles, where these go by the loads at rest. */
void evn_axle_brakes_lump(evn_trip *, double lump_j);

/* ---- accounting */
void evn_axle_brakes_begin(evn_trip *);                                         /* once the states have started */
void evn_axle_brakes_see(evn_trip *, double friction_w);                        /* where a restart or a step ends */
void evn_axle_brakes_step(evn_trip *, double from, double to, const double *y); /* after evn_passed_note */

#endif
