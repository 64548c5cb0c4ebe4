/* What is drawn at an instant beside the motors' pull: consumers, fan, power take-off. */
#ifndef EVENER_PULL_BESIDE_H
#define EVENER_PULL_BESIDE_H
#include "pull/pull.h"

/* What the laws of consumers ask of an instant. */
evn_loads_now evn_beside_now(const evn_given *);

/* Consumers by cause and the power take-off by a motor of its own, whose flow is put where it is asked for (NULL: not).
 */
double evn_beside_causes_w(const evn_given *, evn_flow *, evn_takeoff_flow *own);

/* All of them, W from the d.c. bus, but for a take-off that motors of a unit drive; each into its line of the flow. In
 * the header, since most trucks have no more than a steady power and a fan. */
static inline double evn_beside_w(const evn_given *at, evn_flow *flow, evn_takeoff_flow *own)
{
    const evn_rig *r = at->rig;
    double w = evn_loads_w(&r->loads, at->coolant_degc, at->battery_degc, flow);
    return r->loads.consumer_count > 0 || r->takeoff.own ? w + evn_beside_causes_w(at, flow, own) : w;
}

/* Motors of a unit drive a power take-off now; the truck stands, the unit is in neutral. */
static inline bool evn_unit_takes_off(const evn_given *at, size_t unit)
{
    const evn_takeoff *t = &at->rig->takeoff;
    return at->takeoff_w > 0 && at->at_rest && t->there && !t->own && unit == t->unit;
}
/*
 * Power that the unit draws from the bus for it, W: what is asked, as far as its motors have the torque at the bus
 * voltage and their temperatures. Adds to the flow: work, gears, motors, inverters. motor_nm, where not NULL, receives
 * their torque.
 */
double evn_unit_takeoff_w(const evn_pull *, evn_flow *, double *motor_nm);

#endif
