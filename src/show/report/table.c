/* Tables in the terminal, laid out by libsmartcols. */
#include "show/report/table.h"
#include <libsmartcols/libsmartcols.h>
#include <stdlib.h>
#include <string.h>

struct evn_table {
    struct libscols_table *lines;
    size_t columns, rows;
};

evn_table *evn_table_new(const evn_table_column *columns, size_t count, bool headings)
{
    evn_table *table = calloc(1, sizeof *table);
    if (!table)
        return NULL;
    table->columns = count;
    table->lines = scols_new_table();
    bool made = table->lines && scols_table_set_column_separator(table->lines, "  ") == 0 &&
                scols_table_enable_noheadings(table->lines, !headings) == 0 &&
                scols_table_set_termforce(table->lines, SCOLS_TERMFORCE_NEVER) == 0;
    for (size_t i = 0; made && i < count; i++)
        made =
            scols_table_new_column(table->lines, columns[i].heading, 0, columns[i].to_the_right ? SCOLS_FL_RIGHT : 0);
    if (!made) {
        evn_table_free(table);
        return NULL;
    }
    return table;
}

void evn_table_free(evn_table *table)
{
    if (!table)
        return;
    scols_unref_table(table->lines);
    free(table);
}

bool evn_table_row(evn_table *table, const char *const *cells)
{
    struct libscols_line *line = scols_table_new_line(table->lines, NULL);
    if (!line)
        return false;
    for (size_t i = 0; i < table->columns; i++)
        if (cells[i] && scols_line_set_data(line, i, cells[i]) != 0)
            return false;
    table->rows++;
    return true;
}

bool evn_table_print(const evn_table *table, FILE *to, const char *indent)
{
    if (table->rows == 0)
        return true;
    char *text = NULL;
    if (scols_print_table_to_string(table->lines, &text) != 0 || !text) {
        free(text);
        return false;
    }
    for (const char *line = text; *line != '\0';) {
        size_t length = strcspn(line, "\n"), kept = length;
        while (kept > 0 && line[kept - 1] == ' ')
            kept--;
        if (kept > 0)
            fputs(indent, to);
        fwrite(line, 1, kept, to);
        fputc('\n', to);
        line += length + (line[length] == '\n');
    }
    free(text);
    return true;
}
