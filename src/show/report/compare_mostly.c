/* Where most of a difference lies, where nobody asked why: the largest line of the energy balance that goes its way. */
#define _POSIX_C_SOURCE 200809L
#include "show/compare_sureness.h"
#include "show/report/compare_report.h"
#include "show/text.h"
#include <math.h>
#include <stdlib.h>
#include <string.h>

#define BALANCE "energy_balance."

typedef struct difference { /* of the truck that the answer tells, against the one that all are held against */
    size_t truck, against;
    evn_basis basis;
    evn_quantity what; /* its largest line */
    double line_kwh, all_kwh;
    int digits; /* of the sum: as many as any line has */
} difference;

/* A line that a truck has not is 0. */
static double kwh_of(const evn_figures *of, const char *key)
{
    double kwh = evn_figures_value(of, key);
    return isfinite(kwh) ? kwh : 0;
}

/* Calls for each line that the figures have and `seen` has not; NULL: all of them. */
static void add_lines(difference *d, const evn_figures *figures, const evn_figures *seen, const evn_figures *here,
                      const evn_figures *there, double way)
{
    evn_quantity what;
    double value;
    for (size_t k = 0; evn_figures_at(figures, k, &what, &value); k++) {
        if (strncmp(what.key, BALANCE, strlen(BALANCE)) != 0 || (seen && isfinite(evn_figures_value(seen, what.key))))
            continue;
        double gap = kwh_of(here, what.key) - kwh_of(there, what.key);
        d->digits = what.digits > d->digits ? what.digits : d->digits;
        if (way == 0)
            d->all_kwh += gap;
        else if (way * gap > way * d->line_kwh) {
            d->line_kwh = gap;
            d->what = what;
        }
    }
}

/* False: there is no difference to speak of. */
static bool find(const evn_compare_report *report, difference *d)
{
    *d = (difference){.truck = evn_compare_told_truck(report->story), .basis = evn_compare_told_basis(report->story)};
    if (d->truck >= report->count)
        return false;
    d->against = evn_compare_held_against(report->story, d->basis);
    evn_figures here = evn_compare_results(report, d->truck, d->basis),
                there = evn_compare_results(report, d->against, d->basis);
    double way = 0;
    for (int round = 0; round < 2; round++) {
        add_lines(d, &here, NULL, &here, &there, way);
        add_lines(d, &there, &here, &here, &there, way);
        way = d->all_kwh < 0 ? -1 : 1;
    }
    return !evn_looks_like_nothing(d->digits, d->all_kwh) && d->what.label;
}

bool evn_compare_mostly(const evn_compare_report *report)
{
    char line[EVN_COMPARE_CELL], all[EVN_COMPARE_CELL], *text = NULL;
    difference d;
    size_t size = 0;
    if (!find(report, &d))
        return true;
    FILE *memory = open_memstream(&text, &size);
    if (!memory)
        return false;
    evn_format_change(line, sizeof line, evn_look_digits(report->look, d.what.digits), d.line_kwh);
    evn_format_change(all, sizeof all, evn_look_digits(report->look, d.digits), d.all_kwh);
    fprintf(memory, "%s against %s %s: %s %s energy in %s, %s kWh; all lines of the energy balance together %s kWh.",
            report->name[d.truck], report->name[d.against],
            d.basis == EVN_BASIS_COMMON ? "at the common speed" : "at own speeds",
            fabs(d.line_kwh) >= 0.5 * fabs(d.all_kwh) ? "mostly" : "most of all", d.line_kwh < 0 ? "less" : "more",
            d.what.label, line, all);
    bool made = ferror(memory) == 0;
    made = fclose(memory) == 0 && made;
    if (made) {
        evn_compare_heading(report, "Why");
        evn_compare_paragraph(report, EVN_STYLE_PLAIN, "  ", text);
    }
    free(text);
    return made;
}
