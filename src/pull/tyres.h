/* Within the room: normal loads and slip of driven axles; in the header, since everything passes through them. */
#ifndef EVENER_PULL_TYRES_H
#define EVENER_PULL_TYRES_H
#include "pull/pull.h"
#include <math.h>

/* Normal load, N; the friction brakes' share of the load transfer only where it is asked for. */
static inline double evn_tyres_load_n(const evn_pull *p, size_t axle, double accel_m_s2, double brake_n)
{
    const evn_rig *r = p->at.rig;
    return evn_axle_load_n(evn_load_of(&p->at, axle), r->gravity_m_s2, p->road.slope_cos, p->road.slope_sin, accel_m_s2,
                           brake_n);
}

/*
 * What motors may use of a driven axle's normal load, pulling or pushing; a magnitude. Where the place states its
 * adhesion, of half the axle's load under each side: an open differential gives both wheels the same torque, so that
 * the side with less says what both carry; locked each carries its own (textbooks of vehicle dynamics).
 */
static inline double evn_tyres_may_use(const evn_pull *p, size_t axle, bool pulling)
{
    const evn_given *at = &p->at;
    const evn_rig *r = at->rig;
    size_t unit = r->axle[axle].driven_by;
    if (!(at->adhesion > 0))
        return pulling ? r->adhesion_driving : r->adhesion_regenerating;
    bool locked = unit < r->unit_count && at->unit[unit].axles_locked;
    double carried =
        locked ? 0.5 * (at->adhesion + at->adhesion_other_side) : fmin(at->adhesion, at->adhesion_other_side);
    return carried * (pulling ? r->adhesion_driving_share : r->adhesion_regenerating_share);
}

/* Tyre force of motors that a driven axle carries at most; a magnitude, N. */
static inline double evn_tyres_carried_n(const evn_pull *p, size_t axle, bool pulling, double accel_m_s2,
                                         double brake_n)
{
    return evn_tyres_may_use(p, axle, pulling) * fmax(evn_tyres_load_n(p, axle, accel_m_s2, brake_n), 0);
}

/* Slip stiffness of a driven axle, N; the friction brakes' small load transfer is left out of it. */
static inline double evn_tyres_slip_stiffness_n(const evn_pull *p, size_t axle, double accel_m_s2)
{
    double stiffness = p->at.rig->axle[axle].slip_stiffness;
    return isinf(stiffness) ? stiffness : stiffness * fmax(evn_tyres_load_n(p, axle, accel_m_s2, 0), 0);
}

/* Torque at the hubs over the rolling radius for a tyre force, and back. */
static inline double evn_tyres_hub_n(const evn_pull *p, size_t axle, double tyre_n, double accel_m_s2)
{
    double k = evn_tyres_slip_stiffness_n(p, axle, accel_m_s2);
    return isinf(k) ? tyre_n : evn_slip_hub_n(tyre_n, k);
}

static inline double evn_tyres_force_n(const evn_pull *p, size_t axle, double hub_n, double accel_m_s2)
{
    double k = evn_tyres_slip_stiffness_n(p, axle, accel_m_s2);
    return isinf(k) ? hub_n : evn_slip_tyre_n(hub_n, k);
}

#endif
