/*
 * Every figure of a truck with what it follows from: formulas that another program can work out again, down to what was
 * driven and to the prices as they are written. A file for each group of figures; figures.c puts them in their order.
 */
#ifndef EVENER_MONEY_FIGURES_H
#define EVENER_MONEY_FIGURES_H
#include "money/payback.h"

enum { EVN_FIGURE_KEY = 96, EVN_FIGURE_TEXT = 3000 };

/* What a list is filled from. */
typedef struct evn_figures_filling {
    evn_money_figures *to;
    const evn_prices_file *prices;
    const evn_payback *payback;
    const evn_paying *p;
    const char *money, *per_km, *per_t_km, *per_kwh, *per_kw_year; /* units */
} evn_figures_filling;

typedef struct evn_figure_told { /* how a figure is told */
    const char *unit, *label;
    int digits;
} evn_figure_told;

/* One more in the list: that follows from others by a formula, or from elsewhere. */
void evn_figure_by(const evn_figures_filling *, const char *key, evn_figure_told, double value, const char *formula);
void evn_figure_given(const evn_figures_filling *, const char *key, evn_figure_told, double value, const char *from);

/* A text that grows. */
typedef struct evn_figure_line {
    char at[EVN_FIGURE_TEXT];
    size_t length;
} evn_figure_line;
void evn_figure_add(evn_figure_line *, const char *format, ...) __attribute__((format(printf, 2, 3)));
void evn_figure_add_term(evn_figure_line *, const char *term); /* " + " before all but the first */

/* Whether the truck has parts of a class. */
bool evn_figures_have_class(const evn_figures_filling *, size_t of);

/* The groups. */
void evn_figures_of_asked(const evn_figures_filling *); /* what the lineup gave it, and what the duty demands of it */
void evn_figures_of_day(const evn_figures_filling *);
void evn_figures_of_price(const evn_figures_filling *);
void evn_figures_of_energy(const evn_figures_filling *);
void evn_figures_of_year(const evn_figures_filling *);
void evn_figures_of_battery(const evn_figures_filling *);
void evn_figures_of_residual(const evn_figures_filling *);
void evn_figures_of_flow(const evn_figures_filling *);
void evn_figures_of_parts(const evn_figures_filling *); /* costs per km by what they are for */
void evn_figures_of_against(const evn_figures_filling *, const evn_account *first);
void evn_figures_of_advice(const evn_figures_filling *, evn_payback_basis); /* of the best against the next */

#endif
