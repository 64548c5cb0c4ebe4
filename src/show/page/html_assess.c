/* Pages of verdicts without scripts: which layout and the table, then truck by truck what decided and what it is made
 * of, and what would turn it. */
#include "show/page/html_parts.h"
#include "show/text.h"
#include <math.h>
#include <string.h>

enum { AMOUNT = 80, NUMBER = 60 };

/* A class of its own each, beside sign and word: none is told by colour alone. */
typedef struct told_verdict {
    const char *class_name, *heading;
} told_verdict;

static const told_verdict told[] = {[EVN_VERDICT_NOT_ASKED] = {"unasked", "Not asked"},
                                    [EVN_VERDICT_PASS] = {"passed", "Passed"},
                                    [EVN_VERDICT_MARGINAL] = {"marginal", "Marginal"},
                                    [EVN_VERDICT_NOT_KNOWN] = {"unknown", "Not known"},
                                    [EVN_VERDICT_FAIL] = {"failed", "Failed"}};

static const evn_assessment *assessment_of(const evn_html_page *page) { return page->assess->assessment; }

static void put_word(FILE *to, evn_verdict v)
{
    fputs("<b>", to);
    evn_html_verdict_sign(to, v);
    fprintf(to, "&#160;%s</b>", evn_verdict_words(v));
}

/* ------------------------------------------------------------------------------------------------ the table */

static bool has_margin(const evn_assessed *is)
{
    return is->verdict != EVN_VERDICT_NOT_ASKED && is->verdict != EVN_VERDICT_NOT_KNOWN;
}

/* "+1.20 %" */
static void put_margin(FILE *to, const evn_assessed *is)
{
    const char *unit = evn_html_unit(evn_shown_unit(&is->what));
    if (isnan(is->margin)) {
        fputs("not at all", to);
        return;
    }
    evn_html_change(to, is->what.digits, evn_shown_value(&is->what, is->margin));
    fprintf(to, "%s%s", unit[0] != '\0' ? "&#160;" : "", unit);
}

static void put_cell(const evn_html_page *page, FILE *to, size_t truck, size_t demand)
{
    evn_assessed is;
    evn_assessed_at(assessment_of(page), truck, demand, &is);
    fprintf(to, "<td class=\"%s\">", told[is.verdict].class_name);
    put_word(to, is.verdict);
    if (has_margin(&is)) {
        fputs("<small>", to);
        put_margin(to, &is);
        fputs("</small>", to);
    }
    fputs("</td>", to);
}

static void put_demand(const evn_html_page *page, FILE *to, size_t demand)
{
    char demanded[AMOUNT];
    evn_assessed is;
    evn_assessed_at(assessment_of(page), 0, demand, &is);
    bool one = evn_assess_demanded_words(&is, demanded, sizeof demanded);
    evn_html_words(to, is.what.label);
    fputs("<small>", to);
    evn_html_words(to, one ? demanded : "clause of least margin");
    fputs("</small>", to);
}

static void put_whole(const evn_html_page *page, FILE *to, size_t truck)
{
    evn_verdict of = evn_assessment_of(assessment_of(page), truck);
    fprintf(to, "<td class=\"%s\">", told[of].class_name);
    put_word(to, of);
    fputs("</td>", to);
}

static void put_columns(const evn_html_page *page, FILE *to)
{
    evn_html_columns columns = {0};
    evn_html_columns_next(page, &columns);
    evn_html_head(page, to, &columns, NULL);
    fputs("<tbody class=\"whole\"><tr><th scope=\"row\">all of them</th>", to);
    for (size_t k = 0; k < page->truck_count; k++)
        put_whole(page, to, k);
    fputs("</tr></tbody>\n<tbody>", to);
    for (size_t d = 0; d < evn_assessment_demand_count(assessment_of(page)); d++) {
        fputs("<tr><th scope=\"row\">", to);
        put_demand(page, to, d);
        fputs("</th>", to);
        for (size_t k = 0; k < page->truck_count; k++)
            put_cell(page, to, k, d);
        fputs("</tr>\n", to);
    }
    fputs("</tbody>", to);
}

