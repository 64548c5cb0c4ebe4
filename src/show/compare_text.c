#include "show/compare_page.h"
#include "show/text.h"
#include <math.h>
#include <stdlib.h>
#include <string.h>

enum { WIDTH_UNKNOWN = 80, WIDTH_LEAST = 60, WIDTH_MOST = 200 };

static const char indent[] = "  ";

/* ------------------------------------------------------------------------------------------------ what came of it */

static const evn_outcome *outcome_of(const evn_compare_page *page, size_t truck, evn_basis basis)
{
    return evn_comparison_outcome(page->story->comparison, truck, basis);
}

evn_figures evn_page_results(const evn_compare_page *page, size_t truck, evn_basis basis)
{
    return evn_figures_of_results(evn_outcome_results(outcome_of(page, truck, basis)));
}

evn_figures evn_page_differences(const evn_compare_page *page, size_t truck, evn_basis basis)
{
    return evn_figures_of_differences(outcome_of(page, truck, basis));
}

bool evn_page_finished(const evn_compare_page *page, size_t truck, evn_basis basis)
{
    return strcmp(evn_outcome_status(outcome_of(page, truck, basis)), "finished") == 0;
}

double evn_page_result(const evn_compare_page *page, size_t truck, evn_basis basis, const char *key)
{
    evn_figures results = evn_page_results(page, truck, basis);
    return evn_figures_value(&results, key);
}

double evn_page_percent(const evn_compare_page *page, size_t truck, evn_basis basis, const char *key)
{
    char full[EVN_PAGE_CELL];
    evn_figures differences = evn_page_differences(page, truck, basis);
    snprintf(full, sizeof full, "percent.%s", key);
    return evn_figures_value(&differences, full);
}

/* Of several that are alike the first. */
static size_t extreme(const evn_compare_page *page, evn_basis basis, const char *key, double sign)
{
    size_t best = page->count;
    double best_value = (double)INFINITY;
    for (size_t i = 0; i < page->count; i++) {
        double value = sign * evn_page_result(page, i, basis, key);
        if (evn_page_finished(page, i, basis) && value < best_value) {
            best = i;
            best_value = value;
        }
    }
    return best;
}

size_t evn_page_least(const evn_compare_page *page, evn_basis basis, const char *key)
{
    return extreme(page, basis, key, 1);
}

size_t evn_page_most(const evn_compare_page *page, evn_basis basis, const char *key)
{
    return extreme(page, basis, key, -1);
}

bool evn_page_held(const evn_compare_page *page, size_t truck, evn_held *held)
{
    const evn_results *results = evn_outcome_results(outcome_of(page, truck, EVN_BASIS_OWN));
    return results != NULL && evn_results_held_at(results, 0, held);
}

/* ------------------------------------------------------------------------------------------------ looks */

void evn_page_paragraph(const evn_compare_page *page, evn_style style, const char *margin, const char *text)
{
    if (page->unbroken) {
        fprintf(page->to, "%s\n", text + strspn(text, " "));
        return;
    }
    evn_style_begin(page->to, page->look, style);
    evn_put_paragraph(page->to, margin, text);
    evn_style_end(page->to, page->look, style);
}

void evn_page_heading(const evn_compare_page *page, const char *text)
{
    if (page->unbroken)
        return;
    fputc('\n', page->to);
    evn_put_styled(page->to, page->look, EVN_STYLE_STRONG, text);
    fputs("\n\n", page->to);
}

/* Bytes of the first so many columns. */
static size_t bytes_of(const char *text, size_t columns)
{
    size_t bytes = 0;
    uint32_t code;
    for (size_t length; columns > 0 && (length = evn_utf8_next(text + bytes, &code)) > 0; columns--)
        bytes += length;
    return bytes;
}

