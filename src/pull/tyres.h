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

/* Weight that presses on the road, N. */
static inline double evn_tyres_weight_n(const evn_pull *p)
{
    return p->at.rig->mass_kg * p->at.rig->gravity_m_s2 * p->road.slope_cos;
}

/* Load on all driven axles, N. */
static inline double evn_tyres_driven_n(const evn_pull *p, double accel_m_s2, double brake_n)
{
    const evn_rig *r = p->at.rig;
    double sum = 0;
    for (size_t k = 0; k < r->axle_count; k++)
        sum += r->axle[k].driven_by < r->unit_count ? fmax(evn_tyres_load_n(p, k, accel_m_s2, brake_n), 0) : 0;
    return sum;
}

/*
 * Braking force of motors on a driven axle at which it uses more adhesion than the friction brakes do at the front axle
 * by the stated margin: (F + s B)/N = s_0 B/N_0 + margin, with shares s of the friction brakes' force B (definition of
 * adhesion used, UN R13 Annex 10, from memory). The front axle itself is not held against itself. Where friction brakes
 * follow the loads of the moment, axles beyond the others have none of their force, and those share it by their loads:
 * F/N = B/(W - N_d) + margin, all driven axles being so far, with N_d on them.
 */
static inline double evn_tyres_stable_n(const evn_pull *p, size_t axle, double load_n, double accel_m_s2,
                                        double brake_n)
{
    const evn_rig *r = p->at.rig;
    if (axle == 0)
        return (double)INFINITY;
    if (r->friction_ideal)
        return (r->regenerating_margin +
                brake_n / fmax(evn_tyres_weight_n(p) - evn_tyres_driven_n(p, accel_m_s2, brake_n), 1)) *
               load_n;
    double front_n = fmax(evn_tyres_load_n(p, 0, accel_m_s2, brake_n), 1);
    double front_uses = r->axle[0].friction_share * brake_n / front_n;
    return fmax((r->regenerating_margin + front_uses) * load_n - r->axle[axle].friction_share * brake_n, 0);
}

/* Tyre force of motors that a driven axle carries at most; a magnitude, N. */
static inline double evn_tyres_carried_n(const evn_pull *p, size_t axle, bool pulling, double accel_m_s2,
                                         double brake_n)
{
    double load_n = fmax(evn_tyres_load_n(p, axle, accel_m_s2, brake_n), 0);
    double carried_n = evn_tyres_may_use(p, axle, pulling) * load_n;
    if (pulling || isinf(p->at.rig->regenerating_margin))
        return carried_n;
    return fmin(carried_n, evn_tyres_stable_n(p, axle, load_n, accel_m_s2, brake_n));
}

/* What friction brakes would do besides a force of the motors, at the asked acceleration. */
static inline double evn_rest_by_brakes_n(const evn_pull *p, double force_n)
{
    return fmax((force_n - p->road.base_n - p->road.mass_kg * p->at.asked_m_s2) / p->road.brake_factor, 0);
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
