/* A truck in words: each value with its origin, then tables of the figures that follow. */
#define _POSIX_C_SOURCE 200809L
#include "evener/values.h"
#include "show/report/table.h"
#include "show/text.h"
#include "show/truck_story.h"
#include <ctype.h>
#include <stdlib.h>
#include <string.h>

enum { CELL = 64, VALUE_COLUMNS = 24, DEPTHS = 128, FILES_MOST = 64, COLUMNS_MOST = 12, TITLE = 256, MARGIN = 128 };

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
    evn_put_sentence(report->to, evn_look_prose(report->look), "", "%s", text);
    evn_style_end(report->to, report->look, EVN_STYLE_STRONG);
    fputc('\n', report->to);
}

/* ------------------------------------------------------------------------------------------------ origins */

/* Where the rows of a group come from, as far as it need not be said with each of them. */
typedef struct source {
    evn_origin origin;
    const char *file; /* NULL where it is written nowhere */
} source;

/* What has been said on the way down to a row. */
typedef struct telling {
    const truck_report *report;
    int key_columns;       /* of the column of keys */
    source at[DEPTHS];     /* of the rows at each depth */
    const char *part_user; /* of the part in use at the last group that uses one, */
    unsigned part_line;    /* and the line that uses it */
    const char *extended[FILES_MOST];
    size_t extended_count; /* files whose `extends` is told */
} telling;

static bool is_group(const evn_value *value)
{
    return value->kind == EVN_VALUE_GROUP || value->kind == EVN_VALUE_STEPS || value->kind == EVN_VALUE_STEP;
}

static unsigned rows_depth(const evn_value *group) { return group->depth + (group->kind == EVN_VALUE_STEP ? 2 : 1); }

static bool same_text(const char *a, const char *b) { return a == b || (a && b && strcmp(a, b) == 0); }

static bool same_source(source a, source b) { return a.origin == b.origin && same_text(a.file, b.file); }

static bool is_written(const evn_value *value)
{
    return value->origin == EVN_FROM_FILE || value->origin == EVN_FROM_SET;
}

static source source_of(const evn_value *value)
{
    return (source){value->origin, is_written(value) ? value->file : NULL};
}

/* How many of the rows from `from` on, at this depth and below the same group, come from there. */
static size_t rows_from(const evn_truck *truck, size_t from, unsigned depth, source wanted)
{
    evn_value row;
    size_t count = 0;
    for (size_t i = from; evn_truck_value_at(truck, i, &row) && row.depth >= depth; i++)
        count += row.depth == depth && !is_group(&row) && same_source(source_of(&row), wanted) ? 1 : 0;
    return count;
}

/* Where most of the written rows come from, the first of several. */
static source source_of_rows(const evn_truck *truck, size_t from, unsigned depth, source otherwise)
{
    evn_value row;
    source most = otherwise;
    size_t most_rows = 0;
    for (size_t i = from; evn_truck_value_at(truck, i, &row) && row.depth >= depth; i++) {
        if (row.depth != depth || is_group(&row) || !is_written(&row))
            continue;
        size_t rows = rows_from(truck, from, depth, source_of(&row));
        most = rows > most_rows ? source_of(&row) : most;
        most_rows = rows > most_rows ? rows : most_rows;
    }
    return most;
}

/* The file of a part: of the first row below its use that comes from it; NULL where nothing of it is left. */
static const char *file_of_part(const evn_truck *truck, size_t from, const evn_value *group)
{
    evn_value row;
    for (size_t i = from; evn_truck_value_at(truck, i, &row) && row.depth > group->depth; i++)
        if (!is_group(&row) && same_text(row.used_from_file, group->used_from_file) &&
            row.used_from_line == group->used_from_line)
            return row.file;
    return NULL;
}

static void put_place(FILE *to, const char *file, unsigned line, unsigned column)
{
    fputs(file, to);
    if (line > 0)
        fprintf(to, ":%u", line);
    else if (column > 0)
        fprintf(to, ":%u", column);
}

/* Who extends a file is told with the first that comes from it; who uses a part, with the part. */
static void put_extended(telling *told, const evn_value *value, FILE *to)
{
    bool known = !value->used_from_file ||
                 (same_text(value->used_from_file, told->part_user) && value->used_from_line == told->part_line);
    for (size_t i = 0; i < told->extended_count; i++)
        known = known || same_text(told->extended[i], value->file);
    if (known)
        return;
    if (told->extended_count < FILES_MOST)
        told->extended[told->extended_count++] = value->file;
    fputs(", used from ", to);
    put_place(to, value->used_from_file, value->used_from_line, value->used_from_column);
}