void evn_page_short_name(const evn_compare_page *page, size_t truck, size_t columns, char out[EVN_PAGE_CELL])
{
    const char *name = page->name[truck], *dots = page->look->utf8 ? "\u2026" : "..";
    size_t width = evn_text_columns(name), marks = evn_text_columns(dots);
    if (width <= columns) {
        snprintf(out, EVN_PAGE_CELL, "%s", name);
        return;
    }
    size_t tail = (columns - marks) / 2, head = columns - marks - tail;
    snprintf(out, EVN_PAGE_CELL, "%.*s%s%s", (int)bytes_of(name, head), name, dots,
             name + bytes_of(name, width - tail));
}

void evn_format_change(char *out, size_t size, int digits, double value)
{
    evn_format_decimals(out, size, digits, value);
    size_t length = strlen(out);
    if (out[0] == '-' || strspn(out, "0.") == length || length + 2 > size)
        return;
    memmove(out + 1, out, length + 1);
    out[0] = '+';
}

/* Half a block on the right is all there is for bars that grow to the left. */
static size_t put_left_bar(char *out, const evn_look *look, double share, unsigned columns)
{
    const char *block = look->utf8 ? "\u2588" : "#", *half = look->utf8 ? "\u2590" : "#";
    unsigned halves = (unsigned)lround(fmin(fmax(-share, 0), 1) * columns * 2), full = halves / 2, odd = halves % 2;
    size_t used = 0;
    for (unsigned i = 0; i < columns; i++) {
        const char *next = i + full >= columns ? block : i + full + odd >= columns ? half : " ";
        used += (size_t)sprintf(out + used, "%s", next);
    }
    return used;
}

void evn_format_change_bar(char *out, size_t size, const evn_look *look, double share, unsigned columns)
{
    size_t used = put_left_bar(out, look, share, columns);
    used += (size_t)snprintf(out + used, size - used, "%s", look->utf8 ? "\u2502" : "|");
    evn_format_bar(out + used, size - used, look, share, columns);
}

/* ------------------------------------------------------------------------------------------------ trust */

static void put_invented(const evn_compare_page *page)
{
    const evn_lineup *lineup = page->story->lineup;
    bool trucks = false;
    for (size_t i = 0; i < page->count; i++)
        trucks = trucks || evn_truck_invented(evn_lineup_truck(lineup, i));
    bool cycle = strcmp(evn_cycle_source(evn_lineup_cycle(lineup)), "invented") == 0;
    if (!trucks && !cycle)
        return;
    const char *what = trucks && cycle ? "The data of trucks and cycle are invented: they stand for no vehicle and no "
                                         "road that exist."
                       : trucks        ? "Data of trucks are invented: they stand for no vehicle that exists."
                                       : "The cycle is invented: it stands for no road that exists.";
    evn_page_paragraph(page, EVN_STYLE_WARNING, indent, what);
}

static double common_figure(const evn_compare_page *page, const char *key)
{
    evn_figures figures = evn_figures_of_comparison(page->story->comparison);
    return evn_figures_value(&figures, key);
}

static void put_common_speed(const evn_compare_page *page)
{
    char sentence[512];
    double trucks = common_figure(page, "common.trucks"), rounds = common_figure(page, "common.rounds");
    if (!(trucks >= 2))
        return;
    snprintf(
        sentence, sizeof sentence,
        "At the common speed, found in %.0f round%s, the times of the %.0f trucks lie within %.3f s (%.0e of them), "
        "and none was further than %.2f km/h below it.",
        rounds, rounds == 1 ? "" : "s", trucks, common_figure(page, "common.duration_spread_s"),
        common_figure(page, "common.duration_spread"), common_figure(page, "common.furthest_below_km_h"));
    evn_page_paragraph(page, EVN_STYLE_PLAIN, indent, sentence);
}

