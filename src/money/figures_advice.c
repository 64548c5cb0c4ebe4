/* Figures of the truck that costs least against the one that follows it ("next."). */
#include "money/advice.h"
#include "money/figures.h"
#include <math.h>
#include <stdint.h>
#include <stdio.h>

static void put_turn(const evn_figures_filling *f, const evn_payback_advice *a, const evn_account *next)
{
    const evn_account *best = &f->p->account;
    const evn_figure_told told = {f->money, "extra price against the next at which the answer turns", 0};
    double rise = (next->present_cost - best->present_cost) / evn_account_per_price(best, f->prices, f->payback->years);
    double turns = a->extra_price + rise;
    evn_figure_by(f, "advice.extra_price", (evn_figure_told){f->money, "extra price against the next", 0},
                  a->extra_price, "{price.total} - {next.price.total}");
    if (fabs(turns - a->turns_at_extra_price) <= 1e-6 * (1 + fabs(turns)))
        evn_figure_by(f, "advice.turns_at_extra_price", told, a->turns_at_extra_price,
                      "{advice.extra_price} + ({next.cost.present} - {cost.present}) / {cost.per_price}");
    else
        evn_figure_given(f, "advice.turns_at_extra_price", told, a->turns_at_extra_price,
                         "extra price at which both cost the same, found step by step: the subsidy meets its most "
                         "between");
}

static void put_reasons(const evn_figures_filling *f, const evn_account *next)
{
    char key[EVN_FIGURE_KEY], label[EVN_FIGURE_KEY], formula[2 * EVN_FIGURE_KEY];
    for (size_t k = 0; k < EVN_COST_COUNT; k++) {
        snprintf(key, sizeof key, "advice.less.%s", evn_cost_keys[k]);
        snprintf(label, sizeof label, "%s, less than the next", evn_cost_labels[k]);
        snprintf(formula, sizeof formula, "{next.per_km.%s} - {per_km.%s}", evn_cost_keys[k], evn_cost_keys[k]);
        evn_figure_by(f, key, (evn_figure_told){f->per_km, label, 4},
                      next->part_per_km[k] - f->p->account.part_per_km[k], formula);
    }
}

void evn_figures_of_advice(const evn_figures_filling *f, evn_payback_basis basis)
{
    const evn_payback *b = f->payback;
    evn_payback_advice a;
    if (!evn_money_advise(b, basis, b->annual_km, &a))
        return;
    evn_figure_by(f, "advice.hours_a_day", (evn_figure_told){"h", "hours of a mean day of the year", 2}, a.hours_a_day,
                  "{year.hours} / 365");
    evn_figure_given(f, "advice.trucks", (evn_figure_told){"", "trucks that it takes", 0}, a.trucks,
                     "advice.hours_a_day over 24, rounded up, and at least 1");
    if (a.next == SIZE_MAX)
        return;
    const evn_account *next = &b->paying[basis][a.next].account;
    evn_figure_by(f, "advice.less_per_km", (evn_figure_told){f->per_km, "costs less than the next", 4},
                  next->per_km - f->p->account.per_km, "{next.cost.per_km} - {cost.per_km}");
    put_reasons(f, next);
    put_turn(f, &a, next);
}
