/* The report on a site: tables of figures with what decides them, of one truck in full, of several side by side. */
#define _POSIX_C_SOURCE 200809L
#include "show/report/site_gaps.h"
#include "show/report/wide_table.h"
#include "show/site_answer.h"
#include "show/site_plain.h"
#include "show/site_story.h"
#include "show/text.h"
#include <ctype.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

enum {
    CELL = EVN_SITE_CELL,
    WHY = 400,
    TRUCKS = EVN_SITE_TRUCKS_MOST,
    COLUMNS = 5,
    LABEL_COLUMNS = 20,
    BRIEF_COLUMNS = 17,
    TITLE_COLUMNS = 14
};

static const char indent[] = "  ";

typedef struct site_report {
    const evn_site_story *story;
    FILE *to;
    const evn_look *look;
} site_report;

/* Figures of a group that are told one by one, and in lines those that are not known. */
typedef struct span {
    const evn_site_figure *at;
    size_t count;
    evn_site_figure *kept; /* freed with it, */
    char *gaps;            /* as this is */
    evn_site_folded folded;
} span;

static bool begins_row(const span *of, size_t index)
{
    return index == 0 || strcmp(of->at[index].row, of->at[index - 1].row) != 0;
}

/* To be freed; NULL when memory is out. */
static char *column_label(const evn_site_figure *f)
{
    char *safe = evn_site_in_words(f->column_label);
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
    char *safe = evn_site_in_words(f->row_label);
    bool made = safe && evn_table_row(table, (const char *const[COLUMNS]){safe});
    free(safe);
    return made;
}

/* What is told beside or below a figure: that its limit is not met, and what decides. To be freed; NULL when memory is
 * out. */
static char *below_figure(const evn_site_figure *f, const char *why)
{
    char *safe = evn_site_in_words(why && isnan(f->value) ? evn_site_without_value(why) : why);
    size_t bytes = safe ? strlen(safe) + sizeof "not met: " : 0;
    char *text = safe ? malloc(bytes) : NULL;
    if (text)
        snprintf(text, bytes, "%s%s%s", f->margin < 0 ? "not met" : "", f->margin < 0 && *safe != '\0' ? ": " : "",
                 safe);
    free(safe);
    return text;
}

