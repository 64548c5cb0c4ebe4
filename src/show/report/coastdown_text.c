/* The report on coast-downs: coefficients with intervals, run by run, what bounds them. */
#define _POSIX_C_SOURCE 200809L
#include "show/coastdown_story.h"
#include "show/report/table.h"
#include "show/text.h"
#include <math.h>
#include <stdlib.h>
#include <string.h>

enum { CELL = 48, PLACE = 300 };
static const char indent[] = "  ";

static void put_heading(FILE *to, const evn_look *look, const char *text)
{
    fputc('\n', to);
    evn_put_styled(to, look, EVN_STYLE_STRONG, text);
    fputs("\n\n", to);
}

/* Each line of a text as a paragraph. */
static void put_lines(FILE *to, const evn_look *look, const char *before, char *text)
{
    char *rest = NULL;
    for (char *line = strtok_r(text, "\n", &rest); line; line = strtok_r(NULL, "\n", &rest))
        evn_put_paragraph_within(to, evn_look_prose(look), 0, before, line);
}

/* ------------------------------------------------------------------------------------------------ figures */

static void value_and_interval(const evn_look *look, const evn_coastdown *c, evn_coastdown_method method, size_t row,
                               char value[CELL], char interval[CELL])
{
    evn_coastdown_figure f;
    char low[CELL / 2 - 4], high[CELL / 2 - 4];
    evn_coastdown_figure_at(c, method, row, &f);
    int digits = evn_look_digits(look, f.what.digits);
    value[0] = interval[0] = '\0';
    if (isnan(f.value))
        return;
    evn_format_decimals(value, CELL, digits, f.value);
    evn_format_decimals(low, sizeof low, digits, f.low);
    evn_format_decimals(high, sizeof high, digits, f.high);
    snprintf(interval, CELL, "%s to %s", low, high);
}

static bool put_figures(const evn_coastdown_story *s, FILE *to, const evn_look *look)
{
    static const evn_table_column columns[] = {{"", false, true},
                                               {"fit", true, false},
                                               {"interval of 95 %", true, false},
                                               {"regression", true, false},
                                               {"interval of 95 %", true, false}};
    evn_table *table = evn_table_new(columns, sizeof columns / sizeof *columns, true);
    evn_coastdown_figure f;
    bool made = table;
    for (size_t k = 0; made && evn_coastdown_figure_at(s->coastdown, EVN_COASTDOWN_FIT, k, &f); k++) {
        char name[CELL * 2], fit[CELL], fit_in[CELL], line[CELL], line_in[CELL];
        snprintf(name, sizeof name, "%s%s%s", f.what.label, f.what.unit[0] != '\0' ? ", " : "", f.what.unit);
        value_and_interval(look, s->coastdown, EVN_COASTDOWN_FIT, k, fit, fit_in);
        value_and_interval(look, s->coastdown, EVN_COASTDOWN_REGRESSION, k, line, line_in);
        made = isnan(f.value) || evn_table_row(table, (const char *const[]){name, fit, fit_in, line, line_in});
    }
    if (made) {
        put_heading(to, look, "Coefficients");
        made = evn_table_print(table, to, indent, evn_look_width(look));
    }
    evn_table_free(table);
    return made;
}

/* ------------------------------------------------------------------------------------------------ runs */

/* The last part of a path. */
static const char *file_name(const char *path)
{
    const char *slash = strrchr(path, '/');
    return slash ? slash + 1 : path;
}

