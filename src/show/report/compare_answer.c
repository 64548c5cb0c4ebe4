/* The sentences that a comparison begins with. */
#define _POSIX_C_SOURCE 200809L
#include "show/report/compare_page.h"
#include "show/text.h"
#include <math.h>
#include <stdlib.h>
#include <string.h>

/* Differences below this are none in a sentence, per cent and s. */
#define ALIKE_PERCENT 0.05
#define ALIKE_S 0.5

/* ------------------------------------------------------------------------------------------------ what it is about */

static void put_title(const evn_compare_page *page, FILE *to, size_t unused)
{
    (void)unused;
    const char *name = evn_lineup_name(page->story->lineup);
    if (name != NULL) {
        evn_put_safe(to, name);
        fputs(": ", to);
    }
    fprintf(to, "%zu trucks over ", page->count);
    evn_put_safe(to, evn_cycle_name(evn_lineup_cycle(page->story->lineup)));
    fputs(page->story->driver == EVN_DRIVER_EXACT ? ", driven exactly to plan." : ".", to);
}

static const char *verb_of(const char *status)
{
    if (strcmp(status, "stalled") == 0)
        return "stalled";
    if (strcmp(status, "pack_empty") == 0)
        return "ran out of charge";
    if (strcmp(status, "interrupted") == 0)
        return "was stopped";
    return "could not be driven";
}

static const char *first_error(const evn_report *report)
{
    evn_finding found;
    for (size_t i = 0; evn_report_at(report, i, &found); i++)
        if (found.severity == EVN_ERROR)
            return found.text;
    return NULL;
}

/* "central stalled: it cannot move off at ...", of a truck that did not finish on one of the bases. */
static void put_failure(const evn_compare_page *page, FILE *to, size_t truck)
{
    const evn_outcome *own = evn_comparison_outcome(page->story->comparison, truck, EVN_BASIS_OWN);
    const evn_outcome *common = evn_comparison_outcome(page->story->comparison, truck, EVN_BASIS_COMMON);
    bool finished = evn_page_finished(page, truck, EVN_BASIS_OWN);
    if (finished && evn_page_finished(page, truck, EVN_BASIS_COMMON))
        return;
    const char *why = first_error(evn_outcome_report(finished ? common : own));
    fprintf(to, "%s %s%s", page->name[truck],
            finished ? "finished at its own speeds only" : verb_of(evn_outcome_status(own)), why != NULL ? ": " : "");
    evn_put_safe(to, why != NULL ? why : "");
    fputs(".", to);
}

/* ------------------------------------------------------------------------------------------------ use */

/* The one that uses least apart from the best; count: none. */
static size_t runner_up(const evn_compare_page *page, evn_basis basis, size_t best)
{
    size_t next = page->count;
    double least = (double)INFINITY;
    for (size_t i = 0; i < page->count; i++) {
        double use = evn_page_result(page, i, basis, "kwh_per_km");
        if (i != best && evn_page_finished(page, i, basis) && use < least) {
            next = i;
            least = use;
        }
    }
    return next;
}

/* Who uses least, and by how much against the first; "it does too" where it is the one that was named before. */
static void put_use(const evn_compare_page *page, FILE *to, evn_basis basis, const char *where, size_t named)
{
    size_t best = evn_page_least(page, basis, "kwh_per_km"), next = runner_up(page, basis, best);
    char use[EVN_PAGE_CELL];
    if (best == page->count || next == page->count || !evn_page_finished(page, 0, basis))
        return;
    evn_format_decimals(use, sizeof use, 4, evn_page_result(page, best, basis, "kwh_per_km"));
    double percent = evn_page_percent(page, best == 0 ? next : best, basis, "kwh_per_km");
    if (best == named)
        fprintf(to, " %s it does too: %s kWh/km", where, use);
    else
        fprintf(to, " %s %s uses least, %s kWh/km", where, page->name[best], use);
    if (best != 0 && fabs(percent) >= ALIKE_PERCENT)
        fprintf(to, ", %.1f %% less than %s.", -percent, page->name[0]);
    else if (best == 0 && fabs(percent) >= ALIKE_PERCENT)
        fprintf(to, "; %s, next, uses %.1f %% more.", page->name[next], percent);
    else
        fprintf(to, "; %s uses as much.", page->name[best == 0 ? next : 0]);
}

/* ------------------------------------------------------------------------------------------------ time */

static void put_arrival(const evn_compare_page *page, FILE *to)
{
    size_t first = evn_page_least(page, EVN_BASIS_OWN, "duration_s");
    size_t last = evn_page_most(page, EVN_BASIS_OWN, "duration_s");
    if (first == page->count || first == last)
        return;
    double soonest_s = evn_page_result(page, first, EVN_BASIS_OWN, "duration_s");
    double later_s = evn_page_result(page, last, EVN_BASIS_OWN, "duration_s") - soonest_s;
    char time[EVN_PAGE_CELL], later[EVN_PAGE_CELL];
    evn_format_duration(time, sizeof time, soonest_s);
    evn_format_duration(later, sizeof later, later_s);
    if (later_s < ALIKE_S)
        fprintf(to, " All arrive after %s, within %s.", time, later);
    else if (page->count == 2)
        fprintf(to, " %s arrives after %s, %s %s later.", page->name[first], time, page->name[last], later);
    else
        fprintf(to, " %s arrives first, after %s, and %s last, %s later.", page->name[first], time, page->name[last],
                later);
}

