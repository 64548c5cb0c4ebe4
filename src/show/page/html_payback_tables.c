/* Pages of what the dearer truck earns without scripts: year by year, costs by parts, the field of distances and prices
 * of energy, how sure. */
#include "show/page/html_parts.h"
#include "show/page/html_payback.h"
#include <stdint.h>
#include <stdio.h>

enum { CAPTION = 400, BASES = EVN_PAYBACK_LEAST_BATTERY + 1 };

static const evn_payback *payback_of(const evn_html_page *page) { return page->payback->payback; }

static const char *currency_of(const evn_html_page *page) { return evn_prices_currency(page->payback->prices); }

static void begin_section(FILE *to, const char *id, const char *title)
{
    fprintf(to, "<section id=\"%s\" aria-labelledby=\"%s-title\"><h2 id=\"%s-title\">", id, id, id);
    evn_html_words(to, title);
    fputs("</h2>\n", to);
}

/* ------------------------------------------------------------------------------------------------ year by year */

static void put_small(FILE *to, const char *before, double value)
{
    fprintf(to, "<small>%s", before);
    evn_html_decimals(to, 0, value);
    fputs("</small>", to);
}

static void put_saved(const evn_html_page *page, FILE *to, evn_payback_basis basis, size_t truck, unsigned year)
{
    char key[EVN_PAYBACK_KEY_BYTES];
    double sum, discounted;
    evn_payback_band band;
    snprintf(key, sizeof key, "extra.sum.%u", year);
    fputs("<td>", to);
    if (evn_payback_get(payback_of(page), truck, basis, key, &sum)) {
        evn_html_decimals(to, 0, sum);
        snprintf(key, sizeof key, "extra.discounted.%u", year);
        if (evn_payback_get(payback_of(page), truck, basis, key, &discounted))
            put_small(to, "", discounted);
        if (evn_payback_band_at(payback_of(page), truck, basis, year, &band)) {
            fputs("<small>", to);
            evn_html_decimals(to, 0, band.low);
            fputs(" to ", to);
            evn_html_decimals(to, 0, band.high);
            fputs("</small>", to);
        }
    } else {
        evn_html_figure(to, "-");
    }
    fputs("</td>", to);
}

static bool has_band(const evn_html_page *page, evn_payback_basis basis)
{
    evn_payback_band band;
    bool any = false;
    for (size_t k = 1; k < page->truck_count; k++)
        any = any || evn_payback_band_at(payback_of(page), k, basis, 0, &band);
    return any;
}

static void put_years(const evn_html_page *page, FILE *to, evn_payback_basis basis)
{
    char what[CAPTION];
    snprintf(what, sizeof what, "saved against %.80s, %.12s; below it discounted%s", page->truck[0].title,
             currency_of(page), has_band(page, basis) ? ", and between what 5 and 95 % of the draws of that lie" : "");
    for (evn_html_columns columns = {0, 1}; evn_html_columns_next(page, &columns);) {
        evn_html_payback_table(to, "side years", basis, what);
        evn_html_head(page, to, &columns, NULL);
        fputs("<tbody>", to);
        for (unsigned year = 0; year <= evn_payback_years(payback_of(page)); year++) {
            fputs("<tr><th scope=\"row\">", to);
            if (year == 0)
                fputs("at the beginning", to);
            else
                fprintf(to, "end of year&#160;%u", year);
            fputs("</th>", to);
            for (size_t k = columns.from; k < columns.to; k++)
                put_saved(page, to, basis, k, year);
            fputs("</tr>\n", to);
        }
        fputs("</tbody>", to);
        evn_html_table_end(to);
    }
}

static void put_flow(const evn_html_page *page, FILE *to)
{
    char title[CAPTION];
    snprintf(title, sizeof title, "Year by year against %.80s", page->truck[0].title);
    begin_section(to, "flow", title);
    evn_html_place(to, "flow");
    for (int basis = -1; evn_html_payback_next_basis(page, &basis);)
        put_years(page, to, (evn_payback_basis)basis);
    fputs("</section>\n", to);
}

/* ------------------------------------------------------------------------------------------------ costs */

static void put_parts(const evn_html_page *page, FILE *to)
{
    begin_section(to, "parts", evn_payback_group_title(EVN_PAYBACK_PARTS));
    evn_html_place(to, "parts");
    for (int basis = -1; evn_html_payback_next_basis(page, &basis);)
        evn_html_payback_group(page, to, (evn_payback_basis)basis, EVN_PAYBACK_PARTS);
    for (int basis = -1; evn_html_payback_next_basis(page, &basis);)
        if (evn_payback_group_there(page->payback, (evn_payback_basis)basis, EVN_PAYBACK_PARTS_PER_T_KM))
            evn_html_payback_group(page, to, (evn_payback_basis)basis, EVN_PAYBACK_PARTS_PER_T_KM);
    fputs("</section>\n", to);
}

