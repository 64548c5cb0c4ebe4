/*
 * The price of a change of setting at one instant: what it truly costs, J, in the parts that are booked or follow from
 * it. One place for it: the rule that changes settings (trip/rules.c), what is booked when one is changed
 * (trip/changes.c), and whatever else weighs changes against losses (tools) ask here.
 *
 *   synchronising: what brings the rotors, and what turns with them, to their new speed loses (the very lump that is
 *                  booked), and what friction loses at a branch that closes or opens;
 *   traction:      what the pause of a change costs that takes time (evn_instant_gap_w): nothing where it takes none;
 *   way_back:      where it takes time, of a higher gear: part of what the pause costs when braking brings the truck
 *                  back from it. A stated choice too, for drivers who do not know the way ahead;
 *   wear:          a stated choice (wear_kj of shift, engagement and disconnect);
 *   stated:        price_kj, where a file states it, in place of all of these.
 */
#ifndef EVENER_PULL_CHANGE_PRICE_H
#define EVENER_PULL_CHANGE_PRICE_H
#include "pull/instant.h"

typedef struct evn_change_price {
    double synchronising_j, traction_j, way_back_j, wear_j, stated_j;
} evn_change_price;

/* From the setting that the unit has at the instant; takes_time: the driver's changes do (the exact one's do not). */
evn_change_price evn_change_price_at(const evn_instant *, size_t unit, evn_setting to, bool takes_time);
double evn_change_price_j(const evn_instant *, size_t unit, evn_setting to, bool takes_time); /* all together */

/*
 * Energy that what a change sets free has with a setting at a truck speed, beyond what goes on turning meanwhile: below
 * the disconnect where it opens or closes, else below the gearbox.
 */
double evn_freed_j(const evn_rig *, size_t unit, evn_setting, double kept_kg_m2, double speed_m_s);
double evn_kept_kg_m2(const evn_unit *, evn_setting from, evn_setting to);

/* Of settings that differ in their branches: what the motors bring to a new speed (below zero: they take), and the
 * energies of the stretches that stood still and are sped up by friction, and of those that are left to come to rest.
 */
typedef struct evn_branch_gain {
    double motors_j, sped_up_j, left_j;
} evn_branch_gain;
evn_branch_gain evn_branch_gain_of(const evn_rig *, size_t unit, evn_setting from, evn_setting to, double speed_m_s);

#endif
