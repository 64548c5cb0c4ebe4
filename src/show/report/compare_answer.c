/* The sentences that a comparison begins with. */
#define _POSIX_C_SOURCE 200809L
#include "show/ask.h"
#include "show/compare_sureness.h"
#include "show/document.h"
#include "show/findings.h"
#include "show/report/compare_report.h"
#include "show/text.h"
#include <math.h>
#include <stdlib.h>
#include <string.h>

#define ALIKE_S 0.5 /* times that lie no further apart are none in a sentence */

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
    evn_put_safe(to, evn_cycle_name(evn_lineup_cycle(report->story->lineup)));
    fputs(report->story->ask.driving.driver == EVN_DRIVER_EXACT ? ", target speed held exactly." : ".", to);
}

static const char *verb_of(const char *status)
{
    if (strcmp(status, "stalled") == 0)
        return "stalled";
    if (strcmp(status, "battery_empty") == 0)
        return "ran out of charge";
    if (strcmp(status, "battery_too_weak") == 0)
        return "asked more than the battery gives";
    if (strcmp(status, "interrupted") == 0)
        return "stopped";
    return "could not be driven";
}

/* " at 12.03 km after 22 min 49 s": where a run that was stopped had come to. False: it had not set off. */
static bool put_stop(const evn_compare_report *report, FILE *to, size_t truck, evn_basis basis)
{
    char distance[EVN_COMPARE_CELL], time[EVN_COMPARE_CELL];
    evn_figures results = evn_compare_results(report, truck, basis);
    evn_quantity what;
    double distance_km;
    if (!evn_figures_find(&results, "distance_km", &what, &distance_km))
        return false;
    evn_format_value(distance, sizeof distance, report->look, &what, distance_km);
    evn_format_duration(time, sizeof time, evn_figures_value(&results, "duration_s"));
    fprintf(to, " at %s km after %s", distance, time);
    return true;
}

