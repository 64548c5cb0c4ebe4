/* The report on what the dearer truck earns: which to buy in words, what it costs by parts, and year by year. */
#include "show/ask.h"
#include "show/payback_rows.h"
#include "show/report/table.h"
#include "show/report/wide_table.h"
#include "show/text.h"
#include <math.h>
#include <stdlib.h>
#include <string.h>

enum { CELL = 80, LABEL = 120, TRUCKS = 12 };
static const char indent[] = "  ";

typedef struct payback_report {
    const evn_payback_story *story;
    FILE *to;
    const evn_look *look;
    size_t count;
    const char *currency;
    char *title[TRUCKS];  /* safe */
    size_t shown[TRUCKS]; /* those with costs on the basis that is told: the columns of its tables */
    size_t shows;
} payback_report;

static void put_heading(const payback_report *r, const char *text)
{
    fputc('\n', r->to);
    evn_put_styled(r->to, r->look, EVN_STYLE_STRONG, text);
    fputs("\n\n", r->to);
}

static bool has_costs(const payback_report *r, evn_payback_basis basis)
{
    for (size_t k = 0; k < r->count; k++)
        if (!evn_payback_why_not(r->story, k, basis))
            return true;
    return false;
}

/* Which column is the first whose truck is not before `from`. */
static size_t column_of(const payback_report *r, size_t from)
{
    size_t column = 0;
    while (column < r->shows && r->shown[column] < from)
        column++;
    return column;
}

/* The first has costs, and something behind it that is held against it. */
static bool has_others(const payback_report *r) { return r->shows > 1 && r->shown[0] == 0; }

/* ------------------------------------------------------------------------------------------------ which to buy */

static bool put_advice(const payback_report *r, evn_payback_basis basis)
{
    char sentence[EVN_PAYBACK_SENTENCE_BYTES];
    for (size_t k = 0; evn_payback_sentence(r->story, basis, k, sentence); k++)
        if (!evn_put_sentence(r->to, evn_look_prose(r->look), indent, "%s", sentence))
            return false;
    return true;
}

/* What the lineup gave its trucks to be equal; those of which nothing is other are not told. */
static bool put_given(const payback_report *r)
{
    char sentence[EVN_PAYBACK_SENTENCE_BYTES];
    for (size_t k = 0; k < r->count; k++)
        if (evn_payback_given(r->story, k, sentence) &&
            !evn_put_sentence(r->to, evn_look_prose(r->look), "", "%s", sentence))
            return false;
    return true;
}

static bool put_unmet(const payback_report *r, evn_payback_basis basis)
{
    char sentence[EVN_PAYBACK_SENTENCE_BYTES];
    for (size_t k = 0; k < r->count; k++)
        for (size_t i = 0; evn_payback_unmet(r->story, k, basis, i, sentence); i++)
            if (!evn_put_sentence(r->to, evn_look_prose(r->look), indent, "%s", sentence))
                return false;
    return true;
}

static bool put_unheld(const payback_report *r, evn_payback_basis basis)
{
    char sentence[EVN_PAYBACK_SENTENCE_BYTES];
    return !evn_payback_unheld(r->story, basis, sentence) ||
           evn_put_sentence(r->to, evn_look_prose(r->look), indent, "%s", sentence);
}

static bool put_without(const payback_report *r, evn_payback_basis basis)
{
    const char *why = NULL;
    for (size_t k = 0; k < r->count; k++) {
        const char *own = evn_payback_why_not(r->story, k, basis);
        if (own && own != why && /* what is so of all is said once */
            !evn_put_sentence(r->to, evn_look_prose(r->look), indent, "%s%sno costs, since %s.",
                              has_costs(r, basis) ? r->title[k] : "", has_costs(r, basis) ? ": " : "", own))
            return false;
        why = has_costs(r, basis) ? NULL : own;
    }
    return true;
}

/* ------------------------------------------------------------------------------------------------ tables */

static bool put_row(evn_wide_table *table, const payback_report *r, evn_payback_basis basis, const evn_payback_row *row,
                    size_t from)
{
    char label[EVN_PAYBACK_LABEL_BYTES], cell[TRUCKS][EVN_PAYBACK_CELL_BYTES];
    const char *cells[1 + TRUCKS] = {label};
    size_t first = column_of(r, from);
    bool any = false;
    evn_payback_row_label(r->story, row, label);
    for (size_t k = first; k < r->shows; k++)
        if (evn_payback_row_cell(r->story, r->shown[k], basis, row, evn_look_digits(r->look, row->digits), cell[k])) {
            cells[1 + k - first] = cell[k];
            any = true;
        }
    return !any || evn_wide_row(table, cells);
}

