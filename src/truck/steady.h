/* Where a drive unit's temperatures come to stand in the end: without torque, and at the torque that it can hold. */
#ifndef EVENER_TRUCK_STEADY_H
#define EVENER_TRUCK_STEADY_H
#include "truck/unit.h"

/* Steady temperatures; INFINITY: none, the losses grow with the winding faster than it cools. NAN: not modelled. */
typedef struct evn_steady {
    double winding_degc, inverter_degc;
} evn_steady;

/* With the pulses on and no torque of the engaged motors. */
evn_steady evn_unit_steady_without_torque(const evn_unit *, const evn_turning *);
/* How far those are above the ends of derating, of the two the further one, K; -INFINITY: nothing is modelled. */
double evn_unit_without_torque_past_k(const evn_unit *, const evn_turning *);

/*
 * Motor speed up to which losses without torque alone heat neither winding nor inverter beyond the end of derating: who
 * holds the speed there (both without a pull, and braked by the road or by brakes) holds the temperature. INFINITY: up
 * to the motors' top speed any does; 0: none does. The speed in `at` does not matter.
 */
double evn_unit_speed_held_rad_s(const evn_unit *, const evn_turning *at);

/* Motor speed from which on magnets without torque need a weakened field, so that pulses may not go off; INFINITY: none
 * is known. */
double evn_unit_no_load_rad_s(const evn_unit *);

/*
 * Torque of all motors of a unit that they can hold for ever, at the reference voltage and the file's coolant
 * temperature: steady, the first of winding and inverter stands where its derating begins. At most the peak torque; NAN
 * where neither is modelled.
 */
double evn_unit_continuous_nm(const evn_unit *, double motor_rad_s);
/* The same by some of the parts that heat: one that does not count may become as hot as it will. */
typedef struct evn_parts_that_heat {
    bool winding, inverter;
} evn_parts_that_heat;
double evn_unit_continuous_by_nm(const evn_unit *, double motor_rad_s, evn_parts_that_heat);
/* Whether it is the inverter that holds it there; else the winding does, or nothing. */
bool evn_unit_continuous_by_inverter(const evn_unit *, double motor_rad_s);
/* The greatest power of that over the speed. */
double evn_unit_continuous_w(const evn_unit *);

#endif
