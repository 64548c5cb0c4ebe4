/* A comparison over a day, leg by leg at the common speed of each leg: when it begins, by the first truck's clock, what
 * each truck takes, of that for its take-off, and with what charge it goes on. */
#include "evener/duty.h"
#include "show/day_story.h"
#include "show/report/compare_report.h"
#include "show/text.h"
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum {
    STAY = 3,
    EACH = 3,
    NARROW = 70,
    COLUMNS = STAY + EACH * EVN_COMPARE_TRUCKS_MOST,
    CELL = EVN_COMPARE_CELL,
    HEADING = 180
};

static bool phase_of(const evn_compare_report *report, size_t truck, size_t phase, evn_day_phase *out)
{
    return evn_comparison_phase_at(report->story->comparison, truck, EVN_BASIS_COMMON, phase, out);
}

/* Of any truck that drove it: name and way are those of all. */
static bool find_phase(const evn_compare_report *report, size_t phase, evn_day_phase *out)
{
    for (size_t i = 0; i < report->count; i++)
        if (phase_of(report, i, phase, out) && out->results)
            return true;
    return false;
}

/* The truck whose clock tells when a leg begins: the first that drove. */
static size_t whose_clock(const evn_compare_report *report)
{
    evn_day_phase p;
    size_t whose = 0;
    while (whose + 1 < report->count && !(phase_of(report, whose, 0, &p) && p.results))
        whose++;
    return whose;
}

static void put_number(const evn_compare_report *report, char out[CELL], int digits, double value)
{
    out[0] = '\0';
    if (isfinite(value))
        evn_format_decimals(out, CELL, evn_look_digits(report->look, digits), value);
}

static double result(const evn_day_phase *p, const char *key)
{
    double value;
    return evn_results_get(p->results, key, &value) ? value : (double)NAN;
}

static double takeoff_kwh(const evn_day_phase *p)
{
    double kwh = result(p, "energy_balance.power_take_off_kwh");
    return kwh > 0 ? kwh : (double)NAN;
}

static bool any_takeoff(const evn_compare_report *report)
{
    evn_day_phase p;
    for (size_t i = 0; i < report->count; i++)
        for (size_t k = 0; phase_of(report, i, k, &p); k++)
            if (p.results && takeoff_kwh(&p) > 0)
                return true;
    return false;
}

static bool put_phase(evn_wide_table *table, const evn_compare_report *report, size_t phase, const evn_day_phase *any)
{
    char cell[COLUMNS][CELL], name[EVN_PHASE_NAME_BYTES];
    const char *cells[COLUMNS];
    for (size_t k = 0; k < COLUMNS; k++)
        cells[k] = cell[k];
    cell[1][0] = '\0'; /* no room for it where lines are short */
    evn_day_phase clock;
    if (report->width >= NARROW && phase_of(report, whose_clock(report), phase, &clock) && clock.results)
        evn_format_clock(cell[1], CELL, clock.begin_s);
    put_number(report, cell[2], 1, any->stop ? (double)NAN : result(any, "distance_km"));
    for (size_t i = 0; i < report->count; i++) {
        evn_day_phase p = {.results = NULL};
        bool there = phase_of(report, i, phase, &p) && p.results;
        put_number(report, cell[STAY + EACH * i], 1, there ? result(&p, "battery_kwh") : (double)NAN);
        put_number(report, cell[STAY + EACH * i + 1], 2, there ? takeoff_kwh(&p) : (double)NAN);
        put_number(report, cell[STAY + EACH * i + 2], 1, there ? 100 * result(&p, "final_soc") : (double)NAN);
    }
    char *safe = evn_safe_text(evn_phase_name(name, any));
    cells[0] = safe;
    bool made = safe && evn_wide_row(table, cells);
    free(safe);
    return made;
}

static evn_wide_table *new_table(const evn_compare_report *report)
{
    evn_table_column columns[COLUMNS] = {
        {"leg or stop", false, true}, {report->width < NARROW ? "" : "begin", true, false}, {"km", true, false}};
    bool takeoff = any_takeoff(report);
    char name[EVN_COMPARE_TRUCKS_MOST][CELL];
    for (size_t i = 0; i < report->count; i++) {
        evn_compare_short_name(report, i, report->width < NARROW ? 14 : 20, name[i]);
        columns[STAY + EACH * i] = (evn_table_column){name[i], true, false};
        columns[STAY + EACH * i + 1] = (evn_table_column){takeoff ? "take-off" : "", true, false};
        columns[STAY + EACH * i + 2] = (evn_table_column){"charge, %", true, false};
    }
    return evn_wide_new(columns, STAY, report->count, EACH);
}

/* The first phase that a truck did not end at the common speed; false: it ended all. */
static bool where_it_left(const evn_compare_report *report, size_t truck, size_t *phase)
{
    evn_day_phase p;
    for (size_t k = 0; phase_of(report, truck, k, &p); k++)
        if (!p.results || strcmp(p.status, "finished") != 0) {
            *phase = k;
            return true;
        }
    return false;
}

/* Of which legs the common speed is that of which trucks, where one ends early and another goes on. */
static bool put_who_counts(const evn_compare_report *report, const char *indent)
{
    bool made = true, stopped = strcmp(report->story->status, "interrupted") == 0;
    for (size_t i = 0; made && !stopped && i < report->count; i++) {
        evn_day_phase p;
        size_t phase;
        char name[EVN_PHASE_NAME_BYTES];
        if (!where_it_left(report, i, &phase) || !find_phase(report, phase, &p))
            continue;
        const char *what = p.stop ? "stop" : "leg", *who = report->name[i];
        evn_phase_name(name, &p);
        if (phase == 0)
            made = evn_put_sentence(report->to, report->width, indent,
                                    "%s does not end %s '%s' and counts in no common speed: that of every leg is the "
                                    "lowest of the others.",
                                    who, what, name);
        else
            made = evn_put_sentence(report->to, report->width, indent,
                                    "%s does not end %s '%s': the common speed of the legs before it is the lowest of "
                                    "all, of this and those behind it that of the others.",
                                    who, what, name);
    }
    return made;
}

bool evn_compare_legs(const evn_compare_report *report)
{
    static const char indent[] = "  ";
    evn_day_phase any;
    if (!find_phase(report, 0, &any))
        return true;
    evn_wide_table *table = new_table(report);
    bool made = table;
    for (size_t k = 0; made && find_phase(report, k, &any); k++)
        made = put_phase(table, report, k, &any);
    if (made) {
        char heading[HEADING];
        snprintf(heading, sizeof heading, "Leg by leg at the common speed of each, kWh; begin: clock of %.100s",
                 report->name[whose_clock(report)]);
        evn_compare_heading(report, report->width < NARROW ? "Leg by leg at the common speed of each, kWh" : heading);
        made = evn_wide_print(table, report->to, indent, report->width) && put_who_counts(report, indent);
    }
    evn_wide_free(table);
    return made;
}
