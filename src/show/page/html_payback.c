/* Pages of what the dearer truck earns without scripts: which to buy, what is not alike, and all figures as tables. */
#include "show/page/html_payback.h"
#include "show/page/html_parts.h"
#include "show/payback_rows.h"
#include "show/text.h"
#include <ctype.h>
#include <math.h>
#include <stdint.h>
#include <stdio.h>
#include <string.h>

enum { CAPTION = 400, BASES = EVN_PAYBACK_LEAST_BATTERY + 1 };

static const evn_payback *payback_of(const evn_html_page *page) { return page->payback->payback; }

static const char *currency_of(const evn_html_page *page) { return evn_prices_currency(page->payback->prices); }

static bool has_costs(const evn_html_page *page, evn_payback_basis basis)
{
    for (size_t k = 0; k < page->truck_count; k++)
        if (!evn_payback_why_not(page->payback, k, basis))
            return true;
    return false;
}

bool evn_html_payback_next_basis(const evn_html_page *page, int *basis)
{
    do
        ++*basis;
    while (*basis < BASES && !has_costs(page, (evn_payback_basis)*basis));
    return *basis < BASES;
}

void evn_html_payback_table(FILE *to, const char *class_name, evn_payback_basis basis, const char *what)
{
    char caption[CAPTION + 80];
    snprintf(caption, sizeof caption, "%s: %c%s", evn_payback_basis_title(basis), tolower((unsigned char)what[0]),
             what[0] != '\0' ? what + 1 : "");
    evn_html_table_begin(to, class_name, caption);
}

/* ------------------------------------------------------------------------------------------------ rows */

/* What is of several is a list, and may break between them. */
static void put_list(FILE *to, const char *text)
{
    fputs("<span class=\"words\">", to);
    for (size_t bytes; *text != '\0'; text += bytes) {
        char one[EVN_PAYBACK_CELL_BYTES];
        bytes = strcspn(text, ",");
        snprintf(one, sizeof one, "%.*s", (int)bytes, text);
        evn_html_figure(to, one);
        if (strncmp(text + bytes, ", ", 2) == 0) {
            fputs(", ", to);
            bytes += 2;
        }
    }
    fputs("</span>", to);
}

static void put_cell(const evn_html_page *page, FILE *to, size_t truck, evn_payback_basis basis,
                     const evn_payback_row *row)
{
    char cell[EVN_PAYBACK_CELL_BYTES];
    fputs("<td>", to);
    if (!evn_payback_row_cell(page->payback, truck, basis, row, row->digits, cell))
        evn_html_figure(to, "-");
    else if (row->each)
        put_list(to, cell);
    else
        evn_html_figure(to, cell);
    fputs("</td>", to);
}

static bool any_has(const evn_html_page *page, evn_payback_basis basis, const evn_payback_row *row)
{
    char cell[EVN_PAYBACK_CELL_BYTES];
    bool any = false;
    for (size_t k = 0; k < page->truck_count; k++)
        any = any || evn_payback_row_cell(page->payback, k, basis, row, row->digits, cell);
    return any;
}

static void put_row(const evn_html_page *page, FILE *to, const evn_html_columns *columns, evn_payback_basis basis,
                    const evn_payback_row *row)
{
    char label[EVN_PAYBACK_LABEL_BYTES];
    if (!any_has(page, basis, row))
        return;
    evn_payback_row_label(page->payback, row, label);
    fprintf(to, "<tr data-key=\"%s\"><th scope=\"row\">", row->key);
    evn_html_words(to, label);
    fputs("</th>", to);
    for (size_t k = columns->from; k < columns->to; k++)
        put_cell(page, to, k, basis, row);
    fputs("</tr>\n", to);
}

/* Rows of a group whose keys begin so; of the others none. */
static void put_rows(const evn_html_page *page, FILE *to, const evn_html_columns *columns, evn_payback_basis basis,
                     evn_payback_group group, const char *begin)
{
    const evn_payback_row *row;
    for (size_t k = 0; (row = evn_payback_row_at(group, k)); k++)
        if (strncmp(row->key, begin, strlen(begin)) == 0)
            put_row(page, to, columns, basis, row);
}

