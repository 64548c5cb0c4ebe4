/*
 * The most power at the wheels over the speed: what a truck has of its motors behind gears, pack and tyres. It is asked
 * on the level, at speeds that are held; the highest of a grid is looked for more closely between its neighbours, since
 * the corner of the envelope in a gear lies on none of them.
 */
#include "core/root.h"
#include "core/units.h"
#include "limits/abilities.h"
#include <math.h>

static const double FASTEST_M_S = EVN_LIMITER_KM_H * EVN_M_S_PER_KM_H;
static const double STEP_M_S = 1 * EVN_M_S_PER_KM_H;
/* Where power is level over the speed the lowest speed is told: more by so little is the same. */
static const double MORE = 1e-9;

typedef struct power_search {
    evn_scene *scene;
    bool continuous;
} power_search;

static double power_w(const power_search *s, double speed_m_s)
{
    return speed_m_s * evn_able_force_n(s->scene, speed_m_s, s->continuous);
}

static double short_of_power_w(void *self, double speed_m_s) { return -power_w(self, speed_m_s); }

/* Takes the power at a speed where it is more than the most so far. */
static void take(const power_search *s, double at_m_s, double *most_w, double *speed_m_s)
{
    double w = power_w(s, at_m_s);
    if (w > *most_w * (1 + MORE)) {
        *most_w = w;
        *speed_m_s = at_m_s;
    }
}

double evn_able_wheel_power_w(evn_scene *scene, bool continuous, double *speed_m_s)
{
    power_search s = {scene, continuous};
    double top = fmin(evn_able_top_m_s(scene->rig), FASTEST_M_S), most_w = 0;
    *speed_m_s = (double)NAN;
    if (isnan(power_w(&s, top)))
        return (double)NAN;
    for (double v = STEP_M_S; v < top; v += STEP_M_S)
        take(&s, v, &most_w, speed_m_s);
    take(&s, top, &most_w, speed_m_s);
    if (isnan(*speed_m_s))
        return most_w;
    double low = fmax(*speed_m_s - STEP_M_S, 0), high = fmin(*speed_m_s + STEP_M_S, top);
    take(&s, evn_root_least(short_of_power_w, &s, low, high, 1e-9), &most_w, speed_m_s);
    return most_w;
}
