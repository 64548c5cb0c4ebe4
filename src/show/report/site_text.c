/* The report on a site: tables of figures with what decides them, of one truck in full, of several side by side. */
#define _POSIX_C_SOURCE 200809L
#include "show/report/wide_table.h"
#include "show/site_story.h"
#include "show/text.h"
#include <ctype.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

enum { CELL = 64, WHY = 400, TRUCKS = EVN_SITE_TRUCKS_MOST, COLUMNS = 5, LABEL_COLUMNS = 20 };

static const char indent[] = "  ";

typedef struct site_report {
    const evn_site_story *story;
    FILE *to;
    const evn_look *look;
} site_report;

/* Figures of a group. */
typedef struct span {
    const evn_site_figure *at;
    size_t count;
} span;

static bool begins_row(const span *of, size_t index)
{
    return index == 0 || strcmp(of->at[index].row, of->at[index - 1].row) != 0;
}

/* "275 mm"; "" where there is none. */
static void amount(const site_report *report, const evn_site_figure *f, double value, char out[CELL])
{
    const char *unit = evn_shown_unit(&f->what);
    out[0] = '\0';
    if (isnan(value))
        return;
    evn_format_value(out, CELL / 2, report->look, &f->what, value);
    snprintf(out + strlen(out), CELL / 2, "%s%s", unit[0] != '\0' ? " " : "", unit);
}

/* To be freed; NULL when memory is out. */
static char *column_label(const evn_site_figure *f)
{
    char *safe = evn_safe_text(f->column_label);
    size_t bytes = safe ? strlen(safe) + sizeof indent : 0;
    char *label = safe ? malloc(bytes) : NULL;
    if (label)
        snprintf(label, bytes, "%s%s", indent, safe);
    free(safe);
    return label;
}

/* What stands for a value that there is not. */
static const char *nothing(const evn_site_figure *f)
{
    static const char not_known[] = "not known";
    return f->why && strncmp(f->why, not_known, sizeof not_known - 1) == 0 ? not_known : "none";
}

/* ------------------------------------------------------------------------------------------------ one truck */

static bool row_label(evn_table *table, const evn_site_figure *f)
{
    char *safe = evn_safe_text(f->row_label);
    bool made = safe && evn_table_row(table, (const char *const[COLUMNS]){safe});
    free(safe);
    return made;
}

static bool figure_row(evn_table *table, const site_report *report, const evn_site_figure *f)
{
    char value[CELL], limit[CELL], margin[CELL], *label = column_label(f), *why = evn_safe_text(f->why ? f->why : "");
    amount(report, f, f->value, value);
    amount(report, f, f->limit, limit);
    amount(report, f, f->margin, margin);
    bool made = label && why &&
                evn_table_row(table, (const char *const[COLUMNS]){label, value[0] != '\0' ? value : nothing(f), limit,
                                                                  margin, why});
    free(label);
    free(why);
    return made;
}

static bool put_figures_of_one(const site_report *report, const span *of)
{
    static const evn_table_column columns[COLUMNS] = {{"", false, true},
                                                      {"", true, false},
                                                      {"limit", true, false},
                                                      {"margin", true, false},
                                                      {"what decides", false, true}};
    evn_table *table = evn_table_new(columns, COLUMNS, true);
    bool made = table;
    for (size_t i = 0; made && i < of->count; i++)
        made = (!begins_row(of, i) || row_label(table, &of->at[i])) && figure_row(table, report, &of->at[i]);
    made = made && evn_table_print(table, report->to, indent, evn_look_width(report->look));
    evn_table_free(table);
    return made;
}

/* ------------------------------------------------------------------------------------------------ several trucks */

/* A text on lines of its own in a column of the table, none wider than leaves room. */
static bool folded(evn_wide_table *table, size_t column, char *text, size_t columns)
{
    const char *at = text;
    bool made = text;
    while (made && *at != '\0') {
        const char *cells[1 + TRUCKS] = {NULL};
        size_t bytes = evn_line_bytes(at, columns);
        char *line = strndup(at, bytes);
        cells[column] = line;
        made = line && evn_wide_row(table, cells);
        free(line);
        at += bytes;
        at += strspn(at, " ");
    }
    free(text);
    return made;
}

/* "275 mm (15)": with the margin, where there is a limit. */
static void side_value(const site_report *report, const evn_site_figure *f, char out[CELL])
{
    char margin[CELL];
    amount(report, f, f->value, out);
    if (out[0] == '\0')
        snprintf(out, CELL, "%s", nothing(f));
    if (isnan(f->margin))
        return;
    evn_format_value(margin, sizeof margin, report->look, &f->what, f->margin);
    snprintf(out + strlen(out), CELL - strlen(out), " (%.20s%.20s)", f->margin > 0 ? "+" : "", margin);
}

/* A line of figures, and below it what decides them, side by side, line by line. */
static bool side_row(evn_wide_table *table, const site_report *report, const evn_site_figure *row)
{
    enum { LINES_MOST = 12 };
    const size_t width = 16;
    char value[TRUCKS][CELL], *label = column_label(row), *why[TRUCKS] = {NULL};
    const char *cells[1 + TRUCKS] = {label}, *at[TRUCKS] = {NULL};
    bool made = label, more = false;
    for (size_t i = 0; made && i < report->story->count; i++) {
        evn_site_figure f;
        if (!evn_site_get(report->story->truck[i].site, row->what.key, &f))
            continue;
        side_value(report, &f, value[i]);
        cells[1 + i] = value[i];
        if (!f.why)
            continue;
        at[i] = why[i] = evn_safe_text(f.why);
        made = why[i];
        more = true;
    }
    made = made && evn_wide_row(table, cells);
    for (int lines = 0; made && more && lines < LINES_MOST; lines++) {
        char line[TRUCKS][CELL];
        const char *below[1 + TRUCKS] = {NULL};
        more = false;
        for (size_t i = 0; i < report->story->count; i++) {
            if (!at[i] || *at[i] == '\0')
                continue;
            size_t bytes = evn_line_bytes(at[i], width);
            snprintf(line[i], CELL, "%.*s", (int)(bytes < CELL ? bytes : CELL - 1), at[i]);
            below[1 + i] = line[i];
            at[i] += bytes;
            at[i] += strspn(at[i], " ");
            more = more || *at[i] != '\0';
        }
        made = evn_wide_row(table, below);
    }
    for (size_t i = 0; i < report->story->count; i++)
        free(why[i]);
    free(label);
    return made;
}

