/* The report on a run: the answer, what it came to, the energy balance, what limited the truck, accuracy and validity.
 */
#define _POSIX_C_SOURCE 200809L
#include "show/ask.h"
#include "show/drive_story.h"
#include "show/report/brakes_text.h"
#include "show/report/collective_text.h"
#include "show/report/stops_text.h"
#include "show/report/table.h"
#include "show/text.h"
#include <math.h>
#include <stdlib.h>
#include <string.h>

enum { CELL = 64, BAR_COLUMNS = 20, BAR_LEAST = 6, BESIDE_BARS = 62, NAMES = 256 };

static const char indent[] = "  ";
static const char balance_prefix[] = "energy_balance.";

/* What the first sentence and the last section say; the energy balance is told likewise. */
static const char *const told_elsewhere[] = {"distance_km", "duration_s", "balance_error"};

typedef struct drive_report {
    const evn_drive_story *story;
    FILE *to;
    const evn_look *look; /* NULL: each paragraph on a line of its own */
} drive_report;

static bool starts_with(const char *text, const char *start) { return strncmp(text, start, strlen(start)) == 0; }

static void put_words(const drive_report *report, evn_style style, const char *margin, const char *text)
{
    if (!report->look) {
        fprintf(report->to, "%s\n", text);
        return;
    }
    evn_style_begin(report->to, report->look, style);
    evn_put_paragraph_within(report->to, evn_look_prose(report->look), 0, margin, text);
    evn_style_end(report->to, report->look, style);
}

static void put_heading(const drive_report *report, const char *text)
{
    if (!report->look)
        return;
    fputc('\n', report->to);
    evn_put_styled(report->to, report->look, EVN_STYLE_STRONG, text);
    fputs("\n\n", report->to);
}

/* ------------------------------------------------------------------------------------------------ the answer */

static const char *answer_verb(const char *status)
{
    if (strcmp(status, "finished") == 0)
        return "finished";
    if (strcmp(status, "stalled") == 0)
        return "stalled on";
    if (strcmp(status, "battery_empty") == 0)
        return "ran out of charge on";
    if (strcmp(status, "battery_too_weak") == 0)
        return "asked more than its battery gives on";
    return "was stopped on";
}

/* " 12.03 km in 22 min 49 s, at 1.23 kWh/km" as far as the results know them. */
static void format_route(char *out, size_t size, const drive_report *report, bool finished)
{
    const evn_figures *figures = &report->story->figures;
    char distance[CELL] = "-", duration[CELL], use[CELL], tail[CELL + 16] = "";
    evn_quantity what;
    double value;
    if (evn_figures_find(figures, "distance_km", &what, &value))
        evn_format_value(distance, sizeof distance, report->look, &what, value);
    evn_format_duration(duration, sizeof duration, evn_figures_value(figures, "duration_s"));
    if (evn_figures_find(figures, "kwh_per_km", &what, &value) && isfinite(value)) {
        evn_format_value(use, sizeof use, report->look, &what, value);
        snprintf(tail, sizeof tail, ", %s kWh/km", use);
    }
    snprintf(out, size, finished ? "%s km in %s%s" : "after %s km and %s%s", distance, duration, tail);
}

/* The first sentence, names made safe; to be freed, NULL when memory is out. */
static char *answer_of(const drive_report *report, bool finished)
{
    const evn_drive_story *story = report->story;
    char way[4 * CELL];
    format_route(way, sizeof way, report, finished);
    char *text = NULL;
    size_t size = 0;
    FILE *memory = open_memstream(&text, &size);
    if (!memory)
        return NULL;
    evn_put_safe(memory, story->truck);
    fprintf(memory, " %s ", answer_verb(story->status));
    evn_put_safe(memory, story->cycle);
    fprintf(memory, finished ? ": %s." : " %s.", way);
    bool failed = ferror(memory) != 0;
    if (fclose(memory) != 0 || failed) {
        free(text);
        return NULL;
    }
    return text;
}

static bool put_reason(const drive_report *report, const evn_findings *findings)
{
    const char *reason = evn_findings_first_error(findings);
    char *safe = reason ? evn_safe_text(reason) : NULL;
    if (safe) {
        fputs(report->look ? "Why:\n" : "Why: ", report->to);
        put_words(report, EVN_STYLE_PLAIN, indent, safe);
    }
    free(safe);
    return !reason || safe;
}

