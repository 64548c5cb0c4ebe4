/* Why the trucks differ: the difference at the common speed by causes, and what is inside the drivetrain's part. */
#define _POSIX_C_SOURCE 200809L
#include "evener/likeness.h"
#include "show/compare_causes.h"
#include "show/compare_sureness.h"
#include "show/report/compare_report.h"
#include "show/text.h"
#include <math.h>
#include <stdlib.h>
#include <string.h>

enum { CELL = EVN_COMPARE_CELL, LINES_TOLD = 6, KEYS_TOLD = 6 };

static const char indent[] = "  ";

typedef struct why { /* of one truck */
    const evn_compare_report *report;
    const evn_causes *causes;
    size_t truck;
    evn_causes_pair is;
} why;

/* The one that it is parted from. */
static size_t against(const why *w) { return evn_causes_against(w->causes); }

static double percent_of(const why *w, double part) { return 100 * part / fabs(w->is.first_parted); }

static void format_percent(char out[CELL], const why *w, double percent)
{
    evn_format_change(out, CELL, evn_look_digits(w->report->look, 1), percent);
}

static int part_digits(const why *w)
{
    return evn_look_digits(w->report->look, evn_compare_part_digits(w->report->story));
}

static void format_range(char out[CELL], const why *w, double from, double upto)
{
    char low[CELL / 4], high[CELL / 4];
    int digits = evn_look_digits(w->report->look, 1);
    evn_format_change(low, sizeof low, digits, from);
    evn_format_change(high, sizeof high, digits, upto);
    snprintf(out, CELL, "%s to %s", low, high);
}

/* ------------------------------------------------------------------------------------------------ in one sentence */

/* " (drivetrain -4.8, disconnects and changes 0.1)", of the parts of one kind that differ. */
static void put_parts(const why *w, FILE *to, evn_cause_kind kind)
{
    char name[EVN_CAUSE_NAME_BYTES], percent[CELL];
    evn_cause_part part;
    bool any = false;
    for (size_t k = 0; evn_causes_part_at(w->causes, w->truck, k, &part); k++) {
        if (part.alike || evn_cause_kind_of(part.causes) != kind)
            continue;
        format_percent(percent, w, part.percent);
        fprintf(to, "%s%s %s", any ? ", " : " (", evn_cause_name(part.causes, name), percent);
        any = true;
    }
    fputs(any ? ")" : "", to);
}

static bool has_kind(const why *w, evn_cause_kind kind)
{
    evn_cause_part part;
    for (size_t k = 0; evn_causes_part_at(w->causes, w->truck, k, &part); k++)
        if (!part.alike && evn_cause_kind_of(part.causes) == kind)
            return true;
    return false;
}

static void put_kind(const why *w, FILE *to, evn_cause_kind kind, double sum, const char *words)
{
    char percent[CELL];
    if (!has_kind(w, kind))
        return;
    format_percent(percent, w, percent_of(w, sum));
    fprintf(to, "%s %s", words, percent);
    put_parts(w, to, kind);
}

static bool is_unlike_in(const why *w, const char *row_key)
{
    evn_likeness_row row;
    evn_likeness is;
    for (size_t k = 0; evn_likeness_row_at(k, &row); k++)
        if (strcmp(row.what.key, row_key) == 0)
            return evn_comparison_likeness_between(w->report->story->comparison, w->truck, against(w), k, &is) &&
                   !is.alike;
    return false;
}

/* Power that a drivetrain has at the wheels is in its part, and no layout's doing. */
static bool has_other_power(const why *w)
{
    return is_unlike_in(w, "peak_wheel_power_kw") || is_unlike_in(w, "continuous_wheel_power_kw");
}

/* Where the hybrids are slower than the trucks of the comparison, it is not the difference that the ranking tells. */
static void put_speed_parted(const why *w, FILE *to)
{
    char compared[CELL], parted[CELL];
    format_percent(compared, w, 100 * (w->is.other - w->is.first) / fabs(w->is.first));
    format_percent(parted, w, percent_of(w, w->is.other_parted - w->is.first_parted));
    if (strcmp(compared, parted) != 0)
        fprintf(to, ", at a speed %.2f km/h lower on the mean that all hybrids drive,", w->is.slower_km_h);
}

/* Behind the sum that holds the drivetrain's part. */
static void put_power(const why *w, FILE *to, evn_cause_kind kind)
{
    size_t index;
    evn_cause_part drivetrain;
    if (evn_compare_drivetrain_part(w->causes, w->truck, &index, &drivetrain) && !drivetrain.alike &&
        evn_cause_kind_of(drivetrain.causes) == kind && has_other_power(w))
        fputs(" with what its other power at the wheels makes", to);
}