void evn_html_payback_group(const evn_html_page *page, FILE *to, evn_payback_basis basis, evn_payback_group group)
{
    for (evn_html_columns columns = {0}; evn_html_columns_next(page, &columns);) {
        evn_html_payback_table(to, "side", basis, evn_payback_group_title(group));
        evn_html_head(page, to, &columns, NULL);
        fputs("<tbody>", to);
        put_rows(page, to, &columns, basis, group, "");
        fputs("</tbody>", to);
        evn_html_table_end(to);
    }
}

/* ------------------------------------------------------------------------------------------------ which to buy */

void evn_html_payback_about(const evn_html_page *page, FILE *to)
{
    const evn_payback_story *s = page->payback;
    fputs("Which to buy, and what the dearer truck earns: over ", to);
    evn_html_text(to, evn_lineup_over(s->lineup));
    fputs(", ", to);
    evn_html_decimals(to, 0, evn_payback_annual_km(s->payback));
    fprintf(to, "&#160;km a year for %u years, with prices of ", evn_payback_years(s->payback));
    evn_html_text(to, evn_prices_name(s->prices));
    const char *source = evn_lineup_over_source(s->lineup);
    if (source && strcmp(source, "invented") == 0)
        fputs(evn_lineup_duty(s->lineup) ? "; invented duty" : "; invented scenario", to);
}

static void put_amount(const evn_html_page *page, FILE *to, int digits, double value, const char *per)
{
    evn_html_decimals(to, digits, value);
    fputs("&#160;", to);
    evn_html_text(to, currency_of(page));
    fputs(per, to);
}

/* At which extra price against the next that turns to it. */
static void put_turn(const evn_html_page *page, FILE *to, const evn_payback_advice *a)
{
    if (isnan(a->turns_at_extra_price))
        return;
    fputs("<small class=\"words\">turns to ", to);
    evn_html_text(to, page->truck[a->next].title);
    fputs(" at ", to);
    put_amount(page, to, 0, a->turns_at_extra_price, " (now&#160;");
    evn_html_decimals(to, 0, a->extra_price);
    fputs(")</small>", to);
}

/* One truck cannot: how many it takes, and for how long one would be under way. */
static void put_beyond(FILE *to, const evn_payback_advice *a)
{
    fputs("takes ", to);
    evn_html_decimals(to, 0, a->trucks);
    fputs(" trucks<small class=\"words\">one cannot: ", to);
    evn_html_decimals(to, 2, a->hours_a_day);
    fputs("&#160;h a day</small>", to);
}

/* All that cost as much as the best are not told apart from it. */
static void put_alike(const evn_html_page *page, FILE *to, const evn_payback_advice *a)
{
    evn_html_truck_name(page, to, a->best);
    evn_html_truck_name(page, to, a->next);
    fprintf(to, "<small class=\"words\">%s</small><small>", a->alike > 1 ? "and more: alike" : "alike");
    put_amount(page, to, 4, a->per_km, "/km</small>");
}

static void put_advice(const evn_html_page *page, FILE *to, evn_payback_basis basis, size_t index)
{
    evn_payback_advice a;
    fputs("<td class=\"words\">", to);
    if (!evn_payback_advice_at(payback_of(page), basis, index, &a)) {
        fputs("none", to);
    } else if (a.trucks > 1) {
        put_beyond(to, &a);
    } else if (a.battery_short) {
        fputs("none<small>no battery that was found suffices</small>", to);
    } else if (a.alike > 0) {
        put_alike(page, to, &a);
    } else {
        evn_html_truck_name(page, to, a.best);
        evn_html_fails(to, page->payback->standing, a.best, evn_payback_standing_with(basis));
        fputs("<small>", to);
        put_amount(page, to, 4, a.per_km, "/km</small>");
        put_turn(page, to, &a);
    }
    fputs("</td>", to);
}

