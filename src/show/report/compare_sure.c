/* How sure the differences of a comparison are, and which datum to measure next. */
#define _POSIX_C_SOURCE 200809L
#include "show/compare_sureness.h"
#include "show/report/compare_report.h"
#include "show/sure_words.h"
#include "show/text.h"
#include <math.h>
#include <stdlib.h>
#include <string.h>

enum { CELL = EVN_COMPARE_CELL, SHARES_TOLD = 5, SENTENCE = 768 };

static const char indent[] = "  ";

/* ------------------------------------------------------------------------------------------------ words */

static void format_percent(char out[CELL], const evn_compare_report *report, double percent)
{
    evn_format_change(out, CELL, evn_look_digits(report->look, 1), percent);
}

/* An end that one decimal would tell as zero has two: on which side of it the end lies is the verdict. */
static void format_end(char *out, size_t size, const evn_compare_report *report, double percent)
{
    evn_format_change(out, size, evn_look_digits(report->look, evn_looks_like_nothing(1, percent) ? 2 : 1), percent);
}

void evn_compare_format_interval(char out[CELL], const evn_compare_report *report, double low, double high)
{
    char from[CELL / 4], to[CELL / 4];
    format_end(from, sizeof from, report, low);
    format_end(to, sizeof to, report, high);
    snprintf(out, CELL, "%s to %s", from, to);
}

/* In per cent; near none and all with a decimal, and none is told closer than a draw, or a thousandth, makes it. */
void evn_compare_format_probability(char out[CELL], const evn_compare_report *report, const evn_sureness *is)
{
    double percent = 100 * is->probability_lower, least = is->draws > 0 ? fmax(0.1, 100.0 / (double)is->draws) : 0.1;
    if (evn_look_digits(report->look, 0) != 0)
        evn_format_decimals(out, CELL, EVN_ALL_DIGITS, percent);
    else if (percent > 100 - least)
        snprintf(out, CELL, "> %.1f", 100 - least);
    else if (percent < least)
        snprintf(out, CELL, "< %.1f", least);
    else
        snprintf(out, CELL, "%.*f", percent < 5 || percent > 95 ? 1 : 0, percent);
}

/* "; of the 16 of 32 draws in which both finish: in the others central drive does not". */
static void put_draws_of_both(const evn_compare_report *report, FILE *to, const size_t truck[2], const evn_sureness *is)
{
    evn_failed_draws failed;
    const char *before = "in the others";
    if (is->by != EVN_UNCERTAINTY_DRAWS || !is->fails_often)
        return;
    fprintf(to, "; of the %zu of %zu draws in which both finish: ", is->draws, is->draws + is->failed);
    for (size_t k = 0; k < 2; k++)
        if (evn_uncertainty_failed_at(report->story->uncertainty, truck[k], &failed)) {
            fprintf(to, "%s %s does not", before, report->name[truck[k]]);
            before = " or";
        }
}

void evn_compare_put_sureness(const evn_compare_report *report, FILE *to, size_t truck, size_t other,
                              const evn_sureness *is)
{
    char interval[CELL], probability[CELL], by[CELL], mean[CELL] = "";
    evn_compare_format_interval(interval, report, is->low_percent, is->high_percent);
    evn_compare_format_probability(probability, report, is);
    evn_method_words(is, by, sizeof by);
    if (is->by == EVN_UNCERTAINTY_DRAWS) /* which lie about their own mean */
        format_percent(mean, report, is->mean_percent);
    fprintf(to, "90 %% interval %s %% %s%s%s%s; probability that it is lower %s %%", interval, by,
            mean[0] == '\0' ? "" : ", mean ", mean, mean[0] == '\0' ? "" : " %", probability);
    put_draws_of_both(report, to, (const size_t[]){truck, other}, is);
}

void evn_compare_put_interval(const evn_compare_report *report, FILE *to, size_t truck, size_t other,
                              const evn_sureness *is)
{
    fputs(" (", to);
    evn_compare_put_sureness(report, to, truck, other, is);
    fputc(')', to);
}

