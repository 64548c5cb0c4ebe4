/* A truck in words: each value with its origin, then tables of the figures that follow. */
#define _POSIX_C_SOURCE 200809L
#include "evener/values.h"
#include "show/report/table.h"
#include "show/text.h"
#include "show/truck_story.h"
#include <ctype.h>
#include <stdlib.h>
#include <string.h>

enum { CELL = 64, VALUE_COLUMNS = 24, DEPTHS = 128, COLUMNS_MOST = 12, TITLE = 256 };

static const char indent[] = "  ";

typedef struct truck_report {
    const evn_truck_story *story;
    FILE *to;
    const evn_look *look;
} truck_report;

static void put_heading(const truck_report *report, const char *text)
{
    fputc('\n', report->to);
    evn_style_begin(report->to, report->look, EVN_STYLE_STRONG);
    evn_put_safe(report->to, text);
    evn_style_end(report->to, report->look, EVN_STYLE_STRONG);
    fputs("\n\n", report->to);
}

/* ------------------------------------------------------------------------------------------------ values */

/* The part in use on the way down to a row, so that it is said once and not with every value of the part. */
typedef struct used_from {
    const char *file;
    unsigned line, column;
} used_from;

static void put_place(FILE *to, const char *file, unsigned line, unsigned column)
{
    evn_put_safe(to, file);
    if (line > 0)
        fprintf(to, ":%u", line);
    else if (column > 0)
        fprintf(to, ":%u", column);
}

static bool is_group(const evn_value *value)
{
    return value->kind == EVN_VALUE_GROUP || value->kind == EVN_VALUE_STEPS || value->kind == EVN_VALUE_STEP;
}

static int key_columns(const evn_value *value)
{
    return (int)value->depth * 2 + (value->kind == EVN_VALUE_STEP ? 2 : 0) + (int)evn_text_columns(value->key);
}

/* The value as it could be written, to be freed; NULL when memory is out. */
static char *value_text(const evn_value *value)
{
    char *text = NULL, number[32];
    size_t size = 0;
    FILE *memory = open_memstream(&text, &size);
    if (!memory)
        return NULL;
    if (value->origin == EVN_NOT_GIVEN)
        fputc('-', memory);
    else if (value->text)
        evn_put_safe(memory, value->text);
    fputs(value->kind == EVN_VALUE_NUMBERS ? "[" : "", memory);
    for (size_t i = 0; i < value->count; i++) {
        evn_format_exact(number, value->numbers[i]);
        fprintf(memory, "%s%s", i > 0 ? ", " : "", number);
    }
    fputs(value->kind == EVN_VALUE_NUMBERS ? "]" : "", memory);
    bool failed = ferror(memory) != 0;
    if (fclose(memory) != 0 || failed) {
        free(text);
        return NULL;
    }
    return text;
}

static void put_origin(const truck_report *report, const evn_value *value, const used_from *above)
{
    if (value->origin == EVN_FROM_DEFAULT || value->origin == EVN_NOT_GIVEN) {
        evn_put_styled(report->to, report->look, EVN_STYLE_FAINT,
                       value->origin == EVN_FROM_DEFAULT ? "default" : "not given");
        return;
    }
    put_place(report->to, value->file, value->line, value->origin == EVN_FROM_SET ? 0 : value->column);
    if (value->changed_by)
        fprintf(report->to, ", changed by %s", value->changed_by);
    bool told =
        !value->used_from_file || (above->file && strcmp(above->file, value->used_from_file) == 0 &&
                                   above->line == value->used_from_line && above->column == value->used_from_column);
    if (!told) {
        fputs(", used from ", report->to);
        put_place(report->to, value->used_from_file, value->used_from_line, value->used_from_column);
    }
}

static void put_group(const truck_report *report, const evn_value *value, int width)
{
    fprintf(report->to, "%s%*s%s", indent, (int)value->depth * 2, "", value->kind == EVN_VALUE_STEP ? "- " : "");
    evn_put_styled(report->to, report->look, EVN_STYLE_STRONG, value->key);
    if (value->used_from_file) {
        fprintf(report->to, "%*s  used from ", width + VALUE_COLUMNS + 2 - key_columns(value), "");
        put_place(report->to, value->used_from_file, value->used_from_line, value->used_from_column);
    }
    fputc('\n', report->to);
}