/* The first basis that has any advice; BASES: none. */
static int advised_basis(const evn_html_page *page)
{
    evn_payback_advice a;
    int basis = 0;
    while (basis < BASES && !evn_payback_advice_at(payback_of(page), (evn_payback_basis)basis, 0, &a))
        basis++;
    return basis;
}

static void put_which(const evn_html_page *page, FILE *to)
{
    evn_payback_advice a;
    int advised = advised_basis(page);
    if (advised == BASES)
        return;
    evn_html_table_begin(to, "side which",
                         "Which to buy, by distance a year: the truck of least cost per km; below it the next, and at "
                         "which extra price against that the answer turns to it");
    fputs("<thead><tr><th scope=\"col\">km a year</th>", to);
    for (int basis = -1; evn_html_payback_next_basis(page, &basis);) {
        fputs("<th scope=\"col\" class=\"words\">", to);
        evn_html_words(to, evn_payback_basis_title((evn_payback_basis)basis));
        fputs("</th>", to);
    }
    fputs("</tr></thead>\n<tbody>", to);
    for (size_t k = 0; evn_payback_advice_at(payback_of(page), (evn_payback_basis)advised, k, &a); k++) {
        fputs("<tr><th scope=\"row\">", to);
        evn_html_decimals(to, 0, a.annual_km);
        fputs("</th>", to);
        for (int basis = -1; evn_html_payback_next_basis(page, &basis);)
            put_advice(page, to, (evn_payback_basis)basis, k);
        fputs("</tr>\n", to);
    }
    fputs("</tbody>", to);
    evn_html_table_end(to);
}

/* ------------------------------------------------------------------------------------------------ a basis */

static void put_paragraph(FILE *to, const char *class_name, const char *sentence)
{
    fprintf(to, "<p class=\"%s\">", class_name);
    evn_html_words(to, sentence);
    fputs("</p>\n", to);
}

static void put_without(const evn_html_page *page, FILE *to, evn_payback_basis basis)
{
    const char *told = NULL;
    for (size_t k = 0; k < page->truck_count; k++) {
        const char *why = evn_payback_why_not(page->payback, k, basis);
        if (!why || why == told)
            continue;
        fputs("<p class=\"caution\">", to);
        if (has_costs(page, basis)) {
            evn_html_text(to, page->truck[k].title);
            fputs(": no", to);
        } else {
            fputs("No", to); /* what is so of all is said once */
            told = why;
        }
        fprintf(to, " costs, since %s.</p>\n", why);
    }
}

static void put_unheld(const evn_html_page *page, FILE *to, evn_payback_basis basis)
{
    char sentence[EVN_PAYBACK_SENTENCE_BYTES];
    if (evn_payback_unheld(page->payback, basis, sentence))
        put_paragraph(to, "caution unheld", sentence);
}

static void put_unmet(const evn_html_page *page, FILE *to, evn_payback_basis basis)
{
    char sentence[EVN_PAYBACK_SENTENCE_BYTES];
    for (size_t k = 0; k < page->truck_count; k++)
        for (size_t i = 0; evn_payback_unmet(page->payback, k, basis, i, sentence); i++)
            put_paragraph(to, "caution unmet", sentence);
}

static void put_verdict(const evn_html_page *page, FILE *to, evn_payback_basis basis)
{
    char sentence[EVN_PAYBACK_SENTENCE_BYTES];
    if (!evn_payback_sentence(page->payback, basis, 0, sentence))
        return;
    fputs("<div class=\"verdict\">", to);
    for (size_t k = 0; evn_payback_sentence(page->payback, basis, k, sentence); k++) {
        fputs("<p>", to);
        evn_html_words(to, sentence);
        fputs("</p>\n", to);
    }
    fputs("</div>\n", to);
}