static void put_arithmetic(const evn_compare_page *page)
{
    char sentence[512];
    double worst = -1;
    for (size_t i = 0; i < page->count; i++)
        for (int basis = EVN_BASIS_OWN; basis <= EVN_BASIS_COMMON; basis++)
            worst = fmax(worst, evn_page_result(page, i, (evn_basis)basis, "closure"));
    if (worst < 0)
        return;
    snprintf(
        sentence, sizeof sentence,
        "The ledgers close to %.1e of the energy that moved or better; the integration was asked for an accuracy of "
        "%.0e. Both speak of the arithmetic, not of the truth.",
        worst, page->story->accuracy);
    evn_page_paragraph(page, EVN_STYLE_PLAIN, indent, sentence);
}

/* Between the first and the others, per cent of what the first uses. */
static double largest_percent(const evn_compare_page *page)
{
    double largest = -1;
    for (size_t i = 1; i < page->count; i++)
        for (int basis = EVN_BASIS_OWN; basis <= EVN_BASIS_COMMON; basis++)
            largest = fmax(largest, fabs(evn_page_percent(page, i, (evn_basis)basis, "kwh_per_km")));
    return largest;
}

static void put_data(const evn_compare_page *page)
{
    char sentence[768], found[256] = "";
    double largest = largest_percent(page);
    if (largest >= 0)
        snprintf(found, sizeof found, " The largest difference against %s found here is %.1f %%%s.", page->name[0],
                 largest, largest < 3 ? ": no more than that" : "");
    snprintf(
        sentence, sizeof sentence,
        "The data of the parts carry an uncertainty of a few per cent of their own.%s What errs alike in all trucks "
        "(tyres, body, cycle) drops out of a difference; what errs in the parts of one does not.",
        found);
    evn_page_paragraph(page, EVN_STYLE_PLAIN, indent, sentence);
}

bool evn_page_trust(const evn_compare_page *page)
{
    evn_page_heading(page, "How far to trust it");
    put_invented(page);
    put_common_speed(page);
    put_arithmetic(page);
    put_data(page);
    evn_page_paragraph(page, EVN_STYLE_PLAIN, indent,
                       "This is an engineering estimate, not a type approval. Braking, axle loads and electrical "
                       "safety are for local regulation and licensed practice to decide.");
    return true;
}

/* ------------------------------------------------------------------------------------------------ the whole */

static size_t width_of(const evn_look *look)
{
    size_t columns = look->columns > 0 ? look->columns : WIDTH_UNKNOWN;
    columns = columns < WIDTH_LEAST ? WIDTH_LEAST : columns;
    return (columns > WIDTH_MOST ? WIDTH_MOST : columns) - 1;
}

static bool put_all(const evn_compare_page *page)
{
    return evn_page_answer(page) && evn_page_side_by_side(page) && evn_page_ledger(page, EVN_BASIS_COMMON) &&
           evn_page_ledger(page, EVN_BASIS_OWN) && evn_page_trust(page);
}

/* Makes the page, lets some parts be written, and forgets it. */
static bool write_parts(const evn_compare_story *story, FILE *to, const evn_look *look,
                        bool (*parts)(const evn_compare_page *))
{
    evn_compare_page page = {.story = story, .to = to, .look = look, .unbroken = look == NULL};
    page.width = look != NULL ? width_of(look) : WIDTH_UNKNOWN;
    page.count = evn_lineup_truck_count(story->lineup);
    bool made = true;
    for (size_t i = 0; i < page.count; i++) {
        page.name[i] = evn_safe_text(evn_lineup_truck_name(story->lineup, i));
        made = made && page.name[i] != NULL;
    }
    made = made && parts(&page);
    for (size_t i = 0; i < page.count; i++)
        free(page.name[i]);
    return made;
}

bool evn_compare_text(const evn_compare_story *story, FILE *to, const evn_look *look)
{
    return write_parts(story, to, look, put_all);
}

bool evn_compare_answer_lines(const evn_compare_story *story, FILE *to)
{
    return write_parts(story, to, NULL, evn_page_answer);
}

bool evn_compare_trust_lines(const evn_compare_story *story, FILE *to)
{
    return write_parts(story, to, NULL, evn_page_trust);
}