static void put_held(const evn_compare_page *page, FILE *to, size_t unused)
{
    (void)unused;
    bool any = false;
    for (size_t i = 0; i < page->count; i++) {
        evn_held held;
        char label[EVN_PAGE_CELL], time[EVN_PAGE_CELL];
        if (!evn_page_held(page, i, &held))
            continue;
        evn_format_label(label, sizeof label, held.limit, "");
        evn_format_duration(time, sizeof time, held.seconds);
        fprintf(to, "%s%s by %s (%s)", any ? ", " : " Held back longest: ", page->name[i], label, time);
        any = true;
    }
    fputs(any ? "." : " Nothing held any of them back.", to);
}

/* ------------------------------------------------------------------------------------------------ like for like */

static void put_more(FILE *to, double more, const char *what)
{
    static const char *const counts[] = {"no", "one", "two", "three", "four"};
    double many = fabs(more);
    if (many < 5)
        fprintf(to, "%s %s%s %s", counts[(size_t)many], what, many > 1 ? "s" : "", more > 0 ? "more" : "less");
    else
        fprintf(to, "%.0f %ss %s", many, what, more > 0 ? "more" : "less");
}

/* " tandem has one axle more, one driven axle more": what sets a truck apart from the first. False: nothing does. */
static bool put_unlike(const evn_compare_page *page, FILE *to, size_t truck)
{
    const evn_truck *own = evn_lineup_truck(page->story->lineup, truck);
    const evn_truck *first = evn_lineup_truck(page->story->lineup, 0);
    double axles = (double)evn_truck_axle_count(own) - (double)evn_truck_axle_count(first);
    double driven = (double)evn_truck_driven_axle_count(own) - (double)evn_truck_driven_axle_count(first);
    evn_figures differences = evn_page_differences(page, truck, EVN_BASIS_OWN);
    double load_kg = evn_figures_value(&differences, "difference.masses.payload_kg");
    double drag_m2 = evn_truck_drag_area_m2(own) - evn_truck_drag_area_m2(first);
    bool loaded = isfinite(load_kg) && fabs(load_kg) >= 0.5, dragged = fabs(drag_m2) >= 0.005, any = false;
    if (axles == 0 && driven == 0 && !loaded && !dragged)
        return false;
    fprintf(to, " %s has ", page->name[truck]);
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
    fputs(";", to);
    return true;
}

/* The lightest and the heaviest, for layouts bring their own mass. */
static void put_masses(const evn_compare_page *page, FILE *to)
{
    double least = (double)INFINITY, most = -(double)INFINITY;
    for (size_t i = 0; i < page->count; i++) {
        const evn_rig *rig = evn_comparison_rig(page->story->comparison, i);
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

static void put_likeness(const evn_compare_page *page, FILE *to, size_t unused)
{
    (void)unused;
    char *text = NULL;
    size_t size = 0;
    FILE *unlike = open_memstream(&text, &size);
    bool any = false;
    for (size_t i = 1; unlike != NULL && i < page->count; i++)
        any = put_unlike(page, unlike, i) || any;
    if (unlike != NULL && fclose(unlike) == 0) {
        const char *formula = evn_truck_wheel_formula(evn_lineup_truck(page->story->lineup, 0));
        if (any)
            fprintf(to, " Not like for like with %s (%s):%s", page->name[0], formula, text);
        else
            fprintf(to, " Like for like: all %s, with the same payload and drag area;", formula);
        put_masses(page, to);
    }
    free(text);
}

/* ------------------------------------------------------------------------------------------------ the whole */

typedef void writer(const evn_compare_page *, FILE *, size_t truck);

static bool put_written(const evn_compare_page *page, evn_style style, writer *write, size_t truck)
{
    char *text = NULL;
    size_t size = 0;
    FILE *memory = open_memstream(&text, &size);
    if (memory == NULL)
        return false;
    write(page, memory, truck);
    bool failed = ferror(memory) != 0;
    if (fclose(memory) != 0 || failed) {
        free(text);
        return false;
    }
    if (text[0] != '\0')
        evn_page_paragraph(page, style, "", text);
    free(text);
    return true;
}

static void put_use_and_time(const evn_compare_page *page, FILE *to, size_t unused)
{
    (void)unused;
    size_t least = evn_page_least(page, EVN_BASIS_OWN, "kwh_per_km");
    bool told = evn_page_finished(page, 0, EVN_BASIS_OWN) && runner_up(page, EVN_BASIS_OWN, least) < page->count;
    put_use(page, to, EVN_BASIS_OWN, "At its own speeds", page->count);
    put_use(page, to, EVN_BASIS_COMMON, "At the common speed", told ? least : page->count);
    put_arrival(page, to);
}

bool evn_page_answer(const evn_compare_page *page)
{
    bool made = put_written(page, EVN_STYLE_STRONG, put_title, 0);
    for (size_t i = 0; made && i < page->count; i++)
        made = put_written(page, EVN_STYLE_WARNING, put_failure, i);
    return made && put_written(page, EVN_STYLE_STRONG, put_use_and_time, 0) &&
           put_written(page, EVN_STYLE_PLAIN, put_held, 0) && put_written(page, EVN_STYLE_PLAIN, put_likeness, 0);
}
