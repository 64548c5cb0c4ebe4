#include "truck/stage.h"

static inline double drag_nm(const evn_stage *s, double speed_rad_s)
{
    double w = speed_rad_s > 0 ? speed_rad_s : 0; /* a trip never turns backwards; round-off may */
    return s->drag_curve ? evn_curve_at(s->drag_curve, w) : s->drag_nm + s->drag_nm_s * w;
}

evn_shaft evn_stage_up(const evn_stage *s, evn_shaft out, evn_flow *flow)
{
    double spin = s->inertia_kg_m2 * out.accel_rad_s2;
    double drag = drag_nm(s, out.speed_rad_s);
    double load = out.torque_nm + spin + drag;
    double mesh = load > 0 ? s->pull_share * load : -s->push_share * load;
    flow->w[s->line] += (drag + mesh) * out.speed_rad_s;
    flow->w[EVN_KINETIC] += spin * out.speed_rad_s;
    return (evn_shaft){(load + mesh) / s->ratio, out.speed_rad_s * s->ratio, out.accel_rad_s2 * s->ratio};
}

double evn_stage_down(const evn_stage *s, double motor_side_nm, double speed_rad_s, double accel_rad_s2)
{
    double t = motor_side_nm * s->ratio;
    double load = t > 0 ? t / (1 + s->pull_share) : t / (1 - s->push_share);
    return load - drag_nm(s, speed_rad_s) - s->inertia_kg_m2 * accel_rad_s2;
}
