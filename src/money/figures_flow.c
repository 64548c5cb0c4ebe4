/* Figures of the cash flow, and of costs per km by what they are for. */
#include "money/figures.h"
#include <math.h>
#include <stdio.h>
#include <string.h>

/* ------------------------------------------------------------------------------------------------ flow */

/* What batteries of a year cost, one or more. */
static void put_replaced(char out[EVN_FIGURE_KEY], unsigned replaced)
{
    if (replaced == 1)
        snprintf(out, EVN_FIGURE_KEY, "{battery.replacement}");
    else
        snprintf(out, EVN_FIGURE_KEY, "%u * {battery.replacement}", replaced);
}

/* What the present value of all costs gains with each unit of price: with tax, subsidy, insurance and what is left. */
static void put_per_price(const evn_figures_filling *f)
{
    const evn_prices_file *p = f->prices;
    evn_figure_line formula = {.length = 0};
    evn_figure_add(&formula,
                   "1 + {prices.purchase_tax_percent} / 100 + {prices.insurance_percent} / 100 / {factor.ap}");
    if (!evn_account_subsidy_at_most(&f->p->account, p))
        evn_figure_add(&formula, " - {prices.subsidy.percent} / 100");
    if (p->residual)
        evn_figure_add(&formula, " - (1 - {prices.residual.truck_loss_percent} / 100)^{years} * {factor.pf}");
    evn_figure_by(f, "cost.per_price", (evn_figure_told){"", "present value of costs with each unit of price", 4},
                  evn_account_per_price(&f->p->account, p, f->payback->years), formula.at);
}

void evn_figures_of_flow(const evn_figures_filling *f)
{
    const evn_account *a = &f->p->account;
    unsigned years = f->payback->years;
    char key[EVN_FIGURE_KEY], label[EVN_FIGURE_KEY], replaced[EVN_FIGURE_KEY];
    for (unsigned k = 0; k <= years; k++) {
        evn_figure_line formula = {.length = 0};
        evn_figure_add(&formula, "0 - %s", k == 0 ? "{price.invested}" : "{year.total}");
        put_replaced(replaced, a->replaced[k]);
        if (a->replaced[k] > 0)
            evn_figure_add(&formula, " - %s", replaced);
        if (k == years)
            evn_figure_add(&formula, " + {residual.truck} + {residual.battery}");
        snprintf(key, sizeof key, "flow.%u", k);
        snprintf(label, sizeof label, "cash flow of year %u", k);
        evn_figure_by(f, key, (evn_figure_told){f->money, label, 0}, a->flow[k], formula.at);
        formula.length = 0;
        evn_figure_add(&formula, "{flow.%u} / (1 + {interest})^%u", k, k);
        snprintf(key, sizeof key, "present.%u", k);
        snprintf(label, sizeof label, "present value of year %u", k);
        evn_figure_by(f, key, (evn_figure_told){f->money, label, 0}, a->flow[k] * evn_factor_pf(a->rate, k),
                      formula.at);
    }
    evn_figure_by(f, "cost.present", (evn_figure_told){f->money, "present value of all costs", 0}, a->present_cost,
                  "0 - sum{present.*}");
    evn_figure_by(f, "cost.per_km", (evn_figure_told){f->per_km, "cost per km", 4}, a->per_km,
                  "{cost.present} * {factor.ap} / {annual_km}");
    if (!isnan(a->per_t_km))
        evn_figure_by(f, "cost.per_t_km", (evn_figure_told){f->per_t_km, "cost per tonne-kilometre", 5}, a->per_t_km,
                      "{cost.per_km} * {day.km} / {day.t_km}");
    put_per_price(f);
}

/* ------------------------------------------------------------------------------------------------ breakdown */

void evn_figures_of_parts(const evn_figures_filling *f)
{
    const evn_account *a = &f->p->account;
    char term[2 * EVN_FIGURE_KEY], each[EVN_FIGURE_KEY];
    evn_figure_line replaced = {.length = 0};
    double present = 0;
    for (unsigned k = 1; k <= f->payback->years; k++)
        if (a->replaced[k] > 0) {
            put_replaced(each, a->replaced[k]);
            snprintf(term, sizeof term, "%s / (1 + {interest})^%u", each, k);
            evn_figure_add_term(&replaced, term);
            present += a->replaced[k] * a->replacement * evn_factor_pf(a->rate, k);
        }
    evn_figure_by(f, "battery.present_replacements", (evn_figure_told){f->money, "present value of replacements", 0},
                  present, replaced.length > 0 ? replaced.at : "0");
    const struct {
        const char *key, *formula;
    } rows[EVN_COST_COUNT] = {
        [EVN_COST_BASE] =
            {"per_km.base",
             "({price.invested} - ({price.drive} + {price.battery}) * {price.invested} / {price.total} - "
             "(1 - {price.drive} / ({price.total} - {price.battery})) * {residual.truck} * {factor.pf}) * "
             "{factor.ap} / {annual_km}"},
        [EVN_COST_DRIVE] = {"per_km.drive",
                            "({price.drive} * {price.invested} / {price.total} - {price.drive} / ({price.total} - "
                            "{price.battery}) * {residual.truck} * {factor.pf}) * {factor.ap} / {annual_km}"},
        [EVN_COST_BATTERY] = {"per_km.battery",
                              "({price.battery} * {price.invested} / {price.total} + {battery.present_replacements} - "
                              "{residual.battery} * {factor.pf}) * {factor.ap} / {annual_km}"},
        [EVN_COST_ENERGY] = {"per_km.energy", "{year.energy} / {annual_km}"},
        [EVN_COST_DEMAND] = {"per_km.demand", "{year.demand} / {annual_km}"},
        [EVN_COST_MAINTENANCE] = {"per_km.maintenance", "{year.maintenance} / {annual_km}"},
        [EVN_COST_TYRES] = {"per_km.tyres", "{year.tyres} / {annual_km}"},
        [EVN_COST_INSURANCE] = {"per_km.insurance", "{year.insurance} / {annual_km}"},
        [EVN_COST_TAX_AND_TOLL] = {"per_km.tax_and_toll", "({year.vehicle_tax} + {year.toll}) / {annual_km}"},
        [EVN_COST_DRIVER] = {"per_km.driver", "{year.driver} / {annual_km}"},
        [EVN_COST_PAYLOAD] = {"per_km.payload", "{year.payload} / {annual_km}"},
    };
    for (size_t k = 0; k < EVN_COST_COUNT; k++)
        evn_figure_by(f, rows[k].key, (evn_figure_told){f->per_km, evn_cost_labels[k], 4}, a->part_per_km[k],
                      rows[k].formula);
    for (size_t k = 0; !isnan(a->per_t_km) && k < EVN_COST_COUNT; k++) {
        char key[EVN_FIGURE_KEY], formula[2 * EVN_FIGURE_KEY];
        snprintf(key, sizeof key, "per_t_km.%s", rows[k].key + strlen("per_km."));
        snprintf(formula, sizeof formula, "{%s} * {day.km} / {day.t_km}", rows[k].key);
        evn_figure_by(f, key, (evn_figure_told){f->per_t_km, evn_cost_labels[k], 5},
                      a->part_per_km[k] * f->p->use.km / f->p->use.t_km, formula);
    }
}
