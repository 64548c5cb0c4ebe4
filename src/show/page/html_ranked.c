/* All trucks ranked: a table whose first column is a chart, a dot for each difference and a bar for its interval. */
#include "show/page/html_parts.h"
#include "show/sure_words.h"
#include "show/text.h"
#include <math.h>
#include <string.h>

enum {
    TRUCKS_MOST = 12,
    CAPTION = 512,
    STRIP_PX = 20,
    MARKS = 4,
    LABEL_ROOM = 8,    /* per cent at each end, so that no label is cut on a phone */
    LABELS_APART = 24, /* per cent, so that none lies over another there */
    LABELS_LEAST = 2
};

/* ------------------------------------------------------------------------------------------------ what is ranked */

typedef struct ranking {
    evn_basis basis;
    size_t count, first; /* first: that the others are held against */
    size_t place[TRUCKS_MOST];
    evn_compare_apart apart[TRUCKS_MOST];
    double low, high; /* ends of the axis */
    bool sure;        /* any interval is told */
} ranking;

static void widen(ranking *of)
{
    for (size_t k = 0; k < of->count; k++) {
        const evn_compare_apart *is = &of->apart[k];
        of->sure = of->sure || is->sure;
        of->low = fmin(of->low, is->sure ? fmin(is->percent, is->sureness.low_percent) : is->percent);
        of->high = fmax(of->high, is->sure ? fmax(is->percent, is->sureness.high_percent) : is->percent);
    }
    double room = fmax(0.14 * (of->high - of->low), 0.1);
    of->low -= room;
    of->high += room;
}

static ranking rank(const evn_compare_story *story)
{
    ranking of = {.basis = evn_compare_told_basis(story)};
    of.count = evn_compare_rank(story, of.basis, false, of.place);
    if (of.count == 0)
        return of;
    of.first = evn_compare_held_against(story, of.basis);
    for (size_t k = 0; k < of.count; k++)
        evn_compare_tell_apart(story, of.place[k], of.first, of.basis, &of.apart[k]);
    widen(&of);
    return of;
}

/* ------------------------------------------------------------------------------------------------ the strip */

static double place_percent(const ranking *of, double percent)
{
    return 100 * (percent - of->low) / (of->high - of->low);
}

static void put_upright(FILE *to, const ranking *of, const char *class_name, double percent, int from, int up_to)
{
    double x = place_percent(of, percent);
    fprintf(to, "<line class=\"%s\" x1=\"%.2f%%\" x2=\"%.2f%%\" y1=\"%d\" y2=\"%d\"/>", class_name, x, x, from, up_to);
}

/* Of its logarithm, for powers of ten that are not quite. */
#define STEP_SLACK 1e-9

/* The step of one, two or five nearest to a rough one. */
static double round_step(double rough)
{
    double power = pow(10, floor(log10(rough) + STEP_SLACK)), many = rough / power;
    return power * (many <= 1.3 ? 1 : many <= 2.6 ? 2 : many <= 6.5 ? 5 : 10);
}

/* Every so many marks bear a number. */
static int marks_a_label(const ranking *of, double step)
{
    return (int)ceil(LABELS_APART * (of->high - of->low) / (100 * step));
}

static bool has_label(const ranking *of, double step, double at)
{
    double x = place_percent(of, at * step);
    return x >= LABEL_ROOM && x <= 100 - LABEL_ROOM && fmod(at, marks_a_label(of, step)) == 0;
}

static int labels(const ranking *of, double step)
{
    int count = 0;
    for (double at = ceil(of->low / step); at * step <= of->high; at++)
        count += has_label(of, step, at);
    return count;
}

/* A step that makes a handful of marks; finer where zero alone would bear a number. */
static double step_of(const ranking *of)
{
    double step = round_step((of->high - of->low) / MARKS);
    while (labels(of, step) < LABELS_LEAST)
        step = round_step(step / 2.1); /* 10, 5, 2, 1 */
    return step;
}

