/* All figures of a truck in their order, and finding one of them. */
#include "money/figures.h"
#include <stdio.h>
#include <string.h>

static const char *unit_of(evn_payback *b, const char *currency, const char *per)
{
    char text[40];
    snprintf(text, sizeof text, "%.12s%s", currency, per);
    return evn_arena_text(b->arena, text, strlen(text));
}

static void put_all(const evn_figures_filling *f)
{
    const evn_payback *b = f->payback;
    double rate = f->p->account.rate;
    evn_figure_given(f, "annual_km", (evn_figure_told){"km", "distance a year", 0}, b->annual_km, b->annual_km_from);
    evn_figure_given(f, "years", (evn_figure_told){"a", "years", 0}, b->years, "asked for, or years of the prices");
    evn_figure_given(f, "interest", (evn_figure_told){"", "interest a year", 4}, rate,
                     "interest_percent of the prices over 100");
    evn_figure_by(f, "factor.pf", (evn_figure_told){"", "P/F over the years", 6}, evn_factor_pf(rate, b->years),
                  "(1 + {interest})^(0 - {years})");
    evn_figure_by(f, "factor.ap", (evn_figure_told){"", "A/P over the years", 6}, evn_factor_ap(rate, b->years),
                  rate == 0 ? "1 / {years}" : "{interest} / (1 - {factor.pf})");
    evn_figures_of_asked(f);
    evn_figures_of_day(f);
    evn_figures_of_price(f);
    evn_figures_of_energy(f);
    evn_figures_of_year(f);
    evn_figures_of_battery(f);
    evn_figures_of_residual(f);
    evn_figures_of_flow(f);
    evn_figures_of_parts(f);
}

bool evn_payback_figures(evn_payback *b, size_t truck, evn_payback_basis basis)
{
    evn_paying *p = &b->paying[basis][truck];
    const char *currency = b->prices->currency;
    evn_figures_filling f = {&p->figures,
                             b->prices,
                             b,
                             p,
                             unit_of(b, currency, ""),
                             unit_of(b, currency, "/km"),
                             unit_of(b, currency, "/(t km)"),
                             unit_of(b, currency, "/kWh"),
                             unit_of(b, currency, "/(kW a)")};
    if (!p->there)
        return true;
    p->figures = (evn_money_figures){.arena = b->arena,
                                     .broken = !f.money || !f.per_km || !f.per_t_km || !f.per_kwh || !f.per_kw_year};
    put_all(&f);
    if (p->held_against)
        evn_figures_of_against(&f, &b->paying[basis][0].account);
    if (truck == b->ranked[basis].best)
        evn_figures_of_advice(&f, basis);
    return !p->figures.broken;
}

const evn_money_figure *evn_payback_find_figure(const evn_payback *b, size_t truck, evn_payback_basis basis,
                                                const char *key, size_t length)
{
    const struct {
        const char *begin;
        size_t truck;
    } others[] = {{"first.", 0}, {"next.", b->ranked[basis].next}};
    for (size_t k = 0; k < sizeof others / sizeof *others; k++) {
        size_t skipped = strlen(others[k].begin);
        if (length <= skipped || strncmp(key, others[k].begin, skipped) != 0)
            continue;
        key += skipped;
        length -= skipped;
        truck = others[k].truck;
        break;
    }
    if (truck >= b->count)
        return NULL;
    const evn_money_figures *f = &b->paying[basis][truck].figures;
    for (size_t k = 0; k < f->count; k++)
        if (strlen(f->at[k].key) == length && strncmp(f->at[k].key, key, length) == 0)
            return &f->at[k];
    return NULL;
}