static evn_wide_table *table_of(const payback_report *r, size_t from)
{
    evn_table_column columns[1 + TRUCKS] = {{"", false, true}};
    size_t first = column_of(r, from);
    for (size_t k = first; k < r->shows; k++)
        columns[1 + k - first] = (evn_table_column){r->title[r->shown[k]], true, false};
    return evn_wide_new(columns, 1, r->shows - first, 1);
}

static bool put_table(const payback_report *r, evn_payback_basis basis, const char *heading, evn_payback_group group,
                      size_t from)
{
    const evn_payback_row *row;
    evn_wide_table *table = table_of(r, from);
    bool made = table;
    for (size_t k = 0; made && (row = evn_payback_row_at(group, k)); k++)
        made = put_row(table, r, basis, row, from);
    if (made) {
        put_heading(r, heading);
        made = evn_wide_print(table, r->to, indent, evn_look_width(r->look));
    }
    evn_wide_free(table);
    return made;
}

/* How much more than what the duty demands each truck does: what is bought with it beside what it costs. */
static bool put_demands(const payback_report *r, evn_payback_basis basis)
{
    evn_day_demand d;
    bool any = false;
    for (size_t k = 0; k < r->count; k++)
        any = any || evn_payback_demand_at(r->story->payback, k, basis, 0, &d);
    return !any || put_table(r, basis, evn_payback_group_title(EVN_PAYBACK_DEMANDS), EVN_PAYBACK_DEMANDS, 0);
}

static bool put_costs(const payback_report *r, evn_payback_basis basis)
{
    return put_table(r, basis, evn_payback_group_title(EVN_PAYBACK_COSTS), EVN_PAYBACK_COSTS, 0) &&
           put_table(r, basis, evn_payback_group_title(EVN_PAYBACK_PARTS), EVN_PAYBACK_PARTS, 0) &&
           (!evn_payback_group_there(r->story, basis, EVN_PAYBACK_PARTS_PER_T_KM) ||
            put_table(r, basis, evn_payback_group_title(EVN_PAYBACK_PARTS_PER_T_KM), EVN_PAYBACK_PARTS_PER_T_KM, 0));
}

static bool put_against(const payback_report *r, evn_payback_basis basis)
{
    char heading[LABEL];
    snprintf(heading, sizeof heading, "Against %.90s", r->title[0]);
    return !has_others(r) || put_table(r, basis, heading, EVN_PAYBACK_AGAINST, 1);
}

static bool put_notes(const payback_report *r, evn_payback_basis basis)
{
    char sentence[EVN_PAYBACK_SENTENCE_BYTES];
    for (size_t k = 1; k < r->count; k++)
        for (size_t i = 0; evn_payback_note(r->story, k, basis, i, sentence); i++)
            if (sentence[0] != '\0' && !evn_put_sentence(r->to, evn_look_prose(r->look), indent, "%s", sentence))
                return false;
    return true;
}

static bool put_saying(const payback_report *r, evn_payback_basis basis)
{
    char sentence[EVN_PAYBACK_SENTENCE_BYTES];
    bool any = false;
    for (size_t k = 1; k < r->count; k++) {
        if (!evn_payback_saying_sentence(r->story, k, basis, sentence))
            continue;
        if (!any)
            fputc('\n', r->to);
        any = true;
        if (!evn_put_sentence(r->to, evn_look_prose(r->look), indent, "%s", sentence))
            return false;
    }
    return true;
}

/* Where the answer turns over distance and price of energy: a line in the field of both, of each truck. */
static bool put_turning_line(const payback_report *r, evn_payback_basis basis)
{
    char label[LABEL], heading[LABEL], number[CELL];
    evn_payback_advice a;
    evn_payback_turn t = {.energy_price = (double)NAN};
    if (!has_others(r))
        return true;
    evn_wide_table *table = table_of(r, 1);
    bool made = table;
    for (size_t i = 0; made && evn_payback_advice_at(r->story->payback, basis, i, &a); i++) {
        char cell[TRUCKS][CELL];
        const char *cells[1 + TRUCKS] = {label};
        evn_format_decimals(number, sizeof number, 0, a.annual_km);
        snprintf(label, sizeof label, "%.20s km a year%s", number, a.battery_short ? ", no battery suffices" : "");
        for (size_t first = column_of(r, 1), k = first; k < r->shows; k++) {
            bool turns =
                evn_payback_turn_at(r->story->payback, basis, i, r->shown[k], &t) && t.turns_at_energy_price >= 0;
            snprintf(cell[k], CELL, "none");
            if (turns)
                evn_format_decimals(cell[k], CELL, evn_look_digits(r->look, 3), t.turns_at_energy_price);
            cells[1 + k - first] = cell[k];
        }
        made = evn_wide_row(table, cells);
    }
    if (made && !isnan(t.energy_price)) {
        evn_format_decimals(number, sizeof number, evn_look_digits(r->look, 3), t.energy_price);
        snprintf(heading, sizeof heading, "Energy price at which it turns, %.12s/kWh (now %.20s)", r->currency, number);
        put_heading(r, heading);
        made = evn_wide_print(table, r->to, indent, evn_look_width(r->look));
    }
    evn_wide_free(table);
    return made;
}

