/* A comparison over a day in each season of its duty: what each truck uses, what it leaves, and which season is worst
 * for it. */
#define _POSIX_C_SOURCE 200809L
#include "evener/duty.h"
#include "show/report/compare_report.h"
#include "show/text.h"
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { STAY = 2, EACH = 3, COLUMNS = STAY + EACH * EVN_COMPARE_TRUCKS_MOST, CELL = EVN_COMPARE_CELL };
static const char indent[] = "  ";

static bool season_of(const evn_compare_report *report, size_t truck, size_t season, evn_day_season *out)
{
    return evn_comparison_season_at(report->story->comparison, truck, season, out);
}

/* Of any truck that could be prepared: name and share are those of all. */
static bool find_season(const evn_compare_report *report, size_t season, evn_day_season *out)
{
    for (size_t i = 0; i < report->count; i++)
        if (season_of(report, i, season, out))
            return true;
    return false;
}

static bool has_finished(const evn_day_season *s) { return strcmp(s->status, "finished") == 0; }
static bool was_stopped(const evn_day_season *s) { return strcmp(s->status, "interrupted") == 0; }

/* ------------------------------------------------------------------------------------------------ table */

static void put_number(const evn_compare_report *report, char out[CELL], int digits, double value)
{
    out[0] = '\0';
    if (isfinite(value))
        evn_format_decimals(out, CELL, evn_look_digits(report->look, digits), value);
}

static bool put_season(evn_wide_table *table, const evn_compare_report *report, size_t season,
                       const evn_day_season *any)
{
    char cell[COLUMNS][CELL];
    const char *cells[COLUMNS];
    for (size_t k = 0; k < COLUMNS; k++)
        cells[k] = cell[k];
    put_number(report, cell[1], 0, 100 * any->share);
    for (size_t i = 0; i < report->count; i++) {
        evn_day_season s = {.status = NULL};
        double use = (double)NAN;
        bool there = season_of(report, i, season, &s);
        if (!there || !evn_results_get(s.results, "kwh_per_km", &use))
            use = (double)NAN;
        bool known = there && !was_stopped(&s);
        put_number(report, cell[STAY + EACH * i], 2, known ? use : (double)NAN);
        put_number(report, cell[STAY + EACH * i + 1], 1, known ? 100 * s.reserve_soc : (double)NAN);
        snprintf(cell[STAY + EACH * i + 2], CELL, "%s",
                 !there             ? "-"
                 : was_stopped(&s)  ? "not found"
                 : has_finished(&s) ? "yes"
                                    : "no");
    }
    char *safe = evn_safe_text(any->name);
    cells[0] = safe;
    bool made = safe && evn_wide_row(table, cells);
    free(safe);
    return made;
}

static evn_wide_table *new_table(const evn_compare_report *report)
{
    evn_table_column columns[COLUMNS] = {{"season", false, true}, {"share, %", true, false}};
    char heading[EVN_COMPARE_TRUCKS_MOST][CELL + 16];
    for (size_t i = 0; i < report->count; i++) {
        char name[CELL];
        evn_compare_short_name(report, i, 24, name);
        snprintf(heading[i], sizeof heading[i], "%s, kWh/km", name);
        columns[STAY + EACH * i] = (evn_table_column){heading[i], true, false};
        columns[STAY + EACH * i + 1] = (evn_table_column){"reserve, %", true, false};
        columns[STAY + EACH * i + 2] = (evn_table_column){"done", false, false};
    }
    return evn_wide_new(columns, STAY, report->count, EACH);
}

/* ------------------------------------------------------------------------------------------------ sentences */

static void put_left(const evn_compare_report *report, FILE *to, const evn_day_season *s)
{
    double demanded = evn_comparison_demanded_reserve_soc(report->story->comparison);
    char reserve[CELL], wanted[CELL];
    put_number(report, reserve, 1, 100 * s->reserve_soc);
    fprintf(to, "leaves %s %% above the usable window", reserve);
    if (isfinite(demanded)) {
        put_number(report, wanted, 1, 100 * demanded);
        fprintf(to, "%s the %s %% demanded", s->reserve_soc >= demanded ? ", and so" : ", not", wanted);
    }
}

/* None is named worst where all are alike, and nothing is said where one was stopped. */
static void put_worst(const evn_compare_report *report, size_t truck, FILE *to)
{
    const evn_comparison *c = report->story->comparison;
    evn_day_season s;
    size_t worst = 0, seasons = 0;
    for (; season_of(report, truck, seasons, &s); seasons++)
        if (was_stopped(&s))
            return;
    bool one = evn_comparison_worst_season(c, truck, &worst);
    if (!season_of(report, truck, worst, &s))
        return;
    fprintf(to, "%s: %s", report->name[truck], one ? "worst in " : seasons > 1 ? "all seasons alike" : "in ");
    if (one || seasons == 1)
        evn_put_safe(to, s.name);
    if (has_finished(&s)) {
        fputs(one || seasons == 1 ? ", which " : ": the day ", to);
        put_left(report, to, &s);
    } else {
        fputs(", whose day it does not end: ", to);
        evn_put_safe(to, evn_comparison_season_why(c, truck, worst));
    }
    fputc('.', to);
}

static bool put_sentence(const evn_compare_report *report, size_t truck)
{
    char *text = NULL;
    size_t size = 0;
    FILE *memory = open_memstream(&text, &size);
    if (!memory)
        return false;
    put_worst(report, truck, memory);
    bool made = ferror(memory) == 0;
    made = fclose(memory) == 0 && made;
    if (made && text[0] != '\0')
        evn_compare_paragraph(report, EVN_STYLE_PLAIN, indent, text);
    free(text);
    return made;
}

/* ------------------------------------------------------------------------------------------------ the whole */

bool evn_compare_seasons(const evn_compare_report *report)
{
    evn_day_season any;
    if (!find_season(report, 0, &any))
        return true;
    evn_wide_table *table = new_table(report);
    bool made = table;
    for (size_t k = 0; made && find_season(report, k, &any); k++)
        made = put_season(table, report, k, &any);
    if (made) {
        evn_compare_heading(report, "The day in each season, at own speeds");
        made = evn_wide_print(table, report->to, indent, report->width);
        fputc('\n', report->to);
    }
    evn_wide_free(table);
    for (size_t i = 0; made && i < report->count; i++)
        made = put_sentence(report, i);
    return made;
}
