/* Drag area over yaw: its keys, the force's square along the road, and its mean over all directions of the wind. */
#include "truck/wind.h"
#include "core/uncertain.h"
#include "core/units.h"
#include <math.h>
#include <stddef.h>

#define COUNT(a) (sizeof(a) / sizeof *(a))

/* ------------------------------------------------------------------------------------------------ keys */

#define MEMBER(member) offsetof(evn_drag_area_yaw_file, member)
static const evn_field drag_area_yaw_fields[] = {
    {.key = "yaw_deg",
     .shape = EVN_LIST,
     .presence = EVN_REQUIRED,
     .most = 60,
     .offset = MEMBER(yaw_deg),
     .apart_least = EVN_YAW_APART_LEAST_DEG,
     .count_least = 2,
     .count_most = EVN_CURVE_POINTS_MAX,
     .help = "angles between the relative wind and the truck's axis, rising, the first 0"},
    {.key = "factor",
     .shape = EVN_LIST,
     .presence = EVN_REQUIRED,
     .least = 0.1,
     .most = 5,
     .usual_low = 0.9,
     .usual_high = 2,
     .offset = MEMBER(factor),
     .count_least = 2,
     .count_most = EVN_CURVE_POINTS_MAX,
     .source = "axial force of the body axes over the pressure of the relative wind: SAE J1252, from memory",
     .help = "times drag_area_m2 there, the first 1; the force along the truck is 1/2 density x drag area x factor x "
             "(relative wind)^2; a monotone cubic between, falls with the cosine beyond the last"},
    EVN_SOURCE_FIELD(evn_drag_area_yaw_file),
    EVN_UNCERTAIN_FIELD(evn_drag_area_yaw_file),
};
#undef MEMBER

static void check_drag_area_yaw(const void *self, const evn_seat *seat, evn_report *report)
{
    const evn_drag_area_yaw_file *f = self;
    if (!evn_check_curve(&f->yaw_deg, "yaw_deg", EVN_YAW_APART_LEAST_DEG, &f->factor, "factor", seat, report))
        return;
    if (f->yaw_deg.at[0] != 0)
        evn_say_at(report, seat, EVN_FAULT_DISAGREES, "yaw_deg[0]",
                   "yaw_deg begins at %.10g; expected 0, the wind from ahead", f->yaw_deg.at[0]);
    if (f->factor.at[0] != 1)
        evn_say_at(report, seat, EVN_FAULT_DISAGREES, "factor[0]",
                   "factor begins with %.10g; expected 1, since drag_area_m2 is that of the wind from ahead",
                   f->factor.at[0]);
}

const evn_object evn_drag_area_yaw_object = {"drag_area_yaw",
                                             "how the drag area goes with the yaw angle of the relative wind",
                                             sizeof(evn_drag_area_yaw_file),
                                             drag_area_yaw_fields,
                                             COUNT(drag_area_yaw_fields),
                                             check_drag_area_yaw};

/* ------------------------------------------------------------------------------------------------ at an angle */

double evn_wind_yaw_factor(const evn_wind *w, double yaw_rad)
{
    bool behind = yaw_rad > EVN_PI / 2;
    double yaw = behind ? EVN_PI - yaw_rad : yaw_rad, factor;
    if (!w->factor)
        return cos(yaw_rad);
    double last = w->factor->x[w->factor->count - 1];
    factor = yaw <= last ? evn_curve_at(w->factor, yaw) : w->factor->y[w->factor->count - 1] * cos(yaw) / cos(last);
    return behind ? -factor : factor;
}

double evn_wind_squared(const evn_wind *w, double along, double across)
{
    double squared = along * along + across * across;
    if (!w->factor)
        return sqrt(squared) * along;
    return squared * evn_wind_yaw_factor(w, atan2(fabs(across), along));
}

/* ------------------------------------------------------------------------------------------------ the mean */

double evn_wind_mean_integral(const evn_wind *w, double along_m_s, size_t panels)
{
    /* Gauss-Legendre of five points on -1 to 1 (Abramowitz and Stegun, table 25.4, from memory) */
    static const double node[] = {0, 0.5384693101056831, 0.9061798459386640},
                        weight[] = {0.5688888888888889, 0.4786286704993665, 0.2369268850561891};
    double half = EVN_PI / (2 * (double)panels), sum = 0;
    for (size_t k = 0; k < panels; k++)
        for (size_t i = 0; i < 2 * COUNT(node) - 1; i++) {
            size_t pair = (i + 1) / 2;
            double from = half * (2 * (double)k + 1 + (i % 2 ? node[pair] : -node[pair]));
            sum += weight[pair] * evn_wind_squared(w, along_m_s + w->speed_m_s * cos(from), w->speed_m_s * sin(from));
        }
    return sum * half / EVN_PI;
}

enum { PANELS = 24 };
#define APART_M_S 1e-3 /* of the two places that a slope is taken from */

static bool set_mean(evn_wind *w, evn_arena *arena)
{
    evn_wind_mean *mean = evn_arena_take(arena, sizeof *mean);
    if (!mean)
        return false;
    for (size_t k = 0; k < EVN_WIND_KNOTS; k++) {
        double along = EVN_WIND_STEP_M_S * (double)k;
        double above = evn_wind_mean_integral(w, along + APART_M_S, PANELS);
        double below = evn_wind_mean_integral(w, along - APART_M_S, PANELS);
        mean->m2_s2[k] = evn_wind_mean_integral(w, along, PANELS);
        mean->slope_m_s[k] = (above - below) / (2 * APART_M_S);
    }
    mean->m2_s2[0] = 0; /* from all sides alike: the mean is odd in the speed */
    w->mean = mean;
    return true;
}

/* Cubic of Hermite between two speeds; beyond the last its value, slope and the bend of a plain square. */
double evn_wind_mean_squared(const evn_wind *w, double along_m_s)
{
    const evn_wind_mean *m = w->mean;
    double along = fabs(along_m_s), squared;
    size_t k = (size_t)fmin(along / EVN_WIND_STEP_M_S, EVN_WIND_KNOTS - 1);
    double past = along - EVN_WIND_STEP_M_S * (double)k;
    if (k == EVN_WIND_KNOTS - 1) {
        squared = m->m2_s2[k] + (m->slope_m_s[k] + past) * past;
    } else {
        double x = past / EVN_WIND_STEP_M_S, y = 1 - x;
        squared = y * y * ((1 + 2 * x) * m->m2_s2[k] + past * m->slope_m_s[k]) +
                  x * x * ((1 + 2 * y) * m->m2_s2[k + 1] - (EVN_WIND_STEP_M_S - past) * m->slope_m_s[k + 1]);
    }
    return along_m_s < 0 ? -squared : squared;
}

/* ------------------------------------------------------------------------------------------------ made ready */

bool evn_wind_make(evn_wind *w, const evn_drag_area_yaw_file *f, const evn_load_case *c, evn_arena *arena)
{
    *w = (evn_wind){.speed_m_s = c->wind_m_s, .from_rad = c->wind_from_deg * EVN_PI / 180};
    if (f) {
        evn_curve *curve = evn_arena_take(arena, sizeof *curve);
        double yaw_rad[EVN_CURVE_POINTS_MAX];
        if (!curve)
            return false;
        for (size_t k = 0; k < f->yaw_deg.count; k++)
            yaw_rad[k] = f->yaw_deg.at[k] * EVN_PI / 180;
        evn_curve_make(curve, yaw_rad, f->factor.at, f->factor.count, true);
        w->factor = curve;
    }
    return w->speed_m_s == 0 || set_mean(w, arena);
}