/* NULL when memory is out. */
static evn_wide_table *side_table(const site_report *report)
{
    char *name[TRUCKS] = {NULL};
    evn_table_column columns[1 + TRUCKS] = {{"", false, true}};
    bool made = true;
    for (size_t i = 0; made && i < report->story->count; i++) {
        name[i] = evn_safe_text(evn_site_title(&report->story->truck[i]));
        columns[1 + i] = (evn_table_column){name[i], true, true};
        made = name[i];
    }
    evn_wide_table *table = made ? evn_wide_new(columns, 1, report->story->count, 1) : NULL;
    for (size_t i = 0; i < report->story->count; i++)
        free(name[i]);
    return table;
}

static bool put_figures_of_all(const site_report *report, const span *of)
{
    evn_wide_table *table = side_table(report);
    bool made = table;
    for (size_t i = 0; made && i < of->count; i++)
        made = (!begins_row(of, i) || folded(table, 0, evn_safe_text(of->at[i].row_label), LABEL_COLUMNS)) &&
               side_row(table, report, &of->at[i]);
    made = made && evn_wide_print(table, report->to, indent, evn_look_width(report->look));
    evn_wide_free(table);
    return made;
}

/* ------------------------------------------------------------------------------------------------ groups */

static void heading(const site_report *report, const char *title)
{
    char text[CELL];
    snprintf(text, sizeof text, "%s", title);
    text[0] = (char)toupper((unsigned char)text[0]);
    fputc('\n', report->to);
    evn_put_styled(report->to, report->look, EVN_STYLE_STRONG, text);
    fputs("\n\n", report->to);
}

/* Sources of limits and laws, each once. */
static bool put_sources(const site_report *report, const span *of)
{
    bool made = true;
    for (size_t i = 0; made && i < of->count; i++) {
        bool told = !of->at[i].source;
        for (size_t k = 0; k < i && !told; k++)
            told = of->at[k].source && strcmp(of->at[k].source, of->at[i].source) == 0;
        if (!told)
            made = evn_put_sentence(report->to, evn_look_prose(report->look), indent, "Source: %s.", of->at[i].source);
    }
    return made;
}

static bool put_group(const site_report *report, const evn_site_rows *rows, const char *group, const char *title,
                      const char *help)
{
    size_t from = 0, end;
    while (from < rows->count && strcmp(rows->at[from].group, group) != 0)
        from++;
    for (end = from; end < rows->count && strcmp(rows->at[end].group, group) == 0;)
        end++;
    if (from == end)
        return true;
    heading(report, title);
    char text[WHY];
    snprintf(text, sizeof text, "%s.", help);
    text[0] = (char)toupper((unsigned char)text[0]);
    evn_put_paragraph_within(report->to, evn_look_prose(report->look), 0, indent, text);
    fputc('\n', report->to);
    span of = {&rows->at[from], end - from};
    bool made = report->story->count == 1 ? put_figures_of_one(report, &of) : put_figures_of_all(report, &of);
    return made && put_sources(report, &of);
}

/* Sentences, or where there is no look lines for other media. */
static bool put_answer(const site_report *report)
{
    size_t width = report->look ? evn_look_prose(report->look) : 100000;
    bool made = true;
    for (size_t i = 0; made && i < report->story->count; i++)
        made = evn_put_sentence(report->to, width, "", "%s%s", evn_truck_name(report->story->truck[i].truck),
                                evn_truck_invented(report->story->truck[i].truck) ? " (invented)" : "");
    for (size_t i = 0; made && i < report->story->count; i++) {
        const evn_site_truck *of = &report->story->truck[i];
        evn_site_figure f;
        for (size_t k = 0; made && evn_site_at(of->site, k, &f); k++) {
            char value[CELL], limit[CELL];
            if (!f.demanded || f.margin >= 0 || !evn_site_tells(report->story, f.group))
                continue;
            amount(report, &f, f.value, value);
            amount(report, &f, f.limit, limit);
            made =
                evn_put_sentence(report->to, width, "", "%s: %s %s, demanded %s%s%s%s.", evn_site_title(of),
                                 f.what.label, value, limit, f.why ? " (" : "", f.why ? f.why : "", f.why ? ")" : "");
        }
    }
    return made;
}

bool evn_site_answer_lines(const evn_site_story *story, FILE *to)
{
    const site_report report = {story, to, NULL};
    return put_answer(&report);
}

bool evn_site_words(const evn_site_story *story, FILE *to, const evn_look *look)
{
    const site_report report = {story, to, look};
    const char *group, *title, *help;
    evn_site_rows rows;
    if (!put_answer(&report) || !evn_site_rows_of(story, &rows))
        return false;
    bool made = true;
    for (size_t i = 0; made && evn_site_group_at(i, &group, &title, &help); i++)
        made = put_group(&report, &rows, group, title, help);
    evn_site_rows_free(&rows);
    fputc('\n', to);
    evn_put_paragraph_within(to, evn_look_prose(look), 0, "", EVN_SITE_CAUTION);
    return made;
}