/* ------------------------------------------------------------------------------------------------ beside verdicts */

/* What holds where no interval is told. */
#define ASK "--uncertainty first-order or --draws "
#define BY_POINTS "Two trucks less than 0.5 percentage points apart are not told apart (common practice, no source)."

/* Whether any interval rests on draws; stopped early there are too few for that. */
static bool drawn(const evn_compare_report *report)
{
    evn_compare_pair pair;
    evn_sureness is;
    for (size_t k = 0; evn_compare_pair_at(report->story, k, &pair); k++)
        if (evn_compare_sure_between(report->story->uncertainty, pair.truck, pair.other, EVN_BASIS_COMMON,
                                     EVN_UNCERTAINTY_DRAWS, &is))
            return true;
    return false;
}

/* Draws that were driven to their end, whether or not all trucks finished in them. */
static size_t driven(const evn_uncertainty_facts *facts) { return facts->draws_done + facts->failed; }

static void put_partial(const evn_compare_report *report, FILE *to, const evn_uncertainty_facts *facts)
{
    if (drawn(report)) {
        fprintf(to, " Partial: stopped after %zu of %zu draws, on which the intervals at the common speed rest.",
                driven(facts), facts->draws_asked);
        return;
    }
    if (facts->method == EVN_UNCERTAINTY_DRAWS)
        fprintf(to, " Partial: stopped after %zu of %zu draws, too few for intervals by draws.", driven(facts),
                facts->draws_asked);
    else
        fputs(" Partial: stopped before all data were moved.", to);
    fputs(" Where none is told by first order either, no truck is called the lowest; fewer draws, or --uncertainty "
          "first-order, take less.",
          to);
}

static void put_hanging(const evn_compare_report *report, FILE *to, const evn_compare_pair *pair,
                        const evn_uncertainty_facts *facts)
{
    size_t more = evn_compare_more_draws(report->story);
    evn_sureness is;
    bool few = evn_compare_sure_between(report->story->uncertainty, pair->truck, pair->other, EVN_BASIS_COMMON,
                                        EVN_UNCERTAINTY_DRAWS, &is) &&
               is.draws < EVN_DRAWS_WORD_LEAST;
    fprintf(to, " Whether %s and %s can be told apart hangs on the draws: ", report->name[pair->truck],
            report->name[pair->other]);
    if (few)
        fprintf(to, "%zu are fewer than the %d that tell a word.", is.draws, EVN_DRAWS_WORD_LEAST);
    else
        fputs("the word would turn within their error of sampling.", to);
    if (facts->partial)
        fprintf(to, " All %zu draws that were asked for would tell more.", facts->draws_asked);
    else if (more > facts->draws_asked)
        fprintf(to, " Ask for more: --draws %zu.", more);
    else
        fprintf(to, " More than %d draws cannot be asked for.", EVN_DRAWS_MOST);
}

/* Trucks that did not finish in some of the draws. */
static void put_failing(const evn_compare_report *report, FILE *to, const evn_uncertainty_facts *facts)
{
    evn_failed_draws is;
    for (size_t i = 0; i < report->count; i++) {
        if (!evn_uncertainty_failed_at(report->story->uncertainty, i, &is))
            continue;
        fprintf(to, " To be noted: in %zu of %zu draws %s did not finish (first: ", is.draws, driven(facts),
                report->name[i]);
        evn_put_safe(to, is.reason);
        fputs("); its intervals are those of the draws in which it did.", to);
    }
}

static void put_found(const evn_compare_report *report, FILE *to)
{
    evn_uncertainty_facts facts = evn_uncertainty_how_found(report->story->uncertainty);
    evn_compare_pair pair;
    if (facts.partial)
        put_partial(report, to, &facts);
    evn_compare_put_aside(report, to);
    if (evn_compare_hangs(report->story, &pair))
        put_hanging(report, to, &pair, &facts);
    put_failing(report, to, &facts);
}

