/* The report on verdicts: which layout, the table, what decided, what would turn it. */
#include "show/assess_story.h"
#include "show/report/wide_table.h"
#include "show/text.h"
#include <math.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

enum { TRUCKS = 12, CELL = 120, LABEL = 240, FEW = 12 };
static const char indent[] = "  ";

typedef struct assess_report {
    const evn_assess_story *story;
    FILE *to;
    const evn_look *look;
    char *title[TRUCKS];
    size_t count;
} assess_report;

static void put_heading(const assess_report *r, const char *text)
{
    fputc('\n', r->to);
    evn_put_styled(r->to, r->look, EVN_STYLE_STRONG, text);
    fputs("\n\n", r->to);
}

static bool put_sentence(const assess_report *r, const char *before, const char *text)
{
    return evn_put_sentence(r->to, evn_look_prose(r->look), before, "%s", text);
}

/* ------------------------------------------------------------------------------------------------ the table */

/* "fail -2.90 %" */
static void cell_of(const assess_report *r, const evn_assessed *is, char out[CELL])
{
    char margin[CELL / 2];
    const char *unit = evn_shown_unit(&is->what);
    snprintf(out, CELL, "%s", evn_verdict_words(is->verdict));
    if (is->verdict == EVN_VERDICT_NOT_ASKED || is->verdict == EVN_VERDICT_NOT_KNOWN || isnan(is->margin))
        return;
    evn_format_decimals(margin, sizeof margin, evn_look_digits(r->look, is->what.digits),
                        evn_shown_value(&is->what, is->margin));
    snprintf(out + strlen(out), CELL - strlen(out), " %s%s%s%s", is->margin > 0 ? "+" : "", margin, unit[0] ? " " : "",
             unit);
}

static bool put_row(const assess_report *r, evn_wide_table *table, size_t demand)
{
    char label[LABEL], demanded[CELL], cell[TRUCKS][CELL];
    const char *cells[1 + TRUCKS] = {label};
    evn_assessed is;
    evn_assessed_at(r->story->assessment, 0, demand, &is);
    bool one = evn_assess_demanded_words(&is, demanded, sizeof demanded);
    snprintf(label, sizeof label, "%.118s, %s", is.what.label, one ? demanded : is.what.unit);
    for (size_t k = 0; k < r->count; k++) {
        evn_assessed_at(r->story->assessment, k, demand, &is);
        cell_of(r, &is, cell[k]);
        cells[1 + k] = cell[k];
    }
    return evn_wide_row(table, cells);
}

static bool put_table(const assess_report *r)
{
    evn_table_column columns[1 + TRUCKS] = {{"", false, true}};
    char whole[TRUCKS][CELL];
    const char *cells[1 + TRUCKS] = {"all of them"};
    for (size_t k = 0; k < r->count; k++) {
        columns[1 + k] = (evn_table_column){r->title[k], true, false};
        snprintf(whole[k], CELL, "%s", evn_verdict_words(evn_assessment_of(r->story->assessment, k)));
        cells[1 + k] = whole[k];
    }
    evn_wide_table *table = evn_wide_new(columns, 1, r->count, 1);
    bool made = table;
    for (size_t k = 0; made && k < evn_assessment_demand_count(r->story->assessment); k++)
        made = put_row(r, table, k);
    made = made && evn_wide_row(table, cells) && evn_wide_print(table, r->to, indent, evn_look_width(r->look));
    evn_wide_free(table);
    return made;
}

/* ------------------------------------------------------------------------------------------------ what it is made of
 */

static bool put_inputs_of(const assess_report *r, size_t truck, size_t demand)
{
    evn_assessed is;
    evn_assess_input in;
    char number[CELL];
    evn_assessed_at(r->story->assessment, truck, demand, &is);
    bool made =
        evn_put_sentence(r->to, evn_look_prose(r->look), indent, "%s: %s; margin = %s%s%s%s%s%s%s.", is.what.label,
                         evn_verdict_words(is.verdict), is.formula, is.value_formula ? "; value = " : "",
                         is.value_formula ? is.value_formula : "", is.source ? "; source " : "",
                         is.source ? is.source : "", is.left_out ? "; " : "", is.left_out ? is.left_out : "");
    for (size_t k = 0; made && evn_assess_input_at(r->story->assessment, truck, demand, k, &in); k++) {
        evn_format_decimals(number, sizeof number, EVN_ALL_DIGITS, in.value);
        made = evn_put_sentence(r->to, evn_look_prose(r->look), "      ", "%s = %s%s%s (%s)", in.key, number,
                                in.unit[0] ? " " : "", in.unit, in.from ? in.from : "");
    }
    return made;
}

