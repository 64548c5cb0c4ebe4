/* Which layout: of those that pass the one of least cost, without prices of least energy. No weights. */
#include "assess/assess.h"
#include <math.h>
#include <string.h>

/* The cost of a truck per km, or its energy; NAN: it has none. */
static double value_of(const evn_assessment *a, size_t truck, double *energy_part)
{
    *energy_part = (double)NAN;
    if (a->payback) {
        const evn_paying *p = &a->payback->paying[EVN_PAYBACK_AS_LINEUP][truck];
        if (!p->there)
            return (double)NAN;
        *energy_part = p->account.part_per_km[EVN_COST_ENERGY];
        return p->account.per_km;
    }
    if (!a->use || !(a->use[truck].km > 0) ||
        strcmp(a->use[truck].status, "finished") != 0) /* of a part says nothing */
        return (double)NAN;
    *energy_part = a->use[truck].battery_kwh / a->use[truck].km;
    return *energy_part;
}

static void rank(evn_assessment *a, evn_verdict among)
{
    evn_assess_choice *c = &a->choice;
    double part, value = (double)INFINITY, next = (double)INFINITY, energy = (double)NAN;
    c->advised = c->next = SIZE_MAX;
    for (size_t k = 0; k < a->count; k++) {
        double is = value_of(a, k, &part);
        if (evn_assessment_of(a, k) != among || isnan(is))
            continue;
        if (is < value) {
            c->next = c->advised;
            next = value;
            c->advised = k;
            value = is;
            energy = part;
        } else if (is < next) {
            c->next = k;
            next = is;
        }
    }
    c->value = c->advised == SIZE_MAX ? (double)NAN : value;
    c->next_value = c->next == SIZE_MAX ? (double)NAN : next;
    c->uncertainty = EVN_ASSESS_90_PERCENT / 2 * a->energy_percent / 100 * energy;
    c->apart = c->next == SIZE_MAX || next - value > c->uncertainty;
    for (size_t k = 0; !c->apart && k < a->count; k++)
        if (evn_assessment_of(a, k) == among && value_of(a, k, &part) - value <= c->uncertainty)
            c->alike |= 1u << k;
}

/* Of a payback that no prices tell, the first truck alone is not asked. */
static bool is_unpriced(const evn_assessment *a)
{
    evn_verdict last = EVN_VERDICT_NOT_ASKED;
    for (size_t k = 0; k < a->demands; k++)
        if (a->kind[k] == EVN_DEMAND_PAYBACK && a->count > 1)
            last = evn_assess_cell_of(a, a->count - 1, k)->is.verdict;
    return !a->priced && last == EVN_VERDICT_NOT_KNOWN;
}

/* Without days nothing ranks those that fail nothing; where it is one alone, nothing has to. */
static size_t only_marginal(const evn_assessment *a)
{
    size_t found = SIZE_MAX, count = 0;
    for (size_t k = 0; k < a->count; k++)
        if (evn_assessment_of(a, k) == EVN_VERDICT_MARGINAL) {
            found = k;
            count++;
        } else if (evn_assessment_of(a, k) <= EVN_VERDICT_PASS)
            return SIZE_MAX;
    return count == 1 ? found : SIZE_MAX;
}

void evn_assess_choose(evn_assessment *a)
{
    evn_assess_choice *c = &a->choice;
    *c = (evn_assess_choice){.by_cost = a->payback};
    rank(a, EVN_VERDICT_PASS);
    if (c->advised == SIZE_MAX) {
        rank(a, EVN_VERDICT_MARGINAL);
        if (a->only_standing)
            c->advised = only_marginal(a);
        c->marginal = c->advised != SIZE_MAX;
    }
    c->unpriced = c->advised != SIZE_MAX && is_unpriced(a);
    if (c->unpriced) {
        c->advised = c->next = SIZE_MAX;
        c->value = c->next_value = c->uncertainty = (double)NAN;
        c->alike = 0;
        c->marginal = false;
    }
    for (size_t k = 0; k < a->count; k++)
        c->open = c->open || evn_assessment_of(a, k) == EVN_VERDICT_NOT_KNOWN;
}