static void put_not_found(const evn_compare_report *report, FILE *to)
{
    fputs("How sure this is was not computed: ", to);
    evn_put_safe(to, report->story->sure_why);
    fputs(". No truck is called the lowest without it; ", to);
    /* else it would not be found again */
    if (evn_compare_finished_count(report->story, EVN_BASIS_COMMON) >= 2 && !evn_lineup_has_duty(report->story->lineup))
        fprintf(to, ASK "%d asks again, ", EVN_DRAWS_USUAL);
    fputs("--uncertainty off goes without.", to);
}

void evn_compare_put_sure(const evn_compare_report *report, FILE *to)
{
    const evn_compare_story *story = report->story;
    evn_compare_pair pair;
    if (!evn_compare_best_pair(story, &pair))
        return;
    if (story->sure == EVN_SURE_FOUND)
        put_found(report, to);
    else if (story->sure == EVN_SURE_OFF)
        fprintf(to, "Not asked how sure this is (--uncertainty off): " ASK "%d asks. " BY_POINTS, EVN_DRAWS_USUAL);
    else if (story->sure == EVN_SURE_TOO_MUCH)
        fprintf(to,
                "To compute how sure this is takes many runs (%.0f uncertain data x trucks x km, and unasked at most "
                "%d are "
                "driven); " ASK "%d computes it, --uncertainty off goes without.",
                story->uncertainty_work, EVN_UNCERTAINTY_WORK_USUAL, EVN_DRAWS_USUAL);
    else
        put_not_found(report, to);
}

/* ------------------------------------------------------------------------------------------------ how it was found */

static void put_draws(const evn_uncertainty_facts *facts, FILE *to)
{
    fprintf(to,
            "At the common speed by %zu draws (seed %llu) of %zu uncertain data, all trucks in the same draw (JCGM "
            "101); at own speeds by first order.",
            facts->draws_done, (unsigned long long)facts->seed, facts->data);
    if (facts->speed_margin > 0)
        fprintf(
            to,
            " Where trucks limit the common speed it is that of trucks %.0f %% heavier, and no higher than what the "
            "first %d draws reached, so that draws can follow; the intervals lie about the difference as compared.",
            100 * facts->speed_margin, EVN_PILOT_DRAWS);
    if (facts->fell_short > 0)
        fprintf(to, " In %zu of them a truck fell short of that, and all drove at what it reached.", facts->fell_short);
    if (facts->failed > 0)
        fprintf(to, " In %zu a truck did not finish; %s for no pair that it is one of.", facts->failed,
                facts->failed == 1 ? "that one counts" : "those count");
    if (facts->held_at_bounds > 0)
        fprintf(to, " %zu value%s held at the bounds of the key.", facts->held_at_bounds,
                facts->held_at_bounds == 1 ? " was" : "s were");
}

static void put_first_order(const evn_uncertainty_facts *facts, FILE *to)
{
    fprintf(to,
            "By first order: each of %zu uncertain data moved up and down by one standard uncertainty, the effects on "
            "the difference added in quadrature (JCGM 100).",
            facts->data);
}

/* The largest standard errors of sampling of all that is told. */
static void put_sampling(const evn_compare_report *report, FILE *to)
{
    double end = 0, probability = 0;
    evn_compare_pair pair;
    evn_sureness is;
    for (size_t k = 0; evn_compare_pair_at(report->story, k, &pair); k++)
        if (evn_compare_sure_between(report->story->uncertainty, pair.truck, pair.other, EVN_BASIS_COMMON,
                                     EVN_UNCERTAINTY_OFF, &is) &&
            is.by == EVN_UNCERTAINTY_DRAWS) {
            end = fmax(end, fmax(is.low_error_percent, is.high_error_percent));
            probability = fmax(probability, is.probability_error);
        }
    if (end > 0 || probability > 0)
        fprintf(to,
                " Standard errors of sampling: at most %.2f points at an end, %.1f points of a probability, each from "
                "the scatter of %d groups of draws and so itself known to two fifths only.",
                end, 100 * probability, EVN_DRAW_GROUPS);
}

