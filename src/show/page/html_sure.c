/* How sure the differences are, and which datum to measure next, without scripts. */
#include "show/page/html_parts.h"
#include "show/sure_words.h"
#include "show/text.h"
#include <math.h>
#include <string.h>

enum { CAPTION = 512, SHARES_MOST = 64 };

static const evn_basis bases[] = {EVN_BASIS_COMMON, EVN_BASIS_OWN};
enum { BASES = sizeof bases / sizeof *bases };

static const evn_uncertainty *uncertainty_of(const evn_html_page *page) { return page->comparison->uncertainty; }

/* ------------------------------------------------------------------------------------------------ pairs */

static void put_sureness(FILE *to, const evn_sureness *is)
{
    char by[64];
    evn_method_words(is, by, sizeof by);
    fputs("<td>", to);
    evn_html_change(to, 1, is->nominal_percent);
    fputs("</td><td>", to);
    evn_html_interval(to, is->low_percent, is->high_percent);
    if (is->by == EVN_UNCERTAINTY_DRAWS) {
        fputs("<small>mean ", to);
        evn_html_change(to, 1, is->mean_percent);
        fputs("</small>", to);
    }
    fputs("</td><td>", to);
    evn_html_probability(to, is);
    fprintf(to, "</td><td class=\"words\">%s<small>%s%s</small></td>", evn_apart_words(is->apart), by,
            is->hangs_on_draws ? ", hangs on the draws" : "");
}

static void put_unsure(FILE *to, double percent)
{
    fputs("<td>", to);
    evn_html_change(to, 1, percent);
    fputs("</td><td colspan=\"3\" class=\"words\">not computed</td>", to);
}

/* The truck that all are held against, as the ranking has it. */
static size_t held_against(const evn_html_page *page)
{
    size_t against = evn_compare_held_against(page->comparison, evn_compare_told_basis(page->comparison));
    return against < page->truck_count ? against : 0;
}

static void put_pair_name(const evn_html_page *page, FILE *to, const evn_compare_pair *pair)
{
    evn_html_truck_name(page, to, pair->truck);
    if (pair->other == held_against(page))
        return;
    fputs(" against ", to);
    evn_html_truck_name(page, to, pair->other);
}

static void put_pair(const evn_html_page *page, FILE *to, const evn_compare_pair *pair, evn_basis basis)
{
    evn_compare_apart is;
    fputs("<tr><th scope=\"row\">", to);
    put_pair_name(page, to, pair);
    fputs("</th>", to);
    if (!evn_compare_tell_apart(page->comparison, pair->truck, pair->other, basis, &is))
        fputs("<td colspan=\"4\" class=\"words\">not computed: one of them did not finish</td>", to);
    else if (is.sure)
        put_sureness(to, &is.sureness);
    else
        put_unsure(to, is.percent);
    fputs("</tr>\n", to);
}

static void put_pairs(const evn_html_page *page, FILE *to)
{
    char caption[CAPTION];
    evn_compare_pair pair;
    for (size_t k = 0; k < BASES; k++) {
        snprintf(caption, sizeof caption, "Difference against %s at %s", page->truck[held_against(page)].title,
                 evn_basis_words(bases[k]));
        evn_html_table_begin(to, "sure", caption);
        fputs("<thead><tr><td></td><th scope=\"col\">difference, %</th><th scope=\"col\">90&#160;% interval, %</th><th "
              "scope=\"col\">probability that it is lower, %</th><th scope=\"col\" "
              "class=\"words\">verdict</th></tr></thead>"
              "\n<tbody>",
              to);
        for (size_t i = 0; evn_compare_pair_at(page->comparison, i, &pair); i++)
            put_pair(page, to, &pair, bases[k]);
        fputs("</tbody>", to);
        evn_html_table_end(to);
    }
}

/* ------------------------------------------------------------------------------------------------ shares */

