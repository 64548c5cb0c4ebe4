/* Locks of differentials and the start aid, by speed. */
#include "trip/stance.h"
#include <math.h>

/*
 * Both end a little below their stated speed, since plans like to go at just such a speed, and begin again well below
 * that: nothing hangs on the last digits of a speed that is held.
 */
static const double ENDS_BELOW_M_S = 0.05, BEGINS_BELOW_M_S = 0.35;

static double left_m_s(bool on, double below_m_s, double v)
{
    return on ? below_m_s - ENDS_BELOW_M_S - v : v - (below_m_s - BEGINS_BELOW_M_S);
}

static bool is_below(double below_m_s, double v) { return v < below_m_s - BEGINS_BELOW_M_S; }

static bool unit_has_locks(const evn_trip *t, size_t unit)
{
    return t->rig->unit[unit].has_axle_lock || t->rig->unit[unit].has_inter_axle_lock;
}

bool evn_stance_has_aid(const evn_trip *t) { return t->rig->start_aid.there; }

bool evn_stance_has_locks(const evn_trip *t)
{
    bool any = false;
    for (size_t u = 0; u < t->rig->unit_count; u++)
        any = any || unit_has_locks(t, u);
    return any && t->course->road[t->road_at].adhesion > 0;
}

void evn_stance_set(evn_trip *t, double v)
{
    t->start_aid = evn_stance_has_aid(t) && is_below(t->rig->start_aid.below_m_s, v);
    for (size_t u = 0; u < t->rig->unit_count; u++)
        t->locked[u] = unit_has_locks(t, u) && is_below(t->rig->unit[u].locks_below_m_s, v);
}

double evn_stance_aid_left(const evn_trip *t, double v)
{
    return left_m_s(t->start_aid, t->rig->start_aid.below_m_s, v);
}

static double unit_left(const evn_trip *t, size_t unit, double v)
{
    return left_m_s(t->locked[unit], t->rig->unit[unit].locks_below_m_s, v);
}

double evn_stance_locks_left(const evn_trip *t, double v)
{
    double least = (double)INFINITY;
    for (size_t u = 0; u < t->rig->unit_count; u++)
        if (unit_has_locks(t, u))
            least = fmin(least, unit_left(t, u, v));
    return least;
}

void evn_stance_cross_aid(evn_trip *t) { t->start_aid = !t->start_aid; }

/* Those that are due, and those at the same speed to round-off. */
void evn_stance_cross_locks(evn_trip *t, double v)
{
    double at = fmax(evn_stance_locks_left(t, v), 1e-9);
    for (size_t u = 0; u < t->rig->unit_count; u++)
        if (unit_has_locks(t, u) && unit_left(t, u, v) <= at)
            t->locked[u] = !t->locked[u];
}