static bool any_demand(const evn_html_page *page, evn_payback_basis basis)
{
    evn_day_demand d;
    bool any = false;
    for (size_t k = 0; k < page->truck_count; k++)
        any = any || evn_payback_demand_at(payback_of(page), k, basis, 0, &d);
    return any;
}

static void put_costs(const evn_html_page *page, FILE *to)
{
    begin_section(to, "costs", "What each is, and what the duty demands");
    for (int basis = -1; evn_html_payback_next_basis(page, &basis);) {
        evn_html_payback_group(page, to, (evn_payback_basis)basis, EVN_PAYBACK_COSTS);
        if (any_demand(page, (evn_payback_basis)basis))
            evn_html_payback_group(page, to, (evn_payback_basis)basis, EVN_PAYBACK_DEMANDS);
    }
    fputs("</section>\n", to);
}

/* ------------------------------------------------------------------------------------------------ the field */

static void put_field_head(const evn_html_page *page, FILE *to, evn_payback_basis basis, const char *behind)
{
    evn_payback_cell c;
    fputs("<thead><tr><th scope=\"col\">km a year</th>", to);
    for (size_t k = 0; evn_payback_cell_at(payback_of(page), basis, 0, k, &c); k++) {
        fputs("<th scope=\"col\">", to);
        evn_html_decimals(to, 3, c.energy_price);
        fputs("</th>", to);
    }
    fputs(behind ? "<th scope=\"col\">" : "", to);
    fputs(behind ? behind : "", to);
    fputs(behind ? "</th></tr></thead>\n<tbody>" : "</tr></thead>\n<tbody>", to);
}

static void put_distance(FILE *to, double km)
{
    fputs("<tr><th scope=\"row\">", to);
    evn_html_decimals(to, 0, km);
    fputs("</th>", to);
}

/* One truck cannot: so many do. */
static void put_several(FILE *to, const evn_payback_cell *c)
{
    if (!(c->trucks > 1))
        return;
    fputs("<small>&#215;", to);
    evn_html_decimals(to, 0, c->trucks);
    fputs("<span class=\"unseen\"> trucks, one cannot</span></small>", to);
}

/* A sign in each cell; its name for who hears the page. */
static void put_least_cell(const evn_html_page *page, FILE *to, const evn_payback_cell *c)
{
    fputs("<td>", to);
    if (c->best == SIZE_MAX) {
        evn_html_figure(to, "-");
    } else if (c->alike) {
        fputs("=<span class=\"unseen\">alike</span>", to);
        put_several(to, c);
    } else {
        evn_html_mark(to, c->best);
        fputs("<span class=\"unseen\">", to);
        evn_html_text(to, page->truck[c->best].title);
        fputs("</span>", to);
        put_several(to, c);
    }
    fputs("</td>", to);
}

static void put_least(const evn_html_page *page, FILE *to, evn_payback_basis basis)
{
    char what[CAPTION];
    evn_payback_cell c;
    snprintf(what, sizeof what,
             "which costs least, by its sign (=: several alike; \u00d72: one truck cannot do so many km, it takes "
             "two), at each "
             "price of energy at the depot, %.12s/kWh",
             currency_of(page));
    evn_html_payback_table(to, "field least", basis, what);
    put_field_head(page, to, basis, NULL);
    for (size_t d = 0; evn_payback_cell_at(payback_of(page), basis, d, 0, &c); d++) {
        put_distance(to, c.annual_km);
        for (size_t k = 0; evn_payback_cell_at(payback_of(page), basis, d, k, &c); k++)
            put_least_cell(page, to, &c);
        fputs("</tr>\n", to);
    }
    fputs("</tbody>", to);
    evn_html_table_end(to);
}

