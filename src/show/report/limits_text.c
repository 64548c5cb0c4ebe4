/* The report on limits: tables of figures with what binds them, of one truck in full, of several side by side. */
#define _POSIX_C_SOURCE 200809L
#include "show/report/limits_report.h"
#include "show/report/wide_table.h"
#include "show/text.h"
#include <ctype.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

enum { CELL = EVN_LIMITS_CELL, TRUCKS = EVN_LIMITS_TRUCKS_MOST, SENTENCE = 512, NARROW = 72, LABEL_COLUMNS = 26 };

static const char indent[] = "  ";

/* Figures of a group, those from one place to another. */
typedef struct span {
    const evn_limits_figure *at;
    size_t count;
} span;

/* Where the next row of a group begins. */
static bool begins_row(const span *of, size_t index)
{
    return index == 0 || strcmp(of->at[index].row, of->at[index - 1].row) != 0;
}

/* "  once": below the label of its row. To be freed; NULL when memory is out. */
static char *column_label(const evn_limits_figure *f)
{
    char *safe = evn_safe_text(f->column_label);
    size_t bytes = safe ? strlen(safe) + sizeof indent : 0;
    char *label = safe ? malloc(bytes) : NULL;
    if (label)
        snprintf(label, bytes, "%s%s", indent, safe);
    free(safe);
    return label;
}

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

/* ------------------------------------------------------------------------------------------------ one truck */

/* Narrower than this a range of adhesion does not stand beside its figure. */
enum { COLUMNS = 6, BESIDE_RANGE = 92 };

static bool row_label(evn_table *table, const evn_limits_figure *f)
{
    char *safe = evn_safe_text(f->row_label);
    bool made = safe && evn_table_row(table, (const char *const[COLUMNS]){safe});
    free(safe);
    return made;
}

/* An end of the range of adhesion, in a line of its own. */
static bool end_row(evn_table *table, const evn_limits_report *report, const evn_limits_figure *f, const char *label,
                    double value)
{
    char amount[CELL];
    evn_limits_amount(report, f, value, amount);
    return evn_table_row(table, (const char *const[COLUMNS]){label, isnan(value) ? "none" : amount});
}

static bool end_rows(evn_table *table, const evn_limits_report *report, const evn_limits_figure *f)
{
    return end_row(table, report, f, "    least adhesion", f->low) &&
           end_row(table, report, f, "    most adhesion", f->high);
}

static bool figure_row(evn_table *table, const evn_limits_report *report, const evn_limits_figure *f)
{
    char value[CELL], range[CELL] = "", then[CELL] = "", *label = column_label(f);
    bool beside = evn_look_width(report->look) >= BESIDE_RANGE;
    evn_limits_value(report, f, value);
    if (has_range(f) && beside)
        range_of(report, f, range);
    if (f->next)
        evn_limits_amount(report, f, f->next_value, then);
    bool made = label && evn_table_row(table, (const char *const[COLUMNS]){label, value, range, f->limit_label,
                                                                           f->next_label, then});
    free(label);
    return made && (!has_range(f) || beside || end_rows(table, report, f));
}

static bool any_range(const span *of)
{
    bool any = false;
    for (size_t i = 0; i < of->count; i++)
        any = any || has_range(&of->at[i]);
    return any;
}

static bool put_table(const evn_limits_report *report, const span *of)
{
    bool ranges = any_range(of) && evn_look_width(report->look) >= BESIDE_RANGE;
    const evn_table_column columns[COLUMNS] = {
        {"", false, true},           {"", true, false},           {ranges ? "least to most adhesion" : "", true, false},
        {"limited by", false, true}, {"next limit", false, true}, {"then", true, false}};
    evn_table *table = evn_table_new(columns, COLUMNS, true);
    bool made = table;
    for (size_t i = 0; made && i < of->count; i++)
        made = (!begins_row(of, i) || row_label(table, &of->at[i])) && figure_row(table, report, &of->at[i]);
    made = made && evn_table_print(table, report->to, indent, evn_look_width(report->look));
    evn_table_free(table);
    return made;
}

/* In a narrow window a figure is a sentence: "once: 23.99 % (22.8 to 24.0 from least to most adhesion), motor torque,
 * next adhesion, 24.81 %". False when memory is out. */
static bool put_sentence(const evn_limits_report *report, const evn_limits_figure *f)
{
    char value[CELL], range[CELL], then[CELL], told[4 * CELL + SENTENCE];
    evn_limits_value(report, f, value);
    size_t used = (size_t)snprintf(told, sizeof told, "%s", value);
    if (has_range(f)) {
        range_of(report, f, range);
        used += (size_t)snprintf(told + used, sizeof told - used, " (%s, least to most adhesion)", range);
    }
    if (f->limit)
        used += (size_t)snprintf(told + used, sizeof told - used, ", %s", f->limit_label);
    if (f->next) {
        evn_limits_amount(report, f, f->next_value, then);
        snprintf(told + used, sizeof told - used, "; next %s%s%s", f->next_label, then[0] != '\0' ? ", " : "", then);
    }
    return evn_put_sentence(report->to, evn_look_prose(report->look), "    ", "%s: %s", f->column_label, told);
}

