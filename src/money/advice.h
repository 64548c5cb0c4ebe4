/* Which to buy at a distance a year. */
#ifndef EVENER_MONEY_ADVICE_H
#define EVENER_MONEY_ADVICE_H
#include "money/payback.h"

/* Whether a truck is among those of which one is advised at a distance: of those that do what the duty demands the ones
 * whose battery, as it was found, suffices there and that do the year alone; where there is none those that do the
 * year alone, and where there is none of these either all. */
bool evn_money_takes_part(const evn_payback *, size_t truck, evn_payback_basis, double annual_km);
/* Whether the battery, which was found for the distance of the answer, does not come to less than it was sized for. */
bool evn_money_battery_suffices(const evn_payback *, size_t truck, evn_payback_basis, double annual_km);

evn_money_ranked evn_money_rank(const evn_payback *, evn_payback_basis, double annual_km);

/* How long a truck is under way and charges on a mean day of a year, and how many of it do a year that has more hours
 * than one has. */
double evn_money_hours_a_day(const evn_account *);
double evn_money_trucks_for(double hours_a_day);

/* The advice at a distance. False: no two trucks have costs, or none does what the duty demands. */
bool evn_money_advise(const evn_payback *, evn_payback_basis, double annual_km, evn_payback_advice *out);

#endif