static bool put_inputs(const assess_report *r)
{
    bool made = true;
    for (size_t i = 0; made && r->story->inputs && i < r->count; i++) {
        char heading[LABEL];
        snprintf(heading, sizeof heading, "What the verdicts on %.100s are made of", r->title[i]);
        put_heading(r, heading);
        for (size_t k = 0; made && k < evn_assessment_demand_count(r->story->assessment); k++)
            made = put_inputs_of(r, i, k);
    }
    return made;
}

/* ------------------------------------------------------------------------------------------------ the whole */

static double change_of(const evn_assess_turn *t)
{
    return isnan(t->to) || t->from == 0 ? (double)INFINITY : fabs(t->to / t->from - 1);
}

/* Of a fail the datum that has to change least, in proportion; of the choice all. */
static bool is_nearest(const assess_report *r, size_t index)
{
    evn_assess_turn is, other;
    evn_assess_turn_at(r->story->assessment, index, &is);
    for (size_t k = 0; is.truck != SIZE_MAX && evn_assess_turn_at(r->story->assessment, k, &other); k++)
        if (other.truck == is.truck && other.demand == is.demand &&
            (change_of(&other) < change_of(&is) || (change_of(&other) == change_of(&is) && k < index)))
            return false;
    return true;
}

/* All where they are few or asked for with their inputs, else the nearest of each fail. */
static bool put_turns(const assess_report *r)
{
    char text[EVN_ASSESS_SENTENCE_BYTES];
    evn_assess_turn t;
    bool made = true;
    size_t count = 0, left = 0;
    while (evn_assess_turn_at(r->story->assessment, count, &t))
        count++;
    bool all = count <= FEW || r->story->inputs;
    if (count > 0)
        put_heading(r, "What would turn it, each by itself: just kept, and surely");
    for (size_t k = 0; made && evn_assess_turn_words(r->story, k, text); k++) {
        bool told = all || is_nearest(r, k);
        left += !told;
        made = !told || evn_put_sentence(r->to, evn_look_prose(r->look), indent, "%s.", text);
    }
    return made && (left == 0 || evn_put_sentence(r->to, evn_look_prose(r->look), indent,
                                                  "Of each fail what has to change least; %zu more with --inputs, "
                                                  "--json or --page.",
                                                  left));
}

static bool tell(assess_report *r)
{
    const evn_lineup *l = r->story->lineup;
    char text[EVN_ASSESS_SENTENCE_BYTES];
    for (size_t k = 0; k < r->count; k++)
        if (!(r->title[k] = evn_safe_text(evn_lineup_truck_title(l, k))))
            return false;
    evn_assess_advice_words(r->story, text);
    bool made = evn_put_sentence(r->to, evn_look_prose(r->look), "", "%s over %s: %zu trucks, %zu demand%s.",
                                 evn_lineup_name(l) ? evn_lineup_name(l) : "Trucks", evn_lineup_over(l), r->count,
                                 evn_assessment_demand_count(r->story->assessment),
                                 evn_assessment_demand_count(r->story->assessment) == 1 ? "" : "s") &&
                put_sentence(r, "", text);
    put_heading(r, "Verdicts, with the margin to what is demanded");
    made = made && put_table(r);
    put_heading(r, "What decided");
    for (size_t k = 0; made && k < r->count; k++) {
        evn_assess_truck_words(r->story, k, text);
        made = put_sentence(r, indent, text);
    }
    made = made && put_turns(r) && put_inputs(r);
    put_heading(r, "Accuracy and validity");
    return made && put_sentence(r, indent, EVN_ASSESS_MARGINAL) && put_sentence(r, indent, EVN_ASSESS_CAUTION);
}

bool evn_assess_words(const evn_assess_story *story, FILE *to, const evn_look *look)
{
    assess_report r = {.story = story, .to = to, .look = look, .count = evn_assessment_truck_count(story->assessment)};
    bool made = tell(&r);
    for (size_t k = 0; k < r.count; k++)
        free(r.title[k]);
    return made;
}
