/* Breaks a table with many groups of columns into blocks that fit the width. */
#define _POSIX_C_SOURCE 200809L
#include "show/report/wide_table.h"
#include "show/text.h"
#include <stdlib.h>
#include <string.h>

enum { GAP = 2 };

struct evn_wide_table {
    size_t stay, groups, per_group, columns, rows;
    evn_table_column *kind; /* without headings */
    size_t *width;
    char **cell; /* row by row; the first row holds the headings */
};

evn_wide_table *evn_wide_new(const evn_table_column *columns, size_t stay, size_t groups, size_t per_group)
{
    evn_wide_table *table = calloc(1, sizeof *table);
    if (!table)
        return NULL;
    size_t count = stay + groups * per_group;
    *table = (evn_wide_table){.stay = stay, .groups = groups, .per_group = per_group, .columns = count};
    table->kind = calloc(count, sizeof *table->kind);
    table->width = calloc(count, sizeof *table->width);
    const char **headings = calloc(count, sizeof *headings);
    bool made = table->kind && table->width && headings;
    for (size_t i = 0; made && i < count; i++) {
        table->kind[i] = columns[i];
        table->kind[i].heading = NULL;
        headings[i] = columns[i].heading;
    }
    made = made && evn_wide_row(table, headings);
    free(headings);
    if (made)
        return table;
    evn_wide_free(table);
    return NULL;
}

void evn_wide_free(evn_wide_table *table)
{
    if (!table)
        return;
    for (size_t i = 0; i < table->rows * table->columns; i++)
        free(table->cell[i]);
    free(table->cell);
    free(table->width);
    free(table->kind);
    free(table);
}

bool evn_wide_row(evn_wide_table *table, const char *const *cells)
{
    char **larger = realloc(table->cell, (table->rows + 1) * table->columns * sizeof *larger);
    if (!larger)
        return false;
    table->cell = larger;
    char **row = &larger[table->rows++ * table->columns];
    bool all = true;
    for (size_t i = 0; i < table->columns; i++) {
        row[i] = strdup(cells[i] ? cells[i] : "");
        size_t width = row[i] ? evn_text_columns(row[i]) : 0;
        table->width[i] = width > table->width[i] ? width : table->width[i];
        all = all && row[i];
    }
    return all;
}

/* Width of neighbouring columns, with the gap behind each. */
static size_t width_of(const evn_wide_table *table, size_t from, size_t count)
{
    size_t width = 0;
    for (size_t i = from; i < from + count; i++)
        width += table->width[i] > 0 ? table->width[i] + GAP : 0;
    return width;
}

/* How many groups from this one on fit. */
static size_t groups_that_fit(const evn_wide_table *table, size_t group, size_t width)
{
    size_t used = width_of(table, 0, table->stay), count = 0;
    for (; group + count < table->groups; count++) {
        used += width_of(table, table->stay + (group + count) * table->per_group, table->per_group);
        if (count > 0 && used > width + GAP)
            break;
    }
    return count;
}

/* Numbers of the columns of a block; returns how many. */
static size_t pick(const evn_wide_table *table, size_t group, size_t count, size_t *picked)
{
    size_t taken = 0, from = table->stay + group * table->per_group;
    for (size_t i = 0; i < table->columns; i++)
        if (table->width[i] > 0 && (i < table->stay || (i >= from && i < from + count * table->per_group)))
            picked[taken++] = i;
    return taken;
}

static bool print_block(const evn_wide_table *table, const size_t *picked, size_t count, FILE *to, const char *indent,
                        size_t width)
{
    evn_table_column *columns = calloc(count, sizeof *columns);
    const char **cells = calloc(count, sizeof *cells);
    evn_table *block = NULL;
    for (size_t i = 0; columns && i < count; i++)
        columns[i] = (evn_table_column){table->cell[picked[i]], table->kind[picked[i]].to_the_right,
                                        table->kind[picked[i]].folds};
    if (columns && cells)
        block = evn_table_new(columns, count, true);
    bool made = block;
    for (size_t row = 1; made && row < table->rows; row++) {
        for (size_t i = 0; i < count; i++)
            cells[i] = table->cell[row * table->columns + picked[i]];
        made = evn_table_row(block, cells);
    }
    made = made && evn_table_print(block, to, indent, width);
    evn_table_free(block);
    free(cells);
    free(columns);
    return made;
}

bool evn_wide_print(const evn_wide_table *table, FILE *to, const char *indent, size_t width)
{
    size_t *picked = calloc(table->columns, sizeof *picked);
    size_t margin = evn_text_columns(indent), room = width > margin ? width - margin : 0, group = 0;
    bool made = picked;
    while (made && group < table->groups) {
        size_t count = groups_that_fit(table, group, room);
        if (group > 0)
            fputc('\n', to);
        made = print_block(table, picked, pick(table, group, count, picked), to, indent, width);
        group += count;
    }
    free(picked);
    return made;
}
