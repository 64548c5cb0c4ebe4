/* The trucks of a comparison ranked: difference, interval and probability; and who did not finish, with why. */
#define _POSIX_C_SOURCE 200809L
#include "show/compare_sureness.h"
#include "show/report/compare_report.h"
#include "show/sure_words.h"
#include "show/text.h"
#include <stdlib.h>
#include <string.h>

enum { CELL = EVN_COMPARE_CELL };

static const char indent[] = "  ";

/* ------------------------------------------------------------------------------------------------ those that finished
 */

/* Where one of them is told as the lower, the sign says which. */
static const char *word_of(const evn_compare_apart *apart)
{
    return apart->open ? "not computed" : apart->is == EVN_CANNOT_BE_TOLD_APART ? "not apart" : "";
}

static bool put_row(evn_table *table, const evn_compare_report *report, const char *name, const evn_compare_pair *pair,
                    evn_basis basis)
{
    const evn_compare_decides *by = evn_compare_decides_by(report->story);
    char use[CELL], percent[CELL] = "", interval[CELL] = "", probability[CELL] = "";
    const char *cells[] = {name, use, percent, interval, probability, ""};
    evn_compare_apart apart;
    evn_format_decimals(use, CELL, evn_look_digits(report->look, by->digits),
                        evn_compare_result(report, pair->truck, basis, by->key));
    if (name != report->name[pair->truck]) /* told in its own row */
        use[0] = '\0';
    if (pair->truck != pair->other && evn_compare_tell_apart(report->story, pair->truck, pair->other, basis, &apart)) {
        evn_format_change(percent, CELL, evn_look_digits(report->look, 1), apart.percent);
        cells[5] = word_of(&apart);
        if (apart.sure) {
            evn_compare_format_interval(interval, report, apart.sureness.low_percent, apart.sureness.high_percent);
            evn_compare_format_probability(probability, report, &apart.sureness);
            strcat(probability, " %");
        }
    }
    return evn_table_row(table, cells);
}

/* "electric axle against two electric axles": the best against the runner-up, where neither is what all are held
 * against. */
static bool put_best(evn_table *table, const evn_compare_report *report, size_t against, evn_basis basis)
{
    static const char between[] = " against ";
    evn_compare_pair best;
    if (!evn_compare_best_pair(report->story, &best) || best.truck == against || best.other == against)
        return true;
    const char *one = report->name[best.truck], *other = report->name[best.other];
    size_t bytes = strlen(one) + strlen(other) + sizeof between;
    char *name = malloc(bytes);
    if (!name)
        return false;
    snprintf(name, bytes, "%s%s%s", one, between, other);
    bool made = put_row(table, report, name, &best, basis);
    free(name);
    return made;
}

static bool put_ranked(const evn_compare_report *report, evn_basis basis, const size_t *ranked, size_t count)
{
    const evn_compare_decides *by = evn_compare_decides_by(report->story);
    size_t against = evn_compare_held_against(report->story, basis);
    bool sure = report->story->uncertainty;
    evn_table_column columns[] = {{"", false, true},
                                  {by->unit, true, false},
                                  {"%", true, false},
                                  {sure ? "90 % interval" : "", true, false},
                                  {sure ? "is lower" : "", true, false},
                                  {"", false, false}};
    evn_table *table = evn_table_new(columns, sizeof columns / sizeof *columns, true);
    bool made = table;
    for (size_t k = 0; made && k < count; k++)
        made = put_row(table, report, report->name[ranked[k]], &(evn_compare_pair){ranked[k], against}, basis);
    made = made && put_best(table, report, against, basis) && evn_table_print(table, report->to, indent, report->width);
    evn_table_free(table);
    return made;
}

/* ------------------------------------------------------------------------------------------------ those that did not
 */

/* What an error begins with is the whole name of the truck, which is called by its short one here. */
static void put_reason(const evn_compare_report *report, FILE *to, size_t truck, const char *reason)
{
    const char *name = evn_truck_name(evn_lineup_truck(report->story->lineup, truck));
    size_t bytes = strlen(name);
    bool named = bytes > 0 && strncmp(reason, name, bytes) == 0 && reason[bytes] == ' ';
    fputs(named ? "; it" : "; ", to);
    evn_put_safe(to, reason + (named ? bytes : 0));
}

/* What was found, without what is expected of the data: that stands with the findings. */
static void put_doubt(FILE *to, const char *found)
{
    char text[EVN_COMPARE_CELL * 2];
    const char *expected = strstr(found, "; expected");
    snprintf(text, sizeof text, "%.*s", (int)(expected ? (size_t)(expected - found) : strlen(found)), found);
    fputs(". It is in doubt whether it stops there: ", to);
    evn_put_safe(to, text);
}

/* "electric axle did not finish: stalled at 6.01 of 12.00 km; it cannot move off ...". */
static bool put_end(const evn_compare_report *report, size_t truck)
{
    char *text = NULL;
    size_t size = 0;
    FILE *memory = open_memstream(&text, &size);
    if (!memory)
        return false;
    evn_compare_reached reached = evn_compare_reached_by(report->story, truck);
    fprintf(memory, "%s ", report->name[truck]);
    fputs(reached.finished ? "" : "did not finish: ", memory);
    bool any = evn_compare_put_end(report, memory, truck);
    if (reached.reason)
        put_reason(report, memory, truck, reached.reason);
    if (reached.doubt)
        put_doubt(memory, reached.doubt);
    fputc('.', memory);
    bool made = ferror(memory) == 0;
    made = fclose(memory) == 0 && made;
    if (made && any)
        evn_compare_paragraph(report, EVN_STYLE_WARNING, indent, text);
    free(text);
    return made;
}

bool evn_compare_ends(const evn_compare_report *report)
{
    char heading[128];
    bool made = true;
    size_t own = evn_compare_finished_count(report->story, EVN_BASIS_OWN), count = report->count;
    size_t common = evn_compare_finished_count(report->story, EVN_BASIS_COMMON);
    if (own == count && common == count)
        return true;
    bool common_only = false;
    for (size_t i = 0; i < count; i++)
        common_only = common_only || evn_compare_reached_by(report->story, i).common_only;
    if (common_only)
        snprintf(heading, sizeof heading, "%zu of %zu finished at own speeds, and %zu at the common speed", own, count,
                 common);
    else if (own == count)
        snprintf(heading, sizeof heading, "All finished, and %zu of %zu at the common speed", common, count);
    else
        snprintf(heading, sizeof heading, "%zu of %zu finished%s", own, count,
                 own > 1 ? "; only those are held against each other" : "");
    evn_compare_heading(report, heading);
    for (size_t i = 0; made && i < report->count; i++)
        made = put_end(report, i);
    return made;
}

/* ------------------------------------------------------------------------------------------------ the section */

bool evn_compare_ranking(const evn_compare_report *report)
{
    char heading[512];
    size_t ranked[EVN_COMPARE_TRUCKS_MOST];
    evn_basis basis = evn_compare_told_basis(report->story);
    size_t count = evn_compare_rank(report->story, basis, false, ranked);
    if (count == 0)
        return true;
    snprintf(heading, sizeof heading, "Ranking%s: %.80s at %s, %% against %.300s",
             evn_compare_like_for_like(report->story) ? "" : ", not like for like",
             evn_compare_decides_by(report->story)->words, evn_basis_words(basis),
             report->name[evn_compare_held_against(report->story, basis)]);
    evn_compare_heading(report, heading);
    return put_ranked(report, basis, ranked, count);
}
