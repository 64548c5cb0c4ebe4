/* Hub drags as written, made into forces over road speed. */
#include "truck/hubs.h"
#include "core/units.h"
#include "truck/stage.h"

bool evn_hubs_add(evn_hubs *h, const evn_hub_drag_file *f, double radius_m, evn_arena *arena)
{
    double at_rest_nm, nm_s, m_s[EVN_CURVE_POINTS_MAX], n[EVN_CURVE_POINTS_MAX];
    if (!f)
        return true;
    if (evn_drag_is_straight(&f->speed_rpm, &f->torque_nm, &at_rest_nm, &nm_s)) {
        h->at_rest_n += at_rest_nm / radius_m;
        h->n_s_m += nm_s / (radius_m * radius_m);
        return true;
    }
    evn_curve *curve = evn_arena_take(arena, sizeof *curve);
    if (!curve)
        return false;
    for (size_t k = 0; k < f->speed_rpm.count; k++) {
        m_s[k] = f->speed_rpm.at[k] * EVN_RAD_S_PER_RPM * radius_m;
        n[k] = f->torque_nm.at[k] / radius_m;
    }
    evn_curve_make(curve, m_s, n, f->speed_rpm.count, true);
    h->curve[h->curves++] = curve;
    return true;
}