/* What a row tells that its group does not. */
static void put_origin(telling *told, const evn_value *value, source above, FILE *to)
{
    if (value->origin == EVN_NOT_GIVEN || (same_source(source_of(value), above) && !value->changed_by))
        return;
    if (value->origin == EVN_FROM_DEFAULT) {
        fputs("default", to);
        return;
    }
    put_place(to, value->file, value->line, value->origin == EVN_FROM_SET ? 0 : value->column);
    if (value->changed_by)
        fprintf(to, ", changed by %s", value->changed_by);
    put_extended(told, value, to);
}

/* The part of a group, else where its rows come from when those above come from elsewhere, else its line. */
static void put_group_origin(telling *told, size_t index, const evn_value *group, source above, source own, FILE *to)
{
    const evn_truck *truck = told->report->story->truck;
    const char *part = group->used_from_file ? file_of_part(truck, index + 1, group) : NULL;
    if (group->used_from_file) {
        told->part_user = group->used_from_file;
        told->part_line = group->used_from_line;
        if (same_text(group->used_from_file, above.file) && group->used_from_line > 0)
            fprintf(to, "line %u", group->used_from_line);
        else
            put_place(to, group->used_from_file, group->used_from_line, group->used_from_column);
        fprintf(to, " uses %s", part ? part : "a part");
    } else if (same_source(own, above)) {
        if (group->line > 0 && same_text(group->file, own.file))
            fprintf(to, "line %u", group->line);
    } else if (own.origin == EVN_FROM_DEFAULT) {
        fputs("default", to);
    } else {
        evn_value first = *group; /* of the group's own place, or of a row that comes from where most do */
        for (size_t i = index + 1; !same_source(source_of(&first), own) && evn_truck_value_at(truck, i, &first); i++)
            ;
        put_place(to, first.file, first.line, own.origin == EVN_FROM_SET ? 0 : first.column);
        put_extended(told, &first, to);
    }
}

/* Where the rows of a group come from: most of those that are written, else the group itself. */
static source source_of_group(const evn_truck *truck, size_t index, const evn_value *group)
{
    source own = source_of(group);
    const char *part = group->used_from_file ? file_of_part(truck, index + 1, group) : NULL;
    if (part)
        own = (source){EVN_FROM_FILE, part};
    return source_of_rows(truck, index + 1, rows_depth(group), own);
}

/* ------------------------------------------------------------------------------------------------ values */

static int key_columns(const evn_value *value)
{
    return (int)value->depth * 2 + (value->kind == EVN_VALUE_STEP ? 2 : 0) + (int)evn_text_columns(value->key);
}

/* The value as it could be written. */
static void put_value(const evn_value *value, FILE *to)
{
    char number[32];
    if (value->origin == EVN_NOT_GIVEN)
        fputs("not given", to);
    else if (value->text)
        fputs(value->text, to);
    for (size_t i = 0; value->texts && value->texts[i]; i++)
        fprintf(to, "%s%s", i > 0 ? ", " : "", value->texts[i]);
    fputs(value->kind == EVN_VALUE_NUMBERS ? "[" : "", to);
    for (size_t i = 0; i < value->count; i++) {
        evn_format_exact(number, value->numbers[i]);
        fprintf(to, "%s%s", i > 0 ? ", " : "", number);
    }
    fputs(value->kind == EVN_VALUE_NUMBERS ? "]" : "", to);
}

/* What a writer writes, made safe, to be freed; NULL when memory is out. */
typedef struct written {
    FILE *to;
    char *text;
    size_t size;
} written;

static bool begin_written(written *w)
{
    *w = (written){.to = NULL};
    w->to = open_memstream(&w->text, &w->size);
    return w->to;
}

static char *end_written(written *w)
{
    char *safe = w->to && fclose(w->to) == 0 ? evn_safe_text(w->text) : NULL;
    free(w->text);
    return safe;
}