static void put_marks(FILE *to, const ranking *of)
{
    double step = step_of(of);
    for (double at = ceil(of->low / step); at * step <= of->high; at++)
        put_upright(to, of, at == 0 ? "zero" : "rule", at * step, 0, STRIP_PX);
}

static void put_strip(FILE *to, const ranking *of, size_t index)
{
    const evn_compare_apart *is = &of->apart[index];
    size_t truck = of->place[index];
    fprintf(to, "<svg class=\"strip\" width=\"100%%\" height=\"%d\" aria-hidden=\"true\">", STRIP_PX);
    put_marks(to, of);
    if (is->sure && truck != of->first) {
        double low = is->sureness.low_percent, high = is->sureness.high_percent;
        fprintf(to, "<g class=\"bar s%zu\"><line x1=\"%.2f%%\" x2=\"%.2f%%\" y1=\"%d\" y2=\"%d\"/>",
                truck % EVN_HTML_SIGNS + 1, place_percent(of, low), place_percent(of, high), STRIP_PX / 2,
                STRIP_PX / 2);
        put_upright(to, of, "end", low, STRIP_PX / 2 - 5, STRIP_PX / 2 + 5);
        put_upright(to, of, "end", high, STRIP_PX / 2 - 5, STRIP_PX / 2 + 5);
        fputs("</g>", to);
    }
    fprintf(to, "<svg x=\"%.2f%%\" y=\"%d\" overflow=\"visible\">", place_percent(of, is->percent), STRIP_PX / 2);
    evn_html_sign(to, truck);
    fputs("</svg></svg>", to);
}

static void put_axis(FILE *to, const ranking *of)
{
    double step = step_of(of);
    int digits = (int)fmax(0, -floor(log10(step) + STEP_SLACK));
    fputs("<svg class=\"strip axis\" width=\"100%\" height=\"16\" aria-hidden=\"true\">", to);
    for (double at = ceil(of->low / step); at * step <= of->high; at++) {
        if (!has_label(of, step, at))
            continue;
        fprintf(to, "<text x=\"%.2f%%\" y=\"12\" text-anchor=\"middle\">", place_percent(of, at * step));
        evn_html_change(to, digits, at * step);
        fputs("</text>", to);
    }
    fputs("</svg>", to);
}

/* ------------------------------------------------------------------------------------------------ rows */

void evn_html_interval(FILE *to, double low_percent, double high_percent)
{
    evn_html_change(to, evn_looks_like_nothing(1, low_percent) ? 2 : 1, low_percent);
    fputs(" to ", to);
    evn_html_change(to, evn_looks_like_nothing(1, high_percent) ? 2 : 1, high_percent);
}

void evn_html_probability(FILE *to, const evn_sureness *is)
{
    double percent = 100 * is->probability_lower, least = is->draws > 0 ? fmax(0.1, 100.0 / (double)is->draws) : 0.1;
    if (percent > 100 - least)
        fprintf(to, "&gt; %.1f", 100 - least);
    else if (percent < least)
        fprintf(to, "&lt; %.1f", least);
    else
        evn_html_decimals(to, percent < 5 || percent > 95 ? 1 : 0, percent);
}

static void put_verdict(FILE *to, const evn_compare_apart *is)
{
    if (is->is == EVN_CANNOT_BE_TOLD_APART && !is->open)
        fputs("<small class=\"words\">cannot be told apart</small>", to);
    if (is->sure && is->sureness.hangs_on_draws)
        fputs("<small class=\"words\">hangs on the draws</small>", to);
}

/* The probability has a column only where any is told. */
static void put_difference(FILE *to, const ranking *of, const evn_compare_apart *is)
{
    fputs("<td>", to);
    evn_html_change(to, 1, is->percent);
    if (is->sure) {
        fputs("<small>", to);
        evn_html_interval(to, is->sureness.low_percent, is->sureness.high_percent);
        fputs("</small></td><td>", to);
        evn_html_probability(to, &is->sureness);
    } else if (of->sure) {
        fputs("</td><td>", to);
    }
    put_verdict(to, is);
    fputs("</td>", to);
}

