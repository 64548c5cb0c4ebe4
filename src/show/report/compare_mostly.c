/* Where most of a difference lies, where nobody asked why: the largest line of the energy balance that goes its way,
 * and the largest that goes against it. */
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
    evn_quantity what, what_against; /* its largest lines, of which each is 0 where there is none */
    double line_kwh, against_kwh, all_kwh;
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
        } else if (way * gap < way * d->against_kwh) {
            d->against_kwh = gap;
            d->what_against = what;
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

/* ", against it +0.52 kWh of gearbox losses"; nothing where no line goes against it. */
static void put_against(const evn_compare_report *report, FILE *to, const difference *d)
{
    char kwh[EVN_COMPARE_CELL];
    if (!d->what_against.label || evn_looks_like_nothing(d->what_against.digits, d->against_kwh))
        return;
    evn_format_change(kwh, sizeof kwh, evn_look_digits(report->look, d->what_against.digits), d->against_kwh);
    fprintf(to, ", and most against that %s in %s, %s kWh", d->against_kwh < 0 ? "less" : "more", d->what_against.label,
            kwh);
}

/* "mostly": at least half of the difference, and no more than all of it. */
static const char *how_much(const difference *d)
{
    double share = fabs(d->line_kwh) / fabs(d->all_kwh);
    return share >= 0.5 && share <= 1 ? "mostly" : "most of all";
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
    fprintf(memory, "%s against %s %s: %s %s energy in %s, %s kWh", report->name[d.truck], report->name[d.against],
            d.basis == EVN_BASIS_COMMON ? "at the common speed" : "at own speeds", how_much(&d),
            d.line_kwh < 0 ? "less" : "more", d.what.label, line);
    put_against(report, memory, &d);
    fprintf(memory, "; all lines of the energy balance together %s kWh.", all);
    bool made = ferror(memory) == 0;
    made = fclose(memory) == 0 && made;
    if (made) {
        evn_compare_heading(report, "Why");
        evn_compare_paragraph(report, EVN_STYLE_PLAIN, "  ", text);
    }
    free(text);
    return made;
}
