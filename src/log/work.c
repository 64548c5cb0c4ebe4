/*
 * Work at the wheels of a truck of a few figures: rolling resistance, climbing, drag in still air and inertia, over the
 * straight lines of speed (textbooks of vehicle dynamics). It shows what smoothing does to energy, and is no run.
 */
#include "core/units.h"
#include "log/import.h"
#include <math.h>

#define AIR_KG_M3 1.2
enum { PIECES = 4 }; /* of each straight line of speed, at least one every few metres */

static double tangent_at(const evn_elevation *p, double place_m, size_t *at)
{
    if (p->count == 0)
        return 0;
    while (*at + 2 < p->count && p->place_m[*at + 1] <= place_m)
        ++*at;
    size_t i = *at;
    if (p->count == 1 || place_m <= p->place_m[i])
        return p->tangent[i];
    double share = fmin((place_m - p->place_m[i]) / (p->place_m[i + 1] - p->place_m[i]), 1);
    return p->tangent[i] + share * (p->tangent[i + 1] - p->tangent[i]);
}

static double force_n(const evn_import_how *how, double v, double a, double tangent)
{
    double cosine = 1 / hypot(1, tangent), weight = how->mass_kg * EVN_STANDARD_GRAVITY_M_S2;
    return how->mass_kg * a + weight * cosine * (how->rolling_resistance + tangent) +
           AIR_KG_M3 / 2 * how->drag_area_m2 * v * v;
}

void evn_work_of(const evn_motion *m, const evn_elevation *p, const evn_import_how *how, evn_import_work *out)
{
    const double PIECE_M = 10;
    double traction_j = 0, braking_j = 0;
    size_t at = 0;
    for (size_t i = 0; i + 1 < m->count; i++) {
        double step = m->time_s[i + 1] - m->time_s[i], v0 = m->speed_m_s[i], a = (m->speed_m_s[i + 1] - v0) / step;
        size_t pieces = (size_t)fmax(PIECES, (m->place_m[i + 1] - m->place_m[i]) / PIECE_M);
        double dt = step / (double)pieces;
        for (size_t k = 0; k < pieces && (v0 > 0 || a != 0); k++) {
            double t = ((double)k + 0.5) * dt, v = v0 + a * t, place = m->place_m[i] + t * (v0 + a * t / 2);
            double power_w = v * force_n(how, v, a, tangent_at(p, place, &at));
            traction_j += fmax(power_w, 0) * dt;
            braking_j += fmax(-power_w, 0) * dt;
        }
    }
    out->traction_kwh = traction_j / EVN_J_PER_KWH;
    out->braking_kwh = braking_j / EVN_J_PER_KWH;
    out->climb_m = p->climb_m;
}
