/* How much of the adhesion braking uses: of each axle its braking force over its normal load. */
#ifndef EVENER_PULL_ADHESION_USE_H
#define EVENER_PULL_ADHESION_USE_H
#include "pull/pull.h"

/*
 * f = T/N of each axle (UN R13 Annex 10, from memory: adhesion utilisation), braking above zero: T is the motors' part
 * that reaches its tyres and its part of the friction brakes. `unit_n`: tyre force of each unit, above zero pulling.
 */
void evn_pull_adhesion_use(const evn_pull *, const double unit_n[], double accel_m_s2, double brake_n,
                           double use[EVN_AXLES_MAX]);

/* Braking rate z: all braking forces over the weight that presses on the road. */
double evn_pull_braking_rate(const evn_pull *, const double unit_n[], double brake_n);

#endif
