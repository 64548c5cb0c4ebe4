/* What trucks cost at another distance a year or other prices of energy: the accounts of a payback, asked once more. */
#include "money/payback.h"

void evn_payback_at_km(const evn_payback *b, size_t truck, evn_payback_basis basis, double annual_km, evn_account *out)
{
    evn_account_ask ask = b->paying[basis][truck].ask;
    ask.annual_km = annual_km;
    evn_account_of(&ask, out);
}

double evn_payback_field_km(size_t distance) { return 20000.0 * (double)(distance + 1); }

double evn_payback_field_factor(size_t price) { return 0.25 * (double)(price + 1); }

evn_account_ask evn_payback_ask_in_field(const evn_payback *b, size_t truck, evn_payback_basis basis, size_t distance,
                                         size_t price)
{
    evn_account_ask ask = b->paying[basis][truck].ask;
    ask.annual_km = evn_payback_field_km(distance);
    ask.energy_price_factor = evn_payback_field_factor(price);
    return ask;
}
