/* Pages of studies: the best first, then points, fronts, heat maps and shares of variance, with tables; no scripts. */
#include "show/page/html_vary.h"
#include "show/page/html_parts.h"
#include "show/text.h"
#include <math.h>
#include <stdlib.h>
#include <string.h>

enum { POINTS_MOST = 8, MAPS_TRUCKS_MOST = 4 };

static const evn_vary_table *table_of(const evn_html_page *page) { return page->vary->table; }

void evn_html_vary_about(const evn_html_page *page, FILE *to)
{
    const char *source = evn_variants_fact(page->vary->variants, "source");
    fputs("Variants of a study over ", to);
    evn_html_text(to, evn_variants_fact(page->vary->variants, "over"));
    if (source && strcmp(source, "invented") == 0)
        fputs("; invented data", to);
}

void evn_html_vary_answer(const evn_html_page *page, FILE *to)
{
    char words[EVN_VARY_SENTENCES];
    const evn_vary_table *t = table_of(page);
    fputs("<div class=\"verdict\">", to);
    for (size_t k = 0; k < t->trucks; k++) {
        evn_vary_best_sentences(t, k, false, words);
        evn_html_paragraphs(to, "", words, 0, 100);
    }
    fputs("</div>\n", to);
    evn_vary_count_sentence(t, words);
    evn_html_paragraphs(to, "note", words, 0, 100);
}

/* ------------------------------------------------------------------------------------------------ shares */

static void put_shares_heads(const evn_vary_table *t, FILE *to)
{
    fputs("<thead><tr><td></td>", to);
    for (size_t truck = 0; truck < t->trucks; truck++)
        for (size_t aim = 0; aim < t->aims; aim++) {
            fputs("<th scope=\"col\">", to);
            evn_html_text(to, evn_vary_truck_words(t, truck));
            fputs(t->trucks > 1 && t->aims > 1 ? ", " : "", to);
            evn_html_text(to, t->trucks > 1 && t->aims == 1 ? "" : t->column[t->inputs + aim].what.label);
            fputs("</th>", to);
        }
    fputs("</tr></thead><tbody>", to);
}

static void put_shares(const evn_html_page *page, FILE *to)
{
    const evn_vary_table *t = table_of(page);
    evn_html_table_begin(to, "side", "Share of the variance that goes with each variable by itself, %");
    put_shares_heads(t, to);
    for (size_t k = 0; k < t->inputs; k++) {
        fputs("<tr><th scope=\"row\">", to);
        evn_html_text(to, t->column[k].what.key);
        fputs("</th>", to);
        for (size_t truck = 0; truck < t->trucks; truck++)
            for (size_t aim = 0; aim < t->aims; aim++) {
                fputs("<td>", to);
                evn_html_decimals(to, 0, 100 * evn_vary_share(t, truck, k, aim));
                fputs("</td>", to);
            }
        fputs("</tr>\n", to);
    }
    fputs("</tbody>", to);
    evn_html_table_end(to);
    fputs("<p class=\"note\">What goes with several together is in none of them.", to);
    fputs(evn_vary_is_searched(t) ? " " EVN_VARY_SEARCHED_SHARES : "", to);
    fputs("</p>\n", to);
}

/* ------------------------------------------------------------------------------------------------ rows */

typedef struct listing {
    const evn_html_page *page;
    FILE *to;
} listing;

static bool is_in_table(const evn_variants_column *c) { return c->varies || c->aimed != EVN_AIMED_NOT; }

static bool put_row(void *self, const evn_variant *v)
{
    const listing *l = self;
    evn_variants_column c;
    fprintf(l->to, "<tr><th scope=\"row\">%llu</th>", (unsigned long long)v->id);
    if (table_of(l->page)->trucks > 1) {
        fputs("<td>", l->to);
        evn_html_text(l->to, v->truck);
        fputs("</td>", l->to);
    }
    for (size_t k = 0; evn_variants_column_at(l->page->vary->variants, k, &c); k++) {
        char text[EVN_VARY_CELL];
        if (!is_in_table(&c))
            continue;
        fputs("<td>", l->to);
        if (c.is_text) {
            evn_html_text(l->to, v->text[k] ? v->text[k] : "");
        } else if (c.varies) {
            evn_vary_value_words(v->value[k], 5, text);
            evn_html_figure(l->to, text);
        } else {
            evn_quantity finer = c.what;
            finer.digits += c.what.kind == EVN_REAL ? 2 : 0;
            evn_html_value(l->to, &finer, v->value[k]);
        }
        fputs("</td>", l->to);
    }
    fputs("</tr>\n", l->to);
    return true;
}

static void put_best_rows(const evn_html_page *page, FILE *to)
{
    const evn_vary_table *t = table_of(page);
    evn_variants_column c;
    listing l = {page, to};
    evn_html_table_begin(to, "", t->trucks > 1 ? "The best ten of each truck" : "The best ten");
    fputs("<thead><tr><th scope=\"col\">id</th>", to);
    if (t->trucks > 1)
        fputs("<th scope=\"col\">truck</th>", to);
    for (size_t k = 0; evn_variants_column_at(page->vary->variants, k, &c); k++) {
        if (!is_in_table(&c))
            continue;
        fputs("<th scope=\"col\">", to);
        evn_html_heading(to, c.varies ? c.what.key : c.what.short_label, &c.what);
        fputs("</th>", to);
    }
    fputs("</tr></thead><tbody>", to);
    evn_vary_each_best(t, &l, put_row, page->vary->report);
    fputs("</tbody>", to);
    evn_html_table_end(to);
}