static bool figure_row(evn_table *table, const site_report *report, const evn_site_figure *f)
{
    char value[CELL], limit[CELL], margin[CELL], *label = column_label(f), *why = below_figure(f, f->why);
    evn_site_amount(report->look, f, f->value, value);
    evn_site_amount(report->look, f, f->limit, limit);
    evn_site_margin(report->look, f, margin);
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

/* "275 mm (+15 mm)": with the margin, where there is a limit; to a limit of none it is the value. */
static void side_value(const site_report *report, const evn_site_figure *f, char out[CELL])
{
    char margin[CELL];
    evn_site_amount(report->look, f, f->value, out);
    if (out[0] == '\0')
        snprintf(out, CELL, "%s", nothing(f));
    if (isnan(f->margin) || f->limit == 0)
        return;
    evn_site_margin(report->look, f, margin);
    snprintf(out + strlen(out), CELL - strlen(out), " (%.40s)", margin);
}

/* Texts side by side, each on lines of its own, line by line. They are freed; NULL: none. */
static bool folded_beside(evn_wide_table *table, size_t count, char *text[TRUCKS], size_t width)
{
    enum { LINES_MOST = 12 };
    const char *at[TRUCKS] = {NULL};
    bool made = true, more = false;
    for (size_t i = 0; i < count; i++) {
        at[i] = text[i];
        more = more || (at[i] && *at[i] != '\0');
    }
    for (int lines = 0; made && more && lines < LINES_MOST; lines++) {
        char line[TRUCKS][CELL];
        const char *below[1 + TRUCKS] = {NULL};
        more = false;
        for (size_t i = 0; i < count; i++) {
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
    for (size_t i = 0; i < count; i++)
        free(text[i]);
    return made;
}

/* A line of figures, and below it what decides them; where it is brief, only of those that are not met or not known,
 * and of others the leg that they are of. */
static bool side_row(evn_wide_table *table, const site_report *report, const evn_site_figure *row, const char *label,
                     const evn_site_folded *together)
{
    char value[TRUCKS][CELL], *below[TRUCKS] = {NULL};
    const char *cells[1 + TRUCKS] = {label};
    bool made = label;
    for (size_t i = 0; made && i < report->story->count; i++) {
        evn_site_figure f;
        if (!evn_site_get(report->story->truck[i].site, row->what.key, &f))
            continue;
        side_value(report, &f, value[i]);
        cells[1 + i] = value[i];
        bool tells_why = !report->story->brief || (evn_site_is_not_met(&f) && f.demanded) || isnan(f.value);
        tells_why = tells_why && !(together->truck[i] && evn_site_is_gap(&f));
        below[i] = below_figure(&f, tells_why ? f.why : f.leg);
        made = below[i];
    }
    made = made && evn_wide_row(table, cells);
    return folded_beside(table, report->story->count, below, 16) && made;
}

/* Trucks by their names, where it is brief on lines of their own. NULL when memory is out. */
static evn_wide_table *side_table(const site_report *report)
{
    char *name[TRUCKS] = {NULL}, *rest[TRUCKS] = {NULL};
    evn_table_column columns[1 + TRUCKS] = {{"", false, true}};
    bool made = true;
    for (size_t i = 0; made && i < report->story->count; i++) {
        name[i] = evn_safe_text(evn_site_title(&report->story->truck[i]));
        made = name[i];
        size_t bytes = made && report->story->brief ? evn_line_bytes(name[i], TITLE_COLUMNS)
                       : made                       ? strlen(name[i])
                                                    : 0;
        rest[i] = made ? strdup(name[i] + bytes + strspn(made ? name[i] + bytes : "", " ")) : NULL;
        made = rest[i];
        if (made)
            name[i][bytes] = '\0';
        columns[1 + i] = (evn_table_column){name[i], true, true};
    }
    evn_wide_table *table = made ? evn_wide_new(columns, 1, report->story->count, 1) : NULL;
    made = table && folded_beside(table, report->story->count, rest, TITLE_COLUMNS);
    for (size_t i = 0; i < report->story->count; i++)
        free(name[i]);
    if (made)
        return table;
    evn_wide_free(table);
    return NULL;
}

static bool full_row(evn_wide_table *table, const site_report *report, const span *of, size_t index)
{
    char *label = column_label(&of->at[index]);
    bool made =
        (!begins_row(of, index) || folded(table, 0, evn_site_in_words(of->at[index].row_label), LABEL_COLUMNS)) &&
        side_row(table, report, &of->at[index], label, &of->folded);
    free(label);
    return made;
}

/* A label on lines of its own but for the last, which is left to stand beside figures. NULL when memory is out. */
static const char *folded_but_last(evn_wide_table *table, const char *label)
{
    size_t bytes = evn_line_bytes(label, BRIEF_COLUMNS);
    bool made = true;
    while (made && label[bytes] != '\0') {
        char *line = strndup(label, bytes);
        made = line && evn_wide_row(table, (const char *const[1 + TRUCKS]){line});
        free(line);
        label += bytes + strspn(label + bytes, " ");
        bytes = evn_line_bytes(label, BRIEF_COLUMNS);
    }
    return made ? label : NULL;
}

/* A row of one figure goes by the row's name alone where it is laden, as all of its group is. */
static bool brief_row(evn_wide_table *table, const site_report *report, const span *of, size_t index)
{
    const evn_site_figure *f = &of->at[index];
    bool alone = begins_row(of, index) && (index + 1 == of->count || begins_row(of, index + 1));
    bool laden = strncmp(f->column, "laden_", 6) == 0;
    if (!alone && begins_row(of, index) && !folded(table, 0, evn_site_in_words(f->row_label), BRIEF_COLUMNS))
        return false;
    char *label = !alone ? column_label(f) : evn_site_in_words(laden ? f->row_label : f->what.label);
    const char *last = label ? folded_but_last(table, alone ? label : label + 1) : NULL; /* indented by one */
    bool made = last && side_row(table, report, f, last, &of->folded);
    free(label);
    return made;
}

static bool put_figures_of_all(const site_report *report, const span *of)
{
    evn_wide_table *table = side_table(report);
    bool made = table;
    for (size_t i = 0; made && i < of->count; i++)
        made = full_row(table, report, of, i);
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

/* Those of a list that are told, to be freed by forget; false when memory is out. */
static bool told_of(const site_report *report, const evn_site_rows *rows, const char *group, span *out)
{
    *out = (span){.kept = malloc((rows->count + 1) * sizeof *out->kept)};
    if (!out->kept)
        return false;
    for (size_t k = 0; k < rows->count; k++)
        if (strcmp(rows->at[k].group, group) == 0 &&
            (!report->story->brief || evn_site_is_brief(report->story, &rows->at[k])))
            out->kept[out->count++] = rows->at[k];
    out->gaps = evn_site_fold_gaps(report->story, out->kept, &out->count, &out->folded);
    out->at = out->kept;
    return out->gaps;
}

static void forget(span *of)
{
    free(of->kept);
    free(of->gaps);
}

static bool put_gaps(const site_report *report, const char *gaps)
{
    bool made = true;
    for (const char *at = gaps; made && *at != '\0';) {
        int length = (int)strcspn(at, "\n");
        made = evn_put_sentence(report->to, evn_look_prose(report->look), indent, "%.*s", length, at);
        at += length + (at[length] == '\n');
    }
    return made;
}

static void put_help(const site_report *report, const char *help)
{
    char text[WHY];
    if (report->story->brief)
        return;
    snprintf(text, sizeof text, "%s.", help);
    text[0] = (char)toupper((unsigned char)text[0]);
    evn_put_paragraph_within(report->to, evn_look_prose(report->look), 0, indent, text);
    fputc('\n', report->to);
}

static bool put_figures(const site_report *report, const span *of)
{
    if (of->count == 0)
        return true;
    return report->story->count == 1 ? put_figures_of_one(report, of) : put_figures_of_all(report, of);
}

static bool put_group(const site_report *report, const evn_site_rows *rows, const char *group, const char *title,
                      const char *help)
{
    span of;
    bool made = told_of(report, rows, group, &of);
    if (made && (of.count > 0 || *of.gaps != '\0')) {
        heading(report, title);
        put_help(report, help);
        made =
            put_figures(report, &of) && put_gaps(report, of.gaps) && (report->story->brief || put_sources(report, &of));
    }
    forget(&of);
    return made;
}

/* A group in a table of all groups, below its title. */
static bool put_brief_group(evn_wide_table *table, const site_report *report, const span *of, const char *title)
{
    char text[CELL];
    if (of->count == 0)
        return true;
    snprintf(text, sizeof text, "%s", title);
    text[0] = (char)toupper((unsigned char)text[0]);
    bool made = evn_wide_row(table, (const char *const[1 + TRUCKS]){NULL}) &&
                folded(table, 0, evn_safe_text(text), BRIEF_COLUMNS);
    for (size_t k = 0; made && k < of->count; k++)
        made = brief_row(table, report, of, k);
    return made;
}

/* "Rough roads. Not known of ...". */
static bool put_brief_gaps(const site_report *report, const char *title, const char *gaps)
{
    char text[CELL];
    if (*gaps == '\0')
        return true;
    snprintf(text, sizeof text, "%s", title);
    text[0] = (char)toupper((unsigned char)text[0]);
    return fprintf(report->to, "\n%s%s\n\n", indent, text) > 0 && put_gaps(report, gaps);
}

/* Of several trucks all groups in one table, and below it what is not known, group by group. */
static bool put_brief_groups(const site_report *report, const evn_site_rows *rows)
{
    const char *group, *title, *help;
    evn_wide_table *table = side_table(report);
    bool made = table;
    span of;
    for (size_t i = 0; made && evn_site_group_at(i, &group, &title, &help); i++) {
        made = told_of(report, rows, group, &of) && put_brief_group(table, report, &of, title);
        forget(&of);
    }
    made = made && evn_wide_print(table, report->to, indent, evn_look_width(report->look));
    evn_wide_free(table);
    for (size_t i = 0; made && evn_site_group_at(i, &group, &title, &help); i++) {
        made = told_of(report, rows, group, &of) && put_brief_gaps(report, title, of.gaps);
        forget(&of);
    }
    return made;
}

static bool put_groups(const site_report *report, const evn_site_rows *rows)
{
    const char *group, *title, *help;
    bool made = true;
    if (report->story->brief && report->story->count > 1)
        return fputc('\n', report->to) != EOF && put_brief_groups(report, rows);
    for (size_t i = 0; made && evn_site_group_at(i, &group, &title, &help); i++)
        made = put_group(report, rows, group, title, help);
    return made;
}

/* ------------------------------------------------------------------------------------------------ the answer */

/* A sentence that is freed. */
static bool put_freed(const site_report *report, size_t width, char *text)
{
    bool made = text && (*text == '\0' || evn_put_sentence(report->to, width, "", "%s", text));
    free(text);
    return made;
}

/* Sentences, or where there is no look lines for other media. */
static bool put_answer(const site_report *report)
{
    size_t width = report->look ? evn_look_prose(report->look) : 100000;
    bool made = true;
    for (size_t i = 0; made && i < report->story->count; i++)
        made = evn_put_sentence(report->to, width, "", "%s%s", evn_truck_name(report->story->truck[i].truck),
                                evn_truck_invented(report->story->truck[i].truck) ? " (invented)" : "");
    if (made && report->look)
        fputc('\n', report->to);
    for (size_t i = 0; made && i < report->story->count; i++)
        made = put_freed(report, width, evn_site_against(report->story, i));
    return made && put_freed(report, width, evn_site_differences(report->story));
}

static bool deciding_row(evn_wide_table *table, const site_report *report, size_t index, const evn_site_deciding *row)
{
    char value[TRUCKS][CELL], *below[TRUCKS] = {NULL};
    const char *cells[1 + TRUCKS] = {row->label};
    char where[EVN_SITE_WHERE];
    bool made = true, any = false;
    for (size_t i = 0; made && i < report->story->count; i++) {
        evn_site_figure f;
        if (!evn_site_decides(report->story, index, report->story->truck[i].site, &f, where))
            continue;
        side_value(report, &f, value[i]);
        cells[1 + i] = value[i];
        below[i] = below_figure(&f, evn_site_is_gap(&f) ? NULL : where);
        made = below[i];
        any = true;
    }
    made = made && (!any || evn_wide_row(table, cells));
    return folded_beside(table, report->story->count, below, 16) && made;
}

/* Of how many trucks a row is not known for want of keys, and of how many it is told. */
static void count_gaps(const site_report *report, size_t index, size_t *gaps, size_t *told)
{
    *gaps = *told = 0;
    for (size_t i = 0; i < report->story->count; i++) {
        evn_site_figure f;
        char where[EVN_SITE_WHERE];
        if (!evn_site_decides(report->story, index, report->story->truck[i].site, &f, where))
            continue;
        *gaps += evn_site_is_gap(&f);
        *told += !evn_site_is_gap(&f);
    }
}

static bool is_gap(const site_report *report, size_t index)
{
    size_t gaps, told;
    count_gaps(report, index, &gaps, &told);
    return gaps > 0 && told == 0;
}

/* Which rows are not known of any; what their files lack stands with the groups. */
static bool put_not_decided(const site_report *report)
{
    char text[WHY] = "";
    evn_site_deciding row;
    size_t gaps, told, all = 0;
    for (size_t k = 0; evn_site_deciding_at(k, &row); k++) {
        count_gaps(report, k, &gaps, &told);
        all += gaps;
        if (gaps > 0 && told == 0)
            snprintf(text + strlen(text), sizeof text - strlen(text), "%s%s",
                     text[0] != '\0' ? "; " : "Not known: ", row.label);
    }
    return all == 0 || (fputc('\n', report->to) != EOF &&
                        evn_put_sentence(report->to, evn_look_prose(report->look), indent,
                                         "%s%sKeys that are to be stated are told below.", text, text[0] ? ". " : ""));
}

static bool put_deciding(const site_report *report)
{
    evn_site_deciding row;
    evn_wide_table *table = side_table(report);
    bool made = table;
    heading(report, "what decides");
    for (size_t k = 0; made && evn_site_deciding_at(k, &row); k++)
        made = is_gap(report, k) || deciding_row(table, report, k, &row);
    made = made && evn_wide_print(table, report->to, indent, evn_look_width(report->look)) && put_not_decided(report);
    evn_wide_free(table);
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
    evn_site_rows rows;
    if (!put_answer(&report) || !put_deciding(&report) || !evn_site_rows_of(story, &rows))
        return false;
    if (story->brief) {
        fputc('\n', to);
        evn_put_paragraph_within(
            to, evn_look_prose(look), 0, "",
            "Below the figures that matter most, laden as asked, in brackets the margin to the "
            "limit; '--all' has all of them with what decides each, '--group' those of one group.");
    }
    bool made = put_groups(&report, &rows);
    evn_site_rows_free(&rows);
    fputc('\n', to);
    evn_put_paragraph_within(to, evn_look_prose(look), 0, "", EVN_SITE_CAUTION);
    return made;
}
