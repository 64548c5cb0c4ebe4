/* What charts of forces ask of the motors. */
#ifndef EVENER_CHART_MOTORS_H
#define EVENER_CHART_MOTORS_H
#include "truck/unit.h"

/*
 * Torque of all motors of a unit whose loss the coolant carries off with the winding at the temperature where derating
 * begins: the steady state of the winding's equation, loss = (T - coolant)/R for each motor. At most the peak torque;
 * NAN without a winding.
 */
double evn_chart_continuous_nm(const evn_unit *, double motor_rad_s);

#endif
