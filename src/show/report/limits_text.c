/* The report on limits: tables of figures with what binds them, of one truck in full, of several side by side. */
#define _POSIX_C_SOURCE 200809L
#include "show/report/limits_report.h"
#include "show/report/wide_table.h"
#include "show/text.h"
#include <ctype.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

enum {
    CELL = EVN_LIMITS_CELL,
    TRUCKS = EVN_LIMITS_TRUCKS_MOST,
    SENTENCE = 512,
};

static const char indent[] = "  ";

/* ------------------------------------------------------------------------------------------------ the rows */

/* Labels of a row, its own only where it differs from the row before. Both to be freed, also when memory is out. */
typedef struct labels {
    char *row, *column;
} labels;

static bool same_row(const evn_limits_figure *a, const evn_limits_figure *b)
{
    return strcmp(a->group, b->group) == 0 && strcmp(a->row, b->row) == 0;
}

static bool labels_of(const evn_limits_rows *rows, size_t index, labels *out)
{
    const evn_limits_figure *f = &rows->at[index];
    bool again = index > 0 && same_row(f, f - 1);
    out->row = evn_safe_text(again ? "" : f->row_label);
    out->column = evn_safe_text(f->column_label);
    return out->row && out->column;
}

static void forget_labels(labels *l)
{
    free(l->row);
    free(l->column);
}

/* ------------------------------------------------------------------------------------------------ one truck */

/* Narrower than this a range of adhesion stands in rows of its own. */
enum { BESIDE_RANGE = 72 };

static bool has_range(const evn_limits_figure *f) { return !isnan(f->low) || !isnan(f->high); }

/* "11.8 to 18.9": of a range a decimal less than of the figure in it. */
static void range_of(const evn_limits_report *report, const evn_limits_figure *f, char out[CELL])
{
    char low[CELL / 3] = "none", high[CELL / 3] = "none";
    int digits = evn_look_digits(report->look, f->what.digits > 0 ? f->what.digits - 1 : 0);
    if (!isnan(f->low))
        evn_format_decimals(low, sizeof low, digits, f->low);
    if (!isnan(f->high))
        evn_format_decimals(high, sizeof high, digits, f->high);
    snprintf(out, CELL, "%s to %s", low, high);
}

static bool end_row(evn_table *table, const evn_limits_report *report, const evn_limits_figure *f, double value,
                    const char *label)
{
    char amount[CELL];
    evn_limits_amount(report, f, value, amount);
    return evn_table_row(table, (const char *const[]){"", label, isnan(value) ? "none" : amount, "", "", "", ""});
}

static bool figure_row(evn_table *table, const evn_limits_report *report, const evn_limits_figure *f, const labels *l)
{
    char value[CELL], range[CELL] = "", then[CELL];
    bool ranges = has_range(f), beside = ranges && evn_look_width(report->look) >= BESIDE_RANGE;
    evn_limits_value(report, f, value);
    evn_limits_amount(report, f, f->next_value, then);
    if (beside)
        range_of(report, f, range);
    const char *const cells[] = {l->row,
                                 l->column,
                                 value,
                                 range,
                                 f->limit ? f->limit_label : "",
                                 f->next ? f->next_label : "",
                                 f->next ? then : ""};
    return evn_table_row(table, cells) && (!ranges || beside ||
                                           (end_row(table, report, f, f->low, "least adhesion") &&
                                            end_row(table, report, f, f->high, "most adhesion")));
}

static bool put_group_of_one(const evn_limits_report *report, const evn_limits_rows *rows, size_t from, size_t end)
{
    static const evn_table_column columns[] = {{"", false, true},           {"", false, true},
                                               {"", true, false},           {"least to most adhesion", true, true},
                                               {"limited by", false, true}, {"next limit", false, true},
                                               {"then", true, false}};
    evn_table *table = evn_table_new(columns, sizeof columns / sizeof columns[0], true);
    bool made = table;
    for (size_t i = from; made && i < end; i++) {
        labels l;
        made = labels_of(rows, i, &l) && figure_row(table, report, &rows->at[i], &l);
        forget_labels(&l);
    }
    made = made && evn_table_print(table, report->to, indent, evn_look_width(report->look));
    evn_table_free(table);
    return made;
}

/* ------------------------------------------------------------------------------------------------ several trucks */

