/*
 * What is asked of the motors of a braking demand, and what a retarder takes of what they leave. Forces are tyre
 * forces, N: above zero pulling; of retarder and friction brakes above zero slowing.
 */
#ifndef EVENER_PULL_SLOWING_H
#define EVENER_PULL_SLOWING_H
#include "pull/pull.h"

/* What is wanted of the motors where a tyre force is needed: all of it pulling, their share of it braking. */
double evn_wanted_of_motors_n(const evn_pull *, const evn_team *, double need_n, double accel_m_s2);

/* Of a force that motors leave; `force_n` are those of the units. 0 without a retarder. */
double evn_retarder_n(const evn_pull *, const double force_n[], double accel_m_s2, double left_n);

/* By its own limits, at this speed and demanded deceleration. */
double evn_retarder_most_n(const evn_pull *);

#endif