static void put_name(const evn_html_page *page, FILE *to, size_t truck)
{
    fputs("<tr><th scope=\"row\">", to);
    evn_html_truck_name(page, to, truck);
    fputs("</th>", to);
}

/* More trucks than fit side by side: each demand heads a group of them. */
static void put_groups(const evn_html_page *page, FILE *to)
{
    fputs("<tbody class=\"whole\"><tr class=\"row\"><th scope=\"rowgroup\" colspan=\"2\">all of them</th></tr>\n", to);
    for (size_t k = 0; k < page->truck_count; k++) {
        put_name(page, to, k);
        put_whole(page, to, k);
        fputs("</tr>\n", to);
    }
    fputs("</tbody>", to);
    for (size_t d = 0; d < evn_assessment_demand_count(assessment_of(page)); d++) {
        fputs("<tbody><tr class=\"row\"><th scope=\"rowgroup\" colspan=\"2\">", to);
        put_demand(page, to, d);
        fputs("</th></tr>\n", to);
        for (size_t k = 0; k < page->truck_count; k++) {
            put_name(page, to, k);
            put_cell(page, to, k, d);
            fputs("</tr>\n", to);
        }
        fputs("</tbody>\n", to);
    }
}

static void put_table(const evn_html_page *page, FILE *to)
{
    static const char caption[] = "Verdicts, with the margin to what is demanded";
    bool across = page->truck_count <= EVN_HTML_TRUCKS_OPEN;
    evn_html_table_begin(to, across ? "side abilities verdicts" : "abilities verdicts grouped", caption);
    if (across)
        put_columns(page, to);
    else
        put_groups(page, to);
    evn_html_table_end(to);
}

void evn_html_assess_about(const evn_html_page *page, FILE *to)
{
    const evn_assess_story *s = page->assess;
    const char *source = evn_lineup_over_source(s->lineup);
    fprintf(to, "One verdict per demand: %zu trucks held against %zu demands of ", page->truck_count,
            evn_assessment_demand_count(s->assessment));
    evn_html_text(to, evn_lineup_over(s->lineup));
    if (s->prices) {
        fputs(", with prices of ", to);
        evn_html_text(to, evn_prices_name(s->prices));
    }
    fputs(s->only_standing ? "; only what needs no day" : "", to);
    fputs(source && strcmp(source, "invented") == 0 ? "; invented duty" : "", to);
}

void evn_html_assess_answer(const evn_html_page *page, FILE *to)
{
    char advice[EVN_ASSESS_SENTENCE_BYTES];
    evn_assess_advice_words(page->assess, advice);
    evn_html_invented(to, page->assess->prices);
    fputs("<div class=\"verdict\"><p>", to);
    evn_html_words(to, advice);
    fputs("</p></div>\n", to);
    put_table(page, to);
}

/* ------------------------------------------------------------------------------------------------ what it is made of
 */

static void put_input(FILE *to, const evn_assess_input *in)
{
    char number[NUMBER];
    evn_format_decimals(number, sizeof number, EVN_ALL_DIGITS, in->value);
    fputs("<li><code>", to);
    evn_html_text(to, in->key);
    fputs("</code> = ", to);
    evn_html_figure(to, number);
    fprintf(to, "%s%s", in->unit[0] != '\0' ? "&#160;" : "", evn_html_unit(in->unit));
    if (in->from) {
        fputs(" <span class=\"from\">(", to);
        evn_html_text(to, in->from);
        fputs(")</span>", to);
    }
    fputs("</li>\n", to);
}

static void put_line(FILE *to, const char *before, const char *text)
{
    if (!text)
        return;
    fprintf(to, "<p>%s ", before);
    evn_html_text(to, text);
    fputs("</p>\n", to);
}