static bool put_answer(const drive_report *report, const evn_findings *findings)
{
    bool finished = strcmp(report->story->status, "finished") == 0;
    char *answer = answer_of(report, finished);
    if (!answer)
        return false;
    evn_style style = finished ? EVN_STYLE_STRONG : EVN_STYLE_WARNING;
    put_words(report, style, "", answer);
    free(answer);
    return finished || put_reason(report, findings);
}

static bool put_asked(const drive_report *report)
{
    char *text = NULL;
    size_t size = 0;
    FILE *memory = open_memstream(&text, &size);
    if (!memory)
        return false;
    evn_ask_words(&report->story->ask, memory);
    bool made = ferror(memory) == 0;
    made = fclose(memory) == 0 && made;
    if (made && text[0] != '\0')
        put_words(report, EVN_STYLE_PLAIN, "", text);
    free(text);
    return made;
}

/* ------------------------------------------------------------------------------------------------ figures */

static const evn_table_column figure_columns[] = {{"", false, true}, {"", true, false}, {"", false, false}};

/* Times in minutes and hours, where not every digit is wanted. */
static bool figure_row(evn_table *table, const drive_report *report, const char *label, const evn_quantity *what,
                       double value)
{
    char cell[CELL];
    bool time = strcmp(what->unit, "s") == 0 && !report->look->all_digits;
    if (time)
        evn_format_duration(cell, sizeof cell, value);
    else
        evn_format_value(cell, sizeof cell, report->look, what, value);
    return evn_table_row(table, (const char *const[]){label, cell, time ? "" : evn_shown_unit(what)});
}

/* A truck that never moved off has no energy per kilometre. */
static bool has_value(const evn_quantity *what, double value) { return what->kind == EVN_YES_NO || isfinite(value); }

static bool is_told_elsewhere(const char *key)
{
    for (size_t i = 0; i < sizeof told_elsewhere / sizeof told_elsewhere[0]; i++)
        if (strcmp(key, told_elsewhere[i]) == 0)
            return true;
    return starts_with(key, balance_prefix);
}

static bool put_headlines(const drive_report *report)
{
    evn_table *table = evn_table_new(figure_columns, 3, false);
    bool made = table;
    evn_quantity what;
    double value;
    for (int rank = 0; made && evn_figures_next(&report->story->figures, rank, &what, &value); rank = what.rank)
        if (!is_told_elsewhere(what.key) && has_value(&what, value))
            made = figure_row(table, report, what.label, &what, value);
    if (made) {
        fputc('\n', report->to);
        made = evn_table_print(table, report->to, indent, evn_look_width(report->look));
    }
    evn_table_free(table);
    return made;
}

static bool other_row(evn_table *table, const drive_report *report, const evn_quantity *what, double value)
{
    char shown[NAMES];
    evn_format_result_label(shown, sizeof shown, what);
    char *safe = evn_safe_text(shown);
    bool made = safe && figure_row(table, report, safe, what, value);
    free(safe);
    return made;
}

static bool put_other_figures(const drive_report *report)
{
    const evn_figures *figures = &report->story->figures;
    evn_table *table = evn_table_new(figure_columns, 3, false);
    bool made = table, any = false;
    size_t count = evn_figures_count(figures);
    for (size_t i = 0; made && i < count; i++) {
        evn_quantity what;
        double value;
        if (!evn_figures_at(figures, i, &what, &value) || what.rank > 0 || is_told_elsewhere(what.key))
            continue;
        made = other_row(table, report, &what, value);
        any = true;
    }
    if (made && any) {
        put_heading(report, "Further figures");
        made = evn_table_print(table, report->to, indent, evn_look_width(report->look));
    }
    evn_table_free(table);
    return made;
}

/* ------------------------------------------------------------------------------------------------ energy balance */

typedef struct balance_scale {
    double distance_km, discharged_kwh, largest_kwh;
} balance_scale;

static bool balance_line_at(const evn_figures *figures, size_t index, evn_quantity *what, double *value)
{
    return evn_figures_at(figures, index, what, value) && starts_with(what->key, balance_prefix);
}

static balance_scale scale_of(const evn_figures *figures)
{
    balance_scale scale = {.distance_km = evn_figures_value(figures, "distance_km"),
                           .discharged_kwh = evn_figures_value(figures, "discharged_kwh")};
    size_t count = evn_figures_count(figures);
    for (size_t i = 0; i < count; i++) {
        evn_quantity what;
        double value;
        if (balance_line_at(figures, i, &what, &value))
            scale.largest_kwh = fmax(scale.largest_kwh, value);
    }
    return scale;
}