static void put_values(const evn_html_page *page, FILE *to, evn_payback_basis basis, size_t truck)
{
    char what[CAPTION];
    evn_payback_cell c;
    double value;
    snprintf(
        what, sizeof what,
        "net present value of %.80s against %.80s, %.12s, at each price of energy at the depot, %.12s/kWh, and the "
        "price at which it turns",
        page->truck[truck].title, page->truck[0].title, currency_of(page), currency_of(page));
    evn_html_payback_table(to, "field", basis, what);
    put_field_head(page, to, basis, "turns at");
    for (size_t d = 0; evn_payback_cell_at(payback_of(page), basis, d, 0, &c); d++) {
        put_distance(to, c.annual_km);
        for (size_t k = 0; evn_payback_cell_value(payback_of(page), basis, d, k, truck, &value); k++) {
            fputs("<td>", to);
            evn_html_decimals(to, 0, value);
            fputs("</td>", to);
        }
        fputs("<td>", to);
        if (evn_payback_line_at(payback_of(page), basis, d, truck, &value) && value >= 0)
            evn_html_decimals(to, 3, value);
        else
            fputs("none", to);
        fputs("</td></tr>\n", to);
    }
    fputs("</tbody>", to);
    evn_html_table_end(to);
}

/* Charts have their own. */
static void put_signs(const evn_html_page *page, FILE *to)
{
    fputs("<p class=\"keys plain\">", to);
    for (size_t k = 0; k < page->truck_count; k++)
        evn_html_truck_name(page, to, k);
    fputs("</p>\n", to);
}

static void put_field(const evn_html_page *page, FILE *to)
{
    evn_payback_cell c;
    double price;
    bool any = false;
    for (int basis = 0; basis < BASES; basis++)
        any = any || evn_payback_cell_at(payback_of(page), (evn_payback_basis)basis, 0, 0, &c);
    if (!any)
        return;
    begin_section(to, "field", "Where the answer turns: distance and price of energy");
    fputs("<p>All prices of energy are in proportion to that of the depot; the distance is that of a year.</p>\n", to);
    put_signs(page, to);
    evn_html_unfit(to, page->payback->lineup, page->payback->standing);
    evn_html_place(to, "field");
    for (int basis = 0; basis < BASES; basis++) {
        evn_payback_basis on = (evn_payback_basis)basis;
        if (!evn_payback_cell_at(payback_of(page), on, 0, 0, &c))
            continue;
        put_least(page, to, on);
        for (size_t k = 1; k < page->truck_count; k++)
            if (evn_payback_line_at(payback_of(page), on, 0, k, &price))
                put_values(page, to, on, k);
    }
    fputs("</section>\n", to);
}

/* ------------------------------------------------------------------------------------------------ how sure */

static bool is_drawn(const evn_html_page *page, evn_payback_basis basis)
{
    evn_payback_sure s;
    bool any = false;
    for (size_t k = 1; k < page->truck_count; k++)
        any = any || evn_payback_sure_of(payback_of(page), k, basis, &s);
    return any;
}

/* A row of how sure it is; a share is told in per cent. */
typedef enum sure_row { SURE_LOW, SURE_MEDIAN, SURE_HIGH, SURE_PAYS, SURE_ROWS } sure_row;

static void put_sure_row(const evn_html_page *page, FILE *to, const evn_html_columns *columns, evn_payback_basis basis,
                         sure_row row)
{
    static const char *const labels[] = {"5 % of draws below", "half of them below", "95 % of them below",
                                         "above zero (discounted), % of draws"};
    evn_payback_sure s;
    fputs("<tr><th scope=\"row\">", to);
    evn_html_words(to, labels[row]);
    fputs("</th>", to);
    for (size_t k = columns->from; k < columns->to; k++) {
        fputs("<td>", to);
        if (evn_payback_sure_of(payback_of(page), k, basis, &s))
            evn_html_decimals(to, 0, (const double[]){s.low, s.median, s.high, 100 * s.pays}[row]);
        else
            evn_html_figure(to, "-");
        fputs("</td>", to);
    }
    fputs("</tr>\n", to);
}

static void put_within(const evn_html_page *page, FILE *to, const evn_html_columns *columns, evn_payback_basis basis,
                       unsigned years)
{
    double share;
    fprintf(to, "<tr><th scope=\"row\">paid back within %u&#160;year%s, not discounted, %% of draws</th>", years,
            years == 1 ? "" : "s");
    for (size_t k = columns->from; k < columns->to; k++) {
        fputs("<td>", to);
        if (evn_payback_within(payback_of(page), k, basis, years, &share))
            evn_html_decimals(to, 0, 100 * share);
        else
            evn_html_figure(to, "-");
        fputs("</td>", to);
    }
    fputs("</tr>\n", to);
}