static void put_place(FILE *to, const evn_datum *is)
{
    if (!is->file) {
        fputs(EVN_SURE_USUAL, to);
        return;
    }
    evn_html_text(to, evn_stated_in(is->file));
    fprintf(to, ":%u", is->line);
}

static void put_half_width(FILE *to, const evn_datum *is)
{
    char number[32];
    const char *unit = evn_half_width_words(is, number, sizeof number);
    evn_html_figure(to, number);
    if (unit[0] != '\0')
        fprintf(to, "&#160;%s", evn_html_unit(unit));
}

static void put_share(const evn_html_page *page, FILE *to, const evn_share *share)
{
    evn_datum is;
    if (!evn_uncertainty_datum_at(uncertainty_of(page), share->datum, &is))
        return;
    fputs("<tr><th scope=\"row\">", to);
    evn_html_text(to, is.label);
    fputs("<small class=\"words\">", to);
    put_place(to, &is);
    fputs("</small></th><td>", to);
    put_half_width(to, &is);
    fputs("</td><td>", to);
    evn_html_decimals(to, 0, 100 * share->share);
    fputs("</td><td>", to);
    evn_html_change(to, 2, share->slope_percent);
    fputs(share->bends ? "&#160;*</td><td>" : "</td><td>", to);
    evn_html_interval(to, share->half_low_percent, share->half_high_percent);
    fputs("</td></tr>\n", to);
}

static bool share_at(const evn_html_page *page, const evn_compare_pair *pair, evn_basis basis, size_t index,
                     evn_share *out)
{
    return evn_uncertainty_share_at(uncertainty_of(page), pair->truck, pair->other, basis, index, out) &&
           !evn_looks_like_nothing(3, out->share);
}

static bool put_shares(const evn_html_page *page, FILE *to, const evn_compare_pair *pair, evn_basis basis)
{
    char caption[CAPTION];
    evn_share share;
    bool bends = false;
    snprintf(caption, sizeof caption, "W" EVN_SURE_BRINGS, page->truck[pair->truck].title,
             page->truck[pair->other].title, evn_basis_words(basis));
    evn_html_table_begin(to, "shares", caption);
    fputs("<thead><tr><th scope=\"col\">datum</th><th scope=\"col\">half width</th><th scope=\"col\">share, %</th><th "
          "scope=\"col\">slope, points</th><th scope=\"col\">interval with half, %</th></tr></thead>\n<tbody>",
          to);
    for (size_t k = 0; share_at(page, pair, basis, k, &share); k++) {
        put_share(page, to, &share);
        bends = bends || share.bends;
    }
    fputs("</tbody>", to);
    evn_html_table_end(to);
    return bends;
}

static const char reading[] = "Share: " EVN_SURE_SHARE ". Slope: " EVN_SURE_SLOPE
                              ". Interval with half: the 90 % interval if this half width were half.";

static bool is_told(const evn_html_page *page, const evn_compare_pair *pair, evn_basis *basis)
{
    evn_share share;
    return evn_compare_shares_basis(page->comparison, pair, basis) && share_at(page, pair, *basis, 0, &share);
}

static bool same_pair(const evn_compare_pair *a, const evn_compare_pair *b)
{
    return (a->truck == b->truck && a->other == b->other) || (a->truck == b->other && a->other == b->truck);
}

/* Of the pair that decides, as the terminal tells it; of the others folded. */
static void put_measure_next(const evn_html_page *page, FILE *to)
{
    evn_compare_pair best, pair;
    evn_basis basis;
    if (!evn_compare_deciding_pair(page->comparison, &best) || !is_told(page, &best, &basis))
        return;
    fputs("<h3>What to measure next</h3>\n", to);
    bool bends = put_shares(page, to, &best, basis);
    evn_html_paragraphs(to, "", reading, 0, 1);
    for (size_t k = 0; evn_compare_pair_at(page->comparison, k, &pair); k++) {
        if (same_pair(&pair, &best) || !is_told(page, &pair, &basis))
            continue;
        fputs("<details><summary>The same of ", to);
        put_pair_name(page, to, &pair);
        fputs("</summary>\n", to);
        bends = put_shares(page, to, &pair, basis) || bends;
        fputs("</details>\n", to);
    }
    if (bends)
        evn_html_paragraphs(to, "", EVN_SURE_BENDS, 0, 1);
}

