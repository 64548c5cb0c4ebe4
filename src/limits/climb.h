/* The grades on which speeds, and what heat lets them last, are asked. */
#ifndef EVENER_LIMITS_CLIMB_H
#define EVENER_LIMITS_CLIMB_H

enum { EVN_CLIMB_GRADES = 9 };
extern const int evn_climb_grades_percent[EVN_CLIMB_GRADES];

#endif