static bool put_years(const payback_report *r, evn_payback_basis basis)
{
    char key[LABEL], label[LABEL], heading[LABEL];
    if (!has_others(r))
        return true;
    evn_wide_table *table = table_of(r, 1);
    bool made = table;
    for (unsigned k = 0; made && k <= evn_payback_years(r->story->payback); k++) {
        snprintf(key, sizeof key, "extra.sum.%u", k);
        snprintf(label, sizeof label, "up to the end of year %u", k);
        const evn_payback_row row = {key, k == 0 ? "at the beginning" : label, "", 0, 1, false, NULL};
        made = put_row(table, r, basis, &row, 1);
    }
    if (made) {
        snprintf(heading, sizeof heading, "Saved against %.60s, %.12s", r->title[0], r->currency);
        put_heading(r, heading);
        made = evn_wide_print(table, r->to, indent, evn_look_width(r->look));
    }
    evn_wide_free(table);
    return made;
}

/* ------------------------------------------------------------------------------------------------ how sure */

static bool sure_row(evn_wide_table *table, const payback_report *r, evn_payback_basis basis, const char *label,
                     double (*of)(const payback_report *, size_t, evn_payback_basis, unsigned), unsigned years,
                     int digits)
{
    char cell[TRUCKS][CELL];
    const char *cells[1 + TRUCKS] = {label};
    for (size_t first = column_of(r, 1), k = first; k < r->shows; k++) {
        evn_format_decimals(cell[k], CELL, evn_look_digits(r->look, digits), of(r, r->shown[k], basis, years));
        cells[1 + k - first] = cell[k];
    }
    return evn_wide_row(table, cells);
}

/* Ends of the interval by 0 and 2, its middle by 1. */
static double value_at(const payback_report *r, size_t truck, evn_payback_basis basis, unsigned which)
{
    evn_payback_sure s;
    if (!evn_payback_sure_of(r->story->payback, truck, basis, &s))
        return (double)NAN;
    return which == 0 ? s.low : which == 1 ? s.median : s.high;
}

static double pays_percent(const payback_report *r, size_t truck, evn_payback_basis basis, unsigned unused)
{
    evn_payback_sure s;
    (void)unused;
    return evn_payback_sure_of(r->story->payback, truck, basis, &s) ? 100 * s.pays : (double)NAN;
}

static double within_percent(const payback_report *r, size_t truck, evn_payback_basis basis, unsigned years)
{
    double share;
    return evn_payback_within(r->story->payback, truck, basis, years, &share) ? 100 * share : (double)NAN;
}

/* What of the energy is told is one for both bases. */
static double energy_at(const payback_report *r, size_t truck, evn_payback_basis basis, unsigned which)
{
    evn_payback_energy e;
    (void)basis;
    if (!evn_payback_energy_of(r->story->payback, truck, &e))
        return (double)NAN;
    return which == 0 ? e.low_percent : which == 1 ? e.mean_percent : e.high_percent;
}

static bool put_energies(evn_wide_table *table, const payback_report *r, evn_payback_basis basis)
{
    evn_payback_physics p;
    return !evn_payback_physics_of(r->story->payback, &p) ||
           (sure_row(table, r, basis, "energy against the first, 5 % below, %", energy_at, 0, 1) &&
            sure_row(table, r, basis, "its expectation, %", energy_at, 1, 1) &&
            sure_row(table, r, basis, "95 % of it below, %", energy_at, 2, 1));
}

static bool put_drawn(const payback_report *r, evn_payback_basis basis)
{
    char sentence[EVN_PAYBACK_SENTENCE_BYTES];
    return !evn_payback_drawn(r->story, basis, sentence) ||
           evn_put_sentence(r->to, evn_look_prose(r->look), indent, "%s", sentence);
}

