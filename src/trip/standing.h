/*
 * A stop that is a run of its own: the truck stands for so long, or until its battery is charged so far. It lives on
 * meanwhile: auxiliaries, motors that stand ready or rest, cooling, and what comes from a connector.
 */
#ifndef EVENER_TRIP_STANDING_H
#define EVENER_TRIP_STANDING_H
#include "trip/drive.h"
#include "trip/trip.h"

/* A stop without a duration that comes to no end ends then. */
#define EVN_STANDS_MOST_S 86400.0

static inline bool evn_standing_plugged_in(const evn_trip *t)
{
    return t->motion == EVN_STANDING && t->standing && t->standing->charges;
}

/* From the connector at most now, W; 0: none. In the header, since instants ask for it, which the acts below ask for.
 */
static inline double evn_standing_connector_w(const evn_trip *t, double soc)
{
    return evn_standing_plugged_in(t) ? evn_curve_at(&t->standing->connector_w, soc) : 0;
}

/* For the rules: whether it charges, what is left until it is over, and what happens then. */
bool evn_standing_charges(const evn_trip *);
double evn_standing_charge_left(const evn_trip *, double soc);
void evn_act_charged(evn_trip *);
/* A stop that lasts until the battery is charged, which it is not in time. */
bool evn_standing_may_be_endless(const evn_trip *);
double evn_standing_given_up_s(const evn_trip *);
void evn_act_not_charged(evn_trip *);

#endif
