/* The report on a comparison as a whole, and what it says of how far to trust it. */
#define _POSIX_C_SOURCE 200809L
#include "show/ask.h"
#include "show/report/brakes_text.h"
#include "show/report/compare_report.h"
#include "show/text.h"
#include <math.h>
#include <stdlib.h>
#include <string.h>

static const char indent[] = "  ";

/* ------------------------------------------------------------------------------------------------ brakes, heat */

/* "central drive: Motors took ..." False when memory is out. */
static bool put_brakes_of(const evn_compare_report *report, size_t truck)
{
    char *text = NULL;
    size_t size = 0;
    FILE *memory = open_memstream(&text, &size);
    if (!memory)
        return false;
    const evn_outcome *own = evn_comparison_outcome(report->story->comparison, truck, EVN_BASIS_OWN);
    fprintf(memory, "%s: ", report->name[truck]);
    bool told = evn_brakes_sentences(evn_outcome_results(own), report->look, memory), made = ferror(memory) == 0;
    made = fclose(memory) == 0 && made;
    if (made && told)
        evn_compare_paragraph(report, EVN_STYLE_PLAIN, indent, text);
    free(text);
    return made;
}

static bool put_brakes(const evn_compare_report *report)
{
    bool made = true;
    if (evn_compare_finished_count(report->story, EVN_BASIS_OWN) == 0)
        return true;
    evn_compare_heading(report, "Brakes and heat, each at its own speeds");
    for (size_t i = 0; made && i < report->count; i++)
        made = !evn_compare_finished(report, i, EVN_BASIS_OWN) || put_brakes_of(report, i);
    evn_compare_paragraph(report, EVN_STYLE_PLAIN, indent, evn_brakes_caution);
    return made;
}

/* ------------------------------------------------------------------------------------------------ trust */

static void put_invented(const evn_compare_report *report)
{
    const evn_lineup *lineup = report->story->lineup;
    bool trucks = false;
    for (size_t i = 0; i < report->count; i++)
        trucks = trucks || evn_truck_invented(evn_lineup_truck(lineup, i));
    bool cycle = strcmp(evn_lineup_over_source(lineup), "invented") == 0;
    if (!trucks && !cycle)
        return;
    const char *over = evn_lineup_has_duty(lineup) ? "duty" : "cycle";
    char what[160];
    if (trucks && cycle)
        snprintf(what, sizeof what,
                 "The data of trucks and %s are invented: they stand for no vehicle and no road that exist.", over);
    else if (trucks)
        snprintf(what, sizeof what, "Data of trucks are invented: they stand for no vehicle that exists.");
    else
        snprintf(what, sizeof what, "The %s is invented: it stands for no road that exists.", over);
    evn_compare_paragraph(report, EVN_STYLE_WARNING, indent, what);
}

static double common_figure(const evn_compare_report *report, const char *key)
{
    evn_figures figures = evn_figures_of_comparison(report->story->comparison);
    return evn_figures_value(&figures, key);
}

static void put_common_speed(const evn_compare_report *report)
{
    char sentence[512];
    double trucks = common_figure(report, "common.trucks"), rounds = common_figure(report, "common.rounds");
    if (!(trucks >= 2))
        return;
    snprintf(
        sentence, sizeof sentence,
        "At the common speed, found in %.0f round%s, the travel times of the %.0f trucks lie within %.3f s (%.0e of "
        "them), and none was further than %.2f km/h below it.",
        rounds, rounds == 1 ? "" : "s", trucks, common_figure(report, "common.duration_spread_s"),
        common_figure(report, "common.duration_spread"), common_figure(report, "common.furthest_below_km_h"));
    evn_compare_paragraph(report, EVN_STYLE_PLAIN, indent, sentence);
}

static void put_arithmetic(const evn_compare_report *report)
{
    char sentence[512];
    double worst = -1;
    for (size_t i = 0; i < report->count; i++)
        for (int basis = EVN_BASIS_OWN; basis <= EVN_BASIS_COMMON; basis++)
            worst = fmax(worst, evn_compare_result(report, i, (evn_basis)basis, "balance_error"));
    if (worst < 0)
        return;
    snprintf(
        sentence, sizeof sentence,
        "Balance error: at most %.1e of the energy that went through the battery; tolerance of the integration: %.0e. "
        "Both speak of the arithmetic, not of the trucks.",
        worst, report->story->ask.driving.accuracy);
    evn_compare_paragraph(report, EVN_STYLE_PLAIN, indent, sentence);
}

/* Between the first and the others, per cent of what the first uses. */
static double largest_percent(const evn_compare_report *report)
{
    double largest = -1;
    for (size_t i = 1; i < report->count; i++)
        for (int basis = EVN_BASIS_OWN; basis <= EVN_BASIS_COMMON; basis++)
            largest = fmax(largest, fabs(evn_compare_percent(report, i, (evn_basis)basis,
                                                             evn_compare_decides_by(report->story)->key)));
    return largest;
}

