/* The sentences that a comparison begins with. */
#define _POSIX_C_SOURCE 200809L
#include "show/ask.h"
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

/* The one that uses least apart from the best; count: none. */
static size_t runner_up(const evn_compare_report *report, evn_basis basis, size_t best)
{
    size_t next = report->count;
    double least = (double)INFINITY;
    for (size_t i = 0; i < report->count; i++) {
        double use = evn_compare_result(report, i, basis, "kwh_per_km");
        if (i != best && evn_compare_finished(report, i, basis) && use < least) {
            next = i;
            least = use;
        }
    }
    return next;
}

/* Where the one that takes least cannot do what is demanded: which does of those that can. */
static void put_use_of_able(const evn_compare_report *report, FILE *to, evn_basis basis, size_t best)
{
    char use[EVN_COMPARE_CELL];
    size_t able = evn_compare_lowest(report->story, basis, "kwh_per_km", true);
    if (but(report, best)[0] == '\0' || able == report->count)
        return;
    evn_format_decimals(use, sizeof use, evn_look_digits(report->look, 2),
                        evn_compare_result(report, able, basis, "kwh_per_km"));
    fprintf(to, " Lowest of those that meet the demands: %s, %s kWh/km.", report->name[able], use);
}

/* Which takes least energy, and by how much less than the first; where the first does, how much more the next takes. */
static void put_use(const evn_compare_report *report, FILE *to, evn_basis basis, const char *where)
{
    size_t best = evn_compare_least(report, basis, "kwh_per_km"), next = runner_up(report, basis, best);
    char use[EVN_COMPARE_CELL], percent[EVN_COMPARE_CELL];
    if (best == report->count || next == report->count || !evn_compare_finished(report, 0, basis))
        return;
    evn_format_decimals(use, sizeof use, evn_look_digits(report->look, 2),
                        evn_compare_result(report, best, basis, "kwh_per_km"));
    double more = evn_compare_percent(report, best == 0 ? next : best, basis, "kwh_per_km");
    evn_format_decimals(percent, sizeof percent, evn_look_digits(report->look, 1), fabs(more));
    fprintf(to, " Lowest energy consumption %s: %s%s, %s kWh/km", where, report->name[best], but(report, best), use);
    if (fabs(more) < EVN_ALIKE_PERCENT)
        fprintf(to, "; %s%s: the same.", report->name[best == 0 ? next : 0], but(report, best == 0 ? next : 0));
    else if (best != 0)
        fprintf(to, ", %s %% less than %s.", percent, report->name[0]);
    else
        fprintf(to, "; next: %s%s, %s %% more.", report->name[next], but(report, next), percent);
    put_use_of_able(report, to, basis, best);
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

static void put_more(FILE *to, double more, const char *what)
{
    static const char *const counts[] = {"no", "one", "two", "three", "four"};
    double many = fabs(more);
    if (many < 5)
        fprintf(to, "%s %s%s %s", counts[(size_t)many], what, many > 1 ? "s" : "", more > 0 ? "more" : "fewer");
    else
        fprintf(to, "%.0f %ss %s", many, what, more > 0 ? "more" : "fewer");
}

/* " one axle more, one driven axle more for tandem;": what sets a truck apart from the first. False: nothing does. */
static bool put_unlike(const evn_compare_report *report, FILE *to, size_t truck)
{
    const evn_truck *own = evn_lineup_truck(report->story->lineup, truck);
    const evn_truck *first = evn_lineup_truck(report->story->lineup, 0);
    double axles = (double)evn_truck_axle_count(own) - (double)evn_truck_axle_count(first);
    double driven = (double)evn_truck_driven_axle_count(own) - (double)evn_truck_driven_axle_count(first);
    evn_figures differences = evn_compare_differences(report, truck, EVN_BASIS_OWN);
    double load_kg = evn_figures_value(&differences, "difference.masses.payload_kg");
    double drag_m2 = evn_truck_drag_area_m2(own) - evn_truck_drag_area_m2(first);
    bool loaded = isfinite(load_kg) && fabs(load_kg) >= 0.5, dragged = fabs(drag_m2) >= 0.005, any = false;
    if (axles == 0 && driven == 0 && !loaded && !dragged)
        return false;
    fputc(' ', to);
    if (axles != 0) {
        put_more(to, axles, "axle");
        any = true;
    }
    if (driven != 0) {
        fputs(any ? ", " : "", to);
        put_more(to, driven, "driven axle");
        any = true;
    }
    if (loaded)
        fprintf(to, "%s%.0f kg of payload %s", any ? ", " : "", fabs(load_kg), load_kg > 0 ? "more" : "less");
    if (dragged)
        fprintf(to, "%s%.2f m2 of drag area %s", any || loaded ? ", " : "", fabs(drag_m2),
                drag_m2 > 0 ? "more" : "less");
    fprintf(to, " for %s;", report->name[truck]);
    return true;
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
    char *text = NULL;
    size_t size = 0;
    FILE *unlike = open_memstream(&text, &size);
    bool any = false;
    for (size_t i = 1; unlike && i < report->count; i++)
        any = put_unlike(report, unlike, i) || any;
    if (unlike && fclose(unlike) == 0) {
        const char *formula = evn_truck_axle_configuration(evn_lineup_truck(report->story->lineup, 0));
        if (any)
            fprintf(to, " Not like for like with %s (%s):%s", report->name[0], formula, text);
        else
            fprintf(to, " Like for like: all %s, with the same payload and drag area;", formula);
        put_masses(report, to);
    }
    free(text);
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
    put_arrival(report, to);
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
    return made && put_written(report, EVN_STYLE_STRONG, put_use_and_time, 0) &&
           put_written(report, EVN_STYLE_PLAIN, put_limits, 0) &&
           put_written(report, EVN_STYLE_PLAIN, put_likeness, 0) && put_written(report, EVN_STYLE_PLAIN, put_asked, 0);
}