static void put_front_rows(const evn_html_page *page, FILE *to, size_t truck)
{
    const evn_vary_table *t = table_of(page);
    size_t count = 0, *front = evn_vary_front(t, truck, &count);
    char caption[200], inputs[EVN_VARY_SENTENCES];
    snprintf(caption, sizeof caption, "The front%s%.100s", t->trucks > 1 ? ", " : "", evn_vary_truck_words(t, truck));
    evn_html_table_begin(to, "", caption);
    fputs("<thead><tr>", to);
    for (size_t k = 0; k < EVN_VARY_AIMS; k++) {
        fputs("<th scope=\"col\">", to);
        evn_html_heading(to, t->column[t->inputs + k].what.label, &t->column[t->inputs + k].what);
        fputs("</th>", to);
    }
    fputs("<th scope=\"col\">with</th></tr></thead><tbody>", to);
    for (size_t i = 0; front && i < count; i++) {
        fputs("<tr>", to);
        for (size_t k = 0; k < EVN_VARY_AIMS; k++) {
            evn_quantity finer = t->column[t->inputs + k].what;
            finer.digits += finer.kind == EVN_REAL ? 2 : 0;
            fputs("<td>", to);
            evn_html_value(to, &finer, evn_vary_at(t, front[i], t->inputs + k));
            fputs("</td>", to);
        }
        evn_vary_inputs_words(t, front[i], false, inputs);
        fputs("<td class=\"words\">", to);
        evn_html_words(to, inputs);
        fputs("</td></tr>\n", to);
    }
    fputs("</tbody>", to);
    evn_html_table_end(to);
    free(front);
}

/* ------------------------------------------------------------------------------------------------ sections */

static void begin_section(FILE *to, const char *id, const char *title)
{
    fprintf(to, "<section id=\"%s\" aria-labelledby=\"%s-title\"><h2 id=\"%s-title\">%s</h2>\n", id, id, id, title);
}

/* The two numbers that matter most for a result, of the first truck; false: there are not two. */
static bool two_that_matter(const evn_vary_table *t, size_t out[2])
{
    size_t count = 0;
    double share[2] = {-1, -1};
    for (size_t k = 0; k < t->inputs; k++) {
        double own = 0;
        for (size_t aim = 0; aim < t->aims; aim++)
            own = fmax(own, evn_vary_share(t, 0, k, aim)); /* of which NAN is not the more */
        if (t->column[k].is_text)
            continue;
        count++;
        if (own > share[0]) {
            share[1] = share[0];
            out[1] = out[0];
            share[0] = own;
            out[0] = k;
        } else if (own > share[1]) {
            share[1] = own;
            out[1] = k;
        }
    }
    return count >= 2;
}

static bool any_told(const evn_vary_table *t)
{
    for (size_t row = 0; row < t->rows; row++)
        if (t->state[row] != EVN_VARY_FAILED)
            return true;
    return false;
}

static void put_charts(const evn_html_page *page, FILE *to)
{
    const evn_vary_table *t = table_of(page);
    size_t matter[2] = {0, 0}, told = 0;
    if (!any_told(t))
        return;
    if (t->aims == EVN_VARY_AIMS) {
        begin_section(to, "front", "Both results");
        evn_html_vary_front(page, to);
        for (size_t k = 0; k < t->trucks; k++)
            put_front_rows(page, to, k);
        fputs("</section>\n", to);
    }
    begin_section(to, "over", "Over what varies");
    if (t->trucks > 1) {
        fputs("<p class=\"tools\">", to);
        for (size_t k = 0; k < t->trucks; k++) {
            fputs("<span class=\"key\">", to);
            evn_html_mark(to, k);
            evn_html_text(to, evn_vary_truck_words(t, k));
            fputs("</span> ", to);
        }
        fputs("</p>\n", to);
    }
    for (size_t k = 0; k < t->inputs && told < POINTS_MOST; k++)
        if (!t->column[k].is_text) {
            evn_html_vary_points(page, to, k);
            told++;
        }
    fputs("</section>\n", to);
    if (two_that_matter(t, matter)) {
        begin_section(to, "map", "The two that matter most");
        for (size_t k = 0; k < t->trucks && k < MAPS_TRUCKS_MOST; k++)
            evn_html_vary_map(page, to, k, matter[0], matter[1]);
        fputs("</section>\n", to);
    }
}

void evn_html_vary_sections(const evn_html_page *page, FILE *to)
{
    begin_section(to, "rows", "The best");
    put_best_rows(page, to);
    fputs("</section>\n", to);
    put_charts(page, to);
    if (table_of(page)->inputs > 1) {
        begin_section(to, "shares", "What matters");
        put_shares(page, to);
        fputs("</section>\n", to);
    }
}
