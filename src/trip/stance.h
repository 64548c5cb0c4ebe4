/*
 * What a truck does at low speed only: differentials locked by the driver, a lifting axle in start aid. Discrete state;
 * rules set it by the speed at which each ends. Locks count where the road states its adhesion (moment.c).
 */
#ifndef EVENER_TRIP_STANCE_H
#define EVENER_TRIP_STANCE_H
#include "trip/trip.h"

/* Whether it matters: the rig has it, and (locks) the road where the truck is states its adhesion. */
bool evn_stance_has_aid(const evn_trip *);
bool evn_stance_has_locks(const evn_trip *);

/* By the speed: at rest, and at the beginning. */
void evn_stance_set(evn_trip *, double speed_m_s);

/* How far the speed is on this side; falls through zero where another begins. Of locks the nearest unit's. */
double evn_stance_aid_left(const evn_trip *, double speed_m_s);
double evn_stance_locks_left(const evn_trip *, double speed_m_s);

/* ---- acts */
void evn_stance_cross_aid(evn_trip *);
void evn_stance_cross_locks(evn_trip *, double speed_m_s);

#endif