/* "central: stalled; it cannot move off at ...", of a truck that did not finish on one of the bases. */
static void put_failure(const evn_compare_report *report, FILE *to, size_t truck)
{
    bool finished = evn_compare_finished(report, truck, EVN_BASIS_OWN);
    if (finished && evn_compare_finished(report, truck, EVN_BASIS_COMMON))
        return;
    evn_basis basis = finished ? EVN_BASIS_COMMON : EVN_BASIS_OWN;
    const evn_outcome *outcome = evn_comparison_outcome(report->story->comparison, truck, basis);
    const char *why = evn_report_first_error(evn_outcome_report(outcome)), *status = evn_outcome_status(outcome);
    bool stopped = strcmp(status, "interrupted") == 0;
    fprintf(to, "%s: %s", report->name[truck], finished ? "finished at its own speeds only" : verb_of(status));
    if (stopped && finished)
        fputs("; at the common speed stopped", to);
    if ((!stopped || !put_stop(report, to, truck, basis)) && why) {
        fputs("; ", to);
        evn_put_safe(to, why);
    }
    fputs(".", to);
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

static bool none_meets(const evn_compare_report *report)
{
    for (size_t i = 0; i < report->count; i++)
        if (evn_compare_meets(report->story, i))
            return false;
    return true;
}

/* Behind the name of a truck that is told as the best of something. */
static const char *but(const evn_compare_report *report, size_t truck)
{
    bool falls_short = evn_compare_demands(report->story) && !evn_compare_meets(report->story, truck);
    return falls_short ? " (does not meet the demands)" : "";
}

/* ------------------------------------------------------------------------------------------------ use */

static const evn_compare_decides *decides(const evn_compare_report *report)
{
    return evn_compare_decides_by(report->story);
}

static void put_decides(const evn_compare_report *report, FILE *to, size_t truck, evn_basis basis)
{
    char use[EVN_COMPARE_CELL];
    evn_format_decimals(use, sizeof use, evn_look_digits(report->look, decides(report)->digits),
                        evn_compare_result(report, truck, basis, decides(report)->key));
    fprintf(to, "%s %s", use, decides(report)->unit);
}

/* "central drive (1.82 kWh/km) and electric axle (1.70 kWh/km)". */
static void put_group(const evn_compare_report *report, FILE *to, const size_t *truck, size_t count, evn_basis basis)
{
    for (size_t k = 0; k < count; k++) {
        fprintf(to, "%s%s (", k == 0 ? "" : k + 1 == count ? " and " : ", ", report->name[truck[k]]);
        put_decides(report, to, truck[k], basis);
        fprintf(to, ")%s", but(report, truck[k]));
    }
}

/* Where the one that takes least cannot do what is demanded: which does of those that can. */
static void put_use_of_able(const evn_compare_report *report, FILE *to, evn_basis basis, size_t best)
{
    size_t able[EVN_COMPARE_TRUCKS_MOST];
    size_t count = evn_compare_leading(report->story, basis, true, able);
    if (but(report, best)[0] == '\0' || count == 0)
        return;
    if (count == 1) {
        fprintf(to, " Lowest of those that meet the demands: %s, ", report->name[able[0]]);
        put_decides(report, to, able[0], basis);
    } else {
        fputs(" Of those that meet the demands cannot be told apart: ", to);
        put_group(report, to, able, count, basis);
    }
    fputc('.', to);
}

static bool is_nothing(double percent) { return fabs(percent) < EVN_ALIKE_PERCENT; }

/* "6.2 % less than central drive", with how sure that is behind it. */
static void put_gap(const evn_compare_report *report, FILE *to, size_t truck, size_t other, evn_basis basis)
{
    evn_compare_apart apart;
    char percent[EVN_COMPARE_CELL];
    if (!evn_compare_tell_apart(report->story, truck, other, basis, &apart))
        return;
    evn_format_decimals(percent, sizeof percent, evn_look_digits(report->look, 1), fabs(apart.percent));
    if (is_nothing(apart.percent))
        fprintf(to, "the same as %s", report->name[other]);
    else
        fprintf(to, "%s %% %s than %s", percent, apart.percent < 0 ? "less" : "more", report->name[other]);
    if (apart.sure)
        evn_compare_put_interval(report, to, &apart.sureness);
}

/* Which take least energy and cannot be told apart, by the pair of them that tells most: with the first truck, if it is
 * among them. */
static void put_leading(const evn_compare_report *report, FILE *to, const size_t *truck, size_t count, evn_basis basis,
                        const char *where)
{
    size_t of = truck[0], against = truck[1];
    for (size_t k = 1; k < count; k++)
        against = truck[k] == 0 ? 0 : against;
    if (of == 0) {
        of = truck[1];
        against = 0;
    }
    fprintf(to, " Cannot be told apart in %s %s: ", decides(report)->words, where);
    put_group(report, to, truck, count, basis);
    fprintf(to, "; %s: ", report->name[of]);
    put_gap(report, to, of, against, basis);
    if (against != 0) {
        fputs(", ", to);
        put_gap(report, to, of, 0, basis);
    }
    fputc('.', to);
}

/* Which takes least energy, and by how much less than the first and than the runner-up. */
static void put_lowest(const evn_compare_report *report, FILE *to, size_t best, size_t next, evn_basis basis,
                       const char *where)
{
    fprintf(to, " Lowest %s %s: %s%s, ", decides(report)->words, where, report->name[best], but(report, best));
    put_decides(report, to, best, basis);
    fputs(", ", to);
    if (best != 0) {
        put_gap(report, to, best, 0, basis);
        fputs(next == 0 ? "" : ", ", to);
    }
    if (next != 0) {
        put_gap(report, to, best, next, basis);
        fputs(but(report, next), to);
    }
    fputc('.', to);
}

static void put_use(const evn_compare_report *report, FILE *to, evn_basis basis, const char *where)
{
    size_t ranked[EVN_COMPARE_TRUCKS_MOST], leading[EVN_COMPARE_TRUCKS_MOST];
    if (evn_compare_rank(report->story, basis, false, ranked) < 2 || !evn_compare_finished(report, 0, basis))
        return;
    size_t count = evn_compare_leading(report->story, basis, false, leading);
    if (count > 1)
        put_leading(report, to, leading, count, basis, where);
    else
        put_lowest(report, to, ranked[0], ranked[1], basis, where);
    put_use_of_able(report, to, basis, ranked[0]);
}

/* The truck whose difference against the first the sentence on a basis tells; count: there is none. */
static size_t told_against_first(const evn_compare_report *report, evn_basis basis)
{
    size_t ranked[EVN_COMPARE_TRUCKS_MOST];
    if (evn_compare_rank(report->story, basis, false, ranked) < 2 || !evn_compare_finished(report, 0, basis))
        return report->count;
    return ranked[0] == 0 ? ranked[1] : ranked[0];
}

static bool is_told_apart(const evn_compare_report *report, size_t truck, evn_basis basis)
{
    evn_compare_apart apart;
    return truck < report->count && evn_compare_tell_apart(report->story, truck, 0, basis, &apart) &&
           apart.is != EVN_CANNOT_BE_TOLD_APART;
}

/* What the percentages hold: the layouts alone, where nothing else is unlike between those that they speak of. */
static void put_whose_doing(const evn_compare_report *report, FILE *to)
{
    size_t own = told_against_first(report, EVN_BASIS_OWN), common = told_against_first(report, EVN_BASIS_COMMON);
    const evn_comparison *c = report->story->comparison;
    if (own == report->count && common == report->count)
        return;
    bool alike = (own == report->count || evn_comparison_is_alike(c, own)) &&
                 (common == report->count || evn_comparison_is_alike(c, common));
    bool differ = is_told_apart(report, own, EVN_BASIS_OWN) || is_told_apart(report, common, EVN_BASIS_COMMON);
    if (!alike) {
        fputs(" The percentages are not the layouts' doing alone: they also hold what is not like for like.", to);
    } else if (differ) {
        size_t other = own == report->count ? common : own;
        fprintf(to, " The percentages are the layouts' doing, all else that is judged being alike in %s%s%s and %s.",
                report->name[0], common != other && common != report->count ? ", " : "",
                common != other && common != report->count ? report->name[common] : "", report->name[other]);
    }
}

/* ------------------------------------------------------------------------------------------------ time */

static void put_arrival(const evn_compare_report *report, FILE *to)
{
    size_t first = evn_compare_least(report, EVN_BASIS_OWN, "duration_s");
    size_t last = evn_compare_most(report, EVN_BASIS_OWN, "duration_s");
    if (first == report->count || first == last)
        return;
    double shortest_s = evn_compare_result(report, first, EVN_BASIS_OWN, "duration_s");
    double more_s = evn_compare_result(report, last, EVN_BASIS_OWN, "duration_s") - shortest_s;
    char time[EVN_COMPARE_CELL], more[EVN_COMPARE_CELL];
    evn_format_duration(time, sizeof time, shortest_s);
    evn_format_duration(more, sizeof more, more_s);
    if (more_s < ALIKE_S)
        fprintf(to, " Travel time: %s, the same within %s.", time, more);
    else
        fprintf(to, " Shortest travel time: %s%s, %s; longest: %s, %s more.", report->name[first], but(report, first),
                time, report->name[last], more);
}

static void put_limits(const evn_compare_report *report, FILE *to, size_t unused)
{
    (void)unused;
    bool any = false, all = true;
    for (size_t i = 0; i < report->count; i++) {
        evn_limitation is;
        char time[EVN_COMPARE_CELL];
        all = all && evn_compare_finished(report, i, EVN_BASIS_OWN);
        if (!evn_compare_limitation(report->story, i, EVN_BASIS_OWN, &is))
            continue;
        evn_format_duration(time, sizeof time, is.duration_s);
        fprintf(to, "%s%s: %s (%s)", any ? "; " : " Main limit: ", report->name[i], is.label, time);
        any = true;
    }
    fputs(any ? "." : all ? " Nothing kept any of them below the target speed." : "", to);
}

/* ------------------------------------------------------------------------------------------------ like for like */

/* "peak wheel power (458 against 358 kW, +27.9 %)", "driven axles (1 against 2)". */
static void put_difference(const evn_compare_report *report, FILE *to, size_t truck, const evn_likeness_row *row,
                           const evn_likeness *is)
{
    char value[EVN_COMPARE_CELL], first[EVN_COMPARE_CELL], change[EVN_COMPARE_CELL];
    fprintf(to, "%s (", row->what.label);
    if (isnan(is->value) || isnan(is->first)) {
        fprintf(to, "not known of %s)", report->name[isnan(is->value) ? truck : 0]);
        return;
    }
    evn_format_value(value, sizeof value, report->look, &row->what, is->value);
    evn_format_value(first, sizeof first, report->look, &row->what, is->first);
    fprintf(to, "%s against %s%s%s", value, first, row->what.unit[0] ? " " : "", row->what.unit);
    if (row->of_first && is->first != 0) {
        evn_format_change(change, sizeof change, evn_look_digits(report->look, 1),
                          100 * (is->value - is->first) / fabs(is->first));
        fprintf(to, ", %s %%", change);
    }
    fputc(')', to);
}

/* " electric axle in peak wheel power (...), drag area (...);": what sets a truck apart from the first. */
static void put_unlike(const evn_compare_report *report, FILE *to, size_t truck)
{
    evn_likeness_row row;
    evn_likeness is;
    bool any = false;
    for (size_t k = 0; evn_likeness_row_at(k, &row); k++) {
        if (!evn_compare_unlike(report->story, truck, k, &is))
            continue;
        if (any)
            fputs(", ", to);
        else
            fprintf(to, " %s in ", report->name[truck]);
        put_difference(report, to, truck, &row, &is);
        any = true;
    }
    fputs(any ? ";" : "", to);
}

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

static void put_likeness(const evn_compare_report *report, FILE *to, size_t unused)
{
    (void)unused;
    size_t judged = 0;
    for (size_t i = 1; i < report->count; i++)
        judged += evn_compare_is_held(report->story, i);
    if (judged == 0)
        return;
    const char *formula = evn_truck_axle_configuration(evn_lineup_truck(report->story->lineup, 0));
    if (evn_compare_all_alike(report->story)) {
        fprintf(to, "Like for like: all %s, alike in power at the wheels, tyres, body, battery and %s;", formula,
                evn_compare_equal_by(report->story) == EVN_EQUAL_GROSS ? "gross mass" : "payload");
    } else {
        fprintf(to, "Not like for like with %s (%s):", report->name[0], formula);
        for (size_t i = 1; i < report->count; i++)
            put_unlike(report, to, i);
    }
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

typedef void writer(const evn_compare_report *, FILE *, size_t truck);

static bool put_written(const evn_compare_report *report, evn_style style, writer *write, size_t truck)
{
    char *text = NULL;
    size_t size = 0;
    FILE *memory = open_memstream(&text, &size);
    if (!memory)
        return false;
    write(report, memory, truck);
    bool failed = ferror(memory) != 0;
    if (fclose(memory) != 0 || failed) {
        free(text);
        return false;
    }
    if (text[0] != '\0')
        evn_compare_paragraph(report, style, "", text);
    free(text);
    return true;
}

static void put_use_and_time(const evn_compare_report *report, FILE *to, size_t unused)
{
    (void)unused;
    if (evn_compare_demands(report->story) && none_meets(report))
        fputs(" None of them meets all demands.", to);
    put_use(report, to, EVN_BASIS_OWN, "at own speeds");
    put_use(report, to, EVN_BASIS_COMMON, "at the common speed");
    put_whose_doing(report, to);
    put_arrival(report, to);
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

bool evn_compare_answer(const evn_compare_report *report)
{
    bool made = put_written(report, EVN_STYLE_STRONG, put_title, 0);
    for (size_t i = 0; made && i < report->count; i++)
        made = put_written(report, EVN_STYLE_WARNING, put_failure, i);
    size_t demands = count_demands(report);
    for (size_t k = 0; made && k < demands; k++)
        made = put_written(report, all_meet(report, k) ? EVN_STYLE_PLAIN : EVN_STYLE_WARNING, put_demand, k);
    return made && put_written(report, EVN_STYLE_PLAIN, put_equal, 0) &&
           put_written(report, evn_compare_all_alike(report->story) ? EVN_STYLE_PLAIN : EVN_STYLE_WARNING, put_likeness,
                       0) &&
           put_written(report, EVN_STYLE_STRONG, put_use_and_time, 0) &&
           put_written(report, EVN_STYLE_WARNING, put_sure, 0) &&
           put_written(report, EVN_STYLE_STRONG, put_beside, 0) &&
           put_written(report, EVN_STYLE_PLAIN, put_limits, 0) && put_written(report, EVN_STYLE_PLAIN, put_asked, 0);
}