/* One for both bases. */
static void put_energy(const evn_html_page *page, FILE *to, const evn_html_columns *columns)
{
    evn_payback_energy e;
    evn_payback_physics physics;
    if (!evn_payback_physics_of(payback_of(page), &physics))
        return;
    fputs("<tr><th scope=\"row\">energy of the day against it, 90&#160;% interval, %</th>", to);
    for (size_t k = columns->from; k < columns->to; k++) {
        fputs("<td>", to);
        if (evn_payback_energy_of(payback_of(page), k, &e))
            evn_html_interval(to, e.low_percent, e.high_percent);
        else
            evn_html_figure(to, "-");
        fputs("</td>", to);
    }
    fputs("</tr>\n", to);
}

static void put_percentiles(const evn_html_page *page, FILE *to, evn_payback_basis basis)
{
    char what[CAPTION];
    snprintf(what, sizeof what, "net present value against %.80s, %.12s", page->truck[0].title, currency_of(page));
    for (evn_html_columns columns = {0, 1}; evn_html_columns_next(page, &columns);) {
        evn_html_payback_table(to, "side sureness", basis, what);
        evn_html_head(page, to, &columns, NULL);
        fputs("<tbody>", to);
        for (sure_row row = SURE_LOW; row < SURE_ROWS; row++)
            put_sure_row(page, to, &columns, basis, row);
        for (unsigned year = 1; year <= evn_payback_years(payback_of(page)); year++)
            put_within(page, to, &columns, basis, year);
        put_energy(page, to, &columns);
        fputs("</tbody>", to);
        evn_html_table_end(to);
    }
}

static void put_shares(const evn_html_page *page, FILE *to, evn_payback_basis basis, size_t truck)
{
    char what[CAPTION];
    evn_payback_cause c;
    if (!evn_payback_cause_at(payback_of(page), truck, basis, 0, &c))
        return;
    snprintf(what, sizeof what, "what brings the variance of the net present value of %.80s against %.80s",
             page->truck[truck].title, page->truck[0].title);
    evn_html_payback_table(to, "shares", basis, what);
    fputs("<thead><tr><th scope=\"col\">datum</th><th scope=\"col\">share, %</th><th scope=\"col\">one standard "
          "uncertainty moves it by, ",
          to);
    evn_html_text(to, currency_of(page));
    fputs("</th></tr></thead>\n<tbody>", to);
    for (size_t k = 0; evn_payback_cause_at(payback_of(page), truck, basis, k, &c); k++) {
        fputs("<tr><th scope=\"row\">", to);
        evn_html_text(to, c.label);
        fputs("</th><td>", to);
        evn_html_decimals(to, 1, 100 * c.share);
        fputs("</td><td>", to);
        evn_html_decimals(to, 0, c.value);
        fputs("</td></tr>\n", to);
    }
    fputs("</tbody>", to);
    evn_html_table_end(to);
}

static void put_drawn(const evn_html_page *page, FILE *to)
{
    char sentence[EVN_PAYBACK_SENTENCE_BYTES];
    for (int basis = 0; basis < BASES; basis++) {
        if (!evn_payback_drawn(page->payback, (evn_payback_basis)basis, sentence))
            continue;
        fputs("<p>", to);
        evn_html_words(to, sentence);
        fputs("</p>\n", to);
        return; /* the same of both */
    }
}

static void put_sure(const evn_html_page *page, FILE *to)
{
    bool any = false;
    for (int basis = 0; basis < BASES; basis++)
        any = any || is_drawn(page, (evn_payback_basis)basis);
    if (!any)
        return;
    begin_section(to, "sure", "How sure");
    put_drawn(page, to);
    evn_html_place(to, "shares");
    for (int basis = 0; basis < BASES; basis++) {
        evn_payback_basis on = (evn_payback_basis)basis;
        if (!is_drawn(page, on))
            continue;
        put_percentiles(page, to, on);
        for (size_t k = 1; k < page->truck_count; k++)
            put_shares(page, to, on, k);
    }
    fputs("</section>\n", to);
}

static void put_not_counted(FILE *to)
{
    const char *what;
    begin_section(to, "left-out", "What is not counted");
    fputs("<ul>", to);
    for (size_t k = 0; (what = evn_payback_not_counted(k)); k++) {
        fputs("<li>", to);
        evn_html_words(to, what);
        fputs("</li>\n", to);
    }
    fputs("</ul></section>\n", to);
}

void evn_html_payback_sections(const evn_html_page *page, FILE *to)
{
    put_flow(page, to);
    put_parts(page, to);
    put_field(page, to);
    put_sure(page, to);
    put_costs(page, to);
    put_not_counted(to);
}
