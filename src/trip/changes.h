/* Changes of the settings of units. What jumps in energy is booked here, in lumps. */
#ifndef EVENER_TRIP_CHANGES_H
#define EVENER_TRIP_CHANGES_H
#include "pull/prices.h"
#include "trip/trip.h"

void evn_prices_now(const evn_trip *, evn_prices *);
void evn_take_setting(evn_trip *, size_t unit, evn_setting); /* counts the change and begins its dwell */
void evn_engage(evn_trip *, size_t unit);                    /* what a change has set free comes to its new speed */
void evn_drop_candidate(evn_trip *);
bool evn_is_changing(const evn_box *); /* between two settings, or while its branches close */

/* ---- acts */
void evn_act_change(evn_trip *, size_t unit, evn_setting);
void evn_act_change_ends(evn_trip *, size_t unit);
/* Idle motors are engaged, and an open disconnect is closed where none else changes: true when that is done already. */
bool evn_act_all_hands(evn_trip *, bool pulling);
void evn_act_gap_pulls(evn_trip *);
void evn_act_gap_pushes(evn_trip *);

#endif