/* What is left beside the numbers; none where that is too little to tell one from another. */
static unsigned bar_columns(const drive_report *report)
{
    size_t width = evn_look_width(report->look), room = width > BESIDE_BARS ? width - BESIDE_BARS : 0;
    return room < BAR_LEAST ? 0 : room < BAR_COLUMNS ? (unsigned)room : BAR_COLUMNS;
}

static bool balance_row(evn_table *table, const drive_report *report, const balance_scale *scale, const char *label,
                        int digits, double kwh)
{
    char energy[CELL], per_km[CELL], share[CELL], bar[4 * BAR_COLUMNS + 1] = "";
    evn_format_decimals(energy, sizeof energy, evn_look_digits(report->look, digits), kwh);
    evn_format_decimals(per_km, sizeof per_km, evn_look_digits(report->look, 2),
                        scale->distance_km > 0 ? kwh / scale->distance_km : (double)NAN);
    evn_format_decimals(share, sizeof share, evn_look_digits(report->look, 1),
                        scale->discharged_kwh > 0 ? 100 * kwh / scale->discharged_kwh : (double)NAN);
    if (scale->largest_kwh > 0)
        evn_format_bar(bar, sizeof bar, report->look, kwh / scale->largest_kwh, bar_columns(report));
    return evn_table_row(table, (const char *const[]){label, energy, per_km, share, bar});
}

/* Lines through which nothing went are named in one sentence instead. */
static bool balance_lines(evn_table *table, const drive_report *report, const balance_scale *scale, char *idle,
                          size_t idle_size)
{
    const evn_figures *figures = &report->story->figures;
    size_t count = evn_figures_count(figures);
    for (size_t i = 0; i < count; i++) {
        evn_quantity what;
        double value;
        if (!balance_line_at(figures, i, &what, &value))
            continue;
        if (evn_looks_like_nothing(what.digits, value)) {
            size_t used = strlen(idle);
            snprintf(idle + used, idle_size - used, "%s%s", used > 0 ? ", " : "", what.label);
        } else if (!balance_row(table, report, scale, what.label, what.digits, value)) {
            return false;
        }
    }
    return true;
}

/* The two rows that the lines add up to, as their results are told: what was discharged is what they took and what was
 * regenerated. */
static bool balance_sums(evn_table *table, const drive_report *report, balance_scale scale)
{
    static const char *const sums[] = {"regenerated_kwh", "discharged_kwh"};
    evn_quantity what;
    double kwh;
    scale.largest_kwh = 0;
    for (size_t i = 0; i < sizeof sums / sizeof *sums; i++)
        if (evn_figures_find(&report->story->figures, sums[i], &what, &kwh) &&
            !balance_row(table, report, &scale, what.label, what.digits, kwh))
            return false;
    return true;
}

static bool put_balance(const drive_report *report)
{
    static const evn_table_column columns[] = {{"", false, true},
                                               {"kWh", true, false},
                                               {"kWh/km", true, false},
                                               {"% of discharged", true, false},
                                               {"", false, false}};
    balance_scale scale = scale_of(&report->story->figures);
    if (scale.largest_kwh <= 0)
        return true;
    char idle[16 * CELL] = "";
    evn_table *table = evn_table_new(columns, 5, true);
    bool made = table && balance_lines(table, report, &scale, idle, sizeof idle) && balance_sums(table, report, scale);
    if (made) {
        put_heading(report, "Energy balance");
        made = evn_table_print(table, report->to, indent, evn_look_width(report->look));
    }
    evn_table_free(table);
    if (made && idle[0] != '\0') {
        char sentence[17 * CELL];
        snprintf(sentence, sizeof sentence, "No energy to speak of in: %s.", idle);
        fputc('\n', report->to);
        put_words(report, EVN_STYLE_PLAIN, indent, sentence);
    }
    return made;
}

/* ------------------------------------------------------------------------------------------------ limits */

static bool limit_row(evn_table *table, const drive_report *report, const evn_limitation *is)
{
    char time[CELL], place[CELL], below[CELL];
    evn_format_duration(time, sizeof time, is->duration_s);
    if (report->look->all_digits) {
        evn_format_decimals(time, sizeof time, EVN_ALL_DIGITS, is->duration_s);
        snprintf(time + strlen(time), sizeof time - strlen(time), " s");
    }
    evn_format_decimals(place, sizeof place, evn_look_digits(report->look, 2), is->at_m / 1000);
    evn_format_decimals(below, sizeof below, evn_look_digits(report->look, 1), is->below_target_km_h);
    return evn_table_row(table, (const char *const[]){is->label, time, place, below});
}

