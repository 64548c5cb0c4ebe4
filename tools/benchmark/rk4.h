/*
 * The classical Runge-Kutta method of fourth order at a fixed step, as a second kind of integrator: it drives the very
 * same trip as CVODE does. For comparison only.
 *
 * Its grid holds every known time and every event: a step ends there, and the next begins there. Events are located
 * within a step on the cubic Hermite curve through its ends.
 */
#ifndef EVENER_BENCHMARK_RK4_H
#define EVENER_BENCHMARK_RK4_H
#include "trip/solver.h"

extern const evn_solver_kind evn_rk4;      /* 0.05 s */
extern const evn_solver_kind evn_rk4_fine; /* 0.01 s: a second opinion on the reference */

#endif
