/*
 * Work of the power take-off at a stop: it begins with the stop and ends at a known time, or when the truck moves off.
 * The rotors' own energy, spun up and down within seconds, is left out (PHYSICS.md).
 */
#ifndef EVENER_TRIP_TAKEOFF_WORK_H
#define EVENER_TRIP_TAKEOFF_WORK_H
#include "trip/drive.h"
#include "trip/trip.h"

void evn_takeoff_work_begin(evn_trip *, evn_takeoff_ask); /* the truck stands; nothing, where nothing is asked */
bool evn_takeoff_works(const evn_trip *);
double evn_takeoff_work_due_s(const evn_trip *);
void evn_act_takeoff_work_over(evn_trip *); /* the truck goes on to stand */
void evn_takeoff_work_ends(evn_trip *);     /* likewise, or it moves off, or the run ends */

/* Of a unit's motors while they drive it. */
evn_setting evn_takeoff_setting(const evn_trip *, size_t unit, evn_setting now);

/* Whether the rig has no such power, and why; `place_m` of the way, NAN: a stop that is a run of its own. */
enum { EVN_TAKEOFF_WHY_BYTES = 600 };
bool evn_takeoff_refuses(const evn_rig *, double place_m, evn_takeoff_ask, char why[], size_t size);

/* Of a stop that is a run of its own. */
evn_takeoff_ask evn_takeoff_ask_of(const evn_rig *, const evn_standing *);
/* Whether the rig can do that; says that it cannot. */
bool evn_takeoff_standing_fits(const evn_rig *, const evn_standing *, evn_report *);

/* Whether the rig can do what the course asks at its stops; says what it cannot. */
bool evn_takeoff_work_fits(const evn_rig *, const evn_course *, evn_report *);
/* Stops for which the cycle asks nothing get what the truck asks by itself. */
void evn_takeoff_work_of_truck(const evn_rig *, bool asked_by_cycle, evn_course *);

#endif
