/* Which to buy at a distance a year. */
#ifndef EVENER_MONEY_ADVICE_H
#define EVENER_MONEY_ADVICE_H
#include "money/payback.h"

evn_money_ranked evn_money_rank(const evn_payback *, evn_payback_basis, double annual_km);

/* How long a truck is under way and charges on a mean day of a year, and how many of it do a year that has more hours
 * than one has. */
double evn_money_hours_a_day(const evn_account *);
double evn_money_trucks_for(double hours_a_day);

/* The advice at a distance. False: no two trucks have costs, or none does what the duty demands. */
bool evn_money_advise(const evn_payback *, evn_payback_basis, double annual_km, evn_payback_advice *out);

#endif
