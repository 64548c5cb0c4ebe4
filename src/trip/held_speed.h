/*
 * A speed that is held although the plan asks for more: on a descent that motors and pack cannot hold any faster, or
 * where motors would get too hot by turning faster alone. Whoever holds one says so and says when it is over; several
 * may at once, and the lowest counts. The truck leaves its plan where the plan would take it past that speed, and is
 * back on it as after any other limitation.
 */
#ifndef EVENER_TRIP_HELD_SPEED_H
#define EVENER_TRIP_HELD_SPEED_H
#include "trip/trip.h"

/* The lowest of those that are held; INFINITY: none. Who holds it. */
double evn_held_speed_m_s(const evn_trip *);
evn_holder evn_held_by(const evn_trip *);

/*
 * Within an act of a rule, at any time: moving or at rest, on the plan or off it. The rules take it from there. A speed
 * that is held already is replaced; to release what does not hold does nothing.
 */
void evn_act_hold_speed(evn_trip *, double speed_m_s, evn_holder);
void evn_act_release_hold(evn_trip *, evn_holder);
void evn_hold_nothing(evn_trip *); /* at the beginning */

/* Holds what the units that losses without torque would heat too far can bear, in the gears that they are in. */
void evn_act_hold_for_heat(evn_trip *);

/* How much more a law has to ask for than the held speed does before that takes its place, m/s2: who has just come from
 * there stays. */
#define EVN_HELD_LEAST_M_S2 0.005

#endif