static bool put_limits(const drive_report *report)
{
    static const evn_table_column columns[] = {{"limited by", false, true},
                                               {"time", true, false},
                                               {"furthest below target at km", true, false},
                                               {"by, km/h", true, false}};
    bool none = report->story->limitation_count == 0;
    if (none && strcmp(report->story->status, "finished") != 0)
        return true; /* what stopped it stands at the top */
    put_heading(report, "What limited the truck");
    if (none) {
        put_words(report, EVN_STYLE_PLAIN, indent, "Nothing: the target speed was met everywhere.");
        return true;
    }
    evn_table *table = evn_table_new(columns, 4, true);
    bool made = table;
    for (size_t i = 0; made && i < report->story->limitation_count; i++)
        made = limit_row(table, report, &report->story->limitation[i]);
    made = made && evn_table_print(table, report->to, indent, evn_look_width(report->look));
    evn_table_free(table);
    return made;
}

/* ------------------------------------------------------------------------------------------------ brakes, heat */

static bool put_brakes(const drive_report *report)
{
    char *text = NULL;
    size_t size = 0;
    FILE *memory = open_memstream(&text, &size);
    if (!memory)
        return false;
    bool told = evn_brakes_sentences(report->story->results, report->look, memory), made = ferror(memory) == 0;
    made = fclose(memory) == 0 && made;
    if (made && told) {
        put_heading(report, "Brakes and heat");
        put_words(report, EVN_STYLE_PLAIN, indent, text);
        made = evn_temperatures_table(report->story->results, report->to, report->look);
        fputc('\n', report->to);
        put_words(report, EVN_STYLE_PLAIN, indent, evn_brakes_caution);
    }
    free(text);
    return made;
}

/* ------------------------------------------------------------------------------------------------ trust */

static void put_invented(const drive_report *report)
{
    bool truck = report->story->truck_invented;
    bool cycle = report->story->cycle_source && strcmp(report->story->cycle_source, "invented") == 0;
    if (!truck && !cycle)
        return;
    const char *what = truck && cycle ? "The data of the truck and of the cycle are invented: they stand for no "
                                        "vehicle and no road that exist."
                       : truck        ? "The data of the truck are invented: they stand for no vehicle that exists."
                                      : "The cycle is invented: it stands for no road that exists.";
    put_words(report, EVN_STYLE_WARNING, indent, what);
}

static void put_trust(const drive_report *report)
{
    char sentence[8 * CELL];
    double balance_error = evn_figures_value(&report->story->figures, "balance_error");
    put_heading(report, "Accuracy and validity");
    put_invented(report);
    if (isfinite(balance_error)) {
        snprintf(sentence, sizeof sentence,
                 "Balance error: %.1e of the energy that went through the battery; tolerance of the integration: %.0e. "
                 "Both speak of the arithmetic, not of the truck.",
                 balance_error, report->story->ask.driving.accuracy);
        put_words(report, EVN_STYLE_PLAIN, indent, sentence);
    }
    put_words(report, EVN_STYLE_PLAIN, indent,
              "The data of the parts carry an uncertainty of a few per cent of their own, and so does the "
              "result; --digits shows further digits, which are for comparing runs.");
    char weather[EVN_ASK_WEATHER_BYTES];
    put_words(report, EVN_STYLE_PLAIN, indent, evn_ask_weather(&report->story->ask, weather));
    put_words(report, EVN_STYLE_PLAIN, indent,
              "This is an engineering estimate, not a type approval. Braking, axle loads and electrical "
              "safety are for local regulation and licensed practice to decide.");
}

bool evn_drive_text(const evn_drive_story *story, const evn_findings *findings, FILE *to, const evn_look *look)
{
    drive_report report = {.story = story, .to = to, .look = look};
    if (!put_answer(&report, findings) || !put_asked(&report) || !put_headlines(&report) || !put_balance(&report) ||
        !put_limits(&report) || !put_brakes(&report) || (story->stops && !evn_stops_text(story->stops, to, look)) ||
        (story->collective && !evn_collective_text(story->collective, &story->damage, to, look)) ||
        !put_other_figures(&report))
        return false;
    put_trust(&report);
    return true;
}

bool evn_drive_answer_lines(const evn_drive_story *story, const evn_findings *findings, FILE *to)
{
    drive_report report = {.story = story, .to = to};
    return put_answer(&report, findings);
}

void evn_drive_trust_lines(const evn_drive_story *story, FILE *to)
{
    drive_report report = {.story = story, .to = to};
    put_trust(&report);
}
