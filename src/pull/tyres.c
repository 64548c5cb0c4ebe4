/* Normal loads and slip of driven axles at an acceleration. */
#include "pull/tyres.h"
#include <math.h>

double evn_tyres_load_n(const evn_pull *p, size_t axle, double accel, double brake_n)
{
    const evn_rig *r = p->at.rig;
    return evn_axle_load_n(&r->axle[axle].load, r->gravity_m_s2, p->road.slope_cos, p->road.slope_sin, accel, brake_n);
}

/* Slip stiffness of a driven axle; the friction brakes' small load transfer is left out of it. */
static double slip_stiffness_n(const evn_pull *p, size_t axle, double accel)
{
    double stiffness = p->at.rig->axle[axle].slip_stiffness;
    if (isinf(stiffness))
        return (double)INFINITY;
    return stiffness * fmax(evn_tyres_load_n(p, axle, accel, 0), 0);
}

double evn_tyres_hub_n(const evn_pull *p, size_t axle, double tyre_n, double accel)
{
    double k = slip_stiffness_n(p, axle, accel);
    return isinf(k) ? tyre_n : evn_slip_hub_n(tyre_n, k);
}

double evn_tyres_force_n(const evn_pull *p, size_t axle, double hub_n, double accel)
{
    double k = slip_stiffness_n(p, axle, accel);
    return isinf(k) ? hub_n : evn_slip_tyre_n(hub_n, k);
}
