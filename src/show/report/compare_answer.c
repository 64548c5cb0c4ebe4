/* What a comparison begins with: what it is about, the sentences that answer, and what is demanded and not alike. */
#define _POSIX_C_SOURCE 200809L
#include "evener/duty.h"
#include "show/ask.h"
#include "show/assess_story.h"
#include "show/report/compare_report.h"
#include "show/text.h"
#include <math.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

static const char indent[] = "  ";

/* ------------------------------------------------------------------------------------------------ what it is about */

static void put_title(const evn_compare_report *report, FILE *to, size_t unused)
{
    (void)unused;
    const char *name = evn_lineup_name(report->story->lineup);
    if (name) {
        evn_put_safe(to, name);
        fputs(": ", to);
    }
    fprintf(to, "%zu trucks over ", report->count);
    evn_put_safe(to, evn_lineup_over(report->story->lineup));
    const char *season = evn_lineup_season_name(report->story->lineup);
    if (season) {
        fputs(", season ", to);
        evn_put_safe(to, season);
    }
    fputs(report->story->ask.driving.driver == EVN_DRIVER_EXACT ? ", target speed held exactly." : ".", to);
}

/* ------------------------------------------------------------------------------------------------ demands */

/* "central drive yes, 16.40 %"; "electric axle no, 12.31 % (adhesion)". */
static void put_verdict(const evn_compare_report *report, FILE *to, size_t truck, const evn_limits_verdict *is)
{
    char value[EVN_COMPARE_CELL];
    fprintf(to, "%s %s", report->name[truck], is->met ? "yes" : "no");
    if (isfinite(is->value)) {
        evn_format_decimals(value, sizeof value, evn_look_digits(report->look, is->what.digits), is->value);
        fprintf(to, ", %s%s %s", is->beyond ? "more than " : "", value, is->what.unit);
    } else if (!is->limit)
        fputs(", not known: nothing is stated of its heat", to);
    if (is->limit)
        fprintf(to, " (%s)", is->limit_label);
}

/* "Demanded, starting on 15 %, soil: central drive yes, ...; electric axle no, ...". */
static void put_demand(const evn_compare_report *report, FILE *to, size_t index)
{
    bool any = false;
    for (size_t i = 0; i < report->count; i++) {
        evn_limits_verdict is;
        if (!evn_limits_demand_at(evn_comparison_limits(report->story->comparison, i), index, &is))
            continue;
        if (any)
            fputs("; ", to);
        else
            fprintf(to, "Demanded, %s: ", is.what.label);
        put_verdict(report, to, i, &is);
        any = true;
    }
    fputs(any ? "." : "", to);
}

static bool all_meet(const evn_compare_report *report, size_t index)
{
    evn_limits_verdict is;
    for (size_t i = 0; i < report->count; i++)
        if (evn_limits_demand_at(evn_comparison_limits(report->story->comparison, i), index, &is) && !is.met)
            return false;
    return true;
}

static size_t count_demands(const evn_compare_report *report)
{
    evn_limits_verdict is;
    size_t most = 0;
    for (size_t i = 0; i < report->count; i++)
        while (evn_limits_demand_at(evn_comparison_limits(report->story->comparison, i), most, &is))
            most++;
    return most;
}

/* ------------------------------------------------------------------------------------------------ of the day */

static bool day_demand(const evn_compare_report *report, size_t truck, size_t index, const char **season,
                       evn_day_demand *out)
{
    return evn_comparison_day_demand_at(report->story->comparison, truck, index, season, out);
}

static void put_value(const evn_compare_report *report, FILE *to, const evn_day_demand *d, double value)
{
    char text[EVN_COMPARE_CELL];
    bool share = d->what.kind == EVN_SHARE;
    evn_format_decimals(text, sizeof text, evn_look_digits(report->look, d->what.digits), share ? 100 * value : value);
    fprintf(to, "%s %s", text, share ? "%" : d->what.unit);
}

/* "Demanded of the day in season winter, reserve of charge at least 10.0 %: central drive yes, 16.4 %; ...". */
static void put_day_demand(const evn_compare_report *report, FILE *to, size_t index)
{
    bool any = false;
    for (size_t i = 0; i < report->count; i++) {
        const char *season;
        evn_day_demand d;
        if (!day_demand(report, i, index, &season, &d))
            continue;
        if (!any) {
            fprintf(to, "Demanded of the day%s", season ? " in season " : "");
            evn_put_safe(to, season ? season : "");
            fprintf(to, ", %s at least ", d.what.label);
            put_value(report, to, &d, d.demanded);
        }
        fprintf(to, "%s %s %s", any ? ";" : ":", report->name[i], d.met ? "yes" : "no");
        if (isfinite(d.value)) {
            fputs(", ", to);
            put_value(report, to, &d, d.value);
        }
        any = true;
    }
    fputs(any ? "." : "", to);
}