/* Saved up to the end of each year: the band of the draws. */
static bool put_bands(const payback_report *r, evn_payback_basis basis)
{
    static const evn_table_column columns[] = {
        {"", false, true}, {"5 % below", true, false}, {"half below", true, false}, {"95 % below", true, false}};
    evn_payback_band band;
    char label[LABEL], heading[LABEL], cell[3][CELL];
    bool made = true;
    for (size_t t = 1; made && t < r->count; t++) {
        if (!evn_payback_band_at(r->story->payback, t, basis, 0, &band))
            continue;
        evn_wide_table *table = evn_wide_new(columns, 1, 3, 1);
        made = table;
        for (unsigned y = 0; made && evn_payback_band_at(r->story->payback, t, basis, y, &band); y++) {
            const double value[] = {band.low, band.median, band.high};
            const char *cells[] = {label, cell[0], cell[1], cell[2]};
            snprintf(label, sizeof label, y == 0 ? "at the beginning" : "up to the end of year %u", y);
            for (size_t k = 0; k < 3; k++)
                evn_format_decimals(cell[k], CELL, evn_look_digits(r->look, 0), value[k]);
            made = evn_wide_row(table, cells);
        }
        if (made) {
            snprintf(heading, sizeof heading, "Saved, discounted, %.12s: %.80s", r->currency, r->title[t]);
            put_heading(r, heading);
            made = evn_wide_print(table, r->to, indent, evn_look_width(r->look));
        }
        evn_wide_free(table);
    }
    return made;
}

static bool put_causes(const payback_report *r, evn_payback_basis basis)
{
    enum { TOLD = 4 };
    evn_payback_cause c;
    char percent[CELL], value[CELL];
    for (size_t t = 1; t < r->count; t++)
        for (size_t k = 0; k < TOLD && evn_payback_cause_at(r->story->payback, t, basis, k, &c) && c.share >= 0.005;
             k++) {
            evn_format_decimals(percent, sizeof percent, 0, 100 * c.share);
            evn_format_decimals(value, sizeof value, 0, fabs(c.value));
            if (!evn_put_sentence(r->to, evn_look_prose(r->look), indent, "%s: %s %% of the variance by %s (%s %s).",
                                  evn_lineup_truck_title(r->story->lineup, t), percent, c.label, value, r->currency))
                return false;
        }
    return true;
}

static bool put_sure(const payback_report *r, evn_payback_basis basis)
{
    static const unsigned years[] = {1, 2, 3, 5};
    char label[LABEL];
    bool any = false;
    for (size_t k = 1; k < r->count; k++)
        any = any || !isnan(value_at(r, k, basis, 0));
    if (!any)
        return true;
    evn_wide_table *table = table_of(r, 1);
    bool made = table && sure_row(table, r, basis, "5 % of draws below", value_at, 0, 0) &&
                sure_row(table, r, basis, "half of them below", value_at, 1, 0) &&
                sure_row(table, r, basis, "95 % of them below", value_at, 2, 0) &&
                sure_row(table, r, basis, "above zero (discounted), % of draws", pays_percent, 0, 0);
    for (size_t k = 0; made && k < sizeof years / sizeof *years; k++) {
        snprintf(label, sizeof label, "paid back within %u year%s, not discounted, %% of draws", years[k],
                 years[k] == 1 ? "" : "s");
        if (years[k] <= evn_payback_years(r->story->payback))
            made = sure_row(table, r, basis, label, within_percent, years[k], 0);
    }
    made = made && put_energies(table, r, basis);
    if (made) {
        snprintf(label, sizeof label, "How sure: net present value, %.12s", r->currency);
        put_heading(r, label);
        made = put_drawn(r, basis);
        fputc('\n', r->to);
        made = made && evn_wide_print(table, r->to, indent, evn_look_width(r->look));
        fputc('\n', r->to);
    }
    evn_wide_free(table);
    return made && put_causes(r, basis) && put_bands(r, basis);
}

/* ------------------------------------------------------------------------------------------------ the whole */

/* A line for each truck. */
static bool put_unlike(const payback_report *r)
{
    char sentence[EVN_PAYBACK_SENTENCE_BYTES];
    if (!evn_payback_axles(r->story, sentence))
        return true;
    fputs(indent, r->to);
    fputs(EVN_PAYBACK_AXLES, r->to);
    for (size_t k = 0; k < r->count; k++)
        fprintf(r->to, "%s\n%s%s%s: %s", k > 0 ? "," : "", indent, indent, r->title[k],
                evn_truck_axle_configuration(evn_lineup_truck(r->story->lineup, k)));
    fputs(".\n", r->to);
    evn_put_paragraph_within(r->to, evn_look_prose(r->look), 0, indent, EVN_PAYBACK_TRACTION);
    return true;
}