static void put_how(const evn_compare_report *report, FILE *to, const evn_compare_pair *unused)
{
    (void)unused;
    evn_uncertainty_facts facts = evn_uncertainty_how_found(report->story->uncertainty);
    if (facts.partial && !drawn(report))
        fprintf(
            to,
            "Stopped before all that was asked of %zu uncertain data was driven. The intervals that are told are by "
            "first order (JCGM 100).",
            facts.data);
    else if (facts.method == EVN_UNCERTAINTY_DRAWS)
        put_draws(&facts, to);
    else
        put_first_order(&facts, to);
    put_sampling(report, to);
}

static void put_rule(const evn_compare_report *report, FILE *to, const evn_compare_pair *unused)
{
    (void)report, (void)unused;
    fputs(
        "Two trucks can be told apart where the 90 % interval does not contain zero: then one of them is lower with a "
        "probability of at least 95 %. The interval is the probabilistically symmetric coverage interval (JCGM 101): "
        "5 % lie below it and 5 % above. Fewer than 20 draws tell no two apart, and a pair of which one does not "
        "finish in more than 5 % of the draws is not told apart. The interval is that of the data stated: it does not "
        "hold what the model leaves out.",
        to);
}

/* ------------------------------------------------------------------------------------------------ pairs */

typedef struct pair_cells {
    char percent[CELL], interval[CELL], probability[CELL];
    const char *word;
} pair_cells;

/* False: one of the two did not finish. */
static bool fill_pair(const evn_compare_report *report, const evn_compare_pair *pair, evn_basis basis, pair_cells *out)
{
    evn_compare_apart apart;
    *out = (pair_cells){.word = "not computed"};
    if (!evn_compare_tell_apart(report->story, pair->truck, pair->other, basis, &apart))
        return false;
    format_percent(out->percent, report, apart.percent);
    if (!apart.sure)
        return true;
    evn_compare_format_interval(out->interval, report, apart.sureness.low_percent, apart.sureness.high_percent);
    evn_compare_format_probability(out->probability, report, &apart.sureness);
    strcat(out->probability, " %");
    out->word = evn_apart_short_words(apart.sureness.apart);
    return true;
}

/* The truck that the table is about. */
static size_t held_at_own(const evn_compare_report *report)
{
    size_t against = evn_compare_held_against(report->story, EVN_BASIS_OWN);
    return against < report->count ? against : 0;
}

/* "electric axle", or "electric axle against two electric axles" where it is another than the heading says. NULL when
 * memory is out. */
static char *name_pair(const evn_compare_report *report, const evn_compare_pair *pair)
{
    static const char against[] = " against ";
    bool first = pair->other == held_at_own(report);
    const char *other = first ? "" : report->name[pair->other];
    size_t bytes = strlen(report->name[pair->truck]) + strlen(other) + sizeof against;
    char *out = malloc(bytes);
    if (out)
        snprintf(out, bytes, "%s%s%s", report->name[pair->truck], first ? "" : against, other);
    return out;
}

static bool put_pair(evn_table *table, const evn_compare_report *report, const evn_compare_pair *pair)
{
    pair_cells is;
    if (!fill_pair(report, pair, EVN_BASIS_OWN, &is))
        return true;
    char *name = name_pair(report, pair);
    const char *cells[] = {name, is.percent, is.interval, is.probability, is.word};
    bool made = name && evn_table_row(table, cells);
    free(name);
    return made;
}

/* What the ranking does not tell: at own speeds. */
static bool put_pairs(const evn_compare_report *report)
{
    evn_table_column columns[] = {{"own speeds, %", false, true},
                                  {"difference", true, false},
                                  {"90 % interval", true, false},
                                  {"is lower", true, false},
                                  {"", false, false}};
    evn_table *table = evn_table_new(columns, 5, true);
    bool made = table;
    evn_compare_pair pair;
    for (size_t k = 0; made && evn_compare_pair_at(report->story, k, &pair); k++)
        made = put_pair(table, report, &pair);
    made = made && evn_table_print(table, report->to, indent, report->width);
    evn_table_free(table);
    fputc('\n', report->to);
    return made;
}

