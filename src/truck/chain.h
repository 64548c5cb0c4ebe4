/*
 * A chain of normal-form stages (stage.h), wheel side first, and the same as one affine map: as long as all loads of
 * the chain have one sign, every torque in it is linear in the torque at its wheel side, the speed and the
 * acceleration. The map is exact then, and says itself when it does not hold: the stages are walked instead. Drags over
 * a curve or over the temperature of oil are known at one speed and temperature only: a map at that speed takes them
 * in.
 */
#ifndef EVENER_TRUCK_CHAIN_H
#define EVENER_TRUCK_CHAIN_H
#include "truck/stage.h"

enum { EVN_CHAIN_MAX = 32, EVN_CHAIN_LINES = 6 };

/* torque x T + constant + speed x w + accel x a, of torque, speed and acceleration at the wheel side of a chain. */
typedef struct evn_affine {
    double torque, constant, speed, accel;
} evn_affine;

typedef struct evn_chain_line {
    evn_line line;
    evn_affine loss_nm; /* times the speed at the wheel side: power into the line */
} evn_chain_line;

/* With all loads of one sign: at T >= accel x max(-a, 0), pulling; at T <= -(constant + speed x w + accel x max(a, 0)),
 * pushing. Sufficient, a little more than needed. */
typedef struct evn_chain_bound {
    double constant, speed, accel;
} evn_chain_bound;

typedef struct evn_chain_side {
    evn_affine motor_nm; /* at the motor side of the last stage */
    evn_chain_line line[EVN_CHAIN_LINES];
    evn_chain_bound bound;
} evn_chain_side;

typedef struct evn_chain_map {
    bool usable;          /* no drag over a curve or over temperature, and not too many lines */
    bool usable_at_speed; /* once those drags are put in as they are at a speed and temperatures; what is of torque and
                             acceleration below is whole */
    size_t lines;
    evn_chain_side pull, push;
    double ratio, inertia_kg_m2; /* of the stages alone, at the wheel side */
} evn_chain_map;

evn_chain_map evn_chain_map_of(const evn_stage *, const double speed_ratio[], size_t count);

static inline double evn_affine_at(const evn_affine *of, double torque, double speed, double accel)
{
    return of->torque * torque + of->constant + of->speed * speed + of->accel * accel;
}

/* The side on which the map holds for a torque at the wheel side; NULL: on none. */
static inline const evn_chain_side *evn_chain_side_of(const evn_chain_map *m, double torque, double speed, double accel)
{
    if (!m->usable || speed < 0)
        return NULL;
    if (torque >= 0 && (accel >= 0 || torque >= -m->pull.bound.accel * accel))
        return &m->pull;
    const evn_chain_bound *b = &m->push.bound;
    double most = -(b->constant + b->speed * speed + (accel > 0 ? b->accel * accel : 0));
    return torque <= most ? &m->push : NULL;
}

/*
 * From the wheel side of a chain to its motor side; adds losses and power into inertia to the flow, where there is one
 * (NULL: none). `degc`: see stage.h.
 */
static inline evn_shaft evn_chain_up(const evn_chain_map *m, const evn_stage *stage, size_t count, evn_shaft at,
                                     const double degc[], evn_flow *flow)
{
    const evn_chain_side *side = evn_chain_side_of(m, at.torque_nm, at.speed_rad_s, at.accel_rad_s2);
    if (!side) {
        evn_flow unbooked = {{0}};
        for (size_t i = 0; i < count; i++)
            at = evn_stage_up(&stage[i], at, degc, flow ? flow : &unbooked);
        return at;
    }
    if (flow) {
        for (size_t k = 0; k < m->lines; k++)
            flow->w[side->line[k].line] +=
                evn_affine_at(&side->line[k].loss_nm, at.torque_nm, at.speed_rad_s, at.accel_rad_s2) * at.speed_rad_s;
        flow->w[EVN_KINETIC] += m->inertia_kg_m2 * at.accel_rad_s2 * at.speed_rad_s;
    }
    return (evn_shaft){evn_affine_at(&side->motor_nm, at.torque_nm, at.speed_rad_s, at.accel_rad_s2),
                       at.speed_rad_s * m->ratio, at.accel_rad_s2 * m->ratio};
}

