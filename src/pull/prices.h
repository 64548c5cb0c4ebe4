/*
 * What each setting of each unit costs at one instant: the losses of all units, plus one watt for each watt that is
 * wanted and does not reach the road (or that friction brakes burn although motors could have taken it).
 */
#ifndef EVENER_PULL_PRICES_H
#define EVENER_PULL_PRICES_H
#include "pull/instant.h"

#define EVN_NEVER_W 1e15 /* cost of a setting that cannot be taken */

typedef struct evn_prices {
    double now_w; /* with the settings as they are, and with each other one */
    double w[EVN_UNITS_MAX][EVN_SETTINGS_MAX];
} evn_prices;
void evn_instant_prices(const evn_instant *, evn_prices *);

/*
 * What a pause costs in which a unit does not pull, for each second of it, W. Pushing: friction brakes take what the
 * others do not. Pulling, the truck falls behind, and makes up for it afterwards: the losses of the pause (others pull
 * more, what turns is dragged), less those of the units as they are, and the losses of the greater force by which the
 * missing impulse is brought afterwards: with as much again as was missing, or with what the motors have. Of losses
 * that grow with the square of the force (L = l + c F^2) and one unit alone this is 2 c F^2, or c F^2 at the motors'
 * limit. First order: what the slower truck saves of air drag, and how long it stays behind, is left out.
 */
double evn_instant_gap_w(const evn_instant *, size_t unit);

/* Braking so, what its motors would take less without a unit that has this setting, W at the tyres: the rest is heat
 * of the friction brakes. */
double evn_instant_braking_gap_w(const evn_instant *, size_t unit, evn_setting, double braking_m_s2);

/*
 * The same in its parts, for units that all have other settings (of each the member that evn_pull_member makes): losses
 * of all units, the tyre force that they give, and what is missing (below zero: what friction brakes burn of what
 * motors could have taken). Friction brakes press on the axles as they do now, which those prices leave out. False: it
 * cannot be taken. Knows no dwell: whoever asks may leave it again at any time.
 */
typedef struct evn_cost {
    double losses_w, given_n, missing_n;
} evn_cost;
bool evn_instant_cost(const evn_instant *, const evn_team *, evn_cost *);

/*
 * All of it at a speed, W. Pulling slower than a walk a missing newton costs what it does at a walk: near rest it would
 * cost nothing, and the truck would save its losses and stay there.
 */
double evn_cost_w(const evn_cost *, double speed_m_s);

/* Fills of an instant, from pull.at, what those costs ask, no limit being known to bind. */
void evn_instant_outline(evn_instant *);

/* What another setting of a unit would save now. */
double evn_instant_forgone_w(const evn_instant *, size_t unit, evn_setting);

/*
 * A launch: the settings are those of `at`. Greatest acceleration from rest within what motors and adhesion give (at
 * rest no power flows but the losses: the pack does not limit); and the cost of an acceleration at a walking pace.
 */
double evn_launch_accel_m_s2(const evn_given *at);
double evn_launch_cost_w(const evn_given *at, double accel_m_s2);

#endif