/* What the drivetrain and its switching make: of two that are laid out alike that is other data, not the layout. */
static void put_layout(const why *w, FILE *to)
{
    put_kind(w, to, EVN_CAUSE_OF_LAYOUT, w->is.layout,
             w->is.laid_out_alike ? " other data of the same layout make" : " the layout makes");
    put_power(w, to, EVN_CAUSE_OF_LAYOUT);
}

/* Where no heading says so. */
static void put_place(const why *w, FILE *to)
{
    if (w->report->there && w->report->unbroken && !w->report->headed)
        fputs("There, ", to);
}

/* Parts that the average alone decides: with their ranges over the orders, and what they come to together. */
static void put_hanging(const why *w, FILE *to)
{
    char name[EVN_CAUSE_NAME_BYTES], range[CELL], percent[CELL];
    evn_cause_part part;
    size_t count = 0, told = 0;
    double sum = 0;
    for (size_t k = 0; evn_causes_part_at(w->causes, w->truck, k, &part); k++)
        if (evn_cause_part_hangs(&part)) {
            count++;
            sum += part.percent;
        }
    for (size_t k = 0; count > 0 && evn_causes_part_at(w->causes, w->truck, k, &part); k++) {
        if (!evn_cause_part_hangs(&part))
            continue;
        format_range(range, w, part.least, part.most);
        fprintf(to, "%s%s (%s%s)",
                told > 0     ? told + 1 == count ? " and " : ", "
                : count == 1 ? " What is told of "
                             : " By order of exchange the parts of ",
                evn_cause_name(part.causes, name), count == 1 ? "by order of exchange " : "", range);
        told++;
    }
    if (count == 1)
        fputs(" hangs on what is exchanged before it.", to);
    else if (count > 1) {
        format_percent(percent, w, sum);
        fprintf(to, " hang together: only their sum tells, %s.", percent);
    }
}

/* "electric axle: of -4.9 % against central drive the layout makes -4.9 (drivetrain -4.9), all else 0.0." */
static void put_sentence(const why *w, FILE *to)
{
    char percent[CELL];
    const char *one = w->report->name[w->truck], *first = w->report->name[against(w)];
    put_place(w, to);
    if (w->is.state != EVN_CAUSES_FOUND) {
        fprintf(to, "%s: why it differs from %s was not found: %s.", one, first,
                w->is.state == EVN_CAUSES_STOPPED ? "stopped before"
                                                  : "one of them did not finish at the common speed");
        return;
    }
    format_percent(percent, w, percent_of(w, w->is.other_parted - w->is.first_parted));
    fprintf(to, "%s: of %s %% against %s", one, percent, first);
    put_speed_parted(w, to);
    put_layout(w, to);
    put_kind(w, to, EVN_CAUSE_OF_BOTH, w->is.mixed,
             has_kind(w, EVN_CAUSE_OF_LAYOUT) ? ", what cannot be parted from it" : " what cannot be parted makes");
    put_power(w, to, EVN_CAUSE_OF_BOTH);
    if (has_kind(w, EVN_CAUSE_OF_REST))
        put_kind(w, to, EVN_CAUSE_OF_REST, w->is.rest,
                 has_kind(w, EVN_CAUSE_OF_LAYOUT) || has_kind(w, EVN_CAUSE_OF_BOTH) ? ", all else" : " all else makes");
    else
        fputs(has_kind(w, EVN_CAUSE_OF_LAYOUT) || has_kind(w, EVN_CAUSE_OF_BOTH)
                  ? ", all else being alike"
                  : " nothing is a cause: no key differs",
              to);
    fputc('.', to);
    put_hanging(w, to);
}

/* ------------------------------------------------------------------------------------------------ tables */

static bool put_row(evn_table *table, const why *w, const char *name, double part, double percent, const char *range,
                    const char *interval)
{
    char energy[CELL], share[CELL];
    evn_format_change(energy, sizeof energy, part_digits(w), part);
    format_percent(share, w, percent);
    const char *cells[] = {name, energy, share, range, interval};
    return evn_table_row(table, cells);
}

static bool put_part(evn_table *table, const why *w, const evn_cause_part *part)
{
    char name[EVN_CAUSE_NAME_BYTES], range[CELL] = "", interval[CELL] = "";
    evn_cause_name(part->causes, name);
    if (part->alike) {
        const char *cells[] = {name, "alike", NULL, NULL, NULL};
        return evn_table_row(table, cells);
    }
    format_range(range, w, part->least, part->most);
    if (part->sure)
        format_range(interval, w, part->low_percent, part->high_percent);
    return put_row(table, w, name, part->part, part->percent, range, interval);
}