static bool put_list(const evn_limits_report *report, const span *of)
{
    bool made = true;
    for (size_t i = 0; made && i < of->count; i++) {
        if (begins_row(of, i))
            made = evn_put_sentence(report->to, evn_look_prose(report->look), indent, "%s", of->at[i].row_label);
        made = made && put_sentence(report, &of->at[i]);
    }
    return made;
}

static bool put_figures_of_one(const evn_limits_report *report, const span *of)
{
    return evn_look_width(report->look) < NARROW ? put_list(report, of) : put_table(report, of);
}

/* ------------------------------------------------------------------------------------------------ several trucks */

/* The label of a row on lines of its own, none wider than leaves room for trucks. */
static bool side_label(evn_wide_table *table, const evn_limits_figure *f)
{
    char *safe = evn_safe_text(f->row_label), *at = safe;
    bool made = safe;
    while (made && *at != '\0') {
        size_t bytes = evn_line_bytes(at, LABEL_COLUMNS);
        char *line = strndup(at, bytes);
        made = line && evn_wide_row(table, (const char *const[1 + TRUCKS]){line});
        free(line);
        at += bytes;
        at += strspn(at, " ");
    }
    free(safe);
    return made;
}

/* A line of figures, and below it one of what binds them. */
static bool side_row(evn_wide_table *table, const evn_limits_report *report, const evn_limits_figure *row)
{
    char value[TRUCKS][CELL], *label = column_label(row);
    const char *cells[1 + TRUCKS] = {label}, *limits[1 + TRUCKS] = {NULL};
    bool binds = false;
    for (size_t i = 0; i < report->story->count; i++) {
        evn_limits_figure f;
        if (!evn_limits_get(report->story->truck[i].limits, row->what.key, &f))
            continue;
        evn_limits_value(report, &f, value[i]);
        cells[1 + i] = value[i];
        limits[1 + i] = f.limit_label;
        binds = binds || f.limit_label;
    }
    bool made = label && evn_wide_row(table, cells) && (!binds || evn_wide_row(table, limits));
    free(label);
    return made;
}

/* NULL when memory is out. */
static evn_wide_table *side_table(const evn_limits_report *report)
{
    char *name[TRUCKS] = {NULL};
    evn_table_column columns[1 + TRUCKS] = {{"", false, true}};
    bool made = true;
    for (size_t i = 0; made && i < report->story->count; i++) {
        name[i] = evn_safe_text(evn_limits_title(&report->story->truck[i]));
        columns[1 + i] = (evn_table_column){name[i], true, true};
        made = name[i];
    }
    evn_wide_table *table = made ? evn_wide_new(columns, 1, report->story->count, 1) : NULL;
    for (size_t i = 0; i < report->story->count; i++)
        free(name[i]);
    return table;
}

static bool put_figures_of_all(const evn_limits_report *report, const span *of)
{
    evn_wide_table *table = side_table(report);
    bool made = table;
    for (size_t i = 0; made && i < of->count; i++)
        made = (!begins_row(of, i) || side_label(table, &of->at[i])) && side_row(table, report, &of->at[i]);
    made = made && evn_wide_print(table, report->to, indent, evn_look_width(report->look));
    evn_wide_free(table);
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
    bool left_out =
        from == end && report->story->only_forces && report->story->groups[0] && evn_limits_tells(report->story, group);
    if (from == end && !left_out)
        return true;
    capitalised(text, sizeof text, title, "");
    evn_limits_heading(report, text);
    if (left_out) {
        evn_limits_paragraph(report, EVN_STYLE_PLAIN, indent, "Found by driving, which --only-forces leaves out.");
        return true;
    }
    capitalised(text, sizeof text, help, ".");
    evn_limits_paragraph(report, EVN_STYLE_PLAIN, indent, text);
    fputc('\n', report->to);
    span of = {&rows->at[from], end - from};
    return report->story->count == 1 ? put_figures_of_one(report, &of) : put_figures_of_all(report, &of);
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

/* Where the rest is to be had. */
static void put_more(const evn_limits_report *report)
{
    char text[SENTENCE] = "All figures: --group all, or one of ";
    const char *group, *title, *help;
    for (size_t i = 0; evn_limits_group_at(i, &group, &title, &help); i++)
        snprintf(text + strlen(text), sizeof text - strlen(text), "%s%s", i > 0 ? ", " : "", group);
    snprintf(text + strlen(text), sizeof text - strlen(text),
             "; in files --csv and --page; one truck alone shows all of them with the next limit of each.");
    fputc('\n', report->to);
    evn_limits_paragraph(report, EVN_STYLE_PLAIN, "  ", text);
}

static void put_reading(const evn_limits_report *report)
{
    if (report->story->in_short)
        return;
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
    made = made && put_groups(&report);
    if (made && story->in_short)
        put_more(&report);
    return made && evn_limits_trust(&report);
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
