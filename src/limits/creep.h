/* Creeping: see creep.c. */
#ifndef EVENER_LIMITS_CREEP_H
#define EVENER_LIMITS_CREEP_H
#include "limits/limits.h"

/* Steepest grade held at 3 km/h for ten minutes, %, by driving. NAN with what binds: not even the level is. */
evn_answer evn_creep_percent(evn_limits_work *);

#endif
