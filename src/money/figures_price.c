/* Figures of what a truck is bought for. */
#include "money/figures.h"
#include <math.h>
#include <stdio.h>
#include <string.h>

static void put_rate(const evn_figures_filling *f, const char *holder, const char *currency)
{
    char key[EVN_FIGURE_KEY];
    snprintf(key, sizeof key, "prices.%.60s.exchange_rate", holder);
    if (currency)
        evn_figure_given(f, key, (evn_figure_told){"", "rate of exchange", 4}, evn_exchange_rate(f->prices, currency),
                         "exchange_rates of the prices");
}

/* One way of pricing a class, and its term. */
static void put_measure(const evn_figures_filling *f, const char *class, const char *measure, const char *of,
                        double price, evn_figure_line *formula)
{
    char key[EVN_FIGURE_KEY], from[EVN_FIGURE_KEY], term[2 * EVN_FIGURE_KEY];
    if (isnan(price))
        return;
    snprintf(key, sizeof key, "prices.%.40s.%.20s", class, measure);
    snprintf(from, sizeof from, "parts.%.40s.%.20s of the prices", class, measure);
    evn_figure_given(f, key, (evn_figure_told){f->money, "price of parts", 2}, price, from);
    snprintf(term, sizeof term, "{bought.%.40s.%.10s} * {%.90s}", class, of, key);
    evn_figure_add_term(formula, term);
}

static void put_class(const evn_figures_filling *f, evn_part_class of)
{
    const char *class = evn_part_class_names[of];
    const evn_part_price_file *p = f->prices->parts->of[of];
    char key[EVN_FIGURE_KEY];
    double count = 0, kw = 0, kwh = 0, kg = 0;
    evn_figure_line formula = {.length = 0};
    for (size_t k = 0; k < f->p->bought.count; k++) {
        const evn_bought_part *part = &f->p->bought.part[k];
        if (part->of != of)
            continue;
        count += 1;
        kw += part->kw;
        kwh += part->kwh;
        kg += part->kg;
    }
    if (count == 0)
        return;
    const struct {
        const char *of, *unit, *label;
        double value;
        int digits;
    } amounts[] = {{"count", "", "pieces", count, 0},
                   {"kw", "kW", "power", kw, 1},
                   {"kwh", "kWh", "energy", kwh, 1},
                   {"kg", "kg", "mass", kg, 0}};
    for (size_t k = 0; k < sizeof amounts / sizeof *amounts; k++) {
        snprintf(key, sizeof key, "bought.%s.%s", class, amounts[k].of);
        if (amounts[k].value > 0)
            evn_figure_given(f, key, (evn_figure_told){amounts[k].unit, amounts[k].label, amounts[k].digits},
                             amounts[k].value, "the truck's file, all its parts of this class");
    }
    put_measure(f, class, "each", "count", p->each, &formula);
    put_measure(f, class, "per_kw", "kw", p->per_kw > 0 ? p->per_kw : (double)NAN, &formula);
    put_measure(f, class, "per_kwh", "kwh", p->per_kwh > 0 ? p->per_kwh : (double)NAN, &formula);
    put_measure(f, class, "per_kg", "kg", p->per_kg > 0 ? p->per_kg : (double)NAN, &formula);
    put_rate(f, class, p->currency);
    evn_figure_line whole = {.length = 0};
    evn_figure_add(&whole, p->currency ? "(%s) * {prices.%s.exchange_rate}" : "%s",
                   formula.length > 0 ? formula.at : "0", class);
    snprintf(key, sizeof key, "price.%s", class);
    evn_figure_by(f, key, (evn_figure_told){f->money, evn_part_class_names[of], 0}, f->p->account.class_price[of],
                  whole.at);
}

bool evn_figures_have_class(const evn_figures_filling *f, size_t of)
{
    for (size_t k = 0; k < f->p->bought.count; k++)
        if (f->p->bought.part[k].of == of)
            return true;
    return false;
}

static void put_subsidy(const evn_figures_filling *f)
{
    const evn_subsidy_file *s = f->prices->subsidy;
    const evn_account *a = &f->p->account;
    bool capped = a->subsidy < s->amount + s->percent / 100 * a->price;
    evn_figure_given(f, "prices.subsidy.amount", (evn_figure_told){f->money, "subsidy of a truck", 0}, s->amount,
                     "subsidy.amount of the prices");
    evn_figure_given(f, "prices.subsidy.percent", (evn_figure_told){"%", "subsidy of its price", 1}, s->percent,
                     "subsidy.percent of the prices");
    if (!isnan(s->most))
        evn_figure_given(f, "prices.subsidy.most", (evn_figure_told){f->money, "subsidy at most", 0}, s->most,
                         "subsidy.most of the prices");
    evn_figure_by(f, "price.subsidy", (evn_figure_told){f->money, "subsidy", 0}, a->subsidy,
                  capped ? "{prices.subsidy.most}"
                         : "{prices.subsidy.amount} + {prices.subsidy.percent} / 100 * {price.total}");
}

void evn_figures_of_price(const evn_figures_filling *f)
{
    const evn_account *a = &f->p->account;
    evn_figure_line drive = {.length = 0};
    char term[EVN_FIGURE_KEY];
    evn_figure_given(f, "price.base", (evn_figure_told){f->money, "base", 0}, a->base_price,
                     "base_price or base_prices of the prices");
    for (size_t k = 0; k < EVN_CLASS_COUNT; k++) {
        put_class(f, (evn_part_class)k);
        snprintf(term, sizeof term, "{price.%s}", evn_part_class_names[k]);
        if (evn_figures_have_class(f, k) && k != EVN_CLASS_battery && k != EVN_CLASS_axle)
            evn_figure_add_term(&drive, term);
    }
    evn_figure_by(f, "price.drive", (evn_figure_told){f->money, "drive", 0}, a->drive_price,
                  drive.length > 0 ? drive.at : "0");
    evn_figure_by(f, "price.total", (evn_figure_told){f->money, "price", 0}, a->price,
                  "{price.base} + {price.axle} + {price.drive} + {price.battery}");
    evn_figure_given(f, "prices.purchase_tax_percent", (evn_figure_told){"%", "tax on buying", 1},
                     f->prices->purchase_tax_percent, "purchase_tax_percent of the prices");
    evn_figure_by(f, "price.tax", (evn_figure_told){f->money, "tax on buying", 0}, a->tax,
                  "{prices.purchase_tax_percent} / 100 * {price.total}");
    put_subsidy(f);
    evn_figure_by(f, "price.invested", (evn_figure_told){f->money, "investment", 0}, a->invested,
                  "{price.total} + {price.tax} - {price.subsidy}");
}
