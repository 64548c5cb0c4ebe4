/*
 * The oil of gears, whole: its keys, its temperature as a state of a run, and what that makes of their drag. A unit has
 * one bath for all gears of its gearbox line, and one for all its axle gears:
 *   C dT/dt = losses of the line - (a + b v)(T - ambient),
 * with C, a and b the sums of what the parts state (textbooks of heat transfer; one node of an axle's oil and housing,
 * from memory). The load losses of meshes do not follow it.
 */
#ifndef EVENER_TRUCK_OIL_H
#define EVENER_TRUCK_OIL_H
#include "core/arena.h"
#include "core/curve.h"
#include "core/field.h"

typedef struct evn_oil_file {
    double heat_capacity_kj_per_k;
    double standing_w_per_k, at_80_km_h_w_per_k; /* given off to the air; straight over speed */
    evn_list temperature_degc, drag_factor;
    double warm_degc;
    const char *source;
    evn_many uncertain; /* evn_uncertain_file */
} evn_oil_file;
extern const evn_object evn_oil_object;
#define EVN_OIL_APART_LEAST_K 1

/* For the rows of parts that may state it: their struct has a member `const evn_oil_file *oil`. */
#define EVN_OIL_FIELD(type)                                                                                            \
    {.key = "oil",                                                                                                     \
     .shape = EVN_ONE,                                                                                                 \
     .offset = offsetof(type, oil),                                                                                    \
     .of = &evn_oil_object,                                                                                            \
     .help = "how its drag goes with the temperature of its oil, and how that warms up; not given: the drag holds at " \
             "any temperature"}

typedef enum evn_oil_place { EVN_OIL_GEARBOX, EVN_OIL_AXLE, EVN_OILS } evn_oil_place;

typedef struct evn_oil {
    bool there;
    double capacity_j_k, standing_w_k, moving_w_s_m_k;
    double start_degc; /* where several parts share it, that of the first */
} evn_oil;

void evn_oil_add(evn_oil *, const evn_oil_file *); /* NULL: states none */
/* Over temperature, held beyond both ends. NULL: memory ran out. */
const evn_curve *evn_oil_factor(const evn_oil_file *, evn_arena *);
double evn_oil_rate_k_s(const evn_oil *, double degc, double ambient_degc, double speed_m_s, double losses_w);

#endif