static bool put_row(const truck_report *report, const evn_value *value, int width, const used_from *above)
{
    char *text = value_text(value);
    if (!text)
        return false;
    fprintf(report->to, "%s%*s%s%*s  %s", indent, (int)value->depth * 2, "", value->key, width - key_columns(value), "",
            text);
    int columns = (int)evn_text_columns(text);
    fprintf(report->to, "%*s  ", columns < VALUE_COLUMNS ? VALUE_COLUMNS - columns : 0, "");
    free(text);
    put_origin(report, value, above);
    fputc('\n', report->to);
    return true;
}

static bool put_values(const truck_report *report)
{
    const evn_truck *truck = report->story->truck;
    used_from at[DEPTHS] = {{NULL, 0, 0}};
    evn_value value;
    int width = 0;
    for (size_t i = 0; evn_truck_value_at(truck, i, &value); i++)
        width = key_columns(&value) > width ? key_columns(&value) : width;
    for (size_t i = 0; evn_truck_value_at(truck, i, &value); i++) {
        size_t depth = value.depth < DEPTHS - 3 ? value.depth : DEPTHS - 3;
        if (!is_group(&value)) {
            if (!put_row(report, &value, width, &at[depth]))
                return false;
            continue;
        }
        put_group(report, &value, width);
        used_from below = at[depth];
        if (value.used_from_file)
            below = (used_from){value.used_from_file, value.used_from_line, value.used_from_column};
        at[depth + 1] = at[depth + 2] = below;
    }
    return true;
}

/* ------------------------------------------------------------------------------------------------ figures */

/* "gears.rear.1.total_ratio": its group "gears.rear", its row "1", its column "total_ratio". */
typedef struct figure_name {
    size_t group, row; /* lengths: of the group; of all before the last dot */
    const char *column;
} figure_name;

static figure_name name_of(const char *key)
{
    const char *last = strrchr(key, '.');
    figure_name name = {0, 0, key};
    if (!last)
        return name;
    name.row = (size_t)(last - key);
    name.column = last + 1;
    name.group = name.row;
    for (size_t i = 0; i < name.row; i++)
        if (key[i] == '.')
            name.group = i;
    return name;
}

/* "gears.rear" -> "Gears, rear". */
static void format_title(char out[TITLE], const char *key, size_t length)
{
    size_t used = 0;
    for (size_t i = 0; i < length && used < TITLE - 3; i++) {
        if (key[i] == '.')
            out[used++] = ',';
        out[used++] = key[i] == '.' || key[i] == '_' ? ' ' : key[i];
    }
    out[used] = '\0';
    out[0] = (char)toupper((unsigned char)out[0]);
}

static bool same_start(const char *a, const char *b, size_t length)
{
    return strncmp(a, b, length) == 0 && b[length] == '.';
}

/* One row for each figure, with what it means. Leaves *index behind the group. */
static bool put_list(const truck_report *report, size_t *index, const char *first)
{
    static const evn_table_column columns[] = {{"", false}, {"", true}, {"", false}, {"", false}};
    size_t length = name_of(first).row;
    evn_table *table = evn_table_new(columns, 4, false);
    bool made = table;
    evn_quantity what;
    double value;
    for (;
         made && evn_figures_at(&report->story->figures, *index, &what, &value) && same_start(first, what.key, length);
         ++*index) {
        char label[CELL], cell[CELL];
        evn_format_label(label, sizeof label, name_of(what.key).column, what.unit);
        evn_format_value(cell, sizeof cell, &what, value);
        made = evn_table_row(table, (const char *const[]){label, cell, what.unit, what.help});
    }
    made = made && evn_table_print(table, report->to, indent);
    evn_table_free(table);
    return made;
}

