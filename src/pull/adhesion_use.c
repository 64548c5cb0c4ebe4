/* Braking forces of the axles over their loads. */
#include "pull/adhesion_use.h"
#include "pull/tyres.h"

void evn_pull_adhesion_use(const evn_pull *p, const evn_forces *f, double use[EVN_AXLES_MAX])
{
    double motor_n[EVN_AXLES_MAX], friction_n[EVN_AXLES_MAX];
    evn_motor_braking(p, f, motor_n);
    evn_friction_shared(p, f, friction_n);
    for (size_t k = 0; k < p->at.rig->axle_count; k++)
        use[k] = (motor_n[k] + friction_n[k]) / evn_tyres_load_n(p, k, f->accel_m_s2, f->brake_n);
}

double evn_pull_braking_rate(const evn_pull *p, const evn_forces *f)
{
    double sum = f->brake_n + f->retarder_n;
    for (size_t u = 0; u < p->at.rig->unit_count; u++)
        sum -= f->unit_n[u];
    return sum / evn_tyres_weight_n(p);
}