/* Torque at the wheel side for one at the motor side, at the wheel side's speed and acceleration: the inverse. */
static inline double evn_chain_down(const evn_chain_map *m, const evn_stage *stage, const double speed_ratio[],
                                    size_t count, double nm, double speed, double accel, const double degc[])
{
    const evn_affine *to = nm >= 0 ? &m->pull.motor_nm : &m->push.motor_nm;
    const evn_chain_side *side = nm >= 0 ? &m->pull : &m->push;
    if (m->usable) {
        double torque = (nm - (to->constant + to->speed * speed + to->accel * accel)) / to->torque;
        if (evn_chain_side_of(m, torque, speed, accel) == side)
            return torque;
    }
    for (size_t i = count; i-- > 0;)
        nm = evn_stage_down(&stage[i], nm, speed * speed_ratio[i], accel * speed_ratio[i], degc);
    return nm;
}

/* ------------------------------------------------------------------------------------------------ at one speed */

/* A map whose speed is known, and what the motor side adds of its own: torques over torque and acceleration alone. */
typedef struct evn_chain_at_side {
    double torque, constant, accel; /* motor-side torque of a torque and an acceleration at the wheel side */
} evn_chain_at_side;

typedef struct evn_chain_at {
    bool usable;
    evn_chain_at_side pull, push;
    double pull_accel, push_constant, push_accel; /* bounds */
} evn_chain_at;

static inline evn_chain_at evn_chain_at_speed(const evn_chain_map *m, double speed)
{
    const evn_affine *pull = &m->pull.motor_nm, *push = &m->push.motor_nm;
    return (evn_chain_at){.usable = m->usable && speed >= 0,
                          .pull = {pull->torque, pull->constant + pull->speed * speed, pull->accel},
                          .push = {push->torque, push->constant + push->speed * speed, push->accel},
                          .pull_accel = m->pull.bound.accel,
                          .push_constant = m->push.bound.constant + m->push.bound.speed * speed,
                          .push_accel = m->push.bound.accel};
}

/* The same of a map that holds at one speed and temperature only, from its stages. */
evn_chain_at evn_chain_at_stages(const evn_chain_map *, const evn_stage *, const double speed_ratio[], size_t count,
                                 double speed, const double degc[]);

/* What the motor side adds beyond the chain; the inertia as the wheel side of the chain turns it. */
static inline void evn_chain_at_add(evn_chain_at *at, double drag_nm, double inertia_kg_m2)
{
    at->pull.constant += drag_nm;
    at->push.constant += drag_nm;
    at->pull.accel += inertia_kg_m2;
    at->push.accel += inertia_kg_m2;
}

static inline const evn_chain_at_side *evn_chain_at_side_of(const evn_chain_at *at, double torque, double accel)
{
    if (torque >= 0 && (accel >= 0 || torque >= -at->pull_accel * accel))
        return &at->pull;
    return torque <= -(at->push_constant + (accel > 0 ? at->push_accel * accel : 0)) ? &at->push : NULL;
}

/* Both false where the map does not hold: the stages must be walked. */
static inline bool evn_chain_at_up(const evn_chain_at *at, double torque, double accel, double *motor_nm)
{
    const evn_chain_at_side *side = at->usable ? evn_chain_at_side_of(at, torque, accel) : NULL;
    if (side)
        *motor_nm = side->torque * torque + side->constant + side->accel * accel;
    return side;
}

static inline bool evn_chain_at_down(const evn_chain_at *at, double motor_nm, double accel, double *torque)
{
    if (!at->usable)
        return false;
    *torque = (motor_nm - at->pull.constant - at->pull.accel * accel) / at->pull.torque;
    if (*torque >= 0 && evn_chain_at_side_of(at, *torque, accel) == &at->pull)
        return true;
    *torque = (motor_nm - at->push.constant - at->push.accel * accel) / at->push.torque;
    return evn_chain_at_side_of(at, *torque, accel) == &at->push;
}

#endif
