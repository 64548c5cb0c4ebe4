/*
 * What a full pack refuses: braking power that motors would take if the pack were half full (in the middle of its
 * usable window), everything else as it is. None unless the pack binds pushing, and none at half full or below.
 */
#ifndef EVENER_PULL_REFUSED_H
#define EVENER_PULL_REFUSED_H
#include "pull/instant.h"

typedef struct evn_refused {
    double wheels_w;    /* at the driven tyres: what the friction brakes do instead */
    double terminals_w; /* at the pack: what it would be charged with beyond what it is; less by driveline and motors */
    double charged_w;   /* that it would be charged with, half full */
} evn_refused;
evn_refused evn_instant_refused(const evn_instant *);

#endif
