/*
 * A scene: how the truck stands when it is asked what it can. Which way it goes, on what ground, what is locked, what
 * is out of order, how warm and how full it is; then forces at a speed and on a grade, some limits lifted or none.
 * Nothing is driven.
 */
#ifndef EVENER_LIMITS_SCENE_H
#define EVENER_LIMITS_SCENE_H
#include "cycle/surface.h"
#include "limits/limits.h"
#include "pull/pull.h"

typedef enum evn_locks { EVN_LOCKS_AS_DRIVEN, EVN_LOCKS_OPEN, EVN_LOCKS_LOCKED } evn_locks;

typedef struct evn_scene {
    const evn_rig *rig, *free_tyres; /* the second: nothing but adhesion limits what its tyres carry */
    double adhesion;                 /* peak coefficient of both sides; 0: what the truck states */
    double rolling_factor;           /* of the ground */
    evn_locks locks;
    bool no_start_aid;             /* the lifting axle stays as it is while driving */
    bool unit_out[EVN_UNITS_MAX];  /* does not pull: its disconnect is open, or its motors turn without current */
    bool motor_out[EVN_UNITS_MAX]; /* one motor of the unit does not work */
    uint8_t gear[EVN_UNITS_MAX];   /* 1 is the lowest; 0: the one in which the unit pulls, or pushes, most */
    bool shifting[EVN_UNITS_MAX];  /* between two gears: it does not pull */
    double soc;
    bool plain;         /* what binds an answer is not asked: its value alone, at a fraction of the time */
    bool battery_spent; /* its power for 10 s is used up: what it gives for any time is left */
    double degc[EVN_UNITS_MAX][EVN_NODES_MAX];
} evn_scene;

/* As a run begins: temperatures and charge of the start; the ground and adhesion that the driving's surface asks for.
 */
evn_scene evn_scene_of(const evn_limits_work *, evn_way);
/* The same of a rig as it stands, forwards; no limit of its tyres may be lifted. */
evn_scene evn_scene_of_rig(const evn_rig *, evn_surface);
/* The same on the ground of a kind: its adhesion and its rolling resistance. */
void evn_scene_on(evn_scene *, const evn_surface_kind *);

/* At a speed, where units take the gears in which they pull (or push) most, some limits lifted. Limits that can be:
 * MOTOR_TORQUE (with it the power), PACK, ADHESION. A speed beyond the truck's top speed must not be asked for. */
typedef struct evn_asked_of_scene {
    double speed_m_s, tangent;
    bool pulling;
    bool held; /* the speed is held, whatever the force; else what is left accelerates the truck */
    unsigned lifted;
} evn_asked_of_scene;
void evn_scene_pull(const evn_scene *, const evn_asked_of_scene *, evn_pull *);

/* Most force of all units together then, N; pushing below zero. */
double evn_scene_most_n(const evn_pull *, const evn_asked_of_scene *);

/* Which of them holds the motors that work where they do most: torque, power, or the heat of winding or inverter. */
evn_bound evn_scene_motors_bound(const evn_pull *);

/* Why the motors' braking torque is not all there at this speed: switched off or faded; NONE: it is. */
evn_bound evn_scene_fade_bound(const evn_pull *);

/* Steepest grade, as a tangent, at which it still has more than it needs at a speed; NAN: not even on the level (or a
 * descent where it pushes). From 0 to EVN_STEEPEST. Pulling: climbs. Pushing: holds a descent (a positive tangent). */
#define EVN_STEEPEST 1.0
double evn_scene_steepest(const evn_scene *, double speed_m_s, bool pulling, unsigned lifted);

#endif
