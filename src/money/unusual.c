/* What of the costs of a lineup is unusual, as warnings. */
#include "money/days.h"
#include "money/payback.h"
#include <math.h>
#include <stdio.h>

static const char *const basis_names[EVN_PAYBACK_BASES] = {"with its own battery", "with the least battery"};

static void say_battery(const evn_payback *b, size_t k, evn_payback_basis basis, evn_report *report)
{
    const evn_paying *p = &b->paying[basis][k];
    if (p->account.years_to_replacement < 1)
        evn_say(report, EVN_FAULT_UNUSUAL_VALUE, evn_nowhere, evn_nowhere,
                "%s %s: a battery lasts %.2g years, so that it takes %u more in %u years; expected one that lasts some "
                "years: a larger one, or another law of ageing",
                b->name[k], basis_names[basis], p->account.years_to_replacement, p->account.replacements, b->years);
    if (p->use.surplus_kwh > 0)
        evn_say(report, EVN_FAULT_UNUSUAL_VALUE, evn_nowhere, evn_nowhere,
                "%s %s: stops charge %.1f kWh a day more than it takes, which are paid for and of no use to the depot; "
                "it does not end its day as it began",
                b->name[k], basis_names[basis], p->use.surplus_kwh);
}

/* A least battery ages faster than the truck's own, for whose capacity its size was looked for: of all such once. */
static void say_aged(const evn_payback *b, evn_report *report)
{
    enum { NAMES = 1000 };
    static const double TOLD = 0.005; /* as shares are told */
    char names[NAMES] = "";
    size_t length = 0;
    for (size_t k = 0; k < b->count; k++) {
        const evn_paying *p = &b->paying[EVN_PAYBACK_LEAST_BATTERY][k];
        if (!p->there || isnan(p->age_years) || evn_days_least_capacity(p) >= p->capacity - TOLD || length >= NAMES)
            continue;
        length += (size_t)snprintf(names + length, NAMES - length, "%s%.60s %.1f %% (%.1f %%)", length > 0 ? ", " : "",
                                   b->name[k], 100 * evn_days_least_capacity(p), 100 * p->capacity);
    }
    if (length > 0)
        evn_say(report, EVN_FAULT_UNUSUAL_VALUE, evn_nowhere, evn_nowhere,
                "the least battery comes down to less of its capacity than its size was looked for with (behind it), "
                "to which the truck's own comes, and may not do its day at the end: %s",
                names);
}

void evn_payback_say_unusual(const evn_payback *b, evn_report *report)
{
    for (size_t basis = 0; basis < EVN_PAYBACK_BASES; basis++)
        for (size_t k = 0; k < b->count; k++)
            if (b->paying[basis][k].there)
                say_battery(b, k, (evn_payback_basis)basis, report);
    say_aged(b, report);
}