static void put_use(const evn_html_page *page, FILE *to, const ranking *of, size_t truck)
{
    fputs("<td>", to);
    evn_html_decimals(to, evn_compare_decides_by(page->comparison)->digits,
                      evn_compare_use(page->comparison, truck, of->basis));
    fputs("</td>", to);
}

static void put_figures(const evn_html_page *page, FILE *to, const ranking *of, size_t index)
{
    const evn_compare_apart *is = &of->apart[index];
    put_use(page, to, of, of->place[index]);
    if (of->place[index] == of->first) {
        fprintf(to, "<td colspan=\"%d\" data-sort=\"0\"><small class=\"words\">held against</small></td>",
                of->sure ? 2 : 1);
        return;
    }
    put_difference(to, of, is);
}

static void put_row(const evn_html_page *page, FILE *to, const ranking *of, size_t index)
{
    fputs("<tr><th scope=\"row\"><div class=\"who\">", to);
    evn_html_truck_name(page, to, of->place[index]);
    put_strip(to, of, index);
    fputs("</div>", to);
    evn_html_fails(to, page->comparison->standing, of->place[index], "");
    evn_html_overloaded(to, page->comparison, of->place[index]);
    fputs("</th>", to);
    put_figures(page, to, of, index);
    fputs("</tr>\n", to);
}

/* The best against the runner-up, where neither is the one held against. */
static void put_best_pair(const evn_html_page *page, FILE *to, const ranking *of)
{
    evn_compare_pair pair;
    evn_compare_apart apart;
    if (!evn_compare_best_pair(page->comparison, &pair) || pair.truck == of->first || pair.other == of->first ||
        !evn_compare_tell_apart(page->comparison, pair.truck, pair.other, of->basis, &apart))
        return;
    fputs("<tfoot><tr><th scope=\"row\"><div class=\"both\">", to);
    evn_html_truck_name(page, to, pair.truck);
    fputs(" against ", to);
    evn_html_truck_name(page, to, pair.other);
    fputs("</div></th><td></td>", to);
    put_difference(to, of, &apart);
    fputs("</tr></tfoot>", to);
}

static void put_caption(const evn_html_page *page, FILE *to, const ranking *of)
{
    const evn_compare_story *story = page->comparison;
    char caption[CAPTION], who[64], by[64] = "";
    for (size_t k = 0; k < of->count && by[0] == '\0'; k++)
        if (of->apart[k].sure && of->place[k] != of->first)
            evn_method_words(&of->apart[k].sureness, by, sizeof by);
    if (of->count == page->truck_count)
        snprintf(who, sizeof who, "All trucks");
    else
        snprintf(who, sizeof who, "The %zu of %zu trucks that finished", of->count, page->truck_count);
    snprintf(caption, sizeof caption, "%s ranked by %s at %s%s, in %% of %s%s%s", who,
             evn_compare_decides_by(story)->words, evn_basis_words(of->basis),
             evn_compare_like_for_like(story) ? "" : ", not like for like", page->truck[of->first].title,
             by[0] != '\0' ? "; bars: 90 % interval " : "", by);
    evn_html_table_begin(to, "ranked", caption);
}

void evn_html_ranked(const evn_html_page *page, FILE *to)
{
    ranking of = rank(page->comparison);
    if (of.count < 2)
        return;
    put_caption(page, to, &of);
    fputs("<thead><tr><th scope=\"col\"><div class=\"who\"><span>truck</span>", to);
    put_axis(to, &of);
    fprintf(to, "</div></th><th scope=\"col\">%s</th><th scope=\"col\">difference, %%%s</th>%s</tr></thead>\n<tbody>",
            evn_compare_decides_by(page->comparison)->unit, of.sure ? "<small>90&#160;% interval</small>" : "",
            of.sure ? "<th scope=\"col\">probability that it is lower, %</th>" : "");
    for (size_t k = 0; k < of.count; k++)
        put_row(page, to, &of, k);
    fputs("</tbody>", to);
    put_best_pair(page, to, &of);
    evn_html_table_end(to);
}
