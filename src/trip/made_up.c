/* What makes up for brake applications. */
#include "trip/made_up.h"
#include "trip/moment.h"
#include <math.h>

static const double SAME_APPLICATION_S = 1; /* common practice, no source */
static const double SAME_TIME_S = 1e-9;     /* as of all known times (rules.c) */
static const double BRAKING_N = 1;          /* less is round-off where brakes begin and end */

/* Where the motors have a stated share only, brakes begin without an event: that is seen at the next one. */
static bool brakes_hold(const evn_trip *t)
{
    if (t->motion != EVN_MOVING || t->push != EVN_FREE)
        return true;
    return t->rig->motor_share < 1 && evn_instant_seen(t, t->t, t->y)->brake_n > BRAKING_N;
}

void evn_made_up_begin(evn_trip *t)
{
    t->made_up.braking = t->motion != EVN_MOVING;
    t->made_up.released_s = -(double)INFINITY;
}

static void owe(evn_trip *t)
{
    const evn_loads *l = &t->rig->loads;
    t->made_up.applications++;
    for (size_t k = 0; k < l->consumer_count; k++) {
        bool goes_on = t->made_up.on >> k & 1u;
        if (!(l->after_braking >> k & 1u) || l->consumer[k].application_j <= 0)
            continue;
        double from_s = goes_on ? t->made_up.until_s[k] : t->t;
        t->made_up.until_s[k] = from_s + l->consumer[k].application_j / l->consumer[k].power_w;
        t->made_up.on |= 1u << k;
    }
}

bool evn_made_up_after_event(evn_trip *t)
{
    if (!t->rig->loads.after_braking || t->motion == EVN_ENDED)
        return false;
    bool was = t->made_up.braking, is = brakes_hold(t);
    bool begins = is && !was && t->t - t->made_up.released_s >= SAME_APPLICATION_S;
    t->made_up.braking = is;
    if (was && !is)
        t->made_up.released_s = t->t;
    if (begins)
        owe(t);
    return begins;
}

void evn_made_up_go_on(evn_trip *t, size_t consumer, double left_s)
{
    t->made_up.until_s[consumer] = t->t + left_s;
    t->made_up.on |= 1u << consumer;
}

double evn_made_up_left_s(const evn_trip *t, size_t consumer)
{
    return t->made_up.on >> consumer & 1u ? fmax(t->made_up.until_s[consumer] - t->t, 0) : 0;
}

bool evn_makes_up(const evn_trip *t) { return t->motion != EVN_ENDED && t->made_up.on != 0; }

double evn_made_up_due_s(const evn_trip *t)
{
    double earliest = (double)INFINITY;
    for (size_t k = 0; k < t->rig->loads.consumer_count; k++)
        if (t->made_up.on >> k & 1u)
            earliest = fmin(earliest, t->made_up.until_s[k]);
    return earliest;
}

void evn_act_made_up(evn_trip *t)
{
    for (size_t k = 0; k < t->rig->loads.consumer_count; k++)
        if (t->t >= t->made_up.until_s[k] - SAME_TIME_S)
            t->made_up.on &= ~(1u << k);
}