/* A line of figures, and below it one of what binds them. */
static bool side_row(evn_wide_table *table, const evn_limits_report *report, const char *key, const labels *l)
{
    char value[TRUCKS][CELL];
    const char *cells[2 + TRUCKS] = {l->row, l->column}, *limits[2 + TRUCKS] = {NULL};
    bool binds = false;
    for (size_t i = 0; i < report->story->count; i++) {
        evn_limits_figure f;
        if (!evn_limits_get(report->story->truck[i].limits, key, &f))
            continue;
        evn_limits_value(report, &f, value[i]);
        cells[2 + i] = value[i];
        limits[2 + i] = f.limit_label;
        binds = binds || f.limit_label;
    }
    return evn_wide_row(table, cells) && (!binds || evn_wide_row(table, limits));
}

static evn_wide_table *side_table(const evn_limits_report *report, char *const *name)
{
    evn_table_column columns[2 + TRUCKS] = {{"", false, true}, {"", false, true}};
    for (size_t i = 0; i < report->story->count; i++)
        columns[2 + i] = (evn_table_column){name[i], true, true};
    return evn_wide_new(columns, 2, report->story->count, 1);
}

static bool put_group_of_all(const evn_limits_report *report, const evn_limits_rows *rows, size_t from, size_t end)
{
    char *name[TRUCKS] = {NULL};
    bool made = true;
    for (size_t i = 0; made && i < report->story->count; i++) {
        name[i] = evn_safe_text(evn_limits_title(&report->story->truck[i]));
        made = name[i];
    }
    evn_wide_table *table = made ? side_table(report, name) : NULL;
    made = table;
    for (size_t i = from; made && i < end; i++) {
        labels l;
        made = labels_of(rows, i, &l) && side_row(table, report, rows->at[i].what.key, &l);
        forget_labels(&l);
    }
    made = made && evn_wide_print(table, report->to, indent, evn_look_width(report->look));
    evn_wide_free(table);
    for (size_t i = 0; i < report->story->count; i++)
        free(name[i]);
    return made;
}

/* ------------------------------------------------------------------------------------------------ groups */

static void capitalised(char *out, size_t size, const char *text, const char *end)
{
    snprintf(out, size, "%s%s", text, end);
    out[0] = (char)toupper((unsigned char)out[0]);
}

static bool put_group(const evn_limits_report *report, const evn_limits_rows *rows, const char *group,
                      const char *title, const char *help)
{
    char text[SENTENCE];
    size_t from = 0, end;
    while (from < rows->count && strcmp(rows->at[from].group, group) != 0)
        from++;
    for (end = from; end < rows->count && strcmp(rows->at[end].group, group) == 0;)
        end++;
    if (from == end)
        return true;
    capitalised(text, sizeof text, title, "");
    evn_limits_heading(report, text);
    capitalised(text, sizeof text, help, ".");
    evn_limits_paragraph(report, EVN_STYLE_PLAIN, indent, text);
    fputc('\n', report->to);
    return report->story->count == 1 ? put_group_of_one(report, rows, from, end)
                                     : put_group_of_all(report, rows, from, end);
}

static bool put_groups(const evn_limits_report *report)
{
    const char *group, *title, *help;
    evn_limits_rows rows;
    bool made = evn_limits_rows_of(report->story, &rows);
    for (size_t i = 0; made && evn_limits_group_at(i, &group, &title, &help); i++)
        made = put_group(report, &rows, group, title, help);
    evn_limits_rows_free(&rows);
    return made;
}

static void put_reading(const evn_limits_report *report)
{
    fputc('\n', report->to);
    evn_limits_paragraph(report, EVN_STYLE_PLAIN, "",
                         report->story->count == 1
                             ? "Each figure stands with the limit that binds it, and with the one that would bind next "
                               "and the figure as it would be then."
                             : "Each figure stands with the limit that binds it; which would bind next, one truck "
                               "alone, --csv, --json and --page tell.");
}

bool evn_limits_words(const evn_limits_story *story, FILE *to, const evn_look *look)
{
    evn_limits_report report = {story, to, look};
    bool made = evn_limits_answer(&report);
    if (made)
        put_reading(&report);
    return made && put_groups(&report) && evn_limits_trust(&report);
}

bool evn_limits_answer_lines(const evn_limits_story *story, FILE *to)
{
    evn_limits_report report = {story, to, NULL};
    return evn_limits_answer(&report);
}

bool evn_limits_trust_lines(const evn_limits_story *story, FILE *to)
{
    evn_limits_report report = {story, to, NULL};
    return evn_limits_trust(&report);
}
