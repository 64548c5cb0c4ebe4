/* What goes on at a stop that is a run of its own. */
#include "trip/standing.h"
#include "trip/acts.h"
#include "trip/moment.h"
#include <math.h>

bool evn_standing_charges(const evn_trip *t) { return evn_standing_plugged_in(t) && !t->charged; }

double evn_standing_charge_left(const evn_trip *t, double soc)
{
    return isinf(t->standing->until_soc) ? 1 : 10 * (t->standing->until_soc - soc);
}

/* From here on the connector feeds what runs, and nothing more. */
void evn_act_charged(evn_trip *t)
{
    t->charged = true;
    if (isinf(t->standing->duration_s))
        t->wait_until_s = t->t;
}

bool evn_standing_may_be_endless(const evn_trip *t) { return evn_standing_plugged_in(t) && isinf(t->wait_until_s); }

double evn_standing_given_up_s(const evn_trip *t)
{
    (void)t;
    return EVN_STANDS_MOST_S;
}

void evn_act_not_charged(evn_trip *t)
{
    double soc = evn_trip_soc(t, t->y);
    evn_say(t->report, EVN_FAULT_NOT_CHARGED, evn_nowhere, evn_nowhere,
            "the battery of %s is at a state of charge of %.1f %% after %.0f h at the connector; expected %.1f %% by "
            "then; a stronger connector, less to be charged, or a state of charge below the end of the usable window "
            "(%.1f %%), which it only draws near to, would do",
            t->rig->truck_name, 100 * soc, EVN_STANDS_MOST_S / 3600, 100 * t->standing->until_soc,
            100 * t->rig->pack.usable_to);
    evn_act_end(t, EVN_STATUS_NOT_CHARGED);
}