static bool put_speed(evn_table *table, const why *w)
{
    double lowered = evn_compare_lowered(&w->is), own = w->is.own_speed;
    bool made = put_row(table, w, "all of it", w->is.other_parted - w->is.first_parted,
                        percent_of(w, w->is.other_parted - w->is.first_parted), NULL, NULL);
    made = made && put_row(table, w, "speed of the hybrids", lowered, percent_of(w, lowered), NULL, NULL);
    return made && (isnan(own) || put_row(table, w, "own speeds", own, percent_of(w, own), NULL, NULL));
}

static bool any_sure(const why *w)
{
    evn_cause_part part;
    for (size_t k = 0; evn_causes_part_at(w->causes, w->truck, k, &part); k++)
        if (part.sure)
            return true;
    return false;
}

static bool put_causes(const why *w)
{
    evn_table_column columns[] = {{"cause", false, true},
                                  {evn_compare_decides_by(w->report->story)->unit, true, false},
                                  {"%", true, false},
                                  {"by order", true, false},
                                  {any_sure(w) ? "90 % interval" : "", true, false}};
    evn_table *table = evn_table_new(columns, 5, true);
    evn_cause_part part;
    bool made = table;
    for (size_t k = 0; made && evn_causes_part_at(w->causes, w->truck, k, &part); k++)
        made = put_part(table, w, &part);
    made = made && put_speed(table, w) && evn_table_print(table, w->report->to, indent, w->report->width);
    evn_table_free(table);
    fputc('\n', w->report->to);
    return made;
}

static bool put_lines(const why *w, size_t index)
{
    evn_table_column columns[] = {{"by lines of the energy balance", false, true},
                                  {evn_compare_decides_by(w->report->story)->unit, true, false},
                                  {"%", true, false}};
    evn_table *table = evn_table_new(columns, 3, true);
    evn_cause_line line[LINES_TOLD];
    evn_cause_part part;
    size_t count = evn_compare_largest_lines(w->causes, w->truck, index, line, LINES_TOLD);
    bool made = table && evn_causes_part_at(w->causes, w->truck, index, &part);
    double left = made ? part.part : 0;
    for (size_t k = 0; made && k < count; k++) {
        made = put_row(table, w, line[k].what.label, line[k].part, line[k].percent, NULL, NULL);
        left -= line[k].part;
    }
    made = made && put_row(table, w, "all other lines", left, percent_of(w, left), NULL, NULL) &&
           evn_table_print(table, w->report->to, indent, w->report->width);
    evn_table_free(table);
    fputc('\n', w->report->to);
    return made;
}

static bool put_laws(const why *w)
{
    evn_table_column columns[] = {{"one law at a time, ratios as they are", false, true},
                                  {evn_compare_decides_by(w->report->story)->unit, true, false},
                                  {"%", true, false}};
    evn_table *table = evn_table_new(columns, 3, true);
    evn_cause_law law;
    bool made = table;
    for (size_t k = 0; made && evn_causes_law_at(w->causes, w->truck, k, &law); k++) {
        const char *cells[] = {law.label, "not exchanged", NULL};
        made =
            law.found ? put_row(table, w, law.label, law.part, law.percent, NULL, NULL) : evn_table_row(table, cells);
    }
    made = made && evn_table_print(table, w->report->to, indent, w->report->width);
    evn_table_free(table);
    return made;
}

/* ------------------------------------------------------------------------------------------------ how it was found */

static void put_merged(const why *w, FILE *to)
{
    evn_cause_merge is;
    evn_cause_row one, other;
    for (size_t k = 0; evn_causes_merge_at(w->causes, w->truck, k, &is); k++)
        if (evn_cause_row_at(is.one, &one) && evn_cause_row_at(is.other, &other)) {
            fprintf(to, " Told as one, for a hybrid that parts them cannot be driven: %s + %s (", one.label,
                    other.label);
            evn_put_safe(to, is.reason);
            fputs(").", to);
        }
}

static void put_not_exchanged(const why *w, FILE *to)
{
    evn_cause_law law;
    for (size_t k = 0; evn_causes_law_at(w->causes, w->truck, k, &law); k++)
        if (!law.found)
            fprintf(to, " Not exchanged: %s (%s).", law.label, law.why_not);
}