static void put_figures(const evn_html_page *page, FILE *to, evn_payback_basis basis)
{
    char what[CAPTION];
    snprintf(what, sizeof what, "costs, and what each is worth against %.80s", page->truck[0].title);
    for (evn_html_columns columns = {0}; evn_html_columns_next(page, &columns);) {
        evn_html_payback_table(to, "side worth", basis, what);
        evn_html_head(page, to, &columns, NULL);
        fputs("<tbody>", to);
        put_rows(page, to, &columns, basis, EVN_PAYBACK_COSTS, "cost.");
        put_rows(page, to, &columns, basis, EVN_PAYBACK_AGAINST, "");
        fputs("</tbody>", to);
        evn_html_table_end(to);
    }
}

/* Beside the smallest battery, as a longer stop would do with a smaller one; and which was taken of those tried. */
static void put_stops(const evn_html_page *page, FILE *to, evn_payback_basis basis)
{
    char sentence[EVN_PAYBACK_SENTENCE_BYTES];
    if (basis == EVN_PAYBACK_LEAST_BATTERY && evn_payback_stops_sentence(page->payback, sentence))
        put_paragraph(to, "stops", sentence);
    for (size_t k = 0; basis == EVN_PAYBACK_LEAST_BATTERY && k < page->truck_count; k++)
        if (evn_payback_tried_sentence(page->payback, k, sentence))
            put_paragraph(to, "stops", sentence);
}

static void put_saying(const evn_html_page *page, FILE *to, evn_payback_basis basis)
{
    char sentence[EVN_PAYBACK_SENTENCE_BYTES];
    for (size_t k = 1; k < page->truck_count; k++)
        if (evn_payback_saying_sentence(page->payback, k, basis, sentence))
            put_paragraph(to, "saying", sentence);
}

static void put_notes(const evn_html_page *page, FILE *to, evn_payback_basis basis)
{
    char sentence[EVN_PAYBACK_SENTENCE_BYTES];
    for (size_t k = 1; k < page->truck_count; k++)
        for (size_t i = 0; evn_payback_note(page->payback, k, basis, i, sentence); i++)
            if (sentence[0] != '\0')
                put_paragraph(to, "note", sentence);
}

static void put_batteries(const evn_html_page *page, FILE *to, evn_payback_basis basis)
{
    char sentence[EVN_PAYBACK_SENTENCE_BYTES];
    if (evn_payback_batteries(page->payback, basis, sentence))
        put_paragraph(to, "alike", sentence);
}

static void put_basis(const evn_html_page *page, FILE *to, evn_payback_basis basis)
{
    fprintf(to, "<div class=\"part basis\" data-basis=\"%s\"><h2>%s</h2>\n", evn_payback_basis_name(basis),
            evn_payback_basis_title(basis));
    put_verdict(page, to, basis);
    put_without(page, to, basis);
    put_unheld(page, to, basis);
    put_unmet(page, to, basis);
    if (has_costs(page, basis)) {
        put_paragraph(to, "alike", evn_payback_basis_words(basis));
        put_batteries(page, to, basis);
        put_stops(page, to, basis);
        put_figures(page, to, basis);
        put_notes(page, to, basis);
        put_saying(page, to, basis);
    }
    fputs("</div>\n", to);
}

/* What is so on both bases. */
static void put_given(const evn_html_page *page, FILE *to)
{
    char sentence[EVN_PAYBACK_SENTENCE_BYTES];
    for (size_t k = 0; k < page->truck_count; k++)
        if (evn_payback_given(page->payback, k, sentence))
            put_paragraph(to, "note", sentence);
    if (evn_payback_axles(page->payback, sentence))
        put_paragraph(to, "note axles", sentence);
}

void evn_html_payback_answer(const evn_html_page *page, FILE *to)
{
    evn_html_invented(to, page->payback->prices);
    put_which(page, to);
    evn_html_unfit(to, page->payback->lineup, page->payback->standing);
    put_given(page, to);
    for (int basis = 0; basis < BASES; basis++)
        put_basis(page, to, (evn_payback_basis)basis);
}