static void put_data(const evn_compare_report *report)
{
    char sentence[768], found[256] = "";
    double largest = largest_percent(report);
    bool sure = report->story->uncertainty;
    if (largest >= 0)
        snprintf(found, sizeof found, " The largest difference against %s found here is %.1f %%%s.", report->name[0],
                 largest, largest < 3 && !sure ? ": no more than that" : "");
    snprintf(
        sentence, sizeof sentence,
        "%s%s What errs alike in all trucks (tyres, body, cycle) drops out of a difference; what errs in the parts "
        "of one does not.",
        sure ? "What is not known of the data is in the intervals, what the model leaves out is not."
             : "The data of the parts carry an uncertainty of a few per cent of their own.",
        found);
    evn_compare_paragraph(report, EVN_STYLE_PLAIN, indent, sentence);
}

bool evn_compare_trust(const evn_compare_report *report)
{
    evn_compare_heading(report, "Accuracy and validity");
    put_invented(report);
    put_common_speed(report);
    put_arithmetic(report);
    put_data(report);
    char weather[EVN_ASK_WEATHER_BYTES];
    evn_compare_paragraph(report, EVN_STYLE_PLAIN, indent, evn_ask_weather(&report->story->ask, weather));
    evn_compare_paragraph(report, EVN_STYLE_PLAIN, indent,
                          "This is an engineering estimate, not a type approval. Braking, axle loads and electrical "
                          "safety are for local regulation and licensed practice to decide.");
    return true;
}

/* ------------------------------------------------------------------------------------------------ the whole */

static bool draw_ranking(const evn_compare_report *report)
{
    const evn_compare_drawing *drawing = report->drawing;
    return !drawing || drawing->ranking(drawing->self, report->story);
}

/* The page tells the same in the same order (page/html_body.c). */
static bool put_all(const evn_compare_report *report)
{
    return evn_compare_title(report) && evn_compare_ranking(report) && draw_ranking(report) &&
           evn_compare_answer(report) && evn_compare_ends(report) && evn_compare_alike(report) &&
           evn_compare_loads(report) && evn_compare_demanded(report) && evn_compare_side_by_side(report) &&
           evn_compare_why_sentences(report) && evn_compare_change(report) && evn_compare_seasons(report) &&
           evn_compare_legs(report) && evn_compare_sure(report) && evn_compare_why(report) && put_brakes(report) &&
           evn_compare_balance(report, EVN_BASIS_COMMON) && evn_compare_balance(report, EVN_BASIS_OWN) &&
           evn_compare_beside(report) && evn_compare_trust(report);
}

/* Makes the report, lets some parts be written, and forgets it. */
static bool write_parts(const evn_compare_story *story, const evn_compare_drawing *drawing, FILE *to,
                        const evn_look *look, bool headed, bool (*parts)(const evn_compare_report *))
{
    evn_compare_report report = {
        .story = story, .drawing = drawing, .to = to, .look = look, .unbroken = !look, .headed = headed};
    report.width = look ? evn_look_width(look) : EVN_COLUMNS_UNKNOWN;
    report.count = evn_lineup_truck_count(story->lineup);
    bool made = true;
    for (size_t i = 0; i < report.count; i++) {
        report.name[i] = evn_safe_text(evn_lineup_truck_title(story->lineup, i));
        made = made && report.name[i];
    }
    made = made && parts(&report);
    for (size_t i = 0; i < report.count; i++)
        free(report.name[i]);
    return made;
}

bool evn_compare_text(const evn_compare_story *story, const evn_compare_drawing *drawing, FILE *to,
                      const evn_look *look)
{
    return write_parts(story, drawing, to, look, true, put_all);
}

static bool put_sentences(const evn_compare_report *report)
{
    bool made = true;
    for (size_t k = 0; made && k < EVN_COMPARE_SENTENCES; k++) {
        made = evn_compare_put_sentence(report, k, report->to);
        fputc('\n', report->to);
    }
    return made;
}

static bool put_brief(const evn_compare_report *report)
{
    evn_compare_report brief = *report;
    brief.brief = true;
    bool made = evn_compare_put_sentence(&brief, 0, brief.to);
    fputc('\n', brief.to);
    evn_compare_put_doubt(&brief, brief.to); /* in place of what is not alike */
    fputc('\n', brief.to);
    made = made && evn_compare_put_sentence(&brief, EVN_COMPARE_SENTENCES - 1, brief.to);
    fputc('\n', brief.to);
    return made;
}

static const struct {
    bool (*write)(const evn_compare_report *);
    bool headed;
} parts[EVN_PART_COUNT] = {
    [EVN_PART_SENTENCES] = {put_sentences, false},      [EVN_PART_BRIEF] = {put_brief, false},
    [EVN_PART_NOTES] = {evn_compare_notes, false},      [EVN_PART_ENDS] = {evn_compare_ends, true},
    [EVN_PART_ALIKE] = {evn_compare_alike, true},       [EVN_PART_LOADS] = {evn_compare_loads, true},
    [EVN_PART_WHY] = {evn_compare_why_sentences, true}, [EVN_PART_CHANGE] = {evn_compare_change, true},
    [EVN_PART_CAUSES] = {evn_compare_why, false},       [EVN_PART_SURE] = {evn_compare_sure, false},
    [EVN_PART_TRUST] = {evn_compare_trust, false},
};

bool evn_compare_lines(const evn_compare_story *story, evn_compare_part part, FILE *to)
{
    return write_parts(story, NULL, to, NULL, parts[part].headed, parts[part].write);
}

bool evn_compare_unheaded_lines(const evn_compare_story *story, evn_compare_part part, FILE *to)
{
    return write_parts(story, NULL, to, NULL, false, parts[part].write);
}
