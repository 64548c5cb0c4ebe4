/* Figures of a truck against the first. */
#include "money/figures.h"
#include <math.h>
#include <stdio.h>
#include <string.h>

static void put_extra_flow(const evn_figures_filling *f)
{
    const evn_against *g = &f->p->against;
    double rate = f->p->account.rate, sum = 0, discounted = 0;
    char key[EVN_FIGURE_KEY], label[EVN_FIGURE_KEY], formula[2 * EVN_FIGURE_KEY];
    for (unsigned k = 0; k <= f->payback->years; k++) {
        double present = g->flow[k] * evn_factor_pf(rate, k);
        snprintf(key, sizeof key, "extra.flow.%u", k);
        snprintf(label, sizeof label, "saved in year %u", k);
        snprintf(formula, sizeof formula, "{flow.%u} - {first.flow.%u}", k, k);
        evn_figure_by(f, key, (evn_figure_told){f->money, label, 0}, g->flow[k], formula);
        snprintf(key, sizeof key, "extra.present.%u", k);
        snprintf(label, sizeof label, "its present value, year %u", k);
        snprintf(formula, sizeof formula, "{extra.flow.%u} / (1 + {interest})^%u", k, k);
        evn_figure_by(f, key, (evn_figure_told){f->money, label, 0}, present, formula);
        sum += g->flow[k];
        discounted += present;
        snprintf(key, sizeof key, "extra.sum.%u", k);
        snprintf(label, sizeof label, "saved up to year %u", k);
        if (k == 0)
            snprintf(formula, sizeof formula, "{extra.flow.0}");
        else
            snprintf(formula, sizeof formula, "{extra.sum.%u} + {extra.flow.%u}", k - 1, k);
        evn_figure_by(f, key, (evn_figure_told){f->money, label, 0}, sum, formula);
        snprintf(key, sizeof key, "extra.discounted.%u", k);
        snprintf(label, sizeof label, "discounted, up to year %u", k);
        if (k == 0)
            snprintf(formula, sizeof formula, "{extra.present.0}");
        else
            snprintf(formula, sizeof formula, "{extra.discounted.%u} + {extra.present.%u}", k - 1, k);
        evn_figure_by(f, key, (evn_figure_told){f->money, label, 0}, discounted, formula);
    }
}

static void put_rates(const evn_figures_filling *f)
{
    const evn_rates_of_return *r = &f->p->against.rates;
    char key[EVN_FIGURE_KEY], from[2 * EVN_FIGURE_KEY];
    evn_figure_given(
        f, "extra.rates_of_return", (evn_figure_told){"", "rates of return", 0}, (double)r->count,
        "how many rates above -1 there are at which the sum of extra.flow.k / (1 + rate)^k is 0; all are found");
    for (size_t k = 0; k < r->count; k++) {
        snprintf(key, sizeof key, "extra.rate_of_return.%zu", k + 1);
        snprintf(from, sizeof from, "rate at which the sum of extra.flow.k / (1 + rate)^k is 0%s",
                 r->touches[k] ? ", which it only touches" : "");
        evn_figure_given(f, key, (evn_figure_told){"", "rate of return", 4}, r->rate[k], from);
    }
}

static void put_turns(const evn_figures_filling *f, const evn_account *first)
{
    const evn_against *g = &f->p->against;
    const evn_account *a = &f->p->account;
    char key[EVN_FIGURE_KEY];
    double per = evn_account_per_price(a, f->prices, f->payback->years),
           line_turns = a->price - first->price + g->present_value / per;
    evn_figure_by(f, "extra.value_per_price", (evn_figure_told){"", "value lost with each unit of price", 4}, per,
                  "{cost.per_price}");
    if (fabs(line_turns - g->turns_at_price) <= 1e-6 * (1 + fabs(line_turns)))
        evn_figure_by(f, "extra.turns_at_price",
                      (evn_figure_told){f->money, "extra price at which the answer turns", 0}, g->turns_at_price,
                      "{extra.price} + {extra.present_value} / {extra.value_per_price}");
    else
        evn_figure_given(
            f, "extra.turns_at_price", (evn_figure_told){f->money, "extra price at which the answer turns", 0},
            g->turns_at_price,
            "extra price at which extra.present_value is 0, found step by step: the subsidy meets its most between");
    evn_figure_by(f, "extra.present_energy", (evn_figure_told){f->money, "present value of the energy saved", 0},
                  (first->energy - a->energy) * evn_factor_pa(a->rate, f->payback->years),
                  "({first.year.energy} - {year.energy}) / {factor.ap}");
    evn_figure_by(f, "extra.turns_at_energy_price",
                  (evn_figure_told){f->per_kwh, "price of energy at the depot at which it turns, all in proportion", 4},
                  g->turns_at_energy_price,
                  "{energy.depot.price} * (1 - {extra.present_value} / {extra.present_energy})");
    evn_figure_given(f, "extra.turns_at_km.count", (evn_figure_told){"", "distances a year at which it turns", 0},
                     (double)g->turns_at_km.count,
                     g->turns_at_km.more
                         ? "between 1000 and 400000 km, looked at every 1000 km: as many as there is room "
                           "for, there are more"
                         : "between 1000 and 400000 km, looked at every 1000 km");
    for (size_t k = 0; k < g->turns_at_km.count; k++) {
        snprintf(key, sizeof key, "extra.turns_at_km.%zu", k + 1);
        evn_figure_given(
            f, key, (evn_figure_told){"km", "distance a year at which it turns", 0}, g->turns_at_km.at[k],
            g->turns_at_km.jumps[k]
                ? "annual_km at which extra.present_value jumps over 0, since a battery is replaced once more"
                : "annual_km at which extra.present_value is 0");
    }
}

