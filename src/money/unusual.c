/* What of the costs of a lineup is unusual, as warnings. */
#include "money/payback.h"

static const char *const basis_names[EVN_PAYBACK_BASES] = {"with its own battery", "with the least battery"};

static void say_battery(const evn_payback *b, size_t k, evn_payback_basis basis, evn_report *report)
{
    const evn_paying *p = &b->paying[basis][k];
    if (p->account.years_to_replacement < 1)
        evn_say(report, EVN_FAULT_UNUSUAL_VALUE, evn_nowhere, evn_nowhere,
                "%s %s: a battery lasts %.2g years, so that it takes %u more in %u years; expected one that lasts some "
                "years: a larger one, or another law of ageing",
                b->title[k], basis_names[basis], p->account.years_to_replacement, p->account.replacements, b->years);
    if (p->use.surplus_kwh > 0)
        evn_say(report, EVN_FAULT_UNUSUAL_VALUE, evn_nowhere, evn_nowhere,
                "%s %s: stops charge %.1f kWh a day more than it takes, which are paid for and of no use to the depot; "
                "it does not end its day as it began",
                b->title[k], basis_names[basis], p->use.surplus_kwh);
}

void evn_payback_say_unusual(const evn_payback *b, evn_report *report)
{
    for (size_t basis = 0; basis < EVN_PAYBACK_BASES; basis++)
        for (size_t k = 0; k < b->count; k++)
            if (b->paying[basis][k].there)
                say_battery(b, k, (evn_payback_basis)basis, report);
}