static bool all_days_meet(const evn_compare_report *report, size_t index)
{
    const char *season;
    evn_day_demand d;
    for (size_t i = 0; i < report->count; i++)
        if (day_demand(report, i, index, &season, &d) && !d.met)
            return false;
    return true;
}

static size_t count_day_demands(const evn_compare_report *report)
{
    const char *season;
    evn_day_demand d;
    size_t most = 0;
    for (size_t i = 0; i < report->count; i++)
        while (day_demand(report, i, most, &season, &d))
            most++;
    return most;
}

/* "Demanded of the truck as it stands: failed by electric axle (rules on loads)." */
static void put_standing(const evn_compare_report *report, FILE *to, size_t unused)
{
    char unfit[EVN_ASSESS_SENTENCE_BYTES];
    (void)unused;
    evn_assess_unfit_words(report->story->lineup, report->story->standing, unfit);
    fputs("Demanded of the truck as it stands ('evener assess' tells more): ", to);
    evn_put_safe(to, unfit[0] != '\0' ? unfit : "passed by all.");
}

/* ------------------------------------------------------------------------------------------------ like for like */

/* The lightest and the heaviest, for layouts bring their own mass. */
static void put_masses(const evn_compare_report *report, FILE *to)
{
    double least = (double)INFINITY, most = -(double)INFINITY;
    for (size_t i = 0; i < report->count; i++) {
        const evn_rig *rig = evn_comparison_rig(report->story->comparison, i);
        evn_figures figures = evn_figures_of_rig(rig);
        double gross_kg = evn_figures_value(&figures, "masses.gross_kg");
        least = isfinite(gross_kg) ? fmin(least, gross_kg) : least;
        most = isfinite(gross_kg) ? fmax(most, gross_kg) : most;
    }
    if (most - least >= 0.5)
        fprintf(to, " gross masses from %.0f to %.0f kg.", least, most);
    else if (most > 0)
        fprintf(to, " gross mass %.0f kg.", most);
}

/* What sets a truck apart from the one that all are held against. */
static void put_unlike(const evn_compare_report *report, FILE *to, size_t truck)
{
    if (truck != evn_compare_alike_of(report) && evn_compare_put_unlike(report, to, "", truck, SIZE_MAX))
        fputc('.', to);
}

static bool any_unlike(const evn_compare_report *report)
{
    for (size_t i = 0; i < report->count; i++)
        if (i != evn_compare_alike_of(report) && evn_compare_is_held(report->story, i) &&
            !evn_compare_alike_with(report->story, i, evn_compare_alike_of(report)))
            return true;
    return false;
}

static void put_gross(const evn_compare_report *report, FILE *to, size_t unused)
{
    (void)unused;
    fputs(any_unlike(report) ? "Beside that:" : "Nothing that is judged;", to);
    put_masses(report, to);
}

/* ------------------------------------------------------------------------------------------------ made equal */

static double first_likeness(const evn_compare_report *report, const char *key)
{
    evn_likeness_row row;
    evn_likeness is = {.value = (double)NAN};
    for (size_t k = 0; evn_likeness_row_at(k, &row); k++)
        if (strcmp(row.what.key, key) == 0)
            evn_comparison_likeness_at(report->story->comparison, 0, k, &is);
    return is.value;
}

static void put_equal(const evn_compare_report *report, FILE *to, size_t unused)
{
    (void)unused;
    evn_equal by = evn_compare_equal_by(report->story);
    if (by == EVN_EQUAL_GROSS)
        fprintf(to, "Made equal in gross mass, %.0f kg", first_likeness(report, "gross_mass_kg"));
    else if (by == EVN_EQUAL_POWER)
        fprintf(to, "Made equal in peak wheel power, %.0f kW", first_likeness(report, "peak_wheel_power_kw"));
    else
        return;
    bool any = false;
    evn_equalised given;
    for (size_t i = 1; i < report->count; i++)
        if (evn_comparison_equalised(report->story->comparison, i, &given))
            any = evn_compare_put_given(report, to, "; ", i, &given) || any;
    if (by == EVN_EQUAL_POWER && !any)
        fputs("; no motors had to be scaled to speak of", to);
    fputs(by == EVN_EQUAL_GROSS ? ". Energy per tonne of payload decides." : ".", to);
}

/* ------------------------------------------------------------------------------------------------ the whole */

typedef void writer(const evn_compare_report *, FILE *, size_t index);

static bool put_written(const evn_compare_report *report, evn_style style, const char *margin, writer *write,
                        size_t index)
{
    char *text = NULL;
    size_t size = 0;
    FILE *memory = open_memstream(&text, &size);
    if (!memory)
        return false;
    write(report, memory, index);
    bool failed = ferror(memory) != 0;
    if (fclose(memory) != 0 || failed) {
        free(text);
        return false;
    }
    if (text[0] != '\0')
        evn_compare_paragraph(report, style, margin, text);
    free(text);
    return true;
}