static void put_key(const telling *told, const evn_value *value)
{
    fprintf(told->report->to, "%s%*s%s", indent, (int)value->depth * 2, "", value->kind == EVN_VALUE_STEP ? "- " : "");
    if (is_group(value))
        evn_style_begin(told->report->to, told->report->look, EVN_STYLE_STRONG);
    evn_put_safe(told->report->to, value->key);
    if (is_group(value))
        evn_style_end(told->report->to, told->report->look, EVN_STYLE_STRONG);
}

/* So many blanks. */
static const char *margin_of(char out[MARGIN], size_t columns)
{
    snprintf(out, MARGIN, "%*s", (int)(columns < MARGIN ? columns : MARGIN - 1), "");
    return out;
}

/* Value and origin beside each other, or below where there is no room. */
static void put_beside(const telling *told, const evn_value *value, const char *text, const char *origin)
{
    FILE *to = told->report->to;
    size_t width = evn_look_width(told->report->look), column = strlen(indent) + (size_t)told->key_columns + 2;
    size_t room = width - column, pad = room / 2 < VALUE_COLUMNS ? room / 2 : VALUE_COLUMNS;
    size_t columns = evn_text_columns(text), key = (size_t)key_columns(value);
    char margin[MARGIN];
    bool beside = columns <= pad && pad + 2 + evn_text_columns(origin) <= room;
    if (key > (size_t)told->key_columns)
        fprintf(to, "\n%*s", (int)column, "");
    else
        fprintf(to, "%*s", (int)((size_t)told->key_columns - key) + 2, "");
    if (beside && origin[0] != '\0')
        fprintf(to, "%s%*s  ", text, (int)(pad - columns), "");
    else
        evn_put_paragraph_within(to, width, column, margin_of(margin, column), text[0] != '\0' ? text : "''");
    if (origin[0] == '\0')
        return;
    evn_style_begin(to, told->report->look, EVN_STYLE_FAINT);
    evn_put_paragraph_within(to, width, beside ? column + pad + 2 : 0, margin_of(margin, column), origin);
    evn_style_end(to, told->report->look, EVN_STYLE_FAINT);
}

static bool put_row(telling *told, const evn_value *value)
{
    written w;
    if (begin_written(&w))
        put_value(value, w.to);
    char *text = end_written(&w);
    if (begin_written(&w))
        put_origin(told, value, told->at[value->depth], w.to);
    char *origin = end_written(&w);
    if (text && origin) {
        put_key(told, value);
        put_beside(told, value, text, origin);
    }
    bool made = text && origin;
    free(text);
    free(origin);
    return made;
}

static bool put_group(telling *told, size_t index, const evn_value *group)
{
    FILE *to = told->report->to;
    unsigned depth = rows_depth(group);
    source above = told->at[group->depth];
    source own = source_of_group(told->report->story->truck, index, group);
    written w;
    char margin[MARGIN];
    if (begin_written(&w))
        put_group_origin(told, index, group, above, own, w.to);
    char *origin = end_written(&w);
    if (!origin)
        return false;
    told->at[depth] = own;
    put_key(told, group);
    size_t column = strlen(indent) + (size_t)key_columns(group);
    if (origin[0] == '\0') {
        fputc('\n', to);
    } else {
        evn_style_begin(to, told->report->look, EVN_STYLE_FAINT);
        evn_put_behind(to, evn_look_width(told->report->look), column, 2,
                       margin_of(margin, strlen(indent) + 2 * (size_t)depth + 2), origin);
        evn_style_end(to, told->report->look, EVN_STYLE_FAINT);
    }
    free(origin);
    return true;
}

/* The truck's own file, for all that say nothing else. */
static bool put_top(telling *told)
{
    const char *file = told->report->story->file;
    told->at[0] = (source){EVN_FROM_FILE, file};
    bool made = evn_put_sentence(told->report->to, evn_look_width(told->report->look), "",
                                 "From %s, where nothing else is said.", file);
    fputc('\n', told->report->to);
    return made;
}

/* As wide as the longest key, and no wider than leaves room for values. */
static int width_of_keys(const truck_report *report)
{
    int width = 0, most = (int)evn_look_width(report->look) * 9 / 20;
    evn_value value;
    for (size_t i = 0; evn_truck_value_at(report->story->truck, i, &value); i++)
        if (!value.remark && !is_group(&value) && key_columns(&value) > width && key_columns(&value) <= most)
            width = key_columns(&value);
    return width;
}