/* ------------------------------------------------------------------------------------------------ shares */

/* "mesh friction, gearbox.yaml:12"; "drag area, usual for the key". False when memory is out. */
static bool name_datum(const evn_datum *is, char out[2 * CELL])
{
    char *label = evn_safe_text(is->label), *file = is->file ? evn_safe_text(evn_stated_in(is->file)) : NULL;
    bool made = label && (file || !is->file);
    if (made && file)
        snprintf(out, 2 * CELL, "%.200s, %.120s:%u", label, file, is->line);
    else if (made)
        snprintf(out, 2 * CELL, "%.200s, " EVN_SURE_USUAL, label);
    free(label);
    free(file);
    return made;
}

static void format_half_width(char out[CELL], const evn_datum *is)
{
    char number[32];
    const char *unit = evn_half_width_words(is, number, sizeof number);
    snprintf(out, CELL, "%s%s%.32s", number, unit[0] != '\0' ? " " : "", unit);
}

static bool put_share(evn_table *table, const evn_compare_report *report, const evn_share *share)
{
    char label[2 * CELL], half_width[CELL], part[CELL], slope[CELL], half[CELL];
    evn_datum is;
    if (!evn_uncertainty_datum_at(report->story->uncertainty, share->datum, &is) || !name_datum(&is, label))
        return false;
    format_half_width(half_width, &is);
    snprintf(part, CELL, "%.0f %%", 100 * share->share);
    evn_format_change(slope, CELL - 2, evn_look_digits(report->look, 2), share->slope_percent);
    strcat(slope, share->bends ? " *" : "");
    evn_compare_format_interval(half, report, share->half_low_percent, share->half_high_percent);
    const char *cells[] = {label, half_width, part, slope, half};
    return evn_table_row(table, cells);
}

static void put_headings(const evn_compare_report *report, const evn_sureness *told, bool bends)
{
    char interval[CELL], sentence[SENTENCE];
    evn_compare_format_interval(interval, report, told->low_percent, told->high_percent);
    snprintf(sentence, sizeof sentence,
             "share: " EVN_SURE_SHARE "; slope: " EVN_SURE_SLOPE
             ", both by first order; with half: what the 90 %% interval, %s %%, would be if this half width were half "
             "and all others stayed.",
             interval);
    fputc('\n', report->to);
    evn_compare_paragraph(report, EVN_STYLE_PLAIN, indent, sentence);
    if (bends)
        evn_compare_paragraph(report, EVN_STYLE_PLAIN, indent, EVN_SURE_BENDS);
}

static void put_measure(const evn_compare_report *report, FILE *to, const evn_compare_pair *pair)
{
    evn_basis basis;
    if (evn_compare_shares_basis(report->story, pair, &basis))
        fprintf(to, "What to measure next: w" EVN_SURE_BRINGS ":", report->name[pair->truck], report->name[pair->other],
                evn_basis_words(basis));
}

/* The largest shares of the variance of a pair. */
static bool put_shares(const evn_compare_report *report, const evn_compare_pair *pair, evn_basis basis)
{
    evn_table_column columns[] = {{"datum", false, true},
                                  {"half width", true, false},
                                  {"share", true, false},
                                  {"slope", true, false},
                                  {"with half", true, false}};
    evn_table *table = evn_table_new(columns, 5, true);
    evn_share share;
    bool made = table, bends = false;
    for (size_t k = 0; made && k < SHARES_TOLD &&
                       evn_uncertainty_share_at(report->story->uncertainty, pair->truck, pair->other, basis, k, &share);
         k++) {
        if (evn_looks_like_nothing(3, share.share))
            break;
        made = put_share(table, report, &share);
        bends = bends || share.bends;
    }
    made = made && evn_table_print(table, report->to, indent, report->width);
    evn_table_free(table);
    evn_sureness told;
    if (made && evn_compare_sure_between(report->story->uncertainty, pair->truck, pair->other, basis,
                                         EVN_UNCERTAINTY_OFF, &told))
        put_headings(report, &told, bends);
    return made;
}