static void put_sentence(const evn_compare_report *report, FILE *to, size_t index)
{
    evn_compare_put_sentence(report, index, to);
}

static void put_sure(const evn_compare_report *report, FILE *to, size_t unused)
{
    (void)unused;
    evn_compare_put_sure(report, to);
}

static void put_beside(const evn_compare_report *report, FILE *to, size_t unused)
{
    (void)unused;
    evn_compare_put_beside(report, to);
}

static void put_asked(const evn_compare_report *report, FILE *to, size_t unused)
{
    (void)unused;
    evn_ask_words(&report->story->ask, to);
}

static void put_payload(const evn_compare_report *report, FILE *to, size_t unused)
{
    (void)unused;
    evn_ask_payload_words(&report->story->ask, evn_lineup_duty(report->story->lineup), to);
}

static void put_before_seasons(const evn_compare_report *report, FILE *to, size_t unused)
{
    (void)unused;
    if (evn_lineup_season_name(report->story->lineup))
        evn_ask_before_seasons_words(&report->story->ask, to);
}

/* Another may be worse than the one that is told. */
static void put_other_seasons(const evn_compare_report *report, FILE *to, size_t unused)
{
    (void)unused;
    evn_day_season any;
    size_t seasons = evn_lineup_season_count(report->story->lineup);
    bool driven = false;
    for (size_t i = 0; i < report->count; i++)
        driven = driven || evn_comparison_season_at(report->story->comparison, i, 0, &any);
    if (seasons < 2 || driven)
        return;
    fputs("Compared in season ", to);
    evn_put_safe(to, evn_lineup_season_name(report->story->lineup));
    fprintf(to, " alone; the duty has %zu: --seasons drives them all, and tells the worst of every truck.", seasons);
}

/* The answer itself stands out, and what bounds it where it does. */
static evn_style style_of(const evn_compare_report *report, size_t sentence)
{
    if (sentence == 0)
        return EVN_STYLE_STRONG;
    if (sentence == 1)
        return evn_compare_all_alike(report->story) ? EVN_STYLE_PLAIN : EVN_STYLE_WARNING;
    for (size_t i = 0; i < report->count; i++)
        if (!evn_compare_finished(report, i, EVN_BASIS_OWN) || evn_compare_falls_short(report, i))
            return EVN_STYLE_WARNING;
    return EVN_STYLE_PLAIN;
}

bool evn_compare_notes(const evn_compare_report *report)
{
    return put_written(report, EVN_STYLE_WARNING, "", put_sure, 0) &&
           put_written(report, EVN_STYLE_PLAIN, "", put_equal, 0) &&
           put_written(report, EVN_STYLE_STRONG, "", put_beside, 0) &&
           put_written(report, EVN_STYLE_PLAIN, "", put_asked, 0) &&
           put_written(report, EVN_STYLE_PLAIN, "", put_payload, 0) &&
           put_written(report, EVN_STYLE_PLAIN, "", put_before_seasons, 0) &&
           put_written(report, EVN_STYLE_PLAIN, "", put_other_seasons, 0);
}

bool evn_compare_title(const evn_compare_report *report)
{
    return put_written(report, EVN_STYLE_STRONG, "", put_title, 0);
}

bool evn_compare_answer(const evn_compare_report *report)
{
    bool made = true;
    fputc('\n', report->to);
    for (size_t k = 0; made && k < EVN_COMPARE_SENTENCES; k++)
        made = put_written(report, style_of(report, k), "", put_sentence, k);
    return made && evn_compare_notes(report);
}

bool evn_compare_demanded(const evn_compare_report *report)
{
    bool made = true;
    size_t demands = count_demands(report), of_day = count_day_demands(report);
    if (demands + of_day > 0 || report->story->standing)
        evn_compare_heading(report, "What is demanded");
    for (size_t k = 0; made && k < demands; k++)
        made = put_written(report, all_meet(report, k) ? EVN_STYLE_PLAIN : EVN_STYLE_WARNING, indent, put_demand, k);
    for (size_t k = 0; made && k < of_day; k++)
        made = put_written(report, all_days_meet(report, k) ? EVN_STYLE_PLAIN : EVN_STYLE_WARNING, indent,
                           put_day_demand, k);
    if (made && report->story->standing)
        made = put_written(report, EVN_STYLE_PLAIN, indent, put_standing, 0);
    return made;
}

bool evn_compare_alike(const evn_compare_report *report)
{
    bool made = true;
    size_t against = evn_compare_alike_of(report);
    char heading[512];
    snprintf(heading, sizeof heading, "What is not alike with %.300s (%s)", report->name[against],
             evn_truck_axle_configuration(evn_lineup_truck(report->story->lineup, against)));
    evn_compare_heading(report, heading);
    for (size_t i = 0; made && i < report->count; i++)
        made = put_written(report, EVN_STYLE_PLAIN, indent, put_unlike, i);
    return made && put_written(report, EVN_STYLE_PLAIN, indent, put_gross, 0);
}