static bool run_row(evn_table *table, const evn_look *look, size_t number, const evn_coastdown_run *run)
{
    char count[CELL], place[PLACE], pair[CELL] = "", speeds[CELL], time[CELL], rolling[CELL] = "", drag[CELL] = "",
                                    rms[CELL] = "";
    snprintf(count, sizeof count, "%zu", number);
    snprintf(place, sizeof place, "%.250s:%u", file_name(run->file), run->line);
    snprintf(speeds, sizeof speeds, "%.1f to %.1f", run->from_km_h, run->to_km_h);
    evn_format_decimals(time, sizeof time, evn_look_digits(look, 1), run->duration_s);
    if (run->pair > 0) {
        snprintf(pair, sizeof pair, "%zu %s", run->pair, run->back ? "back" : "out");
        evn_format_decimals(rolling, sizeof rolling, evn_look_digits(look, 5), run->rolling);
        evn_format_decimals(drag, sizeof drag, evn_look_digits(look, 2), run->drag_area_m2);
        evn_format_decimals(rms, sizeof rms, evn_look_digits(look, 2), run->rms_km_h);
    } else
        snprintf(pair, sizeof pair, "left out");
    char *safe = evn_safe_text(place);
    bool made =
        safe && evn_table_row(table, (const char *const[]){count, safe, pair, speeds, time, rolling, drag, rms});
    free(safe);
    return made;
}

static bool put_refused(const evn_coastdown_story *s, FILE *to, const evn_look *look)
{
    evn_coastdown_run run;
    bool made = true;
    for (size_t k = 0; made && evn_coastdown_run_at(s->coastdown, k, &run); k++)
        made = !run.refused ||
               evn_put_sentence(to, evn_look_prose(look), indent, "Run %zu is left out: %s.", k + 1, run.why);
    return made;
}

static bool put_runs(const evn_coastdown_story *s, FILE *to, const evn_look *look)
{
    static const evn_table_column columns[] = {
        {"run", true, false}, {"begins at", false, true}, {"pair", false, false},    {"km/h", true, false},
        {"s", true, false},   {"rolling", true, false},   {"area, m2", true, false}, {"off, km/h", true, false}};
    evn_table *table = evn_table_new(columns, sizeof columns / sizeof *columns, true);
    evn_coastdown_run run;
    bool made = table;
    for (size_t k = 0; made && evn_coastdown_run_at(s->coastdown, k, &run); k++)
        made = run_row(table, look, k + 1, &run);
    if (made) {
        put_heading(to, look, "Runs");
        made = evn_table_print(table, to, indent, evn_look_width(look));
        fputc('\n', to);
        evn_put_paragraph_within(
            to, evn_look_prose(look), 0, indent,
            "Rolling coefficient and drag area are those that fit each run best by itself; off: RMS "
            "of its speeds against the fit of all.");
        made = made && put_refused(s, to, look);
    }
    evn_table_free(table);
    return made;
}

/* ------------------------------------------------------------------------------------------------ the whole */

/* Where the grade came from, the same of all runs or not. */
static void put_taken(const evn_coastdown_story *s, FILE *to, const evn_look *look)
{
    evn_coastdown_run run;
    evn_coastdown_told told;
    bool level = false;
    char sentence[PLACE];
    evn_coastdown_told_of(s->coastdown, &told);
    for (size_t k = 0; evn_coastdown_run_at(s->coastdown, k, &run); k++)
        level = level || strcmp(run.grade_from, "level") == 0;
    snprintf(sentence, sizeof sentence,
             "Taken as given: %.0f kg, %.0f kg of rotating mass, air density %.4f kg/m3 on "
             "average%s.",
             told.mass_kg, told.rotating_kg, told.air_density_kg_m3,
             level ? ", a level road where a log has neither grade nor altitude" : "");
    evn_put_paragraph_within(to, evn_look_prose(look), 0, "", sentence);
}

bool evn_coastdown_text(const evn_coastdown_story *s, FILE *to, const evn_look *look)
{
    char *answer = evn_coastdown_answer(s, look), *trust = evn_coastdown_trust(s);
    bool made = answer && trust;
    if (made) {
        evn_style style = evn_coastdown_agree(s->coastdown) ? EVN_STYLE_STRONG : EVN_STYLE_WARNING;
        evn_style_begin(to, look, style);
        put_lines(to, look, "", answer);
        evn_style_end(to, look, style);
        put_taken(s, to, look);
        made = put_figures(s, to, look) && put_runs(s, to, look);
    }
    if (made) {
        put_heading(to, look, "Accuracy and validity");
        put_lines(to, look, indent, trust);
    }
    free(answer);
    free(trust);
    return made;
}