/* ------------------------------------------------------------------------------------------------ the section */

typedef void writer(const evn_compare_report *, FILE *, const evn_compare_pair *);

/* False when memory is out. */
static bool put_written(const evn_compare_report *report, writer *write, const evn_compare_pair *pair)
{
    char *text = NULL;
    size_t size = 0;
    FILE *memory = open_memstream(&text, &size);
    if (!memory)
        return false;
    write(report, memory, pair);
    bool made = ferror(memory) == 0;
    made = fclose(memory) == 0 && made;
    if (made && text[0] != '\0')
        evn_compare_paragraph(report, EVN_STYLE_PLAIN, indent, text);
    free(text);
    return made;
}

/* The pair that decides, the basis on which shares are told of it, and its largest. False: none to speak of. */
static bool find_largest(const evn_compare_report *report, evn_compare_pair *pair, evn_basis *basis, evn_share *out)
{
    return evn_compare_deciding_pair(report->story, pair) && evn_compare_shares_basis(report->story, pair, basis) &&
           evn_uncertainty_share_at(report->story->uncertainty, pair->truck, pair->other, *basis, 0, out) &&
           !evn_looks_like_nothing(3, out->share); /* else alike in all that errs */
}

void evn_compare_put_change(const evn_compare_report *report, FILE *to)
{
    evn_compare_pair pair;
    evn_basis basis;
    evn_share largest;
    evn_datum datum;
    evn_sureness now;
    char label[2 * CELL], half_width[CELL], half[CELL], interval[CELL];
    if (!find_largest(report, &pair, &basis, &largest) ||
        !evn_uncertainty_datum_at(report->story->uncertainty, largest.datum, &datum) || !name_datum(&datum, label) ||
        !evn_compare_sure_between(report->story->uncertainty, pair.truck, pair.other, basis, EVN_UNCERTAINTY_OFF, &now))
        return;
    format_half_width(half_width, &datum);
    evn_compare_format_interval(half, report, largest.half_low_percent, largest.half_high_percent);
    evn_compare_format_interval(interval, report, now.low_percent, now.high_percent);
    fprintf(
        to,
        "The datum to know better first: %s. Its half width of %s brings %.0f %% of the variance of the difference of "
        "%s against %s at %s; with half of it the 90 %% interval would be %s %%, not %s %%.",
        label, half_width, 100 * largest.share, report->name[pair.truck], report->name[pair.other],
        evn_basis_words(basis), half, interval);
}

static void put_change(const evn_compare_report *report, FILE *to, const evn_compare_pair *unused)
{
    (void)unused;
    evn_compare_put_change(report, to);
}

bool evn_compare_change(const evn_compare_report *report)
{
    evn_compare_pair pair;
    evn_basis basis;
    evn_share largest;
    if (!find_largest(report, &pair, &basis, &largest))
        return true;
    evn_compare_heading(report, "What would change it");
    return put_written(report, put_change, &pair);
}

static bool put_next(const evn_compare_report *report)
{
    evn_compare_pair pair;
    evn_basis basis;
    evn_share largest;
    if (report->unbroken || !find_largest(report, &pair, &basis, &largest))
        return true;
    fputc('\n', report->to);
    bool made = put_written(report, put_measure, &pair);
    fputc('\n', report->to);
    return made && put_shares(report, &pair, basis);
}

bool evn_compare_sure(const evn_compare_report *report)
{
    char heading[SENTENCE];
    if (!report->story->uncertainty)
        return true;
    snprintf(heading, sizeof heading, "How sure: %.80s against %.400s", evn_compare_decides_by(report->story)->words,
             report->name[held_at_own(report)]);
    evn_compare_heading(report, heading);
    bool made = report->unbroken || put_pairs(report);
    return made && put_written(report, put_how, NULL) && put_written(report, put_rule, NULL) && put_next(report);
}