static bool put_values(const truck_report *report)
{
    telling told = {.report = report, .key_columns = width_of_keys(report)};
    evn_value value;
    bool made = put_top(&told);
    for (size_t i = 0; made && evn_truck_value_at(report->story->truck, i, &value); i++)
        made = value.remark ? true : is_group(&value) ? put_group(&told, i, &value) : put_row(&told, &value);
    return made;
}

/* What is left out above. */
static void put_data(const truck_report *report)
{
    size_t count = 0;
    evn_datum datum;
    while (evn_truck_datum_at(report->story->data, count, &datum))
        count++;
    fputc('\n', report->to);
    evn_put_sentence(report->to, evn_look_prose(report->look), indent,
                     "What may be off of these values, by what files and defaults of keys say: %zu data; --uncertain "
                     "lists them.",
                     count);
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
    static const evn_table_column columns[] = {
        {"", false, true}, {"", true, false}, {"", false, false}, {"", false, true}};
    size_t length = name_of(first).row;
    evn_table *table = evn_table_new(columns, 4, false);
    bool made = table;
    evn_quantity what;
    double value;
    for (;
         made && evn_figures_at(&report->story->figures, *index, &what, &value) && same_start(first, what.key, length);
         ++*index) {
        char cell[CELL];
        evn_format_value(cell, sizeof cell, report->look, &what, value);
        made = evn_table_row(table, (const char *const[]){what.label, cell, evn_shown_unit(&what), what.help});
    }
    made = made && evn_table_print(table, report->to, indent, evn_look_width(report->look));
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

static void find_columns(const evn_look *look, const evn_figures *figures, size_t index, figure_table *out)
{
    evn_quantity what;
    double value;
    evn_figures_at(figures, index, &what, &value);
    const char *first = what.key;
    size_t length = name_of(first).row;
    out->count = 0;
    out->column[0] = (evn_table_column){"", false, true};
    while (out->count < COLUMNS_MOST && evn_figures_at(figures, index + out->count, &what, &value) &&
           same_start(first, what.key, length)) {
        char *heading = out->heading[out->count];
        evn_format_heading(heading, CELL, look, what.short_label, &what);
        out->help[out->count] = what.help;
        out->column[++out->count] = (evn_table_column){heading, true, false};
    }
}

static bool put_table_row(const truck_report *report, evn_table *table, const figure_table *columns, size_t index)
{
    char cell[COLUMNS_MOST][CELL], *label = NULL;
    const char *cells[COLUMNS_MOST + 1];
    evn_quantity what;
    double value;
    for (size_t i = 0; i < columns->count && evn_figures_at(&report->story->figures, index + i, &what, &value); i++) {
        evn_format_value(cell[i], CELL, report->look, &what, value);
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
    find_columns(report->look, &report->story->figures, *index, &columns);
    evn_table *table = evn_table_new(columns.column, columns.count + 1, true);
    bool made = table;
    evn_quantity what;
    double value;
    for (;
         made && evn_figures_at(&report->story->figures, *index, &what, &value) && same_start(first, what.key, length);
         *index += columns.count)
        made = put_table_row(report, table, &columns, *index);
    made = made && evn_table_print(table, report->to, indent, evn_look_width(report->look));
    evn_table_free(table);
    fputc('\n', report->to);
    for (size_t i = 0; made && i < columns.count; i++) {
        made = evn_put_sentence(report->to, evn_look_prose(report->look), indent, "%s: %s", columns.heading[i],
                                columns.help[i]);
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
    size_t width = evn_look_prose(look);
    evn_style_begin(to, look, EVN_STYLE_STRONG);
    bool made = evn_put_sentence(to, width, "", "%s", evn_truck_name(story->truck));
    evn_style_end(to, look, EVN_STYLE_STRONG);
    if (!made || !put_values(&report))
        return false;
    put_data(&report);
    if (!put_figures(&report))
        return false;
    put_heading(&report, "Accuracy and validity");
    if (evn_truck_invented(story->truck))
        evn_put_paragraph_within(to, width, 0, indent, "The file marks its data as invented: no such truck exists.");
    evn_put_paragraph_within(
        to, width, 0, indent,
        "Axle loads are at rest on level ground, from the places of the centres of gravity as written. "
        "What a file calls permitted is what its author wrote: which masses and axle loads may go on the "
        "road is for local regulation and licensed practice to decide.");
    return true;
}