/* ------------------------------------------------------------------------------------------------ data */

/* The middle of its range, where that is not the value: as the half width is stated. */
static void put_middle(FILE *to, const evn_datum *is)
{
    char number[32];
    bool relative = isfinite(is->relative);
    if (is->offset == 0)
        return;
    snprintf(number, sizeof number, "%+.3g", relative ? 100 * is->offset / fabs(is->value) : is->offset);
    fputs("<small>about&#160;", to);
    evn_html_figure(to, number);
    fputs(relative ? "&#160;%</small>" : "</small>", to);
}

static void put_trucks(const evn_html_page *page, FILE *to, const evn_datum *is)
{
    const char *between = "";
    size_t count = 0;
    for (size_t i = 0; i < page->truck_count; i++)
        count += is->trucks >> i & 1u;
    if (count == page->truck_count) {
        fputs("all", to);
        return;
    }
    for (size_t i = 0; i < page->truck_count; i++)
        if ((is->trucks >> i & 1u) != 0) {
            fputs(between, to);
            evn_html_text(to, page->truck[i].title);
            between = ", ";
        }
}

static void put_datum(const evn_html_page *page, FILE *to, const evn_datum *is)
{
    fputs("<tr><th scope=\"row\">", to);
    evn_html_text(to, is->label);
    fputs("<small class=\"words\">", to);
    evn_html_text(to, is->path);
    fputs("</small></th><td>", to);
    put_half_width(to, is);
    put_middle(to, is);
    fprintf(to, "</td><td class=\"words\">%s</td><td>%zu</td><td class=\"words\">", evn_shape_name(is->shape),
            is->values);
    put_trucks(page, to, is);
    fputs("</td><td class=\"words\">", to);
    put_place(to, is);
    fputs("</td><td class=\"words\">", to);
    evn_html_text(to, is->source ? is->source : "not said");
    fputs("</td></tr>\n", to);
}

static void put_data(const evn_html_page *page, FILE *to)
{
    evn_datum is;
    fprintf(to, "<details><summary>All uncertain data (%zu)</summary>\n",
            evn_uncertainty_how_found(uncertainty_of(page)).data);
    evn_html_table_begin(to, "data",
                         "What is stated of the data; those that err as one stand in one row. About: by so much "
                         "the middle of the range lies off the value");
    fputs("<thead><tr><th scope=\"col\">datum</th><th scope=\"col\">half width</th><th scope=\"col\" "
          "class=\"words\">shape</th>"
          "<th scope=\"col\">values</th><th scope=\"col\" class=\"words\">trucks</th><th scope=\"col\" "
          "class=\"words\">stated"
          "</th><th scope=\"col\" class=\"words\">source</th></tr></thead>\n<tbody>",
          to);
    for (size_t k = 0; evn_uncertainty_datum_at(uncertainty_of(page), k, &is); k++)
        put_datum(page, to, &is);
    fputs("</tbody>", to);
    evn_html_table_end(to);
    fputs("</details>\n", to);
}

void evn_html_sure(const evn_html_page *page, FILE *to)
{
    fputs("<section id=\"sure\" aria-labelledby=\"sure-title\"><h2 id=\"sure-title\">How sure</h2>\n", to);
    evn_html_paragraphs(to, "", page->part[EVN_PART_SURE], 0, SHARES_MOST);
    evn_html_found(page, to, "draws_failed");
    bool many = page->truck_count > EVN_HTML_TRUCKS_OPEN;
    fputs(many ? "<details><summary>Every pair, at both speeds</summary>\n" : "", to);
    put_pairs(page, to);
    fputs(many ? "</details>\n" : "", to);
    put_measure_next(page, to);
    put_data(page, to);
    fputs("</section>\n", to);
}