/* Columns of a table whose rows are axles or gears: those of the first of them. */
typedef struct figure_table {
    size_t count;
    char heading[COLUMNS_MOST][CELL];
    const char *help[COLUMNS_MOST];
    evn_table_column column[COLUMNS_MOST + 1];
} figure_table;

static void find_columns(const evn_figures *figures, size_t index, figure_table *out)
{
    evn_quantity what;
    double value;
    evn_figures_at(figures, index, &what, &value);
    const char *first = what.key;
    size_t length = name_of(first).row;
    out->count = 0;
    out->column[0] = (evn_table_column){"", false};
    while (out->count < COLUMNS_MOST && evn_figures_at(figures, index + out->count, &what, &value) &&
           same_start(first, what.key, length)) {
        char *heading = out->heading[out->count];
        evn_format_label(heading, CELL, name_of(what.key).column, what.unit);
        size_t used = strlen(heading);
        snprintf(heading + used, CELL - used, "%s%s", what.unit[0] != '\0' ? " " : "", what.unit);
        out->help[out->count] = what.help;
        out->column[++out->count] = (evn_table_column){heading, true};
    }
}

static bool put_table_row(const truck_report *report, evn_table *table, const figure_table *columns, size_t index)
{
    char cell[COLUMNS_MOST][CELL], *label = NULL;
    const char *cells[COLUMNS_MOST + 1];
    evn_quantity what;
    double value;
    for (size_t i = 0; i < columns->count && evn_figures_at(&report->story->figures, index + i, &what, &value); i++) {
        evn_format_value(cell[i], CELL, &what, value);
        cells[i + 1] = cell[i];
        figure_name name = name_of(what.key);
        if (i == 0)
            label = strndup(what.key + name.group + 1, name.row - name.group - 1);
    }
    cells[0] = label;
    bool made = label && evn_table_row(table, cells);
    free(label);
    return made;
}

static bool put_table(const truck_report *report, size_t *index, const char *first)
{
    figure_table columns;
    size_t length = name_of(first).group;
    find_columns(&report->story->figures, *index, &columns);
    evn_table *table = evn_table_new(columns.column, columns.count + 1, true);
    bool made = table;
    evn_quantity what;
    double value;
    for (;
         made && evn_figures_at(&report->story->figures, *index, &what, &value) && same_start(first, what.key, length);
         *index += columns.count)
        made = put_table_row(report, table, &columns, *index);
    made = made && evn_table_print(table, report->to, indent);
    evn_table_free(table);
    fputc('\n', report->to);
    for (size_t i = 0; made && i < columns.count; i++) {
        char line[4 * CELL];
        snprintf(line, sizeof line, "%s: %s", columns.heading[i], columns.help[i]);
        evn_put_paragraph(report->to, indent, line);
    }
    return made;
}

static bool put_figures(const truck_report *report)
{
    evn_quantity what;
    double value;
    for (size_t i = 0; evn_figures_at(&report->story->figures, i, &what, &value);) {
        figure_name name = name_of(what.key);
        char title[TITLE];
        format_title(title, what.key, name.group);
        put_heading(report, title);
        bool list = name.group == name.row;
        if (!(list ? put_list(report, &i, what.key) : put_table(report, &i, what.key)))
            return false;
    }
    return true;
}

bool evn_truck_text(const evn_truck_story *story, FILE *to, const evn_look *look)
{
    truck_report report = {.story = story, .to = to, .look = look};
    evn_style_begin(to, look, EVN_STYLE_STRONG);
    evn_put_safe(to, evn_truck_name(story->truck));
    evn_style_end(to, look, EVN_STYLE_STRONG);
    fputs("\n\n", to);
    if (!put_values(&report) || !put_figures(&report))
        return false;
    put_heading(&report, "How far to trust it");
    if (evn_truck_invented(story->truck))
        evn_put_paragraph(to, indent, "The file marks its data as invented: no such truck exists.");
    evn_put_paragraph(to, indent,
                      "Axle loads are at rest on level ground, from the places of the centres of gravity as written. "
                      "What a file calls permitted is what its author wrote: which masses and axle loads may go on the "
                      "road is for local regulation and licensed practice to decide.");
    return true;
}