/* Axle loads are of the body: hybrids that drive one axle with the loads of two lack grip, and the other way round. */
static void put_hang_together(const why *w, FILE *to)
{
    const unsigned both = 1u << EVN_CAUSE_BODY | 1u << EVN_CAUSE_DRIVEN_AXLES;
    evn_cause_part part;
    for (size_t k = 0; evn_causes_part_at(w->causes, w->truck, k, &part); k++)
        if ((part.causes & both) == both)
            return;
    if (is_unlike_in(w, "driven_axles"))
        fputs(" Not as many axles are driven, and axle loads are of the body: the parts of body and of driven axles "
              "hang together, and only their sum tells.",
              to);
}

/* Of the causes that hold many things: which keys it is. */
static void put_differing(const why *w, FILE *to)
{
    static const evn_cause wide[] = {EVN_CAUSE_BODY, EVN_CAUSE_AUXILIARIES};
    evn_cause_row row;
    const char *path;
    for (size_t i = 0; i < sizeof wide / sizeof wide[0]; i++) {
        size_t count = 0;
        if (!evn_cause_row_at(wide[i], &row))
            continue;
        for (; evn_causes_differing_at(w->causes, w->truck, wide[i], count, &path); count++)
            if (count < KEYS_TOLD) {
                fprintf(to, count > 0 ? "%s" : " Unlike in %s: ", count > 0 ? ", " : row.label);
                evn_put_safe(to, path);
            }
        if (count > KEYS_TOLD)
            fprintf(to, " and %zu more", count - KEYS_TOLD);
        fputs(count > 0 ? "." : "", to);
    }
}

static void put_draws(const why *w, FILE *to)
{
    size_t counted = w->is.draws_done - w->is.draws_failed;
    if (w->is.draws_asked == 0)
        return;
    if (!any_sure(w)) {
        fprintf(to, " No intervals: %zu of %zu draws are whole, and that is too few.", counted, w->is.draws_asked);
        return;
    }
    fprintf(to,
            " Intervals by %zu of %zu draws, each as it was driven with its hybrids: they lie about the difference at "
            "that speed, those of the ranking about the difference as compared, by all draws.",
            counted, w->is.draws_asked);
    if (w->is.draws_late > 0)
        fprintf(to, " In %zu of them a hybrid was late still when rounds ran out.", w->is.draws_late);
}

static void put_found(const why *w, FILE *to)
{
    char first[CELL], other[CELL], below[CELL] = "an unknown number of";
    int digits = part_digits(w);
    if (!isnan(w->is.below_pair_km_h))
        snprintf(below, sizeof below, "%.2f", w->is.below_pair_km_h);
    evn_format_change(first, sizeof first, digits, w->is.first_parted - w->is.first);
    evn_format_change(other, sizeof other, digits, w->is.other_parted - w->is.other);
    put_place(w, to);
    fprintf(
        to,
        "%s: %zu different %s, at a speed that all of them drive, %s km/h below that of the two alone and %.2f below "
        "the common speed on the mean (%s: %s, %s: %s %s).",
        w->report->name[w->truck], w->is.hybrids, w->is.hybrids == 1 ? "hybrid" : "hybrids", below, w->is.slower_km_h,
        w->report->name[against(w)], first, w->report->name[w->truck], other,
        evn_compare_decides_by(w->report->story)->unit);
    if (!w->is.kept)
        fprintf(to, " After %u rounds not all of them kept it: parts hold what some are late.", w->is.rounds);
    put_draws(w, to);
    put_hang_together(w, to);
    put_differing(w, to);
    if (is_unlike_in(w, "axles"))
        fputs(" Hubs of an axle that only one of them has stand with the body, not with hub drag.", to);
    put_merged(w, to);
    put_not_exchanged(w, to);
}

/* False when memory is out. */
static bool put_written(const why *w, void (*write)(const why *, FILE *))
{
    char *text = NULL;
    size_t size = 0;
    FILE *memory = open_memstream(&text, &size);
    if (!memory)
        return false;
    write(w, memory);
    bool made = ferror(memory) == 0;
    made = fclose(memory) == 0 && made;
    if (made)
        evn_compare_paragraph(w->report, EVN_STYLE_PLAIN, indent, text);
    free(text);
    return made;
}

/* ------------------------------------------------------------------------------------------------ the section */

