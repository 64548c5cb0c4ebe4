/* How much of the adhesion braking uses: of each axle its braking force over its normal load. */
#ifndef EVENER_PULL_ADHESION_USE_H
#define EVENER_PULL_ADHESION_USE_H
#include "pull/friction.h"

/*
 * f = T/N of each axle (UN R13 Annex 10, from memory: adhesion utilisation), braking above zero: T is what motors and
 * retarder do at its tyres and its part of the friction brakes.
 */
void evn_pull_adhesion_use(const evn_pull *, const evn_forces *, double use[EVN_AXLES_MAX]);

/* Braking rate z: all braking forces over the weight that presses on the road. */
double evn_pull_braking_rate(const evn_pull *, const evn_forces *);

#endif
