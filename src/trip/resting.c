/* Motors that rest without pulses in a stop that lasts. */
#include "trip/resting.h"
#include "trip/prescribe.h"
#include <math.h>

static const double SAME_TIME_S = 1e-9; /* as of all known times (rules.c) */

void evn_resting_stand_unit(evn_trip *t, size_t unit, double wait_s)
{
    double after_s = t->rig->unit[unit].rest_after_s;
    double from_s = t->t + (evn_is_exact(t) ? 0 : after_s);
    t->box[unit].rest_from_s = wait_s > after_s ? from_s : (double)INFINITY;
}

void evn_resting_stand(evn_trip *t, double wait_s)
{
    for (size_t u = 0; u < t->rig->unit_count; u++)
        evn_resting_stand_unit(t, u, wait_s);
}

void evn_resting_not_yet(evn_trip *t, size_t unit) { t->box[unit].rest_from_s = (double)INFINITY; }

double evn_resting_due_s(const evn_trip *t)
{
    double earliest = (double)INFINITY;
    for (size_t u = 0; u < t->rig->unit_count; u++)
        if (!t->box[u].resting)
            earliest = fmin(earliest, t->box[u].rest_from_s);
    return earliest;
}

bool evn_resting_waits(const evn_trip *t) { return t->motion == EVN_STANDING && isfinite(evn_resting_due_s(t)); }

void evn_act_rest(evn_trip *t)
{
    for (size_t u = 0; u < t->rig->unit_count; u++) {
        evn_box *box = &t->box[u];
        if (box->resting || t->t < box->rest_from_s - SAME_TIME_S)
            continue;
        box->resting = true;
        box->rest_from_s = t->t;
    }
}

void evn_resting_ends(evn_trip *t, size_t unit)
{
    evn_box *box = &t->box[unit];
    if (box->resting)
        box->resting_s += t->t - box->rest_from_s;
    box->resting = false;
}