static bool put_truck(const why *w)
{
    size_t index;
    evn_cause_part part;
    char about[4 * CELL];
    bool made = true;
    if (w->is.state != EVN_CAUSES_FOUND || w->report->unbroken)
        return w->is.state != EVN_CAUSES_FOUND || put_written(w, put_found);
    snprintf(about, sizeof about, "%.700s:", w->report->name[w->truck]);
    evn_compare_paragraph(w->report, EVN_STYLE_PLAIN, indent, about);
    fputc('\n', w->report->to);
    made = put_causes(w);
    if (made && evn_compare_drivetrain_part(w->causes, w->truck, &index, &part) && !part.alike) {
        char heading[CELL + EVN_CAUSE_NAME_BYTES], name[EVN_CAUSE_NAME_BYTES];
        snprintf(heading, sizeof heading, "Inside %s:", evn_cause_name(part.causes, name));
        evn_compare_paragraph(w->report, EVN_STYLE_PLAIN, indent, heading);
        fputc('\n', w->report->to);
        made = put_lines(w, index) && put_laws(w);
        fputc('\n', w->report->to);
    }
    made = made && put_written(w, put_found);
    fputc('\n', w->report->to);
    return made;
}

static void put_method(const evn_compare_report *report)
{
    char text[1280];
    snprintf(text, sizeof text,
             "Each cause is a block of keys that is exchanged whole between the two trucks; its part is what that "
             "changes, averaged over all orders of exchange (%s), so that parts add up. By order: the least and the "
             "most that it changes beside any others; parts for which that is further than the part itself and half a "
             "point tell only together. Body, tyres and mass hold all but the causes that stand beside: battery, "
             "brakes, trailer and "
             "payload too. The exact driver drives all hybrids; what slower hybrids and own "
             "speeds make stands by itself, outside of the average.%s",
             evn_causes_source(),
             evn_causes_partial(report->story->causes) || evn_causes_partial(report->story->beside_causes)
                 ? " Partial: stopped before all was driven."
                 : "");
    evn_compare_paragraph(report, EVN_STYLE_PLAIN, indent, text);
}

/* Of the lineup beside, whose trucks have names and places of their own. False when memory is out. */
static bool put_there(const evn_compare_report *report, bool (*put)(const evn_compare_report *))
{
    const evn_compare_story story = evn_compare_story_there(report->story);
    evn_compare_report there = *report;
    bool made = true;
    there.story = &story;
    there.there = true;
    there.count = evn_lineup_truck_count(story.lineup);
    for (size_t i = 0; i < there.count; i++) {
        there.name[i] = evn_safe_text(evn_lineup_truck_title(story.lineup, i));
        made = made && there.name[i];
    }
    made = made && put(&there);
    for (size_t i = 0; i < there.count; i++)
        free(there.name[i]);
    return made;
}

static bool put_section(const evn_compare_report *report)
{
    char heading[4 * CELL];
    const evn_causes *causes = report->story->causes;
    bool made = true;
    snprintf(heading, sizeof heading, "%s: %.80s at the common speed against %.400s",
             report->there ? "There, by causes" : "By causes", evn_compare_decides_by(report->story)->words,
             report->name[evn_causes_against(causes)]);
    evn_compare_heading(report, heading);
    for (size_t i = 0; made && i < report->count; i++) {
        why w = {.report = report, .causes = causes, .truck = i};
        made = !evn_causes_pair_at(causes, i, &w.is) || put_truck(&w);
    }
    return made;
}

bool evn_compare_why(const evn_compare_report *report)
{
    bool here = report->story->causes, there = report->story->beside_causes;
    bool made = (!here || put_section(report)) && (!there || put_there(report, put_section));
    if (here || there)
        put_method(report);
    return made;
}

/* ------------------------------------------------------------------------------------------------ in the answer */

static bool put_sentences(const evn_compare_report *report)
{
    bool made = true;
    evn_compare_heading(report, report->there ? "Why, there" : "Why");
    for (size_t i = 0; made && i < report->count; i++) {
        why w = {.report = report, .causes = report->story->causes, .truck = i};
        made = !evn_causes_pair_at(w.causes, i, &w.is) || put_written(&w, put_sentence);
    }
    return made;
}

static void put_not_begun(const evn_compare_report *report)
{
    bool stopped = strcmp(report->story->status, "interrupted") == 0;
    evn_compare_heading(report, "Why");
    evn_compare_paragraph(report, EVN_STYLE_PLAIN, indent,
                          stopped ? "Partial: interrupted before any hybrid was driven."
                                  : "Not found: neither the first truck nor two others finished at the common speed.");
}

bool evn_compare_why_sentences(const evn_compare_report *report)
{
    const evn_compare_story *story = report->story;
    if (!story->causes && story->why_asked)
        put_not_begun(report);
    if (!story->why_asked)
        return evn_compare_mostly(report);
    return (!story->causes || put_sentences(report)) && (!story->beside_causes || put_there(report, put_sentences));
}
