/* The report on a truck held against a log. */
#define _POSIX_C_SOURCE 200809L
#include "show/ask.h"
#include "show/match_story.h"
#include "show/report/table.h"
#include "show/text.h"
#include <math.h>
#include <stdlib.h>
#include <string.h>

enum { CELL = 48 };
static const char indent[] = "  ";

static void put_heading(FILE *to, const evn_look *look, const char *text)
{
    fputc('\n', to);
    evn_put_styled(to, look, EVN_STYLE_STRONG, text);
    fputs("\n\n", to);
}

static bool put_lines(FILE *to, const evn_look *look, const char *before, char *text)
{
    char *rest = NULL;
    bool made = true;
    for (char *line = strtok_r(text, "\n", &rest); made && line; line = strtok_r(NULL, "\n", &rest))
        made = evn_put_sentence(to, evn_look_prose(look), before, "%s", line);
    return made;
}

static void decimals(char out[CELL], const evn_look *look, int digits, double value)
{
    evn_format_decimals(out, CELL, evn_look_digits(look, digits), value);
}

/* ------------------------------------------------------------------------------------------------ tables */

static bool error_row(evn_table *table, const evn_look *look, const evn_match_error *e)
{
    char name[2 * CELL], log[CELL], run[CELL], bias[CELL], rms[CELL], most[CELL], at[CELL], fitted[CELL];
    int digits = e->what.digits;
    snprintf(name, sizeof name, "%s, %s", e->what.label, e->what.unit);
    decimals(log, look, digits, e->mean_log);
    decimals(run, look, digits, e->mean_run);
    decimals(bias, look, digits, e->bias);
    decimals(rms, look, digits, e->rms);
    decimals(most, look, digits, e->most);
    decimals(at, look, 0, e->most_at_s);
    decimals(fitted, look, digits, e->fitted_rms);
    return evn_table_row(
        table, (const char *const[]){name, log, run, bias, rms, isnan(e->fitted_rms) ? NULL : fitted, most, at});
}

static bool put_errors(const evn_match *m, FILE *to, const evn_look *look)
{
    static const evn_table_column columns[] = {{"", false, true},         {"log", true, false},
                                               {"run", true, false},      {"bias", true, false},
                                               {"RMS", true, false},      {"RMS, explained", true, false},
                                               {"furthest", true, false}, {"at s", true, false}};
    evn_table *table = evn_table_new(columns, sizeof columns / sizeof *columns, true);
    evn_match_error e;
    bool made = table;
    for (size_t k = 0; made && evn_match_error_at(m, k, &e); k++)
        made = error_row(table, look, &e);
    if (made) {
        put_heading(to, look, "Row by row: means, and the run less the log");
        made = evn_table_print(table, to, indent, evn_look_width(look));
    }
    evn_table_free(table);
    return made;
}

static bool found_row(evn_table *table, const evn_look *look, const evn_match_found *f)
{
    char name[2 * CELL], stated[CELL], value[CELL], low[CELL / 2 - 4], high[CELL / 2 - 4], interval[CELL], alone[CELL];
    int digits = evn_look_digits(look, f->what.digits);
    snprintf(name, sizeof name, "%s%s%s", f->what.label, f->what.unit[0] != '\0' ? ", " : "", f->what.unit);
    decimals(stated, look, f->what.digits, f->stated);
    decimals(value, look, f->what.digits, f->value);
    evn_format_decimals(low, sizeof low, digits, f->low);
    evn_format_decimals(high, sizeof high, digits, f->high);
    snprintf(interval, sizeof interval, "%s to %s", low, high);
    snprintf(alone, sizeof alone, "%.0f %%", 100 * f->alone_share);
    return evn_table_row(table, (const char *const[]){name, stated, value, interval, alone,
                                                      f->at_bound         ? "at its bound"
                                                      : f->not_told_apart ? "cannot be told apart"
                                                      : f->differs        ? "differs"
                                                                          : "may be as stated"});
}

static bool put_explained(const evn_match *m, FILE *to, const evn_look *look)
{
    static const evn_table_column columns[] = {{"", false, true},         {"stated", true, false},
                                               {"explains", true, false}, {"interval of 95 %", true, false},
                                               {"alone", true, false},    {"", false, true}};
    evn_table *table = evn_table_new(columns, sizeof columns / sizeof *columns, true);
    evn_match_found f;
    bool made = table, any = false;
    for (size_t k = 0; made && evn_match_found_at(m, k, &f); k++) {
        any = true;
        made = found_row(table, look, &f);
    }
    if (made && any) {
        put_heading(to, look, "What explains it");
        made = evn_table_print(table, to, indent, evn_look_width(look));
        fputc('\n', to);
        evn_put_paragraph_within(to, evn_look_prose(look), 0, indent,
                                 "Alone: share of the squares that it explains if nothing else is changed.");
    }
    evn_table_free(table);
    return made;
}

/* ------------------------------------------------------------------------------------------------ the whole */

static bool put_conditions(const evn_match *m, FILE *to, const evn_look *look)
{
    char *text = NULL;
    size_t size = 0;
    FILE *memory = open_memstream(&text, &size);
    evn_conditions ask = evn_match_conditions(m);
    if (!memory)
        return false;
    evn_ask_words(&ask, memory);
    bool made = ferror(memory) == 0;
    made = fclose(memory) == 0 && made;
    if (made && text[0] != '\0')
        evn_put_paragraph_within(to, evn_look_prose(look), 0, "", text);
    free(text);
    return made;
}

bool evn_match_text(const evn_match_story *s, FILE *to, const evn_look *look)
{
    char *answer = evn_match_answer(s, look), *trust = evn_match_trust(s);
    bool made = answer && trust;
    if (made) {
        evn_style_begin(to, look, EVN_STYLE_STRONG);
        made = put_lines(to, look, "", answer);
        evn_style_end(to, look, EVN_STYLE_STRONG);
    }
    made = made && put_conditions(s->match, to, look) && put_errors(s->match, to, look) &&
           put_explained(s->match, to, look);
    if (made) {
        put_heading(to, look, "Accuracy and validity");
        made = put_lines(to, look, indent, trust);
    }
    free(answer);
    free(trust);
    return made;
}