/* Which charging stop was taken, where the smallest battery is looked for beside it. */
static bool put_stops(const payback_report *r)
{
    char sentence[EVN_PAYBACK_SENTENCE_BYTES];
    if (evn_payback_stops_sentence(r->story, sentence) &&
        !evn_put_sentence(r->to, evn_look_prose(r->look), indent, "%s", sentence))
        return false;
    for (size_t k = 0; k < r->count; k++)
        if (evn_payback_tried_sentence(r->story, k, sentence) &&
            !evn_put_sentence(r->to, evn_look_prose(r->look), indent, "%s", sentence))
            return false;
    return true;
}

static bool put_batteries(const payback_report *r, evn_payback_basis basis)
{
    char sentence[EVN_PAYBACK_SENTENCE_BYTES];
    return !evn_payback_batteries(r->story, basis, sentence) ||
           evn_put_sentence(r->to, evn_look_prose(r->look), indent, "%s", sentence);
}

static bool put_basis(payback_report *r, evn_payback_basis basis)
{
    r->shows = 0;
    for (size_t k = 0; k < r->count; k++)
        if (!evn_payback_why_not(r->story, k, basis))
            r->shown[r->shows++] = k;
    put_heading(r, evn_payback_basis_title(basis));
    evn_put_paragraph_within(r->to, evn_look_prose(r->look), 0, indent, evn_payback_basis_words(basis));
    if (!put_batteries(r, basis) || (basis == EVN_PAYBACK_LEAST_BATTERY && !put_stops(r)) || !put_unlike(r) ||
        !put_without(r, basis) || !put_unmet(r, basis))
        return false;
    return !has_costs(r, basis) ||
           (put_unheld(r, basis) && put_advice(r, basis) && put_demands(r, basis) && put_costs(r, basis) &&
            put_against(r, basis) && put_notes(r, basis) && put_saying(r, basis) && put_turning_line(r, basis) &&
            put_years(r, basis) && put_sure(r, basis));
}

static bool put_not_counted(const payback_report *r)
{
    const char *what;
    put_heading(r, "What is not counted");
    for (size_t k = 0; (what = evn_payback_not_counted(k)); k++)
        if (!evn_put_sentence(r->to, evn_look_prose(r->look), indent, "- %s", what))
            return false;
    return true;
}

static bool put_first(const payback_report *r)
{
    char km[CELL];
    evn_format_decimals(km, sizeof km, 0, evn_payback_annual_km(r->story->payback));
    return evn_put_sentence(
        r->to, evn_look_prose(r->look), "", "%s over %s, at %s km a year for %u years, with prices of %s%s.",
        evn_lineup_name(r->story->lineup) ? evn_lineup_name(r->story->lineup) : "Trucks",
        evn_lineup_over(r->story->lineup), km, evn_payback_years(r->story->payback), evn_prices_name(r->story->prices),
        evn_prices_invented(r->story->prices) ? " (invented)" : "");
}

static bool tell(payback_report *r)
{
    for (size_t k = 0; k < r->count; k++)
        if (!(r->title[k] = evn_safe_text(evn_lineup_truck_title(r->story->lineup, k))))
            return false;
    bool made = put_first(r) && put_given(r) &&
                (!evn_payback_partial(r->story->payback) ||
                 evn_put_sentence(r->to, evn_look_prose(r->look), "", "Interrupted: what was whole by then is told%s.",
                                  r->story->draws > 0 ? ", and not how sure it is" : "")) &&
                put_basis(r, EVN_PAYBACK_AS_LINEUP) && put_basis(r, EVN_PAYBACK_LEAST_BATTERY);
    if (!made)
        return false;
    if (!put_not_counted(r))
        return false;
    put_heading(r, "Accuracy and validity");
    evn_put_paragraph_within(r->to, evn_look_prose(r->look), 0, indent, EVN_PAYBACK_CAUTION);
    return true;
}

bool evn_payback_words(const evn_payback_story *story, FILE *to, const evn_look *look)
{
    payback_report r = {.story = story,
                        .to = to,
                        .look = look,
                        .count = evn_payback_truck_count(story->payback),
                        .currency = evn_prices_currency(story->prices)};
    bool made = tell(&r);
    for (size_t k = 0; k < r.count; k++)
        free(r.title[k]);
    return made;
}