/* By which extra price the simple payback would be so many years: of those before the last, which leaves something.
 * What is saved by then is shared out at so much for each unit of price, another beyond where the subsidy has its most.
 */
static void put_price_for(const evn_figures_filling *f, double extra_price, unsigned years)
{
    const evn_account *a = &f->p->account;
    char key[EVN_FIGURE_KEY], label[EVN_FIGURE_KEY], per[2][2 * EVN_FIGURE_KEY], formula[9 * EVN_FIGURE_KEY];
    double sum = 0, to_most;
    bool capped = evn_account_subsidy_at_most(a, f->prices);
    if (years >= f->payback->years)
        return;
    for (unsigned k = 0; k <= years; k++)
        sum += f->p->against.flow[k];
    double rise = evn_account_rise_for(a, f->prices, sum, years, &to_most);
    snprintf(key, sizeof key, "extra.price_for_%u", years);
    snprintf(label, sizeof label, "extra price with which it pays back in %u year%s", years, years == 1 ? "" : "s");
    for (size_t k = 0; k < 2; k++)
        snprintf(per[k], sizeof per[k],
                 "(1 + {prices.purchase_tax_percent} / 100 + %u * {prices.insurance_percent} / 100%s)", years,
                 capped == (k == 0) ? "" : " - {prices.subsidy.percent} / 100");
    if (isnan(to_most))
        snprintf(formula, sizeof formula, "{extra.price} + {extra.sum.%u} / %s", years, per[0]);
    else
        snprintf(formula, sizeof formula,
                 "{extra.price} + {extra.price_to_most} + ({extra.sum.%u} - {extra.price_to_most} * %s) / %s", years,
                 per[0], per[1]);
    evn_figure_by(f, key, (evn_figure_told){f->money, label, 0}, extra_price + rise, formula);
}

static void put_price_to_most(const evn_figures_filling *f)
{
    double to_most = evn_account_price_to_most(&f->p->account, f->prices);
    if (!isnan(to_most))
        evn_figure_by(f, "extra.price_to_most",
                      (evn_figure_told){f->money, "rise of the price at which the subsidy meets its most", 0}, to_most,
                      "({prices.subsidy.most} - {prices.subsidy.amount}) / ({prices.subsidy.percent} / 100) - "
                      "{price.total}");
}

void evn_figures_of_against(const evn_figures_filling *f, const evn_account *first)
{
    const evn_against *g = &f->p->against;
    const evn_account *a = &f->p->account;
    evn_figure_by(f, "extra.price", (evn_figure_told){f->money, "extra price", 0}, a->price - first->price,
                  "{price.total} - {first.price.total}");
    evn_figure_by(f, "extra.invested", (evn_figure_told){f->money, "extra investment", 0}, g->invested,
                  "{price.invested} - {first.price.invested}");
    evn_figure_by(f, "extra.yearly", (evn_figure_told){f->money, "saved in a year", 0}, first->yearly - a->yearly,
                  "{first.year.total} - {year.total}");
    put_extra_flow(f);
    evn_figure_by(f, "extra.present_value", (evn_figure_told){f->money, "net present value", 0}, g->present_value,
                  "sum{extra.present.*}");
    evn_figure_given(f, "extra.payback", (evn_figure_told){"a", "simple payback", 2}, g->simple.years,
                     "when extra.sum comes to 0 for good, evenly within a year; none: not within the years");
    evn_figure_given(f, "extra.payback_first", (evn_figure_told){"a", "simple payback, for the first time", 2},
                     g->simple.first_years, "when extra.sum first comes to 0");
    evn_figure_given(f, "extra.discounted_payback", (evn_figure_told){"a", "discounted payback", 2},
                     g->discounted.years,
                     "when extra.discounted comes to 0 for good, evenly within a year; none: not within the years");
    put_rates(f);
    put_price_to_most(f);
    put_price_for(f, a->price - first->price, 1);
    put_price_for(f, a->price - first->price, 2);
    put_turns(f, first);
}
