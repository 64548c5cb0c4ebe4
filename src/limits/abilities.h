/*
 * Single figures of a scene, for whoever asks for one of them at a speed or on a grade of its own.
 */
#ifndef EVENER_LIMITS_ABILITIES_H
#define EVENER_LIMITS_ABILITIES_H
#include "limits/scene.h"

/* Steepest grade, per cent, on which it moves off from rest. */
evn_answer evn_able_start_percent(evn_scene *);

/* Steepest descent, per cent above zero, on which motors alone hold a speed at the scene's state of charge and
 * temperatures: no friction brake, no retarder; a brake resistor counts with the battery. NAN beyond the top speed. */
evn_answer evn_able_descent_percent(evn_scene *, double speed_m_s);

#endif
