/* Hard bounds of a cycle's numbers, and the rules between its keys. */
#ifndef EVENER_CYCLE_CYCLE_CHECKS_H
#define EVENER_CYCLE_CYCLE_CHECKS_H
#include "core/field.h"

#define EVN_PLACE_MOST_M 1e7
#define EVN_TIME_MOST_S 1e7
#define EVN_SPEED_MOST_M_S 60.0
#define EVN_SPEED_MOST_KM_H 216.0
#define EVN_SPEED_MOST_MPH (EVN_SPEED_MOST_M_S / 0.44704)
#define EVN_LIMIT_LEAST_KM_H 0.1
#define EVN_GRADE_MOST_PERCENT 50.0
#define EVN_ELEVATION_LEAST_M (-500.0)
#define EVN_ELEVATION_MOST_M 9000.0

/* The check functions of the objects in cycle_fields.c. */
void evn_speed_check(const void *, const evn_seat *, evn_report *);
void evn_road_check(const void *, const evn_seat *, evn_report *);
void evn_stops_check(const void *, const evn_seat *, evn_report *);
void evn_heading_check(const void *, const evn_seat *, evn_report *);
void evn_profile_check(const void *, const evn_seat *, evn_report *);
void evn_surface_check(const void *, const evn_seat *, evn_report *);
void evn_cycle_check(const void *, const evn_seat *, evn_report *);

#endif
