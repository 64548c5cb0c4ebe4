/* How an axle is sprung, as it is written: what the rides over rough roads ask of it (src/site/SITE.md). */
#ifndef EVENER_TRUCK_SUSPENSION_H
#define EVENER_TRUCK_SUSPENSION_H
#include "core/field.h"

typedef struct evn_suspension_file { /* of one side of the axle */
    double stiffness_kn_m;           /* at the wheel; NAN: the other is given */
    double natural_frequency_hz;     /* of the body on it, at any load: the springs are set to the load, as air's are */
    double damping_kn_s_m;
    double damper_share;                    /* of that damping, what dampers bring; NAN: not stated */
    double bump_travel_m, rebound_travel_m; /* from where it stands at rest, loaded as it is; NAN: not stated */
    double stop_stiffness_kn_m; /* of a bump stop at EVN_STOP_SQUEEZE_M, in proportion to what it is squeezed */
    bool air;
    const char *source;
    evn_many uncertain; /* evn_uncertain_file */
} evn_suspension_file;

#define EVN_STOP_SQUEEZE_M 0.01

extern const evn_object evn_suspension_object;

#endif
