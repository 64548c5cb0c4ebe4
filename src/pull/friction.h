/* How the axles share the friction braking force of an instant; nothing else of the instant asks for it. */
#ifndef EVENER_PULL_FRICTION_H
#define EVENER_PULL_FRICTION_H
#include "pull/instant.h"

/* Of each axle, the trailer's group last; they sum up to brake_n. */
void evn_friction_forces(const evn_instant *, double force_n[EVN_AXLES_MAX]);

#endif
