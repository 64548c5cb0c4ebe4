/* The rule of the verdict (ASSESS.md). */
#include "assess/assess.h"
#include <math.h>

const char *evn_verdict_name(evn_verdict v)
{
    static const char *const names[] = {"not_asked", "pass", "marginal", "not_known", "fail"};
    return v >= EVN_VERDICT_NOT_ASKED && v <= EVN_VERDICT_FAIL ? names[v] : NULL;
}

static evn_verdict by_probability(const evn_assessed *is)
{
    if (is->probability <= 1 - EVN_ASSESS_SURE)
        return EVN_VERDICT_FAIL;
    return is->probability >= EVN_ASSESS_SURE && is->margin >= is->spare ? EVN_VERDICT_PASS : EVN_VERDICT_MARGINAL;
}

static evn_verdict by_margin(const evn_assessed *is, const evn_sides *u)
{
    if (isnan(is->margin) || is->margin < -u->better)
        return EVN_VERDICT_FAIL;
    return is->margin < u->worse || is->margin < is->spare ? EVN_VERDICT_MARGINAL : EVN_VERDICT_PASS;
}

/* Rounding takes no demand away. */
static const double HAIR = 1e-9;

void evn_assess_judge(evn_assess_cell *cell, const evn_found *found, double spare_percent, const evn_spread *spread)
{
    evn_assessed *is = &cell->is;
    cell->found = *found;
    cell->spread = *spread;
    is->value = found->value;
    is->demanded = found->demanded;
    is->margin = found->margin;
    if (fabs(is->margin) <= HAIR * fabs(is->demanded))
        is->margin = 0;
    is->uncertainty = is->margin < 0 ? spread->half_width.better : spread->half_width.worse;
    is->spare = spare_percent / 100 * fabs(is->demanded);
    if (found->unit) {
        is->what.unit = found->unit;
        is->what.digits = found->digits;
        is->at_most = found->at_most;
    }
    is->formula = is->at_most ? "{demanded} - {value}" : "{value} - {demanded}";
    is->why = found->why;
    is->where = found->where;
    is->missing = found->missing;
    if (!found->known)
        is->verdict = EVN_VERDICT_NOT_KNOWN;
    else if (!isnan(is->probability))
        is->verdict = by_probability(is);
    else
        is->verdict = by_margin(is, &spread->half_width);
}

evn_assess_cell *evn_assess_cell_of(const evn_assessment *a, size_t truck, size_t demand)
{
    return &a->cell[truck * a->demands + demand];
}

evn_verdict evn_assessment_of(const evn_assessment *a, size_t truck)
{
    evn_verdict worst = EVN_VERDICT_NOT_ASKED;
    for (size_t k = 0; a && truck < a->count && k < a->demands; k++) {
        evn_verdict is = evn_assess_cell_of(a, truck, k)->is.verdict;
        worst = is > worst ? is : worst;
    }
    return worst;
}

void evn_assessment_free(evn_assessment *a)
{
    if (!a)
        return;
    evn_payback_free(a->own_payback);
    evn_arena_free(a->arena);
}