static void put_made_of(const evn_html_page *page, FILE *to, size_t truck, size_t demand, const evn_assessed *is)
{
    evn_assess_input in;
    bool found = false; /* is where an input comes from */
    fprintf(to, "<details%s><summary>Formula and inputs</summary>\n",
            is->verdict == EVN_VERDICT_PASS ? "" : " class=\"paper\"");
    if (is->formula) {
        fputs("<p><code>margin = ", to);
        evn_html_text(to, is->formula);
        fputs("</code></p>\n", to);
    }
    if (is->value_formula) {
        fputs("<p><code>value = ", to);
        evn_html_text(to, is->value_formula);
        fputs("</code></p>\n", to);
    }
    fputs("<ul>", to);
    for (size_t k = 0; evn_assess_input_at(assessment_of(page), truck, demand, k, &in); k++) {
        put_input(to, &in);
        found = found || (in.from && is->found && strcmp(in.from, is->found) == 0);
    }
    fputs("</ul>\n", to);
    put_line(to, "Found by:", found ? NULL : is->found);
    put_line(to, "Source:", is->source);
    fputs("</details>", to);
}

/* ------------------------------------------------------------------------------------------------ truck by truck */

static void put_item(const evn_html_page *page, FILE *to, size_t truck, size_t demand, const evn_assessed *is)
{
    char words[EVN_ASSESS_SENTENCE_BYTES];
    evn_assess_verdict_words(is, words);
    fprintf(to, "<li class=\"%s\"><p>", told[is->verdict].class_name);
    evn_html_verdict_sign(to, is->verdict);
    fputs("&#160;", to);
    evn_html_words(to, words);
    fputs("</p>\n", to);
    put_made_of(page, to, truck, demand, is);
    fputs("</li>\n", to);
}

static size_t count_of(const evn_html_page *page, size_t truck, evn_verdict v)
{
    evn_assessed is;
    size_t count = 0;
    for (size_t k = 0; evn_assessed_at(assessment_of(page), truck, k, &is); k++)
        count += is.verdict == v;
    return count;
}

static void put_items(const evn_html_page *page, FILE *to, size_t truck, evn_verdict v)
{
    evn_assessed is;
    fputs("<ul class=\"judged\">", to);
    for (size_t k = 0; evn_assessed_at(assessment_of(page), truck, k, &is); k++)
        if (is.verdict == v)
            put_item(page, to, truck, k, &is);
    fputs("</ul>\n", to);
}

/* The worst first. What is passed is folded, and told on paper. */
static void put_truck(const evn_html_page *page, FILE *to, size_t truck)
{
    char words[EVN_ASSESS_SENTENCE_BYTES];
    fputs("<div class=\"decided\"><h3>", to);
    evn_html_truck_name(page, to, truck);
    fputs("</h3>\n<p>", to);
    evn_assess_whole_words(page->assess, truck, words);
    evn_html_words(to, words);
    fputs("</p>\n", to);
    for (evn_verdict v = EVN_VERDICT_FAIL; v > EVN_VERDICT_PASS; v--) {
        if (count_of(page, truck, v) == 0)
            continue;
        fprintf(to, "<h4>%s</h4>\n", told[v].heading);
        put_items(page, to, truck, v);
    }
    size_t passed = count_of(page, truck, EVN_VERDICT_PASS);
    if (passed > 0) {
        fprintf(to, "<details class=\"paper\"><summary>Passed: %zu</summary>\n", passed);
        put_items(page, to, truck, EVN_VERDICT_PASS);
        fputs("</details>\n", to);
    }
    fputs("</div>\n", to);
}

static void put_turns(const evn_html_page *page, FILE *to)
{
    char words[EVN_ASSESS_SENTENCE_BYTES];
    if (!evn_assess_turn_words(page->assess, 0, words))
        return;
    fputs("<section id=\"turns\" aria-labelledby=\"turns-title\"><h2 id=\"turns-title\">What would turn it</h2>\n"
          "<p>The smallest change of one datum, each by itself, the rest as it is.</p>\n<ul>",
          to);
    for (size_t k = 0; evn_assess_turn_words(page->assess, k, words); k++) {
        fputs("<li>", to);
        evn_html_words(to, words);
        fputs("</li>\n", to);
    }
    fputs("</ul></section>\n", to);
}

void evn_html_assess_sections(const evn_html_page *page, FILE *to)
{
    fputs("<section id=\"decided\" aria-labelledby=\"decided-title\"><h2 id=\"decided-title\">What decided, truck by "
          "truck</h2>\n",
          to);
    for (size_t k = 0; k < page->truck_count; k++)
        put_truck(page, to, k);
    fputs("</section>\n", to);
    put_turns(page, to);
}
