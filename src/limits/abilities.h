/*
 * What a truck can as it stands: single answers that groups of figures, and comparisons, ask for. From forces alone:
 * nothing is driven. The scene keeps what it is; it is written to only while the call works.
 */
#ifndef EVENER_LIMITS_ABILITIES_H
#define EVENER_LIMITS_ABILITIES_H
#include "limits/scene.h"

/* Steepest grade on which it moves off from rest, %. */
evn_answer evn_able_start_percent(evn_scene *);

/*
 * Steepest grade, %, on which it starts and every unit with gears changes from its first into its second, one unit
 * after another, and it still pulls; `changes`: how (going.c). A truck without gears: as it starts, and nothing binds
 * next.
 */
evn_answer evn_able_change_up_percent(evn_scene *);
bool evn_has_gears_to_change(const evn_rig *);

/*
 * Fastest speed held on a grade, m/s: by what motors, tyres and battery give (continuous: for ever, by the heat of
 * windings and inverters, NAN by "no_heat_data" where that is not stated; of a scene in which all works). NAN: none is
 * held. At the truck's top speed that is what binds ("motor_speed").
 */
evn_answer evn_able_speed_m_s(evn_scene *, double tangent, bool continuous);

/* Steepest grade held at a speed, %, likewise. */
evn_answer evn_able_grade_percent(evn_scene *, double speed_m_s, bool continuous);

/* What a truck has beyond the speed at which it is held by law is of no use to it: speed limiters of heavy trucks set
 * it to 90 km/h (Directive 92/6/EEC, from memory). */
#define EVN_LIMITER_KM_H 90

/* Most force at the wheels, N, at a speed on the level that is held, likewise; from rest where that is 0. */
double evn_able_force_n(evn_scene *, double speed_m_s, bool continuous);

/* The most power at the wheels, W, over the speed on the level, and the speed at which it is reached (wheel_power.c).
 */
double evn_able_wheel_power_w(evn_scene *, bool continuous, double *speed_m_s);

/* Steepest descent, per cent above zero, on which motors alone hold a speed at the scene's state of charge and
 * temperatures: no friction brake, no retarder; a brake resistor counts with the battery. NAN beyond the top speed. */
evn_answer evn_able_descent_percent(evn_scene *, double speed_m_s);

/* The truck's top speed, at most what tables of speeds go up to. */
double evn_able_top_m_s(const evn_rig *);

#endif
