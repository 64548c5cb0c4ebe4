/* A speed that is held beside the plan: who holds it. */
#include "trip/held_speed.h"
#include <math.h>

evn_holder evn_held_by(const evn_trip *t)
{
    evn_holder by = 0;
    for (int k = 1; k < EVN_HOLDERS; k++)
        if (t->held_m_s[k] < t->held_m_s[by])
            by = (evn_holder)k;
    return by;
}

double evn_held_speed_m_s(const evn_trip *t) { return t->held_m_s[evn_held_by(t)]; }

void evn_hold_nothing(evn_trip *t)
{
    for (int k = 0; k < EVN_HOLDERS; k++)
        t->held_m_s[k] = (double)INFINITY;
}

void evn_act_hold_speed(evn_trip *t, double speed_m_s, evn_holder who) { t->held_m_s[who] = speed_m_s; }

static double borne_m_s(const evn_trip *t, size_t unit)
{
    const evn_unit *u = &t->rig->unit[unit];
    evn_setting now = t->box[unit].now;
    evn_too_hot hot = t->hot[unit].now;
    if ((hot != EVN_HEAT_SPEED_HELD && hot != EVN_HEAT_PULSES_OFF) || evn_is_open(now))
        return (double)INFINITY;
    return t->hot[unit].held_rad_s / u->gear[now.gear].total_ratio / evn_rig_setting_rad_m(t->rig, unit, now);
}

void evn_act_hold_for_heat(evn_trip *t)
{
    double least = (double)INFINITY;
    for (size_t u = 0; u < t->rig->unit_count; u++)
        least = fmin(least, borne_m_s(t, u));
    if (isfinite(least))
        evn_act_hold_speed(t, least, EVN_HOLDER_HEAT);
    else
        evn_act_release_hold(t, EVN_HOLDER_HEAT);
}

void evn_act_release_hold(evn_trip *t, evn_holder who)
{
    t->held_m_s[who] = (double)INFINITY;
    if (t->law != EVN_HOLDING || isfinite(evn_held_speed_m_s(t)))
        return;
    t->law = EVN_CAPPED;
    evn_foresee_anew(t);
}
